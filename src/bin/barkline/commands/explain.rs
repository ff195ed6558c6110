//! `explain`: the hand calculation of one anchor.

use super::check::findings;
use super::layout_of;
use crate::args::{Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::checks::{CheckError, Explanation, Verdict};
use barkline::model::LimitState;
use barkline::report::{ExplainDocument, Finding, Provenance, explain_json, explain_markdown};
use barkline::units::Show;
use std::path::Path;

pub(super) fn run(
    layout: &Path,
    anchor: &str,
    check: Option<&str>,
    common: &Common,
) -> Result<Status, Stop> {
    let wanted = check.map(limit_state).transpose()?;
    let (source, layout) = layout_of(layout, common)?;
    let resolved = match layout.resolve() {
        Ok(resolved) => resolved,
        Err(diagnostics) => return Err(Stop::Layout(source, findings(&diagnostics))),
    };
    let cautions = findings(&resolved.diagnostics);
    if !common.quiet && !cautions.is_empty() {
        output::to_standard_error(&render::findings(Some(&source), &cautions), common);
    }
    let mut explanation = resolved.platform.explain(anchor).map_err(|error| {
        let known = resolved.platform.anchors().iter();
        let known: Vec<&str> = known.map(|anchor| anchor.id.as_str()).collect();
        stopped(&error, &source.name, &known)
    })?;
    if let Some(wanted) = wanted {
        explanation
            .checks
            .retain(|explained| explained.check.limit_state == wanted);
    }
    let provenance = Provenance::of(&source.bytes());
    let show = common.show.map_or(resolved.show, Show::from);
    let text = form(&explanation, provenance, show, common.format)?;
    output::deliver(&text, common)?;
    Ok(match explanation.verdict() {
        Verdict::Pass => Status::Pass,
        Verdict::NotNeeded | Verdict::Review | Verdict::Fail => Status::NotPass,
    })
}

fn form(
    explanation: &Explanation,
    provenance: Provenance,
    show: Show,
    form: Form,
) -> Result<String, Stop> {
    Ok(match form {
        Form::Table => render::explain(explanation, show, output::width()),
        Form::Json => explain_json(&ExplainDocument::new(explanation, provenance))?,
        Form::Markdown => explain_markdown(explanation, &provenance, show),
        Form::Html => return Err(super::no_such_form("a hand calculation")),
        Form::Csv => {
            return Err(Stop::given(Finding::error(
                "no-such-form",
                "a hand calculation has no form as CSV",
                "use --format table, json or markdown",
            )));
        }
    })
}

fn limit_state(id: &str) -> Result<LimitState, Stop> {
    let known = LimitState::ALL.iter().find(|state| state.id() == id);
    known.copied().ok_or_else(|| {
        let ids: Vec<&str> = LimitState::ALL.iter().map(|state| state.id()).collect();
        Stop::given(Finding::error(
            "unknown-check",
            format!("there is no check {id}"),
            format!("give one of {}", ids.join(", ")),
        ))
    })
}

fn stopped(error: &CheckError, file: &str, anchors: &[&str]) -> Stop {
    match error {
        CheckError::NoAnchor(_) => Stop::given(Finding::error(
            "unknown-id",
            error.to_string(),
            format!("the anchors of {file} are {}", anchors.join(", ")),
        )),
        _ => Stop::Analysis(Box::new(Finding::error(
            "not-completed",
            format!("the analysis of {file} could not be completed: {error}"),
            "no check ran: this is not a pass",
        ))),
    }
}
