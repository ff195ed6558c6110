//! Sizing: what is proposed passes, and a step less does not; what is spare passes, and a step more does not.
#![allow(
    clippy::format_push_string,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::Layout;
use barkline::checks::{
    Attachment, Change, ChangeKind, FoundBy, Proposal, SizeResults, Sizing, SpareValue, Verdict,
};
use barkline::model::{Anchor, AnchorSize, Platform};
use barkline::report::change_words;
use barkline::tables;
use barkline::units::{Length, Show, si, us};
use proptest::prelude::*;

#[test]
fn a_change_says_what_it_is_and_what_it_was() {
    let [from, to] = [us::inches(2.0), us::inches(2.5)];
    let boss = us::inches(4.0);
    for (change, words) in [
        (
            Change::BossInWood { from, to, boss },
            "set 2-1/2 in of the boss in the wood instead of 2 in",
        ),
        (
            Change::ShorterArm { from: to, to: from },
            "bring the load to 2 in from the wood surface, under the bark, instead of 2-1/2 in",
        ),
        (
            Change::LongerShank { from, to },
            "take a bar with 2-1/2 in of shank in the wood instead of 2 in, the thread as much longer",
        ),
    ] {
        assert_eq!(change_words(&change, Show::Us), words);
    }
}

fn platform(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}\n{text}"));
    let resolved = layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}\n{text}"));
    resolved.platform
}

/// One anchor in an oak with loads of its own.
#[derive(Debug, Clone)]
struct One {
    size: String,
    embedded: f64,
    arm: f64,
    dead: f64,
    live: f64,
}

impl One {
    fn text(&self) -> String {
        format!(
            "[[tree]]\nid = \"oak\"\nspecies = \"white oak\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n\
             [[anchor]]\nid = \"a\"\ntree = \"oak\"\nfaces = \"E\"\nsize = \"{}\"\nembedded = \"{} mm\"\narm = \"{} mm\"\n\
             [[load]]\nid = \"p\"\non = \"a\"\ndead = \"{} kN\"\nlive = \"{} kN\"\n",
            self.size, self.embedded, self.arm, self.dead, self.live
        )
    }

    fn platform(&self) -> Platform {
        platform(&self.text())
    }

    fn passes(&self) -> bool {
        self.platform().check().unwrap().verdict() == Verdict::Pass
    }
}

fn sized(platform: &Platform, show: Show) -> SizeResults {
    platform.size_with(platform.criteria(), show).unwrap()
}

fn only(results: &SizeResults) -> &Sizing {
    &results.sizings[0]
}

fn proposal(sizing: &Sizing, kind: ChangeKind) -> Option<&Proposal> {
    let mut proposals = sizing.proposals.iter();
    proposals.find(|own| own.change.kind() == kind)
}

/// Whether the first anchor, changed, passes.
fn with(platform: &Platform, edit: impl FnOnce(&mut Anchor)) -> bool {
    let mut anchor = platform.anchors()[0].clone();
    edit(&mut anchor);
    let changed = platform.with_anchor(0, anchor).unwrap();
    changed.check().unwrap().attachments()[0].verdict() == Verdict::Pass
}

fn longer(anchor: &mut Anchor, by: Length) {
    anchor.size.shank.last_mut().unwrap().length += by;
    anchor.size.thread_length += by;
}

/// What is set lies on the marks of a rule.
fn on_mark(length: Length, step: Length) {
    let marks = (length / step).value;
    assert!((marks - marks.round()).abs() < 1e-6, "{marks}");
}

