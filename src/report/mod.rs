//! Results in the forms in which they leave the library: JSON, CSV, Markdown and plain sentences.
//!
//! [`CheckDocument`] is the one record of a check; every exporter reads it and nothing else, so no two outputs can
//! disagree. [`Sheet`] is a table before it takes a form, used for the published values and for the rows of a check.
//! [`package_html`] and [`package_markdown`] make the calculation package, with the [`drawing`]s. Exporters return text or write to what they are given; nothing here prints.

mod attachments;
mod csv;
mod document;
pub mod drawing;
mod explain;
mod finding;
mod html;
mod joints;
mod json;
mod markdown;
mod markup;
mod members;
mod package;
mod sheet;
mod trees;
mod words;

pub use attachments::{attachment_sheet, check_sheet, worst_first};
pub use csv::sheet_csv;
pub use document::{
    AttachmentPart, CHECK_SCHEMA, CheckDocument, CheckPart, CombinationPart, CriteriaPart,
    DeckPart, ErrorDocument, FactorPart, Provenance,
};
pub use explain::{
    DiagramPart, EXPLAIN_SCHEMA, ExplainDocument, ExplainedPart, LoadPart, SharedPart, StepPart,
    ValuePart, diagram_lines, diagram_words, explain_json, explain_markdown, explained_words,
    governing_words, step_lines, step_source,
};
pub use finding::{Finding, Severity};
pub use html::package_html;
pub use joints::{
    ExceededPart, GoingPart, JointPart, LossPart, joint_sheet, loss_sheet, loss_words,
};
pub use json::{ReportError, check_json, error_json, sheet_json};
pub use markdown::{check_markdown, sheet_markdown};
pub use members::{MemberPart, member_sheet, member_summary, worst_members_first};
pub use package::{Package, Project, package_markdown};
pub use sheet::{Cell, Column, Quantity, Sheet, cited, standing_id};
pub use trees::{
    ConcernPart, GrowthPart, HolePart, MovementPart, MovementsPart, PairPart, SectionPart,
    TreePart, YearPart, growth_sheet, tree_words,
};
pub use words::{not_needed_only, reviews, standings, summary};
