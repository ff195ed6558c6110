//! The bar solved for a unit force and a unit moment.
//!
//! The stiffness S of all that lies inside of a section (f = S·d, with d = (v, θ) and f = (V, M)) is carried outward
//! from the tip, S ← (C + D·S)(A + B·S)⁻¹; displacements are then carried inward by (A + B·S)⁻¹, which decays. Where
//! nothing bears any more, the flexibility is carried on instead: there it is a plain sum.

use super::piece::{self, Block, Piece, Section};
use super::response::BarResponse;
use super::{FoundationBar, MechanicsError};
use crate::mechanics::guard::Guard;
use crate::units::{Force, Length, Moment};

/// Places closer to a step than this share of the bar's length are taken to be at the step.
pub(super) const AT_STEP: f64 = 1e-12;

/// Which side of a step is meant: pressure and stress jump there. Elsewhere both are the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The end of the piece nearer to the load point.
    Outer,
    /// The beginning of the piece nearer to the tip.
    Inner,
}

/// The state of a section for one unit load, plain SI numbers: per newton of force, or per newton metre of moment,
/// at the load point. Multiply by the load and add.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct UnitState {
    /// Deflection v: m per unit load.
    pub deflection: f64,
    /// Rotation θ: rad per unit load.
    pub slope: f64,
    /// Bending moment M: N·m per unit load.
    pub moment: f64,
    /// Shear V: N per unit load.
    pub shear: f64,
    /// Reaction of the foundation K·v: N/m per unit load.
    pub line_reaction: f64,
    /// That reaction over the bearing diameter: Pa per unit load.
    pub bearing_pressure: f64,
}

impl UnitState {
    pub(super) fn of(piece: &Piece, section: Section) -> Self {
        let line_reaction = piece.foundation * section.v;
        Self {
            deflection: section.v,
            slope: section.theta,
            moment: section.moment,
            shear: section.shear,
            line_reaction,
            bearing_pressure: line_reaction / piece.bearing_diameter,
        }
    }
}

/// A piece and the states of its inner end for the unit force and the unit moment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved {
    pub(super) piece: Piece,
    pub(super) inner: [Section; 2],
}

/// A solved bar: everything about it is linear in the force and the moment at the load point.
#[derive(Debug, Clone)]
pub struct BarSolution {
    pub(super) pieces: Vec<Solved>,
    pub(super) arm_segments: usize,
    flexibility: Block,
    /// Of the pieces that bear, from the tip outward: the stiffness of what lies inside, and how places are carried inward.
    inward: Vec<(Block, Block)>,
    /// Of the pieces outside, from the face outward: the flexibility of what lies inside.
    outward: Vec<Block>,
}

pub(super) fn solve(bar: &FoundationBar, solution: &mut BarSolution) -> Result<(), MechanicsError> {
    let BarSolution {
        pieces,
        arm_segments,
        flexibility: at_load,
        inward,
        outward,
    } = solution;
    pieces.clear();
    inward.clear();
    outward.clear();
    let bears = bar.pieces.iter().position(|piece| piece.foundation > 0.0);
    let (outside, inside) = bar.pieces.split_at(bears.unwrap_or(bar.pieces.len()));

    let mut stiffness = [[bar.tip[0], 0.0], [0.0, bar.tip[1]]];
    inward.reserve_exact(inside.len());
    for piece in inside.iter().rev() {
        let [a, b, c, d] = piece.transfer();
        let back = piece::inverse(piece::sum(a, piece::product(b, stiffness)))?;
        inward.push((stiffness, back));
        stiffness = piece::product(piece::sum(c, piece::product(d, stiffness)), back);
    }

    let held = piece::inverse(stiffness)?;
    let mut flexibility = held;
    outward.reserve_exact(outside.len());
    for piece in outside.iter().rev() {
        outward.push(flexibility);
        flexibility = piece.lengthen(flexibility);
    }
    for term in flexibility.iter().flatten() {
        term.finite("the flexibility of the bar")?;
    }

    pieces.reserve_exact(bar.pieces.len());
    let mut forces = [[1.0, 0.0], [0.0, 1.0]];
    for (piece, inner) in outside.iter().zip(outward.iter().rev()) {
        forces = forces.map(|[shear, moment]| [shear, moment + shear * piece.length()]);
        let inner = forces.map(|force| section(piece::times(*inner, force), force));
        pieces.push(Solved {
            piece: *piece,
            inner,
        });
    }
    let mut places = forces.map(|force| piece::times(held, force));
    for (piece, (stiffness, back)) in inside.iter().zip(inward.iter().rev()) {
        places = places.map(|place| piece::times(*back, place));
        let inner = places.map(|place| section(place, piece::times(*stiffness, place)));
        pieces.push(Solved {
            piece: *piece,
            inner,
        });
    }
    *at_load = flexibility;
    *arm_segments = bar.arm_segments;
    Ok(())
}

