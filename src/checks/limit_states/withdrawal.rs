//! A pull along the bar against the thread: lag-screw withdrawal of NDS, in wet wood, over the length of full thread.

use super::{Ground, Rule, sources};
use crate::checks::context::{Context, Demand, Use, force};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::mechanics::withdrawal::{LAG_DIAMETERS, lag_withdrawal};
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Withdrawal,
    utilization,
    ground,
};

pub(super) fn ground(context: &Context<'_>) -> Ground {
    let (_, gravity) = context.stem.wood.dry_gravity();
    let diameter = context
        .anchor
        .size
        .shank
        .first()
        .map_or_else(|| context.largest_bearing(), |shank| shank.bears);
    Ground {
        standing: gravity.standing,
        extended: (!LAG_DIAMETERS.contains(diameter))
            .then(|| "the standard ends at 1-1/4 in; that diameter is taken".to_owned()),
        source: format!(
            "nds-2018:12.2-1; {}; {}",
            gravity.source,
            sources(context, &["withdrawal_wet"])
        ),
        note: None,
    }
}

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    _: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.out <= 0.0 {
        return Ok(None);
    }
    let allowed = allowable(context)?;
    Ok(Some(Use::of(demand.out / allowed, allowed, force)))
}

/// The pull that the thread may take (N).
pub(super) fn allowable(context: &Context<'_>) -> Result<f64, MechanicsError> {
    let size = &context.anchor.size;
    let diameter = size
        .shank
        .first()
        .map_or_else(|| context.largest_bearing(), |shank| shank.bears);
    let per_length = lag_withdrawal(
        context.stem.wood.dry_gravity().0,
        diameter.min(LAG_DIAMETERS.high),
    )?;
    Ok((per_length * size.thread_length).value * context.criteria.factor("withdrawal_wet"))
}
