//! People: how a crowd sways a deck, how those at its edge push on the guard, how a rider pulls on a swing.

use super::LoadError;
use crate::mechanics::MechanicsError;
use crate::mechanics::dynamics::{Pull, swing_peak_horizontal, swing_peak_tension};
use crate::model::Origin;
use crate::tables;
use crate::units::{Angle, Area, AreaLoad, Force, LineLoad};

/// The sideways force of people on a deck: in any direction, at the level of its boards, spread over its area.
///
/// The pressure is the criterion `people_side`, 12 psf by tests of people who sway and stop together.
///
/// # Errors
/// When a number is negative or not finite.
///
/// ```rust
/// use barkline::loads::people::side_force;
/// use barkline::units::us::{feet, pounds_force, psf};
///
/// let force = side_force(feet(12.0) * feet(12.0), psf(12.0))?;
/// assert!((force - pounds_force(1728.0)).value.abs() < 1e-6);
/// # Ok::<(), barkline::loads::LoadError>(())
/// ```
pub fn side_force(area: Area, pressure: AreaLoad) -> Result<Force, LoadError> {
    let sound = |value: f64, what: &'static str, unit: &'static str| {
        if !value.is_finite() {
            Err(MechanicsError::NotFinite { what })
        } else if value < 0.0 {
            Err(MechanicsError::Negative { what, value, unit })
        } else {
            Ok(())
        }
    };
    sound(area.value, "area of the deck", " m²")?;
    sound(pressure.value, "sideways load of people", " Pa")?;
    let force = area * pressure;
    sound(force.value, "sideways force of people", " N")?;
    Ok(force)
}

/// What people put on a guard: not at the same time, and not with the wind on it.
#[derive(Debug, Clone, PartialEq)]
pub struct GuardPush {
    /// Along its top, in any direction.
    pub line: LineLoad,
    /// Or on one spot of its top, in any direction.
    pub point: Force,
    /// Or on one square foot of its infill, outward.
    pub infill: Force,
    /// Where the loads on the top come from.
    pub origin: Origin,
    /// Where the load on the infill comes from.
    pub infill_origin: Origin,
}

/// The push of people on a guard, from the table of live loads.
///
/// # Errors
/// When a table is broken.
///
/// ```rust
/// use barkline::loads::people::guard_push;
/// use barkline::units::us::{plf, pounds_force};
///
/// let push = guard_push()?;
/// assert_eq!((push.line, push.point), (plf(50.0), pounds_force(200.0)));
/// # Ok::<(), barkline::loads::LoadError>(())
/// ```
pub fn guard_push() -> Result<GuardPush, LoadError> {
    let (top, infill) = (
        tables::live_load("guard")?,
        tables::live_load("guard-infill")?,
    );
    Ok(GuardPush {
        line: top.line.ok_or(LoadError::Empty("guard"))?,
        point: top.concentrated.ok_or(LoadError::Empty("guard"))?,
        infill: infill
            .concentrated
            .ok_or(LoadError::Empty("guard-infill"))?,
        origin: Origin::from(top.reference()),
        infill_origin: Origin::from(infill.reference()),
    })
}

/// The two pulls of a swing that matter: the largest, straight down, and that with the largest horizontal part, which
/// acts either way in the plane of the swing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwingPulls {
    /// At the lowest point.
    pub down: Pull,
    /// Where the horizontal part is largest.
    pub side: Pull,
}

/// The pulls of a rider who swings up to an angle, times the criterion `swing_jerk`.
///
/// # Errors
/// When the weight is negative, the angle not between 0 and 90°, or the factor below 1.
///
/// ```rust
/// use barkline::loads::people::swing_pulls;
/// use barkline::units::{si::degrees, us::pounds_force};
///
/// let pulls = swing_pulls(pounds_force(250.0), degrees(60.0), 1.5)?;
/// assert!((pulls.down.tension - pounds_force(750.0)).value.abs() < 1e-6);
/// assert!(((pulls.side.horizontal / pounds_force(1.0)).value - 1.5 * 0.840 * 250.0).abs() < 0.2);
/// # Ok::<(), barkline::loads::LoadError>(())
/// ```
pub fn swing_pulls(rider: Force, release: Angle, jerk: f64) -> Result<SwingPulls, LoadError> {
    if !(jerk.is_finite() && jerk >= 1.0) {
        return Err(LoadError::Mechanics(MechanicsError::OutOfRange {
            what: "factor for jerks",
            value: jerk,
            low: 1.0,
            high: f64::MAX,
            unit: "",
        }));
    }
    Ok(SwingPulls {
        down: swing_peak_tension(rider * jerk, release)?,
        side: swing_peak_horizontal(rider * jerk, release)?,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::model::Standing;
    use crate::units::si::{degrees, newtons, pascals, square_metres};

    #[test]
    fn a_jerk_raises_every_part_of_the_pull() {
        let free = swing_pulls(newtons(900.0), degrees(50.0), 1.0).unwrap();
        let wild = swing_pulls(newtons(900.0), degrees(50.0), 1.4).unwrap();
        for (a, b) in [
            (free.down.tension, wild.down.tension),
            (free.side.tension, wild.side.tension),
            (free.side.horizontal, wild.side.horizontal),
        ] {
            assert!((b.value - 1.4 * a.value).abs() < 1e-9);
        }
        assert!(free.down.tension > free.side.tension);
        assert!(swing_pulls(newtons(900.0), degrees(50.0), 0.9).is_err());
        assert!(swing_pulls(newtons(900.0), degrees(50.0), f64::NAN).is_err());
    }

    #[test]
    fn the_guard_rows_are_read() {
        let push = guard_push().unwrap();
        assert_eq!(push.origin.standing, Standing::Published);
        assert!((push.infill.value - 50.0 * 4.448_221_615_260_5).abs() < 1e-9);
    }

    #[test]
    fn a_deck_without_a_number_is_refused() {
        assert!(side_force(square_metres(-1.0), pascals(1.0)).is_err());
        assert!(side_force(square_metres(1.0), pascals(f64::NAN)).is_err());
        assert!(side_force(square_metres(f64::MAX), pascals(2.0)).is_err());
    }
}
