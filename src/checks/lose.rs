//! One attachment lost: what the others must then carry, against strengths without safety factors.

use super::context::{Context, Demand};
use super::limit_states::{RULES, Rule};
use super::{CheckError, Worst, worst};
use crate::analysis::platform::{self, Loss, Triple};
use crate::loads;
use crate::mechanics::MechanicsError;
use crate::model::{Case, Combination, Criteria, Group, LimitState, Origin, Platform, Standing};
use serde::Serialize;

/// How an attachment goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Going {
    /// At once: what it carried falls on the others.
    Sudden,
    /// Slowly: it hands its load on.
    Gradual,
}

/// An attachment that is exceeded when another is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct Exceeded {
    /// The anchor.
    pub anchor: String,
    /// Its limit state that is exceeded most.
    pub limit_state: LimitState,
    /// Demand over strength (1).
    pub utilization: f64,
}

/// What follows when one attachment is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct LostOne {
    /// The anchor that is lost.
    pub anchor: String,
    /// Whether anything else holds what it held; if not, the platform or a part of it falls.
    pub held: bool,
    /// The most used of the others when it goes suddenly and gradually: the anchor, its limit state, demand over strength.
    pub hardest: [Option<Exceeded>; 2],
    /// Those that are exceeded when it goes suddenly and gradually.
    pub exceeded: [Vec<Exceeded>; 2],
}

impl LostOne {
    /// Whether the platform stands after such a loss: nothing falls and no other attachment is exceeded.
    pub fn stands(&self, going: Going) -> bool {
        self.held && self.exceeded[going as usize].is_empty()
    }
}

impl Platform {
    /// Takes away each attachment in turn, under the dead load and a share of the live load, with the others at their
    /// strength without safety factors.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn lose_each(&self) -> Result<Vec<LostOne>, CheckError> {
        self.lose_each_with(self.criteria())
    }

    /// The same by other criteria.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn lose_each_with(&self, criteria: &Criteria) -> Result<Vec<LostOne>, CheckError> {
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        let losses = solved.lose_each()?;
        let bare = accidental(criteria);
        losses.iter().map(|loss| lost(self, loss, &bare)).collect()
    }
}

/// Strengths without safety, and the two combinations of a loss.
fn accidental(criteria: &Criteria) -> Criteria {
    let mut bare = criteria.without_safety();
    let live = criteria.factor("lose_one_live");
    bare.combinations = ["lose_one_sudden", "lose_one_gradual"]
        .map(|key| {
            let factor = criteria.factor(key);
            let mut factors = [0.0; Case::ALL.len()];
            factors[Case::Dead as usize] = factor;
            factors[Case::Live as usize] = factor * live;
            Combination {
                name: format!("{factor:.1} (D + {live} L)"),
                factors,
                movement: Some(0.0),
                snow_level: None,
                origin: Origin::new("this-project", Standing::Practice),
            }
        })
        .to_vec();
    bare
}

fn lost(platform: &Platform, loss: &Loss, bare: &Criteria) -> Result<LostOne, CheckError> {
    let mut one = LostOne {
        anchor: platform.anchors()[loss.lost].id.clone(),
        held: loss.forces.is_some(),
        hardest: [None, None],
        exceeded: [Vec::new(), Vec::new()],
    };
    let Some(forces) = &loss.forces else {
        return Ok(one);
    };
    for index in (0..platform.anchors().len()).filter(|index| *index != loss.lost) {
        let on = [&forces[0][index], &forces[1][index]];
        for going in [Going::Sudden, Going::Gradual] {
            let found =
                hardest(platform, index, on, going, bare).map_err(|error| CheckError::Anchor {
                    anchor: platform.anchors()[index].id.clone(),
                    error,
                })?;
            let place = going as usize;
            let Some(found) = found else { continue };
            if found.utilization > 1.0 {
                one.exceeded[place].push(found.clone());
            }
            if one.hardest[place]
                .as_ref()
                .is_none_or(|most| most.utilization < found.utilization)
            {
                one.hardest[place] = Some(found);
            }
        }
    }
    Ok(one)
}

/// The most used strength of an anchor under the loads that a loss leaves it, on soft and on stiff anchors.
fn hardest(
    platform: &Platform,
    index: usize,
    on: [&[Triple; 2]; 2],
    going: Going,
    bare: &Criteria,
) -> Result<Option<Exceeded>, MechanicsError> {
    let anchor = &platform.anchors()[index];
    let stem = platform.stem_of(anchor);
    let demands = on.map(|forces| demand(forces, going, bare));
    let context = Context::new(
        anchor,
        stem,
        bare,
        demands.iter().map(|demand| demand.duration),
    )?;
    let mut most: Option<Exceeded> = None;
    let loads = context.loads(&demands)?;
    let strength = |rule: &&Rule| rule.limit_state.group() != Group::Fit;
    for rule in RULES.iter().filter(strength) {
        let Some(Worst { found, .. }) = worst(rule, &context, loads.of(rule.aspect()))? else {
            continue;
        };
        if most
            .as_ref()
            .is_none_or(|most| most.utilization < found.utilization)
        {
            most = Some(Exceeded {
                anchor: anchor.id.clone(),
                limit_state: rule.limit_state,
                utilization: found.utilization,
            });
        }
    }
    Ok(most)
}

fn demand(forces: &[Triple; 2], going: Going, bare: &Criteria) -> Demand {
    let row = &bare.combinations[going as usize];
    let sum = |c: usize| {
        row.factors[Case::Dead as usize] * forces[0][c]
            + row.factors[Case::Live as usize] * forces[1][c]
    };
    let [down, side, out] = [sum(0), sum(1), sum(2)];
    let least = bare.factor("notional_side") * down.abs();
    Demand {
        combination: going as usize,
        down,
        side: if side.abs() < least { least } else { side },
        out,
        duration: 1.0,
        permanent: false,
        permanent_share: 0.0,
        torque: 0.0,
        range: [0.0; 2],
    }
}
