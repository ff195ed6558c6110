//! Bending: f_b against F_b C_D C_M C_F C_r C_L, the top and the underside each with its own unheld length.

use super::{Answer, Found, Loaded, Member, Rule};
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::mechanics::timber_member::bending_stress;
use crate::model::MemberLimitState;
use crate::units::si;
use std::fmt::Write as _;

pub(super) const RULE: Rule = Rule {
    limit_state: MemberLimitState::Bending,
    judge,
    keys: &[],
};

fn judge(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    if member.strength.design.bending.is_none() {
        return Ok(Answer::Unknown("allowable bending stress"));
    }
    member.worst(|loaded| {
        let [sagging, hogging] = [false, true].map(|hogging| found(member, loaded, hogging));
        Ok(match (sagging?, hogging?) {
            (Some(a), Some(b)) => Some(if b.utilization > a.utilization { b } else { a }),
            (a, b) => a.or(b),
        })
    })
}

fn found(
    member: &Member<'_>,
    loaded: &Loaded,
    hogging: bool,
) -> Result<Option<Found>, MechanicsError> {
    let extreme = if hogging {
        loaded.envelope.hogging
    } else {
        loaded.envelope.sagging
    };
    let Some(bending) = member.strength.bending(loaded.duration, hogging)? else {
        return Ok(None);
    };
    if extreme.value == 0.0 {
        return Ok(None);
    }
    let timber = member.timber;
    let stress = bending_stress(si::newton_metres(extreme.value), timber.width, timber.depth)?;
    let side = if hogging { "hogging" } else { "sagging" };
    let mut note = format!("{side}, {}", member.place(extreme.x));
    if bending.stability < 1.0 {
        // Writing to a string can not fail.
        let _ = write!(note, "; stability factor {:.3}", bending.stability);
    }
    if bending.too_slender() > 0.0 {
        let _ = write!(
            note,
            "; slenderness ratio {:.0} is above 50: hold its edge, or make it wider",
            bending.slenderness
        );
    }
    Ok(Some(Found {
        combination: Some(loaded.combination),
        demand: Measure::Stress(stress),
        allowable: Measure::Stress(bending.value),
        utilization: (stress / bending.value).value.max(bending.too_slender()),
        standing: bending.standing,
        note,
    }))
}
