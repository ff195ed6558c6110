//! From a normal score to the value of a variable, fast: the closed forms as they are, the others from a table.

use super::numerics::{Distribution, NumericsError};
use crate::model::{DeviationMeasure, DistributionShape, Spread};

/// The table reaches this far either way in normal scores; beyond lie less than 1e-15 of all samples, which take its end.
const REACH: f64 = 8.0;
/// Intervals of the table to one normal score.
const FINE: usize = 16;
/// Places of the table.
const PLACES: usize = 16 * FINE + 1;

/// A variable, as it follows from its normal score.
#[derive(Debug, Clone)]
pub(super) enum Marginal {
    Fixed(f64),
    Normal {
        mean: f64,
        deviation: f64,
    },
    Lognormal {
        mean: f64,
        deviation: f64,
    },
    /// Values at equal distances of the normal score, between which a cubic runs.
    Table(Vec<f64>),
}

/// √6/π: the scale of a Gumbel distribution over its standard deviation.
const GUMBEL_SCALE: f64 = 0.779_696_801_233_675_9;

impl Marginal {
    /// The variable of a spread; the largest load of a period is that of `years` where its table is for `standard` years.
    pub(super) fn new(spread: &Spread, years: f64, standard: f64) -> Result<Self, NumericsError> {
        let (mean, deviation) = (spread.mean, spread.deviation);
        let multiplies = spread.measure == DeviationMeasure::Share;
        let width = if multiplies {
            deviation * mean
        } else {
            deviation
        };
        if width == 0.0 && spread.distribution != DistributionShape::Gumbel {
            return Ok(Self::Fixed(mean));
        }
        Ok(match spread.distribution {
            DistributionShape::Fixed => Self::Fixed(mean),
            DistributionShape::Normal => {
                Distribution::normal(mean, width)?;
                Self::Normal {
                    mean,
                    deviation: width,
                }
            }
            DistributionShape::Lognormal => {
                Distribution::lognormal(mean, deviation)?;
                let variance = deviation.powi(2).ln_1p();
                Self::Lognormal {
                    mean: mean.ln() - 0.5 * variance,
                    deviation: variance.sqrt(),
                }
            }
            DistributionShape::Gumbel => {
                // The largest of n times as many years lies ln n scales higher, and spreads as much.
                let higher = GUMBEL_SCALE * width * (years / standard).ln();
                let mean = mean + higher;
                if width == 0.0 {
                    Self::Fixed(mean)
                } else {
                    Self::table(Distribution::gumbel(mean, width)?)
                }
            }
            DistributionShape::Gamma => Self::table(Distribution::gamma(mean, deviation)?),
            DistributionShape::Uniform => {
                let half = width * 3.0_f64.sqrt();
                Self::table(Distribution::uniform(mean - half, mean + half)?)
            }
        })
    }

    fn table(distribution: Distribution) -> Self {
        let score = |i: usize| i as f64 / FINE as f64 - REACH;
        let value = |i: usize| distribution.from_standard_normal(score(i));
        Self::Table((0..PLACES).map(value).collect())
    }

    /// The value at a normal score.
    pub(super) fn at(&self, z: f64) -> f64 {
        match self {
            Self::Fixed(value) => *value,
            Self::Normal { mean, deviation } => mean + deviation * z,
            Self::Lognormal { mean, deviation } => (mean + deviation * z).exp(),
            Self::Table(values) => between(values, z),
        }
    }
}

/// The cubic through the four places of a table round a normal score.
fn between(values: &[f64], z: f64) -> f64 {
    let place = (z.clamp(-REACH, REACH) + REACH) * FINE as f64;
    // A place within the table: not negative, and far below any bound of the conversion.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let first = (place as usize).clamp(1, PLACES - 3) - 1;
    let Some(&[a, b, c, d]) = values.get(first..first + 4) else {
        return f64::NAN;
    };
    let t = place - first as f64;
    let (u, v, w) = (t - 1.0, t - 2.0, t - 3.0);
    -a * u * v * w / 6.0 + b * t * v * w / 2.0 - c * t * u * w / 2.0 + d * t * u * v / 6.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::model::{Uncertain, Uncertainty};

    fn spread(distribution: DistributionShape, mean: f64, deviation: f64) -> Spread {
        Spread {
            distribution,
            mean,
            deviation,
            ..Uncertainty::default().of(Uncertain::Live).unwrap().clone()
        }
    }

    #[test]
    fn a_table_gives_what_the_distribution_gives() {
        for (shape, exact) in [
            (
                DistributionShape::Gumbel,
                Distribution::gumbel(0.82, 0.82 * 0.26).unwrap(),
            ),
            (
                DistributionShape::Gamma,
                Distribution::gamma(0.82, 0.26).unwrap(),
            ),
        ] {
            let marginal = Marginal::new(&spread(shape, 0.82, 0.26), 50.0, 50.0).unwrap();
            for i in -700..=700 {
                let z = f64::from(i) / 100.0;
                let (found, expected) = (marginal.at(z), exact.from_standard_normal(z));
                // A cubic over a sixteenth of a normal score.
                assert!(
                    (found - expected).abs() < 2e-6,
                    "{shape:?} {z}: {found} {expected}"
                );
            }
        }
    }

    #[test]
    fn the_largest_of_more_years_is_that_of_as_many_periods() {
        let of = |years: f64| {
            Marginal::new(&spread(DistributionShape::Gumbel, 1.0, 0.25), years, 50.0).unwrap()
        };
        // The largest of 100 years is below x if both halves are: F₁₀₀ = F₅₀².
        let exact = Distribution::gumbel(1.0, 0.25).unwrap();
        for z in [-2.0, 0.0, 1.5, 3.0] {
            let x = of(100.0).at(z);
            let both = exact.cdf(x).powi(2);
            let hundred = Distribution::normal(0.0, 1.0).unwrap().cdf(z);
            assert!((both - hundred).abs() < 1e-6, "{z}: {both} {hundred}");
        }
    }

    #[test]
    fn closed_forms_are_those_of_the_distributions() {
        let lognormal = Marginal::new(&spread(DistributionShape::Lognormal, 1.1, 0.4), 50.0, 50.0);
        let exact = Distribution::lognormal(1.1, 0.4).unwrap();
        for z in [-6.0, -1.0, 0.0, 2.5] {
            let (found, expected) = (
                lognormal.as_ref().unwrap().at(z),
                exact.from_standard_normal(z),
            );
            assert!((found / expected - 1.0).abs() < 1e-12);
        }
    }
}
