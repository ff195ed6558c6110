//! The yield modes of a dowel across a gap: what stands between two members and lengthens the arm.
//!
//! Written per unit length (q = F_e·D) and with a bending resistance of the dowel in each member, so that a hollow,
//! threaded or stepped dowel fits as well as a plain one. Without a gap they are the equations of [`yield_modes`].
//!
//! [`yield_modes`]: super::yield_modes

use super::MechanicsError;
use super::guard::Guard;
use super::yield_modes::ModeLoads;
use crate::units::{Force, Length, LineLoad, Moment};

/// What one member gives the dowel, and the dowel in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// q, the bearing resistance per length of dowel: F_e·D.
    pub bearing: LineLoad,
    /// L, the bearing length of the dowel in the member.
    pub length: Length,
    /// M, the moment resistance of the dowel in the member: F_yb·D³/6 of a plain round one.
    pub moment: Moment,
}

impl Member {
    /// q, L and M in SI, if all are positive.
    fn si(&self) -> Result<(f64, f64, f64), MechanicsError> {
        Ok((
            self.bearing.positive("bearing resistance")?.value,
            self.length.positive("bearing length")?.value,
            self.moment
                .positive("moment resistance of the dowel")?
                .value,
        ))
    }
}

/// Yield loads of a dowel in single shear with a gap between the members.
///
/// # Equation
///
/// ```text
/// Im    P = q_m·L_m                             Is    P = q_s·L_s
/// other modes: the positive root of A·P² + B·P + C = 0,  P = (−B + √(B² − 4·A·C)) / (2·A)
///
/// II    A = 1/(4q_s) + 1/(4q_m)   B = L_s/2 + g + L_m/2   C = −q_s·L_s²/4 − q_m·L_m²/4
/// IIIm  A = 1/(2q_s) + 1/(4q_m)   B = g + L_m/2           C = −M_s − q_m·L_m²/4
/// IIIs  A = 1/(4q_s) + 1/(2q_m)   B = L_s/2 + g           C = −q_s·L_s²/4 − M_m
/// IV    A = 1/(2q_s) + 1/(2q_m)   B = g                   C = −M_s − M_m
/// ```
///
/// # Symbols
///
/// - `P`: yield load (N)
/// - `q`, `L`, `M` of the main (m) and the side member (s): bearing resistance per length (N/m), bearing length (m),
///   moment resistance of the dowel (N·m)
/// - `g`: gap between the members (m)
///
/// # Validity
///
/// Load at right angles to the dowel; bearing rigid-plastic, the dowel's moment resistance not reduced by shear.
///
/// # Source
///
/// AWC Technical Report 12 (2015), General Dowel Equations for Calculating Lateral Connection Values, Table 1-1; the form
/// from memory, confirmed by every number of its Example 3.1.
///
/// # Errors
///
/// When a number is not positive and finite, or the gap negative.
///
/// # Example
///
/// Example 3.1, half-inch bolt, 1-1/2 in members, 4800 psi, gap of half an inch: mode II is 333 lbf after R_d = 3.6.
///
/// ```rust
/// use barkline::mechanics::general_dowel::{Member, single_shear};
/// use barkline::mechanics::yield_modes::Mode;
/// use barkline::units::us::{inches, pound_inches, pounds_force, pounds_per_inch};
///
/// let member = Member { bearing: pounds_per_inch(2400.0), length: inches(1.5), moment: pound_inches(937.5) };
/// let (mode, p) = single_shear(&member, &member, inches(0.5))?.governing();
/// assert_eq!(mode, Mode::II);
/// assert!(((p / 3.6 / pounds_force(1.0)).value - 333.0).abs() <= 0.5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn single_shear(
    main: &Member,
    side: &Member,
    gap: Length,
) -> Result<ModeLoads, MechanicsError> {
    let ((qm, lm, mm), (qs, ls, ms)) = (main.si()?, side.si()?);
    let g = gap.not_negative("gap")?.value;
    let crushing = |q: f64, l: f64| q * l * l / 4.0;
    let ii = root(
        0.25 / qs + 0.25 / qm,
        ls / 2.0 + g + lm / 2.0,
        crushing(qs, ls) + crushing(qm, lm),
    );
    let iii_m = root(0.5 / qs + 0.25 / qm, g + lm / 2.0, ms + crushing(qm, lm));
    ModeLoads {
        im: main.bearing * main.length,
        is: side.bearing * side.length,
        ii: Some(ii),
        iii_m: Some(iii_m),
        iii_s: root(0.25 / qs + 0.5 / qm, ls / 2.0 + g, crushing(qs, ls) + mm),
        iv: root(0.5 / qs + 0.5 / qm, g, ms + mm),
    }
    .finite()
}

