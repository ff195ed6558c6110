//! The commands: each asks the library and hands back what to deliver.

mod check;
mod completions;
mod criteria;
mod explain;
mod manual;
mod new;
mod report;
mod schema;
mod sizes;
mod sources;
mod steels;
mod woods;

use crate::args::{Args, Command, Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::report::{
    ErrorDocument, Finding, Sheet, error_json, sheet_csv, sheet_json, sheet_markdown,
};
use barkline::units::Show;

/// What no table of values says of itself.
const NOT_APPROVAL: &str = "Not a design approval: a licensed engineer, a qualified arborist, local code and permits come first.";

/// Runs a command to its status.
pub(crate) fn run(args: Args) -> Status {
    let common = args.common;
    if let Err(stop) = spared(&args.command, &common) {
        return stopped(stop, &common);
    }
    let done = match args.command {
        Command::Check {
            layout,
            lose_one,
            after,
        } => {
            let years = after.unwrap_or(0);
            check::run(&layout, check::Ask { lose_one, years }, &common)
        }
        Command::Report { layout } => report::run(&layout, &common),
        Command::Explain {
            layout,
            anchor,
            check,
        } => explain::run(&layout, &anchor, check.as_deref(), &common),
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

/// Refuses to write results over the layout that they come from, whatever is forced.
fn spared(command: &Command, common: &Common) -> Result<(), Stop> {
    let (Some(layout), Some(output)) = (command.layout(), &common.output) else {
        return Ok(());
    };
    match (layout.canonicalize(), output.canonicalize()) {
        (Ok(layout), Ok(place)) if layout == place => Err(Stop::given(Finding::error(
            "file-exists",
            format!("{} is the layout itself", output.display()),
            "give another name: results never replace their layout",
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

/// Delivers a table of values in the form asked for.
fn deliver_sheet(sheet: &Sheet, common: &Common) -> Result<Status, Stop> {
    let show = common.show.map_or(Show::default(), Show::from);
    let text = match common.format {
        Form::Table => render::sheet(sheet, show, output::width()),
        Form::Json => sheet_json(sheet)?,
        Form::Csv => csv(sheet, show)?,
        Form::Markdown => sheet_markdown(sheet, show),
    };
    output::deliver(&text, common)?;
    Ok(Status::Pass)
}

fn csv(sheet: &Sheet, show: Show) -> Result<String, Stop> {
    let mut bytes = Vec::new();
    sheet_csv(sheet, show, &mut bytes)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
