//! What `size` says: one record, its sentences and its rows.

use super::words::against;
use super::{Cell, Column, Finding, Provenance, Quantity, Sheet};
use crate::checks::{
    Change, CheckResult, FoundBy, Proposal, SizeResults, Sizing, Spare, SpareValue, Verdict,
};
use crate::model::LimitState;
use crate::units::kind::{Angle, AreaLoad, Length as LengthKind, Stress};
use crate::units::{self, Length, Show, feet_and_sixteenths, print, sixteenths, us};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use std::fmt::Write as _;

/// Name and number of the form of a sizing's JSON.
pub const SIZE_SCHEMA: &str = "barkline/size/1";

/// How proposals are to be read.
const RANKED: &str = "Each change alone makes its attachment pass and was checked on the whole platform; the first asks least, \
     by a scale of common practice without a source. Check the layout again after any change.";
/// How spare capacity is to be read.
const SPARE: &str =
    "What an attachment could still take holds for one thing at a time, the rest as drawn.";

/// The record of a sizing. Numbers are in SI, the unit in the key.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SizeDocument {
    /// [`SIZE_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Title of the layout.
    pub title: String,
    /// The worst verdict of the layout as it stands.
    pub verdict: Verdict,
    /// How many checks it took.
    pub checks: usize,
    /// What the reader must be told.
    pub cautions: Vec<String>,
    /// Every attachment, in the order of the layout.
    pub attachments: Vec<SizedPart>,
    /// Parts of the layout that nothing here assesses.
    pub not_assessed: Vec<String>,
    /// What is worth knowing of the layout.
    pub diagnostics: Vec<Finding>,
}

impl SizeDocument {
    /// The record of a sizing.
    pub fn new(results: &SizeResults, provenance: Provenance, diagnostics: Vec<Finding>) -> Self {
        let proposed = results.sizings.iter().any(|own| !own.proposals.is_empty());
        let spare = results.sizings.iter().any(|own| own.spare.is_some());
        let own = [(proposed, RANKED), (spare, SPARE)].into_iter();
        let own = own.filter(|(said, _)| *said);
        let mut cautions: Vec<String> = own.map(|(_, words)| words.to_owned()).collect();
        cautions.extend_from_slice(results.checked.cautions());
        Self {
            schema: SIZE_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            title: results.checked.title().to_owned(),
            verdict: results.checked.verdict(),
            checks: results.checks,
            cautions,
            attachments: results.sizings.iter().map(SizedPart::from).collect(),
            not_assessed: results.checked.unassessed().to_vec(),
            diagnostics,
        }
    }
}

/// An attachment with what would mend it, or what it could still take.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SizedPart {
    /// Id of the anchor.
    pub anchor: String,
    /// Id of its tree.
    pub tree: String,
    /// Its verdict as it stands.
    pub verdict: Verdict,
    /// The check that governs it.
    pub governing: Option<LimitState>,
    /// Demand over allowable of its most used check (1).
    pub utilization: Option<f64>,
    /// Changes that make it pass, the one that asks least first.
    pub proposals: Vec<ProposalPart>,
    /// Kinds of change that do not help, and why.
    pub not_proposed: Vec<NotProposedPart>,
    /// What it could still take.
    pub spare: Option<SparePart>,
    #[serde(skip)]
    governed: Option<CheckResult>,
}

impl From<&Sizing> for SizedPart {
    fn from(sizing: &Sizing) -> Self {
        let attachment = &sizing.attachment;
        Self {
            anchor: attachment.anchor().to_owned(),
            tree: attachment.tree().to_owned(),
            verdict: attachment.verdict(),
            governing: attachment.governing().map(|check| check.limit_state),
            utilization: attachment.utilization(),
            proposals: sizing.proposals.iter().cloned().map(ProposalPart).collect(),
            not_proposed: sizing
                .not_proposed
                .iter()
                .map(|own| NotProposedPart {
                    change: own.kind.id(),
                    words: own.kind.words(),
                    why: own.why.clone(),
                    nearest: own.nearest.map(|(state, _)| state),
                    utilization: own.nearest.map(|(_, used)| used),
                })
                .collect(),
            spare: sizing.spare.as_ref().map(SparePart::from),
            governed: attachment.governing().cloned(),
        }
    }
}

