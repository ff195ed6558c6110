//! How stiffly wood holds a bar: the line modulus K of a Winkler foundation, and where it comes from.
//!
//! K is reaction per length of bar and per deflection; it hardly depends on the diameter. Nothing published reaches bars of
//! 40 to 75 mm; the shares below stand for the middle of what tests of thinner dowels give, uncertain by a factor of two
//! either way, and a result should be looked at with half and twice the modulus.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{FlexuralStiffness, FoundationModulus, Stiffness, Stress};

/// E_L over the modulus of elasticity of the clear-wood tables, which contains the shear of the test beam.
pub const TRUE_TO_TABLE: f64 = 1.1;

/// Line modulus along the grain over E_L.
pub const ALONG_TO_LONGITUDINAL: f64 = 0.05;

/// Line modulus across the grain over that along.
pub const ACROSS_TO_ALONG: f64 = 1.0 / 3.0;

/// Modulus of elasticity along the grain, from the modulus of the clear-wood tables.
///
/// # Equation
///
/// ```text
/// E_L = 1.1 · MOE
/// ```
///
/// # Symbols
///
/// - `E_L`: modulus of elasticity along the grain (Pa)
/// - `MOE`: modulus of a centre-loaded beam of span 14 times its depth (Pa); for a living stem the green one
///
/// # Validity
///
/// The tables of the Wood Handbook, chapter 5.
///
/// # Source
///
/// Wood Handbook FPL-GTR-282 (2021), chapter 5.
///
/// # Errors
///
/// When the modulus is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::modulus::longitudinal;
/// use barkline::units::us::psi;
///
/// let e_l = longitudinal(psi(1.25e6))?;
/// assert!(((e_l / psi(1.0)).value - 1.375e6).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn longitudinal(table: Stress) -> Result<Stress, MechanicsError> {
    (TRUE_TO_TABLE * table.positive("modulus of elasticity")?).finite("modulus along the grain")
}

/// Line modulus of the foundation along the grain.
///
/// # Equation
///
/// ```text
/// K∥ = 0.05 · E_L
/// ```
///
/// # Symbols
///
/// - `K∥`: reaction per length of bar and per deflection (Pa)
/// - `E_L`: modulus of elasticity along the grain (Pa)
///
/// # Validity
///
/// Bars of 20 to 75 mm, by a factor of two either way.
///
/// # Source
///
/// Derived here as the middle of what the slip moduli of EN 1995-1-1 and NDS 11.3.6 and foundation moduli of dowel tests
/// (from memory) imply.
///
/// # Errors
///
/// When the modulus is not positive and finite.
///
/// # Example
///
/// E_L of 9.5 GPa: 475 N/mm², close to what the slip modulus of EN 1995-1-1 implies for the same wood (see
/// [`from_slip_modulus`]).
///
/// ```rust
/// use barkline::mechanics::modulus::along;
/// use barkline::units::si::gigapascals;
///
/// assert!((along(gigapascals(9.5))?.value / 1e6 - 475.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn along(longitudinal: Stress) -> Result<FoundationModulus, MechanicsError> {
    (ALONG_TO_LONGITUDINAL * longitudinal.positive("modulus along the grain")?)
        .finite("foundation modulus")
}

/// Line modulus of the foundation across the grain.
///
/// # Equation
///
/// ```text
/// K⊥ = K∥ / 3
/// ```
///
/// # Symbols
///
/// - `K⊥`, `K∥`: reaction per length of bar and per deflection, across and along the grain (Pa)
///
/// # Validity
///
/// As for [`along`]; between the two directions [`hankinson`](super::embedment::hankinson) with n = 2.
///
/// # Source
///
/// Derived here from the ratio of about 3.4 of dowel tests in Japanese softwoods (from memory).
///
/// # Errors
///
/// When the modulus is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::modulus::across;
/// use barkline::units::si::megapascals;
///
/// assert!((across(megapascals(600.0))?.value / 1e6 - 200.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn across(along: FoundationModulus) -> Result<FoundationModulus, MechanicsError> {
    (ACROSS_TO_ALONG * along.positive("foundation modulus along the grain")?)
        .finite("foundation modulus")
}

