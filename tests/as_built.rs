//! The platform as built: tilt by hand, shallow holes, thick bark, anchors that refuse.
#![allow(
    clippy::format_push_string,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::Layout;
use barkline::checks::{AsBuiltError, AsBuiltResults, Attachment, Results, Verdict};
use barkline::input::Code;
use barkline::model::{BuiltKey, LimitState, Platform};
use barkline::report::{AsBuiltDocument, Provenance, as_built_lines};
use barkline::units::Show;

/// Statics without any stiffness in it: rounding alone, as a share.
const ROUNDING: f64 = 1e-9;

fn platform(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}\n{text}"));
    let resolved = layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}\n{text}"));
    resolved.platform
}

/// One anchor that faces east in an oak, with a load of its own in kN, and a row of measurements.
fn single(tree: &str, row: &str) -> Platform {
    platform(&format!(
        "[[tree]]\nid = \"oak\"\nspecies = \"white oak\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n{tree}\n\
         [[anchor]]\nid = \"a\"\ntree = \"oak\"\nfaces = \"E\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n\
         [[load]]\nid = \"p\"\non = \"a\"\ndead = \"2 kN\"\nlive = \"4 kN\"\n\
         [[as_built]]\nanchor = \"a\"\n{row}\n"
    ))
}

fn built(tree: &str, row: &str) -> AsBuiltResults {
    single(tree, row).check_as_built().unwrap()
}

fn only(results: &AsBuiltResults) -> [&Attachment; 2] {
    let built = results.built.as_ref().unwrap();
    [&results.designed.attachments()[0], &built.attachments()[0]]
}

/// Down, side, out under all loads (N).
fn load(attachment: &Attachment, combination: &str) -> [f64; 3] {
    let found = attachment
        .full_reactions()
        .iter()
        .find(|reaction| reaction.combination == combination)
        .unwrap();
    [found.down_n, found.side_n, found.out_n]
}

fn used(attachment: &Attachment, limit_state: LimitState) -> f64 {
    attachment.check(limit_state).unwrap().utilization.unwrap()
}

fn allowed(attachment: &Attachment, limit_state: LimitState) -> f64 {
    attachment
        .check(limit_state)
        .unwrap()
        .allowable
        .unwrap()
        .si()
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} for {expected}"
    );
}

#[test]
fn a_tilt_turns_the_load() {
    for degrees in [5.0_f64, -5.0] {
        let results = built("", &format!("tilt = \"{degrees} deg\""));
        let [drawn, tilted] = only(&results);
        let (sin, cos) = degrees.to_radians().sin_cos();
        let [down, _, out] = load(tilted, "D + L");
        // V = 6 kN: outer end up, the load pushes the bar in; outer end down, it pulls it out.
        near(down, 6e3 * cos, ROUNDING * 6e3);
        near(out, -6e3 * sin, ROUNDING * 6e3);
        assert_eq!(load(drawn, "D + L")[2], 0.0);
        let pulled = tilted.check(LimitState::Withdrawal).unwrap();
        let pushed = tilted.check(LimitState::Push).unwrap();
        let (at_work, at_rest) = if degrees < 0.0 {
            (pulled, pushed)
        } else {
            (pushed, pulled)
        };
        near(
            at_work.demand.unwrap().si(),
            6e3 * sin.abs(),
            ROUNDING * 6e3,
        );
        assert_eq!(at_rest.verdict, Verdict::NotNeeded);
    }
}

/// Strength along a direction between two axes, n = 2 (Hankinson), written out once more.
fn hankinson(along: f64, across: f64, degrees: f64) -> f64 {
    let (sin, cos) = degrees.to_radians().sin_cos();
    along * across / (along * sin * sin + across * cos * cos)
}

