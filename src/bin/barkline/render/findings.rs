//! What is wrong with a layout, at its place in the text.

use super::wrap::{printable, wrapped};
use crate::output;
use crate::source::Source;
use annotate_snippets::{
    Annotation, AnnotationKind, Group, Level, Message, Renderer, Snippet, Title,
};
use barkline::report::{Finding, Severity};
use std::fmt::Write as _;
use std::ops::Range;

/// Every finding: code, place, excerpt and how to mend it.
pub(crate) fn findings(source: Option<&Source>, findings: &[Finding]) -> String {
    let width = output::width();
    let renderer = Renderer::styled().term_width(width);
    let blocks = findings.iter().map(|finding| {
        if let Some(snippet) = place(source, finding) {
            let messages = messages(finding, width);
            renderer.render(&[title(finding, width).element(snippet).elements(messages)])
        } else {
            let mut text = renderer.render(&[Group::with_title(title(finding, width))]);
            for (name, words) in sentences(finding) {
                let words = within_width(&words, name.len(), width);
                let words = words.replace('\n', &format!("\n{:1$}", "", name.len() + BESIDE));
                let _ = write!(text, "\n  = {name}: {words}");
            }
            text
        }
    });
    blocks.collect::<Vec<_>>().join("\n\n") + "\n"
}

/// What stands before a sentence beside its name: `  = name: ` (columns).
const BESIDE: usize = 6;
/// Figures of the largest number of a line, by which an excerpt is set in (columns).
const LINE_NUMBER: usize = 5;

/// A message in lines that leave room for what stands before them, a name among it.
fn within_width(words: &str, name: usize, width: usize) -> String {
    let room = width.saturating_sub(name + BESIDE + LINE_NUMBER);
    if words.chars().count() <= room {
        return words.to_owned();
    }
    wrapped(words, room, 0).trim_end().to_owned()
}

fn title(finding: &Finding, width: usize) -> Title<'_> {
    let (level, word) = match finding.severity {
        Severity::Error => (Level::ERROR, "error"),
        Severity::Caution => (Level::WARNING.with_name("caution"), "caution"),
    };
    let before = word.len() + finding.code.len();
    level
        .primary_title(within_width(&printable(&finding.message), before, width))
        .id(finding.code.as_str())
}

/// The place of a finding, where it is in the text at hand.
fn place<'a>(
    source: Option<&'a Source>,
    finding: &'a Finding,
) -> Option<Snippet<'a, Annotation<'a>>> {
    let name = finding.file.as_deref()?;
    let marked = source?.text(name)?;
    // A byte order mark is no character of the first line.
    let text = marked.strip_prefix('\u{feff}').unwrap_or(marked);
    let skipped = marked.len() - text.len();
    let range = finding.range.as_ref()?;
    let range = range.start.saturating_sub(skipped)..range.end.saturating_sub(skipped);
    let range = within(text, &range);
    Some(
        Snippet::source(text)
            .path(name)
            .annotation(AnnotationKind::Primary.span(range)),
    )
}

fn messages(finding: &Finding, width: usize) -> Vec<Message<'_>> {
    sentences(finding)
        .map(|(name, words)| (name, within_width(&words, name.len(), width)))
        .map(|(name, words)| Level::HELP.with_name(name).message(words))
        .collect()
}

/// What else is said of a finding: its cell, other places, and how to mend it.
fn sentences(finding: &Finding) -> impl Iterator<Item = (&'static str, String)> {
    let cell = finding.cell.iter().map(|text| ("cell", printable(text)));
    let also = finding.related.iter().map(|text| ("also", printable(text)));
    cell.chain(also)
        .chain(finding.mend.iter().map(|text| ("mend", printable(text))))
}

/// The range cut to whole characters of the text.
fn within(text: &str, range: &Range<usize>) -> Range<usize> {
    let floor = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = floor(range.start);
    start..floor(range.end).max(start)
}
