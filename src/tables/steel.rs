//! Bar steels by grade and diameter.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, either, list, optional, positive};
use super::source::{Kind, Reference};
use crate::units::si::{megapascals, millimetres, newtons_per_cubic_metre};
use crate::units::us::{inches, ksi};
use crate::units::{Length, Stress, UnitWeight};
use serde::Deserialize;
use std::sync::LazyLock;

/// The families of steel that share an elastic modulus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SteelFamily {
    /// Carbon and low-alloy steel.
    Carbon,
    /// Austenitic stainless steel.
    Stainless,
}

/// A grade of steel in one range of bar diameters.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Steel {
    /// The id of the grade, shared by its ranges.
    pub id: String,
    /// Names of the grade; the first is its full name.
    pub names: Vec<String>,
    /// The family.
    pub family: SteelFamily,
    /// The row holds for diameters over this …
    pub over: Length,
    /// … up to this.
    pub to: Length,
    /// Specified minimum yield strength F_y.
    pub f_y: Stress,
    /// Specified minimum tensile strength F_u.
    pub f_u: Stress,
    reference: Reference,
}

impl Steel {
    /// Where the strengths come from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// Modulus and weight of the family, with their own reference.
    pub fn stiffness(&self) -> Option<&'static SteelStiffness> {
        reader::rows(&STIFFNESSES)
            .iter()
            .find(|row| row.family == self.family)
    }
}

impl Named for Steel {
    fn id(&self) -> &str {
        &self.id
    }
    fn names(&self) -> Vec<String> {
        self.names.clone()
    }
}

/// Elastic modulus and weight of a family of steel.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SteelStiffness {
    /// The family.
    pub family: SteelFamily,
    /// Elastic modulus E.
    pub modulus: Stress,
    /// Weight per volume.
    pub unit_weight: UnitWeight,
    reference: Reference,
}

impl SteelStiffness {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    id: String,
    names: String,
    family: SteelFamily,
    over_in: Option<f64>,
    to_in: Option<f64>,
    over_mm: Option<f64>,
    to_mm: Option<f64>,
    f_y_ksi: Option<f64>,
    f_u_ksi: Option<f64>,
    f_y_mpa: Option<f64>,
    f_u_mpa: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl Raw {
    fn build(self) -> Result<Steel, String> {
        let strength = |us, si, what: &str| {
            either(
                optional(us, what, ksi)?,
                optional(si, what, megapascals)?,
                what,
            )?
            .ok_or(format!("{what} is blank"))
        };
        let over = either(
            self.over_in.map(inches),
            self.over_mm.map(millimetres),
            "over",
        )?
        .ok_or("over is blank")?;
        let to = either(
            optional(self.to_in, "to_in", inches)?,
            optional(self.to_mm, "to_mm", millimetres)?,
            "to",
        )?
        .ok_or("to is blank")?;
        if !(over.value >= 0.0 && over < to) {
            return Err("over must be at least 0 and below to".into());
        }
        Ok(Steel {
            id: self.id,
            names: list(&self.names),
            family: self.family,
            over,
            to,
            f_y: strength(self.f_y_ksi, self.f_y_mpa, "f_y")?,
            f_u: strength(self.f_u_ksi, self.f_u_mpa, "f_u")?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawStiffness {
    family: SteelFamily,
    modulus_ksi: Option<f64>,
    modulus_mpa: Option<f64>,
    weight_kn_per_m3: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawStiffness {
    fn build(self) -> Result<SteelStiffness, String> {
        let us = optional(self.modulus_ksi, "modulus_ksi", ksi)?;
        let si = optional(self.modulus_mpa, "modulus_mpa", megapascals)?;
        Ok(SteelStiffness {
            family: self.family,
            modulus: either(us, si, "modulus")?.ok_or("modulus is blank")?,
            unit_weight: positive(self.weight_kn_per_m3, "weight_kn_per_m3", |kn| {
                newtons_per_cubic_metre(kn * 1e3)
            })?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static STEELS: Lazy<Steel> = LazyLock::new(|| {
    reader::read(
        "steels.csv",
        include_str!("../../data/steels.csv"),
        Raw::build,
    )
});
static STIFFNESSES: Lazy<SteelStiffness> = LazyLock::new(|| {
    reader::read(
        "steel_elastic.csv",
        include_str!("../../data/steel_elastic.csv"),
        RawStiffness::build,
    )
});

/// Every grade, in each of its ranges.
pub fn steels() -> &'static [Steel] {
    reader::rows(&STEELS)
}

/// The steel of a grade in a bar of a diameter.
///
/// Quenched bolting steels lose strength as the bar grows: give the largest diameter of the bar that was heat-treated.
///
/// # Errors
///
/// [`LookupError::Unknown`] for the grade, [`LookupError::NoSize`] for a diameter that the grade is not listed for.
///
/// ```rust
/// use barkline::{tables::steel, units::us::{inches, ksi}};
///
/// assert_eq!(steel("A193 B7", inches(2.5))?.f_y, ksi(105.0));
/// assert_eq!(steel("A193 B7", inches(3.0))?.f_y, ksi(95.0));
/// # Ok::<(), barkline::tables::LookupError>(())
/// ```
pub fn steel(grade: &str, diameter: Length) -> Result<&'static Steel, LookupError> {
    let rows = reader::checked(&STEELS)?;
    let id = &lookup::find("steel", rows, grade)?.id;
    let ranges = || rows.iter().filter(|row| row.id == *id);
    ranges()
        .find(|row| row.over < diameter && diameter <= row.to)
        .ok_or_else(|| LookupError::NoSize {
            name: grade.to_owned(),
            size: diameter,
            ranges: ranges().map(|row| (row.over, row.to)).collect(),
        })
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&STEELS)?;
    reader::sound(&STIFFNESSES)
}