fn section([v, theta]: [f64; 2], [shear, moment]: [f64; 2]) -> Section {
    Section {
        v,
        theta,
        shear,
        moment,
    }
}

impl BarSolution {
    /// Room for a solution.
    pub(crate) fn empty() -> Self {
        Self {
            pieces: Vec::new(),
            arm_segments: 0,
            flexibility: [[0.0; 2]; 2],
            inward: Vec::new(),
            outward: Vec::new(),
        }
    }

    /// Deflection and rotation of the load point per unit force and per unit moment:
    /// `[[v/P, v/M], [θ/P, θ/M]]` in m/N, 1/N, rad/N, rad/(N·m). Symmetric.
    pub fn load_point_flexibility(&self) -> [[f64; 2]; 2] {
        self.flexibility
    }

    /// The states of the section at `x` per unit force and per unit moment.
    ///
    /// # Errors
    ///
    /// `x` is not on the bar.
    pub fn unit_states(
        &self,
        x: Length,
        side: Side,
    ) -> Result<(UnitState, UnitState), MechanicsError> {
        let (solved, s) = self.find(x.value, side)?;
        let [force, moment] = solved.piece.outward_pair(s, solved.inner);
        Ok((
            UnitState::of(&solved.piece, force),
            UnitState::of(&solved.piece, moment),
        ))
    }

    /// The state of the section at `x` per unit force alone.
    ///
    /// # Errors
    ///
    /// `x` is not on the bar.
    pub fn unit_force_state(&self, x: Length, side: Side) -> Result<UnitState, MechanicsError> {
        let (solved, s) = self.find(x.value, side)?;
        let [force, _] = solved.inner;
        Ok(UnitState::of(&solved.piece, solved.piece.outward(s, force)))
    }

    /// Calls `found` with the states per unit force at equal distances from `from` to `to`, each with its number from
    /// zero to `intervals`; both ends belong to what lies between them.
    ///
    /// # Errors
    ///
    /// An end that is not on the bar.
    pub fn unit_force_along(
        &self,
        from: Length,
        to: Length,
        intervals: usize,
        mut found: impl FnMut(usize, UnitState),
    ) -> Result<(), MechanicsError> {
        self.find(from.value, Side::Inner)?;
        let last = self.index(to.value, Side::Outer)?;
        let part = |index: usize| {
            let solved = self.pieces.get(index)?;
            Some((&solved.piece, solved.inner[0]))
        };
        let ends = [from.value, to.value];
        piece::walk(part, last, ends, intervals, |i, _, piece, section| {
            found(i, UnitState::of(piece, section));
        });
        Ok(())
    }

    /// The response to a force and a moment at the load point.
    ///
    /// # Errors
    ///
    /// A load that is not finite.
    pub fn respond(&self, force: Force, moment: Moment) -> Result<BarResponse<'_>, MechanicsError> {
        BarResponse::new(self, force, moment)
    }

    /// The piece at `x` and how far outward of its inner end `x` lies.
    pub(super) fn find(&self, x: f64, side: Side) -> Result<(&Solved, f64), MechanicsError> {
        let solved = self.pieces.get(self.index(x, side)?).ok_or(OUTSIDE)?;
        Ok((
            solved,
            (solved.piece.end - x).clamp(0.0, solved.piece.length()),
        ))
    }

    /// The number of the piece at `x`.
    fn index(&self, x: f64, side: Side) -> Result<usize, MechanicsError> {
        let (Some(first), Some(last)) = (self.pieces.first(), self.pieces.last()) else {
            return Err(OUTSIDE);
        };
        let tolerance = AT_STEP * (last.piece.end - first.piece.start);
        let on_bar = first.piece.start - tolerance..=last.piece.end + tolerance;
        if !on_bar.contains(&x) {
            return Err(OUTSIDE);
        }
        let index = match side {
            Side::Outer => self
                .pieces
                .partition_point(|solved| solved.piece.end < x - tolerance),
            Side::Inner => self
                .pieces
                .partition_point(|solved| solved.piece.end <= x + tolerance),
        };
        Ok(index.min(self.pieces.len() - 1))
    }
}

const OUTSIDE: MechanicsError = MechanicsError::NoSolution {
    what: "no section of the bar lies there",
};
