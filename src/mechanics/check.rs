//! Guards at the doors of the solvers, which work in plain SI numbers.

use super::MechanicsError;
use super::guard::Guard;

/// `value`, if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    value.finite(what)
}

/// `value`, if it is finite and greater than zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    value.positive(what)
}

/// `value`, if it is finite and not less than zero.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    value.not_negative(what)
}
