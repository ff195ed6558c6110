//! JSON: always SI, the unit in every key.

use super::sheet::Holds;
use super::{
    AsBuiltDocument, Cell, CheckDocument, Column, ErrorDocument, ReliabilityDocument, Sheet,
    SizeDocument,
};
use serde::Serialize;
use serde_json::{Map, Value};

/// A form could not be written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// As JSON.
    #[error("the results could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// As CSV.
    #[error("the results could not be written as CSV: {0}")]
    Csv(#[from] ::csv::Error),
}

/// A check as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn check_json(document: &CheckDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// A check as drawn and as built, as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn as_built_json(document: &AsBuiltDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// A sizing as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn size_json(document: &SizeDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// A reliability analysis as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn reliability_json(document: &ReliabilityDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// What is wrong with a layout, as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn error_json(document: &ErrorDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// A sheet as JSON: one object for each row.
///
/// # Errors
/// When it can not be serialized.
pub fn sheet_json(sheet: &Sheet) -> Result<String, ReportError> {
    #[derive(Serialize)]
    struct Document<'a> {
        schema: &'static str,
        program: &'static str,
        title: &'a str,
        cautions: &'a [String],
        rows: Vec<Value>,
    }
    pretty(&Document {
        schema: sheet.schema,
        program: env!("CARGO_PKG_VERSION"),
        title: &sheet.title,
        cautions: &sheet.cautions,
        rows: sheet
            .rows
            .iter()
            .map(|row| object(&sheet.columns, row))
            .collect(),
    })
}

pub(super) fn pretty(document: &impl Serialize) -> Result<String, ReportError> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(text)
}

fn object(columns: &[Column], row: &[Cell]) -> Value {
    let entries = columns
        .iter()
        .zip(row)
        .map(|(column, cell)| (key(column, cell), value(cell)));
    Value::Object(entries.collect::<Map<_, _>>())
}

fn key(column: &Column, cell: &Cell) -> String {
    match (cell, column.holds) {
        (&Cell::Value(_, quantity), _) | (_, Holds::One(quantity)) => {
            format!("{}_{}", column.key, quantity.key())
        }
        _ => column.key.to_owned(),
    }
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Blank | Cell::Rounded(None, _) => Value::Null,
        Cell::Text(text) | Cell::Source { citation: text, .. } => Value::from(text.as_str()),
        Cell::Word(word) => Value::from(*word),
        Cell::List(words) => Value::from(words.as_slice()),
        Cell::Flag(flag) => Value::from(*flag),
        Cell::Number(number) | Cell::Rounded(Some(number), _) | Cell::Value(number, _) => {
            Value::from(*number)
        }
    }
}
