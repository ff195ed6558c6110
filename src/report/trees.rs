//! The trees of a check: movement, travel, holes, sections, growth.

use super::CheckDocument;
use super::sheet::{Cell, Column, Quantity, Sheet};
use crate::checks::Verdict;
use crate::checks::stems::{GrowthResult, HoleResult, PairResult, TreeResult, Trees};
use crate::units::Length;
use serde::Serialize;

/// How far a tree moves where an anchor is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MovementPart {
    /// The anchor.
    pub anchor: String,
    /// Its level (m).
    pub level_m: Option<f64>,
    /// To one side, in the wind in which people are still there (m).
    pub service_m: Option<f64>,
    /// In the wind of the site (m).
    pub storm_m: Option<f64>,
    /// Whether it was measured.
    pub measured: bool,
    /// Force per movement of the tree there (N/m).
    pub side_stiffness_n_per_m: Option<f64>,
}

/// The stem at an anchor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SectionPart {
    /// The anchor.
    pub anchor: String,
    /// Share of bending strength that holes and cavity take (1).
    pub loss: f64,
    /// Stress of platform and service wind; reported, not judged (Pa).
    pub stress_pa: Option<f64>,
    /// That stress over the mean rupture of the green stem (1).
    pub share_of_rupture: Option<f64>,
    /// `review` where the loss is beyond what arborists act on.
    pub verdict: Verdict,
    /// What is to be seen to.
    pub note: Option<String>,
}

/// A tree that carries anchors.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TreePart {
    /// The tree.
    pub tree: String,
    /// Its movement at each anchor.
    pub movement: Vec<MovementPart>,
    /// Its stem at each anchor.
    pub sections: Vec<SectionPart>,
    /// Moment that the platform brings to the roots; reported, not judged (N·m).
    pub root_moment_n_m: f64,
    /// Moment at which the mean tree overturns, by its estimate (N·m).
    pub overturning_n_m: Option<f64>,
    /// Why there is no estimate of its movement.
    pub unknown: Option<String>,
    /// What was assumed.
    pub notes: Vec<String>,
}

impl From<&TreeResult> for TreePart {
    fn from(tree: &TreeResult) -> Self {
        let metres = |length: Option<Length>| length.map(|length| length.value);
        Self {
            tree: tree.tree.clone(),
            movement: tree
                .movement
                .iter()
                .map(|own| MovementPart {
                    anchor: own.anchor.clone(),
                    level_m: metres(own.level),
                    service_m: own.service.as_ref().map(|sway| sway.movement.value),
                    storm_m: own.storm.as_ref().map(|sway| sway.movement.value),
                    measured: own.service.as_ref().is_some_and(|sway| sway.measured),
                    side_stiffness_n_per_m: own.side_stiffness.map(|k| k.value),
                })
                .collect(),
            sections: tree
                .sections
                .iter()
                .map(|own| SectionPart {
                    anchor: own.anchor.clone(),
                    loss: own.loss,
                    stress_pa: own.stress.map(|stress| stress.value),
                    share_of_rupture: own.share_of_rupture,
                    verdict: own.verdict,
                    note: own.note.clone(),
                })
                .collect(),
            root_moment_n_m: tree.root_moment.value,
            overturning_n_m: tree.overturning.map(|moment| moment.value),
            unknown: tree.unknown.clone(),
            notes: tree.notes.clone(),
        }
    }
}

/// Two trees that the platform joins.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairPart {
    /// The two.
    pub trees: [String; 2],
    /// The beam on both; none where other beams or a deck join them.
    pub beam: Option<String>,
    /// How far they move apart in the service wind: in phase, uncorrelated, opposed (m).
    pub service_m: Option<[f64; 3]>,
    /// Travel that is needed from stop to stop (m).
    pub travel_needed_m: Option<f64>,
    /// Travel that is given (m).
    pub travel_given_m: Option<f64>,
    /// Force in the beam where both ends are fixed, the two trees alone, opposed in the service wind (N).
    pub locked_in_n: Option<f64>,
    /// Whether travel is enough.
    pub verdict: Verdict,
    /// Why.
    pub note: String,
}

impl From<&PairResult> for PairPart {
    fn from(pair: &PairResult) -> Self {
        let metres = |length: Option<Length>| length.map(|length| length.value);
        let service = pair.service.as_ref();
        Self {
            trees: [pair.first.clone(), pair.second.clone()],
            beam: pair.beam.clone(),
            service_m: service.map(|own| {
                [own.in_phase, own.uncorrelated, own.opposed].map(|length| length.value)
            }),
            travel_needed_m: metres(pair.travel_needed),
            travel_given_m: metres(pair.travel_given),
            locked_in_n: pair
                .locked_in
                .and_then(|own| own.service)
                .map(|force| force.value),
            verdict: pair.verdict,
            note: pair.note.clone(),
        }
    }
}

/// A stem in a hole of a deck.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HolePart {
    /// The deck.
    pub deck: String,
    /// The tree, where it is known.
    pub tree: Option<String>,
    /// Gap all round (m).
    pub gap_m: Option<f64>,
    /// Movement of the stem against the deck (m).
    pub movement_m: Option<f64>,
    /// Years until the stem, still, touches the edge (1).
    pub years_to_contact: Option<f64>,
    /// Whether the gap is enough.
    pub verdict: Verdict,
    /// Why.
    pub note: String,
}

