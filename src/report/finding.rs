//! What is wrong with a layout, as files carry it.

use crate::input::{self, Diagnostic};
use serde::Serialize;
use std::ops::Range;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Nothing can be checked until it is mended.
    Error,
    /// The reader must know of it.
    Caution,
}

/// Something wrong with a layout, or worth knowing of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The stable code.
    pub code: String,
    /// How grave it is.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// The text it is in.
    pub file: Option<String>,
    /// The line, from one.
    pub line: Option<usize>,
    /// The column, from one.
    pub column: Option<usize>,
    /// Row and column, if the text is a spreadsheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<String>,
    /// The text at fault.
    pub excerpt: Option<String>,
    /// How to mend it.
    pub mend: Option<String>,
    /// Other places that have to do with it.
    pub related: Vec<String>,
    /// Its bytes in the text.
    #[serde(skip)]
    pub range: Option<Range<usize>>,
}

impl Finding {
    /// An error that has no place in the text.
    pub fn error(
        code: impl Into<String>,
        message: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self {
            code: code.into(),
            severity: Severity::Error,
            message: message.into(),
            file: None,
            line: None,
            column: None,
            cell: None,
            excerpt: None,
            mend: Some(mend.into()),
            related: Vec::new(),
            range: None,
        }
    }
}

impl From<&Diagnostic> for Finding {
    fn from(diagnostic: &Diagnostic) -> Self {
        let place = diagnostic.place.as_ref();
        Self {
            code: diagnostic.code.to_string(),
            severity: match diagnostic.severity {
                input::Severity::Error => Severity::Error,
                input::Severity::Caution => Severity::Caution,
            },
            message: diagnostic.message.clone(),
            file: place.map(|place| place.file.clone()),
            line: place.map(|place| place.line),
            column: place.map(|place| place.column),
            cell: place.and_then(|place| place.cell.clone()),
            excerpt: place.map(|place| place.excerpt.trim().to_owned()),
            mend: Some(diagnostic.mend.clone()),
            related: diagnostic.related.iter().map(related).collect(),
            range: place.map(|place| place.range.clone()),
        }
    }
}

fn related(other: &input::Related) -> String {
    match &other.place {
        Some(place) => format!(
            "{} ({}:{}:{})",
            other.message, place.file, place.line, place.column
        ),
        None => other.message.clone(),
    }
}
