//! What the trees do: how far they move, what the holes and loads do to the stems, what beams between them need, how they grow.

use super::Package;
use super::anchors::stiffness;
use super::block::{Block, Grid, Row, Section};
use crate::checks::Verdict;
use crate::checks::stems::{
    AnchorMovement, GrowthResult, HoleResult, PairResult, SectionResult, TreeResult, Trees,
};
use crate::mechanics::sway::pair::RelativeMovement;
use crate::model::Sway;
use crate::report::standing_id;
use crate::units::{Force, Length, Moment, Show, Stress, kind, print};

/// The movement of the stems.
pub(super) fn section(package: &Package<'_>, trees: &Trees) -> Section {
    let show = package.show;
    let mut section = Section::new("movement", "Movement of the stems")
        .on_new_sheet()
        .saying(
            "Estimates of a mean tree unless they were measured: they say of what size a thing is, not what it is. Stresses of stems and \
             moments at the roots are reported, not judged.",
        );
    let tables = [
        (trees.trees.is_empty(), movement(&trees.trees, show)),
        (trees.pairs.is_empty(), pairs(&trees.pairs, show)),
        (trees.holes.is_empty(), holes(&trees.holes, show)),
        (trees.trees.is_empty(), roots(&trees.trees, show)),
        (trees.trees.is_empty(), sections(&trees.trees, show)),
        (trees.growth.is_empty(), growth(&trees.growth, show)),
    ];
    for (_, table) in tables.into_iter().filter(|(none, _)| !none) {
        section = section.with(Block::Table(table));
    }
    let said: Vec<String> = trees.trees.iter().flat_map(notes).collect();
    if said.is_empty() {
        section
    } else {
        section
            .with(Block::Heading("What was assumed".to_owned()))
            .with(Block::List(said))
    }
}

fn dash() -> String {
    "–".to_owned()
}

fn length(length: Option<Length>, show: Show) -> String {
    length.map_or_else(dash, |length| print::<kind::Length>(length, show))
}

fn force(force: Option<Force>, show: Show) -> String {
    force.map_or_else(dash, |force| print::<kind::Force>(force, show))
}

fn moment(moment: Option<Moment>, show: Show) -> String {
    moment.map_or_else(dash, |moment| print::<kind::Moment>(moment, show))
}

fn stress(stress: Option<Stress>, show: Show) -> String {
    stress.map_or_else(dash, |stress| print::<kind::Stress>(stress, show))
}

fn percent(share: Option<f64>) -> String {
    share.map_or_else(dash, |share| format!("{:.1} %", share * 100.0))
}

fn years(years: Option<f64>) -> String {
    years.map_or_else(dash, |years| format!("{years:.0}"))
}

/// A movement, and whether it was measured.
fn swayed(sway: Option<&Sway>, show: Show) -> String {
    let measured = |sway: &Sway| if sway.measured { " (measured)" } else { "" };
    sway.map_or_else(
        || "not known".to_owned(),
        |sway| {
            let moved = print::<kind::Length>(sway.movement, show);
            format!("{moved}{}", measured(sway))
        },
    )
}

fn movement(trees: &[TreeResult], show: Show) -> Grid {
    let row = |tree: &TreeResult, at: &AnchorMovement| {
        vec![
            tree.tree.clone(),
            at.anchor.clone(),
            at.level
                .map_or_else(|| "not given".to_owned(), |level| super::tape(level, show)),
            swayed(at.service.as_ref(), show),
            swayed(at.storm.as_ref(), show),
            at.side_stiffness
                .map_or_else(dash, |value| stiffness(value, show)),
        ]
    };
    let rows = trees
        .iter()
        .flat_map(|tree| tree.movement.iter().map(move |at| row(tree, at)));
    Grid::new(
        "Peak movement to one side at each anchor: in a wind in which people are still on the platform, and in the storm of the site.",
        &[
            "tree",
            "anchor",
            "#level",
            "#in service",
            "#in the storm",
            "#tree's stiffness there",
        ],
    )
    .with_rows(rows)
}

/// What of two trees stands in a table: the opposed movement, then that in phase.
fn against(movement: Option<&RelativeMovement>, show: Show) -> String {
    movement.map_or_else(
        || "not known".to_owned(),
        |movement| {
            let [opposed, in_phase] =
                [movement.opposed, movement.in_phase].map(|m| print::<kind::Length>(m, show));
            format!("{opposed}; {in_phase}")
        },
    )
}

fn judged(cells: Vec<String>, verdict: Verdict, note: &str) -> Row {
    Row {
        cells,
        strong: matches!(verdict, Verdict::Fail | Verdict::Review),
        detail: Some(note.trim())
            .filter(|note| !note.is_empty())
            .map(|note| format!("{}.", note.trim_end_matches('.'))),
        used: None,
    }
}

