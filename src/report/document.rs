//! The one record of a check.

use super::{Finding, JointPart, LossPart, MemberPart, MovementsPart, TreePart};
use crate::checks::{Attachment, CheckResult, LoadRange, Measure, Reaction, Results, Verdict};
use crate::model::{Basis, Combination, Criteria, DurationRule, LimitState, Magnitudes, Standing};
use crate::model::{Case, Group, SafetyFormat};
use crate::tables::{self, FactorValue};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Name and number of the form of a check's JSON. A new field leaves the number; a renamed one raises it.
pub const CHECK_SCHEMA: &str = "barkline/check/1";

/// From what a document was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provenance {
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout, in hexadecimal.
    pub layout_sha256: String,
}

impl Provenance {
    /// The provenance of what this version of the library makes of a layout.
    pub fn of(layout: &[u8]) -> Self {
        let mut hex = String::with_capacity(64);
        for byte in Sha256::digest(layout) {
            // Writing to a string can not fail.
            let _ = write!(hex, "{byte:02x}");
        }
        Self {
            program: env!("CARGO_PKG_VERSION").to_owned(),
            layout_sha256: hex,
        }
    }
}

/// The record of a check: everything that any output shows. Numbers are in SI, the unit in the key.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckDocument {
    /// [`CHECK_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Title of the layout.
    pub title: String,
    /// The worst verdict.
    pub verdict: Verdict,
    /// By what was judged.
    pub criteria: CriteriaPart,
    /// What the reader must be told.
    pub cautions: Vec<String>,
    /// Every attachment, in the order of the layout.
    pub attachments: Vec<AttachmentPart>,
    /// Every beam, and the joists and headers of every deck, in the order of the layout.
    pub members: Vec<MemberPart>,
    /// Seats between members, braces, hangers, posts.
    pub joints: Vec<JointPart>,
    /// What follows when each attachment is lost in turn, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lose_one: Option<Vec<LossPart>>,
    /// What other routes say of the same values, where it was asked for.
    #[cfg(feature = "second-opinion")]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_opinion: Option<crate::second_opinion::Opinion>,
    /// Every tree that carries anchors: movement, sections, roots.
    pub trees: Vec<TreePart>,
    /// What joins trees and what they stand in, and growth.
    pub movements: MovementsPart,
    /// What is known of each deck.
    pub decks: Vec<DeckPart>,
    /// Load on everything by case, positive down (N).
    pub load_n: BTreeMap<Case, f64>,
    /// The largest difference of loads and reactions, as a fraction of the loads (1).
    pub imbalance: f64,
    /// Parts of the layout that nothing here assesses: with one, the verdict is not a pass.
    pub not_assessed: Vec<String>,
    /// What is worth knowing of the layout.
    pub diagnostics: Vec<Finding>,
}

impl CheckDocument {
    /// The record of results.
    pub fn new(results: &Results, provenance: Provenance, diagnostics: Vec<Finding>) -> Self {
        Self {
            schema: CHECK_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            title: results.title().to_owned(),
            verdict: results.verdict(),
            criteria: CriteriaPart::from(results.criteria()),
            cautions: results.cautions().to_vec(),
            attachments: results
                .attachments()
                .iter()
                .map(AttachmentPart::from)
                .collect(),
            members: results.members().iter().map(MemberPart::from).collect(),
            joints: results.joints().iter().map(JointPart::from).collect(),
            lose_one: results
                .lost()
                .map(|lost| lost.iter().map(LossPart::from).collect()),
            #[cfg(feature = "second-opinion")]
            second_opinion: None,
            trees: results.trees().trees.iter().map(TreePart::from).collect(),
            movements: MovementsPart::from(results.trees()),
            decks: results
                .decks()
                .iter()
                .map(|deck| DeckPart {
                    deck: deck.id.clone(),
                    area_m2: deck.area,
                    joists: deck.joists,
                    load_n: by_case(&deck.total).collect(),
                })
                .collect(),
            load_n: by_case(results.total()).collect(),
            imbalance: results.imbalance(),
            not_assessed: results.unassessed().to_vec(),
            diagnostics,
        }
    }
}

/// What is left to say when nothing could be checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ErrorDocument {
    /// [`CHECK_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: &'static str,
    /// The word `error`.
    pub verdict: &'static str,
    /// Everything that is wrong.
    pub diagnostics: Vec<Finding>,
}

