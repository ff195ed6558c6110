//! `schema`: the JSON Schema of the layout.

use super::deliver_text;
use crate::args::Common;
use crate::stop::{Status, Stop};
use barkline::report::ReportError;

/// The name that the starter layout gives to the schema.
pub(super) const FILE: &str = "barkline.schema.json";

pub(super) fn run(common: &Common) -> Result<Status, Stop> {
    let mut text =
        serde_json::to_string_pretty(&barkline::input::schema()).map_err(ReportError::from)?;
    text.push('\n');
    deliver_text("the schema", &text, common)
}
