//! What can go wrong in an equation.

/// Why an equation gave no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MechanicsError {
    /// An input or a result is NaN or infinite.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// The quantity, as a noun.
        what: &'static str,
    },
    /// An input that must be greater than zero is not.
    #[error("{what} must be greater than zero")]
    NotPositive {
        /// The quantity, as a noun.
        what: &'static str,
    },
    /// An input that may be zero is negative.
    #[error("{what} must not be negative")]
    Negative {
        /// The quantity, as a noun.
        what: &'static str,
    },
    /// The inputs are numbers, but what they describe has no answer.
    #[error("no solution: {what}")]
    NoSolution {
        /// The reason, as a clause.
        what: &'static str,
    },
}
