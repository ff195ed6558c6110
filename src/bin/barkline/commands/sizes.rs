//! `sizes`: the sizes of anchors.

use super::{NOT_APPROVAL, deliver_sheet};
use crate::args::Common;
use crate::stop::{Status, Stop};
use barkline::report::{Cell, Column, Quantity, Sheet, cited, standing_id};
use barkline::tables;

const GENERIC: &str = "Generic sizes of this project, common practice without a source: measure the anchors you have, and give their sizes in the layout.";

pub(super) fn run(common: &Common) -> Result<Status, Stop> {
    let length = |key, head| Column::of(key, head, Quantity::Length);
    let sheet = Sheet {
        schema: "barkline/sizes/1",
        title: "Sizes of anchors: boss diameter x length / shank diameter, mm".to_owned(),
        columns: vec![
            Column::words("size", "size"),
            length("boss_diameter", "boss diameter"),
            length("boss_length", "boss length"),
            length("shank_diameter", "shank diameter"),
            length("root_diameter", "root diameter"),
            length("shank_length", "shank length"),
            length("thread_length", "thread length"),
            length("pilot_diameter", "pilot diameter"),
            Column::words("steel", "steel"),
            Column::words("source", "source").in_files_only(),
            Column::words("edition", "edition").in_files_only(),
            Column::words("standing", "standing").in_files_only(),
            Column::words("note", "note").in_files_only(),
        ],
        rows: tables::anchor_sizes().iter().map(row).collect(),
        sources: cited(
            tables::anchor_sizes()
                .iter()
                .map(tables::AnchorSize::reference),
        ),
        cautions: vec![GENERIC.to_owned(), NOT_APPROVAL.to_owned()],
    };
    deliver_sheet(&sheet, common)
}

fn row(size: &tables::AnchorSize) -> Vec<Cell> {
    let reference = size.reference();
    let lengths = [
        size.boss_diameter,
        size.boss_length,
        size.shank_diameter,
        size.root_diameter,
        size.shank_length,
        size.thread_length,
        size.pilot_diameter,
    ];
    let mut cells = vec![Cell::text(&size.id)];
    cells.extend(lengths.map(|length| Cell::Value(length.value, Quantity::Length)));
    cells.extend([
        Cell::text(&size.steel),
        Cell::source(reference),
        Cell::text(&reference.source().edition),
        Cell::Word(standing_id(reference.standing())),
        Cell::maybe_text(reference.note()),
    ]);
    cells
}
