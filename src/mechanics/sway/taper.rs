//! The stem as a cantilever that tapers: its diameter at a height, its volume, and how it bends under a force.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{Angle, FlexuralStiffness, Force, Length, Volume, si};
use std::f64::consts::PI;

/// Height above the ground at which foresters measure a stem: 1.3 m.
pub const BREAST_HEIGHT: Length = si::metres(1.3);

/// The exponent of the cube-root law of [`base_diameter`], as its source writes it (1).
const CUBE_ROOT: f64 = 0.333;

/// The lowest height of the wind's force that [`base_diameter`] takes.
const LOWEST_WIND: Length = si::metres(2.6);

/// A stem that tapers to a point at the top of the tree, held at the ground.
///
/// With ξ the distance from the top over the height of the tree, its diameter goes with `ξ^β` and its flexural stiffness with
/// `ξ^p`, `p = 4β`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TaperedStem {
    /// Height of the tree, H.
    pub height: Length,
    /// Flexural stiffness at the ground, E·I₀.
    pub stiffness: FlexuralStiffness,
    /// Exponent β of the diameter (1).
    pub taper: f64,
}

impl TaperedStem {
    /// The exponent p of the flexural stiffness, if all three numbers mean something.
    fn exponent(&self) -> Result<f64, MechanicsError> {
        self.height.positive("height of the tree")?;
        self.stiffness.positive("flexural stiffness of the stem")?;
        Ok(4.0
            * self
                .taper
                .between("exponent of the taper", 0.0, LARGEST_TAPER)?)
    }

    /// Distance from the top over the height (1), of a height that lies on the stem and below its tip.
    fn xi(&self, at: Length, what: &'static str) -> Result<f64, MechanicsError> {
        at.between(what, Length::default(), self.height)?;
        let xi = ((self.height - at) / self.height).value;
        if xi > 0.0 {
            Ok(xi)
        } else {
            Err(MechanicsError::NoSolution {
                what: "the tip of the stem has no stiffness",
            })
        }
    }
}

/// No stem tapers faster than a square (1): a cone has 1.
const LARGEST_TAPER: f64 = 2.0;

/// Diameter of a stem at a height, from that at another.
///
/// # Equation
///
/// ```text
/// d = d_r · [(H − h)/(H − h_r)]^β
/// ```
///
/// # Symbols
///
/// - `d`: diameter at the height `h` (m)
/// - `d_r`: diameter measured at the height `h_r` (m)
/// - `H`: height of the tree (m)
/// - `β`: exponent of the taper (1): 0 a cylinder, 0.6 the deflection model of Gardiner, 0.66 to 1.02 as fitted to 16 species, 1 a cone
///
/// # Validity
///
/// The clear stem between the swell of the roots and the crown; up to 0.6 H in the fits. It knows no swell, fork or scar: measure
/// at the anchor wherever that can be done.
///
/// # Source
///
/// The form: B. A. Gardiner (1989) as used in ForestGALES (fgr), derived from its deflection model. Exponents: fitted here to the taper
/// equations of A. Kozak (2004) with Acadian coefficients.
///
/// # Errors
///
/// When a number is not finite, the diameter not positive, or a height not on the stem.
///
/// # Example
///
/// A red maple of 50.9 cm at breast height and 22 m (exponent 0.94) has 41.4 cm at 5 m by Kozak's equation; the exponent gives 2 % more:
///
/// ```rust
/// use barkline::mechanics::sway::taper::{BREAST_HEIGHT, diameter_at};
/// use barkline::units::si::{metres, millimetres};
///
/// let d = diameter_at(millimetres(509.0), BREAST_HEIGHT, metres(5.0), metres(22.0), 0.94)?;
/// assert!((d - millimetres(423.0)).abs() < millimetres(0.5));
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn diameter_at(
    measured: Length,
    measured_at: Length,
    at: Length,
    height: Length,
    taper: f64,
) -> Result<Length, MechanicsError> {
    let stem = TaperedStem {
        height,
        stiffness: si::newtons(1.0) * si::square_metres(1.0),
        taper,
    };
    let exponent = stem.exponent()? / 4.0;
    let ratio = stem.xi(at, "height")? / stem.xi(measured_at, "height of the measured diameter")?;
    (measured.positive("measured diameter")? * ratio.powf(exponent))
        .finite("diameter at the height")
}

