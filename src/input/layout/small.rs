//! Text in small languages of its own: ids, places on beams, directions, points, loads.

use crate::input::diagnostic::Code;
use crate::input::reader::{Found, Read, Reader, Shape, TextError};
use crate::input::source::At;
use crate::units::{Angle, QuantityError, Written, exact, kind, nearest, parse, si};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Text to and from the file by `Display` and `FromStr`.
macro_rules! as_text {
    ($($name:ident: $due:literal;)*) => {$(
        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
            }
        }

        impl Read for $name {
            const SHAPE: Shape = Shape::Small($due);
            fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
                reader.small(value, &Self::SHAPE)
            }
        }

        impl From<$name> for String {
            fn from(value: $name) -> Self {
                value.to_string()
            }
        }
    )*};
}

as_text! {
    Id: "an id in quotes, such as \"N1\",";
    Place: "a place in quotes, such as \"N1\", \"main\", \"main at 4 ft\" or \"main end\",";
    Bearing: "a direction in quotes, such as \"S\" or \"35 deg\",";
    Axis: "two opposite directions in quotes, such as \"N-S\", or one, such as \"35 deg\",";
    Runs: "\"out\", or a direction in quotes such as \"S\" or \"60 deg\",";
    Amount: "a load in quotes with its unit (at a point lbf, kip, N, kN; along a line plf, kN/m; over an area psf, kPa)";
}

fn fault(code: Code, text: &str, message: String, mend: &str) -> TextError {
    TextError {
        code,
        message,
        mend: mend.to_owned(),
        range: 0..text.len(),
    }
}

/// The name of one thing of the layout: one word of letters, digits, `-`, `_` and `.`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Id(String);

impl Id {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Id {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        if !text.is_empty()
            && text
                .chars()
                .all(|c| c.is_alphanumeric() || "-_.".contains(c))
        {
            return Ok(Self(text.to_owned()));
        }
        let message = format!("\"{text}\" is not an id");
        Err(fault(
            Code::BadId,
            text,
            message,
            "an id is one word of letters, digits, - and _, such as \"N1\" or \"low-north\"",
        ))
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::ops::Deref for Id {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

/// Where along a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Along {
    /// At this distance from its first end.
    At(Written<kind::Length>),
    /// At its first end.
    Start,
    /// At its last end.
    End,
    /// Not said: where the two cross; the thing itself, if it is an anchor or a post.
    Crossing,
}

/// An anchor, a post, or a place on a beam.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The id of the thing.
    pub on: Id,
    /// Where on it.
    pub along: Along,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.along {
            Along::At(distance) => write!(f, "{} at {distance}", self.on),
            Along::Start => write!(f, "{} start", self.on),
            Along::End => write!(f, "{} end", self.on),
            Along::Crossing => write!(f, "{}", self.on),
        }
    }
}

impl FromStr for Place {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        let words = text.trim();
        let (id, rest) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
        let wrong = |message: String| {
            let mend = "write a place as \"N1\", \"main\", \"main at 4 ft\", \"main start\" or \"main end\"";
            fault(Code::BadPlace, text, message, mend)
        };
        let on = id
            .parse()
            .map_err(|_| wrong(format!("\"{text}\" is not a place")))?;
        let along = match rest.trim() {
            "" => Along::Crossing,
            "end" => Along::End,
            "start" => Along::Start,
            rest => {
                let Some(distance) = rest
                    .strip_prefix("at")
                    .filter(|distance| distance.starts_with(char::is_whitespace))
                else {
                    return Err(wrong(format!("\"{rest}\" is not a place on {on}")));
                };
                let skipped = text.len() - text.trim_end().len();
                let before = text.len() - skipped - distance.len();
                Along::At(
                    distance
                        .parse()
                        .map_err(|error| quantity(Code::BadPlace, &error, before))?,
                )
            }
        };
        Ok(Self { on, along })
    }
}

impl From<Id> for Place {
    fn from(on: Id) -> Self {
        Self {
            on,
            along: Along::Crossing,
        }
    }
}

/// The error of a quantity that stands `before` bytes into the text.
fn quantity(code: Code, error: &QuantityError, before: usize) -> TextError {
    let range = error.range();
    TextError {
        code,
        message: error.problem().to_string(),
        mend: error.mend(),
        range: range.start + before..range.end + before,
    }
}

/// The points of the compass, clockwise from north by 22.5°.
const COMPASS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// Each point of the compass with its angle from north.
fn compass() -> impl Iterator<Item = (&'static str, Angle)> {
    COMPASS
        .into_iter()
        .zip((0_u8..).map(|i| si::degrees(22.5 * f64::from(i))))
}

/// A direction in plan: an angle clockwise from north, as written; a full turn is not taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing(pub Angle);

