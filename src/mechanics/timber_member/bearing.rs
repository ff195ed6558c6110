//! Bearing across the grain at a seat.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::us::inches;
use crate::units::{Force, Length, Stress};

/// Bearings this long and longer gain nothing (NDS 2018, 3.10.4).
pub const C_B_LENGTH: Length = inches(6.0);

/// Bearings nearer to the end of a member than this gain nothing (NDS 2018, 3.10.4).
pub const END_DISTANCE: Length = inches(3.0);

/// Bearing stress of a seat.
///
/// # Equation
///
/// ```text
/// f_c⊥ = R / (b·l_b)
/// ```
///
/// # Symbols
///
/// - `f_c⊥`: bearing stress across the grain (Pa)
/// - `R`: force on the seat (N)
/// - `b`: width of the contact across the grain (m)
/// - `l_b`: length of the contact along the grain (m)
///
/// # Validity
///
/// A seat that touches over its whole area.
///
/// # Source
///
/// ANSI/AWC NDS-2018, 3.10.2.
///
/// # Errors
///
/// When a side is not positive, the force negative, or a number not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::timber_member::bearing_stress;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let f = bearing_stress(pounds_force(1800.0), inches(3.0), inches(3.0))?;
/// assert!(((f / psi(1.0)).value - 200.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bearing_stress(
    force: Force,
    width: Length,
    length: Length,
) -> Result<Stress, MechanicsError> {
    let area = width.positive("bearing width")? * length.positive("bearing length")?;
    (force.not_negative("bearing force")? / area).finite("bearing stress")
}

/// Gain of a short bearing from the wood on both sides of it.
///
/// # Equation
///
/// ```text
/// C_b = (l_b + 0.375 in) / l_b
/// ```
///
/// # Symbols
///
/// - `C_b`: bearing area factor (1)
/// - `l_b`: length of the bearing along the grain (in in the source)
///
/// # Validity
///
/// Bearings shorter than [`C_B_LENGTH`] and not nearer than [`END_DISTANCE`] to the end of the member; elsewhere 1.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.10-2.
///
/// # Errors
///
/// When the length is not positive and finite.
///
/// # Example
///
/// Table 3.10.4 prints 1.25 for 1.5 in and 1.13 for 3 in (from memory):
///
/// ```rust
/// use barkline::mechanics::timber_member::bearing_area_factor;
/// use barkline::units::us::inches;
///
/// assert!((bearing_area_factor(inches(1.5))? - 1.25).abs() < 1e-12);
/// assert!((bearing_area_factor(inches(3.0))? - 1.13).abs() <= 5e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bearing_area_factor(length: Length) -> Result<f64, MechanicsError> {
    let l = length.positive("bearing length")?;
    if l >= C_B_LENGTH {
        return Ok(1.0);
    }
    ((l + inches(0.375)) / l)
        .value
        .finite("bearing area factor")
}
