//! Quantities from the words in which people write them: `3-1/2 in`, `6' 4"`, `40 psf`, `1.6e6 psi`, `12 kN·m`.
//!
//! A number without a unit is refused, so is a unit of another kind, and so is whatever is not finite.
//! `number unit` has the very bits of the constructor of that unit in [`us`](super::us) or [`si`](super::si).

use super::kind::{self, About, Kind, Of, Unit};
use super::nearest;
use std::marker::PhantomData;
use std::ops::Range;

/// Why a text is not a quantity of the kind that is due. Displayed with the way to mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{problem}; {}", self.mend())]
pub struct QuantityError {
    problem: Problem,
    range: Range<usize>,
    due: &'static About,
}

impl QuantityError {
    /// What is wrong.
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The bytes of the text that are wrong; empty at the end where something is missing.
    pub fn range(&self) -> Range<usize> {
        self.range.clone()
    }

    /// How to mend it.
    pub fn mend(&self) -> String {
        let (name, units) = (self.due.name, self.due.accepted());
        match &self.problem {
            Problem::UnknownUnit {
                nearest: Some(unit),
                ..
            } => format!("did you mean {unit}? {name} is due: {units}"),
            Problem::NoUnit { .. } => format!("write the unit of {name}: {units}"),
            Problem::Comma => {
                "write a decimal point, as in 1.5, and no mark between thousands".to_owned()
            }
            Problem::Digits => "write the digits of a number together, as in 12000".to_owned(),
            Problem::Fraction => "write fractions as 3-1/2, 3 1/2 or 1/2".to_owned(),
            Problem::FeetAndInches => {
                "write whole feet and less than 12 inches, as in 6 ft 4-1/2 in".to_owned()
            }
            _ => format!("{name} is due: {units}"),
        }
    }
}

/// What may be wrong with the text of a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// Nothing is written.
    #[error("nothing is written here")]
    Empty,
    /// It does not begin with a number.
    #[error("`{text}` does not begin with a number")]
    NoNumber {
        /// What is written.
        text: String,
    },
    /// NaN or infinity.
    #[error("`{text}` is not a finite number")]
    NotFinite {
        /// What is written.
        text: String,
    },
    /// A size that no number of the machine can hold.
    #[error("`{text}` is too large or too small a number")]
    Magnitude {
        /// What is written.
        text: String,
    },
    /// A bare number.
    #[error("`{number}` has no unit")]
    NoUnit {
        /// The number.
        number: String,
    },
    /// A unit of another kind of quantity.
    #[error("`{unit}` is the unit of {is}")]
    WrongKind {
        /// The unit.
        unit: String,
        /// What it is a unit of.
        is: String,
    },
    /// A unit that is not known.
    #[error("the unit `{unit}` is not known")]
    UnknownUnit {
        /// What is written.
        unit: String,
        /// The unit that was probably meant.
        nearest: Option<&'static str>,
    },
    /// A comma within the number.
    #[error("a comma stands in the number")]
    Comma,
    /// Spaces or underscores within the number.
    #[error("the number is written in pieces")]
    Digits,
    /// A fraction that is not one.
    #[error("the fraction cannot be read")]
    Fraction,
    /// Feet and inches that do not belong together.
    #[error("the feet and inches cannot be read")]
    FeetAndInches,
}

/// Reads a quantity of the kind `K`.
///
/// # Errors
/// [`QuantityError`] when the text is not a finite quantity of that kind with its unit.
///
/// # Example
/// ```rust
/// use barkline::units::{kind, parse, us};
/// assert_eq!(parse::<kind::AreaLoad>("40 psf")?, us::psf(40.0));
/// let slip = parse::<kind::AreaLoad>("40 psi").unwrap_err();
/// assert!(slip.to_string().starts_with("`psi` is the unit of a stress"));
/// # Ok::<(), barkline::units::QuantityError>(())
/// ```
pub fn parse<K: Kind>(text: &str) -> Result<Of<K>, QuantityError> {
    let value = si_value(text, K::ABOUT)?;
    Ok(Of::<K> {
        dimension: PhantomData,
        units: PhantomData,
        value,
    })
}

