//! What is wrong with a layout, at its place in the text.

use super::wrap::printable;
use crate::source::Source;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use barkline::report::{Finding, Severity};
use std::ops::Range;

/// Every finding: code, place, excerpt and how to mend it.
pub(crate) fn findings(source: Option<&Source>, findings: &[Finding]) -> String {
    let renderer = Renderer::styled();
    let mut text = String::new();
    for finding in findings {
        let group = group(source, finding);
        text.push_str(&renderer.render(&[group]));
        text.push_str("\n\n");
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

fn group<'a>(source: Option<&'a Source>, finding: &'a Finding) -> Group<'a> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Caution => Level::WARNING.with_name("caution"),
    };
    let title = level
        .primary_title(printable(&finding.message))
        .id(finding.code.as_str());
    let mut group = Group::with_title(title);
    if let (Some(source), Some(range)) = (source, &finding.range) {
        let range = within(&source.text, range);
        group = group.element(
            Snippet::source(source.text.as_str())
                .path(source.name.as_str())
                .annotation(AnnotationKind::Primary.span(range)),
        );
    }
    match &finding.mend {
        Some(mend) => group.element(Level::HELP.with_name("mend").message(printable(mend))),
        None => group,
    }
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
