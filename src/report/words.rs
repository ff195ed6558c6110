//! What a check says, in sentences.

use super::members;
use super::{AttachmentPart, Cell, CheckDocument, worst_first};
use crate::checks::{CheckResult, Measure, Verdict};
use crate::model::{Group, LimitState, MemberLimitState, Standing};
use crate::units::Show;
use std::fmt::Write as _;

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
        (Some(first), 0, 0) => {
            all_pass(first, worst.len()) + &softened(document, show) + &not_assessed(document)
        }
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
            "{head}; the least margin under load is {} at {}, in {}.",
            percent_down(margin),
            first.anchor,
            governing.words()
        ),
        _ => format!("{head}."),
    }
}

/// What becomes of the least margin in wood if the outer wood softens: shown, not judged.
fn softened(document: &CheckDocument, show: Show) -> String {
    let depth = document.criteria.factors.get("softened_depth");
    let depth = depth.map_or_else(String::new, |depth| Cell::from(depth.value).with_unit(show));
    let margins = document
        .attachments
        .iter()
        .filter_map(|part| Some((part.softened_margin?, &part.anchor)));
    // Equal but for rounding is equal: the first of the layout is named.
    let rounded = |margin: f64| (margin * 1e6).round();
    match margins.min_by(|a, b| rounded(a.0).total_cmp(&rounded(b.0))) {
        Some((margin, anchor)) => format!(
            " If the outer {depth} of wood softened, the least margin in wood would be {}, at {anchor}.",
            percent_down(margin)
        ),
        None => String::new(),
    }
}

/// What is added where the attachments pass but not everything was assessed.
fn not_assessed(document: &CheckDocument) -> String {
    if document.not_assessed.is_empty() {
        return String::new();
    }
    format!(
        " Parts of the layout are not assessed, so the verdict is {}: {}.",
        document.verdict.word(),
        document.not_assessed.join("; ")
    )
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
pub(super) fn against(check: &CheckResult, show: Show) -> String {
    let mut text = check.limit_state.words().to_owned();
    if let (Some(demand), Some(allowable)) = (check.demand, check.allowable) {
        text.push_str(&compared(check.limit_state, demand, allowable, show));
    }
    if let Some(combination) = &check.combination {
        let _ = write!(text, " under {combination}");
    }
    if let (Verdict::Review, Some(note)) = (check.verdict, &check.note) {
        let _ = write!(text, " ({})", note.trim_end_matches('.'));
    }
    text
}

fn compared(state: LimitState, demand: Measure, allowable: Measure, show: Show) -> String {
    let [asked, held] = [demand, allowable].map(|measure| Cell::from(measure).with_unit(show));
    match (state, state.group(), allowable) {
        (LimitState::TipsClear | LimitState::Spacing, ..) => {
            format!(", {asked} needed and {held} there")
        }
        (_, Group::Fit, _) => format!(", {asked} against {held} allowed"),
        (_, _, Measure::Number(_)) => format!(", {asked} times what it may carry"),
        _ => format!(", {asked} against {held} that it may carry"),
    }
}

/// What else fails, a sentence for each attachment, and then what is to be reviewed.
pub fn reviews(document: &CheckDocument, show: Show) -> Vec<String> {
    let worst = worst_first(document);
    let named = document.verdict != Verdict::Pass;
    let fails = worst
        .iter()
        .enumerate()
        .filter_map(|(at, part)| failing(part, named && at == 0, show));
    let reviews = worst
        .iter()
        .enumerate()
        .flat_map(|(at, part)| to_review(part, named && at == 0, show));
    let members = members::reviews(document, show);
    fails.chain(reviews).chain(members).collect()
}

/// What fails at an attachment; of the one that the summary names, what else.
fn failing(part: &AttachmentPart, named: bool, show: Show) -> Option<String> {
    let governing = part.governing_check();
    let others: Vec<&str> = of_verdict(part, Verdict::Fail)
        .filter(|check| Some(check.limit_state) != part.governing)
        .map(|check| check.limit_state.words())
        .collect();
    let head = governing
        .filter(|check| check.verdict == Verdict::Fail && !named)
        .map(|check| against(check, show));
    let anchor = &part.anchor;
    match (head, others.is_empty()) {
        (None, true) => None,
        (None, false) => Some(format!("{anchor} also fails in {}.", others.join("; "))),
        (Some(head), true) => Some(format!("{anchor} fails in {head}.")),
        (Some(head), false) => Some(format!(
            "{anchor} fails in {head}; also in {}.",
            others.join("; ")
        )),
    }
}

/// What is to be reviewed at an attachment, but for the check that the summary names.
fn to_review(
    part: &AttachmentPart,
    named: bool,
    show: Show,
) -> impl Iterator<Item = String> + use<'_> {
    of_verdict(part, Verdict::Review)
        .filter(move |check| !(named && Some(check.limit_state) == part.governing))
        .map(move |check| {
            format!(
                "{} is to be reviewed: {}.",
                part.anchor,
                against(check, show)
            )
        })
}

fn of_verdict(part: &AttachmentPart, verdict: Verdict) -> impl Iterator<Item = &CheckResult> {
    part.checks
        .iter()
        .map(|check| &check.0)
        .filter(move |check| check.verdict == verdict)
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
        let anchors = LimitState::ALL
            .iter()
            .filter(|&&state| stands(document, state, standing))
            .map(|state| state.words().to_owned());
        let members = MemberLimitState::ALL
            .iter()
            .filter(|&&state| members::stands(document, state, standing))
            .map(|state| format!("{} of members", state.words()));
        let checks: Vec<String> = anchors.chain(members).collect();
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
