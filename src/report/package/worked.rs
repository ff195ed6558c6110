//! The steps of the checks that matter most, on the sheet of each anchor: the one that governs, and the limit load.

use super::Package;
use super::block::{Block, Worked};
use crate::checks::trace::{Explained, Explanation, Step};
use crate::checks::{Attachment, CheckError};
use crate::model::LimitState;
use crate::report::{governing_words, step_lines, step_source};
use crate::units::Show;

/// Numbers that are one: those of a step that goes into another are handed on as they are (relative).
const SAME: f64 = 1e-12;

/// The hand calculation of an anchor, or why there is none.
pub(super) type Working = Result<Explanation, CheckError>;

/// The hand calculation of every anchor, by the criteria of the results.
pub(super) fn workings(package: &Package<'_>) -> Vec<Working> {
    let criteria = package.results.criteria();
    let other = (criteria != package.platform.criteria())
        .then(|| package.platform.clone().with_criteria(criteria.clone()));
    let platform = other.as_ref().unwrap_or(package.platform);
    let anchors = platform.anchors().iter();
    anchors.map(|anchor| platform.explain(&anchor.id)).collect()
}

/// The check that governs, then the limit load where it is another.
fn shown<'a>(explanation: &'a Explanation, attachment: &Attachment) -> Vec<&'a Explained> {
    let governing = attachment.governing().map(|check| check.limit_state);
    let mut wanted: Vec<LimitState> = governing.into_iter().collect();
    if governing != Some(LimitState::LimitLoad) {
        wanted.push(LimitState::LimitLoad);
    }
    let find = |state: LimitState| {
        let mut checks = explanation.checks.iter();
        checks.find(|own| own.check.limit_state == state && !own.steps.is_empty())
    };
    wanted.into_iter().filter_map(find).collect()
}

/// Steps that several checks share and that go into some others, one through the other.
fn shared<'a>(explanation: &'a Explanation, shown: &[&'a Explained]) -> Vec<&'a Step> {
    let all = || explanation.shared.iter().flat_map(|part| &part.steps);
    let mut open: Vec<&Step> = shown.iter().flat_map(|own| &own.steps).collect();
    let mut found: Vec<&Step> = Vec::new();
    while let Some(step) = open.pop() {
        let goes_in = |own: &&Step| {
            step.values.iter().any(|(symbol, amount)| {
                let (value, result) = (amount.si, own.result.si);
                *symbol == own.symbol && (value - result).abs() <= SAME * result.abs()
            })
        };
        for own in all().filter(goes_in) {
            if !found.contains(&own) {
                found.push(own);
                open.push(own);
            }
        }
    }
    let mut ordered: Vec<&Step> = Vec::new();
    for step in all().filter(|step| found.contains(step)) {
        if !ordered.contains(&step) {
            ordered.push(step);
        }
    }
    ordered
}

/// The steps that are shown of an anchor.
fn steps<'a>(explanation: &'a Explanation, attachment: &Attachment) -> Vec<&'a Step> {
    let shown = shown(explanation, attachment);
    let mut steps = shared(explanation, &shown);
    steps.extend(shown.iter().flat_map(|own| &own.steps));
    steps
}

/// The sources of all steps that are shown.
pub(super) fn sources<'a>(package: &Package<'_>, workings: &'a [Working]) -> Vec<&'a str> {
    let attachments = package.results.attachments().iter();
    attachments
        .zip(workings)
        .filter_map(|(attachment, working)| Some((attachment, working.as_ref().ok()?)))
        .flat_map(|(attachment, explanation)| steps(explanation, attachment))
        .map(|step| step.source.as_str())
        .collect()
}

/// The blocks of an anchor's sheet.
pub(super) fn blocks(working: &Working, attachment: &Attachment, show: Show) -> Vec<Block> {
    let explanation = match working {
        Ok(explanation) => explanation,
        Err(error) => return vec![Block::Words(format!("No worked steps: {error}."))],
    };
    let shown = shown(explanation, attachment);
    if shown.is_empty() {
        return Vec::new();
    }
    let mut blocks = Vec::new();
    let shared = shared(explanation, &shown);
    if !shared.is_empty() {
        blocks.push(Block::Heading("Worked: what goes in".to_owned()));
        blocks.push(Block::Steps(
            shared.iter().map(|step| step_of(step, show)).collect(),
        ));
    }
    for own in shown {
        let name = own.check.limit_state.words();
        let mut heading = format!("Worked: {name}");
        if let Some(governing) = &own.governing {
            heading = format!("{heading}, {}", governing_words(governing, show));
        }
        blocks.push(Block::Heading(heading));
        blocks.push(Block::Steps(
            own.steps.iter().map(|step| step_of(step, show)).collect(),
        ));
    }
    blocks.push(Block::Words(format!(
        "Every other check is worked out in the same way by: barkline explain LAYOUT {}",
        attachment.anchor()
    )));
    blocks
}

fn step_of(step: &Step, show: Show) -> Worked {
    Worked {
        title: step.title.clone(),
        lines: step_lines(step, show),
        source: step_source(step),
    }
}
