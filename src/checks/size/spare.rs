//! What a passing attachment could still take.

use super::search::{self, Found};
use super::tries::{Grid, Sizer, has_live, told, with_live};
use super::{Change, acceptable};
use crate::analysis::platform;
use crate::checks::{CheckError, Run};
use crate::loads;
use crate::units::{Length, si};
use std::convert::Infallible;

/// Steps of a factor: hundredths.
const HUNDREDTHS: u32 = 100;
/// Doublings of a factor after which no more is asked (64 times the load).
const DOUBLINGS: u32 = 6;
/// The longest arm that is asked for: longer ones are no anchors.
const LONGEST: Length = si::metres(1.0);

/// The most of something that still passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpareValue<T> {
    /// This passes, and one step more does not.
    Most(T),
    /// This passes, and no more was asked.
    AtLeast(T),
    /// There is nothing to ask, such as live load where there is none.
    Nothing,
}

impl<T: Copy> SpareValue<T> {
    /// The value that passes.
    pub fn value(&self) -> Option<T> {
        match self {
            Self::Most(value) | Self::AtLeast(value) => Some(*value),
            Self::Nothing => None,
        }
    }
}

/// What a passing attachment could still take.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// How many times its own loads, all of them (1).
    pub own_load: SpareValue<f64>,
    /// How many times all live load of the platform (1).
    pub live: SpareValue<f64>,
    /// The longest arm, beams following.
    pub longest_arm: SpareValue<Length>,
    /// What goes with the longest arm.
    pub notes: Vec<String>,
}

impl Sizer<'_> {
    /// What the attachment could still take.
    pub(super) fn spare(&self) -> Result<Spare, CheckError> {
        let (longest_arm, notes) = self.longest_arm();
        Ok(Spare {
            own_load: self.own_load()?,
            live: self.live(),
            longest_arm,
            notes,
        })
    }

    /// The largest factor on all loads of the attachment.
    fn own_load(&self) -> Result<SpareValue<f64>, CheckError> {
        let actions = loads::actions(self.platform, self.criteria)?;
        let solved = platform::solve(self.platform, &actions, self.criteria)?;
        let run = Run::new(self.platform, self.criteria, &solved)?;
        Ok(factor(|k| {
            self.count();
            run.attachment_under(self.index, k)
                .is_ok_and(|(after, _)| acceptable(self.attachment(), &after))
        }))
    }

    /// The largest factor on all live load of the platform.
    fn live(&self) -> SpareValue<f64> {
        if !has_live(self.platform) {
            return SpareValue::Nothing;
        }
        factor(|k| match with_live(self.platform, k) {
            Ok(platform) => self.passes(&platform),
            Err(faults) => self.stopped(told(&faults)),
        })
    }

    fn longest_arm(&self) -> (SpareValue<Length>, Vec<String>) {
        let from = self.anchor().arm;
        let Some(grid) = Grid::up(from, LONGEST.max(from), self.step()) else {
            return (SpareValue::AtLeast(from), Vec::new());
        };
        let at = |k| self.with_arm(grid.at(k), |to| Change::ShorterArm { from, to });
        let mut fails = |k: u32| Ok::<_, Infallible>(k > 0 && !self.tried(at(k)));
        // A longer arm may sink more by right: what lies between is looked at as well.
        let Ok(found) = search::looked_for(0, grid.steps, &mut fails);
        let (arm, k) = match found {
            // Even one step is too much: what stands is the longest.
            Found::First(1) => return (SpareValue::Most(from), Vec::new()),
            Found::First(k) => (SpareValue::Most(grid.at(k - 1)), k - 1),
            Found::Fewest | Found::None => (SpareValue::AtLeast(grid.at(grid.steps)), grid.steps),
        };
        (arm, at(k).map_or_else(|why| vec![why], |trial| trial.notes))
    }
}

/// The largest factor from one up that passes: doubled until one fails, then halved to hundredths.
fn factor(mut passes: impl FnMut(f64) -> bool) -> SpareValue<f64> {
    let times = |k: u32| f64::from(k) / f64::from(HUNDREDTHS);
    let mut low = HUNDREDTHS;
    for _ in 0..DOUBLINGS {
        let high = 2 * low;
        if passes(times(high)) {
            low = high;
            continue;
        }
        // The lower end is the design, or was tried.
        let mut fails = |k: u32| Ok::<_, Infallible>(k > low && (k == high || !passes(times(k))));
        let Ok(found) = search::first(low, high, &mut fails);
        return match found {
            Found::First(k) => SpareValue::Most(times(k - 1)),
            Found::Fewest | Found::None => SpareValue::AtLeast(times(low)),
        };
    }
    SpareValue::AtLeast(times(low))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp)]
    use super::*;

    #[test]
    fn the_largest_factor_passes_and_a_hundredth_more_does_not() {
        for most in [1.0, 1.01, 1.37, 1.99, 2.0, 2.01, 5.43, 31.99] {
            let found = factor(|k| k <= most + 1e-9);
            assert_eq!(found, SpareValue::Most(most));
        }
        assert_eq!(factor(|_| true), SpareValue::AtLeast(64.0));
    }
}
