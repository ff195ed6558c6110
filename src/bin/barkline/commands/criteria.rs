//! `criteria`: the defaults by which a platform is judged.

use super::{NOT_APPROVAL, deliver_sheet};
use crate::args::Common;
use crate::stop::{Status, Stop};
use barkline::model::NOT_READ;
use barkline::report::{Cell, Column, Quantity, Sheet, cited, standing_id};
use barkline::tables::{self, Factor, FactorValue};

const DEFAULTS: &str = "The defaults of this version; a layout changes them under [criteria]. Values from memory and of common practice are named as such.";

pub(super) fn run(common: &Common) -> Result<Status, Stop> {
    let sheet = Sheet {
        schema: "barkline/criteria/1",
        title: "Defaults of the criteria".to_owned(),
        columns: vec![
            Column::words("key", "key"),
            Column::mixed(
                "value",
                "value",
                &[
                    Quantity::Length,
                    Quantity::Stress,
                    Quantity::AreaLoad,
                    Quantity::Speed,
                ],
            ),
            Column::words("title", "what it is"),
            Column::words("condition", "on what").in_files_only(),
            Column::words("source", "source"),
            Column::words("edition", "edition").in_files_only(),
            Column::words("standing", "standing"),
            Column::words("note", "note").in_files_only(),
        ],
        rows: tables::safety_factors().iter().map(row).collect(),
        sources: cited(tables::safety_factors().iter().map(Factor::reference)),
        cautions: vec![DEFAULTS.to_owned(), not_read(), NOT_APPROVAL.to_owned()],
    };
    deliver_sheet(&sheet, common)
}

fn not_read() -> String {
    format!("No check of this version reads: {}.", NOT_READ.join(", "))
}

fn row(factor: &Factor) -> Vec<Cell> {
    let reference = factor.reference();
    vec![
        Cell::text(&factor.id),
        value(factor),
        Cell::text(&factor.title),
        Cell::maybe_text(Some(factor.condition.as_str()).filter(|text| !text.is_empty())),
        Cell::source(reference),
        Cell::text(&reference.source().edition),
        Cell::Word(standing_id(reference.standing())),
        Cell::maybe_text(reference.note()),
    ]
}

fn value(factor: &Factor) -> Cell {
    match factor.value {
        Some(FactorValue::Number(number)) => Cell::Number(number),
        Some(FactorValue::Length(length)) => Cell::Value(length.value, Quantity::Length),
        Some(FactorValue::Stress(stress)) => Cell::Value(stress.value, Quantity::Stress),
        Some(FactorValue::AreaLoad(load)) => Cell::Value(load.value, Quantity::AreaLoad),
        Some(FactorValue::Speed(speed)) => Cell::Value(speed.value, Quantity::Speed),
        _ => Cell::Blank,
    }
}
