//! The rows and sentences about beams, joists and headers.

use super::attachments::{down, up};
use super::{Cell, CheckDocument, CheckPart, Column, Sheet, standing_id};
use crate::checks::{CheckResult, MemberKind, MemberResult, Verdict};
use crate::model::{MemberLimitState, Standing};
use crate::units::Show;
use serde::Serialize;
use std::fmt::Write as _;

/// Utilizations that differ by less are one.
const EQUAL: f64 = 1e-6;
/// As many lines as a printed table has, unless more fail or need review.
const FEW: usize = 6;
/// The limit states that have a column of their own.
const COLUMNS: [(MemberLimitState, &str); 4] = [
    (MemberLimitState::Bending, "bending"),
    (MemberLimitState::Shear, "shear"),
    (MemberLimitState::Bearing, "bearing"),
    (MemberLimitState::Deflection, "deflection"),
];

/// A beam, or the joists or headers of a deck.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MemberPart {
    /// Id of the beam, or of the deck.
    pub member: String,
    /// What it is.
    pub kind: MemberKind,
    /// How many pieces were judged; every check is that of the worst.
    pub pieces: usize,
    /// The worst verdict of its checks.
    pub verdict: Verdict,
    /// The check that governs.
    pub governing: Option<MemberLimitState>,
    /// Demand over allowable of the most used check (1).
    pub utilization: Option<f64>,
    /// Allowable over demand less one of that check (1).
    pub margin: Option<f64>,
    /// Every check.
    pub checks: Vec<CheckPart<MemberLimitState>>,
}

impl From<&MemberResult> for MemberPart {
    fn from(result: &MemberResult) -> Self {
        Self {
            member: result.member().to_owned(),
            kind: result.kind(),
            pieces: result.pieces(),
            verdict: result.verdict(),
            governing: result.governing().map(|check| check.limit_state),
            utilization: result.utilization(),
            margin: result.margin(),
            checks: result.checks().iter().cloned().map(CheckPart).collect(),
        }
    }
}

impl MemberPart {
    /// Its name in words, such as `joists of deck floor`.
    pub fn name(&self) -> String {
        format!("{} {}", self.kind.words(), self.member)
    }

    fn check(&self, state: MemberLimitState) -> Option<&CheckResult<MemberLimitState>> {
        self.checks
            .iter()
            .map(|part| &part.0)
            .find(|check| check.limit_state == state)
    }

    fn governing_check(&self) -> Option<&CheckResult<MemberLimitState>> {
        self.check(self.governing?)
    }
}

/// The members, worst first; those that are equal stay in the order of the layout.
pub fn worst_members_first(document: &CheckDocument) -> Vec<&MemberPart> {
    let mut members: Vec<_> = document.members.iter().collect();
    let used = |part: &MemberPart| (part.utilization.unwrap_or(0.0) / EQUAL).round();
    members.sort_by(|a, b| b.verdict.cmp(&a.verdict).then(used(b).total_cmp(&used(a))));
    members
}

/// One line for each member that does not pass, and for the worst few others.
pub fn member_sheet(document: &CheckDocument) -> Sheet {
    let mut columns = vec![Column::words("member", "member")];
    columns.extend(COLUMNS.map(|(state, head)| Column::numbers(state.id(), head)));
    columns.extend([
        Column::words("governing", "governed by"),
        Column::numbers("margin", "margin"),
        Column::words("verdict", "verdict"),
    ]);
    let rows = worst_members_first(document)
        .into_iter()
        .enumerate()
        .filter(|(at, part)| *at < FEW || part.verdict > Verdict::Pass)
        .map(|(_, part)| line(part));
    Sheet {
        schema: "barkline/members/1",
        title: document.title.clone(),
        columns,
        rows: rows.collect(),
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

fn line(part: &MemberPart) -> Vec<Cell> {
    let mut cells = vec![Cell::text(part.name())];
    cells.extend(COLUMNS.map(|(state, _)| {
        part.check(state).map_or(Cell::Blank, |check| {
            let text = match (check.verdict, check.utilization) {
                (Verdict::Review, _) => "review".to_owned(),
                (_, Some(used)) => up(used),
                _ => "–".to_owned(),
            };
            Cell::Rounded(check.utilization, text)
        })
    }));
    cells.extend([
        Cell::maybe_text(part.governing.map(short)),
        part.margin.map_or(Cell::Blank, |margin| {
            Cell::Rounded(Some(margin), down(margin))
        }),
        Cell::text(part.verdict.word()),
    ]);
    cells
}

/// The name of a limit state where there is little room.
const fn short(state: MemberLimitState) -> &'static str {
    match state {
        MemberLimitState::Combined => "axial and bending",
        other => other.words(),
    }
}

/// One line for each check of each member, in the columns of the checks of attachments.
pub(super) fn check_lines(document: &CheckDocument) -> impl Iterator<Item = Vec<Cell>> + '_ {
    document.members.iter().flat_map(|part| {
        part.checks.iter().map(|check| {
            let check = &check.0;
            vec![
                Cell::Blank,
                Cell::Blank,
                Cell::text(part.name()),
                Cell::text(check.limit_state.id()),
                Cell::text("member"),
                Cell::text(check.verdict.word().replace(' ', "_")),
                Cell::Flag(part.governing == Some(check.limit_state)),
                Cell::Word(standing_id(check.standing)),
                Cell::maybe_text(check.combination.as_deref()),
                check.demand.map_or(Cell::Blank, Cell::from),
                check.allowable.map_or(Cell::Blank, Cell::from),
                Cell::number(check.utilization),
                Cell::number(check.margin()),
                Cell::text(&check.source),
                Cell::maybe_text(check.note.as_deref()),
            ]
        })
    })
}

