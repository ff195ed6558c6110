//! What the stems carry: load and overturning moment.

use super::Package;
use super::block::{Block, Grid, Section};
use crate::model::Stem;
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
             the same if only the anchors on the worst side carried their load. Sideways loads, wind on the tree and on the \
             platform, the sway of the stem and the hold of its roots are not in these numbers and not judged here.",
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
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows = package
        .platform
        .stems()
        .iter()
        .enumerate()
        .flat_map(|(index, stem)| rows(package, index, stem));
    Grid::new("Load and overturning moment on each stem", &heads).with_rows(rows)
}

fn rows(package: &Package<'_>, index: usize, stem: &Stem) -> Vec<Vec<String>> {
    let own: Vec<_> = package
        .platform
        .anchors()
        .iter()
        .zip(package.results.attachments())
        .filter(|(anchor, _)| anchor.stem == index)
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
            let pulls: Vec<Pull> = own
                .iter()
                .filter_map(|(anchor, attachment)| {
                    let mut reactions = attachment.reactions().iter();
                    let reaction = reactions.find(|reaction| reaction.combination == *name)?;
                    let [x, y] = anchor.load_point(stem).metres();
                    let [cx, cy] = stem.at.metres();
                    Some(([x - cx, y - cy], reaction.down_n))
                })
                .collect();
            row(package, stem, &ids, name, &pulls)
        })
        .collect()
}

fn row(
    package: &Package<'_>,
    stem: &Stem,
    ids: &[&str],
    combination: &str,
    pulls: &[Pull],
) -> Vec<String> {
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
