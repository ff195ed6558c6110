//! One sheet for each anchor: its section, what happens along its bar, every check.

use super::Package;
use super::block::{Block, Figure, Grid, Row, Section};
use super::worked::{self, Working};
use crate::checks::{Attachment, CheckResult, Measure, Verdict};
use crate::model::{Anchor, Segment, Stem};
use crate::report::attachments::{down, up};
use crate::report::drawing;
use crate::report::{Cell, standing_id};
use crate::units::{Show, Stiffness, engineering, kind, print, us};

/// The sheets, in the order of the layout.
pub(super) fn sections(package: &Package<'_>, workings: &[Working]) -> Vec<Section> {
    let anchors = package.platform.anchors().iter().zip(workings);
    anchors
        .enumerate()
        .filter_map(|(index, (anchor, working))| {
            let mut attachments = package.results.attachments().iter();
            let attachment = attachments.find(|own| own.anchor() == anchor.id)?;
            let sheet = sheet(package, index, anchor, attachment);
            let blocks = worked::blocks(working, attachment, package.show);
            Some(blocks.into_iter().fold(sheet, Section::with))
        })
        .collect()
}

fn sheet(package: &Package<'_>, index: usize, anchor: &Anchor, attachment: &Attachment) -> Section {
    let show = package.show;
    let stem = package.platform.stem_of(anchor);
    let references = References::of(attachment);
    let section = Section::new(
        format!("anchor-{}", index + 1),
        format!("Anchor {} in {}", anchor.id, stem.id),
    )
    .on_new_sheet()
    .tightly()
    .with(Block::Verdict(
        attachment.verdict(),
        governing(attachment, show),
    ))
    .with(Block::Figure(Figure {
        svg: drawing::elevation(anchor, stem, attachment, show),
        // The drawing names itself, and the sheet is full.
        caption: String::new(),
    }))
    .with(along(anchor, stem, attachment, show))
    .with(Block::Facts(facts(anchor, stem, attachment, show)))
    .with(Block::Table(checks(attachment, &references, show)));
    references
        .written()
        .into_iter()
        .fold(section, Section::with)
}

fn governing(attachment: &Attachment, show: Show) -> String {
    let Some(check) = attachment.governing() else {
        return "No check was made.".to_owned();
    };
    let mut text = format!("Governed by {}", check.limit_state.words());
    if let (Some(demand), Some(allowable)) = (check.demand, check.allowable) {
        let [demand, allowable] = [demand, allowable].map(|m| Cell::from(m).with_unit(show));
        text = format!("{text}: {demand} against {allowable}");
    }
    if let Some(combination) = &check.combination {
        text = format!("{text} under {combination}");
    }
    match check.utilization {
        Some(used) => format!("{text}; utilization {}.", up(used)),
        None => format!("{text}."),
    }
}

fn along(anchor: &Anchor, stem: &Stem, attachment: &Attachment, show: Show) -> Block {
    match drawing::diagrams(anchor, stem, attachment, show) {
        Ok(svg) => Block::Figure(Figure {
            svg,
            caption: format!(
                "Along the bar under the downward part of that load, in the plane of the grain. The part to the side (± {}) acts at \
                 the same time; checks take both.",
                print::<kind::Force>(
                    crate::units::si::newtons(attachment.load().side_n.abs()),
                    show
                )
            ),
        }),
        Err(error) => Block::Words(format!("No diagram along the bar: {error}.")),
    }
}

fn facts(
    anchor: &Anchor,
    stem: &Stem,
    attachment: &Attachment,
    show: Show,
) -> Vec<(String, String)> {
    let length = |length| print::<kind::Length>(length, show);
    let stress = |stress| print::<kind::Stress>(stress, show);
    let [down, side] = attachment.stiffness();
    let piece = |piece: &Segment| {
        format!(
            "⌀ {} in bearing, ⌀ {} in bending, {} long; {}, yield strength {} ({})",
            length(piece.bears),
            length(piece.resists),
            length(piece.length),
            piece.steel.name,
            stress(piece.steel.yield_strength),
            piece.steel.origin.source,
        )
    };
    let mut facts = vec![
        (
            "Size".to_owned(),
            format!("{} ({})", anchor.size.id, anchor.size.origin.source),
        ),
        ("Boss".to_owned(), piece(&anchor.size.boss)),
    ];
    facts.extend(
        anchor
            .size
            .shank
            .iter()
            .map(|shank| ("Shank".to_owned(), piece(shank))),
    );
    let wood = &stem.wood;
    facts.extend([
        (
            "Wood, green means".to_owned(),
            format!(
                "{}: crushing along the grain {}, across {}, modulus {} (variation {:.2}; {})",
                wood.name(),
                stress(wood.crushing()),
                stress(wood.across()),
                print::<kind::Modulus>(wood.modulus(), show),
                wood.crushing_variation(),
                wood.origin().source
            ),
        ),
        (
            "Line modulus K".to_owned(),
            format!(
                "{} along the grain, run at half and at twice",
                stress(wood.foundation_modulus())
            ),
        ),
        (
            "Stem".to_owned(),
            format!(
                "⌀ {} over bark, bark {}, soft outer wood {}",
                length(stem.diameter),
                length(stem.bark),
                length(stem.soft)
            ),
        ),
        (
            "Stiffness at the load".to_owned(),
            format!(
                "{} down, {} to the side; sinks {} at most",
                stiffness(down, show),
                stiffness(side, show),
                length(attachment.deflection())
            ),
        ),
    ]);
    if let Some(margin) = attachment.softened_margin() {
        facts.push((
            "If outer wood softens".to_owned(),
            format!("margin in wood {} (shown, not judged)", self::down(margin)),
        ));
    }
    facts
}

