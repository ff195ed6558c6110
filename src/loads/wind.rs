//! Wind on guards and edges, by ASCE 7-16 and 7-22: of strength level, for the W of their combinations.
//!
//! A guard is open work or a panel across the wind. Nothing is taken off for the shelter of trees, nor for one guard
//! behind another: wind on both sides of a platform is the sum of both.

use super::LoadError;
use crate::mechanics::MechanicsError;
use crate::mechanics::wind::{
    EN_AIR, design_pressure, elevation_factor, exposure_coefficient, force_per_area,
    openings_factor, peak_velocity_pressure, velocity_pressure,
};
use crate::model::{Origin, Standing};
use crate::tables::{self, Factor, WindEdition, WindExposure};
use crate::units::{AreaLoad, Force, Length, LineLoad, Speed, si};

/// The wind of a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindSite {
    /// Basic wind speed of the map, a gust of three seconds.
    pub speed: Speed,
    /// Exposure; woods are B.
    pub exposure: WindExposure,
    /// Edition whose map and profile are meant.
    pub edition: WindEdition,
    /// Elevation of the ground above the sea; zero is on the safe side.
    pub elevation: Length,
    /// Topographic factor K_zt (1): 1 where no hill, ridge or edge speeds up the wind.
    pub topographic: f64,
}

impl WindSite {
    /// A site at the level of the sea, without hills.
    pub const fn new(speed: Speed, exposure: WindExposure, edition: WindEdition) -> Self {
        Self {
            speed,
            exposure,
            edition,
            elevation: si::metres(0.0),
            topographic: 1.0,
        }
    }

    /// Velocity pressure with the directionality factor at a height above the ground.
    ///
    /// # Errors
    /// When a number has no meaning, or a table is broken.
    pub fn pressure(&self, height: Length) -> Result<AreaLoad, LoadError> {
        let row = tables::wind_profile(self.edition, self.exposure)?;
        let kz = exposure_coefficient(row.coefficient, row.alpha, row.gradient, height)?;
        let ke = elevation_factor(self.elevation)?;
        let q = velocity_pressure(self.speed, kz, self.topographic, ke)?;
        Ok(design_pressure(q, number("directionality")?)?)
    }
}

/// A guard, or any other screen, straight and across the wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guard {
    /// Its length.
    pub length: Length,
    /// Its height, foot to top.
    pub height: Length,
    /// Solid area over gross area (1): 1 for boards without gaps.
    pub solidity: f64,
    /// Height of its foot above the ground.
    pub level: Length,
}

/// The force of the wind on a guard or an edge.
#[derive(Debug, Clone, PartialEq)]
pub struct WindForce {
    /// Per length, horizontal, normal to it, either way.
    pub per_length: LineLoad,
    /// On all of it.
    pub total: Force,
    /// Height of its line of action above the foot.
    pub above_foot: Length,
    /// Force coefficient on the gross area (1).
    pub coefficient: f64,
    /// Where the force coefficient comes from.
    pub origin: Origin,
}

/// The force of a wind across a guard, at the pressure of its top.
///
/// # Errors
/// When a number has no meaning (a solidity above 1, a length that is not positive), or a table is broken.
///
/// ```rust
/// use barkline::loads::wind::{Guard, WindSite, guard_wind};
/// use barkline::tables::{WindEdition, WindExposure};
/// use barkline::units::us::{feet, inches, miles_per_hour, plf};
///
/// let site = WindSite::new(miles_per_hour(115.0), WindExposure::B, WindEdition::Asce716);
/// let guard = Guard { length: feet(12.0), height: inches(36.0), solidity: 0.3, level: feet(12.0) };
/// let force = guard_wind(&site, &guard)?;
/// // q 16.54 psf × G 0.85 × C_f 1.6, or 16 psf if more, on 0.3 × 3 ft; but not below what a guard of solidity 0.299 takes.
/// assert!(((force.per_length / plf(1.0)).value - 16.54 * 0.85 * 1.8 * 0.3 * 3.0).abs() < 5e-3);
/// # Ok::<(), barkline::loads::LoadError>(())
/// ```
pub fn guard_wind(site: &WindSite, guard: &Guard) -> Result<WindForce, LoadError> {
    let length = positive(guard.length, "length of the guard")?;
    let height = positive(guard.height, "height of the guard")?;
    let level = not_negative(guard.level, "height of the guard above the ground")?;
    let (coefficient, origin) = panel_coefficient(guard.solidity)?;
    let least = shape("minimum")?
        .area_load()
        .ok_or(LoadError::Empty("minimum"))?;
    let q = site.pressure(level + height)?;
    let pressure = force_per_area(q, number("gust")?, coefficient, least * guard.solidity)?;
    let per_length = pressure * height;
    Ok(WindForce {
        per_length,
        total: per_length * length,
        above_foot: height / 2.0,
        coefficient,
        origin,
    })
}

