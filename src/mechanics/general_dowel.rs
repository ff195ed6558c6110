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
