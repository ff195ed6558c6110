//! Results in the forms in which they leave the library: JSON, CSV, Markdown and plain sentences.
//!
//! [`CheckDocument`] is the one record of a check; every exporter reads it and nothing else, so no two outputs can
//! disagree. [`Sheet`] is a table before it takes a form, used for the published values and for the rows of a check.
//! [`package_html`] and [`package_markdown`] make the calculation package, with the [`drawing`]s. Exporters return text or write to what they are given; nothing here prints.

mod as_built;
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
#[cfg(feature = "second-opinion")]
mod opinion;
mod package;
mod reliability;
mod sheet;
mod sizing;
mod trees;
mod words;
pub mod work;

pub use as_built::{
    AS_BUILT_SCHEMA, AsBuiltDocument, BuiltChangePart, BuiltPart, as_built_lines, as_built_sheet,
    as_built_summary,
};
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
pub use json::{
    ReportError, as_built_json, check_json, error_json, reliability_json, sheet_json, size_json,
};
pub use markdown::{
    as_built_markdown, check_markdown, reliability_markdown, sheet_markdown, size_markdown,
};
pub use members::{MemberPart, member_sheet, member_summary, worst_members_first};
#[cfg(feature = "second-opinion")]
pub use opinion::{
    OPINION_SCHEMA, OpinionDocument, OpinionInput, differing_words, opinion_json, opinion_words,
};
pub use package::{Package, Project, package_markdown};
pub use reliability::{
    RELIABILITY_SCHEMA, ReliabilityDocument, reliability_sheet, reliability_words,
};
pub use sheet::{Cell, Column, Quantity, Sheet, cited, standing_id};
pub use sizing::{
    NotProposedPart, ProposalPart, SIZE_SCHEMA, SizeDocument, SizeParagraph, SizedPart, SparePart,
    change_words, proposal_words, size_paragraphs, size_sheet, spare_sheet,
};
pub use trees::{
    ConcernPart, GrowthPart, HolePart, MovementPart, MovementsPart, PairPart, SectionPart,
    TreePart, YearPart, growth_sheet, tree_words,
};
pub use words::{not_needed_only, reviews, standings, summary};
