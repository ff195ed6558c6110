//! Wind: from a speed to a velocity pressure to a pressure on open work, by ASCE 7 and by EN 1991-1-4.
//!
//! Both take a power or logarithmic profile over the height. They are not the same wind: the map speeds of ASCE 7 are
//! gusts of three seconds at strength level, those of EN 1991-1-4 means of ten minutes at characteristic level.

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::{AreaLoad, Density, Length, Speed, si, us};

/// Below this height the profile of ASCE 7 does not fall any more (Table 26.10-1, note 1).
pub const PROFILE_FLOOR: Length = us::feet(15.0);

/// Heights in which EN 1991-1-4 states its profile (4.3.2).
pub const EN_HEIGHTS: Range<Length> = Range {
    low: si::metres(0.0),
    high: si::metres(200.0),
};

/// Air density that EN 1991-1-4 recommends (4.5).
pub const EN_AIR: Density = si::kilograms_per_cubic_metre(1.25);

/// Pressure of a wind of one mile per hour in ASCE 7, ½ρ of air of the standard atmosphere as printed for psf and mph.
const PRESSURE_AT_ONE_MPH: AreaLoad = us::psf(0.002_56);

/// Velocity pressure exposure coefficient: how the pressure of the wind grows with height.
///
/// # Equation
///
/// ```text
/// K_z = c · (max(z, 15 ft) / z_g)^(2/α)
/// ```
///
/// # Symbols
///
/// - `K_z`: velocity pressure exposure coefficient (1)
/// - `c`: 2.01 in ASCE 7-16, 2.41 in ASCE 7-22 (1)
/// - `z`: height above the ground (m)
/// - `z_g`: gradient height of the exposure (m)
/// - `α`: exponent of the exposure (1)
///
/// # Validity
///
/// From 15 ft, below which it is constant, to the gradient height.
///
/// # Source
///
/// ASCE 7-16 and 7-22, Table 26.10-1, notes.
///
/// # Errors
///
/// When a number is not finite, the height negative, another not positive, or the height above the gradient height.
///
/// # Example
///
/// Exposure C of ASCE 7-16 at 6.5 m: 0.91415.
///
/// ```rust
/// use barkline::mechanics::wind::exposure_coefficient;
/// use barkline::units::{si::metres, us::feet};
///
/// let kz = exposure_coefficient(2.01, 9.5, feet(900.0), metres(6.5))?;
/// assert!((kz - 0.91415).abs() < 5e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn exposure_coefficient(
    coefficient: f64,
    alpha: f64,
    gradient: Length,
    height: Length,
) -> Result<f64, MechanicsError> {
    let c = coefficient.positive("coefficient of the profile")?;
    let alpha = alpha.positive("exponent of the profile")?;
    let gradient = gradient.positive("gradient height")?;
    let z = height
        .not_negative("height above the ground")?
        .max(PROFILE_FLOOR)
        .between("height above the ground", PROFILE_FLOOR, gradient)?;
    Ok(c * (z / gradient).value.powf(2.0 / alpha))
}

/// Ground elevation factor: thinner air on higher ground.
///
/// # Equation
///
/// ```text
/// K_e = e^(−0.000119·z_e)
/// ```
///
/// # Symbols
///
/// - `K_e`: ground elevation factor (1)
/// - `z_e`: elevation of the ground above the sea (m)
///
/// # Validity
///
/// Any elevation; 1.0 is permitted everywhere, and is on the safe side above the sea.
///
/// # Source
///
/// ASCE 7-16 and 7-22, Table 26.9-1, notes.
///
/// # Errors
///
/// When the elevation is not finite, or so far down that the factor outgrows the range of numbers.
///
/// # Example
///
/// Ground at 110 m: 0.987.
///
/// ```rust
/// use barkline::mechanics::wind::elevation_factor;
/// use barkline::units::si::metres;
///
/// assert!((elevation_factor(metres(110.0))? - 0.987).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn elevation_factor(elevation: Length) -> Result<f64, MechanicsError> {
    let z = elevation.finite("elevation of the ground")?;
    (-0.000_119 * z.value)
        .exp()
        .finite("ground elevation factor")
}

