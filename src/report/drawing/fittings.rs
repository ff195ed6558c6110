//! What stands, leans and hangs on the platform of a plan: braces, posts, guards, swings, hammocks.

use super::labels::{Area, Labels};
use super::pen::{self, GREY, INK, Pen, SMALL, Stand};
use crate::model::{Brace, Hammock, Hold, Platform, Point, Swing};
use crate::report::markup::Element;

/// A brace lies below what carries the floor: it is dashed.
const BRACE: Pen = Pen::dashed(0.7, INK, "2.4 1.2");
/// A guard stands on the edge of a deck.
const GUARD: Pen = Pen::dashed(0.9, GREY, "0.5 0.9");
/// A taut line.
const LINE: Pen = Pen::dashed(0.3, INK, "0.6 0.6");
/// Half the side of the mark of a post (mm).
const POST: f64 = 1.5;
/// Half the length of the arrow along which a swing swings (mm).
const REACH: f64 = 5.0;

/// From a point of the plan to the paper.
pub(super) type At<'a> = &'a dyn Fn(Point) -> [f64; 2];

/// A name and where it wants to stand: its place on the paper, and in which direction of it.
pub(super) struct Name {
    text: String,
    place: [f64; 2],
    toward: [f64; 2],
}

/// The drawings of all of them, and their names for later.
pub(super) fn draw(
    platform: &Platform,
    at: At<'_>,
    labels: &mut Labels,
) -> (Vec<Element>, Vec<Name>) {
    let mut drawn = Vec::new();
    let mut names = Vec::new();
    let mut take = |element: Element, name: Name| {
        drawn.push(element);
        names.push(name);
    };
    for brace in platform.braces() {
        let Some([a, b]) = brace_ends(platform, brace) else {
            continue;
        };
        let (a, b) = (at(a), at(b));
        labels.keep_line_clear(a, b, 0.8);
        take(brace_mark(a, b), named("brace", &brace.id, a, b));
    }
    for guard in platform.guards() {
        let [a, b] = guard.along.map(at);
        labels.keep_line_clear(a, b, 0.8);
        take(guard_mark(a, b), named("guard", &guard.id, a, b));
    }
    for post in platform.posts() {
        let place = at(post.at);
        labels.keep_clear(Area::round(place, POST));
        let name = Name {
            text: format!("post {}", post.id),
            place,
            toward: [0.7, 0.7],
        };
        take(post_mark(place), name);
    }
    for swing in platform.swings() {
        let Some((place, toward)) = swing_place(platform, swing, at) else {
            continue;
        };
        labels.keep_clear(Area::round(place, 1.6));
        let name = Name {
            text: format!("swing {}", swing.id),
            place,
            toward: [-toward[1], toward[0]],
        };
        take(swing_mark(place, toward), name);
    }
    for hammock in platform.hammocks() {
        let Some([a, b]) = hammock_ends(platform, hammock) else {
            continue;
        };
        let (a, b) = (at(a), at(b));
        labels.keep_line_clear(a, b, 1.2);
        take(hammock_mark(a, b), named("hammock", &hammock.id, a, b));
    }
    (drawn, names)
}

/// A name at the middle of a line, to one side of it.
fn named(kind: &str, id: &str, a: [f64; 2], b: [f64; 2]) -> Name {
    let place = [0, 1].map(|k| f64::midpoint(a[k], b[k]));
    let [ux, uy] = unit(a, b);
    Name {
        text: format!("{kind} {id}"),
        place,
        toward: [-uy, ux],
    }
}

/// Writes the names where there is room.
pub(super) fn write(names: &[Name], labels: &mut Labels) -> Element {
    let placed = names
        .iter()
        .map(|name| labels.place(&[&name.text], SMALL, name.place, name.toward));
    Element::new("g").holding_all(placed)
}

