//! One tree for TOML and JSON: every key and value with the bytes where it stands.

mod json;
mod toml;

use super::diagnostic::{Code, Diagnostic};
use super::layout::SHOWN;
use super::source::{BYTE_ORDER_MARK, Sources, Span, whole};
use std::ops::Range;

/// The language of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// TOML.
    #[default]
    Toml,
    /// JSON.
    Json,
}

/// The largest text that is read, in bytes.
pub(super) const MAX_BYTES: usize = 8 << 20;
/// The most lines of a text.
const MAX_LINES: usize = 200_000;
/// The deepest nesting of tables and lists; a layout needs six.
const MAX_DEPTH: usize = 32;
/// The longest list, and the largest table.
pub(super) const MAX_LIST: usize = 10_000;

/// The key of a JSON file that tells editors its schema.
pub(super) const SCHEMA_KEY: &str = "$schema";

/// A value and the bytes where it stands.
#[derive(Debug)]
pub(super) struct Node {
    pub(super) span: Span,
    pub(super) value: Value,
}

/// What TOML and JSON can say.
#[derive(Debug)]
pub(super) enum Value {
    Text(String),
    Number(f64),
    Flag(bool),
    /// A date or a time, as it is written.
    Date(String),
    Null,
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// A key of a table and its value.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) span: Span,
    pub(super) node: Node,
}

impl Value {
    /// The type, in words.
    pub(super) fn is(&self) -> &'static str {
        match self {
            Self::Text(_) => "text",
            Self::Number(_) => "a number",
            Self::Flag(true) => "`true`",
            Self::Flag(false) => "`false`",
            Self::Date(_) => "a date",
            Self::Null => "null",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

/// Problems while the tree is made, each with its bytes.
pub(super) struct Problems<'a> {
    sources: &'a Sources,
    source: u32,
    /// Bytes of the file before the text that the parser sees.
    skipped: usize,
    /// One more than is shown, so that it can be said that there are more.
    pub(super) found: Vec<(Span, Diagnostic)>,
}

impl Problems<'_> {
    fn span(&self, range: Range<usize>) -> Span {
        Span {
            source: self.source,
            start: range.start + self.skipped,
            end: range.end + self.skipped,
        }
    }

    /// The line of a byte.
    fn line(&self, byte: usize) -> usize {
        self.sources.line(self.span(byte..byte))
    }

    fn report(&mut self, code: Code, range: Range<usize>, message: &str, mend: &str) {
        self.report_at(code, self.span(range), message, mend);
    }

    fn report_at(&mut self, code: Code, span: Span, message: &str, mend: &str) {
        if self.found.len() > SHOWN {
            return;
        }
        let diagnostic = Diagnostic::error(code, message, mend).at(self.sources.position(span));
        self.found.push((span, diagnostic));
    }

    /// Says so when a list or a table is too long.
    fn fits(&mut self, length: usize, range: Range<usize>) -> bool {
        if length > MAX_LIST {
            let message =
                format!("a list of {length} entries is longer than any layout needs ({MAX_LIST})");
            self.report(
                Code::TooLarge,
                range,
                &message,
                "divide the layout, or remove what is not part of it",
            );
            return false;
        }
        true
    }

    /// Says so when the nesting is too deep.
    fn shallow(&mut self, depth: usize, range: Range<usize>) -> bool {
        if depth > MAX_DEPTH {
            let message = format!("tables and lists are nested more than {MAX_DEPTH} deep");
            self.report(
                Code::TooLarge,
                range,
                &message,
                "no key of a layout is nested that deep: look for a missing bracket",
            );
            return false;
        }
        true
    }
}

/// The tree of one of the texts, and the problems on the way to it.
///
/// There is no tree when nothing could be made of the text; what there is of it is sound in either case.
pub(super) fn parse(
    sources: &Sources,
    source: u32,
    format: Format,
) -> (Option<Node>, Vec<(Span, Diagnostic)>) {
    let whole = sources.text(source).unwrap_or("");
    let text = whole.strip_prefix(BYTE_ORDER_MARK).unwrap_or(whole);
    let mut problems = Problems {
        sources,
        source,
        skipped: whole.len() - text.len(),
        found: Vec::new(),
    };
    let lines = sources.lines(source);
    for (what, count, most) in [
        ("bytes", text.len(), MAX_BYTES),
        ("lines", lines, MAX_LINES),
    ] {
        if count > most {
            let message =
                format!("the text has {count} {what}, more than any layout needs ({most})");
            let mend = "give the layout file itself";
            problems.report(Code::TooLarge, 0..0, &message, mend);
            return (None, problems.found);
        }
    }
    let root = match format {
        Format::Toml => toml::parse(text, &mut problems),
        Format::Json => json::parse(text, &mut problems),
    };
    (root, problems.found)
}
