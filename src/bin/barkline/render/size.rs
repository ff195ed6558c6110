//! What `size` prints: what to do about each failing attachment, then a table of what the others could still take.

use super::table::{cautions, table};
use super::wrap::wrapped;
use barkline::report::{SizeDocument, size_paragraphs, spare_sheet};
use barkline::units::Show;

/// A sizing in print.
pub(crate) fn size(document: &SizeDocument, show: Show, width: usize) -> String {
    let mut text = String::new();
    if !document.title.is_empty() {
        text.push_str(&wrapped(&document.title, width, 0));
        text.push('\n');
    }
    for paragraph in size_paragraphs(document, show) {
        text.push_str(&wrapped(&paragraph.head, width, 0));
        for (rank, item) in paragraph.items.iter().enumerate() {
            text.push_str(&wrapped(&format!("{}. {item}", rank + 1), width, 3));
        }
        for line in &paragraph.after {
            text.push_str(&wrapped(line, width, 2));
        }
        text.push('\n');
    }
    let spare = spare_sheet(document, show);
    if !spare.rows.is_empty() {
        text.push_str(&wrapped(&spare.title, width, 0));
        text.push('\n');
        text.push_str(&table(&spare, show, width, |_| true));
        text.push('\n');
    }
    text.push_str(cautions(&document.cautions, width).trim_start_matches('\n'));
    text
}
