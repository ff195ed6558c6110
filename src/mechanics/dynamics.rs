//! Loads that move: swings, taut lines and hammocks, things that fall.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{Angle, Force, Length, si};

/// A pull on a point: its size, what of it is horizontal, and how far its line stands from plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// The pull along the rope.
    pub tension: Force,
    /// Its horizontal part.
    pub horizontal: Force,
    /// The angle of the rope from plumb.
    pub from_plumb: Angle,
}

impl Pull {
    /// Its part straight down.
    pub fn down(&self) -> Force {
        self.tension * self.from_plumb.value.cos()
    }

    fn of(tension: Force, from_plumb: Angle) -> Result<Self, MechanicsError> {
        Ok(Self {
            tension: tension.finite("pull of the rope")?,
            horizontal: tension * from_plumb.value.sin(),
            from_plumb,
        })
    }
}

/// Pull of a swing at an angle, once let go at rest from a wider one.
///
/// # Equation
///
/// ```text
/// T = W · (3·cos θ − 2·cos θ₀),   H = T · sin θ
/// ```
///
/// # Symbols
///
/// - `T`: pull along the rope (N)
/// - `H`: its horizontal part (N)
/// - `W`: weight of the rider and the seat (N)
/// - `θ`: angle of the rope from plumb (rad)
/// - `θ₀`: angle from which it is let go (rad)
///
/// # Validity
///
/// A taut, weightless rope, a small rider, no damping, θ ≤ θ₀ ≤ 90°. A rider who pumps, jerks or is pushed pulls more.
///
/// # Source
///
/// Conservation of energy and the pull towards the centre, derived here.
///
/// # Errors
///
/// When the weight is negative or an angle out of range.
///
/// # Example
///
/// Through the lowest point after letting go at 60°: twice the weight.
///
/// ```rust
/// use barkline::mechanics::dynamics::swing_pull;
/// use barkline::units::si::{degrees, newtons};
///
/// let pull = swing_pull(newtons(1000.0), degrees(60.0), degrees(0.0))?;
/// assert!((pull.tension.value - 2000.0).abs() < 1e-9 && pull.horizontal.value == 0.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn swing_pull(weight: Force, release: Angle, at: Angle) -> Result<Pull, MechanicsError> {
    let w = weight.not_negative("weight of the rider")?;
    let release = release_angle(release)?;
    let at = at.between("angle of the rope", si::degrees(0.0), release)?;
    Pull::of(w * (3.0 * at.value.cos() - 2.0 * release.value.cos()), at)
}

/// Largest pull of a swing, at its lowest point.
///
/// # Equation
///
/// ```text
/// T_max = W · (3 − 2·cos θ₀)
/// ```
///
/// # Symbols
///
/// - `T_max`: largest pull along the rope (N)
/// - `W`: weight of the rider and the seat (N)
/// - `θ₀`: angle from which it is let go (rad)
///
/// # Validity
///
/// As [`swing_pull`].
///
/// # Source
///
/// [`swing_pull`] at θ = 0.
///
/// # Errors
///
/// When the weight is negative or the angle not between 0 and 90°.
///
/// # Example
///
/// From the level: three times the weight.
///
/// ```rust
/// use barkline::mechanics::dynamics::swing_peak_tension;
/// use barkline::units::si::{degrees, newtons};
///
/// let pull = swing_peak_tension(newtons(1.0), degrees(90.0))?;
/// assert!((pull.tension.value - 3.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn swing_peak_tension(weight: Force, release: Angle) -> Result<Pull, MechanicsError> {
    swing_pull(weight, release, si::degrees(0.0))
}

