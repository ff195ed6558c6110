//! What would make a failing attachment pass, and what a passing one could still take: every answer is a check.
//!
//! `search` finds the smallest number of steps that passes, `change` says what a change is and what it asks for, `try`
//! makes the changed platforms, `spare` asks how much more a passing attachment could take. A change is stepped in what
//! a builder can set, so that what is found is what is checked, and one step less was checked too and does not pass.

mod change;
mod place;
mod search;
mod spare;
mod tries;

pub use change::{Change, ChangeKind};
pub use spare::{Spare, SpareValue};

use super::{Attachment, CheckError, Results, Verdict};
use crate::model::{Criteria, LimitState, Platform};
use crate::units::Show;
use tries::Sizer;

/// How a change was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FoundBy {
    /// More of it is never worse: both ends of the stretch were tried and the bracket halved.
    Halving,
    /// More of it may be worse: the stretch was looked at in places, and the first that passes taken back by halving.
    Looking,
    /// Rows of a table, or places, tried in turn; the first that passes.
    Turns,
}

/// An attachment or a member whose verdict a change makes worse.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Worse {
    /// Id of its anchor, or of the member.
    pub part: String,
    /// Its verdict after the change.
    pub verdict: Verdict,
}

/// A change that makes a failing attachment pass, with the whole platform checked after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The change.
    pub change: Change,
    /// How much it asks for, by which proposals are ranked (1); docs/sizing.md has the scale.
    pub ask: f64,
    /// How it was found.
    pub found_by: FoundBy,
    /// The attachment's verdict after it: pass, or review where something was to be reviewed before.
    pub verdict: Verdict,
    /// Demand over allowable of its most used check after it (1).
    pub utilization: Option<f64>,
    /// Other attachments and members whose verdict it makes worse.
    pub worse: Vec<Worse>,
    /// Other failing attachments that it mends as well.
    pub mends: Vec<String>,
    /// What else goes with it.
    pub notes: Vec<String>,
}

/// A kind of change that was tried and makes no pass, or could not be tried.
#[derive(Debug, Clone, PartialEq)]
pub struct NotProposed {
    /// The kind.
    pub kind: ChangeKind,
    /// Why.
    pub why: String,
    /// Of what was tried and fails, the nearest to passing: its limit state, demand over allowable (1).
    pub nearest: Option<(LimitState, f64)>,
}

/// What can be done about an attachment, or what it could still take.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizing {
    /// The attachment as it stands.
    pub attachment: Attachment,
    /// For a failing one: changes, each of which makes it pass, the one that asks least first.
    pub proposals: Vec<Proposal>,
    /// For a failing one: kinds of change that do not help.
    pub not_proposed: Vec<NotProposed>,
    /// For a passing one: what it could still take.
    pub spare: Option<Spare>,
}

/// The sizing of a platform.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeResults {
    /// The check of the platform as it stands.
    pub checked: Results,
    /// Every attachment, in the order of the layout.
    pub sizings: Vec<Sizing>,
    /// How many checks of an attachment or of the platform it took.
    pub checks: usize,
}

impl Platform {
    /// For each failing attachment the smallest single changes that make it pass, for each passing one what it could
    /// still take: by the platform's own criteria, in steps of 1/16 in.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn size(&self) -> Result<SizeResults, CheckError> {
        self.size_with(self.criteria(), Show::Us)
    }

    /// The same by other criteria, in steps of 1/16 in or of 1 mm.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn size_with(&self, criteria: &Criteria, show: Show) -> Result<SizeResults, CheckError> {
        let checked = self.check_with(criteria)?;
        let mut checks = 1;
        let mut sizings = Vec::new();
        for (index, attachment) in checked.attachments().iter().enumerate() {
            let sizer = Sizer::new(self, criteria, show, &checked, index);
            let mut sizing = Sizing {
                attachment: attachment.clone(),
                proposals: Vec::new(),
                not_proposed: Vec::new(),
                spare: None,
            };
            match attachment.verdict() {
                Verdict::Fail => {
                    for kind in ChangeKind::ALL {
                        match sizer.propose(*kind) {
                            Ok(proposal) => sizing.proposals.push(proposal),
                            Err(why) => sizing.not_proposed.push(NotProposed {
                                kind: *kind,
                                why,
                                nearest: sizer.nearest(),
                            }),
                        }
                    }
                    sizing.proposals.sort_by(|a, b| {
                        a.worse
                            .len()
                            .min(1)
                            .cmp(&b.worse.len().min(1))
                            .then(a.ask.total_cmp(&b.ask))
                    });
                }
                Verdict::Pass => sizing.spare = Some(sizer.spare()?),
                Verdict::Review | Verdict::NotNeeded => {}
            }
            checks += sizer.tries();
            sizings.push(sizing);
        }
        Ok(SizeResults {
            checked,
            sizings,
            checks,
        })
    }
}

/// Limit states of an attachment that are to be reviewed.
fn reviewed(attachment: &Attachment) -> impl Iterator<Item = LimitState> + '_ {
    attachment
        .checks()
        .iter()
        .filter(|check| check.verdict == Verdict::Review)
        .map(|check| check.limit_state)
}

/// Whether an attachment passes after a change: it carries a load, nothing fails, and nothing is to be reviewed that was
/// not before.
fn acceptable(before: &Attachment, after: &Attachment) -> bool {
    let fails = after
        .checks()
        .iter()
        .any(|check| check.verdict == Verdict::Fail);
    let loaded = after.utilization().is_some();
    loaded && !fails && reviewed(after).all(|own| reviewed(before).any(|old| old == own))
}
