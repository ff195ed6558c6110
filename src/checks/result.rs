//! What a check says.

use super::stems::Trees;
use super::{Fit, LostOne};
use crate::analysis::platform::{DeckTotals, JointKind};
use crate::model::{Bound, Criteria, Group, LimitState, Magnitudes, MemberLimitState, Standing};
use crate::units::{Force, Length, Moment, Speed, Stiffness, Stress};
use serde::Serialize;

/// The verdict of a check, of an attachment or of a platform.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// No demand: nothing to check.
    NotNeeded,
    /// The demand is not above the allowable.
    Pass,
    /// It can not be assessed here: somebody must look.
    Review,
    /// The demand is above the allowable.
    Fail,
}

impl Verdict {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotNeeded => "not needed",
            Self::Pass => "pass",
            Self::Review => "review",
            Self::Fail => "fail",
        }
    }
}

/// A demand or an allowable, with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// A force.
    Force(Force),
    /// A moment.
    Moment(Moment),
    /// A stress.
    Stress(Stress),
    /// A length.
    Length(Length),
    /// A speed.
    Speed(Speed),
    /// A pure number (1).
    Number(f64),
}

impl Measure {
    /// The value in SI base units.
    pub fn si(self) -> f64 {
        match self {
            Self::Force(force) => force.value,
            Self::Moment(moment) => moment.value,
            Self::Stress(stress) => stress.value,
            Self::Length(length) => length.value,
            Self::Speed(speed) => speed.value,
            Self::Number(number) => number,
        }
    }

    /// The unit as the end of a key of a file: `n`, `n_m`, `pa`, `m`; none for a pure number.
    pub const fn key_unit(self) -> Option<&'static str> {
        match self {
            Self::Force(_) => Some("n"),
            Self::Moment(_) => Some("n_m"),
            Self::Stress(_) => Some("pa"),
            Self::Length(_) => Some("m"),
            Self::Speed(_) => Some("m_per_s"),
            Self::Number(_) => None,
        }
    }
}

/// The result of one limit state of one attachment or member, in the combination and bound that govern it.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckResult<L = LimitState> {
    /// The limit state.
    pub limit_state: L,
    /// What it says.
    pub verdict: Verdict,
    /// How well founded it is.
    pub standing: Standing,
    /// The combination that governs; none where loads play no part.
    pub combination: Option<String>,
    /// The demand, where there is one.
    pub demand: Option<Measure>,
    /// The allowable, where there is one.
    pub allowable: Option<Measure>,
    /// Demand over allowable (1).
    pub utilization: Option<f64>,
    /// Where strength and factor come from.
    pub source: String,
    /// What else the reader must know.
    pub note: Option<String>,
}

impl<L> CheckResult<L> {
    fn compare(&self, other: &Self) -> std::cmp::Ordering {
        self.utilization
            .unwrap_or(0.0)
            .total_cmp(&other.utilization.unwrap_or(0.0))
    }

    /// Allowable over demand less one (1); none without a demand.
    pub fn margin(&self) -> Option<f64> {
        self.utilization.filter(|&u| u > 0.0).map(|u| 1.0 / u - 1.0)
    }
}

/// The load of an attachment in one combination: the triple of its anchor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reaction {
    /// The combination.
    pub combination: String,
    /// Along the grain of an upright stem, positive down (N).
    pub down_n: f64,
    /// Across, positive clockwise seen from above, or its size where it may act either way (N).
    pub side_n: f64,
    /// Along the bar, positive pulling out (N).
    pub out_n: f64,
}

impl Reaction {
    /// The size of the three together (N).
    pub fn resultant(&self) -> f64 {
        self.down_n.hypot(self.side_n).hypot(self.out_n)
    }
}

/// The least and the most of each part of an attachment's load in one combination, over all states of the foundation and
/// all arrangements of what may be there; they need not come together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadRange {
    /// The combination.
    pub combination: String,
    /// Down (N).
    pub down_n: [f64; 2],
    /// Side (N).
    pub side_n: [f64; 2],
    /// Out (N).
    pub out_n: [f64; 2],
}