impl ErrorDocument {
    /// The record of a failure.
    pub fn new(diagnostics: Vec<Finding>) -> Self {
        Self {
            schema: CHECK_SCHEMA,
            program: env!("CARGO_PKG_VERSION"),
            verdict: "error",
            diagnostics,
        }
    }
}

/// By what was judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CriteriaPart {
    /// What bearing strength rests on.
    pub basis: Basis,
    /// The format of safety: `asd`, `lrfd` or `partial`.
    pub format: SafetyFormat,
    /// How load duration enters.
    pub duration: DurationRule,
    /// What a check outside its published range becomes: `note` or `review`.
    pub extended: &'static str,
    /// The combinations.
    pub combinations: Vec<CombinationPart>,
    /// Duration factor for each case, over that of the live load and before the rule (1).
    pub duration_factors: BTreeMap<Case, f64>,
    /// Safety factors, model constants and limits.
    pub factors: BTreeMap<String, FactorPart>,
}

impl From<&Criteria> for CriteriaPart {
    fn from(criteria: &Criteria) -> Self {
        Self {
            basis: criteria.basis,
            format: criteria.format,
            duration: criteria.duration,
            extended: if criteria.extended_is_review {
                "review"
            } else {
                "note"
            },
            combinations: criteria
                .combinations
                .iter()
                .map(CombinationPart::from)
                .collect(),
            duration_factors: by_case(&criteria.duration_factors).collect(),
            factors: criteria
                .factors
                .iter()
                .map(|(key, factor)| {
                    let part = FactorPart {
                        value: measure(key, factor.value),
                        title: factor.title.clone(),
                        source: factor.origin.source.clone(),
                        standing: factor.origin.standing,
                        changed: factor.changed,
                    };
                    (key.clone(), part)
                })
                .collect(),
        }
    }
}

/// A criterion's value with the kind that its default has in the table.
fn measure(key: &str, si: f64) -> Measure {
    use crate::units::si::{metres, metres_per_second, pascals};
    match tables::safety_factor(key).ok().and_then(|row| row.value) {
        Some(FactorValue::Length(_)) => Measure::Length(metres(si)),
        Some(FactorValue::Stress(_) | FactorValue::AreaLoad(_)) => Measure::Stress(pascals(si)),
        Some(FactorValue::Speed(_)) => Measure::Speed(metres_per_second(si)),
        _ => Measure::Number(si),
    }
}

fn by_case(magnitudes: &Magnitudes) -> impl Iterator<Item = (Case, f64)> {
    Case::ALL.into_iter().zip(*magnitudes)
}

/// A combination of load cases.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CombinationPart {
    /// As it is written.
    pub name: String,
    /// The factors of the cases that have a part (1).
    pub factors: BTreeMap<Case, f64>,
    /// Where it comes from.
    pub source: String,
    /// How well founded it is.
    pub standing: Standing,
}

impl From<&Combination> for CombinationPart {
    fn from(combination: &Combination) -> Self {
        Self {
            name: combination.name.clone(),
            factors: by_case(&combination.factors)
                .filter(|&(_, factor)| factor != 0.0)
                .collect(),
            source: combination.origin.source.clone(),
            standing: combination.origin.standing,
        }
    }
}

/// A criterion.
#[derive(Debug, Clone, PartialEq)]
pub struct FactorPart {
    /// Its value.
    pub value: Measure,
    /// What it is.
    pub title: String,
    /// Where it comes from.
    pub source: String,
    /// How well founded it is.
    pub standing: Standing,
    /// Whether the layout changed it.
    pub changed: bool,
}

impl Serialize for FactorPart {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(5))?;
        map.serialize_entry(&keyed("value", Some(self.value)), &self.value.si())?;
        map.serialize_entry("title", &self.title)?;
        map.serialize_entry("source", &self.source)?;
        map.serialize_entry("standing", &self.standing)?;
        map.serialize_entry("changed", &self.changed)?;
        map.end()
    }
}

/// A key with the unit of its value.
fn keyed(key: &str, measure: Option<Measure>) -> String {
    match measure.and_then(Measure::key_unit) {
        Some(unit) => format!("{key}_{unit}"),
        None => key.to_owned(),
    }
}

