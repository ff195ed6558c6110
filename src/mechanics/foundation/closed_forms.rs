//! Closed forms for a uniform bar on a Winkler foundation, loaded at the face.
//!
//! They are the outside check of [`FoundationBar`](super::FoundationBar), and handy by themselves. Signs as there.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::si::{metres, newton_metres, newtons, radians};
use crate::units::{
    Angle, FlexuralStiffness, Force, FoundationModulus, Length, Moment, ReciprocalLength,
};

/// The state of one section of a uniform bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamState {
    /// Deflection v.
    pub deflection: Length,
    /// Rotation θ = −dv/dx.
    pub slope: Angle,
    /// Bending moment M.
    pub moment: Moment,
    /// Shear V.
    pub shear: Force,
}

impl BeamState {
    fn new([v, theta, moment, shear]: [f64; 4]) -> Result<Self, MechanicsError> {
        let finite = |value: f64| value.finite("the state of the bar");
        Ok(Self {
            deflection: metres(finite(v)?),
            slope: radians(finite(theta)?),
            moment: newton_metres(finite(moment)?),
            shear: newtons(finite(shear)?),
        })
    }
}

/// The place and size of a largest bending moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargestMoment {
    /// Its depth.
    pub at: Length,
    /// Its size.
    pub moment: Moment,
}

/// How a rigid bar stands in its foundation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigidPose {
    /// Deflection at the face.
    pub deflection: Length,
    /// Rotation.
    pub slope: Angle,
    /// The depth about which it turns; beyond the bar's ends for loads that mostly push. `None` if it does not turn.
    pub centre: Option<Length>,
}

/// The characteristic λ of a bar on a foundation: what happens at one place is felt over a few times 1/λ.
///
/// # Equation
///
/// ```text
/// λ = (K / (4·E·I))^¼
/// ```
///
/// # Symbols
///
/// - K line modulus of the foundation (Pa)
/// - E·I flexural stiffness (N·m²)
///
/// # Validity
///
/// Uniform bar, linear foundation.
///
/// # Source
///
/// Hetényi, *Beams on Elastic Foundation*, 1946 (from memory). Example: IRC 58:2015 dowel bar design sheet, which takes
/// π = 3.14.
///
/// # Errors
///
/// K or E·I not a positive finite number.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::foundation::closed_forms::characteristic;
/// use barkline::units::{SecondMoment, si::{megapascals, millimetres}};
///
/// let i: SecondMoment = millimetres(1.0) * millimetres(1.0) * millimetres(1.0) * millimetres(82_406.16);
/// let lambda = characteristic(megapascals(415.0 * 36.0), megapascals(2e5) * i)?;
/// assert!((lambda.value * 1e-3 - 0.021_818_517_25).abs() < 1e-10);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn characteristic(
    foundation: FoundationModulus,
    flexural: FlexuralStiffness,
) -> Result<ReciprocalLength, MechanicsError> {
    let k = foundation.positive("the foundation modulus")?.value;
    let ei = flexural.positive("the flexural stiffness")?.value;
    let lambda = ((k / (4.0 * ei)).powf(0.25)).finite("the characteristic of the bar")?;
    Ok(metres(1.0).recip() * lambda)
}

/// The state at depth x of a bar without end, loaded at the face.
///
/// # Equation
///
/// ```text
/// v = (2λ/K)·(P·D + λ·M₀·C)        θ = (2λ²/K)·(P·A + 2λ·M₀·D)
/// M = (P/λ)·B + M₀·A               V = P·C − 2λ·M₀·B
/// A = e⁻ᶻ(cos z + sin z)   B = e⁻ᶻ sin z   C = e⁻ᶻ(cos z − sin z)   D = e⁻ᶻ cos z   z = λx
/// ```
///
/// # Symbols
///
/// - P, M₀ force (N) and moment (N·m) at the face
/// - K (Pa), λ (1/m) as in [`characteristic`]
/// - x depth (m)
///
/// # Validity
///
/// λL above about 3; x ≥ 0.
///
/// # Source
///
/// Hetényi, *Beams on Elastic Foundation*, 1946 (from memory); the deflection at the face also as ACI 108-S61, Eq. 3c.
/// Example: IRC 58:2015 dowel bar design sheet, bearing stress of a dowel across a 20 mm joint (M₀ = P·10 mm).
///
/// # Errors
///
/// K or E·I not a positive finite number, x negative, or anything not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::foundation::closed_forms::semi_infinite_state;
/// use barkline::units::{SecondMoment, si::{megapascals, millimetres, newtons}};
///
/// let i: SecondMoment = millimetres(1.0) * millimetres(1.0) * millimetres(1.0) * millimetres(82_406.16);
/// let (foundation, flexural) = (megapascals(415.0 * 36.0), megapascals(2e5) * i);
/// let force = newtons(15_883.055_457);
/// let face = semi_infinite_state(foundation, flexural, force, force * millimetres(10.0), millimetres(0.0))?;
/// let bearing = foundation * face.deflection / millimetres(36.0);
/// assert!((bearing.value * 1e-6 - 23.453_091_048_5).abs() < 1e-8);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn semi_infinite_state(
    foundation: FoundationModulus,
    flexural: FlexuralStiffness,
    force: Force,
    moment: Moment,
    x: Length,
) -> Result<BeamState, MechanicsError> {
    let lambda = characteristic(foundation, flexural)?.value;
    let (p, m0, k) = (force.value, moment.value, foundation.value);
    let z = lambda * x.not_negative("the depth in the wood")?.value;
    let fade = (-z).exp();
    let (a, b) = (fade * (z.cos() + z.sin()), fade * z.sin());
    let (c, d) = (fade * (z.cos() - z.sin()), fade * z.cos());
    BeamState::new([
        2.0 * lambda / k * (p * d + lambda * m0 * c),
        2.0 * lambda * lambda / k * (p * a + 2.0 * lambda * m0 * d),
        p / lambda * b + m0 * a,
        p * c - 2.0 * lambda * m0 * b,
    ])
}

