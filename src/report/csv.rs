//! CSV: units in the heads, in the system that is asked for.

use super::json::ReportError;
use super::sheet::Holds;
use super::{Cell, Column, Quantity, Sheet};
use crate::units::Show;
use std::io::Write;

/// Significant digits after the first of a number in a file: beyond any input, short of the noise of conversion.
const DIGITS: usize = 8;

/// Writes a sheet as CSV.
///
/// A caution is a row of its own after the others: the word `caution` in the first column, the text in the last.
///
/// # Errors
/// When it can not be written.
pub fn sheet_csv(sheet: &Sheet, show: Show, to: &mut dyn Write) -> Result<(), ReportError> {
    let mut writer = ::csv::Writer::from_writer(to);
    let fields: Vec<(usize, Field)> = sheet
        .columns
        .iter()
        .enumerate()
        .flat_map(|(at, column)| Field::of(column).map(move |field| (at, field)))
        .collect();
    writer.write_record(fields.iter().filter_map(|&(at, field)| {
        let column = sheet.columns.get(at)?;
        Some(field.head(column.key, show))
    }))?;
    for row in &sheet.rows {
        writer.write_record(
            fields
                .iter()
                .map(|&(at, field)| field.text(row.get(at).unwrap_or(&Cell::Blank), show)),
        )?;
    }
    for caution in &sheet.cautions {
        let last = fields.len().saturating_sub(1);
        writer.write_record((0..fields.len()).map(|at| match at {
            0 => "caution",
            at if at == last => caution,
            _ => "",
        }))?;
    }
    writer.flush().map_err(::csv::Error::from)?;
    Ok(())
}

/// A column of the file: a column of the sheet, or the part of a mixed one that is of one kind.
#[derive(Debug, Clone, Copy)]
enum Field {
    Plain,
    In(Quantity),
}

impl Field {
    fn of(column: &Column) -> impl Iterator<Item = Self> + use<> {
        let (plain, quantities): (bool, Vec<Quantity>) = match column.holds {
            Holds::Words | Holds::Numbers => (true, Vec::new()),
            Holds::One(quantity) => (false, vec![quantity]),
            Holds::Mixed(kinds) => (true, kinds.to_vec()),
        };
        let plain = plain.then_some(Self::Plain);
        plain
            .into_iter()
            .chain(quantities.into_iter().map(Self::In))
    }

    fn head(self, key: &str, show: Show) -> String {
        match self {
            Self::Plain => key.to_owned(),
            Self::In(quantity) => format!("{key}_{}", slug(quantity.unit(show))),
        }
    }

    fn text(self, cell: &Cell, show: Show) -> String {
        match (self, cell) {
            (Self::In(own), Cell::Value(si, quantity)) if own == *quantity => {
                figures(quantity.in_unit(*si, show))
            }
            (Self::In(_), _) | (_, Cell::Blank | Cell::Rounded(None, _) | Cell::Value(..)) => {
                String::new()
            }
            (_, Cell::List(words)) if words.is_empty() => String::new(),
            (Self::Plain, Cell::Number(number) | Cell::Rounded(Some(number), _)) => {
                figures(*number)
            }
            (Self::Plain, Cell::Word(word)) => (*word).to_owned(),
            (Self::Plain, cell) => cell.with_unit(show),
        }
    }
}

/// A unit as part of a key: `lbf_ft`, `kN_per_m3`.
fn slug(unit: &str) -> String {
    unit.replace('·', "_")
        .replace('/', "_per_")
        .replace('²', "2")
        .replace('³', "3")
}

fn figures(number: f64) -> String {
    format!("{number:.DIGITS$e}")
        .parse::<f64>()
        .unwrap_or(number)
        .to_string()
}
