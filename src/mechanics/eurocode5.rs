//! Dowel-type fasteners after Eurocode 5, the European counterpart of the yield modes.
//!
//! Characteristic values: the caller divides by γ_M and multiplies by k_mod. EN 1995-1-1:2004 with its first amendments.

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::si::{
    kilograms_per_cubic_metre, megapascals, millimetres, newton_metres, newtons,
};
use crate::units::{Angle, Area, Density, Force, Length, Moment, Stiffness, Stress};

/// Bolt and dowel diameters for which the embedment strength is stated (8.5.1.1: up to 30 mm; 8.6: from 6 mm, from memory).
pub const DIAMETERS: Range<Length> = Range {
    low: millimetres(6.0),
    high: millimetres(30.0),
};

/// Share of the Johansen part that the rope effect of a bolt may add (8.2.2(2)).
pub const ROPE_SHARE_BOLT: f64 = 0.25;

/// Share of the Johansen part that the rope effect of a screw may add (8.2.2(2)).
pub const ROPE_SHARE_SCREW: f64 = 1.0;

/// Factor on the slip modulus of a timber joint when one side is steel or concrete (7.1(3)).
pub const STEEL_TO_TIMBER: f64 = 2.0;

/// Bearing of a washer across the grain over the compression strength there (8.5.2(2)).
pub const WASHER_BEARING: f64 = 3.0;

/// Kinds of wood that the code tells apart in embedment across the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WoodKind {
    /// Softwood.
    Softwood,
    /// Laminated veneer lumber.
    Lvl,
    /// Hardwood.
    Hardwood,
}

/// A length in mm, refused if not positive.
fn mm(length: Length, what: &'static str) -> Result<f64, MechanicsError> {
    Ok((length.positive(what)? / millimetres(1.0)).value)
}

/// A density in kg/m³, refused if not positive.
fn density(density: Density) -> Result<f64, MechanicsError> {
    Ok((density.positive("density")? / kilograms_per_cubic_metre(1.0)).value)
}

/// Characteristic yield moment of a bolt or dowel.
///
/// # Equation
///
/// ```text
/// M_y,Rk = 0.3 · f_u,k · d^2.6   (N·mm)
/// ```
///
/// # Symbols
///
/// - `M_y,Rk`: yield moment (N·m)
/// - `f_u,k`: tensile strength of the steel (N/mm² in the source)
/// - `d`: diameter (mm in the source)
///
/// # Validity
///
/// [`DIAMETERS`]; below the full plastic moment for thick bars, whose bend angle stays small.
///
/// # Source
///
/// EN 1995-1-1:2004, Equation 8.30.
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// 12 mm, 400 N/mm²: 76 745 N·mm.
///
/// ```rust
/// use barkline::mechanics::eurocode5::yield_moment;
/// use barkline::units::si::{megapascals, millimetres};
///
/// let m = yield_moment(megapascals(400.0), millimetres(12.0))?;
/// assert!((m.value * 1e3 - 76_745.42).abs() < 0.01);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn yield_moment(ultimate: Stress, diameter: Length) -> Result<Moment, MechanicsError> {
    let f_u = (ultimate.positive("tensile strength")? / megapascals(1.0)).value;
    newton_metres(1e-3 * 0.3 * f_u * mm(diameter, "diameter")?.powf(2.6)).finite("yield moment")
}

/// Characteristic embedment strength of a bolt or dowel along the grain.
///
/// # Equation
///
/// ```text
/// f_h,0,k = 0.082 · (1 − 0.01·d) · ρ_k   (N/mm²)
/// ```
///
/// # Symbols
///
/// - `f_h,0,k`: embedment strength along the grain (Pa)
/// - `d`: diameter (mm in the source)
/// - `ρ_k`: characteristic density at 12 % moisture (kg/m³)
///
/// # Validity
///
/// [`DIAMETERS`], predrilled; the equation falls to zero at 100 mm, where it has lost its meaning.
///
/// # Source
///
/// EN 1995-1-1:2004, Equation 8.32.
///
/// # Errors
///
/// When a number is not positive and finite, or the diameter is 100 mm or more.
///
/// # Example
///
/// 12 mm in wood of 385 kg/m³: 27.78 N/mm².
///
/// ```rust
/// use barkline::mechanics::eurocode5::embedment_along;
/// use barkline::units::si::{kilograms_per_cubic_metre, millimetres};
///
/// let f = embedment_along(kilograms_per_cubic_metre(385.0), millimetres(12.0))?;
/// assert!((f.value / 1e6 - 27.78).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn embedment_along(
    characteristic_density: Density,
    diameter: Length,
) -> Result<Stress, MechanicsError> {
    let share = 1.0 - 0.01 * mm(diameter, "diameter")?;
    if share <= 0.0 {
        return Err(MechanicsError::NoSolution {
            what: "the embedment strength ends at a diameter of 100 mm",
        });
    }
    megapascals(0.082 * share * density(characteristic_density)?).finite("embedment strength")
}

