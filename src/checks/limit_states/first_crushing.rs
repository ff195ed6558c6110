//! Largest bearing pressure at any depth against the exclusion value of the strength: where crushing begins.

use super::{Ground, Rule, bearing_ground};
use crate::checks::context::{Context, Demand, Use, stress};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::FirstCrushing,
    utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        note: Some("the onset of crushing at one place; across the grain against the mean at the proportional limit".into()),
        ..bearing_ground(context, "first_crushing")
    }
}

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let key = if demand.permanent {
        "first_crushing_permanent"
    } else {
        "first_crushing"
    };
    let factor = context.criteria.factor(key);
    let strength = context.strength(demand)?;
    let allowed = [
        strength.along.value / factor,
        strength.across.value / factor,
    ];
    let used = elastic.largest(
        |piece| piece.inside,
        |_, at| {
            let along = demand.down * at.down.bearing_pressure / allowed[0];
            let across = demand.side * at.side.bearing_pressure / allowed[1];
            along.hypot(across)
        },
    )?;
    Ok(Some(Use::of(used, allowed[0], stress)))
}
