//! `check`: every attachment of a layout.

use super::checked::Checked;
use super::{no_such_form, status};
use crate::args::{Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::report::{CheckDocument, check_json, check_markdown, check_sheet};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, common: &Common) -> Result<Status, Stop> {
    let checked = Checked::read(layout, common)?;
    let provenance = checked.provenance();
    let document = CheckDocument::new(&checked.results, provenance, checked.cautions);
    output::deliver(&form(&document, checked.show, common.format)?, common)?;
    Ok(status(document.verdict))
}

fn form(document: &CheckDocument, show: Show, form: Form) -> Result<String, Stop> {
    Ok(match form {
        Form::Table => render::check(document, show, output::width()),
        Form::Json => check_json(document)?,
        Form::Csv => super::csv(&check_sheet(document), show)?,
        Form::Markdown => check_markdown(document, show),
        Form::Html => return Err(no_such_form("check")),
    })
}
