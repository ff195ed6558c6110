//! Deflection of each span and overhang: under live load alone, and under live load with the creep of what stays.
//!
//! The building code limits the short-term deflection together with the creep part of the lasting one: (K_cr − 1) Δ_LT +
//! Δ_ST. An overhang counts twice its length. Deflections are from the line through the supports of a span, of an overhang
//! from that line carried on; only down counts.

use super::{Answer, Found, Loaded, Member, Rule};
use crate::analysis::platform::Stretch;
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::model::{Case, Magnitudes, MemberLimitState, Standing};
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: MemberLimitState::Deflection,
    judge,
    keys: &[
        "member_live_deflection",
        "member_total_deflection",
        "member_creep",
    ],
};

/// Loads that are there for years or come back: not wind, earthquake or sway.
const GRAVITY: [Case; 4] = [Case::Live, Case::RoofLive, Case::Snow, Case::Rain];

/// Loads under which deflection is judged: factors on the cases, the key of the limit, the combination if there is one.
struct Under {
    factors: Magnitudes,
    key: &'static str,
    combination: Option<usize>,
}

/// Live load alone, then every combination with the creep of its dead load.
fn loads(member: &Member<'_>) -> Vec<Under> {
    let criteria = member.criteria;
    let creep = criteria.factor("member_creep");
    let mut only_live = [0.0; Case::ALL.len()];
    only_live[Case::Live as usize] = 1.0;
    let with_creep = |loaded: &Loaded| {
        let row = &criteria.combinations[loaded.combination];
        let mut factors = [0.0; Case::ALL.len()];
        for case in GRAVITY {
            factors[case as usize] = row.factors[case as usize];
        }
        factors[Case::Dead as usize] = creep - 1.0;
        Under {
            factors,
            key: "member_total_deflection",
            combination: Some(loaded.combination),
        }
    };
    let live = Under {
        factors: only_live,
        key: "member_live_deflection",
        combination: None,
    };
    std::iter::once(live)
        .chain(member.loaded.iter().map(with_creep))
        .collect()
}

/// The span that comes nearest to its limit, under all loads.
#[allow(clippy::unnecessary_wraps, reason = "the shape of every rule")]
fn judge(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    let loads = loads(member);
    let rows: Vec<Magnitudes> = loads.iter().map(|under| under.factors).collect();
    let soft = member.strength.design.wet_modulus();
    let mut worst: Option<Found> = None;
    for (under, all) in loads.iter().zip(member.actions.deflections(&rows)) {
        let share = member.criteria.factor(under.key);
        for (stretch, down) in member.actions.stretches.iter().zip(all) {
            let span = (stretch.to - stretch.from) * if stretch.overhang { 2.0 } else { 1.0 };
            let (demand, allowable) = (down.value / soft, span / share);
            let utilization = demand / allowable;
            let most = worst.as_ref().map_or(0.0, |worst| worst.utilization);
            if utilization > most {
                worst = Some(Found {
                    combination: under.combination,
                    demand: Measure::Length(si::metres(demand)),
                    allowable: Measure::Length(si::metres(allowable)),
                    utilization,
                    standing: Standing::Published,
                    note: note(member, under, stretch, down.x),
                });
            }
        }
    }
    Ok(worst.map_or(Answer::NotNeeded, Answer::Judged))
}

fn note(member: &Member<'_>, under: &Under, stretch: &Stretch, x: f64) -> String {
    let what = match (under.combination, stretch.overhang) {
        (None, false) => "of a span under live load",
        (None, true) => "of an overhang under live load",
        (Some(_), false) => "of a span with the creep of the dead load",
        (Some(_), true) => "of an overhang with the creep of the dead load",
    };
    format!("{what}, {}", member.place(x))
}
