//! `size`: what would make a failing attachment pass, and what the others could still take.

use super::{csv, loaded, not_completed, status_of};
use crate::args::{Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::report::{Provenance, SizeDocument, size_json, size_markdown, size_sheet};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, common: &Common) -> Result<Status, Stop> {
    let (source, resolved, cautions) = loaded(layout, false, common)?;
    let show = common.show.map_or(resolved.show, Show::from);
    let platform = &resolved.platform;
    let results = platform
        .size_with(platform.criteria(), show)
        .map_err(|error| not_completed(&source, &error))?;
    let document = SizeDocument::new(&results, Provenance::of(&source.bytes()), cautions);
    let text = match common.format {
        Form::Table => render::size(&document, show, output::width()),
        Form::Json => size_json(&document)?,
        Form::Csv => csv(&size_sheet(&document, show), show)?,
        Form::Markdown => size_markdown(&document, show),
        Form::Html => return Err(super::no_such_form("a list of changes")),
    };
    output::deliver(&text, common)?;
    Ok(status_of(document.verdict))
}
