//! The solid round steel bar: its section, and what it resists in bending, shear and both together.
//!
//! Three plastic limits of the same section are in use and must not be mixed: the full plastic moment F_y·Z of the yield
//! theory, the 1.6·F_y·S of AISC 360, and the 1.5·W_el·f_yp of EN 1993-1-8 for pins.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{Area, Force, Length, Moment, SecondMoment, SectionModulus, Stress};
use std::f64::consts::PI;

/// Area of a round bar.
///
/// # Equation
///
/// ```text
/// A = π·d²/4
/// ```
///
/// # Symbols
///
/// - `A`: area (m²)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Any solid round section; the root diameter of a thread.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// When the diameter is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::area;
/// use barkline::units::us::inches;
///
/// let a = area(inches(1.0))?;
/// assert!(((a / (inches(1.0) * inches(1.0))).value - 0.7854).abs() < 5e-5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn area(diameter: Length) -> Result<Area, MechanicsError> {
    let d = diameter.positive("diameter")?;
    (PI / 4.0 * d * d).finite("area")
}

/// Elastic section modulus of a round bar.
///
/// # Equation
///
/// ```text
/// S = π·d³/32
/// ```
///
/// # Symbols
///
/// - `S`: elastic section modulus (m³)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Any solid round section.
///
/// # Source
///
/// AISC Design Examples, companion to the 16th edition Manual, Example F.13.
///
/// # Errors
///
/// When the diameter is not positive and finite.
///
/// # Example
///
/// The example prints 0.0982 in³ for 1 in:
///
/// ```rust
/// use barkline::mechanics::round_bar::elastic_modulus;
/// use barkline::units::us::inches;
///
/// let s = elastic_modulus(inches(1.0))?;
/// assert!(((s / (inches(1.0) * inches(1.0) * inches(1.0))).value - 0.0982).abs() <= 5e-5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn elastic_modulus(diameter: Length) -> Result<SectionModulus, MechanicsError> {
    let d = diameter.positive("diameter")?;
    (PI / 32.0 * d * d * d).finite("elastic section modulus")
}

/// Plastic section modulus of a round bar.
///
/// # Equation
///
/// ```text
/// Z = d³/6
/// ```
///
/// # Symbols
///
/// - `Z`: plastic section modulus (m³)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Any solid round section.
///
/// # Source
///
/// AISC Design Examples, companion to the 16th edition Manual, Example F.13.
///
/// # Errors
///
/// When the diameter is not positive and finite.
///
/// # Example
///
/// The example prints 0.167 in³ for 1 in:
///
/// ```rust
/// use barkline::mechanics::round_bar::plastic_modulus;
/// use barkline::units::us::inches;
///
/// let z = plastic_modulus(inches(1.0))?;
/// assert!(((z / (inches(1.0) * inches(1.0) * inches(1.0))).value - 0.167).abs() <= 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn plastic_modulus(diameter: Length) -> Result<SectionModulus, MechanicsError> {
    let d = diameter.positive("diameter")?;
    (d * d * d / 6.0).finite("plastic section modulus")
}

/// Second moment of area of a round bar.
///
/// # Equation
///
/// ```text
/// I = π·d⁴/64
/// ```
///
/// # Symbols
///
/// - `I`: second moment of area (m⁴)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Any solid round section.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// When the diameter is not positive and finite.
///
/// # Example
///
/// A dowel of 32 mm, 51 472 mm⁴:
///
/// ```rust
/// use barkline::mechanics::round_bar::second_moment;
/// use barkline::units::si::millimetres;
///
/// assert!((second_moment(millimetres(32.0))?.value * 1e12 - 51_472.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn second_moment(diameter: Length) -> Result<SecondMoment, MechanicsError> {
    let d = diameter.positive("diameter")?;
    (PI / 64.0 * d * d * d * d).finite("second moment of area")
}

/// Plastic moment of a round bar: the hinge moment of the yield theory.
///
/// # Equation
///
/// ```text
/// M_p = F_y · d³/6
/// ```
///
/// # Symbols
///
/// - `M_p`: plastic moment (N·m)
/// - `F_y`: yield strength, or the bending yield strength F_yb of a fastener (Pa)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Solid round sections; not reduced by shear or axial force.
///
/// # Source
///
/// AWC Technical Report 12 (2015), General Dowel Equations, section 1.7.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Half-inch bolt, F_yb = 45 000 psi: 937.5 lbf·in, as in its Example 3.1.
///
/// ```rust
/// use barkline::mechanics::round_bar::plastic_moment;
/// use barkline::units::us::{inches, pound_inches, psi};
///
/// let m = plastic_moment(psi(45_000.0), inches(0.5))?;
/// assert!(((m / pound_inches(1.0)).value - 937.5).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn plastic_moment(yield_strength: Stress, diameter: Length) -> Result<Moment, MechanicsError> {
    (yield_strength.positive("yield strength")? * plastic_modulus(diameter)?)
        .finite("plastic moment")
}

