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
    /// The line, from one.
    pub line: Option<usize>,
    /// The column, from one.
    pub column: Option<usize>,
    /// The text at fault.
    pub excerpt: Option<String>,
    /// How to mend it.
    pub mend: Option<String>,
    /// Its bytes in the layout.
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
            line: None,
            column: None,
            excerpt: None,
            mend: Some(mend.into()),
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
            line: place.map(|place| place.line),
            column: place.map(|place| place.column),
            excerpt: place.map(|place| place.excerpt.clone()),
            mend: Some(diagnostic.mend.clone()),
            range: place.map(|place| place.range.clone()),
        }
    }
}
