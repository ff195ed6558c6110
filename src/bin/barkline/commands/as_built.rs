//! `check --as-built`: what was built beside what was drawn.

use super::{csv, loaded, not_completed, status_of};
use crate::args::{Common, Form};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::checks::AsBuiltError;
use barkline::report::{
    AsBuiltDocument, Finding, Provenance, as_built_json, as_built_markdown, as_built_sheet,
};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, common: &Common) -> Result<Status, Stop> {
    let (source, resolved, cautions) = loaded(layout, true, common)?;
    let results = resolved.platform.check_as_built();
    let results = results.map_err(|error| stopped(&source, &error))?;
    let document = AsBuiltDocument::new(&results, &Provenance::of(&source.bytes()), &cautions);
    let show = common.show.map_or(resolved.show, Show::from);
    let text = match common.format {
        Form::Table => render::as_built(&document, show, output::width()),
        Form::Json => as_built_json(&document)?,
        Form::Csv => csv(&as_built_sheet(&document), show)?,
        Form::Markdown => as_built_markdown(&document, show),
        Form::Html => return Err(super::no_such_form("a check as built")),
    };
    output::deliver(&text, common)?;
    Ok(status_of(document.verdict))
}

fn stopped(source: &Source, error: &AsBuiltError) -> Stop {
    match error {
        AsBuiltError::NotMeasured => Stop::given(Finding::error(
            "not-measured",
            format!("{} has no measurements as built", source.name),
            "add [[as_built]] rows, or as_built = \"site.csv\"; without --as-built the drawing is checked",
        )),
        AsBuiltError::Platform(_) => Stop::given(Finding::error(
            "unsound",
            error.to_string(),
            "check the measurements against the drawing",
        )),
        error => not_completed(source, error),
    }
}
