//! How hard wood presses back on a round bar: bearing (embedment) strength, along, across and between.
//!
//! Two roads lead to it: a share of the crushing strength of the clear wood, which holds for a living stem when the
//! strength is a green one, and the dowel bearing strength of the National Design Specification from the specific
//! gravity, which describes dry wood and bars up to an inch.

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::si::millimetres;
use crate::units::us::{inches, psi};
use crate::units::{Angle, Length, Stress};

/// Exponent n of Hankinson's relation in compression and dowel bearing (NDS 2018, Eq. 12.3-11).
pub const COMPRESSION_EXPONENT: f64 = 2.0;

/// Embedment strength along the grain over compression strength along the grain (Sawata & Yasumura 2002).
pub const EMBEDMENT_TO_CRUSHING: f64 = 0.9;

/// The dowel diameters tested by Sawata & Yasumura (2002).
pub const TESTED_DIAMETERS: Range<Length> = Range {
    low: millimetres(8.0),
    high: millimetres(20.0),
};

/// Bolt and lag screw diameters of the dowel bearing equations (NDS 2018 Table 12.3.3).
pub const BOLT_DIAMETERS: Range<Length> = Range {
    low: inches(0.25),
    high: inches(1.0),
};

/// Specific gravities, ovendry mass over ovendry volume, of the dowel bearing equations (NDS 2018 Table 12.3.3).
pub const GRAVITIES: Range<f64> = Range {
    low: 0.31,
    high: 0.73,
};

/// Embedment strength along the grain from the crushing strength of the wood in the same state.
///
/// # Equation
///
/// ```text
/// f = 0.9 · f_c
/// ```
///
/// # Symbols
///
/// - `f`: embedment strength along the grain (Pa), by the 5 % offset or at 5 mm displacement alike
/// - `f_c`: compression strength along the grain (Pa); for a living stem the green one
///
/// # Validity
///
/// Dowels of 8 to 20 mm, [`TESTED_DIAMETERS`]; beyond them the ratio is carried on by assumption.
///
/// # Source
///
/// K. Sawata, M. Yasumura, "Determination of embedding strength of wood for dowel-type fasteners", Journal of Wood
/// Science 48 (2002) 138–146, abstract.
///
/// # Errors
///
/// When the strength is not positive and finite.
///
/// # Example
///
/// The ratio of the abstract, on a green crushing strength of 3560 psi:
///
/// ```rust
/// use barkline::mechanics::embedment::from_crushing;
/// use barkline::units::us::psi;
///
/// let f = from_crushing(psi(3560.0))?;
/// assert!(((f / psi(1.0)).value - 3204.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn from_crushing(crushing: Stress) -> Result<Stress, MechanicsError> {
    (EMBEDMENT_TO_CRUSHING * crushing.positive("crushing strength")?).finite("embedment strength")
}

/// Dowel bearing strength along the grain, bolts and lag screws of a quarter inch and more.
///
/// # Equation
///
/// ```text
/// F_e∥ = 11200 · G   (psi)
/// ```
///
/// # Symbols
///
/// - `F_e∥`: dowel bearing strength along the grain (psi in the source)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
///
/// # Validity
///
/// [`GRAVITIES`] and [`BOLT_DIAMETERS`]; dry wood, average of tests by the 5 % offset. The source tabulates to 50 psi.
///
/// # Source
///
/// ANSI/AWC NDS-2018, National Design Specification for Wood Construction, Table 12.3.3, note 2.
///
/// # Errors
///
/// When the gravity is not positive and finite.
///
/// # Example
///
/// The table prints 5600 psi for G = 0.50:
///
/// ```rust
/// use barkline::mechanics::embedment::dowel_bearing_along;
/// use barkline::units::us::psi;
///
/// let f_e = dowel_bearing_along(0.50)?;
/// assert!(((f_e / psi(1.0)).value - 5600.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn dowel_bearing_along(gravity: f64) -> Result<Stress, MechanicsError> {
    psi(11_200.0 * gravity.positive("specific gravity")?).finite("dowel bearing strength")
}

/// Dowel bearing strength across the grain, bolts and lag screws of a quarter inch and more.
///
/// # Equation
///
/// ```text
/// F_e⊥ = 6100 · G^1.45 / √D   (psi)
/// ```
///
/// # Symbols
///
/// - `F_e⊥`: dowel bearing strength across the grain (psi in the source)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
/// - `D`: nominal diameter (in in the source)
///
/// # Validity
///
/// [`GRAVITIES`] and [`BOLT_DIAMETERS`]; dry wood. The source tabulates to 50 psi.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 12.3.3, note 2.
///
/// # Errors
///
/// When the gravity or the diameter is not positive and finite.
///
/// # Example
///
/// The table prints 3150 psi for G = 0.50 and half an inch:
///
/// ```rust
/// use barkline::mechanics::embedment::dowel_bearing_across;
/// use barkline::units::us::{inches, psi};
///
/// let f_e = dowel_bearing_across(0.50, inches(0.5))?;
/// assert!(((f_e / psi(1.0)).value - 3150.0).abs() <= 25.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn dowel_bearing_across(gravity: f64, diameter: Length) -> Result<Stress, MechanicsError> {
    let g = gravity.positive("specific gravity")?;
    let d = (diameter.positive("dowel diameter")? / inches(1.0)).value;
    psi(6100.0 * g.powf(1.45) / d.sqrt()).finite("dowel bearing strength")
}

