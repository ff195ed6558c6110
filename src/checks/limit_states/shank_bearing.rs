//! Largest mean pressure of the shank over one of its diameters: |∫ K·v dx| / D_s² over any x₀ … x₀ + D_s in it, or
//! over the whole shank where that is shorter.

use super::{Ground, Over, Rule, bearing_ground, by_squares, solved};
use crate::checks::context::{Context, Loaded, Use, stress};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{Recorder, Step, metres, newtons, pascals};
use crate::mechanics::MechanicsError;
use crate::model::{LimitState, Standing};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::ShankBearing,
    over: Over::Bounds,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    bearing_ground(context, "shank_bearing")
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let (Some(first), Some(window)) = (context.anchor.size.shank.first(), state.elastic.window)
    else {
        return Ok(None);
    };
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let strength = &context.row(&loaded.demand)?.strength;
    let factors = &context.factors;
    let allowed = [
        strength.allowable_along.value * (factors.boss_bearing / factors.shank_bearing),
        strength.allowable_across.value
            * (factors.boss_bearing_across / factors.shank_bearing_across),
    ];
    let diameter = first.bears.value;
    let area = window.length * diameter;
    let share =
        |force: [f64; 2]| both([force[0] / area / allowed[0], force[1] / area / allowed[1]]);
    let Some(peak) = state.largest_taken(share)? else {
        return Ok(None);
    };
    record_steps(state, peak.x, diameter, allowed, peak.value, record)?;
    Ok(Some(Use::of(peak.value, allowed[0], stress)))
}

fn record_steps<R: Recorder>(
    state: &State<'_>,
    x: f64,
    diameter: f64,
    allowed: [f64; 2],
    used: f64,
    record: &mut R,
) -> Result<(), MechanicsError> {
    let length = state
        .elastic
        .window
        .map_or(diameter, |window| window.length);
    let taken = state.taken(x, length)?;
    let pressure = taken.map(|force| (force / (length * diameter)).abs());
    for (plane, [force, symbol]) in [["R_V", "p_V"], ["R_H", "p_H"]].into_iter().enumerate() {
        record.step(|| {
            solved(
                state,
                force,
                "what the wood takes over the worst window of the shank, from x₀ on",
                &[("x₀", metres(x)), ("w", metres(length))],
                newtons(taken[plane].abs()),
            )
        });
        record.step(|| {
            Step::equation(
                symbol,
                "mean pressure over the window",
                format!("{force}/(w·D_s)"),
                &[
                    (force, newtons(taken[plane].abs())),
                    ("w", metres(length)),
                    ("D_s", metres(diameter)),
                ],
                pascals(pressure[plane]),
            )
            .from("projected bearing area", Standing::Published)
        });
    }
    record.step(|| {
        by_squares(
            ["p_V", "f_Va", "p_H", "f_Ha"],
            [pressure[0], allowed[0], pressure[1], allowed[1]].map(pascals),
            used,
        )
    });
    Ok(())
}
