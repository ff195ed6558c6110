//! Quantities as people read them: one fixed unit per kind and system, three to four figures, no exponents.

use super::kind::{Kind, Of, Unit};
use super::{Length, us};
use serde::{Deserialize, Serialize};

/// The system of units in which results are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Show {
    /// US customary units.
    #[default]
    Us,
    /// The International System.
    Si,
}

/// A quantity with its unit, such as `2770 lbf` or `12.3 kN`.
///
/// ```rust
/// use barkline::units::{Show, kind, print, us};
/// assert_eq!(print::<kind::Force>(us::pounds_force(2769.8), Show::Us), "2770 lbf");
/// assert_eq!(print::<kind::Force>(us::pounds_force(2769.8), Show::Si), "12.32 kN");
/// ```
pub fn print<K: Kind>(quantity: Of<K>, show: Show) -> String {
    let (number, unit) = (number::<K>(quantity, show), unit::<K>(show));
    match unit {
        "deg" => format!("{number}°"),
        unit => format!("{number} {unit}"),
    }
}

/// The number alone of a printed quantity, for a table whose head carries the unit.
pub fn number<K: Kind>(quantity: Of<K>, show: Show) -> String {
    engineering(quantity.value / shown::<K>(show).si())
}

/// The unit in which a kind is printed.
pub fn unit<K: Kind>(show: Show) -> &'static str {
    shown::<K>(show).name
}

fn shown<K: Kind>(show: Show) -> &'static Unit {
    match show {
        Show::Us => &K::ABOUT.us,
        Show::Si => &K::ABOUT.si,
    }
}

/// A number to three figures, to four where the first is a one; whole numbers in full, no idle zeros, no negative zero.
///
/// Sizes from 0.0001 to a thousand million are printed without an exponent.
///
/// ```rust
/// use barkline::units::engineering;
/// assert_eq!(engineering(0.81234), "0.812");
/// assert_eq!(engineering(1.23456), "1.235");
/// assert_eq!(engineering(40.0), "40");
/// assert_eq!(engineering(123_456.7), "123457");
/// ```
pub fn engineering(number: f64) -> String {
    if !number.is_finite() {
        return "not finite".to_owned();
    }
    let size = number.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        return format!("{number:.3e}");
    }
    let lead = format!("{size:e}");
    let figures: i32 = if lead.starts_with('1') { 4 } else { 3 };
    let exponent: i32 = lead
        .split_once('e')
        .and_then(|(_, e)| e.parse().ok())
        .unwrap_or(0);
    let places = usize::try_from(figures - 1 - exponent).unwrap_or(0);
    let text = format!("{number:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// A length to the nearest sixteenth of an inch, as on a tape: `3-1/2 in`.
///
/// ```rust
/// use barkline::units::{sixteenths, us};
/// assert_eq!(sixteenths(us::inches(3.52)), "3-1/2 in");
/// assert_eq!(sixteenths(us::inches(-0.0625)), "-1/16 in");
/// ```
pub fn sixteenths(length: Length) -> String {
    match split(length) {
        Some((sign, inches, part)) => format!("{sign}{} in", mixed(inches, part)),
        None => print::<super::kind::Length>(length, Show::Us),
    }
}

/// A length in feet, inches and sixteenths: `6 ft 4-1/2 in`.
///
/// ```rust
/// use barkline::units::{feet_and_sixteenths, us};
/// assert_eq!(feet_and_sixteenths(us::inches(76.5)), "6 ft 4-1/2 in");
/// assert_eq!(feet_and_sixteenths(us::feet(6.0)), "6 ft");
/// ```
pub fn feet_and_sixteenths(length: Length) -> String {
    match split(length) {
        Some((sign, inches, part)) if inches >= 12 => {
            let rest = match (inches % 12, part) {
                (0, 0) => String::new(),
                (0, part) => format!(" 0-{} in", mixed(0, part)),
                (inches, part) => format!(" {} in", mixed(inches, part)),
            };
            format!("{sign}{} ft{rest}", inches / 12)
        }
        _ => sixteenths(length),
    }
}

/// Sign, whole inches and sixteenths; none beyond what a number of sixteenths can count.
fn split(length: Length) -> Option<(&'static str, u64, u64)> {
    let count = (length.value / us::INCH * 16.0).round();
    if !(-1e15..1e15).contains(&count) {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, not negative and below 1e15"
    )]
    let whole = count.abs() as u64;
    Some((if count < 0.0 { "-" } else { "" }, whole / 16, whole % 16))
}

fn mixed(inches: u64, part: u64) -> String {
    let common = 1 << part.trailing_zeros().min(4);
    let fraction = format!("{}/{}", part / common, 16 / common);
    match (inches, part) {
        (inches, 0) => inches.to_string(),
        (0, _) => fraction,
        (inches, _) => format!("{inches}-{fraction}"),
    }
}
