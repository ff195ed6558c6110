//! What the limit states of one anchor share: its bar at every bound, its strengths, the loads it must carry.

use super::elastic::{Elastic, Piece, State, both};
use super::result::Measure;
use super::strength::Strength;
use super::trace::Silent;
use crate::mechanics::mechanism::{LimitLoad, PlasticBar, PlasticSegment};
use crate::mechanics::{MechanicsError, round_bar};
use crate::model::{Anchor, Bound, Criteria, Segment, Stem};
use crate::units::{Length, Moment, Stress, si};

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
    /// Whether every check of strength is at least as hard under this demand as under `other`.
    pub(super) fn strains(&self, other: &Self) -> bool {
        let out = if other.out > 0.0 {
            self.out >= other.out
        } else {
            self.out <= other.out || other.out == 0.0
        };
        self.duration.total_cmp(&other.duration).is_le()
            && (self.permanent || !other.permanent)
            && larger(self.down, other.down)
            && larger(self.side, other.side)
            && out
    }

    /// Whether the load point sinks at least as far under this demand as under `other`.
    pub(super) fn sinks(&self, other: &Self) -> bool {
        self.permanent_share >= other.permanent_share
            && larger(self.down, other.down)
            && larger(self.side, other.side)
    }

    /// Whether this demand goes to and fro at least as far as `other`.
    pub(super) fn sways(&self, other: &Self) -> bool {
        larger(self.range[0], other.range[0]) && larger(self.range[1], other.range[1])
    }

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

fn larger(own: f64, others: f64) -> bool {
    own.abs() >= others.abs()
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

/// What the demands that can govern are sorted out for, and in which states of the bar they are then looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aspect {
    /// Both bounds, snug and loose.
    Strength,
    /// The soft bound and the central modulus, snug and loose; the load point alone.
    Sinking,
    /// Both bounds, snug and loose, under the range of the load.
    Sway,
}

impl Aspect {
    /// Those demands that no other one covers.
    pub(super) fn hardest(self, all: &[Demand]) -> Vec<Demand> {
        let covers = match self {
            Self::Strength => Demand::strains,
            Self::Sinking => Demand::sinks,
            Self::Sway => Demand::sways,
        };
        let mut kept: Vec<Demand> = Vec::new();
        for demand in all {
            if !kept.iter().any(|other| covers(other, demand)) {
                kept.retain(|other| !covers(demand, other));
                kept.push(*demand);
            }
        }
        kept
    }
}

/// The bar under one demand, in the states that an aspect looks at.
#[derive(Debug)]
pub(super) struct Loaded<'a> {
    pub(super) demand: Demand,
    pub(super) states: Vec<State<'a>>,
}

/// The bar under every demand that can govern.
#[derive(Debug)]
pub(super) struct Loads<'a> {
    strength: Vec<Loaded<'a>>,
    sinking: Vec<Loaded<'a>>,
    sway: Vec<Loaded<'a>>,
}

impl<'a> Loads<'a> {
    pub(super) fn of(&self, aspect: Aspect) -> &[Loaded<'a>] {
        match aspect {
            Aspect::Strength => &self.strength,
            Aspect::Sinking => &self.sinking,
            Aspect::Sway => &self.sway,
        }
    }
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
        self.loaded_near(aspect, demand, None)
    }

    /// The same, helped by what is known under another demand of the same aspect.
    fn loaded_near<'s>(
        &'s self,
        aspect: Aspect,
        demand: Demand,
        near: Option<&Loaded<'s>>,
    ) -> Result<Loaded<'s>, MechanicsError> {
        let [soft, stiff] = &self.bounds;
        let (elastics, load) = match aspect {
            Aspect::Strength => ([soft, stiff], [demand.down, demand.side]),
            Aspect::Sinking => ([soft, &self.central], [demand.down, demand.side]),
            Aspect::Sway => ([soft, stiff], demand.range),
        };
        let mut states = Vec::with_capacity(4);
        for elastic in elastics {
            states.push(State::snug(elastic, load));
            let near = near.and_then(|near| near.states.get(states.len()));
            states.extend(State::loose(
                elastic,
                load,
                aspect != Aspect::Sinking,
                near,
            )?);
        }
        Ok(Loaded { demand, states })
    }

    /// The bar under those of all demands that can govern an aspect.
    pub(super) fn hardest(
        &self,
        aspect: Aspect,
        all: &[Demand],
    ) -> Result<Vec<Loaded<'_>>, MechanicsError> {
        let mut loaded: Vec<Loaded<'_>> = Vec::new();
        for demand in aspect.hardest(all) {
            let next = self.loaded_near(aspect, demand, loaded.last())?;
            loaded.push(next);
        }
        Ok(loaded)
    }

    /// The bar under all demands that can govern.
    pub(super) fn loads(&self, all: &[Demand]) -> Result<Loads<'_>, MechanicsError> {
        Ok(Loads {
            strength: self.hardest(Aspect::Strength, all)?,
            sinking: self.hardest(Aspect::Sinking, all)?,
            sway: self.hardest(Aspect::Sway, all)?,
        })
    }

    /// The same for limit states of wood alone.
    pub(super) fn loads_on_wood(&self, all: &[Demand]) -> Result<Loads<'_>, MechanicsError> {
        Ok(Loads {
            strength: self.hardest(Aspect::Strength, all)?,
            sinking: Vec::new(),
            sway: Vec::new(),
        })
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
