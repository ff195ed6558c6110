//! Factors and limits: safety, spread, duration, snow, holes.

use super::combination::Format;
use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError, positive};
use super::source::{Kind, Reference};
use crate::units::si::{degrees, megapascals, metres_per_second, millimetres};
use crate::units::us::{inches, psf};
use crate::units::{Angle, AreaLoad, Length, Speed, Stress};
use serde::Deserialize;
use std::sync::LazyLock;

/// A value of a factor table.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum FactorValue {
    /// A pure number (1).
    Number(f64),
    /// A length.
    Length(Length),
    /// A stress.
    Stress(Stress),
    /// A load per area.
    AreaLoad(AreaLoad),
    /// A speed.
    Speed(Speed),
    /// An angle.
    Angle(Angle),
}

/// A factor or a limit with its source.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Factor {
    /// The id.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// On what, when, or in what terms it holds.
    pub condition: String,
    /// The value; none for a rule without a number.
    pub value: Option<FactorValue>,
    reference: Reference,
}

impl Factor {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// The value, where it is a pure number (1).
    pub fn number(&self) -> Option<f64> {
        match self.value {
            Some(FactorValue::Number(number)) => Some(number),
            _ => None,
        }
    }

    /// The value, where it is a length.
    pub fn length(&self) -> Option<Length> {
        match self.value {
            Some(FactorValue::Length(length)) => Some(length),
            _ => None,
        }
    }

    /// The value, where it is a stress.
    pub fn stress(&self) -> Option<Stress> {
        match self.value {
            Some(FactorValue::Stress(stress)) => Some(stress),
            _ => None,
        }
    }

    /// The value, where it is a load per area.
    pub fn area_load(&self) -> Option<AreaLoad> {
        match self.value {
            Some(FactorValue::AreaLoad(load)) => Some(load),
            _ => None,
        }
    }

    /// The value, where it is a speed.
    pub fn speed(&self) -> Option<Speed> {
        match self.value {
            Some(FactorValue::Speed(speed)) => Some(speed),
            _ => None,
        }
    }

    /// The value, where it is an angle.
    pub fn angle(&self) -> Option<Angle> {
        match self.value {
            Some(FactorValue::Angle(angle)) => Some(angle),
            _ => None,
        }
    }
}

