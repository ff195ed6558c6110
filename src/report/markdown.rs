//! Markdown.

use super::{
    AsBuiltDocument, Cell, CheckDocument, Column, ReliabilityDocument, Sheet, SizeDocument,
    as_built_lines, as_built_sheet, as_built_summary, attachment_sheet, growth_sheet, joint_sheet,
    loss_sheet, loss_words, member_sheet, member_summary, reliability_sheet, reviews,
    size_paragraphs, spare_sheet, standings, summary, tree_words,
};
use crate::units::Show;
use std::fmt::Write as _;

/// A check as Markdown.
pub fn check_markdown(document: &CheckDocument, show: Show) -> String {
    let mut text = heading(&document.title, "Check");
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
    #[cfg(feature = "second-opinion")]
    list(
        &mut text,
        "## Second opinion\n\n",
        &super::opinion_words(document),
    );
    list(&mut text, "## Cautions\n\n", &document.cautions);
    text + &made_of(&document.program, &document.layout_sha256)
}

fn heading(title: &str, otherwise: &str) -> String {
    let title = if title.is_empty() { otherwise } else { title };
    format!("# {}\n\n", escaped(title))
}

fn made_of(program: &str, layout: &str) -> String {
    format!("\nbarkline {program}; layout SHA-256 `{layout}`\n")
}

/// A check as drawn and as built, as Markdown.
pub fn as_built_markdown(document: &AsBuiltDocument, show: Show) -> String {
    let mut text = heading(&document.title, "Check as built");
    text.push_str(&table(&as_built_sheet(document), show));
    let _ = write!(text, "\n{}\n", escaped(&as_built_summary(document, show)));
    list(&mut text, "", &as_built_lines(document, show));
    let built = document.built.as_ref().unwrap_or(&document.designed);
    list(&mut text, "", &reviews(built, show));
    list(&mut text, "## Cautions\n\n", &built.cautions);
    text + &made_of(&document.program, &document.layout_sha256)
}

/// A sizing as Markdown.
pub fn size_markdown(document: &SizeDocument, show: Show) -> String {
    let mut text = heading(&document.title, "Sizing");
    for paragraph in size_paragraphs(document, show) {
        let _ = write!(text, "{}\n\n", escaped(&paragraph.head));
        for (rank, item) in paragraph.items.iter().enumerate() {
            let _ = writeln!(text, "{}. {}", rank + 1, escaped(item));
        }
        list(&mut text, "", &paragraph.after);
        text.push('\n');
    }
    let spare = spare_sheet(document, show);
    if !spare.rows.is_empty() {
        let _ = write!(text, "## {}\n\n", escaped(&spare.title));
        text.push_str(&table(&spare, show));
    }
    list(&mut text, "## Cautions\n\n", &document.cautions);
    text + &made_of(&document.program, &document.layout_sha256)
}

/// A reliability analysis as Markdown.
pub fn reliability_markdown(document: &ReliabilityDocument, show: Show) -> String {
    let results = &document.results;
    let mut text = heading(&results.title, "Reliability");
    let _ = write!(
        text,
        "In {} years, by {}.\n\n",
        results.years,
        results.method.words()
    );
    text.push_str(&table(&reliability_sheet(document), show));
    list(&mut text, "", &document.words);
    list(&mut text, "## Cautions\n\n", &results.cautions);
    text + &made_of(&document.program, &document.layout_sha256)
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
