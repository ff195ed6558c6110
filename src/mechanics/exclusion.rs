//! From the mean of tests to the value that few pieces fall below.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::Stress;

/// The standard normal deviate of the 5 % lower exclusion limit, rounded as ASTM D2555 uses it (from memory).
pub const FIVE_PERCENT: f64 = 1.645;

/// The smallest fraction (and one minus the largest) for which [`normal_quantile`] answers.
pub const SMALLEST_FRACTION: f64 = 1e-10;

/// The value that a chosen fraction of a normal population falls below.
///
/// # Equation
///
/// ```text
/// f_p = f̄ · (1 − z·COV)
/// ```
///
/// # Symbols
///
/// - `f_p`: lower exclusion limit (Pa)
/// - `f̄`: mean (Pa)
/// - `z`: standard normal deviate, positive below the mean (1): [`FIVE_PERCENT`], or minus [`normal_quantile`] of the fraction
/// - `COV`: coefficient of variation, standard deviation over mean (1)
///
/// # Validity
///
/// Properties of clear wood taken as normally distributed.
///
/// # Source
///
/// ASTM D2555, Standard Practice for Establishing Clear Wood Strength Values, section 5, from memory.
///
/// # Errors
///
/// When the mean is not positive, the variation negative, the deviate not finite, or the limit would not be positive.
///
/// # Example
///
/// Crushing strength with the variation of 18 % that the Wood Handbook gives for it (from memory): 70.4 % of the mean.
///
/// ```rust
/// use barkline::mechanics::exclusion::{FIVE_PERCENT, lower_exclusion_limit};
/// use barkline::units::us::psi;
///
/// let f = lower_exclusion_limit(psi(3560.0), 0.18, FIVE_PERCENT)?;
/// assert!(((f / psi(1.0)).value - 2505.884).abs() < 1e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn lower_exclusion_limit(
    mean: Stress,
    variation: f64,
    deviate: f64,
) -> Result<Stress, MechanicsError> {
    let mean = mean.positive("mean strength")?;
    let below =
        deviate.finite("normal deviate")? * variation.not_negative("coefficient of variation")?;
    if below >= 1.0 {
        return Err(MechanicsError::NoSolution {
            what: "the variation leaves nothing at this exclusion fraction",
        });
    }
    (mean * (1.0 - below)).finite("lower exclusion limit")
}

/// The standard normal deviate that a fraction of the population falls below; negative for fractions under a half.
///
/// # Equation
///
/// ```text
/// q = p − ½
/// |q| ≤ 0.425:  z = q · A(r)/B(r),  r = 0.425² − q²
/// otherwise:    z = sgn(q) · C(r)/D(r),  r = √(−ln min(p, 1 − p)) − 1.6
/// ```
///
/// # Symbols
///
/// - `z`: standard normal deviate (1)
/// - `p`: fraction below (1)
/// - `A` to `D`: polynomials of the seventh degree with the coefficients of the source
///
/// # Validity
///
/// Here 1e-10 ≤ p ≤ 1 − 1e-10, where the source's third branch (farther tails) is not needed; relative accuracy 1e-16.
///
/// # Source
///
/// M. J. Wichura, "Algorithm AS 241: The percentage points of the normal distribution", Applied Statistics 37 (1988) 477–484,
/// routine PPND16.
///
/// # Errors
///
/// When the fraction is outside [`SMALLEST_FRACTION`] to one minus it.
///
/// # Example
///
/// The source's own check, p = 0.25: −0.674 489 750 196 081 7 (from memory).
///
/// ```rust
/// use barkline::mechanics::exclusion::normal_quantile;
///
/// assert!((normal_quantile(0.25)? + 0.674_489_750_196_081_7).abs() < 1e-15);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn normal_quantile(fraction: f64) -> Result<f64, MechanicsError> {
    let p = fraction.between(
        "exclusion fraction",
        SMALLEST_FRACTION,
        1.0 - SMALLEST_FRACTION,
    )?;
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return Ok(q * polynomial(&as241::A, r) / polynomial(&as241::B, r));
    }
    let r = (-p.min(1.0 - p).ln()).sqrt() - 1.6;
    Ok((polynomial(&as241::C, r) / polynomial(&as241::D, r)).copysign(q))
}

