//! What is wrong with an input: a stable code, the place, what is wrong, how to mend it.

use super::source::Position;
use serde::{Serialize, Serializer};
use std::fmt;

macro_rules! codes {
    ($($(#[doc = $about:literal])* $code:ident = $word:literal,)*) => {
        /// What kind of problem it is: stable words that programs can rely on.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum Code {
            $($(#[doc = $about])* $code,)*
        }

        impl Code {
            /// Every code.
            pub const fn all() -> &'static [Self] {
                &[$(Self::$code),*]
            }

            /// The word of the code.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$code => $word,)* }
            }

            /// What the code means.
            pub fn about(self) -> &'static str {
                match self { $(Self::$code => concat!($($about),*).trim_ascii(),)* }
            }
        }
    };
}

codes! {
    /// The text is not TOML, JSON or, of a spreadsheet, CSV.
    Syntax = "syntax",
    /// The text, a list or the nesting is larger than any layout needs.
    TooLarge = "too-large",
    /// A key stands twice in one table.
    DuplicateKey = "duplicate-key",
    /// A key that the table does not have.
    UnknownKey = "unknown-key",
    /// A key that the table needs is not there.
    MissingKey = "missing-key",
    /// A value of another type than the key takes, such as a table where text is due.
    WrongType = "wrong-type",
    /// A number without a unit where a quantity is due.
    BareNumber = "bare-number",
    /// A quantity that cannot be read, or is of another kind.
    BadQuantity = "bad-quantity",
    /// A number beyond what the key can take.
    OutOfRange = "out-of-range",
    /// A word that is not one of the words that the key takes.
    UnknownWord = "unknown-word",
    /// An id that is not one word.
    BadId = "bad-id",
    /// A place on a beam that cannot be read.
    BadPlace = "bad-place",
    /// A direction that cannot be read.
    BadDirection = "bad-direction",
    /// Two things of the layout have one id.
    DuplicateId = "duplicate-id",
    /// No part of the layout has this id.
    UnknownId = "unknown-id",
    /// No wood is called so, or the name may mean several.
    UnknownWood = "unknown-wood",
    /// The table has no value for this wood that the checks need.
    UnusableWood = "unusable-wood",
    /// No steel is called so, or it has no strength at this diameter.
    UnknownSteel = "unknown-steel",
    /// No anchor size or sawn size is called so.
    UnknownSize = "unknown-size",
    /// Two keys say the same thing in two ways, or do not go together.
    Conflict = "conflict",
    /// Parts do not meet: a beam misses its anchor, a support lies beyond an end.
    Misplaced = "misplaced",
    /// Beams or trees refer to each other in a ring.
    Circle = "circle",
    /// The snow load is of another level than the combinations expect, or its level is not said.
    SnowLevel = "snow-level",
    /// A part of the layout can not be built as it is written.
    Unsound = "unsound",
    /// A value that was not given and was assumed.
    Assumed = "assumed",
    /// A part of the layout that this version does not assess: the verdict can not be a pass.
    NotAssessed = "not-assessed",
    /// A spreadsheet that the layout names could not be read, or was not given.
    Unreadable = "unreadable",
    /// More anchors, beams or other parts than any platform has.
    TooMany = "too-many",
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing can be computed.
    Error,
    /// The results stand, with this said beside them.
    Caution,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Error => "error",
            Self::Caution => "caution",
        })
    }
}

/// Another place that has to do with a problem.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Related {
    /// What is there.
    pub message: String,
    /// Where it is.
    pub place: Option<Position>,
}

/// One problem of an input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// What kind of problem it is.
    pub code: Code,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// Where it is; nowhere, if the value was made in code.
    pub place: Option<Position>,
    /// How to mend it.
    pub mend: String,
    /// Other places that have to do with it.
    pub related: Vec<Related>,
}

impl Diagnostic {
    /// An error: nothing can be computed before it is mended.
    pub fn error(code: Code, message: impl AsRef<str>, mend: impl AsRef<str>) -> Self {
        Self {
            code,
            severity: Severity::Error,
            message: shown(message.as_ref()),
            place: None,
            mend: shown(mend.as_ref()),
            related: Vec::new(),
        }
    }

    /// A caution: the results stand, with this said beside them.
    pub fn caution(code: Code, message: impl AsRef<str>, mend: impl AsRef<str>) -> Self {
        Self {
            severity: Severity::Caution,
            ..Self::error(code, message, mend)
        }
    }

    /// The same problem, at a place.
    #[must_use]
    pub fn at(mut self, place: Option<Position>) -> Self {
        self.place = place;
        self
    }

    /// The same problem, with another place that has to do with it.
    #[must_use]
    pub fn related(mut self, message: impl AsRef<str>, place: Option<Position>) -> Self {
        self.related.push(Related {
            message: shown(message.as_ref()),
            place,
        });
        self
    }
}

/// The longest message, in characters.
const MESSAGE: usize = 400;

/// A message that may quote the file: no control characters, and not without end.
fn shown(message: &str) -> String {
    let mut text: String = message
        .chars()
        .take(MESSAGE)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if message.chars().nth(MESSAGE).is_some() {
        text.push('…');
    }
    text
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}[{}]: {}", self.severity, self.code, self.message)?;
        let width = self
            .place
            .as_ref()
            .map_or(1, |place| place.line.to_string().len());
        if let Some(place) = &self.place {
            let caret = "^".repeat(place.mark.len().max(1));
            writeln!(
                f,
                "{:width$}--> {}:{}:{}{}",
                "",
                place.file,
                place.line,
                place.column,
                place
                    .cell
                    .as_ref()
                    .map_or(String::new(), |cell| format!(" ({cell})"))
            )?;
            writeln!(f, "{:width$} |", "")?;
            writeln!(f, "{} | {}", place.line, place.excerpt)?;
            writeln!(
                f,
                "{:width$} | {:indent$}{caret}",
                "",
                "",
                indent = place.mark.start
            )?;
        }
        for related in &self.related {
            write!(f, "{:width$} = also: {}", "", related.message)?;
            match &related.place {
                Some(place) => writeln!(f, " ({}:{}:{})", place.file, place.line, place.column)?,
                None => writeln!(f)?,
            }
        }
        writeln!(f, "{:width$} = mend: {}", "", self.mend)
    }
}

/// The problems of an input, in the order of the file.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Diagnostics(Vec<Diagnostic>);

impl Diagnostics {
    /// Adds a problem.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.0.push(diagnostic);
    }

    /// Whether there is any error among them.
    pub fn has_errors(&self) -> bool {
        self.0
            .iter()
            .any(|diagnostic| diagnostic.severity == Severity::Error)
    }

    /// Whether there is none at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// One after the other.
    pub fn iter(&self) -> std::slice::Iter<'_, Diagnostic> {
        self.0.iter()
    }
}

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, diagnostic) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{diagnostic}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostics {}

impl FromIterator<Diagnostic> for Diagnostics {
    fn from_iter<I: IntoIterator<Item = Diagnostic>>(diagnostics: I) -> Self {
        Self(diagnostics.into_iter().collect())
    }
}

impl Extend<Diagnostic> for Diagnostics {
    fn extend<I: IntoIterator<Item = Diagnostic>>(&mut self, diagnostics: I) {
        self.0.extend(diagnostics);
    }
}

impl IntoIterator for Diagnostics {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Diagnostics {
    type Item = &'a Diagnostic;
    type IntoIter = std::slice::Iter<'a, Diagnostic>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}
