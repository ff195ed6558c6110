//! The plan, and where everything stands.

use super::block::{Block, Figure, Grid, Section};
use super::{Package, tape};
use crate::model::{Beam, Carrier, Hold, Point, Seat};
use crate::report::drawing;
use crate::units::{Length, engineering, kind, print};

/// The plan.
pub(super) fn section(package: &Package<'_>) -> Section {
    let svg = drawing::plan(package.platform, package.results, package.show);
    let section = Section::new("plan", "Plan")
        .on_new_sheet()
        .with(Block::Figure(Figure {
            svg,
            caption: "Plan, north up. Stems with their bark, anchors to their size with the part of them that is used, beams to \
                      their width, joists as lines, braces dashed below them."
                .to_owned(),
        }))
        .with(Block::Table(stems(package)))
        .with(Block::Table(anchors(package)));
    let section = if package.platform.beams().is_empty() {
        section
    } else {
        section.with(Block::Table(beams(package)))
    };
    let further = further(package);
    if further.is_empty() {
        section
    } else {
        section.with(Block::Table(
            Grid::new(
                "Posts and guards, swings and hammocks.",
                &["what", "where", "size"],
            )
            .with_rows(further),
        ))
    }
}

fn stems(package: &Package<'_>) -> Grid {
    let show = package.show;
    let rows = package.platform.stems().iter().map(|stem| {
        vec![
            stem.id.clone(),
            stem.wood.name().to_owned(),
            tape(stem.at.east, show),
            tape(stem.at.north, show),
            print::<kind::Length>(stem.diameter, show),
            print::<kind::Length>(stem.bark, show),
        ]
    });
    Grid::new(
        "Stems at the level of their anchors; east and north of the zero of the site to the centre.",
        &[
            "tree",
            "wood",
            "#east",
            "#north",
            "#diameter over bark",
            "#bark",
        ],
    )
    .with_rows(rows)
}

fn anchors(package: &Package<'_>) -> Grid {
    let show = package.show;
    let rows = package.platform.anchors().iter().map(|anchor| {
        let stem = package.platform.stem_of(anchor);
        let point = anchor.load_point(stem);
        vec![
            anchor.id.clone(),
            stem.id.clone(),
            format!("{}°", engineering(degrees(anchor.faces.value))),
            anchor
                .level
                .map_or_else(|| "not given".to_owned(), |level| tape(level, show)),
            tape(point.east, show),
            tape(point.north, show),
            anchor.size.id.clone(),
        ]
    });
    Grid::new(
        "Anchors: compass bearing toward which they point, level, and the place of the load in plan.",
        &[
            "anchor", "tree", "#faces", "#level", "#east", "#north", "size",
        ],
    )
    .with_rows(rows)
}

/// A bearing from 0 to 360, to a tenth of a degree.
fn degrees(radians: f64) -> f64 {
    let tenths = (radians.to_degrees().rem_euclid(360.0) * 10.0).round() / 10.0;
    if tenths >= 360.0 { 0.0 } else { tenths }
}

fn beams(package: &Package<'_>) -> Grid {
    let show = package.show;
    let rows = package.platform.beams().iter().map(|beam| {
        vec![
            beam.id.clone(),
            format!(
                "{} × {}",
                print::<kind::Length>(beam.timber.width, show),
                print::<kind::Length>(beam.timber.depth, show)
            ),
            tape(beam.length(), show),
            seats(package, beam),
        ]
    });
    Grid::new(
        "Beams: width and depth, length, and each seat with its distance from the first end.",
        &["beam", "section", "#length", "seats"],
    )
    .with_rows(rows)
}

fn seats(package: &Package<'_>, beam: &Beam) -> String {
    let platform = package.platform;
    let seats = beam.supports.iter().map(|support| {
        let on = match support.carrier {
            Carrier::Anchor(index) => platform.anchors().get(index).map(|a| a.id.clone()),
            Carrier::Post(index) => platform
                .posts()
                .get(index)
                .map(|post| format!("post {}", post.id)),
            Carrier::Beam { beam, .. } => platform
                .beams()
                .get(beam)
                .map(|beam| format!("beam {}", beam.id)),
        };
        let way = match support.seat {
            Seat::Fixed => "fixed",
            Seat::Sliding => "slides",
            Seat::Hung => "hung",
        };
        let held = if support.held_down { ", held down" } else { "" };
        format!(
            "{} at {}: {way}{held}",
            on.unwrap_or_default(),
            tape(support.station, package.show)
        )
    });
    seats.collect::<Vec<_>>().join("; ")
}

/// Posts, guards, swings and hammocks: what, where, how large.
fn further(package: &Package<'_>) -> Vec<Vec<String>> {
    let show = package.show;
    let platform = package.platform;
    let place = |point: Point| {
        let [east, north] = [point.east, point.north].map(|length| tape(length, show));
        format!("east {east}, north {north}")
    };
    let on_beam = |beam: usize, station: Length| {
        let id = platform.beams().get(beam).map_or("", |beam| &beam.id);
        format!("beam {id} at {}", tape(station, show))
    };
    let hold = |hold: Hold| match hold {
        Hold::Anchor(index) => {
            let id = platform.anchors().get(index).map_or("", |own| &own.id);
            format!("anchor {id}")
        }
        Hold::Beam { beam, station } => on_beam(beam, station),
    };
    let posts = platform.posts().iter().map(|post| {
        let stiff = match post.stiffness {
            Some(stiffness) => super::anchors::stiffness(stiffness, show),
            None => "taken as stiff".to_owned(),
        };
        vec![format!("post {}", post.id), place(post.at), stiff]
    });
    let guards = platform.guards().iter().map(|guard| {
        let deck = platform.decks().get(guard.deck).map_or("", |own| &own.id);
        let [a, b] = guard.along.map(place);
        vec![
            format!("guard {}", guard.id),
            format!("deck {deck}, from {a} to {b}"),
            format!(
                "{} high, {:.0} % solid",
                tape(guard.height, show),
                guard.solidity * 100.0
            ),
        ]
    });
    let swings = platform.swings().iter().map(|swing| {
        vec![
            format!("swing {}", swing.id),
            on_beam(swing.beam, swing.station),
            format!(
                "rider {}, to {} from plumb, along {}°",
                print::<kind::Force>(swing.rider, show),
                print::<kind::Angle>(swing.to, show),
                engineering(degrees(swing.along.value))
            ),
        ]
    });
    let hammocks = platform.hammocks().iter().map(|hammock| {
        let [a, b] = hammock.ends.map(hold);
        vec![
            format!("hammock {}", hammock.id),
            format!("{a} to {b}"),
            format!(
                "{} in it, sags {}",
                print::<kind::Force>(hammock.weight, show),
                tape(hammock.sag, show)
            ),
        ]
    });
    posts.chain(guards).chain(swings).chain(hammocks).collect()
}
