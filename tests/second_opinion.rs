//! The second opinion on every example.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::Layout;
use barkline::model::Platform;
use barkline::second_opinion::Opinion;
use std::path::{Path, PathBuf};

fn layout(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}"));
    layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}"))
        .platform
}

#[test]
fn every_example() {
    for name in [
        "one-anchor.toml",
        "two-stems.toml",
        "one-stem.toml",
        "four-stems.toml",
        "fails.toml",
    ] {
        let text = std::fs::read_to_string(Path::new("docs/examples").join(name)).unwrap();
        let platform = layout(&text);
        let t = std::time::Instant::now();
        let results = platform.check().unwrap();
        let a = t.elapsed();
        let opinion = platform.second_opinion(&results).unwrap();
        println!("{name} {a:?} {:?} {}", t.elapsed() - a, opinion.words());
        for own in opinion.differing().take(20) {
            println!("{own:?}");
        }
        for own in opinion
            .comparisons
            .iter()
            .filter(|own| !own.what.starts_with("force"))
            .take(60)
        {
            println!(
                "  {} {} {} {} {:.1e}",
                own.anchor, own.what, own.first, own.second, own.difference
            );
        }
        println!("{:?}", opinion.largest());
    }
}
