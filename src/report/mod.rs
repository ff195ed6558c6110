//! Results in the forms in which they leave the library: JSON, CSV, Markdown and plain sentences.
//!
//! [`CheckDocument`] is the one record of a check; every exporter reads it and nothing else, so no two outputs can
//! disagree. [`Sheet`] is a table before it takes a form, used for the published values and for the rows of a check.
//! Exporters return text or write to what they are given; nothing here prints.

mod attachments;
mod csv;
mod document;
mod finding;
mod json;
mod markdown;
mod sheet;
mod words;
pub mod work;

pub use attachments::{attachment_sheet, check_sheet, worst_first};
pub use csv::sheet_csv;
pub use document::{
    AttachmentPart, CHECK_SCHEMA, CheckDocument, CheckPart, CombinationPart, CriteriaPart,
    DeckPart, ErrorDocument, FactorPart, Provenance,
};
pub use finding::{Finding, Severity};
pub use json::{ReportError, check_json, error_json, sheet_json};
pub use markdown::{check_markdown, sheet_markdown};
pub use sheet::{Cell, Column, Quantity, Sheet, cited, standing_id};
pub use words::{not_needed_only, reviews, standings, summary};
