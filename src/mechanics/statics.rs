//! Beams and platforms that can be worked out by hand: the references a frame analysis is held against.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{FlexuralStiffness, Force, Length, LineLoad, Moment, Stiffness};

/// One span of a continuous beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Distance between the supports.
    pub length: Length,
    /// Even load on the span, positive down.
    pub load: LineLoad,
}

/// What a continuous beam on rigid supports does.
#[derive(Clone, Debug, PartialEq)]
pub struct ContinuousBeam {
    /// Reactions from the first support to the last, positive up.
    pub reactions: Vec<Force>,
    /// Moments over the supports, positive sagging; the outer two are zero.
    pub support_moments: Vec<Moment>,
    /// The largest sagging moment of each span, its ends included.
    pub span_moments: Vec<Moment>,
}

/// A continuous beam of even section on rigid supports.
///
/// # Equation
///
/// ```text
/// M₀·L₁ + 2·M₁·(L₁ + L₂) + M₂·L₂ = −(w₁·L₁³ + w₂·L₂³)/4   at every inner support
/// ```
///
/// # Symbols
///
/// - `M₀`, `M₁`, `M₂`: moments over three supports in a row (N·m), positive sagging
/// - `L₁`, `L₂`: the spans between them (m)
/// - `w₁`, `w₂`: even loads on them (N/m)
///
/// # Validity
///
/// Linear bending without shear flexibility, supports that neither yield nor lift (a support that would pull has a negative
/// reaction), ends free to turn.
///
/// # Source
///
/// B. P. É. Clapeyron, equation of three moments (1857).
///
/// # Errors
///
/// When there is no span, a span is not positive, or a number is not finite.
///
/// # Example
///
/// Two equal spans under even load: 0.375, 1.25 and 0.375 wL, as in the tables of the AISC Manual.
///
/// ```rust
/// use barkline::mechanics::statics::{Span, continuous_beam};
/// use barkline::units::us::{feet, plf};
///
/// let span = Span { length: feet(10.0), load: plf(400.0) };
/// let beam = continuous_beam(&[span, span])?;
/// for (reaction, table) in beam.reactions.iter().zip([0.375, 1.25, 0.375]) {
///     assert!(((*reaction / (span.load * span.length)).value - table).abs() < 1e-12);
/// }
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn continuous_beam(spans: &[Span]) -> Result<ContinuousBeam, MechanicsError> {
    let spans = spans
        .iter()
        .map(|s| {
            Ok((
                s.length.positive("span")?.value,
                s.load.finite("load")?.value,
            ))
        })
        .collect::<Result<Vec<_>, _>>()?;
    if spans.is_empty() {
        return Err(MechanicsError::NoSolution {
            what: "a beam without a span",
        });
    }
    let moments = support_moments(&spans);
    let ends = moments.iter().zip(moments.iter().skip(1));
    let shears = || {
        ends.clone()
            .zip(&spans)
            .map(|((left, right), &(l, w))| (w * l / 2.0, (right - left) / l))
    };
    let from_right = std::iter::once(0.0).chain(shears().map(|(half, step)| half - step));
    let from_left = shears()
        .map(|(half, step)| half + step)
        .chain(std::iter::once(0.0));
    let crest = |((&left, &right), &(l, w)): ((&f64, &f64), &(f64, f64))| {
        let v = w * l / 2.0 + (right - left) / l;
        let inside = w > 0.0 && v > 0.0 && v < w * l;
        if inside {
            left + v * v / (2.0 * w)
        } else {
            left.max(right)
        }
    };
    let force = |value: f64| crate::units::si::newtons(value).finite("reaction");
    let moment = |value: f64| crate::units::si::newton_metres(value).finite("moment");
    Ok(ContinuousBeam {
        reactions: from_right
            .zip(from_left)
            .map(|(r, l)| force(r + l))
            .collect::<Result<_, _>>()?,
        span_moments: ends
            .clone()
            .zip(&spans)
            .map(crest)
            .map(moment)
            .collect::<Result<_, _>>()?,
        support_moments: moments
            .iter()
            .map(|&m| moment(m))
            .collect::<Result<_, _>>()?,
    })
}

