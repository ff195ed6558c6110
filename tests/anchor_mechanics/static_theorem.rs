//! The static theorem as a linear programme: a lower bound of the limit load, independent of any mechanism.
//!
//! The reaction is constant on each slice and within its limits; the moment line is a parabola on each slice. A
//! parabola lies within the hull of its Bézier points M(left), M(left) + V(left)·h/2, M(right), so limiting these
//! three limits the moment everywhere: what the programme finds is admissible without any discretisation error, on
//! any slicing. The finer the slices, the higher the bound.

use barkline::mechanics::mechanism::PlasticSegment;
use microlp::{ComparisonOp, OptimizationDirection, Problem};

struct Slice {
    h: f64,
    q: f64,
    plastic_moment: f64,
}

/// The segments cut at `cuts` (m inward from the load point) and each part into `parts` slices.
fn slices(segments: &[PlasticSegment], cuts: &[f64], parts: u32) -> Vec<Slice> {
    let mut slices = Vec::new();
    let mut start = 0.0;
    for segment in segments {
        let end = start + segment.length.value;
        let inside = cuts
            .iter()
            .copied()
            .filter(|cut| *cut > start && *cut < end);
        let mut places: Vec<f64> = [start, end].into_iter().chain(inside).collect();
        places.sort_by(f64::total_cmp);
        for pair in places.windows(2) {
            let h = (pair[1] - pair[0]) / f64::from(parts);
            // A cut that rounding has put beside a boundary makes no slice.
            if h > 1e-9 * segment.length.value {
                slices.extend((0..parts).map(|_| Slice {
                    h,
                    q: segment.resistance.value,
                    plastic_moment: segment.plastic_moment.value,
                }));
            }
        }
        start = end;
    }
    slices
}

/// The largest factor on (`force`, `moment`) at the outer end of `segments` for which an admissible reaction was found.
pub(crate) fn admissible_factor(
    segments: &[PlasticSegment],
    [force, moment]: [f64; 2],
    cuts: &[f64],
    parts: u32,
) -> f64 {
    let slices = slices(segments, cuts, parts);
    // Lengths in units of the bar, moments in units of the largest plastic moment: all numbers of the order of one.
    let length: f64 = slices.iter().map(|slice| slice.h).sum();
    let largest = slices
        .iter()
        .map(|slice| slice.plastic_moment)
        .fold(0.0, f64::max);
    let unit = (moment.abs() / largest).max(force.abs() * length / largest);
    let (force, moment) = (force * length / largest / unit, moment / largest / unit);

    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let free = (f64::NEG_INFINITY, f64::INFINITY);
    let factor = problem.add_var(1.0, (0.0, f64::INFINITY));
    let mut v = problem.add_var(0.0, free);
    problem.add_constraint([(v, 1.0), (factor, -force)], ComparisonOp::Eq, 0.0);
    let first = slices[0].plastic_moment / largest;
    let mut m = problem.add_var(0.0, (-first, first));
    problem.add_constraint([(m, 1.0), (factor, -moment)], ComparisonOp::Eq, 0.0);
    for (index, slice) in slices.iter().enumerate() {
        let (h, q) = (slice.h / length, slice.q * length * length / largest);
        let limit = slice.plastic_moment / largest;
        let last = index + 1 == slices.len();
        let next_limit = slices
            .get(index + 1)
            .map_or(limit, |next| next.plastic_moment / largest);
        let limit_at_next = if last { 0.0 } else { limit.min(next_limit) };
        let p = problem.add_var(0.0, (-q, q));
        let middle = problem.add_var(0.0, (-limit, limit));
        let next_v = problem.add_var(0.0, if last { (0.0, 0.0) } else { free });
        let next_m = problem.add_var(0.0, (-limit_at_next, limit_at_next));
        problem.add_constraint(
            [(middle, 1.0), (m, -1.0), (v, -h / 2.0)],
            ComparisonOp::Eq,
            0.0,
        );
        problem.add_constraint([(next_v, 1.0), (v, -1.0), (p, h)], ComparisonOp::Eq, 0.0);
        problem.add_constraint(
            [(next_m, 1.0), (m, -1.0), (v, -h), (p, h * h / 2.0)],
            ComparisonOp::Eq,
            0.0,
        );
        (v, m) = (next_v, next_m);
    }
    problem
        .solve()
        .expect("no reaction and no load is always admissible")
        .objective()
        / unit
}
