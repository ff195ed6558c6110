//! `steels`: grades of bar by diameter.

use super::{NOT_APPROVAL, deliver_sheet};
use crate::args::Common;
use crate::stop::{Status, Stop};
use barkline::report::{Cell, Column, Quantity, Sheet, cited, standing_id};
use barkline::tables;

const MINIMA: &str =
    "Specified minimum values of new bar; a bar whose grade nobody can show has none of them.";

pub(super) fn run(common: &Common) -> Result<Status, Stop> {
    let sheet = Sheet {
        schema: "barkline/steels/1",
        title: "Steels".to_owned(),
        columns: vec![
            Column::words("steel", "steel"),
            Column::words("name", "name"),
            Column::words("names", "names").in_files_only(),
            Column::of("over", "over", Quantity::Length),
            Column::of("to", "up to", Quantity::Length),
            Column::of("yield", "yield F_y", Quantity::Stress),
            Column::of("tensile", "tensile F_u", Quantity::Stress),
            Column::of("modulus", "modulus E", Quantity::Modulus),
            Column::of("weight", "weight", Quantity::Weight).in_files_only(),
            Column::words("source", "source"),
            Column::words("edition", "edition").in_files_only(),
            Column::words("modulus_source", "source of the modulus").in_files_only(),
            Column::words("standing", "standing").in_files_only(),
            Column::words("note", "note").in_files_only(),
        ],
        rows: tables::steels().iter().map(row).collect(),
        sources: cited(tables::steels().iter().map(tables::Steel::reference)),
        cautions: vec![MINIMA.to_owned(), NOT_APPROVAL.to_owned()],
    };
    deliver_sheet(&sheet, common)
}

fn row(steel: &tables::Steel) -> Vec<Cell> {
    let (reference, stiffness) = (steel.reference(), steel.stiffness());
    vec![
        Cell::text(&steel.id),
        Cell::maybe_text(steel.names.first()),
        Cell::List(steel.names.clone()),
        Cell::Value(steel.over.value, Quantity::Length),
        Cell::Value(steel.to.value, Quantity::Length),
        Cell::Value(steel.f_y.value, Quantity::Stress),
        Cell::Value(steel.f_u.value, Quantity::Stress),
        Cell::value(stiffness.map(|row| row.modulus.value), Quantity::Modulus),
        Cell::value(stiffness.map(|row| row.unit_weight.value), Quantity::Weight),
        Cell::source(reference),
        Cell::text(&reference.source().edition),
        Cell::maybe_text(stiffness.map(|row| row.reference().citation())),
        Cell::Word(standing_id(reference.standing())),
        Cell::maybe_text(reference.note()),
    ]
}
