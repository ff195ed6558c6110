//! What the wind does to a tree: drag of a crown that gives way, the moment on a tree inside a stand, and what its own weight adds.

use crate::mechanics::guard::Guard;
use crate::mechanics::{MechanicsError, Range};
use crate::units::{Area, Density, Force, Length, Moment, Speed, si};

/// Wind below which a crown is taken as it is at this speed.
pub const STREAMLINED_FROM: Speed = si::metres_per_second(10.0);

/// Wind speeds up to which the drag of conifers and of hardwoods was measured.
pub const MEASURED_TO: Range<Speed> = Range {
    low: si::metres_per_second(20.0),
    high: si::metres_per_second(25.0),
};

/// Drag coefficient of a crown that streamlines in the wind, on the area it has in still air.
///
/// # Equation
///
/// ```text
/// C_d = C · u^(−N),   u not below 10 m/s and not above the limit of the tests
/// ```
///
/// # Symbols
///
/// - `C_d`: drag coefficient on the crown's area in still air (1)
/// - `C`, `N`: constants of the species (with `u` in m/s)
/// - `u`: wind speed (m/s)
///
/// # Validity
///
/// Wind tunnel tests of young crowns from 10 m/s to 20 (hardwoods) or 25 m/s (conifers). Above, the coefficient stays what it is at the
/// limit, so that the force grows with u² again: on the safe side, since a crown that has folded up has no more to give.
///
/// # Source
///
/// Constants and limits: ForestGALES, R package fgr (Locatelli and others 2022). At 20 m/s 0.15 to 0.22 was measured on hardwoods
/// (Vollsinger and others 2005).
///
/// # Errors
///
/// When a number is not finite, the speed or the exponent negative, or `C` or the limit not positive.
///
/// # Example
///
/// Oak at 20 m/s: 0.211.
///
/// ```rust
/// use barkline::mechanics::sway::wind::drag_coefficient;
/// use barkline::units::si::metres_per_second;
///
/// let limit = metres_per_second(20.0);
/// let oak = |u: f64| drag_coefficient(2.6575, 0.846, limit, metres_per_second(u));
/// assert!((oak(20.0)? - 0.211).abs() < 5e-4);
/// assert_eq!(oak(35.0)?, oak(20.0)?);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn drag_coefficient(
    constant: f64,
    exponent: f64,
    limit: Speed,
    speed: Speed,
) -> Result<f64, MechanicsError> {
    let limit = limit.positive("limit of the wind speed")?;
    let u = speed
        .not_negative("wind speed")?
        .max(STREAMLINED_FROM)
        .min(limit);
    let power = u.value.powf(-exponent.not_negative("drag exponent")?);
    (constant.positive("drag constant")? * power).finite("drag coefficient")
}

/// Force of the wind on a crown.
///
/// # Equation
///
/// ```text
/// F = ½ · ρ · A₀ · u² · C_d
/// ```
///
/// # Symbols
///
/// - `F`: force (N)
/// - `ρ`: density of air (kg/m³)
/// - `A₀`: area of the crown in still air, seen along the wind (m²)
/// - `u`: wind speed at the crown, of a gust where the movement in a gust is asked for (m/s)
/// - `C_d`: [`drag_coefficient`] (1)
///
/// # Validity
///
/// A tree in the open, or the part of it above its neighbours. Steady wind: swinging in step with gusts is not in it.
///
/// # Source
///
/// Drag of a bluff body; its use with the area in still air from memory.
///
/// # Errors
///
/// When a number is not finite or negative, or the density not positive.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::sway::wind::crown_drag;
/// use barkline::units::si::{kilograms_per_cubic_metre, metres_per_second, square_metres};
///
/// let force = crown_drag(kilograms_per_cubic_metre(1.25), square_metres(40.0), metres_per_second(20.0), 0.211)?;
/// assert!((force.value - 0.5 * 1.25 * 40.0 * 400.0 * 0.211).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn crown_drag(
    air: Density,
    area: Area,
    speed: Speed,
    coefficient: f64,
) -> Result<Force, MechanicsError> {
    let u = speed.not_negative("wind speed")?;
    let pressure = air.positive("density of air")? * u * u / 2.0;
    (pressure
        * area.not_negative("area of the crown")?
        * coefficient.not_negative("drag coefficient")?)
    .finite("force on the crown")
}

/// The constant of the regression (kg/m³).
const TURNING_MOMENT: Density = si::kilograms_per_cubic_metre(111.91);

