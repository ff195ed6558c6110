//! The yield modes of a dowel in two or three members in contact: how wood crushes and steel bends together.
//!
//! Modes I are crushing of one member, II rotation of a stiff dowel, III one hinge, IV two hinges; m is the main
//! member, s the side member. [`single_shear`] and [`double_shear`] give the yield loads, [`reference_values`] the
//! allowable reference values that the source makes of them. With a gap between the members see [`general_dowel`].
//!
//! [`general_dowel`]: super::general_dowel

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::us::inches;
use crate::units::{Angle, Force, Length, Stress};

/// Diameters for which the reduction terms of bolts and lag screws are stated (NDS 2018 Table 12.3.1B).
pub const DIAMETERS: Range<Length> = Range {
    low: inches(0.25),
    high: inches(1.0),
};

/// A yield mode.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mode {
    /// The main member crushes along the dowel.
    Im,
    /// The side member crushes along the dowel.
    Is,
    /// The dowel turns as a stiff bar in both members.
    II,
    /// One hinge, in the side member or at its face; the dowel turns in the main member.
    IIIm,
    /// One hinge, in the main member or at its face; the dowel turns in the side member.
    IIIs,
    /// A hinge in each member.
    IV,
}

/// The load of every yield mode that a joint can have; the same shape for yield loads and for reference values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModeLoads {
    /// Mode I in the main member.
    pub im: Force,
    /// Mode I in the side member or members.
    pub is: Force,
    /// Mode II; none in double shear.
    pub ii: Option<Force>,
    /// Mode III with the hinge on the side member's side; none in double shear.
    pub iii_m: Option<Force>,
    /// Mode III with the hinge on the main member's side.
    pub iii_s: Force,
    /// Mode IV.
    pub iv: Force,
}

impl ModeLoads {
    /// Every mode there is with its load, in the order of the source.
    pub fn iter(&self) -> impl Iterator<Item = (Mode, Force)> {
        [
            (Mode::Im, Some(self.im)),
            (Mode::Is, Some(self.is)),
            (Mode::II, self.ii),
            (Mode::IIIm, self.iii_m),
            (Mode::IIIs, Some(self.iii_s)),
            (Mode::IV, Some(self.iv)),
        ]
        .into_iter()
        .filter_map(|(mode, load)| Some((mode, load?)))
    }

    /// The mode with the smallest load, and that load.
    pub fn governing(&self) -> (Mode, Force) {
        self.iter().fold((Mode::Im, self.im), |least, next| {
            if next.1 < least.1 { next } else { least }
        })
    }

    /// The same modes with each load passed through `change`.
    fn try_map(
        self,
        change: impl Fn(Mode, Force) -> Result<Force, MechanicsError>,
    ) -> Result<Self, MechanicsError> {
        Ok(Self {
            im: change(Mode::Im, self.im)?,
            is: change(Mode::Is, self.is)?,
            ii: self.ii.map(|load| change(Mode::II, load)).transpose()?,
            iii_m: self
                .iii_m
                .map(|load| change(Mode::IIIm, load))
                .transpose()?,
            iii_s: change(Mode::IIIs, self.iii_s)?,
            iv: change(Mode::IV, self.iv)?,
        })
    }

    /// The same loads, if all of them are finite.
    pub(super) fn finite(self) -> Result<Self, MechanicsError> {
        self.try_map(|_, load| load.finite("yield load"))
    }

    /// The modes of three members: two shear planes, and no turning of the dowel as a whole.
    pub(super) fn in_double_shear(self) -> Self {
        Self {
            im: self.im,
            is: 2.0 * self.is,
            ii: None,
            iii_m: None,
            iii_s: 2.0 * self.iii_s,
            iv: 2.0 * self.iv,
        }
    }
}

/// One dowel through members in contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// D, the diameter that bears and bends: the root diameter where threads bear.
    pub diameter: Length,
    /// l_m, the bearing length in the main member.
    pub main_length: Length,
    /// l_s, the bearing length in the side member (in each, if there are two).
    pub side_length: Length,
    /// F_em, the bearing strength of the main member in the direction of its load.
    pub main_bearing: Stress,
    /// F_es, the bearing strength of the side member in the direction of its load.
    pub side_bearing: Stress,
    /// F_yb, the bending yield strength of the dowel.
    pub bending_yield: Stress,
}

