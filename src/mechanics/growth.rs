//! What growth does round an anchor: new wood every year, bark that thickens, a gap that closes.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::us::{feet, inches};
use crate::units::{Length, si};
use std::f64::consts::PI;

/// Growth of the radius of a stem in a year.
///
/// # Equation
///
/// ```text
/// ΔG = 0.7 · B₁ · SI · (1 − e^(−B₂·D)) · mod    (ft² in a year, SI in ft, D in in)
/// i  = [√(D² + 4·ΔG/π) − D] / 2
/// ```
///
/// # Symbols
///
/// - `ΔG`: growth of the basal area (m²; ft² in the source)
/// - `B₁`, `B₂`: constants of the species
/// - `SI`: site index, the height that trees reach at 50 years (m; ft in the source)
/// - `D`: diameter at breast height (m; in in the source)
/// - `mod`: what competition leaves, from 0.5 (suppressed) to 1 (free) (1)
/// - `i`: growth of the radius over bark (m)
///
/// # Validity
///
/// Forest trees of the northeastern United States. Young trees and those in the open grow up to twice as fast.
///
/// # Source
///
/// R. M. Teck and D. E. Hilt, NE-TWIGS, as in the Forest Vegetation Simulator, northeast variant (dgf.f, balmod.f).
///
/// # Errors
///
/// When a number is not finite or not positive, or `mod` is not from 0.5 to 1.
///
/// # Example
///
/// White oak, 18 in, site index 60 ft, free of competition: 1.59 mm.
///
/// ```rust
/// use barkline::mechanics::growth::radial_growth;
/// use barkline::units::us::{feet, inches};
///
/// let i = radial_growth(0.0007417, 0.0867535, feet(60.0), inches(18.0), 1.0)?;
/// assert!((i.value * 1e3 - 1.59).abs() < 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn radial_growth(
    b1: f64,
    b2: f64,
    site_index: Length,
    diameter: Length,
    competition: f64,
) -> Result<Length, MechanicsError> {
    let d = diameter.positive("diameter at breast height")?;
    let index = (site_index.positive("site index")? / feet(1.0)).value;
    let share = competition.between("what competition leaves", LEAST_LEFT, 1.0)?;
    let reached = -(-b2.positive("growth constant")? * (d / inches(1.0)).value).exp_m1();
    let area =
        feet(1.0) * feet(1.0) * (0.7 * b1.positive("growth constant")? * index * reached * share);
    // √(D² + x) − D without taking near numbers from each other.
    let x = 4.0 / PI * area;
    let grown = x / (si::metres((d * d + x).value.sqrt()) + d);
    (grown / 2.0).finite("growth of the radius")
}

/// What full competition leaves of the growth (1), by the same source.
pub const LEAST_LEFT: f64 = 0.5;

/// Thickness of the bark of a stem.
///
/// # Equation
///
/// ```text
/// t_b = b · DBH
/// ```
///
/// # Symbols
///
/// - `t_b`: thickness of the bark, on one side (m)
/// - `b`: ratio of the species (1)
/// - `DBH`: diameter at breast height, over bark (m)
///
/// # Validity
///
/// A mean at breast height; ridges vary by a factor of two. Measure it at the anchor.
///
/// # Source
///
/// Ratios of the First Order Fire Effects Model as in the Forest Vegetation Simulator (fmbrkt.f).
///
/// # Errors
///
/// When a number is not finite, the diameter not positive, or the ratio not from 0 to below one half.
///
/// # Example
///
/// Douglas-fir of 60 cm: 37.8 mm.
///
/// ```rust
/// use barkline::mechanics::growth::bark_thickness;
/// use barkline::units::si::metres;
///
/// assert!((bark_thickness(0.063, metres(0.6))?.value * 1e3 - 37.8).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn bark_thickness(ratio: f64, diameter: Length) -> Result<Length, MechanicsError> {
    let b = ratio.between("bark over diameter", 0.0, 0.5)?;
    if b >= 0.5 {
        return Err(MechanicsError::NoSolution {
            what: "such bark leaves no wood",
        });
    }
    (b * diameter.positive("diameter at breast height")?).finite("thickness of the bark")
}

