//! The wood of a living stem. It can only be made from green values: a row of the green table, or green means of one's own.

use super::{Origin, Standing};
use crate::mechanics::embedment;
use crate::tables::{self, GreenWood, WoodClass};
use crate::units::{FoundationModulus, Stress};

/// Green clear-wood means of one species, as a living stem has them.
#[derive(Debug, Clone, PartialEq)]
pub struct LivingWood {
    name: String,
    class: Option<WoodClass>,
    crushing: Stress,
    across: Stress,
    modulus: Stress,
    specific_gravity: f64,
    dry_gravity: (f64, Origin),
    crushing_variation: f64,
    foundation: Option<FoundationModulus>,
    origin: Origin,
}

/// Green means that a user brings along, with their source.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnWood {
    /// What it is called.
    pub name: String,
    /// Crushing strength along the grain, green mean.
    pub crushing: Stress,
    /// Compression across the grain at the proportional limit, green mean.
    pub across: Stress,
    /// Modulus of elasticity in bending, green mean.
    pub modulus: Stress,
    /// Specific gravity: ovendry mass, green volume (1).
    pub specific_gravity: f64,
    /// Coefficient of variation of the crushing strength (1).
    pub variation: f64,
    /// Line modulus K of a bar in this wood along the grain, where it was measured.
    pub foundation_modulus: Option<FoundationModulus>,
    /// The user's words on where these come from.
    pub source: String,
}

/// Why a wood cannot carry an anchor check.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum WoodError {
    /// The table has no value for a property that the checks need.
    #[error("{wood} has no green {property} in the table")]
    Blank {
        /// The wood.
        wood: String,
        /// The property.
        property: &'static str,
    },
    /// A value of one's own is not physical.
    #[error("{property} of {wood} must be more than zero and finite{bound}")]
    Unphysical {
        /// The wood.
        wood: String,
        /// The property.
        property: &'static str,
        /// Further bounds, in words.
        bound: &'static str,
    },
}

impl LivingWood {
    /// A living wood from a row of the green table; `variation` is the coefficient of variation of crushing strength (1).
    ///
    /// # Errors
    /// When the row lacks a property that the checks need.
    pub fn from_table(row: &GreenWood, variation: f64) -> Result<Self, WoodError> {
        let name = &row.species.common_name;
        let wood = Self::own(OwnWood {
            name: name.clone(),
            crushing: row.crushing,
            across: row.across.ok_or_else(|| WoodError::Blank {
                wood: name.clone(),
                property: "compression across the grain",
            })?,
            modulus: row.modulus,
            specific_gravity: row.specific_gravity,
            variation,
            foundation_modulus: None,
            source: String::new(),
        })?;
        let dry_gravity = tables::combination_gravity(row)
            .map_or(wood.dry_gravity.clone(), |listed| {
                (listed.specific_gravity, Origin::from(listed.reference()))
            });
        Ok(Self {
            class: Some(row.species.class),
            origin: Origin::from(row.reference()),
            dry_gravity,
            ..wood
        })
    }

    /// A living wood from green means of one's own.
    ///
    /// # Errors
    /// When a value is not physical.
    pub fn own(wood: OwnWood) -> Result<Self, WoodError> {
        let unphysical = |property, bound| WoodError::Unphysical {
            wood: wood.name.clone(),
            property,
            bound,
        };
        let positive = |value: f64| value.is_finite() && value > 0.0;
        for (property, value) in [
            ("crushing strength", wood.crushing.value),
            ("compression across the grain", wood.across.value),
            ("modulus of elasticity", wood.modulus.value),
            (
                "foundation modulus",
                wood.foundation_modulus.map_or(1.0, |k| k.value),
            ),
        ] {
            if !positive(value) {
                return Err(unphysical(property, ""));
            }
        }
        if !(positive(wood.specific_gravity) && wood.specific_gravity < 1.5) {
            return Err(unphysical("specific gravity", ", and less than 1.5"));
        }
        // Beyond 0.6 the 5 % exclusion value mean·(1 − 1.645·COV) is zero or less.
        if !(wood.variation.is_finite() && (0.0..0.6).contains(&wood.variation)) {
            return Err(unphysical(
                "coefficient of variation",
                ", from 0 to below 0.6",
            ));
        }
        Ok(Self {
            name: wood.name,
            class: None,
            crushing: wood.crushing,
            across: wood.across,
            modulus: wood.modulus,
            specific_gravity: wood.specific_gravity,
            dry_gravity: (
                embedment::ovendry_gravity(wood.specific_gravity).unwrap_or(wood.specific_gravity),
                Origin::new(
                    "gravity on dry volume G/(1 − 0.265 G)",
                    Standing::FromMemory,
                ),
            ),
            crushing_variation: wood.variation,
            foundation: wood.foundation_modulus,
            origin: Origin::new(wood.source, Standing::Published),
        })
    }

    /// The common name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Hardwood or softwood; none where nobody said.
    pub fn class(&self) -> Option<WoodClass> {
        self.class
    }
    /// Crushing strength along the grain, green mean.
    pub fn crushing(&self) -> Stress {
        self.crushing
    }
    /// Compression across the grain at the proportional limit, green mean.
    pub fn across(&self) -> Stress {
        self.across
    }
    /// Modulus of elasticity in bending, green mean.
    pub fn modulus(&self) -> Stress {
        self.modulus
    }
    /// Specific gravity, ovendry mass and green volume (1).
    pub fn specific_gravity(&self) -> f64 {
        self.specific_gravity
    }
    /// Specific gravity on the ovendry volume, as dowel and withdrawal equations take it (1), and where it comes from.
    pub fn dry_gravity(&self) -> (f64, &Origin) {
        (self.dry_gravity.0, &self.dry_gravity.1)
    }
    /// Coefficient of variation of the crushing strength (1).
    pub fn crushing_variation(&self) -> f64 {
        self.crushing_variation
    }
    /// Whether its line modulus was given.
    pub fn has_own_foundation(&self) -> bool {
        self.foundation.is_some()
    }
    /// The line modulus along the grain: measured, or 0.05 × 1.1 × green modulus.
    pub fn foundation_modulus(&self) -> FoundationModulus {
        self.foundation
            .unwrap_or(self.modulus * (FOUNDATION_SHARE * TRUE_MODULUS))
    }
    /// Where the values come from.
    pub fn origin(&self) -> &Origin {
        &self.origin
    }
}

/// Line modulus along the grain over E_L: derived from slip moduli of timber joints, for bars of 20–75 mm (docs/method.md).
pub const FOUNDATION_SHARE: f64 = 0.05;
/// E_L over the printed bending modulus: the handbook's allowance for shear at span/depth 14 (fpl-gtr-282, chapter 5).
pub const TRUE_MODULUS: f64 = 1.1;
/// Line modulus across over along the grain (derived, docs/method.md).
pub const FOUNDATION_ACROSS: f64 = 1.0 / 3.0;

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, clippy::unwrap_used)]
    use super::*;
    use crate::model::Bound;

    #[test]
    fn the_constants_of_the_foundation_are_those_that_the_criteria_show() {
        for (key, value) in [
            ("foundation_along", FOUNDATION_SHARE),
            ("modulus_true", TRUE_MODULUS),
            ("foundation_across", FOUNDATION_ACROSS),
            ("foundation_low", Bound::Soft.factor()),
            ("foundation_high", Bound::Stiff.factor()),
            ("embedment_along", embedment::EMBEDMENT_TO_CRUSHING),
        ] {
            assert_eq!(
                tables::safety_factor(key).unwrap().number(),
                Some(value),
                "{key}"
            );
        }
    }
}
