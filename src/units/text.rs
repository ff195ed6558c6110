//! Quantities in files: a string that reads back to the very same bits.

use super::kind::{Kind, Of, Unit};
use super::{QuantityError, parse};
use serde::de::{Error, Unexpected, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::marker::PhantomData;
use uom::si::{Dimension, Quantity, SI};

/// A quantity of the kind `K` that is a string in files, such as `"89 mm"`.
///
/// ```rust
/// use barkline::units::{Written, kind, us};
/// let arm: Written<kind::Length> = "3-1/2 in".parse()?;
/// assert_eq!(*arm, us::inches(3.5));
/// assert_eq!(arm.to_string(), "3.5 in");
/// # Ok::<(), barkline::units::QuantityError>(())
/// ```
pub struct Written<K: Kind>(pub Of<K>);

impl<K: Kind> Clone for Written<K> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<K: Kind> Copy for Written<K> {}

impl<K: Kind> PartialEq for Written<K> {
    fn eq(&self, other: &Self) -> bool {
        self.0.value == other.0.value
    }
}

impl<K: Kind> fmt::Debug for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl<K: Kind> fmt::Display for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&exact::<K>(self.0))
    }
}

impl<K: Kind> std::ops::Deref for Written<K> {
    type Target = Of<K>;
    fn deref(&self) -> &Of<K> {
        &self.0
    }
}

impl<D: Dimension + ?Sized, K: Kind<Dimension = D>> From<Quantity<D, SI<f64>, f64>> for Written<K> {
    fn from(quantity: Quantity<D, SI<f64>, f64>) -> Self {
        Self(quantity)
    }
}

impl<K: Kind> std::str::FromStr for Written<K> {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        parse::<K>(text).map(Self)
    }
}

impl<K: Kind> Serialize for Written<K> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.value.is_finite() {
            serializer.collect_str(self)
        } else {
            Err(serde::ser::Error::custom(format!(
                "{} that is not finite cannot be written",
                K::ABOUT.name
            )))
        }
    }
}

impl<'de, K: Kind> Deserialize<'de> for Written<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text(PhantomData))
    }
}

struct Text<K>(PhantomData<K>);

impl<K: Kind> Visitor<'_> for Text<K> {
    type Value = Written<K>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} with its unit, as a string: {}",
            K::ABOUT.name,
            K::ABOUT.accepted()
        )
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Written<K>, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Written<K>, E> {
        Err(E::invalid_type(Unexpected::Signed(number), &self))
    }
}

/// The shortest text, over the units of the kind, that reads back to the same bits; of two as short, the first.
///
/// ```rust
/// use barkline::units::{exact, kind, si, us};
/// assert_eq!(exact::<kind::Length>(si::millimetres(88.9)), "88.9 mm");
/// assert_eq!(exact::<kind::Length>(us::feet(14.0)), "14 ft");
/// ```
pub fn exact<K: Kind>(quantity: Of<K>) -> String {
    let units = K::ABOUT.units.iter();
    let texts = units.filter_map(|unit| shortest::<K>(quantity.value, unit));
    texts
        .min_by_key(|text| text.chars().count())
        .unwrap_or_else(|| in_base::<K>(quantity.value))
}

/// The shortest digits of the value itself, with the exponent shifted to the base unit: always exact.
fn in_base<K: Kind>(value: f64) -> String {
    let text = format!("{value:e}");
    let (digits, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let base = K::ABOUT.units.iter().find(|unit| unit.is_base());
    let (name, tens) = base.map_or(("", 0), |unit| (unit.name, unit.tens));
    format!(
        "{digits}e{} {name}",
        exponent.parse::<i32>().unwrap_or(0) - tens
    )
}

/// The text in that unit with the fewest figures that reads back to `value`.
fn shortest<K: Kind>(value: f64, unit: &Unit) -> Option<String> {
    let number = value / unit.si();
    (0..17)
        .filter_map(|figures| format!("{number:.figures$e}").parse::<f64>().ok())
        .filter(|near| unit.tens != 0 || (near * unit.factor).to_bits() == value.to_bits())
        .map(|near| format!("{} {}", decimal(near), unit.name))
        .find(|text| parse::<K>(text).is_ok_and(|read| read.value.to_bits() == value.to_bits()))
}

fn decimal(number: f64) -> String {
    if number == 0.0 || (1e-6..1e15).contains(&number.abs()) {
        number.to_string()
    } else {
        format!("{number:e}")
    }
}
