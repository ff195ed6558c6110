//! What can be wrong with a reliability problem.

use thiserror::Error;

/// Why there is no result. Variables and limit states are named by their place, counted from 0.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum NumericsError {
    /// A number is NaN or infinite.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// What the number stands for.
        what: &'static str,
    },
    /// A number lies where it has no meaning here.
    #[error("{what} must lie between {low} and {high}, but is {value}")]
    OutOfRange {
        /// What the number stands for.
        what: &'static str,
        /// The number.
        value: f64,
        /// The lowest that can be used.
        low: f64,
        /// The highest that can be used.
        high: f64,
    },
    /// Two numbers stand in the wrong order.
    #[error("{first} must be below {second}")]
    Order {
        /// The one that must be lower.
        first: &'static str,
        /// The one that must be higher.
        second: &'static str,
    },
    /// A list has the wrong length.
    #[error("{what}: {found} given, {expected} expected")]
    WrongLength {
        /// What the list holds.
        what: &'static str,
        /// Its length.
        found: usize,
        /// The length it must have.
        expected: usize,
    },
    /// A place that does not exist.
    #[error("{what} {index} does not exist; there are {count}")]
    NoSuch {
        /// What is counted.
        what: &'static str,
        /// The place asked for.
        index: usize,
        /// How many there are.
        count: usize,
    },
    /// No two variables of these distributions can be so strongly correlated.
    #[error(
        "variables {first} and {second} cannot have a correlation of {value}: their distributions allow {low} to {high}"
    )]
    OutOfReach {
        /// One variable.
        first: usize,
        /// The other.
        second: usize,
        /// The coefficient asked for.
        value: f64,
        /// The lowest possible.
        low: f64,
        /// The highest possible.
        high: f64,
    },
    /// The coefficients contradict each other.
    #[error(
        "the correlations contradict each other: those of variable {variable} cannot hold together with the others"
    )]
    NotPositiveDefinite {
        /// A variable that does not fit the others.
        variable: usize,
    },
    /// The limit state does not change with any variable where it was last looked at.
    #[error(
        "limit state {limit_state} does not change with any variable at {distance} from the medians"
    )]
    Flat {
        /// The limit state.
        limit_state: usize,
        /// Distance from the origin of u.
        distance: f64,
    },
    /// The limit state is not reached within any distance that has a meaning.
    #[error("limit state {limit_state} is not reached within {distance} standard deviations")]
    Remote {
        /// The limit state.
        limit_state: usize,
        /// Distance from the origin of u that was searched.
        distance: f64,
    },
    /// The search for the design point did not settle.
    #[error("limit state {limit_state}: no design point after {iterations} steps")]
    NotConverged {
        /// The limit state.
        limit_state: usize,
        /// Steps made.
        iterations: usize,
    },
}

/// The number, if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, NumericsError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(NumericsError::NotFinite { what })
    }
}

/// The number, if it is finite and lies in the closed range.
pub(super) fn between(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, NumericsError> {
    if (low..=high).contains(&finite(what, value)?) {
        Ok(value)
    } else {
        Err(NumericsError::OutOfRange {
            what,
            value,
            low,
            high,
        })
    }
}