/// The largest bending moment of a bar without end, loaded by a force outside the face: it lies inside the wood.
///
/// # Equation
///
/// ```text
/// tan(λx*) = 1/(1 + 2λe)      M_max = (P/2λ)·e^(−λx*)·√((1 + 2λe)² + 1)
/// ```
///
/// # Symbols
///
/// - P force (N), e its distance outside the face (m)
/// - λ as in [`characteristic`] (1/m), x* the depth of the largest moment (m)
///
/// # Validity
///
/// λL above about 3; e ≥ 0.
///
/// # Source
///
/// From dM/dx = 0 in Hetényi's semi-infinite bar, *Beams on Elastic Foundation*, 1946 (from memory); derived.
///
/// # Errors
///
/// K or E·I not a positive finite number, e negative, or anything not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::foundation::closed_forms::{characteristic, semi_infinite_largest_moment};
/// use barkline::units::{SecondMoment, si::{megapascals, millimetres, newtons}};
///
/// let i: SecondMoment = millimetres(1.0) * millimetres(1.0) * millimetres(1.0) * millimetres(1e4);
/// let (foundation, flexural) = (megapascals(600.0), megapascals(2e5) * i);
/// let lambda = characteristic(foundation, flexural)?;
/// let largest = semi_infinite_largest_moment(foundation, flexural, newtons(1e3), millimetres(0.0))?;
/// // A force at the face alone: x* = π/(4λ).
/// let place = (largest.at * lambda).value;
/// assert!((place - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn semi_infinite_largest_moment(
    foundation: FoundationModulus,
    flexural: FlexuralStiffness,
    force: Force,
    arm: Length,
) -> Result<LargestMoment, MechanicsError> {
    let lambda = characteristic(foundation, flexural)?.value;
    let lever = 1.0 + 2.0 * lambda * arm.not_negative("the arm of the force")?.value;
    let z = (1.0 / lever).atan();
    let moment = force.value / (2.0 * lambda) * (-z).exp() * lever.hypot(1.0);
    Ok(LargestMoment {
        at: metres((z / lambda).finite("the depth of the largest moment")?),
        moment: newton_metres(moment.finite("the largest moment")?),
    })
}

