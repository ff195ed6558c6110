//! The range in which a source states its equation.

/// A closed range of a quantity, as a source states it for its equation.
///
/// A value outside is not an error: the equation is still computed, and the caller says that it was extended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range<Q> {
    /// The lowest value stated.
    pub low: Q,
    /// The highest value stated.
    pub high: Q,
}

/// Limits are met to this relative width, so that one inch is one inch however it was converted (a few roundings of
/// the last digit).
const ROUNDING: f64 = 1e-12;

impl<Q> Range<Q>
where
    Q: Copy + PartialOrd + std::ops::Mul<f64, Output = Q>,
{
    /// Whether `value` lies inside, limits included. A value that is not a number lies nowhere.
    pub fn contains(&self, value: Q) -> bool {
        self.low * (1.0 - ROUNDING) <= value && value <= self.high * (1.0 + ROUNDING)
    }
}

#[cfg(test)]
mod tests {
    use super::Range;
    use crate::units::si::millimetres;
    use crate::units::us::inches;

    const TO_AN_INCH: Range<crate::units::Length> = Range {
        low: inches(0.25),
        high: inches(1.0),
    };

    #[test]
    fn limits_belong_to_the_range_in_either_unit() {
        assert!(TO_AN_INCH.contains(inches(0.25)) && TO_AN_INCH.contains(millimetres(6.35)));
        assert!(TO_AN_INCH.contains(inches(1.0)) && TO_AN_INCH.contains(millimetres(25.4)));
    }

    #[test]
    fn a_rounding_of_the_last_digit_does_not_leave_the_range() {
        assert!(TO_AN_INCH.contains(inches(1.0) * (1.0 + 1e-14)));
        assert!(TO_AN_INCH.contains(inches(0.25) * (1.0 - 1e-14)));
        assert!(!TO_AN_INCH.contains(inches(1.0) * (1.0 + 1e-9)));
    }

    #[test]
    fn what_is_outside_or_not_a_number_is_not_contained() {
        assert!(!TO_AN_INCH.contains(inches(0.2499)) && !TO_AN_INCH.contains(inches(1.0001)));
        assert!(!TO_AN_INCH.contains(inches(f64::NAN)));
    }
}
