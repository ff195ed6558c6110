//! Load combinations as rows: one for each alternative that a standard leaves open.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError};
use super::source::{Kind, Reference};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// The cases that combinations factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadCase {
    /// Weight, D.
    Dead,
    /// Use and people, L.
    Live,
    /// Use of a roof, Lr.
    RoofLive,
    /// Snow, S.
    Snow,
    /// Rain, R.
    Rain,
    /// Wind, W.
    Wind,
    /// Earthquake, E.
    Seismic,
    /// Sideways load of people, Z. Sets without a term for it leave it to the live load.
    Sway,
}

impl LoadCase {
    /// Every case, in the order of the columns.
    pub const ALL: [Self; 8] = [
        Self::Dead,
        Self::Live,
        Self::RoofLive,
        Self::Snow,
        Self::Rain,
        Self::Wind,
        Self::Seismic,
        Self::Sway,
    ];

    /// The letter by which standards call the case.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Dead => "D",
            Self::Live => "L",
            Self::RoofLive => "Lr",
            Self::Snow => "S",
            Self::Rain => "R",
            Self::Wind => "W",
            Self::Seismic => "E",
            Self::Sway => "Z",
        }
    }
}

/// The format of safety a set belongs to; the resistance must be of the same format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Format {
    /// Allowable strength design.
    Asd,
    /// Load and resistance factor design.
    Lrfd,
    /// Partial factors of the Eurocodes.
    Partial,
}

impl Format {
    /// The word for it, as in the table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Asd => "asd",
            Self::Lrfd => "lrfd",
            Self::Partial => "partial",
        }
    }
}

/// The level of the snow load that a set's factors expect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SnowLevel {
    /// A nominal load, as of ASCE 7-16.
    Nominal,
    /// A strength-level load, as of the maps of ASCE 7-22.
    Strength,
    /// The characteristic load of the Eurocodes.
    Characteristic,
}

/// One combination.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Combination {
    /// The id of the set, such as `asce7-22-asd`.
    pub set: String,
    /// The id in the set: number in the standard, then the alternative.
    pub row: String,
    /// The format of safety.
    pub format: Format,
    /// The level of the snow load.
    pub snow_level: SnowLevel,
    factors: [f64; 8],
    reference: Reference,
}

impl Combination {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// The factor of a case (1); 0 where the case has no part.
    pub fn factor(&self, case: LoadCase) -> f64 {
        self.factors()
            .find(|&(own, _)| own == case)
            .map_or(0.0, |(_, factor)| factor)
    }

    /// The cases that have a part, with their factors (1).
    pub fn factors(&self) -> impl Iterator<Item = (LoadCase, f64)> {
        LoadCase::ALL
            .into_iter()
            .zip(self.factors)
            .filter(|&(_, factor)| factor != 0.0)
    }

    /// The combination as standards write it, such as `D + 0.75L + 0.525S`.
    pub fn label(&self) -> String {
        let term = |(case, factor): (LoadCase, f64)| {
            if (factor - 1.0).abs() < f64::EPSILON {
                case.symbol().to_owned()
            } else {
                format!("{factor}{}", case.symbol())
            }
        };
        self.factors().map(term).collect::<Vec<_>>().join(" + ")
    }
}

impl Named for Combination {
    fn id(&self) -> &str {
        &self.set
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    set: String,
    row: String,
    format: Format,
    snow_level: SnowLevel,
    dead_factor: Option<f64>,
    live_factor: Option<f64>,
    roof_live_factor: Option<f64>,
    snow_factor: Option<f64>,
    rain_factor: Option<f64>,
    wind_factor: Option<f64>,
    seismic_factor: Option<f64>,
    sway_factor: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl Raw {
    fn build(self) -> Result<Combination, String> {
        let factors = [
            self.dead_factor,
            self.live_factor,
            self.roof_live_factor,
            self.snow_factor,
            self.rain_factor,
            self.wind_factor,
            self.seismic_factor,
            self.sway_factor,
        ]
        .map(Option::unwrap_or_default);
        if factors
            .iter()
            .any(|factor| !factor.is_finite() || *factor < 0.0)
        {
            return Err("a factor is negative or not a number".into());
        }
        Ok(Combination {
            set: self.set,
            row: self.row,
            format: self.format,
            snow_level: self.snow_level,
            factors,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

/// What the names of the sets of EN 1990 begin with.
const EN_1990: &str = "en1990";

static COMBINATIONS: Lazy<Combination> = LazyLock::new(|| {
    reader::read(
        "load_combinations.csv",
        include_str!("../../data/load_combinations.csv"),
        Raw::build,
    )
});

/// Every combination of every set.
pub fn all_combinations() -> &'static [Combination] {
    reader::rows(&COMBINATIONS)
}

/// The ids of the sets, in alphabetic order.
pub fn combination_sets() -> Vec<&'static str> {
    let mut sets: Vec<_> = all_combinations()
        .iter()
        .map(|row| row.set.as_str())
        .collect();
    sets.sort_unstable();
    sets.dedup();
    sets
}

/// The combinations of a set; `en1990` means both sets of EN 1990, strength and equilibrium.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest sets.
///
/// ```rust
/// let rows = barkline::tables::combinations("asce7-22-asd")?;
/// assert!(rows.iter().any(|row| row.label() == "D + 0.75L + 0.525S"));
/// # Ok::<(), barkline::tables::LookupError>(())
/// ```
pub fn combinations(set: &str) -> Result<Vec<&'static Combination>, LookupError> {
    let rows = reader::checked(&COMBINATIONS)?;
    if set == EN_1990 {
        return Ok(rows
            .iter()
            .filter(|row| row.set.starts_with(EN_1990))
            .collect());
    }
    let found = &lookup::find("combination set", rows, set)?.set;
    Ok(rows.iter().filter(|row| row.set == *found).collect())
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&COMBINATIONS)
}
