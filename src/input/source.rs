//! The texts that were read, and where in them a value stands.

use crate::units::{Kind, Written};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::{Deref, Range};
use std::sync::Arc;
use uom::si::{Dimension, Quantity, SI};

/// Where a value stands: bytes of one of the texts of [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Which of the texts.
    pub source: u32,
    /// The first byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

/// A value and where it was written; nowhere, if it was made in code.
///
/// Two are equal when their values are, wherever they stand.
#[derive(Clone, Copy, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    #[serde(skip)]
    pub span: Option<Span>,
}

impl<T> At<T> {
    /// Line, column and excerpt of the place, if it was read from a text.
    pub fn place(&self, sources: &Sources) -> Option<Position> {
        sources.position(self.span?)
    }
}

impl<T: PartialEq> PartialEq for At<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T> Deref for At<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T: fmt::Debug> fmt::Debug for At<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)
    }
}

impl<T: fmt::Display> fmt::Display for At<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)
    }
}

impl<T> From<T> for At<T> {
    fn from(value: T) -> Self {
        Self { value, span: None }
    }
}

impl From<&str> for At<String> {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl<D: Dimension + ?Sized, K: Kind<Dimension = D>> From<Quantity<D, SI<f64>, f64>>
    for At<Written<K>>
{
    fn from(quantity: Quantity<D, SI<f64>, f64>) -> Self {
        Written::from(quantity).into()
    }
}

/// One text that was read.
#[derive(Debug)]
struct Source {
    name: String,
    text: String,
    /// The byte at which each line begins.
    lines: Vec<usize>,
    /// The cells of a spreadsheet, in order.
    cells: Vec<CellAt>,
}

/// A cell of a spreadsheet and the bytes where it stands.
#[derive(Debug, Clone)]
pub(super) struct CellAt {
    pub(super) range: Range<usize>,
    /// From 1, the head included.
    pub(super) row: usize,
    /// The letters of the column.
    pub(super) column: String,
}

impl Source {
    /// The line in which a byte stands, from 0.
    fn line(&self, byte: usize) -> usize {
        let begun = self.lines.partition_point(|&start| start <= byte);
        begun.saturating_sub(1)
    }

    /// The byte behind a line and its break.
    fn end(&self, line: usize) -> usize {
        self.lines
            .get(line + 1)
            .map_or(self.text.len(), |&next| next)
    }

    /// Row and column of a place in a spreadsheet; the row alone where more than one cell is meant.
    fn cell(&self, span: Span) -> Option<String> {
        let next = self
            .cells
            .partition_point(|cell| cell.range.start <= span.start);
        let cell = self.cells.get(next.checked_sub(1)?)?;
        Some(if span.end > cell.range.end.max(span.start) {
            format!("row {}", cell.row)
        } else {
            format!("row {}, column {}", cell.row, cell.column)
        })
    }
}

/// The texts that a layout was read from, so that a problem found later can still show its line.
///
/// Any two are equal: layouts that say the same are the same, whatever they were read from.
#[derive(Debug, Clone, Default)]
pub struct Sources(Vec<Arc<Source>>);

impl PartialEq for Sources {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Sources {
    /// Adds a text and gives its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> u32 {
        self.add_spreadsheet(name, text, Vec::new())
    }

    /// Adds the text of a spreadsheet and gives its number.
    pub(super) fn add_spreadsheet(
        &mut self,
        name: impl Into<String>,
        text: impl Into<String>,
        cells: Vec<CellAt>,
    ) -> u32 {
        let text = text.into();
        let after_breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        let lines = std::iter::once(0).chain(after_breaks).collect();
        self.0.push(Arc::new(Source {
            name: name.into(),
            text,
            lines,
            cells,
        }));
        u32::try_from(self.0.len() - 1).unwrap_or(u32::MAX)
    }

    /// A text by its number.
    pub fn text(&self, source: u32) -> Option<&str> {
        self.source(source).map(|source| source.text.as_str())
    }

    /// The name of a text.
    pub fn name(&self, source: u32) -> Option<&str> {
        self.source(source).map(|source| source.name.as_str())
    }

    fn source(&self, source: u32) -> Option<&Source> {
        self.0.get(usize::try_from(source).ok()?).map(Arc::as_ref)
    }

    /// How many lines a text has.
    pub(super) fn lines(&self, source: u32) -> usize {
        self.source(source).map_or(0, |source| source.lines.len())
    }

    /// The line of a place, from 0.
    pub(super) fn line(&self, span: Span) -> usize {
        self.source(span.source)
            .map_or(0, |source| source.line(span.start))
    }

