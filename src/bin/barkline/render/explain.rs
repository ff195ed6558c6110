//! The hand calculation in print.

use super::table::cautions;
use super::wrap::wrapped;
use barkline::checks::Explanation;
use barkline::checks::trace::{Explained, Step};
use barkline::report::{
    diagram_lines, diagram_words, explained_words, governing_words, step_lines, step_source,
};
use barkline::units::Show;

/// Columns by which equations are set in.
const INDENT: usize = 4;

/// The hand calculation of an anchor.
pub(crate) fn explain(explanation: &Explanation, show: Show, width: usize) -> String {
    let attachment = &explanation.attachment;
    let head = format!(
        "{} in {}: {}",
        attachment.anchor(),
        attachment.tree(),
        attachment.verdict().word()
    );
    let mut text = wrapped(&head, width, 0);
    for shared in &explanation.shared {
        heading(&mut text, &shared.title, width);
        steps(&mut text, &shared.steps, show, width);
    }
    for explained in &explanation.checks {
        check(&mut text, explained, show, width);
    }
    if let Some(diagram) = &explanation.diagram {
        heading(&mut text, "Diagrams", width);
        text.push_str(&wrapped(&diagram_words(diagram, show), width, 0));
        text.push('\n');
        for line in diagram_lines(diagram, show, width) {
            text.push_str(&line);
            text.push('\n');
        }
    }
    text.push_str(&cautions(&explanation.cautions, width));
    text
}

fn heading(text: &mut String, title: &str, width: usize) {
    let title = wrapped(title, width, 0);
    let longest = title.lines().map(|line| line.chars().count()).max();
    text.push('\n');
    text.push_str(&title);
    text.push_str(&"-".repeat(longest.unwrap_or(0)));
    text.push('\n');
}

fn check(text: &mut String, explained: &Explained, show: Show, width: usize) {
    heading(text, &explained_words(explained), width);
    if let Some(governing) = &explained.governing {
        text.push_str(&wrapped(&governing_words(governing, show), width, 2));
    }
    if let Some(note) = &explained.check.note {
        text.push_str(&wrapped(note, width, 2));
    }
    steps(text, &explained.steps, show, width);
}

fn steps(text: &mut String, steps: &[Step], show: Show, width: usize) {
    for step in steps {
        text.push_str(&wrapped(&format!("- {}", step.title), width, 2));
        let hang = step.symbol.chars().count() + 1;
        for (i, line) in step_lines(step, show).iter().enumerate() {
            let indent = if i == 0 { INDENT } else { INDENT + hang };
            let room = width.saturating_sub(indent);
            let block = wrapped(line, room, 2);
            for line in block.lines() {
                text.push_str(&" ".repeat(indent));
                text.push_str(line);
                text.push('\n');
            }
        }
        let source = format!("[{}]", step_source(step));
        for line in wrapped(&source, width.saturating_sub(INDENT), 1).lines() {
            text.push_str(&" ".repeat(INDENT));
            text.push_str(line);
            text.push('\n');
        }
    }
}
