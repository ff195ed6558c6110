//! Reading the reference cases: N and mm in the files, typed quantities out.

use barkline::units::si::{megapascals, millimetres, newtons};
use barkline::units::{Force, Length, Moment, Stiffness, Stress};
use serde_json::Value;

/// The list `cases` of a reference file.
pub(crate) fn cases(text: &str) -> Vec<Value> {
    let file: Value = serde_json::from_str(text).expect("the reference file is JSON");
    file["cases"]
        .as_array()
        .expect("the reference file has cases")
        .clone()
}

pub(crate) fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is not a number"))
}

pub(crate) fn list(value: &Value) -> &[Value] {
    value
        .as_array()
        .unwrap_or_else(|| panic!("{value} is not a list"))
}

pub(crate) fn text(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is not a string"))
}

pub(crate) fn length(value: &Value) -> Length {
    millimetres(number(value))
}

pub(crate) fn force(value: &Value) -> Force {
    newtons(number(value))
}

pub(crate) fn moment(value: &Value) -> Moment {
    newtons(number(value)) * millimetres(1.0)
}

pub(crate) fn stress(value: &Value) -> Stress {
    megapascals(number(value))
}

pub(crate) fn stiffness(value: &Value) -> Stiffness {
    newtons(number(value)) / millimetres(1.0)
}

/// Back to the units of the files.
pub(crate) fn in_mm(length: Length) -> f64 {
    length.value * 1e3
}

pub(crate) fn in_newton_mm(moment: Moment) -> f64 {
    moment.value * 1e3
}

pub(crate) fn in_mpa(stress: Stress) -> f64 {
    stress.value * 1e-6
}

/// Collects every disagreement of a file, so that a failure shows them all.
#[derive(Default)]
pub(crate) struct Comparison {
    checked: usize,
    failures: Vec<String>,
}

impl Comparison {
    /// `computed` within `tolerance` of `expected`.
    pub(crate) fn check(&mut self, what: &str, computed: f64, expected: f64, tolerance: f64) {
        self.checked += 1;
        let difference = (computed - expected).abs();
        if difference.is_nan() || difference > tolerance {
            self.failures
                .push(format!("{what}: {computed} against {expected}, off by {difference:e} (allowed {tolerance:e})"));
        }
    }

    /// Fails with every disagreement found, or if fewer than `least` values were compared.
    pub(crate) fn finish(self, least: usize) {
        assert!(self.failures.is_empty(), "{}", self.failures.join("\n"));
        assert!(
            self.checked >= least,
            "only {} values compared",
            self.checked
        );
    }
}
