//! What a cavity or a drilled hole takes from the bending strength of a round stem, and what an anchor adds to its stress.

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{Force, Length, Stress};
use std::f64::consts::PI;

/// Share of the area of a stem that a central cavity takes.
///
/// # Equation
///
/// ```text
/// loss = (1 − 2t/D)²
/// ```
///
/// # Symbols
///
/// - `loss`: area of the cavity over area of the stem (1)
/// - `D`: stem diameter under bark (m)
/// - `t`: thickness of the sound shell (m)
///
/// # Validity
///
/// A round, central cavity.
///
/// # Source
///
/// Geometry.
///
/// # Errors
///
/// When a length is not positive and finite, or the shell is thicker than the radius.
///
/// # Example
///
/// A shell of 0.3 radii leaves 51 % of the area:
///
/// ```rust
/// use barkline::mechanics::stem::cavity_area_loss;
/// use barkline::units::si::millimetres;
///
/// assert!((cavity_area_loss(millimetres(500.0), millimetres(75.0))? - 0.49).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn cavity_area_loss(diameter: Length, shell: Length) -> Result<f64, MechanicsError> {
    Ok(cavity_ratio(diameter, shell)?.powi(2))
}

/// Share of the bending strength of a stem that a central cavity takes.
///
/// # Equation
///
/// ```text
/// loss = (1 − 2t/D)⁴
/// ```
///
/// # Symbols
///
/// - `loss`: loss of section modulus (and of second moment of area) over that of the full stem (1)
/// - `D`: stem diameter under bark (m)
/// - `t`: thickness of the sound shell (m)
///
/// # Validity
///
/// A round, central cavity. Very thin shells fail earlier, by flattening or splitting.
///
/// # Source
///
/// Geometry; in arboriculture known after K. D. Coder.
///
/// # Errors
///
/// When a length is not positive and finite, or the shell is thicker than the radius.
///
/// # Example
///
/// A shell of 0.3 radii, half the area gone, costs only 24 % of the strength:
///
/// ```rust
/// use barkline::mechanics::stem::cavity_strength_loss;
/// use barkline::units::si::millimetres;
///
/// assert!((cavity_strength_loss(millimetres(500.0), millimetres(75.0))? - 0.240).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn cavity_strength_loss(diameter: Length, shell: Length) -> Result<f64, MechanicsError> {
    Ok(cavity_ratio(diameter, shell)?.powi(4))
}

/// Diameter of the cavity over diameter of the stem.
fn cavity_ratio(diameter: Length, shell: Length) -> Result<f64, MechanicsError> {
    let d = diameter.positive("stem diameter")?;
    let t = shell.positive("shell thickness")?.between(
        "shell thickness",
        Length::default(),
        d / 2.0,
    )?;
    Ok(1.0 - 2.0 * (t / d).value)
}

/// Share of the bending strength that a hole takes whose axis lies in the plane of bending.
///
/// # Equation
///
/// ```text
/// loss = 1 − [I₀ − I − A′·ȳ²] / [(R + |ȳ|)·I₀/R]
/// I₀ = π·R⁴/4,   A′ = π·R² − A,   ȳ = S/A′
/// A, S, I = ∫ (1, y, y²) dA over |x| ≤ d/2, R − p ≤ y ≤ √(R² − x²)
/// ```
///
/// # Symbols
///
/// - `loss`: loss of section modulus over that of the full stem (1)
/// - `R`: stem radius under bark (m)
/// - `d`: diameter of the hole (m)
/// - `p`: depth of the hole from the crown of the stem; the stem diameter for a hole right through (m)
///
/// # Validity
///
/// The hole as a strip of its own width, at the section through its axis; the outermost fibre kept where the hole took it;
/// no concentration of stress at its edge.
///
/// # Source
///
/// Geometry, derived here.
///
/// # Errors
///
/// When a length is not positive and finite, the hole is as wide as the stem, or deeper than the stem is thick.
///
/// # Example
///
/// A hole of a sixth of the diameter right through costs 27.9 %:
///
/// ```rust
/// use barkline::mechanics::stem::hole_strength_loss;
/// use barkline::units::si::millimetres;
///
/// let loss = hole_strength_loss(millimetres(600.0), millimetres(100.0), millimetres(600.0))?;
/// assert!((loss - 0.279).abs() < 5e-4);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hole_strength_loss(
    diameter: Length,
    hole: Length,
    depth: Length,
) -> Result<f64, MechanicsError> {
    let d = diameter.positive("stem diameter")?;
    let half_width = hole_ratio(d, hole)?;
    let p =
        depth
            .positive("depth of the hole")?
            .between("depth of the hole", Length::default(), d)?;
    loss_without(strip(half_width, 1.0 - 2.0 * (p / d).value))
}

