//! Mean pressure of the boss on its part in sound wood: |∫₀ᵗ K·v dx| / (D_b·t) on both axes, combined by squares.

use super::{Ground, Over, Rule, bearing_ground, by_squares, loads, solved};
use crate::checks::context::{Context, Loaded, Use, stress};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{Recorder, Step, metres, newtons, pascals};
use crate::mechanics::MechanicsError;
use crate::model::{LimitState, Standing};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::BossBearing,
    over: Over::Bounds,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        note: Some("pressures on both axes as one, in terms of the down axis".into()),
        ..bearing_ground(context, "boss_bearing")
    }
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let t = context.anchor.sound_boss(context.stem).value;
    if t <= 0.0 || loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let strength = &context.row(&loaded.demand)?.strength;
    let allowed = [
        strength.allowable_along.value,
        strength.allowable_across.value,
    ];
    // The foundation takes up the shear that leaves the bar between the wood surface and the end of the boss.
    let taken = state.taken(0.0, t)?;
    let diameter = context.anchor.size.boss.bears.value;
    let pressure = taken.map(|force| (force / (diameter * t)).abs());
    let used = both([pressure[0] / allowed[0], pressure[1] / allowed[1]]);
    for (plane, [force, symbol]) in [["R_V", "p_V"], ["R_H", "p_H"]].into_iter().enumerate() {
        record.step(|| {
            let title = "what the wood takes from the boss: shear at the wood surface less shear at the end of the boss";
            solved(
                state,
                force,
                title,
                &loads(loaded),
                newtons(taken[plane].abs()),
            )
        });
        record.step(|| {
            Step::equation(
                symbol,
                "mean pressure of the boss",
                format!("{force}/(D_b·t)"),
                &[
                    (force, newtons(taken[plane].abs())),
                    ("D_b", metres(diameter)),
                    ("t", metres(t)),
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
    Ok(Some(Use::of(used, allowed[0], stress)))
}