/// What of it is in a platform, each with its mark for the key.
pub(super) fn key(platform: &Platform) -> Vec<(Element, &'static str)> {
    let ends = ([-3.5, 0.0], [3.5, 0.0]);
    let items = [
        (
            platform.braces().is_empty(),
            brace_mark(ends.0, ends.1),
            "brace, below",
        ),
        (
            platform.posts().is_empty(),
            post_mark([0.0; 2]),
            "post on the ground",
        ),
        (
            platform.guards().is_empty(),
            guard_mark(ends.0, ends.1),
            "guard",
        ),
        (
            platform.swings().is_empty(),
            swing_mark([0.0; 2], [0.8, 0.0]),
            "swing, and its way",
        ),
        (
            platform.hammocks().is_empty(),
            hammock_mark(ends.0, ends.1),
            "hammock",
        ),
    ];
    items
        .into_iter()
        .filter(|(none, ..)| !none)
        .map(|(_, mark, name)| (mark, name))
        .collect()
}

/// The ends of a brace in plan: at its anchor, at its beam.
pub(in crate::report) fn brace_ends(platform: &Platform, brace: &Brace) -> Option<[Point; 2]> {
    let anchor = platform.anchors().get(brace.anchor)?;
    let beam = platform.beams().get(brace.beam)?;
    Some([
        anchor.load_point(platform.stem_of(anchor)),
        beam.at(brace.station),
    ])
}

fn hammock_ends(platform: &Platform, hammock: &Hammock) -> Option<[Point; 2]> {
    let end = |hold: Hold| match hold {
        Hold::Anchor(index) => {
            let anchor = platform.anchors().get(index)?;
            Some(anchor.load_point(platform.stem_of(anchor)))
        }
        Hold::Beam { beam, station } => Some(platform.beams().get(beam)?.at(station)),
    };
    let [a, b] = hammock.ends;
    Some([end(a)?, end(b)?])
}

/// Where a swing hangs on the paper, and along which line it swings there.
fn swing_place(platform: &Platform, swing: &Swing, at: At<'_>) -> Option<([f64; 2], [f64; 2])> {
    let place = platform.beams().get(swing.beam)?.at(swing.station);
    let (sin, cos) = swing.along.value.sin_cos();
    Some((at(place), [sin, -cos]))
}

/// The unit vector from a to b on paper; to the right where they are one.
fn unit(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx.hypot(dy);
    if length > 0.0 {
        [dx / length, dy / length]
    } else {
        [1.0, 0.0]
    }
}

fn brace_mark(a: [f64; 2], b: [f64; 2]) -> Element {
    pen::line(a, b, BRACE)
}

fn guard_mark(a: [f64; 2], b: [f64; 2]) -> Element {
    pen::line(a, b, GUARD)
}

/// A square with a cross.
fn post_mark([x, y]: [f64; 2]) -> Element {
    let (low, high) = ([x - POST, y - POST], [x + POST, y + POST]);
    let cross = [[low, high], [[low[0], high[1]], [high[0], low[1]]]];
    Element::new("g")
        .holding(pen::rect(low, high, Pen::MEDIUM, "#fff"))
        .holding(pen::strokes(cross, Pen::FINE))
}

/// A ring with an S, and a double arrow along which it swings.
fn swing_mark(at: [f64; 2], [ux, uy]: [f64; 2]) -> Element {
    let end = |sign: f64| [at[0] + ux * REACH * sign, at[1] + uy * REACH * sign];
    Element::new("g")
        .holding(pen::line(end(-1.0), end(1.0), Pen::FINE))
        .holding(pen::head(at, end(1.0), 1.5))
        .holding(pen::head(at, end(-1.0), 1.5))
        .holding(pen::circle(at, 1.5, Pen::MEDIUM, "#fff"))
        .holding(pen::words("S", [at[0], at[1] + 0.9], SMALL, Stand::Middle))
}

/// A dotted line with a ring at each end.
fn hammock_mark(a: [f64; 2], b: [f64; 2]) -> Element {
    Element::new("g")
        .holding(pen::line(a, b, LINE))
        .holding_all([a, b].map(|end| pen::circle(end, 0.8, Pen::FINE, "#fff")))
}