/// Yield loads of a dowel in single shear.
///
/// # Equation
///
/// ```text
/// Im    P = D·l_m·F_em                          Is    P = D·l_s·F_es
/// II    P = k₁·D·l_s·F_es
/// IIIm  P = k₂·D·l_m·F_em / (1 + 2·R_e)         IIIs  P = k₃·D·l_s·F_em / (2 + R_e)
/// IV    P = D²·√(2·F_em·F_yb / (3·(1 + R_e)))
///
/// k₁ = [√(R_e + 2·R_e²·(1 + R_t + R_t²) + R_t²·R_e³) − R_e·(1 + R_t)] / (1 + R_e)
/// k₂ = −1 + √(2·(1 + R_e) + 2·F_yb·(1 + 2·R_e)·D² / (3·F_em·l_m²))
/// k₃ = −1 + √(2·(1 + R_e)/R_e + 2·F_yb·(2 + R_e)·D² / (3·F_em·l_s²))
/// ```
///
/// # Symbols
///
/// - `P`: yield load (N), the source's Z times R_d
/// - `D`, `l_m`, `l_s`: diameter and bearing lengths (m)
/// - `F_em`, `F_es`, `F_yb`: bearing strengths and bending yield strength (Pa)
/// - `R_e = F_em/F_es`, `R_t = l_m/l_s` (1)
///
/// # Validity
///
/// Faces of the members in contact, load at right angles to the dowel. The yield loads hold for any diameter.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 12.3.1A, single shear.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Half-inch bolt, 1-1/2 in on 1-1/2 in of Douglas Fir-Larch along the grain; NDS Table 12A prints 480 lbf:
///
/// ```rust
/// use barkline::mechanics::yield_modes::{Joint, Mode, reference_values, single_shear};
/// use barkline::units::si::degrees;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let joint = Joint {
///     diameter: inches(0.5),
///     main_length: inches(1.5),
///     side_length: inches(1.5),
///     main_bearing: psi(5600.0),
///     side_bearing: psi(5600.0),
///     bending_yield: psi(45_000.0),
/// };
/// let yields = single_shear(&joint)?;
/// let (mode, z) = reference_values(&yields, inches(0.5), inches(0.5), degrees(0.0))?.governing();
/// assert_eq!(mode, Mode::II);
/// assert!(((z / pounds_force(1.0)).value - 480.0).abs() <= 5.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn single_shear(joint: &Joint) -> Result<ModeLoads, MechanicsError> {
    let d = joint.diameter.positive("dowel diameter")?;
    let lm = joint
        .main_length
        .positive("bearing length in the main member")?;
    let ls = joint
        .side_length
        .positive("bearing length in the side member")?;
    let fem = joint
        .main_bearing
        .positive("bearing strength of the main member")?;
    let fes = joint
        .side_bearing
        .positive("bearing strength of the side member")?;
    let fyb = joint.bending_yield.positive("bending yield strength")?;
    let (re, rt) = ((fem / fes).value, (lm / ls).value);

    let k1 = (re + 2.0 * re.powi(2) * (1.0 + rt + rt.powi(2)) + rt.powi(2) * re.powi(3)).sqrt();
    let k1 = (k1 - re * (1.0 + rt)) / (1.0 + re);
    let bending = |l: Length| 2.0 * (fyb / fem * d * d / (3.0 * l * l)).value;
    let k2 = -1.0 + (2.0 * (1.0 + re) + (1.0 + 2.0 * re) * bending(lm)).sqrt();
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + (2.0 + re) * bending(ls)).sqrt();
    ModeLoads {
        im: d * lm * fem,
        is: d * ls * fes,
        ii: Some(k1 * d * ls * fes),
        iii_m: Some(k2 * d * lm * fem / (1.0 + 2.0 * re)),
        iii_s: k3 * d * ls * fem / (2.0 + re),
        iv: d * d * (2.0 / 3.0 * fem * fyb / (1.0 + re)).sqrt(),
    }
    .finite()
}