/// Nominal bending moment of a round bar after AISC 360.
///
/// # Equation
///
/// ```text
/// M_n = min(F_y·Z, 1.6·F_y·S)
/// ```
///
/// # Symbols
///
/// - `M_n`: nominal moment (N·m), before φ_b = 0.90 or Ω_b = 1.67
/// - `F_y`: yield strength (Pa)
/// - `Z`, `S`: plastic and elastic section moduli (m³)
///
/// # Validity
///
/// Solid round bars: no lateral-torsional buckling. Since Z/S = 1.698 the second term always governs.
///
/// # Source
///
/// ANSI/AISC 360, section F11.1 (Equation F11-2); AISC Design Examples, 16th edition companion, Example F.13.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Example F.13, 1 in, 50 ksi: 7.86 kip·in, computed there with S rounded.
///
/// ```rust
/// use barkline::mechanics::round_bar::nominal_moment;
/// use barkline::units::us::{inches, ksi, pound_inches};
///
/// let m = nominal_moment(ksi(50.0), inches(1.0))?;
/// assert!(((m / pound_inches(1000.0)).value - 7.86).abs() <= 0.01);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn nominal_moment(yield_strength: Stress, diameter: Length) -> Result<Moment, MechanicsError> {
    let plastic = plastic_moment(yield_strength, diameter)?;
    let elastic = yield_strength * elastic_modulus(diameter)?;
    Ok(plastic.min(1.6 * elastic))
}

/// Nominal bending moment of a rectangular bar after AISC 360, for comparison with the round one.
///
/// # Equation
///
/// ```text
/// M_n = min(F_y·Z, 1.5·F_y·S),  Z = b·h²/4,  S = b·h²/6
/// ```
///
/// # Symbols
///
/// - `M_n`: nominal moment (N·m), before φ_b = 0.90 or Ω_b = 1.67
/// - `F_y`: yield strength (Pa)
/// - `b`, `h`: width, and depth in the plane of bending (m)
///
/// # Validity
///
/// Bars short enough not to buckle sideways: L_b·h/b² ≤ 0.08·E/F_y (from memory). Both terms are equal.
///
/// # Source
///
/// ANSI/AISC 360, section F11.1 (Equation F11-1); AISC Design Examples, 16th edition companion, Example F.12.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Example F.12, 3 in by 5 in, 50 ksi: 937.5 kip·in, printed as 938.
///
/// ```rust
/// use barkline::mechanics::round_bar::nominal_moment_rectangle;
/// use barkline::units::us::{inches, ksi, pound_inches};
///
/// let m = nominal_moment_rectangle(ksi(50.0), inches(3.0), inches(5.0))?;
/// assert!(((m / pound_inches(1000.0)).value - 937.5).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn nominal_moment_rectangle(
    yield_strength: Stress,
    width: Length,
    depth: Length,
) -> Result<Moment, MechanicsError> {
    let (b, h) = (width.positive("width")?, depth.positive("depth")?);
    let moment = yield_strength.positive("yield strength")? * (b * h * h);
    (moment / 4.0)
        .min(1.5 * moment / 6.0)
        .finite("nominal moment")
}

/// Nominal shear of a solid bar.
///
/// # Equation
///
/// ```text
/// V_n = 0.6·F_y·A
/// ```
///
/// # Symbols
///
/// - `V_n`: nominal shear (N), before φ = 0.90 or Ω = 1.67
/// - `F_y`: yield strength (Pa)
/// - `A`: area (m²)
///
/// # Validity
///
/// Yielding in shear, stress taken as even over the section (the elastic peak of a round bar is 4/3 of it).
///
/// # Source
///
/// ANSI/AISC 360, chapter G.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::{area, nominal_shear};
/// use barkline::units::us::{inches, kips, ksi};
///
/// let v = nominal_shear(ksi(36.0), area(inches(1.0))?)?;
/// assert!(((v / kips(1.0)).value - 16.965).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn nominal_shear(yield_strength: Stress, area: Area) -> Result<Force, MechanicsError> {
    (0.6 * yield_strength.positive("yield strength")? * area.positive("area")?)
        .finite("nominal shear")
}

