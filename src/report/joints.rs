//! Seats between members, braces, hangers and posts; and what follows when an attachment is lost.

use super::CheckDocument;
use super::sheet::{Cell, Column, Quantity, Sheet};
use crate::analysis::platform::JointKind;
use crate::checks::{Exceeded, Going, JointResult, LostOne};
use crate::model::LimitState;
use serde::Serialize;

/// A joint of the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointPart {
    /// What it is, in words.
    pub joint: String,
    /// Its kind.
    pub kind: JointKind,
    /// The least that presses on it; below zero it would have to act the other way (N).
    pub least_n: f64,
    /// The combination of the least.
    pub least_combination: String,
    /// The most that presses on it (N).
    pub most_n: f64,
    /// The combination of the most.
    pub most_combination: String,
}

impl From<&JointResult> for JointPart {
    fn from(joint: &JointResult) -> Self {
        Self {
            joint: joint.name.clone(),
            kind: joint.kind,
            least_n: joint.least.0,
            least_combination: joint.least.1.clone(),
            most_n: joint.most.0,
            most_combination: joint.most.1.clone(),
        }
    }
}

/// An attachment that another's loss asks most of, or too much of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExceededPart {
    /// The anchor.
    pub anchor: String,
    /// Its limit state that is used most.
    pub check: LimitState,
    /// Demand over strength without safety factors (1).
    pub utilization: f64,
}

impl From<&Exceeded> for ExceededPart {
    fn from(exceeded: &Exceeded) -> Self {
        Self {
            anchor: exceeded.anchor.clone(),
            check: exceeded.limit_state,
            utilization: exceeded.utilization,
        }
    }
}

/// One way of going.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GoingPart {
    /// Whether the platform stands: nothing falls and no other attachment is exceeded.
    pub stands: bool,
    /// The attachment that is then used most.
    pub hardest: Option<ExceededPart>,
    /// Those that are then exceeded.
    pub exceeded: Vec<ExceededPart>,
}

/// What follows when one attachment is lost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LossPart {
    /// The anchor that is lost.
    pub lost: String,
    /// Whether anything else holds what it held.
    pub held: bool,
    /// When it goes at once.
    pub sudden: GoingPart,
    /// When it goes slowly.
    pub gradual: GoingPart,
}

impl From<&LostOne> for LossPart {
    fn from(lost: &LostOne) -> Self {
        let part = |going: Going| GoingPart {
            stands: lost.stands(going),
            hardest: lost.hardest[going as usize]
                .as_ref()
                .map(ExceededPart::from),
            exceeded: lost.exceeded[going as usize]
                .iter()
                .map(ExceededPart::from)
                .collect(),
        };
        Self {
            lost: lost.anchor.clone(),
            held: lost.held,
            sudden: part(Going::Sudden),
            gradual: part(Going::Gradual),
        }
    }
}

/// The joints as a table; none where there is no joint.
pub fn joint_sheet(document: &CheckDocument) -> Option<Sheet> {
    if document.joints.is_empty() {
        return None;
    }
    Some(Sheet {
        schema: "barkline/joints/1",
        title: "Joints: what presses on each".to_owned(),
        columns: vec![
            Column::words("joint", "joint"),
            Column::of("least", "least", Quantity::Force),
            Column::words("least_combination", "under"),
            Column::of("most", "most", Quantity::Force),
            Column::words("most_combination", "under"),
        ],
        rows: document
            .joints
            .iter()
            .map(|joint| {
                vec![
                    Cell::text(&joint.joint),
                    Cell::Value(joint.least_n, Quantity::Force),
                    Cell::text(&joint.least_combination),
                    Cell::Value(joint.most_n, Quantity::Force),
                    Cell::text(&joint.most_combination),
                ]
            })
            .collect(),
        sources: Vec::new(),
        cautions: Vec::new(),
    })
}

/// What follows when each attachment is lost, as a table; none where it was not asked for.
pub fn loss_sheet(document: &CheckDocument) -> Option<Sheet> {
    let losses = document.lose_one.as_ref()?;
    let outcome = |loss: &LossPart, going: &GoingPart| match (loss.held, going.stands) {
        (false, _) => "falls",
        (true, true) => "stands",
        (true, false) => "exceeded",
    };
    let hardest = |going: &GoingPart| match &going.hardest {
        Some(most) => Cell::text(format!("{} {:.2}", most.anchor, most.utilization)),
        None => Cell::Blank,
    };
    Some(Sheet {
        schema: "barkline/lose-one/1",
        title: "One attachment lost: the others at their strength, without safety factors"
            .to_owned(),
        columns: vec![
            Column::words("lost", "lost"),
            Column::words("sudden", "at once"),
            Column::words("sudden_hardest", "most used"),
            Column::words("gradual", "slowly"),
            Column::words("gradual_hardest", "most used"),
        ],
        rows: losses
            .iter()
            .map(|loss| {
                vec![
                    Cell::text(&loss.lost),
                    Cell::Word(outcome(loss, &loss.sudden)),
                    hardest(&loss.sudden),
                    Cell::Word(outcome(loss, &loss.gradual)),
                    hardest(&loss.gradual),
                ]
            })
            .collect(),
        sources: Vec::new(),
        cautions: Vec::new(),
    })
}

/// One sentence on what losses come to; none where they were not asked for.
pub fn loss_words(document: &CheckDocument) -> Option<String> {
    let losses = document.lose_one.as_ref()?;
    let count = |test: &dyn Fn(&LossPart) -> bool| losses.iter().filter(|loss| test(loss)).count();
    let (all, falls) = (losses.len(), count(&|loss| !loss.held));
    let sudden = count(&|loss| loss.sudden.stands);
    let gradual = count(&|loss| loss.gradual.stands);
    Some(format!(
        "Of {all} attachments the loss of {falls} leaves a part without any hold; the platform stands after {sudden} \
         losses that come at once and after {gradual} that come slowly, with the dead load and half of the live load."
    ))
}