/// A round hole, or one step of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    /// Its diameter.
    pub diameter: Length,
    /// Its depth from the surface of the wood.
    pub depth: Length,
}

/// Share of the bending strength that a stepped hole takes, such as a counterbore with a bore beyond it, in the plane of bending.
///
/// # Equation
///
/// ```text
/// as for a plain hole, with   A, S, I = strip(d₁, p₁) + strip(d₂, p₂) − strip(d₂, p₁)
/// ```
///
/// # Symbols
///
/// - `d₁`, `p₁`: diameter and depth of the counterbore (m)
/// - `d₂`, `p₂`: diameter and depth of the bore, measured from the surface of the wood too (m)
/// - the others as in [`hole_strength_loss`]
///
/// # Validity
///
/// As [`hole_strength_loss`]. A bore no deeper than the counterbore is lost in it where it is no wider.
///
/// # Source
///
/// Geometry, derived here.
///
/// # Errors
///
/// As [`hole_strength_loss`].
///
/// # Example
///
/// A counterbore that is as wide as the bore is no step:
///
/// ```rust
/// use barkline::mechanics::stem::{Bore, hole_strength_loss, stepped_hole_strength_loss};
/// use barkline::units::si::millimetres;
///
/// let (d, bore) = (millimetres(500.0), |depth| Bore { diameter: millimetres(50.0), depth: millimetres(depth) });
/// let stepped = stepped_hole_strength_loss(d, bore(60.0), bore(200.0))?;
/// assert!((stepped - hole_strength_loss(d, millimetres(50.0), millimetres(200.0))?).abs() < 1e-12);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn stepped_hole_strength_loss(
    diameter: Length,
    counterbore: Bore,
    bore: Bore,
) -> Result<f64, MechanicsError> {
    let d = diameter.positive("stem diameter")?;
    let bottom = |depth: Length| {
        let p = depth.positive("depth of the hole")?;
        let p = p.between("depth of the hole", Length::default(), d)?;
        Ok::<_, MechanicsError>(1.0 - 2.0 * (p / d).value)
    };
    let wide = hole_ratio(d, counterbore.diameter)?;
    let narrow = hole_ratio(d, bore.diameter)?;
    let (step, end) = (bottom(counterbore.depth)?, bottom(bore.depth)?);
    // Beyond the step only what is narrower goes on; within it, the wider of the two.
    let within = strip(wide.max(narrow), step.max(end));
    let rest = if end < step { narrow } else { wide };
    let (full, shallow) = (strip(rest, step.min(end)), strip(rest, step.max(end)));
    let part = |k: usize| within[k] + full[k] - shallow[k];
    loss_without([part(0), part(1), part(2)])
}

/// The loss of a unit circle without a part of this area, first and second moment about its middle.
fn loss_without([area, first, second]: [f64; 3]) -> Result<f64, MechanicsError> {
    let centroid = first / (PI - area);
    let left = PI / 4.0 - second - (PI - area) * centroid * centroid;
    (1.0 - left / ((1.0 + centroid.abs()) * PI / 4.0)).finite("loss of strength")
}

/// Share of the bending stiffness that a through hole takes whose axis is the neutral axis.
///
/// # Equation
///
/// ```text
/// loss = I/I₀,   I = ∫ y² dA over |y| ≤ d/2,   I₀ = π·R⁴/4
/// ```
///
/// # Symbols
///
/// - `loss`: loss of second moment of area over that of the full stem (1)
/// - `R`: stem radius under bark (m)
/// - `d`: diameter of the hole (m)
///
/// # Validity
///
/// The hole as a strip of its own width, at the section through its axis. Wind comes from all sides: the case of
/// [`hole_strength_loss`] is the one to design for.
///
/// # Source
///
/// Geometry, derived here.
///
/// # Errors
///
/// When a length is not positive and finite, or the hole is as wide as the stem.
///
/// # Example
///
/// A hole of a sixth of the diameter costs 0.8 %:
///
/// ```rust
/// use barkline::mechanics::stem::hole_loss_on_neutral_axis;
/// use barkline::units::si::millimetres;
///
/// assert!((hole_loss_on_neutral_axis(millimetres(600.0), millimetres(100.0))? - 0.0078).abs() < 5e-5);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn hole_loss_on_neutral_axis(diameter: Length, hole: Length) -> Result<f64, MechanicsError> {
    let a = hole_ratio(diameter.positive("stem diameter")?, hole)?;
    // ∫ y²·2·√(1 − y²) dy = [asin y − y·√(1 − y²)·(1 − 2y²)]/4, from −a to a.
    let second = (a.asin() - a * (1.0 - a * a).sqrt() * (1.0 - 2.0 * a * a)) / 2.0;
    Ok(second / (PI / 4.0))
}

