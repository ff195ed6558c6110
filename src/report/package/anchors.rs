//! One sheet for each anchor: its section, what happens along its bar, every check.

use super::Package;
use super::block::{Block, Figure, Grid, Row, Section};
use crate::checks::{Attachment, CheckResult, Measure, Verdict};
use crate::model::{Anchor, Segment, Stem};
use crate::report::attachments::{down, up};
use crate::report::drawing::{self, Bar};
use crate::report::{Cell, standing_id};
use crate::units::{Show, Stiffness, engineering, kind, print, us};

/// The sheets, in the order of the layout.
pub(super) fn sections(package: &Package<'_>) -> Vec<Section> {
    let anchors = package.platform.anchors().iter();
    anchors
        .enumerate()
        .filter_map(|(index, anchor)| {
            let mut attachments = package.results.attachments().iter();
            let attachment = attachments.find(|own| own.anchor() == anchor.id)?;
            Some(sheet(package, index, anchor, attachment))
        })
        .collect()
}

fn sheet(package: &Package<'_>, index: usize, anchor: &Anchor, attachment: &Attachment) -> Section {
    let show = package.show;
    let stem = package.platform.stem_of(anchor);
    Section::new(
        format!("anchor-{}", index + 1),
        format!("Anchor {} in {}", anchor.id, stem.id),
    )
    .on_new_sheet()
    .with(Block::Verdict(
        attachment.verdict(),
        governing(attachment, show),
    ))
    .with(Block::Figure(Figure {
        svg: drawing::elevation(anchor, stem, attachment, show),
        caption: format!(
            "Anchor {} in section along its bar, with the load that governs.",
            anchor.id
        ),
    }))
    .with(along(anchor, stem, attachment, show))
    .with(Block::Facts(facts(anchor, stem, attachment, show)))
    .with(Block::Figure(Figure {
        svg: drawing::bars(
            &format!("Utilization of anchor {} by check", anchor.id),
            &bars(attachment),
        ),
        caption: "How much of each check is used; one is the limit.".to_owned(),
    }))
    .with(Block::Table(checks(attachment, show)))
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
                "Along the bar under the downward part of that load, in the plane of the grain: pressure on the wood, shear and \
                 moment in the steel. The part to the side (± {}) acts at the same time, and every check takes both.",
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
            "Line modulus K along the grain".to_owned(),
            format!(
                "{}, run at half and at twice",
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
                "{} down, {} to the side",
                stiffness(down, show),
                stiffness(side, show)
            ),
        ),
        (
            "Largest sinking".to_owned(),
            length(attachment.deflection()),
        ),
    ]);
    if let Some(margin) = attachment.softened_margin() {
        facts.push((
            "Margin in wood if the outer wood softens".to_owned(),
            format!("{} (shown, not judged)", self::down(margin)),
        ));
    }
    facts
}

/// A force per deflection.
fn stiffness(stiffness: Stiffness, show: Show) -> String {
    match show {
        Show::Us => format!(
            "{} lbf/in",
            engineering(stiffness.value * us::INCH / us::POUND_FORCE)
        ),
        Show::Si => format!("{} kN/mm", engineering(stiffness.value / 1e6)),
    }
}

fn bars(attachment: &Attachment) -> Vec<Bar> {
    let governing = attachment.governing().map(|check| check.limit_state);
    let bars = attachment.checks().iter().map(|check| Bar {
        name: check.limit_state.words().to_owned(),
        group: check.limit_state.group().word(),
        utilization: check.utilization,
        verdict: check.verdict,
        governs: governing == Some(check.limit_state),
    });
    bars.filter(|bar| bar.utilization.is_some() || bar.verdict != Verdict::NotNeeded)
        .collect()
}

fn checks(attachment: &Attachment, show: Show) -> Grid {
    let governing = attachment.governing().map(|check| check.limit_state);
    let rows = attachment
        .checks()
        .iter()
        .map(|check| row(check, governing == Some(check.limit_state), show));
    Grid::new(
        format!(
            "Every check of anchor {}; under each, where strength and factor come from.",
            attachment.anchor()
        ),
        &[
            "check",
            "=verdict",
            "#demand",
            "#allowable",
            "#used",
            "#margin",
            "combination",
            "=standing",
        ],
    )
    .with_rows(rows)
}

fn row(check: &CheckResult, governs: bool, show: Show) -> Row {
    let dash = || "–".to_owned();
    let measure =
        |m: Option<Measure>| m.map_or_else(dash, |measure| Cell::from(measure).with_unit(show));
    let name = check.limit_state.words();
    let source = &check.source;
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
        ],
        strong: governs,
        detail: Some(match &check.note {
            Some(note) if check.verdict == Verdict::NotNeeded => format!("{note}."),
            Some(note) => format!("Source: {source}. Note: {}.", note.trim_end_matches('.')),
            None => format!("Source: {source}."),
        }),
    }
}
