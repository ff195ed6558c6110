//! What `check --as-built` says: drawn and built side by side, what differs, what is missing.

use super::{Cell, CheckDocument, Column, Finding, Provenance, Quantity, Sheet, summary};
use crate::checks::{AsBuiltResults, Verdict};
use crate::model::{BuiltChange, BuiltKey, Dimension};
use crate::units::kind::{Angle, Length as LengthKind};
use crate::units::{Length, Show, print, si, us};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use std::fmt::Write as _;

/// Name and number of the form of an as-built check's JSON.
pub const AS_BUILT_SCHEMA: &str = "barkline/as-built/1";

/// The record of a check as drawn and as built.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AsBuiltDocument {
    /// [`AS_BUILT_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Title of the layout.
    pub title: String,
    /// The verdict on what was built.
    pub verdict: Verdict,
    /// Why it can not stand, where it can not.
    pub falls: Option<String>,
    /// What differs and what is missing, anchor by anchor, in the order of the layout.
    pub anchors: Vec<BuiltPart>,
    /// How the measurements were understood.
    pub remarks: Vec<String>,
    /// The check of the drawing.
    pub designed: CheckDocument,
    /// The check of what was built; none where it can not stand.
    pub built: Option<CheckDocument>,
}

/// What was found at an anchor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BuiltPart {
    /// Its id.
    pub anchor: String,
    /// Whether it has a row.
    pub measured: bool,
    /// Whether it refused: nothing bears on it.
    pub refused: bool,
    /// Keys of its row that are missing.
    pub missing: Vec<&'static str>,
    /// What was seen.
    pub note: Option<String>,
    /// What differs from the drawing.
    pub changes: Vec<BuiltChangePart>,
}

/// A difference.
#[derive(Debug, Clone, PartialEq)]
pub struct BuiltChangePart(pub BuiltChange);

impl Serialize for BuiltChangePart {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let own = &self.0;
        let unit = match own.built {
            Dimension::Length(_) => "m",
            Dimension::Angle(_) => "rad",
        };
        let designed = own.designed.map(Dimension::si);
        let mut map = serializer.serialize_map(Some(5))?;
        map.serialize_entry("what", &own.what)?;
        map.serialize_entry(&format!("designed_{unit}"), &designed)?;
        map.serialize_entry(&format!("built_{unit}"), &own.built.si())?;
        let difference = designed.map(|designed| own.built.si() - designed);
        map.serialize_entry(&format!("difference_{unit}"), &difference)?;
        map.serialize_entry("follows", &own.follows)?;
        map.end()
    }
}

impl AsBuiltDocument {
    /// The record of results.
    pub fn new(results: &AsBuiltResults, provenance: &Provenance, diagnostics: &[Finding]) -> Self {
        let check = |own| CheckDocument::new(own, provenance.clone(), diagnostics.to_vec());
        let anchors = results.designed.attachments().iter();
        Self {
            schema: AS_BUILT_SCHEMA,
            program: provenance.program.clone(),
            layout_sha256: provenance.layout_sha256.clone(),
            title: results.designed.title().to_owned(),
            verdict: results.verdict(),
            falls: results.built.as_ref().err().cloned(),
            anchors: anchors.map(|own| part(results, own.anchor())).collect(),
            remarks: results.remarks.clone(),
            designed: check(&results.designed),
            built: results.built.as_ref().ok().map(check),
        }
    }
}

fn part(results: &AsBuiltResults, anchor: &str) -> BuiltPart {
    let missing = results.missing.iter().find(|own| own.anchor == anchor);
    let note = results.notes.iter().find(|(own, _)| own == anchor);
    let changes = results.changes.iter().filter(|own| own.anchor == anchor);
    BuiltPart {
        anchor: anchor.to_owned(),
        measured: missing.is_none_or(|missing| missing.keys.is_some()),
        refused: results.refused.iter().any(|own| own == anchor),
        missing: missing
            .and_then(|missing| missing.keys.clone())
            .unwrap_or_default(),
        note: note.map(|(_, note)| note.clone()),
        changes: changes.cloned().map(BuiltChangePart).collect(),
    }
}

