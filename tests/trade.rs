//! Facts of the trade as check values: common practice, no source. And what nothing here may let pass.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::Layout;
use barkline::checks::{CheckError, Results, Verdict};
use barkline::model::Platform;
use barkline::tables;
use barkline::units::us::inches;

fn platform(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}"));
    layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}"))
        .platform
}

fn check(text: &str) -> Results {
    platform(text).check().unwrap()
}

/// One anchor under a load of its own.
fn one(diameter: &str, bark: &str, size: &str, load: &str) -> String {
    format!(
        r#"
[[tree]]
id = "t"
species = "white oak"
at = ["0 ft", "0 ft"]
diameter = "{diameter}"
bark = "{bark}"
[[anchor]]
id = "a"
tree = "t"
faces = "S"
size = "{size}"
arm = "3 in"
[[load]]
id = "p"
on = "a"
{load}
"#
    )
}

#[test]
fn a_boss_of_four_inches_is_set_half_its_length_and_all_reaches_seven_and_a_half() {
    let four: Vec<_> = tables::anchor_sizes()
        .iter()
        .filter(|size| (size.boss_length - inches(4.0)).abs() < inches(0.02))
        .collect();
    assert!(four.len() >= 3, "{} sizes", four.len());
    for size in four {
        let platform = platform(&one("26 in", "0.8 in", &size.id, "live = \"500 lbf\""));
        let anchor = &platform.anchors()[0];
        assert!(
            (anchor.embedded - inches(2.0)).abs() < inches(0.01),
            "{}",
            size.id
        );
        let reach = anchor.sound_length(platform.stem_of(anchor));
        assert!(
            reach > inches(7.4) && reach <= inches(7.75),
            "{}: {} m",
            size.id,
            reach.value
        );
    }
}

#[test]
fn bark_counts_for_nothing() {
    let thin = check(&one("26 in", "0.5 in", "64x114/34", "live = \"500 lbf\""));
    let thick = check(&one("29 in", "2 in", "64x114/34", "live = \"500 lbf\""));
    for (a, b) in thin.attachments()[0]
        .checks()
        .iter()
        .zip(thick.attachments()[0].checks())
    {
        let [a, b] = [a, b].map(|check| check.utilization.unwrap_or(0.0));
        assert!((a - b).abs() < 1e-12 * (1.0 + a), "{a} {b}");
    }
}

#[test]
fn an_anchor_without_a_load_is_not_passed() {
    let results = check(&one("26 in", "0.8 in", "64x114/34", ""));
    assert_eq!(results.attachments()[0].verdict(), Verdict::Review);
    assert_eq!(results.verdict(), Verdict::Review);
    let loaded = check(&one("26 in", "0.8 in", "64x114/34", "dead = \"300 lbf\""));
    assert_eq!(loaded.verdict(), Verdict::Pass);
}

#[test]
fn criteria_that_lack_what_a_check_reads_judge_nothing() {
    let platform = platform(&one("26 in", "0.8 in", "64x114/34", "live = \"500 lbf\""));
    for row in tables::safety_factors() {
        let mut criteria = platform.criteria().clone();
        criteria.factors.remove(&row.id);
        let faults = criteria.faults();
        match platform.check_with(&criteria) {
            Err(CheckError::Criteria(named)) => assert_eq!(named, [row.id.as_str()]),
            Ok(_) => {
                assert!(faults.is_empty() && barkline::model::NOT_READ.contains(&row.id.as_str()))
            }
            Err(other) => panic!("{}: {other}", row.id),
        }
    }
    let mut criteria = platform.criteria().clone();
    assert!(criteria.change("limit_load", f64::NAN));
    assert!(matches!(
        platform.check_with(&criteria),
        Err(CheckError::Criteria(_))
    ));
}

/// Four stems that carry two parallel beams, the second as far east as said; all anchors stand east of their stems.
fn two_beams(apart: &str) -> String {
    let stem = |beam: &str, east: &str, stem: &str, north: &str| {
        format!(
            r#"
[[tree]]
id = "{beam}-{stem}"
species = "white oak"
at = ["{east}", "{north}"]
diameter = "28 in"
bark = "0.8 in"
sway = "0 in"
[[anchor]]
id = "{beam}-{stem}-a"
tree = "{beam}-{stem}"
faces = "E"
size = "80x120/40"
arm = "3 in"
"#
        )
    };
    let beam = |beam: &str, east: &str| {
        let (south, north) = (
            stem(beam, east, "s", "0 ft"),
            stem(beam, east, "n", "10 ft"),
        );
        format!(
            r#"{south}{north}
[[beam]]
id = "{beam}"
on = ["{beam}-s-a", "{beam}-n-a"]
seats = ["fixed", "sliding"]
held_down = true
size = "4x10"
wood = "Douglas Fir-Larch"
grade = "No. 1"
"#
        )
    };
    beam("west", "0 ft") + &beam("east", apart)
}

/// A beam across both with a load on its overhang: its far end lifts.
fn overhung(held_down: bool) -> String {
    two_beams("10 ft")
        + &format!(
            r#"
[[beam]]
id = "top"
on = ["west at 5 ft", "east at 5 ft"]
overhang = ["0 ft", "6 ft"]
held_down = {held_down}
size = "4x12"
wood = "Douglas Fir-Larch"
grade = "No. 1"
[[load]]
id = "p"
on = "top end"
live = "600 lbf"
"#
        )
}

#[test]
fn a_beam_that_lifts_off_another_is_named_unless_it_is_held_down() {
    let loose = check(&overhung(false));
    let named = loose.unassessed();
    assert_eq!(named.len(), 1, "{named:?}");
    assert!(
        named[0].contains("beam top on beam west lifts under D + L"),
        "{named:?}"
    );
    assert_eq!(loose.verdict(), Verdict::Review);
    let held = check(&overhung(true));
    assert!(held.unassessed().is_empty(), "{:?}", held.unassessed());
    // The reactions are the same: the model holds every seat both ways.
    assert_eq!(
        loose.attachments()[0].reactions(),
        held.attachments()[0].reactions()
    );
}

/// A deck on two beams six feet apart whose eastern edge is as far out as said.
fn cantilevered(edge: &str) -> String {
    two_beams("6 ft")
        + &format!(
            r#"
[[deck]]
id = "floor"
on = ["west", "east"]
outline = [["1.3 ft", "2 ft"], ["{edge}", "2 ft"], ["{edge}", "6 ft"], ["1.3 ft", "6 ft"]]
dead = "10 psf"
live = "20 psf"
joists = {{ run = "E-W", spacing = "16 in", size = "2x8", wood = "Douglas Fir-Larch", grade = "No. 2" }}
"#
        )
}

#[test]
fn joists_that_lift_off_a_beam_are_named() {
    // The beams lie 17.2 in east of 0 and of 6 ft: up to about 13.5 ft the deck bears on both.
    assert!(check(&cantilevered("12 ft")).unassessed().is_empty());
    let named = check(&cantilevered("15 ft"));
    let parts = named.unassessed();
    assert!(
        parts
            .iter()
            .any(|part| part.starts_with("a joist of deck floor on beam west lifts")),
        "{parts:?}"
    );
    assert_ne!(named.verdict(), Verdict::Pass);
}
