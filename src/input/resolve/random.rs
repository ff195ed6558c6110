//! What is not known exactly: the table of random variables, and what the layout changes in it.

use super::Resolver;
use crate::input::diagnostic::Code;
use crate::input::layout::{self, Distribution};
use crate::input::source::{At, Span};
use crate::model::{
    DeviationMeasure, DistributionShape, Origin, Spread, Standing, Uncertain, Uncertainty,
};
use crate::units::nearest;

impl Resolver<'_> {
    pub(super) fn uncertainty(&mut self) -> Uncertainty {
        let mut uncertainty = Uncertainty::default();
        let layout = self.layout;
        if let Some(keys) = &layout.reliability {
            self.period(&mut uncertainty, keys);
        }
        let mut seen: Vec<Uncertain> = Vec::new();
        for row in &layout.random_variable {
            let Some(variable) = self.variable(row) else {
                continue;
            };
            if seen.contains(&variable) {
                self.error(
                    Code::DuplicateId,
                    row.id.span,
                    format!("the random variable {} is given twice", variable.id()),
                    "leave one of them out",
                );
                continue;
            }
            seen.push(variable);
            if let Some(spread) = uncertainty.of_mut(variable) {
                self.spread(spread, row);
            }
        }
        uncertainty
    }

    fn period(&mut self, uncertainty: &mut Uncertainty, keys: &layout::Reliability) {
        let fits = |value: f64, range: std::ops::RangeInclusive<f64>| {
            value.is_finite() && range.contains(&value)
        };
        if let Some(years) = &keys.years {
            if fits(years.value, 1.0..=200.0) {
                uncertainty.years = years.value;
            } else {
                self.error(
                    Code::OutOfRange,
                    years.span,
                    format!("a period of {} years means nothing", years.value),
                    "give 1 to 200 years, such as 50",
                );
            }
        }
        if let Some(target) = &keys.target {
            if fits(target.value, 0.0..=8.0) {
                uncertainty.target = Some(target.value);
            } else {
                self.error(
                    Code::OutOfRange,
                    target.span,
                    format!("a reliability index of {} is no target", target.value),
                    "give 0 to 8, such as 3.5",
                );
            }
        }
    }

    fn variable(&mut self, row: &layout::RandomVariable) -> Option<Uncertain> {
        let name = row.id.as_str();
        let found = Uncertain::ALL.iter().find(|own| own.id() == name);
        if found.is_none() {
            let ids = Uncertain::ALL.iter().map(|own| own.id());
            let mend = nearest(name, ids.clone()).map_or_else(
                || format!("it is one of {}", ids.collect::<Vec<_>>().join(", ")),
                |near| format!("did you mean \"{near}\"?"),
            );
            self.error(
                Code::UnknownId,
                row.id.span,
                format!("there is no random variable \"{name}\""),
                mend,
            );
        }
        found.copied()
    }

    /// Changes a variable; what does not fit it, or leaves it without meaning, is an error.
    fn spread(&mut self, spread: &mut Spread, row: &layout::RandomVariable) {
        let before = spread.clone();
        let measure = spread.measure;
        for (key, given, fits) in [
            (
                "mean",
                row.mean.as_ref().map(|given| given.span),
                measure == DeviationMeasure::Share,
            ),
            (
                "variation",
                row.variation.as_ref().map(|given| given.span),
                measure == DeviationMeasure::Share,
            ),
            (
                "tolerance",
                row.tolerance.as_ref().map(|given| given.span),
                measure == DeviationMeasure::Length,
            ),
            (
                "tolerance_angle",
                row.tolerance_angle.as_ref().map(|given| given.span),
                measure == DeviationMeasure::Angle,
            ),
        ] {
            if let (Some(span), false) = (given, fits) {
                let due = match measure {
                    DeviationMeasure::Share => "it multiplies a value: give mean and variation",
                    DeviationMeasure::Length => "it adds to a length: give tolerance",
                    DeviationMeasure::Angle => "it adds to an angle: give tolerance_angle",
                };
                let message = format!("{} takes no {key}", before.variable.id());
                self.error(Code::Conflict, span, message, due);
                return;
            }
        }
        if let Some(shape) = &row.distribution {
            spread.distribution = shape_of(shape.value);
        }
        if let Some(mean) = &row.mean {
            spread.mean = mean.value;
        }
        let half = row.tolerance.as_ref().map(|given| (**given).value / 2.0);
        let half = half.or(row
            .tolerance_angle
            .as_ref()
            .map(|given| (**given).value / 2.0));
        let variation = row.variation.as_ref().map(|given| (**given).value);
        if let Some(deviation) = variation.or(half) {
            spread.deviation = deviation;
        }
        let shared = [&row.same_tree, &row.same_species, &row.same_site];
        for (own, given) in spread.shared.iter_mut().zip(shared) {
            if let Some(given) = given {
                *own = given.value;
            }
        }
        spread.origin = Origin::new(row.source.value.clone(), Standing::Published);
        spread.changed = true;
        if let Some(mend) = spread.fault() {
            let message = format!(
                "the random variable {} can not be spread like this",
                before.variable.id()
            );
            self.error(Code::OutOfRange, blamed(row), message, mend);
            *spread = before;
        }
    }
}

/// The place of the value that is most likely wrong.
fn blamed(row: &layout::RandomVariable) -> Option<Span> {
    fn span<T>(given: Option<&At<T>>) -> Option<Span> {
        given.and_then(|given| given.span)
    }
    span(row.variation.as_ref())
        .or_else(|| span(row.tolerance.as_ref()))
        .or_else(|| span(row.tolerance_angle.as_ref()))
        .or_else(|| span(row.mean.as_ref()))
        .or_else(|| span(row.distribution.as_ref()))
        .or_else(|| span(row.same_tree.as_ref()))
        .or_else(|| span(row.same_species.as_ref()))
        .or_else(|| span(row.same_site.as_ref()))
        .or(row.id.span)
}

const fn shape_of(shape: Distribution) -> DistributionShape {
    match shape {
        Distribution::Normal => DistributionShape::Normal,
        Distribution::Lognormal => DistributionShape::Lognormal,
        Distribution::Gumbel => DistributionShape::Gumbel,
        Distribution::Gamma => DistributionShape::Gamma,
        Distribution::Uniform => DistributionShape::Uniform,
        Distribution::Fixed => DistributionShape::Fixed,
    }
}