/// The moments over all supports of spans (length, load): elimination from the left, substitution from the right.
fn support_moments(spans: &[(f64, f64)]) -> Vec<f64> {
    let mut rows: Vec<(f64, f64)> = Vec::with_capacity(spans.len());
    for (&(l1, w1), &(l2, w2)) in spans.iter().zip(spans.iter().skip(1)) {
        // Row of the support between the two spans, the moment on its left replaced by (known − factor·own).
        let (factor, known) = rows.last().copied().unwrap_or((0.0, 0.0));
        let own = 2.0 * (l1 + l2) - l1 * factor;
        let load = -(w1 * l1.powi(3) + w2 * l2.powi(3)) / 4.0;
        rows.push((l2 / own, (load - l1 * known) / own));
    }
    let mut moments = vec![0.0];
    for (factor, known) in rows.into_iter().rev() {
        let right = moments.last().copied().unwrap_or(0.0);
        moments.push(known - factor * right);
    }
    moments.push(0.0);
    moments.reverse();
    moments
}

/// Reactions of a beam of two equal spans on three equal springs.
///
/// # Equation
///
/// ```text
/// R_B = w·L·(5/24 + α)/(1/6 + 3α/2),   α = E·I/(k·L³),   R_A = R_C = (2·w·L − R_B)/2
/// ```
///
/// # Symbols
///
/// - `R_A`, `R_B`, `R_C`: reactions (N)
/// - `w`: even load on both spans (N/m); `L`: span (m)
/// - `E·I`: flexural stiffness of the beam (N·m²); `k`: stiffness of each support (N/m)
///
/// # Validity
///
/// Linear bending without shear flexibility.
///
/// # Source
///
/// Derived here by the force method; the limits α → 0 (5/4) and α → ∞ (2/3) are those of rigid supports and of a rigid beam.
///
/// # Errors
///
/// When the load is not finite or another number not positive and finite.
///
/// # Example
///
/// Two spans of 10 ft under 400 plf with α = 0.1: 3894.7 lbf in the middle instead of 5000.
///
/// ```rust
/// use barkline::mechanics::statics::two_spans_on_springs;
/// use barkline::units::us::{feet, plf, pounds_force, pounds_per_inch};
///
/// let (l, k) = (feet(10.0), pounds_per_inch(10_000.0));
/// let [_, middle, _] = two_spans_on_springs(plf(400.0), l, 0.1 * k * l * l * l, k)?;
/// assert!(((middle / pounds_force(1.0)).value - 3894.7).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn two_spans_on_springs(
    load: LineLoad,
    span: Length,
    flexural: FlexuralStiffness,
    support: Stiffness,
) -> Result<[Force; 3], MechanicsError> {
    let l = span.positive("span")?;
    let k = support.positive("stiffness of the supports")?;
    let alpha = (flexural.positive("flexural stiffness")? / (k * l * l * l))
        .value
        .finite("relative stiffness")?;
    let total = load.finite("load")? * l;
    let middle = (total * ((5.0 / 24.0 + alpha) / (1.0 / 6.0 + 1.5 * alpha))).finite("reaction")?;
    let end = (total - middle / 2.0).finite("reaction")?;
    Ok([end, middle, end])
}

