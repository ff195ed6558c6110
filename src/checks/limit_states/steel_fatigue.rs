//! Fatigue of the thread: the range of bending stress between the extremes of the load, 32·ΔM/(π·d_r³), against the
//! stress range that a thread bears without end.
//!
//! ΔM is the moment under the range of the load taken from rest, where a loose boss touches least and bends the bar most.

use super::{Ground, Over, Rule, ratio, solved, steel_ground};
use crate::checks::context::{Context, Loaded, Use, stress};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{Recorder, Step, cubic_metres, metres, newton_metres, newtons, pascals};
use crate::mechanics::MechanicsError;
use crate::model::{LimitState, Standing};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::SteelFatigue,
    over: Over::Range,
    utilization,
    traced: utilization,
    ground: |context| Ground {
        note: Some("range of bending stress; every section is taken as a thread".into()),
        ..steel_ground(context, "steel_fatigue")
    },
};

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let range = loaded.demand.range;
    if both(range) <= 0.0 {
        return Ok(None);
    }
    let allowed = context.factors.steel_fatigue;
    let sections = &context.sections;
    let peak = state.largest(
        |_| true,
        |piece, at| both(at.moment) / sections[piece].modulus / allowed,
    )?;
    let Some(peak) = peak else { return Ok(None) };
    let modulus = sections[peak.piece].modulus;
    let acting = peak.value * allowed;
    record.step(|| {
        solved(
            state,
            "ΔM",
            "range of the moment at the worst section x, both planes as vectors",
            &[
                ("ΔV", newtons(range[0].abs())),
                ("ΔH", newtons(range[1].abs())),
                ("x", metres(peak.x)),
            ],
            newton_metres(acting * modulus),
        )
    });
    record.step(|| {
        Step::equation(
            "Δσ",
            "range of stress at the root, S = π·d_r³/32",
            "ΔM/S",
            &[
                ("ΔM", newton_metres(acting * modulus)),
                ("S", cubic_metres(modulus)),
            ],
            pascals(acting),
        )
        .from("bending of a round section", Standing::Published)
    });
    record.step(|| {
        ratio("Δσ", pascals(acting), "Δσ_a", pascals(allowed), peak.value).from(
            context.criteria.source("steel_fatigue"),
            context.criteria.standing("steel_fatigue"),
        )
    });
    Ok(Some(Use::of(peak.value, allowed, stress)))
}
