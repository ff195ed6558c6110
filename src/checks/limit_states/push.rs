//! An inward push against the ring of wood under the boss: π/4·(D_b² − D_s²)·f⊥.

use super::{Ground, Over, Rule, ratio, sources};
use crate::checks::context::{Context, Loaded, Use, force};
use crate::checks::elastic::State;
use crate::checks::trace::{Recorder, Step, metres, newtons, number, pascals};
use crate::mechanics::MechanicsError;
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Push,
    over: Over::Demand,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        standing: context
            .stem
            .wood
            .origin()
            .standing
            .worse(context.criteria.standing("push")),
        extended: None,
        source: sources(context, &["push"]),
        note: None,
    }
}

#[allow(clippy::unnecessary_wraps, reason = "the shape of every rule")]
fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let push = -loaded.demand.out;
    if push <= 0.0 {
        return Ok(None);
    }
    let allowed = allowable(context, record);
    let used = push / allowed;
    record.step(|| ratio("N", newtons(push), "N_a", newtons(allowed), used));
    Ok(Some(Use::of(used, allowed, force)))
}

/// What the ring of wood under the boss may bear (N).
pub(super) fn allowable<R: Recorder>(context: &Context<'_>, record: &mut R) -> f64 {
    let size = &context.anchor.size;
    let boss = size.boss.bears.value;
    let hole = size.shank.first().map_or(0.0, |shank| shank.bears.value);
    let ring = std::f64::consts::FRAC_PI_4 * (boss * boss - hole * hole);
    let across = context.stem.wood.across().value;
    let allowed = ring * across / context.factors.push;
    record.step(|| {
        Step::equation(
            "N_a",
            "push allowed on the ring of wood under the boss",
            "π/4·(D_b² − D_s²)·f⊥/n",
            &[
                ("D_b", metres(boss)),
                ("D_s", metres(hole)),
                ("f⊥", pascals(across)),
                ("n", number(context.factors.push)),
            ],
            newtons(allowed),
        )
        .from(
            sources(context, &["push"]),
            context.criteria.standing("push"),
        )
    });
    allowed
}