/// Line modulus of the foundation from the slip modulus of a dowelled joint.
///
/// # Equation
///
/// ```text
/// K = [4·k_s / (4·E·I)^(1/4)]^(4/3)
/// ```
///
/// # Symbols
///
/// - `K`: reaction per length of dowel and per deflection (Pa)
/// - `k_s`: load per slip of one dowel in one shear plane (N/m)
/// - `E·I`: flexural stiffness of the dowel (N·m²)
///
/// # Validity
///
/// Two equal members, each long (λ·L above about 3), in contact. The face of each moves by half the slip, without moment
/// at the shear plane, so k_s = K/(4·λ) with λ = (K/4EI)^(1/4).
///
/// # Source
///
/// Derived here from the semi-infinite beam of M. Hetényi, Beams on Elastic Foundation (1946).
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// The slip modulus of EN 1995-1-1, ρ_m^1.5·d/23, for 24 mm steel in wood of 460 kg/m³:
///
/// ```rust
/// use barkline::mechanics::eurocode5::slip_modulus;
/// use barkline::mechanics::modulus::from_slip_modulus;
/// use barkline::mechanics::round_bar::second_moment;
/// use barkline::units::si::{gigapascals, kilograms_per_cubic_metre, millimetres};
///
/// let k_s = slip_modulus(kilograms_per_cubic_metre(460.0), millimetres(24.0))?;
/// let ei = gigapascals(200.0) * second_moment(millimetres(24.0))?;
/// assert!((from_slip_modulus(k_s, ei)?.value / 1e6 - 604.3).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn from_slip_modulus(
    slip_modulus: Stiffness,
    flexural: FlexuralStiffness,
) -> Result<FoundationModulus, MechanicsError> {
    let k_s = slip_modulus.positive("slip modulus")?.value;
    let ei = flexural.positive("flexural stiffness")?.value;
    let k = (4.0 * k_s / (4.0 * ei).powf(0.25)).powf(4.0 / 3.0);
    crate::units::si::pascals(k).finite("foundation modulus")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::mechanics::eurocode5::slip_modulus;
    use crate::mechanics::round_bar::second_moment;
    use crate::units::si::{
        gigapascals, kilograms_per_cubic_metre, megapascals, millimetres, newtons_per_metre,
    };

    /// K from the slip modulus of EN 1995-1-1 with steel of 200 GPa, N/mm².
    fn from_eurocode(density: f64, diameter: f64) -> f64 {
        let k_s = slip_modulus(kilograms_per_cubic_metre(density), millimetres(diameter)).unwrap();
        let ei = gigapascals(200.0) * second_moment(millimetres(diameter)).unwrap();
        from_slip_modulus(k_s, ei).unwrap().value / 1e6
    }

    #[test]
    fn it_turns_the_semi_infinite_beam_round() {
        // k_s = K/(4·λ), λ = (K/4EI)^(1/4).
        let (k, ei) = (
            600e6_f64,
            gigapascals(200.0) * second_moment(millimetres(38.0)).unwrap(),
        );
        let lambda = (k / (4.0 * ei.value)).powf(0.25);
        let back = from_slip_modulus(newtons_per_metre(k / (4.0 * lambda)), ei).unwrap();
        assert!((back.value / k - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_slip_modulus_of_the_code_gives_one_modulus_for_all_diameters() {
        assert!((from_eurocode(460.0, 12.0) / from_eurocode(460.0, 30.0) - 1.0).abs() < 1e-12);
        assert!((from_eurocode(460.0, 24.0) / (0.002_856 * 460.0 * 460.0) - 1.0).abs() < 1e-4);
        assert!((from_eurocode(420.0, 24.0) - 503.8).abs() < 0.05);
    }

    #[test]
    fn the_shares_are_those_of_the_module() {
        let e_l = longitudinal(gigapascals(10.0)).unwrap();
        let k = along(e_l).unwrap();
        assert!((k.value / 550e6 - 1.0).abs() < 1e-12);
        assert!((across(k).unwrap().value * 3.0 / k.value - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let stress = megapascals(bad);
            assert!(
                longitudinal(stress).is_err() && along(stress).is_err() && across(stress).is_err()
            );
            let ei = gigapascals(200.0) * second_moment(millimetres(38.0)).unwrap();
            assert!(from_slip_modulus(newtons_per_metre(bad), ei).is_err());
            assert!(from_slip_modulus(newtons_per_metre(1.0), ei * bad).is_err());
        }
    }
}
