//! What hangs on place and size, not on loads: hole, depth, distances between anchors, and seats that lift.

use super::result::{CheckResult, Measure, Verdict};
use crate::model::{Anchor, Criteria, LimitState, Platform, Standing, Stem};
use crate::units::{Length, si};
use nalgebra::Vector3;

/// A limit that sends what is beyond it to review.
fn limit(
    limit_state: LimitState,
    standing: Standing,
    demand: Measure,
    allowable: Measure,
    beyond: &str,
    source: String,
) -> CheckResult {
    let utilization = demand.si() / allowable.si();
    let within = utilization <= 1.0;
    CheckResult {
        limit_state,
        verdict: if within {
            Verdict::Pass
        } else {
            Verdict::Review
        },
        standing,
        combination: None,
        demand: Some(demand),
        allowable: Some(allowable),
        utilization: Some(utilization),
        source,
        note: (!within).then(|| beyond.to_owned()),
    }
}

fn not_needed(limit_state: LimitState, note: &str) -> CheckResult {
    CheckResult {
        limit_state,
        verdict: Verdict::NotNeeded,
        standing: Standing::Practice,
        combination: None,
        demand: None,
        allowable: None,
        utilization: None,
        source: "common practice, no source".into(),
        note: Some(note.into()),
    }
}

fn review(limit_state: LimitState, note: String) -> CheckResult {
    CheckResult {
        verdict: Verdict::Review,
        note: Some(note),
        ..not_needed(limit_state, "")
    }
}

/// Counterbore over the stem's diameter under the bark.
pub(super) fn hole_size(anchor: &Anchor, stem: &Stem, criteria: &Criteria) -> CheckResult {
    let share = anchor.size.boss.bears / (2.0 * stem.wood_radius());
    limit(
        LimitState::HoleSize,
        criteria.standing("hole_size"),
        Measure::Number(share.value),
        Measure::Number(criteria.factor("hole_size")),
        "the counterbore is large for this stem: an arborist must agree",
        criteria.source("hole_size"),
    )
}

/// Everything in sound wood over the stem's diameter, and over its sound shell.
pub(super) fn penetration(anchor: &Anchor, stem: &Stem, criteria: &Criteria) -> CheckResult {
    let length = anchor.hole(stem);
    let through = criteria.factor("penetration") * 2.0 * stem.wood_radius();
    let (allowed, beyond) = match stem.shell {
        Some(shell) if shell < through => {
            (shell, "it reaches through the sound shell of a hollow stem")
        }
        _ => (
            through,
            "it reaches far through the stem: an arborist must agree",
        ),
    };
    limit(
        LimitState::Penetration,
        criteria.standing("penetration"),
        Measure::Length(length),
        Measure::Length(allowed),
        beyond,
        criteria.source("penetration"),
    )
}

/// The hole of an anchor in the wood, from the wood surface to its end, in plan and height (m).
fn axis(anchor: &Anchor, stem: &Stem, level: f64) -> [Vector3<f64>; 2] {
    let axes = anchor.axes(stem);
    let [east, north] = stem.at.toward(anchor.faces, stem.wood_radius()).metres();
    let surface = Vector3::new(east, north, level);
    let depth = anchor.embedded.value
        + anchor
            .size
            .shank
            .iter()
            .map(|piece| piece.length.value)
            .sum::<f64>()
        + anchor.empty.value;
    [surface, surface - axes.out * depth]
}

/// The other anchors of the same stem.
fn neighbours<'a>(
    platform: &'a Platform,
    anchor: &'a Anchor,
) -> impl Iterator<Item = &'a Anchor> + 'a {
    platform.anchors().iter().filter(move |other| {
        platform.stem_of(other).id == platform.stem_of(anchor).id && other.id != anchor.id
    })
}

/// Height of one anchor over another where both are known; anchors without a level are taken at one level.
fn rise(anchor: &Anchor, other: &Anchor) -> Option<Length> {
    match (anchor.level, other.level) {
        (Some(own), Some(theirs)) => Some(theirs - own),
        (None, None) => Some(si::metres(0.0)),
        _ => None,
    }
}

