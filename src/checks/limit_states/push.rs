//! An inward push against the ring of wood under the boss: π/4·(D_b² − D_s²)·f⊥.

use super::{Ground, Rule, sources};
use crate::checks::context::{Context, Demand, Use, force};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Push,
    utilization,
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
fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    _: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.out >= 0.0 {
        return Ok(None);
    }
    let boss = context.anchor.size.boss.bears;
    let hole = context
        .anchor
        .size
        .shank
        .first()
        .map_or(0.0, |shank| (shank.bears * shank.bears).value);
    let ring = std::f64::consts::FRAC_PI_4 * ((boss * boss).value - hole);
    let allowed = ring * context.stem.wood.across().value / context.criteria.factor("push");
    Ok(Some(Use::of(-demand.out / allowed, allowed, force)))
}
