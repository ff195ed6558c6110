//! `cut`: the shop sheet.

use super::check::{Ask, Checked};
use super::{fault, not_completed, status_of};
use crate::args::{Common, Form};
use crate::output;
use crate::stop::{Status, Stop};
use barkline::report::Provenance;
use barkline::report::work::{
    CutDocument, cut_json, cut_pages, cut_sheet, pages_html, pages_markdown, pages_text,
};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, common: &Common) -> Result<Status, Stop> {
    let checked = Checked::of(layout, &Ask::default(), common)?;
    let platform = &checked.platform;
    let joints = platform
        .joint_loads()
        .map_err(|error| not_completed(&checked.source, &error))?;
    let document = CutDocument::new(
        platform,
        &checked.results,
        &joints,
        Provenance::of(&checked.source.bytes()),
        checked.document.diagnostics.clone(),
    )
    .map_err(|error| fault(&error))?;
    output::deliver(&form(&document, checked.show, common.format)?, common)?;
    Ok(status_of(checked.results.verdict()))
}

fn form(document: &CutDocument, show: Show, form: Form) -> Result<String, Stop> {
    let pages = || cut_pages(document, show);
    Ok(match form {
        Form::Table => pages_text(&pages(), output::width()),
        Form::Json => cut_json(document)?,
        Form::Csv => super::csv(&cut_sheet(document), show)?,
        Form::Markdown => pages_markdown(&pages()),
        Form::Html => pages_html(&format!("Shop sheet: {}", document.title), &pages()),
    })
}
