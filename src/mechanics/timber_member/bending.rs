//! Bending: stresses, the stability of a slender beam, the deflection that stays.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{Force, Length, Moment, Stress};

/// The largest slenderness ratio of a bending member (NDS 2018, 3.3.3.7).
pub const MOST_SLENDER: f64 = 50.0;

/// Largest stress of a rectangular section in bending.
///
/// # Equation
///
/// ```text
/// f_b = 6·M / (b·d²)
/// ```
///
/// # Symbols
///
/// - `f_b`: stress at the edge (Pa)
/// - `M`: bending moment, either sign (N·m)
/// - `b`, `d`: breadth and depth (m)
///
/// # Validity
///
/// Straight members, net section.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.3-1.
///
/// # Errors
///
/// When a side is not positive or a number not finite.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.6: 576 lbf·ft on a 2x8 give 526 psi.
///
/// ```rust
/// use barkline::mechanics::timber_member::bending_stress;
/// use barkline::units::us::{inches, pound_feet, psi};
///
/// let f_b = bending_stress(pound_feet(576.0), inches(1.5), inches(7.25))?;
/// assert!(((f_b / psi(1.0)).value - 526.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bending_stress(
    moment: Moment,
    breadth: Length,
    depth: Length,
) -> Result<Stress, MechanicsError> {
    let (b, d) = (breadth.positive("breadth")?, depth.positive("depth")?);
    (6.0 * moment.finite("bending moment")?.abs() / (b * d * d)).finite("bending stress")
}

/// Largest shear stress along the grain of a rectangular section.
///
/// # Equation
///
/// ```text
/// f_v = 3·V / (2·b·d)
/// ```
///
/// # Symbols
///
/// - `f_v`: shear stress at mid-depth (Pa)
/// - `V`: shear force, either sign (N)
/// - `b`, `d`: breadth and depth (m)
///
/// # Validity
///
/// Members without notches. Where a beam bears with its full width on one face and is loaded on the other, the standard
/// lets uniform loads nearer to a support than d be left out of V, and point loads there be reduced by x/d
/// (3.4.3.1); the caller decides, and leaving them in is on the safe side.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.4-2.
///
/// # Errors
///
/// When a side is not positive or a number not finite.
///
/// # Example
///
/// By the equation: 1000 lbf on a 2x10 (13.875 in²).
///
/// ```rust
/// use barkline::mechanics::timber_member::shear_stress;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let f_v = shear_stress(pounds_force(1000.0), inches(1.5), inches(9.25))?;
/// assert!(((f_v / psi(1.0)).value - 1500.0 / 13.875).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn shear_stress(
    shear: Force,
    breadth: Length,
    depth: Length,
) -> Result<Stress, MechanicsError> {
    let (b, d) = (breadth.positive("breadth")?, depth.positive("depth")?);
    (1.5 * shear.finite("shear force")?.abs() / (b * d)).finite("shear stress")
}

/// Effective length of a bending member for any loading, from the length between lateral supports.
///
/// # Equation
///
/// ```text
/// l_e = 2.06·l_u            l_u/d < 7
/// l_e = 1.63·l_u + 3·d      7 ≤ l_u/d ≤ 14.3
/// l_e = 1.84·l_u            l_u/d > 14.3
/// ```
///
/// # Symbols
///
/// - `l_e`: effective length (m)
/// - `l_u`: unsupported length of the compression edge, zero where it is held everywhere (m)
/// - `d`: depth (m)
///
/// # Validity
///
/// Single spans and cantilevers whose loading the table does not name; no loading that it names asks for more.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 3.3.3 footnote 1 (from memory).
///
/// # Errors
///
/// When the depth is not positive, the length negative, or a number not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::timber_member::effective_length;
/// use barkline::units::us::inches;
///
/// let l_e = effective_length(inches(96.0), inches(9.25))?;
/// assert!(((l_e / inches(1.0)).value - (1.63 * 96.0 + 3.0 * 9.25)).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn effective_length(unsupported: Length, depth: Length) -> Result<Length, MechanicsError> {
    let (l, d) = (
        unsupported.not_negative("unsupported length")?,
        depth.positive("depth")?,
    );
    let ratio = (l / d).value;
    let effective = if ratio < 7.0 {
        2.06 * l
    } else if ratio <= 14.3 {
        1.63 * l + 3.0 * d
    } else {
        1.84 * l
    };
    effective.finite("effective length")
}