/// Largest horizontal pull of a swing, with the pull along the rope at that moment.
///
/// # Equation
///
/// ```text
/// H_max = W · sin θ* · (3·cos θ* − 2·cos θ₀)
/// cos θ* = (cos θ₀ + √(cos²θ₀ + 18))/6,   θ* ≤ θ₀
/// ```
///
/// # Symbols
///
/// - `H_max`: largest horizontal pull (N)
/// - `W`: weight of the rider and the seat (N)
/// - `θ₀`: angle from which it is let go (rad)
/// - `θ*`: angle at which it occurs, where dH/dθ = 0; θ₀ itself up to 30° (rad)
///
/// # Validity
///
/// As [`swing_pull`].
///
/// # Source
///
/// Derived here: dH/dθ = W·(6·cos²θ − 2·cos θ₀·cos θ − 3) = 0.
///
/// # Errors
///
/// When the weight is negative or the angle not between 0 and 90°.
///
/// # Example
///
/// From 60°: 0.840 of the weight, at 37.3° from plumb.
///
/// ```rust
/// use barkline::mechanics::dynamics::swing_peak_horizontal;
/// use barkline::units::si::{degrees, newtons};
///
/// let pull = swing_peak_horizontal(newtons(1.0), degrees(60.0))?;
/// assert!((pull.horizontal.value - 0.840).abs() < 5e-4);
/// assert!(((pull.from_plumb / degrees(1.0)).value - 37.3).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn swing_peak_horizontal(weight: Force, release: Angle) -> Result<Pull, MechanicsError> {
    let c = release_angle(release)?.value.cos();
    let cosine = (c + (c * c + 18.0).sqrt()) / 6.0;
    let at = si::radians(cosine.min(1.0).acos()).min(release);
    swing_pull(weight, release, at)
}

fn release_angle(release: Angle) -> Result<Angle, MechanicsError> {
    release.between("angle of letting go", si::degrees(0.0), super::RIGHT_ANGLE)
}

/// Pull of a line with a load at its middle on the points that hold it: a hammock, a rope between stems.
///
/// # Equation
///
/// ```text
/// T = W/(2·sin φ),   H = W/(2·tan φ),   tan φ = 2·f/l
/// ```
///
/// # Symbols
///
/// - `T`: pull along the line at each end (N)
/// - `H`: its horizontal part (N)
/// - `W`: load at the middle (N)
/// - `φ`: angle of the line below the level (rad)
/// - `l`: distance between its ends, on one level (m)
/// - `f`: sag under the load (m)
///
/// # Validity
///
/// A weightless line with straight halves, at rest, the load at its middle. The sag is that under load: a line that does
/// not stretch and is drawn tight has no bound on its pull.
///
/// # Source
///
/// Statics; the equation of T as in a rescue manual of Arboriculture Australia, p. 128.
///
/// # Errors
///
/// When the load is negative, or a length not positive.
///
/// # Example
///
/// 10° below the level: 2.88 times the load.
///
/// ```rust
/// use barkline::mechanics::dynamics::taut_line;
/// use barkline::units::si::{metres, newtons};
///
/// let sag = metres(0.5 * 10.0_f64.to_radians().tan());
/// let pull = taut_line(newtons(1.0), metres(1.0), sag)?;
/// assert!((pull.tension.value - 2.879).abs() < 1e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn taut_line(load: Force, span: Length, sag: Length) -> Result<Pull, MechanicsError> {
    let w = load.not_negative("load on the line")?;
    let span = span.positive("span of the line")?;
    let slope = (2.0 * sag.positive("sag of the line")? / span).value;
    let phi = slope.finite("slope of the line")?.atan();
    let tension = w / (2.0 * phi.sin().positive("slope of the line")?);
    Pull::of(tension, super::RIGHT_ANGLE - si::radians(phi))
}

