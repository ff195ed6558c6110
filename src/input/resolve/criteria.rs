//! Criteria: the defaults, and what the layout changes in them.

use super::Resolver;
use crate::input::diagnostic::Code;
use crate::input::layout::{self, CombinationSet, Extended};
use crate::mechanics::exclusion::normal_quantile;
use crate::model::{Basis, Case, Combination, Criteria, DurationRule, Origin, Standing};

impl Resolver<'_> {
    pub(super) fn criteria(&mut self) -> Option<Criteria> {
        let layout = self.layout;
        let keys = layout.criteria.as_ref();
        let set = keys.and_then(|keys| keys.combinations.as_ref());
        // Combinations of one's own are of the allowable format, as is the default.
        let name = match set.map(|set| set.value) {
            None | Some(CombinationSet::Own) => CombinationSet::Asce722Asd.word(),
            Some(set) => set.word(),
        };
        let mut criteria = match Criteria::standard(name) {
            Ok(criteria) => criteria,
            Err(error) => {
                self.lookup(Code::UnknownWord, set.and_then(|set| set.span), &error);
                return None;
            }
        };
        if layout.combination.is_empty() {
            if set.is_some_and(|set| set.value == CombinationSet::Own) {
                let span = set.and_then(|set| set.span);
                self.error(
                    Code::MissingKey,
                    span,
                    "combinations of one's own are asked for and none is given",
                    "add [[combination]] rows",
                );
            }
        } else {
            if let Some(set) = set.filter(|set| set.value != CombinationSet::Own) {
                let message = "a set of combinations is named, and rows of one's own are given too";
                self.error(
                    Code::Conflict,
                    set.span,
                    message,
                    "write combinations = \"own\", or take the [[combination]] rows out",
                );
            }
            criteria.combinations = layout
                .combination
                .iter()
                .filter_map(Self::combination)
                .collect();
        }
        if let Some(keys) = keys {
            self.change(&mut criteria, keys);
        }
        Some(criteria)
    }

    fn combination(row: &layout::Combination) -> Option<Combination> {
        let mut factors = [0.0; Case::ALL.len()];
        let mut movement = 0.0;
        for (symbol, factor) in &row.factors.as_ref()?.0 {
            match Case::ALL.iter().find(|case| case.symbol() == symbol) {
                Some(case) => factors[*case as usize] = factor.value,
                // T, the only symbol of the format that is not a case.
                None => movement = factor.value,
            }
        }
        Some(Combination {
            name: row.id.value.clone(),
            factors,
            movement: Some(movement),
            snow_level: None,
            origin: Origin::new(row.source.value.clone(), Standing::Published),
        })
    }

    fn change(&mut self, criteria: &mut Criteria, keys: &layout::Criteria) {
        if let Some(basis) = &keys.basis {
            criteria.basis = match basis.value {
                layout::Basis::GreenClearWood => Basis::GreenClearWood,
                layout::Basis::DowelBearing => Basis::DowelBearing,
            };
        }
        if let Some(duration) = &keys.duration {
            criteria.duration = match duration.value {
                layout::Duration::Capped => DurationRule::Capped,
                layout::Duration::Nds => DurationRule::Nds,
                layout::Duration::Off => DurationRule::Off,
            };
        }
        criteria.extended_is_review = keys
            .extended
            .as_ref()
            .is_some_and(|extended| extended.value == Extended::Review);
        if let Some(exclusion) = &keys.exclusion {
            match normal_quantile((**exclusion).value) {
                Ok(quantile) if quantile <= 0.0 => {
                    criteria.change("exclusion", -quantile);
                }
                _ => self.error(
                    Code::OutOfRange,
                    exclusion.span,
                    "the exclusion limit lies below the mean",
                    "give a share below 50 %, such as \"5 %\"",
                ),
            }
        }
        if let Some(deflection) = &keys.deflection {
            criteria.change("deflection_share", 0.0);
            criteria.change("deflection_floor", (**deflection).value);
        }
        if let Some(people) = &keys.people_side {
            criteria.change("people_side", (**people).value);
        }
        if let Some(friction) = &keys.seat_friction {
            if friction.value.is_finite() && friction.value >= 0.0 {
                criteria.change("seat_friction", friction.value);
            } else {
                let mend = "give zero or a number above it, such as 0.3";
                self.error(
                    Code::OutOfRange,
                    friction.span,
                    "a friction below zero means nothing",
                    mend,
                );
            }
        }
        for (key, factor) in keys.safety_factor.iter().flat_map(|factors| &factors.0) {
            if !(factor.value.is_finite() && factor.value > 0.0) {
                self.error(
                    Code::OutOfRange,
                    factor.span,
                    format!("a safety factor of {} means nothing", factor.value),
                    "give a number above zero",
                );
            } else if !criteria.change(key, allowable_or_factor(criteria, key, factor.value)) {
                let message = format!(
                    "{key} takes no safety factor: it stands in the equation of its source, or it is not assessed"
                );
                self.error(Code::OutOfRange, factor.span, message, "leave it out");
            } else {
                let across = format!("{key}_across");
                if criteria.factors.contains_key(&across) && factor.value > criteria.factor(&across)
                {
                    criteria.change(&across, factor.value);
                }
                if factor.value < 1.0 {
                    let message =
                        format!("the safety factor of {key} is {}, below one", factor.value);
                    self.assumed(factor.span, message, "give a factor of one or more");
                }
            }
        }
    }
}

/// What a safety factor of a limit state puts into the criteria: itself or, where they hold an allowable stress, that
/// stress divided by it.
fn allowable_or_factor(criteria: &Criteria, key: &str, factor: f64) -> f64 {
    match key {
        "steel_fatigue" => criteria.factor(key) / factor,
        _ => factor,
    }
}
