//! The steel bar: vector sums of moment and shear over both planes against AISC 360 chapters F, G and D.

use super::{Ground, Over, Rule, ratio, solved, steel_ground};
use crate::checks::context::{Context, Loaded, Use, force, moment};
use crate::checks::elastic::{Acting, Peak, State, both};
use crate::checks::result::Measure;
use crate::checks::trace::{Amount, Recorder, Step, metres, newton_metres, newtons, number};
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::Side;
use crate::model::{LimitState, Standing};

pub(super) const BARK_LINE: Rule = Rule {
    limit_state: LimitState::SteelBendingBarkLine,
    over: Over::Bounds,
    utilization: bark_line,
    traced: bark_line,
    ground: |context| steel_ground(context, "steel_bending_bark_line"),
};
pub(super) const EMBEDDED: Rule = Rule {
    limit_state: LimitState::SteelBendingEmbedded,
    over: Over::Bounds,
    utilization: embedded,
    traced: embedded,
    ground: |context| Ground {
        note: Some("the largest anywhere on the bar, at a step on its weaker side".into()),
        ..steel_ground(context, "steel_bending_embedded")
    },
};
pub(super) const SHEAR: Rule = Rule {
    limit_state: LimitState::SteelShear,
    over: Over::Bounds,
    utilization: shear,
    traced: shear,
    ground: |context| steel_ground(context, "steel_shear"),
};
pub(super) const INTERACTION: Rule = Rule {
    limit_state: LimitState::SteelInteraction,
    over: Over::Bounds,
    utilization: interaction,
    traced: interaction,
    ground: |context| steel_ground(context, "steel_interaction"),
};

/// The least that any piece may carry.
fn weakest(context: &Context<'_>, pick: impl Fn(usize) -> f64) -> f64 {
    (0..context.sections.len())
        .map(pick)
        .fold(f64::INFINITY, f64::min)
}

/// What acts at the place of a peak.
fn at_peak(state: &State<'_>, peak: &Peak) -> Result<Acting, MechanicsError> {
    let begins = state
        .elastic
        .pieces
        .get(peak.piece)
        .is_some_and(|piece| peak.x <= piece.from);
    let side = if begins { Side::Inner } else { Side::Outer };
    state.at(peak.x, side)
}

fn bark_line<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let touching = state
        .elastic
        .pieces
        .iter()
        .zip(&context.sections)
        .filter(|(piece, _)| piece.from == 0.0 || piece.to.abs() < 1e-12)
        .map(|(_, section)| section.moment);
    // AISC takes its factor from the layout for this limit state; sections carry that of the embedded one.
    let ratio_of_factors =
        context.factors.steel_bending_embedded / context.factors.steel_bending_bark_line;
    let allowed = touching.fold(f64::INFINITY, f64::min) * ratio_of_factors;
    let acting = both(state.at(0.0, Side::Inner)?.moment);
    let used = acting / allowed;
    record.step(|| {
        Step::equation(
            "M_0",
            "moment at the wood surface, both planes as vectors",
            "√(V² + H²)·e",
            &[
                ("V", newtons(loaded.demand.down)),
                ("H", newtons(loaded.demand.side)),
                ("e", metres(context.anchor.sound_arm(context.stem).value)),
            ],
            newton_metres(acting),
        )
        .from("statics", Standing::Published)
    });
    record.step(|| {
        Step::method(
            "M_a",
            "moment allowed there, of the weaker section",
            "section of the bar, above; with the factor of this check",
            &[("n", number(context.factors.steel_bending_bark_line))],
            newton_metres(allowed),
        )
        .from(
            context.criteria.source("steel_bending_bark_line"),
            context.criteria.standing("steel_bending_bark_line"),
        )
    });
    record.step(|| {
        ratio(
            "M_0",
            newton_metres(acting),
            "M_a",
            newton_metres(allowed),
            used,
        )
    });
    Ok(Some(Use::of(used, allowed, moment)))
}

