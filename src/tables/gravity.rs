//! Specific gravity on other footings: commercial combinations for dowel bearing, and the moisture of standing trees.

use super::lookup::Named;
use super::reader::{self, Lazy, TableError, list, positive};
use super::source::{Kind, Reference};
use super::wood::{GreenWood, WATER};
use crate::units::Density;
use crate::units::si::kilograms_per_cubic_metre;
use serde::Deserialize;
use std::sync::LazyLock;

/// The gravity that a commercial combination takes in dowel bearing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CombinationGravity {
    /// The id.
    pub id: String,
    /// The combination as the standard names it.
    pub combination: String,
    /// Specific gravity, ovendry mass over ovendry volume (1).
    pub specific_gravity: f64,
    /// Ids of the green woods that are sold as this combination.
    pub members: Vec<String>,
    /// Ids of the green woods that take this gravity: sold as this combination only, and not much lighter than it.
    pub woods: Vec<String>,
    reference: Reference,
}

impl CombinationGravity {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for CombinationGravity {
    const ANY_ORDER: bool = true;

    fn id(&self) -> &str {
        &self.id
    }
    fn label(&self) -> &str {
        &self.combination
    }
}

/// The green wood of a standing tree, as the forest inventory weighs it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct GreenDensity {
    /// Id of the green wood.
    pub wood: String,
    /// Species code of the forest inventory.
    pub fia_code: u16,
    /// Specific gravity that the inventory uses, ovendry mass over green volume (1).
    pub specific_gravity: f64,
    /// Mass of water over ovendry mass (1).
    pub moisture: f64,
    reference: Reference,
}

impl GreenDensity {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// Mass of green wood per volume: gravity × (1 + moisture) × density of water.
    pub fn density(&self) -> Density {
        kilograms_per_cubic_metre(self.specific_gravity * (1.0 + self.moisture) * WATER)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCombination {
    id: String,
    combination: String,
    specific_gravity: f64,
    members: String,
    woods: String,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDensity {
    wood: String,
    fia_code: u16,
    specific_gravity: f64,
    moisture_percent: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static COMBINATIONS: Lazy<CombinationGravity> = LazyLock::new(|| {
    reader::read(
        "nds_gravity.csv",
        include_str!("../../data/nds_gravity.csv"),
        |raw: RawCombination| {
            Ok(CombinationGravity {
                id: raw.id,
                combination: raw.combination,
                specific_gravity: positive(raw.specific_gravity, "specific_gravity", |gravity| {
                    gravity
                })?,
                members: list(&raw.members),
                woods: list(&raw.woods),
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

static DENSITIES: Lazy<GreenDensity> = LazyLock::new(|| {
    reader::read(
        "green_density.csv",
        include_str!("../../data/green_density.csv"),
        |raw: RawDensity| {
            Ok(GreenDensity {
                wood: raw.wood,
                fia_code: raw.fia_code,
                specific_gravity: positive(raw.specific_gravity, "specific_gravity", |gravity| {
                    gravity
                })?,
                moisture: positive(raw.moisture_percent, "moisture_percent", |percent| {
                    percent / 100.0
                })?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// Every combination with its gravity.
pub fn combination_gravities() -> &'static [CombinationGravity] {
    reader::rows(&COMBINATIONS)
}

/// The combination whose gravity a green wood takes in dowel bearing; none where that is in doubt.
///
/// ```rust
/// let oak = barkline::tables::find_green_wood("white oak")?;
/// let nds = barkline::tables::combination_gravity(oak).map(|row| (row.combination.as_str(), row.specific_gravity));
/// assert_eq!(nds, Some(("White Oak", 0.73)));
/// # Ok::<(), barkline::tables::LookupError>(())
/// ```
pub fn combination_gravity(wood: &GreenWood) -> Option<&'static CombinationGravity> {
    combination_gravities()
        .iter()
        .find(|row| row.woods.contains(&wood.species.id))
}

/// The green density of every wood of the United States.
pub fn green_densities() -> &'static [GreenDensity] {
    reader::rows(&DENSITIES)
}

/// The green density of a wood; none for woods from elsewhere.
pub fn green_density(wood: &GreenWood) -> Option<&'static GreenDensity> {
    green_densities()
        .iter()
        .find(|row| row.wood == wood.species.id)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&COMBINATIONS)?;
    reader::sound(&DENSITIES)
}
