//! Sinking of the load point: the worse of v at K/2 and v at K with creep, v·(1 + 2 × permanent share).

use super::{Ground, Rule};
use crate::checks::context::{Context, Demand, Use};
use crate::checks::elastic::Elastic;
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::model::{Bound, LimitState};
use crate::units::{Length, si};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Deflection,
    utilization,
    ground,
};

/// Creep of what is permanent, over the elastic deflection: k_def of solid timber in service class 3 (EN 1995-1-1, Table
/// 3.2, from memory).
const CREEP: f64 = 2.0;

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        standing: context.criteria.standing("deflection_share"),
        extended: None,
        source: "common practice, no source".into(),
        note: None,
    }
}

#[allow(clippy::unnecessary_wraps, reason = "the shape of every rule")]
fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 || elastic.bound != Bound::Soft {
        return Ok(None);
    }
    let deflection = deflection(context, demand);
    let share =
        context.anchor.sound_arm(context.stem) * context.criteria.factor("deflection_share");
    let allowed = share.max(context.criteria.length("deflection_floor"));
    let utilization = (deflection / allowed).value;
    Ok(Some(Use {
        demand: Measure::Length(deflection),
        allowable: Measure::Length(allowed),
        utilization,
    }))
}

/// The sinking of the load point under a demand.
pub(in crate::checks) fn deflection(context: &Context<'_>, demand: &Demand) -> Length {
    let move_of = |elastic: &Elastic| {
        let [down, side] = elastic.flexibility();
        (demand.down * down).hypot(demand.side * side)
    };
    let soft = move_of(&context.elastic[0]);
    let creeping = move_of(&context.elastic[1]) * (1.0 + CREEP * demand.permanent_share);
    si::metres(soft.max(creeping))
}