impl fmt::Display for Bearing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match compass().find(|(_, angle)| angle.value.to_bits() == self.0.value.to_bits()) {
            Some((word, _)) => f.write_str(word),
            None => f.write_str(&exact::<kind::Angle>(self.0)),
        }
    }
}

impl FromStr for Bearing {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        let word = text.trim();
        if let Some((_, angle)) = compass().find(|(point, _)| point.eq_ignore_ascii_case(word)) {
            return Ok(Self(angle));
        }
        if word.starts_with(|c: char| c.is_ascii_digit() || "+-−.".contains(c)) {
            return parse::<kind::Angle>(text)
                .map(Self)
                .map_err(|error| quantity(Code::BadDirection, &error, 0));
        }
        let message = format!("\"{text}\" is not a direction");
        let due = "write a point of the compass (N, NNE, NE … NNW) or degrees clockwise from north (\"35 deg\")";
        let initial = ["north", "east", "south", "west"]
            .into_iter()
            .zip(["N", "E", "S", "W"]);
        let meant = initial
            .clone()
            .find(|&(name, _)| Some(name) == nearest(word, initial.clone().map(|(name, _)| name)));
        let mend = meant.map_or(due.to_owned(), |(_, point)| {
            format!("did you mean \"{point}\"? {due}")
        });
        Err(fault(Code::BadDirection, text, message, &mend))
    }
}

/// A line in plan without a sense, such as north–south: the bearing of one of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis(pub Bearing);

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = self.0.to_string();
        match opposite(&word) {
            Some(other) => write!(f, "{word}-{other}"),
            None => f.write_str(&word),
        }
    }
}

/// The point of the compass across from one.
fn opposite(point: &str) -> Option<&'static str> {
    let at = COMPASS
        .iter()
        .position(|word| word.eq_ignore_ascii_case(point))?;
    COMPASS.get((at + 8) % COMPASS.len()).copied()
}

impl FromStr for Axis {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        match text.split_once(['-', '–']) {
            Some((one, other)) if opposite(one.trim()).is_some() => {
                if opposite(one.trim())
                    .is_some_and(|point| point.eq_ignore_ascii_case(other.trim()))
                {
                    return one.parse().map(Self);
                }
                let message = format!("\"{}\" is not across from \"{}\"", other.trim(), one.trim());
                Err(fault(
                    Code::BadDirection,
                    text,
                    message,
                    "write two opposite directions, such as \"N-S\" or \"E-W\"",
                ))
            }
            _ => text.parse().map(Self),
        }
    }
}

/// Which way a beam on one support runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Runs {
    /// Straight out from the stem.
    Out,
    /// In this direction.
    Toward(Bearing),
}

impl fmt::Display for Runs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Out => f.write_str("out"),
            Self::Toward(bearing) => bearing.fmt(f),
        }
    }
}

impl FromStr for Runs {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        if text.trim() == "out" {
            return Ok(Self::Out);
        }
        text.parse()
            .map(Self::Toward)
            .map_err(|error: TextError| TextError {
                mend: format!("{}, or \"out\"", error.mend),
                ..error
            })
    }
}

/// The size of a load; its unit says how it is spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// At a point.
    Force(Written<kind::Force>),
    /// Along a line.
    Line(Written<kind::LineLoad>),
    /// Over an area.
    Area(Written<kind::AreaLoad>),
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Force(force) => force.fmt(f),
            Self::Line(load) => load.fmt(f),
            Self::Area(load) => load.fmt(f),
        }
    }
}

impl FromStr for Amount {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        let line = || text.parse().map(Self::Line);
        let area = || text.parse().map(Self::Area);
        match text.parse().map(Self::Force) {
            Ok(force) => Ok(force),
            Err(error) => line().or_else(|_| area()).map_err(|_| TextError {
                mend: format!("{} is due", Self::SHAPE.due()),
                ..quantity(Code::BadQuantity, &error, 0)
            }),
        }
    }
}

/// A point in plan: east and north of zero.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Point(pub [Written<kind::Length>; 2]);

impl Point {
    /// East of zero.
    pub fn east(&self) -> crate::units::Length {
        let [east, _] = self.0;
        *east
    }

    /// North of zero.
    pub fn north(&self) -> crate::units::Length {
        let [_, north] = self.0;
        *north
    }
}

impl Read for Point {
    const SHAPE: Shape = <[Written<kind::Length>; 2]>::SHAPE;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        Read::read(value, reader).map(Self)
    }
}

impl TryFrom<&str> for At<Id> {
    type Error = TextError;
    fn try_from(text: &str) -> Result<Self, TextError> {
        text.parse::<Id>().map(Into::into)
    }
}

