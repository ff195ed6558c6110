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
