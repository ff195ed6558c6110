//! Typed values from the tree of a document; every problem is collected, none stops the reading.

use super::diagnostic::{Code, Diagnostic};
use super::document::{Entry, Node, Value};
use super::layout::SHOWN;
use super::source::{At, Sources, Span};
use crate::units::kind::About;
use crate::units::{Kind, Written, engineering, nearest};
use std::ops::Range;

/// What a value of a file may be: enough to say what is due, and to write a schema.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Free text.
    Text,
    /// Text in a small language of its own: what is due, in words, with an example.
    Small(&'static str),
    /// `true` or `false`.
    Flag,
    /// A number without a unit.
    Number,
    /// A whole number from 1.
    Count,
    /// A quantity with its unit.
    Quantity(&'static About),
    /// One of these words.
    Words(&'static [&'static str]),
    /// A list of any length.
    List(&'static Shape),
    /// A list of two.
    Pair(&'static Shape),
    /// A table.
    Table(&'static str, &'static [Key]),
    /// A table from some of these names to positive numbers.
    Numbers(&'static [&'static str]),
    /// The name of a file, or a list of tables.
    FileOr(&'static Shape),
}

/// A key of a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// The key.
    pub name: &'static str,
    /// What it means.
    pub about: &'static str,
    /// Whether the table needs it.
    pub required: bool,
    /// What its value may be.
    pub shape: Shape,
}

impl Shape {
    /// What is due, with its article.
    pub fn due(&self) -> String {
        match self {
            Self::Text => "text in quotes".to_owned(),
            Self::Small(due) => (*due).to_owned(),
            Self::Flag => "true or false".to_owned(),
            Self::Number => "a number without a unit".to_owned(),
            Self::Count => "a whole number from 1".to_owned(),
            Self::Quantity(about) => format!(
                "{} in quotes with its unit ({})",
                about.name,
                about.accepted()
            ),
            Self::Words(words) => format!("one of {}", quoted(words)),
            Self::List(Self::Table(title, _)) => format!("a list of {title} tables"),
            Self::List(_) => "a list in [ ]".to_owned(),
            Self::Pair(_) => "a list of two in [ ]".to_owned(),
            Self::Table(..) => "a table".to_owned(),
            Self::Numbers(names) => format!("a table of numbers ({})", names.join(", ")),
            Self::FileOr(shape) => format!("the name of a file in quotes, or {}", shape.due()),
        }
    }
}

/// The words as a list for people: `"a", "b" or "c"`.
fn quoted(words: &[&str]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.join(""),
    }
}

/// The number with each unit of the kind; a part of a whole in percent.
fn with_units(number: f64, about: &About) -> String {
    let ways = about.units.iter().map(|unit| match unit.name {
        "%" if number.abs() < 1.0 => format!("\"{} %\"", engineering(100.0 * number)),
        name => format!("\"{number} {name}\""),
    });
    ways.collect::<Vec<_>>().join(", ")
}

/// A sentence as the end of another.
fn continued(sentence: &str) -> String {
    let mut chars = sentence.trim_end_matches('.').chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    })
}

/// A value that can be read.
pub trait Read: Sized {
    /// What it may be.
    const SHAPE: Shape;
    /// Reads it; says what is wrong if it cannot.
    #[doc(hidden)]
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self>;
}

/// A value of the tree. Its inside is the reader's.
#[derive(Debug, Clone, Copy)]
pub struct Found<'a>(pub(super) &'a Node);

impl Found<'_> {
    pub(super) fn is_text(self) -> bool {
        matches!(self.0.value, Value::Text(_))
    }

    pub(super) fn is_list(self) -> bool {
        matches!(self.0.value, Value::List(_))
    }
}

/// A field of a table: a value, or nothing where the table may go without.
pub trait Field: Default {
    /// What its value may be.
    const SHAPE: Shape;
    /// Whether there is nothing to write.
    fn is_absent(&self) -> bool;
    /// Reads it from the value of its key.
    #[doc(hidden)]
    fn read_field(value: Found<'_>, reader: &mut Reader<'_>) -> Self;
}