/// Diameter of a stem at the ground, from that at breast height.
///
/// # Equation
///
/// ```text
/// d_base = DBH · [z_w/(z_w − 1.3)]^0.333
/// ```
///
/// # Symbols
///
/// - `d_base`: diameter at the ground (m)
/// - `DBH`: diameter at breast height (m)
/// - `z_w`: height at which the wind acts, half of the crown below the top; taken as 2.6 m where it is lower (m)
///
/// # Validity
///
/// A stem of even stress under a force at `z_w`. Not the swell of the roots.
///
/// # Source
///
/// ForestGALES, R package fgr (Locatelli and others 2022).
///
/// # Errors
///
/// When a length is not finite, or the diameter not positive.
///
/// # Example
///
/// 0.5 m and a wind at 15 m: 0.5153 m.
///
/// ```rust
/// use barkline::mechanics::sway::taper::base_diameter;
/// use barkline::units::si::metres;
///
/// assert!((base_diameter(metres(0.5), metres(15.0))?.value - 0.5153).abs() < 5e-5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn base_diameter(
    breast_diameter: Length,
    wind_height: Length,
) -> Result<Length, MechanicsError> {
    let z_w = wind_height
        .finite("height at which the wind acts")?
        .max(LOWEST_WIND);
    let ratio = (z_w / (z_w - BREAST_HEIGHT)).value;
    (breast_diameter.positive("diameter at breast height")? * ratio.powf(CUBE_ROOT))
        .finite("diameter at the ground")
}

/// Volume of a stem that tapers to a point.
///
/// # Equation
///
/// ```text
/// V = (π/4)·d₀²·H / (2β + 1)
/// ```
///
/// # Symbols
///
/// - `V`: volume of the stem (m³)
/// - `d₀`: diameter at the ground (m)
/// - `H`: height of the tree (m)
/// - `β`: exponent of the taper (1)
///
/// # Validity
///
/// One stem without branches.
///
/// # Source
///
/// Geometry: the integral of (π/4)·d₀²·ξ^(2β).
///
/// # Errors
///
/// When a number is not finite, a length not positive, or the exponent not between 0 and 2.
///
/// # Example
///
/// A cone has a third of its cylinder:
///
/// ```rust
/// use barkline::mechanics::sway::taper::stem_volume;
/// use barkline::units::si::metres;
///
/// let cone = stem_volume(metres(0.6), metres(18.0), 1.0)?;
/// assert!((cone.value - std::f64::consts::PI * 0.09 * 18.0 / 3.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn stem_volume(
    base_diameter: Length,
    height: Length,
    taper: f64,
) -> Result<Volume, MechanicsError> {
    let d = base_diameter.positive("diameter at the ground")?;
    let beta = taper.between("exponent of the taper", 0.0, LARGEST_TAPER)?;
    (PI / 4.0 * d * d * height.positive("height of the tree")? / (2.0 * beta + 1.0))
        .finite("volume of the stem")
}

