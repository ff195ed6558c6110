//! What is not known exactly: the random variables of an attachment, with their distributions. They travel with the
//! platform as the criteria do.

use super::Origin;
use crate::tables::{self, DeviationMeasure, DistributionShape};
use serde::Serialize;

macro_rules! uncertain {
    ($($(#[$doc:meta])* $name:ident = $id:literal;)*) => {
        /// A random variable of the model of an attachment.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        pub enum Uncertain {
            $($(#[$doc])* #[serde(rename = $id)] $name,)*
        }

        impl Uncertain {
            /// Every one, in the order of every listing.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The stable id of files and results.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }
        }
    };
}

uncertain! {
    /// Crushing strength along the grain, over its green mean.
    Crushing = "crushing";
    /// Strength across the grain, over its green mean.
    Across = "across";
    /// Density, over its mean.
    Gravity = "gravity";
    /// Splitting strength, over the characteristic one.
    Splitting = "splitting";
    /// Strength under long load, over that of a test.
    Duration = "duration";
    /// Foundation modulus, over its central value.
    Foundation = "foundation";
    /// Yield strength, over the specified one.
    Yield = "yield";
    /// Added to the depth of the boss.
    Depth = "depth";
    /// Added to the thickness of the bark.
    Bark = "bark";
    /// Added to the arm.
    Arm = "arm";
    /// Added to the tilt.
    Tilt = "tilt";
    /// Dead load, over the nominal one.
    Dead = "dead";
    /// Largest live load of the period, over the nominal one.
    Live = "live";
    /// Live load at any time, over the nominal one.
    LiveNow = "live_now";
    /// Largest snow load of the period, over the nominal one.
    Snow = "snow";
    /// Snow load at any time, over the nominal one.
    SnowNow = "snow_now";
    /// Largest wind load of the period, over the nominal one.
    Wind = "wind";
    /// What acts, over what the analysis gives.
    LoadEffect = "load_effect";
    /// What the wood bears, over what the rule of bearing gives.
    BearingModel = "bearing_model";
    /// What the steel bears, over what its rules give.
    SteelModel = "steel_model";
    /// The pull that the thread bears, over the allowable one.
    WithdrawalModel = "withdrawal_model";
}

/// How many random variables there are.
pub const UNCERTAIN: usize = Uncertain::ALL.len();

/// A random variable with its distribution.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spread {
    /// Which one.
    pub variable: Uncertain,
    /// What it is, in words.
    pub title: String,
    /// The part of the model that it belongs to, in words.
    pub part: String,
    /// The shape of its distribution.
    pub distribution: DistributionShape,
    /// Its mean (1, m or rad).
    pub mean: f64,
    /// Its standard deviation, over the mean where it multiplies (1, m or rad).
    pub deviation: f64,
    /// How the deviation is measured.
    pub measure: DeviationMeasure,
    /// Correlation between anchors of one tree, of trees of one species, of one platform (1).
    pub shared: [f64; 3],
    /// Where it comes from; of a changed one, the layout.
    pub origin: Origin,
    /// Whether the layout changed the default.
    pub changed: bool,
}

/// A deviation above this share of the mean gives a normal or uniform multiplier too much below zero (1).
const MOST_SYMMETRIC: f64 = 0.3;
/// No deviation is above this share of the mean: nothing would be known at all (1).
const MOST_SPREAD: f64 = 3.0;
/// Tape and eye are never off by more than this deviation (m).
const MOST_LENGTH: f64 = 0.1;
/// The same of an angle (rad).
const MOST_ANGLE: f64 = 0.2;
/// No mean is further from one than by this factor (1).
const FARTHEST_MEAN: f64 = 20.0;

impl Spread {
    /// What is wrong with it and how to mend it; none where it can be used.
    pub fn fault(&self) -> Option<&'static str> {
        let [tree, species, site] = self.shared;
        let multiplies = self.measure == DeviationMeasure::Share;
        let symmetric = matches!(
            self.distribution,
            DistributionShape::Normal | DistributionShape::Uniform
        );
        let one_sided = matches!(
            self.distribution,
            DistributionShape::Lognormal | DistributionShape::Gamma
        );
        let most = match self.measure {
            DeviationMeasure::Share => MOST_SPREAD,
            DeviationMeasure::Length => MOST_LENGTH,
            DeviationMeasure::Angle => MOST_ANGLE,
        };
        let reach = 1.0 / FARTHEST_MEAN..=FARTHEST_MEAN;
        if !(self.mean.is_finite() && self.deviation.is_finite() && self.deviation >= 0.0) {
            Some("give a finite mean and a deviation of zero or more")
        } else if multiplies && !reach.contains(&self.mean) {
            Some("it multiplies a value: give a mean near 1, from 0.05 to 20")
        } else if !multiplies && self.mean.abs() > most {
            Some("its mean is too far off: change the dimension itself in the layout")
        } else if self.deviation > most {
            Some("its deviation is so large that nothing would be known: give a smaller one")
        } else if multiplies && symmetric && self.deviation > MOST_SYMMETRIC {
            Some(
                "with this deviation much of it would lie below zero: take \"lognormal\", or at most 30 %",
            )
        } else if !multiplies && one_sided {
            Some(
                "it adds to a dimension and lies on both sides of zero: take \"normal\" or \"uniform\"",
            )
        } else if [tree, species, site]
            .iter()
            .any(|share| !(0.0..=1.0).contains(share))
            || tree < species
            || species < site
        {
            Some(
                "correlations lie between 0 and 1: of one tree the largest, of one platform the smallest",
            )
        } else {
            None
        }
    }
}

/// Everything that is not known exactly.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Uncertainty {
    /// Years for which probabilities are given.
    pub years: f64,
    /// The reliability index that is aimed at for these years, where one was named.
    pub target: Option<f64>,
    /// The variables, in the order of [`Uncertain::ALL`].
    pub spreads: Vec<Spread>,
}