impl<T: Read> Field for Option<T> {
    const SHAPE: Shape = T::SHAPE;
    fn is_absent(&self) -> bool {
        self.is_none()
    }
    fn read_field(value: Found<'_>, reader: &mut Reader<'_>) -> Self {
        T::read(value, reader)
    }
}

impl<T: Read> Field for Vec<T> {
    const SHAPE: Shape = Shape::List(&T::SHAPE);
    fn is_absent(&self) -> bool {
        self.is_empty()
    }
    fn read_field(value: Found<'_>, reader: &mut Reader<'_>) -> Self {
        match &value.0.value {
            Value::List(list) => {
                let key = reader.key.clone();
                let read = |node| {
                    reader.key.clone_from(&key);
                    T::read(Found(node), reader)
                };
                list.iter().filter_map(read).collect()
            }
            _ => reader.wrong_type(value, &Self::SHAPE).unwrap_or_default(),
        }
    }
}

impl<T: Read + Default> Field for At<T> {
    const SHAPE: Shape = T::SHAPE;
    fn is_absent(&self) -> bool {
        false
    }
    fn read_field(value: Found<'_>, reader: &mut Reader<'_>) -> Self {
        Self::read(value, reader).unwrap_or_default()
    }
}

/// Collects the problems of one text while it is read.
#[derive(Debug)]
pub struct Reader<'a> {
    sources: &'a Sources,
    /// The key that is being read.
    key: String,
    found: Vec<(Span, Diagnostic)>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(sources: &'a Sources) -> Self {
        Self {
            sources,
            key: String::new(),
            found: Vec::new(),
        }
    }

    pub(super) fn found(self) -> Vec<(Span, Diagnostic)> {
        self.found
    }

    /// How many problems there are so far.
    pub(super) fn count(&self) -> usize {
        self.found.len()
    }

    /// Forgets the problems of a code after the first so many: they only follow from one of those.
    pub(super) fn forget(&mut self, code: Code, first: usize) {
        let mut at = 0;
        self.found.retain(|(_, problem)| {
            at += 1;
            at <= first || problem.code != code
        });
    }

    pub(super) fn report(
        &mut self,
        code: Code,
        span: Span,
        message: impl AsRef<str>,
        mend: impl AsRef<str>,
    ) {
        // One more than is shown, so that it can be said that there are more.
        if self.found.len() <= SHOWN {
            let diagnostic = Diagnostic::error(code, message, mend).at(self.sources.position(span));
            self.found.push((span, diagnostic));
        }
    }

    /// Says that a value is of another type than `shape`; reads nothing.
    pub(super) fn wrong_type<T>(&mut self, value: Found<'_>, shape: &Shape) -> Option<T> {
        let (span, found) = (value.0.span, &value.0.value);
        let due = shape.due();
        let message = format!("`{}` is {}", self.key, found.is());
        match (shape, found) {
            (Shape::Quantity(about), Value::Number(number)) => {
                let message = format!("`{}` is a bare number", self.key);
                let mend = format!(
                    "write it in quotes with its unit: {}",
                    with_units(*number, about)
                );
                self.report(Code::BareNumber, span, message, mend);
            }
            (Shape::Text, Value::Number(number)) => {
                self.report(
                    Code::WrongType,
                    span,
                    message,
                    format!("{due} is due: \"{number}\"?"),
                );
            }
            (Shape::List(Shape::Table(title, _)), Value::Table(_)) => {
                self.report(
                    Code::WrongType,
                    span,
                    message,
                    format!("{due} is due: write {title} over it, or put it in [ ]"),
                );
            }
            (_, Value::Null) => self.report(
                Code::WrongType,
                span,
                message,
                format!("leave the key out, or write {due}"),
            ),
            _ => self.report(Code::WrongType, span, message, format!("{due} is due")),
        }
        None
    }

    /// The bytes of a part of a text value, if it is written without escapes.
    fn within(&self, value: Found<'_>, part: Range<usize>) -> Span {
        let span = value.0.span;
        let (Value::Text(text), Some(source)) = (&value.0.value, self.sources.text(span.source))
        else {
            return span;
        };
        let start = span.start + 1;
        if source.get(start..start + text.len()) != Some(text) {
            return span;
        }
        Span {
            start: start + part.start,
            end: start + part.end,
            ..span
        }
    }

    /// Reads text in a small language, or says what is wrong with it.
    pub(super) fn small<T: std::str::FromStr<Err = TextError>>(
        &mut self,
        value: Found<'_>,
        shape: &Shape,
    ) -> Option<T> {
        let Value::Text(text) = &value.0.value else {
            return self.wrong_type(value, shape);
        };
        match text.parse() {
            Ok(read) => Some(read),
            Err(error) => {
                let span = self.within(value, error.range.clone());
                self.report(
                    error.code,
                    span,
                    format!("`{}`: {}", self.key, error.message),
                    error.mend,
                );
                None
            }
        }
    }

    /// The entries of a table, or what is wrong.
    pub(super) fn table<'n>(
        &mut self,
        value: Found<'n>,
        title: &str,
        keys: &[Key],
    ) -> Option<Fields<'n>> {
        let Value::Table(entries) = &value.0.value else {
            return self.wrong_type(value, &Shape::Table("", &[]));
        };
        for entry in entries {
            if !keys.iter().any(|key| key.name == entry.key) {
                self.unknown_key(entry, title, keys.iter().map(|key| key.name));
            }
        }
        for key in keys.iter().filter(|key| key.required) {
            let entry = entries.iter().find(|entry| entry.key == key.name);
            let (span, message) = match entry.map(|entry| (entry.node.span, &entry.node.value)) {
                None => (value.0.span, format!("{title} has no `{}`", key.name)),
                Some((span, Value::Text(text)))
                    if key.shape == Shape::Text && text.trim().is_empty() =>
                {
                    (span, format!("`{}` of {title} is empty", key.name))
                }
                Some((span, Value::List(list))) if list.is_empty() => {
                    (span, format!("`{}` of {title} is empty", key.name))
                }
                Some(_) => continue,
            };
            let mend = format!("write `{}`: {}", key.name, continued(key.about));
            self.report(Code::MissingKey, span, message, mend);
        }
        Some(Fields(entries))
    }

    fn unknown_key<'k>(
        &mut self,
        entry: &Entry,
        title: &str,
        keys: impl Iterator<Item = &'k str> + Clone,
    ) {
        let message = format!("`{}` is not a key of {title}", entry.key);
        let mend = match nearest(&entry.key, keys.clone()) {
            Some(key) => format!("did you mean `{key}`?"),
            None => format!("its keys are {}", keys.collect::<Vec<_>>().join(", ")),
        };
        self.report(Code::UnknownKey, entry.span, message, mend);
    }

    /// A table from names to numbers, none of them below or at zero.
    pub(super) fn numbers(
        &mut self,
        value: Found<'_>,
        title: &str,
        names: &'static [&'static str],
    ) -> Option<Vec<(String, At<f64>)>> {
        let Value::Table(entries) = &value.0.value else {
            return self.wrong_type(value, &Shape::Numbers(names));
        };
        let mut numbers = Vec::new();
        for entry in entries {
            if !names.contains(&entry.key.as_str()) {
                self.unknown_key(entry, title, names.iter().copied());
                continue;
            }
            self.key.clone_from(&entry.key);
            let Some(number) = At::<f64>::read(Found(&entry.node), self) else {
                continue;
            };
            if *number > 0.0 {
                numbers.push((entry.key.clone(), number));
            } else {
                let message = format!("`{}` is {}", entry.key, *number);
                self.report(
                    Code::OutOfRange,
                    entry.node.span,
                    message,
                    "a number greater than zero is due",
                );
            }
        }
        Some(numbers)
    }
}