/// Thickness of the new wood over a fixed point after some years.
///
/// # Equation
///
/// ```text
/// w = n · i
/// ```
///
/// # Symbols
///
/// - `w`: thickness of the new wood (m)
/// - `n`: years (1)
/// - `i`: growth of the radius in a year (m)
///
/// # Validity
///
/// Even growth. Beside a wound it is more than elsewhere.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// When a number is not finite or negative.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::growth::new_wood;
/// use barkline::units::si::millimetres;
///
/// assert!((new_wood(millimetres(2.0), 15.0)? - millimetres(30.0)).abs() < millimetres(1e-9));
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn new_wood(growth: Length, years: f64) -> Result<Length, MechanicsError> {
    (growth.not_negative("growth of the radius")? * years.not_negative("years")?)
        .finite("thickness of the new wood")
}

/// Years until a stem reaches what stands before it.
///
/// # Equation
///
/// ```text
/// n = (gap − Δt_b) / i
/// ```
///
/// # Symbols
///
/// - `n`: years (1)
/// - `gap`: clear distance from the bark (m)
/// - `Δt_b`: what the bark thickens in that time (m); zero where the growth is that of the radius over bark
/// - `i`: growth of the radius in a year (m)
///
/// # Validity
///
/// Even growth. Contact comes sooner by what the stem sways.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// When a number is not finite or negative, or the growth is zero.
///
/// # Example
///
/// 25 mm at 3 mm a year: 8 years.
///
/// ```rust
/// use barkline::mechanics::growth::years_to_contact;
/// use barkline::units::si::millimetres;
///
/// let years = years_to_contact(millimetres(25.0), millimetres(0.0), millimetres(3.0))?;
/// assert!((years - 8.0).abs() < 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn years_to_contact(
    gap: Length,
    bark_change: Length,
    growth: Length,
) -> Result<f64, MechanicsError> {
    let left = gap.not_negative("gap")? - bark_change.not_negative("change of the bark")?;
    let years = left.max(Length::default()) / growth.positive("growth of the radius")?;
    years.value.finite("years to contact")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, millimetres};
    use proptest::prelude::*;

    #[test]
    fn bark_that_uses_the_gap_up_touches_now() {
        let years = years_to_contact(millimetres(5.0), millimetres(6.0), millimetres(1.0)).unwrap();
        assert!(years.abs() < 1e-15);
        let later =
            years_to_contact(millimetres(76.0), millimetres(0.0), millimetres(2.5)).unwrap();
        assert!((later - 30.4).abs() < 1e-9);
        assert!(years_to_contact(millimetres(5.0), millimetres(0.0), metres(0.0)).is_err());
        assert!(years_to_contact(millimetres(-5.0), millimetres(0.0), metres(1.0)).is_err());
    }

    #[test]
    fn what_means_nothing_is_refused() {
        assert!(
            bark_thickness(0.5, metres(1.0)).is_err() && bark_thickness(-0.1, metres(1.0)).is_err()
        );
        assert!(
            new_wood(metres(-0.001), 1.0).is_err() && new_wood(metres(0.001), f64::NAN).is_err()
        );
        for (b1, b2, site, d, left) in [
            (0.0, 0.08, 60.0, 18.0, 1.0),
            (7e-4, -0.1, 60.0, 18.0, 1.0),
            (7e-4, 0.08, 0.0, 18.0, 1.0),
            (7e-4, 0.08, 60.0, f64::NAN, 1.0),
            (7e-4, 0.08, 60.0, 18.0, 0.4),
            (7e-4, 0.08, 60.0, 18.0, 1.1),
        ] {
            assert!(radial_growth(b1, b2, feet(site), inches(d), left).is_err());
        }
    }

    proptest! {
        #[test]
        fn the_radius_grows_by_the_area_that_is_added(d in 4.0..40.0_f64, site in 30.0..100.0_f64, left in 0.5..1.0_f64) {
            let i = radial_growth(0.0008, 0.08, feet(site), inches(d), left).unwrap();
            let (r, grown) = (inches(d) / 2.0, inches(d) / 2.0 + i);
            let area = PI * (grown * grown - r * r).value / 0.3048_f64.powi(2);
            let printed = 0.7 * 0.0008 * site * (1.0 - (-0.08 * d).exp()) * left;
            prop_assert!((area / printed - 1.0).abs() < 1e-9);
        }
    }
}
