//! The package as Markdown: the same sections, the drawings left out or tables in their place.

use super::block::{Block, Grid, Holds, Row, Section};
use super::{Package, sections};
use crate::report::markdown::{escaped, record};
use crate::report::work::page_markdown;
use std::fmt::Write as _;

const NO_DRAWINGS: &str = "The drawings are in the HTML form of this package.";

/// The calculation package as Markdown, without its drawings.
pub fn package_markdown(package: &Package<'_>) -> String {
    let mut text = format!(
        "# {}\n\nCalculation package: anchors in living trees. {}\n\n{NO_DRAWINGS}\n",
        escaped(package.title()),
        escaped(&package.identity())
    );
    for section in sections(package) {
        write_section(&mut text, &section);
    }
    text
}

fn write_section(text: &mut String, section: &Section) {
    let _ = write!(text, "\n## {}\n", escaped(&section.title));
    for block in &section.blocks {
        text.push('\n');
        write_block(text, block);
    }
}

fn write_block(text: &mut String, block: &Block) {
    let _ = match block {
        Block::Heading(words) => writeln!(text, "### {}", escaped(words)),
        Block::Words(words) => writeln!(text, "{}", escaped(words)),
        Block::Verdict(verdict, words) => {
            let verdict = verdict.word().to_uppercase();
            writeln!(text, "**{verdict}** {}", escaped(words))
        }
        Block::List(items) => items
            .iter()
            .try_for_each(|item| writeln!(text, "- {}", escaped(item))),
        Block::Facts(facts) => facts.iter().try_for_each(|(name, words)| {
            writeln!(text, "- {}: {}", escaped(name), escaped(words))
        }),
        Block::Steps(steps) => steps.iter().try_for_each(|step| {
            let lines: Vec<String> = step.lines.iter().map(|line| escaped(line)).collect();
            let (title, source) = (escaped(&step.title), escaped(&step.source));
            writeln!(text, "- {title}: {} ({source})", lines.join(" "))
        }),
        Block::Figure(figure) if figure.caption.is_empty() => {
            writeln!(text, "*Drawing left out.*")
        }
        Block::Figure(figure) => writeln!(text, "*Drawing left out: {}*", escaped(&figure.caption)),
        Block::Blanks(blanks) => blanks
            .iter()
            .try_for_each(|(name, _)| writeln!(text, "- {name}: \\_\\_\\_\\_\\_\\_\\_\\_")),
        Block::Verbatim(words) => {
            // Indented, so that nothing in it ends the block.
            words
                .lines()
                .try_for_each(|line| writeln!(text, "    {}", printable(line)))
        }
        Block::Table(grid) | Block::Drawn(_, grid) => {
            write_grid(text, grid);
            Ok(())
        }
        Block::Page(page) => write!(text, "{}", page_markdown(page, "###")),
    };
}

fn printable(line: &str) -> String {
    let printable = |c: char| if c.is_control() { ' ' } else { c };
    line.chars().map(printable).collect()
}

fn write_grid(text: &mut String, grid: &Grid) {
    let detailed = grid.rows.iter().any(|row| row.detail.is_some());
    let extra = |words: &str| detailed.then(|| words.to_owned());
    let _ = write!(text, "{}\n\n", escaped(&grid.caption));
    let heads = grid.columns.iter().map(|(name, _)| escaped(name));
    text.push_str(&record(heads.chain(extra("source and note"))));
    let rules = grid.columns.iter().map(|(_, holds)| {
        if matches!(holds, Holds::Figures | Holds::Used) {
            "--:"
        } else {
            "---"
        }
        .to_owned()
    });
    text.push_str(&record(rules.chain(extra("---"))));
    for row in &grid.rows {
        let cells = row.cells.iter().map(|cell| emphasized(row, cell));
        let detail = row.detail.as_deref().map(escaped).unwrap_or_default();
        text.push_str(&record(cells.chain(extra(&detail))));
    }
}

fn emphasized(row: &Row, cell: &str) -> String {
    let cell = escaped(cell);
    if row.strong && !cell.trim().is_empty() {
        format!("**{}**", cell.trim())
    } else {
        cell
    }
}
