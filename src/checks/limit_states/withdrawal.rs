//! A pull along the bar against the thread: lag-screw withdrawal of NDS, in wet wood, over the length of full thread. A
//! through-rod is held by the boss at its other end, which bears on the wood there.

use super::{Ground, Over, Rule, push, ratio, sources};
use crate::checks::context::{Context, Demand, Loaded, Use, force};
use crate::checks::elastic::State;
use crate::checks::trace::{Recorder, Step, metres, newtons, newtons_per_metre, number};
use crate::mechanics::MechanicsError;
use crate::mechanics::withdrawal::{LAG_DIAMETERS, lag_withdrawal};
use crate::model::{LimitState, SafetyFormat};
use crate::units::{Length, Show};

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Withdrawal,
    over: Over::Demand,
    utilization,
    traced: utilization,
    ground,
};

/// The outside diameter of the thread.
fn diameter(context: &Context<'_>) -> Length {
    let shank = context.anchor.size.shank.first();
    shank.map_or_else(|| context.largest_bearing(), |shank| shank.bears)
}

pub(super) fn ground(context: &Context<'_>) -> Ground {
    if context.anchor.rod.is_some() {
        return Ground {
            standing: context
                .stem
                .wood
                .origin()
                .standing
                .worse(context.criteria.standing("push")),
            extended: None,
            source: sources(context, &["push"]),
            note: Some(
                "a through-rod: the boss at its other end bears on the wood there".to_owned(),
            ),
        };
    }
    let (_, gravity) = context.stem.wood.dry_gravity();
    Ground {
        standing: gravity.standing,
        extended: (!LAG_DIAMETERS.contains(diameter(context)))
            .then(|| "the standard ends at 1-1/4 in; that diameter is taken".to_owned()),
        source: format!(
            "nds-2018:12.2-1; {}; {}",
            gravity.source,
            sources(context, &["withdrawal_wet"])
        ),
        note: None,
    }
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let pull = loaded.demand.out;
    if pull <= 0.0 {
        return Ok(None);
    }
    let allowed = allowable(context, &loaded.demand, record)?;
    let used = pull / allowed;
    record.step(|| ratio("N", newtons(pull), "W_a", newtons(allowed), used));
    Ok(Some(Use::of(used, allowed, force)))
}

/// The pull that the thread, or the boss at the other end of a through-rod, may take (N).
pub(super) fn allowable<R: Recorder>(
    context: &Context<'_>,
    demand: &Demand,
    record: &mut R,
) -> Result<f64, MechanicsError> {
    if context.anchor.rod.is_some() {
        return Ok(push::allowable(context, record));
    }
    let (gravity, origin) = context.stem.wood.dry_gravity();
    let taken = diameter(context).min(LAG_DIAMETERS.high);
    let per_length = lag_withdrawal(gravity, taken)?;
    let thread = context.anchor.size.thread_length;
    let wet = context.factors.withdrawal_wet;
    // Load duration is in the factors of the other formats already.
    let duration = match context.criteria.format {
        SafetyFormat::Asd => demand.duration,
        _ => 1.0,
    };
    let allowed = (per_length * thread).value * wet * duration;
    record.step(|| {
        Step::equation(
            "W",
            "withdrawal value of a thread (in and lbf), diameter no more than 1-1/4 in",
            "1800·G^1.5·D^0.75",
            &[("G", number(gravity)), ("D", metres(taken.value))],
            newtons_per_metre(per_length.value),
        )
        .from(
            format!("nds-2018:12.2-1; {}", origin.source),
            origin.standing,
        )
        .only_in(Show::Us)
    });
    record.step(|| {
        Step::equation(
            "W_a",
            "pull allowed on the full thread in wet wood",
            "W·L_t·C_M·C_D",
            &[
                ("W", newtons_per_metre(per_length.value)),
                ("L_t", metres(thread.value)),
                ("C_M", number(wet)),
                ("C_D", number(duration)),
            ],
            newtons(allowed),
        )
        .from(
            context.criteria.source("withdrawal_wet"),
            context.criteria.standing("withdrawal_wet"),
        )
    });
    Ok(allowed)
}
