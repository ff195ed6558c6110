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

/// Steps in which each move of the path is made. A move in one step is exact while nothing unloads on the way; see
/// [`PushoverBar::follow`] for what is left.
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
    /// Links half as long or twice as many steps change the force by less than 2e-4 of the largest while the path goes
    /// one way, and by less than 5e-3 once it has turned back so far that bar and wood yield the other way.
    ///
    /// # Errors
    ///
    /// A deflection that is not finite, or a step in which no equilibrium was found.
    pub fn follow(&self, deflections: &[Length]) -> Result<LoadPath, MechanicsError> {
        self.follow_in_steps(deflections, STEPS_PER_MOVE)
    }

    fn follow_in_steps(
        &self,
        deflections: &[Length],
        steps: u32,
    ) -> Result<LoadPath, MechanicsError> {
        let mut chain = self.chain.clone();
        let mut points = Vec::with_capacity(deflections.len());
        let mut from = 0.0;
        for deflection in deflections {
            let to = deflection.finite("the deflection of the load point")?.value;
            for step in 1..steps {
                chain.push(from + (to - from) * f64::from(step) / f64::from(steps))?;
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::chain::Chain;
    use super::{PushoverBar, PushoverSegment, SteelLaw};
    use crate::units::Length;
    use crate::units::si::{gigapascals, megapascals, millimetres, newtons_per_metre};

    /// Changes of the force allowed, of the largest on the path: going one way, and once turned back. They are those
    /// that [`PushoverBar::follow`] states.
    const ONE_WAY: f64 = 2e-4;
    const TURNED_BACK: f64 = 5e-3;

    /// A collar, a shank and an arm: the hinge forms at the step, and the path turns back twice.
    fn example() -> ([PushoverSegment; 1], [PushoverSegment; 2], Vec<Length>) {
        let segment = |length, d, foundation, resistance| PushoverSegment {
            length: millimetres(length),
            bending_diameter: millimetres(d),
            modulus: gigapascals(205.0),
            yield_strength: megapascals(250.0),
            foundation: megapascals(foundation),
            resistance: newtons_per_metre(resistance),
        };
        let arm = segment(100.0, 60.0, 0.0, 0.0);
        let embedded = [
            segment(50.0, 75.0, 700.0, 1.8e6),
            segment(140.0, 32.0, 700.0, 0.8e6),
        ];
        (
            [arm],
            embedded,
            [0.5, 2.0, 6.0, 12.0, 8.0, 0.0, 12.0]
                .map(millimetres)
                .to_vec(),
        )
    }

    fn forces(refinement: f64, steps: u32, law: SteelLaw) -> Vec<f64> {
        let (arm, embedded, path) = example();
        let bar = PushoverBar {
            chain: Chain::new(&arm, &embedded, law, refinement).unwrap(),
        };
        let points = bar.follow_in_steps(&path, steps).unwrap().points;
        points.iter().map(|point| point.force.value).collect()
    }

    #[test]
    fn finer_links_and_smaller_steps_change_little() {
        for law in [
            SteelLaw::Elastic,
            SteelLaw::MomentCurvature,
            SteelLaw::Fibre,
        ] {
            let usual = forces(1.0, super::STEPS_PER_MOVE, law);
            let largest = usual
                .iter()
                .fold(0.0, |largest: f64, force| largest.max(force.abs()));
            for other in [
                forces(2.0, super::STEPS_PER_MOVE, law),
                forces(1.0, 2 * super::STEPS_PER_MOVE, law),
            ] {
                for (point, (one, other)) in usual.iter().zip(&other).enumerate() {
                    let allowed = if point < 4 { ONE_WAY } else { TURNED_BACK };
                    assert!(
                        (one - other).abs() < allowed * largest,
                        "{law:?}: {one} {other}"
                    );
                }
            }
        }
    }
}
