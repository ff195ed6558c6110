//! Largest bearing pressure at any depth against the exclusion value of the strength: where crushing begins.

use super::{Ground, Over, Rule, bearing_ground, by_squares, solved};
use crate::checks::context::{Context, Loaded, Use, stress};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{Recorder, Step, metres, number, pascals};
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::Side;
use crate::model::LimitState;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::FirstCrushing,
    over: Over::Bounds,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        note: Some("the onset of crushing at one place; across the grain against the mean at the proportional limit".into()),
        ..bearing_ground(context, "first_crushing")
    }
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let (key, factor) = if loaded.demand.permanent {
        (
            "first_crushing_permanent",
            context.factors.first_crushing_permanent,
        )
    } else {
        ("first_crushing", context.factors.first_crushing)
    };
    let strength = &context.row(&loaded.demand)?.strength;
    let strengths = [strength.along.value, strength.across.value];
    let allowed = strengths.map(|strength| strength / factor);
    let peak = state.largest(
        |piece| piece.inside,
        |_, at| both([at.pressure[0] / allowed[0], at.pressure[1] / allowed[1]]),
    )?;
    let Some(peak) = peak else { return Ok(None) };
    for (plane, [symbol, strength]) in [["f_Vc", "f_V"], ["f_Hc", "f⊥"]].into_iter().enumerate() {
        record.step(|| {
            Step::equation(
                symbol,
                "pressure allowed at one place",
                format!("{strength}/n"),
                &[(strength, pascals(strengths[plane])), ("n", number(factor))],
                pascals(allowed[plane]),
            )
            .from(context.criteria.source(key), context.criteria.standing(key))
        });
    }
    record_pressures(state, peak.x, peak.piece, allowed, peak.value, record)?;
    Ok(Some(Use::of(peak.value, allowed[0], stress)))
}

fn record_pressures<R: Recorder>(
    state: &State<'_>,
    x: f64,
    piece: usize,
    allowed: [f64; 2],
    used: f64,
    record: &mut R,
) -> Result<(), MechanicsError> {
    let begins = state
        .elastic
        .pieces
        .get(piece)
        .is_some_and(|piece| x <= piece.from);
    let side = if begins { Side::Inner } else { Side::Outer };
    let pressure = state.at(x, side)?.pressure.map(f64::abs);
    for (plane, symbol) in ["p_V", "p_H"].into_iter().enumerate() {
        record.step(|| {
            solved(
                state,
                symbol,
                "bearing pressure at the worst depth x",
                &[("x", metres(x))],
                pascals(pressure[plane]),
            )
        });
    }
    record.step(|| {
        by_squares(
            ["p_V", "f_Vc", "p_H", "f_Hc"],
            [pressure[0], allowed[0], pressure[1], allowed[1]].map(pascals),
            used,
        )
    });
    Ok(())
}
