//! `report`: the calculation package of a layout.

use super::check::{Ask, Checked};
use super::{drill, reliability};
use crate::args::{Common, Form};
use crate::output;
use crate::stop::{Status, Stop};
use barkline::reliability::ReliabilityOptions;
use barkline::report::{
    Finding, Package, Project, Provenance, ReliabilityDocument, package_html, package_markdown,
};
use std::path::Path;

const ENDINGS: &str = "end it in .html for a package with drawings, or in .md for one without them";

pub(super) fn run(layout: &Path, with_reliability: bool, common: &Common) -> Result<Status, Stop> {
    let (file, write) = form(common)?;
    let ask = Ask {
        lose_one: true,
        ..Ask::default()
    };
    let checked = Checked::of(layout, &ask, common)?;
    // Cards of anchors that fail are withheld here as well.
    let cards = drill::cards(&checked, false)?;
    let found = with_reliability
        .then(|| likelihoods(&checked, common))
        .transpose()?;
    let project = checked
        .layout
        .project
        .as_ref()
        .map_or_else(Project::default, Project::from);
    let text = write(&Package {
        platform: &checked.platform,
        results: &checked.results,
        document: &checked.document,
        trees: Some(checked.results.trees()),
        drill: Some(&cards),
        reliability: found.as_ref(),
        project: &project,
        layout: checked
            .source
            .text(&checked.source.name)
            .unwrap_or_default(),
        show: checked.show,
    });
    output::to_file(&text, file, common.force)?;
    if !common.quiet {
        let name = file.display();
        let said = format!("wrote {name}\n");
        output::to_standard_error(&said, common);
    }
    Ok(found.map_or(checked.status(), |found| {
        worse(checked.status(), reliability::status_of(&found.results))
    }))
}

/// How likely it is that strength is exceeded, by the defaults of the command of that name.
fn likelihoods(checked: &Checked, common: &Common) -> Result<ReliabilityDocument, Stop> {
    let options = ReliabilityOptions::default();
    let results = reliability::worked_out(&checked.platform, &checked.source, &options, common)?;
    let provenance = Provenance::of(&checked.source.bytes());
    // What is worth knowing of the layout stands in the other sections.
    Ok(ReliabilityDocument::new(results, provenance, Vec::new()))
}

/// The status that says more: what was not completed before what does not pass.
fn worse(one: Status, other: Status) -> Status {
    [Status::NotCompleted, Status::NotPass]
        .into_iter()
        .find(|status| [one, other].contains(status))
        .unwrap_or(one)
}

/// Writes a package in a form.
type Writer = fn(&Package<'_>) -> String;

/// The file to write, and the form that its ending asks for.
fn form(common: &Common) -> Result<(&Path, Writer), Stop> {
    let Some(file) = common.output.as_deref() else {
        return Err(Stop::given(Finding::error(
            "no-output",
            "nothing says where to write the package",
            format!("give -o FILE and {ENDINGS}"),
        )));
    };
    if common.format != Form::Table {
        return Err(Stop::given(Finding::error(
            "no-such-form",
            "the form of a package follows from the ending of its file",
            "leave --format out",
        )));
    }
    let ending = file.extension().unwrap_or_default();
    if ending.eq_ignore_ascii_case("html") {
        Ok((file, package_html))
    } else if ending.eq_ignore_ascii_case("md") {
        Ok((file, package_markdown))
    } else {
        Err(Stop::given(Finding::error(
            "no-such-form",
            format!("{} is neither .html nor .md", file.display()),
            ENDINGS,
        )))
    }
}