/// The force of a wind across the solid edge of a deck: boards, joists and beams as one panel of a depth.
///
/// # Errors
/// As [`guard_wind`].
pub fn edge_wind(
    site: &WindSite,
    length: Length,
    depth: Length,
    level: Length,
) -> Result<WindForce, LoadError> {
    let edge = Guard {
        length,
        height: depth,
        solidity: 1.0,
        level,
    };
    guard_wind(site, &edge)
}

/// Force coefficient on the gross area (1) of open work or a panel of a solidity, and where it comes from.
///
/// The bands of the table give a little less just beyond each of their ends; here more wood never means less wind.
///
/// # Errors
/// When the solidity is not above 0 and up to 1, or a table is broken.
pub fn panel_coefficient(solidity: f64) -> Result<(f64, Origin), LoadError> {
    let solid = openings_factor(solidity)?;
    let limit = number("open-limit")?;
    let bands = [
        (0.1, shape("open-below-0.1")?),
        (0.3, shape("open-below-0.3")?),
        (limit, shape("open-to-0.7")?),
    ];
    let mut passed = 0.0_f64;
    for (end, row) in bands {
        let cf = row.number().ok_or(LoadError::Empty("open"))?;
        if solidity < end || (solidity <= limit && end >= limit) {
            return Ok((passed.max(cf * solidity), Origin::from(row.reference())));
        }
        passed = passed.max(cf * end);
    }
    let row = shape("solid")?;
    let cf = row.number().ok_or(LoadError::Empty("solid"))?;
    Ok((passed.max(cf * solid), Origin::from(row.reference())))
}

/// Peak velocity pressure of EN 1991-1-4 at a height over the terrain of a category, such as `III`.
///
/// # Errors
/// When a number has no meaning, or there is no such category.
pub fn en_pressure(basic: Speed, category: &str, height: Length) -> Result<AreaLoad, LoadError> {
    let terrain = tables::wind_terrain(category)?;
    let q = peak_velocity_pressure(
        basic,
        EN_AIR,
        height,
        terrain.roughness,
        terrain.least_height,
    )?;
    Ok(q)
}

/// The worst standing of what every wind force rests on, apart from its force coefficient.
///
/// # Errors
/// When a table is broken.
pub fn standing(site: &WindSite) -> Result<Standing, LoadError> {
    let profile = tables::wind_profile(site.edition, site.exposure)?;
    let rows = [shape("gust")?, shape("directionality")?, shape("minimum")?];
    Ok(rows
        .iter()
        .map(|row| row.reference().standing())
        .fold(profile.reference().standing(), Standing::worse))
}

