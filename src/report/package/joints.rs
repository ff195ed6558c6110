//! What presses between members, and what follows when one attachment is lost.

use super::Package;
use super::block::{Block, Grid, Row, Section};
use crate::analysis::platform::JointKind;
use crate::model::{Brace, Carries};
use crate::report::attachments::up;
use crate::report::drawing::brace_ends;
use crate::report::{ExceededPart, GoingPart, JointPart, LossPart, Quantity, loss_words};
use crate::units::{engineering, kind, print, si};

/// The joints; none where there is no joint.
pub(super) fn section(package: &Package<'_>) -> Option<Section> {
    if package.document.joints.is_empty() {
        return None;
    }
    let section = Section::new("joints", "Joints")
        .on_new_sheet()
        .with(Block::Table(joints(package)));
    let section = if package.platform.braces().is_empty() {
        section
    } else {
        section.with(Block::Table(braces(package)))
    };
    Some(section.saying(
        "The strength of these joints, of bolts, brackets, hangers and posts, is not checked here: these are the forces to \
         check them by. A force below zero is one that the joint would have to carry the other way.",
    ))
}

fn joints(package: &Package<'_>) -> Grid {
    let show = package.show;
    let unit = Quantity::Force.unit(show);
    let force = |newtons: f64| engineering(Quantity::Force.in_unit(newtons, show));
    let row = |joint: &JointPart| Row {
        cells: vec![
            joint.joint.clone(),
            kind_words(joint.kind).to_owned(),
            force(joint.least_n),
            joint.least_combination.clone(),
            force(joint.most_n),
            joint.most_combination.clone(),
        ],
        // One that would have to act the other way than it can.
        strong: joint.least_n < 0.0 && !matches!(joint.kind, JointKind::Tied | JointKind::Both),
        ..Row::default()
    };
    let heads = [
        "joint".to_owned(),
        "how".to_owned(),
        format!("#least ({unit})"),
        "under".to_owned(),
        format!("#most ({unit})"),
        "under".to_owned(),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    Grid::new(
        "What presses on each joint, the least and the most over all combinations; of what only pulls, its pull.",
        &heads,
    )
    .with_rows(package.document.joints.iter().map(row))
}

const fn kind_words(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Bears => "bears",
        JointKind::Tied => "bears, tied down",
        JointKind::Pushes => "pushes",
        JointKind::Pulls => "pulls",
        JointKind::Both => "pushes and pulls",
        JointKind::Post => "stands on the ground",
    }
}

/// Braces with their run, rise, length and slope, where the levels of both ends are known.
fn braces(package: &Package<'_>) -> Grid {
    let rows = package
        .platform
        .braces()
        .iter()
        .map(|brace| brace_row(package, brace));
    Grid::new(
        "Braces, from the line of the load on their anchor to the axis of their beam. Length is between these points: cut by what \
         is measured on the spot.",
        &[
            "brace",
            "from anchor",
            "to beam",
            "carries",
            "section",
            "#run in plan",
            "#rise",
            "#length",
            "#slope",
        ],
    )
    .with_rows(rows)
}

fn brace_row(package: &Package<'_>, brace: &Brace) -> Vec<String> {
    let show = package.show;
    let platform = package.platform;
    let dash = || "–".to_owned();
    let length = |metres: f64| super::tape(si::metres(metres), show);
    let anchor = platform.anchors().get(brace.anchor);
    let beam = platform.beams().get(brace.beam);
    let run = brace_ends(platform, brace).map(|[a, b]| a.distance(b).value);
    let rise = anchor
        .and_then(|anchor| anchor.level)
        .zip(beam.and_then(|beam| beam.level))
        .map(|(low, high)| (high - low).value);
    let both = run.zip(rise);
    vec![
        brace.id.clone(),
        anchor.map_or_else(dash, |anchor| anchor.id.clone()),
        beam.map_or_else(dash, |beam| {
            format!("{} at {}", beam.id, super::tape(brace.station, show))
        }),
        match brace.carries {
            Carries::Push => "push",
            Carries::Pull => "pull",
            Carries::Both => "push and pull",
        }
        .to_owned(),
        format!(
            "{} × {}",
            print::<kind::Length>(brace.timber.width, show),
            print::<kind::Length>(brace.timber.depth, show)
        ),
        run.map_or_else(dash, length),
        rise.map_or_else(dash, length),
        both.map_or_else(dash, |(run, rise)| length(run.hypot(rise))),
        both.map_or_else(dash, |(run, rise)| {
            format!("{:.1}°", rise.atan2(run).to_degrees())
        }),
    ]
}

/// One attachment lost; none where it was not asked for.
pub(super) fn losses(package: &Package<'_>) -> Option<Section> {
    let losses = package.document.lose_one.as_ref()?;
    let section = Section::new("losses", "One attachment lost").with(Block::Table(
        Grid::new(
            "Each attachment taken away in turn, the others at their strength without safety factors; at once, what it carried \
             falls on the others; slowly, it hands its load on.",
            &[
                "lost",
                "what falls at once",
                "then most used",
                "#used",
                "what follows slowly",
                "then most used",
                "#used",
            ],
        )
        .with_rows(losses.iter().map(loss_row)),
    ));
    let section = match loss_words(package.document) {
        Some(words) => section.saying(words),
        None => section,
    };
    Some(section.saying(
        "Shown and not judged: whether the loss of one attachment must be borne is for the engineer. Members and their joints are \
         taken to hold.",
    ))
}

fn loss_row(loss: &LossPart) -> Row {
    let mut cells = vec![loss.lost.clone()];
    for going in [&loss.sudden, &loss.gradual] {
        cells.extend(going_cells(loss, going));
    }
    Row {
        cells,
        strong: !(loss.sudden.stands && loss.gradual.stands),
        ..Row::default()
    }
}

fn going_cells(loss: &LossPart, going: &GoingPart) -> [String; 3] {
    let outcome = match (loss.held, going.stands) {
        (false, _) => "nothing else holds it: it falls".to_owned(),
        (true, true) => "stands".to_owned(),
        (true, false) => {
            let ids: Vec<&str> = going
                .exceeded
                .iter()
                .map(|own| own.anchor.as_str())
                .collect();
            format!("exceeded: {}", ids.join(", "))
        }
    };
    let name = |most: &ExceededPart| format!("{}, {}", most.anchor, most.check.words());
    let used = |most: &ExceededPart| up(most.utilization);
    let dash = || "–".to_owned();
    [
        outcome,
        going.hardest.as_ref().map_or_else(dash, name),
        going.hardest.as_ref().map_or_else(dash, used),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn loss(held: bool, stands: bool) -> LossPart {
        let going = || GoingPart {
            stands,
            hardest: None,
            exceeded: Vec::new(),
        };
        LossPart {
            lost: "A".into(),
            held,
            sudden: going(),
            gradual: going(),
        }
    }

    #[test]
    fn a_loss_that_nothing_holds_never_reads_as_standing() {
        assert!(loss_row(&loss(false, true)).cells[1].contains("falls"));
        assert_eq!(loss_row(&loss(true, true)).cells[1], "stands");
        assert!(loss_row(&loss(true, false)).cells[4].starts_with("exceeded"));
        assert!(loss_row(&loss(true, false)).strong && !loss_row(&loss(true, true)).strong);
    }
}