/// Characteristic embedment strength of a bolt or dowel at an angle to the grain.
///
/// # Equation
///
/// ```text
/// f_h,α,k = f_h,0,k / (k₉₀·sin²α + cos²α)
/// k₉₀ = 1.35 + 0.015·d softwood,  1.30 + 0.015·d LVL,  0.90 + 0.015·d hardwood
/// ```
///
/// # Symbols
///
/// - `f_h,α,k`: embedment strength at the angle (Pa)
/// - `f_h,0,k`: embedment strength along the grain (Pa), see [`embedment_along`]
/// - `α`: angle between load and grain, 0 to 90° (rad)
/// - `d`: diameter (mm in the source)
///
/// # Validity
///
/// [`DIAMETERS`].
///
/// # Source
///
/// EN 1995-1-1:2004, Equations 8.31 and 8.33.
///
/// # Errors
///
/// When a number is not positive and finite, the angle is outside 0 to 90°, or the diameter is 100 mm or more.
///
/// # Example
///
/// Softwood, 12 mm, 45°: 27.78/1.265 N/mm².
///
/// ```rust
/// use barkline::mechanics::eurocode5::{WoodKind, embedment};
/// use barkline::units::si::{degrees, kilograms_per_cubic_metre, millimetres};
///
/// let f = embedment(kilograms_per_cubic_metre(385.0), millimetres(12.0), degrees(45.0), WoodKind::Softwood)?;
/// assert!((f.value / 1e6 - 21.96).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn embedment(
    characteristic_density: Density,
    diameter: Length,
    angle: Angle,
    kind: WoodKind,
) -> Result<Stress, MechanicsError> {
    let alpha = angle
        .between("angle to the grain", Angle::default(), super::RIGHT_ANGLE)?
        .value;
    let constant = match kind {
        WoodKind::Softwood => 1.35,
        WoodKind::Lvl => 1.30,
        WoodKind::Hardwood => 0.90,
    };
    let k90 = constant + 0.015 * mm(diameter, "diameter")?;
    let along = embedment_along(characteristic_density, diameter)?;
    (along / (k90 * alpha.sin().powi(2) + alpha.cos().powi(2))).finite("embedment strength")
}

/// The density that stands for two members of different density.
///
/// # Equation
///
/// ```text
/// ρ_m = √(ρ_m1 · ρ_m2)
/// ```
///
/// # Symbols
///
/// - `ρ_m`, `ρ_m1`, `ρ_m2`: mean densities of the joint and of its members (kg/m³)
///
/// # Validity
///
/// For the slip modulus.
///
/// # Source
///
/// EN 1995-1-1:2004, 7.1(2).
///
/// # Errors
///
/// When a density is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::eurocode5::joint_density;
/// use barkline::units::si::kilograms_per_cubic_metre;
///
/// let rho = joint_density(kilograms_per_cubic_metre(400.0), kilograms_per_cubic_metre(625.0))?;
/// assert!((rho.value - 500.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn joint_density(one: Density, other: Density) -> Result<Density, MechanicsError> {
    kilograms_per_cubic_metre((density(one)? * density(other)?).sqrt()).finite("density")
}

