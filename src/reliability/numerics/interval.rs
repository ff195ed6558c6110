//! Confidence intervals of a probability.

use super::normal;
use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::beta::inv_beta_reg;

/// Clopper and Pearson's interval of `failures` in `samples`: never too narrow, whatever the probability.
pub(super) fn of_counts(failures: u64, samples: u64, confidence: f64) -> (f64, f64) {
    let half = 0.5 * (1.0 - confidence);
    let (k, n) = (failures as f64, samples as f64);
    let low = if failures == 0 {
        0.0
    } else if failures == samples {
        half.powf(1.0 / n)
    } else {
        inv_beta_reg(k, n - k + 1.0, half)
    };
    let high = if failures == samples {
        1.0
    } else if failures == 0 {
        -(half.ln() / n).exp_m1()
    } else {
        // The upper tail from the lower tail of the reflected distribution.
        1.0 - inv_beta_reg(n - k, k + 1.0, half)
    };
    (low, high)
}

/// Student's interval of a mean from independent means of equal weight.
pub(super) fn of_means(means: &[f64], confidence: f64) -> (f64, f64) {
    let count = means.len() as f64;
    let mean = means.iter().sum::<f64>() / count;
    let square: f64 = means.iter().map(|m| (m - mean).powi(2)).sum();
    let error = (square / (count * (count - 1.0))).sqrt();
    let reach = student(count - 1.0, confidence) * error;
    ((mean - reach).max(0.0), (mean + reach).min(1.0))
}

/// Half the width of Student's interval, in standard errors.
fn student(freedom: f64, confidence: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom)
        .map_or(f64::INFINITY, |t| t.inverse_cdf(0.5 * (1.0 + confidence)))
}

/// The interval of a mean of weights with so large a standard error: normal in the logarithm, so that it stays above 0 and
/// reaches higher than it reaches low, as heavy weights do.
pub(super) fn of_weights(mean: f64, error: f64, confidence: f64) -> (f64, f64) {
    let spread = (normal::upper_quantile(0.5 * (1.0 - confidence)) * error / mean).exp();
    (mean / spread, (mean * spread).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: (f64, f64), expected: (f64, f64), tolerance: f64) {
        let off = (found.0 - expected.0)
            .abs()
            .max((found.1 - expected.1).abs());
        assert!(off < tolerance, "{found:?} for {expected:?}");
    }

    /// Intervals of 95 % that tables of the binomial distribution print: 0, 5 and 10 of 10, and 1 of 100. Worked out apart
    /// from quantiles of the beta distribution (SciPy 1.17.1).
    #[test]
    fn counts_by_clopper_and_pearson() {
        near(of_counts(0, 10, 0.95), (0.0, 0.308_497_107), 1e-8);
        near(of_counts(10, 10, 0.95), (0.691_502_893, 1.0), 1e-8);
        near(of_counts(5, 10, 0.95), (0.187_086_028, 0.812_913_972), 1e-8);
        near(
            of_counts(1, 100, 0.95),
            (0.000_253_146, 0.054_459_386),
            1e-8,
        );
    }

    /// No failure in n samples: the upper end is about 3.7/n at 95 %.
    #[test]
    fn no_failure_says_something_about_the_most() {
        let (low, high) = of_counts(0, 1_000_000, 0.95);
        assert!(low.abs() < 1e-300 && (high * 1e6 - 3.688_879).abs() < 1e-3);
    }

    /// Student's factor for 15 degrees of freedom at 95 % is 2.131 in every table.
    #[test]
    fn means_by_student() {
        let means: Vec<f64> = (0..16).map(|k| 0.1 + 0.001 * f64::from(k)).collect();
        let error = (340.0e-6_f64 / (16.0 * 15.0)).sqrt();
        let expected = (0.1075 - 2.131_45 * error, 0.1075 + 2.131_45 * error);
        near(of_means(&means, 0.95), expected, 1e-8);
        assert!((student(15.0, 0.95) - 2.131_449_546).abs() < 1e-8);
    }

    #[test]
    fn weights_reach_higher_than_low() {
        let (low, high) = of_weights(1e-6, 1e-7, 0.95);
        assert!((low * high / 1e-12 - 1.0).abs() < 1e-12);
        assert!(((high / 1e-6).ln() - 0.195_996_398).abs() < 1e-8);
        assert!(of_weights(0.9, 0.5, 0.95).1 <= 1.0);
    }
}
