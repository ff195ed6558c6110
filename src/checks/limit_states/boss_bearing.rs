//! Mean pressure of the boss on its part in sound wood: |∫₀ᵗ K·v dx| / (D_b·t) on both axes, combined by squares.

use super::{Ground, Rule, bearing_ground};
use crate::checks::context::{Context, Demand, Use, stress};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::Side;
use crate::model::LimitState;
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::BossBearing,
    utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        note: Some("pressures on both axes as one, in terms of the down axis".into()),
        ..bearing_ground(context, "boss_bearing")
    }
}

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    let t = context.anchor.sound_boss(context.stem);
    if t.value <= 0.0 || demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let strength = context.strength(demand)?;
    // The foundation takes up the shear that leaves the bar between the wood surface and the end of the boss.
    let (outer, inner) = (
        elastic.at(si::metres(0.0), Side::Inner)?,
        elastic.at(t, Side::Outer)?,
    );
    let area = (context.anchor.size.boss.bears * t).value;
    let along = demand.down * (outer.down.shear - inner.down.shear) / area;
    let across = demand.side * (outer.side.shear - inner.side.shear) / area;
    let used =
        (along / strength.allowable_along.value).hypot(across / strength.allowable_across.value);
    Ok(Some(Use::of(used, strength.allowable_along.value, stress)))
}
