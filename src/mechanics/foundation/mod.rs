//! Elastic stepped bar on a Winkler foundation, with an arm outside: solved exactly, without a mesh.
//!
//! ```text
//!      P │ M                                    x < 0 outside, x = 0 the face of the wood, x > 0 inside
//!        ▼ ↺         face                       v  + in the direction of P
//!   x    ●════════════╪▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓▓      θ  + in the sense in which P·arm turns the bar; θ = −dv/dx in
//!        −arm         0                  L          Euler–Bernoulli theory, the section's own in Timoshenko's
//!                                               M  + in the sense of P·arm, so that M(0) = P·arm + M
//!                     ▲  K·v  per length        V  + in the sense of P
//! ```
//!
//! ```text
//! dM/dx = V,   dV/dx = −K v,   dθ/dx = −M/(E·I),   dv/dx = −θ − V/(κ·G·A)
//! ```
//!
//! The foundation acts on the deflection alone and on both sides of the bar; there is no axial effect.
//! [`FoundationBar::solve`] solves for a unit force and a unit moment once; [`BarSolution::respond`] superposes them.
//! [`FoundationBar::with_clearance`] lets the first embedded segment stand loose in its hole; loads then no longer add.
//! Closed forms for the uniform bar stand in [`closed_forms`].

mod clearance;
pub mod closed_forms;
mod piece;
mod response;
mod solution;

pub use clearance::{ClearanceBar, ClearanceResponse};
pub use response::{BarResponse, BarState, Extreme};
pub use solution::{BarSolution, Side, UnitState};

use super::MechanicsError;
use super::guard::Guard;
use crate::units::{FoundationModulus, Length, Stiffness, Stress};
use piece::{Block, Piece};
use std::f64::consts::PI;

/// A uniform length of round bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarSegment {
    /// Its length along the bar.
    pub length: Length,
    /// The diameter d that resists bending: I = πd⁴/64, A = πd²/4.
    pub bending_diameter: Length,
    /// The diameter that bears on the wood.
    pub bearing_diameter: Length,
    /// Modulus of elasticity E.
    pub modulus: Stress,
    /// Line modulus K of the foundation along this piece; zero where nothing bears.
    pub foundation: FoundationModulus,
}

/// What deforms the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BeamTheory {
    /// Bending alone.
    EulerBernoulli,
    /// Bending and shear.
    Timoshenko {
        /// Shear modulus G.
        shear_modulus: Stress,
        /// Shear coefficient κ of the section (pure number): the shear stiffness is κ·G·A.
        shear_coefficient: f64,
    },
}

impl BeamTheory {
    /// 1/(κ·G·A) of a round section.
    fn shear_flexibility(self, diameter: f64) -> Result<f64, MechanicsError> {
        match self {
            Self::EulerBernoulli => Ok(0.0),
            Self::Timoshenko {
                shear_modulus,
                shear_coefficient,
            } => {
                let modulus = shear_modulus.positive("the shear modulus of a bar")?.value;
                let coefficient = shear_coefficient.positive("the shear coefficient of a bar")?;
                let flexibility = 4.0 / (PI * diameter * diameter * modulus * coefficient);
                flexibility.finite("the shear flexibility of a bar segment")
            }
        }
    }
}

impl BarSegment {
    /// The exact 4×4 stiffness of this piece, rows and columns (vₒ, θₒ, vᵢ, θᵢ): the forces and moments that hold
    /// its outer (o) and inner (i) end, in the senses of P and M, for unit displacements of its ends.
    ///
    /// Plain SI numbers: N/m, N, N·m. It stays accurate for pieces of any length.
    ///
    /// # Errors
    ///
    /// A property that is not a positive finite number, or a piece far too long for its foundation.
    pub fn stiffness(&self, theory: BeamTheory) -> Result<[[f64; 4]; 4], MechanicsError> {
        let whole = Piece::new(self, theory, 0, [0.0, self.length.value])?;
        let mut parts = whole.cut()?.map(|piece| ends_stiffness(&piece));
        let first = parts.next().ok_or(MechanicsError::NoSolution {
            what: "a bar without length",
        })??;
        let [oo, oi, io, ii] = parts.try_fold(first, |outer, inner| joined(outer, inner?))?;
        Ok([
            [oo[0][0], oo[0][1], oi[0][0], oi[0][1]],
            [oo[1][0], oo[1][1], oi[1][0], oi[1][1]],
            [io[0][0], io[0][1], ii[0][0], ii[0][1]],
            [io[1][0], io[1][1], ii[1][0], ii[1][1]],
        ])
    }
}

