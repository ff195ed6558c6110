//! What the limit states of one anchor share: its bar at both bounds, its strengths, the loads it must carry.

use super::elastic::Elastic;
use super::result::Measure;
use super::strength::Strength;
use crate::mechanics::mechanism::{PlasticBar, PlasticSegment};
use crate::mechanics::{MechanicsError, round_bar};
use crate::model::{Anchor, Bound, Criteria, Segment, Stem};
use crate::units::{Force, Length, Moment, Stress, si};

/// A load on an anchor, in one combination and one state of the platform.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Demand {
    /// Place of the combination in the criteria.
    pub(super) combination: usize,
    /// Down (N).
    pub(super) down: f64,
    /// Sideways, either way (N).
    pub(super) side: f64,
    /// Out along the bar (N).
    pub(super) out: f64,
    /// Duration factor on wood strengths (1).
    pub(super) duration: f64,
    /// Whether only permanent loads act.
    pub(super) permanent: bool,
    /// Share of the down load that is permanent (1).
    pub(super) permanent_share: f64,
    /// Torque about the bar, either way (N·m).
    pub(super) torque: f64,
    /// How far down and side load run to and fro (N).
    pub(super) range: [f64; 2],
}

impl Demand {
    /// Whether every check that looks through a lens is at least as hard under this demand as under `other`.
    pub(super) fn covers(&self, other: &Self, lens: Lens) -> bool {
        let across = self.down.abs() >= other.down.abs() && self.side.abs() >= other.side.abs();
        match lens {
            Lens::Strength => across && self.lasts(other) && self.pulls(other),
            Lens::Sinking => across && self.permanent_share >= other.permanent_share,
            Lens::Torque => self.torque >= other.torque,
            Lens::Range => self.range[0] >= other.range[0] && self.range[1] >= other.range[1],
        }
    }

    fn lasts(&self, other: &Self) -> bool {
        self.duration.total_cmp(&other.duration).is_le() && (self.permanent || !other.permanent)
    }

    fn pulls(&self, other: &Self) -> bool {
        if other.out > 0.0 {
            self.out >= other.out
        } else {
            self.out <= other.out || other.out == 0.0
        }
    }

    /// The resultant across the bar (N).
    pub(super) fn across_bar(&self) -> f64 {
        self.down.hypot(self.side)
    }
}

/// What of a demand a check looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lens {
    /// Down, side, out; duration and permanence.
    Strength,
    /// Down, side and how much of it lasts.
    Sinking,
    /// Torque.
    Torque,
    /// Range.
    Range,
}

/// A demand against what is allowed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Use {
    pub(super) demand: Measure,
    pub(super) allowable: Measure,
    /// Demand over allowable (1).
    pub(super) utilization: f64,
}

impl Use {
    /// A use of a force, moment or stress from its utilization and allowable.
    pub(super) fn of(utilization: f64, allowable: f64, kind: impl Fn(f64) -> Measure) -> Self {
        Self {
            demand: kind(utilization * allowable),
            allowable: kind(allowable),
            utilization,
        }
    }
}

/// A force as a measure, from newtons.
pub(super) fn force(newtons: f64) -> Measure {
    Measure::Force(si::newtons(newtons))
}
/// A moment as a measure, from newton metres.
pub(super) fn moment(newton_metres: f64) -> Measure {
    Measure::Moment(si::newton_metres(newton_metres))
}
/// A stress as a measure, from pascals.
pub(super) fn stress(pascals: f64) -> Measure {
    Measure::Stress(si::pascals(pascals))
}

/// What one section of the bar may carry.
#[derive(Debug, Clone, Copy)]
pub(super) struct Section {
    /// Bending (N·m).
    pub(super) moment: f64,
    /// Shear (N).
    pub(super) shear: f64,
    /// Pull (N).
    pub(super) pull: f64,
}

/// One anchor with all that its limit states share.
#[derive(Debug)]
pub(super) struct Context<'a> {
    pub(super) anchor: &'a Anchor,
    pub(super) stem: &'a Stem,
    pub(super) criteria: &'a Criteria,
    /// At half, once and twice the foundation modulus.
    pub(super) elastic: [Elastic; 3],
    /// What each piece of the bar may carry, in the order of the pieces.
    pub(super) sections: Vec<Section>,
    /// By distinct duration factor (1).
    strengths: Vec<(f64, Strength, [Force; 2])>,
}

