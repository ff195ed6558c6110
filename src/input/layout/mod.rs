//! The layout file as it is written: every table and key, ids not looked up, nothing worked out.
//!
//! A layout is read by [`Layout::from_toml`] or [`Layout::from_json`], or built in code: every field is public and every
//! table has a default. Written by serde, it reads back equal. The field descriptions here are those of the file format.

mod small;
mod tables;
mod words;

pub use small::{Along, Amount, Axis, Bearing, Id, Place, Point, Runs};
pub use tables::*;
pub use words::*;

use super::diagnostic::{Code, Diagnostic, Diagnostics};
use super::document::{self, Format};
use super::reader::{Found, Read, Reader, Shape};
use super::source::{Sources, Span};

/// The name that a text has when none is given.
const UNNAMED: &str = "layout";

impl Layout {
    /// Reads a layout from TOML.
    ///
    /// # Errors
    /// Every problem of the text, with its place and how to mend it.
    ///
    /// # Example
    /// ```rust
    /// use barkline::input::{Code, Layout};
    /// let problems = Layout::from_toml("[[tree]]\nid = \"ridge\"\ndiametre = \"22 in\"\nbark = 0.8\n").unwrap_err();
    /// let codes: Vec<Code> = problems.iter().map(|problem| problem.code).collect();
    /// assert_eq!(codes, [Code::UnknownKey, Code::BareNumber]);
    /// ```
    pub fn from_toml(text: &str) -> Result<Self, Diagnostics> {
        Self::from_text(text, Format::Toml)
    }

    /// Reads a layout from JSON of the same shape.
    ///
    /// # Errors
    /// Every problem of the text, with its place and how to mend it.
    ///
    /// # Example
    /// ```rust
    /// use barkline::{input::Layout, units::us};
    /// let layout = Layout::from_json(r#"{ "tree": [{ "id": "ridge", "diameter": "22 in" }] }"#)?;
    /// assert_eq!(layout.tree[0].diameter, Some(us::inches(22.0).into()));
    /// # Ok::<(), barkline::input::Diagnostics>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Diagnostics> {
        Self::from_text(text, Format::Json)
    }

    /// Reads a layout from a text in either language.
    ///
    /// # Errors
    /// Every problem of the text, with its place and how to mend it.
    pub fn from_text(text: &str, format: Format) -> Result<Self, Diagnostics> {
        Self::from_named(UNNAMED, text, format)
    }

    /// Reads a layout from a text whose name the diagnostics show.
    ///
    /// # Errors
    /// Every problem of the text, with its place and how to mend it.
    pub fn from_named(name: &str, text: &str, format: Format) -> Result<Self, Diagnostics> {
        let mut sources = Sources::default();
        let source = sources.add(name, text);
        let (root, syntax) = document::parse(&sources, source, format);
        let mut reader = Reader::new(&sources);
        let layout = root
            .as_ref()
            .and_then(|root| Self::read(Found(root), &mut reader));
        let found = merge(syntax, reader.found(), &sources);
        match layout {
            Some(layout) if found.is_empty() => Ok(Self { sources, ..layout }),
            _ => Err(found),
        }
    }

    /// The shape of the whole file, for a schema.
    pub const SHAPE: Shape = <Self as Read>::SHAPE;
}

/// Whether a problem stands in the header of a table.
fn is_header(problem: &Diagnostic) -> bool {
    problem
        .place
        .as_ref()
        .is_some_and(|place| place.excerpt.trim_start().starts_with('['))
}

/// The most problems that are shown.
pub(super) const SHOWN: usize = 200;

/// What stands in the place of the first problem that is not shown.
pub(super) fn more_than_shown() -> Diagnostic {
    Diagnostic::error(
        Code::TooLarge,
        format!("there are more than {SHOWN} problems"),
        "mend the ones above first",
    )
}

/// All problems in the order of the file, without those that only follow from an error of syntax.
pub(super) fn merge(
    syntax: Vec<(Span, Diagnostic)>,
    read: Vec<(Span, Diagnostic)>,
    sources: &Sources,
) -> Diagnostics {
    let place = |diagnostic: &Diagnostic| diagnostic.place.as_ref().map(|place| place.line);
    let broken: Vec<Option<usize>> = syntax.iter().map(|(_, problem)| place(problem)).collect();
    // What follows a broken header stands in the wrong table.
    let astray = syntax
        .iter()
        .find(|(_, problem)| is_header(problem))
        .map(|&(span, _)| span);
    let follows = |span: Span, problem: &Diagnostic| {
        let unsure = !broken.is_empty() && problem.code == Code::MissingKey;
        unsure || broken.contains(&place(problem)) || astray.is_some_and(|header| span > header)
    };
    let mut all: Vec<(Span, Diagnostic)> = read
        .into_iter()
        .filter(|(span, problem)| !follows(*span, problem))
        .collect();
    all.extend(syntax);
    all.sort_by_key(|&(span, _)| span);
    if let Some(&(span, _)) = all.get(SHOWN) {
        all.truncate(SHOWN);
        all.push((span, more_than_shown().at(sources.position(span))));
    }
    all.into_iter().map(|(_, diagnostic)| diagnostic).collect()
}
