//! The page of the documentation that shows every record.

use crate::record::Record;
use std::fmt::Write;
use std::path::Path;
use std::{env, fs};

/// The environment variable that has the page rewritten instead of compared.
const BLESS: &str = "BARKLINE_BLESS";

const INTRODUCTION: &str = "\
# Validation

Published values beside what barkline computes from the same inputs. This page is written by
`cargo test --test validation`, which fails when a value differs by more than its tolerance or when this page is out of
date. The inputs stand in `tests/validation`.

The tolerance is half the last digit printed, unless the source itself says how it rounded. *Difference* is computed minus
printed. *Standing* says how the printed value is known:

- **read**: read in the publication.
- **second-hand**: read in somebody else's transcription of the publication.
- **from memory**: known, not seen again.
- **derived**: worked out independently of the library, not printed anywhere.
- **other program**: the output of another program.
";

/// The whole page: a summary by source, then a table for each source.
pub fn render(records: &[Record]) -> String {
    let mut page = INTRODUCTION.to_owned();
    let mut sources: Vec<&str> = Vec::new();
    for record in records {
        if !sources.contains(&record.source) {
            sources.push(record.source);
        }
    }
    let of = |source: &str| {
        records
            .iter()
            .filter(|r| r.source == source)
            .collect::<Vec<_>>()
    };
    writeln!(page, "\n| source | values |\n|---|---:|").unwrap();
    for source in &sources {
        writeln!(page, "| {source} | {} |", of(source).len()).unwrap();
    }
    writeln!(page, "| **all** | **{}** |", records.len()).unwrap();
    for source in &sources {
        section(&mut page, source, &of(source));
    }
    page
}

/// The table of one source.
fn section(page: &mut String, source: &str, records: &[&Record]) {
    writeln!(page, "\n## {source}\n").unwrap();
    writeln!(
        page,
        "| id | quantity | unit | printed | computed | difference | tolerance | standing |"
    )
    .unwrap();
    writeln!(page, "|---|---|---|---:|---:|---:|---:|---|").unwrap();
    for r in records {
        let decimals = decimals(r.tolerance);
        let (computed, difference) = (
            fixed(r.computed, decimals),
            fixed(r.computed - r.printed, decimals),
        );
        let (id, quantity, unit, printed, tolerance) =
            (&r.id, &r.quantity, r.unit, r.printed, r.tolerance);
        let standing = r.standing.word();
        writeln!(
            page,
            "| {id} | {quantity} | {unit} | {printed} | {computed} | {difference} | {tolerance} | {standing} |"
        )
        .unwrap();
    }
}

/// Decimals that show a hundredth of the tolerance.
fn decimals(tolerance: f64) -> usize {
    (0..)
        .find(|d| 0.01 * tolerance * 10_f64.powi(*d) >= 1.0 - 1e-9)
        .unwrap_or(0)
        .try_into()
        .unwrap()
}

/// A number with so many decimals, zero without a sign.
fn fixed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    if text.parse::<f64>() == Ok(0.0) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// Compares a file of the repository with `expected`, or writes it when asked to.
pub fn compare_or_bless(file: &str, expected: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    if env::var_os(BLESS).is_some_and(|v| v == "1") {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, expected).unwrap();
    }
    let found = fs::read_to_string(&path)
        .unwrap_or_default()
        .replace("\r\n", "\n");
    let first = expected.lines().zip(found.lines()).find(|(e, f)| e != f);
    assert!(
        found == expected,
        "{file} is out of date (rewrite it with {BLESS}=1); first difference: {first:?}"
    );
}

#[test]
fn numbers_show_a_hundredth_of_the_tolerance() {
    assert_eq!(
        (
            decimals(5.0),
            decimals(0.5),
            decimals(1e-8),
            decimals(100.0)
        ),
        (2, 3, 10, 0)
    );
    assert_eq!(
        (fixed(483.2536, 2).as_str(), fixed(-1e-9, 3).as_str()),
        ("483.25", "0.000")
    );
}
