//! Compression along the grain of a member that may buckle.

use super::bending::stability;
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{Length, Stress};

/// The constant c of sawn lumber in the column equation (NDS 2018, 3.7.1.5).
pub const SAWN_COLUMN: f64 = 0.8;

/// The largest slenderness l_e/d of a column in service (NDS 2018, 3.7.1.4).
pub const MOST_SLENDER_COLUMN: f64 = 50.0;

/// What is left of C_P where plies are only nailed together and buckle across their faces (NDS 2018, 15.3, from memory).
pub const NAILED_PLIES: f64 = 0.6;

/// Stress at which a column buckles in one plane.
///
/// # Equation
///
/// ```text
/// F_cE = 0.822·E_min′ / (l_e/d)²
/// ```
///
/// # Symbols
///
/// - `F_cE`: critical buckling stress (Pa)
/// - `E_min′`: adjusted modulus for stability (Pa)
/// - `l_e`: effective length in the plane: between pins, the length (m)
/// - `d`: side in the plane of buckling (m)
///
/// # Validity
///
/// Rectangular sections, l_e/d no more than [`MOST_SLENDER_COLUMN`].
///
/// # Source
///
/// ANSI/AWC NDS-2018, 3.7.1.5.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.8: a 2x4 of 3 ft on its narrow side, 510 000 psi: 728 psi, which gives
/// the C_P = 0.29 that is printed.
///
/// ```rust
/// use barkline::mechanics::timber_member::critical_buckling_stress;
/// use barkline::units::us::{inches, psi};
///
/// let f_ce = critical_buckling_stress(psi(510e3), inches(36.0), inches(1.5))?;
/// assert!(((f_ce / psi(1.0)).value - 728.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn critical_buckling_stress(
    modulus_min: Stress,
    effective: Length,
    side: Length,
) -> Result<Stress, MechanicsError> {
    let slenderness =
        (effective.positive("effective length")? / side.positive("side of a column")?).value;
    (0.822 * modulus_min.positive("modulus for stability")? / (slenderness * slenderness))
        .finite("critical buckling stress")
}

/// Share of its crushing strength that a column keeps because it may buckle.
///
/// # Equation
///
/// ```text
/// C_P = (1 + α)/2c − √( [(1 + α)/2c]² − α/c )      α = F_cE/F_c*
/// ```
///
/// # Symbols
///
/// - `C_P`: column stability factor (1)
/// - `F_cE`: [`critical_buckling_stress`] of the weaker plane (Pa)
/// - `F_c*`: compression value with every factor but C_P (Pa)
/// - `c`: [`SAWN_COLUMN`], 0.85 round poles, 0.9 glued laminated (1)
///
/// # Validity
///
/// Simple solid columns. Plies that are only nailed together keep [`NAILED_PLIES`] of it.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.7-1.
///
/// # Errors
///
/// When a stress is not positive and finite, or c is not between 0.5 and 1.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.8: F_c* = 2320 psi, C_P = 0.29, F_c′ = 673 psi.
///
/// ```rust
/// use barkline::mechanics::timber_member::{SAWN_COLUMN, column_stability_factor};
/// use barkline::units::us::psi;
///
/// let c_p = column_stability_factor(psi(727.8), psi(2320.0), SAWN_COLUMN)?;
/// assert!((c_p - 0.29).abs() < 5e-3 && (c_p * 2320.0 - 673.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn column_stability_factor(
    critical: Stress,
    compression: Stress,
    c: f64,
) -> Result<f64, MechanicsError> {
    let c = c.between("column constant", 0.5, 1.0)?;
    let alpha = (critical.positive("critical buckling stress")?
        / compression.positive("compression value")?)
    .value;
    stability(alpha, 2.0 * c, c).finite("column stability factor")
}
