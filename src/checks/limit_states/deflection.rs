//! Sinking of the load point: the worse of v at K/2 and v at K with creep, v·(1 + 2 × permanent share); what clearance
//! of the boss adds does not creep.

use super::{Ground, Over, Rule, loads, ratio};
use crate::checks::context::{Context, Loaded, Use};
use crate::checks::elastic::{Fit, State};
use crate::checks::result::Measure;
use crate::checks::trace::{Recorder, Step, metres, number};
use crate::mechanics::MechanicsError;
use crate::model::{Bound, LimitState, Standing};
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::Deflection,
    over: Over::Sinking,
    utilization,
    traced: utilization,
    ground,
};

/// Creep of what is permanent, over the elastic deflection: k_def of solid timber in service class 3 (EN 1995-1-1, Table
/// 3.2, from memory).
const CREEP: f64 = 2.0;

fn ground(context: &Context<'_>) -> Ground {
    Ground {
        standing: context.criteria.standing("deflection_share"),
        extended: None,
        source: "common practice, no source".into(),
        note: None,
    }
}

#[allow(clippy::unnecessary_wraps, reason = "the shape of every rule")]
fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    if loaded.demand.across_bar() <= 0.0 {
        return Ok(None);
    }
    let arm = context.anchor.sound_arm(context.stem).value;
    let (share, floor) = (
        context.factors.deflection_share,
        context.factors.deflection_floor,
    );
    let allowed = (arm * share).max(floor);
    let sinking = sinking(loaded, record);
    let used = sinking / allowed;
    record.step(|| {
        Step::equation(
            "v_a",
            "sinking allowed",
            "max(s·e, v_min)",
            &[
                ("s", number(share)),
                ("e", metres(arm)),
                ("v_min", metres(floor)),
            ],
            metres(allowed),
        )
        .from("common practice, no source", Standing::Practice)
    });
    record.step(|| ratio("v", metres(sinking), "v_a", metres(allowed), used));
    Ok(Some(Use {
        demand: Measure::Length(si::metres(sinking)),
        allowable: Measure::Length(si::metres(allowed)),
        utilization: used,
    }))
}

/// The sinking of the load point under a demand (m).
fn sinking<R: Recorder>(loaded: &Loaded<'_>, record: &mut R) -> f64 {
    let of = |bound: Bound, fit: Fit| {
        let state = loaded
            .states
            .iter()
            .find(|state| state.elastic.bound == bound && state.fit() == fit);
        state.map(State::deflection)
    };
    let soft = [Fit::Snug, Fit::Loose].map(|fit| of(Bound::Soft, fit).unwrap_or(0.0));
    let soft = soft[0].max(soft[1]);
    let snug = of(Bound::Central, Fit::Snug).unwrap_or(0.0);
    let play = of(Bound::Central, Fit::Loose).map_or(0.0, |loose| (loose - snug).max(0.0));
    let share = loaded.demand.permanent_share;
    let creeping = snug * (1.0 + CREEP * share) + play;
    let sinking = soft.max(creeping);
    for (symbol, title, value) in [
        (
            "v_soft",
            "sinking at K/2, the worse of snug and loose",
            soft,
        ),
        ("v_K", "sinking at K, boss snug", snug),
        ("v_g", "what the clearance of the boss adds at K", play),
    ] {
        record.step(|| {
            let method = "elastic bar on its foundation";
            Step::method(symbol, title, method, &loads(loaded), metres(value))
                .from("method 1.4", Standing::Published)
        });
    }
    record.step(|| {
        Step::equation(
            "v",
            "the worse of the soft foundation and of creep under the permanent share ψ",
            "max(v_soft, v_K·(1 + k·ψ) + v_g)",
            &[
                ("v_soft", metres(soft)),
                ("v_K", metres(snug)),
                ("v_g", metres(play)),
                ("k", number(CREEP)),
                ("ψ", number(share)),
            ],
            metres(sinking),
        )
        .from("en-1995-1-1:T3.2", Standing::FromMemory)
    });
    sinking
}
