//! The bar with its first embedded segment standing loose in a hole: it bears only where it moves by more than the
//! radial clearance.
//!
//! ```text
//! reaction per length of that segment   K·sgn(v)·max(|v| − g, 0)          of all others   K·v
//! ```
//!
//! Where the segment bears, v ∓ g obeys the equation of a bar that is snug, so that each part in touch and each part
//! free is solved in closed form. Which parts touch is found by Newton's method: the parts where |v| > g in one
//! solution are those that touch in the next. The work of the bar is convex in v, so there is only one solution; and as
//! the reaction at an edge of contact is zero, an error of the place of the edge enters squared.

use super::piece::{self, Block, Piece, Section};
use super::response::{BarState, typed};
use super::solution::{AT_STEP, Side, UnitState};
use super::{FoundationBar, MechanicsError};
use crate::mechanics::guard::Guard;
use crate::units::si::metres;
use crate::units::{Force, Length, Moment};

/// Rounds at most; the edges converge in some six, and are halved towards the last ones from [`PATIENCE`] on.
const MOST_ROUNDS: usize = 200;
/// Rounds without damping.
const PATIENCE: usize = 12;
/// Edges are found when none moves by more than this share of the segment: the reactions are then right to its square.
const EDGE_TOLERANCE: f64 = 1e-9;
/// Cells in which edges are looked for. A segment in touch is short against its wave: v − g has no second zero in one.
const CELLS: usize = 4;
/// Steps that place an edge in its cell, of regula falsi after Illinois.
const EDGE_STEPS: usize = 60;

/// A bar whose first embedded segment has radial clearance.
#[derive(Debug, Clone)]
pub struct ClearanceBar {
    /// From the load point inward.
    arm: Vec<Piece>,
    loose: Piece,
    /// From the loose segment inward.
    beyond: Vec<Beyond>,
    /// Stiffness of all that lies inside of the loose segment.
    held: Block,
    gap: f64,
}

/// A piece inside of the loose segment: the stiffness at its inner end, and how displacements are carried to there.
#[derive(Debug, Clone, Copy)]
struct Beyond {
    piece: Piece,
    stiffness: Block,
    back: Block,
}

/// What is carried outward over a part: f = S·d + r at its inner end, and how displacements come back to there.
#[derive(Debug, Clone, Copy)]
struct Carried {
    stiffness: Block,
    rest: [f64; 2],
    back: Block,
    b: Block,
}

/// A part of the loose segment that bears: from, to, and the side of the hole (1 or −1).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Touch {
    from: f64,
    to: f64,
    side: f64,
}

/// A uniform part of the bar under its load; `shift` added to the deflection of its state gives that of the bar.
#[derive(Debug, Clone, Copy)]
struct Part {
    piece: Piece,
    inner: Section,
    shift: f64,
}

impl Part {
    /// Deflection at `x`.
    fn deflection(&self, x: f64) -> f64 {
        self.piece.outward(self.piece.end - x, self.inner).v + self.shift
    }
}

/// The bar with clearance under one load.
#[derive(Debug, Clone)]
pub struct ClearanceResponse {
    parts: Vec<Part>,
    touches: Vec<Touch>,
    load_point: Section,
}

impl FoundationBar {
    /// The same bar with this radial clearance round its first embedded segment, all of it.
    ///
    /// # Errors
    ///
    /// A clearance that is negative or not finite, nothing embedded inside of that segment, or a bar that nothing holds.
    pub fn with_clearance(&self, gap: Length) -> Result<ClearanceBar, MechanicsError> {
        let gap = gap.not_negative("the clearance of the bar")?.value;
        let split = |index: usize| {
            self.pieces
                .partition_point(|piece| piece.segment < self.arm_segments + index)
        };
        let (arm, inside) = self.pieces.split_at(split(0));
        let (loose, rest) = inside.split_at(split(1) - arm.len());
        let (Some(first), Some(last)) = (loose.first(), loose.last()) else {
            return Err(MechanicsError::NoSolution {
                what: "nothing of the bar is embedded",
            });
        };
        let mut held = [[self.tip[0], 0.0], [0.0, self.tip[1]]];
        let mut beyond = Vec::with_capacity(rest.len());
        for piece in rest.iter().rev() {
            let [a, b, c, d] = piece.transfer();
            let back = piece::inverse(piece::sum(a, piece::product(b, held)))?;
            beyond.push(Beyond {
                piece: *piece,
                stiffness: held,
                back,
            });
            held = piece::product(piece::sum(c, piece::product(d, held)), back);
        }
        if beyond.is_empty() {
            return Err(MechanicsError::NoSolution {
                what: "nothing holds the bar while its loose segment does not touch",
            });
        }
        beyond.reverse();
        Ok(ClearanceBar {
            arm: arm.to_vec(),
            loose: first.between(first.start, last.end),
            beyond,
            held,
            gap,
        })
    }
}