/// Topographic factor: the wind speeds up over a hill, a ridge or an edge.
///
/// # Equation
///
/// ```text
/// K_zt = (1 + K₁·K₂·K₃)²
/// K₂ = max(0, 1 − |x|/(μ·L_h)),   K₃ = e^(−γ·z/L_h)
/// ```
///
/// # Symbols
///
/// - `K_zt`: topographic factor (1)
/// - `K₁`: speed-up at the crest, of the shape and steepness of the hill (1)
/// - `K₂`: its decrease with the distance from the crest (1)
/// - `K₃`: its decrease with height (1)
/// - `x`: distance from the crest, upwind or downwind (m)
/// - `z`: height above the ground (m)
/// - `L_h`: distance upwind of the crest to half the height of the hill (m)
/// - `μ`, `γ`: attenuation with distance and height, of the shape of the hill (1)
///
/// # Validity
///
/// Isolated hills, ridges and escarpments that meet the conditions of 26.8.1; elsewhere K_zt is 1.
///
/// # Source
///
/// ASCE 7-16 and 7-22, Equation 26.8-1 and Figure 26.8-1.
///
/// # Errors
///
/// When a number is not finite, K₁, γ or the height negative, or μ or L_h not positive.
///
/// # Example
///
/// At the crest, on the ground, with K₁ = 0.29: (1 + 0.29)² = 1.6641.
///
/// ```rust
/// use barkline::mechanics::wind::{Hill, topographic_factor};
/// use barkline::units::si::metres;
///
/// let hill = Hill { k1: 0.29, attenuation: 1.5, decay: 3.0, half_length: metres(50.0) };
/// let kzt = topographic_factor(&hill, metres(0.0), metres(0.0))?;
/// assert!((kzt - 1.6641).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn topographic_factor(
    hill: &Hill,
    distance: Length,
    height: Length,
) -> Result<f64, MechanicsError> {
    let k1 = hill.k1.not_negative("speed-up at the crest")?;
    let mu = hill.attenuation.positive("attenuation with distance")?;
    let gamma = hill.decay.not_negative("attenuation with height")?;
    let l_h = hill.half_length.positive("half length of the hill")?;
    let x = distance.finite("distance from the crest")?.abs();
    let z = height.not_negative("height above the ground")?;
    let k2 = (1.0 - (x / l_h).value / mu).max(0.0);
    let k3 = (-gamma * (z / l_h).value).exp();
    (1.0 + k1 * k2 * k3).powi(2).finite("topographic factor")
}

/// A hill, as Figure 26.8-1 of ASCE 7 describes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hill {
    /// K₁, the speed-up at the crest (1).
    pub k1: f64,
    /// μ, its attenuation with distance (1).
    pub attenuation: f64,
    /// γ, its attenuation with height (1).
    pub decay: f64,
    /// L_h, the distance upwind of the crest to half the height of the hill.
    pub half_length: Length,
}

