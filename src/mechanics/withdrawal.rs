//! What holds a threaded bar or a nail in wood against being pulled out along its axis.

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::us::{inches, pounds_force, pounds_per_inch};
use crate::units::{Angle, Force, Length, LineLoad};

/// Lag screw diameters of the withdrawal table (NDS 2018 Table 12.2A).
pub const LAG_DIAMETERS: Range<Length> = Range {
    low: inches(0.25),
    high: inches(1.25),
};

/// Specific gravities, ovendry basis, of the withdrawal tables (NDS 2018 Table 12.2A).
pub const GRAVITIES: Range<f64> = super::embedment::GRAVITIES;

/// Wet service factor of lag and wood screws in withdrawal, moisture above 19 % in service (NDS 2018 Table 11.3.3).
pub const WET_SERVICE: f64 = 0.7;

/// Factor on the lag screw value when the screw stands in end grain (NDS 2018, 12.2.1).
pub const END_GRAIN: f64 = 0.75;

/// Allowable withdrawal value of a lag screw per length of thread.
///
/// # Equation
///
/// ```text
/// W = 1800 · G^1.5 · D^0.75   (lbf per inch of thread)
/// ```
///
/// # Symbols
///
/// - `W`: reference withdrawal value per length of thread, the tip not counted (N/m)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
/// - `D`: nominal diameter (in in the source)
///
/// # Validity
///
/// [`GRAVITIES`] and [`LAG_DIAMETERS`], side grain, dry; [`WET_SERVICE`] and [`END_GRAIN`] are applied by the caller.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 12.2-1 and Table 12.2A.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// The table prints 636 lbf/in for G = 0.50 and 1 in:
///
/// ```rust
/// use barkline::mechanics::withdrawal::lag_withdrawal;
/// use barkline::units::us::{inches, pounds_per_inch};
///
/// let w = lag_withdrawal(0.50, inches(1.0))?;
/// assert!(((w / pounds_per_inch(1.0)).value - 636.0).abs() <= 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn lag_withdrawal(gravity: f64, diameter: Length) -> Result<LineLoad, MechanicsError> {
    pounds_per_inch(1800.0 * lag_term(gravity, diameter)?).finite("withdrawal value")
}

/// Withdrawal load at which lag screws pulled out in tests, on average.
///
/// # Equation
///
/// ```text
/// P = 8100 · G^1.5 · D^0.75 · L   (lbf)
/// ```
///
/// # Symbols
///
/// - `P`: maximum withdrawal load (N)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
/// - `D`: shank diameter (in in the source)
/// - `L`: length of thread in the wood (in in the source)
///
/// # Validity
///
/// As for [`lag_withdrawal`], of which it is 4.5 times; a mean of tests, not an allowable value.
///
/// # Source
///
/// Wood Handbook FPL-GTR-190 (2010) and FPL-GTR-282 (2021), chapter 8, lag screws.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// In SI the handbook writes 125.4 · G^1.5 · D^0.75 · L (N, mm):
///
/// ```rust
/// use barkline::mechanics::withdrawal::lag_withdrawal_maximum;
/// use barkline::units::si::millimetres;
///
/// let p = lag_withdrawal_maximum(0.50, millimetres(16.0), millimetres(100.0))?;
/// let handbook = 125.4 * 0.50_f64.powf(1.5) * 16.0_f64.powf(0.75) * 100.0;
/// assert!((p.value / handbook - 1.0).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn lag_withdrawal_maximum(
    gravity: f64,
    diameter: Length,
    thread: Length,
) -> Result<Force, MechanicsError> {
    let l = (thread.positive("length of thread")? / inches(1.0)).value;
    pounds_force(8100.0 * lag_term(gravity, diameter)? * l).finite("maximum withdrawal load")
}

/// G^1.5 · D^0.75 with D in inches.
fn lag_term(gravity: f64, diameter: Length) -> Result<f64, MechanicsError> {
    let d = (diameter.positive("nominal diameter")? / inches(1.0)).value;
    Ok(gravity.positive("specific gravity")?.powf(1.5) * d.powf(0.75))
}

/// Allowable withdrawal value of a smooth nail per length of penetration.
///
/// # Equation
///
/// ```text
/// W = 1380 · G^2.5 · D   (lbf per inch of penetration)
/// ```
///
/// # Symbols
///
/// - `W`: reference withdrawal value per length in the wood (N/m)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
/// - `D`: nail diameter (in in the source)
///
/// # Validity
///
/// [`GRAVITIES`]; smooth shank, side grain, dry. In end grain nails have no withdrawal value.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 12.2-3 (equation number from memory).
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// AWC Structural Wood Design Solved Example Problems, E2.1a: G = 0.42, 0.131 in, 20.67 lbf/in.
///
/// ```rust
/// use barkline::mechanics::withdrawal::nail_withdrawal;
/// use barkline::units::us::{inches, pounds_per_inch};
///
/// let w = nail_withdrawal(0.42, inches(0.131))?;
/// assert!(((w / pounds_per_inch(1.0)).value - 20.67).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn nail_withdrawal(gravity: f64, diameter: Length) -> Result<LineLoad, MechanicsError> {
    let d = (diameter.positive("nail diameter")? / inches(1.0)).value;
    pounds_per_inch(1380.0 * gravity.positive("specific gravity")?.powf(2.5) * d)
        .finite("withdrawal value")
}

