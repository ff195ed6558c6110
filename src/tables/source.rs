//! Where values come from: documents, places in them, and how far a value can be trusted.

use super::lookup::{self, LookupError, Named};
use super::reader::{self, Lazy, TableError};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::LazyLock;

/// How a document was read for this program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Read {
    /// The document itself was read.
    Printed,
    /// Its figures were read in another's copy of them.
    Transcription,
    /// Part of it was read.
    Extract,
    /// Its abstract was read.
    Abstract,
    /// It was not seen: quoted from memory.
    NotSeen,
    /// There is nothing to read.
    None,
}

/// A document that rows cite.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct Source {
    /// The id that rows cite.
    pub id: String,
    /// The title.
    pub title: String,
    /// Edition, report number, or year.
    pub edition: String,
    /// The publisher.
    pub publisher: String,
    /// What it is: handbook, standard, code, article, practice, …
    pub document: String,
    /// How it was read.
    pub read: Read,
    /// On what terms its figures are carried.
    pub licence: String,
    /// What was seen of it, and what was not.
    pub note: String,
}

impl Named for Source {
    fn id(&self) -> &str {
        &self.id
    }
}

static SOURCES: Lazy<Source> =
    LazyLock::new(|| reader::read("sources.csv", include_str!("../../data/sources.csv"), Ok));

/// Every document that rows cite.
pub fn sources() -> &'static [Source] {
    reader::rows(&SOURCES)
}

/// The document of an id.
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest ids.
pub fn source(id: &str) -> Result<&'static Source, LookupError> {
    lookup::find("source", reader::checked(&SOURCES)?, id)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&SOURCES)
}

/// How a value came into a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Printed in the source, measured or specified there, and read, if only in a copy.
    Measured,
    /// Worked out from values of the source by an argument that the note gives.
    Derived,
    /// Known but not seen in writing for this program.
    FromMemory,
    /// Common practice of the trade; no source.
    Practice,
}

/// How well founded a value or a check is, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Inside the range of its source.
    Published,
    /// Outside that range, by a stated argument.
    Extended,
    /// From memory.
    FromMemory,
    /// Common practice, no source.
    Practice,
}

impl Kind {
    /// The standing that a value of this kind lends to what is worked out from it.
    pub const fn standing(self) -> Standing {
        match self {
            Self::Measured => Standing::Published,
            Self::Derived => Standing::Extended,
            Self::FromMemory => Standing::FromMemory,
            Self::Practice => Standing::Practice,
        }
    }
}

impl Standing {
    /// The less well founded of two.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        self.max(other)
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Published => "published",
            Self::Extended => "extended beyond the range of its source",
            Self::FromMemory => "from memory",
            Self::Practice => "common practice, no source",
        })
    }
}

/// The source of a row: the document, the place in it, and how the value came here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    source: &'static Source,
    locator: String,
    kind: Kind,
    note: String,
}

impl Reference {
    pub(super) fn new(
        source: &str,
        locator: String,
        kind: Kind,
        note: String,
    ) -> Result<Self, String> {
        let source = sources()
            .iter()
            .find(|row| row.id == source)
            .ok_or_else(|| format!("no source has the id \"{source}\""))?;
        Ok(Self {
            source,
            locator,
            kind,
            note,
        })
    }

    /// The document.
    pub fn source(&self) -> &'static Source {
        self.source
    }

    /// The place in the document: table, equation, page, section. Empty for common practice.
    pub fn locator(&self) -> &str {
        &self.locator
    }

    /// How the value came here.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// How well founded the value is.
    pub fn standing(&self) -> Standing {
        self.kind.standing()
    }

    /// What else is to be known of the row.
    pub fn note(&self) -> Option<&str> {
        Some(self.note.as_str()).filter(|note| !note.is_empty())
    }

    /// The short form for machines: source id and place, such as `fpl-gtr-282:5-3b`.
    pub fn citation(&self) -> String {
        let place = self.locator.strip_prefix("Table ").unwrap_or(&self.locator);
        if place.is_empty() {
            self.source.id.clone()
        } else {
            format!("{}:{place}", self.source.id)
        }
    }
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.kind == Kind::Practice {
            return write!(f, "{}", self.standing());
        }
        write!(f, "{} ({})", self.source.title, self.source.edition)?;
        if !self.locator.is_empty() {
            write!(f, ", {}", self.locator)?;
        }
        match self.kind {
            Kind::Derived => f.write_str(", worked out from it"),
            Kind::FromMemory => f.write_str(", from memory"),
            Kind::Measured | Kind::Practice => Ok(()),
        }
    }
}
