//! What holds a tree: the moment its roots and its stem can bear, how far the roots turn, how stiff the whole is against a beam.

use super::taper::{TaperedStem, deflection};
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{
    Angle, Length, Mass, Moment, MomentPerMass, RotationalStiffness, Stiffness, Stress, si,
};
use std::f64::consts::PI;

/// Share of the largest moment at which the roots have turned by [`TIPPING_ANGLE`] (1; from memory).
const TIPPING_SHARE: f64 = 0.4;
/// The turn at which pulling tests stop (from memory).
const TIPPING_ANGLE: Angle = si::degrees(0.25);

/// The moment at the ground that overturns a tree.
///
/// # Equation
///
/// ```text
/// M_a = C_reg · m
/// ```
///
/// # Symbols
///
/// - `M_a`: overturning moment (N·m)
/// - `C_reg`: slope of the regression, by species, soil and rooting depth (N·m/kg)
/// - `m`: green mass of the stem (kg)
///
/// # Validity
///
/// A mean over pulled trees in forests, not a lower limit; other authors' slopes for one species differ by a factor of two. Pulled
/// once: soil that is worked to and fro keeps 31 to 49 % of its strength.
///
/// # Source
///
/// ForestGALES, R package fgr (Locatelli and others 2022).
///
/// # Errors
///
/// When a number is not finite or not positive.
///
/// # Example
///
/// Douglas-fir of 1402 kg on free-draining soil: 238.5 kN·m.
///
/// ```rust
/// use barkline::mechanics::sway::roots::anchorage_moment;
/// use barkline::units::si::{kilograms, newton_metres_per_kilogram};
///
/// let moment = anchorage_moment(newton_metres_per_kilogram(170.1), kilograms(1402.0))?;
/// assert!((moment.value - 238.5e3).abs() < 50.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn anchorage_moment(slope: MomentPerMass, mass: Mass) -> Result<Moment, MechanicsError> {
    (slope.positive("anchorage per mass")? * mass.positive("mass of the stem")?)
        .finite("overturning moment")
}

/// The moment that breaks a sound stem.
///
/// # Equation
///
/// ```text
/// M_b = MOR · f_knot · π·d³/32
/// ```
///
/// # Symbols
///
/// - `M_b`: breaking moment (N·m)
/// - `MOR`: modulus of rupture of green wood (Pa)
/// - `f_knot`: reduction for knots (1)
/// - `d`: diameter of the stem (m)
///
/// # Validity
///
/// A mean of solid stems; no cavity, no hole, no crack.
///
/// # Source
///
/// ForestGALES, R package fgr (Locatelli and others 2022).
///
/// # Errors
///
/// When a number is not finite or not positive, or the reduction is above 1.
///
/// # Example
///
/// Douglas-fir of 0.5 m: 650.4 kN·m.
///
/// ```rust
/// use barkline::mechanics::sway::roots::breaking_moment;
/// use barkline::units::si::{megapascals, metres};
///
/// assert!((breaking_moment(megapascals(53.0), 1.0, metres(0.5))?.value - 650.4e3).abs() < 50.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn breaking_moment(
    rupture: Stress,
    knot_factor: f64,
    diameter: Length,
) -> Result<Moment, MechanicsError> {
    let knots =
        knot_factor
            .positive("reduction for knots")?
            .between("reduction for knots", 0.0, 1.0)?;
    let d = diameter.positive("diameter of the stem")?;
    (rupture.positive("modulus of rupture")? * knots * (PI / 32.0) * d * d * d)
        .finite("breaking moment")
}

/// How stiffly the roots hold the foot of a tree against turning.
///
/// # Equation
///
/// ```text
/// k_r = 0.4·M_a / 0.25°
/// ```
///
/// # Symbols
///
/// - `k_r`: moment per turn of the root plate (N·m/rad)
/// - `M_a`: overturning moment (N·m)
///
/// # Validity
///
/// Turns up to about 0.25°; beyond, roots yield and the turn grows faster: the peak moment was met at 1.6 to 2.9°. A pulling test on the
/// tree itself is far better.
///
/// # Source
///
/// Tipping curve of L. Wessolly (1996), from memory.
///
/// # Errors
///
/// When the moment is not finite or not positive.
///
/// # Example
///
/// 238.5 kN·m: 21.9 MN·m/rad.
///
/// ```rust
/// use barkline::mechanics::sway::roots::root_stiffness;
/// use barkline::units::si::newton_metres;
///
/// assert!((root_stiffness(newton_metres(238.5e3))?.value - 21.9e6).abs() < 0.05e6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn root_stiffness(anchorage: Moment) -> Result<RotationalStiffness, MechanicsError> {
    (anchorage.positive("overturning moment")? * (TIPPING_SHARE / TIPPING_ANGLE.value))
        .finite("stiffness of the roots")
}

/// How far the roots turn under a moment at the ground.
///
/// # Equation
///
/// ```text
/// φ = M/k_r
/// ```
///
/// # Symbols
///
/// - `φ`: turn of the root plate (rad)
/// - `M`: moment at the ground (N·m)
/// - `k_r`: stiffness of the roots (N·m/rad)
///
/// # Validity
///
/// As [`root_stiffness`].
///
/// # Source
///
/// The definition of the stiffness.
///
/// # Errors
///
/// When a number is not finite, or the stiffness not positive.
///
/// # Example
///
/// 56 kN·m on 21.9 MN·m/rad: 0.15°.
///
/// ```rust
/// use barkline::mechanics::sway::roots::root_rotation;
/// use barkline::units::si::newton_metres;
///
/// let turn = root_rotation(newton_metres(56e3), newton_metres(21.9e6))?;
/// assert!((turn.value.to_degrees() - 0.15).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn root_rotation(
    moment: Moment,
    stiffness: RotationalStiffness,
) -> Result<Angle, MechanicsError> {
    let ratio =
        moment.finite("moment at the ground")? / stiffness.positive("stiffness of the roots")?;
    si::radians(ratio.value).finite("turn of the roots")
}