/// How far a force at one height moves a tapered stem at another.
///
/// # Equation
///
/// ```text
/// y(h) = F·H³/(E·I₀) · [ξ^(3−p)/((3−p)(2−p)) − r·ξ^(2−p)/((2−p)(1−p)) + A·ξ + B]   for h ≤ z_w
/// A = −1/(2−p) + r/(1−p),   B = −[1/((3−p)(2−p)) − r/((2−p)(1−p)) + A]
/// ξ = 1 − h/H,   r = 1 − z_w/H,   p = 4β
/// y(h) = y(z_w) + θ(z_w)·(h − z_w)   for h > z_w
/// ```
///
/// # Symbols
///
/// - `y`: movement at the height `h` (m)
/// - `F`: force across the stem at the height `z_w` (N)
/// - `H`: height of the tree (m)
/// - `E·I₀`: flexural stiffness at the ground (N·m²)
/// - `β`: exponent of the taper (1)
/// - `θ`: slope of the stem (rad)
///
/// # Validity
///
/// Small slopes; held without turning at the ground (for the roots see [`root_movement`](super::roots::root_movement)); the force below
/// the tip. The exponents p = 1, 2 and 3, at which a term above has no value, are computed as the limits that they are: see the source
/// of this function.
///
/// # Source
///
/// For p = 2.4, B. A. Gardiner (1989) eq. 5 as used in ForestGALES (fgr); for other p derived here from y'' = M/(E·I).
///
/// # Errors
///
/// When a number is not finite, a height not on the stem, or the stem has no stiffness.
///
/// # Example
///
/// A force at 0.75 H moves the stem at 0.2 H by 0.01616 F·H³/(E·I₀):
///
/// ```rust
/// use barkline::mechanics::sway::taper::{TaperedStem, deflection};
/// use barkline::units::si::{metres, newtons, square_metres};
///
/// let stem = TaperedStem { height: metres(20.0), stiffness: newtons(28.73e6) * square_metres(1.0), taper: 0.6 };
/// let y = deflection(&stem, newtons(1000.0), metres(15.0), metres(4.0))?;
/// assert!((y.value / (1000.0 * 20_f64.powi(3) / 28.73e6) - 0.01616).abs() < 5e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn deflection(
    stem: &TaperedStem,
    force: Force,
    force_at: Length,
    at: Length,
) -> Result<Length, MechanicsError> {
    let p = stem.exponent()?;
    let r = stem.xi(force_at, "height of the force")?;
    let bent = at.min(force_at);
    let xi = stem.xi(bent, "height")?;
    // The double integral of (t − ξ)(t − r)·t^−p from ξ to 1, term by term: one expression for every exponent.
    let shape = power_integral(2.0 - p, xi) - (xi + r) * power_integral(1.0 - p, xi)
        + xi * r * power_integral(-p, xi);
    let y =
        force.finite("force")? / stem.stiffness * stem.height * stem.height * stem.height * shape;
    let beyond = slope(stem, force, force_at, bent)?.value
        * (at.between("height", Length::default(), stem.height)? - bent);
    (y + beyond).finite("movement of the stem")
}

/// How far a force at one height turns a tapered stem at another.
///
/// # Equation
///
/// ```text
/// θ(h) = F·H²/(E·I₀) · ∫ (t − r)·t^(−p) dt   from ξ to 1, for h ≤ z_w;   θ(z_w) above
/// ```
///
/// # Symbols
///
/// - `θ`: slope of the stem at the height `h` (rad)
/// - the others as in [`deflection`]
///
/// # Validity
///
/// As [`deflection`].
///
/// # Source
///
/// Derived here from θ' = M/(E·I).
///
/// # Errors
///
/// As [`deflection`].
///
/// # Example
///
/// A cylinder under a force at its middle, seen at that height, turns by F·z²/(2·E·I):
///
/// ```rust
/// use barkline::mechanics::sway::taper::{TaperedStem, slope};
/// use barkline::units::si::{metres, newtons, square_metres};
///
/// let pole = TaperedStem { height: metres(20.0), stiffness: newtons(1e6) * square_metres(1.0), taper: 0.0 };
/// let theta = slope(&pole, newtons(100.0), metres(10.0), metres(10.0))?;
/// assert!((theta.value - 100.0 * 100.0 / 2e6).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn slope(
    stem: &TaperedStem,
    force: Force,
    force_at: Length,
    at: Length,
) -> Result<Angle, MechanicsError> {
    let p = stem.exponent()?;
    let r = stem.xi(force_at, "height of the force")?;
    let xi = stem.xi(at.min(force_at), "height")?;
    let shape = power_integral(1.0 - p, xi) - r * power_integral(-p, xi);
    let turn = force.finite("force")? / stem.stiffness * stem.height * stem.height;
    (si::radians(turn.value) * shape).finite("slope of the stem")
}

