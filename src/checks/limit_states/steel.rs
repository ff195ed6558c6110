//! The steel bar: vector sums of moment and shear over both planes against AISC 360 chapters F, G and D.

use super::{Ground, Rule, steel_ground};
use crate::checks::context::{Context, Demand, Use, force, moment};
use crate::checks::elastic::{At, Elastic};
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::Side;
use crate::model::LimitState;
use crate::units::si;

pub(super) const BARK_LINE: Rule = Rule {
    limit_state: LimitState::SteelBendingBarkLine,
    utilization: bark_line,
    ground: |context| steel_ground(context, "steel_bending_bark_line"),
};
pub(super) const EMBEDDED: Rule = Rule {
    limit_state: LimitState::SteelBendingEmbedded,
    utilization: embedded,
    ground: |context| Ground {
        note: Some("the largest anywhere on the bar, at a step on its weaker side".into()),
        ..steel_ground(context, "steel_bending_embedded")
    },
};
pub(super) const SHEAR: Rule = Rule {
    limit_state: LimitState::SteelShear,
    utilization: shear,
    ground: |context| steel_ground(context, "steel_shear"),
};
pub(super) const INTERACTION: Rule = Rule {
    limit_state: LimitState::SteelInteraction,
    utilization: interaction,
    ground: |context| steel_ground(context, "steel_interaction"),
};

fn bending(demand: &Demand, at: &At) -> f64 {
    (demand.down * at.down.moment).hypot(demand.side * at.side.moment)
}

fn cut(demand: &Demand, at: &At) -> f64 {
    (demand.down * at.down.shear).hypot(demand.side * at.side.shear)
}

/// The section of the weakest piece that `pick` takes.
fn weakest(context: &Context<'_>, pick: impl Fn(usize) -> f64) -> f64 {
    (0..context.sections.len())
        .map(pick)
        .fold(f64::INFINITY, f64::min)
}

fn bark_line(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let pieces = &elastic.pieces;
    let touching = pieces
        .iter()
        .zip(&context.sections)
        .filter(|(piece, _)| piece.from.value == 0.0 || piece.to.value.abs() < 1e-12)
        .map(|(_, section)| section.moment);
    // AISC takes its factor from the layout for this limit state; sections carry that of the embedded one.
    let ratio = context.criteria.factor("steel_bending_embedded")
        / context.criteria.factor("steel_bending_bark_line");
    let allowed = touching.fold(f64::INFINITY, f64::min) * ratio;
    let acting = bending(demand, &elastic.at(si::metres(0.0), Side::Inner)?);
    Ok(Some(Use::of(acting / allowed, allowed, moment)))
}

fn embedded(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let used = elastic.largest(
        |_| true,
        |piece, at| bending(demand, at) / context.sections[piece].moment,
    )?;
    Ok(Some(Use::of(
        used,
        weakest(context, |piece| context.sections[piece].moment),
        moment,
    )))
}

fn shear(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let used = elastic.largest(
        |_| true,
        |piece, at| cut(demand, at) / context.sections[piece].shear,
    )?;
    Ok(Some(Use::of(
        used,
        weakest(context, |piece| context.sections[piece].shear),
        force,
    )))
}

fn interaction(
    context: &Context<'_>,
    demand: &Demand,
    elastic: &Elastic,
) -> Result<Option<Use>, MechanicsError> {
    if demand.across_bar() <= 0.0 && demand.out == 0.0 {
        return Ok(None);
    }
    let used = elastic.largest(
        |_| true,
        |piece, at| {
            let section = &context.sections[piece];
            let axial = demand.out.abs() / section.pull + bending(demand, at) / section.moment;
            axial.hypot(cut(demand, at) / section.shear)
        },
    )?;
    Ok(Some(Use {
        demand: Measure::Number(used),
        allowable: Measure::Number(1.0),
        utilization: used,
    }))
}