macro_rules! parsers {
    ($($name:ident: $kind:ident, $article:literal, $text:literal;)*) => {$(
        #[doc = concat!("Reads ", $article, ", such as `", $text, "`.")]
        ///
        /// # Errors
        /// [`QuantityError`] when the text is not a finite quantity of that kind with its unit.
        ///
        /// # Example
        /// ```rust
        #[doc = concat!("assert!(barkline::units::", stringify!($name), "(", stringify!($text), ")?.value > 0.0);")]
        /// # Ok::<(), barkline::units::QuantityError>(())
        /// ```
        pub fn $name(text: &str) -> Result<super::$kind, QuantityError> {
            parse::<kind::$kind>(text)
        }
    )*};
}

parsers! {
    length: Length, "a length", "6 ft 4-1/2 in";
    area: Area, "an area", "12 in2";
    section_modulus: SectionModulus, "a section modulus", "31.6 in3";
    second_moment: SecondMoment, "a second moment of area", "178 in4";
    force: Force, "a force", "300 lbf";
    moment: Moment, "a moment", "1.2 kN*m";
    stress: Stress, "a stress", "36 ksi";
    modulus: Modulus, "a modulus of elasticity", "1.6e6 psi";
    foundation_modulus: FoundationModulus, "a foundation modulus", "450 N/mm2";
    area_load: AreaLoad, "a load per area", "40 psf";
    line_load: LineLoad, "a load per length", "120 plf";
    stiffness: Stiffness, "a stiffness", "5 kN/mm";
    unit_weight: UnitWeight, "a weight per volume", "45 pcf";
    mass: Mass, "a mass", "250 lb";
    density: Density, "a density", "700 kg/m3";
    flexural_stiffness: FlexuralStiffness, "a flexural stiffness", "20 kN*m2";
    speed: Speed, "a speed", "105 mph";
    angle: Angle, "an angle", "35 deg";
    ratio: Ratio, "a ratio", "5 %";
}

/// Whether a text is a number and nothing else, so that a unit is all it lacks.
pub(crate) fn is_bare(text: &str) -> bool {
    // Every kind says the same of a number without a unit.
    si_value(text, kind::Ratio::ABOUT)
        .is_err_and(|error| matches!(error.problem, Problem::NoUnit { .. }))
}

/// The value in SI base units.
fn si_value(text: &str, due: &'static About) -> Result<f64, QuantityError> {
    let mut scan = Scan { text, at: 0, due };
    scan.spaces();
    if scan.rest().is_empty() {
        return Err(scan.fail(Problem::Empty, 0..text.len()));
    }
    let start = scan.at;
    let sign = if scan.eat(&['-', '−']) { -1.0 } else { 1.0 };
    if sign > 0.0 {
        scan.eat(&['+']);
    }
    let number = scan.number()?;
    let value = match scan.feet_and_inches(&number)? {
        Some(inches) => inches * super::us::INCH,
        None => number.times(scan.unit(start)?),
    };
    let vanished = value == 0.0 && number.value > 0.0;
    if !value.is_finite() || vanished {
        return Err(scan.fail(
            Problem::Magnitude {
                text: text.trim().to_owned(),
            },
            start..text.trim_end().len(),
        ));
    }
    Ok(sign * value)
}

/// A number without its sign, not yet bound to a unit.
struct Number<'a> {
    value: f64,
    /// The decimal as it is written; none for a fraction.
    decimal: Option<&'a str>,
    whole: bool,
}

impl Number<'_> {
    fn times(&self, unit: &Unit) -> f64 {
        if unit.tens == 0 {
            return self.value * unit.factor;
        }
        let Some(decimal) = self.decimal else {
            return self.value * unit.si();
        };
        let (digits, exponent) = decimal.split_once(['e', 'E']).unwrap_or((decimal, "0"));
        let Ok(exponent) = exponent.parse::<i32>() else {
            return self.value * unit.si();
        };
        let shifted = format!("{digits}e{}", exponent.saturating_add(unit.tens));
        shifted
            .parse()
            .map_or(f64::NAN, |value: f64| value * unit.factor)
    }
}

/// A place in the text that moves to its end.
struct Scan<'a> {
    text: &'a str,
    at: usize,
    due: &'static About,
}

