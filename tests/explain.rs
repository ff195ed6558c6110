//! The hand calculation: a reader with a pocket calculator gets the same digits.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::Layout;
use barkline::checks::trace::{Dimension, Explanation, Step};
use barkline::checks::{CheckError, Fit};
use barkline::model::{Bound, Case, Criteria, DurationRule, LimitState, Platform, Stem};
use barkline::report::{ExplainDocument, Provenance, explain_json, explain_markdown, step_lines};
use barkline::units::{Show, si};
use common::{Bar, REFERENCE, anchor, one, plain_criteria, stem, wood};
use std::iter::Peekable;
use std::str::Chars;

/// Rounding of the same equation worked out in another order.
const ROUNDING: f64 = 1e-9;
/// Numbers that go in have seven digits, results five: the last digit of a result is met.
const PRINTED: f64 = 1.0;

/// Units in which hand calculations are made, longer ones before those that begin them.
const UNITS: [&str; 16] = [
    "N·mm", "lbf·in", "N/mm", "lbf/in", "MPa", "psi", "mm²", "mm³", "in²", "in³", "lbf", "mm",
    "in", "kN", "N", "°",
];

/// A pocket calculator: a sum of products of powers, with units that are read and left out.
struct Calculator<'a> {
    text: Peekable<Chars<'a>>,
}

impl<'a> Calculator<'a> {
    fn evaluate(text: &'a str) -> f64 {
        let mut calculator = Self {
            text: text.chars().peekable(),
        };
        let value = calculator.sum();
        let rest: String = calculator.text.collect();
        assert!(rest.trim().is_empty(), "{rest:?} is left of {text:?}");
        value
    }

    fn blank(&mut self) {
        while self.text.next_if(|c| *c == ' ').is_some() {}
    }

    fn takes(&mut self, wanted: char) -> bool {
        self.blank();
        self.text.next_if_eq(&wanted).is_some()
    }