/// Under what a limit state of an attachment is used most: the load, and the state of the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Down, side and out (N).
    pub load_n: [f64; 3],
    /// By how much down and side load go to and fro while stems sway (N).
    pub range_n: [f64; 2],
    /// Duration factor on wood strengths (1).
    pub duration: f64,
    /// Whether only permanent loads act.
    pub permanent: bool,
    /// Share of the load across the bar that is permanent (1).
    pub permanent_share: f64,
    /// Bound of the foundation and fit of the boss; none where the bar was not looked at in one state alone.
    pub state: Option<(Bound, Fit)>,
}

/// Everything that is known of one attachment.
#[derive(Debug, Clone, PartialEq)]
pub struct Attachment {
    pub(super) anchor: String,
    pub(super) tree: String,
    pub(super) checks: Vec<CheckResult>,
    pub(super) worst: Vec<(LimitState, Worst)>,
    pub(super) reactions: Vec<Reaction>,
    pub(super) full_reactions: Vec<Reaction>,
    pub(super) ranges: Vec<LoadRange>,
    pub(super) governing_load: Reaction,
    pub(super) stiffness: [Stiffness; 2],
    pub(super) deflection: Length,
    pub(super) load_factor: Option<f64>,
    pub(super) softened_margin: Option<f64>,
}

impl Attachment {
    /// Id of the anchor.
    pub fn anchor(&self) -> &str {
        &self.anchor
    }
    /// Id of its tree.
    pub fn tree(&self) -> &str {
        &self.tree
    }
    /// Every check, in the order of [`LimitState::ALL`].
    pub fn checks(&self) -> &[CheckResult] {
        &self.checks
    }
    /// One check.
    pub fn check(&self, limit_state: LimitState) -> Option<&CheckResult> {
        self.checks
            .iter()
            .find(|check| check.limit_state == limit_state)
    }
    /// Under what a limit state is used most; none where it hangs on no load, or nothing asks for it.
    pub fn worst(&self, limit_state: LimitState) -> Option<&Worst> {
        let mut all = self.worst.iter();
        all.find(|(known, _)| *known == limit_state)
            .map(|(_, worst)| worst)
    }
    /// The largest load in each combination, over all bounds of the foundation.
    pub fn reactions(&self) -> &[Reaction] {
        &self.reactions
    }
    /// The same with all of the live load everywhere and nothing that points sideways.
    pub fn full_reactions(&self) -> &[Reaction] {
        &self.full_reactions
    }
    /// The least and the most of each part of its load, by combination.
    pub fn ranges(&self) -> &[LoadRange] {
        &self.ranges
    }
    /// The load in the combination that governs.
    pub fn load(&self) -> &Reaction {
        &self.governing_load
    }
    /// Force per deflection at the load point, central foundation: down and side.
    pub fn stiffness(&self) -> [Stiffness; 2] {
        self.stiffness
    }
    /// The largest sinking of the load point.
    pub fn deflection(&self) -> Length {
        self.deflection
    }
    /// Margin of the worst wood check if the outer wood softens; shown, not judged (1).
    pub fn softened_margin(&self) -> Option<f64> {
        self.softened_margin
    }
    /// The worst verdict of its checks. Without a load nothing that hangs on loads was checked: that is `review`.
    pub fn verdict(&self) -> Verdict {
        let worst = self
            .checks
            .iter()
            .map(|check| check.verdict)
            .max()
            .unwrap_or(Verdict::Review);
        let loaded = self.checks.iter().any(|check| check.combination.is_some());
        if loaded {
            worst
        } else {
            worst.max(Verdict::Review)
        }
    }
    /// The check that governs: of those with the worst verdict, the one used most; of passes, one that hangs on loads.
    pub fn governing(&self) -> Option<&CheckResult> {
        let worst = self.verdict();
        let with_loads =
            |check: &CheckResult| worst != Verdict::Pass || check.combination.is_some();
        let among = || self.checks.iter().filter(|check| check.verdict == worst);
        among()
            .filter(|check| with_loads(check))
            .max_by(|a, b| a.compare(b))
            .or_else(|| among().max_by(|a, b| a.compare(b)))
    }
    /// The most used check of a group.
    pub fn worst_of(&self, group: Group) -> Option<&CheckResult> {
        self.checks
            .iter()
            .filter(|check| check.limit_state.group() == group)
            .max_by(|a, b| a.verdict.cmp(&b.verdict).then(a.compare(b)))
    }
    /// The most used check that hangs on loads.
    pub fn most_used(&self) -> Option<&CheckResult> {
        self.checks
            .iter()
            .filter(|check| check.combination.is_some() && check.utilization.is_some())
            .max_by(|a, b| a.compare(b))
    }
    /// Demand over allowable of the most used check that hangs on loads (1).
    pub fn utilization(&self) -> Option<f64> {
        self.most_used().and_then(|check| check.utilization)
    }
    /// The size that a load of the same direction may have by that check (N).
    pub fn allowed(&self) -> Option<f64> {
        self.load_factor
            .map(|factor| self.governing_load.resultant() * factor)
    }
    /// Allowable over demand less one of that check (1).
    pub fn margin(&self) -> Option<f64> {
        self.utilization()
            .filter(|&u| u > 0.0)
            .map(|u| 1.0 / u - 1.0)
    }
}

