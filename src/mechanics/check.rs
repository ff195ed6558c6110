//! Guards at the doors of the equations: plain SI numbers in, the same numbers or a named error out.

use super::MechanicsError;

/// `value`, if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(MechanicsError::NotFinite { what })
    }
}

/// `value`, if it is finite and greater than zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    if finite(what, value)? > 0.0 {
        Ok(value)
    } else {
        Err(MechanicsError::NotPositive { what })
    }
}

/// `value`, if it is finite and not less than zero.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    if finite(what, value)? >= 0.0 {
        Ok(value)
    } else {
        Err(MechanicsError::Negative { what })
    }
}
