//! By how much an anchor may be set otherwise than drawn: its checks run again on the bar as it would then be.
//!
//! The loads are those of the platform as drawn: they hang on the anchor's stiffness only a little, and an anchor that
//! stands out farther is softer and draws less. What an anchor that was missed does to its neighbours is a matter for a
//! check of the whole platform as built.

use super::bisect::{Edge, edge};
use super::{Attachment, CheckError, Run, Verdict, attachment, demands, parallel};
use crate::analysis::platform::{self, AnchorForces, Triple};
use crate::loads;
use crate::model::{Anchor, Axes, Criteria, Platform, Stem};
use crate::units::{Angle, Length, si};
use nalgebra::Vector3;

/// How far each search goes: beyond these an anchor is not the one that was drawn.
const LONGEST_ARM: Length = si::millimetres(300.0);
const THICKEST_BARK: Length = si::millimetres(50.0);
const LARGEST_TILT: Angle = si::degrees(10.0);
/// Boss that is left in the wood where the search for the least ends.
const LEAST_BOSS: Length = si::millimetres(1.0);
/// Share of the wood's radius that the search for the thickest bark goes to at the most (1).
const SHARE_OF_RADIUS: f64 = 0.25;
/// How near an edge is found: half of what a builder can measure.
const NEAR: Length = si::millimetres(0.5);
const NEAR_ANGLE: Angle = si::degrees(0.05);

/// What differs from the drawing once an anchor is set; zero is as drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Deviation {
    /// The load acts farther out from the wood surface.
    pub arm: Length,
    /// Less of the boss is in the wood; the shank stays whole in it.
    pub boss: Length,
    /// The bark is thicker: the wood surface lies deeper, and the load stays where it is.
    pub bark: Length,
    /// The outer end of the bar stands up.
    pub tilt: Angle,
}

/// By how much one anchor may be missed, one thing at a time, with no check getting worse.
#[derive(Debug, Clone, PartialEq)]
pub struct MayMiss {
    /// Id of the anchor.
    pub anchor: String,
    /// The longest arm, from the wood surface to the line of the load.
    pub arm: Edge<Length>,
    /// The least boss in the wood, from the wood surface.
    pub boss_in_wood: Edge<Length>,
    /// The thickest bark.
    pub bark: Edge<Length>,
    /// The largest tilt with the outer end up.
    pub tilt_up: Edge<Angle>,
    /// The largest tilt with the outer end down.
    pub tilt_down: Edge<Angle>,
}

impl Platform {
    /// By how much each anchor may be missed.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn may_miss(&self) -> Result<Vec<MayMiss>, CheckError> {
        let criteria = self.criteria();
        self.on_its_loads(criteria, |run| {
            let all = parallel::each(self.anchors().len(), |index| Search::new(run, index)?.all());
            all.into_iter().collect()
        })
    }

    /// Checks one anchor, by its place in the platform, as it was set, under the loads of the platform as drawn.
    ///
    /// # Errors
    /// As [`Platform::check`]; a deviation that leaves no anchor.
    pub fn check_as_set(
        &self,
        index: usize,
        deviation: &Deviation,
    ) -> Result<Attachment, CheckError> {
        let criteria = self.criteria();
        self.on_its_loads(criteria, |run| {
            Search::new(run, index)?
                .as_set(deviation)
                .map(|(attachment, _)| attachment)
        })
    }

    /// Does something with the loads on every anchor.
    pub(super) fn on_its_loads<T>(
        &self,
        criteria: &Criteria,
        with: impl FnOnce(&Run<'_>) -> Result<T, CheckError>,
    ) -> Result<T, CheckError> {
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        with(&Run::new(self, criteria, &solved)?)
    }
}

/// One anchor under the loads of the drawing.
struct Search<'a> {
    run: &'a Run<'a>,
    anchor: &'a Anchor,
    stem: &'a Stem,
    index: usize,
    forces: AnchorForces,
    level: demands::Demands,
    drawn: Attachment,
}

impl<'a> Search<'a> {
    fn new(run: &'a Run<'a>, index: usize) -> Result<Self, CheckError> {
        let Some(anchor) = run.platform.anchors().get(index) else {
            return Err(CheckError::NoSuchAnchor(index));
        };
        let forces = run.solved.anchor(index)?;
        let level = run.bears(&forces);
        let drawn = attachment(run.platform, anchor, &forces, run.criteria, &level)
            .map_err(|error| run.fault(index, error))?;
        Ok(Self {
            run,
            anchor,
            stem: run.platform.stem_of(anchor),
            index,
            forces,
            level,
            drawn,
        })
    }