/// Every proposal for a single anchor, held against checks of its own.
fn held_against_checks(one: &One, show: Show) {
    let drawn = one.platform();
    let results = sized(&drawn, show);
    let sizing = only(&results);
    let step = match show {
        Show::Us => us::inches(1.0 / 16.0),
        Show::Si => si::millimetres(1.0),
    };
    let asks: Vec<f64> = sizing.proposals.iter().map(|own| own.ask).collect();
    assert!(asks.is_sorted(), "{asks:?}");
    assert!(asks.iter().all(|ask| ask.is_finite() && *ask > 0.0));
    for own in &sizing.proposals {
        assert_eq!(own.verdict, Verdict::Pass);
        assert!(own.utilization.unwrap() <= 1.0);
        let [it, less] = match &own.change {
            Change::BossInWood { from, to, .. } => {
                on_mark(*to, step);
                // The first mark is compared with what is drawn, which may lie between two.
                [*to, (*to - step).max(*from)].map(|t| with(&drawn, |own| own.embedded = t))
            }
            Change::ShorterArm { from, to } => {
                on_mark(*to, step);
                [*to, (*to + step).min(*from)].map(|arm| with(&drawn, |own| own.arm = arm))
            }
            Change::LongerShank { from, to } => {
                on_mark(*to, step);
                [*to, (*to - step).max(*from)].map(|t| with(&drawn, |own| longer(own, t - *from)))
            }
            Change::LessLive { share, .. } => [*share, share + 0.01].map(|share| {
                let mut less = one.clone();
                less.live *= share;
                less.passes()
            }),
            Change::LargerSize { to, embedded, .. } => {
                let row = tables::anchor_size(to).unwrap();
                let size = AnchorSize::from_table(row).unwrap();
                let it = with(&drawn, |own| {
                    own.size = size;
                    own.embedded = *embedded;
                });
                [it, false]
            }
            Change::StrongerSteel { to, .. } => {
                let it = with(&drawn, |own| {
                    let pieces = std::iter::once(&mut own.size.boss).chain(&mut own.size.shank);
                    for piece in pieces {
                        let row = tables::steel(to, piece.bears).unwrap();
                        piece.steel.yield_strength = row.f_y;
                    }
                });
                [it, false]
            }
            other => panic!("{other:?} for an anchor without a beam"),
        };
        assert!(it, "{own:?}");
        assert!(!less, "{own:?}");
    }
    if let Some(spare) = &sizing.spare {
        let factor = spare.own_load.value().unwrap();
        let times = |dead: f64, live: f64| {
            let mut more = one.clone();
            more.dead *= dead;
            more.live *= live;
            more.passes()
        };
        assert!(times(factor, factor) && !times(factor + 0.01, factor + 0.01));
        let live = spare.live.value().unwrap();
        assert!(times(1.0, live) && !times(1.0, live + 0.01));
        if let SpareValue::Most(arm) = spare.longest_arm {
            let [it, more] = [arm, arm + step].map(|arm| with(&drawn, |own| own.arm = arm));
            assert!(it && !more, "{arm:?}");
        }
    }
    assert_eq!(
        sizing.spare.is_some(),
        sizing.attachment.verdict() == Verdict::Pass
    );
    assert_eq!(
        sizing.proposals.len() + sizing.not_proposed.len(),
        if sizing.attachment.verdict() == Verdict::Fail {
            ChangeKind::ALL.len()
        } else {
            0
        }
    );
    // At most: boss 8 + 7, arm 2 + 8, shank 2 + 8, steels, sizes, live 2 + 7, and one whole check for each.
    assert!(results.checks <= 100, "{}", results.checks);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn what_is_proposed_passes_and_a_step_less_does_not(
        size in prop::sample::select(vec!["51x102/25", "64x114/34", "89x127/44"]),
        share in 0.3..0.6_f64,
        arm in 60.0..140.0_f64,
        dead in 0.3..2.0_f64,
        live in 0.5..12.0_f64,
        show in prop::sample::select(vec![Show::Us, Show::Si]),
    ) {
        let boss = tables::anchor_size(size).unwrap().boss_length.value * 1e3;
        let one = One { size: size.into(), embedded: (share * boss).round(), arm: arm.round(), dead, live };
        held_against_checks(&one, show);
    }
}

#[test]
fn a_failing_anchor_has_several_mends() {
    let one = One {
        size: "64x114/34".into(),
        embedded: 57.0,
        arm: 100.0,
        dead: 1.0,
        live: 6.5,
    };
    assert!(!one.passes());
    held_against_checks(&one, Show::Si);
    let results = sized(&one.platform(), Show::Si);
    let kinds: Vec<ChangeKind> = only(&results)
        .proposals
        .iter()
        .map(|own| own.change.kind())
        .collect();
    for kind in [
        ChangeKind::ShorterArm,
        ChangeKind::LargerSize,
        ChangeKind::LessLive,
    ] {
        assert!(kinds.contains(&kind), "{kinds:?}");
    }
    assert!(
        proposal(only(&results), ChangeKind::LessLive)
            .unwrap()
            .found_by
            == FoundBy::Halving
    );
    let not: Vec<ChangeKind> = only(&results)
        .not_proposed
        .iter()
        .map(|own| own.kind)
        .collect();
    assert!(not.contains(&ChangeKind::MoveAnchor) && not.contains(&ChangeKind::AddAnchor));
}

