//! The rows of a check: one line for an attachment, one line for a check.

use super::members::check_lines;
use super::{AttachmentPart, Cell, CheckDocument, Column, Quantity, Sheet, standing_id};
use crate::checks::{CheckResult, Verdict};
use crate::model::{Group, LimitState};

/// Rounding noise that does not move a figure up or down (of the last figure shown).
const NOISE: f64 = 1e-7;

/// Utilizations that differ by less are one: far above the noise of the analysis, far below what is shown.
const EQUAL: f64 = 1e-6;

/// The kinds of quantity that a check compares.
const KINDS: &[Quantity] = &[
    Quantity::Force,
    Quantity::Moment,
    Quantity::Stress,
    Quantity::Length,
];

/// The attachments, worst first; those that are equal stay in the order of the layout.
pub fn worst_first(document: &CheckDocument) -> Vec<&AttachmentPart> {
    let mut attachments: Vec<_> = document.attachments.iter().collect();
    let used = |part: &AttachmentPart| (part.utilization.unwrap_or(0.0) / EQUAL).round();
    attachments.sort_by(|a, b| b.verdict.cmp(&a.verdict).then(used(b).total_cmp(&used(a))));
    attachments
}

/// One line for each attachment, worst first.
pub fn attachment_sheet(document: &CheckDocument) -> Sheet {
    let groups = [
        Column::numbers("wood", "wood"),
        Column::numbers("steel", "steel"),
        Column::numbers("pull_out", "pull-out"),
        Column::numbers("fit", "fit"),
    ];
    let mut columns = vec![
        Column::words("anchor", "anchor"),
        Column::words("tree", "tree"),
        Column::of("load", "load", Quantity::Force),
        Column::of("allowed", "allowed", Quantity::Force),
    ];
    columns.extend(groups);
    columns.extend([
        Column::words("governing", "governed by"),
        Column::numbers("margin", "margin"),
        Column::words("verdict", "verdict"),
    ]);
    Sheet {
        schema: "barkline/attachments/1",
        title: document.title.clone(),
        columns,
        rows: worst_first(document).into_iter().map(line).collect(),
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

fn line(attachment: &AttachmentPart) -> Vec<Cell> {
    let mut cells = vec![
        Cell::text(&attachment.anchor),
        Cell::text(&attachment.tree),
        Cell::Value(attachment.load_n, Quantity::Force),
        attachment
            .allowed_n
            .map_or(Cell::Blank, |allowed| Cell::Value(allowed, Quantity::Force)),
    ];
    cells.extend(Group::ALL.map(|group| utilization(attachment.worst_of(group))));
    cells.extend([
        Cell::maybe_text(attachment.governing.map(short)),
        attachment.margin.map_or(Cell::Blank, |margin| {
            Cell::Rounded(Some(margin), down(margin))
        }),
        Cell::text(attachment.verdict.word()),
    ]);
    cells
}

/// The name of a limit state where there is little room.
const fn short(state: LimitState) -> &'static str {
    match state {
        LimitState::FirstCrushing => "first crushing of wood",
        LimitState::LimitLoad => "bar and wood yield",
        LimitState::SteelBendingBarkLine => "bending at wood surface",
        LimitState::SteelInteraction => "pull, bending and shear",
        LimitState::PullAndSide => "pull and side load",
        LimitState::HoleSize => "size of the hole",
        LimitState::TipsClear => "distance between bars",
        LimitState::Spacing => "distance along grain",
        other => other.words(),
    }
}

/// The utilization of the worst check of a group, or a word where there is none.
fn utilization(check: Option<&CheckResult>) -> Cell {
    let Some(check) = check else {
        return Cell::Blank;
    };
    let text = match (check.verdict, check.utilization) {
        (Verdict::Review, _) => "review".to_owned(),
        (Verdict::NotNeeded, _) => "–".to_owned(),
        (_, Some(utilization)) => up(utilization),
        (verdict, None) => verdict.word().to_owned(),
    };
    Cell::Rounded(check.utilization, text)
}

/// Two places, rounded up: a utilization that is over one never reads as one.
pub(super) fn up(number: f64) -> String {
    format!("{:.2}", (number * 100.0 - NOISE).ceil() / 100.0 + 0.0)
}

/// Margins beyond this are no longer told apart (1): nothing is at stake there.
const AMPLE: f64 = 99.0;

/// Two places, rounded down: a margin that is below zero never reads as zero.
pub(super) fn down(number: f64) -> String {
    if number > AMPLE {
        return format!("> {AMPLE}");
    }
    format!("{:.2}", (number * 100.0 + NOISE).floor() / 100.0 + 0.0)
}

/// One line for each check of each attachment and then of each member, in the order of the layout.
pub fn check_sheet(document: &CheckDocument) -> Sheet {
    let rows = document.attachments.iter().flat_map(|attachment| {
        attachment
            .checks
            .iter()
            .map(|check| check_line(attachment, &check.0))
    });
    Sheet {
        schema: "barkline/checks/1",
        title: document.title.clone(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::words("tree", "tree"),
            Column::words("member", "member"),
            Column::words("check", "check"),
            Column::words("group", "group"),
            Column::words("verdict", "verdict"),
            Column::words("governs", "governs"),
            Column::words("standing", "standing"),
            Column::words("combination", "combination"),
            Column::mixed("demand", "demand", KINDS),
            Column::mixed("allowable", "allowable", KINDS),
            Column::numbers("utilization", "utilization"),
            Column::numbers("margin", "margin"),
            Column::words("source", "source"),
            Column::words("note", "note"),
        ],
        rows: rows.chain(check_lines(document)).collect(),
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

fn check_line(attachment: &AttachmentPart, check: &CheckResult) -> Vec<Cell> {
    vec![
        Cell::text(&attachment.anchor),
        Cell::text(&attachment.tree),
        Cell::Blank,
        Cell::text(check.limit_state.id()),
        Cell::text(check.limit_state.group().word()),
        Cell::text(check.verdict.word().replace(' ', "_")),
        Cell::Flag(attachment.governing == Some(check.limit_state)),
        Cell::Word(standing_id(check.standing)),
        Cell::maybe_text(check.combination.as_deref()),
        check.demand.map_or(Cell::Blank, Cell::from),
        check.allowable.map_or(Cell::Blank, Cell::from),
        Cell::number(check.utilization),
        Cell::number(check.margin()),
        Cell::text(&check.source),
        Cell::maybe_text(check.note.as_deref()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounds_to_the_unsafe_side_of_nothing() {
        assert_eq!(up(1.001), "1.01");
        assert_eq!(up(0.81), "0.81");
        assert_eq!(up(0.811), "0.82");
        assert_eq!(up(0.0), "0.00");
        assert_eq!(down(-0.001), "-0.01");
        assert_eq!(down(0.239), "0.23");
        assert_eq!(down(0.23), "0.23");
        assert_eq!(down(0.0), "0.00");
        assert_eq!(down(99.0), "99.00");
        assert_eq!(down(1.3e9), "> 99");
    }
}
