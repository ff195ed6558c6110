//! Stems in the holes of a deck: the gap against sway and growth.

use super::{PairResult, Question, by_tree};
use crate::checks::Verdict;
use crate::model::{Platform, Stem};
use crate::units::{Length, si};

/// A stem in a hole of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleResult {
    /// The deck.
    pub deck: String,
    /// The tree, where it carries anchors.
    pub tree: Option<String>,
    /// Gap all round, from the bark to the edge of the hole; negative where the stem does not fit.
    pub gap: Option<Length>,
    /// How far the stem moves against the deck in the service wind: as far as against the trees that carry the deck with it.
    pub movement: Option<Length>,
    /// Growth of the stem over the years asked for.
    pub growth: Option<Length>,
    /// Years until the stem, still, touches the edge (1).
    pub years_to_contact: Option<f64>,
    /// Whether the gap is enough for movement and growth.
    pub verdict: Verdict,
    /// Why.
    pub note: String,
}

/// A stem is in a hole when their centres are this near.
const SAME_PLACE: Length = si::millimetres(1.0);

pub(super) fn holes(
    platform: &Platform,
    question: &Question<'_>,
    pairs: &[PairResult],
) -> Vec<HoleResult> {
    let trees = by_tree(platform);
    let mut found = Vec::new();
    for deck in platform.decks() {
        for (centre, radius) in &deck.stem_holes {
            let inside = trees
                .iter()
                .find(|(stem, _)| stem.at.distance(*centre) < SAME_PLACE);
            found.push(match inside {
                Some((stem, _)) => {
                    let movement = against_others(&stem.id, pairs);
                    hole(&deck.id, stem, *radius, question, movement)
                }
                None => match platform
                    .stems()
                    .iter()
                    .find(|stem| stem.at.distance(*centre) < SAME_PLACE)
                {
                    Some(stem) => {
                        let movement = against_platform(platform, stem, question);
                        hole(&deck.id, stem, *radius, question, movement)
                    }
                    None => stranger(&deck.id),
                },
            });
        }
    }
    found
}

/// A tree without anchors stands in the deck, and nothing is known of its movement.
fn stranger(deck: &str) -> HoleResult {
    HoleResult {
        deck: deck.to_owned(),
        tree: None,
        gap: None,
        movement: None,
        growth: None,
        years_to_contact: None,
        verdict: Verdict::Review,
        note: "nothing is known of the tree: give species, bark, height and crown, or its measured sway"
            .into(),
    }
}

fn hole(
    deck: &str,
    stem: &Stem,
    radius: Length,
    question: &Question<'_>,
    movement: Option<Length>,
) -> HoleResult {
    let gap = radius - stem.diameter / 2.0;
    let yearly = super::growth::surface_growth(stem);
    let growth = yearly.map(|yearly| yearly * f64::from(question.years));
    let (verdict, note) = judge(gap, movement, growth);
    let zero = si::metres(0.0);
    HoleResult {
        deck: deck.to_owned(),
        tree: Some(stem.id.clone()),
        gap: Some(gap),
        movement,
        growth,
        years_to_contact: yearly
            .filter(|yearly| yearly.value > 0.0)
            .map(|yearly| (gap.max(zero) / yearly).value),
        verdict,
        note,
    }
}

/// How far a tree that carries nothing moves against the platform: its own movement at the highest anchor, and that of the tree that
/// moves most under the platform.
fn against_platform(platform: &Platform, stem: &Stem, question: &Question<'_>) -> Option<Length> {
    let levels = platform.anchors().iter().filter_map(|anchor| anchor.level);
    let level = levels.reduce(Length::max);
    let service = |stem: &Stem, level| Some(stem.sway(level, &question.winds.service)?.movement);
    let own = service(stem, level)?;
    let mut carriers = platform
        .anchors()
        .iter()
        .map(|anchor| service(platform.stem_of(anchor), anchor.level));
    let most = carriers.try_fold(Length::default(), |most, one| Some(most.max(one?)))?;
    Some(own + most)
}

/// The most that a tree moves against any that it is joined to: nothing to move against is no movement, one unknown is none known.
fn against_others(tree: &str, pairs: &[PairResult]) -> Option<Length> {
    let own = pairs
        .iter()
        .filter(|pair| pair.first == tree || pair.second == tree);
    own.map(|pair| pair.service.map(|service| service.opposed))
        .try_fold(Length::default(), |most, opposed| Some(most.max(opposed?)))
}

fn judge(gap: Length, movement: Option<Length>, growth: Option<Length>) -> (Verdict, String) {
    let millimetres = |length: Length| (length / si::millimetres(1.0)).value;
    let Some(movement) = movement else {
        let note = format!(
            "a gap of {:.0} mm; how far the trees move against each other is not known",
            millimetres(gap)
        );
        return (Verdict::Review, note);
    };
    let needed = movement + growth.unwrap_or_default();
    let asked = format!(
        "a gap of {:.0} mm, and {:.0} mm of movement and growth",
        millimetres(gap),
        millimetres(needed)
    );
    if gap < movement {
        (Verdict::Fail, format!("{asked}: the stem strikes the deck"))
    } else if gap < needed {
        (
            Verdict::Review,
            format!("{asked}: it closes in that time, the hole must be widened before"),
        )
    } else {
        (Verdict::Pass, asked)
    }
}
