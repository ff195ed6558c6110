//! Splitting of the stem by a side load: EN 1995-1-1, 8.1.4, with the boss in sound wood as the thickness and half the
//! chord at half that depth as the distance from the loaded edge.

use super::{Ground, Over, Rule, ratio, sources};
use crate::checks::context::{Context, Loaded, Use, force};
use crate::checks::elastic::State;
use crate::checks::trace::{Recorder, Step, metres, newtons, number};
use crate::mechanics::MechanicsError;
use crate::mechanics::eurocode5;
use crate::model::{LimitState, Standing};
use crate::tables::WoodClass;
use crate::units::{Length, Show, si};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Splitting,
    over: Over::Demand,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    let wood = match context.stem.wood.class() {
        Some(WoodClass::Softwood) => "softwood",
        Some(WoodClass::Hardwood) => "hardwood",
        None => "wood of unknown class",
    };
    Ground {
        standing: context.criteria.standing("splitting"),
        extended: Some(format!(
            "a rule for sawn softwood beams, here a round stem of {wood}"
        )),
        source: format!(
            "en-1995-1-1:8.1.4; {}",
            sources(context, &["splitting"])
                .split_once("; ")
                .map_or("", |(_, factor)| factor)
        ),
        note: None,
    }
}

/// The depth over which the wood is wedged: the boss in sound wood, or one diameter of the shank where there is none.
fn thickness(context: &Context<'_>) -> Length {
    let boss = context.anchor.sound_boss(context.stem);
    if boss.value > 0.0 {
        boss
    } else {
        let length = context.anchor.sound_length(context.stem);
        context.largest_bearing().min(length)
    }
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let side = loaded.demand.side.abs();
    if side <= 0.0 {
        return Ok(None);
    }
    let t = thickness(context);
    let radius = context.stem.wood_radius() - context.stem.soft;
    let depth = (t / 2.0).min(radius);
    let rest = radius - depth;
    let edge = si::metres((radius.value * radius.value - rest.value * rest.value).sqrt());
    let resistance = eurocode5::splitting(t, edge, 2.0 * edge, 1.0)?.value;
    let (key, factor) = if loaded.demand.permanent {
        ("splitting_permanent", context.factors.splitting_permanent)
    } else {
        ("splitting", context.factors.splitting)
    };
    let allowed = resistance / factor;
    let used = side / allowed;
    record.step(|| {
        Step::equation(
            "h_e",
            "distance from the loaded edge: half the chord of sound wood at the depth c = t/2",
            "√(R² − (R − c)²)",
            &[("R", metres(radius.value)), ("c", metres(depth.value))],
            metres(edge.value),
        )
        .from("geometry of the stem", Standing::Published)
    });
    record.step(|| {
        Step::equation(
            "F_90",
            "characteristic splitting resistance (mm and N) with h = 2·h_e",
            "14·t·√(h_e/(1 − h_e/(2·h_e)))",
            &[("t", metres(t.value)), ("h_e", metres(edge.value))],
            newtons(resistance),
        )
        .from("en-1995-1-1:8.4", Standing::Extended)
        .only_in(Show::Si)
    });
    record.step(|| {
        Step::equation(
            "H_a",
            "side load allowed",
            "F_90/n",
            &[("F_90", newtons(resistance)), ("n", number(factor))],
            newtons(allowed),
        )
        .from(context.criteria.source(key), context.criteria.standing(key))
    });
    record.step(|| ratio("H", newtons(side), "H_a", newtons(allowed), used));
    Ok(Some(Use::of(used, allowed, force)))
}
