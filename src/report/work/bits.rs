//! Which bit to take: the coarsest step of inches and of millimetres that lies within the diameters that will do.

use super::marks::ordered;
use crate::units::us::{INCH, inches};
use crate::units::{Length, Show, engineering, sixteenths};
use serde::Serialize;

/// Steps of bits in parts of an inch, coarsest first.
const PARTS: [f64; 3] = [16.0, 32.0, 64.0];
/// Steps of bits (mm), coarsest first.
const STEPS: [f64; 3] = [1.0, 0.5, 0.1];
/// Rounding that moves no bit (of one step).
const NOISE: f64 = 1e-6;

/// A diameter to drill, and the bits that do it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bit {
    /// The least diameter that will do (m).
    pub least_m: f64,
    /// The largest diameter that will do (m).
    pub most_m: f64,
    /// The bit to take of those in inches (in); none where no common one will do.
    pub take_in: Option<f64>,
    /// The bit to take of those in millimetres (mm); none where no common one will do.
    pub take_mm: Option<f64>,
}

impl Bit {
    /// The largest bits within a range.
    pub(super) fn largest(least: Length, most: Length) -> Self {
        let pick = |step: f64| {
            let bit = (most.value / step + NOISE).floor() * step;
            (bit >= least.value - NOISE * step).then_some(bit)
        };
        Self::picked(least, most, pick)
    }

    /// The smallest bits within a range.
    pub(super) fn smallest(least: Length, most: Length) -> Self {
        let pick = |step: f64| {
            let bit = (least.value / step - NOISE).ceil() * step;
            (bit <= most.value + NOISE * step).then_some(bit)
        };
        Self::picked(least, most, pick)
    }

    fn picked(least: Length, most: Length, pick: impl Fn(f64) -> Option<f64>) -> Self {
        let inch = PARTS.iter().find_map(|parts| {
            let bit = pick(INCH / parts)?;
            Some((bit / INCH * parts).round() / parts)
        });
        let metric = STEPS.iter().find_map(|step| {
            let bit = pick(step * 1e-3)?;
            Some((bit * 1e4).round() / 10.0)
        });
        Self {
            least_m: least.value,
            most_m: most.value,
            take_in: inch,
            take_mm: metric,
        }
    }

    /// Both bits in words, those of the system shown first; the range where no common bit will do.
    pub(super) fn both(&self, show: Show) -> [String; 2] {
        let inch = self.take_in.map_or_else(
            || range(self.least_m / INCH, self.most_m / INCH, "in"),
            fraction,
        );
        let metric = self.take_mm.map_or_else(
            || range(self.least_m * 1e3, self.most_m * 1e3, "mm"),
            |bit| format!("{bit} mm"),
        );
        ordered(show, inch, metric)
    }
}

fn range(least: f64, most: f64, unit: &str) -> String {
    format!("{} to {} {unit}", engineering(least), engineering(most))
}

/// Inches in sixty-fourths at the finest.
fn fraction(number: f64) -> String {
    if (number * 16.0).fract() == 0.0 {
        return sixteenths(inches(number));
    }
    let whole = number.trunc();
    let parts = if (number * 32.0).fract() == 0.0 {
        32.0
    } else {
        64.0
    };
    let part = ((number - whole) * parts).round();
    if whole == 0.0 {
        format!("{part}/{parts} in")
    } else {
        format!("{whole}-{part}/{parts} in")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::millimetres;

    #[test]
    fn the_coarsest_bit_that_will_do() {
        let bit = Bit::largest(millimetres(17.83), millimetres(19.81));
        assert_eq!((bit.take_in, bit.take_mm), (Some(0.75), Some(19.0)));
        let bit = Bit::largest(millimetres(19.41), millimetres(19.81));
        assert_eq!((bit.take_in, bit.take_mm), (Some(49.0 / 64.0), Some(19.5)));
        assert_eq!(bit.both(Show::Us), ["49/64 in", "19.5 mm"]);
        let bit = Bit::smallest(millimetres(64.0), millimetres(65.0));
        assert_eq!((bit.take_in, bit.take_mm), (Some(2.53125), Some(64.0)));
        assert_eq!(bit.both(Show::Si), ["64 mm", "2-17/32 in"]);
        let bit = Bit::smallest(inches(2.0), inches(2.0) + millimetres(1.0));
        assert_eq!(bit.both(Show::Us), ["2 in", "51 mm"]);
        let bit = Bit::largest(millimetres(9.62), millimetres(9.68));
        assert_eq!(bit.both(Show::Us), ["0.379 to 0.381 in", "9.62 to 9.68 mm"]);
    }
}