impl Named for Factor {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawFactor {
    id: String,
    title: String,
    condition: String,
    value: String,
    unit: String,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawFactor {
    fn build(self) -> Result<Factor, String> {
        Ok(Factor {
            value: factor_value(&self.value, &self.unit)?,
            id: self.id,
            title: self.title,
            condition: self.condition,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

fn factor_value(value: &str, unit: &str) -> Result<Option<FactorValue>, String> {
    if value.is_empty() && unit.is_empty() {
        return Ok(None);
    }
    let number = number(value)?;
    let value = match unit {
        "1" => FactorValue::Number(number),
        "%" => FactorValue::Number(number / 100.0),
        "mm" => FactorValue::Length(millimetres(number)),
        "in" => FactorValue::Length(inches(number)),
        "MPa" => FactorValue::Stress(megapascals(number)),
        "psf" => FactorValue::AreaLoad(psf(number)),
        "m/s" => FactorValue::Speed(metres_per_second(number)),
        "deg" => FactorValue::Angle(degrees(number)),
        _ => return Err(format!("\"{unit}\" is not a unit of the factor tables")),
    };
    Ok(Some(value))
}

/// A finite number, or a fraction of two such as 1/6.
fn number(text: &str) -> Result<f64, String> {
    let parse = |part: &str| {
        part.parse::<f64>()
            .map_err(|_| format!("\"{text}\" is not a number"))
    };
    let number = match text.split_once('/') {
        Some((above, below)) => parse(above)? / parse(below)?,
        None => parse(text)?,
    };
    if number.is_finite() {
        Ok(number)
    } else {
        Err(format!("\"{text}\" is not a finite number"))
    }
}

macro_rules! factor_table {
    ($table:ident, $file:literal, $what:literal, $(#[$all_doc:meta])* $all:ident, $(#[$one_doc:meta])* $one:ident) => {
        static $table: Lazy<Factor> = LazyLock::new(|| reader::read($file, include_str!(concat!("../../data/", $file)), RawFactor::build));

        $(#[$all_doc])*
        pub fn $all() -> &'static [Factor] {
            reader::rows(&$table)
        }

        $(#[$one_doc])*
        ///
        /// # Errors
        ///
        /// [`LookupError::Unknown`] with the nearest ids.
        pub fn $one(id: &str) -> Result<&'static Factor, LookupError> {
            lookup::find($what, reader::checked(&$table)?, id)
        }
    };
}

factor_table! {
    SAFETY, "safety_factors.csv", "safety factor",
    /// The defaults of the criteria: safety factors, model constants and limits.
    safety_factors,
    /// The default of a criterion, by its key, such as `limit_load`.
    safety_factor
}

factor_table! {
    SNOW, "snow_factors.csv", "snow factor",
    /// Every snow factor.
    snow_factors,
    /// The snow factor of an id, such as `ct-open`.
    snow_factor
}

factor_table! {
    SHAPE, "wind_shape.csv", "wind factor",
    /// What turns a velocity pressure into a force on guards and edges.
    wind_shapes,
    /// The wind factor of an id, such as `gust`.
    wind_shape
}

factor_table! {
    TIME, "duration.csv", "time effect",
    /// Effects of time under load, wet service and temperature.
    time_effects,
    /// The effect of an id, such as `madison-floor`.
    time_effect
}

factor_table! {
    HOLES, "hole_guidance.csv", "hole rule",
    /// Guidance on holes, spacing and setting.
    hole_guidance,
    /// The rule of an id, such as `reach`.
    hole_rule
}

factor_table! {
    DRILLING, "drilling.csv", "drilling rule",
    /// What the drilling cards work by: shares, clearances, tolerances, and the ranges of the torque estimate.
    drilling_rules,
    /// The rule of an id, such as `guide-under`.
    drilling_rule
}

factor_table! {
    TARGETS, "reliability_targets.csv", "target of reliability",
    /// Published targets of reliability: the index for 50 years or a working life (1).
    reliability_targets,
    /// The target of an id, such as `asce-sudden-ii`.
    reliability_target
}

/// What takes the place of a safety factor of the allowable format in another format.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ResistanceFactor {
    /// Format and key, such as `lrfd boss_bearing`.
    pub id: String,
    /// The format.
    pub format: Format,
    /// The key of the criterion that it replaces.
    pub key: String,
    /// The value under the live load (1).
    pub value: f64,
    reference: Reference,
}

impl ResistanceFactor {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for ResistanceFactor {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawResistance {
    format: Format,
    key: String,
    value: String,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static RESISTANCE: Lazy<ResistanceFactor> = LazyLock::new(|| {
    reader::read(
        "resistance_factors.csv",
        include_str!("../../data/resistance_factors.csv"),
        |raw: RawResistance| {
            Ok(ResistanceFactor {
                id: format!("{} {}", raw.format.word(), raw.key),
                format: raw.format,
                key: raw.key,
                value: positive(number(&raw.value)?, "value", |value| value)?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// Every factor that takes the place of a safety factor in another format.
pub fn resistance_factors() -> &'static [ResistanceFactor] {
    reader::rows(&RESISTANCE)
}

/// The properties of clear wood whose spread is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Property {
    /// Modulus of rupture.
    Rupture,
    /// Modulus of elasticity.
    Modulus,
    /// Compression along the grain.
    Crushing,
    /// Compression across the grain.
    Across,
    /// Shear along the grain.
    Shear,
    /// Tension across the grain.
    TensionAcross,
    /// Side hardness.
    SideHardness,
    /// Specific gravity.
    SpecificGravity,
}

/// The spread of a property between pieces of green clear wood.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Variation {
    /// The property.
    pub property: Property,
    /// The property, in words.
    pub title: String,
    /// Coefficient of variation: standard deviation over mean (1).
    pub coefficient: f64,
    reference: Reference,
}

impl Variation {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawVariation {
    property: Property,
    title: String,
    variation_percent: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static VARIATIONS: Lazy<Variation> = LazyLock::new(|| {
    reader::read(
        "variability.csv",
        include_str!("../../data/variability.csv"),
        |raw: RawVariation| {
            Ok(Variation {
                property: raw.property,
                title: raw.title,
                coefficient: positive(raw.variation_percent, "variation_percent", |percent| {
                    percent / 100.0
                })?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// The spread of every property.
pub fn variations() -> &'static [Variation] {
    reader::rows(&VARIATIONS)
}

/// The spread of a property.
pub fn variation(property: Property) -> Option<&'static Variation> {
    variations().iter().find(|row| row.property == property)
}

/// The factor on wood strength for loads that act so long.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LoadDuration {
    /// The system: `nds`, `nds-lrfd` for the time effect λ, or `ec5-wet` for k_mod in service class 3.
    pub system: String,
    /// The class of load, such as `snow`.
    pub class: String,
    /// How long such loads act in all, in words.
    pub accumulated_time: String,
    /// The factor (1).
    pub factor: f64,
    id: String,
    reference: Reference,
}

impl LoadDuration {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for LoadDuration {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDuration {
    system: String,
    class: String,
    accumulated_time: String,
    factor: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static DURATIONS: Lazy<LoadDuration> = LazyLock::new(|| {
    reader::read(
        "load_duration.csv",
        include_str!("../../data/load_duration.csv"),
        |raw: RawDuration| {
            Ok(LoadDuration {
                id: format!("{} {}", raw.system, raw.class),
                system: raw.system,
                class: raw.class,
                accumulated_time: raw.accumulated_time,
                factor: positive(raw.factor, "factor", |factor| factor)?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// Every duration factor.
pub fn load_durations() -> &'static [LoadDuration] {
    reader::rows(&DURATIONS)
}

/// The duration factor of a class of load in a system.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest pairs.
pub fn load_duration(system: &str, class: &str) -> Result<&'static LoadDuration, LookupError> {
    lookup::find(
        "load duration",
        reader::checked(&DURATIONS)?,
        &format!("{system} {class}"),
    )
}

pub(super) fn verify() -> Result<(), TableError> {
    [&SAFETY, &SNOW, &SHAPE, &TIME, &HOLES, &DRILLING, &TARGETS]
        .into_iter()
        .try_for_each(reader::sound)?;
    reader::sound(&RESISTANCE)?;
    reader::sound(&VARIATIONS)?;
    reader::sound(&DURATIONS)
}