/// Allowable load of a lag screw pulled at an angle to the surface of the wood.
///
/// # Equation
///
/// ```text
/// Z_α = W′p · Z′ / (W′p·cos²α + Z′·sin²α)
/// ```
///
/// # Symbols
///
/// - `Z_α`: allowable load in the direction of the pull (N)
/// - `W′p`: allowable withdrawal load, value per length times length of thread (N)
/// - `Z′`: allowable lateral load (N)
/// - `α`: angle between the wood surface and the load, 0 to 90° (rad); 0 is a purely lateral load
///
/// # Validity
///
/// Lag screws, bar at right angles to the surface.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 12.4-1.
///
/// # Errors
///
/// When a load is not positive and finite, or the angle is outside 0 to 90°.
///
/// # Example
///
/// At 45° the allowable load is the harmonic mean of the two:
///
/// ```rust
/// use barkline::mechanics::withdrawal::combined_lateral_withdrawal;
/// use barkline::units::si::{degrees, kilonewtons};
///
/// let z = combined_lateral_withdrawal(kilonewtons(6.0), kilonewtons(3.0), degrees(45.0))?;
/// assert!((z.value - 4000.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn combined_lateral_withdrawal(
    withdrawal: Force,
    lateral: Force,
    angle: Angle,
) -> Result<Force, MechanicsError> {
    let w = withdrawal.positive("withdrawal load")?;
    let z = lateral.positive("lateral load")?;
    let alpha = angle
        .between(
            "angle to the wood surface",
            Angle::default(),
            super::RIGHT_ANGLE,
        )?
        .value;
    (w * (z / (w * alpha.cos().powi(2) + z * alpha.sin().powi(2))))
        .finite("allowable load at an angle")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{degrees, millimetres, newtons, newtons_per_metre};
    use proptest::prelude::*;

    #[test]
    fn the_maximum_is_four_and_a_half_times_the_allowable() {
        let allowable = lag_withdrawal(0.5, inches(0.75)).unwrap() * inches(6.0);
        let maximum = lag_withdrawal_maximum(0.5, inches(0.75), inches(6.0)).unwrap();
        assert!(((maximum / allowable).value - 4.5).abs() < 1e-12);
    }

    #[test]
    fn the_metric_constant_is_the_same_equation() {
        // 1800 lbf/in converted: 27.86·G^1.5·D^0.75 N/mm with D in mm, to four digits.
        let metric = newtons_per_metre(1e3 * 27.86 * 0.6_f64.powf(1.5) * 25.0_f64.powf(0.75));
        let w = lag_withdrawal(0.6, millimetres(25.0)).unwrap();
        assert!(((w / metric).value - 1.0).abs() < 2e-4);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(
                lag_withdrawal(bad, inches(1.0)).is_err()
                    && lag_withdrawal(0.5, inches(bad)).is_err()
            );
            assert!(lag_withdrawal_maximum(0.5, inches(1.0), inches(bad)).is_err());
            assert!(
                nail_withdrawal(bad, inches(0.1)).is_err()
                    && nail_withdrawal(0.5, inches(bad)).is_err()
            );
            assert!(
                combined_lateral_withdrawal(newtons(bad), newtons(1.0), degrees(10.0)).is_err()
            );
            assert!(
                combined_lateral_withdrawal(newtons(1.0), newtons(bad), degrees(10.0)).is_err()
            );
        }
        assert!(combined_lateral_withdrawal(newtons(1.0), newtons(1.0), degrees(91.0)).is_err());
    }

    proptest! {
        #[test]
        fn a_pull_at_an_angle_runs_from_lateral_to_withdrawal(w in 1.0..1e5_f64, z in 1.0..1e5_f64, a in 0.0..90.0_f64) {
            let at = |degree| combined_lateral_withdrawal(newtons(w), newtons(z), degrees(degree)).unwrap().value;
            prop_assert!((at(0.0) / z - 1.0).abs() < 1e-12 && (at(90.0) / w - 1.0).abs() < 1e-12);
            prop_assert!(at(a) >= w.min(z) * (1.0 - 1e-12) && at(a) <= w.max(z) * (1.0 + 1e-12));
        }
    }
}