/// ∫ t^q dt from ξ to 1: (1 − ξ^(q+1))/(q+1), and −ln ξ where q is −1, without a jump between the two.
fn power_integral(q: f64, xi: f64) -> f64 {
    let (a, log) = (q + 1.0, xi.ln());
    let x = a * log;
    // Below this the next term of the series, x²/6, is lost in rounding.
    let ratio = if x.abs() < 1e-8 {
        1.0 + x / 2.0
    } else {
        x.exp_m1() / x
    };
    -log * ratio
}

/// How far a force at one height moves a stem of even section at another.
///
/// # Equation
///
/// ```text
/// y(h) = F·h²·(3·z_w − h)/(6·E·I)
/// ```
///
/// # Symbols
///
/// - `y`: movement at the height `h` (m)
/// - `F`: force across the stem at the height `z_w` (N)
/// - `E·I`: flexural stiffness (N·m²)
///
/// # Validity
///
/// `h ≤ z_w`; small slopes; held at the ground. A tapered stem moves 1.08 to 2 times as far.
///
/// # Source
///
/// Statics of the cantilever; the check beside [`deflection`].
///
/// # Errors
///
/// When a number is not finite, the stiffness not positive, or the height not between the ground and the force.
///
/// # Example
///
/// At 0.2 H under a force at 0.75 H: 0.01367 F·H³/(E·I).
///
/// ```rust
/// use barkline::mechanics::sway::taper::prismatic_deflection;
/// use barkline::units::si::{metres, newtons, square_metres};
///
/// let y = prismatic_deflection(newtons(1.0) * square_metres(1.0), newtons(1.0), metres(0.75), metres(0.2))?;
/// assert!((y.value - 0.01367).abs() < 5e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn prismatic_deflection(
    stiffness: FlexuralStiffness,
    force: Force,
    force_at: Length,
    at: Length,
) -> Result<Length, MechanicsError> {
    let z = force_at.positive("height of the force")?;
    let h = at.between("height", Length::default(), z)?;
    let stiffness = stiffness.positive("flexural stiffness of the stem")?;
    (force.finite("force")? / stiffness * h * h * (3.0 * z - h) / 6.0)
        .finite("movement of the stem")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, newtons, square_metres};
    use proptest::prelude::*;

    fn stem(taper: f64) -> TaperedStem {
        TaperedStem {
            height: metres(1.0),
            stiffness: newtons(1.0) * square_metres(1.0),
            taper,
        }
    }

    fn y(taper: f64, force_at: f64, at: f64) -> f64 {
        deflection(&stem(taper), newtons(1.0), metres(force_at), metres(at))
            .unwrap()
            .value
    }

    /// The curvature M/(E·I) times its lever, added up along the stem by the midpoint rule.
    fn by_steps(taper: f64, force_at: f64, at: f64) -> f64 {
        let steps = 20_000;
        let ds = at.min(force_at) / f64::from(steps);
        (0..steps)
            .map(|step| (f64::from(step) + 0.5) * ds)
            .map(|s| (at - s) * (force_at - s) / (1.0 - s).powf(4.0 * taper) * ds)
            .sum()
    }

    /// The closed form of the equation above, which has no value at p = 1, 2, 3.
    fn as_printed(taper: f64, force_at: f64, at: f64) -> f64 {
        let (p, r, xi) = (4.0 * taper, 1.0 - force_at, 1.0 - at);
        let a = -1.0 / (2.0 - p) + r / (1.0 - p);
        let (c, d) = (1.0 / ((3.0 - p) * (2.0 - p)), r / ((2.0 - p) * (1.0 - p)));
        c * xi.powf(3.0 - p) - d * xi.powf(2.0 - p) + a * xi - (c - d + a)
    }

    #[test]
    fn the_singular_exponents_are_limits_without_a_jump() {
        for taper in [0.25, 0.5, 0.75] {
            for (force_at, at) in [(0.7, 0.2), (0.9, 0.6), (0.5, 0.5)] {
                let (here, near) = (
                    y(taper, force_at, at),
                    as_printed(taper + 1e-6, force_at, at),
                );
                assert!(
                    (here / near - 1.0).abs() < 2e-5,
                    "{taper} {force_at} {at}: {here} {near}"
                );
                let steps = by_steps(taper, force_at, at);
                assert!((here / steps - 1.0).abs() < 1e-7, "{here} {steps}");
            }
        }
    }

    #[test]
    fn above_the_force_the_stem_is_straight() {
        let (low, high) = (y(0.6, 0.4, 0.6), y(0.6, 0.4, 0.8));
        let theta = slope(&stem(0.6), newtons(1.0), metres(0.4), metres(0.9))
            .unwrap()
            .value;
        assert!(((high - low) / 0.2 / theta - 1.0).abs() < 1e-12);
        assert!((low / by_steps(0.6, 0.4, 0.6) - 1.0).abs() < 1e-7);
    }

    #[test]
    fn what_does_not_lie_on_the_stem_is_refused() {
        let one = newtons(1.0);
        for (force_at, at) in [
            (1.0, 0.2),
            (0.5, -0.1),
            (0.5, 1.1),
            (-0.1, 0.2),
            (f64::NAN, 0.2),
        ] {
            assert!(
                deflection(&stem(0.6), one, metres(force_at), metres(at)).is_err(),
                "{force_at} {at}"
            );
        }
        assert!(deflection(&stem(2.1), one, metres(0.5), metres(0.2)).is_err());
        assert!(deflection(&stem(-0.1), one, metres(0.5), metres(0.2)).is_err());
        assert!(base_diameter(metres(0.5), metres(1.3)).is_ok());
    }

    proptest! {
        #[test]
        fn the_closed_form_is_what_the_curvature_adds_up_to(
            taper in 0.0..1.4_f64, force_at in 0.1..0.95_f64, share in 0.05..1.0_f64,
        ) {
            let at = force_at * share;
            let (closed, steps) = (y(taper, force_at, at), by_steps(taper, force_at, at));
            prop_assert!((closed / steps - 1.0).abs() < 1e-5, "{closed} {steps}");
            let off = [1.0, 2.0, 3.0].iter().all(|p| (4.0 * taper - p).abs() > 0.02);
            if off {
                prop_assert!((closed / as_printed(taper, force_at, at) - 1.0).abs() < 1e-6);
            }
        }

        #[test]
        fn the_slope_is_that_of_the_movement(taper in 0.0..1.2_f64, force_at in 0.2..0.9_f64, at in 0.1..0.9_f64) {
            let h = 1e-5;
            let change = (y(taper, force_at, at + h) - y(taper, force_at, at - h)) / (2.0 * h);
            let theta = slope(&stem(taper), newtons(1.0), metres(force_at), metres(at)).unwrap().value;
            prop_assert!((theta / change - 1.0).abs() < 1e-4, "{theta} {change}");
        }

        #[test]
        fn more_taper_and_a_higher_force_move_it_farther(
            taper in 0.0..1.0_f64, more in 0.01..0.4_f64, force_at in 0.3..0.8_f64, up in 0.01..0.15_f64, at in 0.05..0.9_f64,
        ) {
            prop_assert!(y(taper + more, force_at, at) > y(taper, force_at, at));
            prop_assert!(y(taper, force_at + up, at) > y(taper, force_at, at));
            prop_assert!(y(taper, force_at, at) >= y(0.0, force_at, at));
        }

        #[test]
        fn a_force_here_moves_there_what_a_force_there_moves_here(taper in 0.0..1.2_f64, a in 0.1..0.9_f64, b in 0.1..0.9_f64) {
            prop_assert!((y(taper, a, b) / y(taper, b, a) - 1.0).abs() < 1e-9);
        }

        #[test]
        fn the_volume_is_what_slices_add_up_to(taper in 0.0..1.5_f64) {
            let slices = 4000;
            let sum: f64 = (0..slices)
                .map(|k| ((f64::from(k) + 0.5) / f64::from(slices)).powf(2.0 * taper) / f64::from(slices) * PI / 4.0)
                .sum();
            prop_assert!((stem_volume(metres(1.0), metres(1.0), taper).unwrap().value / sum - 1.0).abs() < 1e-4);
        }
    }
}
