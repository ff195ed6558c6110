//! One load on a solved bar: the state anywhere, and where it is greatest.

use super::piece::{Piece, Section};
use super::solution::{BarSolution, Side, Solved, UnitState};
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use crate::units::si::{metres, newton_metres, newtons, newtons_per_metre, pascals, radians};
use crate::units::{Angle, Force, Length, LineLoad, Moment, Stress};

/// Newton steps at most for one place; each at least halves the bracket, so that it ends far below rounding.
const MOST_STEPS: usize = 80;
/// A place is found when a step moves it by less than this share of its piece.
const PLACE_TOLERANCE: f64 = 1e-14;
/// Of two places whose values differ by less than this share, the outer one is named.
const TIE: f64 = 1e-12;

/// The state of one section of the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarState {
    /// Deflection v.
    pub deflection: Length,
    /// Rotation θ.
    pub slope: Angle,
    /// Bending moment M.
    pub moment: Moment,
    /// Shear V.
    pub shear: Force,
    /// Reaction of the foundation K·v.
    pub line_reaction: LineLoad,
    /// That reaction over the bearing diameter.
    pub bearing_pressure: Stress,
}

/// An extreme value and its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme<Q> {
    /// The value, with its sign.
    pub value: Q,
    /// Where: x.
    pub at: Length,
    /// In which segment: its index in the arm and the embedded segments counted on, from the load point inward.
    pub segment: usize,
}

/// The response of a solved bar to one force and one moment at its load point.
#[derive(Debug, Clone, Copy)]
pub struct BarResponse<'a> {
    solution: &'a BarSolution,
    force: f64,
    moment: f64,
}

/// A quantity along a piece with its first two derivatives in `s`, outward.
type Quantity = fn(&Piece, &Section) -> [f64; 3];

impl<'a> BarResponse<'a> {
    pub(super) fn new(
        solution: &'a BarSolution,
        force: Force,
        moment: Moment,
    ) -> Result<Self, MechanicsError> {
        let force = force.finite("the force on the bar")?.value;
        let moment = moment.finite("the moment on the bar")?.value;
        Ok(Self {
            solution,
            force,
            moment,
        })
    }

    /// The state of the section at `x`.
    ///
    /// # Errors
    ///
    /// `x` is not on the bar, or a result too large for a number.
    pub fn state(&self, x: Length, side: Side) -> Result<BarState, MechanicsError> {
        let (solved, s) = self.solution.find(x.value, side)?;
        let section = solved.piece.outward(s, self.inner(solved));
        typed(UnitState::of(&solved.piece, section))
    }

    /// What the foundation carries between `outer` and `inner`: ∫ K·v dx, exactly the difference of the shears.
    ///
    /// # Errors
    ///
    /// A place that is not on the bar.
    pub fn line_reaction_between(
        &self,
        outer: Length,
        inner: Length,
    ) -> Result<Force, MechanicsError> {
        Ok(self.state(outer, Side::Inner)?.shear - self.state(inner, Side::Outer)?.shear)
    }

    /// The bending moment of largest magnitude over the whole bar, arm and embedded.
    pub fn largest_moment(&self) -> Extreme<Moment> {
        let all = self.solution.pieces.iter();
        self.greatest(all, shear, |_, section| section.moment, f64::abs)
            .map(newton_metres)
    }

    /// The shear of largest magnitude over the whole bar, arm and embedded.
    pub fn largest_shear(&self) -> Extreme<Force> {
        let all = self.solution.pieces.iter();
        self.greatest(all, deflection, |_, section| section.shear, f64::abs)
            .map(newtons)
    }

    /// The least and the greatest shear over the embedded length.
    pub fn embedded_shear_range(&self) -> [Extreme<Force>; 2] {
        [|value: f64| -value, |value: f64| value].map(|rank| {
            self.greatest(
                self.embedded(),
                deflection,
                |_, section| section.shear,
                rank,
            )
            .map(newtons)
        })
    }

    /// The bearing pressure of largest magnitude over the embedded length.
    pub fn largest_pressure(&self) -> Extreme<Stress> {
        self.greatest(self.embedded(), slope, pressure, f64::abs)
            .map(pascals)
    }

    /// The least and the greatest bearing pressure in the embedded segment of this index, counted from the face;
    /// `None` if there is no such segment. The least is negative where the bar bears on its other side.
    pub fn pressure_range(&self, embedded_segment: usize) -> Option<[Extreme<Stress>; 2]> {
        let segment = self.solution.arm_segments + embedded_segment;
        let here = |solved: &&Solved| solved.piece.segment == segment;
        self.embedded().find(here)?;
        Some([|value: f64| -value, |value: f64| value].map(|rank| {
            self.greatest(self.embedded().filter(here), slope, pressure, rank)
                .map(pascals)
        }))
    }

    /// The depths at which the embedded bar does not deflect, from the face inward.
    pub fn zero_deflection_depths(&self) -> Vec<Length> {
        let mut depths = Vec::new();
        for solved in self.embedded() {
            let before = depths.len();
            self.each_zero(solved, deflection, |s, _| {
                depths.push(metres(solved.piece.end - s));
            });
            if let Some(found) = depths.get_mut(before..) {
                found.reverse();
            }
        }
        depths
    }

