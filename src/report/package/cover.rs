//! The cover: title block, the verdict in a sentence, the cautions.

use super::Package;
use super::block::{Block, Section};
use crate::report::{reviews, summary};

const NOT_SEALED: &str = "This package is not sealed and not a design approval. It sets the loads and sizes of the layout \
     against published strengths; it has not seen the trees. The last sheet is left blank for the reviewer.";

/// The cover.
pub(super) fn section(package: &Package<'_>) -> Section {
    let document = package.document;
    let mut section = Section::new("cover", "Verdict").with(Block::Verdict(
        document.verdict,
        summary(document, package.show),
    ));
    let given = title_block(package);
    if !given.is_empty() {
        section = section.with(Block::Facts(given));
    }
    section = section
        .with(Block::Facts(identity(package)))
        .saying(NOT_SEALED);
    let also = reviews(document, package.show);
    if !also.is_empty() {
        section = section
            .with(Block::Heading("Also".to_owned()))
            .with(Block::List(also));
    }
    section
        .with(Block::Heading("Cautions".to_owned()))
        .with(Block::List(document.cautions.clone()))
}

/// What the layout says of the project; nothing where it says nothing.
fn title_block(package: &Package<'_>) -> Vec<(String, String)> {
    let project = package.project;
    let given = [
        ("Site", &project.site),
        ("Client", &project.client),
        ("Drawn by", &project.drawn_by),
        ("Revision", &project.revision),
        ("Date", &project.date),
        ("Permit", &project.permit),
    ];
    let facts = given
        .into_iter()
        .filter_map(|(name, text)| Some((name.to_owned(), text.clone()?)));
    facts.filter(|(_, text)| !text.trim().is_empty()).collect()
}

/// What made the package, and of what.
fn identity(package: &Package<'_>) -> Vec<(String, String)> {
    let document = package.document;
    vec![
        (
            "Program".to_owned(),
            format!("barkline {}", document.program),
        ),
        ("Layout, SHA-256".to_owned(), document.layout_sha256.clone()),
    ]
}