/// Reactions of a beam on two supports that overhangs one of them, evenly loaded over its whole length.
///
/// # Equation
///
/// ```text
/// R₁ = w·(l² − a²)/(2·l),   R₂ = w·(l + a)²/(2·l)
/// ```
///
/// # Symbols
///
/// - `R₁`, `R₂`: reactions at the far support and at the overhung one (N); negative R₁ is uplift
/// - `w`: even load (N/m); `l`: span (m); `a`: overhang (m)
///
/// # Validity
///
/// Statically determinate: any beam.
///
/// # Source
///
/// Statics; in the beam tables of the AISC Manual (from memory).
///
/// # Errors
///
/// When the load is not finite, the span not positive, or the overhang negative.
///
/// # Example
///
/// Span 10 ft, overhang 3 ft, 200 plf: 910 and 1690 lbf.
///
/// ```rust
/// use barkline::mechanics::statics::overhanging_beam;
/// use barkline::units::us::{feet, plf, pounds_force};
///
/// let [far, near] = overhanging_beam(plf(200.0), feet(10.0), feet(3.0))?;
/// assert!(((far / pounds_force(1.0)).value - 910.0).abs() < 1e-9);
/// assert!(((near / pounds_force(1.0)).value - 1690.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn overhanging_beam(
    load: LineLoad,
    span: Length,
    overhang: Length,
) -> Result<[Force; 2], MechanicsError> {
    let (w, l, a) = (
        load.finite("load")?,
        span.positive("span")?,
        overhang.not_negative("overhang")?,
    );
    let far = w * ((l - a) * (l + a) / (2.0 * l));
    let near = w * ((l + a) * (l + a) / (2.0 * l));
    Ok([far.finite("reaction")?, near.finite("reaction")?])
}

/// Reactions of a beam on two supports that overhangs one of them, evenly loaded on the overhang alone.
///
/// # Equation
///
/// ```text
/// R₁ = −w·a²/(2·l),   R₂ = w·a·(2·l + a)/(2·l)
/// ```
///
/// # Symbols
///
/// - `R₁`, `R₂`: reactions at the far support, uplift, and at the overhung one (N)
/// - `w`: even load (N/m); `l`: span (m); `a`: overhang (m)
///
/// # Validity
///
/// Statically determinate: any beam.
///
/// # Source
///
/// Statics; in the beam tables of the AISC Manual (from memory).
///
/// # Errors
///
/// When the load is not finite, the span not positive, or the overhang negative.
///
/// # Example
///
/// Span 10 ft, overhang 3 ft, 200 plf: −90 lbf, uplift, and 690 lbf.
///
/// ```rust
/// use barkline::mechanics::statics::loaded_overhang;
/// use barkline::units::us::{feet, plf, pounds_force};
///
/// let [far, near] = loaded_overhang(plf(200.0), feet(10.0), feet(3.0))?;
/// assert!(((far / pounds_force(1.0)).value + 90.0).abs() < 1e-9);
/// assert!(((near / pounds_force(1.0)).value - 690.0).abs() < 1e-9);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn loaded_overhang(
    load: LineLoad,
    span: Length,
    overhang: Length,
) -> Result<[Force; 2], MechanicsError> {
    let (w, l, a) = (
        load.finite("load")?,
        span.positive("span")?,
        overhang.not_negative("overhang")?,
    );
    let far = -w * (a * a / (2.0 * l));
    let near = w * (a * (2.0 * l + a) / (2.0 * l));
    Ok([far.finite("reaction")?, near.finite("reaction")?])
}

/// A place in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// East.
    pub x: Length,
    /// North.
    pub y: Length,
}

impl Point {
    /// Both coordinates in metres, if finite.
    fn si(&self) -> Result<[f64; 2], MechanicsError> {
        Ok([
            self.x.finite("coordinate")?.value,
            self.y.finite("coordinate")?.value,
        ])
    }
}

