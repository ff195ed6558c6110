//! A pull along the bar with a load across it: NDS 12.4-1 between the thread's allowable and the limit load's.

use super::Rule;
use super::limit_load;
use super::withdrawal::{self, ground};
use crate::checks::context::{Context, Demand, Use, force};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::mechanics::withdrawal::combined_lateral_withdrawal;
use crate::model::LimitState;
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::PullAndSide,
    utilization,
    ground,
};

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    _: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.out <= 0.0 {
        return Ok(None);
    }
    let Some(across) = limit_load::allowable(context, demand)? else {
        return Ok(None);
    };
    let pull = withdrawal::allowable(context)?;
    if pull <= 0.0 {
        return Err(MechanicsError::NoSolution {
            what: "an anchor without thread can not be pulled",
        });
    }
    let load = demand.across_bar().hypot(demand.out);
    let angle = si::radians(demand.out.atan2(demand.across_bar()));
    let allowed = combined_lateral_withdrawal(si::newtons(pull), si::newtons(across), angle)?.value;
    // Alone the equation would let a side load relieve a pull on a weak thread; no load may raise a margin.
    let used = (load / allowed)
        .max(demand.out / pull)
        .max(demand.across_bar() / across);
    Ok(Some(Use::of(used, allowed, force)))
}
