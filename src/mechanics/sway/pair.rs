//! Two stems and a beam between them: how far they move against each other, and what it costs to forbid it.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{Force, Length, Stiffness};

/// How far two stems move against each other, by how their movements go together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelativeMovement {
    /// Both the same way at the same time.
    pub in_phase: Length,
    /// Without regard to each other.
    pub uncorrelated: Length,
    /// Each away from the other at the same time.
    pub opposed: Length,
}

/// How far two stems move against each other.
///
/// # Equation
///
/// ```text
/// in phase      |y₁ − y₂|
/// uncorrelated  √(y₁² + y₂²)
/// opposed       y₁ + y₂
/// ```
///
/// # Symbols
///
/// - `y₁`, `y₂`: peak movement of each at the beam (m)
///
/// # Validity
///
/// Bounds, not statistics: none were found for pairs of trees. Stems of different frequency drift in and out of step, so that the opposed
/// case will happen: clearances take it.
///
/// # Source
///
/// Geometry, and the sum of squares for movements that know nothing of each other.
///
/// # Errors
///
/// When a movement is negative or not finite.
///
/// # Example
///
/// Two stems of 27 mm each: 0, 38, 54 mm.
///
/// ```rust
/// use barkline::mechanics::sway::pair::relative_movement;
/// use barkline::units::si::millimetres;
///
/// let apart = relative_movement(millimetres(27.0), millimetres(27.0))?;
/// assert!((apart.uncorrelated - millimetres(38.0)).abs() < millimetres(0.5));
/// assert!((apart.opposed - millimetres(54.0)).abs() < millimetres(1e-9));
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn relative_movement(
    first: Length,
    second: Length,
) -> Result<RelativeMovement, MechanicsError> {
    let (a, b) = (
        first.not_negative("movement")?,
        second.not_negative("movement")?,
    );
    Ok(RelativeMovement {
        in_phase: (a - b).abs(),
        uncorrelated: a.hypot(b).finite("movement")?,
        opposed: (a + b).finite("movement")?,
    })
}

/// Force in a beam that ties two stems rigidly together.
///
/// # Equation
///
/// ```text
/// F = δ / Σ (1/k)
/// ```
///
/// # Symbols
///
/// - `F`: force along the beam (N)
/// - `δ`: movement of the stems against each other if nothing tied them (m)
/// - `k`: stiffness of each part in the chain: stem, anchor, anchor, stem (N/m)
///
/// # Validity
///
/// Slow movement, linear parts, a beam that does not shorten or buckle.
///
/// # Source
///
/// Springs in series.
///
/// # Errors
///
/// When a number is not finite, the movement negative, a stiffness not positive, or there is none.
///
/// # Example
///
/// Two trees of 0.63 kN/mm that would part by 54 mm: 17 kN, with stiff anchors.
///
/// ```rust
/// use barkline::mechanics::sway::pair::locked_in_force;
/// use barkline::units::si::{millimetres, newtons_per_metre};
///
/// let tree = newtons_per_metre(0.63e6);
/// let force = locked_in_force(millimetres(54.0), &[tree, tree])?;
/// assert!((force.value / 1e3 - 17.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn locked_in_force(movement: Length, chain: &[Stiffness]) -> Result<Force, MechanicsError> {
    let mut flexibility = 0.0;
    for stiffness in chain {
        flexibility += 1.0 / stiffness.positive("stiffness")?.value;
    }
    let flexibility = flexibility
        .positive("flexibility of the chain")?
        .finite("flexibility of the chain")?;
    let one = crate::units::si::newtons_per_metre(1.0);
    (movement.not_negative("movement")? * one / flexibility).finite("force in the beam")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, newtons_per_metre};
    use proptest::prelude::*;

    #[test]
    fn nothing_to_tie_and_what_means_nothing_are_refused() {
        assert!(locked_in_force(metres(0.1), &[]).is_err());
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(locked_in_force(metres(0.1), &[newtons_per_metre(bad)]).is_err());
        }
        assert!(locked_in_force(metres(-0.1), &[newtons_per_metre(1.0)]).is_err());
        assert!(relative_movement(metres(-0.1), metres(0.1)).is_err());
    }

    #[test]
    fn springs_in_series_share_the_movement() {
        let k = [2e5, 5e5, 4e5, 1e5].map(newtons_per_metre);
        let force = locked_in_force(metres(0.05), &k).unwrap();
        let moved: f64 = k.iter().map(|k| (force / *k).value).sum();
        assert!((moved - 0.05).abs() < 1e-15);
        assert!((force.value - 0.05 / (5e-6 + 2e-6 + 2.5e-6 + 1e-5)).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn the_three_cases_stand_in_order(a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
            let apart = relative_movement(metres(a), metres(b)).unwrap();
            prop_assert!(apart.in_phase <= apart.uncorrelated && apart.uncorrelated <= apart.opposed);
            prop_assert_eq!(apart, relative_movement(metres(b), metres(a)).unwrap());
        }
    }
}
