//! What the wood round an anchor may bear: green means, exclusion limit, duration, angle to the grain.

use super::trace::{Recorder, Step, angle, number, pascals};
use crate::mechanics::{MechanicsError, embedment, exclusion};
use crate::model::{Anchor, Basis, Criteria, Standing, Stem};
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
    pub(super) fn new<R: Recorder>(
        anchor: &Anchor,
        stem: &Stem,
        criteria: &Criteria,
        duration: f64,
        diameter: Length,
        record: &mut R,
    ) -> Result<Self, MechanicsError> {
        let wood = &stem.wood;
        let (share, deviations) = (
            criteria.factor("embedment_along"),
            criteria.factor("exclusion"),
        );
        let variation = wood.crushing_variation();
        let green =
            exclusion::lower_exclusion_limit(share * wood.crushing(), variation, deviations)?;
        record.step(|| {
            Step::equation(
                "f05g",
                "5 % exclusion limit of the bearing strength along the grain, green",
                "k·f_c·(1 − z·COV)",
                &[
                    ("k", number(share)),
                    ("f_c", pascals(wood.crushing().value)),
                    ("z", number(deviations)),
                    ("COV", number(variation)),
                ],
                pascals(green.value),
            )
            .from(
                cited(wood, criteria, &["embedment_along", "exclusion"]),
                standing(wood, criteria, &["embedment_along", "exclusion"]),
            )
        });
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
        if criteria.basis == Basis::DowelBearing {
            record.step(|| {
                Step::method(
                    "f05g",
                    "dowel-bearing strength along the grain, wet, never above the value before",
                    "NDS 12.3.3 from the gravity on dry volume, times the wet factor",
                    &[
                        ("G", number(wood.dry_gravity().0)),
                        ("wet", number(criteria.factor("dowel_bearing_wet"))),
                    ],
                    pascals(along.value),
                )
                .from("nds-2018:12.3.3", Standing::Published)
            });
        }
        let grain = anchor.axes(stem).grain;
        let turned = |p, q| embedment::hankinson(p, q, grain, embedment::COMPRESSION_EXPONENT);
        let lasting = along * duration;
        let allowable_across = across / criteria.factor("boss_bearing_across");
        let strength = Self {
            along: turned(lasting, across)?,
            across,
            allowable_along: turned(lasting / criteria.factor("boss_bearing"), allowable_across)?,
            allowable_across,
        };
        record.step(|| {
            Step::equation(
                "f05",
                "the same with the duration factor",
                "C_D·f05g",
                &[("C_D", number(duration)), ("f05g", pascals(along.value))],
                pascals(lasting.value),
            )
            .from(
                "nds-2018:Table 2.3.2, as the criteria say",
                Standing::Published,
            )
        });
        record.step(|| {
            Step::method(
                "f⊥",
                "strength across the grain, green mean at the proportional limit",
                "the table of woods",
                &[],
                pascals(across.value),
            )
            .from(wood.origin().source.clone(), wood.origin().standing)
        });
        strength.turned_steps(criteria, grain.value, [lasting, across], record);
        Ok(strength)
    }

    /// The steps from the strengths along and across the grain to those on the axes of the anchor.
    fn turned_steps<R: Recorder>(
        &self,
        criteria: &Criteria,
        grain: f64,
        [lasting, across]: [Stress; 2],
        record: &mut R,
    ) {
        const HANKINSON: &str = "p·q/(p·sin²(θ) + q·cos²(θ))";
        let source = "Hankinson's relation with exponent 2";
        record.step(|| {
            Step::equation(
                "f_V",
                "strength on the down axis, at its angle to the grain",
                HANKINSON,
                &[
                    ("p", pascals(lasting.value)),
                    ("q", pascals(across.value)),
                    ("θ", angle(grain)),
                ],
                pascals(self.along.value),
            )
            .from(source, Standing::Published)
        });
        let [along, perpendicular] =
            ["boss_bearing", "boss_bearing_across"].map(|key| (key, criteria.factor(key)));
        record.step(|| {
            Step::equation(
                "f_Ha",
                "bearing allowed on the side axis",
                "f⊥/n",
                &[
                    ("f⊥", pascals(across.value)),
                    ("n", number(perpendicular.1)),
                ],
                pascals(self.allowable_across.value),
            )
            .from(
                criteria.source(perpendicular.0),
                criteria.standing(perpendicular.0),
            )
        });
        record.step(|| {
            Step::equation(
                "f_Va",
                "bearing allowed on the down axis",
                "(f05/n)·f_Ha/((f05/n)·sin²(θ) + f_Ha·cos²(θ))",
                &[
                    ("f05", pascals(lasting.value)),
                    ("n", number(along.1)),
                    ("f_Ha", pascals(self.allowable_across.value)),
                    ("θ", angle(grain)),
                ],
                pascals(self.allowable_along.value),
            )
            .from(criteria.source(along.0), criteria.standing(along.0))
        });
    }
}

fn cited(wood: &crate::model::LivingWood, criteria: &Criteria, keys: &[&str]) -> String {
    let mut list = vec![wood.origin().source.clone()];
    list.extend(keys.iter().map(|key| criteria.source(key)));
    list.join("; ")
}

fn standing(wood: &crate::model::LivingWood, criteria: &Criteria, keys: &[&str]) -> Standing {
    keys.iter().fold(wood.origin().standing, |worst, key| {
        worst.worse(criteria.standing(key))
    })
}
