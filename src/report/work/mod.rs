//! From the numbers to the work: drilling cards and the shop sheet.
//!
//! [`drilling`] and [`cutting`] hold the numbers, as files carry them; [`drill_pages`] and [`cut_pages`] put them into
//! words on [`Page`]s; one exporter for each form writes those: plain text, Markdown, HTML that prints one page to a card.
//! JSON and CSV take the numbers themselves. The
//! calculation package takes the pages of the cards as they are.

mod bits;
mod csv;
mod cut_pages;
pub mod cutting;
mod drill_pages;
pub mod drilling;
mod html;
mod markdown;
mod marks;
mod page;
mod text;

pub use csv::{cut_sheet, drill_sheet};
pub use cut_pages::cut_pages;
pub use cutting::CutDocument;
pub use drill_pages::drill_pages;
pub use drilling::DrillDocument;
pub use html::pages_html;
pub(super) use html::{Headings, STYLE, article};
pub(super) use markdown::one as page_markdown;
pub use markdown::pages_markdown;
pub use marks::{Mark, Rounding};
pub use page::{Block, Page, Row, Tone};
pub use text::pages_text;

use super::json::{ReportError, pretty};

/// The cards as JSON.
///
/// # Errors
/// When they can not be serialized.
pub fn drill_json(document: &DrillDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// The shop sheet as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn cut_json(document: &CutDocument) -> Result<String, ReportError> {
    pretty(document)
}