#[test]
fn a_tilt_turns_the_grain() {
    // Outer end up by τ in a stem that leans toward it by λ: the grain stands λ + τ off square to the bar.
    for (lean, leans, tilt, grain) in [
        (0.0, "E", 6.0, 6.0),
        (0.0, "E", -6.0, 6.0),
        (4.0, "E", 6.0, 10.0),
        (6.0, "W", 6.0, 0.0),
        (4.0, "W", 6.0, 2.0),
    ] {
        let tree = format!("lean = \"{lean} deg\"\nleans = \"{leans}\"");
        let results = built(&tree, &format!("tilt = \"{tilt} deg\""));
        let platform = single(&tree, &format!("tilt = \"{tilt} deg\""))
            .built()
            .unwrap();
        let platform = platform.platform;
        let anchor = &platform.anchors()[0];
        let axes = anchor.axes(platform.stem_of(anchor));
        near(axes.grain.value.to_degrees(), grain, 1e-6);
        near(axes.down.dot(&axes.out), 0.0, 1e-15);
        near(axes.out.z, f64::to_radians(tilt).sin(), 1e-15);
        let wood = &platform.stem_of(anchor).wood;
        let criteria = platform.criteria();
        let mean = criteria.factor("embedment_along") * wood.crushing().value;
        let along =
            mean * (1.0 - 1.645 * wood.crushing_variation()) / criteria.factor("boss_bearing");
        let across = wood.across().value / criteria.factor("boss_bearing_across");
        let found = allowed(only(&results)[1], LimitState::BossBearing);
        let expected = hankinson(along, across, grain);
        near(found / expected, 1.0, ROUNDING);
    }
}

#[test]
fn a_shallow_hole_costs_shank_and_thread() {
    let drawn = single("", "");
    let anchor = &drawn.anchors()[0];
    let (boss, size) = (anchor.embedded, anchor.size.clone());
    let depth = (boss + size.shank[0].length).value * 1e3;
    let results = built("", "tilt = \"-5 deg\"");
    let row = format!(
        "tilt = \"-5 deg\"\ndepth = \"{} mm\"\nboss_in_wood = \"{} mm\"",
        depth - 40.0,
        boss.value * 1e3
    );
    let shallow = built("", &row);
    let [whole, short] = [only(&results)[1], only(&shallow)[1]];
    let thread = size.thread_length.value;
    near(
        allowed(short, LimitState::Withdrawal) / allowed(whole, LimitState::Withdrawal),
        (thread - 0.04) / thread,
        ROUNDING,
    );
    assert!(used(short, LimitState::Deflection) > used(whole, LimitState::Deflection));
    assert!(used(short, LimitState::LimitLoad) >= used(whole, LimitState::LimitLoad));
    let change = shallow
        .changes
        .iter()
        .find(|own| own.what == BuiltKey::ShankInWood);
    let change = change.unwrap();
    near(
        change.designed.unwrap().si() - change.built.si(),
        0.04,
        1e-12,
    );
    assert_eq!(
        shallow.built.as_ref().unwrap().unassessed(),
        [] as [String; 0]
    );
    // Without the boss nobody knows what stands out: that is not a pass.
    let unsure = built("", &format!("depth = \"{} mm\"", depth - 40.0));
    assert_eq!(unsure.verdict(), unsure.verdict().max(Verdict::Review));
    assert!(unsure.built.unwrap().unassessed()[0].contains("too shallow"));
}

#[test]
fn what_was_built_as_drawn_is_what_was_drawn() {
    let row = "boss_in_wood = \"76.2 mm\"\nbark = \"20 mm\"\narm = \"100 mm\"\ntilt = \"0 deg\"\ndepth = \"228.6 mm\"\nhole_over = \"0 mm\"";
    let results = built("", row);
    assert_eq!(results.changes, []);
    assert_eq!(results.missing, []);
    let [drawn, as_built] = only(&results);
    assert_eq!(drawn.checks(), as_built.checks());
    assert_eq!(results.verdict(), results.designed.verdict());
}

