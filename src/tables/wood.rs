//! Clear wood, green and seasoned: two types, so that a seasoned value can never stand for a living stem.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, list, optional, positive};
use super::source::{Kind, Reference};
use crate::units::si::{STANDARD_GRAVITY, kilograms_per_cubic_metre, newtons_per_cubic_metre};
use crate::units::us::{pounds_force, psi};
use crate::units::{Density, Force, Stress, UnitWeight};
use serde::Deserialize;
use std::sync::LazyLock;

/// The density of water, to which specific gravity is referred (kg/m³).
pub(super) const WATER: f64 = 1000.0;

/// The moisture of the seasoned table, mass of water over ovendry mass.
const SEASONED_MOISTURE: f64 = 0.12;

/// Hardwood or softwood, in the botanist's sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WoodClass {
    /// Broad-leaved trees.
    Hardwood,
    /// Conifers.
    Softwood,
}

/// Where the tested trees grew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Region {
    /// The United States.
    Us,
    /// Canada.
    Canada,
    /// Elsewhere.
    Imported,
}

/// The names of a wood and the kind of tree.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Species {
    /// The id, such as `oak_white`.
    pub id: String,
    /// The common name as the handbook orders it: genus first.
    pub common_name: String,
    /// The scientific name.
    pub scientific_name: String,
    /// Other names in use.
    pub other_names: Vec<String>,
    /// Groups of the trade or the handbook, such as "red oak group".
    pub groups: Vec<String>,
    /// Where the tested trees grew.
    pub region: Region,
    /// Hardwood or softwood.
    pub class: WoodClass,
}

impl Species {
    fn names(&self) -> Vec<String> {
        let mut names = self.other_names.clone();
        names.push(match self.region {
            Region::Canada => format!("{}, Canada", self.scientific_name),
            Region::Us | Region::Imported => self.scientific_name.clone(),
        });
        names.extend(
            self.common_name
                .split_once(", ")
                .map(|(genus, rest)| format!("{rest} {genus}")),
        );
        names.extend(
            self.groups
                .iter()
                .map(|group| format!("{} ({group})", self.common_name)),
        );
        names
    }
}