/// Yield loads of a dowel in double shear, the main member in the middle.
///
/// # Equation
///
/// ```text
/// Im as in single shear;  Is, IIIs, IV twice those of single shear;  no II, no IIIm
/// ```
///
/// # Symbols
///
/// - as for [`single_shear`]; `l_s` is the bearing length in one side member (m)
///
/// # Validity
///
/// As for [`single_shear`]; the two side members alike.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 12.3.1A, double shear.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Half-inch bolt, three members of 1-1/2 in of Douglas Fir-Larch along the grain; NDS Table 12F prints 1050 lbf:
///
/// ```rust
/// use barkline::mechanics::yield_modes::{Joint, double_shear, reference_values};
/// use barkline::units::si::degrees;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let joint = Joint {
///     diameter: inches(0.5),
///     main_length: inches(1.5),
///     side_length: inches(1.5),
///     main_bearing: psi(5600.0),
///     side_bearing: psi(5600.0),
///     bending_yield: psi(45_000.0),
/// };
/// let yields = double_shear(&joint)?;
/// let (_, z) = reference_values(&yields, inches(0.5), inches(0.5), degrees(0.0))?.governing();
/// assert!(((z / pounds_force(1.0)).value - 1050.0).abs() <= 5.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn double_shear(joint: &Joint) -> Result<ModeLoads, MechanicsError> {
    single_shear(joint)?.in_double_shear().finite()
}

/// The divisor that makes an allowable reference value of a yield load.
///
/// # Equation
///
/// ```text
/// D ≥ 0.25 in:  R_d = 4·K_θ (Im, Is),  3.6·K_θ (II),  3.2·K_θ (IIIm, IIIs, IV)
/// D < 0.25 in:  R_d = K_D;  times K_θ if the nominal diameter is 0.25 in or more
/// K_θ = 1 + 0.25·θ/90°
/// K_D = 2.2 (D ≤ 0.17 in),  10·D + 0.5 (D in inches, above 0.17 in)
/// ```
///
/// # Symbols
///
/// - `R_d`: reduction term (1)
/// - `D`: diameter in the yield equations (in in the source); the root diameter where threads bear
/// - `θ`: the largest angle between load and grain of any member, 0 to 90° (rad)
///
/// # Validity
///
/// Up to 1 in, [`DIAMETERS`]. The divisors bring yield loads to allowable loads of ten years' duration.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Table 12.3.1B and its note on threaded fasteners.
///
/// # Errors
///
/// When a diameter is not positive and finite, or the angle is outside 0 to 90°.
///
/// # Example
///
/// A quarter-inch lag screw with a root of 0.173 in, load along the grain: 2.23.
///
/// ```rust
/// use barkline::mechanics::yield_modes::{Mode, reduction_term};
/// use barkline::units::{si::degrees, us::inches};
///
/// let r_d = reduction_term(Mode::IIIs, inches(0.173), inches(0.25), degrees(0.0))?;
/// assert!((r_d - 2.23).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn reduction_term(
    mode: Mode,
    diameter: Length,
    nominal: Length,
    grain: Angle,
) -> Result<f64, MechanicsError> {
    let nominal = nominal.positive("nominal diameter")?;
    let d = diameter.positive("dowel diameter")?;
    let theta = grain.between("angle to the grain", Angle::default(), super::RIGHT_ANGLE)?;
    let k_theta = 1.0 + 0.25 * (theta / super::RIGHT_ANGLE).value;
    let thick = |d: Length| d >= DIAMETERS.low || DIAMETERS.contains(d);
    Ok(match mode {
        _ if !thick(d) && thick(nominal) => thin_term(d) * k_theta,
        _ if !thick(d) => thin_term(d),
        Mode::Im | Mode::Is => 4.0 * k_theta,
        Mode::II => 3.6 * k_theta,
        Mode::IIIm | Mode::IIIs | Mode::IV => 3.2 * k_theta,
    })
}

/// K_D of a diameter below a quarter inch.
fn thin_term(diameter: Length) -> f64 {
    let d = (diameter / inches(1.0)).value;
    if d <= 0.17 { 2.2 } else { 10.0 * d + 0.5 }
}

