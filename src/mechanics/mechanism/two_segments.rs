//! Closed forms for two embedded segments, a stiff outer one and a slender inner one, loaded by a force outside the
//! face. Each is the force of one mechanism, where that mechanism exists; the least of them is the limit load.

use super::PlasticSegment;
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::si::newtons;
use crate::units::{Force, Length};

/// Two embedded segments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoSegments {
    /// From the face to the step.
    pub outer: PlasticSegment,
    /// From the step to the tip.
    pub inner: PlasticSegment,
}

/// The same in plain numbers: resistances q₁, q₂, plastic moments m₁, m₂, depth of the step t, length l, arm e.
struct Numbers {
    q1: f64,
    m1: f64,
    t: f64,
    q2: f64,
    m2: f64,
    l: f64,
    e: f64,
}

impl TwoSegments {
    fn numbers(&self, arm: Length) -> Result<Numbers, MechanicsError> {
        let positive = |segment: &PlasticSegment| {
            Ok((
                segment
                    .resistance
                    .positive("the resistance of the wood")?
                    .value,
                segment.plastic_moment.positive("the plastic moment")?.value,
                segment
                    .length
                    .positive("the length of a bar segment")?
                    .value,
            ))
        };
        let ((q1, m1, t), (q2, m2, rest)) = (positive(&self.outer)?, positive(&self.inner)?);
        let e = arm.not_negative("the arm of the force")?.value;
        Ok(Numbers {
            q1,
            m1,
            t,
            q2,
            m2,
            l: t + rest,
            e,
        })
    }
}

fn force(value: f64) -> Result<Option<Force>, MechanicsError> {
    value.finite("the limit load").map(newtons).map(Some)
}

/// The bar turns rigidly about a centre in the inner segment.
///
/// # Equation
///
/// ```text
/// a = −e + √( e² + L·e + L²/2 − (q₁/q₂ − 1)·t·(e + t/2) )      P = q₁·t + q₂·(2a − t − L)
/// ```
///
/// # Symbols
///
/// - q₁, q₂ resistances of the outer and inner segment (N/m)
/// - t depth of the step (m), L depth of the tip (m), e arm of the force outside the face (m), a the centre (m)
///
/// # Validity
///
/// `None` unless t ≤ a.
///
/// # Source
///
/// Derived by statics.
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, rigid_centre_in_inner}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, q| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(q),
///     plastic_moment: newton_metres(1e9),
/// };
/// let bar = TwoSegments { outer: piece(40.0, 2.5e6), inner: piece(80.0, 1e6) };
/// // Derived, checked by linear programming.
/// let force = rigid_centre_in_inner(&bar, millimetres(40.0))?.unwrap();
/// assert!((force.value / 60e3 - 1.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_centre_in_inner(
    bar: &TwoSegments,
    arm: Length,
) -> Result<Option<Force>, MechanicsError> {
    let Numbers {
        q1, t, q2, l, e, ..
    } = bar.numbers(arm)?;
    let square = e * e + l * e + l * l / 2.0 - (q1 / q2 - 1.0) * t * (e + t / 2.0);
    let a = square.max(0.0).sqrt() - e;
    if a < t {
        Ok(None)
    } else {
        force(q1 * t + q2 * (2.0 * a - t - l))
    }
}

/// The bar turns rigidly about a centre in the outer segment.
///
/// # Equation
///
/// ```text
/// a = −e + √( e² + t·e + t²/2 + (q₂/q₁)·[(L − t)·e + (L² − t²)/2] )      P = q₁·(2a − t) − q₂·(L − t)
/// ```
///
/// # Symbols
///
/// As [`rigid_centre_in_inner`].
///
/// # Validity
///
/// `None` unless a ≤ t.
///
/// # Source
///
/// Derived by statics.
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, rigid_centre_in_outer}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, q| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(q),
///     plastic_moment: newton_metres(1e9),
/// };
/// let bar = TwoSegments { outer: piece(80.0, 4e6), inner: piece(60.0, 3e5) };
/// // Derived, checked by linear programming.
/// let force = rigid_centre_in_outer(&bar, millimetres(200.0))?.unwrap();
/// assert!((force.value / 31_284.134 - 1.0).abs() < 1e-7);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_centre_in_outer(
    bar: &TwoSegments,
    arm: Length,
) -> Result<Option<Force>, MechanicsError> {
    let Numbers {
        q1, t, q2, l, e, ..
    } = bar.numbers(arm)?;
    let beyond = q2 / q1 * ((l - t) * e + (l * l - t * t) / 2.0);
    let a = (e * e + t * e + t * t / 2.0 + beyond).sqrt() - e;
    if a > t {
        Ok(None)
    } else {
        force(q1 * (2.0 * a - t) - q2 * (l - t))
    }
}