/// Velocity pressure of the wind, without the directionality factor.
///
/// # Equation
///
/// ```text
/// q_z = 0.00256 · K_z · K_zt · K_e · V²   (psf, V in mph)
/// ```
///
/// # Symbols
///
/// - `q_z`: velocity pressure at the height z (Pa; psf in the source)
/// - `K_z`: velocity pressure exposure coefficient (1)
/// - `K_zt`: topographic factor (1)
/// - `K_e`: ground elevation factor (1)
/// - `V`: basic wind speed, a gust of three seconds in the open at 33 ft (m/s; mph in the source)
///
/// # Validity
///
/// As the profile. ASCE 7-16 has the directionality factor K_d inside q_z, ASCE 7-22 in the equation of the pressure;
/// here it is left out, for [`design_pressure`] to put in once. The metric printing has 0.613 for Pa and m/s, 0.06 % less.
///
/// # Source
///
/// ASCE 7-22, Equation 26.10-1; ASCE 7-16, Equation 26.10-1 without K_d.
///
/// # Errors
///
/// When the speed is negative or a factor not positive and finite.
///
/// # Example
///
/// 115 mph, exposure B of ASCE 7-22 at 15 ft (K_z 0.5729): 19.4 psf.
///
/// ```rust
/// use barkline::mechanics::wind::velocity_pressure;
/// use barkline::units::us::{miles_per_hour, psf};
///
/// let q = velocity_pressure(miles_per_hour(115.0), 0.5729, 1.0, 1.0)?;
/// assert!(((q / psf(1.0)).value - 19.40).abs() < 5e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn velocity_pressure(
    speed: Speed,
    exposure: f64,
    topographic: f64,
    elevation: f64,
) -> Result<AreaLoad, MechanicsError> {
    let v = (speed.not_negative("wind speed")? / us::miles_per_hour(1.0)).value;
    let factors = exposure.positive("exposure coefficient")?
        * topographic.positive("topographic factor")?
        * elevation.positive("ground elevation factor")?;
    (PRESSURE_AT_ONE_MPH * (factors * v * v)).finite("velocity pressure")
}

/// Velocity pressure with the directionality factor, once: what ASCE 7-16 calls q_z, and what ASCE 7-22 multiplies by G·C_f.
///
/// # Equation
///
/// ```text
/// q = K_d · q_z
/// ```
///
/// # Symbols
///
/// - `q`: pressure to which gust and shape apply (Pa)
/// - `K_d`: wind directionality factor (1)
/// - `q_z`: velocity pressure without it (Pa)
///
/// # Validity
///
/// Only in combinations of ASCE 7, whose factors of wind count on it.
///
/// # Source
///
/// ASCE 7-16, Equation 26.10-1; ASCE 7-22, chapter 29, where K_d stands in the equations of the force.
///
/// # Errors
///
/// When the pressure is negative, or the factor not above 0 and up to 1.
///
/// # Example
///
/// 115 mph, exposure B at 15 ft, K_d = 0.85: 16.54 psf.
///
/// ```rust
/// use barkline::mechanics::wind::{design_pressure, velocity_pressure};
/// use barkline::units::us::{miles_per_hour, psf};
///
/// let q = design_pressure(velocity_pressure(miles_per_hour(115.0), 0.5747, 1.0, 1.0)?, 0.85)?;
/// assert!(((q / psf(1.0)).value - 16.54).abs() < 5e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn design_pressure(
    velocity_pressure: AreaLoad,
    directionality: f64,
) -> Result<AreaLoad, MechanicsError> {
    let kd = directionality.positive("directionality factor")?.between(
        "directionality factor",
        0.0,
        1.0,
    )?;
    Ok(velocity_pressure.not_negative("velocity pressure")? * kd)
}

