//! Closed forms for one uniform embedded length, loaded by a force outside the face.
//!
//! The lesser of [`rigid_rotation_force`] and [`hinge_force`] is the limit load.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::si::{metres, newtons};
use crate::units::{Force, Length, LineLoad, Moment};

fn resistance(q: LineLoad) -> Result<f64, MechanicsError> {
    q.positive("the resistance of the wood")
        .map(|given| given.value)
}

fn embedment(length: Length) -> Result<f64, MechanicsError> {
    length
        .positive("the embedded length")
        .map(|given| given.value)
}

fn plastic(moment: Moment) -> Result<f64, MechanicsError> {
    moment
        .positive("the plastic moment")
        .map(|given| given.value)
}

fn lever(arm: Length) -> Result<f64, MechanicsError> {
    arm.not_negative("the arm of the force")
        .map(|given| given.value)
}

fn force(value: f64) -> Result<Force, MechanicsError> {
    value.finite("the limit load").map(newtons)
}

/// The force that turns a rigid bar in the wood.
///
/// # Equation
///
/// ```text
/// P = q·[ √((2e + L)² + L²) − (2e + L) ]
/// ```
///
/// # Symbols
///
/// - q resistance of the wood per length (N/m)
/// - L embedded length (m), e arm of the force outside the face (m)
///
/// # Validity
///
/// Uniform resistance on both sides of the bar; the limit load if [`hinge_force`] is no less.
///
/// # Source
///
/// Derived by statics. The same as yield mode II of AWC TR12 *General Dowel Equations* with the side member's terms
/// replaced by the arm, and as Broms' short free-headed pile in cohesive soil (1964). With e = 0 it is (√2 − 1)·q·L,
/// which EN 1995-1-1 expression (8.9a) rounds to 0.4·q·L.
///
/// # Errors
///
/// q or L not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::rigid_rotation_force;
/// use barkline::units::si::{millimetres, newtons_per_metre};
///
/// let (q, length) = (newtons_per_metre(1e6), millimetres(100.0));
/// let force = rigid_rotation_force(q, length, millimetres(0.0))?;
/// assert!((force.value / 1e5 - (2f64.sqrt() - 1.0)).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_rotation_force(
    q: LineLoad,
    length: Length,
    arm: Length,
) -> Result<Force, MechanicsError> {
    let (q, l, e) = (resistance(q)?, embedment(length)?, lever(arm)?);
    let reach = 2.0 * e + l;
    // √(r² + L²) − r, without the cancellation of a long arm.
    force(q * l * l / (reach.hypot(l) + reach))
}

/// The depth about which a rigid bar turns in the wood at its limit load.
///
/// # Equation
///
/// ```text
/// a = −e + √(e² + L·e + L²/2)
/// ```
///
/// # Symbols
///
/// - L embedded length (m), e arm of the force outside the face (m)
///
/// # Validity
///
/// As [`rigid_rotation_force`].
///
/// # Source
///
/// Derived by statics: the resistance +q down to a and −q beyond balance the force and its moment.
///
/// # Errors
///
/// L not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::rigid_rotation_centre;
/// use barkline::units::si::millimetres;
///
/// let centre = rigid_rotation_centre(millimetres(100.0), millimetres(0.0))?;
/// assert!((centre.value * 1e3 - 100.0 / 2f64.sqrt()).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_rotation_centre(length: Length, arm: Length) -> Result<Length, MechanicsError> {
    let (l, e) = (embedment(length)?, lever(arm)?);
    let share = l * e + l * l / 2.0;
    (share / (e + (e * e + share).sqrt()))
        .finite("the centre of rotation")
        .map(metres)
}

/// The force that forms a plastic hinge in a bar embedded deeply enough to hold still beyond it.
///
/// # Equation
///
/// ```text
/// P = q·[ √(e² + 2·M_p/q) − e ]      hinge at the depth P/q
/// ```
///
/// # Symbols
///
/// - q resistance of the wood per length (N/m)
/// - M_p plastic moment of the bar (N·m), e arm of the force outside the face (m)
///
/// # Validity
///
/// Embedded at least [`critical_length`].
///
/// # Source
///
/// Derived by statics. The same as yield modes III and IV of AWC TR12 *General Dowel Equations* with one member, and as
/// Broms' long free-headed pile in cohesive soil (1964).
///
/// # Errors
///
/// q or M_p not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::hinge_force;
/// use barkline::units::si::{megapascals, millimetres};
///
/// // d = 38 mm, f = 30 MPa, F_y = 345 MPa, e = 75 mm (derived, checked by linear programming).
/// let d = millimetres(38.0);
/// let force = hinge_force(megapascals(30.0) * d, megapascals(345.0) * (d * d * d / 6.0), millimetres(75.0))?;
/// assert!((force.value / 34_932.426 - 1.0).abs() < 1e-7);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hinge_force(
    q: LineLoad,
    plastic_moment: Moment,
    arm: Length,
) -> Result<Force, MechanicsError> {
    let (q, m, e) = (resistance(q)?, plastic(plastic_moment)?, lever(arm)?);
    let rest = 2.0 * m / q;
    force(q * rest / ((e * e + rest).sqrt() + e))
}