/// Force of a load that falls on something springy, over its weight.
///
/// # Equation
///
/// ```text
/// F/W = 1 + √(1 + 2·h/δ)
/// ```
///
/// # Symbols
///
/// - `F/W`: largest force over the weight (1)
/// - `h`: fall before it touches (m)
/// - `δ`: deflection under the weight at rest (m)
///
/// # Validity
///
/// Linear support, no loss, the support light beside the load. At h = 0, a load let go suddenly, it is 2.
///
/// # Source
///
/// Classical, from the balance of energy.
///
/// # Errors
///
/// When the fall is negative or the deflection not positive.
///
/// # Example
///
/// A fall of four times the deflection at rest: 1 + √9 = 4.
///
/// ```rust
/// use barkline::mechanics::dynamics::falling_factor;
/// use barkline::units::si::millimetres;
///
/// assert!((falling_factor(millimetres(40.0), millimetres(10.0))? - 4.0).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn falling_factor(fall: Length, deflection: Length) -> Result<f64, MechanicsError> {
    let h = fall.not_negative("fall")?;
    let ratio = (h / deflection.positive("deflection at rest")?).value;
    (1.0 + (1.0 + 2.0 * ratio).sqrt()).finite("factor of a falling load")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{degrees, metres, newtons, radians};
    use proptest::prelude::*;

    #[test]
    fn up_to_thirty_degrees_the_side_pull_is_largest_at_the_turn() {
        for release in [1.0, 15.0, 29.9, 30.0] {
            let pull = swing_peak_horizontal(newtons(1.0), degrees(release)).unwrap();
            assert!((pull.from_plumb.value - release.to_radians()).abs() < 1e-9);
        }
        let beyond = swing_peak_horizontal(newtons(1.0), degrees(31.0)).unwrap();
        assert!(beyond.from_plumb < degrees(31.0) && beyond.from_plumb > degrees(29.0));
    }

    #[test]
    fn at_rest_a_swing_hangs_by_its_weight() {
        let pull = swing_peak_tension(newtons(900.0), degrees(0.0)).unwrap();
        assert!((pull.tension.value - 900.0).abs() < 1e-9);
        assert!((pull.down().value - 900.0).abs() < 1e-9 && pull.horizontal.value.abs() < 1e-12);
    }

    #[test]
    fn a_let_go_load_weighs_twice() {
        assert!((falling_factor(metres(0.0), metres(0.01)).unwrap() - 2.0).abs() < 1e-12);
        assert!(falling_factor(metres(-0.1), metres(0.01)).is_err());
        assert!(falling_factor(metres(0.1), metres(0.0)).is_err());
        assert!(falling_factor(metres(1e200), metres(1e-200)).is_err());
    }

    #[test]
    fn what_means_nothing_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(swing_pull(newtons(bad), degrees(60.0), degrees(0.0)).is_err());
            assert!(swing_pull(newtons(1.0), degrees(bad), degrees(0.0)).is_err());
            assert!(taut_line(newtons(bad), metres(1.0), metres(0.1)).is_err());
            assert!(taut_line(newtons(1.0), metres(bad), metres(0.1)).is_err());
            assert!(taut_line(newtons(1.0), metres(1.0), metres(bad)).is_err());
        }
        assert!(swing_peak_tension(newtons(1.0), degrees(90.1)).is_err());
        assert!(swing_pull(newtons(1.0), degrees(30.0), degrees(31.0)).is_err());
        assert!(taut_line(newtons(1.0), metres(1.0), metres(0.0)).is_err());
        assert!(taut_line(newtons(1e300), metres(1e20), metres(1e-20)).is_err());
    }

    proptest! {
        #[test]
        fn no_angle_pulls_sideways_more_than_the_peak(release in 0.01..90.0_f64) {
            let weight = newtons(1.0);
            let peak = swing_peak_horizontal(weight, degrees(release)).unwrap();
            let steps = 2000;
            let brute = (0..=steps)
                .map(|i| radians(release.to_radians() * (f64::from(i) / f64::from(steps)).min(1.0)))
                .map(|at| swing_pull(weight, degrees(release), at.min(degrees(release))).unwrap().horizontal.value)
                .fold(0.0, f64::max);
            prop_assert!(peak.horizontal.value >= brute - 1e-12);
            // The sampled maximum is flat: half a step of at most 0.0008 rad costs less than the square of it.
            prop_assert!(peak.horizontal.value - brute < 1e-6);
        }

        #[test]
        fn both_halves_of_a_line_carry_the_load(span in 0.5..20.0_f64, sag in 0.01..5.0_f64, load in 1.0..5e3_f64) {
            let pull = taut_line(newtons(load), metres(span), metres(sag)).unwrap();
            prop_assert!((2.0 * pull.down().value - load).abs() < 1e-6 * load);
            let expected = load * span / (4.0 * sag);
            prop_assert!((pull.horizontal.value - expected).abs() < 1e-9 * expected);
            prop_assert!((pull.tension.value - pull.down().value.hypot(pull.horizontal.value)).abs() < 1e-9 * pull.tension.value);
        }
    }
}