impl ClearanceBar {
    /// The response to a force and a moment at the load point.
    ///
    /// # Errors
    ///
    /// A load that is not finite, or a bar that nothing holds in place.
    pub fn respond(
        &self,
        force: Force,
        moment: Moment,
    ) -> Result<ClearanceResponse, MechanicsError> {
        self.respond_near(force, moment, None)
    }

    /// The same, begun from where the bar touches under another load: the answer is one, however it is come by, and a
    /// load like the other takes fewer rounds.
    ///
    /// # Errors
    ///
    /// As [`ClearanceBar::respond`].
    pub fn respond_near(
        &self,
        force: Force,
        moment: Moment,
        near: Option<&ClearanceResponse>,
    ) -> Result<ClearanceResponse, MechanicsError> {
        let force = force.finite("the force on the bar")?.value;
        let moment = moment.finite("the moment on the bar")?.value;
        let arm = self
            .arm
            .first()
            .map_or(0.0, |piece| self.loose.start - piece.start);
        let face = [force, moment + force * arm];
        let (mut touches, mut next) = (Vec::with_capacity(4), Vec::with_capacity(4));
        let mut parts = Vec::with_capacity(8 + self.beyond.len());
        let mut inward = Vec::with_capacity(8);
        if let Some(near) = near {
            touches.extend_from_slice(&near.touches);
        } else {
            // The first round is the snug bar; from then on the clearance counts.
            let snug = Touch {
                from: self.loose.start,
                to: self.loose.end,
                side: 0.0,
            };
            self.solve(&[snug], face, &mut parts, &mut inward)?;
            self.edges(&parts, &mut touches);
        }
        let close = EDGE_TOLERANCE * self.loose.length();
        for round in 0..MOST_ROUNDS {
            self.solve(&touches, face, &mut parts, &mut inward)?;
            self.edges(&parts, &mut next);
            let moved = moved(&touches, &next);
            std::mem::swap(&mut touches, &mut next);
            match moved {
                Some(most) if most <= close => return self.finish(face, parts, touches),
                Some(_) if round >= PATIENCE => halve(&mut touches, &next),
                _ => {}
            }
        }
        Err(MechanicsError::NoSolution {
            what: "the contact of the bar in its hole was not found",
        })
    }

    /// Fills `parts` with the loose segment, touching as said, and all inside of it.
    fn solve(
        &self,
        touches: &[Touch],
        face: [f64; 2],
        parts: &mut Vec<Part>,
        inward: &mut Vec<Carried>,
    ) -> Result<(), MechanicsError> {
        parts.clear();
        inward.clear();
        self.lay(touches, parts)?;
        // Outward: f = S·d + r for everything inside of a section, d the displacements of the part there.
        let (mut stiffness, mut rest) = (self.held, [0.0; 2]);
        let mut shift = 0.0;
        for part in parts.iter().rev() {
            let step = part.shift - shift;
            rest = add(rest, piece::times(stiffness, [step, 0.0]));
            shift = part.shift;
            let [a, b, c, d] = part.piece.transfer();
            let back = piece::inverse(piece::sum(a, piece::product(b, stiffness)))?;
            inward.push(Carried {
                stiffness,
                rest,
                back,
                b,
            });
            stiffness = piece::product(piece::sum(c, piece::product(d, stiffness)), back);
            let pushed = piece::times(b, rest);
            rest = add(
                piece::times(d, rest),
                piece::times(stiffness, pushed).map(|term| -term),
            );
        }
        // Inward: the displacements under the load at the face.
        let mut place = piece::times(piece::inverse(stiffness)?, subtract(face, rest));
        let mut before = parts.first().map_or(0.0, |part| part.shift);
        for (part, inner) in parts.iter_mut().zip(inward.iter().rev()) {
            place[0] += before - part.shift;
            before = part.shift;
            place = piece::times(
                inner.back,
                subtract(place, piece::times(inner.b, inner.rest)),
            );
            let [shear, moment] = add(piece::times(inner.stiffness, place), inner.rest);
            part.inner = section(place, [shear, moment]);
        }
        place[0] += before;
        for beyond in &self.beyond {
            place = piece::times(beyond.back, place);
            parts.push(Part {
                piece: beyond.piece,
                inner: section(place, piece::times(beyond.stiffness, place)),
                shift: 0.0,
            });
        }
        Ok(())
    }