    /// Line, column and excerpt of a place in the texts.
    pub fn position(&self, span: Span) -> Option<Position> {
        let source = self.source(span.source)?;
        let line = source.line(span.start);
        let first = *source.lines.get(line)?;
        let text = source.text.get(first..source.end(line))?;
        let text = text.trim_end_matches(['\n', '\r']);
        // A mark before the first letter is no letter.
        let hidden = text
            .strip_prefix(BYTE_ORDER_MARK)
            .map_or(0, |rest| text.len() - rest.len());
        let within = |byte: usize| whole(text, byte.saturating_sub(first).max(hidden));
        let (start, end) = (within(span.start), within(span.end));
        let (excerpt, mark) = clip(text, start..end.max(start));
        let range = span.start..span.end;
        Some(Position {
            file: source.name.clone(),
            line: line + 1,
            column: text.get(hidden..start)?.chars().count() + 1,
            range,
            excerpt,
            mark,
            cell: source.cell(span),
        })
    }
}

/// The mark that some editors put before the first letter of a text.
pub(super) const BYTE_ORDER_MARK: char = '\u{feff}';

/// The longest excerpt that is shown, in characters.
const EXCERPT: usize = 160;

/// The byte at which the character of a byte begins; no further than the end.
pub(super) fn whole(text: &str, byte: usize) -> usize {
    let mut back = (0..=byte.min(text.len())).rev();
    back.find(|&at| text.is_char_boundary(at)).unwrap_or(0)
}

/// The part of a line around the marked bytes, and the marked characters within it. A line may be as long as a text: no
/// more of it is gone through than is shown.
fn clip(line: &str, mark: Range<usize>) -> (String, Range<usize>) {
    let (before, marked) = (
        line.get(..mark.start).unwrap_or_default(),
        line.get(mark).unwrap_or_default(),
    );
    let long = line.chars().nth(EXCERPT).is_some();
    let led_in = if long { EXCERPT / 3 } else { EXCERPT };
    let from = before.char_indices().rev().take(led_in).last();
    let from = from.map_or(before.len(), |(at, _)| at);
    let cut = line.get(from..).unwrap_or_default().chars().take(EXCERPT);
    let excerpt: String = cut
        .map(|c| {
            if c.is_control() || c == BYTE_ORDER_MARK {
                ' '
            } else {
                c
            }
        })
        .collect();
    let start = before.get(from..).unwrap_or_default().chars().count();
    let length = marked.chars().take(EXCERPT - start).count();
    (excerpt, start..start + length)
}

/// Where a problem is, for people.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Position {
    /// The name of the text.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The character of the line, from 1.
    pub column: usize,
    /// The bytes of the text.
    pub range: Range<usize>,
    /// The line, or the part of a long one around the place; control characters and tabs are blanks.
    pub excerpt: String,
    /// The characters of the excerpt that are meant; empty where something is missing.
    pub mark: Range<usize>,
    /// Row and column, if the text is a spreadsheet: `row 3, column B`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<String>,
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn position(text: &str, start: usize, end: usize) -> Position {
        let mut sources = Sources::default();
        let source = sources.add("a.toml", text);
        sources.position(Span { source, start, end }).unwrap()
    }

    #[test]
    fn counts_lines_and_characters() {
        let text = "a = 1\r\nö = \"½ x\"\r\n";
        let x = text.find('x').unwrap();
        let at = position(text, x, x + 1);
        assert_eq!(
            (at.line, at.column, at.excerpt.as_str(), at.mark),
            (2, 8, "ö = \"½ x\"", 7..8)
        );
        assert_eq!(position(text, 0, 1).line, 1);
        let end = position(text, text.len(), text.len());
        assert_eq!((end.line, end.column, end.excerpt.as_str()), (3, 1, ""));
        assert_eq!(position("", 0, 0).column, 1);
    }

    #[test]
    fn does_not_count_a_byte_order_mark() {
        let at = position("\u{feff}bark = 1", 3, 7);
        assert_eq!((at.line, at.column, at.mark), (1, 1, 1..5));
    }

    #[test]
    fn marks_stay_within_the_line() {
        assert_eq!(position("[\n1,\n2]", 0, 7).mark, 0..1);
    }

    #[test]
    fn long_lines_are_cut_around_the_place() {
        let text = format!("{}X{}", "a".repeat(1000), "b".repeat(1000));
        let at = position(&text, 1000, 1001);
        assert_eq!((at.column, at.excerpt.chars().count()), (1001, EXCERPT));
        assert_eq!(at.excerpt.chars().nth(at.mark.start), Some('X'));
    }

    #[test]
    fn nothing_outside_the_texts() {
        let mut sources = Sources::default();
        assert!(
            sources
                .position(Span {
                    source: 0,
                    start: 0,
                    end: 0
                })
                .is_none()
        );
        let source = sources.add("a", "abc");
        assert!(
            sources
                .position(Span {
                    source,
                    start: 90,
                    end: 95
                })
                .is_some_and(|at| at.line == 1)
        );
    }

    #[test]
    fn control_characters_do_not_reach_the_terminal() {
        assert_eq!(position("a\u{1b}[31m", 0, 1).excerpt, "a [31m");
    }
}