/// One sentence about the members: what fails and why, what must be looked at, or that all pass. None without members.
pub fn member_summary(document: &CheckDocument, show: Show) -> Option<String> {
    let worst = worst_members_first(document);
    let first = worst.first()?;
    let count = |verdict| worst.iter().filter(|part| part.verdict == verdict).count();
    let (fail, review) = (count(Verdict::Fail), count(Verdict::Review));
    let of = of(worst.len());
    Some(match (fail, review) {
        (0, 0) => all_pass(first, worst.len()),
        (0, 1) => format!("1 of {of} needs review: {}.", why(first, show)),
        (0, _) => format!("{review} of {of} need review: {}.", why(first, show)),
        (1, _) => format!("1 of {of} fails: {}.", why(first, show)),
        _ => format!("{fail} of {of} fail: the worst is {}.", why(first, show)),
    })
}

fn of(count: usize) -> String {
    if count == 1 {
        "1 member".to_owned()
    } else {
        format!("{count} members")
    }
}

fn all_pass(first: &MemberPart, count: usize) -> String {
    let head = if count == 1 {
        "The one member passes".to_owned()
    } else {
        format!("All {count} members pass")
    };
    match (first.margin, first.governing) {
        (Some(margin), Some(state)) => format!(
            "{head}; the least margin is {:.0} % at {}, in {}.",
            (margin * 100.0 + 1e-7).floor() + 0.0,
            first.name(),
            state.words()
        ),
        _ => format!("{head}."),
    }
}

fn why(part: &MemberPart, show: Show) -> String {
    match part.governing_check() {
        Some(check) => format!("{} in {}", part.name(), against(check, show)),
        None => format!("{}, which has no check", part.name()),
    }
}

fn against(check: &CheckResult<MemberLimitState>, show: Show) -> String {
    let mut text = check.limit_state.words().to_owned();
    if let (Some(demand), Some(allowable)) = (check.demand, check.allowable) {
        let [demand, allowable] =
            [demand, allowable].map(|measure| Cell::from(measure).with_unit(show));
        let _ = write!(text, ", {demand} against {allowable} allowed");
    }
    if let Some(combination) = &check.combination {
        let _ = write!(text, " under {combination}");
    }
    if let Some(note) = &check.note {
        let _ = write!(text, " ({})", note.trim_end_matches('.'));
    }
    text
}

/// What else is to be said of members that do not pass, a sentence each.
pub(super) fn reviews(document: &CheckDocument, show: Show) -> Vec<String> {
    let worst = worst_members_first(document);
    let mut lines = Vec::new();
    for (at, part) in worst.iter().enumerate() {
        for check in part.checks.iter().map(|part| &part.0) {
            let named = at == 0 && Some(check.limit_state) == part.governing;
            let what = match check.verdict {
                Verdict::Fail => "fails in",
                Verdict::Review => "is to be reviewed:",
                Verdict::Pass | Verdict::NotNeeded => continue,
            };
            if !named {
                lines.push(format!("{} {what} {}.", part.name(), against(check, show)));
            }
        }
    }
    lines
}

/// Whether a check of any member has a standing.
pub(super) fn stands(
    document: &CheckDocument,
    state: MemberLimitState,
    standing: Standing,
) -> bool {
    document
        .members
        .iter()
        .filter_map(|part| part.check(state))
        .any(|check| {
            check.standing == standing
                && !matches!(check.verdict, Verdict::NotNeeded | Verdict::Review)
        })
}
