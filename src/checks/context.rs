//! What the limit states of one anchor share: its bar at every bound, its strengths, the loads it must carry.

use super::elastic::{Elastic, Piece, State, both};
use super::result::Measure;
use super::strength::Strength;
use super::trace::Silent;
use super::worst::Aspect;
use crate::mechanics::mechanism::{LimitLoad, PlasticBar, PlasticSegment};
use crate::mechanics::{MechanicsError, round_bar};
use crate::model::{Anchor, Bound, Criteria, Segment, Stem};
use crate::units::{Length, Moment, Stress, si};
use std::rc::Rc;

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
    /// Turning the bar about its axis, either way (N·m).
    pub(super) torque: f64,
    /// By how much down and side load go to and fro while stems sway: from one extreme to the other (N).
    pub(super) range: [f64; 2],
    /// Duration factor on wood strengths (1).
    pub(super) duration: f64,
    /// Whether only permanent loads act.
    pub(super) permanent: bool,
    /// Share of the down load that is permanent (1).
    pub(super) permanent_share: f64,
}

impl Demand {
    /// The same loads times a factor (1).
    pub(super) fn times(self, factor: f64) -> Self {
        Self {
            down: self.down * factor,
            side: self.side * factor,
            out: self.out * factor,
            torque: self.torque * factor,
            range: self.range.map(|range| range * factor),
            ..self
        }
    }

    /// The resultant across the bar (N).
    pub(super) fn across_bar(&self) -> f64 {
        both([self.down, self.side])
    }
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
    /// Section modulus S (m³).
    pub(super) modulus: f64,
}

/// The strengths under one duration factor (1), and the limit loads down and side (N).
#[derive(Debug)]
pub(super) struct Row {
    duration: f64,
    pub(super) strength: Strength,
    pub(super) limits: [f64; 2],
}

macro_rules! factors {
    ($($name:ident),* $(,)?) => {
        /// The criteria that checks read for every demand, looked up once: pure numbers, or SI.
        #[derive(Debug, Clone, Copy)]
        pub(super) struct Factors { $(pub(super) $name: f64,)* }

        impl Factors {
            fn of(criteria: &Criteria) -> Self {
                Self { $($name: criteria.factor(stringify!($name)),)* }
            }
        }
    };
}

factors! {
    boss_bearing, boss_bearing_across, shank_bearing, shank_bearing_across, first_crushing, first_crushing_permanent,
    limit_load, splitting, splitting_permanent, push, steel_bending_bark_line, steel_bending_embedded, steel_shear,
    steel_interaction, steel_fatigue, withdrawal_wet, deflection_share, deflection_floor,
}

/// The bar under one demand, in the states that an aspect looks at.
#[derive(Debug, Clone)]
pub(super) struct Loaded<'a> {
    pub(super) demand: Demand,
    pub(super) states: Rc<[State<'a>]>,
}

/// One anchor with all that its limit states share.
#[derive(Debug)]
pub(super) struct Context<'a> {
    pub(super) anchor: &'a Anchor,
    pub(super) stem: &'a Stem,
    pub(super) criteria: &'a Criteria,
    pub(super) factors: Factors,
    /// At half and at twice the foundation modulus.
    pub(super) bounds: [Elastic; 2],
    /// At the foundation modulus itself.
    pub(super) central: Elastic,
    /// What each piece of the bar may carry, in the order of the pieces.
    pub(super) sections: Vec<Section>,
    /// By distinct duration factor.
    rows: Vec<Row>,
}

impl<'a> Context<'a> {
    pub(super) fn new(
        anchor: &'a Anchor,
        stem: &'a Stem,
        criteria: &'a Criteria,
        durations: impl Iterator<Item = f64>,
    ) -> Result<Self, MechanicsError> {
        let clearance = criteria.length("boss_clearance");
        let elastic = |bound| Elastic::new(anchor, stem, bound, clearance);
        let mut context = Self {
            anchor,
            stem,
            criteria,
            factors: Factors::of(criteria),
            bounds: [elastic(Bound::Soft)?, elastic(Bound::Stiff)?],
            central: elastic(Bound::Central)?,
            sections: Vec::new(),
            rows: Vec::new(),
        };
        context.sections = context
            .pieces()
            .iter()
            .map(|piece| context.section(&piece.segment))
            .collect::<Result<_, _>>()?;
        for duration in durations {
            if !context.rows.iter().any(|row| row.holds(duration)) {
                let row = context.new_row(duration)?;
                context.rows.push(row);
            }
        }
        Ok(context)
    }

    fn new_row(&self, duration: f64) -> Result<Row, MechanicsError> {
        let strength = self.strength_of(duration)?;
        Ok(Row {
            duration,
            strength,
            limits: [
                self.limit(strength.along)?.factor,
                self.limit(strength.across)?.factor,
            ],
        })
    }

