//! The hand calculation: what a check writes down on its way. A check writes into a `Recorder`; with `Silent` that
//! costs nothing, with `Trace` it is the calculation in full. The numbers are those that the check goes on with; a
//! substitution is made from the equation itself, by putting numbers for its symbols.

use super::Verdict;
use super::elastic::Fit;
use super::result::{Attachment, CheckResult, Measure};
use crate::model::{Bound, LimitState, Standing};
use crate::units::Show;
use serde::Serialize;

/// What a check writes its steps into.
pub(super) trait Recorder {
    /// Whether steps are kept: what is only wanted for them is not worked out where they are not.
    const KEEPS: bool;

    /// Takes a step; `step` is only asked for where it is kept.
    fn step(&mut self, step: impl FnOnce() -> Step);
}

/// Keeps nothing.
pub(super) struct Silent;

impl Recorder for Silent {
    const KEEPS: bool = false;

    fn step(&mut self, _: impl FnOnce() -> Step) {}
}

/// Keeps every step.
#[derive(Debug, Default)]
pub(super) struct Trace(pub(super) Vec<Step>);

impl Recorder for Trace {
    const KEEPS: bool = true;

    fn step(&mut self, step: impl FnOnce() -> Step) {
        self.0.push(step());
    }
}

/// The kind of an [`Amount`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// A pure number.
    Number,
    /// An angle.
    Angle,
    /// A force.
    Force,
    /// A length.
    Length,
    /// An area.
    Area,
    /// A section modulus.
    SectionModulus,
    /// A moment of force.
    Moment,
    /// A stress, or a line modulus.
    Stress,
    /// A force per length.
    LineLoad,
}

impl Dimension {
    /// Powers of force and of length.
    const fn powers(self) -> (i32, i32) {
        match self {
            Self::Number | Self::Angle => (0, 0),
            Self::Force => (1, 0),
            Self::Length => (0, 1),
            Self::Area => (0, 2),
            Self::SectionModulus => (0, 3),
            Self::Moment => (1, 1),
            Self::Stress => (1, -2),
            Self::LineLoad => (1, -1),
        }
    }

    /// The unit of hand calculations, made of one unit of force and one of length, so that no conversion is hidden in
    /// an equation: N and mm, or lbf and in.
    pub const fn unit(self, show: Show) -> &'static str {
        match (self, show) {
            (Self::Number, _) => "",
            (Self::Angle, _) => "°",
            (Self::Force, Show::Si) => "N",
            (Self::Length, Show::Si) => "mm",
            (Self::Area, Show::Si) => "mm²",
            (Self::SectionModulus, Show::Si) => "mm³",
            (Self::Moment, Show::Si) => "N·mm",
            (Self::Stress, Show::Si) => "MPa",
            (Self::LineLoad, Show::Si) => "N/mm",
            (Self::Force, Show::Us) => "lbf",
            (Self::Length, Show::Us) => "in",
            (Self::Area, Show::Us) => "in²",
            (Self::SectionModulus, Show::Us) => "in³",
            (Self::Moment, Show::Us) => "lbf·in",
            (Self::Stress, Show::Us) => "psi",
            (Self::LineLoad, Show::Us) => "lbf/in",
        }
    }

    /// One such unit in SI base units.
    fn size(self, show: Show) -> f64 {
        let (force, length) = match show {
            Show::Si => (1.0_f64, 1e-3_f64),
            Show::Us => (4.448_221_615_260_5, 0.0254),
        };
        let (of_force, of_length) = self.powers();
        match self {
            Self::Angle => std::f64::consts::PI / 180.0,
            _ => force.powi(of_force) * length.powi(of_length),
        }
    }
}

/// A number of a hand calculation, in SI base units, with its kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Amount {
    /// The value in SI base units (radians for an angle).
    pub si: f64,
    /// Its kind.
    pub dimension: Dimension,
}

/// Significant digits of a number that goes into an equation.
const DIGITS_IN: usize = 7;
/// Significant digits of a result: fewer, so that the rounding of what went in does not show.
const DIGITS_OUT: usize = 5;

impl Amount {
    /// The value in the unit of hand calculations.
    pub fn in_unit(self, show: Show) -> f64 {
        self.si / self.dimension.size(show)
    }