/// A kind of change that does not help.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NotProposedPart {
    /// Its word in files.
    pub change: &'static str,
    #[serde(skip)]
    words: &'static str,
    /// Why.
    pub why: String,
    /// The limit state in which the nearest to passing of what was tried fails.
    pub nearest: Option<LimitState>,
    /// Its demand over allowable (1).
    pub utilization: Option<f64>,
}

/// What an attachment could still take: the value that passes, and whether a step more was tried and fails.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SparePart {
    /// How many times its own loads (1).
    pub own_load_factor: Option<f64>,
    /// `most`, `at_least` or `nothing`.
    pub own_load_bound: &'static str,
    /// How many times all live load of the platform (1).
    pub live_factor: Option<f64>,
    /// `most`, `at_least` or `nothing`.
    pub live_bound: &'static str,
    /// The longest arm (m).
    pub longest_arm_m: Option<f64>,
    /// `most`, `at_least` or `nothing`.
    pub longest_arm_bound: &'static str,
    /// What goes with the longest arm.
    pub notes: Vec<String>,
}

impl From<&Spare> for SparePart {
    fn from(spare: &Spare) -> Self {
        const fn bound<T>(value: &SpareValue<T>) -> &'static str {
            match value {
                SpareValue::Most(_) => "most",
                SpareValue::AtLeast(_) => "at_least",
                SpareValue::Nothing => "nothing",
            }
        }
        Self {
            own_load_factor: spare.own_load.value(),
            own_load_bound: bound(&spare.own_load),
            live_factor: spare.live.value(),
            live_bound: bound(&spare.live),
            longest_arm_m: spare.longest_arm.value().map(|arm| arm.value),
            longest_arm_bound: bound(&spare.longest_arm),
            notes: spare.notes.clone(),
        }
    }
}

/// A proposal.
#[derive(Debug, Clone, PartialEq)]
pub struct ProposalPart(pub Proposal);

impl Serialize for ProposalPart {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let own = &self.0;
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("change", own.change.kind().id())?;
        match &own.change {
            Change::BossInWood { from, to, .. }
            | Change::ShorterArm { from, to }
            | Change::LongerShank { from, to } => {
                map.serialize_entry("from_m", &from.value)?;
                map.serialize_entry("to_m", &to.value)?;
            }
            Change::StrongerSteel {
                from,
                to,
                yield_from,
                yield_to,
            } => {
                map.serialize_entry("from", from)?;
                map.serialize_entry("to", to)?;
                map.serialize_entry("yield_from_pa", &yield_from.value)?;
                map.serialize_entry("yield_to_pa", &yield_to.value)?;
            }
            Change::LargerSize {
                from, to, embedded, ..
            } => {
                map.serialize_entry("from", from)?;
                map.serialize_entry("to", to)?;
                map.serialize_entry("embedded_m", &embedded.value)?;
            }
            Change::MoveAnchor {
                beam,
                from,
                to,
                faces,
                arm,
                ..
            } => {
                map.serialize_entry("beam", beam)?;
                map.serialize_entry("from_m", &from.value)?;
                map.serialize_entry("to_m", &to.value)?;
                map.serialize_entry("faces_deg", &degrees(*faces))?;
                map.serialize_entry("arm_m", &arm.value)?;
            }
            Change::LessLive { share, decks } => {
                map.serialize_entry("share", share)?;
                let to: Vec<(&String, f64)> =
                    decks.iter().map(|(id, _, to)| (id, to.value)).collect();
                map.serialize_entry("live_pa", &to)?;
            }
            Change::AddAnchor {
                beam,
                station,
                tree,
                faces,
                arm,
                size,
            } => {
                map.serialize_entry("beam", beam)?;
                map.serialize_entry("station_m", &station.value)?;
                map.serialize_entry("tree", tree)?;
                map.serialize_entry("faces_deg", &degrees(*faces))?;
                map.serialize_entry("arm_m", &arm.value)?;
                map.serialize_entry("size", size)?;
            }
        }
        map.serialize_entry("ask", &own.ask)?;
        map.serialize_entry("found_by", &own.found_by)?;
        map.serialize_entry("verdict", &own.verdict)?;
        map.serialize_entry("utilization", &own.utilization)?;
        map.serialize_entry("worse", &own.worse)?;
        map.serialize_entry("mends", &own.mends)?;
        map.serialize_entry("notes", &own.notes)?;
        map.end()
    }
}

