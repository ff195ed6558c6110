//! The elastic bar of an anchor in both planes at one bound, and the largest of anything along it.

use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::{BarSolution, Side, UnitState};
use crate::model::{Anchor, Bound, Plane, Segment, Stem};
use crate::units::{Length, si};

/// Intervals in which each piece is looked through before the largest is refined. A piece is a few λ⁻¹ long, so that
/// no peak hides between two of these places.
const INTERVALS: usize = 16;
/// Parabola steps after that; each about squares the error.
const REFINEMENTS: usize = 3;

/// Halvings of the first interval from an end of a piece in search of a peak next to it: down to a sixtieth of it.
const HALVINGS: usize = 6;

/// A piece of the bar between two places, x from the sound wood inward.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// Its outer end.
    pub(super) from: Length,
    /// Its inner end.
    pub(super) to: Length,
    /// Its section.
    pub(super) segment: Segment,
    /// Whether it is in the wood.
    pub(super) inside: bool,
    samples: Vec<At>,
}

/// The bar at one place: what a unit load down and a unit load sideways do there.
#[derive(Debug, Clone, Copy)]
pub(super) struct At {
    /// The place (m).
    x: f64,
    /// Per newton down.
    pub(super) down: UnitState,
    /// Per newton sideways.
    pub(super) side: UnitState,
}

/// The elastic bar at one bound.
#[derive(Debug, Clone)]
pub(super) struct Elastic {
    pub(super) bound: Bound,
    along: BarSolution,
    across: BarSolution,
    pub(super) pieces: Vec<Piece>,
}

impl Elastic {
    /// Solves the bar in both planes.
    pub(super) fn new(anchor: &Anchor, stem: &Stem, bound: Bound) -> Result<Self, MechanicsError> {
        let along = anchor.bar(stem, Plane::Along, bound)?.solve()?;
        let across = anchor.bar(stem, Plane::Across, bound)?.solve()?;
        let mut solved = Self {
            bound,
            along,
            across,
            pieces: Vec::new(),
        };
        let mut from = -anchor.sound_arm(stem);
        for (inside, segments) in [(false, anchor.outside(stem)), (true, anchor.inside(stem))] {
            if inside {
                from = si::metres(0.0);
            }
            for segment in segments {
                let to = from + segment.length;
                let samples = solved.sample(from, to)?;
                solved.pieces.push(Piece {
                    from,
                    to,
                    segment,
                    inside,
                    samples,
                });
                from = to;
            }
        }
        Ok(solved)
    }

    /// Deflection of the load point per newton, down and side (m/N).
    pub(super) fn flexibility(&self) -> [f64; 2] {
        [
            self.along.load_point_flexibility()[0][0],
            self.across.load_point_flexibility()[0][0],
        ]
    }

    /// Both unit states at a place.
    pub(super) fn at(&self, x: Length, side: Side) -> Result<At, MechanicsError> {
        Ok(At {
            x: x.value,
            down: self.along.unit_states(x, side)?.0,
            side: self.across.unit_states(x, side)?.0,
        })
    }

    fn sample(&self, from: Length, to: Length) -> Result<Vec<At>, MechanicsError> {
        (0..=INTERVALS)
            .map(|i| match i {
                0 => self.at(from, Side::Inner),
                INTERVALS => self.at(to, Side::Outer),
                _ => self.at(
                    from + (to - from) * (i as f64 / INTERVALS as f64),
                    Side::Outer,
                ),
            })
            .collect()
    }

    /// The largest value of `f`, given a piece's place and a place along it, over the pieces that `pick` takes; zero if it takes none.
    pub(super) fn largest(
        &self,
        pick: impl Fn(&Piece) -> bool,
        f: impl Fn(usize, &At) -> f64,
    ) -> Result<f64, MechanicsError> {
        let mut largest = 0.0_f64;
        for (index, piece) in self
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| pick(piece))
        {
            let values: Vec<f64> = piece.samples.iter().map(|at| f(index, at)).collect();
            let (best, value) = values.iter().enumerate().fold((0, f64::MIN), |a, b| {
                if *b.1 > a.1 { (b.0, *b.1) } else { a }
            });
            largest = largest.max(value);
            let f = |at: &At| f(index, at);
            let at = |i: usize| (piece.samples[i].x, values[i]);
            let climbed = match best {
                0 => self.beside_end(at(0), at(1), f)?,
                INTERVALS => self.beside_end(at(INTERVALS), at(INTERVALS - 1), f)?,
                _ => self.refine([at(best - 1), at(best), at(best + 1)], f)?,
            };
            largest = largest.max(climbed);
        }
        Ok(largest)
    }

    /// Where a piece's end is the highest of its places, it may still rise from there before it falls.
    fn beside_end(
        &self,
        end: (f64, f64),
        mut next: (f64, f64),
        f: impl Fn(&At) -> f64,
    ) -> Result<f64, MechanicsError> {
        for _ in 0..HALVINGS {
            let x = f64::midpoint(end.0, next.0);
            let middle = (x, f(&self.at(si::metres(x), Side::Outer)?));
            if middle.1 > end.1 {
                let mut three = [end, middle, next];
                three.sort_by(|a, b| a.0.total_cmp(&b.0));
                return self.refine(three, f);
            }
            next = middle;
        }
        Ok(end.1)
    }

    /// Climbs by parabolas through three places of which the middle one is highest.
    fn refine(
        &self,
        three: [(f64, f64); 3],
        f: impl Fn(&At) -> f64,
    ) -> Result<f64, MechanicsError> {
        let (mut x, mut y) = (three.map(|place| place.0), three.map(|place| place.1));
        for _ in 0..REFINEMENTS {
            let (left, right) = (x[1] - x[0], x[2] - x[1]);
            let (rise, fall) = ((y[1] - y[0]) / left, (y[2] - y[1]) / right);
            let curvature = fall - rise;
            if curvature >= 0.0 {
                break;
            }
            let step = -(rise * right + fall * left) / (2.0 * curvature);
            let top = (x[1] + step).clamp(x[0], x[2]);
            let value = f(&self.at(si::metres(top), Side::Outer)?);
            if value <= y[1] {
                break;
            }
            if top > x[1] {
                (x, y) = ([x[1], top, x[2]], [y[1], value, y[2]]);
            } else {
                (x, y) = ([x[0], top, x[1]], [y[0], value, y[1]]);
            }
        }
        Ok(y[1])
    }
}
