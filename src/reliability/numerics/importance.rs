//! Importance sampling: samples are drawn round the design points, and count for as much less as they are drawn too often.

use super::error::NumericsError;
use super::sampling::normal_from;
use rand::Rng;

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
        // 53 digits are ample to choose among a few.
        let chosen = (random.next_u64() >> 11) as f64 / 9_007_199_254_740_992.0;
        let count = self.centres.len() as f64;
        let shift = (chosen >= PLAIN).then(|| ((chosen - PLAIN) / (1.0 - PLAIN) * count) as usize);
        for value in u.iter_mut() {
            *value = normal_from(random);
        }
        if let Some(centre) = shift.and_then(|k| self.centres.get(k.min(self.centres.len() - 1))) {
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
