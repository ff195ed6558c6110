//! What `reliability` prints: a table of attachments and the platform, then what matters, in words.

use super::table::{cautions, rows};
use super::wrap::wrapped;
use barkline::report::{ReliabilityDocument, reliability_sheet};
use barkline::units::Show;

/// A reliability analysis in print.
pub(crate) fn reliability(document: &ReliabilityDocument, show: Show, width: usize) -> String {
    let results = &document.results;
    let mut text = String::new();
    if !results.title.is_empty() {
        text.push_str(&wrapped(&results.title, width, 0));
    }
    let how = format!(
        "In {} years, by {}{}.",
        results.years,
        results.method.words(),
        if results.partial { ", broken off" } else { "" }
    );
    text.push_str(&wrapped(&how, width, 0));
    text.push('\n');
    let sheet = reliability_sheet(document);
    text.push_str(&rows(&sheet, show, width));
    text.push('\n');
    for line in &document.words {
        text.push_str(&wrapped(line, width, 2));
    }
    text.push_str(&cautions(&results.cautions, width));
    text
}
