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

/// What became of changes made on purpose. The counts are those of runs by hand: nothing here repeats them.
const CHANGED: &str = "
## Changed on purpose

A test that can not fail proves nothing. Operators, comparisons and results in `src/mechanics`, `src/checks`, `src/loads` and
`src/analysis` were changed one at a time, drawn at random from the 10 600 changes that cargo-mutants knows there, and the tests
run. This is a sample: the whole would take a week and more.

| | changes |
|---|---:|
| that compile | 76 |
| found by a test | 69 |
| found by a test that was written for them | 2 |
| without effect, as argued below | 5 |

- `rigid_platform`, Σ k (x − x̄)(y + ȳ) for Σ k (x − x̄)(y − ȳ): the same, since Σ k (x − x̄) = 0.
- `span::roots`, *degree is zero and nothing is left* for *or*: the same, since a polynomial of degree zero has nothing left.
- `Chain::search`, a remainder for a quotient in the share of a bracket: the search goes on within its bracket, only slower.
- `numbering::order`, a remainder for a quotient in what counts as a hub: nodes are numbered otherwise, and the same equations solved.
- `Run::point`, a force on the last node of a beam as one beyond it by nothing: the same force, with no arm.

Some 480 more were made by hand while the modules were written, where it was thought to hurt: signs, dropped terms, factors, bounds. Those
that no test found got one.
";

/// The whole page: a summary by source, what became of changes made on purpose, then a table for each source.
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
    page.push_str(CHANGED);
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
        let (id, quantity, unit, standing) = (&r.id, &r.quantity, r.unit, r.standing.word());
        let (printed, computed) = (number(r.printed, DIGITS), number(rounded(r), DIGITS));
        let (difference, tolerance) = (difference(r), number(r.tolerance, 2));
        let numbers = format!("{printed} | {computed} | {difference} | {tolerance}");
        writeln!(
            page,
            "| {id} | {quantity} | {unit} | {numbers} | {standing} |"
        )
        .unwrap();
    }
}

/// Significant digits of a value on the page.
const DIGITS: usize = 10;

/// The computed value to a hundredth of the tolerance.
fn rounded(record: &Record) -> f64 {
    let step = 10_f64.powf((0.01 * record.tolerance).log10().floor());
    (record.computed / step).round() * step
}

/// Computed minus printed; below a thousandth of the tolerance it is nothing, and not the same on every machine.
fn difference(record: &Record) -> String {
    let difference = record.computed - record.printed;
    if difference.abs() < 1e-3 * record.tolerance {
        "0".to_owned()
    } else {
        number(difference, 2)
    }
}

/// A number with so many significant digits at most, small ones with an exponent.
fn number(number: f64, digits: usize) -> String {
    let scientific = format!("{number:.*e}", digits - 1);
    let value: f64 = scientific.parse().unwrap();
    if value != 0.0 && value.abs() < 1e-3 {
        format!("{value:e}")
    } else {
        format!("{}", value + 0.0)
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
fn numbers_are_short_and_the_same_on_every_machine() {
    assert_eq!(
        (
            number(900.000_000_000_01, 10).as_str(),
            number(-0.0, 2).as_str()
        ),
        ("900", "0")
    );
    assert_eq!(
        (
            number(8.353_621_3e-5, 10).as_str(),
            number(0.047_999, 2).as_str()
        ),
        ("8.3536213e-5", "0.048")
    );
    assert_eq!(number(40_367.624 * 1e-7, 2), "0.004");
}