/// Clear distance between bars inside the stem.
pub(super) fn tips_clear(platform: &Platform, anchor: &Anchor, criteria: &Criteria) -> CheckResult {
    let stem = platform.stem_of(anchor);
    let thickness = anchor.size.shank.first().unwrap_or(&anchor.size.boss).bears;
    let needed = thickness * criteria.factor("tips_clear");
    let mut nearest: Option<(f64, &str)> = None;
    // Both ends of a through-rod are one bar.
    let partner = anchor.rod.and_then(|rod| platform.anchors().get(rod));
    let is_partner = |other: &&Anchor| partner.is_some_and(|partner| partner.id == other.id);
    for other in neighbours(platform, anchor).filter(|other| !is_partner(other)) {
        let Some(rise) = rise(anchor, other) else {
            let note = format!(
                "levels of {} and {} are not both known: give both",
                anchor.id, other.id
            );
            return review(LimitState::TipsClear, note);
        };
        let radii =
            (thickness + other.size.shank.first().unwrap_or(&other.size.boss).bears).value / 2.0;
        let clear = between(axis(anchor, stem, 0.0), axis(other, stem, rise.value)) - radii;
        if nearest.is_none_or(|(least, _)| clear < least) {
            nearest = Some((clear, &other.id));
        }
    }
    let Some((clear, other)) = nearest else {
        return not_needed(LimitState::TipsClear, "the only anchor in its stem");
    };
    // Shown as needed over given: a smaller distance uses more.
    let utilization = if clear > 0.0 {
        needed.value / clear
    } else {
        f64::MAX
    };
    CheckResult {
        verdict: if clear >= needed.value {
            Verdict::Pass
        } else {
            Verdict::Review
        },
        demand: Some(Measure::Length(needed)),
        allowable: Some(Measure::Length(si::metres(clear.max(0.0)))),
        utilization: (clear > 0.0).then_some(utilization),
        note: Some(if clear >= needed.value {
            format!("nearest bar: {other}; distance needed against distance given")
        } else {
            format!(
                "the bars of {} and {other} come too near each other inside the stem",
                anchor.id
            )
        }),
        ..not_needed(LimitState::TipsClear, "")
    }
}

/// Distance along one grain line.
pub(super) fn spacing(platform: &Platform, anchor: &Anchor, criteria: &Criteria) -> CheckResult {
    let stem = platform.stem_of(anchor);
    let boss = anchor.size.boss.bears;
    let needed = criteria
        .length("spacing_length")
        .max(boss * criteria.factor("spacing_boss"))
        .max(2.0 * stem.wood_radius() * criteria.factor("spacing_stem"));
    let mut nearest: Option<(Length, &str)> = None;
    for other in neighbours(platform, anchor) {
        let turn = (anchor.faces - other.faces)
            .value
            .sin()
            .atan2((anchor.faces - other.faces).value.cos())
            .abs();
        let apart = stem.wood_radius() * turn;
        if apart >= (boss + other.size.boss.bears) / 2.0 {
            continue;
        }
        match rise(anchor, other) {
            Some(rise) if nearest.is_none_or(|(least, _)| rise.abs() < least) => {
                nearest = Some((rise.abs(), &other.id));
            }
            Some(_) => {}
            None => {
                let note = format!(
                    "{} stands in one grain line with {}: give both levels",
                    anchor.id, other.id
                );
                return review(LimitState::Spacing, note);
            }
        }
    }
    let Some((apart, other)) = nearest else {
        return not_needed(LimitState::Spacing, "no other anchor in its grain line");
    };
    let enough = apart >= needed;
    CheckResult {
        verdict: if enough {
            Verdict::Pass
        } else {
            Verdict::Review
        },
        demand: Some(Measure::Length(needed)),
        allowable: Some(Measure::Length(apart)),
        utilization: (apart.value > 0.0).then(|| (needed / apart).value),
        note: Some(if enough {
            format!("next in its grain line: {other}; distance needed against distance given")
        } else {
            format!(
                "{} and {other} are too near each other along the grain",
                anchor.id
            )
        }),
        ..not_needed(LimitState::Spacing, "")
    }
}