/// Yield loads of a dowel in double shear with a gap at each face of the main member.
///
/// # Equation
///
/// ```text
/// Im as in single shear;  Is, IIIs, IV twice those of single shear;  no II, no IIIm
/// ```
///
/// # Symbols
///
/// - as for [`single_shear`]; `L_s` in one side member (m), `g` at one face (m)
///
/// # Validity
///
/// As for [`single_shear`]; the two side members and the two gaps alike.
///
/// # Source
///
/// AWC Technical Report 12 (2015), Table 1-1, double shear, from memory.
///
/// # Errors
///
/// When a number is not positive and finite, or the gap negative.
///
/// # Example
///
/// Mode IV of Example 3.1 with a gap of half an inch is 501 lbf in each shear plane:
///
/// ```rust
/// use barkline::mechanics::general_dowel::{Member, double_shear};
/// use barkline::units::us::{inches, pound_inches, pounds_force, pounds_per_inch};
///
/// let member = Member { bearing: pounds_per_inch(2400.0), length: inches(1.5), moment: pound_inches(937.5) };
/// let p = double_shear(&member, &member, inches(0.5))?.iv;
/// assert!(((p / 3.2 / pounds_force(1.0)).value - 2.0 * 501.0).abs() <= 1.0);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn double_shear(
    main: &Member,
    side: &Member,
    gap: Length,
) -> Result<ModeLoads, MechanicsError> {
    single_shear(main, side, gap)?.in_double_shear().finite()
}

/// The positive root of A·P² + B·P − C = 0, in the form that loses no digits when B is large.
fn root(a: f64, b: f64, c: f64) -> Force {
    crate::units::si::newtons(2.0 * c / (b + (b * b + 4.0 * a * c).sqrt()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, newton_metres, newtons_per_metre};
    use proptest::prelude::*;

    fn member(q: f64, l: f64, m: f64) -> Member {
        Member {
            bearing: newtons_per_metre(q),
            length: metres(l),
            moment: newton_metres(m),
        }
    }

    #[test]
    fn a_wide_gap_leaves_the_moment_of_the_dowel_over_the_gap() {
        // Mode IV with g ≫ M/q: P → 2·M/g.
        let loads = single_shear(
            &member(1e6, 1.0, 100.0),
            &member(1e6, 1.0, 100.0),
            metres(10.0),
        )
        .unwrap();
        assert!((loads.iv.value / 20.0 - 1.0).abs() < 1e-5);
    }

    #[test]
    fn what_is_not_a_number_of_its_kind_is_refused() {
        let good = member(1e6, 0.1, 100.0);
        for bad in [
            member(0.0, 0.1, 1.0),
            member(1.0, -1.0, 1.0),
            member(1.0, 0.1, f64::NAN),
        ] {
            assert!(
                single_shear(&bad, &good, metres(0.0)).is_err()
                    && double_shear(&good, &bad, metres(0.0)).is_err()
            );
        }
        assert!(single_shear(&good, &good, metres(-0.001)).is_err());
        assert!(single_shear(&good, &good, metres(f64::INFINITY)).is_err());
    }

    proptest! {
        #[test]
        fn a_wider_gap_never_strengthens_and_swapped_members_swap_their_modes(
            qm in 1e5..1e7_f64, lm in 0.01..0.5_f64, mm in 10.0..1e4_f64,
            qs in 1e5..1e7_f64, ls in 0.01..0.5_f64, ms in 10.0..1e4_f64, g in 0.0..0.2_f64, more in 0.0..0.2_f64,
        ) {
            let (main, side) = (member(qm, lm, mm), member(qs, ls, ms));
            let near = single_shear(&main, &side, metres(g)).unwrap();
            let far = single_shear(&main, &side, metres(g + more)).unwrap();
            for ((_, near), (_, far)) in near.iter().zip(far.iter()) {
                prop_assert!(far <= near * (1.0 + 1e-12));
            }
            let swapped = single_shear(&side, &main, metres(g)).unwrap();
            prop_assert!(((swapped.iii_s / near.iii_m.unwrap()).value - 1.0).abs() < 1e-12);
            prop_assert!(((swapped.ii.unwrap() / near.ii.unwrap()).value - 1.0).abs() < 1e-12);
            prop_assert_eq!(swapped.im, near.is);
        }
    }
}