/// The blocks (oo, oi, io, ii) of the stiffness of one piece, from its transfer dₒ = A dᵢ + B fᵢ, fₒ = C dᵢ + D fᵢ.
fn ends_stiffness(piece: &Piece) -> Result<[Block; 4], MechanicsError> {
    let [a, b, _, d] = piece.transfer();
    let inverse = piece::inverse(b)?;
    let minus = inverse.map(|row| row.map(|term| -term));
    let across = [[minus[0][0], minus[1][0]], [minus[0][1], minus[1][1]]];
    Ok([
        piece::product(d, inverse),
        across,
        minus,
        piece::product(inverse, a),
    ])
}

/// The stiffness of two pieces end to end, the section between them freed.
fn joined(outer: [Block; 4], inner: [Block; 4]) -> Result<[Block; 4], MechanicsError> {
    let middle = piece::inverse(piece::sum(outer[3], inner[0]))?;
    let through = |left: Block, right: Block| {
        piece::product(left, piece::product(middle, right)).map(|row| row.map(|term| -term))
    };
    Ok([
        piece::sum(outer[0], through(outer[1], outer[2])),
        through(outer[1], inner[1]),
        through(inner[2], outer[2]),
        piece::sum(inner[3], through(inner[2], inner[1])),
    ])
}

/// A bar of coaxial segments: an arm outside, an embedded length inside, and springs at the inner tip if wanted.
#[derive(Debug, Clone)]
pub struct FoundationBar {
    /// From the load point inward; a segment may be cut into several pieces.
    pieces: Vec<Piece>,
    arm_segments: usize,
    /// Transverse and rotational stiffness at the inner tip (N/m, N·m/rad).
    tip: [f64; 2],
}

impl FoundationBar {
    /// A bar from `arm`, listed from the load point inward, and `embedded`, listed from the face inward.
    ///
    /// # Errors
    ///
    /// No segment at all, a property that is not a positive finite number, or a segment far too long for its foundation.
    pub fn new(
        arm: &[BarSegment],
        embedded: &[BarSegment],
        theory: BeamTheory,
    ) -> Result<Self, MechanicsError> {
        let mut bar = Self {
            pieces: Vec::with_capacity(arm.len() + embedded.len()),
            arm_segments: 0,
            tip: [0.0; 2],
        };
        bar.lay(arm, embedded, theory)?;
        Ok(bar)
    }

    /// Makes this bar one of other segments, in the room that it has already; springs at its tip stay. After an error
    /// nothing can be asked of it until it is laid again.
    ///
    /// # Errors
    ///
    /// As [`FoundationBar::new`].
    pub fn lay(
        &mut self,
        arm: &[BarSegment],
        embedded: &[BarSegment],
        theory: BeamTheory,
    ) -> Result<(), MechanicsError> {
        self.pieces.clear();
        self.arm_segments = arm.len();
        let mut start = -arm.iter().map(|segment| segment.length.value).sum::<f64>();
        for (index, segment) in arm.iter().chain(embedded).enumerate() {
            let at_face = index + 1 == arm.len();
            let end = if at_face {
                0.0
            } else {
                start + segment.length.value
            };
            self.pieces
                .extend(Piece::new(segment, theory, index, [start, end])?.cut()?);
            start = end;
        }
        if self.pieces.is_empty() {
            return Err(MechanicsError::NoSolution {
                what: "a bar without segments",
            });
        }
        Ok(())
    }

    /// The same bar with a spring of this stiffness that holds the inner tip against deflection.
    ///
    /// # Errors
    ///
    /// A stiffness that is negative or not finite.
    pub fn with_tip_spring(self, stiffness: Stiffness) -> Result<Self, MechanicsError> {
        let transverse = stiffness
            .not_negative("the stiffness of the tip spring")?
            .value;
        Ok(Self {
            tip: [transverse, self.tip[1]],
            ..self
        })
    }

    /// The same bar with a spring of this stiffness (moment per radian) that holds the inner tip against rotation.
    ///
    /// # Errors
    ///
    /// A stiffness that is negative or not finite.
    pub fn with_tip_rotational_spring(
        self,
        stiffness: crate::units::Moment,
    ) -> Result<Self, MechanicsError> {
        let rotational = stiffness
            .not_negative("the rotational stiffness of the tip spring")?
            .value;
        Ok(Self {
            tip: [self.tip[0], rotational],
            ..self
        })
    }

    /// Solves the bar for a unit force and a unit moment at the load point.
    ///
    /// # Errors
    ///
    /// A bar that nothing holds in place.
    pub fn solve(&self) -> Result<BarSolution, MechanicsError> {
        let mut solution = BarSolution::empty();
        self.solve_into(&mut solution)?;
        Ok(solution)
    }

    /// The same, in the room that a solution has already. After an error nothing can be asked of that solution.
    ///
    /// # Errors
    ///
    /// As [`FoundationBar::solve`].
    pub fn solve_into(&self, solution: &mut BarSolution) -> Result<(), MechanicsError> {
        solution::solve(self, solution)
    }
}