/// A hinge in the inner segment, the bar beyond it still.
///
/// # Equation
///
/// ```text
/// u = −(e + t) + √( (e + t)² + 2·[M₂ − q₁·t·(e + t/2)]/q₂ )      P = q₁·t + q₂·u
/// ```
///
/// # Symbols
///
/// - u depth of the hinge beyond the step (m)
/// - M₂ plastic moment of the inner segment (N·m); the rest as [`rigid_centre_in_inner`]
///
/// # Validity
///
/// `None` unless 0 ≤ u ≤ L − t.
///
/// # Source
///
/// Derived by statics: the moment is greatest where the shear is zero.
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, hinge_in_inner}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(1e6),
///     plastic_moment: newton_metres(8e3),
/// };
/// let bar = TwoSegments { outer: piece(20.0), inner: piece(400.0) };
/// // Two equal segments are one: P = √(2·M·q) for a force at the face.
/// let force = hinge_in_inner(&bar, millimetres(0.0))?.unwrap();
/// assert!((force.value / (2.0 * 8e3 * 1e6_f64).sqrt() - 1.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hinge_in_inner(bar: &TwoSegments, arm: Length) -> Result<Option<Force>, MechanicsError> {
    let Numbers {
        q1,
        t,
        q2,
        m2,
        l,
        e,
        ..
    } = bar.numbers(arm)?;
    let rest = m2 - q1 * t * (e + t / 2.0);
    let u = ((e + t).powi(2) + 2.0 * rest / q2).max(0.0).sqrt() - (e + t);
    if rest < 0.0 || u > l - t {
        Ok(None)
    } else {
        force(q1 * t + q2 * u)
    }
}

/// A hinge at the step, the outer segment bearing fully, the inner one still.
///
/// # Equation
///
/// ```text
/// P = (M + q₁·t²/2)/(e + t)      M = min(M₁, M₂)
/// ```
///
/// # Symbols
///
/// - M₁, M₂ plastic moments of the outer and inner segment (N·m); the rest as [`rigid_centre_in_inner`]
///
/// # Validity
///
/// Always a mechanism.
///
/// # Source
///
/// Derived by statics.
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, hinge_at_step}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, q, m| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(q),
///     plastic_moment: newton_metres(m),
/// };
/// let bar = TwoSegments { outer: piece(30.0, 3e6, 6e4), inner: piece(170.0, 1.2e6, 8e3) };
/// // Derived, checked by linear programming.
/// let force = hinge_at_step(&bar, millimetres(80.0))?.unwrap();
/// assert!((force.value / 85e3 - 1.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hinge_at_step(bar: &TwoSegments, arm: Length) -> Result<Option<Force>, MechanicsError> {
    let Numbers {
        q1, m1, t, m2, e, ..
    } = bar.numbers(arm)?;
    force((m1.min(m2) + q1 * t * t / 2.0) / (e + t))
}

