//! One published value, what the library makes of it, and how near the two must be.

use barkline::mechanics::MechanicsError;
use serde::de::DeserializeOwned;
use std::path::Path;

/// How the published value is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(
    dead_code,
    reason = "the full vocabulary, whether or not a source uses each word"
)]
pub enum Standing {
    /// Read in the publication.
    Read,
    /// Read in somebody else's transcription of the publication.
    SecondHand,
    /// Known, not seen again.
    Memory,
    /// Worked out independently of the library, not printed anywhere.
    Derived,
    /// The output of another program.
    Implementation,
}

impl Standing {
    /// The word on the page.
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::SecondHand => "second-hand",
            Self::Memory => "from memory",
            Self::Derived => "derived",
            Self::Implementation => "other program",
        }
    }
}

/// One value of a publication beside the same value from the library.
#[derive(Clone, Debug)]
pub struct Record {
    /// A name that no other record has.
    pub id: String,
    /// The publication, its edition, and the place in it.
    pub source: &'static str,
    /// What the value is, and of what.
    pub quantity: String,
    /// The unit of the printed value; empty for a pure number.
    pub unit: &'static str,
    /// The value as published.
    pub printed: f64,
    /// The value from the library, in the same unit.
    pub computed: f64,
    /// Half the last digit printed, unless the module says otherwise.
    pub tolerance: f64,
    /// How the published value is known.
    pub standing: Standing,
}

/// Room for the unit conversions where a result lies exactly between two printed steps (585 for a printed 590 ± 5): a few
/// roundings of the last binary digit, relative to the value itself.
const ROUNDING: f64 = 1e-13;

impl Record {
    /// Whether the two values agree within the tolerance.
    pub fn agrees(&self) -> bool {
        (self.printed - self.computed).abs() <= self.tolerance + ROUNDING * self.printed.abs()
    }
}

/// Fails with every record that does not agree.
pub fn assert_all_agree(records: &[Record]) {
    assert!(!records.is_empty(), "no records");
    let failures: Vec<String> = records
        .iter()
        .filter(|r| !r.agrees())
        .map(|r| {
            format!(
                "{}: printed {} {}, computed {}, tolerance {}",
                r.id, r.printed, r.unit, r.computed, r.tolerance
            )
        })
        .collect();
    assert!(
        failures.is_empty(),
        "{} of {} differ:\n{}",
        failures.len(),
        records.len(),
        failures.join("\n")
    );
}

/// The rows of a data file beside this module.
pub fn table<Row: DeserializeOwned>(file: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/validation/data")
        .join(file);
    let mut reader =
        csv::Reader::from_path(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    reader
        .deserialize()
        .collect::<Result<_, _>>()
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The value of an equation that has one.
pub fn value<T>(result: Result<T, MechanicsError>) -> T {
    result.unwrap_or_else(|e| panic!("{e}"))
}

fn sample(printed: f64, computed: f64, tolerance: f64) -> Record {
    let (id, quantity) = (String::new(), String::new());
    Record {
        id,
        source: "",
        quantity,
        unit: "",
        printed,
        computed,
        tolerance,
        standing: Standing::Derived,
    }
}

#[test]
fn a_record_agrees_up_to_its_tolerance_and_no_farther() {
    assert!(sample(590.0, 585.0, 5.0).agrees() && sample(590.0, 595.0, 5.0).agrees());
    assert!(!sample(590.0, 584.999_999, 5.0).agrees() && !sample(590.0, 595.000_001, 5.0).agrees());
    assert!(!sample(590.0, f64::NAN, 5.0).agrees());
}

#[test]
#[should_panic(expected = "1 of 2 differ")]
fn a_record_that_differs_fails_the_source() {
    assert_all_agree(&[sample(1.0, 1.0, 0.1), sample(1.0, 1.2, 0.1)]);
}