/// The entries of a table that is being read.
#[derive(Debug)]
pub struct Fields<'a>(&'a [Entry]);

impl Fields<'_> {
    /// The field of that key; its default if it is not there.
    pub(super) fn field<F: Field>(&self, key: &str, reader: &mut Reader<'_>) -> F {
        let Some(entry) = self.0.iter().find(|entry| entry.key == key) else {
            return F::default();
        };
        key.clone_into(&mut reader.key);
        F::read_field(Found(&entry.node), reader)
    }
}

/// Why text in a small language cannot be read. Displayed with the way to mend it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}; {mend}")]
pub struct TextError {
    /// What kind of problem it is.
    pub code: Code,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub mend: String,
    /// The bytes of the text that are wrong.
    pub range: Range<usize>,
}

impl<T: Read> Read for At<T> {
    const SHAPE: Shape = T::SHAPE;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        T::read(value, reader).map(|read| Self {
            value: read,
            span: Some(value.0.span),
        })
    }
}

impl<T: Read> Read for [T; 2] {
    const SHAPE: Shape = Shape::Pair(&T::SHAPE);
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::List(list) = &value.0.value else {
            return reader.wrong_type(value, &Self::SHAPE);
        };
        let [first, second] = list.as_slice() else {
            let message = format!("`{}` is a list of {}", reader.key, list.len());
            reader.report(
                Code::WrongType,
                value.0.span,
                message,
                "a list of two is due",
            );
            return None;
        };
        let (first, second) = (
            T::read(Found(first), reader),
            T::read(Found(second), reader),
        );
        Some([first?, second?])
    }
}

