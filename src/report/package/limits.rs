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
    blocks(LIMITS).into_iter().fold(section, Section::with)
}

/// What of a page has been read and not yet been made a block of.
#[derive(Default)]
struct Open {
    heading: String,
    words: String,
    items: Vec<String>,
    lines: Vec<&'static str>,
}

impl Open {
    /// Makes blocks of it.
    fn close(&mut self, blocks: &mut Vec<Block>) {
        if !self.words.is_empty() {
            blocks.push(Block::Words(std::mem::take(&mut self.words)));
        }
        if !self.items.is_empty() {
            blocks.push(Block::List(std::mem::take(&mut self.items)));
        }
        if !self.lines.is_empty() {
            let lines = std::mem::take(&mut self.lines);
            blocks.push(Block::Table(table(&self.heading, &lines)));
        }
    }
}

/// The blocks of a page of Markdown with headings of the second rank, paragraphs, lists and tables.
fn blocks(page: &'static str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open = Open::default();
    for line in page.lines().filter(|line| !line.starts_with("# ")) {
        if let Some(heading) = line.strip_prefix("## ") {
            open.close(&mut blocks);
            open.heading = plain(heading);
            blocks.push(Block::Heading(open.heading.clone()));
        } else if let Some(row) = line.strip_prefix('|').and_then(|l| l.strip_suffix('|')) {
            open.lines.push(row);
        } else if let Some(item) = line.strip_prefix("- ") {
            open.items.push(plain(item));
        } else if line.trim().is_empty() {
            // A list may have blank lines between its items, a paragraph ends with one.
            if open.items.is_empty() {
                open.close(&mut blocks);
            }
        } else {
            let words = open.items.last_mut().unwrap_or(&mut open.words);
            if !words.is_empty() {
                words.push(' ');
            }
            words.push_str(&plain(line));
        }
    }
    open.close(&mut blocks);
    blocks
}

/// A table from its lines: head, rule, rows.
fn table(caption: &str, lines: &[&str]) -> Grid {
    let cells = |line: &&str| line.split('|').map(plain).collect::<Vec<_>>();
    let heads = lines.first().map(cells).unwrap_or_default();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows = lines.iter().skip(2).map(cells).map(Row::from);
    Grid::new(caption, &heads).with_rows(rows)
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
    #![allow(clippy::panic)]
    use super::*;

    #[test]
    fn marks_of_markdown_are_left_out() {
        assert_eq!(
            plain(" **see** the [method](m.md) and `key` "),
            "see the method and key"
        );
    }

    #[test]
    fn every_kind_of_part_is_read() {
        let page = "# Page\n\nSaid\nso.\n\n## Some\n\n- one\n  goes on\n- two\n\n| a | b |\n|---|---|\n| 1 | 2 |\n\n## Last\n\nEnd.\n";
        let blocks = blocks(page);
        let [
            Block::Words(said),
            Block::Heading(some),
            Block::List(items),
            Block::Table(grid),
            Block::Heading(_),
            Block::Words(end),
        ] = &blocks[..]
        else {
            panic!("{blocks:#?}")
        };
        assert_eq!([said, some, end], ["Said so.", "Some", "End."]);
        assert_eq!(items, &["one goes on", "two"]);
        assert_eq!(grid.caption, "Some");
        assert_eq!(grid.columns.len(), 2);
        assert_eq!(grid.rows[0].cells, ["1", "2"]);
    }

    #[test]
    fn nothing_of_the_page_is_left_out() {
        let (mut headings, mut items, mut rows) = (0, 0, 0);
        for block in blocks(LIMITS) {
            match block {
                Block::Heading(_) => headings += 1,
                Block::List(list) => items += list.len(),
                Block::Table(grid) => {
                    assert!(
                        grid.rows
                            .iter()
                            .all(|row| row.cells.len() == grid.columns.len())
                    );
                    rows += grid.rows.len() + 2;
                }
                _ => {}
            }
        }
        let count = |begin: &str| LIMITS.lines().filter(|l| l.starts_with(begin)).count();
        assert!(rows > 10 && items > 4, "{rows} {items}");
        assert_eq!([headings, items, rows], ["## ", "- ", "|"].map(count));
    }
}