/// Slenderness ratio of a bending member.
///
/// # Equation
///
/// ```text
/// R_B = √(l_e·d / b²)
/// ```
///
/// # Symbols
///
/// - `R_B`: slenderness ratio (1)
/// - `l_e`: effective length (m)
/// - `b`, `d`: breadth and depth (m)
///
/// # Validity
///
/// No more than [`MOST_SLENDER`].
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.3-5.
///
/// # Errors
///
/// When a side is not positive, the length negative, or a number not finite.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.2a: 3.5 in × 15.25 in, l_e = 375 in, R_B = 21.6.
///
/// ```rust
/// use barkline::mechanics::timber_member::slenderness_ratio;
/// use barkline::units::us::inches;
///
/// let ratio = slenderness_ratio(inches(375.0), inches(3.5), inches(15.25))?;
/// assert!((ratio - 21.6).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn slenderness_ratio(
    effective: Length,
    breadth: Length,
    depth: Length,
) -> Result<f64, MechanicsError> {
    let l = effective.not_negative("effective length")?;
    let (b, d) = (breadth.positive("breadth")?, depth.positive("depth")?);
    (l * d / (b * b)).value.sqrt().finite("slenderness ratio")
}

/// Bending stress at which a slender member buckles sideways.
///
/// # Equation
///
/// ```text
/// F_bE = 1.20·E_min′ / R_B²
/// ```
///
/// # Symbols
///
/// - `F_bE`: critical bending stress (Pa)
/// - `E_min′`: adjusted modulus for stability (Pa)
/// - `R_B`: [`slenderness_ratio`] (1)
///
/// # Validity
///
/// Rectangular sections.
///
/// # Source
///
/// ANSI/AWC NDS-2018, 3.3.3.8.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.2a: 690 000 psi and R_B² = 374.55 × 15.25/3.5², F_bE = 1776 psi.
///
/// ```rust
/// use barkline::mechanics::timber_member::{critical_bending_stress, slenderness_ratio};
/// use barkline::units::us::{inches, psi};
///
/// let ratio = slenderness_ratio(inches(374.55), inches(3.5), inches(15.25))?;
/// let f_be = critical_bending_stress(psi(690e3), ratio)?;
/// assert!(((f_be / psi(1.0)).value - 1776.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn critical_bending_stress(modulus_min: Stress, ratio: f64) -> Result<Stress, MechanicsError> {
    let ratio = ratio.positive("slenderness ratio")?;
    (1.2 * modulus_min.positive("modulus for stability")? / (ratio * ratio))
        .finite("critical bending stress")
}

/// Share of its bending strength that a beam keeps because its compression edge may buckle sideways.
///
/// # Equation
///
/// ```text
/// C_L = (1 + α)/1.9 − √( [(1 + α)/1.9]² − α/0.95 )      α = F_bE/F_b*
/// ```
///
/// # Symbols
///
/// - `C_L`: beam stability factor (1)
/// - `F_bE`: [`critical_bending_stress`] (Pa)
/// - `F_b*`: bending value with every factor but C_L (Pa)
///
/// # Validity
///
/// 1 where the compression edge is held everywhere or the depth does not exceed the breadth.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.3-6.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// AWC Structural Wood Design Examples 2015/2018, E1.2a: F_bE = 1776 psi, F_b* = 1500 psi, C_L = 0.876.
///
/// ```rust
/// use barkline::mechanics::timber_member::beam_stability_factor;
/// use barkline::units::us::psi;
///
/// let c_l = beam_stability_factor(psi(1776.0), psi(1500.0))?;
/// assert!((c_l - 0.876).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn beam_stability_factor(critical: Stress, bending: Stress) -> Result<f64, MechanicsError> {
    let alpha =
        (critical.positive("critical bending stress")? / bending.positive("bending value")?).value;
    stability(alpha, 1.9, 0.95).finite("beam stability factor")
}

/// The smaller root of the interaction of crushing and buckling, written so that a large α loses no digits.
pub(super) fn stability(alpha: f64, twice: f64, c: f64) -> f64 {
    let half = (1.0 + alpha) / twice;
    let product = alpha / c;
    if alpha.is_infinite() {
        return 1.0;
    }
    product / (half + (half * half - product).max(0.0).sqrt())
}

/// Deflection after years: what comes at once, and what the lasting part grows to.
///
/// # Equation
///
/// ```text
/// Δ_T = K_cr·Δ_LT + Δ_ST
/// ```
///
/// # Symbols
///
/// - `Δ_T`: total deflection (m)
/// - `K_cr`: creep factor: 1.5 seasoned and dry in service, 2.0 unseasoned or wet in service (1)
/// - `Δ_LT`: immediate deflection under the lasting part of the load (m)
/// - `Δ_ST`: immediate deflection under the short-term part (m)
///
/// # Validity
///
/// Sawn lumber and structural glued laminated timber.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 3.5-1; the factors as quoted by the American Wood Council in an answer on IBC Table 1604.3.
///
/// # Errors
///
/// When the factor is below zero or a number not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::timber_member::long_term_deflection;
/// use barkline::units::si::millimetres;
///
/// let total = long_term_deflection(2.0, millimetres(1.5), millimetres(4.0))?;
/// assert!((total.value - 7e-3).abs() < 1e-15);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn long_term_deflection(
    creep: f64,
    lasting: Length,
    short: Length,
) -> Result<Length, MechanicsError> {
    (creep.not_negative("creep factor")? * lasting.finite("lasting deflection")?
        + short.finite("short-term deflection")?)
    .finite("total deflection")
}
