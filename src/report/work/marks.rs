//! Lengths as marks: to the sixteenth of an inch and to the millimetre, each rounded to the side that does no harm.

use crate::units::us::{INCH, inches};
use crate::units::{Length, Show, feet_and_sixteenths, sixteenths};
use serde::Serialize;

/// A length this little over a mark is on it (m): a thousandth of a millimetre, far below any tool.
const ON_IT: f64 = 1e-6;
/// Marks of an inch.
const SIXTEENTH: f64 = INCH / 16.0;
/// Marks in millimetres (m).
const MILLIMETRE: f64 = 1e-3;

/// To which side a length is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// To the next mark above.
    Up,
    /// To the next mark below.
    Down,
    /// To the nearest mark.
    Nearest,
}

/// A length as it is marked: the exact one, and its mark on an inch rule and on a metric one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mark {
    /// The exact length (m).
    pub exact_m: f64,
    /// Its mark on an inch rule, in whole sixteenths (in).
    pub mark_in: f64,
    /// Its mark on a metric rule, in whole millimetres (mm).
    pub mark_mm: f64,
}

impl Mark {
    /// The mark of a length.
    pub fn new(length: Length, rounding: Rounding) -> Self {
        let on = |step: f64| rounded(length.value, step, rounding);
        Self {
            exact_m: length.value,
            mark_in: on(SIXTEENTH) / 16.0,
            mark_mm: on(MILLIMETRE),
        }
    }

    /// The mark above a length, but never one beyond `most`: there the last mark before it.
    pub fn up_to(length: Length, most: Length) -> Self {
        let on = |step: f64| {
            let up = rounded(length.value, step, Rounding::Up);
            up.min(rounded(most.value, step, Rounding::Down))
        };
        Self {
            exact_m: length.value,
            mark_in: on(SIXTEENTH) / 16.0,
            mark_mm: on(MILLIMETRE),
        }
    }

    /// The mark on an inch rule, in words.
    pub fn inch(&self) -> String {
        sixteenths(inches(self.mark_in))
    }

    /// The mark on a metric rule, in words.
    pub fn metric(&self) -> String {
        format!("{} mm", self.mark_mm + 0.0)
    }

    /// Both in words, those of the system shown first.
    pub fn both(&self, show: Show) -> [String; 2] {
        ordered(show, self.inch(), self.metric())
    }

    /// Both in words, with feet: for heights and long sticks.
    pub fn long(&self, show: Show) -> [String; 2] {
        let feet = feet_and_sixteenths(inches(self.mark_in));
        ordered(show, feet, self.metric())
    }
}

/// The words of two systems, those of the system shown first.
pub(super) fn ordered(show: Show, us: String, si: String) -> [String; 2] {
    match show {
        Show::Us => [us, si],
        Show::Si => [si, us],
    }
}

/// Whole steps of a length (1).
fn rounded(length: f64, step: f64, rounding: Rounding) -> f64 {
    match rounding {
        Rounding::Up => ((length - ON_IT) / step).ceil(),
        Rounding::Down => ((length + ON_IT) / step).floor(),
        Rounding::Nearest => (length / step).round(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp)]
    use super::*;
    use crate::units::si::millimetres;

    #[test]
    fn marks_are_on_the_side_that_is_asked_for() {
        let up = Mark::new(millimetres(190.6), Rounding::Up);
        assert_eq!((up.mark_in, up.mark_mm), (7.5625, 191.0));
        assert_eq!(up.inch(), "7-9/16 in");
        let down = Mark::new(millimetres(190.6), Rounding::Down);
        assert_eq!((down.mark_in, down.mark_mm), (7.5, 190.0));
        let on = Mark::new(inches(7.5), Rounding::Up);
        assert_eq!((on.mark_in, on.mark_mm), (7.5, 191.0));
        assert_eq!(on.both(Show::Si), ["191 mm", "7-1/2 in"]);
    }

    #[test]
    fn no_mark_lies_beyond_the_most() {
        for tenths in 0..5000 {
            let length = millimetres(f64::from(tenths) / 10.0);
            let most = length + millimetres(0.7);
            let mark = Mark::up_to(length, most);
            assert!(mark.mark_in * INCH <= most.value + ON_IT, "{tenths}");
            assert!(mark.mark_mm * MILLIMETRE <= most.value + ON_IT, "{tenths}");
        }
        // Where there is room the mark is never short.
        let mark = Mark::up_to(millimetres(100.2), millimetres(200.0));
        assert!(mark.mark_mm >= 100.2 && mark.mark_in * 25.4 >= 100.2);
    }
}
