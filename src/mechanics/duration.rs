//! How much of its short-term strength wood keeps under a load that stays.

use super::MechanicsError;
use super::guard::Guard;
use std::time::Duration;

/// Share of the short-term strength that carries a steady load for a time: the Madison curve.
///
/// # Equation
///
/// ```text
/// SL = 18.3 + 108.4 · t^(−0.0464)   (percent)
/// ```
///
/// # Symbols
///
/// - `SL`: stress level, steady stress over the strength of a test of minutes (1; percent in the source)
/// - `t`: time under load (s)
///
/// # Validity
///
/// Bending of small clear specimens; above 1 for times shorter than the test. Used for bearing by analogy.
///
/// # Source
///
/// L. W. Wood, Relation of strength of wood to duration of load, FPL Report 1916 (1951), as quoted in Forests 12(9) (2021) 1148.
///
/// # Errors
///
/// When the time is zero.
///
/// # Example
///
/// Ten years: 62 %, which the design values of most codes are built on.
///
/// ```rust
/// use barkline::mechanics::duration::madison_curve;
/// use std::time::Duration;
///
/// let ten_years = Duration::from_secs(3652 * 86_400 + 43_200);
/// assert!((madison_curve(ten_years)? - 0.620).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn madison_curve(time: Duration) -> Result<f64, MechanicsError> {
    let t = time.as_secs_f64().positive("time under load")?;
    Ok(0.183 + 1.084 * t.powf(-0.0464))
}

/// Share of the short-term strength that carries a steady load for a time: Wood's line on a logarithmic scale.
///
/// # Equation
///
/// ```text
/// SL = 90.4 − 6.3 · log₁₀ t   (percent)
/// ```
///
/// # Symbols
///
/// - `SL`: stress level, steady stress over the strength of a test of minutes (1; percent in the source)
/// - `t`: time under load (h)
///
/// # Validity
///
/// Long-time bending tests of small clear specimens; older and lower than the Madison curve at short times.
///
/// # Source
///
/// L. W. Wood, Behavior of wood under continued loading (1947), as quoted in Forests 12(9) (2021) 1148.
///
/// # Errors
///
/// When the time is zero, or so long that nothing would be left.
///
/// # Example
///
/// One hour: 90.4 %, the constant of the line.
///
/// ```rust
/// use barkline::mechanics::duration::wood_log_line;
/// use std::time::Duration;
///
/// assert!((wood_log_line(Duration::from_secs(3600))? - 0.904).abs() < 1e-15);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn wood_log_line(time: Duration) -> Result<f64, MechanicsError> {
    let hours = time.as_secs_f64().positive("time under load")? / 3600.0;
    let level = 0.904 - 0.063 * hours.log10();
    if level <= 0.0 {
        return Err(MechanicsError::NoSolution {
            what: "the line leaves no strength after so long a time",
        });
    }
    Ok(level)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_longer_a_load_stays_the_less_is_left() {
        for curve in [madison_curve, wood_log_line] {
            let levels: Vec<f64> = [1, 3600, 86_400, 3_155_760_000]
                .map(|s| curve(Duration::from_secs(s)).unwrap())
                .into();
            assert!(
                levels.windows(2).all(|pair| pair[1] < pair[0]),
                "{levels:?}"
            );
        }
    }

    #[test]
    fn a_decade_of_time_costs_a_step_of_the_log_line() {
        let level = |hours: u64| wood_log_line(Duration::from_secs(3600 * hours)).unwrap();
        assert!((level(10) - level(100) - 0.063).abs() < 1e-12);
    }

    #[test]
    fn no_time_and_endless_time_are_refused() {
        assert!(madison_curve(Duration::ZERO).is_err() && wood_log_line(Duration::ZERO).is_err());
        assert!(wood_log_line(Duration::MAX).is_err());
        // The Madison curve has an asymptote of 18.3 %.
        assert!(madison_curve(Duration::MAX).unwrap() > 0.183);
    }
}
