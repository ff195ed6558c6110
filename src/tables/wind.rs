//! How wind grows with height: the profiles of ASCE 7 by exposure, the terrain categories of EN 1991-1-4.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, positive};
use super::source::{Kind, Reference};
use crate::units::Length;
use crate::units::si::millimetres;
use crate::units::us::feet;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// An edition of ASCE 7, for wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum WindEdition {
    /// ASCE 7-16.
    #[serde(rename = "asce7-16")]
    Asce716,
    /// ASCE 7-22.
    #[serde(rename = "asce7-22")]
    Asce722,
}

impl WindEdition {
    /// The word for it, as in the table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Asce716 => "asce7-16",
            Self::Asce722 => "asce7-22",
        }
    }
}

/// The exposure of a site to wind, ASCE 7.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum WindExposure {
    /// Woods, suburbs, towns.
    B,
    /// Open country with scattered obstructions.
    C,
    /// Flat shores.
    D,
}

impl WindExposure {
    /// The letter.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::B => "B",
            Self::C => "C",
            Self::D => "D",
        }
    }
}

/// The power law of one exposure in one edition.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WindProfile {
    /// Edition and exposure, such as `asce7-22 B`.
    pub id: String,
    /// The edition.
    pub edition: WindEdition,
    /// The exposure.
    pub exposure: WindExposure,
    /// The coefficient of the power law (1).
    pub coefficient: f64,
    /// The exponent α (1).
    pub alpha: f64,
    /// The gradient height z_g.
    pub gradient: Length,
    reference: Reference,
}

impl WindProfile {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for WindProfile {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawProfile {
    edition: WindEdition,
    exposure: WindExposure,
    coefficient: f64,
    alpha: f64,
    gradient_ft: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawProfile {
    fn build(self) -> Result<WindProfile, String> {
        Ok(WindProfile {
            id: profile_id(self.edition, self.exposure),
            edition: self.edition,
            exposure: self.exposure,
            coefficient: positive(self.coefficient, "coefficient", |x| x)?,
            alpha: positive(self.alpha, "alpha", |x| x)?,
            gradient: positive(self.gradient_ft, "gradient_ft", feet)?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

fn profile_id(edition: WindEdition, exposure: WindExposure) -> String {
    format!("{} {}", edition.word(), exposure.letter())
}

/// A terrain category of EN 1991-1-4.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WindTerrain {
    /// The category: 0, I, II, III or IV.
    pub id: String,
    /// The land, in words.
    pub title: String,
    /// The roughness length z₀.
    pub roughness: Length,
    /// The height z_min below which the wind is taken as at it.
    pub least_height: Length,
    reference: Reference,
}

impl WindTerrain {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for WindTerrain {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTerrain {
    category: String,
    title: String,
    roughness_mm: f64,
    least_height_mm: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawTerrain {
    fn build(self) -> Result<WindTerrain, String> {
        Ok(WindTerrain {
            id: self.category,
            title: self.title,
            roughness: positive(self.roughness_mm, "roughness_mm", millimetres)?,
            least_height: positive(self.least_height_mm, "least_height_mm", millimetres)?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static PROFILES: Lazy<WindProfile> = LazyLock::new(|| {
    reader::read(
        "wind_exposure.csv",
        include_str!("../../data/wind_exposure.csv"),
        RawProfile::build,
    )
});
static TERRAINS: Lazy<WindTerrain> = LazyLock::new(|| {
    reader::read(
        "wind_terrain.csv",
        include_str!("../../data/wind_terrain.csv"),
        RawTerrain::build,
    )
});

/// Every profile of ASCE 7.
pub fn wind_profiles() -> &'static [WindProfile] {
    reader::rows(&PROFILES)
}

/// The profile of an exposure in an edition.
///
/// # Errors
///
/// [`LookupError::Broken`] when the table does not parse, [`LookupError::Unknown`] when it lacks the row.
pub fn wind_profile(
    edition: WindEdition,
    exposure: WindExposure,
) -> Result<&'static WindProfile, LookupError> {
    lookup::find(
        "wind profile",
        reader::checked(&PROFILES)?,
        &profile_id(edition, exposure),
    )
}

/// Every terrain category.
pub fn wind_terrains() -> &'static [WindTerrain] {
    reader::rows(&TERRAINS)
}

/// The terrain category of a numeral, such as `III`.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest categories.
pub fn wind_terrain(category: &str) -> Result<&'static WindTerrain, LookupError> {
    lookup::find("terrain category", reader::checked(&TERRAINS)?, category)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&PROFILES)?;
    reader::sound(&TERRAINS)
}