/// Shares of a load that three supports of a rigid platform carry.
///
/// # Equation
///
/// ```text
/// λ₁ + λ₂ + λ₃ = 1,   λ₁·r₁ + λ₂·r₂ + λ₃·r₃ = r
/// ```
///
/// # Symbols
///
/// - `λ`: reaction of each support over the load (1); negative is uplift
/// - `r₁`, `r₂`, `r₃`, `r`: places of the supports and of the load in plan (m)
///
/// # Validity
///
/// Statically determinate: any stiffness of supports or platform. Outside the triangle of supports a share is negative.
///
/// # Source
///
/// Statics: the barycentric coordinates of A. F. Möbius (1827).
///
/// # Errors
///
/// When a coordinate is not finite, or the supports lie in one line.
///
/// # Example
///
/// Supports at (0, 0), (10, 0) and (3, 8) ft, 6000 lbf at (4.5, 3.5) ft: 1462.5, 1912.5 and 2625 lbf.
///
/// ```rust
/// use barkline::mechanics::statics::{Point, three_supports};
/// use barkline::units::us::feet;
///
/// let at = |x, y| Point { x: feet(x), y: feet(y) };
/// let shares = three_supports([at(0.0, 0.0), at(10.0, 0.0), at(3.0, 8.0)], at(4.5, 3.5))?;
/// for (share, reaction) in shares.iter().zip([1462.5, 1912.5, 2625.0]) {
///     assert!((6000.0 * share - reaction).abs() < 1e-9);
/// }
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn three_supports(supports: [Point; 3], load: Point) -> Result<[f64; 3], MechanicsError> {
    let [r1, r2, r3] = supports;
    let ([x, y], [x1, y1], [x2, y2], [x3, y3]) = (load.si()?, r1.si()?, r2.si()?, r3.si()?);
    let (a, b) = ([x2 - x1, y2 - y1], [x3 - x1, y3 - y1]);
    let determinant = a[0] * b[1] - a[1] * b[0];
    if determinant.abs() <= IN_ONE_LINE * a[0].hypot(a[1]) * b[0].hypot(b[1]) {
        return Err(MechanicsError::NoSolution {
            what: "three supports in one line",
        });
    }
    let second = ((x - x1) * b[1] - (y - y1) * b[0]) / determinant;
    let third = (a[0] * (y - y1) - a[1] * (x - x1)) / determinant;
    let first = 1.0 - second - third;
    Ok([
        first.finite("share of load")?,
        second.finite("share of load")?,
        third.finite("share of load")?,
    ])
}

/// Supports count as standing in one line when their width over their length is below this: 10 µm on 10 m, far above the
/// rounding of coordinates and far below anything built.
const IN_ONE_LINE: f64 = 1e-6;

/// An elastic support in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpringSupport {
    /// Where it stands.
    pub at: Point,
    /// Its stiffness in the direction of the load.
    pub stiffness: Stiffness,
}