#[test]
fn thicker_bark_lengthens_an_arm_that_was_not_measured() {
    let of = |row: &str| single("", row).built().unwrap().platform;
    let drawn = single("", "");
    let point = |platform: &Platform| {
        let anchor = &platform.anchors()[0];
        anchor.load_point(platform.stem_of(anchor)).metres()
    };
    let thick = of("bark = \"32 mm\"");
    near(thick.anchors()[0].arm.value, 0.112, 1e-12);
    near(point(&thick)[0], point(&drawn)[0], 1e-12);
    let measured = of("bark = \"32 mm\"\narm = \"100 mm\"");
    near(measured.anchors()[0].arm.value, 0.100, 0.0);
    near(point(&measured)[0], point(&drawn)[0] - 0.012, 1e-12);
    // The load stays in its plumb line where the bar is tilted.
    let tilted = of("tilt = \"10 deg\"");
    near(
        tilted.anchors()[0].arm.value,
        0.1 / 10.0_f64.to_radians().cos(),
        1e-12,
    );
    near(point(&tilted)[0], point(&drawn)[0], 1e-12);
}

#[test]
fn an_empty_hole_bears_nothing_and_counts_as_depth() {
    let results = built("", "hole_over = \"25 mm\"");
    let [drawn, over] = only(&results);
    for (a, b) in drawn.checks().iter().zip(over.checks()) {
        if a.limit_state == LimitState::Penetration {
            near(
                b.demand.unwrap().si() - a.demand.unwrap().si(),
                0.025,
                1e-12,
            );
        } else {
            assert_eq!(a, b);
        }
    }
    assert!(results.remarks[0].contains("bears and holds nothing"));
}

#[test]
fn a_hole_deeper_than_the_bar_is_empty_behind_it() {
    let results = built("", "boss_in_wood = \"70 mm\"\ndepth = \"240 mm\"");
    let of = |what| {
        let change = results.changes.iter().find(|own| own.what == what);
        change.unwrap().built.si()
    };
    // 240 mm less 70 mm of boss and 152.4 mm of shank.
    near(of(BuiltKey::HoleOver), 0.0176, 1e-12);
    near(of(BuiltKey::BossInWood), 0.07, 1e-12);
}

#[test]
fn soft_wood_counts_as_it_does_on_the_drawing() {
    let results = built("soft = \"8 mm\"", "boss_in_wood = \"60 mm\"");
    let platform = single("soft = \"8 mm\"", "boss_in_wood = \"60 mm\"")
        .built()
        .unwrap()
        .platform;
    near(platform.anchors()[0].embedded.value, 0.068, 1e-12);
    let change = &results.changes[0];
    near(change.built.si(), 0.06, 1e-12);
    near(change.designed.unwrap().si(), 0.0762 - 0.008, 1e-12);
}

/// Two beams of 4 m side by side, each on anchors in two or three stems, with a row of measurements.
fn walk(middle: bool, rows: &str) -> Platform {
    let stems: &[(&str, f64)] = if middle {
        &[("s", 0.0), ("m", 2.0), ("n", 4.0)]
    } else {
        &[("s", 0.0), ("n", 4.0)]
    };
    let mut text = String::new();
    for (id, north) in stems {
        text += &format!(
            "[[tree]]\nid = \"{id}\"\nspecies = \"white oak\"\nat = [\"0 m\", \"{north} m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n"
        );
        for faces in ["E", "W"] {
            text += &format!(
                "[[anchor]]\nid = \"{id}{faces}\"\ntree = \"{id}\"\nfaces = \"{faces}\"\nlevel = \"3 m\"\nsize = \"102x152/51\"\n"
            );
        }
    }
    for (faces, east) in [("E", 0.53), ("W", -0.53)] {
        let on: Vec<String> = stems
            .iter()
            .map(|(id, _)| format!("\"{id}{faces}\""))
            .collect();
        text += &format!(
            "[[beam]]\nid = \"beam{faces}\"\non = [{}]\nheld_down = true\nline = [[\"{east} m\", \"-0.2 m\"], [\"{east} m\", \"4.2 m\"]]\n\
             width = \"100 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\n",
            on.join(", ")
        );
    }
    text += "[[load]]\nid = \"p\"\non = \"beamE at 1.2 m\"\ndead = \"1 kN\"\nlive = \"2 kN\"\n";
    text += "[[load]]\nid = \"q\"\non = \"beamW at 1.2 m\"\ndead = \"1 kN\"\nlive = \"2 kN\"\n";
    platform(&(text + rows))
}

fn attachment<'a>(results: &'a Results, anchor: &str) -> &'a Attachment {
    let mut attachments = results.attachments().iter();
    attachments.find(|own| own.anchor() == anchor).unwrap()
}

