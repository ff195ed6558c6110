//! Tables and cards of sheets.

use super::wrap::{printable, wrapped};
use barkline::report::{Column, Sheet};
use barkline::units::Show;
use comfy_table::{
    Cell as Printed, CellAlignment, ColumnConstraint, ContentArrangement, Table, Width,
};

/// Blanks between columns.
const PADDING: u16 = 2;

/// A sheet as a table with its cautions below.
pub(crate) fn sheet(sheet: &Sheet, show: Show, width: usize) -> String {
    let mut text = wrapped(&sheet.title, width, 0);
    text.push('\n');
    text.push_str(&table(sheet, show, width, |column| !column.is_detail()));
    text.push_str(&sources(sheet, width));
    text.push_str(&cautions(&sheet.cautions, width));
    text
}

/// A sheet with one block for each row and one line for each value, its cautions below.
pub(crate) fn cards(sheet: &Sheet, show: Show, width: usize) -> String {
    let head = |column: &Column| column.head().chars().count();
    let widest = sheet.columns.iter().map(head).max().unwrap_or(0);
    let mut text = String::new();
    for row in &sheet.rows {
        for (column, cell) in sheet.columns.iter().zip(row) {
            let line = format!("{:widest$}  {}", column.head(), "");
            let value = cell.with_unit(show);
            let block = wrapped(&value, width.saturating_sub(widest + 2), 0);
            let mut lines = block.lines();
            text.push_str(&line);
            text.push_str(lines.next().unwrap_or_default());
            text.push('\n');
            for rest in lines {
                text.push_str(&" ".repeat(widest + 2));
                text.push_str(rest);
                text.push('\n');
            }
        }
        text.push('\n');
    }
    text.push_str(cautions(&sheet.cautions, width).trim_start_matches('\n'));
    text
}

/// The sources that the rows cite, with their editions.
fn sources(sheet: &Sheet, width: usize) -> String {
    let lines = sheet.source_lines();
    let lines = lines.iter().map(|line| wrapped(line, width, 2));
    lines.fold(String::new(), |text, line| {
        if text.is_empty() {
            format!("\n{line}")
        } else {
            text + &line
        }
    })
}

/// What the reader must be told, each on lines of its own.
pub(super) fn cautions(cautions: &[String], width: usize) -> String {
    let mut text = String::from("\n");
    for caution in cautions {
        text.push_str(&wrapped(caution, width, 2));
    }
    text
}

/// The columns of a sheet that are wanted, without lines, units once in the heads.
pub(super) fn table(
    sheet: &Sheet,
    show: Show,
    width: usize,
    wanted: impl Fn(&Column) -> bool,
) -> String {
    let mut table = Table::new();
    table
        .load_style(comfy_table::presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(
            u16::try_from(width)
                .unwrap_or(u16::MAX)
                .saturating_add(PADDING),
        );
    table.set_header(
        sheet
            .columns
            .iter()
            .filter(|column| wanted(column))
            .map(|column| aligned(column, head(column, show))),
    );
    for row in &sheet.rows {
        let cells = sheet.columns.iter().zip(row);
        table.add_row(
            cells
                .filter(|(column, _)| wanted(column))
                .map(|(column, cell)| aligned(column, printable(&column.print(cell, show)))),
        );
    }
    let heads = sheet.columns.iter().filter(|column| wanted(column));
    for (at, (column, own)) in table.column_iter_mut().zip(heads).enumerate() {
        column.set_padding((0, PADDING));
        column.set_constraint(constraint(at, own, show));
    }
    let lines = table.lines().map(|line| line.trim_end().to_owned() + "\n");
    lines.collect()
}

/// Ids are copied into layouts: the first column stays whole; no head is broken inside a word.
fn constraint(at: usize, column: &Column, show: Show) -> ColumnConstraint {
    let longest = head(column, show)
        .split(' ')
        .map(|word| word.chars().count())
        .max();
    match (at, column.head()) {
        (0, _) | (_, "source" | "verdict") => ColumnConstraint::ContentWidth,
        _ => {
            let width = u16::try_from(longest.unwrap_or(0)).unwrap_or(u16::MAX);
            let width = width.saturating_add(PADDING);
            ColumnConstraint::LowerBoundary(Width::Fixed(width))
        }
    }
}

fn head(column: &Column, show: Show) -> String {
    match column.unit(show) {
        Some(unit) => format!("{} {unit}", column.head()),
        None => column.head().to_owned(),
    }
}

fn aligned(column: &Column, text: String) -> Printed {
    Printed::new(text).set_alignment(if column.is_figures() {
        CellAlignment::Right
    } else {
        CellAlignment::Left
    })
}
