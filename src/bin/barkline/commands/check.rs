//! `check`: every attachment of a layout.

use crate::args::{Common, Form};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::Layout;
use barkline::checks::Verdict;
use barkline::input::Diagnostics;
use barkline::report::{
    CheckDocument, Finding, Provenance, check_json, check_markdown, check_sheet,
};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(layout: &Path, common: &Common) -> Result<Status, Stop> {
    let source = Box::new(Source::read(layout)?);
    let read = Layout::from_named(&source.name, &source.text, source.format)
        .and_then(|layout| layout.resolve());
    let resolved = match read {
        Ok(resolved) => resolved,
        Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
    };
    let cautions = findings(&resolved.diagnostics);
    if !common.quiet && !cautions.is_empty() {
        output::to_standard_error(&render::findings(Some(&source), &cautions), common);
    }
    let results = resolved.platform.check().map_err(|error| {
        Stop::Analysis(Box::new(Finding::error(
            "not-completed",
            format!(
                "the analysis of {} could not be completed: {error}",
                source.name
            ),
            "no check ran: this is not a pass",
        )))
    })?;
    let provenance = Provenance::of(source.text.as_bytes());
    let document = CheckDocument::new(&results, provenance, cautions);
    let show = common.show.map_or(resolved.show, Show::from);
    output::deliver(&form(&document, show, common.format)?, common)?;
    Ok(match document.verdict {
        Verdict::Pass => Status::Pass,
        Verdict::NotNeeded | Verdict::Review | Verdict::Fail => Status::NotPass,
    })
}

fn form(document: &CheckDocument, show: Show, form: Form) -> Result<String, Stop> {
    Ok(match form {
        Form::Table => render::check(document, show, output::width()),
        Form::Json => check_json(document)?,
        Form::Csv => super::csv(&check_sheet(document), show)?,
        Form::Markdown => check_markdown(document, show),
    })
}

pub(super) fn findings(diagnostics: &Diagnostics) -> Vec<Finding> {
    diagnostics.iter().map(Finding::from).collect()
}
