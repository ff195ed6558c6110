//! A pull along the bar with a load across it: NDS 12.4-1 between the thread's allowable and the limit load's.

use super::limit_load;
use super::withdrawal::{self, ground};
use super::{Over, Rule};
use crate::checks::context::{Context, Loaded, Use, force};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{Recorder, Step, newtons, number};
use crate::mechanics::MechanicsError;
use crate::mechanics::withdrawal::combined_lateral_withdrawal;
use crate::model::{LimitState, Standing};
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::PullAndSide,
    over: Over::Demand,
    utilization,
    traced: utilization,
    ground,
};

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let demand = &loaded.demand;
    if demand.out <= 0.0 {
        return Ok(None);
    }
    let Some(across) = limit_load::allowable(context, demand)? else {
        return Ok(None);
    };
    let pull = withdrawal::allowable(context, demand, record)?;
    if pull <= 0.0 {
        return Err(MechanicsError::NoSolution {
            what: "an anchor without thread can not be pulled",
        });
    }
    let resultant = demand.across_bar();
    let load = both([resultant, demand.out]);
    let angle = si::radians(demand.out.atan2(resultant));
    let allowed = combined_lateral_withdrawal(si::newtons(pull), si::newtons(across), angle)?.value;
    // Alone the equation would let a side load relieve a pull on a weak thread; no load may raise a margin.
    let used = (load / allowed)
        .max(demand.out / pull)
        .max(resultant / across);
    let values = [
        ("N", newtons(demand.out)),
        ("R", newtons(resultant)),
        ("W_a", newtons(pull)),
        ("Z", newtons(across)),
    ];
    record.step(|| {
        Step::method(
            "Z",
            "allowable across the bar for the same direction",
            "as in the check of the limit load",
            &[
                ("V", newtons(demand.down.abs())),
                ("H", newtons(demand.side.abs())),
            ],
            newtons(across),
        )
        .from("method 1.5", Standing::Published)
    });
    record.step(|| {
        // With cos α = R/√(R² + N²) and sin α = N/√(R² + N²).
        Step::equation(
            "Z_α",
            "allowable of both together",
            "W_a·Z·(R² + N²)/(W_a·R² + Z·N²)",
            &values,
            newtons(allowed),
        )
        .from("nds-2018:12.4-1", Standing::Published)
    });
    record.step(|| {
        Step::equation(
            "U",
            "utilization, and never less than either alone",
            "max(√(R² + N²)/Z_α, max(N/W_a, R/Z))",
            &[&values[..], &[("Z_α", newtons(allowed))]].concat(),
            number(used),
        )
        .from("demand over allowable", Standing::Published)
    });
    Ok(Some(Use::of(used, allowed, force)))
}
