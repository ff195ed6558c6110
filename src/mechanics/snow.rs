//! Snow on flat and sloped surfaces, from snow on the ground.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{Angle, AreaLoad, si};

/// Factors from the ground to a flat surface, ASCE 7.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatSnow {
    /// Flat roof over ground, 0.7 in both editions (1).
    pub flat: f64,
    /// Exposure factor C_e (1).
    pub exposure: f64,
    /// Thermal factor C_t (1).
    pub thermal: f64,
    /// Importance factor I_s of ASCE 7-16; 1 for the risk-category maps of ASCE 7-22 (1).
    pub importance: f64,
}

/// Snow on a flat roof or deck.
///
/// # Equation
///
/// ```text
/// p_f = 0.7 · C_e · C_t · I_s · p_g     ASCE 7-16
/// p_f = 0.7 · C_e · C_t · p_g           ASCE 7-22
/// ```
///
/// # Symbols
///
/// - `p_f`: snow on the flat surface (Pa)
/// - `C_e`: exposure factor (1)
/// - `C_t`: thermal factor (1)
/// - `I_s`: importance factor (1)
/// - `p_g`: snow on the ground: nominal in 7-16, of strength level and of the risk category in 7-22 (Pa)
///
/// # Validity
///
/// Slopes to 5°, without drift, sliding or rain on snow. The level of p_g must be that of the combinations.
///
/// # Source
///
/// ASCE 7-16, Equation 7.3-1; ASCE 7-22, Equation 7.3-1 (from memory).
///
/// # Errors
///
/// When the load is negative or a factor not positive and finite.
///
/// # Example
///
/// 30 psf on the ground, all factors 1: 21 psf.
///
/// ```rust
/// use barkline::mechanics::snow::{FlatSnow, flat_snow};
/// use barkline::units::us::psf;
///
/// let roof = FlatSnow { flat: 0.7, exposure: 1.0, thermal: 1.0, importance: 1.0 };
/// assert!((flat_snow(psf(30.0), roof)? - psf(21.0)).value.abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn flat_snow(ground: AreaLoad, factors: FlatSnow) -> Result<AreaLoad, MechanicsError> {
    let product = factors.flat.positive("factor of flat roofs")?
        * factors.exposure.positive("exposure factor")?
        * factors.thermal.positive("thermal factor")?
        * factors.importance.positive("importance factor")?;
    (ground.not_negative("snow on the ground")? * product).finite("snow on the deck")
}

/// Least snow on a surface of low slope, a case of its own.
///
/// # Equation
///
/// ```text
/// p_m = I_s · min(p_g, p_max)
/// ```
///
/// # Symbols
///
/// - `p_m`: least snow (Pa)
/// - `I_s`: importance factor; 1 with ASCE 7-22 (1)
/// - `p_g`: snow on the ground (Pa)
/// - `p_max`: ground snow above which it stops growing, 20 psf in ASCE 7-16 (Pa)
///
/// # Validity
///
/// Low slopes, without drift. In ASCE 7-22 p_max depends on the risk category.
///
/// # Source
///
/// ASCE 7-16, 7.3.4 (from memory; a public discussion of the 1998 edition gives the same).
///
/// # Errors
///
/// When a load is negative or the factor not positive.
///
/// # Example
///
/// 15 psf on the ground, a fully exposed warm roof (C_e 0.8): 15 psf instead of 8.4 psf.
///
/// ```rust
/// use barkline::mechanics::snow::least_snow;
/// use barkline::units::us::psf;
///
/// assert_eq!(least_snow(psf(15.0), 1.0, psf(20.0))?, psf(15.0));
/// assert_eq!(least_snow(psf(60.0), 1.0, psf(20.0))?, psf(20.0));
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn least_snow(
    ground: AreaLoad,
    importance: f64,
    most: AreaLoad,
) -> Result<AreaLoad, MechanicsError> {
    let ground = ground.not_negative("snow on the ground")?;
    let most = most.not_negative("largest ground snow")?;
    (ground.min(most) * importance.positive("importance factor")?).finite("least snow")
}

/// Shape factor of a roof with one slope.
///
/// # Equation
///
/// ```text
/// μ₁ = 0.8                      0° ≤ α ≤ 30°
/// μ₁ = 0.8 · (60° − α)/30°      30° < α < 60°
/// μ₁ = 0                        α ≥ 60°
/// ```
///
/// # Symbols
///
/// - `μ₁`: shape factor (1)
/// - `α`: slope (rad; degrees in the source)
///
/// # Validity
///
/// Where snow can slide off; never below 0.8 with a guard or another obstacle at the lower edge.
///
/// # Source
///
/// EN 1991-1-3:2003, Table 5.2 (from memory).
///
/// # Errors
///
/// When the slope is not between 0 and 90°.
///
/// # Example
///
/// 45°: half of the flat value.
///
/// ```rust
/// use barkline::mechanics::snow::shape_factor;
/// use barkline::units::si::degrees;
///
/// assert!((shape_factor(degrees(45.0))? - 0.4).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn shape_factor(slope: Angle) -> Result<f64, MechanicsError> {
    let slope = slope.between("slope", si::degrees(0.0), super::RIGHT_ANGLE)?;
    let left = (si::degrees(60.0) - slope) / si::degrees(30.0);
    Ok(0.8 * left.value.clamp(0.0, 1.0))
}