/// Slip modulus in service of a dowel or a bolt without clearance, per shear plane.
///
/// # Equation
///
/// ```text
/// K_ser = ρ_m^1.5 · d / 23   (N/mm)
/// ```
///
/// # Symbols
///
/// - `K_ser`: load per slip of one fastener in one shear plane (N/m); times [`STEEL_TO_TIMBER`] where one side is steel
/// - `ρ_m`: mean density (kg/m³), see [`joint_density`]
/// - `d`: diameter (mm in the source)
///
/// # Validity
///
/// [`DIAMETERS`]; service loads, ultimate K_u = 2/3 of it. The clearance of a bolt hole is added to the slip.
///
/// # Source
///
/// EN 1995-1-1:2004, Table 7.1 and 7.1(3).
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// Four bolts of 12 mm with two shear planes in wood of 420 kg/m³: 35 926.7 N/mm.
///
/// ```rust
/// use barkline::mechanics::eurocode5::slip_modulus;
/// use barkline::units::si::{kilograms_per_cubic_metre, millimetres};
///
/// let k = 8.0 * slip_modulus(kilograms_per_cubic_metre(420.0), millimetres(12.0))?;
/// assert!((k.value / 1e3 - 35_926.7).abs() < 0.01);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn slip_modulus(mean_density: Density, diameter: Length) -> Result<Stiffness, MechanicsError> {
    let k = density(mean_density)?.powf(1.5) * mm(diameter, "diameter")? / 23.0;
    (newtons(k) / millimetres(1.0)).finite("slip modulus")
}

/// Number of fasteners that a row along the grain counts for.
///
/// # Equation
///
/// ```text
/// n_ef = min(n, n^0.9 · (a₁/(13·d))^(1/4))
/// ```
///
/// # Symbols
///
/// - `n_ef`, `n`: effective and actual number (1)
/// - `a₁`: spacing along the grain (m)
/// - `d`: diameter (m)
///
/// # Validity
///
/// Load along the grain; across it n_ef = n.
///
/// # Source
///
/// EN 1995-1-1:2004, Equation 8.34.
///
/// # Errors
///
/// When a length is not positive and finite, or there is no fastener.
///
/// # Example
///
/// Two of 12 mm, 100 mm apart: 1.6697.
///
/// ```rust
/// use barkline::mechanics::eurocode5::effective_number;
/// use barkline::units::si::millimetres;
///
/// let n = effective_number(2, millimetres(100.0), millimetres(12.0))?;
/// assert!((n - 1.669_728_45).abs() < 1e-8);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn effective_number(
    fasteners: u32,
    spacing: Length,
    diameter: Length,
) -> Result<f64, MechanicsError> {
    let n = f64::from(fasteners).positive("number of fasteners")?;
    let ratio = (spacing.positive("spacing")? / (13.0 * diameter.positive("diameter")?)).value;
    n.min(n.powf(0.9) * ratio.powf(0.25))
        .finite("effective number of fasteners")
}

/// Characteristic axial resistance that a washer gives a bolt.
///
/// # Equation
///
/// ```text
/// F_ax,Rk = 3.0 · f_c,90,k · A
/// ```
///
/// # Symbols
///
/// - `F_ax,Rk`: axial resistance (N), not above the tensile resistance of the bolt
/// - `f_c,90,k`: characteristic compression strength across the grain (Pa)
/// - `A`: area of the washer on the wood, the hole taken off (m²)
///
/// # Validity
///
/// Washers on side grain.
///
/// # Source
///
/// EN 1995-1-1:2004, 8.5.2(2).
///
/// # Errors
///
/// When a number is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::eurocode5::washer_resistance;
/// use barkline::units::si::{megapascals, square_metres};
///
/// let f = washer_resistance(megapascals(2.5), square_metres(320e-6))?;
/// assert!((f.value - 2400.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn washer_resistance(across: Stress, area: Area) -> Result<Force, MechanicsError> {
    let f = across.positive("compression strength across the grain")?;
    (WASHER_BEARING * f * area.positive("area of the washer")?).finite("resistance of the washer")
}

/// One dowel in three members of timber, the middle one number 2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleShear {
    /// d, the diameter.
    pub diameter: Length,
    /// t₁, the bearing length in one side member.
    pub side_length: Length,
    /// t₂, the bearing length in the middle member.
    pub middle_length: Length,
    /// f_h,1,k, the embedment strength of the side members.
    pub side_embedment: Stress,
    /// f_h,2,k, the embedment strength of the middle member.
    pub middle_embedment: Stress,
    /// M_y,Rk, the yield moment of the dowel.
    pub yield_moment: Moment,
    /// F_ax,Rk, the axial resistance of the dowel (zero for a plain one).
    pub axial: Force,
    /// Share of the Johansen part that the rope effect may add at most (1).
    pub rope_share: f64,
}