impl<'a> Context<'a> {
    pub(super) fn new(
        anchor: &'a Anchor,
        stem: &'a Stem,
        criteria: &'a Criteria,
        durations: impl Iterator<Item = f64>,
    ) -> Result<Self, MechanicsError> {
        let elastic = [
            Elastic::new(anchor, stem, Bound::Soft)?,
            Elastic::new(anchor, stem, Bound::Central)?,
            Elastic::new(anchor, stem, Bound::Stiff)?,
        ];
        let mut context = Self {
            anchor,
            stem,
            criteria,
            elastic,
            sections: Vec::new(),
            strengths: Vec::new(),
        };
        context.sections = context.elastic[1]
            .pieces
            .iter()
            .map(|piece| context.section(&piece.segment))
            .collect::<Result<_, _>>()?;
        for duration in durations {
            if !context
                .strengths
                .iter()
                .any(|(known, ..)| known.total_cmp(&duration).is_eq())
            {
                let strength =
                    Strength::new(anchor, stem, criteria, duration, context.largest_bearing())?;
                let limits = [
                    context.limit(strength.along)?,
                    context.limit(strength.across)?,
                ];
                context.strengths.push((duration, strength, limits));
            }
        }
        Ok(context)
    }

    /// The elastic bars at both bounds.
    pub(super) fn bounds(&self) -> [&Elastic; 2] {
        [&self.elastic[0], &self.elastic[2]]
    }

    /// Strengths under a demand's duration.
    pub(super) fn strength(&self, demand: &Demand) -> Result<&Strength, MechanicsError> {
        self.row(demand).map(|row| &row.1)
    }

    /// Plastic limit loads under a demand's duration: down and side.
    pub(super) fn limits(&self, demand: &Demand) -> Result<[Force; 2], MechanicsError> {
        self.row(demand).map(|row| row.2)
    }

    fn row(&self, demand: &Demand) -> Result<&(f64, Strength, [Force; 2]), MechanicsError> {
        self.strengths
            .iter()
            .find(|(duration, ..)| duration.total_cmp(&demand.duration).is_eq())
            .ok_or(MechanicsError::NoSolution {
                what: "no strength was prepared for this duration factor",
            })
    }

    /// The largest diameter that bears on wood.
    pub(super) fn largest_bearing(&self) -> Length {
        self.anchor
            .inside(self.stem)
            .iter()
            .map(|piece| piece.bears)
            .fold(si::metres(0.0), Length::max)
    }

    /// The plastic limit load across the bar with a bearing strength f on every piece.
    fn limit(&self, f: Stress) -> Result<Force, MechanicsError> {
        let piece = |inside: bool, segment: &Segment| {
            Ok::<_, MechanicsError>(PlasticSegment {
                length: segment.length,
                resistance: if inside {
                    f * segment.bears
                } else {
                    si::newtons_per_metre(0.0)
                },
                plastic_moment: round_bar::plastic_moment(
                    segment.steel.yield_strength,
                    segment.resists,
                )?,
            })
        };
        let outside: Vec<_> = self
            .anchor
            .outside(self.stem)
            .iter()
            .map(|segment| piece(false, segment))
            .collect::<Result<_, _>>()?;
        let inside: Vec<_> = self
            .anchor
            .inside(self.stem)
            .iter()
            .map(|segment| piece(true, segment))
            .collect::<Result<_, _>>()?;
        let unit = si::newtons(1.0);
        let limit = PlasticBar::new(&outside, &inside)?.limit(unit, Moment::default())?;
        Ok(unit * limit.factor)
    }

    /// What a section of the bar may carry.
    fn section(&self, segment: &Segment) -> Result<Section, MechanicsError> {
        let d = segment.resists;
        let yield_strength = segment.steel.yield_strength;
        Ok(Section {
            moment: round_bar::nominal_moment(yield_strength, d)?.value
                / self.criteria.factor("steel_bending_embedded"),
            shear: round_bar::nominal_shear(yield_strength, round_bar::area(d)?)?.value
                / self.criteria.factor("steel_shear"),
            pull: (round_bar::area(d)? * yield_strength).value
                / self.criteria.factor("steel_interaction"),
        })
    }
}
