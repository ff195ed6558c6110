//! Axial force with bending (NDS 3.9). The largest axial force and the largest moments are taken together wherever they
//! act, which is on the safe side.

use super::strength::Bending;
use super::{Answer, Found, Loaded, Member, Rule};
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::mechanics::timber_member::{
    Axis, MOST_SLENDER_COLUMN, NAILED_PLIES, SAWN_COLUMN, bending_and_compression,
    bending_and_tension, bending_stress, column_stability_factor, critical_buckling_stress,
};
use crate::model::{MemberLimitState, Standing};
use crate::units::{Force, Stress, si};

pub(super) const COMBINED: Rule = Rule {
    limit_state: MemberLimitState::Combined,
    judge: combined,
    keys: &[],
};

pub(super) const BUCKLING: Rule = Rule {
    limit_state: MemberLimitState::Buckling,
    judge: buckling,
    keys: &[],
};

pub(super) const TENSION: Rule = Rule {
    limit_state: MemberLimitState::Tension,
    judge: tension,
    keys: &[],
};

/// Halvings that exhaust the digits of a share.
const HALVINGS: usize = 50;
/// Axial forces below this share of the largest shear are rounding (1).
const NO_FORCE: f64 = 1e-6;

/// Whether an axial force is more than rounding.
fn acts(loaded: &Loaded, force: f64) -> bool {
    force.abs() > NO_FORCE * loaded.envelope.shear.value.abs()
}

fn combined(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    let design = member.strength.design;
    let any = |of: fn(&Loaded) -> f64| member.loaded.iter().any(|loaded| acts(loaded, of(loaded)));
    let pressed = any(|loaded| loaded.envelope.compression.value);
    let pulled = any(|loaded| loaded.envelope.tension.value);
    if !pressed && !pulled {
        return Ok(Answer::NotNeeded);
    }
    if design.bending.is_none() {
        return Ok(Answer::Unknown("allowable bending stress"));
    }
    if pressed && design.compression.is_none() {
        return Ok(Answer::Unknown("allowable compression stress"));
    }
    if pulled && design.tension.is_none() {
        return Ok(Answer::Unknown("allowable tension stress"));
    }
    member.worst(|loaded| {
        let pressed = compressed(member, loaded)?;
        let pulled = tensioned(member, loaded)?;
        let worst = [pressed, pulled]
            .into_iter()
            .flatten()
            .max_by(f64::total_cmp);
        Ok(worst.map(|utilization| Found {
            combination: Some(loaded.combination),
            demand: Measure::Number(utilization),
            allowable: Measure::Number(1.0),
            utilization,
            standing: Standing::FromMemory,
            note: "largest axial force and largest moments taken together".to_owned(),
        }))
    })
}

/// Bending stresses upright and sideways, with the value of the worse direction.
fn bent(
    member: &Member<'_>,
    loaded: &Loaded,
) -> Result<Option<([Stress; 2], Bending)>, MechanicsError> {
    let (envelope, timber) = (&loaded.envelope, member.timber);
    let moment = envelope.sagging.value.max(-envelope.hogging.value);
    let edge = bending_stress(si::newton_metres(moment), timber.width, timber.depth)?;
    let flat = bending_stress(
        si::newton_metres(envelope.sideways.value),
        timber.depth,
        timber.width,
    )?;
    let [top, bottom] =
        [false, true].map(|hogging| member.strength.bending(loaded.duration, hogging));
    let worse = match (top?, bottom?) {
        (Some(a), Some(b)) => Some(if a.value < b.value { a } else { b }),
        (a, b) => a.or(b),
    };
    Ok(worse.map(|bending| ([edge, flat], bending)))
}

fn compressed(member: &Member<'_>, loaded: &Loaded) -> Result<Option<f64>, MechanicsError> {
    let (Some(column), Some((stresses, bending))) =
        (Column::new(member, loaded)?, bent(member, loaded)?)
    else {
        return Ok(None);
    };
    if column.stress.value <= 0.0 {
        return Ok(None);
    }
    let used = |times: f64| {
        let axis = |k: usize, allowable| Axis {
            stress: stresses[k] * times,
            allowable,
            buckling: column.critical[k],
        };
        bending_and_compression(
            column.stress * times,
            column.value,
            axis(0, bending.value),
            axis(1, bending.star),
            bending.critical,
        )
    };
    let together = match used(1.0) {
        // It buckles: what it asks for over what it could bear, the share of all stresses at which the equation is met.
        Err(MechanicsError::NoSolution { .. }) => {
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                if used(middle).is_ok_and(|used| used <= 1.0) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            1.0 / high
        }
        found => found?,
    };
    Ok(Some(together.max(column.too_slender())))
}

