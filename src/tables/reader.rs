//! Reads a table: rows as written in the file in, typed rows out.

use super::lookup::{LookupError, Rows};
use serde::de::DeserializeOwned;
use std::sync::LazyLock;

/// A table that does not parse: a fault of the program's own data.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("data/{file}, line {line}: {reason}")]
pub struct TableError {
    /// The file, in `data`.
    pub file: &'static str,
    /// The line of the file, from 1.
    pub line: u64,
    /// What is wrong there.
    pub reason: String,
}

/// A table parsed when first asked.
pub(super) type Lazy<T> = LazyLock<Result<Rows<T>, TableError>>;

/// The rows of a table; none when it is broken, which [`super::verify`] reports.
pub(super) fn rows<T>(table: &'static Lazy<T>) -> &'static [T] {
    match &**table {
        Ok(rows) => rows,
        Err(_) => &[],
    }
}

/// The rows of a table, or why there are none.
pub(super) fn checked<T>(table: &'static Lazy<T>) -> Result<&'static Rows<T>, LookupError> {
    match &**table {
        Ok(rows) => Ok(rows),
        Err(error) => Err(LookupError::Broken(error.clone())),
    }
}

/// Nothing, or why a table is broken.
pub(super) fn sound<T>(table: &'static Lazy<T>) -> Result<(), TableError> {
    match &**table {
        Ok(_) => Ok(()),
        Err(error) => Err(error.clone()),
    }
}

/// Parses a file: each line into `Raw`, each `Raw` into a row.
pub(super) fn read<Raw, Row>(
    file: &'static str,
    text: &str,
    build: impl Fn(Raw) -> Result<Row, String>,
) -> Result<Rows<Row>, TableError>
where
    Raw: DeserializeOwned,
{
    let broken = |line, reason| TableError { file, line, reason };
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let headers = reader
        .headers()
        .map_err(|error| broken(1, error.to_string()))?
        .clone();
    reader
        .records()
        .map(|record| {
            let record = record.map_err(|error| {
                broken(
                    error.position().map_or(0, csv::Position::line),
                    error.to_string(),
                )
            })?;
            let line = record.position().map_or(0, csv::Position::line);
            let raw = record
                .deserialize(Some(&headers))
                .map_err(|error| broken(line, error.to_string()))?;
            build(raw).map_err(|reason| broken(line, reason))
        })
        .collect::<Result<Vec<_>, _>>()
        .map(Rows::from)
}

/// A number that must be positive and finite, in its unit.
pub(super) fn positive<Q>(number: f64, column: &str, unit: impl Fn(f64) -> Q) -> Result<Q, String> {
    if number.is_finite() && number > 0.0 {
        Ok(unit(number))
    } else {
        Err(format!("{column} is {number}, not a positive number"))
    }
}

/// A number that must be positive where there is one; a blank stays a blank.
pub(super) fn optional<Q>(
    number: Option<f64>,
    column: &str,
    unit: impl Fn(f64) -> Q,
) -> Result<Option<Q>, String> {
    number
        .map(|number| positive(number, column, unit))
        .transpose()
}

/// One of two columns in different units; at most one may be filled.
pub(super) fn either<Q>(
    first: Option<Q>,
    second: Option<Q>,
    what: &str,
) -> Result<Option<Q>, String> {
    if first.is_some() && second.is_some() {
        Err(format!("{what} stands in two units"))
    } else {
        Ok(first.or(second))
    }
}

/// The entries of a cell that lists several, apart by semicolons.
pub(super) fn list(cell: &str) -> Vec<String> {
    cell.split(';')
        .map(str::trim)
        .filter(|entry| !entry.is_empty())
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;

    #[derive(serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Raw {
        id: String,
        length_mm: f64,
    }

    fn parse(text: &str) -> Result<Vec<(String, f64)>, TableError> {
        let rows = read("test.csv", text, |raw: Raw| {
            Ok((
                raw.id,
                positive(raw.length_mm, "length_mm", |mm| mm / 1000.0)?,
            ))
        })?;
        Ok(rows.to_vec())
    }

    #[test]
    fn reads_rows_and_skips_remarks() {
        assert_eq!(
            parse("# remark\nid,length_mm\na,25\nb, 50\n").unwrap(),
            [("a".to_owned(), 0.025), ("b".to_owned(), 0.05)]
        );
    }

    #[test]
    fn names_the_line_of_a_broken_row() {
        for (text, line) in [
            ("id,length_mm\na,25\nb,word\n", 3),
            ("# remark\nid,length_mm\na,-1\n", 3),
            ("id,length_mm\na,NaN\n", 2),
            ("id,length_mm\na,inf\n", 2),
            ("id,length_mm\na\n", 2),
            ("id,length_mm,extra\na,25,1\n", 2),
        ] {
            assert_eq!(parse(text).unwrap_err().line, line, "{text}");
        }
    }

    #[test]
    fn takes_one_unit_only() {
        assert_eq!(either(Some(1), None, "size"), Ok(Some(1)));
        assert_eq!(either(None, Some(2), "size"), Ok(Some(2)));
        assert_eq!(either::<i32>(None, None, "size"), Ok(None));
        assert!(either(Some(1), Some(2), "size").is_err());
    }
}
