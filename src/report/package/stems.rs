//! What the stems carry: load and overturning moment.

use super::Package;
use super::block::{Block, Grid, Section};
use crate::checks::Reaction;
use crate::model::{Anchor, Stem};
use crate::report::Quantity;
use crate::units::{Angle, engineering, si};
use std::f64::consts::TAU;

/// Directions in which the moment of one side is looked for.
const DIRECTIONS: u32 = 72;

/// A moment smaller than this has no direction (N·m).
const NOTHING: f64 = 0.5;

/// The stems that carry something.
pub(super) fn section(package: &Package<'_>) -> Section {
    Section::new("stems", "Stems")
        .on_new_sheet()
        .with(Block::Table(table(package)))
        .saying(
            "Load: the downward loads of the stem's anchors together, each the largest of its combination. Moment: of those \
             loads about the centre of the stem at the level of the anchors, toward the bearing named. Moment of one side: \
             the same if only the anchors on the worst side carried their load. Sideways, at most: the level parts of all \
             anchors, each the largest of its combination, as if they all pointed one way. At the ground, at most: these on \
             their heights over the ground at the stem, and the moment of one side; none where a level or the ground is not \
             known. Wind on the tree itself is not in these numbers; nothing here is judged.",
        )
}

/// A force down at a place about the centre of a stem: east, north (m), force (N).
type Pull = ([f64; 2], f64);

fn table(package: &Package<'_>) -> Grid {
    let force = Quantity::Force.unit(package.show);
    let moment = Quantity::Moment.unit(package.show);
    let heads = [
        "tree".to_owned(),
        "anchors".to_owned(),
        "combination".to_owned(),
        format!("#load down ({force})"),
        format!("#moment ({moment})"),
        "toward".to_owned(),
        format!("#moment of one side ({moment})"),
        format!("#sideways, at most ({force})"),
        format!("#at the ground, at most ({moment})"),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    // Stems of one tree at several levels are one.
    let mut stems: Vec<&Stem> = Vec::new();
    for stem in package.platform.stems() {
        if !stems.iter().any(|known| known.id == stem.id) {
            stems.push(stem);
        }
    }
    let rows = stems.into_iter().flat_map(|stem| rows(package, stem));
    Grid::new("Load and overturning moment on each stem", &heads).with_rows(rows)
}

fn rows(package: &Package<'_>, stem: &Stem) -> Vec<Vec<String>> {
    let own: Vec<_> = package
        .platform
        .anchors()
        .iter()
        .zip(package.results.attachments())
        .filter(|(anchor, _)| package.platform.stem_of(anchor).id == stem.id)
        .collect();
    let Some((_, first)) = own.first() else {
        return Vec::new();
    };
    let ids: Vec<&str> = own.iter().map(|(anchor, _)| anchor.id.as_str()).collect();
    let combinations = first
        .reactions()
        .iter()
        .map(|reaction| &reaction.combination);
    combinations
        .map(|name| {
            let on: Vec<(&Anchor, &Reaction)> = own
                .iter()
                .filter_map(|(anchor, attachment)| {
                    let mut reactions = attachment.reactions().iter();
                    let reaction = reactions.find(|reaction| reaction.combination == *name)?;
                    Some((*anchor, reaction))
                })
                .collect();
            row(package, stem, &ids, name, &on)
        })
        .collect()
}

fn row(
    package: &Package<'_>,
    stem: &Stem,
    ids: &[&str],
    combination: &str,
    on: &[(&Anchor, &Reaction)],
) -> Vec<String> {
    let pull = |(anchor, reaction): &(&Anchor, &Reaction)| {
        let own = package.platform.stem_of(anchor);
        let ([x, y], [cx, cy]) = (anchor.load_point(own).metres(), own.at.metres());
        ([x - cx, y - cy], reaction.down_n)
    };
    let pulls: Vec<Pull> = on.iter().map(pull).collect();
    let pulls = pulls.as_slice();
    let sideways = |reaction: &Reaction| reaction.side_n.hypot(reaction.out_n);
    let sideways_all: f64 = on.iter().map(|(_, reaction)| sideways(reaction)).sum();
    let heights = on.iter().map(|(anchor, reaction)| {
        let height = package.platform.stem_of(anchor).height_of(anchor.level?)?;
        Some(sideways(reaction) * height.value)
    });
    let at_ground = heights
        .sum::<Option<f64>>()
        .map(|moment| moment + one_side(pulls));
    let shown = |si: f64, quantity: Quantity| engineering(quantity.in_unit(si, package.show));
    let load: f64 = pulls.iter().map(|(_, force)| force).sum();
    let (moment, toward) = overturning(pulls);
    vec![
        stem.id.clone(),
        ids.join(", "),
        combination.to_owned(),
        shown(load, Quantity::Force),
        shown(moment, Quantity::Moment),
        toward.map_or_else(|| "–".to_owned(), bearing),
        shown(one_side(pulls), Quantity::Moment),
        shown(sideways_all, Quantity::Force),
        at_ground.map_or_else(|| "–".to_owned(), |moment| shown(moment, Quantity::Moment)),
    ]
}

/// The moment about the centre (N·m) and the compass bearing toward which it overturns.
fn overturning(pulls: &[Pull]) -> (f64, Option<Angle>) {
    let sum = |k: usize| pulls.iter().map(|(at, force)| at[k] * force).sum::<f64>();
    let (east, north) = (sum(0), sum(1));
    let moment = east.hypot(north);
    if moment < NOTHING {
        (0.0, None)
    } else {
        (moment, Some(si::radians(east.atan2(north))))
    }
}

/// The largest moment that those on one side have (N·m).
fn one_side(pulls: &[Pull]) -> f64 {
    let toward = |k: u32| {
        let (sin, cos) = (TAU * f64::from(k) / f64::from(DIRECTIONS)).sin_cos();
        let on_side = pulls
            .iter()
            .filter(|(at, force)| (at[0] * sin + at[1] * cos) * force > 0.0);
        let kept: Vec<Pull> = on_side.copied().collect();
        overturning(&kept).0
    };
    (0..DIRECTIONS).map(toward).fold(0.0, f64::max)
}

fn bearing(angle: Angle) -> String {
    let degrees = angle.value.to_degrees().rem_euclid(360.0).round();
    format!("{}°", if degrees >= 360.0 { 0.0 } else { degrees })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opposite_anchors_balance_and_one_side_does_not() {
        let pulls = [([0.5, 0.0], 1000.0), ([-0.5, 0.0], 1000.0)];
        assert_eq!(overturning(&pulls), (0.0, None));
        assert!((one_side(&pulls) - 500.0).abs() < 1e-9);
        let (moment, toward) = overturning(&[([0.3, 0.4], 2000.0)]);
        assert!((moment - 1000.0).abs() < 1e-9);
        // Three east and four north: 36.9 degrees clockwise from north.
        assert!(toward.is_some_and(|angle| (angle.value.to_degrees() - 36.87).abs() < 0.01));
    }
}