fn tensioned(member: &Member<'_>, loaded: &Loaded) -> Result<Option<f64>, MechanicsError> {
    let force: Force = si::newtons(loaded.envelope.tension.value);
    let (Some(value), Some(([edge, flat], bending))) =
        (member.strength.design.tension(), bent(member, loaded)?)
    else {
        return Ok(None);
    };
    if force.value <= 0.0 {
        return Ok(None);
    }
    let stress = force / (member.timber.width * member.timber.depth);
    let used = bending_and_tension(
        stress,
        value * loaded.duration,
        edge + flat,
        bending.star,
        bending.value,
    )?;
    Ok(Some(used))
}

/// A member as a column between pins.
struct Column {
    stress: Stress,
    /// F_c′.
    value: Stress,
    /// F_cE upright and sideways.
    critical: [Stress; 2],
    /// l_e/d of the weaker plane (1).
    slenderness: f64,
}

impl Column {
    /// None where the compression value is not known.
    fn new(member: &Member<'_>, loaded: &Loaded) -> Result<Option<Self>, MechanicsError> {
        let (timber, design) = (member.timber, member.strength.design);
        let Some(star) = design.compression().map(|value| value * loaded.duration) else {
            return Ok(None);
        };
        let length = si::metres(member.actions.unheld_bottom());
        let critical = [timber.depth, timber.width]
            .map(|side| critical_buckling_stress(design.modulus_min(), length, side));
        let [upright, sideways] = critical;
        let critical = [upright?, sideways?];
        let kept = |critical: Stress| column_stability_factor(critical, star, SAWN_COLUMN);
        let nailed = if timber.plies > 1 { NAILED_PLIES } else { 1.0 };
        let stability = kept(critical[0])?.min(nailed * kept(critical[1])?);
        Ok(Some(Self {
            stress: si::newtons(-loaded.envelope.compression.value) / (timber.width * timber.depth),
            value: star * stability,
            critical,
            slenderness: (length / timber.width.min(timber.depth)).value,
        }))
    }

    /// How far it is beyond the slenderness that is allowed (1); zero within.
    fn too_slender(&self) -> f64 {
        let beyond = self.slenderness / MOST_SLENDER_COLUMN;
        if beyond > 1.0 { beyond } else { 0.0 }
    }
}

fn buckling(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    if !member
        .loaded
        .iter()
        .any(|loaded| acts(loaded, loaded.envelope.compression.value))
    {
        return Ok(Answer::NotNeeded);
    }
    if member.strength.design.compression.is_none() {
        return Ok(Answer::Unknown("allowable compression stress"));
    }
    member.worst(|loaded| {
        let Some(column) = Column::new(member, loaded)? else {
            return Ok(None);
        };
        let slender = if column.too_slender() > 0.0 {
            ", more than 50"
        } else {
            ""
        };
        Ok(Some(Found {
            combination: Some(loaded.combination),
            demand: Measure::Stress(column.stress),
            allowable: Measure::Stress(column.value),
            utilization: (column.stress / column.value)
                .value
                .max(column.too_slender()),
            standing: Standing::Published,
            note: format!("length over thickness {:.0}{slender}", column.slenderness),
        }))
    })
}

fn tension(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    if !member
        .loaded
        .iter()
        .any(|loaded| acts(loaded, loaded.envelope.tension.value))
    {
        return Ok(Answer::NotNeeded);
    }
    let Some(value) = member.strength.design.tension() else {
        return Ok(Answer::Unknown("allowable tension stress"));
    };
    member.worst(|loaded| {
        let area = member.timber.width * member.timber.depth;
        let stress = si::newtons(loaded.envelope.tension.value) / area;
        let allowable = value * loaded.duration;
        Ok(Some(Found {
            combination: Some(loaded.combination),
            demand: Measure::Stress(stress),
            allowable: Measure::Stress(allowable),
            utilization: (stress / allowable).value,
            standing: Standing::Published,
            note: "on the whole section: holes for bolts come off it".to_owned(),
        }))
    })
}
