//! How fast a tree swings, how soon it comes to rest, and how tall it could grow before it bent under itself.

use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::{Density, Frequency, Length, Stress, si};

/// First natural frequency of a conifer.
///
/// # Equation
///
/// ```text
/// f = 0.0948 + 3.4317 · DBH/H²   (Hz, DBH in cm, H in m)
/// ```
///
/// # Symbols
///
/// - `f`: frequency (Hz)
/// - `DBH`: diameter at breast height (m; cm in the source)
/// - `H`: height of the tree (m)
///
/// # Validity
///
/// Conifers in forests: 602 trees of 8 species. Broadleaves do not follow it: 17 in Britain had 0.166 to 0.260 Hz whatever their size.
///
/// # Source
///
/// J. R. Moore and D. A. Maguire, Trees 18 (2004) 195: that it is linear in DBH/H² was read, the two numbers are from memory.
///
/// # Errors
///
/// When a length is not finite or not positive.
///
/// # Example
///
/// 50 cm and 20 m: 0.524 Hz.
///
/// ```rust
/// use barkline::mechanics::sway::vibration::conifer_frequency;
/// use barkline::units::si::{metres, per_second};
///
/// let f = conifer_frequency(metres(0.5), metres(20.0))?;
/// assert!((f - per_second(0.524)).value.abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn conifer_frequency(
    breast_diameter: Length,
    height: Length,
) -> Result<Frequency, MechanicsError> {
    let centimetres = breast_diameter.positive("diameter at breast height")?.value * 100.0;
    let h = height.positive("height of the tree")?.value;
    si::per_second(0.0948 + 3.4317 * centimetres / (h * h)).finite("frequency")
}

/// Damping ratio of a tree that was pulled and let go.
///
/// # Equation
///
/// ```text
/// ζ = α / √(ω² + α²)
/// ```
///
/// # Symbols
///
/// - `ζ`: damping ratio (1)
/// - `ω`: angular frequency of the swings (1/s)
/// - `α`: rate at which they die away, as e^(−αt) (1/s)
///
/// # Validity
///
/// Swings that die away evenly: one mode, viscous damping.
///
/// # Source
///
/// The damped oscillator.
///
/// # Errors
///
/// When a number is not finite, the frequency not positive, or the rate negative.
///
/// # Example
///
/// One tree in summer, 1.4 1/s and 0.17 1/s: 0.121.
///
/// ```rust
/// use barkline::mechanics::sway::vibration::damping_ratio;
/// use barkline::units::si::per_second;
///
/// assert!((damping_ratio(per_second(1.4), per_second(0.17))? - 0.121).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn damping_ratio(angular: Frequency, decay: Frequency) -> Result<f64, MechanicsError> {
    let omega = angular.positive("angular frequency")?;
    let alpha = decay.not_negative("rate of decay")?;
    (alpha / omega.hypot(alpha)).value.finite("damping ratio")
}

/// Height at which a stem of even section bends under its own weight.
///
/// # Equation
///
/// ```text
/// H_cr = (7.837/16)^(1/3) · (E/(ρ·g))^(1/3) · d^(2/3)
/// ```
///
/// # Symbols
///
/// - `H_cr`: critical height (m)
/// - `E`: modulus of elasticity (Pa)
/// - `ρ`: density of the green stem (kg/m³)
/// - `g`: standard gravity (m/s²)
/// - `d`: diameter (m)
///
/// # Validity
///
/// A round pole of even section, held at the ground.
///
/// # Source
///
/// A. G. Greenhill (1881); 7.837 is the first root of the heavy column, confirmed here from its power series.
///
/// # Errors
///
/// When a number is not finite or not positive.
///
/// # Example
///
/// Douglas-fir of 0.5 m: 49.6 m.
///
/// ```rust
/// use barkline::mechanics::sway::vibration::greenhill_height;
/// use barkline::units::si::{gigapascals, kilograms_per_cubic_metre, metres};
///
/// let h = greenhill_height(gigapascals(8.3), kilograms_per_cubic_metre(850.0), metres(0.5))?;
/// assert!((h.value - 49.6).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn greenhill_height(
    modulus: Stress,
    density: Density,
    diameter: Length,
) -> Result<Length, MechanicsError> {
    let weight = density.positive("density of the stem")?.value * si::STANDARD_GRAVITY;
    let length = modulus.positive("modulus of elasticity")?.value / weight;
    let d = diameter.positive("diameter of the stem")?.value;
    si::metres((7.837 / 16.0 * length * d * d).cbrt()).finite("critical height")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{gigapascals, kilograms_per_cubic_metre, metres, per_second};

    /// The shape of a heavy column as a power series; its first root is the constant.
    #[test]
    fn the_constant_is_the_root_of_the_heavy_column() {
        // θ'' + k·s·θ = 0 with θ'(0) = 0 at the free top: θ = Σ (−k·s³)^n / Π (3j−1)(3j); zero at the foot, s = 1.
        let shape = |k: f64| {
            let mut term = 1.0;
            let mut sum = 1.0;
            for j in 1..40 {
                let j = f64::from(j);
                term *= -k / ((3.0 * j - 1.0) * (3.0 * j));
                sum += term;
            }
            sum
        };
        let (mut low, mut high) = (7.0, 9.0);
        assert!(shape(low) > 0.0 && shape(high) < 0.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if shape(middle) > 0.0 {
                low = middle
            } else {
                high = middle
            }
        }
        assert!((low - 7.837).abs() < 5e-4, "{low}");
    }

    #[test]
    fn thicker_is_faster_taller_is_slower_and_nonsense_is_refused() {
        let f = |d: f64, h: f64| conifer_frequency(metres(d), metres(h)).unwrap();
        assert!(f(0.6, 20.0) > f(0.5, 20.0) && f(0.5, 25.0) < f(0.5, 20.0));
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(conifer_frequency(metres(bad), metres(20.0)).is_err());
            assert!(conifer_frequency(metres(0.5), metres(bad)).is_err());
            assert!(damping_ratio(per_second(bad), per_second(0.1)).is_err());
            let rho = kilograms_per_cubic_metre(bad);
            assert!(greenhill_height(gigapascals(8.0), rho, metres(0.5)).is_err());
        }
        assert!(damping_ratio(per_second(1.0), per_second(-0.1)).is_err());
        assert!(
            damping_ratio(per_second(1.0), per_second(0.0))
                .unwrap()
                .abs()
                < 1e-15
        );
    }
}