fn pairs(pairs: &[PairResult], show: Show) -> Grid {
    let row = |pair: &PairResult| {
        let locked = pair.locked_in.as_ref();
        let cells = vec![
            format!("{} and {}", pair.first, pair.second),
            pair.beam.clone().unwrap_or_else(dash),
            against(pair.service.as_ref(), show),
            against(pair.storm.as_ref(), show),
            length(Some(pair.growth), show),
            length(pair.travel_needed, show),
            length(pair.travel_given, show),
            force(locked.and_then(|locked| locked.service), show),
            force(locked.and_then(|locked| locked.storm), show),
            pair.verdict.word().to_owned(),
        ];
        judged(cells, pair.verdict, &pair.note)
    };
    Grid::new(
        "Pairs of trees that the platform joins: how far they move against each other when opposed, and in phase; the travel of seats \
         from stop to stop; the force in a beam that is fixed to both.",
        &[
            "trees",
            "beam",
            "#in service",
            "#in the storm",
            "#growth",
            "#travel needed",
            "#given",
            "#locked in",
            "#in the storm",
            "=verdict",
        ],
    )
    .with_rows(pairs.iter().map(row))
}

fn holes(holes: &[HoleResult], show: Show) -> Grid {
    let row = |hole: &HoleResult| {
        let cells = vec![
            hole.deck.clone(),
            hole.tree
                .clone()
                .unwrap_or_else(|| "a tree without anchors".to_owned()),
            length(hole.gap, show),
            length(hole.movement, show),
            length(hole.growth, show),
            years(hole.years_to_contact),
            hole.verdict.word().to_owned(),
        ];
        judged(cells, hole.verdict, &hole.note)
    };
    Grid::new(
        "Holes of decks round stems: the gap all round from the bark, against movement in service and growth.",
        &[
            "deck",
            "tree",
            "#gap",
            "#movement",
            "#growth",
            "#years to contact",
            "=verdict",
        ],
    )
    .with_rows(holes.iter().map(row))
}

fn roots(trees: &[TreeResult], show: Show) -> Grid {
    let row = |tree: &TreeResult| {
        vec![
            tree.tree.clone(),
            moment(Some(tree.root_moment), show),
            if tree.root_moment_is_whole {
                "all loads"
            } else {
                "without sideways loads: an anchor has no level"
            }
            .to_owned(),
            moment(tree.overturning, show),
            moment(tree.breaking, show),
            length(tree.usual_bark, show),
        ]
    };
    Grid::new(
        "Moment that the platform brings to the roots, all loads on the worst side, beside the estimates of the mean tree. Not judged.",
        &[
            "tree",
            "#from the platform",
            "with",
            "#overturns at",
            "#stem breaks at",
            "#usual bark",
        ],
    )
    .with_rows(trees.iter().map(row))
}

fn sections(trees: &[TreeResult], show: Show) -> Grid {
    let row = |tree: &TreeResult, section: &SectionResult| {
        let cells = vec![
            tree.tree.clone(),
            section.anchor.clone(),
            percent(Some(section.hole_loss)),
            percent(Some(section.loss)),
            moment(Some(section.platform_moment), show),
            moment(section.wind_moment, show),
            stress(section.stress, show),
            stress(section.storm_stress, show),
            percent(section.share_of_rupture),
            section.verdict.word().to_owned(),
            standing_id(section.standing).replace('_', " "),
        ];
        judged(
            cells,
            section.verdict,
            section.note.as_deref().unwrap_or_default(),
        )
    };
    let rows = trees
        .iter()
        .flat_map(|tree| tree.sections.iter().map(move |own| row(tree, own)));
    Grid::new(
        "The stem at each anchor: bending strength lost to the hole, and with a cavity; bending by platform and service wind, its stress, \
         and that as a share of the mean rupture of the green stem. The loss is judged, the stress is not.",
        &[
            "tree",
            "anchor",
            "#hole",
            "#in all",
            "#moment, platform",
            "#wind",
            "#stress",
            "#in the storm",
            "#of rupture",
            "=verdict",
            "standing",
        ],
    )
    .with_rows(rows)
}

fn growth(growth: &[GrowthResult], show: Show) -> Grid {
    let row = |own: &GrowthResult| {
        let last = own.rows.last();
        vec![
            own.anchor.clone(),
            own.tree.clone(),
            length(own.yearly, show),
            if own.measured {
                "measured"
            } else {
                "estimated"
            }
            .to_owned(),
            standing_id(own.standing).replace('_', " "),
            length(own.gap, show),
            years(own.years_to_contact),
            last.map_or_else(dash, |row| row.year.to_string()),
            length(last.map(|row| row.new_wood), show),
            length(last.and_then(|row| row.gap), show),
            length(last.map(|row| row.arm_for_strength), show),
        ]
    };
    Grid::new(
        "Growth at each anchor: of the radius in a year; the gap from bark to beam now and after so many years; the arm that strength is \
         reckoned with stays that from the old wood.",
        &[
            "anchor",
            "tree",
            "#a year",
            "how known",
            "standing",
            "#gap now",
            "#years to contact",
            "#after years",
            "#new wood",
            "#gap then",
            "#arm for strength",
        ],
    )
    .with_rows(growth.iter().map(row))
}

/// What was assumed of a tree, and why something is not known.
fn notes(tree: &TreeResult) -> Vec<String> {
    let unknown = tree.unknown.iter().map(|why| format!("no estimate: {why}"));
    let notes = unknown.chain(tree.notes.iter().cloned());
    notes
        .map(|note| format!("{}: {}.", tree.tree, note.trim_end_matches('.')))
        .collect()
}
