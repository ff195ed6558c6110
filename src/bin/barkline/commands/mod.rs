//! The commands: each asks the library and hands back what to deliver.

mod as_built;
mod check;
mod completions;
mod criteria;
mod cut;
mod drill;
mod explain;
mod manual;
mod new;
mod opinion;
mod reliability;
mod report;
mod schema;
mod size;
mod sizes;
mod sources;
mod steels;
mod woods;

use crate::args::{Args, Command, Common, Form};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::Layout;
use barkline::checks::Verdict;
use barkline::input::Resolved;
use barkline::model::as_built::DRAWING_ONLY;
use barkline::report::{
    ErrorDocument, Finding, Sheet, error_json, sheet_csv, sheet_json, sheet_markdown,
};
use barkline::units::Show;
use check::findings;
use std::path::Path;

/// What no table of values says of itself.
const NOT_APPROVAL: &str = "Not a design approval: a licensed engineer, a qualified arborist, local code and permits come first.";

/// Runs a command to its status.
pub(crate) fn run(args: Args) -> Status {
    let common = args.common;
    if let Some(layout) = args.command.layout()
        && let Err(stop) = spared(layout, "the layout itself", &common)
    {
        return stopped(stop, &common);
    }
    let done = match args.command {
        Command::Check {
            layout,
            as_built: true,
            ..
        } => as_built::run(&layout, &common),
        Command::Check {
            layout,
            lose_one,
            after,
            second_opinion,
            ..
        } => {
            let years = after.unwrap_or(0);
            let ask = check::Ask {
                lose_one,
                years,
                second_opinion,
            };
            check::run(&layout, &ask, &common)
        }
        Command::Size { layout } => size::run(&layout, &common),
        Command::Reliability { layout, sampling } => reliability::run(&layout, &sampling, &common),
        Command::Report {
            layout,
            reliability,
        } => report::run(&layout, reliability, &common),
        Command::Explain {
            layout,
            anchor,
            check,
        } => explain::run(&layout, &anchor, check.as_deref(), &common),
        Command::Drill { layout, despite } => drill::run(&layout, despite, &common),
        Command::Cut { layout } => cut::run(&layout, &common),
        Command::Woods { name } => woods::run(name.as_deref(), &common),
        Command::Steels => steels::run(&common),
        Command::Sizes => sizes::run(&common),
        Command::Criteria => criteria::run(&common),
        Command::Sources { id } => sources::run(id.as_deref(), &common),
        Command::New { file } => new::run(file.as_deref(), &common),
        Command::Schema => schema::run(&common),
        Command::Completions { shell } => completions::run(shell, &common),
        Command::Manual => manual::run(&common),
    };
    done.unwrap_or_else(|stop| stopped(stop, &common))
}

/// Refuses to write results over a file that they come from, whatever is forced.
fn spared(input: &Path, what: &str, common: &Common) -> Result<(), Stop> {
    let Some(output) = &common.output else {
        return Ok(());
    };
    match (input.canonicalize(), output.canonicalize()) {
        (Ok(input), Ok(place)) if input == place => Err(Stop::given(Finding::error(
            "file-exists",
            format!("{} is {what}", output.display()),
            "give another name: results never replace what they come from",
        ))),
        _ => Ok(()),
    }
}

/// Says why a run stopped: for people on standard error, for programs that asked for JSON on standard output.
fn stopped(stop: Stop, common: &Common) -> Status {
    let status = stop.status();
    let (source, findings) = stop.findings();
    let text = render::findings(source.as_deref(), &findings);
    output::to_standard_error(&text, common);
    if common.format == Form::Json
        && !common.quiet
        && let Ok(json) = error_json(&ErrorDocument::new(findings))
    {
        // Standard error has said it; a second failure adds nothing.
        let _ = output::to_standard_output(&json, common);
    }
    status
}

/// Reads a layout and its spreadsheets, none of which the results may replace.
fn layout_of(path: &Path, common: &Common) -> Result<(Box<Source>, Layout), Stop> {
    let mut source = Box::new(Source::read(path)?);
    let layout = match source.layout() {
        Ok(layout) => layout,
        Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
    };
    for sheet in source.spreadsheets() {
        spared(sheet, "a spreadsheet of the layout", common)?;
    }
    Ok((source, layout))
}

/// Reads a layout and says what is to be said of it; a check of what was built is not told that it is one of the drawing.
fn loaded(
    layout: &Path,
    as_built: bool,
    common: &Common,
) -> Result<(Box<Source>, Resolved, Vec<Finding>), Stop> {
    let (source, layout) = layout_of(layout, common)?;
    let resolved = match layout.resolve() {
        Ok(resolved) => resolved,
        Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
    };
    let mut cautions = findings(&resolved.diagnostics);
    cautions.retain(|finding| !(as_built && finding.message == DRAWING_ONLY));
    if !common.quiet && !cautions.is_empty() {
        output::to_standard_error(&render::findings(Some(&source), &cautions), common);
    }
    Ok((source, resolved, cautions))
}

fn not_completed(source: &Source, error: &dyn std::error::Error) -> Stop {
    Stop::Analysis(Box::new(Finding::error(
        "not-completed",
        format!(
            "the analysis of {} could not be completed: {error}",
            source.name
        ),
        "no check ran: this is not a pass",
    )))
}

fn status_of(verdict: Verdict) -> Status {
    match verdict {
        Verdict::Pass => Status::Pass,
        Verdict::NotNeeded | Verdict::Review | Verdict::Fail => Status::NotPass,
    }
}

/// Delivers a text that has one form only.
fn deliver_text(what: &str, text: &str, common: &Common) -> Result<Status, Stop> {
    one_form(what, common)?;
    output::deliver(text, common)?;
    Ok(Status::Pass)
}

/// Refuses another form of something that has one form only.
fn one_form(what: &str, common: &Common) -> Result<(), Stop> {
    if common.format == Form::Table {
        return Ok(());
    }
    Err(Stop::given(Finding::error(
        "no-such-form",
        format!("{what} has one form only"),
        "leave --format out",
    )))
}

/// Refuses a form that something does not have.
fn no_such_form(what: &str) -> Stop {
    Stop::given(Finding::error(
        "no-such-form",
        format!("{what} has no HTML"),
        "choose another --format",
    ))
}

/// What should not happen after a check has gone through.
fn fault(error: &dyn std::fmt::Display) -> Stop {
    Stop::Analysis(Box::new(Finding::error(
        "not-completed",
        error.to_string(),
        "this is a fault of the program; please report it",
    )))
}

/// Delivers a table of values in the form asked for.
fn deliver_sheet(sheet: &Sheet, common: &Common) -> Result<Status, Stop> {
    let show = common.show.map_or(Show::default(), Show::from);
    let text = match common.format {
        Form::Table => render::sheet(sheet, show, output::width()),
        Form::Json => sheet_json(sheet)?,
        Form::Csv => csv(sheet, show)?,
        Form::Markdown => sheet_markdown(sheet, show),
        Form::Html => return Err(no_such_form("a table of values")),
    };
    output::deliver(&text, common)?;
    Ok(Status::Pass)
}

fn csv(sheet: &Sheet, show: Show) -> Result<String, Stop> {
    let mut bytes = Vec::new();
    sheet_csv(sheet, show, &mut bytes)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