/// A hinge at the step, the inner segment pushed back: as a whole, or up to a second hinge.
///
/// # Equation
///
/// ```text
/// V = min( q₂·[2·√(L₂²/2 + M/q₂) − L₂],  √(2·q₂·(M + M₂)) )      M = min(M₁, M₂)
/// c = −e + √( e² + t·e + t²/2 + [V·(e + t) + M]/q₁ )               P = q₁·(2c − t) − V
/// ```
///
/// # Symbols
///
/// - V shear with which the inner segment is pushed back (N), L₂ = L − t its length (m)
/// - c centre of the outer segment (m)
/// - M₁, M₂ plastic moments of the outer and inner segment (N·m); the rest as [`rigid_centre_in_inner`]
///
/// # Validity
///
/// `None` unless c ≤ t and M ≤ q₂·L₂²/2.
///
/// # Source
///
/// Derived by statics.
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, hinge_at_step_inner_pushed_back}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, q, m| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(q),
///     plastic_moment: newton_metres(m),
/// };
/// // V = 2·√(M₂·q₂) = 40 kN, c = √(t²/2 + (V·t + M₂)/q₁) for a force at the face.
/// let bar = TwoSegments { outer: piece(100.0, 5e6, 1e9), inner: piece(300.0, 1e6, 400.0) };
/// let force = hinge_at_step_inner_pushed_back(&bar, millimetres(0.0))?.unwrap();
/// let c = (0.005 + 4400.0 / 5e6_f64).sqrt();
/// assert!((force.value - (5e6 * (2.0 * c - 0.1) - 40e3)).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hinge_at_step_inner_pushed_back(
    bar: &TwoSegments,
    arm: Length,
) -> Result<Option<Force>, MechanicsError> {
    let Numbers {
        q1,
        m1,
        t,
        q2,
        m2,
        l,
        e,
    } = bar.numbers(arm)?;
    let (m, l2) = (m1.min(m2), l - t);
    let whole = q2 * (2.0 * (l2 * l2 / 2.0 + m / q2).sqrt() - l2);
    let v = whole.min((2.0 * q2 * (m + m2)).sqrt());
    let c = (e * e + t * e + t * t / 2.0 + (v * (e + t) + m) / q1).sqrt() - e;
    if c > t || m > q2 * l2 * l2 / 2.0 {
        Ok(None)
    } else {
        force(q1 * (2.0 * c - t) - v)
    }
}

/// A hinge in the outer segment, the bar beyond it still.
///
/// # Equation
///
/// ```text
/// P = q₁·[ √(e² + 2·M₁/q₁) − e ]      hinge at the depth P/q₁
/// ```
///
/// # Symbols
///
/// - M₁ plastic moment of the outer segment (N·m); the rest as [`rigid_centre_in_inner`]
///
/// # Validity
///
/// `None` unless P/q₁ ≤ t.
///
/// # Source
///
/// Derived by statics; as [`hinge_force`](super::one_segment::hinge_force).
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, hinge_in_outer}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, m| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(1e6),
///     plastic_moment: newton_metres(m),
/// };
/// let bar = TwoSegments { outer: piece(100.0, 200.0), inner: piece(100.0, 800.0) };
/// let force = hinge_in_outer(&bar, millimetres(0.0))?.unwrap();
/// assert!((force.value - 2e4).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hinge_in_outer(bar: &TwoSegments, arm: Length) -> Result<Option<Force>, MechanicsError> {
    let Numbers { q1, m1, t, e, .. } = bar.numbers(arm)?;
    let rest = 2.0 * m1 / q1;
    let depth = rest / ((e * e + rest).sqrt() + e);
    if depth > t {
        Ok(None)
    } else {
        force(q1 * depth)
    }
}

/// The limit load of two segments: the least of their mechanisms.
///
/// # Equation
///
/// ```text
/// P = min over the six mechanisms of this page that exist
/// ```
///
/// # Symbols
///
/// As [`rigid_centre_in_inner`].
///
/// # Validity
///
/// Force alone, outside the face; the arm itself does not yield.
///
/// # Source
///
/// Derived; each mechanism by statics, their completeness as argued in [`mechanism`](super).
///
/// # Errors
///
/// A property that is not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::{PlasticSegment, two_segments::{TwoSegments, limit_force}};
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let piece = |length, q, m| PlasticSegment {
///     length: millimetres(length),
///     resistance: newtons_per_metre(q),
///     plastic_moment: newton_metres(m),
/// };
/// let bar = TwoSegments { outer: piece(30.0, 3e6, 6e4), inner: piece(170.0, 1.2e6, 8e3) };
/// // Derived, checked by linear programming; the hinge at the step governs.
/// let force = limit_force(&bar, millimetres(80.0))?;
/// assert!((force.value / 85e3 - 1.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn limit_force(bar: &TwoSegments, arm: Length) -> Result<Force, MechanicsError> {
    let mechanisms = [
        rigid_centre_in_inner(bar, arm)?,
        rigid_centre_in_outer(bar, arm)?,
        hinge_in_inner(bar, arm)?,
        hinge_at_step(bar, arm)?,
        hinge_at_step_inner_pushed_back(bar, arm)?,
        hinge_in_outer(bar, arm)?,
    ];
    let least = mechanisms
        .into_iter()
        .flatten()
        .map(|force| force.value)
        .reduce(f64::min);
    least.map(newtons).ok_or(MechanicsError::NoSolution {
        what: "a bar without a mechanism",
    })
}
