//! The documents that the numbers come from, with their editions.

use super::Package;
use super::block::{Block, Grid, Row, Section};
use super::worked::{self, Working};
use crate::model::NOT_READ;
use crate::report::FactorPart;
use crate::tables::{self, Read, Source};

/// The sources that this package cites.
pub(super) fn section(package: &Package<'_>, workings: &[Working]) -> Section {
    let mut citations = citations(package);
    citations.extend(worked::sources(package, workings));
    let cited = cited(&citations);
    let documents = tables::sources()
        .iter()
        .filter(|source| cited.iter().any(|id| *id == source.id));
    let section = Section::new("sources", "Sources")
        .on_new_sheet()
        .with(Block::Table(
            Grid::new(
                "Documents that are cited. A citation is the id, then the place in the document.",
                &["id", "title", "edition", "publisher", "how it was read"],
            )
            .with_rows(documents.map(row)),
        ));
    let own = own(package);
    if own.is_empty() {
        return section;
    }
    section
        .with(Block::Heading("Sources that the layout gives".to_owned()))
        .with(Block::List(own))
}

fn row(source: &Source) -> Row {
    let read = match source.read {
        Read::Printed => "the document itself",
        Read::Transcription => "its figures, in another's copy",
        Read::Extract => "a part of it",
        Read::Abstract => "its abstract",
        Read::NotSeen => "not seen: from memory",
        Read::None => "nothing to read",
    };
    Row {
        cells: vec![
            source.id.clone(),
            source.title.clone(),
            source.edition.clone(),
            source.publisher.clone(),
            read.to_owned(),
        ],
        detail: Some(source.note.clone()).filter(|note| !note.is_empty()),
        ..Row::default()
    }
}

/// Every citation of the package.
fn citations<'a>(package: &'a Package<'_>) -> Vec<&'a str> {
    let document = package.document;
    let checks = document.attachments.iter().flat_map(|part| &part.checks);
    let of_members = document.members.iter().flat_map(|part| &part.checks);
    let criteria = &document.criteria;
    let read = |(key, _): &(&String, &FactorPart)| !NOT_READ.contains(&key.as_str());
    let factors = criteria.factors.iter().filter(read);
    let platform = package.platform;
    let pieces = platform
        .anchors()
        .iter()
        .flat_map(|anchor| std::iter::once(&anchor.size.boss).chain(&anchor.size.shank));
    let sizes = platform.anchors().iter();
    let timbers = platform.beams().iter().map(|beam| &beam.timber);
    let joists = platform.decks().iter().map(|deck| &deck.joists.timber);
    let braces = platform.braces().iter().map(|brace| &brace.timber);
    checks
        .map(|check| check.0.source.as_str())
        .chain(of_members.map(|check| check.0.source.as_str()))
        .chain(factors.map(|(_, factor)| factor.source.as_str()))
        .chain(criteria.combinations.iter().map(|c| c.source.as_str()))
        .chain(
            platform
                .stems()
                .iter()
                .map(|s| s.wood.origin().source.as_str()),
        )
        .chain(pieces.map(|piece| piece.steel.origin.source.as_str()))
        .chain(sizes.map(|anchor| anchor.size.origin.source.as_str()))
        .chain(
            timbers
                .chain(joists)
                .chain(braces)
                .map(|t| t.origin.source.as_str()),
        )
        .collect()
}

/// The ids that citations begin with.
fn cited<'a>(citations: &[&'a str]) -> Vec<&'a str> {
    let mut ids: Vec<&str> = citations
        .iter()
        .flat_map(|citation| citation.split(';'))
        .map(|one| one.split(':').next().unwrap_or(one).trim())
        .collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

/// Sources in the layout's own words: sizes, steels, woods and combinations that it brings itself.
fn own(package: &Package<'_>) -> Vec<String> {
    let known = |citation: &&str| {
        let begins = |one: &str| {
            let id = one.split(':').next().unwrap_or(one).trim();
            tables::source(id).is_ok()
        };
        let practice = citation.starts_with("common practice");
        !practice && **citation != *"the layout" && !citation.split(';').any(begins)
    };
    let mut own: Vec<String> = citations(package)
        .into_iter()
        .filter(known)
        .map(str::to_owned)
        .collect();
    own.sort_unstable();
    own.dedup();
    own
}