    fn embedded(&self) -> impl Iterator<Item = &'a Solved> {
        let arm = self.solution.arm_segments;
        self.solution
            .pieces
            .iter()
            .filter(move |solved| solved.piece.segment >= arm)
    }

    /// The state of the inner end of a piece.
    fn inner(&self, solved: &Solved) -> Section {
        let [force, moment] = solved.inner;
        force.combine(self.force, moment, self.moment)
    }

    /// The value of greatest rank among the ends of the pieces and the zeros of `derivative` within them.
    fn greatest<'b>(
        &self,
        pieces: impl Iterator<Item = &'b Solved>,
        derivative: Quantity,
        value: fn(&Piece, &Section) -> f64,
        rank: fn(f64) -> f64,
    ) -> Extreme<f64> {
        let mut best = Extreme {
            value: 0.0,
            at: metres(0.0),
            segment: 0,
        };
        let mut best_rank = f64::NEG_INFINITY;
        for solved in pieces {
            let piece = &solved.piece;
            let mut offer = |s: f64, section: &Section| {
                let value = value(piece, section);
                if rank(value) > best_rank + TIE * best_rank.abs() || best_rank.is_infinite() {
                    best_rank = rank(value);
                    best = Extreme {
                        value,
                        at: metres(piece.end - s),
                        segment: piece.segment,
                    };
                }
            };
            let inner = self.inner(solved);
            offer(piece.length(), &piece.outward(piece.length(), inner));
            self.each_zero(solved, derivative, &mut offer);
            offer(0.0, &inner);
        }
        best
    }

    /// Calls `found` with every zero of `quantity` in a piece, its inner end not counted, from the inner end outward.
    ///
    /// The piece is cut into cells too short for a whole wave. A change of sign in a cell brackets one zero; a cell
    /// whose ends have the same sign but both turn towards zero is first split at its turning point.
    fn each_zero(&self, solved: &Solved, quantity: Quantity, mut found: impl FnMut(f64, &Section)) {
        let (piece, inner) = (&solved.piece, self.inner(solved));
        let at = |s: f64| quantity(piece, &piece.outward(s, inner));
        let width = piece.length() / piece.cells() as f64;
        let (mut low, mut here) = (0.0, at(0.0));
        for cell in 1..=piece.cells() {
            let high = if cell == piece.cells() {
                piece.length()
            } else {
                cell as f64 * width
            };
            let next = at(high);
            let turns = here[0] * here[1] < 0.0 && next[0] * next[1] > 0.0;
            if changes_sign(here[0], next[0]) {
                let s = bracketed(low, high, here[0], |s| [at(s)[0], at(s)[1]]);
                found(s, &piece.outward(s, inner));
            } else if turns {
                let turn = bracketed(low, high, here[1], |s| [at(s)[1], at(s)[2]]);
                if changes_sign(here[0], at(turn)[0]) {
                    for [from, to] in [[low, turn], [turn, high]] {
                        let s = bracketed(from, to, at(from)[0], |s| [at(s)[0], at(s)[1]]);
                        found(s, &piece.outward(s, inner));
                    }
                }
            }
            (low, here) = (high, next);
        }
    }
}

impl Extreme<f64> {
    fn map<Q>(self, of: impl FnOnce(f64) -> Q) -> Extreme<Q> {
        Extreme {
            value: of(self.value),
            at: self.at,
            segment: self.segment,
        }
    }
}

fn changes_sign(low: f64, high: f64) -> bool {
    low * high < 0.0 || (high == 0.0 && low != 0.0)
}

/// The zero of a function in [`low`, `high`], by Newton steps kept inside the bracket; `evaluate` gives the value and
/// its derivative, `at_low` is the value at `low`.
fn bracketed(low: f64, high: f64, at_low: f64, evaluate: impl Fn(f64) -> [f64; 2]) -> f64 {
    let (mut low, mut high) = (low, high);
    let close = PLACE_TOLERANCE * (high - low);
    let mut s = 0.5 * (low + high);
    for _ in 0..MOST_STEPS {
        let [value, derivative] = evaluate(s);
        if value == 0.0 {
            break;
        }
        if (value > 0.0) == (at_low > 0.0) {
            low = s;
        } else {
            high = s;
        }
        let step = s - value / derivative;
        let next = if step > low && step < high {
            step
        } else {
            0.5 * (low + high)
        };
        let moved = (next - s).abs();
        s = next;
        if moved <= close {
            break;
        }
    }
    s
}

/// V, dV/ds = K v, d²V/ds².
fn shear(piece: &Piece, section: &Section) -> [f64; 3] {
    let [v, slope, _] = deflection(piece, section);
    [
        section.shear,
        piece.foundation * v,
        piece.foundation * slope,
    ]
}

/// v, dv/ds, d²v/ds².
fn deflection(piece: &Piece, section: &Section) -> [f64; 3] {
    let [slope, curvature, _] = slope(piece, section);
    [section.v, slope, curvature]
}

/// dv/ds = θ + V/(κGA) and its derivatives.
fn slope(piece: &Piece, section: &Section) -> [f64; 3] {
    piece.slope(section)
}

fn pressure(piece: &Piece, section: &Section) -> f64 {
    UnitState::of(piece, *section).bearing_pressure
}

pub(super) fn typed(state: UnitState) -> Result<BarState, MechanicsError> {
    let finite = |value: f64| value.finite("the response of the bar");
    Ok(BarState {
        deflection: metres(finite(state.deflection)?),
        slope: radians(finite(state.slope)?),
        moment: newton_metres(finite(state.moment)?),
        shear: newtons(finite(state.shear)?),
        line_reaction: newtons_per_metre(finite(state.line_reaction)?),
        bearing_pressure: pascals(finite(state.bearing_pressure)?),
    })
}