    fn sum(&mut self) -> f64 {
        let mut value = self.product();
        loop {
            if self.takes('+') {
                value += self.product();
            } else if self.takes('−') {
                value -= self.product();
            } else {
                return value;
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut value = self.power();
        loop {
            if self.takes('·') {
                value *= self.power();
            } else if self.takes('/') {
                value /= self.power();
            } else {
                return value;
            }
        }
    }

    fn power(&mut self) -> f64 {
        let base = self.one();
        self.raised(base)
    }

    fn raised(&mut self, base: f64) -> f64 {
        if self.text.next_if_eq(&'²').is_some() {
            base * base
        } else if self.text.next_if_eq(&'³').is_some() {
            base.powi(3)
        } else if self.text.next_if_eq(&'^').is_some() {
            base.powf(self.one())
        } else {
            base
        }
    }

    fn group(&mut self) -> f64 {
        assert!(self.takes('('));
        let value = self.sum();
        assert!(self.takes(')'));
        value
    }

    fn two(&mut self) -> [f64; 2] {
        assert!(self.takes('('));
        let one = self.sum();
        assert!(self.takes(','));
        let other = self.sum();
        assert!(self.takes(')'));
        [one, other]
    }

    fn one(&mut self) -> f64 {
        self.blank();
        match self.text.peek().copied() {
            Some('(') => self.group(),
            Some('√') => {
                self.text.next();
                self.group().sqrt()
            }
            Some('π') => {
                self.text.next();
                std::f64::consts::PI
            }
            Some(c) if c.is_ascii_digit() || c == '-' => self.number(),
            Some(c) if c.is_alphabetic() => self.function(),
            other => panic!("{other:?} is no number"),
        }
    }

    fn function(&mut self) -> f64 {
        let mut name = String::new();
        while let Some(c) = self.text.next_if(|c| c.is_alphabetic()) {
            name.push(c);
        }
        let square = self.text.next_if_eq(&'²').is_some();
        let value = match name.as_str() {
            "min" => self.two().into_iter().fold(f64::INFINITY, f64::min),
            "max" => self.two().into_iter().fold(f64::NEG_INFINITY, f64::max),
            "sin" => self.group().sin(),
            "cos" => self.group().cos(),
            other => panic!("{other} is no function"),
        };
        if square { value * value } else { value }
    }

    fn number(&mut self) -> f64 {
        let mut digits = String::new();
        while let Some(c) = self
            .text
            .next_if(|c| c.is_ascii_digit() || matches!(c, '.' | '-'))
        {
            digits.push(c);
        }
        let value: f64 = digits.parse().unwrap();
        let rest: String = self.text.clone().collect();
        let after = rest.strip_prefix(' ').unwrap_or(&rest);
        let unit = UNITS.into_iter().find(|unit| {
            let ends = |text: &str| !text.chars().next().is_some_and(char::is_alphabetic);
            after.strip_prefix(unit).is_some_and(ends)
        });
        let Some(unit) = unit else { return value };
        let taken = rest.chars().count() - after.chars().count() + unit.chars().count();
        for _ in 0..taken {
            self.text.next();
        }
        if unit == "°" {
            value.to_radians()
        } else {
            value
        }
    }
}

#[test]
fn the_calculator_calculates() {
    let near = |text: &str, value: f64| {
        assert!((Calculator::evaluate(text) - value).abs() < 1e-12, "{text}")
    };
    near("1 + 2·3 − 4/8", 6.5);
    near("√((3 N)² + (4 N)²)/(10 N·2)", 0.25);
    near("min(2, 3·0.5)", 1.5);
    near("max(1 mm, max(2, -3))", 2.0);
    near("2 mm²·3", 6.0);
    near("sin²(30°) + cos²(30°)", 1.0);
    near("8^0.5·2^1.5", 8.0);
    near("π·2³/32", std::f64::consts::PI / 4.0);
    near("12 N/4 N", 3.0);
}

/// Every step of an explanation.
fn steps(explanation: &Explanation) -> impl Iterator<Item = &Step> {
    let shared = explanation.shared.iter().flat_map(|shared| &shared.steps);
    let own = explanation.checks.iter().flat_map(|check| &check.steps);
    shared.chain(own)
}

/// The numbers of each step give its result: exactly by those that the check used, to the last digit by those printed.
fn agrees(explanation: &Explanation) -> usize {
    let mut counted = 0;
    for step in steps(explanation) {
        assert!(!step.source.is_empty(), "{} has no source", step.title);
        let units = step.shown_in(Show::Si);
        let exact = step.substituted(|amount| {
            let degrees = if amount.dimension == Dimension::Angle {
                "°"
            } else {
                ""
            };
            format!("{:.17}{degrees}", amount.in_unit(units))
        });
        let Some(exact) = exact else { continue };
        let (value, wanted) = (Calculator::evaluate(&exact), step.result.in_unit(units));
        let size = wanted.abs().max(1e-12);
        assert!(
            (value - wanted).abs() <= ROUNDING * size,
            "{}: {value} is not {wanted}",
            step.title
        );
        for show in [Show::Si, Show::Us] {
            printed_agrees(step, show);
        }
        counted += 1;
    }
    counted
}

fn printed_agrees(step: &Step, show: Show) {
    let lines = step_lines(step, show);
    let value = Calculator::evaluate(lines[1].strip_prefix("= ").unwrap());
    let printed = lines[2].strip_prefix("= ").unwrap();
    let figures: String = printed
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-'))
        .collect();
    let wanted: f64 = figures.parse().unwrap();
    let places = figures.split_once('.').map_or(0, |(_, after)| after.len());
    let digits = figures.chars().filter(char::is_ascii_digit).count();
    // A whole number of more than five digits is printed to the unit; zeros at the end are not printed.
    let last = 10f64.powi(-i32::try_from(places).unwrap());
    let fifth = 10f64.powf(wanted.abs().max(1e-12).log10().floor() - 4.0);
    let last = if digits < 5 {
        last.min(fifth)
    } else {
        last.max(fifth)
    };
    assert!(
        (value - wanted).abs() <= PRINTED * last.max(1e-9),
        "{}: {} is {value}, not {printed}",
        step.title,
        lines[1]
    );
}

fn layout(extra: &str) -> Platform {
    let text = format!(
        r#"
[[tree]]
id = "t"
species = "white oak"
at = ["0 ft", "0 ft"]
diameter = "26 in"
bark = "0.8 in"
{extra}
[[anchor]]
id = "a"
tree = "t"
faces = "S"
size = "64x114/34"
arm = "3 in"
[[load]]
id = "p"
on = "a"
dead = "400 lbf"
live = "700 lbf"
"#
    );
    let layout = Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

#[test]
fn printed_substitutions_give_the_printed_results() {
    let explanation = layout("").explain("a").unwrap();
    assert!(agrees(&explanation) > 40);
    let leaning = layout("lean = \"14 deg\"\nleans = \"S\"")
        .explain("a")
        .unwrap();
    assert!(agrees(&leaning) > 40);
}

/// Bars that give way in every kind of way, in two woods, under short and lasting loads.
#[test]
fn they_do_so_for_bars_of_many_shapes() {
    let mut criteria = plain_criteria();
    assert!(criteria.change("notional_side", 0.1) && criteria.change("boss_clearance", 3e-4));
    let bars = [
        REFERENCE,
        Bar {
            embedded: 120.0,
            ..REFERENCE
        },
        Bar {
            shank_length: 40.0,
            ..REFERENCE
        },
        Bar {
            shank_length: 400.0,
            embedded: 20.0,
            arm: 10.0,
            ..REFERENCE
        },
        Bar {
            boss: 40.0,
            shank: 38.0,
            root: 36.0,
            embedded: 155.0,
            ..REFERENCE
        },
        Bar {
            arm: 400.0,
            ..REFERENCE
        },
        Bar {
            boss: 110.0,
            embedded: 150.0,
            shank: 20.0,
            root: 18.0,
            shank_length: 300.0,
            ..REFERENCE
        },
    ];
    let mut mechanisms = Vec::new();
    for bar in &bars {
        for name in ["white oak", "western redcedar"] {
            let loads = [
                (Case::Dead, 1.1e3),
                (Case::Live, 1.7e3),
                (Case::Wind, 300.0),
            ];
            let criteria = Criteria {
                duration: DurationRule::Nds,
                ..criteria.clone()
            };
            let tilted = Stem {
                lean: si::degrees(9.0),
                leans: si::degrees(40.0),
                ..stem(wood(name))
            };
            let explanation = one(anchor(bar), tilted, &loads, criteria)
                .explain("a")
                .unwrap();
            agrees(&explanation);
            let limit = explanation
                .checks
                .iter()
                .find(|check| check.check.limit_state == LimitState::LimitLoad);
            for step in &limit.unwrap().steps {
                mechanisms.extend(step.method.clone());
            }
        }
    }
    mechanisms.sort();
    mechanisms.dedup();
    assert!(mechanisms.len() >= 4, "{mechanisms:?}");
}

/// The last step of a check is its utilization, and the balance of moments of a mechanism is its limit load.
#[test]
fn the_steps_end_in_the_result() {
    let explanation = layout("").explain("a").unwrap();
    let results = layout("").check().unwrap();
    let attachment = &results.attachments()[0];
    assert_eq!(&explanation.attachment, attachment);
    for explained in &explanation.checks {
        let check = attachment.check(explained.check.limit_state).unwrap();
        assert_eq!(&explained.check, check);
        let Some(used) = check.utilization else {
            continue;
        };
        let last = explained.steps.last().unwrap();
        assert_eq!(last.symbol, "U");
        assert!(
            (last.result.si - used).abs() <= ROUNDING * used,
            "{}",
            check.limit_state.words()
        );
        assert_eq!(explained.governing.is_some(), check.combination.is_some());
    }
    let limit = explanation
        .checks
        .iter()
        .find(|explained| explained.check.limit_state == LimitState::LimitLoad)
        .unwrap();
    for symbol in ["P_V", "P_H"] {
        let found: Vec<f64> = limit
            .steps
            .iter()
            .filter(|step| step.symbol == symbol)
            .map(|step| step.result.si)
            .collect();
        assert_eq!(found.len(), 2);
        assert!(
            (found[0] - found[1]).abs() <= ROUNDING * found[0],
            "{found:?}"
        );
    }
}

#[test]
fn the_diagrams_are_in_balance() {
    let explanation = layout("").explain("a").unwrap();
    let diagram = explanation.diagram.as_ref().unwrap();
    let (bound, fit) = diagram.governing.state.unwrap();
    assert!(matches!(bound, Bound::Soft | Bound::Stiff) && matches!(fit, Fit::Snug | Fit::Loose));
    let force = diagram.governing.down;
    assert!((diagram.shear[0][0] - force).abs() < 1e-6 * force);
    assert!(diagram.moment[0][0].abs() < 1e-6 * force);
    let last = diagram.x.len() - 1;
    assert!(diagram.shear[last][0].abs() < 1e-6 * force);
    assert!(diagram.moment[last][0].abs() < 1e-6 * force);
    let at_surface = diagram.x.iter().position(|x| x.abs() < 1e-12).unwrap();
    assert!((diagram.moment[at_surface][0] - force * 0.0762).abs() < 1e-6 * force);
}

#[test]
fn an_anchor_that_is_not_there_is_named() {
    assert_eq!(
        layout("").explain("b"),
        Err(CheckError::NoAnchor("b".into()))
    );
}

#[test]
fn markdown_and_json_hold_every_step() {
    let explanation = layout("").explain("a").unwrap();
    let provenance = Provenance::of(b"text");
    let markdown = explain_markdown(&explanation, &provenance, Show::Us);
    let json = explain_json(&ExplainDocument::new(&explanation, provenance)).unwrap();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    for step in steps(&explanation) {
        for line in step_lines(step, Show::Us) {
            assert!(markdown.contains(&line), "{line}");
        }
    }
    let parts = json["checks"].as_array().unwrap();
    assert_eq!(parts.len(), LimitState::ALL.len());
    for (part, explained) in parts.iter().zip(&explanation.checks) {
        assert_eq!(part["check"], explained.check.limit_state.id());
        assert_eq!(
            part["steps"].as_array().unwrap().len(),
            explained.steps.len()
        );
    }
    assert_eq!(
        json["diagram"]["x_m"].as_array().unwrap().len(),
        explanation.diagram.unwrap().x.len()
    );
}