/// Dowel bearing strength of thin fasteners (below a quarter inch), the same at any angle to the grain.
///
/// # Equation
///
/// ```text
/// F_e = 16600 · G^1.84   (psi)
/// ```
///
/// # Symbols
///
/// - `F_e`: dowel bearing strength (psi in the source)
/// - `G`: specific gravity, ovendry mass over ovendry volume (1)
///
/// # Validity
///
/// [`GRAVITIES`], nails, spikes and wood screws below a quarter inch; dry wood.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 12.3.3, note 2.
///
/// # Errors
///
/// When the gravity is not positive and finite.
///
/// # Example
///
/// The table prints 4650 psi for G = 0.50 (from memory):
///
/// ```rust
/// use barkline::mechanics::embedment::dowel_bearing_small;
/// use barkline::units::us::psi;
///
/// let f_e = dowel_bearing_small(0.50)?;
/// assert!(((f_e / psi(1.0)).value - 4650.0).abs() <= 25.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn dowel_bearing_small(gravity: f64) -> Result<Stress, MechanicsError> {
    psi(16_600.0 * gravity.positive("specific gravity")?.powf(1.84))
        .finite("dowel bearing strength")
}

/// A strength or stiffness at an angle between the grain and across it.
///
/// # Equation
///
/// ```text
/// N = P·Q / (P·sinⁿθ + Q·cosⁿθ)
/// ```
///
/// # Symbols
///
/// - `N`: value at the angle θ (Pa)
/// - `P`, `Q`: values along and across the grain (Pa)
/// - `θ`: angle between load and grain, 0 to 90° (rad)
/// - `n`: exponent (1); 2 for compression, dowel bearing and modulus of elasticity
///
/// # Validity
///
/// n = 2 for compression and dowel bearing; 1.5 to 2.5 over all properties of wood (from memory).
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 12.3-11 (n = 2); Wood Handbook FPL-GTR-282 (2021), chapter 5, for other exponents. For the
/// initial stiffness under a bolt: A. Awaludin et al., Journal of Wood Science 53 (2007) 204–210, abstract.
///
/// # Errors
///
/// When a value or the exponent is not positive and finite, or the angle is outside 0 to 90°.
///
/// # Example
///
/// 5600 psi along, 2600 psi across, 30°: 4346.27 psi, a published hand calculation.
///
/// ```rust
/// use barkline::mechanics::embedment::hankinson;
/// use barkline::units::{si::degrees, us::psi};
///
/// let f_e = hankinson(psi(5600.0), psi(2600.0), degrees(30.0), 2.0)?;
/// assert!(((f_e / psi(1.0)).value - 4346.2687).abs() < 1e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hankinson(
    along: Stress,
    across: Stress,
    angle: Angle,
    exponent: f64,
) -> Result<Stress, MechanicsError> {
    let p = along.positive("value along the grain")?;
    let q = across.positive("value across the grain")?;
    let n = exponent.positive("exponent")?;
    let theta = angle
        .between("angle to the grain", Angle::default(), super::RIGHT_ANGLE)?
        .value;
    let share = p * theta.sin().powf(n) + q * theta.cos().powf(n);
    (p * (q / share)).finite("value at an angle to the grain")
}

/// Dowel bearing strength for a living stem: never above what the green clear wood gives.
///
/// # Equation
///
/// ```text
/// f = min(F_e, f_green)
/// ```
///
/// # Symbols
///
/// - `f`: bearing strength to use (Pa)
/// - `F_e`: dowel bearing strength of the dry-wood equations, wet factor applied by the caller (Pa)
/// - `f_green`: bearing strength from the green clear wood, for example [`from_crushing`] (Pa)
///
/// # Validity
///
/// Any. The dry-wood equations exceed the green crushing strength of dense hardwoods even with the wet factor.
///
/// # Source
///
/// Derived here: a strength of dry wood says nothing above that of the wet wood it is used for.
///
/// # Errors
///
/// When a strength is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::embedment::never_above_green;
/// use barkline::units::us::psi;
///
/// assert_eq!(never_above_green(psi(5723.0), psi(3204.0))?, psi(3204.0));
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn never_above_green(dowel_bearing: Stress, green: Stress) -> Result<Stress, MechanicsError> {
    let green = green.positive("green bearing strength")?;
    Ok(dowel_bearing.positive("dowel bearing strength")?.min(green))
}

