//! Why the fasteners of a long row do not share their load evenly, and how much the row loses.

use super::guard::Guard;
use super::{MechanicsError, Range};
use crate::units::us::{inches, pounds_per_inch};
use crate::units::{Force, Length, Stiffness};

/// Diameters for which the group action factor is stated (NDS 2018, 11.3.6).
pub const DIAMETERS: Range<Length> = Range {
    low: inches(0.25),
    high: inches(1.0),
};

/// What a dowel joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Joined {
    /// Wood to wood.
    WoodToWood,
    /// Wood to a metal side plate.
    WoodToMetal,
}

/// The slip modulus of one dowel that the group action factor is built on.
///
/// # Equation
///
/// ```text
/// γ = 180 000 · D^1.5  wood to wood,  270 000 · D^1.5  wood to metal   (lbf/in)
/// ```
///
/// # Symbols
///
/// - `γ`: load per slip of one dowel (N/m)
/// - `D`: diameter (in in the source)
///
/// # Validity
///
/// [`DIAMETERS`], bolts, lag screws and drift pins.
///
/// # Source
///
/// ANSI/AWC NDS-2018, 11.3.6.
///
/// # Errors
///
/// When the diameter is not positive and finite.
///
/// # Example
///
/// ```rust
/// use barkline::mechanics::group_action::{Joined, load_slip_modulus};
/// use barkline::units::us::{inches, pounds_per_inch};
///
/// let gamma = load_slip_modulus(inches(1.0), Joined::WoodToMetal)?;
/// assert!(((gamma / pounds_per_inch(1.0)).value - 270_000.0).abs() < 1e-6);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn load_slip_modulus(diameter: Length, joined: Joined) -> Result<Stiffness, MechanicsError> {
    let d = (diameter.positive("dowel diameter")? / inches(1.0)).value;
    let constant = match joined {
        Joined::WoodToWood => 180_000.0,
        Joined::WoodToMetal => 270_000.0,
    };
    pounds_per_inch(constant * d.powf(1.5)).finite("slip modulus")
}

