//! What is not known exactly: random variables of the reliability of attachments, and how they hang together.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError};
use super::source::{Kind, Reference};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// The shape of a distribution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DistributionShape {
    /// Normal.
    Normal,
    /// Lognormal.
    Lognormal,
    /// Gumbel, of largest values (type I).
    Gumbel,
    /// Gamma.
    Gamma,
    /// Uniform.
    Uniform,
    /// One value.
    Fixed,
}

impl DistributionShape {
    /// Every shape.
    pub const ALL: [Self; 6] = [
        Self::Normal,
        Self::Lognormal,
        Self::Gumbel,
        Self::Gamma,
        Self::Uniform,
        Self::Fixed,
    ];

    /// The word for it, as in the table and the layout.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Lognormal => "lognormal",
            Self::Gumbel => "gumbel",
            Self::Gamma => "gamma",
            Self::Uniform => "uniform",
            Self::Fixed => "fixed",
        }
    }
}

/// How the deviation of a variable is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DeviationMeasure {
    /// Over the mean; the variable multiplies a value.
    #[serde(rename = "%")]
    Share,
    /// A length; the variable adds to a length. SI: m.
    #[serde(rename = "mm")]
    Length,
    /// An angle; the variable adds to an angle. SI: rad.
    #[serde(rename = "deg")]
    Angle,
}

impl DeviationMeasure {
    /// Its unit in SI.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Share => "1",
            Self::Length => "m",
            Self::Angle => "rad",
        }
    }

    fn factor(self) -> f64 {
        match self {
            Self::Share => 0.01,
            Self::Length => 1e-3,
            Self::Angle => std::f64::consts::PI / 180.0,
        }
    }
}

/// A random variable of the model of an attachment.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RandomVariable {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// The part of the model that it belongs to, in words: variables of one part are weighed together.
    pub part: String,
    /// The shape of its distribution.
    pub distribution: DistributionShape,
    /// Its mean (1, m or rad).
    pub mean: f64,
    /// Its standard deviation, over the mean where it multiplies (1, m or rad).
    pub deviation: f64,
    /// How the deviation is measured.
    pub measure: DeviationMeasure,
    /// Correlation, in the space of normal variables, between anchors of one tree, of trees of one species, of one platform (1).
    pub shared: [f64; 3],
    reference: Reference,
}

impl RandomVariable {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for RandomVariable {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawVariable {
    id: String,
    title: String,
    part: String,
    distribution: DistributionShape,
    mean: f64,
    deviation: f64,
    measure: DeviationMeasure,
    same_tree: f64,
    same_species: f64,
    same_site: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawVariable {
    fn build(self) -> Result<RandomVariable, String> {
        let shared = [self.same_tree, self.same_species, self.same_site];
        let ordered = shared.is_sorted_by(|near, far| near >= far);
        if !ordered || shared.iter().any(|share| !(0.0..=1.0).contains(share)) {
            return Err("same_tree, same_species and same_site run from 1 down to 0".into());
        }
        if !(self.mean.is_finite() && self.deviation.is_finite() && self.deviation >= 0.0) {
            return Err("mean or deviation is not usable".into());
        }
        let factor = self.measure.factor();
        Ok(RandomVariable {
            id: self.id,
            title: self.title,
            part: self.part,
            distribution: self.distribution,
            mean: if self.measure == DeviationMeasure::Share {
                self.mean
            } else {
                self.mean * factor
            },
            deviation: self.deviation * factor,
            measure: self.measure,
            shared,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static VARIABLES: Lazy<RandomVariable> = LazyLock::new(|| {
    reader::read(
        "random_variables.csv",
        include_str!("../../data/random_variables.csv"),
        RawVariable::build,
    )
});

/// Every random variable.
pub fn random_variables() -> &'static [RandomVariable] {
    reader::rows(&VARIABLES)
}

/// The random variable of an id, such as `crushing`.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest ids.
pub fn random_variable(id: &str) -> Result<&'static RandomVariable, LookupError> {
    lookup::find("random variable", reader::checked(&VARIABLES)?, id)
}

/// How two variables hang together in one piece of wood.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RandomCorrelation {
    /// The ids of both.
    pub between: [String; 2],
    /// Their correlation in the space of normal variables (1).
    pub correlation: f64,
    reference: Reference,
}

impl RandomCorrelation {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCorrelation {
    one: String,
    other: String,
    correlation: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static CORRELATIONS: Lazy<RandomCorrelation> = LazyLock::new(|| {
    reader::read(
        "random_correlations.csv",
        include_str!("../../data/random_correlations.csv"),
        |raw: RawCorrelation| {
            if !(-1.0..=1.0).contains(&raw.correlation) {
                return Err("a correlation lies between -1 and 1".into());
            }
            Ok(RandomCorrelation {
                between: [raw.one, raw.other],
                correlation: raw.correlation,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// Every correlation between properties of one piece of wood.
pub fn random_correlations() -> &'static [RandomCorrelation] {
    reader::rows(&CORRELATIONS)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&VARIABLES)?;
    reader::sound(&CORRELATIONS)
}