/// Specific gravity on the ovendry volume, from the gravity on the green volume.
///
/// # Equation
///
/// ```text
/// G₀ = G_b / (1 − 0.265·G_b)
/// ```
///
/// # Symbols
///
/// - `G₀`: ovendry mass over ovendry volume (1), the basis of the NDS equations
/// - `G_b`: ovendry mass over green volume (1), the basis of the green tables
///
/// # Validity
///
/// Average shrinkage; within 0.02 of the NDS gravities of white oak, northern red oak and Douglas-fir.
///
/// # Source
///
/// Wood Handbook FPL-GTR-282 (2021), chapter 4, from memory.
///
/// # Errors
///
/// When the gravity is not positive, or so high that the wood would have no ovendry volume.
///
/// # Example
///
/// Northern red oak, 0.56 on green volume; the NDS prints 0.68:
///
/// ```rust
/// use barkline::mechanics::embedment::ovendry_gravity;
///
/// assert!((ovendry_gravity(0.56)? - 0.68).abs() < 0.03);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn ovendry_gravity(basic: f64) -> Result<f64, MechanicsError> {
    let g = basic.positive("specific gravity on green volume")?;
    let volume = 1.0 - 0.265 * g;
    if volume <= 0.0 {
        return Err(MechanicsError::NoSolution {
            what: "the specific gravity leaves no ovendry volume",
        });
    }
    (g / volume).finite("specific gravity on ovendry volume")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::units::si::{degrees, megapascals};
    use proptest::prelude::*;

    #[test]
    fn the_si_forms_of_the_handbook_are_the_same_equations() {
        // GTR-282 Equations 8-17a and 8-18a print 77.2·G and 212·G^1.45/√D in N/mm² and mm, to three digits.
        let along = dowel_bearing_along(0.5).unwrap() / megapascals(77.2 * 0.5);
        let across = dowel_bearing_across(0.5, millimetres(16.0)).unwrap();
        let across = across / megapascals(212.0 * 0.5_f64.powf(1.45) / 4.0);
        assert!((along.value - 1.0).abs() < 1e-3 && (across.value - 1.0).abs() < 1e-3);
    }

    #[test]
    fn the_wet_wood_caps_the_dry_equation_and_not_the_other_way_round() {
        assert_eq!(
            never_above_green(psi(3000.0), psi(3204.0)).unwrap(),
            psi(3000.0)
        );
        assert_eq!(
            never_above_green(psi(4000.0), psi(3204.0)).unwrap(),
            psi(3204.0)
        );
    }

    #[test]
    fn a_gravity_beyond_solid_wood_has_no_ovendry_volume() {
        assert!(matches!(
            ovendry_gravity(4.0),
            Err(MechanicsError::NoSolution { .. })
        ));
        // White oak and Douglas-fir on green volume; the NDS prints 0.73 and 0.50.
        assert!((ovendry_gravity(0.60).unwrap() - 0.713).abs() < 5e-4);
        assert!((ovendry_gravity(0.45).unwrap() - 0.511).abs() < 5e-4);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(from_crushing(psi(bad)).is_err() && dowel_bearing_along(bad).is_err());
            assert!(
                dowel_bearing_across(bad, inches(1.0)).is_err()
                    && dowel_bearing_small(bad).is_err()
            );
            assert!(
                dowel_bearing_across(0.5, inches(bad)).is_err() && ovendry_gravity(bad).is_err()
            );
            assert!(hankinson(psi(bad), psi(1.0), degrees(30.0), 2.0).is_err());
            assert!(hankinson(psi(1.0), psi(bad), degrees(30.0), 2.0).is_err());
            assert!(hankinson(psi(1.0), psi(1.0), degrees(30.0), bad).is_err());
        }
        assert!(hankinson(psi(1.0), psi(1.0), degrees(90.1), 2.0).is_err());
        assert!(hankinson(psi(1.0), psi(1.0), degrees(-0.1), 2.0).is_err());
    }

    proptest! {
        #[test]
        fn between_the_grains_lies_between_the_strengths(
            p in 1.0..1e4_f64, q in 1.0..1e4_f64, angle in 0.0..=90.0_f64, n in 1.5..2.5_f64,
        ) {
            let at = |degree| hankinson(psi(p), psi(q), degrees(degree), n).unwrap() / psi(1.0);
            prop_assert!((at(0.0).value / p - 1.0).abs() < 1e-12 && (at(90.0).value / q - 1.0).abs() < 1e-12);
            // With n above 2 the curve may leave the two strengths where they are nearly equal; never by a factor of √2.
            let between = at(angle).value;
            prop_assert!(between >= p.min(q) / 1.001 / 2_f64.sqrt() && between <= p.max(q) * 1.001 * 2_f64.sqrt());
        }

        #[test]
        fn along_is_the_strong_side_of_a_softwood_table(g in 0.31..0.73_f64, d in 0.25..1.0_f64) {
            prop_assert!(dowel_bearing_across(g, inches(d)).unwrap() < dowel_bearing_along(g).unwrap());
        }
    }
}