/// Share of the sum of its fasteners' values that a row carries.
///
/// # Equation
///
/// ```text
/// C_g = m·(1 − m^(2n)) / {n·[(1 + R_EA·mⁿ)·(1 + m) − 1 + m^(2n)]} · (1 + R_EA)/(1 − m)
/// m = u − √(u² − 1),   u = 1 + γ·(s/2)·(1/(E_m·A_m) + 1/(E_s·A_s))
/// R_EA = min(E_s·A_s/(E_m·A_m), E_m·A_m/(E_s·A_s))
/// ```
///
/// # Symbols
///
/// - `C_g`: group action factor (1)
/// - `n`: fasteners in the row (1)
/// - `γ`: slip modulus of one fastener (N/m), see [`load_slip_modulus`]
/// - `s`: spacing of the fasteners, centre to centre (m)
/// - `E_m·A_m`, `E_s·A_s`: axial stiffness of the main member and of the side members together (N)
///
/// # Validity
///
/// [`DIAMETERS`], equal fasteners at equal spacing, row along the load.
///
/// # Source
///
/// ANSI/AWC NDS-2018, Equation 11.3-1.
///
/// # Errors
///
/// When a number is not positive and finite, or there is no fastener.
///
/// # Example
///
/// Table 11.3.6A prints 0.96: four fasteners, members of 12 in² each, E = 1.4e6 psi, s = 4 in, γ = 180 000 lbf/in.
///
/// ```rust
/// use barkline::mechanics::group_action::group_action_factor;
/// use barkline::units::us::{inches, pounds_force, pounds_per_inch};
///
/// let ea = pounds_force(12.0 * 1.4e6);
/// let c_g = group_action_factor(4, pounds_per_inch(180_000.0), inches(4.0), ea, ea)?;
/// assert!((c_g - 0.96).abs() <= 0.005);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn group_action_factor(
    fasteners: u32,
    slip_modulus: Stiffness,
    spacing: Length,
    main_axial: Force,
    side_axial: Force,
) -> Result<f64, MechanicsError> {
    let n = f64::from(fasteners).positive("number of fasteners")?;
    let gamma = slip_modulus.positive("slip modulus")?;
    let s = spacing.positive("spacing")?;
    let main = main_axial.positive("axial stiffness of the main member")?;
    let side = side_axial.positive("axial stiffness of the side members")?;
    let r_ea = (side / main).min(main / side).value;

    // m = e^(−a): no digits are lost where the joint is stiff in comparison with its fasteners and m is close to 1.
    let excess = (gamma * s / 2.0 * (1.0 / main + 1.0 / side)).value;
    let a = 2.0 * (excess / 2.0).sqrt().asinh();
    let (m, mn) = ((-a).exp(), (-n * a).exp());
    let share = (-2.0 * n * a).exp_m1() / (-a).exp_m1();
    let c_g = m * share * (1.0 + r_ea) / (n * ((1.0 + r_ea * mn) * (1.0 + m) - 1.0 + mn * mn));
    c_g.finite("group action factor")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::us::pounds_force;
    use proptest::prelude::*;

    fn factor(n: u32, main: f64, side: f64) -> f64 {
        let gamma = load_slip_modulus(inches(1.0), Joined::WoodToWood).unwrap();
        group_action_factor(
            n,
            gamma,
            inches(4.0),
            pounds_force(main),
            pounds_force(side),
        )
        .unwrap()
    }

    #[test]
    fn metal_sides_make_a_stiffer_joint() {
        let gamma = |joined| load_slip_modulus(inches(0.75), joined).unwrap();
        assert!(
            ((gamma(Joined::WoodToMetal) / gamma(Joined::WoodToWood)).value - 1.5).abs() < 1e-12
        );
        assert!(
            ((gamma(Joined::WoodToWood) / pounds_per_inch(180_000.0)).value - 0.75_f64.powf(1.5))
                .abs()
                < 1e-12
        );
    }

    #[test]
    fn members_that_do_not_stretch_share_evenly() {
        assert!((factor(12, 1e18, 1e18) - 1.0).abs() < 1e-9);
        assert!((factor(12, 1e30, 1e30) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_a_positive_number_is_refused() {
        let (gamma, s, ea) = (pounds_per_inch(1e5), inches(4.0), pounds_force(1e7));
        assert!(group_action_factor(0, gamma, s, ea, ea).is_err());
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(group_action_factor(2, pounds_per_inch(bad), s, ea, ea).is_err());
            assert!(group_action_factor(2, gamma, inches(bad), ea, ea).is_err());
            assert!(group_action_factor(2, gamma, s, pounds_force(bad), ea).is_err());
            assert!(group_action_factor(2, gamma, s, ea, pounds_force(bad)).is_err());
            assert!(load_slip_modulus(inches(bad), Joined::WoodToWood).is_err());
        }
    }

    proptest! {
        /// The equation as the source writes it, in u and m.
        #[test]
        fn it_is_the_equation_of_the_source(n in 1..20_u32, main in 1e6..1e9_f64, side in 1e6..1e9_f64) {
            let r_ea = (main / side).min(side / main);
            let u = 1.0 + 180_000.0 * 2.0 * (1.0 / main + 1.0 / side);
            let m = u - (u * u - 1.0).sqrt();
            let k = f64::from(n);
            let written = m * (1.0 - m.powf(2.0 * k)) / (k * ((1.0 + r_ea * m.powf(k)) * (1.0 + m) - 1.0 + m.powf(2.0 * k)))
                * (1.0 + r_ea) / (1.0 - m);
            prop_assert!((factor(n, main, side) / written - 1.0).abs() < 1e-9);
        }

        #[test]
        fn one_fastener_loses_nothing_and_more_never_gain(n in 1..20_u32, main in 1e6..1e9_f64, side in 1e6..1e9_f64) {
            prop_assert!((factor(1, main, side) - 1.0).abs() < 1e-12);
            prop_assert!(factor(n + 1, main, side) <= factor(n, main, side) * (1.0 + 1e-12));
            prop_assert!((factor(n, main, side) - factor(n, side, main)).abs() < 1e-12);
        }
    }
}