/// The resistance of one dowel in one of two shear planes, by failure mode.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleShearModes {
    /// (g): the side member crushes.
    pub g: Force,
    /// (h): the middle member crushes.
    pub h: Force,
    /// (j): one hinge in each plane, rope effect included.
    pub j: Force,
    /// (k): two hinges in each plane, rope effect included.
    pub k: Force,
}

impl DoubleShearModes {
    /// The smallest of the four.
    pub fn governing(&self) -> Force {
        self.g.min(self.h).min(self.j).min(self.k)
    }
}

/// Characteristic resistance of a dowel in double shear, timber on both sides, per shear plane.
///
/// # Equation
///
/// ```text
/// g  F = f_h1·t₁·d
/// h  F = 0.5·f_h2·t₂·d
/// j  F = 1.05·f_h1·t₁·d/(2 + β) · [√(2β(1 + β) + 4β(2 + β)·M_y/(f_h1·d·t₁²)) − β] + rope
/// k  F = 1.15·√(2β/(1 + β))·√(2·M_y·f_h1·d) + rope
/// β = f_h2/f_h1,   rope = min(F_ax/4, share of the Johansen part)
/// ```
///
/// # Symbols
///
/// - `F`: characteristic resistance per dowel and shear plane (N)
/// - `t₁`, `t₂`: bearing lengths in a side and in the middle member (m)
/// - `f_h1`, `f_h2`: embedment strengths (Pa); `d`: diameter (m)
/// - `M_y`: yield moment (N·m); `F_ax`: axial resistance (N)
///
/// # Validity
///
/// [`DIAMETERS`], members in contact. The rope effect may add 25 % for bolts, 100 % for screws, nothing for dowels.
///
/// # Source
///
/// EN 1995-1-1:2004, Equation 8.7 and 8.2.2(2).
///
/// # Errors
///
/// When a number is not positive and finite (the axial resistance and its share: negative).
///
/// # Example
///
/// Bolt of 12 mm in 100 mm members of GL24h, side members at 45°: mode k, 8329.5 N with the rope effect of its washers.
///
/// ```rust
/// use barkline::mechanics::eurocode5::*;
/// use barkline::units::si::{degrees, kilograms_per_cubic_metre, megapascals, millimetres, newtons};
///
/// let (d, rho) = (millimetres(12.0), kilograms_per_cubic_metre(385.0));
/// let modes = double_shear(&DoubleShear {
///     diameter: d,
///     side_length: millimetres(100.0),
///     middle_length: millimetres(100.0),
///     side_embedment: embedment(rho, d, degrees(45.0), WoodKind::Softwood)?,
///     middle_embedment: embedment(rho, d, degrees(0.0), WoodKind::Softwood)?,
///     yield_moment: yield_moment(megapascals(400.0), d)?,
///     axial: newtons(2397.4),
///     rope_share: ROPE_SHARE_BOLT,
/// })?;
/// assert!((modes.governing().value - 8329.5).abs() < 0.1);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn double_shear(joint: &DoubleShear) -> Result<DoubleShearModes, MechanicsError> {
    let d = joint.diameter.positive("diameter")?;
    let t1 = joint
        .side_length
        .positive("bearing length in a side member")?;
    let t2 = joint
        .middle_length
        .positive("bearing length in the middle member")?;
    let f1 = joint
        .side_embedment
        .positive("embedment strength of the side members")?;
    let f2 = joint
        .middle_embedment
        .positive("embedment strength of the middle member")?;
    let m_y = joint.yield_moment.positive("yield moment")?;
    let quarter = joint.axial.not_negative("axial resistance")? / 4.0;
    let share = joint.rope_share.not_negative("share of the rope effect")?;
    let with_rope =
        |johansen: Force| (johansen + quarter.min(share * johansen)).finite("resistance");

    let beta = (f2 / f1).value;
    let hinge = (m_y / (f1 * d * t1 * t1)).value;
    let bracket = (2.0 * beta * (1.0 + beta) + 4.0 * beta * (2.0 + beta) * hinge).sqrt() - beta;
    let two_hinges = (2.0 * beta / (1.0 + beta)).sqrt() * (2.0 * m_y * f1 * d).sqrt();
    Ok(DoubleShearModes {
        g: (f1 * t1 * d).finite("resistance")?,
        h: (0.5 * f2 * t2 * d).finite("resistance")?,
        j: with_rope(1.05 / (2.0 + beta) * bracket * (f1 * t1 * d))?,
        k: with_rope(1.15 * two_hinges)?,
    })
}

