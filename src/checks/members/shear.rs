//! Shear along the grain: 3V/2bd against F_v C_D C_M. Loads near a support stay in V, which is on the safe side.

use super::{Answer, Found, Member, Rule};
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::mechanics::timber_member::shear_stress;
use crate::model::{MemberLimitState, Standing};
use crate::units::si;

pub(super) const RULE: Rule = Rule {
    limit_state: MemberLimitState::Shear,
    judge,
    keys: &[],
};

fn judge(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    let Some(value) = member.strength.design.shear() else {
        return Ok(Answer::Unknown("allowable shear stress"));
    };
    member.worst(|loaded| {
        let extreme = loaded.envelope.shear;
        if extreme.value == 0.0 {
            return Ok(None);
        }
        let timber = member.timber;
        let stress = shear_stress(si::newtons(extreme.value), timber.width, timber.depth)?;
        let allowable = value * loaded.duration;
        Ok(Some(Found {
            combination: Some(loaded.combination),
            demand: Measure::Stress(stress),
            allowable: Measure::Stress(allowable),
            utilization: (stress / allowable).value,
            standing: Standing::Published,
            note: member.place(extreme.x),
        }))
    })
}