/// Pressure on the projected area of open work or a panel, never below a least one.
///
/// # Equation
///
/// ```text
/// F/A = max(q · G · C_f, p_min)
/// ```
///
/// # Symbols
///
/// - `F/A`: force per area normal to the wind (Pa)
/// - `q`: velocity pressure with K_d (Pa)
/// - `G`: gust-effect factor, 0.85 of rigid structures (1)
/// - `C_f`: force coefficient for that area (1)
/// - `p_min`: least pressure, 16 psf in chapter 29 (Pa)
///
/// # Validity
///
/// Rigid structures, natural frequency 1 Hz and more. A platform in swaying stems is not rigid: the sway of the stems is
/// another load, not part of this one. No credit for the shelter of particular trees.
///
/// # Source
///
/// ASCE 7-16, Equation 29.4-1 and 29.7.
///
/// # Errors
///
/// When a pressure is negative or a factor not positive.
///
/// # Example
///
/// q = 11.67 psf on work of solidity 0.15 (C_f 1.8): 0.85 × 1.8 × 11.67 = 17.86 psf, above the least 16 psf.
///
/// ```rust
/// use barkline::mechanics::wind::force_per_area;
/// use barkline::units::us::psf;
///
/// let p = force_per_area(psf(11.673), 0.85, 1.8, psf(16.0))?;
/// assert!(((p / psf(1.0)).value - 17.86).abs() < 5e-3);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn force_per_area(
    pressure: AreaLoad,
    gust: f64,
    force_coefficient: f64,
    least: AreaLoad,
) -> Result<AreaLoad, MechanicsError> {
    let q = pressure.not_negative("velocity pressure")?;
    let shape =
        gust.positive("gust-effect factor")? * force_coefficient.positive("force coefficient")?;
    (q * shape)
        .max(least.not_negative("least pressure")?)
        .finite("force per area")
}

/// Share of the force on a solid panel that is left when it has openings.
///
/// # Equation
///
/// ```text
/// δ = 1 − (1 − ε)^1.5
/// ```
///
/// # Symbols
///
/// - `δ`: force over that of the panel without openings, on the gross area (1)
/// - `ε`: solidity, solid area over gross area (1)
///
/// # Validity
///
/// Openings below 30 % of the gross area, ε from 0.7 to 1.
///
/// # Source
///
/// ASCE 7-16, Figure 29.3-1, notes.
///
/// # Errors
///
/// When the solidity is not above 0 and up to 1.
///
/// # Example
///
/// A quarter open: 1 − 0.25^1.5 = 0.875.
///
/// ```rust
/// use barkline::mechanics::wind::openings_factor;
///
/// assert_eq!(openings_factor(0.75)?, 0.875);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn openings_factor(solidity: f64) -> Result<f64, MechanicsError> {
    let epsilon = solidity
        .positive("solidity")?
        .between("solidity", 0.0, 1.0)?;
    Ok(1.0 - (1.0 - epsilon).powf(1.5))
}

/// Roughness factor: the mean wind at a height over the basic wind.
///
/// # Equation
///
/// ```text
/// c_r = k_r · ln(max(z, z_min)/z₀),   k_r = 0.19 · (z₀/0.05 m)^0.07
/// ```
///
/// # Symbols
///
/// - `c_r`: roughness factor (1)
/// - `k_r`: terrain factor (1)
/// - `z`: height above the ground (m)
/// - `z₀`: roughness length of the terrain (m)
/// - `z_min`: height below which nothing changes (m)
///
/// # Validity
///
/// Up to 200 m. See [`EN_HEIGHTS`].
///
/// # Source
///
/// EN 1991-1-4:2005, expressions 4.4 and 4.5.
///
/// # Errors
///
/// When a length is not finite, the height negative, or z_min not above z₀ above 0.
///
/// # Example
///
/// Terrain II at 10 m: 0.19 · ln 200 = 1.0067.
///
/// ```rust
/// use barkline::mechanics::wind::roughness_factor;
/// use barkline::units::si::metres;
///
/// let cr = roughness_factor(metres(10.0), metres(0.05), metres(2.0))?;
/// assert!((cr - 1.0067).abs() < 5e-5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn roughness_factor(
    height: Length,
    roughness: Length,
    least_height: Length,
) -> Result<f64, MechanicsError> {
    let log = log_height(height, roughness, least_height)?;
    let k_r = 0.19 * (roughness / si::metres(0.05)).value.powf(0.07);
    (k_r * log).finite("roughness factor")
}

