//! `check`: every attachment of a layout.

use super::{layout_of, no_such_form, not_completed, opinion, status_of};
use crate::args::{Common, Form};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::Layout;
use barkline::checks::{CheckError, Results};
use barkline::input::Diagnostics;
use barkline::model::Platform;
use barkline::report::{
    CheckDocument, Finding, Provenance, check_json, check_markdown, check_sheet,
};
use barkline::units::Show;
use std::path::{Path, PathBuf};

pub(super) fn run(layout: &Path, ask: &Ask, common: &Common) -> Result<Status, Stop> {
    let checked = Checked::of(layout, ask, common)?;
    let text = form(&checked.document, checked.show, common.format)?;
    output::deliver(&text, common)?;
    Ok(checked.status())
}

/// What a check is asked besides.
#[derive(Debug, Clone, Default)]
pub(super) struct Ask {
    /// Whether to take away each attachment in turn.
    pub(super) lose_one: bool,
    /// Years of growth to look ahead.
    pub(super) years: u32,
    /// Where two answers go that differ, if a second one is asked for.
    pub(super) second_opinion: Option<PathBuf>,
}

/// A layout with its results.
pub(super) struct Checked {
    pub(super) source: Source,
    pub(super) layout: Layout,
    pub(super) platform: Platform,
    pub(super) results: Results,
    pub(super) document: CheckDocument,
    pub(super) show: Show,
}

impl Checked {
    /// Reads a layout and checks it; its cautions go to standard error.
    pub(super) fn of(path: &Path, ask: &Ask, common: &Common) -> Result<Self, Stop> {
        let (source, layout) = layout_of(path, common)?;
        let resolved = match layout.resolve() {
            Ok(resolved) => resolved,
            Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
        };
        let cautions = findings(&resolved.diagnostics);
        if !common.quiet && !cautions.is_empty() {
            output::to_standard_error(&render::findings(Some(&source), &cautions), common);
        }
        let results =
            checked(&resolved.platform, ask).map_err(|error| not_completed(&source, &error))?;
        let provenance = Provenance::of(&source.bytes());
        let mut document = CheckDocument::new(&results, provenance, cautions);
        if let Some(file) = &ask.second_opinion {
            let second = resolved.platform.second_opinion(&results);
            let second = second.map_err(|error| not_completed(&source, &error))?;
            opinion::agreed(&source, &second, file, common)?;
            document.second_opinion = Some(second);
        }
        Ok(Self {
            source: *source,
            layout,
            platform: resolved.platform,
            results,
            document,
            show: common.show.map_or(resolved.show, Show::from),
        })
    }

    /// The status that says what the results say.
    pub(super) fn status(&self) -> Status {
        status_of(self.document.verdict)
    }
}

fn checked(platform: &Platform, ask: &Ask) -> Result<Results, CheckError> {
    let results = platform.check_after(platform.criteria(), ask.years)?;
    Ok(if ask.lose_one {
        results.with_lost(platform.lose_each()?)
    } else {
        results
    })
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

pub(super) fn findings(diagnostics: &Diagnostics) -> Vec<Finding> {
    diagnostics.iter().map(Finding::from).collect()
}