/// Reactions of elastic supports under a rigid platform.
///
/// # Equation
///
/// ```text
/// R_i = k_i·[W/Σk + a·(x_i − x̄) + b·(y_i − ȳ)]
/// I_xx·a + I_xy·b = W·(x − x̄),   I_xy·a + I_yy·b = W·(y − ȳ)
/// x̄ = Σk·x/Σk,   I_xx = Σk·(x_i − x̄)²,   I_xy = Σk·(x_i − x̄)·(y_i − ȳ),   likewise ȳ, I_yy
/// ```
///
/// # Symbols
///
/// - `R_i`: reactions in the order of the supports (N); negative is uplift
/// - `k_i`, `x_i`, `y_i`: stiffness (N/m) and place (m) of each support
/// - `W`, `x`, `y`: load (N) and its place (m)
///
/// # Validity
///
/// A platform much stiffer than its supports; supports that can pull as well as push.
///
/// # Source
///
/// Statics, as for the piles of a rigid cap.
///
/// # Errors
///
/// When a number is not finite, a stiffness not positive, or all supports lie in one line.
///
/// # Example
///
/// Four equal supports of a frame 10 ft by 8 ft, 4000 lbf at 1.5 ft and 1 ft from its centre: 1550, 950, 450, 1050 lbf.
///
/// ```rust
/// use barkline::mechanics::statics::{Point, SpringSupport, rigid_platform};
/// use barkline::units::us::{feet, pounds_force, pounds_per_inch};
///
/// let at = |x, y| Point { x: feet(x), y: feet(y) };
/// let corners = [at(5.0, 4.0), at(-5.0, 4.0), at(-5.0, -4.0), at(5.0, -4.0)];
/// let supports = corners.map(|at| SpringSupport { at, stiffness: pounds_per_inch(9000.0) });
/// let reactions = rigid_platform(&supports, pounds_force(4000.0), at(1.5, 1.0))?;
/// for (r, by_hand) in reactions.iter().zip([1550.0, 950.0, 450.0, 1050.0]) {
///     assert!(((*r / pounds_force(1.0)).value - by_hand).abs() < 1e-9);
/// }
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn rigid_platform(
    supports: &[SpringSupport],
    load: Force,
    at: Point,
) -> Result<Vec<Force>, MechanicsError> {
    let springs = supports
        .iter()
        .map(|s| {
            Ok((
                s.stiffness.positive("stiffness of a support")?.value,
                s.at.si()?,
            ))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let (w, [x, y]) = (load.finite("load")?.value, at.si()?);
    let sum =
        |of: &dyn Fn(f64, f64) -> f64| springs.iter().map(|&(k, [x, y])| k * of(x, y)).sum::<f64>();
    let total = sum(&|_, _| 1.0);
    let (xm, ym) = (sum(&|x, _| x) / total, sum(&|_, y| y) / total);
    let (ixx, iyy) = (sum(&|x, _| (x - xm).powi(2)), sum(&|_, y| (y - ym).powi(2)));
    let ixy = sum(&|x, y| (x - xm) * (y - ym));
    let determinant = ixx * iyy - ixy * ixy;
    if determinant.is_nan() || determinant <= (IN_ONE_LINE * (ixx + iyy)).powi(2) {
        return Err(MechanicsError::NoSolution {
            what: "the supports do not span a plane",
        });
    }
    let (mx, my) = (w * (x - xm), w * (y - ym));
    let (a, b) = (
        (mx * iyy - my * ixy) / determinant,
        (my * ixx - mx * ixy) / determinant,
    );
    let reaction = |&(k, [x, y]): &(f64, [f64; 2])| k * (w / total + a * (x - xm) + b * (y - ym));
    springs
        .iter()
        .map(|s| crate::units::si::newtons(reaction(s)).finite("reaction"))
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::units::si::{metres, newtons, newtons_per_metre};
    use proptest::prelude::*;

    fn point(x: f64, y: f64) -> Point {
        Point {
            x: metres(x),
            y: metres(y),
        }
    }

    fn springs(places: &[(f64, f64, f64)]) -> Vec<SpringSupport> {
        places
            .iter()
            .map(|&(x, y, k)| SpringSupport {
                at: point(x, y),
                stiffness: newtons_per_metre(k),
            })
            .collect()
    }

    #[test]
    fn a_single_span_is_a_simple_beam() {
        let span = Span {
            length: metres(4.0),
            load: newtons_per_metre(300.0),
        };
        let beam = continuous_beam(&[span]).unwrap();
        assert_eq!(beam.reactions, [newtons(600.0), newtons(600.0)]);
        assert_eq!(beam.span_moments.len(), 1);
        assert!((beam.span_moments[0].value - 600.0).abs() < 1e-12);
        assert!(continuous_beam(&[]).is_err());
    }

    #[test]
    fn a_beam_on_springs_runs_between_its_two_limits() {
        let (w, l, k) = (
            newtons_per_metre(100.0),
            metres(3.0),
            newtons_per_metre(1e6),
        );
        let middle = |alpha: f64| {
            let [a, b, c] = two_spans_on_springs(w, l, alpha * k * l * l * l, k).unwrap();
            assert!((a.value + b.value + c.value - 600.0).abs() < 1e-9 && a == c);
            b.value / 300.0
        };
        assert!((middle(1e-12) - 1.25).abs() < 1e-9 && (middle(1e12) - 2.0 / 3.0).abs() < 1e-9);
        assert!((middle(0.05) - 1.069).abs() < 5e-4);
    }

    #[test]
    fn three_supports_in_line_hold_nothing() {
        assert!(
            three_supports(
                [point(0.0, 0.0), point(1.0, 1.0), point(3.0, 3.0)],
                point(1.0, 0.0)
            )
            .is_err()
        );
        assert!(
            three_supports(
                [point(0.0, 0.0), point(0.0, 0.0), point(3.0, 1.0)],
                point(1.0, 0.0)
            )
            .is_err()
        );
        assert!(
            three_supports(
                [point(0.1, 0.2), point(1e200, 1.0), point(3.0, 1e200)],
                point(1e200, 0.0)
            )
            .is_err()
        );
    }

    #[test]
    fn springs_in_line_hold_nothing_wherever_the_line_runs() {
        for places in [
            vec![],
            vec![(1.0, 1.0, 5.0)],
            vec![(0.0, 0.0, 5.0), (1.0, 2.0, 5.0)],
            vec![(0.1, 0.3, 5.0), (0.7, 0.3, 6.0), (1.9, 0.3, 7.0)],
            vec![(0.1, 0.3, 5.0), (0.2, 0.6, 6.0), (0.7, 2.1, 7.0)],
            vec![(5000.1, 0.1, 5.0), (5000.3, 0.1, 6.0), (5000.7, 0.1, 7.0)],
        ] {
            assert!(
                rigid_platform(&springs(&places), newtons(1.0), point(0.0, 0.0)).is_err(),
                "{places:?}"
            );
        }
    }

    #[test]
    fn what_is_not_a_number_of_its_kind_is_refused() {
        let (w, l) = (newtons_per_metre(1.0), metres(1.0));
        for bad in [f64::NAN, f64::INFINITY] {
            assert!(
                continuous_beam(&[Span {
                    length: l,
                    load: w * bad
                }])
                .is_err()
            );
            assert!(
                overhanging_beam(w * bad, l, l).is_err() && loaded_overhang(w, l, l * bad).is_err()
            );
            assert!(two_spans_on_springs(w * bad, l, w * l * l * l, w).is_err());
            assert!(
                rigid_platform(&springs(&[(0.0, 0.0, bad)]), newtons(1.0), point(0.0, 0.0))
                    .is_err()
            );
        }
        assert!(
            continuous_beam(&[Span {
                length: metres(0.0),
                load: w
            }])
            .is_err()
        );
        assert!(
            overhanging_beam(w, metres(0.0), l).is_err()
                && overhanging_beam(w, l, metres(-0.1)).is_err()
        );
        assert!(two_spans_on_springs(w, l, w * l * l * l, newtons_per_metre(0.0)).is_err());
    }

    proptest! {
        #[test]
        fn reactions_balance_the_load_and_its_moment(
            spans in prop::collection::vec((0.5..6.0_f64, -500.0..500.0_f64), 1..7),
        ) {
            let list: Vec<Span> =
                spans.iter().map(|&(l, w)| Span { length: metres(l), load: newtons_per_metre(w) }).collect();
            let beam = continuous_beam(&list).unwrap();
            let (mut at, mut moment, mut load) = (0.0, 0.0, 0.0);
            let mut places = vec![0.0];
            for &(l, w) in &spans {
                load += w * l;
                moment += w * l * (at + l / 2.0);
                at += l;
                places.push(at);
            }
            let sum: f64 = beam.reactions.iter().map(|r| r.value).sum();
            let turned: f64 = beam.reactions.iter().zip(&places).map(|(r, x)| r.value * x).sum();
            prop_assert!((sum - load).abs() < 1e-8 && (turned - moment).abs() < 1e-7);
            // Slopes of the two spans meet over every inner support.
            for (i, pair) in spans.windows(2).enumerate() {
                let ((l1, w1), (l2, w2)) = (pair[0], pair[1]);
                let m: Vec<f64> = beam.support_moments[i..i + 3].iter().map(|m| m.value).collect();
                let clapeyron = m[0] * l1 + 2.0 * m[1] * (l1 + l2) + m[2] * l2 + (w1 * l1.powi(3) + w2 * l2.powi(3)) / 4.0;
                prop_assert!(clapeyron.abs() < 1e-8);
            }
        }

        /// Reactions balance the load, and each is its stiffness times the sinking of one plane.
        #[test]
        fn a_rigid_platform_sinks_as_a_plane(
            places in prop::collection::vec((-3.0..5.0_f64, -4.0..2.0_f64, 1.0..9.0_f64), 4..7),
            [x, y] in [-2.0..3.0_f64, -2.0..2.0_f64],
        ) {
            let found = rigid_platform(&springs(&places), newtons(100.0), point(x, y));
            prop_assume!(found.is_ok());
            let found: Vec<f64> = found.unwrap().iter().map(|r| r.value).collect();
            let size: f64 = found.iter().map(|r| r.abs()).sum();
            let sum = |of: &dyn Fn(usize) -> f64| (0..places.len()).map(|i| found[i] * of(i)).sum::<f64>();
            prop_assert!((sum(&|_| 1.0) - 100.0).abs() <= 1e-9 * size);
            prop_assert!((sum(&|i| places[i].0) - 100.0 * x).abs() <= 1e-8 * size);
            prop_assert!((sum(&|i| places[i].1) - 100.0 * y).abs() <= 1e-8 * size);
            let sinks = |i: usize| nalgebra::Vector3::new(places[i].0, places[i].1, found[i] / places[i].2);
            let normal = (sinks(1) - sinks(0)).cross(&(sinks(2) - sinks(0)));
            for i in 3..places.len() {
                let off = normal.dot(&(sinks(i) - sinks(0)));
                prop_assert!(off.abs() <= 1e-9 * size * (1.0 + normal.norm()), "{i}: {off}");
            }
        }

        #[test]
        fn an_overhang_is_its_two_parts(w in -9.0..9.0_f64, l in 0.5..9.0_f64, a in 0.0..9.0_f64) {
            let (load, span, end) = (newtons_per_metre(w), metres(l), metres(a));
            let [far, near] = overhanging_beam(load, span, end).unwrap();
            let [end_far, end_near] = loaded_overhang(load, span, end).unwrap();
            prop_assert!((far.value - end_far.value - w * l / 2.0).abs() < 1e-9);
            prop_assert!((near.value - end_near.value - w * l / 2.0).abs() < 1e-9);
        }

        #[test]
        fn three_springs_carry_what_three_supports_carry(
            x in -9.0..9.0_f64, y in -9.0..9.0_f64, k in prop::array::uniform3(1e3..1e7_f64),
        ) {
            let triangle = [(0.0, 0.0), (10.0, 0.0), (3.0, 8.0)];
            let shares = three_supports(triangle.map(|(x, y)| point(x, y)), point(x, y)).unwrap();
            let places: Vec<_> = triangle.iter().zip(k).map(|(&(x, y), k)| (x, y, k)).collect();
            let reactions = rigid_platform(&springs(&places), newtons(1.0), point(x, y)).unwrap();
            for (share, reaction) in shares.iter().zip(reactions) {
                prop_assert!((share - reaction.value).abs() < 1e-7);
            }
        }

        #[test]
        fn four_springs_balance_the_load_and_both_moments(
            k in prop::array::uniform4(1e3..1e6_f64), x in -9.0..9.0_f64, y in -9.0..9.0_f64,
        ) {
            let corners = [(5.0, 4.0), (-5.0, 3.0), (-4.0, -4.0), (6.0, -4.0)];
            let places: Vec<_> = corners.iter().zip(k).map(|(&(x, y), k)| (x, y, k)).collect();
            let reactions = rigid_platform(&springs(&places), newtons(100.0), point(x, y)).unwrap();
            let sum = |of: fn(&(f64, f64, f64)) -> f64| -> f64 {
                reactions.iter().zip(&places).map(|(r, p)| r.value * of(p)).sum()
            };
            prop_assert!((sum(|_| 1.0) - 100.0).abs() < 1e-8);
            prop_assert!((sum(|p| p.0) - 100.0 * x).abs() < 1e-7 && (sum(|p| p.1) - 100.0 * y).abs() < 1e-7);
            // A rigid platform stays plane: the settlements R/k are those of one plane through three of the corners.
            let down: Vec<f64> = reactions.iter().zip(&places).map(|(r, p)| r.value / p.2).collect();
            let [a, b, c] = three_supports([point(5.0, 4.0), point(-5.0, 3.0), point(-4.0, -4.0)], point(6.0, -4.0)).unwrap();
            prop_assert!((a * down[0] + b * down[1] + c * down[2] - down[3]).abs() < 1e-9 * (1.0 + down[3].abs()));
        }
    }
}