/// A compass bearing from 0 to below 360 degrees.
fn degrees(bearing: units::Angle) -> f64 {
    bearing.value.to_degrees().rem_euclid(360.0)
}

/// A length as it is set: on a tape, or in millimetres; one that lies between two marks as it is.
fn set(length: Length, show: Show) -> String {
    /// What lies this near to a mark lies on it (sixteenths).
    const ON_MARK: f64 = 1e-3;
    let marks = length.value / us::INCH * 16.0;
    match show {
        Show::Us if (marks - marks.round()).abs() < ON_MARK => sixteenths(length),
        show => print::<LengthKind>(length, show),
    }
}

/// A distance along a beam.
fn along(length: Length, show: Show) -> String {
    match show {
        Show::Us => feet_and_sixteenths(length),
        Show::Si => print::<LengthKind>(length, show),
    }
}

fn bearing(faces: units::Angle) -> String {
    print::<Angle>(units::si::degrees(degrees(faces)), Show::Si)
}

/// What to do, in words.
pub fn change_words(change: &Change, show: Show) -> String {
    match change {
        Change::BossInWood { from, to, .. } => format!(
            "set {} of the boss in the wood instead of {}",
            set(*to, show),
            set(*from, show)
        ),
        Change::ShorterArm { from, to } => format!(
            "bring the load to {} from the wood surface, under the bark, instead of {}",
            set(*to, show),
            set(*from, show)
        ),
        Change::LongerShank { from, to } => format!(
            "take a bar with {} of shank in the wood instead of {}, the thread as much longer",
            set(*to, show),
            set(*from, show)
        ),
        Change::StrongerSteel {
            from,
            to,
            yield_from,
            yield_to,
        } => format!(
            "take a bar of {to} ({} yield) instead of {from} ({})",
            print::<Stress>(*yield_to, show),
            print::<Stress>(*yield_from, show)
        ),
        Change::LargerSize {
            from, to, embedded, ..
        } => format!(
            "take size {to} instead of {from}, with {} of its boss in the wood",
            set(*embedded, show)
        ),
        Change::MoveAnchor {
            beam,
            from,
            to,
            faces,
            arm,
            ..
        } => format!(
            "move its load point along beam {beam} to {} from the first end instead of {}; the bar then faces {}, with an arm of {}",
            along(*to, show),
            along(*from, show),
            bearing(*faces),
            print::<LengthKind>(*arm, show)
        ),
        Change::LessLive { share, decks } => {
            let mut text = format!("carry {:.0} % of the live load", share * 100.0);
            for (id, from, to) in decks {
                let _ = write!(
                    text,
                    ", {} on {id} instead of {}",
                    print::<AreaLoad>(*to, show),
                    print::<AreaLoad>(*from, show)
                );
            }
            text
        }
        Change::AddAnchor {
            beam,
            station,
            tree,
            faces,
            arm,
            size,
        } => format!(
            "set one more anchor {size} in tree {tree} under beam {beam}, {} from its first end, facing {}, with an arm of {}",
            along(*station, show),
            bearing(*faces),
            print::<LengthKind>(*arm, show)
        ),
    }
}

