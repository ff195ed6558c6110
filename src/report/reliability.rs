//! What `reliability` says: one record, its rows and its sentences.

use super::{Cell, Column, Finding, Provenance, Sheet};
use crate::reliability::numerics::Histogram;
use crate::reliability::{Chance, Method, Outcome, OutcomeReliability, Reliability};
use serde::Serialize;

/// Name and number of the form of a reliability's JSON.
pub const RELIABILITY_SCHEMA: &str = "barkline/reliability/1";

/// The record of a reliability analysis. Numbers are in SI, the unit in the key.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReliabilityDocument {
    /// [`RELIABILITY_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// What was found.
    #[serde(flatten)]
    pub results: Reliability,
    /// What matters most for each attachment, in words.
    pub words: Vec<String>,
    /// What is worth knowing of the layout.
    pub diagnostics: Vec<Finding>,
}

impl ReliabilityDocument {
    /// The record of an analysis.
    pub fn new(results: Reliability, provenance: Provenance, diagnostics: Vec<Finding>) -> Self {
        Self {
            schema: RELIABILITY_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            words: reliability_words(&results),
            results,
            diagnostics,
        }
    }
}

/// A probability as people read it: two digits, and a power of ten where it is small.
pub(super) fn probability(value: f64) -> String {
    if value == 0.0 || value >= 0.01 {
        format!("{value:.2}")
    } else {
        format!("{value:.1e}")
    }
}

/// A reliability index as people read it.
pub(super) fn index(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |beta| format!("{beta:.2}"))
}

/// A share as people read it: whole percents, or more places where it is small.
pub(super) fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent == 0.0 || percent >= 9.95 {
        format!("{percent:.0} %")
    } else if percent >= 0.095 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.1e} %")
    }
}

/// The edge of a bin as people read it, its minus a minus.
pub(super) fn edge(margin: f64) -> String {
    format!("{:.1}", margin + 0.0).replace('-', "−")
}

/// How a margin is spread, in words: where its middle and its bulk are, as far as bins tell.
pub(super) struct SpreadWords<'a>(&'a Histogram);

impl<'a> SpreadWords<'a> {
    pub(super) const fn of(histogram: &'a Histogram) -> Self {
        Self(histogram)
    }

    /// The upper edge of the bin in which this share of all is reached; none where it lies outside the bins.
    fn reached(&self, share: f64) -> Option<f64> {
        let bins = self.0.bins;
        let step = (bins.high - bins.low) / bins.count as f64;
        let mut sum = self.0.below;
        if sum >= share {
            return None;
        }
        let bin = self.0.shares.iter().position(|own| {
            sum += own;
            sum >= share
        })?;
        Some(bins.low + step * (bin + 1) as f64)
    }
}

impl std::fmt::Display for SpreadWords<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let bins = self.0.bins;
        let at = |share| {
            self.reached(share)
                .map_or_else(|| "outside the drawing".to_owned(), |at| format!("{at:.2}"))
        };
        write!(
            f,
            "Margins from {} to {}; half of them lie below {}, one in twenty below {}, one in twenty above {}; {} lie beyond \
             the right end, {} beyond the left.",
            edge(bins.low),
            edge(bins.high),
            at(0.5),
            at(0.05),
            at(0.95),
            percent(self.0.above),
            percent(self.0.below),
        )
    }
}

/// What matters for each attachment, for the platform, and against a target, in words.
pub fn reliability_words(results: &Reliability) -> Vec<String> {
    let mut words = Vec::new();
    let years = results.years;
    for (chance, what) in [
        (&results.any_collapse, "collapses"),
        (&results.any_damage, "is damaged"),
    ] {
        if let Some(chance) = chance {
            words.push(format!(
                "That any attachment {what} in {years} years: {}{}, β = {}.",
                probability(chance.probability),
                interval_words(chance),
                index(chance.beta)
            ));
        }
    }
    for own in &results.attachments {
        let Some(collapse) = own.outcome(Outcome::Collapse) else {
            continue;
        };
        if let Some(what) = collapse.words() {
            words.push(format!("{}, collapse: {what}.", own.anchor));
        }
        words.extend(worth_words(collapse).map(|worth| format!("{}: {worth}.", own.anchor)));
    }
    if let Some(target) = results.target {
        let below = results.below_target();
        let names: Vec<&str> = below.iter().map(|own| own.anchor.as_str()).collect();
        words.push(if names.is_empty() {
            format!("Every attachment that was worked out reaches the target of β = {target}.")
        } else {
            format!(
                "Below the target of β = {target} against collapse: {}.",
                names.join(", ")
            )
        });
    }
    words
}