/// Half the width of the hole over the radius of the stem.
fn hole_ratio(diameter: Length, hole: Length) -> Result<f64, MechanicsError> {
    let ratio = (hole.positive("diameter of the hole")? / diameter).value;
    if ratio < 1.0 {
        Ok(ratio)
    } else {
        Err(MechanicsError::NoSolution {
            what: "the hole is as wide as the stem",
        })
    }
}

/// Area, first and second moment about the middle of what a strip |x| ≤ `half_width`, y ≥ `bottom` cuts from a unit circle.
fn strip(half_width: f64, bottom: f64) -> [f64; 3] {
    let arc = |x: f64| (1.0 - x * x).max(0.0).sqrt();
    let area_to = |x: f64| 0.5 * (x * arc(x) + x.asin());
    let cube_to = |x: f64| (x * arc(x).powi(3) + 3.0 * area_to(x)) / 4.0;
    // Up to `a` the strip ends on its bottom; beyond, where the bottom is below the middle, it runs from arc to arc.
    let (b, y0) = (half_width, bottom);
    let a = b.min(arc(y0));
    let whole = if y0 < 0.0 {
        [
            2.0 * (area_to(b) - area_to(a)),
            2.0 * (cube_to(b) - cube_to(a)),
        ]
    } else {
        [0.0; 2]
    };
    [
        2.0 * (area_to(a) - y0 * a + whole[0]),
        a - a.powi(3) / 3.0 - y0 * y0 * a,
        2.0 / 3.0 * (cube_to(a) - y0.powi(3) * a + whole[1]),
    ]
}