impl<'a> Scan<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn take_while(&mut self, accept: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c| !accept(c)).unwrap_or(rest.len());
        self.at += end;
        rest.get(..end).unwrap_or("")
    }

    fn digits(&mut self) -> &'a str {
        self.take_while(|c| c.is_ascii_digit())
    }

    fn spaces(&mut self) -> bool {
        !self.take_while(char::is_whitespace).is_empty()
    }

    fn eat(&mut self, any: &[char]) -> bool {
        let found = self.peek().filter(|c| any.contains(c));
        self.at += found.map_or(0, char::len_utf8);
        found.is_some()
    }

    fn fail(&self, problem: Problem, range: Range<usize>) -> QuantityError {
        QuantityError {
            problem,
            range,
            due: self.due,
        }
    }

    /// A decimal, a fraction, or a whole number and a fraction.
    fn number(&mut self) -> Result<Number<'a>, QuantityError> {
        if let Some(value) = self.vulgar() {
            return Ok(Number {
                value,
                decimal: None,
                whole: false,
            });
        }
        let start = self.at;
        let (value, whole) = self.decimal()?;
        let decimal = self.text.get(start..self.at);
        if whole && self.eat(&['/', '⁄']) {
            let value = self.over(value, start)?;
            return Ok(Number {
                value,
                decimal: None,
                whole: false,
            });
        }
        match self.trailing_fraction(start)? {
            Some(fraction) if whole => Ok(Number {
                value: value + fraction,
                decimal: None,
                whole: false,
            }),
            Some(_) => Err(self.fail(Problem::Fraction, start..self.at)),
            None => Ok(Number {
                value,
                decimal,
                whole,
            }),
        }
    }

    /// Digits, a point, an exponent; and whether it is digits alone.
    fn decimal(&mut self) -> Result<(f64, bool), QuantityError> {
        let start = self.at;
        let before = self.digits().len();
        let point = self.eat(&['.']);
        let after = if point { self.digits().len() } else { 0 };
        if before + after == 0 {
            self.at = start;
            return Err(self.no_number());
        }
        let exponent = self.exponent();
        if self.peek() == Some(',') {
            return Err(self.fail(Problem::Comma, self.at..self.at + 1));
        }
        if self.peek() == Some('_') {
            return Err(self.fail(Problem::Digits, self.at..self.at + 1));
        }
        let text = self.text.get(start..self.at).unwrap_or("");
        let digits = text.split(['e', 'E']).next().unwrap_or("");
        let nothing = !digits.contains(|c| ('1'..='9').contains(&c));
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() && (value > 0.0 || nothing) => {
                Ok((value, !point && !exponent))
            }
            _ => Err(self.fail(
                Problem::Magnitude {
                    text: text.to_owned(),
                },
                start..self.at,
            )),
        }
    }

    fn exponent(&mut self) -> bool {
        let mut ahead = Scan {
            text: self.text,
            at: self.at,
            due: self.due,
        };
        let found = ahead.eat(&['e', 'E']) && {
            ahead.eat(&['+', '-']);
            !ahead.digits().is_empty()
        };
        if found {
            self.at = ahead.at;
        }
        found
    }

    fn no_number(&self) -> QuantityError {
        let text = self.text.trim().to_owned();
        let word = self.rest().to_lowercase();
        let problem = if ["nan", "inf", "∞"].iter().any(|bad| word.starts_with(bad)) {
            Problem::NotFinite { text }
        } else {
            Problem::NoNumber { text }
        };
        self.fail(problem, self.at..self.text.len())
    }

    /// `-1/2`, ` 1/2`, `½`, ` ½` or `-½` behind a number.
    fn trailing_fraction(&mut self, start: usize) -> Result<Option<f64>, QuantityError> {
        let mut ahead = Scan {
            text: self.text,
            at: self.at,
            due: self.due,
        };
        let hyphen = ahead.eat(&['-', '‑', '–']);
        let spaces = !hyphen && ahead.spaces();
        if let Some(value) = ahead.vulgar() {
            self.at = ahead.at;
            return Ok(Some(value));
        }
        let from = ahead.at;
        let numerator = if hyphen || spaces { ahead.digits() } else { "" };
        if numerator.is_empty() {
            return Ok(None);
        }
        if !ahead.eat(&['/', '⁄']) {
            let problem = if spaces {
                Problem::Digits
            } else {
                Problem::Fraction
            };
            return Err(self.fail(problem, start..ahead.at));
        }
        let value = ahead.over(numerator.parse().unwrap_or(f64::NAN), start)?;
        if value >= 1.0 {
            return Err(self.fail(Problem::Fraction, from..ahead.at));
        }
        self.at = ahead.at;
        Ok(Some(value))
    }

    /// The fraction whose denominator comes next.
    fn over(&mut self, numerator: f64, start: usize) -> Result<f64, QuantityError> {
        let denominator: f64 = self.digits().parse().unwrap_or(f64::NAN);
        let value = numerator / denominator;
        if value.is_finite() {
            Ok(value)
        } else {
            Err(self.fail(Problem::Fraction, start..self.at))
        }
    }

    fn vulgar(&mut self) -> Option<f64> {
        const FRACTIONS: &[(char, f64, f64)] = &[
            ('½', 1.0, 2.0),
            ('⅓', 1.0, 3.0),
            ('⅔', 2.0, 3.0),
            ('¼', 1.0, 4.0),
            ('¾', 3.0, 4.0),
            ('⅛', 1.0, 8.0),
            ('⅜', 3.0, 8.0),
            ('⅝', 5.0, 8.0),
            ('⅞', 7.0, 8.0),
        ];
        let next = self.peek()?;
        let &(_, numerator, denominator) = FRACTIONS.iter().find(|&&(c, ..)| c == next)?;
        self.at += next.len_utf8();
        Some(numerator / denominator)
    }

    /// All inches of `6 ft 4-1/2 in`, when feet are followed by more.
    fn feet_and_inches(&mut self, feet: &Number<'_>) -> Result<Option<f64>, QuantityError> {
        if self.due != kind::Length::ABOUT {
            return Ok(None);
        }
        let mut ahead = Scan {
            text: self.text,
            at: self.at,
            due: self.due,
        };
        ahead.spaces();
        let start = ahead.at;
        if ahead.short_unit() != Some("ft") {
            return Ok(None);
        }
        ahead.spaces();
        ahead.eat(&['-', '‑', '–']);
        ahead.spaces();
        if ahead.rest().is_empty()
            || !ahead
                .peek()
                .is_some_and(|c| c.is_ascii_digit() || "½⅓⅔¼¾⅛⅜⅝⅞.".contains(c))
        {
            return Ok(None);
        }
        let from = ahead.at;
        let inches = ahead.number()?;
        ahead.spaces();
        let after = ahead.at;
        if ahead.rest().is_empty() {
            let number = self.text.get(from..after).unwrap_or("").trim().to_owned();
            return Err(self.fail(Problem::NoUnit { number }, after..after));
        }
        let ends = ahead.short_unit() == Some("in") && ahead.rest().trim().is_empty();
        if !ends || !feet.whole || inches.value >= 12.0 {
            return Err(self.fail(Problem::FeetAndInches, start..self.text.trim_end().len()));
        }
        self.at = self.text.len();
        Ok(Some(feet.value * 12.0 + inches.value))
    }

    /// The foot or inch that stands here, letters or marks, with or without a point behind.
    fn short_unit(&mut self) -> Option<&'static str> {
        let word = match self.take_while(char::is_alphabetic) {
            "" => self.take_while(|c| "'′’\"″”".contains(c)),
            word => word,
        };
        let unit = self.due.unit(word)?;
        self.eat(&['.']);
        Some(unit.name)
    }

    /// The unit that is the rest of the text.
    fn unit(&self, start: usize) -> Result<&'static Unit, QuantityError> {
        let rest = self.rest();
        let written = rest.trim();
        let from = self.at + (rest.len() - rest.trim_start().len());
        if written.is_empty() {
            let number = self.text.get(start..self.at).unwrap_or("").to_owned();
            return Err(self.fail(Problem::NoUnit { number }, self.at..self.at));
        }
        let known = |due: &About| {
            due.unit(written).or_else(|| {
                due.unit(written.strip_suffix('.')?)
                    .filter(|unit| unit.any_case)
            })
        };
        if let Some(unit) = known(self.due) {
            return Ok(unit);
        }
        let others: Vec<&str> = kind::ALL
            .iter()
            .filter(|other| known(other).is_some())
            .map(|other| other.name)
            .take(2)
            .collect();
        let unit = written.to_owned();
        let problem = if others.is_empty() {
            let names = self.due.units.iter().map(|unit| unit.name);
            Problem::UnknownUnit {
                nearest: nearest(&unit, names),
                unit,
            }
        } else {
            Problem::WrongKind {
                unit,
                is: others.join(" or "),
            }
        };
        Err(self.fail(problem, from..from + written.len()))
    }
}
