//! What the wood round an anchor may bear: green means, exclusion limit, duration, angle to the grain.

use crate::mechanics::{MechanicsError, embedment, exclusion};
use crate::model::{Anchor, Basis, Criteria, Stem};
use crate::units::{Length, Stress};

/// Bearing strengths of the wood on the two axes across a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Strength {
    /// On the down axis: the 5 % exclusion value along the grain with duration, at the grain's angle.
    pub(super) along: Stress,
    /// On the side axis: the mean at the proportional limit across the grain.
    pub(super) across: Stress,
    /// What boss and shank may bear on the down axis.
    pub(super) allowable_along: Stress,
    /// What they may bear on the side axis.
    pub(super) allowable_across: Stress,
}

impl Strength {
    /// Strengths under a duration factor (1) for bars that bear on `diameter` at the most.
    pub(super) fn new(
        anchor: &Anchor,
        stem: &Stem,
        criteria: &Criteria,
        duration: f64,
        diameter: Length,
    ) -> Result<Self, MechanicsError> {
        let wood = &stem.wood;
        let mean = criteria.factor("embedment_along") * wood.crushing();
        let green = exclusion::lower_exclusion_limit(
            mean,
            wood.crushing_variation(),
            criteria.factor("exclusion"),
        )?;
        let (along, across) = match criteria.basis {
            Basis::GreenClearWood => (green, wood.across()),
            Basis::DowelBearing => {
                let gravity = wood.dry_gravity().0;
                let wet = criteria.factor("dowel_bearing_wet");
                let dowel_along = embedment::dowel_bearing_along(gravity)? * wet;
                let dowel_across = embedment::dowel_bearing_across(gravity, diameter)? * wet;
                (
                    embedment::never_above_green(dowel_along, green)?,
                    embedment::never_above_green(dowel_across, wood.across())?,
                )
            }
        };
        let grain = anchor.axes(stem).grain;
        let turned = |p, q| embedment::hankinson(p, q, grain, embedment::COMPRESSION_EXPONENT);
        let along = along * duration;
        let allowable_across = across / criteria.factor("boss_bearing_across");
        Ok(Self {
            along: turned(along, across)?,
            across,
            allowable_along: turned(along / criteria.factor("boss_bearing"), allowable_across)?,
            allowable_across,
        })
    }
}
