//! What can be wrong with a number handed to an equation.

use thiserror::Error;

/// Why an equation gave no result; values are in SI base units, named by `unit`.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum MechanicsError {
    /// A number is NaN or infinite, or an intermediate result outgrew the range of numbers.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// What the number stands for.
        what: &'static str,
    },
    /// A number that must be above zero is not.
    #[error("{what} must be positive, but is {value}{unit}")]
    NotPositive {
        /// What the number stands for.
        what: &'static str,
        /// The number.
        value: f64,
        /// Its unit, with a leading space; empty for a pure number.
        unit: &'static str,
    },
    /// A number that must not be below zero is.
    #[error("{what} must not be negative, but is {value}{unit}")]
    Negative {
        /// What the number stands for.
        what: &'static str,
        /// The number.
        value: f64,
        /// Its unit, with a leading space; empty for a pure number.
        unit: &'static str,
    },
    /// A number lies where the equation has no meaning.
    #[error("{what} must lie between {low}{unit} and {high}{unit}, but is {value}{unit}")]
    OutOfRange {
        /// What the number stands for.
        what: &'static str,
        /// The number.
        value: f64,
        /// The lowest meaningful value.
        low: f64,
        /// The highest meaningful value.
        high: f64,
        /// The unit of all three, with a leading space; empty for a pure number.
        unit: &'static str,
    },
    /// The numbers are meaningful one by one, but not together.
    #[error("no solution: {what}")]
    NoSolution {
        /// Why there is none.
        what: &'static str,
    },
}