    /// The anchor as set, and whether no check says worse than of the drawing.
    fn as_set(&self, deviation: &Deviation) -> Result<(Attachment, bool), CheckError> {
        let (anchor, stem) = set(self.anchor, self.stem, deviation);
        let turned = (deviation.tilt.value != 0.0).then(|| {
            let axes = [self.anchor.axes(self.stem), anchor.axes(&stem)];
            let forces = turned(&self.forces, axes, deviation.tilt);
            let demands = self.run.bears(&forces);
            (forces, demands)
        });
        let (forces, demands) = match &turned {
            Some((forces, demands)) => (forces, demands),
            None => (&self.forces, &self.level),
        };
        let platform = self
            .run
            .platform
            .with_anchor_in(self.index, anchor, stem)
            .map_err(CheckError::Platform)?;
        let anchor = &platform.anchors()[self.index];
        let found = attachment(&platform, anchor, forces, self.run.criteria, demands)
            .map_err(|error| self.run.fault(self.index, error))?;
        let no_worse = found.checks().iter().zip(self.drawn.checks());
        let no_worse = no_worse
            .filter(|(found, drawn)| found.verdict > drawn.verdict.max(Verdict::Pass))
            .count()
            == 0;
        Ok((found, no_worse))
    }

    fn holds(&self, deviation: &Deviation) -> Result<bool, CheckError> {
        if *deviation == Deviation::default() {
            return Ok(self.drawn.verdict() != Verdict::Fail);
        }
        match self.as_set(deviation) {
            Ok((_, no_worse)) => Ok(no_worse && self.drawn.verdict() != Verdict::Fail),
            // A bar that can not be worked out is no bar that holds.
            Err(CheckError::Anchor { .. } | CheckError::Platform(_)) => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn all(&self) -> Result<MayMiss, CheckError> {
        let none = Deviation::default();
        let length = |most: Length, of: fn(Length) -> Deviation| {
            let search = |off: f64| self.holds(&of(si::metres(off)));
            edge(0.0, most.value, NEAR.value, search)
        };
        let tilt = |sign: f64| {
            let search = |off: f64| {
                self.holds(&Deviation {
                    tilt: si::radians(off * sign),
                    ..none
                })
            };
            edge(0.0, LARGEST_TILT.value, NEAR_ANGLE.value, search)
                .map(|edge| edge.map(si::radians))
        };
        let boss = (self.anchor.sound_boss(self.stem) - LEAST_BOSS).max(si::metres(0.0));
        let bark = THICKEST_BARK.min(self.stem.wood_radius() * SHARE_OF_RADIUS);
        let from = |start: Length, sign: f64| move |off: f64| start + si::metres(off * sign);
        Ok(MayMiss {
            anchor: self.anchor.id.clone(),
            arm: length(LONGEST_ARM, |arm| Deviation {
                arm,
                ..Deviation::default()
            })?
            .map(from(self.anchor.arm, 1.0)),
            boss_in_wood: length(boss, |boss| Deviation {
                boss,
                ..Deviation::default()
            })?
            .map(from(self.anchor.embedded, -1.0)),
            bark: length(bark, |bark| Deviation {
                bark,
                ..Deviation::default()
            })?
            .map(from(self.stem.bark, 1.0)),
            tilt_up: tilt(1.0)?,
            tilt_down: tilt(-1.0)?,
        })
    }
}

/// Anchor and stem as they are once the anchor is set. A tilted bar is looked at along its own axis: the stem leans
/// instead, by as much the other way.
fn set(anchor: &Anchor, stem: &Stem, deviation: &Deviation) -> (Anchor, Stem) {
    let mut anchor = anchor.clone();
    let mut stem = stem.clone();
    anchor.arm += deviation.arm + deviation.bark;
    anchor.embedded -= deviation.boss;
    stem.bark += deviation.bark;
    if deviation.tilt.value != 0.0 {
        let out = anchor.axes(&stem).out;
        let (sin, cos) = stem.lean.value.sin_cos();
        let (east, north) = stem.leans.value.sin_cos();
        let grain = Vector3::new(sin * east, sin * north, cos);
        let grain = turn(grain, out, deviation.tilt);
        stem.lean = si::radians(grain.z.clamp(-1.0, 1.0).acos());
        stem.leans = si::radians(grain.x.atan2(grain.y));
    }
    (anchor, stem)
}

/// A vector as it looks from a bar whose outer end stands up by an angle, drawn level.
fn turn(vector: Vector3<f64>, out: Vector3<f64>, tilt: Angle) -> Vector3<f64> {
    let up = Vector3::z();
    let (sin, cos) = tilt.value.sin_cos();
    let (along, rise) = (vector.dot(&out), vector.dot(&up));
    vector + out * (cos * along + sin * rise - along) + up * (cos * rise - sin * along - rise)
}

/// The same forces on the axes of the tilted bar.
fn turned(forces: &AnchorForces, [level, tilted]: [Axes; 2], tilt: Angle) -> AnchorForces {
    let on = |force: Triple| -> Triple {
        let [down, side, out] = force;
        let force = level.down * down + level.side * side + level.out * out;
        let force = turn(force, level.out, tilt);
        [tilted.down, tilted.side, tilted.out].map(|axis| axis.dot(&force))
    };
    let mut turned = forces.clone();
    turned.crept = on(turned.crept);
    for state in &mut turned.states {
        let lists = [&mut state.columns, &mut state.level, &mut state.friction];
        for force in lists.into_iter().flatten() {
            *force = on(*force);
        }
        for force in state.movement.iter_mut().flatten() {
            *force = on(*force);
        }
    }
    turned
}