/// Years for which the loads of the table are the largest.
pub const PERIOD: f64 = 50.0;

impl Default for Uncertainty {
    /// The table of random variables.
    fn default() -> Self {
        let rows = Uncertain::ALL.iter().filter_map(|variable| {
            let row = tables::random_variable(variable.id()).ok()?;
            Some(Spread {
                variable: *variable,
                title: row.title.clone(),
                part: row.part.clone(),
                distribution: row.distribution,
                mean: row.mean,
                deviation: row.deviation,
                measure: row.measure,
                shared: row.shared,
                origin: Origin::from(row.reference()),
                changed: false,
            })
        });
        Self {
            years: PERIOD,
            target: None,
            spreads: rows.collect(),
        }
    }
}

impl Uncertainty {
    /// A variable; none where the table lacks it.
    pub fn of(&self, variable: Uncertain) -> Option<&Spread> {
        self.spreads.iter().find(|row| row.variable == variable)
    }

    /// The same, to change.
    pub fn of_mut(&mut self, variable: Uncertain) -> Option<&mut Spread> {
        self.spreads.iter_mut().find(|row| row.variable == variable)
    }

    /// The same with every variable at its mean: nothing is left to chance.
    #[must_use]
    pub fn without_spread(&self) -> Self {
        let mut sure = self.clone();
        for spread in &mut sure.spreads {
            spread.deviation = 0.0;
        }
        sure
    }

    /// Every fault, each with the variable.
    pub fn faults(&self) -> Vec<(Option<Uncertain>, &'static str)> {
        let mut faults: Vec<_> = self
            .spreads
            .iter()
            .filter_map(|row| Some((Some(row.variable), row.fault()?)))
            .collect();
        if !(self.years.is_finite() && (1.0..=200.0).contains(&self.years)) {
            faults.push((None, "give a period of 1 to 200 years"));
        }
        if self
            .target
            .is_some_and(|target| !(0.0..=8.0).contains(&target))
        {
            faults.push((None, "give a target index from 0 to 8, such as 3.5"));
        }
        if self.spreads.len() != UNCERTAIN {
            faults.push((None, "a variable is missing; start from the standard ones"));
        }
        faults
    }
}
