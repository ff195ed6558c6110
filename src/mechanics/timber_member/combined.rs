//! Axial force and bending together.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::Stress;

/// Bending about one axis of a member that is also compressed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Bending stress f_b.
    pub stress: Stress,
    /// Adjusted bending value F_b′.
    pub allowable: Stress,
    /// Critical buckling stress F_cE in the plane of this bending.
    pub buckling: Stress,
}

impl Axis {
    fn checked(self) -> Result<Self, MechanicsError> {
        Ok(Self {
            stress: self.stress.not_negative("bending stress")?,
            allowable: self.allowable.positive("bending value")?,
            buckling: self.buckling.positive("critical buckling stress")?,
        })
    }
}

/// Use of a member that is compressed and bent about one or both axes.
///
/// # Equation
///
/// ```text
/// (f_c/F_c′)² + f_b1 / (F_b1′·[1 − f_c/F_cE1])
///             + f_b2 / (F_b2′·[1 − f_c/F_cE2 − (f_b1/F_bE)²]) ≤ 1
/// ```
///
/// # Symbols
///
/// - `f_c`, `F_c′`: compression stress and adjusted compression value (Pa)
/// - `f_b1`, `F_b1′`, `F_cE1`: edgewise bending, its value, critical buckling stress in its plane (Pa)
/// - `f_b2`, `F_b2′`, `F_cE2`: the same flatwise (Pa)
/// - `F_bE`: critical bending stress of edgewise bending; none where it can not buckle sideways (Pa)
///
/// # Validity
///
/// f_c below both critical buckling stresses, f_b1 below F_bE, and the brackets above zero (Equation 3.9-4 with it).
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.9-3.
///
/// # Errors
///
/// When a number is not finite, an allowable not positive, or a bracket not above zero: the member buckles.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.8, dead, snow and wind: 0.98.
///
/// ```rust
/// use barkline::mechanics::timber_member::{Axis, bending_and_compression};
/// use barkline::units::us::psi;
///
/// let edge = Axis { stress: psi(353.0), allowable: psi(1729.0), buckling: psi(3963.0) };
/// let flat = Axis { stress: psi(1029.0), allowable: psi(1936.0), buckling: psi(727.8) };
/// let used = bending_and_compression(psi(171.0), psi(673.0), edge, flat, Some(psi(6577.0)))?;
/// assert!((used - 0.98).abs() < 5e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bending_and_compression(
    compression: Stress,
    allowable: Stress,
    edge: Axis,
    flat: Axis,
    critical_bending: Option<Stress>,
) -> Result<f64, MechanicsError> {
    let f_c = compression.not_negative("compression stress")?;
    let allowable = allowable.positive("compression value")?;
    let (edge, flat) = (edge.checked()?, flat.checked()?);
    let tilt = match critical_bending {
        Some(critical) => (edge.stress / critical.positive("critical bending stress")?).value,
        None => 0.0,
    };
    let left = [
        1.0 - (f_c / edge.buckling).value,
        1.0 - (f_c / flat.buckling).value - tilt * tilt,
    ];
    if left.iter().any(|left| *left <= 0.0) {
        return Err(MechanicsError::NoSolution {
            what: "the member buckles under its axial force and bending",
        });
    }
    let pressed = (f_c / allowable).value;
    (pressed * pressed
        + (edge.stress / edge.allowable).value / left[0]
        + (flat.stress / flat.allowable).value / left[1])
        .finite("use in bending and compression")
}

/// Use of a member that is pulled and bent.
///
/// # Equation
///
/// ```text
/// max( f_t/F_t′ + f_b/F_b*,  (f_b − f_t)/F_b** )
/// ```
///
/// # Symbols
///
/// - `f_t`, `F_t′`: tension stress and adjusted tension value (Pa)
/// - `f_b`: bending stress (Pa)
/// - `F_b*`: bending value with every factor but C_L (Pa)
/// - `F_b**`: bending value with every factor but C_V, for sawn members F_b′ (Pa)
///
/// # Validity
///
/// Bending about one axis; about two, the stresses added are on the safe side.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equations 3.9-1 and 3.9-2.
///
/// # Errors
///
/// When a number is not finite, a stress negative, or an allowable not positive.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.6, dead, live and wind: 0.612.
///
/// ```rust
/// use barkline::mechanics::timber_member::bending_and_tension;
/// use barkline::units::us::psi;
///
/// let used = bending_and_tension(psi(292.4), psi(1008.0), psi(526.0), psi(1632.0), psi(660.0))?;
/// assert!((used - 0.612).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bending_and_tension(
    tension: Stress,
    allowable: Stress,
    bending: Stress,
    bending_star: Stress,
    bending_two_star: Stress,
) -> Result<f64, MechanicsError> {
    let f_t = tension.not_negative("tension stress")?;
    let f_b = bending.not_negative("bending stress")?;
    let together = (f_t / allowable.positive("tension value")?).value
        + (f_b / bending_star.positive("bending value")?).value;
    let pressed = ((f_b - f_t) / bending_two_star.positive("bending value")?).value;
    together.max(pressed).finite("use in bending and tension")
}