/// Shear resistance of a pin after Eurocode 3.
///
/// # Equation
///
/// ```text
/// F_v,R = 0.6·A·f_up
/// ```
///
/// # Symbols
///
/// - `F_v,R`: shear resistance in one plane (N), before division by γ_M2
/// - `A`: area of the pin (m²)
/// - `f_up`: ultimate tensile strength of the pin (Pa)
///
/// # Validity
///
/// Solid pins.
///
/// # Source
///
/// EN 1993-1-8:2005, Table 3.10.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::{area, pin_shear};
/// use barkline::units::si::{megapascals, millimetres};
///
/// let f = pin_shear(area(millimetres(40.0))?, megapascals(800.0))?;
/// assert!((f.value / 1000.0 - 603.19).abs() < 0.01);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn pin_shear(area: Area, ultimate: Stress) -> Result<Force, MechanicsError> {
    (0.6 * area.positive("area")? * ultimate.positive("ultimate strength")?)
        .finite("shear resistance of the pin")
}

/// Bending resistance of a pin after Eurocode 3.
///
/// # Equation
///
/// ```text
/// M_R = 1.5·W_el·f_yp
/// ```
///
/// # Symbols
///
/// - `M_R`: bending resistance (N·m), before division by γ_M0
/// - `W_el`: elastic section modulus (m³)
/// - `f_yp`: yield strength of the pin (Pa)
///
/// # Validity
///
/// Pins not meant to be replaced; for those that are see [`pin_moment_replaceable`].
///
/// # Source
///
/// EN 1993-1-8:2005, Table 3.10.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::{elastic_modulus, pin_moment};
/// use barkline::units::si::{megapascals, millimetres};
///
/// let m = pin_moment(elastic_modulus(millimetres(40.0))?, megapascals(640.0))?;
/// assert!((m.value - 6031.9).abs() < 0.1);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn pin_moment(
    elastic_modulus: SectionModulus,
    yield_strength: Stress,
) -> Result<Moment, MechanicsError> {
    let w = elastic_modulus.positive("elastic section modulus")?;
    (1.5 * w * yield_strength.positive("yield strength")?).finite("bending resistance of the pin")
}

/// Bending resistance in service of a pin that is to be replaceable, after Eurocode 3.
///
/// # Equation
///
/// ```text
/// M_R,ser = 0.8·W_el·f_yp
/// ```
///
/// # Symbols
///
/// - `M_R,ser`: bending resistance (N·m), before division by γ_M6,ser
/// - `W_el`: elastic section modulus (m³)
/// - `f_yp`: yield strength of the pin (Pa)
///
/// # Validity
///
/// Service loads; the pin stays straight.
///
/// # Source
///
/// EN 1993-1-8:2005, Table 3.10.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::{elastic_modulus, pin_moment_replaceable};
/// use barkline::units::si::{megapascals, millimetres};
///
/// let m = pin_moment_replaceable(elastic_modulus(millimetres(40.0))?, megapascals(640.0))?;
/// assert!((m.value - 3217.0).abs() < 0.1);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn pin_moment_replaceable(
    elastic_modulus: SectionModulus,
    yield_strength: Stress,
) -> Result<Moment, MechanicsError> {
    Ok(0.8 / 1.5 * pin_moment(elastic_modulus, yield_strength)?)
}

/// Bending and shear of a pin together, after Eurocode 3.
///
/// # Equation
///
/// ```text
/// u = (M/M_R)² + (V/V_R)²
/// ```
///
/// # Symbols
///
/// - `u`: sum of squares (1); the pin holds up to 1
/// - `M/M_R`, `V/V_R`: moment and shear over their design resistances (1)
///
/// # Validity
///
/// Both taken at the same section; signs do not matter.
///
/// # Source
///
/// EN 1993-1-8:2005, Table 3.10.
///
/// # Errors
///
/// When a ratio is not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::pin_interaction;
///
/// assert!((pin_interaction(0.6, -0.8)? - 1.0).abs() < 1e-15);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn pin_interaction(moment_ratio: f64, shear_ratio: f64) -> Result<f64, MechanicsError> {
    let (m, v) = (
        moment_ratio.finite("moment ratio")?,
        shear_ratio.finite("shear ratio")?,
    );
    (m * m + v * v).finite("interaction of bending and shear")
}

