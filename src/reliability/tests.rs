//! The bar of a draw against the checks: one truth.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::bar::{Bar, Draw, Force, STRENGTHS};
use crate::Layout;
use crate::checks;
use crate::model::{Criteria, Platform};

/// Layouts of the documentation.
const EXAMPLES: [&str; 5] = ["one-anchor", "one-stem", "two-stems", "four-stems", "fails"];

fn example(name: &str) -> Platform {
    let root = env!("CARGO_MANIFEST_DIR");
    let text = std::fs::read_to_string(format!("{root}/docs/examples/{name}.toml")).unwrap();
    Layout::from_toml(&text)
        .unwrap()
        .resolve()
        .unwrap()
        .platform
}

/// The criteria without safety: factors of one, means instead of exclusion values, the boss snug in its hole.
fn bare(criteria: &Criteria) -> Criteria {
    let mut bare = criteria.without_safety();
    for key in ["exclusion", "boss_clearance"] {
        assert!(bare.change(key, 0.0), "{key}");
    }
    bare
}

/// The bar looks between its samples as the checks do, but starts from the worst load alone: they meet to this (1).
const SAME: f64 = 1e-6;

#[test]
fn at_nominal_values_the_bar_gives_what_the_checks_give() {
    let mut compared = 0;
    for name in EXAMPLES {
        let platform = example(name);
        let criteria = bare(platform.criteria());
        let results = platform.check_with(&criteria).unwrap();
        let demands = checks::plain_demands(&platform, &criteria).unwrap();
        for ((anchor, attachment), demands) in platform
            .anchors()
            .iter()
            .zip(results.attachments())
            .zip(&demands)
        {
            let mut durations: Vec<f64> = demands.iter().map(|demand| demand.2).collect();
            durations.sort_by(f64::total_cmp);
            durations.dedup();
            let force = |([down, side, out], _, duration): &([f64; 3], usize, f64)| Force {
                down: *down,
                side: *side,
                out: *out,
                duration: durations.iter().position(|own| own == duration).unwrap(),
            };
            let forces: Vec<Force> = demands.iter().map(force).collect();
            let stem = platform.stem_of(anchor);
            let mut bar = Bar::new(anchor, stem, &criteria, &durations).unwrap();
            let mut most = [0.0_f64; STRENGTHS.len()];
            for foundation in [0.5, 2.0] {
                let draw = Draw {
                    foundation,
                    ..Draw::NOMINAL
                };
                bar.set(&draw).unwrap();
                for (most, used) in most.iter_mut().zip(bar.uses(&forces).unwrap()) {
                    *most = most.max(used);
                }
            }
            for (state, used) in STRENGTHS.iter().zip(most) {
                let check = attachment
                    .checks()
                    .iter()
                    .find(|check| check.limit_state == *state)
                    .unwrap();
                let expected = check.utilization.unwrap_or(0.0);
                compared += usize::from(expected > 0.0);
                assert!(
                    (used - expected).abs() <= SAME * expected.max(1e-9),
                    "{name} {} {}: {used} and {expected}",
                    anchor.id,
                    state.id()
                );
            }
        }
    }
    assert!(compared > 100, "{compared} compared");
}