    fn strength_of(&self, duration: f64) -> Result<Strength, MechanicsError> {
        Strength::new(
            self.anchor,
            self.stem,
            self.criteria,
            duration,
            self.largest_bearing(),
            &mut Silent,
        )
    }

    /// Whether the boss has clearance in its counterbore.
    pub(super) fn has_clearance(&self) -> bool {
        self.central.is_loose()
    }

    /// The pieces of the bar, from the load point inward.
    pub(super) fn pieces(&self) -> &[Piece] {
        &self.central.pieces
    }

    /// The bar under a demand, in the states that an aspect looks at.
    pub(super) fn loaded(
        &self,
        aspect: Aspect,
        demand: Demand,
    ) -> Result<Loaded<'_>, MechanicsError> {
        let states = self.states(aspect, &demand, None)?;
        Ok(Loaded { demand, states })
    }

    /// A demand for limit states in which the elastic bar has no part.
    pub(super) fn unlooked(&self, demand: Demand) -> Loaded<'_> {
        let state = State::snug(&self.central, [demand.down, demand.side]);
        Loaded {
            demand,
            states: Rc::new([state]),
        }
    }

    /// The states of the bar under a demand, helped by what is known under another one of the same aspect.
    pub(super) fn states<'s>(
        &'s self,
        aspect: Aspect,
        demand: &Demand,
        near: Option<&[State<'s>]>,
    ) -> Result<Rc<[State<'s>]>, MechanicsError> {
        let [soft, stiff] = &self.bounds;
        let elastics = match aspect {
            Aspect::Strength | Aspect::Sway => [soft, stiff],
            Aspect::Sinking => [soft, &self.central],
        };
        let load = aspect.load(demand);
        let mut states = Vec::with_capacity(4);
        for elastic in elastics {
            states.push(State::snug(elastic, load));
            let near = near.and_then(|near| near.get(states.len()));
            states.extend(State::loose(
                elastic,
                load,
                aspect != Aspect::Sinking,
                near,
            )?);
        }
        Ok(states.into())
    }

    /// Strengths and limit loads under a demand's duration.
    pub(super) fn row(&self, demand: &Demand) -> Result<&Row, MechanicsError> {
        self.rows
            .iter()
            .find(|row| row.holds(demand.duration))
            .ok_or(MechanicsError::NoSolution {
                what: "no strength was prepared for this duration factor",
            })
    }

    /// The largest diameter that bears on wood.
    pub(super) fn largest_bearing(&self) -> Length {
        let inside = self.pieces().iter().filter(|piece| piece.inside);
        inside
            .map(|piece| piece.segment.bears)
            .fold(si::metres(0.0), Length::max)
    }

    /// The pieces of the bar that can yield, with a bearing strength f where they are in the wood: outside and inside.
    pub(super) fn plastic(&self, f: Stress) -> Result<[Vec<PlasticSegment>; 2], MechanicsError> {
        let mut parts = [Vec::new(), Vec::new()];
        for piece in self.pieces() {
            let segment = &piece.segment;
            parts[usize::from(piece.inside)].push(PlasticSegment {
                length: segment.length,
                resistance: if piece.inside {
                    f * segment.bears
                } else {
                    si::newtons_per_metre(0.0)
                },
                plastic_moment: round_bar::plastic_moment(
                    segment.steel.yield_strength,
                    segment.resists,
                )?,
            });
        }
        Ok(parts)
    }

    /// The plastic limit load across the bar with a bearing strength f on every piece, its factor in newtons.
    pub(super) fn limit(&self, f: Stress) -> Result<LimitLoad, MechanicsError> {
        let [outside, inside] = self.plastic(f)?;
        PlasticBar::new(&outside, &inside)?.limit(si::newtons(1.0), Moment::default())
    }

    /// What a section of the bar may carry.
    pub(super) fn section(&self, segment: &Segment) -> Result<Section, MechanicsError> {
        let d = segment.resists;
        let yield_strength = segment.steel.yield_strength;
        let area = round_bar::area(d)?;
        Ok(Section {
            moment: round_bar::nominal_moment(yield_strength, d)?.value
                / self.factors.steel_bending_embedded,
            shear: round_bar::nominal_shear(yield_strength, area)?.value / self.factors.steel_shear,
            pull: (area * yield_strength).value / self.factors.steel_interaction,
            modulus: round_bar::elastic_modulus(d)?.value,
        })
    }
}

impl Row {
    fn holds(&self, duration: f64) -> bool {
        self.duration.total_cmp(&duration).is_eq()
    }
}