#[test]
fn no_smaller_size_of_the_table_would_do() {
    let one = One {
        size: "51x102/25".into(),
        embedded: 50.0,
        arm: 100.0,
        dead: 1.0,
        live: 3.0,
    };
    let drawn = one.platform();
    let results = sized(&drawn, Show::Si);
    let found = proposal(only(&results), ChangeKind::LargerSize).unwrap();
    let Change::LargerSize { to, .. } = &found.change else {
        panic!("{found:?}")
    };
    let own = &drawn.anchors()[0];
    let share = (own.embedded / own.size.boss.length).value;
    let chosen = tables::anchor_size(to).unwrap();
    let mut smaller = 0;
    for row in tables::anchor_sizes() {
        let larger = row.boss_diameter >= own.size.boss.bears && row.id != own.size.id;
        if larger && row.boss_diameter < chosen.boss_diameter {
            let size = AnchorSize::from_table(row).unwrap();
            let embedded = size.boss.length * share + si::millimetres(1.0);
            smaller += 1;
            assert!(
                !with(&drawn, |own| {
                    own.size = size;
                    own.embedded = embedded;
                }),
                "{}",
                row.id
            );
        }
    }
    assert!(smaller > 0);
}

/// Three stems in a row, 2 m apart; a beam over anchors in the outer two, another one on the far side over all three.
fn row_of_stems(load: &str) -> Platform {
    turned_row("E", load)
}

/// The same with the first anchor facing otherwise.
fn turned_row(faces: &str, load: &str) -> Platform {
    let mut text = String::new();
    for (id, north) in [("s", 0.0), ("m", 2.0), ("n", 4.0)] {
        text += &format!(
            "[[tree]]\nid = \"{id}\"\nspecies = \"white oak\"\nat = [\"0 m\", \"{north} m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n"
        );
    }
    for (id, tree, faces, level) in [
        ("sE", "s", faces, 3.0),
        ("nE", "n", "E", 3.0),
        ("sW", "s", "W", 3.0),
        ("mW", "m", "W", 3.0),
        ("nW", "n", "W", 3.0),
    ] {
        text += &format!(
            "[[anchor]]\nid = \"{id}\"\ntree = \"{tree}\"\nfaces = \"{faces}\"\nlevel = \"{level} m\"\nsize = \"89x127/44\"\n"
        );
    }
    for (id, on, east) in [
        ("east", "\"sE\", \"nE\"", 0.53),
        ("west", "\"sW\", \"mW\", \"nW\"", -0.53),
    ] {
        text += &format!(
            "[[beam]]\nid = \"{id}\"\non = [{on}]\nheld_down = true\nline = [[\"{east} m\", \"-0.6 m\"], [\"{east} m\", \"4.6 m\"]]\n\
             width = \"100 mm\"\ndepth = \"300 mm\"\nmodulus = \"11 GPa\"\n"
        );
    }
    text += load;
    text += "[[load]]\nid = \"q\"\non = \"west at 1 m\"\ndead = \"0.5 kN\"\nlive = \"1 kN\"\n";
    platform(&text)
}

fn verdict(attachments: &[Attachment], anchor: &str) -> Verdict {
    let mut found = attachments.iter();
    found.find(|own| own.anchor() == anchor).unwrap().verdict()
}

