//! The minimum of a quadratic over a linear function.

/// (constant + linear·t + square·t²) / (divisor + divisor_growth·t), with square ≥ 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Quotient {
    pub(super) constant: f64,
    pub(super) linear: f64,
    pub(super) square: f64,
    pub(super) divisor: f64,
    pub(super) divisor_growth: f64,
}

impl Quotient {
    /// The least value where the divisor is positive and 0 ≤ t ≤ `length`, and its place.
    pub(super) fn least(&self, length: f64) -> Option<(f64, f64)> {
        let candidates = [
            Some(0.0),
            self.stationary().map(|t| t.clamp(0.0, length)),
            Some(length),
        ];
        let values = candidates
            .into_iter()
            .flatten()
            .filter_map(|t| Some((self.at(t)?, t)));
        values.min_by(|one, other| one.0.total_cmp(&other.0))
    }

    fn at(&self, t: f64) -> Option<f64> {
        let divisor = self.divisor + self.divisor_growth * t;
        let value = (self.constant + (self.linear + self.square * t) * t) / divisor;
        (divisor > 0.0 && value.is_finite()).then_some(value)
    }

    /// Where the derivative is zero and the divisor positive: the root of
    /// square·divisor_growth·t² + 2·square·divisor·t + (linear·divisor − constant·divisor_growth).
    fn stationary(&self) -> Option<f64> {
        let (reach, rest) = (
            self.square * self.divisor,
            self.linear * self.divisor - self.constant * self.divisor_growth,
        );
        let root = (reach * reach - self.square * self.divisor_growth * rest).sqrt();
        let t = if reach > 0.0 {
            -rest / (reach + root)
        } else {
            (root - reach) / (self.square * self.divisor_growth)
        };
        t.is_finite().then_some(t)
    }
}
