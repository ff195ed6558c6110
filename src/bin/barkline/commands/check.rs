//! `check`: every attachment of a layout, as drawn or as built.

use super::{csv, loaded, not_completed, status_of};
use crate::args::{Common, Form};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::checks::AsBuiltError;
use barkline::input::Resolved;
use barkline::report::{
    AsBuiltDocument, CheckDocument, Finding, Provenance, as_built_json, as_built_markdown,
    as_built_sheet, check_json, check_markdown, check_sheet,
};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, as_built: bool, common: &Common) -> Result<Status, Stop> {
    let (source, resolved, cautions) = loaded(layout, as_built, common)?;
    if as_built {
        return built(&source, &resolved, &cautions, common);
    }
    let results = resolved
        .platform
        .check()
        .map_err(|error| not_completed(&source, &error))?;
    let provenance = Provenance::of(&source.bytes());
    let document = CheckDocument::new(&results, provenance, cautions);
    let show = common.show.map_or(resolved.show, Show::from);
    output::deliver(&form(&document, show, common.format)?, common)?;
    Ok(status_of(document.verdict))
}

fn form(document: &CheckDocument, show: Show, form: Form) -> Result<String, Stop> {
    Ok(match form {
        Form::Table => render::check(document, show, output::width()),
        Form::Json => check_json(document)?,
        Form::Csv => csv(&check_sheet(document), show)?,
        Form::Markdown => check_markdown(document, show),
    })
}

/// Drawn and built side by side.
fn built(
    source: &Source,
    resolved: &Resolved,
    cautions: &[Finding],
    common: &Common,
) -> Result<Status, Stop> {
    let results = resolved.platform.check_as_built();
    let results = results.map_err(|error| match error {
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
        _ => not_completed(source, &error),
    })?;
    let document = AsBuiltDocument::new(&results, &Provenance::of(&source.bytes()), cautions);
    let show = common.show.map_or(resolved.show, Show::from);
    let text = match common.format {
        Form::Table => render::as_built(&document, show, output::width()),
        Form::Json => as_built_json(&document)?,
        Form::Csv => csv(&as_built_sheet(&document), show)?,
        Form::Markdown => as_built_markdown(&document, show),
    };
    output::deliver(&text, common)?;
    Ok(status_of(document.verdict))
}