/// How far the turn of the roots moves the stem at a height.
///
/// # Equation
///
/// ```text
/// y_r = h·M/k_r
/// ```
///
/// # Symbols
///
/// - `y_r`: movement at the height `h` (m)
/// - the others as in [`root_rotation`]
///
/// # Validity
///
/// As [`root_stiffness`]; small turns.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// As [`root_rotation`], or when the height is negative.
///
/// # Example
///
/// 56 kN·m on 21.9 MN·m/rad, 4 m up: 10.2 mm.
///
/// ```rust
/// use barkline::mechanics::sway::roots::root_movement;
/// use barkline::units::si::{metres, newton_metres};
///
/// let y = root_movement(metres(4.0), newton_metres(56e3), newton_metres(21.9e6))?;
/// assert!((y.value * 1e3 - 10.2).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn root_movement(
    height: Length,
    moment: Moment,
    stiffness: RotationalStiffness,
) -> Result<Length, MechanicsError> {
    (height.not_negative("height")? * root_rotation(moment, stiffness)?.value)
        .finite("movement from the roots")
}

/// How stiff a tree is against a sideways force at a height.
///
/// # Equation
///
/// ```text
/// 1/k = y(h)/F + h²/k_r
/// ```
///
/// # Symbols
///
/// - `k`: force per movement at the height `h` (N/m)
/// - `y(h)/F`: flexibility of the tapered stem under a force at the same height (m/N), [`deflection`]
/// - `k_r`: stiffness of the roots (N·m/rad)
///
/// # Validity
///
/// Slow loads on a standing tree; as [`deflection`] and [`root_stiffness`].
///
/// # Source
///
/// Statics: stem and roots in series.
///
/// # Errors
///
/// When a number is not finite, the height not on the stem or zero, or a stiffness not positive.
///
/// # Example
///
/// Douglas-fir, 0.5 m at breast height, 20 m: 0.63 kN/mm at 4 m.
///
/// ```rust
/// use barkline::mechanics::sway::{roots::side_stiffness, taper::TaperedStem};
/// use barkline::units::si::{metres, newton_metres, newtons, square_metres};
///
/// let stem = TaperedStem { height: metres(20.0), stiffness: newtons(28.73e6) * square_metres(1.0), taper: 0.6 };
/// let k = side_stiffness(&stem, newton_metres(21.9e6), metres(4.0))?;
/// assert!((k.value / 1e6 - 0.63).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn side_stiffness(
    stem: &TaperedStem,
    roots: RotationalStiffness,
    at: Length,
) -> Result<Stiffness, MechanicsError> {
    let h = at.positive("height")?;
    let force = si::newtons(1.0);
    let moved = deflection(stem, force, h, h)? + root_movement(h, force * h, roots)?;
    (force / moved).finite("side stiffness of the tree")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{
        kilograms, megapascals, metres, newton_metres, newton_metres_per_kilogram, newtons,
        square_metres,
    };
    use proptest::prelude::*;

    #[test]
    fn a_number_that_means_nothing_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(anchorage_moment(newton_metres_per_kilogram(bad), kilograms(1.0)).is_err());
            assert!(anchorage_moment(newton_metres_per_kilogram(1.0), kilograms(bad)).is_err());
            assert!(breaking_moment(megapascals(bad), 1.0, metres(1.0)).is_err());
            assert!(breaking_moment(megapascals(1.0), bad, metres(1.0)).is_err());
            assert!(root_stiffness(newton_metres(bad)).is_err());
            assert!(root_rotation(newton_metres(1.0), newton_metres(bad)).is_err());
        }
        assert!(breaking_moment(megapascals(1.0), 1.1, metres(1.0)).is_err());
        assert!(root_movement(metres(-1.0), newton_metres(1.0), newton_metres(1.0)).is_err());
    }

    proptest! {
        #[test]
        fn a_higher_anchor_and_softer_roots_are_less_stiff(h in 1.0..8.0_f64, up in 0.1..4.0_f64, soft in 0.1..0.99_f64) {
            let stem = TaperedStem { height: metres(20.0), stiffness: newtons(28e6) * square_metres(1.0), taper: 0.7 };
            let k = |h: f64, roots: f64| side_stiffness(&stem, newton_metres(roots), metres(h)).unwrap().value;
            prop_assert!(k(h + up, 2e7) < k(h, 2e7));
            prop_assert!(k(h, 2e7 * soft) < k(h, 2e7));
            // Roots that do not turn leave the stem alone; a stem that does not bend leaves the roots alone.
            let alone = 1.0 / deflection(&stem, newtons(1.0), metres(h), metres(h)).unwrap().value;
            prop_assert!((k(h, 1e30) / alone - 1.0).abs() < 1e-9);
            let rigid = TaperedStem { stiffness: newtons(1e30) * square_metres(1.0), ..stem };
            let turned = side_stiffness(&rigid, newton_metres(2e7), metres(h)).unwrap().value;
            prop_assert!((turned / (2e7 / h / h) - 1.0).abs() < 1e-9);
        }
    }
}
