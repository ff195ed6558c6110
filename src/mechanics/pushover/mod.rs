//! The path of a bar from its elastic stiffness to its limit load, and back: force over deflection of the load point.
//!
//! The wood is a bed of springs p = K·v that yield at ±q and keep their slip; both faces of the bar bear, and no gap
//! opens. The steel is elastic, elastic–perfectly plastic in moment and curvature, or a round section of
//! elastic–perfectly plastic fibres. Displacements are small: the path far out shows the limit load, not a real bar.
//! Signs and axis as in [`foundation`](super::foundation).

mod banded;
mod chain;
mod law;

use super::MechanicsError;
use super::guard::Guard;
use crate::units::si::{metres, newton_metres, newtons};
use crate::units::{Force, FoundationModulus, Length, LineLoad, Moment, Stiffness, Stress};
use chain::Chain;

/// Steps in which each move of the path is made. A move in one step is exact while nothing unloads on the way.
const STEPS_PER_MOVE: u32 = 8;

/// A uniform length of round bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PushoverSegment {
    /// Its length along the bar.
    pub length: Length,
    /// The diameter d that resists bending.
    pub bending_diameter: Length,
    /// Modulus of elasticity E of the steel.
    pub modulus: Stress,
    /// Yield strength F_y of the steel; not used if it is elastic.
    pub yield_strength: Stress,
    /// Line modulus K of the foundation.
    pub foundation: FoundationModulus,
    /// What the wood resists at most per length.
    pub resistance: LineLoad,
}

/// What the steel does beyond first yield.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SteelLaw {
    /// It stays elastic.
    Elastic,
    /// Moment proportional to curvature up to M_p = F_y·d³/6, then constant.
    MomentCurvature,
    /// Fibres yield one after another, from F_y·πd³/32 on.
    Fibre,
}

/// A bar of coaxial segments that can yield, and the wood around it: an arm outside, an embedded length inside.
#[derive(Debug, Clone)]
pub struct PushoverBar {
    chain: Chain,
}

/// One point of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathPoint {
    /// Deflection of the load point.
    pub deflection: Length,
    /// The force there.
    pub force: Force,
    /// Deflection at the face.
    pub face_deflection: Length,
    /// Deflection of the inner tip.
    pub tip_deflection: Length,
    /// The bending moment of largest magnitude.
    pub largest_moment: Moment,
    /// Where it is, to one link.
    pub largest_moment_at: Length,
}

/// A path that was followed.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadPath {
    /// Its points, as many as deflections were asked for.
    pub points: Vec<PathPoint>,
}

impl PushoverBar {
    /// A bar from `arm`, listed from the load point inward, and `embedded`, listed from the face inward.
    ///
    /// # Errors
    ///
    /// A property that is not a positive finite number (foundation and resistance may be zero), or a bar on which
    /// nothing resists.
    pub fn new(
        arm: &[PushoverSegment],
        embedded: &[PushoverSegment],
        law: SteelLaw,
    ) -> Result<Self, MechanicsError> {
        Ok(Self {
            chain: Chain::new(arm, embedded, law, 1.0)?,
        })
    }

    /// The path on which the load point is moved, from rest, to each of these deflections in turn. It may turn back.
    ///
    /// # Errors
    ///
    /// A deflection that is not finite, or a step in which no equilibrium was found.
    pub fn follow(&self, deflections: &[Length]) -> Result<LoadPath, MechanicsError> {
        let mut chain = self.chain.clone();
        let mut points = Vec::with_capacity(deflections.len());
        let mut from = 0.0;
        for deflection in deflections {
            let to = deflection.finite("the deflection of the load point")?.value;
            for step in 1..STEPS_PER_MOVE {
                chain.push(from + (to - from) * f64::from(step) / f64::from(STEPS_PER_MOVE))?;
            }
            let reading = chain.push(to)?;
            points.push(PathPoint {
                deflection: *deflection,
                force: newtons(reading.force),
                face_deflection: metres(reading.face),
                tip_deflection: metres(reading.tip),
                largest_moment: newton_metres(reading.moment),
                largest_moment_at: metres(reading.moment_at),
            });
            from = to;
        }
        Ok(LoadPath { points })
    }
}

impl LoadPath {
    /// The stiffness from rest to the first point; `None` if the path has no first point away from rest.
    pub fn initial_stiffness(&self) -> Option<Stiffness> {
        let first = self
            .points
            .first()
            .filter(|point| point.deflection.value != 0.0)?;
        Some(first.force / first.deflection)
    }

    /// Where the path, straight between its points, first meets the line of its initial stiffness shifted by `offset`;
    /// `None` if it does not go so far.
    pub fn offset_load(&self, offset: Length) -> Option<(Length, Force)> {
        let stiffness = self.initial_stiffness()?;
        let above = |point: &PathPoint| point.force - stiffness * (point.deflection - offset);
        self.points.windows(2).find_map(|pair| {
            let [before, after] = <&[PathPoint; 2]>::try_from(pair).ok()?;
            let (high, low) = (above(before).value, above(after).value);
            if high <= 0.0 || low > 0.0 {
                return None;
            }
            let share = high / (high - low);
            let deflection = before.deflection + (after.deflection - before.deflection) * share;
            Some((deflection, stiffness * (deflection - offset)))
        })
    }
}
