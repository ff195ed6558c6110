//! What a check says, in sentences.

use super::{AttachmentPart, Cell, CheckDocument, worst_first};
use crate::checks::{CheckResult, Verdict};
use crate::model::{Group, LimitState, Standing};
use crate::units::Show;

/// One sentence: what fails and why, what must be looked at, or that everything passes.
pub fn summary(document: &CheckDocument, show: Show) -> String {
    let worst = worst_first(document);
    let count = |verdict| worst.iter().filter(|part| part.verdict == verdict).count();
    let (fail, review) = (count(Verdict::Fail), count(Verdict::Review));
    match (worst.first(), fail, review) {
        (None, ..) => "There is no attachment: nothing was checked.".to_owned(),
        (Some(_), 0, 0) if not_needed_only(document) => {
            "No check found a load or a limit to judge: nothing was checked.".to_owned()
        }
        (Some(first), 0, 0) => all_pass(first, worst.len()),
        (Some(first), 0, _) => format!(
            "{review} of {} {} review and none fails: {}.",
            of(worst.len()),
            if review == 1 { "needs" } else { "need" },
            why(first, show)
        ),
        (Some(first), _, _) => format!(
            "{fail} of {} {}: {}.",
            of(worst.len()),
            if fail == 1 { "fails" } else { "fail" },
            if fail == 1 {
                why(first, show)
            } else {
                format!("the worst is {}", why(first, show))
            }
        ),
    }
}

/// Whether no check of any attachment gave pass, fail or review.
pub fn not_needed_only(document: &CheckDocument) -> bool {
    document
        .attachments
        .iter()
        .all(|part| part.verdict == Verdict::NotNeeded)
}

fn of(count: usize) -> String {
    if count == 1 {
        "1 attachment".to_owned()
    } else {
        format!("{count} attachments")
    }
}

fn all_pass(first: &AttachmentPart, count: usize) -> String {
    let head = if count == 1 {
        "The one attachment passes".to_owned()
    } else {
        format!("All {count} attachments pass")
    };
    match (first.margin, first.governing) {
        (Some(margin), Some(governing)) => format!(
            "{head}; the least margin is {} at {}, in {}.",
            percent_down(margin),
            first.anchor,
            governing.words()
        ),
        _ => format!("{head}."),
    }
}

/// A margin in whole percent, rounded down.
fn percent_down(margin: f64) -> String {
    format!("{:.0} %", (margin * 100.0 + 1e-7).floor() + 0.0)
}

fn why(attachment: &AttachmentPart, show: Show) -> String {
    match attachment.governing_check() {
        Some(check) => format!("{} in {}", attachment.anchor, against(check, show)),
        None => format!("{}, which has no check", attachment.anchor),
    }
}

/// A check with its load against what it may carry.
fn against(check: &CheckResult, show: Show) -> String {
    let mut text = check.limit_state.words().to_owned();
    if let (Some(demand), Some(allowable)) = (check.demand, check.allowable) {
        let [demand, allowable] =
            [demand, allowable].map(|measure| Cell::from(measure).with_unit(show));
        text.push_str(&match (check.limit_state, check.limit_state.group()) {
            (LimitState::TipsClear | LimitState::Spacing, _) => {
                format!(", {demand} needed and {allowable} there")
            }
            (_, Group::Fit) => format!(", {demand} against {allowable} allowed"),
            _ => format!(", {demand} against {allowable} that it may carry"),
        });
    }
    if let Some(combination) = &check.combination {
        text.push_str(&format!(" under {combination}"));
    }
    if let (Verdict::Review, Some(note)) = (check.verdict, &check.note) {
        text.push_str(&format!(" ({})", note.trim_end_matches('.')));
    }
    text
}

/// One sentence for each check that fails or must be looked at, beside the one that the summary names.
pub fn reviews(document: &CheckDocument, show: Show) -> Vec<String> {
    let named = worst_first(document)
        .first()
        .and_then(|part| Some((part.anchor.as_str(), part.governing?)));
    let mut lines = Vec::new();
    for verdict in [Verdict::Fail, Verdict::Review] {
        for part in worst_first(document) {
            let checks = part.checks.iter().map(|check| &check.0);
            for check in checks.filter(|check| check.verdict == verdict) {
                if named == Some((part.anchor.as_str(), check.limit_state)) {
                    continue;
                }
                let word = match verdict {
                    Verdict::Fail => "fails in",
                    _ => "is to be reviewed:",
                };
                lines.push(format!("{} {word} {}.", part.anchor, against(check, show)));
            }
        }
    }
    lines
}

/// The checks that are not inside the published range of their source, by how well they are founded.
pub fn standings(document: &CheckDocument) -> Vec<String> {
    [
        (
            Standing::Extended,
            "Outside the range of their source, by a stated argument",
        ),
        (Standing::FromMemory, "On values from memory"),
        (Standing::Practice, "On common practice, without a source"),
    ]
    .into_iter()
    .filter_map(|(standing, words)| {
        let checks: Vec<&str> = LimitState::ALL
            .iter()
            .filter(|&&state| stands(document, state, standing))
            .map(|state| state.words())
            .collect();
        (!checks.is_empty()).then(|| format!("{words}: {}.", checks.join("; ")))
    })
    .collect()
}

fn stands(document: &CheckDocument, state: LimitState, standing: Standing) -> bool {
    document
        .attachments
        .iter()
        .flat_map(|part| &part.checks)
        .any(|check| {
            check.0.limit_state == state
                && check.0.standing == standing
                && check.0.verdict != Verdict::NotNeeded
        })
}
