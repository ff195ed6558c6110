//! How well founded the checks are.

use super::Package;
use super::block::{Block, Grid, Row, Section};
use crate::checks::Verdict;
use crate::model::{LimitState, Standing};

/// The standings and the checks that have them.
pub(super) fn section(package: &Package<'_>) -> Section {
    let rows = [
        (Standing::Published, "inside the range of its source"),
        (
            Standing::Extended,
            "outside the range of its source, by an argument that is stated beside it",
        ),
        (
            Standing::FromMemory,
            "on a value from memory: its source was not seen again",
        ),
        (Standing::Practice, "on common practice, without a source"),
    ]
    .map(|(standing, meaning)| {
        Row::from(vec![
            super::super::standing_id(standing).replace('_', " "),
            meaning.to_owned(),
            checks(package, standing),
        ])
    });
    Section::new("standings", "How well founded the checks are")
        .saying(
            "A check takes the least well founded standing of what it used. A pass on common practice is a pass against a \
             rule of the trade, not against a test.",
        )
        .with(Block::Table(
            Grid::new("Standings of the checks that were needed", &["standing", "means", "checks"])
                .with_rows(rows),
        ))
}

fn checks(package: &Package<'_>, standing: Standing) -> String {
    let all = || {
        package
            .document
            .attachments
            .iter()
            .flat_map(|part| &part.checks)
    };
    let stands = |state: LimitState| {
        all().any(|check| {
            check.0.limit_state == state
                && check.0.standing == standing
                && check.0.verdict != Verdict::NotNeeded
        })
    };
    let states = LimitState::ALL.iter().filter(|state| stands(**state));
    let words: Vec<&str> = states.map(|state| state.words()).collect();
    if words.is_empty() {
        "none".to_owned()
    } else {
        words.join("; ")
    }
}
