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
    (probability > 0.0 && probability < 1.0).then(|| upper_quantile(probability))
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::excessive_precision,
        reason = "as the other program printed them"
    )]

    use super::*;

    /// Φ(z) to 17 digits, worked out with 40 (mpmath).
    const PROBABILITIES: [(f64, f64); 10] = [
        (-37.0, 5.725_571_222_524_576_8e-300),
        (-30.0, 4.906_713_927_148_187_1e-198),
        (-8.0, 6.220_960_574_271_784_1e-16),
        (-3.0, 0.001_349_898_031_630_094_5),
        (-1.0, 0.158_655_253_931_457_05),
        (-0.5, 0.308_537_538_725_986_9),
        (0.25, 0.598_706_325_682_923_72),
        (2.0, 0.977_249_868_051_820_79),
        (6.0, 0.999_999_999_013_412_35),
        (8.0, 0.999_999_999_999_999_38),
    ];

    /// Rounding of z/√2 grows with its square: 37² times the last digit.
    fn tolerance(z: f64) -> f64 {
        4.0 * f64::EPSILON * (1.0 + 0.5 * z * z)
    }

    #[test]
    fn probabilities_keep_their_digits_far_out() {
        for (z, p) in PROBABILITIES {
            assert!((cdf(z) / p - 1.0).abs() < tolerance(z), "{z}: {}", cdf(z));
            assert!((survival(-z) / p - 1.0).abs() < tolerance(z), "{z}");
            assert!((ln_cdf(z) - p.ln()).abs() <= tolerance(z) * (1.0 + p.ln().abs()));
        }
        // 1 − 6e-16 has one digit left, its logarithm all.
        assert!((ln_cdf(8.0) / -6.220_960_574_271_786e-16 - 1.0).abs() < 1e-13);
    }

    #[test]
    fn quantiles_are_the_inverse_in_both_tails() {
        for k in -370..=370 {
            let z = 0.1 * f64::from(k);
            let back = score(cdf(z), survival(z));
            assert!((back - z).abs() < 1e-13 * (1.0 + z.abs()), "{z}: {back}");
        }
        assert!(quantile(0.0) == f64::NEG_INFINITY && quantile(1.0) == f64::INFINITY);
    }

    #[test]
    fn fractions_become_scores_alike_on_both_sides() {
        assert!((from_fraction(0) + from_fraction(u64::MAX)).abs() < f64::EPSILON);
        assert!(
            (from_fraction(0) + 9.17).abs() < 0.02,
            "{}",
            from_fraction(0)
        );
        // The middle lies between two steps.
        assert!(from_fraction(1 << 63).abs() < 1e-15 && from_fraction((1 << 63) - 1).abs() < 1e-15);
        let quarter = from_fraction(1 << 62);
        assert!((quarter - quantile(0.25)).abs() < 1e-14);
        assert!((from_fraction(3 << 62) + quarter).abs() < 1e-14);
    }

    #[test]
    fn the_index_of_certainty_is_none() {
        assert_eq!(reliability_index(0.0), None);
        assert_eq!(reliability_index(1.0), None);
        assert_eq!(reliability_index(0.5), Some(0.0));
        let beta = reliability_index(cdf(-3.0));
        assert!(beta.is_some_and(|beta| (beta - 3.0).abs() < 1e-14));
        assert!(reliability_index(0.9).is_some_and(|beta| beta < 0.0));
    }
}
