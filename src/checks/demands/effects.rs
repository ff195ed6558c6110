//! What each load case does to an anchor, before any combination, in each direction in which its demands are sought: for
//! those who let the cases vary.

use super::{
    AnchorForces, ByCase, Case, Criteria, DIRECTIONS, Parts, Row, Solved, State, Surroundings,
    Triple, add, directions, dot,
};
use crate::model::{Combination, Origin, Standing};

/// States of the foundation between which an effect is known, by the others (soft, stiff) and the anchor itself (soft,
/// stiff): place `2·others + own`.
const CORNERS: [State; 4] = [
    State::AllSoft,
    State::StiffAmongSoft,
    State::SoftAmongStiff,
    State::AllStiff,
];

/// What pushes an anchor in one direction: what is always there, and of what may be there that which pushes this way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Effect {
    /// By state, by case: the load as the layout has it (N).
    pub(crate) cases: [ByCase; 4],
    /// By state, by case: the friction of sliding seats under it, where people or wind move the stems (N).
    pub(crate) friction: [ByCase; 4],
    /// By state: a seat out of level (N).
    pub(crate) level: [Triple; 4],
    /// By state: stems that move in service, where people or wind are there (N).
    pub(crate) sway: [Triple; 4],
}

impl Default for Effect {
    fn default() -> Self {
        let none = [[[0.0; 3]; Case::ALL.len()]; 4];
        Self {
            cases: none,
            friction: none,
            level: [[0.0; 3]; 4],
            sway: [[0.0; 3]; 4],
        }
    }
}

/// The effects on an anchor, one for each direction.
pub(in crate::checks) fn effects(
    forces: &AnchorForces,
    solved: &Solved<'_>,
    around: &Surroundings,
    criteria: &Criteria,
) -> Vec<Effect> {
    let directions = directions();
    let mut effects = vec![Effect::default(); DIRECTIONS];
    let rubs = Case::ALL.map(|case| Row::alone(case, criteria, around).rubs);
    for (corner, state) in CORNERS.into_iter().enumerate() {
        let Some(state) = forces.states.iter().find(|known| known.state == state) else {
            continue;
        };
        let parts = Parts::new(state, solved, around, criteria, &directions);
        for ((effect, direction), chosen) in effects.iter_mut().zip(&directions).zip(&parts.corners)
        {
            for (sum, part) in effect.cases[corner]
                .iter_mut()
                .zip(parts.always.iter().zip(&chosen.chosen))
            {
                add(sum, *part.0, 1.0);
                add(sum, *part.1, 1.0);
            }
            for (slider, force) in &parts.friction {
                let along = dot(*force, *direction).signum();
                for (sum, rubs) in effect.friction[corner].iter_mut().zip(&rubs) {
                    add(sum, *force, rubs[*slider] * along);
                }
            }
            effect.level[corner] = chosen.level;
            effect.sway[corner] = chosen.sway;
        }
    }
    effects
}

impl Row {
    /// A combination of one case alone, as the layout has it.
    fn alone(case: Case, criteria: &Criteria, around: &Surroundings) -> Self {
        let mut factors = [0.0; Case::ALL.len()];
        factors[case as usize] = 1.0;
        let mut criteria = criteria.clone();
        criteria.combinations = vec![Combination {
            name: case.symbol().to_owned(),
            factors,
            movement: None,
            snow_level: None,
            origin: Origin::new("one case alone", Standing::Published),
        }];
        Self::new(0, &criteria, around)
    }
}
