//! `drill`: a card for each anchor, and a list of bits and tools.

use super::check::{Ask, Checked};
use super::{fault, not_completed, status_of};
use crate::args::{Common, Form};
use crate::output;
use crate::stop::{Status, Stop};
use barkline::report::Provenance;
use barkline::report::work::{
    DrillDocument, drill_json, drill_pages, drill_sheet, pages_html, pages_markdown, pages_text,
};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, despite: bool, common: &Common) -> Result<Status, Stop> {
    let checked = Checked::of(layout, &Ask::default(), common)?;
    let document = cards(&checked, despite)?;
    output::deliver(&form(&document, checked.show, common.format)?, common)?;
    Ok(status_of(document.verdict))
}

/// The cards of a layout that was checked.
pub(super) fn cards(checked: &Checked, despite: bool) -> Result<DrillDocument, Stop> {
    let platform = &checked.platform;
    let may_miss = platform
        .may_miss()
        .map_err(|error| not_completed(&checked.source, &error))?;
    DrillDocument::new(
        platform,
        &checked.results,
        &may_miss,
        despite,
        Provenance::of(&checked.source.bytes()),
        checked.document.diagnostics.clone(),
    )
    .map_err(|error| fault(&error))
}

fn form(document: &DrillDocument, show: Show, form: Form) -> Result<String, Stop> {
    let pages = || drill_pages(document, show);
    Ok(match form {
        Form::Table => pages_text(&pages(), output::width()),
        Form::Json => drill_json(document)?,
        Form::Csv => super::csv(&drill_sheet(document), show)?,
        Form::Markdown => pages_markdown(&pages()),
        Form::Html => pages_html(&format!("Drilling: {}", document.title), &pages()),
    })
}
