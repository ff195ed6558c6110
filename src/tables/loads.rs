//! Live loads by use, and weights.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, either, optional};
use super::source::{Kind, Reference};
use crate::units::si::{
    STANDARD_GRAVITY, kilonewtons, kilopascals, newtons_per_cubic_metre, newtons_per_metre,
};
use crate::units::us::{pcf, plf, pounds_force, psf};
use crate::units::{AreaLoad, Force, LineLoad, UnitWeight};
use serde::Deserialize;
use std::sync::LazyLock;

/// The live load of a use.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LiveLoad {
    /// The id.
    pub id: String,
    /// The use, in words.
    pub title: String,
    /// Load per area.
    pub uniform: Option<AreaLoad>,
    /// Load per length.
    pub line: Option<LineLoad>,
    /// Load on one spot, not at the same time as the others.
    pub concentrated: Option<Force>,
    reference: Reference,
}

impl LiveLoad {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for LiveLoad {
    fn id(&self) -> &str {
        &self.id
    }
}

/// A weight, in the way it is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Weight {
    /// Per area of a layer.
    PerArea(AreaLoad),
    /// Per volume of a material.
    PerVolume(UnitWeight),
}

/// The weight of a part of a building.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DeadLoad {
    /// The id.
    pub id: String,
    /// The part, in words.
    pub title: String,
    /// Its weight.
    pub weight: Weight,
    reference: Reference,
}

impl DeadLoad {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for DeadLoad {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawLive {
    id: String,
    r#use: String,
    uniform_psf: Option<f64>,
    uniform_kn_per_m2: Option<f64>,
    line_plf: Option<f64>,
    line_kn_per_m: Option<f64>,
    concentrated_lbf: Option<f64>,
    concentrated_kn: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawLive {
    fn build(self) -> Result<LiveLoad, String> {
        let uniform = either(
            optional(self.uniform_psf, "uniform_psf", psf)?,
            optional(self.uniform_kn_per_m2, "uniform_kn_per_m2", kilopascals)?,
            "uniform",
        )?;
        let line = either(
            optional(self.line_plf, "line_plf", plf)?,
            optional(self.line_kn_per_m, "line_kn_per_m", |kn| {
                newtons_per_metre(kn * 1e3)
            })?,
            "line",
        )?;
        let concentrated = either(
            optional(self.concentrated_lbf, "concentrated_lbf", pounds_force)?,
            optional(self.concentrated_kn, "concentrated_kn", kilonewtons)?,
            "concentrated",
        )?;
        if uniform.is_none() && line.is_none() && concentrated.is_none() {
            return Err("the row has no load".into());
        }
        let reference = Reference::new(&self.source, self.locator, self.kind, self.note)?;
        Ok(LiveLoad {
            id: self.id,
            title: self.r#use,
            uniform,
            line,
            concentrated,
            reference,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDead {
    id: String,
    item: String,
    area_psf: Option<f64>,
    area_kn_per_m2: Option<f64>,
    weight_pcf: Option<f64>,
    weight_kn_per_m3: Option<f64>,
    density_kg_per_m3: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawDead {
    fn build(self) -> Result<DeadLoad, String> {
        let per_volume = |si: f64| Weight::PerVolume(newtons_per_cubic_metre(si));
        let given: Vec<Weight> = [
            optional(self.area_psf, "area_psf", |x| Weight::PerArea(psf(x)))?,
            optional(self.area_kn_per_m2, "area_kn_per_m2", |x| {
                Weight::PerArea(kilopascals(x))
            })?,
            optional(self.weight_pcf, "weight_pcf", |x| Weight::PerVolume(pcf(x)))?,
            optional(self.weight_kn_per_m3, "weight_kn_per_m3", |x| {
                per_volume(x * 1e3)
            })?,
            optional(self.density_kg_per_m3, "density_kg_per_m3", |x| {
                per_volume(x * STANDARD_GRAVITY)
            })?,
        ]
        .into_iter()
        .flatten()
        .collect();
        let &[weight] = given.as_slice() else {
            return Err(format!("{} weights where one is due", given.len()));
        };
        let reference = Reference::new(&self.source, self.locator, self.kind, self.note)?;
        Ok(DeadLoad {
            id: self.id,
            title: self.item,
            weight,
            reference,
        })
    }
}

static LIVE: Lazy<LiveLoad> = LazyLock::new(|| {
    reader::read(
        "live_loads.csv",
        include_str!("../../data/live_loads.csv"),
        RawLive::build,
    )
});
static DEAD: Lazy<DeadLoad> = LazyLock::new(|| {
    reader::read(
        "dead_loads.csv",
        include_str!("../../data/dead_loads.csv"),
        RawDead::build,
    )
});

/// Every live load.
pub fn live_loads() -> &'static [LiveLoad] {
    reader::rows(&LIVE)
}

/// The live load of an id, such as `deck-dwelling`.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest ids.
pub fn live_load(id: &str) -> Result<&'static LiveLoad, LookupError> {
    lookup::find("live load", reader::checked(&LIVE)?, id)
}

/// Every weight.
pub fn dead_loads() -> &'static [DeadLoad] {
    reader::rows(&DEAD)
}

/// The weight of an id, such as `steel`.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest ids.
pub fn dead_load(id: &str) -> Result<&'static DeadLoad, LookupError> {
    lookup::find("dead load", reader::checked(&DEAD)?, id)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&LIVE)?;
    reader::sound(&DEAD)
}
