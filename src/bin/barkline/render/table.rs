//! Tables and cards of sheets.

use super::wrap::{printable, wrapped};
use barkline::report::{Column, Sheet};
use barkline::units::Show;
use comfy_table::{
    Cell as Printed, CellAlignment, ColumnConstraint, ContentArrangement, Table, Width,
};

/// Blanks between columns.
const PADDING: u16 = 2;

/// A sheet as a table with its cautions below; as blocks where the screen is too narrow for its columns.
pub(crate) fn sheet(sheet: &Sheet, show: Show, width: usize) -> String {
    let mut text = wrapped(&sheet.title, width, 0);
    text.push('\n');
    text.push_str(&rows(sheet, show, width));
    text.push_str(&sources(sheet, width));
    text.push_str(&cautions(&sheet.cautions, width));
    text
}

/// The rows of a sheet as a table; as blocks where the screen is too narrow for its columns.
pub(super) fn rows(sheet: &Sheet, show: Show, width: usize) -> String {
    let wanted = |column: &Column| !column.is_detail();
    let table = table(sheet, show, width, wanted);
    if widest(&table) <= width {
        return table;
    }
    let blocks = blocks(sheet, show, width, wanted);
    format!("{}\n", blocks.trim_end_matches('\n'))
}

/// A sheet with one block for each row and one line for each value, its cautions below.
pub(crate) fn cards(sheet: &Sheet, show: Show, width: usize) -> String {
    let mut text = blocks(sheet, show, width, |_| true);
    text.push_str(cautions(&sheet.cautions, width).trim_start_matches('\n'));
    text
}

/// One block for each row, one line for each value of the columns that are wanted.
fn blocks(sheet: &Sheet, show: Show, width: usize, wanted: impl Fn(&Column) -> bool) -> String {
    let heads = sheet.columns.iter().filter(|column| wanted(column));
    let heads = heads.map(|column| column.head().chars().count());
    let indent = heads.max().unwrap_or(0) + usize::from(PADDING);
    let mut text = String::new();
    for row in &sheet.rows {
        let cells = sheet.columns.iter().zip(row);
        for (column, cell) in cells.filter(|(column, _)| wanted(column)) {
            let value = wrapped(&cell.with_unit(show), width.saturating_sub(indent), 0);
            for (at, line) in value.lines().enumerate() {
                let head = if at == 0 { column.head() } else { "" };
                let line = format!("{head:indent$}{line}");
                text.push_str(line.trim_end());
                text.push('\n');
            }
        }
        text.push('\n');
    }
    text
}

/// The longest line.
fn widest(text: &str) -> usize {
    let lines = text.lines().map(|line| line.chars().count());
    lines.max().unwrap_or(0)
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

/// The columns of a sheet that are wanted, without lines, units once in the heads, no word broken. The first, ids that are
/// copied into layouts, is wrapped only where there is no room.
pub(super) fn table(
    sheet: &Sheet,
    show: Show,
    width: usize,
    wanted: impl Fn(&Column) -> bool,
) -> String {
    let whole = arranged(sheet, show, width, &wanted, true);
    if widest(&whole) <= width {
        return whole;
    }
    arranged(sheet, show, width, &wanted, false)
}

fn arranged(
    sheet: &Sheet,
    show: Show,
    width: usize,
    wanted: &impl Fn(&Column) -> bool,
    whole: bool,
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
    let heads = || sheet.columns.iter().filter(|column| wanted(column));
    table.set_header(heads().map(|column| aligned(column, head(column, show))));
    for row in &sheet.rows {
        let cells = sheet.columns.iter().zip(row);
        table.add_row(
            cells
                .filter(|(column, _)| wanted(column))
                .map(|(column, cell)| aligned(column, printable(&column.print(cell, show)))),
        );
    }
    for (at, (column, own)) in table.column_iter_mut().zip(heads()).enumerate() {
        column.set_padding((0, PADDING));
        let longest = longest_word(sheet, own, show);
        column.set_constraint(match (at, own.head()) {
            (0, _) if whole => ColumnConstraint::ContentWidth,
            (_, "source" | "verdict") => ColumnConstraint::ContentWidth,
            _ => {
                let longest = u16::try_from(longest).unwrap_or(u16::MAX);
                ColumnConstraint::LowerBoundary(Width::Fixed(longest.saturating_add(PADDING)))
            }
        });
    }
    let lines = table.lines().map(|line| line.trim_end().to_owned() + "\n");
    lines.collect()
}

/// The longest word of a column: no narrower can it be without breaking one.
fn longest_word(sheet: &Sheet, column: &Column, show: Show) -> usize {
    let at = sheet
        .columns
        .iter()
        .position(|other| other.head() == column.head());
    let cells = sheet.rows.iter().filter_map(|row| row.get(at?));
    let texts = cells.map(|cell| printable(&column.print(cell, show)));
    std::iter::once(head(column, show))
        .chain(texts)
        .filter_map(|text| text.split(' ').map(|word| word.chars().count()).max())
        .max()
        .unwrap_or(0)
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