/// An attachment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AttachmentPart {
    /// Id of the anchor.
    pub anchor: String,
    /// Id of its tree.
    pub tree: String,
    /// The worst verdict of its checks.
    pub verdict: Verdict,
    /// Size of the load in the combination that governs (N).
    pub load_n: f64,
    /// The size that a load of the same direction may have by the most used check (N).
    pub allowed_n: Option<f64>,
    /// Its part along the grain of an upright stem, positive down (N).
    pub down_n: f64,
    /// Its part across, positive clockwise seen from above (N).
    pub side_n: f64,
    /// Its part along the bar, positive pulling out (N).
    pub out_n: f64,
    /// The combination that governs.
    pub combination: String,
    /// The check that governs.
    pub governing: Option<LimitState>,
    /// Demand over allowable of the most used check that hangs on loads (1).
    pub utilization: Option<f64>,
    /// Allowable over demand less one of that check (1).
    pub margin: Option<f64>,
    /// Margin of the worst wood check if the outer wood softens (1).
    pub softened_margin: Option<f64>,
    /// Every check.
    pub checks: Vec<CheckPart>,
    /// Downward force per deflection of the load point (N/m).
    pub stiffness_down_n_per_m: f64,
    /// Sideways force per deflection of the load point (N/m).
    pub stiffness_side_n_per_m: f64,
    /// The largest sinking of the load point (m).
    pub deflection_m: f64,
    /// The largest load in each combination, of all arrangements of what may be there.
    pub reactions: Vec<Reaction>,
    /// The same with all of the live load everywhere and nothing that points sideways.
    pub full_load: Vec<Reaction>,
    /// The least and the most of each part of the load in each combination.
    pub ranges: Vec<LoadRange>,
}

impl From<&Attachment> for AttachmentPart {
    fn from(attachment: &Attachment) -> Self {
        let load = attachment.load();
        let [down, side] = attachment.stiffness();
        Self {
            anchor: attachment.anchor().to_owned(),
            tree: attachment.tree().to_owned(),
            verdict: attachment.verdict(),
            load_n: load.resultant(),
            allowed_n: attachment.allowed(),
            down_n: load.down_n,
            side_n: load.side_n,
            out_n: load.out_n,
            combination: load.combination.clone(),
            governing: attachment.governing().map(|check| check.limit_state),
            utilization: attachment.utilization(),
            margin: attachment.margin(),
            softened_margin: attachment.softened_margin(),
            checks: attachment.checks().iter().cloned().map(CheckPart).collect(),
            stiffness_down_n_per_m: down.value,
            stiffness_side_n_per_m: side.value,
            deflection_m: attachment.deflection().value,
            reactions: attachment.reactions().to_vec(),
            full_load: attachment.full_reactions().to_vec(),
            ranges: attachment.ranges().to_vec(),
        }
    }
}

impl AttachmentPart {
    /// The check that governs.
    pub fn governing_check(&self) -> Option<&CheckResult> {
        let governing = self.governing?;
        self.checks
            .iter()
            .map(|part| &part.0)
            .find(|check| check.limit_state == governing)
    }

    /// The check of a group that says the worst, and of those the most used.
    pub fn worst_of(&self, group: Group) -> Option<&CheckResult> {
        self.checks
            .iter()
            .map(|part| &part.0)
            .filter(|check| check.limit_state.group() == group)
            .max_by(|a, b| a.verdict.cmp(&b.verdict).then(used(a).total_cmp(&used(b))))
    }
}

fn used(check: &CheckResult) -> f64 {
    check.utilization.unwrap_or(0.0)
}

/// A check.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckPart<L = LimitState>(pub CheckResult<L>);

impl<L: Serialize> Serialize for CheckPart<L> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let check = &self.0;
        let kind = check.demand.or(check.allowable);
        let mut map = serializer.serialize_map(Some(10))?;
        map.serialize_entry("check", &check.limit_state)?;
        map.serialize_entry("verdict", &check.verdict)?;
        map.serialize_entry("standing", &check.standing)?;
        map.serialize_entry("combination", &check.combination)?;
        map.serialize_entry(&keyed("demand", kind), &check.demand.map(Measure::si))?;
        let kind = check.allowable.or(kind);
        map.serialize_entry(&keyed("allowable", kind), &check.allowable.map(Measure::si))?;
        map.serialize_entry("utilization", &check.utilization)?;
        map.serialize_entry("margin", &check.margin())?;
        map.serialize_entry("source", &check.source)?;
        map.serialize_entry("note", &check.note)?;
        map.end()
    }
}

/// A deck.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DeckPart {
    /// Its id.
    pub deck: String,
    /// Its loaded area (m²).
    pub area_m2: f64,
    /// How many pieces of joist carry it.
    pub joists: usize,
    /// Load by case, joists included, positive down (N).
    pub load_n: BTreeMap<Case, f64>,
}