/// What presses on a seat between members, a brace, a hanger or a post; a brace or hanger that only pulls: its pull.
#[derive(Debug, Clone, PartialEq)]
pub struct JointResult {
    /// What it is, in words.
    pub name: String,
    /// Its kind.
    pub kind: JointKind,
    /// The least of it (N), below zero where it would have to act the other way, and the combination.
    pub least: (f64, String),
    /// The most of it (N), and the combination.
    pub most: (f64, String),
}

/// The kinds of member.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MemberKind {
    /// A beam.
    Beam,
    /// The joists of a deck, all of one section.
    Joists,
    /// The headers across the ends of joists that a hole cuts, of the section of the joists.
    Headers,
    /// A brace.
    Brace,
}

impl MemberKind {
    /// Whether many pieces share one result.
    pub(super) const fn is_many(self) -> bool {
        matches!(self, Self::Joists | Self::Headers)
    }

    /// The word for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Beam => "beam",
            Self::Joists => "joists of deck",
            Self::Headers => "headers of deck",
            Self::Brace => "brace",
        }
    }
}

/// What is known of the strength of a beam, or of the joists or the headers of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberResult {
    pub(super) member: String,
    pub(super) kind: MemberKind,
    pub(super) pieces: usize,
    pub(super) checks: Vec<CheckResult<MemberLimitState>>,
}

impl MemberResult {
    /// Id of the beam, or of the deck.
    pub fn member(&self) -> &str {
        &self.member
    }
    /// What it is.
    pub fn kind(&self) -> MemberKind {
        self.kind
    }
    /// How many pieces were judged; every check is that of the worst.
    pub fn pieces(&self) -> usize {
        self.pieces
    }
    /// Every check, in the order of [`MemberLimitState::ALL`]; those of axial force only where there is one.
    pub fn checks(&self) -> &[CheckResult<MemberLimitState>] {
        &self.checks
    }
    /// One check.
    pub fn check(&self, limit_state: MemberLimitState) -> Option<&CheckResult<MemberLimitState>> {
        self.checks
            .iter()
            .find(|check| check.limit_state == limit_state)
    }
    /// The worst verdict of its checks.
    pub fn verdict(&self) -> Verdict {
        self.checks
            .iter()
            .map(|check| check.verdict)
            .max()
            .unwrap_or(Verdict::Review)
    }
    /// The check that governs: of those with the worst verdict, the one used most.
    pub fn governing(&self) -> Option<&CheckResult<MemberLimitState>> {
        let worst = self.verdict();
        self.checks
            .iter()
            .filter(|check| check.verdict == worst)
            .max_by(|a, b| a.compare(b))
    }
    /// Demand over allowable of the most used check (1).
    pub fn utilization(&self) -> Option<f64> {
        self.checks
            .iter()
            .filter_map(|check| check.utilization)
            .max_by(f64::total_cmp)
    }
    /// Allowable over demand less one of that check (1).
    pub fn margin(&self) -> Option<f64> {
        self.utilization()
            .filter(|&u| u > 0.0)
            .map(|u| 1.0 / u - 1.0)
    }

    pub(super) fn is(&self, member: &str, kind: MemberKind) -> bool {
        self.member == member && self.kind == kind
    }

    /// Takes another piece in: of each check the worse one is kept.
    pub(super) fn take_worse(&mut self, other: Self) {
        self.pieces += other.pieces;
        for check in other.checks {
            let known = self
                .checks
                .iter_mut()
                .find(|own| own.limit_state == check.limit_state);
            match known {
                None => self.checks.push(check),
                Some(own) => {
                    let worse = check.verdict.cmp(&own.verdict).then(check.compare(own));
                    if worse.is_gt() {
                        *own = check;
                    }
                }
            }
        }
        self.checks.sort_by_key(|check| check.limit_state);
    }
}