/// A bar that is turned about its axis must be kept from turning; whether what keeps it does so, nobody here knows.
pub(super) fn torsion(anchor: &Anchor, torque: f64, combination: Option<&str>) -> CheckResult {
    if torque <= 0.0 {
        return not_needed(LimitState::Torsion, "nothing turns it about its axis");
    }
    let (verdict, note) = match &anchor.locked {
        Some(how) => (
            Verdict::Pass,
            format!("kept from turning by {how}, as the layout says; that lock is not checked"),
        ),
        None => (
            Verdict::Review,
            "a side load above its axis turns it, and nothing says how it is locked".to_owned(),
        ),
    };
    CheckResult {
        verdict,
        demand: Some(Measure::Moment(si::newton_metres(torque))),
        combination: combination.map(str::to_owned),
        note: Some(note),
        ..not_needed(LimitState::Torsion, "")
    }
}

/// A seat that lifts must be tied down.
pub(super) fn uplift(lift: f64, combination: Option<&str>, held_down: bool) -> CheckResult {
    if lift <= 0.0 {
        return not_needed(LimitState::Uplift, "no combination lifts it");
    }
    CheckResult {
        verdict: if held_down {
            Verdict::Pass
        } else {
            Verdict::Fail
        },
        demand: Some(Measure::Force(si::newtons(lift))),
        combination: combination.map(str::to_owned),
        note: Some(if held_down {
            "it lifts and is held down: the upward load is in its other checks".into()
        } else {
            "it lifts and nothing holds it down: set held_down, or load or move it".into()
        }),
        source: "statics of this layout".into(),
        standing: Standing::Published,
        ..not_needed(LimitState::Uplift, "")
    }
}

/// Least distance between two straight pieces in space (m).
fn between([a, b]: [Vector3<f64>; 2], [c, d]: [Vector3<f64>; 2]) -> f64 {
    let (u, v, w) = (b - a, d - c, a - c);
    let (uu, uv, vv, uw, vw) = (u.dot(&u), u.dot(&v), v.dot(&v), u.dot(&w), v.dot(&w));
    let denominator = uu * vv - uv * uv;
    let free = if denominator > 1e-12 * uu * vv {
        ((uv * vw - vv * uw) / denominator).clamp(0.0, 1.0)
    } else {
        0.0
    };
    // The nearest place on the second piece, and from it back on the first: exact once either is clamped.
    let t = ((uv * free + vw) / vv).clamp(0.0, 1.0);
    let s = ((uv * t - uw) / uu).clamp(0.0, 1.0);
    (w + u * s - v * t).norm()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_between_pieces_in_space() {
        let x = |a: f64, b: f64, y: f64, z: f64| [Vector3::new(a, y, z), Vector3::new(b, y, z)];
        let cases = [
            (x(0.0, 1.0, 0.0, 0.0), x(0.0, 1.0, 0.0, 2.0), 2.0),
            (x(0.0, 1.0, 0.0, 0.0), x(3.0, 4.0, 0.0, 0.0), 2.0),
            (
                x(-1.0, 1.0, 0.0, 0.0),
                [Vector3::new(0.0, -1.0, 0.5), Vector3::new(0.0, 1.0, 0.5)],
                0.5,
            ),
            (
                x(0.0, 1.0, 0.0, 0.0),
                [Vector3::new(2.0, 1.0, 0.0), Vector3::new(2.0, 3.0, 0.0)],
                2.0_f64.sqrt(),
            ),
        ];
        for (one, other, expected) in cases {
            assert!((between(one, other) - expected).abs() < 1e-12);
            assert!((between(other, one) - expected).abs() < 1e-12);
        }
    }
}
