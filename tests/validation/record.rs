//! One published or derived value beside what the library computes.

/// How far the expected value can be trusted.
// Not every kind need occur among the values at hand.
#[allow(dead_code)]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// Seen in the publication itself.
    Read,
    /// Seen in someone else's copy of the publication.
    SecondHand,
    /// Known, not seen.
    Memory,
    /// Worked out from first principles and checked numerically.
    Derived,
    /// The result of another program.
    Implementation,
}

/// A value to be matched.
#[derive(Debug, Clone)]
pub(crate) struct Record {
    /// Its name in the collection of worked examples.
    pub(crate) id: String,
    /// Where it is from.
    pub(crate) source: &'static str,
    /// What it is.
    pub(crate) quantity: String,
    /// The unit of all three numbers below.
    pub(crate) unit: &'static str,
    /// As the source gives it.
    pub(crate) printed: f64,
    /// As computed here.
    pub(crate) computed: f64,
    /// The difference allowed.
    pub(crate) tolerance: f64,
    /// How far the printed value can be trusted.
    pub(crate) standing: Standing,
}