    /// Lays the loose segment as parts in touch and parts free, from the face inward.
    fn lay(&self, touches: &[Touch], parts: &mut Vec<Part>) -> Result<(), MechanicsError> {
        let mut lay = |piece: Piece, shift: f64| -> Result<(), MechanicsError> {
            if piece.length() > 0.0 {
                parts.extend(piece.cut()?.map(|piece| Part {
                    piece,
                    inner: Section::default(),
                    shift,
                }));
            }
            Ok(())
        };
        let mut from = self.loose.start;
        for touch in touches {
            lay(self.loose.between(from, touch.from).unsupported(), 0.0)?;
            lay(
                self.loose.between(touch.from, touch.to),
                touch.side * self.gap,
            )?;
            from = touch.to;
        }
        lay(self.loose.between(from, self.loose.end).unsupported(), 0.0)
    }

    /// Fills `touches` with the parts of the loose segment that moved by more than the clearance.
    fn edges(&self, parts: &[Part], touches: &mut Vec<Touch>) {
        touches.clear();
        let at = |x: f64| {
            let within = parts.iter().find(|part| x <= part.piece.end);
            within
                .or(parts.last())
                .map_or(0.0, |part| part.deflection(x))
        };
        let side = |v: f64| {
            if v > self.gap {
                1.0
            } else if v < -self.gap {
                -1.0
            } else {
                0.0
            }
        };
        let width = self.loose.length() / CELLS as f64;
        let (mut from, mut low) = (self.loose.start, self.loose.start);
        let mut here = at(low);
        for cell in 1..=CELLS {
            let high = if cell == CELLS {
                self.loose.end
            } else {
                self.loose.start + cell as f64 * width
            };
            let next = at(high);
            // From one side of the hole to the other there are two edges in a cell.
            let levels = if here > next {
                [self.gap, -self.gap]
            } else {
                [-self.gap, self.gap]
            };
            for level in levels {
                if (here - level) * (next - level) < 0.0 {
                    let edge =
                        crossing([low, high], [here - level, next - level], |x| at(x) - level);
                    touch(touches, from, edge, side(at(f64::midpoint(from, edge))));
                    from = edge;
                }
            }
            (low, here) = (high, next);
        }
        let end = self.loose.end;
        touch(touches, from, end, side(at(f64::midpoint(from, end))));
    }

    /// The response with the arm added.
    fn finish(
        &self,
        face: [f64; 2],
        parts: Vec<Part>,
        touches: Vec<Touch>,
    ) -> Result<ClearanceResponse, MechanicsError> {
        let first = parts.first().ok_or(MechanicsError::NoSolution {
            what: "nothing of the bar is embedded",
        })?;
        let mut state = first.piece.outward(first.piece.length(), first.inner);
        state.v += first.shift;
        // The load at the face is what is asked for, not what rounding made of it.
        [state.shear, state.moment] = face;
        let mut all = Vec::with_capacity(self.arm.len() + parts.len());
        for piece in self.arm.iter().rev() {
            all.push(Part {
                piece: *piece,
                inner: state,
                shift: 0.0,
            });
            state = piece.outward(piece.length(), state);
        }
        all.reverse();
        all.extend(parts);
        state.v.finite("the response of the bar")?;
        Ok(ClearanceResponse {
            parts: all,
            touches,
            load_point: state,
        })
    }
}

impl ClearanceResponse {
    /// The state of the section at `x`.
    ///
    /// # Errors
    ///
    /// `x` is not on the bar, or a result too large for a number.
    pub fn state(&self, x: Length, side: Side) -> Result<BarState, MechanicsError> {
        typed(self.unit_state(x, side)?)
    }

    /// The state of the section at `x` under the whole load, as plain SI numbers.
    ///
    /// # Errors
    ///
    /// `x` is not on the bar.
    pub fn unit_state(&self, x: Length, side: Side) -> Result<UnitState, MechanicsError> {
        let part = self.parts.get(self.index(x.value, side)?).ok_or(OUTSIDE)?;
        let s = (part.piece.end - x.value).clamp(0.0, part.piece.length());
        let state = UnitState::of(&part.piece, part.piece.outward(s, part.inner));
        Ok(UnitState {
            deflection: state.deflection + part.shift,
            ..state
        })
    }