fn interval_words(chance: &Chance) -> String {
    let of = match chance.method {
        Method::Form => "between wholly dependent and independent attachments",
        _ => "95 % interval",
    };
    chance.interval.map_or_else(String::new, |[low, high]| {
        format!(" ({of}: {} to {})", probability(low), probability(high))
    })
}

/// What ten millimetres are worth; none without a design point.
fn worth_words(outcome: &OutcomeReliability) -> Option<String> {
    let worth = &outcome.first_order.as_ref()?.worth;
    let each: Vec<String> = worth
        .iter()
        .map(|own| format!("{} {:+.2}", own.dimension, own.beta_per_mm * 10.0))
        .collect();
    (!each.is_empty()).then(|| format!("β changes with 10 mm more of {}", each.join(", of ")))
}

/// The rows of an analysis: each attachment and the platform, collapse and damage.
pub fn reliability_sheet(document: &ReliabilityDocument) -> Sheet {
    let results = &document.results;
    let mut rows = Vec::new();
    for own in &results.attachments {
        for outcome in &own.outcomes {
            rows.push(outcome_row(&own.anchor, &own.tree, outcome));
        }
    }
    for (chance, outcome) in [
        (&results.any_collapse, Outcome::Collapse),
        (&results.any_damage, Outcome::Damage),
    ] {
        if let Some(chance) = chance {
            let mut row = chance_cells("any", "", outcome, chance);
            row.resize(COLUMNS, Cell::Blank);
            rows.push(row);
        }
    }
    Sheet {
        schema: "barkline/reliability-rows/1",
        title: results.title.clone(),
        columns: columns(),
        rows,
        sources: Vec::new(),
        cautions: results.cautions.clone(),
    }
}

const COLUMNS: usize = 16;

fn columns() -> Vec<Column> {
    vec![
        Column::words("anchor", "anchor"),
        Column::words("tree", "tree").in_files_only(),
        Column::words("outcome", "outcome"),
        Column::numbers("beta", "β"),
        Column::numbers("beta_low", "β, least").in_files_only(),
        Column::numbers("beta_high", "β, most").in_files_only(),
        Column::numbers("probability", "probability"),
        Column::numbers("probability_low", "from"),
        Column::numbers("probability_high", "to"),
        Column::words("method", "method").in_files_only(),
        Column::numbers("samples", "samples").in_files_only(),
        Column::numbers("beta_first_order", "β, first order"),
        Column::words("governing", "governs"),
        Column::words("lead", "under the").in_files_only(),
        Column::words("matters", "matters most"),
        Column::words("shares", "shares").in_files_only(),
    ]
}

fn chance_cells(anchor: &str, tree: &str, outcome: Outcome, chance: &Chance) -> Vec<Cell> {
    let [low, high] = chance.interval.map_or([None; 2], |ends| ends.map(Some));
    let [beta_low, beta_high] = chance
        .beta_interval()
        .map_or([None; 2], |ends| ends.map(Some));
    let rounded = |value: Option<f64>| {
        Cell::Rounded(value, value.map_or_else(|| "–".to_owned(), probability))
    };
    vec![
        Cell::text(anchor),
        Cell::text(tree),
        Cell::text(outcome.word()),
        Cell::Rounded(chance.beta, index(chance.beta)),
        Cell::number(beta_low),
        Cell::number(beta_high),
        rounded(Some(chance.probability)),
        rounded(low),
        rounded(high),
        Cell::text(chance.method.words()),
        Cell::number((chance.samples > 0).then_some(chance.samples as f64)),
    ]
}

fn outcome_row(anchor: &str, tree: &str, own: &OutcomeReliability) -> Vec<Cell> {
    let mut row = chance_cells(anchor, tree, own.outcome, &own.chance);
    let view = own.first_order.as_ref();
    let beta = view.map(|view| view.beta);
    let shares = view.map(|view| {
        let share =
            |part: &crate::reliability::Importance| format!("{}: {:.3}", part.part, part.share);
        view.importance.iter().map(share).collect()
    });
    row.extend([
        Cell::Rounded(beta, index(beta)),
        Cell::maybe_text(view.and_then(|view| Some(view.limit_state?.words()))),
        Cell::maybe_text(view.and_then(|view| view.lead)),
        Cell::maybe_text(view.map(|view| most(view.importance.as_slice()))),
        shares.map_or(Cell::Blank, Cell::List),
    ]);
    row
}

/// The three parts that matter most.
fn most(importance: &[crate::reliability::Importance]) -> String {
    let each: Vec<String> = importance
        .iter()
        .take(3)
        .map(|part| format!("{} {:.0} %", part.part, part.share * 100.0))
        .collect();
    each.join(", ")
}
