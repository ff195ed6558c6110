//! A second opinion in words, and the file to send in where it differs.

use super::json::{ReportError, pretty};
use super::{CheckDocument, Provenance};
use crate::second_opinion::{Comparison, Opinion};
use serde::Serialize;

/// Name and number of the form of the file that holds two answers that differ.
pub const OPINION_SCHEMA: &str = "barkline/second-opinion/1";

/// A text from which a check was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OpinionInput {
    /// Name of the file.
    pub name: String,
    /// All of its text.
    pub text: String,
}

/// All that somebody needs to find out which of two answers is wrong. Numbers are in SI.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpinionDocument<'a> {
    /// [`OPINION_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Values that lie farther apart than they may.
    pub differing: Vec<&'a Comparison>,
    /// Every value, and what was not compared.
    #[serde(flatten)]
    pub opinion: &'a Opinion,
    /// The layout and the spreadsheets that it names.
    pub input: Vec<OpinionInput>,
}

impl<'a> OpinionDocument<'a> {
    /// The record of an opinion on a layout.
    pub fn new(opinion: &'a Opinion, provenance: Provenance, input: Vec<OpinionInput>) -> Self {
        Self {
            schema: OPINION_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            differing: opinion.differing().collect(),
            opinion,
            input,
        }
    }
}

/// An opinion with its layout, as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn opinion_json(document: &OpinionDocument<'_>) -> Result<String, ReportError> {
    pretty(document)
}

/// What a second opinion says, and what it does not speak of; nothing where it was not asked for.
pub fn opinion_words(document: &CheckDocument) -> Vec<String> {
    let Some(opinion) = &document.second_opinion else {
        return Vec::new();
    };
    let not = opinion.not_compared.iter();
    std::iter::once(format!("{}.", capital(&opinion.words())))
        .chain(not.map(|part| format!("Not compared: {part}.")))
        .collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Values that differ, in words: the worst first, three at most, and how many more.
pub fn differing_words(opinion: &Opinion) -> String {
    let mut differing: Vec<&Comparison> = opinion.differing().collect();
    differing.sort_by(|a, b| b.difference.total_cmp(&a.difference));
    let named: Vec<String> = differing
        .iter()
        .take(3)
        .map(|own| {
            format!(
                "anchor {}, {}: {} by the check, {} by the second route, {:.1e} apart where {:.0e} may be",
                own.anchor, own.what, own.first, own.second, own.difference, own.tolerance
            )
        })
        .collect();
    let more = differing.len() - named.len();
    let more = if more == 0 {
        String::new()
    } else {
        format!("; and {more} more")
    };
    format!("{}{more}", named.join("; "))
}