#[test]
fn one_more_anchor_where_a_stem_reaches_the_beam() {
    let load = "[[load]]\nid = \"p\"\non = \"east at 2.6 m\"\ndead = \"2 kN\"\nlive = \"19 kN\"\n";
    let drawn = row_of_stems(load);
    let results = sized(&drawn, Show::Si);
    let failing = &results.sizings[0];
    assert_eq!(failing.attachment.verdict(), Verdict::Fail);
    let found = proposal(failing, ChangeKind::AddAnchor);
    // At the middle stem, right under the load, the new anchor takes more than either did: it is tried and refused.
    assert!(found.is_none());
    let not = failing
        .not_proposed
        .iter()
        .find(|own| own.kind == ChangeKind::AddAnchor);
    assert!(
        not.unwrap()
            .why
            .contains("tried at one place under beam east"),
        "{not:?}"
    );

    let load = "[[load]]\nid = \"p\"\non = \"east at 1.3 m\"\ndead = \"2 kN\"\nlive = \"9.2 kN\"\n";
    let drawn = row_of_stems(load);
    // On seats packed to one level; 3 mm out of it, so stiff a beam would lie on the new one alone.
    let mut criteria = drawn.criteria().clone();
    assert!(criteria.change("seat_level", 0.0));
    // Sliding without friction: it would tire the bars, as the search says by itself.
    assert!(criteria.change("seat_friction", 0.0));
    let results = drawn.size_with(&criteria, Show::Si).unwrap();
    let failing = &results.sizings[0];
    assert_eq!(
        failing.attachment.verdict(),
        Verdict::Fail,
        "{:?}",
        failing.attachment.utilization()
    );
    let found = proposal(failing, ChangeKind::AddAnchor)
        .unwrap_or_else(|| panic!("{:?}", failing.not_proposed));
    let Change::AddAnchor {
        station, tree, arm, ..
    } = &found.change
    else {
        panic!("{found:?}")
    };
    assert_eq!(tree, "m");
    assert!((station.value - 2.6).abs() < 1e-9);
    assert!((arm.value - 0.1).abs() < 1e-9);
}

#[test]
fn an_anchor_moves_toward_a_load_beyond_it() {
    let load = "[[load]]\nid = \"p\"\non = \"east start\"\ndead = \"2 kN\"\nlive = \"4.5 kN\"\n";
    let drawn = turned_row("65 deg", load);
    let checked = drawn.check().unwrap();
    assert_eq!(verdict(checked.attachments(), "sE"), Verdict::Fail);
    let results = sized(&drawn, Show::Si);
    let found = proposal(&results.sizings[0], ChangeKind::MoveAnchor);
    let found = found.unwrap_or_else(|| panic!("{:?}", results.sizings[0].not_proposed));
    let Change::MoveAnchor {
        from,
        to,
        faces,
        arm,
        ..
    } = &found.change
    else {
        panic!("{found:?}")
    };
    assert!(to < from, "{found:?}");
    // Where it then stands, by hand: the beam runs north at 0.53 m east of the stem's centre, 0.6 m from its first end.
    let north = to.value - 0.6;
    assert!((faces.value - 0.53_f64.atan2(north)).abs() < 1e-9);
    assert!((arm.value - (0.53_f64.hypot(north) - 0.43)).abs() < 1e-9);
    // Ten millimetres less are not enough.
    for (back, verdict) in [(0.0, Verdict::Pass), (0.01, Verdict::Fail)] {
        let station = to.value + back;
        let north = station - 0.6;
        let moved = drawn.with_parts(|parts| {
            parts.anchors[0].faces = si::radians(0.53_f64.atan2(north));
            parts.anchors[0].arm = si::metres(0.53_f64.hypot(north) - 0.43);
            parts.beams[0].supports[0].station = si::metres(station);
        });
        let moved = moved.unwrap().check().unwrap();
        assert_eq!(moved.attachments()[0].verdict(), verdict, "{back}");
        if back == 0.0 {
            let [by_hand, told] = [moved.attachments()[0].utilization(), found.utilization];
            assert!((by_hand.unwrap() - told.unwrap()).abs() < 1e-9);
        }
    }
}