impl TryFrom<&str> for At<Place> {
    type Error = TextError;
    fn try_from(text: &str) -> Result<Self, TextError> {
        text.parse::<Place>().map(Into::into)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::units::us;
    use proptest::prelude::*;

    fn bearing(text: &str) -> f64 {
        text.parse::<Bearing>().unwrap().0.value.to_degrees()
    }

    #[test]
    fn the_compass_goes_clockwise_from_north() {
        for (i, point) in (0_u8..).zip(COMPASS) {
            let due = 22.5 * f64::from(i);
            assert!((bearing(point) - due).abs() < 1e-12, "{point}");
            assert!(
                (bearing(&point.to_lowercase()) - due).abs() < 1e-12,
                "{point}"
            );
            assert_eq!(point.parse::<Bearing>().unwrap().to_string(), point);
        }
        assert!((bearing("35 deg") - 35.0).abs() < 1e-12);
        assert!((bearing("-35°") + 35.0).abs() < 1e-12);
        assert!("NNNE".parse::<Bearing>().is_err());
        assert!("35".parse::<Bearing>().is_err());
    }

    #[test]
    fn an_axis_is_two_opposite_points_or_one_direction() {
        for (text, shown) in [
            ("N-S", "N-S"),
            ("e-w", "E-W"),
            ("SW – NE", "SW-NE"),
            ("N", "N-S"),
            ("35 deg", "35 deg"),
            ("-35 deg", "-35 deg"),
        ] {
            assert_eq!(text.parse::<Axis>().unwrap().to_string(), shown);
        }
        for text in ["N-E", "N-N", "N-", "-S", "", "35", "N-S-N"] {
            let error = text.parse::<Axis>().unwrap_err();
            assert_eq!(error.code, Code::BadDirection, "{text}");
        }
    }

    #[test]
    fn places_are_ids_with_a_way_along() {
        let place = |text: &str| text.parse::<Place>().unwrap();
        assert_eq!(place("N1").along, Along::Crossing);
        assert_eq!(place(" main  end ").along, Along::End);
        assert_eq!(place("main start").along, Along::Start);
        assert_eq!(
            place("main at 6 ft 4 in").along,
            Along::At(us::inches(76.0).into())
        );
        assert_eq!(
            place("main at -1 ft").along,
            Along::At(us::feet(-1.0).into())
        );
        assert_eq!(place("at at 4 ft").on.as_str(), "at");
        assert_eq!(place("low-north_2.b").on.as_str(), "low-north_2.b");
        for text in [
            "",
            "main at",
            "main at 4",
            "main at4 ft",
            "main near 4 ft",
            "ma/in",
            "main end end",
        ] {
            assert_eq!(
                text.parse::<Place>().unwrap_err().code,
                Code::BadPlace,
                "{text}"
            );
        }
        let error = "  main at 4 kN ".parse::<Place>().unwrap_err();
        assert_eq!(error.range, 12..14);
    }

    #[test]
    fn the_unit_of_a_load_says_how_it_is_spread() {
        assert_eq!(
            "160 lbf".parse::<Amount>().unwrap(),
            Amount::Force(us::pounds_force(160.0).into())
        );
        assert_eq!(
            "8 plf".parse::<Amount>().unwrap(),
            Amount::Line(us::plf(8.0).into())
        );
        assert_eq!(
            "1 kPa".parse::<Amount>().unwrap(),
            Amount::Area(si::kilopascals(1.0).into())
        );
        assert_eq!(
            "8 ft".parse::<Amount>().unwrap_err().message,
            "`ft` is the unit of a length"
        );
    }

    #[test]
    fn a_beam_runs_out_or_somewhere() {
        for text in ["out", "S", "60 deg"] {
            assert_eq!(text.parse::<Runs>().unwrap().to_string(), text);
        }
        assert!(
            "outwards"
                .parse::<Runs>()
                .unwrap_err()
                .mend
                .ends_with("or \"out\"")
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn what_is_written_reads_back(degrees in -720.0..720.0_f64, metres in -1e3..1e3_f64, id in "[a-zA-Z0-9_.-]{1,8}") {
            let bearing = Bearing(si::degrees(degrees));
            prop_assert_eq!(bearing.to_string().parse::<Bearing>(), Ok(bearing));
            prop_assert_eq!(Axis(bearing).to_string().parse::<Axis>(), Ok(Axis(bearing)));
            for along in [Along::Crossing, Along::Start, Along::End, Along::At(si::metres(metres).into())] {
                let place = Place { on: id.parse().unwrap(), along };
                prop_assert_eq!(place.to_string().parse::<Place>(), Ok(place));
            }
        }

        #[test]
        fn arbitrary_text_is_read_or_refused_within_itself(text in ".{0,24}") {
            let errors = [
                text.parse::<Id>().err(), text.parse::<Place>().err(), text.parse::<Bearing>().err(),
                text.parse::<Axis>().err(), text.parse::<Runs>().err(), text.parse::<Amount>().err(),
            ];
            for error in errors.into_iter().flatten() {
                prop_assert!(text.get(error.range.clone()).is_some(), "{:?}", error);
            }
        }
    }
}