/// Bending stress in a stem from a load that hangs beside it.
///
/// # Equation
///
/// ```text
/// σ = P·(e + D/2) / (π·D³/32)
/// ```
///
/// # Symbols
///
/// - `σ`: bending stress of the full section (Pa)
/// - `P`: load along the stem (N)
/// - `e`: arm from the surface of the stem to the load (m)
/// - `D`: stem diameter (m)
///
/// # Validity
///
/// A solid round stem; the whole moment carried by the stem on one side of the anchor.
///
/// # Source
///
/// Statics.
///
/// # Errors
///
/// When a number is not finite, the diameter not positive, or the load or the arm negative.
///
/// # Example
///
/// 3000 lbf at 4 in from a stem of 16 in: 89.5 psi.
///
/// ```rust
/// use barkline::mechanics::stem::eccentric_stress;
/// use barkline::units::us::{inches, pounds_force, psi};
///
/// let sigma = eccentric_stress(pounds_force(3000.0), inches(4.0), inches(16.0))?;
/// assert!(((sigma / psi(1.0)).value - 89.5).abs() < 0.05);
/// # Ok::<(), barkline::mechanics::MechanicsError>(())
/// ```
pub fn eccentric_stress(
    load: Force,
    arm: Length,
    diameter: Length,
) -> Result<Stress, MechanicsError> {
    let moment = load.not_negative("load")?
        * (arm.not_negative("arm")? + diameter.positive("stem diameter")? / 2.0);
    (moment / super::round_bar::elastic_modulus(diameter)?).finite("bending stress")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::si::{metres, newtons};
    use proptest::prelude::*;

    /// Area, first and second moment of the strip by the midpoint rule across its width.
    fn strip_by_steps(half_width: f64, bottom: f64) -> [f64; 3] {
        let steps = 20_000;
        let dx = 2.0 * half_width / f64::from(steps);
        (0..steps).fold([0.0; 3], |[a, s, i], step| {
            let x = (f64::from(step) + 0.5) * dx - half_width;
            let arc = (1.0 - x * x).sqrt();
            let from = bottom.clamp(-arc, arc);
            let part = |n: i32| (arc.powi(n) - from.powi(n)) / f64::from(n) * dx;
            [a + part(1), s + part(2), i + part(3)]
        })
    }

    #[test]
    fn a_shell_as_thick_as_the_radius_loses_nothing() {
        assert!(
            cavity_strength_loss(metres(0.5), metres(0.25))
                .unwrap()
                .abs()
                < 1e-15
        );
        assert!(cavity_area_loss(metres(0.5), metres(0.25)).unwrap().abs() < 1e-15);
    }

    #[test]
    fn a_thin_hole_costs_its_share_of_the_diameter() {
        // To the first order I of a strip d wide is d·(2R)³/12, over π·R⁴/4: 16/(3π) = 1.698 times d/D.
        let loss = hole_strength_loss(metres(1.0), metres(1e-4), metres(1.0)).unwrap();
        assert!((loss / 1e-4 - 16.0 / (3.0 * PI)).abs() < 1e-3);
        let on_axis = hole_loss_on_neutral_axis(metres(1.0), metres(1e-2)).unwrap();
        assert!((on_axis / 1e-6 - 16.0 / (3.0 * PI)).abs() < 1e-3);
    }

    #[test]
    fn the_stress_of_an_eccentric_load_is_its_moment_over_the_modulus() {
        let sigma = eccentric_stress(newtons(1000.0), metres(0.1), metres(0.4)).unwrap();
        assert!((sigma.value - 300.0 * 32.0 / (PI * 0.064)).abs() < 1e-6);
        assert!(eccentric_stress(newtons(-1.0), metres(0.1), metres(0.4)).is_err());
        assert!(eccentric_stress(newtons(1.0), metres(-0.1), metres(0.4)).is_err());
    }

    #[test]
    fn what_does_not_fit_the_stem_is_refused() {
        let d = metres(0.5);
        assert!(
            cavity_area_loss(d, metres(0.26)).is_err()
                && cavity_strength_loss(d, metres(0.0)).is_err()
        );
        assert!(
            hole_strength_loss(d, metres(0.5), d).is_err()
                && hole_strength_loss(d, metres(0.1), metres(0.6)).is_err()
        );
        assert!(hole_loss_on_neutral_axis(d, metres(0.5)).is_err());
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(hole_strength_loss(metres(bad), metres(0.1), d).is_err());
            assert!(
                hole_strength_loss(d, metres(bad), d).is_err()
                    && hole_strength_loss(d, metres(0.1), metres(bad)).is_err()
            );
            assert!(hole_loss_on_neutral_axis(metres(bad), metres(0.1)).is_err());
        }
    }

    proptest! {
        #[test]
        fn the_strip_is_what_steps_across_it_add_up_to(half_width in 0.01..0.99_f64, bottom in -1.0..1.0_f64) {
            let (closed, steps) = (strip(half_width, bottom), strip_by_steps(half_width, bottom));
            for (closed, step) in closed.iter().zip(steps) {
                prop_assert!((closed - step).abs() < 1e-5, "{closed} {step}");
            }
        }

        #[test]
        fn a_stepped_hole_costs_more_than_either_step_and_less_than_both(
            wide in 0.05..0.3_f64, narrow in 0.02..0.3_f64, step in 0.05..0.45_f64, depth in 0.05..0.45_f64,
        ) {
            let d = metres(1.0);
            let bore = |diameter, depth| Bore { diameter: metres(diameter), depth: metres(depth) };
            let stepped = stepped_hole_strength_loss(d, bore(wide, step), bore(narrow, depth)).unwrap();
            let plain = |diameter, depth| hole_strength_loss(d, metres(diameter), metres(depth)).unwrap();
            prop_assert!(stepped >= plain(wide, step).max(plain(narrow, depth)) - 1e-12);
            prop_assert!(stepped <= plain(wide.max(narrow), step.max(depth)) + 1e-12);
            prop_assert!((stepped - stepped_hole_strength_loss(d, bore(narrow, depth), bore(wide, step)).unwrap()).abs() < 1e-12);
        }

        #[test]
        fn a_wider_hole_never_costs_less(hole in 0.01..0.4_f64, more in 0.0..0.4_f64, depth in 0.05..1.0_f64) {
            let loss = |d: f64| hole_strength_loss(metres(1.0), metres(d), metres(depth)).unwrap();
            prop_assert!(loss(hole + more) >= loss(hole) - 1e-12 && loss(hole) > 0.0 && loss(hole) < 1.0);
        }
    }
}
