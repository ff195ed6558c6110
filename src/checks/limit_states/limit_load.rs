//! The plastic limit load of bar and wood: factor of safety times V/P₁ and H/P₂, combined by squares.

use super::{Ground, Rule, bearing_ground};
use crate::checks::context::{Context, Demand, Use, force};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::LimitLoad,
    utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    bearing_ground(context, "limit_load")
}

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    _: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    Ok(allowable(context, demand)?
        .map(|allowed| Use::of(demand.across_bar() / allowed, allowed, force)))
}

/// The resultant that may act across the bar in the direction of a demand (N); none without one.
pub(super) fn allowable(
    context: &Context<'_>,
    demand: &Demand,
) -> Result<Option<f64>, MechanicsError> {
    let load = demand.across_bar();
    if load <= 0.0 {
        return Ok(None);
    }
    let [down, side] = context.limits(demand)?;
    let used = context.criteria.factor("limit_load")
        * (demand.down / down.value).hypot(demand.side / side.value);
    Ok(Some(load / used))
}