impl Read for String {
    const SHAPE: Shape = Shape::Text;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match &value.0.value {
            Value::Text(text) | Value::Date(text) => Some(text.clone()),
            _ => reader.wrong_type(value, &Self::SHAPE),
        }
    }
}

impl Read for bool {
    const SHAPE: Shape = Shape::Flag;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match value.0.value {
            Value::Flag(flag) => Some(flag),
            _ => reader.wrong_type(value, &Self::SHAPE),
        }
    }
}

impl Read for f64 {
    const SHAPE: Shape = Shape::Number;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match value.0.value {
            Value::Number(number) if number.is_finite() => Some(number),
            Value::Number(_) => {
                let message = format!("`{}` is not a finite number", reader.key);
                reader.report(
                    Code::OutOfRange,
                    value.0.span,
                    message,
                    "write a number with an end",
                );
                None
            }
            _ => reader.wrong_type(value, &Self::SHAPE),
        }
    }
}

/// More of anything than a layout has.
pub(super) const MOST: u32 = 1000;

impl Read for u32 {
    const SHAPE: Shape = Shape::Count;
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::Number(number) = value.0.value else {
            return reader.wrong_type(value, &Self::SHAPE);
        };
        let count = (1..=MOST).find(|&count| f64::from(count).to_bits() == number.to_bits());
        if count.is_none() {
            let message = format!("`{}` is {number}", reader.key);
            reader.report(
                Code::OutOfRange,
                value.0.span,
                message,
                format!("a whole number from 1 to {MOST} is due"),
            );
        }
        count
    }
}

impl<K: Kind> Read for Written<K> {
    const SHAPE: Shape = Shape::Quantity(K::ABOUT);
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::Text(text) = &value.0.value else {
            return reader.wrong_type(value, &Self::SHAPE);
        };
        match text.parse() {
            Ok(read) => Some(read),
            Err(error) => {
                let error: crate::units::QuantityError = error;
                let span = reader.within(value, error.range());
                let message = format!("`{}`: {}", reader.key, error.problem());
                reader.report(Code::BadQuantity, span, message, error.mend());
                None
            }
        }
    }
}
