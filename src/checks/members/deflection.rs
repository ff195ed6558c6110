//! Deflection of each span and overhang: under live load alone, and under live load with the creep of what stays.
//!
//! The building code limits the short-term deflection together with the creep part of the lasting one: (K_cr − 1) Δ_LT +
//! Δ_ST. An overhang counts twice its length. Deflections are from the line through the supports of a span, of an overhang
//! from that line carried on; only down counts.

use super::{Answer, Found, Member, Rule};
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

#[allow(clippy::unnecessary_wraps, reason = "the shape of every rule")]
fn judge(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    let criteria = member.criteria;
    let creep = criteria.factor("member_creep");
    let mut only_live = [0.0; Case::ALL.len()];
    only_live[Case::Live as usize] = 1.0;
    let mut worst = judged(member, &only_live, "member_live_deflection", None);
    for loaded in &member.loaded {
        let mut factors = [0.0; Case::ALL.len()];
        for case in GRAVITY {
            factors[case as usize] =
                criteria.combinations[loaded.combination].factors[case as usize];
        }
        factors[Case::Dead as usize] = creep - 1.0;
        let found = judged(
            member,
            &factors,
            "member_total_deflection",
            Some(loaded.combination),
        );
        worst = match (worst, found) {
            (Some(a), Some(b)) => Some(if b.utilization > a.utilization { b } else { a }),
            (a, b) => a.or(b),
        };
    }
    Ok(worst.map_or(Answer::NotNeeded, Answer::Judged))
}

/// The span that comes nearest to its limit.
fn judged(
    member: &Member<'_>,
    factors: &Magnitudes,
    key: &str,
    combination: Option<usize>,
) -> Option<Found> {
    let share = member.criteria.factor(key);
    let soft = member.strength.design.wet_modulus();
    let spans = member.actions.stretches.iter();
    let found = spans
        .zip(member.actions.deflections(factors))
        .map(|(stretch, down)| {
            let span = (stretch.to - stretch.from) * if stretch.overhang { 2.0 } else { 1.0 };
            let (demand, allowable) = (down.value / soft, span / share);
            let what = match (combination, stretch.overhang) {
                (None, false) => "of a span under live load",
                (None, true) => "of an overhang under live load",
                (Some(_), false) => "of a span with the creep of the dead load",
                (Some(_), true) => "of an overhang with the creep of the dead load",
            };
            Found {
                combination,
                demand: Measure::Length(si::metres(demand)),
                allowable: Measure::Length(si::metres(allowable)),
                utilization: demand / allowable,
                standing: Standing::Published,
                note: format!("{what}, {}", member.place(down.x)),
            }
        })
        .filter(|found| found.utilization > 0.0);
    found.max_by(|a, b| a.utilization.total_cmp(&b.utilization))
}
