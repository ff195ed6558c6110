//! A layout read, resolved and checked: where every command that works on results begins.

use crate::args::Common;
use crate::source::Source;
use crate::stop::Stop;
use crate::{output, render};
use barkline::checks::{CheckError, Results};
use barkline::input::{Diagnostics, Resolved};
use barkline::report::{Finding, Provenance};
use barkline::units::Show;
use std::path::Path;

/// A checked layout.
pub(super) struct Checked {
    source: Box<Source>,
    pub(super) resolved: Resolved,
    pub(super) results: Results,
    pub(super) cautions: Vec<Finding>,
    pub(super) show: Show,
}

impl Checked {
    /// Reads and checks a layout; cautions go to standard error.
    pub(super) fn read(layout: &Path, common: &Common) -> Result<Self, Stop> {
        let mut source = Box::new(Source::read(layout)?);
        let read = source.layout().and_then(|layout| layout.resolve());
        let resolved = match read {
            Ok(resolved) => resolved,
            Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
        };
        let cautions = findings(&resolved.diagnostics);
        if !common.quiet && !cautions.is_empty() {
            output::to_standard_error(&render::findings(Some(&source), &cautions), common);
        }
        let results = resolved.platform.check();
        let results = results.map_err(|error| not_completed(&source.name, &error))?;
        Ok(Self {
            show: common.show.map_or(resolved.show, Show::from),
            source,
            resolved,
            results,
            cautions,
        })
    }

    /// From what the results were made.
    pub(super) fn provenance(&self) -> Provenance {
        Provenance::of(&self.source.bytes())
    }

    /// Why the analysis ended without an answer.
    pub(super) fn stop(&self, error: &CheckError) -> Stop {
        not_completed(&self.source.name, error)
    }
}

fn not_completed(name: &str, error: &dyn std::fmt::Display) -> Stop {
    Stop::Analysis(Box::new(Finding::error(
        "not-completed",
        format!("the analysis of {name} could not be completed: {error}"),
        "no check ran: this is not a pass",
    )))
}

fn findings(diagnostics: &Diagnostics) -> Vec<Finding> {
    diagnostics.iter().map(Finding::from).collect()
}