fn embedded<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let sections = &context.sections;
    let peak = state.largest(
        |_| true,
        |piece, at| both(at.moment) / sections[piece].moment,
    )?;
    let Some(peak) = peak else { return Ok(None) };
    let acting = at_peak(state, &peak)?;
    let sum = record_planes(
        state,
        &peak,
        ["M_V", "M_H", "M"],
        "bending moment",
        acting.moment.map(|moment| newton_metres(moment.abs())),
        newton_metres,
        record,
    );
    let allowed = newton_metres(sections[peak.piece].moment);
    record.step(|| ratio("M", sum, "M_a", allowed, peak.value));
    let weakest = weakest(context, |piece| sections[piece].moment);
    Ok(Some(Use::of(peak.value, weakest, moment)))
}

fn shear<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let sections = &context.sections;
    let peak = state.largest(|_| true, |piece, at| both(at.shear) / sections[piece].shear)?;
    let Some(peak) = peak else { return Ok(None) };
    let acting = at_peak(state, &peak)?;
    let sum = record_planes(
        state,
        &peak,
        ["Q_V", "Q_H", "Q"],
        "shear",
        acting.shear.map(|shear| newtons(shear.abs())),
        newtons,
        record,
    );
    let allowed = newtons(sections[peak.piece].shear);
    record.step(|| ratio("Q", sum, "V_a", allowed, peak.value));
    let weakest = weakest(context, |piece| sections[piece].shear);
    Ok(Some(Use::of(peak.value, weakest, force)))
}

fn interaction<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    state: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let demand = &loaded.demand;
    if demand.across_bar() <= 0.0 && demand.out == 0.0 {
        return Ok(None);
    }
    let pull = demand.out.abs();
    let peak = state.largest(
        |_| true,
        |piece, at| {
            let section = &context.sections[piece];
            let axial = pull / section.pull + both(at.moment) / section.moment;
            both([axial, both(at.shear) / section.shear])
        },
    )?;
    let Some(peak) = peak else { return Ok(None) };
    let acting = at_peak(state, &peak)?;
    let section = &context.sections[peak.piece];
    record.step(|| {
        solved(
            state,
            "M",
            "bending moment at the worst section x, both planes as vectors",
            &[("x", metres(peak.x))],
            newton_metres(both(acting.moment)),
        )
    });
    record.step(|| {
        solved(
            state,
            "Q",
            "shear there, both planes as vectors",
            &[("x", metres(peak.x))],
            newtons(both(acting.shear)),
        )
    });
    record.step(|| {
        Step::equation(
            "U",
            "utilization: axial force and bending add, shear by squares",
            "√((N/N_a + M/M_a)² + (Q/V_a)²)",
            &[
                ("N", newtons(pull)),
                ("N_a", newtons(section.pull)),
                ("M", newton_metres(both(acting.moment))),
                ("M_a", newton_metres(section.moment)),
                ("Q", newtons(both(acting.shear))),
                ("V_a", newtons(section.shear)),
            ],
            number(peak.value),
        )
        .from(
            context.criteria.source("steel_interaction"),
            context.criteria.standing("steel_interaction"),
        )
    });
    Ok(Some(Use {
        demand: Measure::Number(peak.value),
        allowable: Measure::Number(1.0),
        utilization: peak.value,
    }))
}

/// Writes down what acts in each plane at a peak and their vector sum; gives the sum.
fn record_planes<R: Recorder>(
    state: &State<'_>,
    peak: &Peak,
    [down, side, sum]: [&str; 3],
    what: &str,
    planes: [Amount; 2],
    of: fn(f64) -> Amount,
    record: &mut R,
) -> Amount {
    for (symbol, amount, plane) in [(down, planes[0], "down"), (side, planes[1], "side")] {
        record.step(|| {
            solved(
                state,
                symbol,
                &format!("{what} at the worst section x, {plane}"),
                &[("x", metres(peak.x))],
                amount,
            )
        });
    }
    let total = of(both(planes.map(|plane| plane.si)));
    record.step(|| {
        Step::equation(
            sum,
            "both planes as vectors",
            format!("√({down}² + {side}²)"),
            &[(down, planes[0]), (side, planes[1])],
            total,
        )
        .from("vector sum", Standing::Published)
    });
    total
}
