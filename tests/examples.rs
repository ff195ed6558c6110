//! The examples of the documentation, run whole.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::checks::{Results, Verdict};
use barkline::{Format, Layout};

fn run(name: &str) -> Results {
    let text = std::fs::read_to_string(format!("docs/examples/{name}")).unwrap();
    let format = if name.ends_with(".json") {
        Format::Json
    } else {
        Format::Toml
    };
    let layout = Layout::from_named(name, &text, format).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    for diagnostic in &resolved.diagnostics {
        println!("{diagnostic}");
    }
    let results = resolved
        .platform
        .check()
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    for a in results.attachments() {
        let g = a.governing().unwrap();
        println!(
            "{name} {} {:?} {:.0} N  {} u={:?} {:?}",
            a.anchor(),
            a.verdict(),
            a.load().resultant(),
            g.limit_state.id(),
            a.utilization(),
            a.softened_margin()
        );
    }
    println!("imbalance {:e}", results.imbalance());
    results
}

#[test]
fn verdicts() {
    assert_eq!(run("two-stems.toml").verdict(), Verdict::Pass);
    assert_eq!(run("one-anchor.toml").verdict(), Verdict::Pass);
    assert_eq!(run("four-stems.toml").verdict(), Verdict::Pass);
    assert_eq!(run("fails.toml").verdict(), Verdict::Fail);
}
