//! From a file to typed values, and every problem of the file at once.
//!
//! A text becomes one tree with places ([`Format::Toml`] or [`Format::Json`]); the tree is read into the raw tables of
//! [`layout`], whose ids and names are not looked up yet; rows of spreadsheets join them. Whatever is wrong becomes a
//! [`Diagnostic`].

pub mod diagnostic;
mod document;
pub mod layout;
pub mod reader;
mod resolve;
mod schema;
pub mod source;
mod spreadsheet;

pub use diagnostic::{Code, Diagnostic, Diagnostics, Related, Severity};
pub use document::Format;
pub use layout::Layout;
pub use resolve::Resolved;
pub use schema::schema;
pub use source::{At, Position, Sources, Span};
