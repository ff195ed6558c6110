//! By what was judged: rules, combinations, factors, and what of them the layout changed.

use super::Package;
use super::block::{Block, Grid, Row, Section};
use crate::model::{Basis, DurationRule, NOT_READ};
use crate::report::{Cell, CriteriaPart, FactorPart, standing_id};
use crate::tables;
use crate::units::engineering;

/// The criteria.
pub(super) fn section(package: &Package<'_>) -> Section {
    let criteria = &package.document.criteria;
    let section = Section::new("criteria", "Criteria")
        .on_new_sheet()
        .with(Block::Facts(rules(criteria)));
    let changes = changes(package, criteria);
    let section = if changes.is_empty() {
        section.saying("No default of the criteria was changed by the layout.")
    } else {
        section
            .with(Block::Heading("Changed by the layout".to_owned()))
            .with(Block::List(changes))
    };
    section
        .with(Block::Table(combinations(package)))
        .with(Block::Table(factors(package, criteria)))
        .with(not_read(criteria))
}

fn rules(criteria: &CriteriaPart) -> Vec<(String, String)> {
    let basis = match criteria.basis {
        Basis::GreenClearWood => "crushing strength of green clear wood",
        Basis::DowelBearing => "dowel-bearing strength, never above that of green clear wood",
    };
    let duration = match criteria.duration {
        DurationRule::Capped => "factors of load duration on wood, never above 1",
        DurationRule::Nds => "factors of load duration on wood as published",
        DurationRule::Off => "no factor of load duration",
    };
    let extended = match criteria.extended {
        "review" => "becomes review",
        _ => "passes or fails, and is named as extended",
    };
    [
        ("Bearing strength", basis),
        ("Load duration", duration),
        ("A check outside its published range", extended),
    ]
    .map(|(name, words)| (name.to_owned(), words.to_owned()))
    .to_vec()
}

/// Every default that the layout changed, in a sentence each.
fn changes(package: &Package<'_>, criteria: &CriteriaPart) -> Vec<String> {
    let mut changes = Vec::new();
    if criteria.basis != Basis::default() {
        changes
            .push("Bearing strength rests on dowel bearing, not on green clear wood.".to_owned());
    }
    if criteria.duration != DurationRule::default() {
        changes.push("The rule of load duration is not the default, capped at 1.".to_owned());
    }
    if criteria.extended == "review" {
        changes.push("A check outside its published range is to be reviewed.".to_owned());
    }
    let own = |row: &&crate::report::CombinationPart| !is_published(&row.source);
    changes.extend(criteria.combinations.iter().filter(own).map(|row| {
        let source = &row.source;
        format!("Combination {} is the layout's own ({source}).", row.name)
    }));
    let changed = criteria.factors.iter().filter(|(_, factor)| factor.changed);
    changes.extend(changed.map(|(key, factor)| {
        format!(
            "{}: {} instead of {} ({key}).",
            factor.title,
            value(package, factor),
            default(package, key)
        )
    }));
    changes
}

/// Whether a citation begins with the id of a document of the tables.
fn is_published(citation: &str) -> bool {
    let id = citation.split(':').next().unwrap_or_default();
    tables::source(id).is_ok()
}

fn value(package: &Package<'_>, factor: &FactorPart) -> String {
    Cell::from(factor.value).with_unit(package.show)
}

/// The value that the table has.
fn default(package: &Package<'_>, key: &str) -> String {
    let standard = crate::model::Criteria::standard("asce7-22-asd").ok();
    let standard = standard.as_ref().map(CriteriaPart::from);
    let row = standard
        .as_ref()
        .and_then(|standard| standard.factors.get(key));
    row.map_or_else(|| "nothing".to_owned(), |row| value(package, row))
}

/// The combinations that differ under the loads there are, with the cases that act.
fn combinations(package: &Package<'_>) -> Grid {
    let results = package.results;
    let criteria = results.criteria();
    let distinct = criteria.distinct_for(results.total());
    let rows = package
        .document
        .criteria
        .combinations
        .iter()
        .enumerate()
        .map(|(index, row)| {
            let used = distinct.contains(&index);
            Row {
                cells: vec![
                    row.name.clone(),
                    if used { "yes" } else { "same as one above" }.to_owned(),
                    standing_id(row.standing).replace('_', " "),
                    row.source.clone(),
                ],
                strong: used,
                ..Row::default()
            }
        });
    Grid::new(
        "Combinations of loads. Those that come to the same as one above, for want of a case, were not run again.",
        &["combination", "run", "standing", "source"],
    )
    .with_rows(rows)
}

fn factors(package: &Package<'_>, criteria: &CriteriaPart) -> Grid {
    let read = |(key, _): &(&String, &FactorPart)| !NOT_READ.contains(&key.as_str());
    let rows = criteria.factors.iter().filter(read).map(|(key, factor)| {
        let value = value(package, factor);
        let value = if factor.changed {
            format!("{value}, changed from {}", default(package, key))
        } else {
            value
        };
        Row {
            cells: vec![
                factor.title.clone(),
                key.clone(),
                value,
                standing_id(factor.standing).replace('_', " "),
                factor.source.clone(),
            ],
            strong: factor.changed,
            ..Row::default()
        }
    });
    Grid::new(
        "Safety factors, constants and limits that checks read.",
        &["factor", "=key", "#value", "=standing", "source"],
    )
    .with_rows(rows)
}

fn not_read(criteria: &CriteriaPart) -> Block {
    let keys: Vec<&str> = criteria
        .factors
        .keys()
        .map(String::as_str)
        .filter(|key| NOT_READ.contains(key))
        .collect();
    let factors = criteria.duration_factors.iter();
    let durations: Vec<String> = factors
        .map(|(case, factor)| format!("{} {}", case.symbol(), engineering(*factor)))
        .collect();
    Block::Words(format!(
        "Factors of load duration before the rule: {}. Kept in the criteria but read by no check of this version: {}.",
        durations.join(", "),
        keys.join(", ")
    ))
}
