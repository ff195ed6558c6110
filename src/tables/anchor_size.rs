//! Generic anchor sizes: sizes of this project, built round inch and millimetre steps. Measure your own.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, positive};
use super::source::{Kind, Reference};
use crate::units::Length;
use crate::units::si::millimetres;
use serde::Deserialize;
use std::sync::LazyLock;

/// A size of anchor: a boss with a threaded shank behind it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct AnchorSize {
    /// Boss diameter × boss length / shank diameter in mm, such as `64x114/34`.
    pub id: String,
    /// Diameter of the boss D_b.
    pub boss_diameter: Length,
    /// Length of the boss L_b; by common practice half of it goes into sound wood.
    pub boss_length: Length,
    /// Outside diameter of the thread D_s.
    pub shank_diameter: Length,
    /// Root diameter of the thread d_r.
    pub root_diameter: Length,
    /// Length of the shank beyond the boss, all of it in wood.
    pub shank_length: Length,
    /// Length of full thread, without the tip.
    pub thread_length: Length,
    /// Diameter of the pilot hole, no larger than the root.
    pub pilot_diameter: Length,
    /// Id of the steel grade.
    pub steel: String,
    reference: Reference,
}

impl AnchorSize {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for AnchorSize {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    id: String,
    boss_diameter_mm: f64,
    boss_length_mm: f64,
    shank_diameter_mm: f64,
    root_diameter_mm: f64,
    shank_length_mm: f64,
    thread_length_mm: f64,
    pilot_diameter_mm: f64,
    steel: String,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl Raw {
    fn build(self) -> Result<AnchorSize, String> {
        Ok(AnchorSize {
            id: self.id,
            boss_diameter: positive(self.boss_diameter_mm, "boss_diameter_mm", millimetres)?,
            boss_length: positive(self.boss_length_mm, "boss_length_mm", millimetres)?,
            shank_diameter: positive(self.shank_diameter_mm, "shank_diameter_mm", millimetres)?,
            root_diameter: positive(self.root_diameter_mm, "root_diameter_mm", millimetres)?,
            shank_length: positive(self.shank_length_mm, "shank_length_mm", millimetres)?,
            thread_length: positive(self.thread_length_mm, "thread_length_mm", millimetres)?,
            pilot_diameter: positive(self.pilot_diameter_mm, "pilot_diameter_mm", millimetres)?,
            steel: self.steel,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static SIZES: Lazy<AnchorSize> = LazyLock::new(|| {
    reader::read(
        "anchor_sizes.csv",
        include_str!("../../data/anchor_sizes.csv"),
        Raw::build,
    )
});

/// Every anchor size.
pub fn anchor_sizes() -> &'static [AnchorSize] {
    reader::rows(&SIZES)
}

/// The anchor size of an id.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest ids.
pub fn anchor_size(id: &str) -> Result<&'static AnchorSize, LookupError> {
    lookup::find("anchor size", reader::checked(&SIZES)?, id)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&SIZES)
}