/// Peak velocity pressure of the wind, gusts included.
///
/// # Equation
///
/// ```text
/// q_p = (1 + 7·I_v) · ½·ρ·v_m²
/// v_m = c_r · v_b,   I_v = 1/ln(max(z, z_min)/z₀)
/// ```
///
/// # Symbols
///
/// - `q_p`: peak velocity pressure (Pa)
/// - `I_v`: intensity of turbulence (1)
/// - `ρ`: density of air, 1.25 recommended (kg/m³)
/// - `v_m`: mean wind at the height z (m/s)
/// - `v_b`: basic wind, a mean of ten minutes at 10 m over terrain II (m/s)
/// - `c_r`: roughness factor, [`roughness_factor`] (1)
/// - `z`, `z₀`, `z_min`: as there (m)
///
/// # Validity
///
/// Up to 200 m, without hills (c_o = 1), with the recommended turbulence factor 1.
///
/// # Source
///
/// EN 1991-1-4:2005, expressions 4.3, 4.7 and 4.8.
///
/// # Errors
///
/// As [`roughness_factor`]; when the speed is negative or the density not positive.
///
/// # Example
///
/// Terrain III at 10 m, v_b = 26 m/s: 722.1 Pa.
///
/// ```rust
/// use barkline::mechanics::wind::{EN_AIR, peak_velocity_pressure};
/// use barkline::units::si::{metres, metres_per_second};
///
/// let q = peak_velocity_pressure(metres_per_second(26.0), EN_AIR, metres(10.0), metres(0.3), metres(5.0))?;
/// assert!((q.value - 722.1).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn peak_velocity_pressure(
    basic: Speed,
    air: Density,
    height: Length,
    roughness: Length,
    least_height: Length,
) -> Result<AreaLoad, MechanicsError> {
    let mean =
        basic.not_negative("wind speed")? * roughness_factor(height, roughness, least_height)?;
    let turbulence = 1.0 / log_height(height, roughness, least_height)?;
    let pressure = 0.5 * air.positive("air density")? * mean * mean;
    ((1.0 + 7.0 * turbulence) * pressure).finite("peak velocity pressure")
}

/// ln(max(z, z_min)/z₀), above zero.
fn log_height(
    height: Length,
    roughness: Length,
    least_height: Length,
) -> Result<f64, MechanicsError> {
    let z = height
        .not_negative("height above the ground")?
        .max(least_height.positive("least height")?);
    let log = (z / roughness.positive("roughness length")?).value.ln();
    if log > 0.0 {
        log.finite("height over the roughness length")
    } else {
        Err(MechanicsError::NoSolution {
            what: "the roughness length is not below the height",
        })
    }
}

/// Probability factor: the basic wind of another yearly probability over that of 0.02.
///
/// # Equation
///
/// ```text
/// c_prob = [ (1 − K·ln(−ln(1 − p))) / (1 − K·ln(−ln 0.98)) ]^n,   K = 0.2,  n = 0.5
/// ```
///
/// # Symbols
///
/// - `c_prob`: probability factor on the basic wind (1)
/// - `p`: probability of being exceeded within a year (1)
/// - `K`, `n`: shape parameter and exponent, recommended values (1)
///
/// # Validity
///
/// Where the national annex keeps K and n.
///
/// # Source
///
/// EN 1991-1-4:2005, expression 4.2.
///
/// # Errors
///
/// When the probability is not between 0 and 1, or so near 1 that the distribution gives no wind.
///
/// # Example
///
/// Once in fifty years is what the map means: 1.
///
/// ```rust
/// use barkline::mechanics::wind::probability_factor;
///
/// assert!((probability_factor(0.02)? - 1.0).abs() < 1e-12);
/// assert!(probability_factor(0.2)? < 0.86);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn probability_factor(probability: f64) -> Result<f64, MechanicsError> {
    let p = probability.positive("probability")?;
    let level = |p: f64| 1.0 - 0.2 * (-(1.0 - p).ln()).ln();
    let ratio = level(p.between("probability", 0.0, 1.0)?) / level(0.02);
    ratio.positive("level of the distribution").map(f64::sqrt)
}

