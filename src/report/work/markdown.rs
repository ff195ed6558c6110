//! Pages as Markdown.

use super::super::markdown::escaped;
use super::page::{Block, Page};
use std::fmt::Write as _;

/// Pages as Markdown, a rule between them.
pub fn pages_markdown(pages: &[Page]) -> String {
    let pages: Vec<String> = pages.iter().map(|page| one(page, "#")).collect();
    pages.join("\n---\n\n")
}

/// A page under a heading of a level, which is a number of `#`; its parts are one level below.
pub(in crate::report) fn one(page: &Page, level: &str) -> String {
    let mut text = format!("{level} {}\n\n", escaped(&page.title));
    if let Some((banner, _)) = &page.banner {
        let _ = write!(text, "**{}**\n\n", escaped(banner));
    }
    for line in &page.lead {
        let _ = write!(text, "{}\n\n", escaped(line));
    }
    for block in page.blocks.iter().filter(|block| !block.is_empty()) {
        let _ = write!(text, "{level}# {}\n\n", escaped(block.head()));
        text.push_str(&body(block));
        text.push('\n');
    }
    if !page.foot.is_empty() {
        let _ = writeln!(text, "{}", escaped(&page.foot));
    }
    text
}

fn body(block: &Block) -> String {
    match block {
        Block::Numbers(_, rows) => {
            let rows = rows.iter().map(|row| {
                let number = format!("**{}**", escaped(&row.number));
                record([escaped(&row.what), number, escaped(&row.beside)])
            });
            "| | | |\n| --- | --- | --- |\n".to_owned() + &rows.collect::<String>()
        }
        Block::Steps(_, steps) => {
            let step = |(at, step): (usize, &String)| {
                [&(at + 1).to_string(), ". ", &escaped(step), "\n"].concat()
            };
            steps.iter().enumerate().map(step).collect()
        }
        Block::Notes(_, notes) => {
            let note = |note: &String| ["- ", &escaped(note), "\n"].concat();
            notes.iter().map(note).collect()
        }
        Block::Table(_, heads, rows) => {
            let head = record(heads.iter().map(|head| escaped(head)));
            let rule = record(heads.iter().map(|_| "---".to_owned()));
            let rows = rows
                .iter()
                .map(|row| record(row.iter().map(|cell| escaped(cell))));
            head + &rule + &rows.collect::<String>()
        }
        Block::Blanks(_, blanks) => {
            let rows = blanks
                .iter()
                .map(|[key, what]| format!("| `{key}` | | {} |\n", escaped(what)));
            "| | | |\n| --- | --- | --- |\n".to_owned() + &rows.collect::<String>()
        }
    }
}

fn record(cells: impl IntoIterator<Item = String>) -> String {
    let cells: Vec<String> = cells.into_iter().collect();
    format!("| {} |\n", cells.join(" | "))
}