/// Reference values of every mode: yield loads over their reduction terms.
///
/// # Equation
///
/// ```text
/// Z = P / R_d,  mode by mode
/// ```
///
/// # Symbols
///
/// - `Z`: reference lateral design value (N), ten years' duration, dry
/// - `P`: yield load (N), of [`single_shear`], [`double_shear`] or the general dowel equations
/// - `R_d`: see [`reduction_term`] (1)
///
/// # Validity
///
/// As for [`reduction_term`].
///
/// # Source
///
/// ANSI/AWC NDS-2018, 12.3.1 and Table 12.3.1B.
///
/// # Errors
///
/// As for [`reduction_term`].
///
/// # Example
///
/// Half-inch bolt at 45° to the grain of both members, 309.28 lbf in mode II: a published hand calculation.
///
/// ```rust
/// use barkline::mechanics::yield_modes::{Joint, Mode, reference_values, single_shear};
/// use barkline::units::si::degrees;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let joint = Joint {
///     diameter: inches(0.5),
///     main_length: inches(1.5),
///     side_length: inches(1.5),
///     main_bearing: psi(4032.0),
///     side_bearing: psi(4032.0),
///     bending_yield: psi(45_000.0),
/// };
/// let z = reference_values(&single_shear(&joint)?, inches(0.5), inches(0.5), degrees(45.0))?;
/// let (mode, least) = z.governing();
/// assert_eq!(mode, Mode::II);
/// assert!(((least / pounds_force(1.0)).value - 309.28).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn reference_values(
    yields: &ModeLoads,
    diameter: Length,
    nominal: Length,
    grain: Angle,
) -> Result<ModeLoads, MechanicsError> {
    yields.try_map(|mode, load| {
        (load / reduction_term(mode, diameter, nominal, grain)?).finite("reference lateral value")
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::mechanics::general_dowel::{self, Member};
    use crate::mechanics::round_bar::plastic_moment;
    use crate::units::si::{degrees, millimetres};
    use crate::units::us::psi;
    use proptest::prelude::*;

    fn joint([d, lm, ls, fem, fes, fyb]: [f64; 6]) -> Joint {
        Joint {
            diameter: inches(d),
            main_length: inches(lm),
            side_length: inches(ls),
            main_bearing: psi(fem),
            side_bearing: psi(fes),
            bending_yield: psi(fyb),
        }
    }

    #[test]
    fn terms_follow_mode_diameter_and_angle() {
        let term = |mode, d, nominal, angle| {
            reduction_term(mode, inches(d), inches(nominal), degrees(angle)).unwrap()
        };
        assert_eq!(term(Mode::Im, 0.5, 0.5, 0.0), 4.0);
        assert_eq!(term(Mode::Is, 0.5, 0.5, 90.0), 5.0);
        assert_eq!(term(Mode::II, 0.5, 0.5, 45.0), 3.6 * 1.125);
        assert_eq!(term(Mode::IIIm, 0.5, 0.5, 0.0), 3.2);
        assert_eq!(term(Mode::IIIs, 0.5, 0.5, 90.0), 4.0);
        assert_eq!(term(Mode::IV, 1.0, 1.0, 0.0), 3.2);
        // Thin fasteners: one term for all modes, with the angle only for the threads of a thick one.
        assert_eq!(term(Mode::Im, 0.131, 0.131, 90.0), 2.2);
        assert_eq!(term(Mode::IV, 0.17, 0.17, 0.0), 2.2);
        assert!((term(Mode::IV, 0.2, 0.2, 90.0) - 2.5).abs() < 1e-12);
        assert!((term(Mode::II, 0.173, 0.25, 90.0) - 2.23 * 1.25).abs() < 1e-12);
    }

    #[test]
    fn a_quarter_inch_is_thick_in_either_unit() {
        let metric = millimetres(6.35);
        assert_eq!(
            reduction_term(Mode::IV, metric, metric, degrees(0.0)).unwrap(),
            3.2
        );
        let rounded = inches(0.25) * (1.0 - 1e-15);
        assert_eq!(
            reduction_term(Mode::IV, rounded, rounded, degrees(0.0)).unwrap(),
            3.2
        );
        let below = inches(0.2499);
        assert!(reduction_term(Mode::IV, below, below, degrees(0.0)).unwrap() < 3.2);
    }

    #[test]
    fn the_smallest_load_governs_and_is_named() {
        let loads = single_shear(&joint([0.5, 1.5, 1.5, 5600.0, 5600.0, 45_000.0])).unwrap();
        assert_eq!(loads.governing(), (Mode::II, loads.ii.unwrap()));
        let loads = single_shear(&joint([0.5, 12.0, 12.0, 5600.0, 5600.0, 45_000.0])).unwrap();
        assert_eq!(loads.governing(), (Mode::IV, loads.iv));
        let loads = single_shear(&joint([1.0, 9.0, 0.1, 5600.0, 5600.0, 45_000.0])).unwrap();
        assert_eq!(loads.governing(), (Mode::Is, loads.is));
    }

    #[test]
    fn double_shear_has_two_planes_and_no_turning_of_the_dowel() {
        let j = joint([0.5, 1.5, 1.5, 5600.0, 3150.0, 45_000.0]);
        let (one, two) = (single_shear(&j).unwrap(), double_shear(&j).unwrap());
        assert_eq!(
            (two.im, two.is, two.iii_s, two.iv),
            (one.im, 2.0 * one.is, 2.0 * one.iii_s, 2.0 * one.iv)
        );
        assert_eq!((two.ii, two.iii_m), (None, None));
        let modes: Vec<Mode> = two.iter().map(|(mode, _)| mode).collect();
        assert_eq!(modes, [Mode::Im, Mode::Is, Mode::IIIs, Mode::IV]);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        let good = [0.5, 1.5, 1.5, 5600.0, 5600.0, 45_000.0];
        for place in 0..good.len() {
            for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
                let mut numbers = good;
                numbers[place] = bad;
                assert!(
                    single_shear(&joint(numbers)).is_err()
                        && double_shear(&joint(numbers)).is_err()
                );
            }
        }
        let d = inches(0.5);
        assert!(reduction_term(Mode::II, d, d, degrees(91.0)).is_err());
        assert!(reduction_term(Mode::II, inches(0.0), d, degrees(0.0)).is_err());
    }

    proptest! {
        /// Two derivations of the same mechanics: closed forms in R_e and R_t, and quadratics per unit length.
        #[test]
        fn without_a_gap_the_general_dowel_equations_are_the_same(
            d in 0.2..2.0_f64, lm in 0.5..12.0_f64, ls in 0.1..12.0_f64,
            fem in 1e3..9e3_f64, fes in 1e3..9e4_f64, fyb in 3e4..1.3e5_f64,
        ) {
            let closed = single_shear(&joint([d, lm, ls, fem, fes, fyb])).unwrap();
            let moment = plastic_moment(psi(fyb), inches(d)).unwrap();
            let member = |f, l| Member { bearing: psi(f) * inches(d), length: inches(l), moment };
            let general = general_dowel::single_shear(&member(fem, lm), &member(fes, ls), inches(0.0)).unwrap();
            for ((mode, a), (_, b)) in closed.iter().zip(general.iter()) {
                // k₂ and k₃ subtract nearly equal numbers when one member is far harder than the other.
                prop_assert!(((a / b).value - 1.0).abs() < 1e-9, "{mode:?}: {a:?} {b:?}");
            }
        }

        #[test]
        fn harder_wood_or_stronger_steel_never_weakens(
            d in 0.25..1.0_f64, lm in 0.5..12.0_f64, ls in 0.5..12.0_f64,
            fem in 1e3..9e3_f64, fes in 1e3..9e3_f64, fyb in 3e4..1.3e5_f64, place in 1..6_usize, more in 1.0..2.0_f64,
        ) {
            let mut numbers = [d, lm, ls, fem, fes, fyb];
            let before = single_shear(&joint(numbers)).unwrap().governing().1;
            numbers[place] *= more;
            let after = single_shear(&joint(numbers)).unwrap().governing().1;
            prop_assert!(after >= before * (1.0 - 1e-12));
        }
    }
}
