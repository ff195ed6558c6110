//! What is asked whether it is exceeded.

use std::fmt;

/// One or more limit states of the same variables. Shared between threads; what one evaluation needs to write on is its
/// [`Response::Scratch`].
pub trait Response: Sync {
    /// The working memory of one thread, made once: `()` where none is needed.
    type Scratch;

    /// Working memory for one thread.
    fn scratch(&self) -> Self::Scratch;

    /// The number of limit states: the length of `g`.
    fn limit_states(&self) -> usize;

    /// Writes the margin of every limit state at `x` into `g`, which comes filled with NaN: g ≤ 0 is exceeded. The same `x`
    /// must give the same `g`, whatever was evaluated before. A margin that cannot be had is NaN; it counts as exceeded,
    /// and is counted apart as well.
    fn evaluate(&self, x: &[f64], scratch: &mut Self::Scratch, g: &mut [f64]);
}

/// A [`Response`] from a function of `x` that fills `g`.
#[derive(Clone)]
pub struct Function<F> {
    limit_states: usize,
    function: F,
}

impl<F: Fn(&[f64], &mut [f64]) + Sync> Function<F> {
    /// A function that fills so many limit states.
    pub fn new(limit_states: usize, function: F) -> Self {
        Self {
            limit_states,
            function,
        }
    }
}

impl<F> fmt::Debug for Function<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Function")
            .field("limit_states", &self.limit_states)
            .finish_non_exhaustive()
    }
}

impl<F: Fn(&[f64], &mut [f64]) + Sync> Response for Function<F> {
    type Scratch = ();

    fn scratch(&self) {}

    fn limit_states(&self) -> usize {
        self.limit_states
    }

    fn evaluate(&self, x: &[f64], (): &mut (), g: &mut [f64]) {
        (self.function)(x, g);
    }
}