#[test]
fn an_anchor_that_refused_leaves_its_load_to_the_others() {
    let results = walk(true, "[[as_built]]\nanchor = \"mE\"\nrefused = true\n")
        .check_as_built()
        .unwrap();
    let built = results.built.as_ref().unwrap();
    // The beam on two supports, 4 m apart: 3 kN at 1 m from the first, 3/4 of it there, and half its own weight.
    let weight = |dead: f64| 0.5 * dead;
    let [south, north] = ["sE", "nE"].map(|id| load(attachment(built, id), "D + L")[0]);
    let own = south + north - 3e3;
    assert!(own > 0.0);
    near(south, 0.75 * 3e3 + weight(own), 1e-6 * south);
    near(north, 0.25 * 3e3 + weight(own), 1e-6 * north);
    let drawn = load(attachment(&results.designed, "sE"), "D + L")[0];
    assert!(south > drawn);
    assert_eq!(attachment(built, "mE").verdict(), Verdict::Review);
    assert_eq!(results.refused, ["mE"]);
    assert!(results.verdict() >= Verdict::Review);
    assert!(
        built
            .unassessed()
            .iter()
            .any(|part| part.contains("mE, which refused"))
    );
}

#[test]
fn a_beam_that_lost_one_of_its_two_anchors_falls() {
    let results = walk(false, "[[as_built]]\nanchor = \"nE\"\nrefused = true\n")
        .check_as_built()
        .unwrap();
    let why = results.built.as_ref().unwrap_err();
    assert!(why.starts_with("without nE it can not stand"), "{why}");
    assert_eq!(results.verdict(), Verdict::Fail);
}

#[test]
fn beams_follow_load_points_that_moved() {
    let drawn = walk(false, "");
    let moved = walk(false, "[[as_built]]\nanchor = \"nE\"\narm = \"130 mm\"\n")
        .built()
        .unwrap();
    assert!(moved.remarks.is_empty(), "{:?}", moved.remarks);
    let seat = |platform: &Platform, k: usize| {
        let beam = &platform.beams()[0];
        beam.at(beam.supports[k].station).metres()
    };
    let [was, is] = [seat(&drawn, 1), seat(&moved.platform, 1)];
    near(drawn.anchors()[2].arm.value, 0.1, 1e-12);
    near(is[0] - was[0], 0.03, 1e-9);
    near(seat(&moved.platform, 0)[0], seat(&drawn, 0)[0], 1e-9);
    let three = walk(true, "[[as_built]]\nanchor = \"mE\"\narm = \"130 mm\"\n")
        .built()
        .unwrap();
    assert!(three.remarks[0].contains("beam beamE keeps its line, 30.0 mm"));
}

/// What is said of one anchor, without what was not measured.
fn said(tree: &str, row: &str) -> Vec<String> {
    let results = built(tree, row);
    let document = AsBuiltDocument::new(&results, &Provenance::of(b"x"), &[]);
    let lines = as_built_lines(&document, Show::Si).into_iter();
    lines
        .filter(|line| !line.contains("not measured"))
        .collect()
}

#[test]
fn differences_are_told_with_their_sense() {
    for (measured, told) in [
        (
            "boss_in_wood = \"70 mm\"",
            "a: boss in the wood 70 mm instead of 76.2 mm, 6.2 mm less.",
        ),
        (
            "arm = \"125 mm\"",
            "a: arm 125 mm instead of 100 mm, 25 mm more.",
        ),
        (
            "bark = \"14 mm\"",
            "a: bark 14 mm instead of 20 mm, 6 mm less.",
        ),
        (
            "tilt = \"-3 deg\"",
            "a: tilt, outer end up -3° instead of 0°, 3° less.",
        ),
        // To a tenth of a millimetre, and never as if there were none.
        (
            "arm = \"100.47 mm\"",
            "a: arm 100.5 mm instead of 100 mm, 0.5 mm more.",
        ),
        (
            "arm = \"99.99 mm\"",
            "a: arm 100 mm instead of 100 mm, 0.1 mm less.",
        ),
    ] {
        let lines = said("", measured);
        assert!(lines.iter().any(|line| line == told), "{told} in {lines:?}");
    }
    for (level, told) in [("3.1 m", "100 mm higher."), ("2.96 m", "40 mm lower.")] {
        let text = format!("level = \"{level}\"");
        let platform = drawn_at_three_metres(&text);
        let results = platform.check_as_built().unwrap();
        let document = AsBuiltDocument::new(&results, &Provenance::of(b"x"), &[]);
        let lines = as_built_lines(&document, Show::Si);
        assert!(
            lines
                .iter()
                .any(|line| line.starts_with("a: level ") && line.ends_with(told)),
            "{lines:?}"
        );
    }
}

