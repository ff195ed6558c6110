//! What is not covered: the page of the documentation, as the program was built with it.

use super::Package;
use super::block::{Block, Grid, Row, Section};

/// The page.
const LIMITS: &str = include_str!("../../../docs/limits.md");

/// What is not covered.
pub(super) fn section(package: &Package<'_>) -> Section {
    let mut section = Section::new("limits", "What is not covered").on_new_sheet();
    if !package.document.not_assessed.is_empty() {
        section = section
            .with(Block::Heading(
                "Named by this layout and not assessed".to_owned(),
            ))
            .with(Block::List(package.document.not_assessed.clone()));
    }
    section
        .with(Block::Table(
            Grid::new(
                "Not covered by this version",
                &["not covered", "what to do"],
            )
            .with_rows(table("## Not covered yet")),
        ))
        .with(Block::Heading("What the numbers are not".to_owned()))
        .with(Block::List(list("## What the numbers are not")))
        .with(Block::Table(
            Grid::new(
                "Assumptions, and on which side they lie",
                &["assumption", "side"],
            )
            .with_rows(table("## Assumptions on the safe side, and not")),
        ))
        .with(Block::Heading("Before drilling, and after".to_owned()))
        .with(Block::List(list("## Cautions")))
}

/// The lines under a heading of the page.
fn under(heading: &'static str) -> impl Iterator<Item = &'static str> {
    LIMITS
        .lines()
        .skip_while(move |line| *line != heading)
        .skip(1)
        .take_while(|line| !line.starts_with("## "))
}

/// The rows of the table under a heading, without its head.
fn table(heading: &'static str) -> Vec<Row> {
    let rows = under(heading).filter_map(|line| line.strip_prefix('|')?.strip_suffix('|'));
    rows.skip(2)
        .map(|row| Row::from(row.split('|').map(plain).collect::<Vec<_>>()))
        .collect()
}

/// The items of the list under a heading, continuation lines joined.
fn list(heading: &'static str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for line in under(heading).filter(|line| !line.trim().is_empty()) {
        match (line.strip_prefix("- "), items.last_mut()) {
            (Some(item), _) => items.push(plain(item)),
            (None, Some(last)) => {
                last.push(' ');
                last.push_str(&plain(line));
            }
            (None, None) => {}
        }
    }
    items
}

/// Words without the marks of Markdown; of a link, its words.
fn plain(text: &str) -> String {
    let mut words = String::new();
    let mut rest = text.trim();
    while let Some((before, link)) = rest.split_once("](") {
        words.push_str(&before.replacen('[', "", 1));
        rest = link.split_once(')').map_or("", |(_, after)| after);
    }
    words.push_str(rest);
    words.replace(['`', '*'], "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_markdown_are_left_out() {
        assert_eq!(
            plain(" **see** the [method](m.md) and `key` "),
            "see the method and key"
        );
    }

    #[test]
    fn the_page_is_read_whole() {
        let rows = table("## Not covered yet");
        assert!(rows.len() >= 10, "{rows:#?}");
        assert!(rows.iter().all(|row| row.cells.len() == 2), "{rows:#?}");
        assert!(table("## Assumptions on the safe side, and not").len() >= 5);
        for heading in ["## What the numbers are not", "## Cautions"] {
            let items = list(heading);
            assert!(items.len() >= 4, "{heading}: {items:#?}");
            assert!(items.iter().all(|item| item.ends_with('.')), "{items:#?}");
        }
    }
}
