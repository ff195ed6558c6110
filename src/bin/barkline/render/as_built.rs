//! The table of `check --as-built` and the sentences below it.

use super::table::{cautions, table};
use super::wrap::wrapped;
use barkline::report::{
    AsBuiltDocument, as_built_lines, as_built_sheet, as_built_summary, reviews,
};
use barkline::units::Show;

/// Drawn and built side by side, in print.
pub(crate) fn as_built(document: &AsBuiltDocument, show: Show, width: usize) -> String {
    let mut text = String::new();
    if !document.title.is_empty() {
        text.push_str(&wrapped(&document.title, width, 0));
        text.push('\n');
    }
    text.push_str(&table(&as_built_sheet(document), show, width, |_| true));
    text.push('\n');
    text.push_str(&wrapped(&as_built_summary(document, show), width, 0));
    let built = document.built.as_ref().unwrap_or(&document.designed);
    for line in reviews(built, show) {
        text.push_str(&wrapped(&format!("- {line}"), width, 2));
    }
    let lines = as_built_lines(document, show);
    if !lines.is_empty() {
        text.push('\n');
    }
    for line in lines {
        text.push_str(&wrapped(&line, width, 2));
    }
    text.push_str(&cautions(&built.cautions, width));
    text
}
