//! The drilling cards, as `drill` gives them.

use super::Package;
use super::block::{Block, Section};
use crate::report::work::{DrillDocument, drill_pages};

/// How the cards are used, and what is not here.
const CARDS: &str = "The first sheet goes with the tools, each card to the anchor that it names. No stem is drilled before the \
                     reviewer has signed this package and the arborist the card.";

/// The bits and tools, then a card for each anchor that does not fail.
pub(super) fn section(package: &Package<'_>, cards: &DrillDocument) -> Section {
    let section = Section::new("drilling", "Drilling cards")
        .on_new_sheet()
        .saying(CARDS);
    let pages = drill_pages(cards, package.show).into_iter();
    pages.map(Block::Page).fold(section, Section::with)
}
