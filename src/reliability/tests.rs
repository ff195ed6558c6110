//! The bar of a draw against the checks: one truth.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp)]

use super::attachments;
use super::bar::{Bar, Draw, Force, Look, STRENGTHS};
use crate::checks;
use crate::input::Layout;
use crate::model::{Case, Criteria, Platform};

/// Layouts of the documentation.
const EXAMPLES: [(&str, &str); 5] = [
    (
        "one-anchor",
        include_str!("../../docs/examples/one-anchor.toml"),
    ),
    (
        "one-stem",
        include_str!("../../docs/examples/one-stem.toml"),
    ),
    (
        "two-stems",
        include_str!("../../docs/examples/two-stems.toml"),
    ),
    (
        "four-stems",
        include_str!("../../docs/examples/four-stems.toml"),
    ),
    ("fails", include_str!("../../docs/examples/fails.toml")),
];

fn example(text: &str) -> Platform {
    Layout::from_toml(text).unwrap().resolve().unwrap().platform
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

/// A parabola through three of seventeen samples of a piece against the true peak (1).
const QUICK: f64 = 5e-3;

#[test]
fn at_nominal_values_the_bar_gives_what_the_checks_give() {
    let mut compared = 0;
    for (name, text) in EXAMPLES {
        let platform = example(text);
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
                let fine = bar.uses(&forces, Look::Fine).unwrap();
                for (most, used) in most.iter_mut().zip(fine) {
                    *most = most.max(used);
                }
                let quick = bar.uses(&forces, Look::Quick).unwrap();
                for ((state, fine), quick) in STRENGTHS.iter().zip(fine).zip(quick) {
                    assert!(
                        (quick - fine).abs() <= QUICK * fine,
                        "{name} {} {}: {quick} quickly, {fine} finely",
                        anchor.id,
                        state.id()
                    );
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

/// Sums of the same parts in another order (1).
const ROUNDING: f64 = 1e-9;

#[test]
fn the_effects_of_cases_make_up_the_demands_of_the_checks() {
    let mut compared = 0;
    for (name, text) in EXAMPLES {
        let platform = example(text);
        let criteria = platform.criteria();
        let demands = checks::plain_demands(&platform, criteria).unwrap();
        let effects = checks::effects(&platform, criteria).unwrap();
        let notional = criteria.factor("notional_side");
        for (effects, demands) in effects.iter().zip(&demands) {
            let mut combinations: Vec<usize> = demands.iter().map(|demand| demand.1).collect();
            combinations.sort_unstable();
            combinations.dedup();
            for k in combinations {
                let row = &criteria.combinations[k];
                let of = |case: Case| match case {
                    Case::Sway => row.factors[Case::Live as usize],
                    _ => row.factors[case as usize],
                };
                let moves = [Case::Live, Case::Wind]
                    .into_iter()
                    .any(|case| of(case) != 0.0);
                for (effect, state) in effects
                    .iter()
                    .flat_map(|effect| (0..4).map(move |s| (effect, s)))
                {
                    let mut sum = effect.level[state];
                    for (c, sum) in sum.iter_mut().enumerate() {
                        for case in Case::ALL {
                            let i = case as usize;
                            *sum += of(case) * effect.cases[state][i][c];
                            if moves {
                                *sum += of(case) * effect.friction[state][i][c];
                            }
                        }
                        if moves {
                            *sum += effect.sway[state][c];
                        }
                    }
                    let least = notional * sum[0].abs();
                    if sum[1].abs() < least {
                        sum[1] = least.copysign(sum[1]);
                    }
                    let size = sum.iter().fold(1.0, |most: f64, part| most.max(part.abs()));
                    let same = |(force, combination, _): &&([f64; 3], usize, f64)| {
                        *combination == k
                            && force.iter().zip(sum).all(|(a, b)| {
                                (a - b).abs() <= ROUNDING * size
                                    // Where a side load is nothing, its sign is.
                                    || (a.abs() - b.abs()).abs() <= ROUNDING * size
                            })
                    };
                    assert!(
                        demands.iter().any(|demand| same(&demand)),
                        "{name} {}: {sum:?} is no demand",
                        row.name
                    );
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 1000, "{compared} compared");
}

#[test]
fn an_attachment_at_its_means_is_far_from_collapse_where_it_passes() {
    for attachment in attachments(&example(EXAMPLES[0].1)).unwrap() {
        let uses = attachment.uses_at_means();
        assert!(uses.iter().any(|used| *used > 0.0), "{uses:?}");
        assert!(uses[0] < 0.5, "{uses:?}");
    }
}
