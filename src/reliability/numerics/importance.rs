//! Importance sampling: samples are drawn round the design points, and count for as much less as they are drawn too often.

use super::error::NumericsError;
use super::sampling::normal_from;
use rand::seq::IndexedRandom;
use rand::{Rng, RngExt};

/// The share of samples drawn round the origin as in crude sampling. It keeps every weight below its inverse, also where
/// no design point is near, and finds what the design points have missed.
const PLAIN: f64 = 0.1;

/// An equal mixture of standard normals about several centres, and some about the origin.
#[derive(Clone, Debug)]
pub(super) struct Mixture {
    centres: Vec<Vec<f64>>,
    /// Half the square of each centre's distance from the origin.
    half_squares: Vec<f64>,
}

impl Mixture {
    pub(super) fn new(centres: &[Vec<f64>], normals: usize) -> Result<Self, NumericsError> {
        if centres.is_empty() {
            return Err(NumericsError::WrongLength {
                what: "centres of importance sampling",
                found: 0,
                expected: 1,
            });
        }
        for centre in centres {
            if centre.len() != normals {
                return Err(NumericsError::WrongLength {
                    what: "normals of a centre of importance sampling",
                    found: centre.len(),
                    expected: normals,
                });
            }
            if !centre.iter().all(|u| u.is_finite()) {
                return Err(NumericsError::NotFinite {
                    what: "a centre of importance sampling",
                });
            }
        }
        let half = |centre: &Vec<f64>| 0.5 * centre.iter().map(|u| u * u).sum::<f64>();
        Ok(Self {
            half_squares: centres.iter().map(half).collect(),
            centres: centres.to_vec(),
        })
    }

    /// Draws `u` and returns its weight: the density of the standard normal over that of the mixture.
    pub(super) fn draw(&self, random: &mut impl Rng, u: &mut [f64]) -> f64 {
        let shifted = random.random_bool(1.0 - PLAIN);
        let centre = self.centres.choose(random).filter(|_| shifted);
        for value in u.iter_mut() {
            *value = normal_from(random);
        }
        if let Some(centre) = centre {
            for (value, shift) in u.iter_mut().zip(centre) {
                *value += shift;
            }
        }
        self.weight(u)
    }

    fn weight(&self, u: &[f64]) -> f64 {
        let ratio = |(centre, half): (&Vec<f64>, &f64)| {
            (centre.iter().zip(u).map(|(c, u)| c * u).sum::<f64>() - half).exp()
        };
        let sum: f64 = self.centres.iter().zip(&self.half_squares).map(ratio).sum();
        1.0 / (PLAIN + (1.0 - PLAIN) * sum / self.centres.len() as f64)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use rand::SeedableRng;
    use rand::rngs::ChaCha8Rng;

    fn mixture() -> Mixture {
        Mixture::new(&[vec![3.0, 0.0], vec![0.0, -2.0]], 2).unwrap()
    }

    fn density(u: [f64; 2]) -> f64 {
        (-0.5 * (u[0] * u[0] + u[1] * u[1])).exp()
    }

    #[test]
    fn a_weight_is_the_ratio_of_densities() {
        for u in [[0.0, 0.0], [3.0, 0.0], [1.0, -4.0], [-5.0, 2.0]] {
            let shifted = density([u[0] - 3.0, u[1]]) + density([u[0], u[1] + 2.0]);
            let expected = density(u) / (0.1 * density(u) + 0.45 * shifted);
            assert!((mixture().weight(&u) / expected - 1.0).abs() < 1e-14);
        }
        assert!(mixture().weight(&[-30.0, 30.0]) <= 10.0);
    }

    /// Weights have the mean 1 and undo the shift; 40 000 draws, five standard errors of weights below 10.
    #[test]
    fn weighted_draws_are_standard_normals() {
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let mut u = [0.0; 2];
        let (mut weights, mut sums, mut far) = (0.0, [0.0; 2], 0);
        for _ in 0..40_000 {
            let weight = mixture().draw(&mut random, &mut u);
            weights += weight;
            sums = [sums[0] + weight * u[0], sums[1] + weight * u[1]];
            far += u32::from(u[0] > 3.0);
        }
        let scale = 1.0 / 40_000.0;
        assert!((scale * weights - 1.0).abs() < 0.05, "{}", scale * weights);
        assert!(
            sums.iter().all(|sum| (scale * sum).abs() < 0.06),
            "{sums:?}"
        );
        // Half of 45 %.
        assert!((scale * f64::from(far) - 0.225).abs() < 0.02, "{far}");
    }

    #[test]
    fn centres_that_do_not_fit_are_refused() {
        assert!(Mixture::new(&[], 2).is_err());
        assert!(Mixture::new(&[vec![1.0]], 2).is_err());
        assert!(Mixture::new(&[vec![1.0, f64::NAN]], 2).is_err());
    }
}
