//! `new`: a starter layout.

use super::{deliver_text, one_form, schema};
use crate::args::Common;
use crate::output;
use crate::stop::{Status, Stop};
use barkline::report::Finding;
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
            output::to_file(STARTER, file, common.force)?;
            if !common.quiet {
                output::to_standard_error(&said(file), common);
            }
            Ok(Status::Pass)
        }
        _ => deliver_text(STARTER_WORDS, STARTER, common),
    }
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
