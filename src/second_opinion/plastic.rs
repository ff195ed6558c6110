//! The limit load as a linear programme over states of balance: the largest load for which wood and steel are nowhere
//! asked for more than they bear (static theorem).
//!
//! The reaction is even on each slice of the bar, so that the moment is a parabola on each. A parabola stays within the
//! hull of M(left), M(left) + Q(left)·h/2 and M(right): with these three limited the moment is so everywhere, and what
//! is found is a lower bound on any slicing. It is made sharp by cutting where the answer says that the reaction turns
//! round or the moment is largest, again and again.

use super::OpinionError;
use microlp::{ComparisonOp, OptimizationDirection, Problem};

/// Slices of a piece in wood, before any cut.
const SLICES: usize = 4;
/// Rounds of cutting.
const ROUNDS: usize = 24;
/// Another cut is worth this share of the load at least (1).
const GAIN: f64 = 1e-9;
/// No slice is shorter than this share of the bar (1).
const SHORTEST: f64 = 1e-7;
/// A reaction this near to its limit is at its limit (1).
const FULL: f64 = 1e-9;

/// A piece of the bar, from the load inward.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Its length (m).
    pub(super) length: f64,
    /// The most that the wood resists, zero outside (N/m).
    pub(super) resists: f64,
    /// The moment at which it yields (N·m).
    pub(super) yields: f64,
}

/// A slice in units of the bar: lengths of its length, moments of the largest that any piece bears.
#[derive(Debug, Clone, Copy)]
struct Slice {
    h: f64,
    resists: f64,
    yields: f64,
}

/// What the programme says of a slice.
#[derive(Debug, Clone, Copy)]
struct Answer {
    reaction: f64,
    /// Shear where it begins.
    shear: f64,
}

/// The largest force at the outer end of a bar for which a state of balance was found (N).
pub(super) fn limit(pieces: &[Piece]) -> Result<f64, OpinionError> {
    let length: f64 = pieces.iter().map(|piece| piece.length).sum();
    let moment = pieces.iter().map(|piece| piece.yields).fold(0.0, f64::max);
    let mut slices: Vec<Slice> = pieces
        .iter()
        .flat_map(|piece| {
            let count = if piece.resists > 0.0 { SLICES } else { 1 };
            let slice = Slice {
                h: piece.length / length / count as f64,
                resists: piece.resists * length * length / moment,
                yields: piece.yields / moment,
            };
            std::iter::repeat_n(slice, count)
        })
        .collect();
    let mut best = 0.0_f64;
    for round in 0..ROUNDS {
        let (load, answers) = programme(&slices)?;
        let gain = load - best;
        best = best.max(load);
        if round > 1 && gain <= GAIN * best {
            break;
        }
        let cut = cut(&slices, &answers);
        if cut.len() == slices.len() {
            break;
        }
        slices = cut;
    }
    Ok(best * moment / length)
}

/// The largest load on these slices, and what each then bears.
fn programme(slices: &[Slice]) -> Result<(f64, Vec<Answer>), OpinionError> {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let free = (f64::NEG_INFINITY, f64::INFINITY);
    let load = problem.add_var(1.0, (0.0, f64::INFINITY));
    let (mut shear, mut moment) = (load, None);
    let mut variables = Vec::with_capacity(slices.len());
    for (index, slice) in slices.iter().enumerate() {
        let (h, next) = (slice.h, slices.get(index + 1));
        let reaction = problem.add_var(0.0, (-slice.resists, slice.resists));
        variables.push((reaction, shear));
        let inner = next.map_or((0.0, 0.0), |_| free);
        let most = next.map_or(0.0, |next| next.yields.min(slice.yields));
        let shear_after = problem.add_var(0.0, inner);
        let moment_after = problem.add_var(0.0, (-most, most));
        let middle = problem.add_var(0.0, (-slice.yields, slice.yields));
        // Q' = −q, M' = Q: the middle of the hull lies on the tangents at both ends.
        problem.add_constraint(
            [(shear_after, 1.0), (shear, -1.0), (reaction, h)],
            ComparisonOp::Eq,
            0.0,
        );
        let mut first = vec![(middle, 1.0), (shear, -h / 2.0)];
        first.extend(moment.map(|moment| (moment, -1.0)));
        problem.add_constraint(first, ComparisonOp::Eq, 0.0);
        problem.add_constraint(
            [(moment_after, 1.0), (middle, -1.0), (shear_after, -h / 2.0)],
            ComparisonOp::Eq,
            0.0,
        );
        (shear, moment) = (shear_after, Some(moment_after));
    }
    let solution = problem.solve().map_err(|_| OpinionError::NoAnswer {
        what: "the limit load by a linear programme",
    })?;
    let answers = variables.iter().map(|(reaction, shear)| Answer {
        reaction: solution[*reaction],
        shear: solution[*shear],
    });
    Ok((solution.objective(), answers.collect()))
}

/// The same slices, cut where the reaction turns round and where the moment is largest.
fn cut(slices: &[Slice], answers: &[Answer]) -> Vec<Slice> {
    let mut all = Vec::with_capacity(2 * slices.len());
    for (index, (slice, answer)) in slices.iter().zip(answers).enumerate() {
        if slice.h < 2.0 * SHORTEST {
            all.push(*slice);
            continue;
        }
        let mut places = vec![0.0, slice.h];
        if slice.resists > 0.0 && answer.reaction.abs() < slice.resists * (1.0 - FULL) {
            // As much of the slice in full one way as leaves the rest in full the other way.
            let share = f64::midpoint(1.0, answer.reaction / slice.resists);
            let before = index.checked_sub(1).map_or(0.0, |k| answers[k].reaction);
            let after = answers.get(index + 1).map_or(0.0, |next| next.reaction);
            let share = if before >= after { share } else { 1.0 - share };
            places.extend([share * slice.h, slice.h / 2.0]);
        }
        if answer.reaction != 0.0 {
            places.push(answer.shear / answer.reaction);
        }
        places.retain(|place| (0.0..=slice.h).contains(place));
        places.sort_by(f64::total_cmp);
        let mut from = 0.0;
        for place in &places[1..] {
            let rest = slice.h - place;
            if place - from >= SHORTEST && (rest >= SHORTEST || *place >= slice.h) {
                all.push(Slice {
                    h: place - from,
                    ..*slice
                });
                from = *place;
            }
        }
    }
    all
}
