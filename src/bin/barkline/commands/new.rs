//! `new`: a starter layout.

use super::{deliver_text, fault, one_form, schema};
use crate::args::Common;
use crate::stop::{Status, Stop};
use crate::{output, source};
use barkline::Layout;
use barkline::report::{Finding, ReportError};
use serde::Serialize;
use std::path::Path;

/// A layout that checks as it stands.
const STARTER: &str = include_str!("../starter.toml");
/// What it is called in a message.
const STARTER_WORDS: &str = "a starter layout";

pub(super) fn run(file: Option<&Path>, common: &Common) -> Result<Status, Stop> {
    match (file, &common.output) {
        (Some(_), Some(_)) => Err(Stop::given(Finding::error(
            "two-files",
            "both FILE and --output say where to write",
            "give one of them",
        ))),
        (Some(file), None) if file.as_os_str() != "-" => {
            one_form(STARTER_WORDS, common)?;
            output::to_file(&starter(file)?, file, common.force)?;
            if !common.quiet {
                output::to_standard_error(&said(file), common);
            }
            Ok(Status::Pass)
        }
        (None, Some(file)) => deliver_text(STARTER_WORDS, &starter(file)?, common),
        _ => deliver_text(STARTER_WORDS, STARTER, common),
    }
}

/// The starter in the language that the name of its file asks for.
fn starter(file: &Path) -> Result<String, Stop> {
    if !source::is_json(file) {
        return Ok(STARTER.to_owned());
    }
    let layout = Layout::from_toml(STARTER).map_err(|problems| fault(&problems))?;
    let layout = serde_json::to_value(layout).map_err(ReportError::from)?;
    let named = Starter {
        schema: format!("./{}", schema::FILE),
        layout,
    };
    let text = serde_json::to_string_pretty(&named).map_err(ReportError::from)?;
    Ok(text + "\n")
}

/// A layout in JSON that names its schema.
#[derive(Serialize)]
struct Starter {
    #[serde(rename = "$schema")]
    schema: String,
    #[serde(flatten)]
    layout: serde_json::Value,
}

/// What to do next.
fn said(file: &Path) -> String {
    let (name, schema) = (file.display(), file.with_file_name(schema::FILE));
    format!(
        "wrote {name}; check it with: barkline check {name}\n\
         for an editor that completes its keys: barkline schema > {}\n",
        schema.display()
    )
}