#[test]
fn what_a_change_does_to_others_is_told() {
    let load = "[[load]]\nid = \"p\"\non = \"east at 2.6 m\"\ndead = \"2 kN\"\nlive = \"19 kN\"\n";
    let results = sized(&row_of_stems(load), Show::Si);
    // Both ends carry half: less live load mends both, another bar mends one.
    let of = |k: usize, kind| proposal(&results.sizings[k], kind);
    assert_eq!(of(0, ChangeKind::LessLive).unwrap().mends, ["nE"]);
    assert_eq!(of(1, ChangeKind::LessLive).unwrap().mends, ["sE"]);
    let own: Vec<&Proposal> = results.sizings[0]
        .proposals
        .iter()
        .filter(|own| own.change.kind() != ChangeKind::LessLive)
        .collect();
    assert!(own.iter().all(|own| own.mends.is_empty()), "{own:?}");
    assert!(results.sizings[2..].iter().all(|own| own.spare.is_some()));
}

#[test]
fn a_change_that_fails_another_comes_last() {
    // The far anchor is used as wholly as hundredths of a kilonewton can make it. Moved away from the load, the failing
    // one is used less and the far one more.
    let of = |live: f64| {
        let load = format!(
            "[[load]]\nid = \"p\"\non = \"east at 3.04 m\"\ndead = \"2 kN\"\nlive = \"{live} kN\"\n"
        );
        turned_row("65 deg", &load)
    };
    let passes = |hundredths: u32| {
        let checked = of(f64::from(hundredths) / 100.0).check().unwrap();
        verdict(checked.attachments(), "nE") == Verdict::Pass
    };
    let (mut low, mut high) = (1000, 2000);
    assert!(passes(low) && !passes(high));
    while high - low > 1 {
        let middle = u32::midpoint(low, high);
        if passes(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    let drawn = of(f64::from(low) / 100.0);
    let results = sized(&drawn, Show::Si);
    let failing = &results.sizings[0];
    assert_eq!(failing.attachment.verdict(), Verdict::Fail);
    let moved = proposal(failing, ChangeKind::MoveAnchor).unwrap();
    let worse: Vec<&str> = moved.worse.iter().map(|own| own.part.as_str()).collect();
    assert_eq!(worse, ["nE"]);
    assert_eq!(moved.worse[0].verdict, Verdict::Fail);
    let harms: Vec<bool> = failing
        .proposals
        .iter()
        .map(|own| !own.worse.is_empty())
        .collect();
    assert!(harms.is_sorted() && !harms[0], "{harms:?}");
    let [gentle, harmful] = [false, true].map(|harm| {
        let own = failing
            .proposals
            .iter()
            .zip(&harms)
            .filter(|own| *own.1 == harm);
        own.map(|own| own.0.ask).collect::<Vec<_>>()
    });
    assert!(gentle.is_sorted() && harmful.is_sorted());
    assert!(
        gentle.iter().any(|ask| *ask > harmful[0]),
        "last for the harm alone"
    );
}

#[test]
fn what_is_to_be_reviewed_is_not_sized() {
    let one = One {
        size: "102x152/51".into(),
        embedded: 76.0,
        arm: 80.0,
        dead: 0.5,
        live: 1.0,
    };
    let text = one.text().replace("900 mm", "500 mm");
    let results = sized(&platform(&text), Show::Si);
    let sizing = only(&results);
    assert_eq!(sizing.attachment.verdict(), Verdict::Review);
    assert!(sizing.proposals.is_empty() && sizing.spare.is_none());
}

#[test]
fn a_longer_shank_has_a_longer_thread() {
    let one = One {
        size: "89x127/44".into(),
        embedded: 63.5,
        arm: 60.0,
        dead: 1.0,
        live: 2.0,
    };
    // Tilted out and down, the load pulls; on a thread of 2 mm nothing else fails.
    let mut anchor = one.platform().anchors()[0].clone();
    anchor.tilt = si::degrees(-15.0);
    anchor.size.thread_length = si::millimetres(2.0);
    let drawn = one.platform().with_anchor(0, anchor).unwrap();
    let results = sized(&drawn, Show::Si);
    assert_eq!(only(&results).attachment.verdict(), Verdict::Fail);
    let found = proposal(only(&results), ChangeKind::LongerShank)
        .unwrap_or_else(|| panic!("{:?}", only(&results).not_proposed));
    let Change::LongerShank { from, to } = &found.change else {
        panic!("{found:?}")
    };
    assert!(with(&drawn, |own| longer(own, *to - *from)));
    assert!(!with(&drawn, |own| longer(
        own,
        *to - *from - si::millimetres(1.0)
    )));
}
