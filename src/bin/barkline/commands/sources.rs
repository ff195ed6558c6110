//! `sources`: the documents that values and checks come from.

use super::{NOT_APPROVAL, deliver_sheet};
use crate::args::{Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::report::{Cell, Column, Finding, Sheet};
use barkline::tables::{self, Read, Source};
use barkline::units::Show;

const READ: &str = "How a document was read says how far its figures can be trusted here; those not seen are quoted from memory.";

pub(super) fn run(id: Option<&str>, common: &Common) -> Result<Status, Stop> {
    let Some(id) = id else {
        return deliver_sheet(&sheet(tables::sources().iter()), common);
    };
    let source = tables::source(id).map_err(|error| {
        Stop::given(Finding::error(
            "unknown-source",
            error.to_string(),
            "`barkline sources` lists every source",
        ))
    })?;
    let sheet = sheet([source].into_iter());
    if common.format != Form::Table {
        return deliver_sheet(&sheet, common);
    }
    output::deliver(
        &render::cards(&sheet, Show::default(), output::width()),
        common,
    )?;
    Ok(Status::Pass)
}

fn sheet<'a>(sources: impl Iterator<Item = &'a Source>) -> Sheet {
    Sheet {
        schema: "barkline/sources/1",
        title: "Sources".to_owned(),
        columns: vec![
            Column::words("source", "source"),
            Column::words("title", "title"),
            Column::words("edition", "edition"),
            Column::words("publisher", "publisher").in_files_only(),
            Column::words("document", "document").in_files_only(),
            Column::words("read", "how it was read"),
            Column::words("licence", "licence").in_files_only(),
            Column::words("note", "note").in_files_only(),
        ],
        rows: sources.map(row).collect(),
        sources: Vec::new(),
        cautions: vec![READ.to_owned(), NOT_APPROVAL.to_owned()],
    }
}

fn row(source: &Source) -> Vec<Cell> {
    let text = |text: &str| Cell::maybe_text(Some(text).filter(|text| !text.is_empty()));
    vec![
        Cell::text(&source.id),
        text(&source.title),
        text(&source.edition),
        text(&source.publisher),
        text(&source.document),
        Cell::text(match source.read {
            Read::Printed => "the document itself",
            Read::Transcription => "in another's copy",
            Read::Extract => "in part",
            Read::Abstract => "its abstract",
            Read::NotSeen => "not seen",
            Read::None => "nothing to read",
        }),
        text(&source.licence),
        text(&source.note),
    ]
}