/// Writes one type of clear wood. The two share their columns and nothing else: neither can be had from the other.
macro_rules! clear_wood {
    ($(#[$doc:meta])* $name:ident { $(#[$gravity_doc:meta])* specific_gravity: $gravity:ty = $read:expr }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq)]
        #[non_exhaustive]
        pub struct $name {
            /// Names and kind of tree.
            pub species: Species,
            $(#[$gravity_doc])*
            pub specific_gravity: $gravity,
            /// Modulus of rupture in static bending.
            pub rupture: Stress,
            /// Modulus of elasticity in static bending, as printed: shear deflection is in it.
            pub modulus: Stress,
            /// Largest compression along the grain.
            pub crushing: Stress,
            /// Compression across the grain at the proportional limit; not printed for every wood.
            pub across: Option<Stress>,
            /// Shear along the grain.
            pub shear: Option<Stress>,
            /// Tension across the grain.
            pub tension_across: Option<Stress>,
            /// Force that sinks a 0.444 in ball by half into the side.
            pub side_hardness: Option<Force>,
            reference: Reference,
        }

        impl $name {
            /// Where the row comes from.
            pub fn reference(&self) -> &Reference {
                &self.reference
            }

            fn new(raw: Raw) -> Result<Self, String> {
                let specific_gravity = $read(optional(raw.specific_gravity, "specific_gravity", |gravity| gravity)?)?;
                Ok(Self {
                    species: Species {
                        id: raw.id,
                        common_name: raw.common_name,
                        scientific_name: raw.scientific_name,
                        other_names: list(&raw.other_names),
                        groups: list(&raw.groups),
                        region: raw.region,
                        class: raw.class,
                    },
                    specific_gravity,
                    rupture: positive(raw.rupture_psi, "rupture_psi", psi)?,
                    modulus: positive(raw.modulus_1e6_psi, "modulus_1e6_psi", |millions| psi(millions * 1e6))?,
                    crushing: positive(raw.crushing_psi, "crushing_psi", psi)?,
                    across: optional(raw.across_psi, "across_psi", psi)?,
                    shear: optional(raw.shear_psi, "shear_psi", psi)?,
                    tension_across: optional(raw.tension_across_psi, "tension_across_psi", psi)?,
                    side_hardness: optional(raw.side_hardness_lbf, "side_hardness_lbf", pounds_force)?,
                    reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
                })
            }
        }

        impl Named for $name {
            const ANY_ORDER: bool = true;

            fn id(&self) -> &str {
                &self.species.id
            }

            fn label(&self) -> &str {
                &self.species.common_name
            }

            fn names(&self) -> Vec<String> {
                self.species.names()
            }
        }
    };
}

clear_wood! {
    /// Clear green wood: means of small, clear, straight-grained pieces above fibre saturation.
    ///
    /// The only wood that a living stem can be made of. A seasoned value cannot take its place:
    ///
    /// ```rust,compile_fail
    /// use barkline::tables::{GreenWood, find_seasoned_wood};
    ///
    /// let stem: &GreenWood = find_seasoned_wood("white oak").unwrap();
    /// ```
    GreenWood {
        /// Specific gravity, ovendry mass over green volume (1).
        specific_gravity: f64 = |gravity: Option<f64>| gravity.ok_or("specific_gravity is blank")
    }
}

clear_wood! {
    /// Clear wood at 12 % moisture: for beams, joists and braces, never for a stem.
    SeasonedWood {
        /// Specific gravity, ovendry mass over volume at 12 % moisture (1); not printed for every wood.
        specific_gravity: Option<f64> = Ok::<_, String>
    }
}

impl SeasonedWood {
    /// Mass per volume at 12 % moisture: 1.12 × gravity × density of water.
    pub fn density(&self) -> Option<Density> {
        self.specific_gravity
            .map(|gravity| kilograms_per_cubic_metre(gravity * (1.0 + SEASONED_MOISTURE) * WATER))
    }

    /// Weight per volume at 12 % moisture.
    pub fn unit_weight(&self) -> Option<UnitWeight> {
        self.density()
            .map(|density| newtons_per_cubic_metre(density.value * STANDARD_GRAVITY))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    id: String,
    common_name: String,
    scientific_name: String,
    other_names: String,
    groups: String,
    region: Region,
    class: WoodClass,
    specific_gravity: Option<f64>,
    rupture_psi: f64,
    modulus_1e6_psi: f64,
    crushing_psi: f64,
    across_psi: Option<f64>,
    shear_psi: Option<f64>,
    tension_across_psi: Option<f64>,
    side_hardness_lbf: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static GREEN: Lazy<GreenWood> = LazyLock::new(|| {
    reader::read(
        "green_wood.csv",
        include_str!("../../data/green_wood.csv"),
        GreenWood::new,
    )
});
static SEASONED: Lazy<SeasonedWood> = LazyLock::new(|| {
    reader::read(
        "seasoned_wood.csv",
        include_str!("../../data/seasoned_wood.csv"),
        SeasonedWood::new,
    )
});

/// Every green wood: grown in the United States, in Canada, and imported.
pub fn green_woods() -> &'static [GreenWood] {
    reader::rows(&GREEN)
}

/// Every wood at 12 % moisture.
pub fn seasoned_woods() -> &'static [SeasonedWood] {
    reader::rows(&SEASONED)
}

/// The green wood of a common name, scientific name or id.
///
/// A plain name means the row of the United States; the Canadian row is asked for by adding "Canada".
///
/// # Errors
///
/// [`LookupError::Ambiguous`] with the rows that fit, as for "red oak"; [`LookupError::Unknown`] with the nearest names.
///
/// ```rust
/// use barkline::tables::{LookupError, find_green_wood};
///
/// assert_eq!(find_green_wood("coast Douglas fir")?.species.id, "douglas_fir_coast");
/// assert!(matches!(find_green_wood("red oak"), Err(LookupError::Ambiguous { candidates, .. }) if candidates.len() == 9));
/// # Ok::<(), LookupError>(())
/// ```
pub fn find_green_wood(name: &str) -> Result<&'static GreenWood, LookupError> {
    lookup::find("green wood", reader::checked(&GREEN)?, name)
}

/// The wood at 12 % moisture of a common name, scientific name or id.
///
/// # Errors
///
/// As [`find_green_wood`].
pub fn find_seasoned_wood(name: &str) -> Result<&'static SeasonedWood, LookupError> {
    lookup::find("seasoned wood", reader::checked(&SEASONED)?, name)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&GREEN)?;
    reader::sound(&SEASONED)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_order_of_rows_does_not_matter() {
        let rows = reader::checked(&GREEN).unwrap();
        let turned = lookup::Rows::from(rows.iter().rev().cloned().collect::<Vec<_>>());
        let id = |found: Result<&GreenWood, LookupError>| found.map(|wood| wood.species.id.clone());
        let asked = rows.iter().flat_map(Named::names);
        for name in
            asked.chain(["red oak", "maple", "wite oak", "walnut", "", "zzz"].map(str::to_owned))
        {
            assert_eq!(
                id(lookup::find("wood", rows, &name)),
                id(lookup::find("wood", &turned, &name)),
                "{name}"
            );
        }
    }

    #[test]
    fn a_green_row_needs_its_gravity() {
        let head = "id,common_name,scientific_name,other_names,groups,region,class,specific_gravity,rupture_psi,modulus_1e6_psi,\
            crushing_psi,across_psi,shear_psi,tension_across_psi,side_hardness_lbf,source,locator,kind,note\n";
        let row = "x,X,X x,,,us,hardwood,,1,1,1,,,,,fpl-gtr-282,Table 5-3b,measured,\n";
        let text = format!("{head}{row}");
        assert!(reader::read("test.csv", &text, SeasonedWood::new).is_ok());
        assert!(
            reader::read("test.csv", &text, GreenWood::new)
                .unwrap_err()
                .reason
                .contains("specific_gravity")
        );
        let stray = text.replace("fpl-gtr-282", "fpl-gtr-283");
        assert!(
            reader::read("test.csv", &stray, SeasonedWood::new)
                .unwrap_err()
                .reason
                .contains("fpl-gtr-283")
        );
    }
}
