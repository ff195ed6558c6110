//! The examples of the documentation, run whole.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::checks::{Results, Verdict};
use barkline::model::LimitState;
use barkline::{Format, Layout};

fn run(name: &str, format: Format) -> Results {
    let path = format!("{}/docs/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let layout = Layout::from_named(name, &text, format).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved
        .platform
        .check()
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

#[test]
fn each_example_says_what_its_comments_say() {
    for (name, verdict) in [
        ("two-stems.toml", Verdict::Pass),
        ("one-anchor.toml", Verdict::Pass),
        ("one-stem.toml", Verdict::Pass),
        ("four-stems.toml", Verdict::Pass),
        ("fails.toml", Verdict::Fail),
    ] {
        let results = run(name, Format::Toml);
        assert_eq!(results.verdict(), verdict, "{name}");
        assert!(
            results.imbalance() < 1e-9,
            "{name}: {}",
            results.imbalance()
        );
        assert!(
            results.unassessed().is_empty(),
            "{name}: {:?}",
            results.unassessed()
        );
    }
}

#[test]
fn the_long_arm_fails_in_the_bar_where_the_boss_ends() {
    for attachment in run("fails.toml", Format::Toml).attachments() {
        for state in [LimitState::LimitLoad, LimitState::SteelBendingEmbedded] {
            assert_eq!(attachment.check(state).unwrap().verdict, Verdict::Fail);
        }
    }
}

#[test]
fn a_layout_in_json_is_the_layout_in_toml() {
    assert_eq!(
        run("one-anchor.toml", Format::Toml),
        run("one-anchor.json", Format::Json)
    );
}

/// What the comments of the example say of it: upper anchors are pulled out, lower ones carry the weight and are pushed in.
#[test]
fn knee_braces_pull_the_upper_anchors_and_push_the_lower() {
    for attachment in run("one-stem.toml", Format::Toml).attachments() {
        let load = attachment.load();
        if attachment.anchor().ends_with("-up") {
            assert!(load.out_n > 0.0, "{}", attachment.anchor());
            assert!(load.down_n.abs() < load.out_n, "{}", attachment.anchor());
        } else {
            assert!(
                load.out_n < 0.0 && load.down_n > 0.0,
                "{}",
                attachment.anchor()
            );
        }
    }
}

/// The same: spokes that all point at the heart of the stem leave the platform free to turn.
#[test]
fn spokes_that_meet_in_one_point_hold_nothing_against_turning() {
    let path = format!("{}/docs/examples/one-stem.toml", env!("CARGO_MANIFEST_DIR"));
    let mut text = std::fs::read_to_string(path).unwrap();
    for (aside, radial) in [("25", "45"), ("155", "135"), ("205", "225"), ("335", "315")] {
        let was = format!("runs = \"{aside} deg\"");
        assert!(text.contains(&was), "{was}");
        text = text.replace(&was, &format!("runs = \"{radial} deg\""));
    }
    // The rims meet the spokes farther out.
    text = text.replace(
        "overhang = [\"0 m\", \"1.1 m\"]",
        "overhang = [\"0 m\", \"1.4 m\"]",
    );
    text = text.replace("line = [[\"-1.25 m\"", "line = [[\"-1.4 m\"");
    text = text.replace("[\"1.25 m\"", "[\"1.4 m\"");
    let layout = Layout::from_toml(&text).unwrap();
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    let error = resolved.platform.check().unwrap_err().to_string();
    assert!(
        error.contains("can move") && error.contains("swings sideways"),
        "{error}"
    );
}

/// The same of the long arms: what the mends are worth.
#[test]
fn shorter_arms_and_thicker_bars_mend_all_but_the_fixed_seat() {
    let path = format!("{}/docs/examples/fails.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let mended = text
        .replace("bark = \"3 in\"", "bark = \"1 in\"")
        .replace("20 in", "18-1/2 in")
        .replace("64x114/34", "102x152/51");
    let results = Layout::from_toml(&mended)
        .unwrap()
        .resolve()
        .unwrap()
        .platform
        .check()
        .unwrap();
    for attachment in results.attachments() {
        let due = if attachment.anchor() == "SW" {
            Verdict::Fail
        } else {
            Verdict::Pass
        };
        assert_eq!(attachment.verdict(), due, "{}", attachment.anchor());
    }
}

/// And of platforms between stems: with one seat more fixed, stems that move apart load the anchors.
#[test]
fn one_fixed_seat_more_locks_the_stems_together() {
    for name in ["four-stems.toml", "two-stems.toml"] {
        let path = format!("{}/docs/examples/{name}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let seats = "seats = [\"sliding\", \"sliding\"]";
        assert_eq!(text.matches(seats).count(), 1, "{name}");
        let fixed = text.replace(seats, "seats = [\"fixed\", \"sliding\"]");
        let check = |text: &str| {
            let resolved = Layout::from_toml(text).unwrap().resolve().unwrap();
            resolved.platform.check().unwrap()
        };
        let most = |results: &Results| {
            let attachments = results.attachments().iter();
            attachments
                .map(|own| own.load().side_n.abs())
                .fold(0.0, f64::max)
        };
        let (free, locked) = (check(&text), check(&fixed));
        assert_eq!(locked.verdict(), Verdict::Fail, "{name}");
        assert!(
            most(&locked) > 2.0 * most(&free),
            "{name}: {} {}",
            most(&locked),
            most(&free)
        );
    }
}

/// Every name of a key in a schema.
fn keys(schema: &serde_json::Value, found: &mut std::collections::BTreeSet<String>) {
    match schema {
        serde_json::Value::Object(map) => {
            if let Some(serde_json::Value::Object(own)) = map.get("properties") {
                found.extend(own.keys().cloned());
            }
            map.values().for_each(|value| keys(value, found));
        }
        serde_json::Value::Array(list) => list.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

#[test]
fn the_page_of_the_format_names_every_key() {
    let mut names = std::collections::BTreeSet::new();
    keys(&barkline::input::schema(), &mut names);
    assert!(names.len() > 100, "{}", names.len());
    let path = format!("{}/docs/format.md", env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(path).unwrap();
    let is_word = |c: char| c.is_alphanumeric() || c == '_' || c == '$';
    let words: std::collections::BTreeSet<&str> = page.split(|c| !is_word(c)).collect();
    let missing: Vec<_> = names
        .iter()
        .filter(|name| !words.contains(name.as_str()))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}