    /// The number as it goes into an equation, without its unit.
    pub fn figures(self, show: Show) -> String {
        figures(self.in_unit(show), DIGITS_IN)
    }

    /// As a number that goes into an equation.
    pub fn printed(self, show: Show) -> String {
        self.with_unit(self.figures(show), show)
    }

    /// As a result.
    pub fn result(self, show: Show) -> String {
        self.with_unit(figures(self.in_unit(show), DIGITS_OUT), show)
    }

    fn with_unit(self, figures: String, show: Show) -> String {
        match self.dimension.unit(show) {
            "" => figures,
            "°" => figures + "°",
            unit => format!("{figures} {unit}"),
        }
    }
}

/// A number with so many significant digits, without an exponent and without zeros at its end.
fn figures(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    // Powers of ten of anything a bar has are small.
    #[allow(clippy::cast_possible_truncation)]
    let power = value.abs().log10().floor() as i32;
    let wanted = i32::try_from(digits).unwrap_or(0) - 1 - power;
    let text = match usize::try_from(wanted) {
        Ok(places) => format!("{value:.places$}"),
        Err(_) => format!("{value:.0}"),
    };
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

macro_rules! amounts {
    ($($(#[$doc:meta])* $name:ident = $dimension:ident;)*) => {
        $($(#[$doc])* pub(super) fn $name(si: f64) -> Amount {
            Amount { si, dimension: Dimension::$dimension }
        })*
    };
}

amounts! {
    /// A pure number.
    number = Number;
    /// An angle, from radians.
    angle = Angle;
    /// A force, from newtons.
    newtons = Force;
    /// A length, from metres.
    metres = Length;
    /// An area, from square metres.
    square_metres = Area;
    /// A section modulus, from cubic metres.
    cubic_metres = SectionModulus;
    /// A moment, from newton metres.
    newton_metres = Moment;
    /// A stress, from pascals.
    pascals = Stress;
    /// A force per length, from newtons per metre.
    newtons_per_metre = LineLoad;
}

impl From<Measure> for Amount {
    fn from(measure: Measure) -> Self {
        let si = measure.si();
        match measure {
            Measure::Force(_) => newtons(si),
            Measure::Moment(_) => newton_metres(si),
            Measure::Stress(_) => pascals(si),
            Measure::Length(_) => metres(si),
            Measure::Number(_) | Measure::Speed(_) => number(si),
        }
    }
}

/// One step of a hand calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The symbol of its result.
    pub symbol: String,
    /// What it is, in words.
    pub title: String,
    /// The equation in symbols; none where the value comes from a solver or a table.
    pub equation: Option<String>,
    /// What goes in, by symbol.
    pub values: Vec<(String, Amount)>,
    /// How it was found where no equation gives it.
    pub method: Option<String>,
    /// The result.
    pub result: Amount,
    /// Where the equation or the value comes from.
    pub source: String,
    /// How well founded it is.
    pub standing: Standing,
    /// The units of the equation where it holds in no other.
    pub units: Option<Show>,
}

impl Step {
    /// A step that an equation gives.
    pub(super) fn equation(
        symbol: &str,
        title: &str,
        equation: impl Into<String>,
        values: &[(&str, Amount)],
        result: Amount,
    ) -> Self {
        let values = values
            .iter()
            .map(|(name, amount)| ((*name).to_owned(), *amount));
        Self {
            symbol: symbol.to_owned(),
            title: title.to_owned(),
            equation: Some(equation.into()),
            values: values.collect(),
            method: None,
            result,
            source: String::new(),
            standing: Standing::Published,
            units: None,
        }
    }

    /// A step whose value a method gives, from what goes in.
    pub(super) fn method(
        symbol: &str,
        title: &str,
        method: impl Into<String>,
        values: &[(&str, Amount)],
        result: Amount,
    ) -> Self {
        Self {
            equation: None,
            method: Some(method.into()),
            ..Self::equation(symbol, title, "", values, result)
        }
    }

    /// The same step with its source.
    pub(super) fn from(mut self, source: impl Into<String>, standing: Standing) -> Self {
        self.source = source.into();
        self.standing = standing;
        self
    }

    /// The same step in units that its source demands.
    pub(super) fn only_in(mut self, units: Show) -> Self {
        self.units = Some(units);
        self
    }

    /// The units in which it is shown where these are wanted.
    pub fn shown_in(&self, show: Show) -> Show {
        self.units.unwrap_or(show)
    }

    /// The equation with numbers and units for its symbols.
    pub fn substitution(&self, show: Show) -> Option<String> {
        let show = self.shown_in(show);
        self.substituted(|amount| amount.printed(show))
    }

    /// The equation with what `print` makes of the value of each symbol.
    pub fn substituted(&self, print: impl Fn(Amount) -> String) -> Option<String> {
        let equation = self.equation.as_deref()?;
        let mut out = String::new();
        let mut rest = equation;
        let mut before = ' ';
        while let Some(next) = rest.chars().next() {
            let found = if part_of_name(before) {
                None
            } else {
                self.longest_at(rest)
            };
            let taken = match found {
                Some((name, amount)) => {
                    let raised = rest[name..].starts_with(['²', '³', '⁴', '^']);
                    let text = print(amount);
                    // A power is of the number with its unit.
                    if raised {
                        out.extend(["(", &text, ")"]);
                    } else {
                        out.push_str(&text);
                    }
                    name
                }
                None => {
                    out.push(next);
                    next.len_utf8()
                }
            };
            before = rest[..taken].chars().next_back().unwrap_or(next);
            rest = &rest[taken..];
        }
        Some(out)
    }

    /// The longest symbol with which a text begins, by its length, and its value.
    fn longest_at(&self, text: &str) -> Option<(usize, Amount)> {
        let begins = |(name, amount): &(String, Amount)| {
            let after = text.strip_prefix(name.as_str())?;
            let ends = !after.chars().next().is_some_and(part_of_name);
            ends.then_some((name.len(), *amount))
        };
        self.values
            .iter()
            .filter_map(begins)
            .max_by_key(|(length, _)| *length)
    }
}

/// Whether a character may stand inside of a symbol.
fn part_of_name(c: char) -> bool {
    (c.is_alphanumeric() && !matches!(c, '²' | '³' | '⁴')) || matches!(c, '_' | '′' | '∥' | '⊥')
}

/// The load and the state of the bar in which a check was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Governing {
    /// The combination.
    pub combination: String,
    /// Down (N).
    pub down: f64,
    /// Sideways (N).
    pub side: f64,
    /// Out along the bar (N).
    pub out: f64,
    /// The duration factor (1).
    pub duration: f64,
    /// The bound of the foundation and the fit of the boss; none where they play no part.
    pub state: Option<(Bound, Fit)>,
}

/// A check with its calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// The check.
    pub check: CheckResult,
    /// Its load, where it hangs on one.
    pub governing: Option<Governing>,
    /// The steps.
    pub steps: Vec<Step>,
}

/// What several checks share: the wood, the sections.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// What it is about.
    pub title: String,
    /// The steps.
    pub steps: Vec<Step>,
}

/// Values along the anchor in one state: x from the wood surface inward; each with its part down and its part sideways.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagram {
    /// The check whose state it shows.
    pub limit_state: LimitState,
    /// Load and state.
    pub governing: Governing,
    /// Places (m); a place of a step occurs twice.
    pub x: Vec<f64>,
    /// Bearing pressure (Pa).
    pub pressure: Vec<[f64; 2]>,
    /// Shear (N).
    pub shear: Vec<[f64; 2]>,
    /// Moment (N·m).
    pub moment: Vec<[f64; 2]>,
}

/// The hand calculation of one anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// Its results.
    pub attachment: Attachment,
    /// What several checks share.
    pub shared: Vec<Shared>,
    /// Every check, in the order of [`LimitState::ALL`].
    pub checks: Vec<Explained>,
    /// Pressure, shear and moment along the anchor where a load governs.
    pub diagram: Option<Diagram>,
    /// What every reader must be told.
    pub cautions: Vec<String>,
}

impl Explanation {
    /// The worst verdict of its checks.
    pub fn verdict(&self) -> Verdict {
        self.attachment.verdict()
    }
}
