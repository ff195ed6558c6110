//! What presses on the joints between members, over all combinations.

use super::demands::pressing;
use super::{CheckError, Run};
use crate::analysis::platform::{Column, JointKind};
use crate::model::{Case, Platform, Presence};
use crate::units::{Force, si};

/// What presses on a joint: the most and the least over all combinations, on soft and on stiff anchors.
#[derive(Debug, Clone, PartialEq)]
pub struct JointLoad {
    /// The joint in words.
    pub name: String,
    /// What it is; none for the seats of joists.
    pub kind: Option<JointKind>,
    /// The most that presses on it, and the combination.
    pub most: (Force, String),
    /// The least; below zero it would have to act the other way.
    pub least: (Force, String),
}

impl Platform {
    /// What presses on every joint of members, and on the joists' seats the most of each beam and deck.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn joint_loads(&self) -> Result<Vec<JointLoad>, CheckError> {
        self.on_its_loads(self.criteria(), |run| {
            let columns = run.solved.columns();
            let mut loads = Vec::new();
            for joint in run.solved.joints()? {
                let load = ranged(run, &joint.name, Some(joint.kind), &joint.presses, columns);
                loads.extend(load);
            }
            let whole = Case::ALL.map(|case| Column {
                case,
                presence: Presence::Always,
            });
            let mut seats: Vec<JointLoad> = Vec::new();
            for (name, bears) in run.solved.joist_seats()? {
                let Some(load) = ranged(run, &name, None, &[bears.to_vec()], &whole) else {
                    continue;
                };
                match seats.iter_mut().find(|known| known.name == name) {
                    None => seats.push(load),
                    Some(known) => known.widen(load),
                }
            }
            loads.extend(seats);
            Ok(loads)
        })
    }
}

impl JointLoad {
    /// Takes in another joint of the same name.
    fn widen(&mut self, other: Self) {
        if other.most.0 > self.most.0 {
            self.most = other.most;
        }
        if other.least.0 < self.least.0 {
            self.least = other.least;
        }
    }
}

/// The range of what presses over combinations and bases; none without a combination.
fn ranged(
    run: &Run<'_>,
    name: &str,
    kind: Option<JointKind>,
    presses: &[Vec<f64>],
    columns: &[Column],
) -> Option<JointLoad> {
    let mut widest: Option<JointLoad> = None;
    for row in run
        .combinations
        .iter()
        .map(|k| &run.criteria.combinations[*k])
    {
        for presses in presses {
            let found = pressing(presses, columns, row, run.criteria);
            let (low, high) = (found.least, found.most);
            let load = JointLoad {
                name: name.to_owned(),
                kind,
                most: (si::newtons(high), row.name.clone()),
                least: (si::newtons(low), row.name.clone()),
            };
            match &mut widest {
                None => widest = Some(load),
                Some(known) => known.widen(load),
            }
        }
    }
    widest
}