/// What of the layout says so: its keys.
fn change_keys(change: &Change) -> &'static str {
    match change {
        Change::BossInWood { .. } => "`embedded`",
        Change::ShorterArm { .. } => "`arm`",
        Change::LongerShank { .. } => "`shank` of its `[[anchor_size]]`",
        Change::StrongerSteel { .. } => "`steel` of its `[[anchor_size]]`",
        Change::LargerSize { .. } => "`size`, `embedded`",
        Change::MoveAnchor { .. } => "`faces`, `arm`",
        Change::LessLive { decks, .. } if decks.is_empty() => "`live` of its `[[load]]`",
        Change::LessLive { .. } => "`live` of each `[[deck]]`",
        Change::AddAnchor { .. } => "`[[anchor]]`, its id among `on` of the beam",
    }
}

/// A proposal in words: what to do, where the layout says so, what is used then, what else comes of it.
pub fn proposal_words(proposal: &Proposal, show: Show) -> String {
    let mut text = change_words(&proposal.change, show);
    let _ = write!(text, " ({})", change_keys(&proposal.change));
    if let Some(used) = proposal.utilization {
        let _ = write!(text, "; {} used then", super::attachments::up(used));
    }
    if proposal.verdict == Verdict::Review {
        text.push_str("; what was to be reviewed still is");
    }
    if !proposal.mends.is_empty() {
        let _ = write!(text, "; it mends {} as well", proposal.mends.join(", "));
    }
    for worse in &proposal.worse {
        let _ = write!(
            text,
            "; but {} is then {}",
            worse.part,
            match worse.verdict {
                Verdict::Fail => "failing",
                _ => "to be reviewed",
            }
        );
    }
    for note in &proposal.notes {
        let _ = write!(text, "; {note}");
    }
    text
}

/// One failing or reviewed attachment in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SizeParagraph {
    /// What fails and why.
    pub head: String,
    /// The changes, the one that asks least first.
    pub items: Vec<String>,
    /// What does not help.
    pub after: Vec<String>,
}

/// The attachments that do not pass, in words.
pub fn size_paragraphs(document: &SizeDocument, show: Show) -> Vec<SizeParagraph> {
    let parts = document.attachments.iter();
    parts
        .filter(|part| part.verdict != Verdict::Pass)
        .map(|part| paragraph(part, show))
        .collect()
}

fn paragraph(part: &SizedPart, show: Show) -> SizeParagraph {
    let why = part
        .governed
        .as_ref()
        .map_or_else(|| "no check of it".to_owned(), |check| against(check, show));
    let anchor = &part.anchor;
    let head = match (part.verdict, part.proposals.is_empty()) {
        (Verdict::Fail, false) => {
            format!("{anchor} fails in {why}. Any one of these makes it pass:")
        }
        (Verdict::Fail, true) => {
            format!("{anchor} fails in {why}. No single change that was tried makes it pass.")
        }
        _ => format!(
            "{anchor} is to be reviewed: {why}. No size is sought for what somebody must look at."
        ),
    };
    let items = part
        .proposals
        .iter()
        .map(|own| proposal_words(&own.0, show) + ".")
        .collect();
    let after = part
        .not_proposed
        .iter()
        .map(|own| format!("Not {}: {}{}.", own.words, own.why, nearest(own)))
        .collect();
    SizeParagraph { head, items, after }
}

/// By how much the nearest to passing falls short.
fn nearest(own: &NotProposedPart) -> String {
    match (own.nearest, own.utilization) {
        (Some(state), Some(used)) => format!(
            "; the nearest uses {} of what it may in {}",
            super::attachments::up(used),
            state.words()
        ),
        _ => String::new(),
    }
}

/// What the passing attachments could still take.
pub fn spare_sheet(document: &SizeDocument, show: Show) -> Sheet {
    let rows = document.attachments.iter().filter_map(|part| {
        let spare = part.spare.as_ref()?;
        Some(vec![
            Cell::text(&part.anchor),
            part.utilization.map_or(Cell::Blank, |used| {
                Cell::Rounded(Some(used), super::attachments::up(used))
            }),
            times(spare.own_load_factor, spare.own_load_bound),
            times(spare.live_factor, spare.live_bound),
            Cell::text(arm(spare, show)),
        ])
    });
    Sheet {
        schema: "barkline/spare/1",
        title: "What the attachments that pass could still take".to_owned(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::numbers("utilization", "used"),
            Column::numbers("own_load", "own load, times"),
            Column::numbers("live", "live load, times"),
            Column::words("longest_arm", "longest arm"),
        ],
        rows: rows.collect(),
        sources: Vec::new(),
        cautions: Vec::new(),
    }
}

