//! Driving a threaded bar into wood: the torque that friction asks for, and the torque at which the bar itself yields.
//!
//! Friction and pressure are not known to better than a factor of two or three each. The estimate warns of a bar that may
//! twist; it proves nothing of the strength of what was driven.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{Length, Moment, Stress};
use std::f64::consts::PI;

/// Torque by friction of a thread in wood.
///
/// # Equation
///
/// ```text
/// T = (π/2)·d_m²·μ·p·L
/// ```
///
/// # Symbols
///
/// - `T`: torque (N·m)
/// - `d_m`: mean diameter of the thread, half of outside and root (m)
/// - `μ`: friction of steel on wood (1)
/// - `p`: pressure of the wood on the thread (Pa)
/// - `L`: thread in the wood (m)
///
/// # Validity
///
/// Friction on a cylinder of diameter d_m under an even pressure; cutting of the thread and chips in the hole are left out.
///
/// # Source
///
/// Derived: the friction μ·p on the surface π·d_m·L acts at the arm d_m/2. No measurement of such bars was found.
///
/// # Errors
///
/// When diameter, pressure or length is not positive and finite, or the friction is negative or not finite.
///
/// # Example
///
/// A thread of 1 in outside and 0.78 in root, 6 in deep, μ = 0.3, p = 600 psi: 112 lbf·ft.
///
/// ```rust
/// use barkline::mechanics::driving::friction_torque;
/// use barkline::units::us::{inches, pound_feet, psi};
///
/// let t = friction_torque(inches(0.89), 0.3, psi(600.0), inches(6.0))?;
/// assert!(((t / pound_feet(1.0)).value - 112.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn friction_torque(
    mean_diameter: Length,
    friction: f64,
    pressure: Stress,
    length: Length,
) -> Result<Moment, MechanicsError> {
    let d = mean_diameter.positive("mean diameter of the thread")?;
    let mu = friction.not_negative("friction")?;
    let p = pressure.positive("pressure on the thread")?;
    let l = length.positive("thread in the wood")?;
    (PI / 2.0 * mu * (d * d * p * l)).finite("driving torque")
}

/// Torque at which the surface of a round bar yields.
///
/// # Equation
///
/// ```text
/// T_y = π·d³·τ_y/16,   τ_y = F_y/√3
/// ```
///
/// # Symbols
///
/// - `T_y`: torque (N·m)
/// - `d`: diameter; of a thread, its root (m)
/// - `τ_y`: yield stress in shear (Pa)
/// - `F_y`: yield strength (Pa)
///
/// # Validity
///
/// Elastic torsion of a solid round bar, shear yield after von Mises; no stress concentration at the thread.
///
/// # Source
///
/// Strength of materials, from memory.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// A root of 0.78 in and F_y = 36 ksi: 161 lbf·ft.
///
/// ```rust
/// use barkline::mechanics::driving::yield_torque;
/// use barkline::units::us::{inches, ksi, pound_feet};
///
/// let t = yield_torque(inches(0.78), ksi(36.0))?;
/// assert!(((t / pound_feet(1.0)).value - 161.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn yield_torque(diameter: Length, yield_strength: Stress) -> Result<Moment, MechanicsError> {
    let d = diameter.positive("diameter")?;
    let shear = yield_strength.positive("yield strength")? / 3.0_f64.sqrt();
    (PI / 16.0 * (d * d * d * shear)).finite("yield torque")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::us::{inches, ksi, pound_feet, psi};

    /// Of a worked table in whole pound-feet.
    const HALF_A_STEP: f64 = 0.5;

    #[test]
    fn torques_of_four_threads() {
        // Own arithmetic by hand: L = 6 in, μ = 0.3, p = 600 psi, F_y = 36 ksi; lag threads of ASME B18.2.1 (1-1/2 in: root
        // 1.25 in).
        for (outside, root, friction, bar) in [
            (0.75, 0.579, 62.0, 66.0),
            (1.0, 0.78, 112.0, 161.0),
            (1.25, 1.012, 181.0, 352.0),
            (1.5, 1.25, 267.0, 664.0),
        ] {
            let mean = inches(f64::midpoint(outside, root));
            let t = friction_torque(mean, 0.3, psi(600.0), inches(6.0)).unwrap();
            assert!(((t / pound_feet(1.0)).value - friction).abs() <= HALF_A_STEP);
            let t = yield_torque(inches(root), ksi(36.0)).unwrap();
            assert!(((t / pound_feet(1.0)).value - bar).abs() <= HALF_A_STEP);
        }
    }

    #[test]
    fn refuses_what_is_no_bar() {
        assert!(friction_torque(inches(0.0), 0.3, psi(1.0), inches(1.0)).is_err());
        assert!(friction_torque(inches(1.0), -0.1, psi(1.0), inches(1.0)).is_err());
        assert!(yield_torque(inches(1.0), psi(f64::NAN)).is_err());
    }
}