/// The results of a check: every attachment, and what must be read with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Results {
    pub(super) title: String,
    pub(super) criteria: Criteria,
    pub(super) attachments: Vec<Attachment>,
    pub(super) members: Vec<MemberResult>,
    pub(super) joints: Vec<JointResult>,
    pub(super) trees: Trees,
    pub(super) lost: Option<Vec<LostOne>>,
    pub(super) cautions: Vec<String>,
    pub(super) decks: Vec<DeckTotals>,
    pub(super) total: Magnitudes,
    pub(super) imbalance: f64,
    pub(super) unassessed: Vec<String>,
}

impl Results {
    /// Title of the layout.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// Every attachment, in the order of the layout.
    pub fn attachments(&self) -> &[Attachment] {
        &self.attachments
    }
    /// Seats between members, braces, hangers and posts.
    pub fn joints(&self) -> &[JointResult] {
        &self.joints
    }
    /// What the trees do: movement, travel, holes, sections, growth.
    pub fn trees(&self) -> &Trees {
        &self.trees
    }
    /// What follows when each attachment is lost in turn, where it was asked for.
    pub fn lost(&self) -> Option<&[LostOne]> {
        self.lost.as_deref()
    }
    /// Adds what follows when each attachment is lost in turn.
    #[must_use]
    pub fn with_lost(mut self, lost: Vec<LostOne>) -> Self {
        self.lost = Some(lost);
        self
    }
    /// Every beam, and the joists and headers of every deck, in the order of the layout.
    pub fn members(&self) -> &[MemberResult] {
        &self.members
    }
    /// The criteria it was checked by.
    pub fn criteria(&self) -> &Criteria {
        &self.criteria
    }
    /// What every reader must be told.
    pub fn cautions(&self) -> &[String] {
        &self.cautions
    }
    /// The decks: area, joists, loads.
    pub fn decks(&self) -> &[DeckTotals] {
        &self.decks
    }
    /// Load on everything by case, positive down (N).
    pub fn total(&self) -> &Magnitudes {
        &self.total
    }
    /// The largest difference of loads and reactions, as a fraction of the loads (1).
    pub fn imbalance(&self) -> f64 {
        self.imbalance
    }
    /// Parts of the layout that nothing here assesses.
    pub fn unassessed(&self) -> &[String] {
        &self.unassessed
    }
    /// Makes a utilization wrong by a factor, wherever there is one: for tests of what finds that out.
    #[cfg(test)]
    pub(crate) fn spoil(&mut self, limit_state: LimitState, factor: f64) -> bool {
        let checks = self.attachments.iter_mut().flat_map(|own| &mut own.checks);
        let mut spoiled = false;
        for check in checks.filter(|check| check.limit_state == limit_state) {
            if let Some(used) = &mut check.utilization {
                *used *= factor;
                spoiled = true;
            }
        }
        spoiled
    }
    /// The worst verdict of attachments, members and trees. Without an attachment nothing was checked, and with a part that
    /// nothing assesses nobody can say that all is well: that is `review`.
    pub fn verdict(&self) -> Verdict {
        let worst = self
            .attachments
            .iter()
            .map(Attachment::verdict)
            .max()
            .unwrap_or(Verdict::Review);
        let members = self.members.iter().map(MemberResult::verdict);
        let worst = members.fold(worst, Verdict::max).max(self.trees.verdict());
        if self.unassessed.is_empty() {
            worst
        } else {
            worst.max(Verdict::Review)
        }
    }
}

/// The cautions that every output carries.
pub(super) fn standing_cautions() -> Vec<String> {
    [
        "Not a design approval: calculated demand against calculated allowable for the cases listed, nothing more.",
        "Wood values are means of small clear specimens; knots, juvenile wood, decay, roots and workmanship are not seen.",
        "A qualified arborist before drilling and every year; a licensed engineer, local code and permits above all.",
        "No published lateral test of bars above 30 mm in living stems was found; the boss must be one piece with the bar.",
        "Tannins corrode steel; poor compartmentalizers decay around the hole; brackets, guards and stairs are not covered.",
        "Not in these verdicts: connections between members, brackets, guards, stairs.",
    ]
    .map(str::to_owned)
    .to_vec()
}
