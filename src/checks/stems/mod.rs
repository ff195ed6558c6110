//! Trees under a platform: how far they move, what beams between them need, what the hole and the load do to the stem, how growth
//! changes it all.
//!
//! Everything here is an estimate of a mean tree unless it was measured, and says so. It is worked out from the [`Platform`], the
//! [`Criteria`] and, for stresses, the worst load of every anchor.

mod growth;
mod holes;
mod movement;
mod pairs;
mod section;

pub use growth::{GrowthResult, GrowthRow};
pub use holes::HoleResult;
pub use movement::{AnchorMovement, TreeResult, Winds};
pub use pairs::{LockedIn, PairResult};
pub use section::SectionResult;

use super::Verdict;
use crate::mechanics::MechanicsError;
use crate::model::{Anchor, BeamSupport, Criteria, Platform, Stem};
use crate::units::{Force, Length};
use std::collections::HashMap;

/// The worst load of an anchor: its triple.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AnchorLoad {
    /// Along the grain of an upright stem, positive down.
    pub down: Force,
    /// Across, either way.
    pub side: Force,
    /// Along the bar, positive pulling out.
    pub out: Force,
}

/// What is asked about the trees.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The winds.
    pub winds: Winds,
    /// The worst load of every anchor, in the order of the platform; an anchor beyond the end has none.
    pub loads: &'a [AnchorLoad],
    /// Years of growth to look ahead.
    pub years: u32,
    /// The travel of a sliding seat from stop to stop, where it is given.
    pub travel: &'a dyn Fn(&BeamSupport) -> Option<Length>,
}

impl std::fmt::Debug for Question<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Question")
            .field("winds", &self.winds)
            .field("loads", &self.loads)
            .field("years", &self.years)
            .finish_non_exhaustive()
    }
}

/// Everything about the trees.
#[derive(Debug, Clone, PartialEq)]
pub struct Trees {
    /// Each tree that carries an anchor.
    pub trees: Vec<TreeResult>,
    /// Each pair of trees that the platform joins.
    pub pairs: Vec<PairResult>,
    /// Each hole of a deck round a stem.
    pub holes: Vec<HoleResult>,
    /// Each anchor over the years.
    pub growth: Vec<GrowthResult>,
}

impl Trees {
    /// The worst verdict of pairs, holes, sections and growth.
    pub fn verdict(&self) -> Verdict {
        let sections = self.trees.iter().flat_map(|tree| &tree.sections);
        let pairs = self.pairs.iter().map(|pair| pair.verdict);
        let holes = self.holes.iter().map(|hole| hole.verdict);
        pairs
            .chain(holes)
            .chain(sections.map(|section| section.verdict))
            .chain(self.growth.iter().map(GrowthResult::verdict))
            .max()
            .unwrap_or(Verdict::NotNeeded)
    }

    /// What is not a plain pass, in words, the worst first.
    pub fn concerns(&self) -> Vec<(Verdict, String)> {
        let mut all: Vec<(Verdict, String)> = Vec::new();
        for pair in &self.pairs {
            let on = pair
                .beam
                .as_ref()
                .map_or_else(String::new, |beam| format!(" on beam {beam}"));
            all.push((
                pair.verdict,
                format!(
                    "trees {} and {}{on}: {}",
                    pair.first, pair.second, pair.note
                ),
            ));
        }
        for hole in &self.holes {
            let tree = hole.tree.as_deref().unwrap_or("a tree");
            all.push((
                hole.verdict,
                format!("{tree} in its hole of deck {}: {}", hole.deck, hole.note),
            ));
        }
        for section in self.trees.iter().flat_map(|tree| &tree.sections) {
            if let Some(note) = &section.note {
                all.push((
                    section.verdict,
                    format!("stem at anchor {}: {note}", section.anchor),
                ));
            }
        }
        for growth in &self.growth {
            if growth.verdict() == Verdict::Review {
                let years = growth.years_to_contact.unwrap_or_default();
                let note = format!(
                    "anchor {}: the stem touches the beam in about {years:.0} years",
                    growth.anchor
                );
                all.push((Verdict::Review, note));
            }
        }
        all.retain(|(verdict, _)| *verdict > Verdict::Pass);
        all.sort_by_key(|(verdict, _)| std::cmp::Reverse(*verdict));
        all
    }
}

impl Platform {
    /// What its trees do, and what that asks of it.
    ///
    /// # Errors
    /// When the mechanics of a stem or an anchor have no answer.
    pub fn trees(
        &self,
        criteria: &Criteria,
        question: &Question<'_>,
    ) -> Result<Trees, MechanicsError> {
        let pairs = pairs::pairs(self, criteria, question)?;
        Ok(Trees {
            trees: movement::trees(self, criteria, question)?,
            holes: holes::holes(self, question, &pairs),
            growth: growth::over_years(self, question.years)?,
            pairs,
        })
    }
}

/// The trees that carry anchors, each with its anchors by their place; stems that differ only by their height belong to one tree.
fn by_tree(platform: &Platform) -> Vec<(&Stem, Vec<(usize, &Anchor)>)> {
    let mut trees: Vec<(&Stem, Vec<(usize, &Anchor)>)> = Vec::new();
    let mut known: HashMap<&str, usize> = HashMap::new();
    for (place, anchor) in platform.anchors().iter().enumerate() {
        let stem = platform.stem_of(anchor);
        let tree = *known.entry(&stem.id).or_insert(trees.len());
        if tree == trees.len() {
            trees.push((stem, Vec::new()));
        }
        trees[tree].1.push((place, anchor));
    }
    trees
}