/// Snow on a surface, EN 1991-1-3.
///
/// # Equation
///
/// ```text
/// s = μ · C_e · C_t · s_k
/// ```
///
/// # Symbols
///
/// - `s`: snow on the surface (Pa)
/// - `μ`: shape factor, [`shape_factor`] (1)
/// - `C_e`: exposure factor: 0.8 windswept, 1.0 normal, 1.2 sheltered (1)
/// - `C_t`: thermal factor, 1.0 (1)
/// - `s_k`: characteristic snow on the ground (Pa)
///
/// # Validity
///
/// Lasting situations, without drift and exceptional snow.
///
/// # Source
///
/// EN 1991-1-3:2003, expression 5.1.
///
/// # Errors
///
/// When the load or μ is negative, or another factor not positive.
///
/// # Example
///
/// A flat, sheltered deck, s_k = 1.5 kPa: 0.8 × 1.2 × 1.5 = 1.44 kPa.
///
/// ```rust
/// use barkline::mechanics::snow::surface_snow;
/// use barkline::units::si::kilopascals;
///
/// let s = surface_snow(kilopascals(1.5), 0.8, 1.2, 1.0)?;
/// assert!((s - kilopascals(1.44)).value.abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn surface_snow(
    ground: AreaLoad,
    shape: f64,
    exposure: f64,
    thermal: f64,
) -> Result<AreaLoad, MechanicsError> {
    let product = shape.not_negative("shape factor")?
        * exposure.positive("exposure factor")?
        * thermal.positive("thermal factor")?;
    (ground.not_negative("snow on the ground")? * product).finite("snow on the surface")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{degrees, pascals};

    const ONES: FlatSnow = FlatSnow {
        flat: 1.0,
        exposure: 1.0,
        thermal: 1.0,
        importance: 1.0,
    };

    #[test]
    fn every_factor_counts_once() {
        let snow = |factors| flat_snow(pascals(1000.0), factors).unwrap().value;
        assert!((snow(ONES) - 1000.0).abs() < 1e-9);
        for one in [
            FlatSnow { flat: 0.7, ..ONES },
            FlatSnow {
                exposure: 0.7,
                ..ONES
            },
            FlatSnow {
                thermal: 0.7,
                ..ONES
            },
            FlatSnow {
                importance: 0.7,
                ..ONES
            },
        ] {
            assert!((snow(one) - 700.0).abs() < 1e-9);
        }
        let en = |shape, exposure, thermal| {
            surface_snow(pascals(1000.0), shape, exposure, thermal)
                .unwrap()
                .value
        };
        assert!((en(0.5, 1.0, 1.0) - 500.0).abs() < 1e-9);
        assert!((en(1.0, 0.5, 1.0) - 500.0).abs() < 1e-9);
        assert!((en(1.0, 1.0, 0.5) - 500.0).abs() < 1e-9);
    }

    #[test]
    fn the_shape_factor_is_continuous_and_ends_at_sixty_degrees() {
        let mu = |a: f64| shape_factor(degrees(a)).unwrap();
        assert!((mu(0.0) - 0.8).abs() < 1e-12 && (mu(30.0) - mu(30.000_001)).abs() < 1e-6);
        assert!(mu(60.0).abs() < 1e-12 && mu(75.0).abs() < 1e-12);
        assert!(shape_factor(degrees(-1.0)).is_err() && shape_factor(degrees(91.0)).is_err());
    }

    #[test]
    fn what_means_nothing_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(
                flat_snow(
                    pascals(1.0),
                    FlatSnow {
                        exposure: bad,
                        ..ONES
                    }
                )
                .is_err()
            );
            assert!(least_snow(pascals(1.0), bad, pascals(1.0)).is_err());
            assert!(surface_snow(pascals(1.0), 0.8, bad, 1.0).is_err());
        }
        assert!(flat_snow(pascals(-1.0), ONES).is_err());
        assert!(flat_snow(pascals(f64::MAX), FlatSnow { flat: 2.0, ..ONES }).is_err());
        assert!(surface_snow(pascals(1.0), -0.1, 1.0, 1.0).is_err());
    }
}