/// The embedded length beyond which a longer bar is no stronger.
///
/// # Equation
///
/// ```text
/// L_crit = P_hinge/q + 2·√(M_p/q)
/// ```
///
/// # Symbols
///
/// - q resistance of the wood per length (N/m), M_p plastic moment of the bar (N·m)
/// - P_hinge the force of [`hinge_force`] (N), with its arm e (m)
///
/// # Validity
///
/// Uniform bar, force outside the face.
///
/// # Source
///
/// Derived by statics: beyond the hinge, M_p dies out in two blocks of resistance, each √(M_p/q) long.
///
/// # Errors
///
/// q or M_p not a positive finite number, e negative or not finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::critical_length;
/// use barkline::units::si::{megapascals, millimetres};
///
/// // d = 38 mm, f = 30 MPa, F_y = 345 MPa, e = 75 mm (derived, checked by linear programming).
/// let d = millimetres(38.0);
/// let length = critical_length(megapascals(30.0) * d, megapascals(345.0) * (d * d * d / 6.0), millimetres(75.0))?;
/// assert!((length.value * 1e3 / 135.859_71 - 1.0).abs() < 1e-7);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn critical_length(
    q: LineLoad,
    plastic_moment: Moment,
    arm: Length,
) -> Result<Length, MechanicsError> {
    let depth = hinge_force(q, plastic_moment, arm)? / q;
    let beyond = 2.0 * (plastic_moment.value / q.value).sqrt();
    (depth.value + beyond)
        .finite("the critical length")
        .map(metres)
}

/// The force at the face on a bar whose head is held against rotation by a hinge at the face.
///
/// # Equation
///
/// ```text
/// P = q·L·[ √(2 + 4·M_p/(q·L²)) − 1 ]
/// ```
///
/// # Symbols
///
/// - q resistance of the wood per length (N/m), L embedded length (m)
/// - M_p plastic moment of the bar (N·m)
///
/// # Validity
///
/// M_p ≤ q·L²/2, so that the centre lies in the wood; the limit load if [`held_head_two_hinges_force`] is no less.
///
/// # Source
///
/// EN 1995-1-1:2004, expressions (8.10), thick steel plate, without rope effect.
///
/// # Errors
///
/// q, L or M_p not a positive finite number, or M_p > q·L²/2.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::held_head_force;
/// use barkline::units::si::{millimetres, newton_metres, newtons_per_metre};
///
/// let (q, length) = (newtons_per_metre(1e6), millimetres(100.0));
/// // M_p = q·L²/2: the bar is pushed sideways as a whole.
/// let force = held_head_force(q, length, newton_metres(5e3))?;
/// assert!((force.value - 1e5).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn held_head_force(
    q: LineLoad,
    length: Length,
    plastic_moment: Moment,
) -> Result<Force, MechanicsError> {
    let (q, l, m) = (resistance(q)?, embedment(length)?, plastic(plastic_moment)?);
    if m > q * l * l / 2.0 {
        return Err(MechanicsError::NoSolution {
            what: "the bar is pushed sideways before its head yields",
        });
    }
    force(q * l * ((2.0 + 4.0 * m / (q * l * l)).sqrt() - 1.0))
}

/// The force at the face on a long bar with one hinge at the face and one in the wood.
///
/// # Equation
///
/// ```text
/// P = 2·√(M_p·q)
/// ```
///
/// # Symbols
///
/// - q resistance of the wood per length (N/m), M_p plastic moment of the bar (N·m)
///
/// # Validity
///
/// Embedded at least 4·√(M_p/q).
///
/// # Source
///
/// EN 1995-1-1:2004, expressions (8.10), thick steel plate, without rope effect and without its factor 1.15.
///
/// # Errors
///
/// q or M_p not a positive finite number.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::mechanism::one_segment::held_head_two_hinges_force;
/// use barkline::units::si::{newton_metres, newtons_per_metre};
///
/// let force = held_head_two_hinges_force(newtons_per_metre(1e6), newton_metres(400.0))?;
/// assert!((force.value - 4e4).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn held_head_two_hinges_force(
    q: LineLoad,
    plastic_moment: Moment,
) -> Result<Force, MechanicsError> {
    force(2.0 * (plastic(plastic_moment)? * resistance(q)?).sqrt())
}