/// Force coefficient of a long round bar across the wind.
///
/// # Equation
///
/// ```text
/// c_f = 1.2 + 0.18·log₁₀(10·k/b) / (1 + 0.4·log₁₀(Re/10⁶))
/// ```
///
/// # Symbols
///
/// - `c_f`: force coefficient of a cylinder without end flow (1)
/// - `k/b`: equivalent roughness of its surface over its diameter (1)
/// - `Re`: Reynolds number b·v/ν, with ν = 15·10⁻⁶ m²/s (1)
///
/// # Validity
///
/// Past the drag crisis, Re of about 4·10⁵ and more. Slimmer and slower bars go with 1.2.
///
/// # Source
///
/// EN 1991-1-4:2005, Figure 7.28.
///
/// # Errors
///
/// When the roughness or the Reynolds number is not positive, or Re is so small that the equation has no meaning.
///
/// # Example
///
/// A rough bar, k/b = 0.1: the logarithm vanishes, 1.2.
///
/// ```rust
/// use barkline::mechanics::wind::cylinder_force_coefficient;
///
/// assert!((cylinder_force_coefficient(0.1, 1e6)? - 1.2).abs() < 1e-12);
/// assert!((cylinder_force_coefficient(0.001, 1e6)? - 0.84).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn cylinder_force_coefficient(roughness: f64, reynolds: f64) -> Result<f64, MechanicsError> {
    let k = roughness.positive("relative roughness")?;
    let below = 1.0 + 0.4 * (reynolds.positive("Reynolds number")? / 1e6).log10();
    let below = below.positive("1 + 0.4·log₁₀(Re/10⁶)")?;
    (1.2 + 0.18 * (10.0 * k).log10() / below).positive("force coefficient")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, metres_per_second, pascals};
    use crate::units::us::feet;
    use proptest::prelude::*;

    fn kz(z: f64) -> f64 {
        exposure_coefficient(2.01, 7.0, feet(1200.0), feet(z)).unwrap()
    }

    #[test]
    fn the_profile_is_continuous_at_its_floor_and_flat_below() {
        assert!((kz(15.0) - kz(15.0 + 1e-9)).abs() < 1e-10);
        assert!(kz(0.0).to_bits() == kz(15.0).to_bits() && kz(15.1) > kz(15.0));
        // At the gradient height the profile is its coefficient.
        assert!((kz(1200.0) - 2.01).abs() < 1e-12);
        assert!(exposure_coefficient(2.01, 7.0, feet(1200.0), feet(1200.1)).is_err());
    }

    #[test]
    fn far_from_the_crest_a_hill_does_nothing() {
        let hill = Hill {
            k1: 0.4,
            attenuation: 1.5,
            decay: 2.5,
            half_length: metres(40.0),
        };
        let at = |x: f64, z: f64| topographic_factor(&hill, metres(x), metres(z)).unwrap();
        assert_eq!(at(60.0, 0.0).to_bits(), 1.0_f64.to_bits());
        assert_eq!(at(200.0, 3.0).to_bits(), 1.0_f64.to_bits());
        assert_eq!(at(-20.0, 3.0).to_bits(), at(20.0, 3.0).to_bits());
        // K₂ = 1 − 30/60 = 0.5, K₃ = e^(−2.5·8/40) = 0.60653: (1 + 0.121306)² = 1.257327.
        assert!((at(30.0, 8.0) - 1.257_327).abs() < 1e-6);
    }

    #[test]
    fn a_light_wind_leaves_the_least_pressure() {
        let p = |q: f64| force_per_area(pascals(q), 0.85, 2.0, pascals(766.0)).unwrap();
        assert!((p(0.0).value - 766.0).abs() < 1e-12 && (p(1000.0).value - 1700.0).abs() < 1e-9);
    }

    #[test]
    fn a_faster_flow_drags_a_round_bar_more() {
        // 1.2 − 0.36/1.4 at ten times the Reynolds number of the example.
        let c = cylinder_force_coefficient(0.001, 1e7).unwrap();
        assert!((c - 0.942_857).abs() < 1e-6);
    }

    #[test]
    fn rarer_winds_are_stronger() {
        // One in 500 years: −ln(0.998) = 0.002002, ln of it −6.213607; likewise −3.901939 at 0.02.
        let expected = ((1.0 + 0.2 * 6.213_607) / (1.0 + 0.2 * 3.901_939_f64)).sqrt();
        assert!((probability_factor(0.002).unwrap() - expected).abs() < 1e-6);
        assert!(probability_factor(1.0).is_err() && probability_factor(0.0).is_err());
    }

    #[test]
    fn what_means_nothing_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(exposure_coefficient(bad, 7.0, feet(1200.0), feet(20.0)).is_err());
            assert!(exposure_coefficient(2.01, bad, feet(1200.0), feet(20.0)).is_err());
            assert!(exposure_coefficient(2.01, 7.0, feet(bad), feet(20.0)).is_err());
            assert!(exposure_coefficient(2.01, 7.0, feet(1200.0), feet(bad)).is_err());
            assert!(velocity_pressure(metres_per_second(bad), 1.0, 1.0, 1.0).is_err());
            assert!(velocity_pressure(metres_per_second(1.0), bad, 1.0, 1.0).is_err());
            assert!(velocity_pressure(metres_per_second(1.0), 1.0, bad, 1.0).is_err());
            assert!(velocity_pressure(metres_per_second(1.0), 1.0, 1.0, bad).is_err());
            assert!(design_pressure(pascals(1.0), bad).is_err());
            assert!(design_pressure(pascals(bad), 0.85).is_err());
            assert!(force_per_area(pascals(1.0), 0.85, bad, pascals(0.0)).is_err());
            assert!(openings_factor(bad).is_err() && probability_factor(bad).is_err());
            assert!(cylinder_force_coefficient(bad, 1e6).is_err());
            assert!(cylinder_force_coefficient(0.01, bad).is_err());
            assert!(roughness_factor(metres(bad), metres(0.3), metres(5.0)).is_err());
            assert!(roughness_factor(metres(10.0), metres(bad), metres(5.0)).is_err());
        }
        assert!(design_pressure(pascals(1.0), 1.01).is_err() && openings_factor(1.01).is_err());
        assert!(elevation_factor(metres(f64::NAN)).is_err());
        assert!(elevation_factor(metres(-1e9)).is_err());
        assert!(roughness_factor(metres(0.1), metres(0.3), metres(0.2)).is_err());
        assert!(cylinder_force_coefficient(0.01, 1e3).is_err());
    }

    proptest! {
        #[test]
        fn pressure_goes_with_the_square_of_the_speed(v in 1.0..80.0_f64, times in 1.0..3.0_f64) {
            let q = |v: f64| velocity_pressure(metres_per_second(v), 0.8, 1.1, 0.95).unwrap().value;
            prop_assert!((q(times * v) - times * times * q(v)).abs() <= 1e-9 * q(times * v));
            let en = |v: f64| peak_velocity_pressure(metres_per_second(v), EN_AIR, metres(12.0), metres(0.3), metres(5.0)).unwrap().value;
            prop_assert!((en(times * v) - times * times * en(v)).abs() <= 1e-9 * en(times * v));
        }

        #[test]
        fn wind_never_falls_with_height(z in 0.0..180.0_f64, more in 0.0..20.0_f64, alpha in 5.0..12.0_f64) {
            let asce = |z: f64| exposure_coefficient(2.41, alpha, feet(2000.0), metres(z)).unwrap();
            prop_assert!(asce(z + more) >= asce(z));
            let en = |z: f64| peak_velocity_pressure(metres_per_second(26.0), EN_AIR, metres(z), metres(0.3), metres(5.0)).unwrap();
            prop_assert!(en(z + more) >= en(z));
        }
    }
}