/// A force per deflection.
pub(super) fn stiffness(stiffness: Stiffness, show: Show) -> String {
    match show {
        Show::Us => format!(
            "{} lbf/in",
            engineering(stiffness.value * us::INCH / us::POUND_FORCE)
        ),
        Show::Si => format!("{} kN/mm", engineering(stiffness.value / 1e6)),
    }
}

/// What the checks of an anchor cite and note, each once: sources by number, notes by letter.
struct References<'a> {
    sources: Vec<&'a str>,
    notes: Vec<&'a str>,
}

impl<'a> References<'a> {
    fn of(attachment: &'a Attachment) -> Self {
        let mut own = Self {
            sources: Vec::new(),
            notes: Vec::new(),
        };
        for check in attachment.checks() {
            for source in parts(&check.source).filter(|_| check.verdict != Verdict::NotNeeded) {
                if !own.sources.contains(&source) {
                    own.sources.push(source);
                }
            }
            for note in check.note.as_deref().into_iter().flat_map(parts) {
                if !own.notes.contains(&note) {
                    own.notes.push(note);
                }
            }
        }
        own
    }

    /// The marks of a check.
    fn marks(&self, check: &CheckResult) -> String {
        let cited = parts(&check.source)
            .filter_map(|source| self.sources.iter().position(|own| *own == source))
            .map(|place| (place + 1).to_string());
        let noted = check
            .note
            .as_deref()
            .into_iter()
            .flat_map(parts)
            .filter_map(|note| self.notes.iter().position(|own| *own == note))
            .map(letter);
        cited.chain(noted).collect::<Vec<_>>().join(" ")
    }

    /// What the marks stand for.
    fn written(&self) -> Vec<Block> {
        let list = |head: &str, marked: Vec<String>| {
            (!marked.is_empty()).then(|| Block::Words(format!("{head}: {}.", marked.join(" · "))))
        };
        let sources = self.sources.iter().enumerate();
        let sources = sources.map(|(k, source)| format!("{} {source}", k + 1));
        let notes = self.notes.iter().enumerate();
        let notes = notes.map(|(k, note)| format!("{} {note}", letter(k)));
        let lists = [
            list("Sources", sources.collect()),
            list("Notes", notes.collect()),
        ];
        lists.into_iter().flatten().collect()
    }
}

/// The parts of a source or of a note.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split(';')
        .map(|part| part.trim().trim_end_matches('.'))
        .filter(|part| !part.is_empty())
}

/// a to z, then aa, ab and on.
fn letter(place: usize) -> String {
    const LETTERS: usize = 26;
    let own = char::from(b'a' + u8::try_from(place % LETTERS).unwrap_or(0));
    match place / LETTERS {
        0 => own.to_string(),
        more => format!("{}{own}", letter(more - 1)),
    }
}

fn checks(attachment: &Attachment, references: &References<'_>, show: Show) -> Grid {
    let governing = attachment.governing().map(|check| check.limit_state);
    let rows = attachment.checks().iter().map(|check| {
        let governs = governing == Some(check.limit_state);
        row(check, governs, references.marks(check), show)
    });
    Grid::new(
        format!(
            "Every check of anchor {}; the bar's black line is the limit. Numbers are sources, letters are notes, under the \
             table.",
            attachment.anchor()
        ),
        &[
            "check",
            "=verdict",
            "#demand",
            "#allowable",
            "%used",
            "#margin",
            "combination",
            "=standing",
            "see",
        ],
    )
    .with_rows(rows)
}

fn row(check: &CheckResult, governs: bool, marks: String, show: Show) -> Row {
    let dash = || "–".to_owned();
    let measure =
        |m: Option<Measure>| m.map_or_else(dash, |measure| Cell::from(measure).with_unit(show));
    let name = check.limit_state.words();
    Row {
        cells: vec![
            if governs {
                format!("{name} (governs)")
            } else {
                name.to_owned()
            },
            check.verdict.word().to_owned(),
            measure(check.demand),
            measure(check.allowable),
            check.utilization.map_or_else(dash, up),
            check.margin().map_or_else(dash, down),
            check.combination.clone().unwrap_or_else(dash),
            standing_id(check.standing).replace('_', " "),
            marks,
        ],
        strong: governs,
        used: check.utilization.map(|used| (used, check.verdict)),
        ..Row::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(
            [0, 25, 26, 52, 701, 702].map(letter),
            ["a", "z", "aa", "ba", "zz", "aaa"]
        );
    }
}