/// Horner's rule, coefficients from the highest power down.
fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, c| sum * x + c)
}

/// The coefficients of the source, with all the digits it prints.
mod as241 {
    #![allow(clippy::excessive_precision, reason = "as printed")]

    pub(super) const A: [f64; 8] = [
        2.509_080_928_730_122_672_7e3,
        3.343_057_558_358_812_810_5e4,
        6.726_577_092_700_870_085_3e4,
        4.592_195_393_154_987_145_7e4,
        1.373_169_376_550_946_112_5e4,
        1.971_590_950_306_551_442_7e3,
        1.331_416_678_917_843_774_5e2,
        3.387_132_872_796_366_608_0,
    ];
    pub(super) const B: [f64; 8] = [
        5.226_495_278_852_854_561_0e3,
        2.872_908_573_572_194_267_4e4,
        3.930_789_580_009_271_061_0e4,
        2.121_379_430_158_659_586_7e4,
        5.394_196_021_424_751_107_7e3,
        6.871_870_074_920_579_083_0e2,
        4.231_333_070_160_091_125_2e1,
        1.0,
    ];
    pub(super) const C: [f64; 8] = [
        7.745_450_142_783_414_076_40e-4,
        2.272_384_498_926_918_458_33e-2,
        2.417_807_251_774_506_117_70e-1,
        1.270_458_252_452_368_382_58,
        3.647_848_324_763_204_605_04,
        5.769_497_221_460_691_405_50,
        4.630_337_846_156_545_295_90,
        1.423_437_110_749_683_577_34,
    ];
    pub(super) const D: [f64; 8] = [
        1.050_750_071_644_416_843_24e-9,
        5.475_938_084_995_344_946_00e-4,
        1.519_866_656_361_645_719_66e-2,
        1.481_039_764_274_800_745_90e-1,
        6.897_673_349_851_000_045_50e-1,
        1.676_384_830_183_803_849_40,
        2.053_191_626_637_758_821_87,
        1.0,
    ];
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::us::psi;

    #[test]
    fn quantiles_agree_with_the_inverse_error_function_to_the_last_digits() {
        // √2·erf⁻¹(2p − 1) evaluated with 25 digits (mpmath 1.3).
        for (p, z) in [
            (1e-10, -6.361_340_902_404_056),
            (1e-6, -4.753_424_308_822_899),
            (0.01, -2.326_347_874_040_841),
            (0.05, -1.644_853_626_951_473),
            (0.074_999_9, -1.439_532_177_375_900_5),
            (0.075, -1.439_531_470_938_456),
            (0.9, 1.281_551_565_544_600_5),
            (0.999, 3.090_232_306_167_813_5),
        ] {
            assert!((normal_quantile(p).unwrap() / z - 1.0).abs() < 1e-14, "{p}");
        }
        assert!(normal_quantile(0.5).unwrap().abs() < 1e-15);
    }

    #[test]
    fn the_rounded_deviate_is_that_of_five_percent() {
        assert!((normal_quantile(0.05).unwrap() + FIVE_PERCENT).abs() < 5e-4);
    }

    #[test]
    fn a_rarer_fraction_lies_lower() {
        let limit =
            |p| lower_exclusion_limit(psi(1000.0), 0.2, -normal_quantile(p).unwrap()).unwrap();
        assert!(limit(0.01) < limit(0.05) && limit(0.05) < limit(0.5));
        assert!(((limit(0.5) / psi(1000.0)).value - 1.0).abs() < 1e-15);
    }

    #[test]
    fn nothing_is_left_where_the_scatter_is_too_wide() {
        assert!(lower_exclusion_limit(psi(1000.0), 0.7, FIVE_PERCENT).is_err());
        assert!(lower_exclusion_limit(psi(1000.0), -0.1, FIVE_PERCENT).is_err());
        assert!(lower_exclusion_limit(psi(0.0), 0.1, FIVE_PERCENT).is_err());
        assert!(lower_exclusion_limit(psi(1.0), 0.1, f64::NAN).is_err());
        assert!(
            normal_quantile(0.0).is_err()
                && normal_quantile(1.0).is_err()
                && normal_quantile(f64::NAN).is_err()
        );
    }
}
