//! Markdown.

use super::{
    Cell, CheckDocument, Column, Sheet, attachment_sheet, growth_sheet, joint_sheet, loss_sheet,
    loss_words, member_sheet, member_summary, reviews, standings, summary, tree_words,
};
use crate::units::Show;
use std::fmt::Write as _;

/// A check as Markdown.
pub fn check_markdown(document: &CheckDocument, show: Show) -> String {
    let title = if document.title.is_empty() {
        "Check"
    } else {
        document.title.as_str()
    };
    let mut text = format!("# {}\n\n", escaped(title));
    let _ = write!(text, "Verdict: **{}**\n\n", document.verdict.word());
    text.push_str(&table(&attachment_sheet(document), show));
    let _ = write!(text, "\n{}\n", escaped(&summary(document, show)));
    if let Some(members) = member_summary(document, show) {
        text.push_str("\n## Members\n\n");
        text.push_str(&table(&member_sheet(document), show));
        let _ = write!(text, "\n{}\n", escaped(&members));
    }
    list(&mut text, "", &reviews(document, show));
    list(&mut text, "", &standings(document));
    list(&mut text, "## Trees\n\n", &tree_words(document));
    for sheet in [
        joint_sheet(document),
        growth_sheet(document),
        loss_sheet(document),
    ]
    .into_iter()
    .flatten()
    {
        let _ = write!(
            text,
            "\n## {}\n\n{}",
            escaped(&sheet.title),
            table(&sheet, show)
        );
    }
    list(&mut text, "", loss_words(document).as_slice());
    list(&mut text, "## Cautions\n\n", &document.cautions);
    let _ = write!(
        text,
        "\nbarkline {}; layout SHA-256 `{}`\n",
        document.program, document.layout_sha256
    );
    text
}

/// A sheet as Markdown.
pub fn sheet_markdown(sheet: &Sheet, show: Show) -> String {
    let mut text = format!("# {}\n\n{}", escaped(&sheet.title), table(sheet, show));
    list(&mut text, "Sources:\n\n", &sheet.source_lines());
    list(&mut text, "", &sheet.cautions);
    text
}

fn list(text: &mut String, head: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    text.push('\n');
    text.push_str(head);
    for line in lines {
        let _ = writeln!(text, "- {}", escaped(line));
    }
}

fn table(sheet: &Sheet, show: Show) -> String {
    let shown = |column: &&Column| !column.is_detail();
    let heads = sheet
        .columns
        .iter()
        .filter(shown)
        .map(|column| match column.unit(show) {
            Some(unit) => format!("{} ({unit})", column.head()),
            None => column.head().to_owned(),
        });
    let rules = sheet
        .columns
        .iter()
        .filter(shown)
        .map(|column| if column.is_figures() { "--:" } else { "---" }.to_owned());
    let mut text = record(heads) + &record(rules);
    for row in &sheet.rows {
        let cells = sheet.columns.iter().zip(row);
        let cells = cells.filter(|(column, _)| !column.is_detail());
        text.push_str(&record(cells.map(|(column, cell): (&Column, &Cell)| {
            escaped(&column.print(cell, show))
        })));
    }
    text
}

pub(super) fn record(cells: impl Iterator<Item = String>) -> String {
    format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "))
}

/// Words that Markdown would read as its own, escaped; line ends as spaces.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '|' | '*' | '_' | '`' | '<' | '>' | '[' | ']' | '#' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