impl From<&HoleResult> for HolePart {
    fn from(hole: &HoleResult) -> Self {
        Self {
            deck: hole.deck.clone(),
            tree: hole.tree.clone(),
            gap_m: hole.gap.map(|length| length.value),
            movement_m: hole.movement.map(|length| length.value),
            years_to_contact: hole.years_to_contact,
            verdict: hole.verdict,
            note: hole.note.clone(),
        }
    }
}

/// An anchor in one year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearPart {
    /// Years from now.
    pub year: u32,
    /// From the new surface of the wood to the load (m).
    pub arm_m: f64,
    /// From the surface of today: what strength is reckoned with (m).
    pub arm_for_strength_m: f64,
    /// In wood, from the new surface (m).
    pub embedment_m: f64,
    /// In the wood of today (m).
    pub embedment_for_strength_m: f64,
    /// From the bark to the beam (m).
    pub gap_m: Option<f64>,
}

/// An anchor over the years.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GrowthPart {
    /// The anchor.
    pub anchor: String,
    /// Growth of the radius in a year (m).
    pub yearly_m: Option<f64>,
    /// Whether it was measured on this tree.
    pub measured: bool,
    /// Years until the bark touches the beam (1).
    pub years_to_contact: Option<f64>,
    /// Year by year.
    pub years: Vec<YearPart>,
}

impl From<&GrowthResult> for GrowthPart {
    fn from(growth: &GrowthResult) -> Self {
        Self {
            anchor: growth.anchor.clone(),
            yearly_m: growth.yearly.map(|length| length.value),
            measured: growth.measured,
            years_to_contact: growth.years_to_contact,
            years: growth
                .rows
                .iter()
                .map(|row| YearPart {
                    year: row.year,
                    arm_m: row.arm.value,
                    arm_for_strength_m: row.arm_for_strength.value,
                    embedment_m: row.embedment.value,
                    embedment_for_strength_m: row.embedment_for_strength.value,
                    gap_m: row.gap.map(|gap| gap.value),
                })
                .collect(),
        }
    }
}

/// What joins trees and what they stand in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MovementsPart {
    /// Pairs of trees.
    pub pairs: Vec<PairPart>,
    /// Stems in holes of decks.
    pub holes: Vec<HolePart>,
    /// Anchors over the years.
    pub growth: Vec<GrowthPart>,
    /// What is not a plain pass, in words, the worst first.
    pub concerns: Vec<ConcernPart>,
}

/// Something of the trees that is not a plain pass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ConcernPart {
    /// Its verdict.
    pub verdict: Verdict,
    /// What it is.
    pub what: String,
}

impl From<&Trees> for MovementsPart {
    fn from(trees: &Trees) -> Self {
        let concern = |(verdict, what)| ConcernPart { verdict, what };
        Self {
            pairs: trees.pairs.iter().map(PairPart::from).collect(),
            holes: trees.holes.iter().map(HolePart::from).collect(),
            growth: trees.growth.iter().map(GrowthPart::from).collect(),
            concerns: trees.concerns().into_iter().map(concern).collect(),
        }
    }
}

/// Concerns in sentences.
pub fn tree_words(document: &CheckDocument) -> Vec<String> {
    let concerns = document.movements.concerns.iter();
    concerns
        .map(|concern| format!("{}: {}.", concern.verdict.word(), concern.what))
        .collect()
}

/// Anchors over the years as a table: now, half way and at the end; none where no year was asked for.
pub fn growth_sheet(document: &CheckDocument) -> Option<Sheet> {
    let last = document
        .movements
        .growth
        .iter()
        .filter_map(|own| own.years.last())
        .map(|row| row.year)
        .max()?;
    if last == 0 {
        return None;
    }
    let mut rows = Vec::new();
    for growth in &document.movements.growth {
        let wanted = [0, last / 2, last];
        for year in growth.years.iter().filter(|row| wanted.contains(&row.year)) {
            rows.push(vec![
                Cell::text(&growth.anchor),
                Cell::Number(f64::from(year.year)),
                Cell::Value(year.arm_m, Quantity::Length),
                Cell::Value(year.embedment_m, Quantity::Length),
                Cell::value(year.gap_m, Quantity::Length),
                Cell::Rounded(
                    growth.years_to_contact,
                    growth
                        .years_to_contact
                        .map_or("–".into(), |years| format!("{years:.0}")),
                ),
            ]);
        }
    }
    Some(Sheet {
        schema: "barkline/growth/1",
        title: "Growth: strength stays with the arm and the wood of today".to_owned(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::numbers("year", "year"),
            Column::of("arm", "arm", Quantity::Length),
            Column::of("embedment", "in wood", Quantity::Length),
            Column::of("gap", "gap to beam", Quantity::Length),
            Column::numbers("years_to_contact", "touches in years"),
        ],
        rows,
        sources: Vec::new(),
        cautions: Vec::new(),
    })
}