/// The state at depth x of a bar of finite length with free ends, loaded at the face.
///
/// # Equation
///
/// ```text
/// S = sinh λL   s = sin λL   N = S² − s²   a = λx   b = λ(L − x)
/// v = (2λP/KN)·[S cos a cosh b − s cosh a cos b]
///   + (2λ²M₀/KN)·[S(sinh b cos a − cosh b sin a) + s(cosh a sin b − sinh a cos b)]
/// M = (P/λN)·[S sin a sinh b − s sinh a sin b]
///   + (M₀/N)·[S(sinh b cos a + cosh b sin a) − s(sinh a cos b + cosh a sin b)]
/// θ = −dv/dx   V = dM/dx
/// ```
///
/// # Symbols
///
/// - P, M₀ force (N) and moment (N·m) at the face
/// - K (Pa), λ (1/m) as in [`characteristic`]
/// - L length of the bar (m), x depth (m)
///
/// # Validity
///
/// 0.01 < λL < 300, beyond which digits are lost or numbers overflow; 0 ≤ x ≤ L.
///
/// # Source
///
/// Hetényi, *Beams on Elastic Foundation*, 1946, finite beam with free ends loaded at one end (from memory, checked
/// against a numerical solution of the differential equation); slope and shear derived.
///
/// # Errors
///
/// K, E·I or L not a positive finite number, x outside the bar, or λL outside the range above.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::foundation::closed_forms::finite_free_state;
/// use barkline::units::{SecondMoment, si::{megapascals, millimetres, newtons}};
///
/// let d = millimetres(38.0);
/// let i: SecondMoment = d * d * d * d * (std::f64::consts::PI / 64.0);
/// // A force of 1 N on an arm of 75 mm (derived by a numerical solution).
/// let (force, length) = (newtons(1.0), millimetres(150.0));
/// let face = finite_free_state(
///     megapascals(600.0), megapascals(2e5) * i, length, force, force * millimetres(75.0), millimetres(0.0),
/// )?;
/// assert!((face.deflection.value * 1e3 / 8.353_621_3e-5 - 1.0).abs() < 1e-7);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn finite_free_state(
    foundation: FoundationModulus,
    flexural: FlexuralStiffness,
    length: Length,
    force: Force,
    moment: Moment,
    x: Length,
) -> Result<BeamState, MechanicsError> {
    let lambda = characteristic(foundation, flexural)?.value;
    let (p, m0, k) = (force.value, moment.value, foundation.value);
    let l = length.positive("the length of the bar")?.value;
    let depth = x
        .between("the depth in the wood", metres(0.0), length)?
        .value;
    let z = (lambda * l).between("λL of the finite bar", 0.01, 300.0)?;
    let (s_h, s) = (z.sinh(), z.sin());
    let n = s_h * s_h - s * s;
    let (a, b) = (lambda * depth, lambda * (l - depth));
    let ((sa, ca), (sb, cb)) = (a.sin_cos(), b.sin_cos());
    let ((sha, cha), (shb, chb)) = ((a.sinh(), a.cosh()), (b.sinh(), b.cosh()));
    BeamState::new([
        2.0 * lambda * p / (k * n) * (s_h * ca * chb - s * cha * cb)
            + 2.0 * lambda.powi(2) * m0 / (k * n)
                * (s_h * (shb * ca - chb * sa) + s * (cha * sb - sha * cb)),
        2.0 * lambda.powi(2) * p / (k * n)
            * (s_h * (sa * chb + ca * shb) + s * (sha * cb + cha * sb))
            + 4.0 * lambda.powi(3) * m0 / (k * n) * (s_h * chb * ca + s * cha * cb),
        p / (lambda * n) * (s_h * sa * shb - s * sha * sb)
            + m0 / n * (s_h * (shb * ca + chb * sa) - s * (sha * cb + cha * sb)),
        p / n * (s_h * (ca * shb - sa * chb) - s * (cha * sb - sha * cb))
            - 2.0 * lambda * m0 / n * (s_h * shb * sa + s * sha * sb),
    ])
}

/// How a bar that does not bend stands in its foundation, loaded at the face.
///
/// # Equation
///
/// ```text
/// v₀ = (4·P + 6·M₀/L)/(K·L)      θ = (6·P + 12·M₀/L)/(K·L²)      centre at v₀/θ
/// ```
///
/// # Symbols
///
/// - P, M₀ force (N) and moment (N·m) at the face
/// - K line modulus of the foundation (Pa), L embedded length (m)
///
/// # Validity
///
/// λL below about 1, with λ as in [`characteristic`].
///
/// # Source
///
/// Statics of a rigid bar on a linear foundation: ∫K·v dx = P, ∫K·v·x dx = −M₀ with v = v₀ − θ·x; derived.
///
/// # Errors
///
/// K or L not a positive finite number, or a load that is not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::foundation::closed_forms::rigid_pose;
/// use barkline::units::si::{megapascals, millimetres, newton_metres, newtons};
///
/// let pose = rigid_pose(megapascals(500.0), millimetres(100.0), newtons(5e3), newton_metres(0.0))?;
/// assert!((pose.deflection.value - 4.0 * 5e3 / (500e6 * 0.1)).abs() < 1e-15);
/// // A force at the face turns a rigid bar about two thirds of its depth.
/// assert!((pose.centre.unwrap().value - 2.0 / 3.0 * 0.1).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_pose(
    foundation: FoundationModulus,
    length: Length,
    force: Force,
    moment: Moment,
) -> Result<RigidPose, MechanicsError> {
    let k = foundation.positive("the foundation modulus")?.value;
    let l = length.positive("the length of the bar")?.value;
    let lever = moment.value / l;
    let v = ((4.0 * force.value + 6.0 * lever) / (k * l)).finite("the deflection of the bar")?;
    let theta = (6.0 * force.value + 12.0 * lever) / (k * l * l);
    let theta = theta.finite("the rotation of the bar")?;
    let centre = Some(v / theta)
        .filter(|depth| depth.is_finite())
        .map(metres);
    Ok(RigidPose {
        deflection: metres(v),
        slope: radians(theta),
        centre,
    })
}
