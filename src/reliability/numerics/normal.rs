//! The standard normal distribution, accurate in both tails.

use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// Scores beyond this are taken as this: Φ(−37) = 6e-300 is the end of what a number can hold.
pub const LIMIT: f64 = 37.0;

/// Φ(z), the probability of less than z. Relative error below 1e-13 for z > −37.
pub fn cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-FRAC_1_SQRT_2 * z)
}

/// 1 − Φ(z), the probability of more than z, without loss where it is small.
pub fn survival(z: f64) -> f64 {
    cdf(-z)
}

/// ln Φ(z), without loss at either end.
pub fn ln_cdf(z: f64) -> f64 {
    if z < 0.0 {
        cdf(z).ln()
    } else {
        (-survival(z)).ln_1p()
    }
}

/// φ(z), the probability density.
pub fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// Φ⁻¹(p): infinite for p = 0 and p = 1. Close to 1 a probability has few digits left; [`upper_quantile`] has them all.
pub fn quantile(p: f64) -> f64 {
    -SQRT_2 * statrs::function::erf::erfc_inv(2.0 * p)
}

/// The score that is exceeded with probability q: Φ⁻¹(1 − q), without loss where q is small.
pub fn upper_quantile(q: f64) -> f64 {
    -quantile(q)
}

/// The score of a distribution from the probability of less (`p`) and of more (`q`), of which the smaller is used.
pub fn score(p: f64, q: f64) -> f64 {
    if p <= q {
        quantile(p)
    } else {
        upper_quantile(q)
    }
}

/// The score of a uniform fraction given as 64 binary digits after the point. The middle of its step is taken, so that
/// both tails are alike and end at ±9.2.
pub fn from_fraction(digits: u64) -> f64 {
    let (upper, depth) = if digits >> 63 == 0 {
        (false, digits)
    } else {
        (true, !digits)
    };
    let z = quantile((depth as f64 + 0.5) * STEP);
    if upper { -z } else { z }
}

/// 2⁻⁶⁴.
const STEP: f64 = 1.0 / 18_446_744_073_709_551_616.0;

/// The probability as the reliability index β = −Φ⁻¹(p); none for 0 and 1, whose index is infinite.
pub fn reliability_index(probability: f64) -> Option<f64> {
    (probability > 0.0 && probability < 1.0).then(|| {
        if probability == 0.5 {
            0.0
        } else {
            upper_quantile(probability)
        }
    })
}
