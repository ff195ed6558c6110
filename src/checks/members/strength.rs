//! What a member may bear in its size, service and setting.

use crate::analysis::platform::{MemberActions, MemberPart};
use crate::mechanics::MechanicsError;
use crate::mechanics::timber_member::{
    MOST_SLENDER, beam_stability_factor, critical_bending_stress, effective_length,
    slenderness_ratio,
};
use crate::model::{Criteria, MemberStrength, Platform, Standing, Timber};
use crate::units::us::inches;
use crate::units::{Length, Stress, si};

/// The widest spacing of joists that help each other (NDS 2018, 4.3.9).
const REPETITIVE_SPACING: Length = inches(24.0);
/// The thickest joist that does: 4 in nominal, and a millimetre for metric sizes.
const REPETITIVE_THICKNESS: Length = inches(3.54);

/// The strength of a member.
pub(in crate::checks) struct Strength<'a> {
    pub(super) design: &'a MemberStrength,
    timber: &'a Timber,
    /// Repetitive-member factor (1).
    pub(super) repetitive: f64,
    /// Standing of that factor, where it is taken.
    repetitive_standing: Standing,
    /// Unheld lengths of the top and the underside.
    unheld: [Length; 2],
}

/// Adjusted bending value of one direction of bending.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bending {
    /// F_b*: every factor but that of stability.
    pub(super) star: Stress,
    /// F_b′.
    pub(super) value: Stress,
    /// C_L (1).
    pub(super) stability: f64,
    /// R_B (1).
    pub(super) slenderness: f64,
    pub(super) critical: Option<Stress>,
    pub(super) standing: Standing,
}

impl<'a> Strength<'a> {
    pub(super) fn new(
        timber: &'a Timber,
        design: &'a MemberStrength,
        actions: &MemberActions,
        platform: &Platform,
        criteria: &Criteria,
    ) -> Self {
        let helped = match actions.part {
            MemberPart::Joist { deck, .. } => {
                let joists = &platform.decks()[deck].joists;
                design.repetitive
                    && joists.spacing <= REPETITIVE_SPACING
                    && timber.width <= REPETITIVE_THICKNESS
            }
            MemberPart::Beam(_) | MemberPart::Header { .. } | MemberPart::Brace(_) => false,
        };
        // Boards hold the top of every joist.
        let top = match actions.part {
            MemberPart::Joist { .. } => 0.0,
            MemberPart::Beam(_) | MemberPart::Header { .. } | MemberPart::Brace(_) => {
                actions.unheld_top()
            }
        };
        Self {
            design,
            timber,
            repetitive: if helped {
                criteria.factor("member_repetitive")
            } else {
                1.0
            },
            repetitive_standing: if helped {
                criteria.standing("member_repetitive")
            } else {
                Standing::Published
            },
            unheld: [top, actions.unheld_bottom()].map(si::metres),
        }
    }

    /// The bending value with the top compressed, or the underside.
    pub(super) fn bending(
        &self,
        duration: f64,
        hogging: bool,
    ) -> Result<Option<Bending>, MechanicsError> {
        let Some(value) = self.design.bending() else {
            return Ok(None);
        };
        let star = value * duration * self.repetitive;
        let standing = self.repetitive_standing;
        let (b, d) = (self.timber.width, self.timber.depth);
        let free = Bending {
            star,
            value: star,
            stability: 1.0,
            slenderness: 0.0,
            critical: None,
            standing,
        };
        let unheld = self.unheld[usize::from(hogging)];
        if d <= b || unheld.value <= 0.0 {
            return Ok(Some(free));
        }
        let slenderness = slenderness_ratio(effective_length(unheld, d)?, b, d)?;
        let critical = critical_bending_stress(self.design.modulus_min(), slenderness)?;
        let stability = beam_stability_factor(critical, star)?;
        Ok(Some(Bending {
            value: star * stability,
            stability,
            slenderness,
            critical: Some(critical),
            // The effective length is from memory.
            standing: standing.worse(Standing::FromMemory),
            ..free
        }))
    }
}

impl Bending {
    /// How far it is beyond the slenderness that is allowed (1); zero within.
    pub(super) fn too_slender(&self) -> f64 {
        if self.slenderness > MOST_SLENDER {
            self.slenderness / MOST_SLENDER
        } else {
            0.0
        }
    }
}
