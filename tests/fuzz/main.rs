//! Any bytes into everything that reads: `PROPTEST_CASES` says how many, and what once found a fault is tried first.
//!
//! `tests/fuzz/libfuzzer` leads the same targets by coverage.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    unreachable_pub
)]

mod edits;
mod targets;

use proptest::prelude::*;
use std::path::Path;

/// A target: its name, which is the folder of what it found, and what it makes of bytes.
type Target = (&'static str, fn(&[u8]));

const TARGETS: &[Target] = &[
    ("layout_toml", targets::layout_toml),
    ("layout_json", targets::layout_json),
    ("survey", targets::survey),
    ("quantities", targets::quantities),
    ("whole_check", targets::whole_check),
];

/// Whatever found a fault is kept in the folder of its target.
#[test]
fn what_once_found_a_fault_finds_none() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/found");
    let mut tried = 0;
    for (name, target) in TARGETS {
        let Ok(files) = std::fs::read_dir(folder.join(name)) else {
            continue;
        };
        for file in files {
            target(&std::fs::read(file.unwrap().path()).unwrap());
            tried += 1;
        }
    }
    assert!(tried > 0, "{} is empty", folder.display());
}

/// What the targets ask after is noticed when it is there.
#[test]
fn a_number_that_is_none_is_noticed() {
    for none in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let noticed = std::panic::catch_unwind(|| targets::all_numbers(&Some([1.0, none])));
        assert!(noticed.is_err(), "{none}");
        assert!(targets::says_none(&format!("| {none} kN |")), "{none}");
    }
    targets::all_numbers(&("NaN", 'i', "an \"inf\" in quotes", 1.0));
    assert!(!targets::says_none("Nancy is informed of inf_1"));
}

fn bytes() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(any::<u8>(), 0..96)
}

/// A share of the cases that are asked for: a whole check costs more than reading.
fn cases(share: u32) -> ProptestConfig {
    let asked = ProptestConfig::default();
    ProptestConfig {
        failure_persistence: None,
        cases: (asked.cases / share).max(1),
        ..asked
    }
}

proptest! {
    #![proptest_config(cases(1))]

    #[test]
    fn layout_toml(bytes in bytes()) {
        targets::layout_toml(&bytes);
    }

    #[test]
    fn layout_json(bytes in bytes()) {
        targets::layout_json(&bytes);
    }

    #[test]
    fn survey(bytes in bytes()) {
        targets::survey(&bytes);
    }

    #[test]
    fn quantities(bytes in bytes()) {
        targets::quantities(&bytes);
    }
}

proptest! {
    #![proptest_config(cases(4))]

    #[test]
    fn whole_check(bytes in bytes()) {
        targets::whole_check(&bytes);
    }
}