/// One anchor that is drawn at 3 m.
fn drawn_at_three_metres(row: &str) -> Platform {
    platform(&format!(
        "[[tree]]\nid = \"oak\"\nspecies = \"white oak\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n\
         [[anchor]]\nid = \"a\"\ntree = \"oak\"\nfaces = \"E\"\nlevel = \"3 m\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n\
         [[load]]\nid = \"p\"\non = \"a\"\ndead = \"2 kN\"\n\
         [[as_built]]\nanchor = \"a\"\n{row}\n"
    ))
}

#[test]
fn what_was_not_measured_is_named_and_never_a_pass() {
    let results = walk(false, "[[as_built]]\nanchor = \"nE\"\narm = \"100 mm\"\n")
        .check_as_built()
        .unwrap();
    let without: Vec<&str> = results
        .missing
        .iter()
        .filter(|own| own.keys.is_none())
        .map(|own| own.anchor.as_str())
        .collect();
    assert_eq!(without, ["sE", "sW", "nW"]);
    let partly = results
        .missing
        .iter()
        .find(|own| own.keys.is_some())
        .unwrap();
    assert_eq!(
        partly.keys.as_deref(),
        Some(["depth", "boss_in_wood", "bark", "tilt", "level"].as_slice())
    );
    assert!(results.verdict() >= Verdict::Review);
    let open = results.built.as_ref().unwrap().unassessed();
    for anchor in ["sE", "sW", "nW"] {
        let named = format!("anchor {anchor}, which was not measured");
        assert!(open.contains(&named), "{open:?}");
    }
    assert_eq!(
        walk(false, "").check_as_built(),
        Err(AsBuiltError::NotMeasured)
    );
}

#[test]
fn rows_that_can_not_be_are_errors() {
    for (row, code) in [
        ("tilt = \"25 deg\"", Code::OutOfRange),
        ("boss_in_wood = \"160 mm\"", Code::OutOfRange),
        ("bark = \"450 mm\"", Code::OutOfRange),
        ("depth = \"60 mm\"", Code::Conflict),
        ("depth = \"90 mm\"\nhole_over = \"20 mm\"", Code::Conflict),
        ("[[as_built]]\nanchor = \"b\"", Code::UnknownId),
        ("[[as_built]]\nanchor = \"a\"", Code::DuplicateId),
    ] {
        let text = format!(
            "[[tree]]\nid = \"oak\"\nspecies = \"white oak\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n\
             [[anchor]]\nid = \"a\"\ntree = \"oak\"\nfaces = \"E\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n\
             [[load]]\nid = \"p\"\non = \"a\"\ndead = \"2 kN\"\n[[as_built]]\nanchor = \"a\"\n{row}\n"
        );
        let found = Layout::from_toml(&text).unwrap().resolve().unwrap_err();
        let codes: Vec<Code> = found.iter().map(|own| own.code).collect();
        assert!(codes.contains(&code), "{row}: {codes:?}");
    }
}

#[test]
fn the_drawing_says_that_it_is_one() {
    let checked = single("", "arm = \"110 mm\"").check().unwrap();
    assert!(
        checked
            .cautions()
            .iter()
            .any(|own| own.contains("check of the drawing"))
    );
    let results = built("", "arm = \"110 mm\"");
    let as_built = results.built.unwrap();
    assert!(
        !as_built
            .cautions()
            .iter()
            .any(|own| own.contains("check of the drawing"))
    );
}
