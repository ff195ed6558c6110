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