/// Characteristic splitting resistance of a member loaded across the grain by a joint.
///
/// # Equation
///
/// ```text
/// F_90,Rk = 14 · b · w · √(h_e / (1 − h_e/h))   (N)
/// ```
///
/// # Symbols
///
/// - `F_90,Rk`: sum of the shear forces on the two sides of the joint at splitting (N)
/// - `b`: thickness of the member along the fastener (mm in the source)
/// - `h_e`: distance from the loaded edge to the farthest fastener (mm in the source)
/// - `h`: depth of the member across the grain (mm in the source)
/// - `w`: 1 for all fasteners but punched metal plates (1)
///
/// # Validity
///
/// Softwood. For other wood it is an extension.
///
/// # Source
///
/// EN 1995-1-1:2004, Equation 8.4.
///
/// # Errors
///
/// When a number is not positive and finite, or h_e is not below h.
///
/// # Example
///
/// b = 100 mm, h = 200 mm, h_e = 150 mm: 34 292.86 N.
///
/// ```rust
/// use barkline::mechanics::eurocode5::splitting;
/// use barkline::units::si::millimetres;
///
/// let f = splitting(millimetres(100.0), millimetres(150.0), millimetres(200.0), 1.0)?;
/// assert!((f.value - 34_292.86).abs() < 0.01);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn splitting(
    thickness: Length,
    effective_depth: Length,
    depth: Length,
    modification: f64,
) -> Result<Force, MechanicsError> {
    let b = mm(thickness, "thickness")?;
    let (h_e, h) = (
        mm(effective_depth, "distance from the loaded edge")?,
        mm(depth, "depth")?,
    );
    if h_e >= h {
        return Err(MechanicsError::NoSolution {
            what: "the fastener lies outside the depth of the member",
        });
    }
    let w = modification.positive("modification factor")?;
    newtons(14.0 * b * w * (h_e / (1.0 - h_e / h)).sqrt()).finite("splitting resistance")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::mechanics::general_dowel::{self, Member};
    use crate::units::si::{degrees, metres};
    use proptest::prelude::*;

    fn joint(t1: f64, t2: f64, f1: f64, f2: f64, axial: f64) -> DoubleShear {
        DoubleShear {
            diameter: millimetres(16.0),
            side_length: millimetres(t1),
            middle_length: millimetres(t2),
            side_embedment: megapascals(f1),
            middle_embedment: megapascals(f2),
            yield_moment: newton_metres(162.0),
            axial: newtons(axial),
            rope_share: ROPE_SHARE_BOLT,
        }
    }

    #[test]
    fn the_rope_effect_is_a_quarter_of_the_axial_resistance_up_to_its_share() {
        let k = |axial| {
            double_shear(&joint(80.0, 100.0, 25.0, 25.0, axial))
                .unwrap()
                .k
                .value
        };
        assert!((k(1000.0) - k(0.0) - 250.0).abs() < 1e-9);
        assert!((k(1e6) / k(0.0) - 1.25).abs() < 1e-12);
        let plain = double_shear(&DoubleShear {
            rope_share: 0.0,
            ..joint(80.0, 100.0, 25.0, 25.0, 1e6)
        })
        .unwrap();
        assert_eq!(plain.k.value, k(0.0));
    }

    #[test]
    fn the_smallest_of_the_four_governs() {
        let thin_side = double_shear(&joint(5.0, 200.0, 25.0, 25.0, 0.0)).unwrap();
        assert_eq!(thin_side.governing(), thin_side.g);
        let thin_middle = double_shear(&joint(200.0, 5.0, 25.0, 25.0, 0.0)).unwrap();
        assert_eq!(thin_middle.governing(), thin_middle.h);
        assert!((thin_middle.h.value - 0.5 * 25.0 * 5.0 * 16.0).abs() < 1e-9);
        let thick = double_shear(&joint(200.0, 200.0, 25.0, 25.0, 0.0)).unwrap();
        assert_eq!(thick.governing(), thick.k);
        let middling = double_shear(&joint(40.0, 200.0, 25.0, 25.0, 0.0)).unwrap();
        assert_eq!(middling.governing(), middling.j);
    }

    #[test]
    fn kinds_of_wood_differ_across_the_grain_only() {
        let at = |kind, degree| {
            embedment(
                kilograms_per_cubic_metre(500.0),
                millimetres(20.0),
                degrees(degree),
                kind,
            )
        };
        let along = embedment_along(kilograms_per_cubic_metre(500.0), millimetres(20.0)).unwrap();
        for (kind, k90) in [
            (WoodKind::Softwood, 1.65),
            (WoodKind::Lvl, 1.60),
            (WoodKind::Hardwood, 1.20),
        ] {
            assert_eq!(at(kind, 0.0).unwrap(), along);
            assert!(((along / at(kind, 90.0).unwrap()).value - k90).abs() < 1e-12);
        }
    }

    #[test]
    fn a_single_fastener_counts_once_and_a_wide_row_counts_fully() {
        assert_eq!(
            effective_number(1, millimetres(200.0), millimetres(12.0)).unwrap(),
            1.0
        );
        assert_eq!(
            effective_number(4, millimetres(2000.0), millimetres(12.0)).unwrap(),
            4.0
        );
        assert!(effective_number(4, millimetres(60.0), millimetres(12.0)).unwrap() < 3.0);
    }

    #[test]
    fn what_has_no_meaning_is_refused() {
        let (rho, d) = (kilograms_per_cubic_metre(385.0), millimetres(12.0));
        assert!(embedment_along(rho, millimetres(100.0)).is_err());
        assert!(embedment(rho, d, degrees(91.0), WoodKind::Softwood).is_err());
        assert!(splitting(d, millimetres(200.0), millimetres(200.0), 1.0).is_err());
        assert!(effective_number(0, d, d).is_err());
        assert!(double_shear(&joint(80.0, 80.0, 25.0, 25.0, -1.0)).is_err());
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let (bad_rho, bad_d) = (kilograms_per_cubic_metre(bad), metres(bad));
            assert!(embedment_along(bad_rho, d).is_err() && embedment_along(rho, bad_d).is_err());
            assert!(slip_modulus(bad_rho, d).is_err() && slip_modulus(rho, bad_d).is_err());
            assert!(joint_density(bad_rho, rho).is_err() && joint_density(rho, bad_rho).is_err());
            assert!(
                yield_moment(megapascals(bad), d).is_err()
                    && yield_moment(megapascals(1.0), bad_d).is_err()
            );
            assert!(double_shear(&joint(bad, 80.0, 25.0, 25.0, 0.0)).is_err());
            assert!(double_shear(&joint(80.0, 80.0, 25.0, bad, 0.0)).is_err());
            assert!(splitting(d, millimetres(100.0), millimetres(200.0), bad).is_err());
            assert!(
                washer_resistance(megapascals(bad), crate::units::si::square_metres(1e-4)).is_err()
            );
        }
    }

    proptest! {
        /// Johansen's modes j and k without the factors 1.05 and 1.15 are IIIs and IV of the general dowel equations.
        #[test]
        fn the_hinge_modes_are_those_of_the_general_dowel_equations(
            t1 in 20.0..200.0_f64, t2 in 20.0..200.0_f64, f1 in 5.0..50.0_f64, f2 in 5.0..50.0_f64,
        ) {
            let joint = joint(t1, t2, f1, f2, 0.0);
            let modes = double_shear(&joint).unwrap();
            let member = |f: Stress, length| Member { bearing: f * joint.diameter, length, moment: joint.yield_moment };
            let side = member(joint.side_embedment, joint.side_length);
            let main = member(joint.middle_embedment, joint.middle_length);
            let general = general_dowel::single_shear(&main, &side, metres(0.0)).unwrap();
            prop_assert!(((modes.j / 1.05 / general.iii_s).value - 1.0).abs() < 1e-9);
            prop_assert!(((modes.k / 1.15 / general.iv).value - 1.0).abs() < 1e-9);
        }
    }
}