fn times(factor: Option<f64>, bound: &str) -> Cell {
    let text = factor.map_or_else(
        || "–".to_owned(),
        |factor| match bound {
            "at_least" => format!("{factor:.0} or more"),
            _ => format!("{factor:.2}"),
        },
    );
    Cell::Rounded(factor, text)
}

fn arm(spare: &SparePart, show: Show) -> String {
    let Some(arm) = spare.longest_arm_m else {
        return "–".to_owned();
    };
    let text = set(units::si::metres(arm), show);
    match spare.longest_arm_bound {
        "at_least" => format!("{text} or more"),
        _ => text,
    }
}

/// Every proposal and every spare capacity as rows.
pub fn size_sheet(document: &SizeDocument, show: Show) -> Sheet {
    let mut rows = Vec::new();
    for part in &document.attachments {
        for (rank, own) in part.proposals.iter().enumerate() {
            rows.push(proposal_row(part, rank + 1, &own.0, show));
        }
        for own in &part.not_proposed {
            rows.push(row(
                part,
                Some(Cell::text(own.change)),
                Cell::text(&own.why),
            ));
        }
        if let Some(spare) = &part.spare {
            let mut cells = row(part, None, Cell::Blank);
            let found = [
                Cell::number(spare.own_load_factor),
                Cell::number(spare.live_factor),
                Cell::value(spare.longest_arm_m, Quantity::Length),
            ];
            for (cell, found) in cells.iter_mut().rev().skip(1).zip(found.into_iter().rev()) {
                *cell = found;
            }
            rows.push(cells);
        }
    }
    Sheet {
        schema: "barkline/size-rows/1",
        title: document.title.clone(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::words("verdict", "verdict"),
            Column::numbers("rank", "rank"),
            Column::words("change", "change"),
            Column::words("words", "in words"),
            Column::numbers("ask", "ask"),
            Column::words("found_by", "found by"),
            Column::numbers("utilization", "used then"),
            Column::words("worse", "worse"),
            Column::words("mends", "mends"),
            Column::numbers("own_load", "own load"),
            Column::numbers("live", "live load"),
            Column::of("longest_arm", "longest arm", Quantity::Length),
            Column::words("notes", "notes"),
        ],
        rows,
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

/// A row with nothing but whose it is, a change and words.
fn row(part: &SizedPart, change: Option<Cell>, words: Cell) -> Vec<Cell> {
    let mut cells = vec![Cell::Blank; 14];
    let head = [
        Cell::text(&part.anchor),
        Cell::text(part.verdict.word().replace(' ', "_")),
        Cell::Blank,
        change.unwrap_or(Cell::Blank),
        words,
    ];
    for (cell, own) in cells.iter_mut().zip(head) {
        *cell = own;
    }
    cells
}

fn proposal_row(part: &SizedPart, rank: usize, own: &Proposal, show: Show) -> Vec<Cell> {
    let worse: Vec<String> = own.worse.iter().map(|worse| worse.part.clone()).collect();
    vec![
        Cell::text(&part.anchor),
        Cell::text(part.verdict.word().replace(' ', "_")),
        Cell::Number(rank as f64),
        Cell::Word(own.change.kind().id()),
        Cell::text(change_words(&own.change, show)),
        Cell::Number(own.ask),
        Cell::Word(match own.found_by {
            FoundBy::Halving => "halving",
            FoundBy::Looking => "looking",
            FoundBy::Turns => "turns",
        }),
        Cell::number(own.utilization),
        Cell::List(worse),
        Cell::List(own.mends.clone()),
        Cell::Blank,
        Cell::Blank,
        Cell::Blank,
        Cell::text(own.notes.join("; ")),
    ]
}