/// The largest moment in an hour at the foot of a tree inside a stand.
///
/// # Equation
///
/// ```text
/// M = 111.91 · DBH² · H · u²
/// ```
///
/// # Symbols
///
/// - `M`: largest turning moment within the hour, gusts included (N·m; that gusts are in it: from memory)
/// - `DBH`: diameter at breast height (m)
/// - `H`: height of the tree (m)
/// - `u`: mean wind speed of the hour at the top of the canopy (m/s; from memory)
///
/// # Validity
///
/// Trees among others, mostly conifers, without competition beyond the ordinary. At edges, in gaps and in the open it is more.
///
/// # Source
///
/// ForestGALES, R package fgr (Locatelli and others 2022). S. E. Hale and others give 117.3 (from memory).
///
/// # Errors
///
/// When a number is not finite, a length not positive, or the speed negative.
///
/// # Example
///
/// 0.5 m and 20 m in 10 m/s: 55.96 kN·m.
///
/// ```rust
/// use barkline::mechanics::sway::wind::turning_moment_in_stand;
/// use barkline::units::si::{metres, metres_per_second};
///
/// let moment = turning_moment_in_stand(metres(0.5), metres(20.0), metres_per_second(10.0))?;
/// assert!((moment.value - 55.96e3).abs() < 15.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn turning_moment_in_stand(
    breast_diameter: Length,
    height: Length,
    speed: Speed,
) -> Result<Moment, MechanicsError> {
    let d = breast_diameter.positive("diameter at breast height")?;
    let u = speed.not_negative("wind speed")?;
    (TURNING_MOMENT * d * d * height.positive("height of the tree")? * u * u)
        .finite("turning moment")
}

/// How much the weight of a tree that leans in the wind adds to its movement.
///
/// # Equation
///
/// ```text
/// DLF = 1 / {1 − [d₁·W_c + d₂·W_s]/M}
/// ```
///
/// # Symbols
///
/// - `DLF`: factor on movement and moment (1)
/// - `d₁`: movement at the middle of the crown, with what it stands off already (m)
/// - `W_c`: weight of the crown (N)
/// - `d₂`: movement of the stem at three quarters of the way down from the top (m)
/// - `W_s`: weight of the stem (N)
/// - `M`: moment of the wind at the ground that gives these movements (N·m)
///
/// # Validity
///
/// Well below the moment at which the tree falls by its own weight: the factor has no value there.
///
/// # Source
///
/// ForestGALES, R package fgr (Locatelli and others 2022).
///
/// # Errors
///
/// When a number is not finite, one is negative, the moment not positive, or the weight alone would bring the tree down.
///
/// # Example
///
/// A crown of 3.4 kN moved by 0.33 m and a stem of 13.7 kN by 0.04 m, under 56 kN·m:
///
/// ```rust
/// use barkline::mechanics::sway::wind::self_weight_factor;
/// use barkline::units::si::{metres, newton_metres, newtons};
///
/// let factor = self_weight_factor(newton_metres(56e3), (newtons(3.4e3), metres(0.33)), (newtons(13.7e3), metres(0.04)))?;
/// assert!((factor - 1.031).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn self_weight_factor(
    moment: Moment,
    crown: (Force, Length),
    stem: (Force, Length),
) -> Result<f64, MechanicsError> {
    let part = |(weight, moved): (Force, Length)| {
        Ok::<_, MechanicsError>(
            weight.not_negative("weight of the tree")? * moved.not_negative("movement")?,
        )
    };
    let share = (part(crown)? + part(stem)?) / moment.positive("moment of the wind")?;
    if share.value < 1.0 {
        (1.0 / (1.0 - share.value)).finite("factor of the weight")
    } else {
        Err(MechanicsError::NoSolution {
            what: "the tree would fall by its own weight",
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{
        kilograms_per_cubic_metre, metres, metres_per_second, newton_metres, newtons, square_metres,
    };
    use proptest::prelude::*;

    /// Douglas-fir.
    fn fir(u: f64) -> f64 {
        let c = drag_coefficient(2.4, 0.7, MEASURED_TO.high, metres_per_second(u)).unwrap();
        crown_drag(
            kilograms_per_cubic_metre(1.25),
            square_metres(40.0),
            metres_per_second(u),
            c,
        )
        .unwrap()
        .value
    }

    #[test]
    fn the_force_streamlines_between_the_limits_and_is_square_outside() {
        for (a, b, power) in [(2.0_f64, 9.0, 2.0), (11.0, 24.0, 1.3), (26.0, 50.0, 2.0)] {
            let slope = (fir(b) / fir(a)).ln() / (b / a).ln();
            assert!((slope - power).abs() < 1e-9, "{a} to {b}: {slope}");
        }
    }

    #[test]
    fn a_tree_near_falling_is_refused() {
        let at = |moved: f64| {
            let (still, weight) = ((newtons(0.0), metres(0.0)), newtons(1e3));
            self_weight_factor(newton_metres(1e3), (weight, metres(moved)), still)
        };
        assert!((at(0.5).unwrap() - 2.0).abs() < 1e-12);
        assert!(at(1.0).is_err() && at(1.5).is_err() && at(f64::NAN).is_err());
        assert!(at(-0.1).is_err());
    }

    proptest! {
        #[test]
        fn more_wind_never_pushes_less(u in 0.0..60.0_f64, more in 0.0..20.0_f64) {
            prop_assert!(fir(u + more) >= fir(u));
            let moment = |u: f64| turning_moment_in_stand(metres(0.5), metres(20.0), metres_per_second(u)).unwrap();
            prop_assert!(moment(u + more) >= moment(u));
        }
    }
}