    /// Calls `found` with the states at equal distances from `from` to `to`, each with its number from zero to
    /// `intervals`; both ends belong to what lies between them. The states are plain SI numbers under the whole load.
    ///
    /// # Errors
    ///
    /// An end that is not on the bar.
    pub fn along(
        &self,
        from: Length,
        to: Length,
        intervals: usize,
        mut found: impl FnMut(usize, UnitState),
    ) -> Result<(), MechanicsError> {
        self.index(from.value, Side::Inner)?;
        let last = self.index(to.value, Side::Outer)?;
        let part = |index: usize| {
            let part = self.parts.get(index)?;
            Some((&part.piece, part.inner))
        };
        let shift = |index: usize| self.parts.get(index).map_or(0.0, |part| part.shift);
        let ends = [from.value, to.value];
        piece::walk(part, last, ends, intervals, |i, index, piece, section| {
            let state = UnitState::of(piece, section);
            found(
                i,
                UnitState {
                    deflection: state.deflection + shift(index),
                    ..state
                },
            );
        });
        Ok(())
    }

    /// The number of the part at `x`.
    fn index(&self, x: f64, side: Side) -> Result<usize, MechanicsError> {
        let (Some(first), Some(last)) = (self.parts.first(), self.parts.last()) else {
            return Err(OUTSIDE);
        };
        let tolerance = AT_STEP * (last.piece.end - first.piece.start);
        if !(first.piece.start - tolerance..=last.piece.end + tolerance).contains(&x) {
            return Err(OUTSIDE);
        }
        let index = match side {
            Side::Outer => self
                .parts
                .partition_point(|part| part.piece.end < x - tolerance),
            Side::Inner => self
                .parts
                .partition_point(|part| part.piece.end <= x + tolerance),
        };
        Ok(index.min(self.parts.len() - 1))
    }

    /// Deflection of the load point.
    pub fn load_point_deflection(&self) -> Length {
        metres(self.load_point.v)
    }

    /// Where the loose segment bears, from the face inward: the beginning and the end of each part.
    pub fn contact(&self) -> Vec<[Length; 2]> {
        let ends = |touch: &Touch| [metres(touch.from), metres(touch.to)];
        self.touches.iter().map(ends).collect()
    }
}

const OUTSIDE: MechanicsError = MechanicsError::NoSolution {
    what: "no section of the bar lies there",
};

fn section([v, theta]: [f64; 2], [shear, moment]: [f64; 2]) -> Section {
    Section {
        v,
        theta,
        shear,
        moment,
    }
}

fn add(one: [f64; 2], other: [f64; 2]) -> [f64; 2] {
    [one[0] + other[0], one[1] + other[1]]
}

fn subtract(one: [f64; 2], other: [f64; 2]) -> [f64; 2] {
    [one[0] - other[0], one[1] - other[1]]
}

fn touch(touches: &mut Vec<Touch>, from: f64, to: f64, side: f64) {
    if side != 0.0 && to > from {
        touches.push(Touch { from, to, side });
    }
}

/// By how much the edges of two sets of touches differ at most; none where they are not the same touches.
fn moved(one: &[Touch], other: &[Touch]) -> Option<f64> {
    let same = one.len() == other.len()
        && one
            .iter()
            .zip(other)
            .all(|(a, b)| (a.side > 0.0) == (b.side > 0.0));
    same.then(|| {
        let most = one
            .iter()
            .zip(other)
            .map(|(a, b)| (a.from - b.from).abs().max((a.to - b.to).abs()));
        most.fold(0.0, f64::max)
    })
}

/// Edges halfway back to the former ones, against rounds that go to and fro.
fn halve(touches: &mut [Touch], former: &[Touch]) {
    for (touch, former) in touches.iter_mut().zip(former) {
        touch.from = f64::midpoint(touch.from, former.from);
        touch.to = f64::midpoint(touch.to, former.to);
    }
}

/// The zero of `f` between two places where its values differ in sign.
fn crossing(mut x: [f64; 2], mut y: [f64; 2], f: impl Fn(f64) -> f64) -> f64 {
    let close = 0.1 * EDGE_TOLERANCE * (x[1] - x[0]);
    let (mut last, mut moved) = (f64::NAN, None);
    for _ in 0..EDGE_STEPS {
        let place = (x[0] * y[1] - x[1] * y[0]) / (y[1] - y[0]);
        let value = f(place);
        if value == 0.0 || (place - last).abs() <= close {
            return place;
        }
        last = place;
        let end = usize::from((value > 0.0) == (y[1] > 0.0));
        (x[end], y[end]) = (place, value);
        // An end that stays twice is weighed down, or the search would creep.
        if moved == Some(end) {
            y[1 - end] /= 2.0;
        }
        moved = Some(end);
    }
    last
}
