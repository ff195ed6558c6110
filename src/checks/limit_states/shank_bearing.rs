//! Largest mean pressure of the shank over one of its diameters: |∫ K·v dx| / D_s² over any x₀ … x₀ + D_s in it, or
//! over the whole shank where that is shorter.

use super::{Ground, Rule, bearing_ground};
use crate::checks::context::{Context, Demand, Use, stress};
use crate::checks::elastic::Elastic;
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::Side;
use crate::model::LimitState;
use crate::units::{Length, si};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::ShankBearing,
    utilization,
    ground,
};

/// Windows looked through along the shank before the largest is refined.
const WINDOWS: usize = 16;
/// Halvings of the window's step after that.
const HALVINGS: usize = 12;

fn ground(context: &Context<'_>) -> Ground {
    bearing_ground(context, "shank_bearing")
}

fn utilization(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    let Some(first) = context.anchor.size.shank.first() else {
        return Ok(None);
    };
    if demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let diameter = first.bears;
    let start = context.anchor.sound_boss(context.stem).max(si::metres(0.0));
    let end = context.anchor.sound_length(context.stem);
    let window = diameter.min(end - start);
    let strength = context.strength(demand)?;
    let ratio = context.criteria.factor("boss_bearing") / context.criteria.factor("shank_bearing");
    let ratio_across = context.criteria.factor("boss_bearing_across")
        / context.criteria.factor("shank_bearing_across");
    let allowed = [
        strength.allowable_along.value * ratio,
        strength.allowable_across.value * ratio_across,
    ];
    let area = (window * diameter).value;
    let used = |x: Length| -> Result<f64, MechanicsError> {
        let (outer, inner) = (
            elastic.at(x, Side::Inner)?,
            elastic.at(x + window, Side::Outer)?,
        );
        let along = demand.down * (outer.down.shear - inner.down.shear) / area;
        let across = demand.side * (outer.side.shear - inner.side.shear) / area;
        Ok((along / allowed[0]).hypot(across / allowed[1]))
    };
    let largest = largest(start, end - window, used)?;
    Ok(Some(Use::of(largest, allowed[0], stress)))
}

/// The largest of `f` from `low` to `high`: a walk in equal steps, then a climb in steps halved each time.
fn largest(
    low: Length,
    high: Length,
    f: impl Fn(Length) -> Result<f64, MechanicsError>,
) -> Result<f64, MechanicsError> {
    let mut step = (high - low) / WINDOWS as f64;
    let (mut best, mut place) = (f(low)?, low);
    for i in 1..=WINDOWS {
        let x = if i == WINDOWS {
            high
        } else {
            low + step * i as f64
        };
        let value = f(x)?;
        if value > best {
            (best, place) = (value, x);
        }
    }
    for _ in 0..HALVINGS {
        step /= 2.0;
        for x in [(place - step).max(low), (place + step).min(high)] {
            let value = f(x)?;
            if value > best {
                (best, place) = (value, x);
            }
        }
    }
    Ok(best)
}