fn shape(id: &'static str) -> Result<&'static Factor, LoadError> {
    Ok(tables::wind_shape(id)?)
}

fn number(id: &'static str) -> Result<f64, LoadError> {
    shape(id)?.number().ok_or(LoadError::Empty(id))
}

fn positive(length: Length, what: &'static str) -> Result<Length, MechanicsError> {
    if length.value > 0.0 {
        not_negative(length, what)
    } else if length.value.is_nan() {
        Err(MechanicsError::NotFinite { what })
    } else {
        Err(MechanicsError::NotPositive {
            what,
            value: length.value,
            unit: " m",
        })
    }
}

fn not_negative(length: Length, what: &'static str) -> Result<Length, MechanicsError> {
    if !length.value.is_finite() {
        Err(MechanicsError::NotFinite { what })
    } else if length.value < 0.0 {
        Err(MechanicsError::Negative {
            what,
            value: length.value,
            unit: " m",
        })
    } else {
        Ok(length)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::us::{feet, miles_per_hour, psf};
    use proptest::prelude::*;

    const SITE: WindSite =
        WindSite::new(miles_per_hour(115.0), WindExposure::B, WindEdition::Asce722);

    fn guard(solidity: f64) -> Guard {
        Guard {
            length: feet(10.0),
            height: feet(3.0),
            solidity,
            level: feet(27.0),
        }
    }

    fn in_psf(q: AreaLoad) -> f64 {
        (q / psf(1.0)).value
    }

    #[test]
    fn the_pressure_is_that_of_the_top() {
        // Exposure B of 7-22 at 30 ft: 19.83 psf; solid, 1.95 × 0.85 × 19.83 × 3 ft.
        assert!((in_psf(SITE.pressure(feet(30.0)).unwrap()) - 19.83).abs() < 5e-3);
        let force = guard_wind(&SITE, &guard(1.0)).unwrap();
        let expected = psf(1.95 * 0.85 * 19.8338) * feet(3.0);
        assert!(((force.per_length - expected) / expected).value.abs() < 1e-4);
        assert!((force.total - force.per_length * feet(10.0)).value.abs() < 1e-9);
        assert!((force.above_foot - feet(1.5)).value.abs() < 1e-12);
    }

    #[test]
    fn the_least_pressure_counts_on_the_solid_area() {
        let calm = WindSite {
            speed: miles_per_hour(10.0),
            ..SITE
        };
        let force = guard_wind(&calm, &guard(0.25)).unwrap();
        let expected = psf(16.0 * 0.25) * feet(3.0);
        assert!((force.per_length - expected).value.abs() < 1e-9);
    }

    #[test]
    fn coefficients_are_those_of_the_table_on_the_gross_area() {
        let c = |solidity| panel_coefficient(solidity).unwrap().0;
        for (solidity, expected) in [
            (0.05, 0.1),
            (0.1, 0.2),
            (0.3, 0.54),
            (0.2, 0.36),
            (0.5, 0.8),
            (0.7, 1.12),
            (0.75, 1.95 * 0.875),
            (1.0, 1.95),
        ] {
            assert!((c(solidity) - expected).abs() < 1e-12, "{solidity}");
        }
        assert_eq!(
            panel_coefficient(1.0).unwrap().1.standing,
            Standing::FromMemory
        );
        assert_eq!(
            panel_coefficient(0.5).unwrap().1.standing,
            Standing::Published
        );
        assert!(
            [0.0, -0.1, 1.01, f64::NAN]
                .map(panel_coefficient)
                .iter()
                .all(Result::is_err)
        );
    }

    #[test]
    fn higher_ground_and_hills_change_the_pressure() {
        let q = |site: WindSite| site.pressure(feet(30.0)).unwrap().value;
        let high = WindSite {
            elevation: si::metres(110.0),
            ..SITE
        };
        let crest = WindSite {
            topographic: 1.6641,
            ..SITE
        };
        assert!((q(high) / q(SITE) - 0.987).abs() < 5e-4);
        assert!((q(crest) / q(SITE) - 1.6641).abs() < 1e-12);
    }

    #[test]
    fn the_european_pressure_takes_its_terrain_from_the_table() {
        let q =
            |category: &str| en_pressure(si::metres_per_second(26.0), category, si::metres(10.0));
        assert!((q("III").unwrap().value - 722.1).abs() < 0.05);
        assert!((q("IV").unwrap().value - 496.9).abs() < 0.05);
        assert!(matches!(q("V"), Err(LoadError::Table(_))));
    }

    #[test]
    fn a_guard_without_size_is_refused() {
        let flat = Guard {
            height: feet(0.0),
            ..guard(0.5)
        };
        let buried = Guard {
            level: feet(-1.0),
            ..guard(0.5)
        };
        let endless = Guard {
            length: feet(f64::INFINITY),
            ..guard(0.5)
        };
        for bad in [flat, buried, endless, guard(f64::NAN)] {
            assert!(matches!(
                guard_wind(&SITE, &bad),
                Err(LoadError::Mechanics(_))
            ));
        }
        assert_eq!(standing(&SITE).unwrap(), Standing::Published);
    }

    proptest! {
        #[test]
        fn more_wood_never_means_less_wind(solidity in 0.001..1.0_f64, more in 0.0..0.5_f64) {
            let c = |s: f64| panel_coefficient(s.min(1.0)).unwrap().0;
            prop_assert!(c(solidity + more) >= c(solidity));
        }

        #[test]
        fn a_higher_guard_never_takes_less(level in 0.0..60.0_f64, up in 0.0..20.0_f64) {
            let f = |level: f64| guard_wind(&SITE, &Guard { level: feet(level), ..guard(0.4) }).unwrap().per_length;
            prop_assert!(f(level + up) >= f(level));
        }
    }
}
