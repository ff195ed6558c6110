//! The loads of a draw on one anchor: one load at the largest of its period, the others as at any time (Turkstra's rule).
//!
//! What a case does to an anchor is proportional to it, and known in each direction in which demands are sought, with
//! the anchor itself and the others at half and at twice the central stiffness. Of these directions those are kept that
//! are the worst for some limit state when every variable is at its mean. Between half and twice the stiffness an effect
//! is linear in the logarithm of the stiffness; beyond, it stays as it is there.

use super::bar::Force;
use super::draws::Acting;
use crate::checks::Effect;
use crate::model::{Case, Criteria, SafetyFormat, Uncertain};

/// The load that is at the largest of its period.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lead {
    /// None: the dead load alone.
    Dead,
    Live,
    Snow,
    Wind,
}

impl Lead {
    /// Every one.
    pub(super) const ALL: [Self; 4] = [Self::Dead, Self::Live, Self::Snow, Self::Wind];

    /// The words for it.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Dead => "dead load alone",
            Self::Live => "largest live load",
            Self::Snow => "largest snow load",
            Self::Wind => "largest wind load",
        }
    }

    /// The cases that are there.
    fn cases(self) -> &'static [Case] {
        match self {
            Self::Dead => &[Case::Dead],
            Self::Live => &[Case::Dead, Case::Live],
            Self::Snow => &[Case::Dead, Case::Snow],
            Self::Wind => &[Case::Dead, Case::Wind],
        }
    }

    /// What dead, live, snow and wind load are in a draw, over their nominal values (1).
    fn factors(self, acting: &Acting) -> [f64; SOURCES] {
        let or = |lead: Self, most: f64, now: f64| if self == lead { most } else { now };
        match self {
            Self::Dead => [acting.dead, 0.0, 0.0, 0.0],
            _ => [
                acting.dead,
                or(Self::Live, acting.live, acting.live_now),
                or(Self::Snow, acting.snow, acting.snow_now),
                or(Self::Wind, acting.wind, 0.0),
            ],
        }
    }
}

/// Loads that vary by themselves: dead, live, snow, wind.
const SOURCES: usize = 4;

/// To which of these a case belongs; none where it is not part of the model.
pub(super) const fn source(case: Case) -> Option<usize> {
    match case {
        Case::Dead => Some(0),
        Case::Live | Case::RoofLive | Case::Sway => Some(1),
        Case::Snow | Case::Rain => Some(2),
        Case::Wind => Some(3),
        Case::Seismic => None,
    }
}

type Triple = [f64; 3];

/// What pushes an anchor in one direction, by state of the foundation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Push {
    lead: Lead,
    duration: usize,
    /// Of each source at its nominal value (N).
    sources: [[Triple; SOURCES]; 4],
    /// Seats out of level and stems that move (N).
    fixed: [Triple; 4],
}

/// What turns nominal loads of the layout into those that the statistics are of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Levels {
    /// By source (1).
    factors: [f64; SOURCES],
}

/// A load of strength level over the nominal one of fifty years' return: the load factor that it took the place of
/// (1.6 on wind before ASCE 7-10, on snow before ASCE 7-22).
const STRENGTH_LEVEL: f64 = 1.6;

impl Levels {
    /// By the combinations that the loads are meant for: a factor of one and less on a load of its own is that of a load
    /// of strength level.
    pub(super) fn new(criteria: &Criteria) -> Self {
        let most = |case: Case| {
            let rows = criteria.combinations.iter();
            rows.map(|row| row.factors[case as usize])
                .fold(0.0, f64::max)
        };
        let asd = criteria.format == SafetyFormat::Asd;
        let strength = |case: Case| {
            let most = most(case);
            most > 0.0 && if asd { most < 1.0 } else { most <= 1.0 }
        };
        let level = |case: Case| {
            if strength(case) {
                1.0 / STRENGTH_LEVEL
            } else {
                1.0
            }
        };
        Self {
            factors: [1.0, 1.0, level(Case::Snow), level(Case::Wind)],
        }
    }

    /// Whether a load is taken to be of strength level.
    pub(super) fn is_strength(self, variable: Uncertain) -> bool {
        let place = match variable {
            Uncertain::Snow => 2,
            Uncertain::Wind => 3,
            _ => return false,
        };
        self.factors[place] < 1.0
    }
}

impl Push {
    /// What an effect comes to with one load leading; none where that load is not there.
    pub(super) fn new(
        effect: &Effect,
        lead: Lead,
        levels: Levels,
        duration: usize,
    ) -> Option<Self> {
        let mut push = Self {
            lead,
            duration,
            sources: [[[0.0; 3]; SOURCES]; 4],
            fixed: effect.level,
        };
        let moves = matches!(lead, Lead::Live | Lead::Wind);
        for state in 0..4 {
            for case in Case::ALL {
                let Some(source) = source(case) else { continue };
                let level = levels.factors[source];
                let sum = &mut push.sources[state][source];
                add(sum, effect.cases[state][case as usize], level);
                if moves {
                    add(sum, effect.friction[state][case as usize], level);
                }
            }
            if moves {
                add(&mut push.fixed[state], effect.sway[state], 1.0);
            }
        }
        let place = match lead {
            Lead::Dead => 0,
            Lead::Live => 1,
            Lead::Snow => 2,
            Lead::Wind => 3,
        };
        let there = |sources: &[Triple; SOURCES]| sources[place].iter().any(|part| *part != 0.0);
        push.sources.iter().any(there).then_some(push)
    }

    /// The load of a draw.
    pub(super) fn force(&self, acting: &Acting, notional_side: f64) -> Force {
        let factors = self.lead.factors(acting);
        let weights = weights(acting.foundation);
        let mut sum = [0.0; 3];
        for ((sources, fixed), weight) in self.sources.iter().zip(&self.fixed).zip(weights) {
            for (source, factor) in sources.iter().zip(factors) {
                add(&mut sum, *source, weight * factor);
            }
            add(&mut sum, *fixed, weight);
        }
        let [down, side, out] = sum.map(|force| force * acting.load_effect);
        // Every anchor bears some side load, whatever the analysis says: as in the checks.
        let least = notional_side * down.abs();
        let side = if side.abs() < least {
            least.copysign(side)
        } else {
            side
        };
        Force {
            down,
            side,
            out,
            duration: self.duration,
        }
    }

    /// Which load leads.
    pub(super) const fn lead(&self) -> Lead {
        self.lead
    }
}

/// The duration factor under a lead, as the criteria have it in the allowable format (1).
pub(super) fn duration(criteria: &Criteria, lead: Lead) -> f64 {
    criteria.duration(lead.cases().iter().copied())
}

/// The weights of the four states of the foundation, from the stiffness of the anchor itself and of the others.
fn weights([own, others]: [f64; 2]) -> [f64; 4] {
    let share = |factor: f64| (0.5 + factor.ln() / (2.0 * std::f64::consts::LN_2)).clamp(0.0, 1.0);
    let (own, others) = (share(own), share(others));
    [
        (1.0 - others) * (1.0 - own),
        (1.0 - others) * own,
        others * (1.0 - own),
        others * own,
    ]
}

fn add(sum: &mut Triple, force: Triple, factor: f64) {
    for (sum, part) in sum.iter_mut().zip(force) {
        *sum += part * factor;
    }
}
