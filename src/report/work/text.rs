//! Pages as plain text: short lines, one thing to a line.

use super::page::{Block, Page, Row};
use std::fmt::Write as _;

/// Columns of what a number is.
const LABEL: usize = 32;
/// Columns of the number, and of a long one.
const NUMBER: usize = 16;
const LONG_NUMBER: usize = 24;
/// How far parts of a page are set in.
const INDENT: usize = 2;

/// Pages as plain text, no line wider than `width`.
pub fn pages_text(pages: &[Page], width: usize) -> String {
    let width = width.max(40);
    let pages: Vec<String> = pages.iter().map(|page| one(page, width)).collect();
    pages.join("\n")
}

fn one(page: &Page, width: usize) -> String {
    let rule = "=".repeat(width.min(80));
    let mut text = format!("{rule}\n");
    let mut heading = clean(&page.title);
    if let Some((banner, _)) = &page.banner {
        heading.push_str("   ");
        heading.push_str(&clean(banner));
    }
    text.push_str(&wrap(&heading, width, 0, INDENT));
    for line in &page.lead {
        text.push_str(&wrap(line, width, 0, INDENT));
    }
    text.push_str(&rule);
    text.push('\n');
    for block in page.blocks.iter().filter(|block| !block.is_empty()) {
        text.push('\n');
        text.push_str(&wrap(&block.head().to_uppercase(), width, 0, 0));
        text.push_str(&body(block, width));
    }
    if !page.foot.is_empty() {
        text.push('\n');
        text.push_str(&wrap(&page.foot, width, 0, 0));
    }
    text
}

fn body(block: &Block, width: usize) -> String {
    match block {
        Block::Numbers(_, rows) => {
            let longest = rows.iter().map(|row| clean(&row.number).chars().count());
            let column = longest.max().unwrap_or(0).clamp(NUMBER, LONG_NUMBER);
            rows.iter().map(|row| numbers(row, column, width)).collect()
        }
        Block::Steps(_, steps) => {
            let line = |(at, step): (usize, &String)| {
                wrap(&format!("{}. {step}", at + 1), width, INDENT, INDENT + 3)
            };
            steps.iter().enumerate().map(line).collect()
        }
        Block::Notes(_, notes) => notes
            .iter()
            .map(|note| wrap(note, width, INDENT, INDENT + 2))
            .collect(),
        Block::Table(_, heads, rows) => table(heads, rows, width),
        Block::Blanks(_, blanks) => blanks
            .iter()
            .map(|[key, what]| {
                let line = format!("{key:<14}______________  {what}");
                wrap(&line, width, INDENT, INDENT + 30)
            })
            .collect(),
    }
}

fn numbers(row: &Row, column: usize, width: usize) -> String {
    let beside = if row.beside.is_empty() {
        String::new()
    } else {
        format!("  {}", clean(&row.beside))
    };
    let (what, number) = (clean(&row.what), clean(&row.number));
    let line = format!("{:INDENT$}{what:<LABEL$}{number:<column$}{beside}", "");
    let fits = what.chars().count() < LABEL && line.trim_end().chars().count() <= width;
    if fits {
        return format!("{}\n", line.trim_end());
    }
    let first = wrap(&what, width, INDENT, INDENT + 2);
    let second = format!("{number}{beside}");
    first + &wrap(&second, width, INDENT + 4, INDENT + 4)
}

/// A table in columns, or a block for each row where the screen is too narrow.
fn table(heads: &[String], rows: &[Vec<String>], width: usize) -> String {
    let widest = |at: usize| {
        let cells = rows.iter().filter_map(|row| row.get(at));
        let all = heads.get(at).into_iter().chain(cells);
        all.map(|cell| clean(cell).chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(widest).collect();
    let line = |cells: &[String]| {
        let mut line = " ".repeat(INDENT);
        for (cell, width) in cells.iter().zip(&widths) {
            let _ = write!(line, "{:<1$}", clean(cell), width + 2);
        }
        line.trim_end().to_owned() + "\n"
    };
    if widths.iter().map(|width| width + 2).sum::<usize>() <= width {
        let rows: String = rows.iter().map(|row| line(row)).collect();
        return line(heads) + &rows;
    }
    let mut text = String::new();
    for row in rows {
        for (at, (head, cell)) in heads
            .iter()
            .zip(row)
            .enumerate()
            .filter(|(_, (_, c))| !c.is_empty())
        {
            let indent = if at == 0 { INDENT } else { INDENT + 2 };
            let line = if head.is_empty() {
                cell.clone()
            } else {
                format!("{head}: {cell}")
            };
            text.push_str(&wrap(&line, width, indent, INDENT + 4));
        }
    }
    text
}

/// A sentence in lines no wider than `width`, the first set in by `first`, the others by `indent`.
fn wrap(text: &str, width: usize, first: usize, indent: usize) -> String {
    let mut out = " ".repeat(first);
    let mut at = first;
    let mut begun = false;
    for word in clean(text).split(' ') {
        let length = word.chars().count();
        if begun && at + 1 + length > width {
            let kept = out.trim_end().len();
            out.truncate(kept);
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            at = indent;
        } else if begun {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += length;
        begun = true;
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
    out
}

/// Text without characters that would move the cursor or colour the screen.
fn clean(text: &str) -> String {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    text.chars().map(plain).collect()
}