/// Axial force, bending and shear of a bar together, each over what it may be.
///
/// # Equation
///
/// ```text
/// u = √((|N|/N_a + |M|/M_a)² + (V/V_a)²)
/// ```
///
/// # Symbols
///
/// - `u`: utilization (1); the bar holds up to 1
/// - `N/N_a`, `M/M_a`, `V/V_a`: axial force, moment and shear over their allowable values (1)
///
/// # Validity
///
/// All three taken at the same section; signs do not matter, the axial and bending stresses are taken to add.
///
/// # Source
///
/// Derived here in the manner of von Mises: normal stresses add, shear joins by squares. Never below the sum of squares of
/// EN 1993-1-8 Table 3.10 at u = 1, nor below the linear sum of axial force and bending.
///
/// # Errors
///
/// When a ratio is not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::round_bar::elastic_interaction;
///
/// assert!((elastic_interaction(-0.2, 0.4, 0.8)? - 1.0).abs() < 1e-15);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn elastic_interaction(
    axial_ratio: f64,
    moment_ratio: f64,
    shear_ratio: f64,
) -> Result<f64, MechanicsError> {
    let (n, m) = (
        axial_ratio.finite("axial ratio")?,
        moment_ratio.finite("moment ratio")?,
    );
    (n.abs() + m.abs())
        .hypot(shear_ratio.finite("shear ratio")?)
        .finite("interaction of the bar")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::units::si::{megapascals, metres, millimetres, square_metres};
    use proptest::prelude::*;

    #[test]
    fn the_elastic_limit_governs_a_round_bar() {
        let (f_y, d) = (megapascals(250.0), millimetres(38.0));
        let (plastic, nominal) = (
            plastic_moment(f_y, d).unwrap(),
            nominal_moment(f_y, d).unwrap(),
        );
        assert_eq!(nominal, 1.6 * (f_y * elastic_modulus(d).unwrap()));
        assert!(((nominal / plastic).value - 0.942).abs() < 5e-4);
    }

    #[test]
    fn section_properties_belong_together() {
        let d = millimetres(38.0);
        let (s, i) = (elastic_modulus(d).unwrap(), second_moment(d).unwrap());
        assert!(((i / (s * d / 2.0)).value - 1.0).abs() < 1e-12);
        assert!(((plastic_modulus(d).unwrap() / s).value - 16.0 / (3.0 * PI)).abs() < 1e-12);
        assert!((area(d).unwrap().value - 1134.115e-6).abs() < 1e-9);
    }

    #[test]
    fn a_flat_bar_bends_in_the_plane_of_its_depth() {
        let f_y = megapascals(250.0);
        let upright = nominal_moment_rectangle(f_y, millimetres(20.0), millimetres(60.0)).unwrap();
        let flat = nominal_moment_rectangle(f_y, millimetres(60.0), millimetres(20.0)).unwrap();
        assert!(((upright / flat).value - 3.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e200] {
            let d = metres(bad);
            assert!(area(d).is_err() && elastic_modulus(d).is_err() && plastic_modulus(d).is_err());
            assert!(second_moment(d).is_err() && nominal_moment(megapascals(250.0), d).is_err());
        }
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let (f, d, a) = (megapascals(bad), millimetres(20.0), square_metres(1e-3));
            assert!(plastic_moment(f, d).is_err() && nominal_moment(f, d).is_err());
            assert!(nominal_moment_rectangle(f, d, d).is_err() && nominal_shear(f, a).is_err());
            assert!(
                pin_shear(a, f).is_err()
                    && pin_shear(square_metres(bad), megapascals(1.0)).is_err()
            );
            assert!(pin_moment(elastic_modulus(d).unwrap(), f).is_err());
            assert!(pin_moment_replaceable(elastic_modulus(d).unwrap(), f).is_err());
        }
        assert!(pin_interaction(f64::NAN, 0.0).is_err() && pin_interaction(1e200, 0.0).is_err());
        assert!(elastic_interaction(0.0, f64::INFINITY, 0.0).is_err());
    }

    proptest! {
        #[test]
        fn the_interaction_grows_with_each_part_and_contains_each_alone(
            n in 0.0..2.0_f64, m in 0.0..2.0_f64, v in 0.0..2.0_f64, more in 0.0..1.0_f64,
        ) {
            let u = elastic_interaction(n, m, v).unwrap();
            prop_assert!(u >= (n + m).max(v) - 1e-12);
            prop_assert!(elastic_interaction(n + more, m, v).unwrap() >= u - 1e-12);
            prop_assert!(elastic_interaction(n, m + more, v).unwrap() >= u - 1e-12);
            prop_assert!(elastic_interaction(n, m, v + more).unwrap() >= u - 1e-12);
            prop_assert_eq!(elastic_interaction(-n, m, -v).unwrap(), u);
            // Without axial force it is the square root of the sum of squares of the pin.
            let pin = pin_interaction(m, v).unwrap();
            prop_assert!((elastic_interaction(0.0, m, v).unwrap().powi(2) - pin).abs() < 1e-12);
        }
    }
}