/// One line for each attachment: as drawn beside as built.
pub fn as_built_sheet(document: &AsBuiltDocument) -> Sheet {
    let rows = document.designed.attachments.iter().map(|drawn| {
        let built = document.built.as_ref().and_then(|built| {
            let mut parts = built.attachments.iter();
            parts.find(|part| part.anchor == drawn.anchor)
        });
        let own = document
            .anchors
            .iter()
            .find(|own| own.anchor == drawn.anchor);
        let refused = own.is_some_and(|own| own.refused);
        let used = |used: Option<f64>| {
            used.map_or(Cell::Blank, |used| {
                Cell::Rounded(Some(used), super::attachments::up(used))
            })
        };
        let stands = built.filter(|_| !refused);
        vec![
            Cell::text(&drawn.anchor),
            Cell::Value(drawn.load_n, Quantity::Force),
            Cell::value(stands.map(|part| part.load_n), Quantity::Force),
            used(drawn.utilization),
            used(stands.and_then(|part| part.utilization)),
            Cell::text(drawn.verdict.word()),
            Cell::text(match (built, refused) {
                (_, true) => "refused",
                (Some(part), false) => part.verdict.word(),
                (None, false) => "falls",
            }),
        ]
    });
    Sheet {
        schema: "barkline/as-built-rows/1",
        title: document.title.clone(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::of("load_drawn", "load drawn", Quantity::Force),
            Column::of("load_built", "load built", Quantity::Force),
            Column::numbers("utilization_drawn", "used drawn"),
            Column::numbers("utilization_built", "used built"),
            Column::words("verdict_drawn", "drawn"),
            Column::words("verdict_built", "built"),
        ],
        rows: rows.collect(),
        sources: Vec::new(),
        cautions: Vec::new(),
    }
}

/// The verdict on what was built, in a sentence or two.
pub fn as_built_summary(document: &AsBuiltDocument, show: Show) -> String {
    let verdict = document.verdict.word();
    match (&document.built, &document.falls) {
        (Some(built), _) => format!("As built: {verdict}. {}", summary(built, show)),
        (None, Some(falls)) => format!("As built: {verdict}. {falls}."),
        (None, None) => format!("As built: {verdict}."),
    }
}

/// What differs, what is missing, what was seen: a sentence each.
pub fn as_built_lines(document: &AsBuiltDocument, show: Show) -> Vec<String> {
    let mut lines = Vec::new();
    for part in &document.anchors {
        let anchor = &part.anchor;
        if part.refused {
            lines.push(format!(
                "{anchor} refused: nothing bears on it, and the others carry its load."
            ));
        }
        if !part.measured {
            lines.push(format!(
                "{anchor} was not measured: it stands as drawn and is not assessed."
            ));
        }
        lines.extend(
            part.changes
                .iter()
                .map(|change| format!("{anchor}: {}.", difference(&change.0, show))),
        );
        if !part.missing.is_empty() {
            lines.push(format!(
                "{anchor}: not measured, taken as drawn: {}.",
                part.missing.join(", ")
            ));
        }
        if let Some(note) = &part.note {
            lines.push(format!("{anchor}, as noted: {}", note.trim_end_matches('.')) + ".");
        }
    }
    lines.extend(document.remarks.iter().map(|remark| format!("{remark}.")));
    lines
}

/// A difference as it can be read off a rule: to a hundredth of an inch or a tenth of a millimetre, not less than that.
fn read_off(difference: Length, show: Show) -> Length {
    let step = match show {
        Show::Us => us::inches(0.01),
        Show::Si => si::millimetres(0.1),
    };
    step * (difference / step).value.round().max(1.0)
}

fn difference(change: &BuiltChange, show: Show) -> String {
    let text = |dimension: Dimension| match dimension {
        Dimension::Length(length) => print::<LengthKind>(length, show),
        Dimension::Angle(angle) => print::<Angle>(angle, show),
    };
    let mut line = format!("{} {}", change.what.words(), text(change.built));
    if let Some(designed) = change.designed {
        let by = change.built.si() - designed.si();
        let size = match change.built {
            Dimension::Length(_) => Dimension::Length(read_off(si::metres(by.abs()), show)),
            Dimension::Angle(_) => Dimension::Angle(si::radians(by.abs())),
        };
        let sense = match (change.what, by < 0.0) {
            (BuiltKey::Level, true) => "lower",
            (BuiltKey::Level, false) => "higher",
            (_, true) => "less",
            (_, false) => "more",
        };
        let _ = write!(
            line,
            " instead of {}, {} {sense}",
            text(designed),
            text(size)
        );
    } else {
        line.push_str(", which the drawing does not say");
    }
    if let Some(follows) = change.follows {
        let _ = write!(line, "; it follows from {follows}");
    }
    line
}
