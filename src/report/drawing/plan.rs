//! The plan: north is up.

use super::fittings;
use super::labels::{Area, Labels};
use super::paper::{Counting, Scale, ScaleBar, WIDTH, frame};
use super::pen::{self, INK, Pen, SMALL, Stand, TEXT};
use super::tape;
use crate::analysis::deck::joist_lines;
use crate::checks::{Results, Verdict};
use crate::model::{Anchor, Beam, Carrier, Deck, Load, LoadPlace, Platform, Point, Seat, Stem};
use crate::report::attachments::up;
use crate::report::markup::Element;
use crate::units::{Length, Show, si};

/// Room round the plan for dimensions and words: left, top, right, below (mm).
const ROOM: [f64; 4] = [24.0, 16.0, 26.0, 22.0];
/// The tallest plan (mm), so that it shares a page with its heading.
const TALLEST: f64 = 142.0;
/// The most joists that are drawn; more would be a grey field and a large file.
const MOST_JOISTS: usize = 400;
/// Room for the scale bar and the key (mm).
const FOOT: f64 = 17.0;
/// Rows of the key.
const KEY_ROWS: usize = 4;

/// Draws the plan.
pub(super) fn draw(platform: &Platform, results: &Results, show: Show) -> String {
    let bounds = Bounds::of(platform);
    let view = View::new(bounds, show);
    let sheet = Sheet {
        platform,
        results,
        show,
        view: &view,
    };
    let mut labels = Labels::new(Area([0.0, 0.0], [WIDTH, view.foot()]));
    let at = |point: Point| view.at(point);
    let (fittings, names) = fittings::draw(platform, &at, &mut labels);
    let layers = [
        sheet.decks(),
        sheet.joists(),
        sheet.beams(&mut labels),
        sheet.stems(&mut labels),
        sheet.spans(&mut labels),
        Element::new("g").holding_all(fittings),
        sheet.anchors(&mut labels),
        sheet.loads(&mut labels),
        sheet.dimensions(&mut labels),
        view.north(&mut labels),
        sheet.anchor_names(&mut labels),
        sheet.load_names(&mut labels),
        sheet.names(&mut labels),
        fittings::write(&names, &mut labels),
        sheet.foot(),
    ];
    let title = format!("Plan, {}", view.scale.name);
    frame(view.foot() + FOOT, &title, &sheet.description())
        .holding_all(layers)
        .write()
}

/// West, south, east and north (m).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bounds([f64; 4]);

impl Bounds {
    const NOTHING: Self = Self([
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    ]);

    fn take(&mut self, point: Point, radius: f64) {
        let [x, y] = point.metres();
        let [w, s, e, n] = self.0;
        self.0 = [
            w.min(x - radius),
            s.min(y - radius),
            e.max(x + radius),
            n.max(y + radius),
        ];
    }

    /// Everything that is drawn.
    fn of(platform: &Platform) -> Self {
        let mut bounds = Self::of_decks(platform);
        for stem in platform.stems() {
            bounds.take(stem.at, stem.diameter.value / 2.0);
        }
        for anchor in platform.anchors() {
            bounds.take(anchor.load_point(platform.stem_of(anchor)), 0.0);
        }
        for beam in platform.beams() {
            let half = beam.timber.width.value / 2.0;
            bounds.take(beam.start, half);
            bounds.take(beam.end, half);
        }
        for post in platform.posts() {
            bounds.take(post.at, 0.0);
        }
        for end in platform.guards().iter().flat_map(|guard| guard.along) {
            bounds.take(end, 0.0);
        }
        for load in platform.loads() {
            match &load.place {
                LoadPlace::Point(point) => bounds.take(*point, 0.0),
                LoadPlace::Line(a, b) => [a, b].into_iter().for_each(|p| bounds.take(*p, 0.0)),
                LoadPlace::Area(corners) => corners.iter().for_each(|p| bounds.take(*p, 0.0)),
                LoadPlace::Anchor(_) | LoadPlace::Beam { .. } => {}
            }
        }
        bounds
    }

    fn of_decks(platform: &Platform) -> Self {
        let mut bounds = Self::NOTHING;
        for deck in platform.decks() {
            for corner in &deck.outline {
                bounds.take(*corner, 0.0);
            }
        }
        bounds
    }

    fn size(&self) -> [f64; 2] {
        let [w, s, e, n] = self.0;
        [e - w, n - s]
    }
}

/// From the plan to the paper.
#[derive(Debug, Clone, PartialEq)]
struct View {
    scale: Scale,
    bounds: Bounds,
    left: f64,
    top: f64,
    north_x: f64,
}

impl View {
    fn new(bounds: Bounds, show: Show) -> Self {
        let room = [WIDTH - ROOM[0] - ROOM[2], TALLEST];
        let scale = Scale::fitting(bounds.size(), room, show);
        let idle = room[0] - scale.paper(bounds.size()[0]);
        Self {
            scale,
            bounds,
            left: ROOM[0] + idle / 2.0,
            top: ROOM[1],
            north_x: WIDTH - 9.0,
        }
    }

    /// Where a point of the plan lies on the paper (mm, down from the upper left corner).
    fn at(&self, point: Point) -> [f64; 2] {
        let [x, y] = point.metres();
        let [w, _, _, n] = self.bounds.0;
        [
            self.left + self.scale.paper(x - w),
            self.top + self.scale.paper(n - y),
        ]
    }

    fn all(&self, points: &[Point]) -> Vec<[f64; 2]> {
        points.iter().map(|point| self.at(*point)).collect()
    }

    fn length(&self, length: Length) -> f64 {
        self.scale.paper(length.value)
    }

    /// Below everything that is drawn to scale (mm).
    fn foot(&self) -> f64 {
        self.top + self.scale.paper(self.bounds.size()[1]) + ROOM[3]
    }

    /// A strip of a width about a line.
    fn strip(&self, from: Point, to: Point, width: Length) -> [[f64; 2]; 4] {
        let (a, b) = (self.at(from), self.at(to));
        let [ux, uy] = unit(a, b);
        let half = self.length(width) / 2.0;
        let (px, py) = (-uy * half, ux * half);
        [
            [a[0] + px, a[1] + py],
            [b[0] + px, b[1] + py],
            [b[0] - px, b[1] - py],
            [a[0] - px, a[1] - py],
        ]
    }

    fn north(&self, labels: &mut Labels) -> Element {
        let (x, foot) = (self.north_x, 19.0);
        labels.keep_clear(Area([x - 4.0, 1.0], [x + 4.0, foot]));
        Element::new("g")
            .holding(pen::arrow([x, foot], [x, 6.5], Pen::MEDIUM))
            .holding(pen::line(
                [x - 2.5, foot - 4.0],
                [x + 2.5, foot - 4.0],
                Pen::FINE,
            ))
            .holding(pen::bold("N", [x, 5.4], 3.6, Stand::Middle))
    }
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

struct Sheet<'a> {
    platform: &'a Platform,
    results: &'a Results,
    show: Show,
    view: &'a View,
}

impl Sheet<'_> {
    fn description(&self) -> String {
        let count = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
        let p = self.platform;
        let mut parts = vec![
            count(p.stems().len(), "stem"),
            count(p.anchors().len(), "anchor"),
            count(p.beams().len(), "beam"),
            count(p.decks().len(), "deck"),
        ];
        let further = [
            (p.braces().len(), "brace"),
            (p.posts().len(), "post"),
            (p.guards().len(), "guard"),
            (p.swings().len(), "swing"),
            (p.hammocks().len(), "hammock"),
        ];
        parts.extend(
            further
                .into_iter()
                .filter(|(n, _)| *n > 0)
                .map(|(n, one)| count(n, one)),
        );
        format!(
            "{}, seen from above, north up. Anchors: {}.",
            parts.join(", "),
            self.results
                .attachments()
                .iter()
                .map(|a| format!("{} {}", a.anchor(), a.verdict().word()))
                .collect::<Vec<_>>()
                .join(", ")
        )
    }

    fn decks(&self) -> Element {
        let mut group = Element::new("g");
        for deck in self.platform.decks() {
            let outline = self.view.all(&deck.outline);
            group = group.holding(pen::polygon(&outline, Pen::HEAVY, "#f3f1ec"));
            for opening in &deck.openings {
                group = group.holding(pen::polygon(&self.view.all(opening), Pen::HIDDEN, "#fff"));
            }
            for (centre, radius) in &deck.stem_holes {
                let (at, radius) = (self.view.at(*centre), self.view.length(*radius));
                group = group.holding(pen::circle(at, radius, Pen::HIDDEN, "#fff"));
            }
        }
        group
    }

    fn joists(&self) -> Element {
        let lines = |deck: &Deck| joist_lines(deck, self.platform.beams()).unwrap_or_default();
        let lines = self.platform.decks().iter().flat_map(lines);
        let drawn = lines
            .take(MOST_JOISTS)
            .map(|ends| ends.map(|end| self.view.at(end)));
        pen::strokes(drawn, Pen::JOIST)
    }

    fn beams(&self, labels: &mut Labels) -> Element {
        Element::new("g").holding_all(self.platform.beams().iter().map(|beam| {
            let half = self.view.length(beam.timber.width) / 2.0;
            labels.keep_line_clear(self.view.at(beam.start), self.view.at(beam.end), half);
            let strip = self.view.strip(beam.start, beam.end, beam.timber.width);
            pen::polygon(&strip, Pen::MEDIUM, "#fff").with("fill-opacity", "0.75")
        }))
    }

    fn stems(&self, labels: &mut Labels) -> Element {
        let mut group = Element::new("g");
        for stem in self.platform.stems() {
            let at = self.view.at(stem.at);
            let bark = self.view.length(stem.diameter / 2.0);
            let wood = self.view.length(stem.wood_radius());
            labels.keep_round_clear(at, bark);
            group = group
                .holding(pen::circle(at, bark, Pen::MEDIUM, "#8d8478"))
                .holding(pen::circle(at, wood, Pen::FINE, "#f7f0e2"))
                .holding(pen::line(
                    [at[0] - 1.2, at[1]],
                    [at[0] + 1.2, at[1]],
                    Pen::FINE,
                ))
                .holding(pen::line(
                    [at[0], at[1] - 1.2],
                    [at[0], at[1] + 1.2],
                    Pen::FINE,
                ));
        }
        group
    }

    /// The distance between the centres of stems that a beam joins.
    fn spans(&self, labels: &mut Labels) -> Element {
        let mut group = Element::new("g");
        for (a, b) in joined(self.platform) {
            let (from, to) = (self.view.at(a.at), self.view.at(b.at));
            let middle = [0, 1].map(|k| f64::midpoint(from[k], to[k]));
            let text = tape(a.at.distance(b.at), self.show);
            labels.keep_clear(Area::round(middle, pen::width(&text, SMALL) / 2.0));
            group = group
                .holding(pen::line(from, to, Pen::AXIS))
                .holding(pen::turned(&text, middle, readable(from, to), SMALL));
        }
        group
    }

    fn anchors(&self, labels: &mut Labels) -> Element {
        let mut group = Element::new("g");
        for anchor in self.platform.anchors() {
            let stem = self.platform.stem_of(anchor);
            let at = |radius: Length| stem.at.toward(anchor.faces, radius);
            let inner = stem.wood_radius() - anchor.embedded;
            let outer = inner + anchor.size.boss.length;
            let load = stem.wood_radius() + anchor.arm;
            let mut from = inner;
            for piece in &anchor.size.shank {
                let to = from - piece.length;
                let strip = self.view.strip(at(from), at(to), piece.bears);
                group = group.holding(pen::polygon(&strip, Pen::FINE, "#c4c4c4"));
                from = to;
            }
            let boss = self
                .view
                .strip(at(outer), at(inner), anchor.size.boss.bears);
            group = group.holding(pen::polygon(&boss, Pen::FINE, "#555"));
            if load > outer
                && let Some(piece) = anchor.size.shank.first()
            {
                let strip = self.view.strip(at(load), at(outer), piece.bears);
                group = group.holding(pen::polygon(&strip, Pen::FINE, "#c4c4c4"));
            }
            labels.keep_clear(Area::round(self.view.at(at(load)), 1.8));
        }
        group
            .holding_all(self.sliding(labels))
            .holding_all(self.marks())
    }

    fn marks(&self) -> Vec<Element> {
        // Anchors above each other share a place in plan: the worst is drawn last and is seen.
        let mut anchors: Vec<&Anchor> = self.platform.anchors().iter().collect();
        anchors.sort_by_key(|anchor| self.verdict(anchor));
        let marks = anchors.into_iter().map(|anchor| {
            let at = self
                .view
                .at(anchor.load_point(self.platform.stem_of(anchor)));
            pen::mark(self.verdict(anchor), at, 1.5)
        });
        marks.collect()
    }

    fn verdict(&self, anchor: &Anchor) -> Verdict {
        let own = |a: &&crate::checks::Attachment| a.anchor() == anchor.id;
        let found = self.results.attachments().iter().find(own);
        found.map_or(Verdict::Review, crate::checks::Attachment::verdict)
    }

    /// A double arrow along the beam at each seat that slides.
    fn sliding(&self, labels: &mut Labels) -> Vec<Element> {
        let mut arrows = Vec::new();
        for (beam, anchor) in seats(self.platform, Seat::Sliding) {
            let stem = self.platform.stem_of(anchor);
            let (centre, at) = (self.view.at(stem.at), self.view.at(anchor.load_point(stem)));
            let [ox, oy] = unit(centre, at);
            let [ux, uy] = unit(self.view.at(beam.start), self.view.at(beam.end));
            let off = self.view.length(beam.timber.width) / 2.0 + 1.8;
            let middle = [at[0] + ox * off, at[1] + oy * off];
            let end = |sign: f64| [middle[0] + ux * 4.0 * sign, middle[1] + uy * 4.0 * sign];
            for share in [-0.7, 0.0, 0.7] {
                let part = end(share);
                labels.keep_clear(Area::round(part, 1.4));
            }
            arrows.push(double_arrow(end(-1.0), end(1.0)));
        }
        arrows
    }

    fn loads(&self, labels: &mut Labels) -> Element {
        let drawn = self.platform.loads().iter().map(|load| {
            let (drawn, point) = self.load(load);
            labels.keep_clear(Area::round(point, 1.6));
            drawn
        });
        Element::new("g").holding_all(drawn)
    }

    fn load_names(&self, labels: &mut Labels) -> Element {
        let named = self.platform.loads().iter().map(|load| {
            let (_, point) = self.load(load);
            labels.place(&[&load.id], SMALL, point, [0.7, -0.7])
        });
        Element::new("g").holding_all(named)
    }

    /// A load and the point at which its name stands.
    fn load(&self, load: &Load) -> (Element, [f64; 2]) {
        match &load.place {
            LoadPlace::Point(point) => spot(self.view.at(*point)),
            LoadPlace::Line(a, b) => {
                let (a, b) = (self.view.at(*a), self.view.at(*b));
                let middle = [0, 1].map(|k| f64::midpoint(a[k], b[k]));
                (line_load(a, b), middle)
            }
            LoadPlace::Area(corners) => {
                let corners = self.view.all(corners);
                let count = corners.len().max(1) as f64;
                let middle =
                    [0, 1].map(|k| corners.iter().map(|corner| corner[k]).sum::<f64>() / count);
                (area_load(&corners), middle)
            }
            LoadPlace::Anchor(index) => match self.platform.anchors().get(*index) {
                Some(anchor) => {
                    let stem = self.platform.stem_of(anchor);
                    let (centre, at) =
                        (self.view.at(stem.at), self.view.at(anchor.load_point(stem)));
                    let [ox, oy] = unit(centre, at);
                    spot([at[0] + ox * 4.2, at[1] + oy * 4.2])
                }
                None => spot([self.view.left, self.view.top]),
            },
            LoadPlace::Beam { beam, station } => match self.platform.beams().get(*beam) {
                Some(beam) => spot(self.view.at(beam.at(*station))),
                None => spot([self.view.left, self.view.top]),
            },
        }
    }

    /// The size of the decks, or of everything where there is none.
    fn dimensions(&self, labels: &mut Labels) -> Element {
        let decks = Bounds::of_decks(self.platform);
        let Bounds([w, s, e, n]) = if self.platform.decks().is_empty() {
            self.view.bounds
        } else {
            decks
        };
        let corner = |x, y| self.view.at(Point::new(si::metres(x), si::metres(y)));
        let ([left, bottom], [right, top]) = (corner(w, s), corner(e, n));
        let (x, y) = (self.view.left - 13.0, self.view.foot() - 8.0);
        labels.keep_clear(Area([left, y - 4.5], [right, y + 1.5]));
        labels.keep_clear(Area([x - 4.5, top], [x + 1.5, bottom]));
        let reach = |a: [f64; 2], b: [f64; 2]| pen::line(a, b, Pen::FAINT);
        Element::new("g")
            .holding(reach([left, bottom + 1.0], [left, y + 1.5]))
            .holding(reach([right, bottom + 1.0], [right, y + 1.5]))
            .holding(reach([left - 1.0, top], [x - 1.5, top]))
            .holding(reach([left - 1.0, bottom], [x - 1.5, bottom]))
            .holding(pen::level_dimension(
                [left, right],
                y,
                &tape(si::metres(e - w), self.show),
                "",
            ))
            .holding(pen::plumb_dimension(
                x,
                [top, bottom],
                &tape(si::metres(n - s), self.show),
            ))
    }

    /// Ids of anchors with how much of them is used, away from their stems.
    fn anchor_names(&self, labels: &mut Labels) -> Element {
        let mut group = Element::new("g");
        for anchor in self.platform.anchors() {
            let stem = self.platform.stem_of(anchor);
            let (centre, at) = (self.view.at(stem.at), self.view.at(anchor.load_point(stem)));
            let own = self.results.attachments().iter();
            let used = own
                .filter(|a| a.anchor() == anchor.id)
                .find_map(crate::checks::Attachment::utilization)
                .map(up);
            let mut lines = vec![anchor.id.as_str()];
            lines.extend(used.as_deref());
            group = group.holding(labels.place(&lines, TEXT, at, unit(centre, at)));
        }
        group
    }

    /// Names of beams, stems and decks.
    fn names(&self, labels: &mut Labels) -> Element {
        let middle = [
            self.view.left + self.view.scale.paper(self.view.bounds.size()[0]) / 2.0,
            self.view.top + self.view.scale.paper(self.view.bounds.size()[1]) / 2.0,
        ];
        let mut group = Element::new("g");
        for beam in self.platform.beams() {
            group = group.holding(self.beam_name(beam, middle, labels));
        }
        for stem in self.platform.stems() {
            let at = self.view.at(stem.at);
            let away = unit(middle, at);
            let radius = self.view.length(stem.diameter / 2.0);
            let edge = [0, 1].map(|k| at[k] + away[k] * radius);
            let name = format!("tree {}", stem.id);
            let diameter = super::tape_small(stem.diameter, self.show);
            group = group.holding(labels.place(&[&name, &diameter], SMALL, edge, away));
        }
        for deck in self.platform.decks() {
            let corners = self.view.all(&deck.outline);
            let count = corners.len().max(1) as f64;
            let at = [0, 1].map(|k| corners.iter().map(|corner| corner[k]).sum::<f64>() / count);
            let name = format!("deck {}", deck.id);
            group = group
                .holding_all(self.hole_sizes(deck, labels))
                .holding(labels.place(&[&name], SMALL, at, [1.0, 0.0]));
        }
        group
    }

    /// Diameters of round holes in which no stem with an anchor stands.
    fn hole_sizes(&self, deck: &Deck, labels: &mut Labels) -> Vec<Element> {
        let stands = |centre: Point| {
            let mut stems = self.platform.stems().iter();
            stems.any(|stem| stem.at.distance(centre) < stem.diameter / 2.0)
        };
        let empty = deck.stem_holes.iter().filter(|hole| !stands(hole.0));
        let name = |(centre, radius): &(Point, Length)| {
            let at = self.view.at(*centre);
            let name = format!("hole ⌀ {}", tape(*radius * 2.0, self.show));
            labels.keep_round_clear(at, self.view.length(*radius));
            labels.place(
                &[&name],
                SMALL,
                [at[0], at[1] + self.view.length(*radius)],
                [0.0, 1.0],
            )
        };
        empty.map(name).collect()
    }

    /// The id of a beam along it, on the side away from the middle of the plan.
    fn beam_name(&self, beam: &Beam, middle: [f64; 2], labels: &mut Labels) -> Element {
        let (a, b) = (self.view.at(beam.start), self.view.at(beam.end));
        let [ux, uy] = unit(a, b);
        let at = [0, 1].map(|k| a[k] + (b[k] - a[k]) * 0.5);
        let side = if (at[0] - middle[0]) * -uy + (at[1] - middle[1]) * ux < 0.0 {
            -1.0
        } else {
            1.0
        };
        let off = self.view.length(beam.timber.width) / 2.0 + 1.2;
        let angle = readable(a, b);
        // Turned words stand above their base line: those on the lower side need room for their height.
        let above = {
            let (sin, cos) = angle.to_radians().sin_cos();
            (-uy * side) * -sin + (ux * side) * cos < 0.0
        };
        let off = if above { off } else { off + SMALL * 0.75 };
        let place = [at[0] - uy * side * off, at[1] + ux * side * off];
        let room = (b[0] - a[0]).hypot(b[1] - a[1]).max(20.0);
        let name = pen::fitted(&format!("beam {}", beam.id), SMALL, room);
        let reach = pen::width(&name, SMALL) / 2.0;
        let end = |sign: f64| [place[0] + ux * reach * sign, place[1] + uy * reach * sign];
        labels.keep_line_clear(end(-1.0), end(1.0), SMALL / 2.0);
        pen::turned(&name, place, angle, SMALL)
    }

    /// Scale bar, scale and key.
    fn foot(&self) -> Element {
        let y = self.view.foot() + 2.0;
        let bar = ScaleBar::new(&self.view.scale, Counting::Large, self.show, 50.0);
        let note = format!("Scale {} printed at full size", self.view.scale.name);
        Element::new("g")
            .holding(bar.draw([4.0, y]))
            .holding(pen::words(&note, [4.0, y + 12.0], SMALL, Stand::Start))
            .holding(self.key(y))
    }

    fn key(&self, y: f64) -> Element {
        let mut items: Vec<(Element, &str)> = Vec::new();
        for verdict in [Verdict::Pass, Verdict::Review, Verdict::Fail] {
            items.push((pen::mark(verdict, [0.0, 0.0], 1.4), verdict.word()));
        }
        if seats(self.platform, Seat::Sliding).next().is_some() {
            items.push((double_arrow([-3.5, 0.0], [3.5, 0.0]), "seat that slides"));
        }
        items.extend(fittings::key(self.platform));
        let any = |of: fn(&LoadPlace) -> bool| self.platform.loads().iter().any(|l| of(&l.place));
        if any(|place| !matches!(place, LoadPlace::Line(..) | LoadPlace::Area(_))) {
            items.push((spot([0.0, 0.0]).0, "load at a point"));
        }
        if any(|place| matches!(place, LoadPlace::Line(..))) {
            items.push((line_load([-3.0, 0.0], [3.0, 0.0]), "load along a line"));
        }
        if any(|place| matches!(place, LoadPlace::Area(_))) {
            let corners = [[-2.5, -1.3], [2.5, -1.3], [2.5, 1.3], [-2.5, 1.3]];
            items.push((area_load(&corners), "load over an area"));
        }
        Element::new("g").holding_all(items.into_iter().enumerate().map(|(k, (drawn, name))| {
            let (column, row) = (k / KEY_ROWS, k % KEY_ROWS);
            let at = [72.0 + 33.0 * column as f64, y + 0.6 + 3.9 * row as f64];
            Element::new("g")
                .with(
                    "transform",
                    format!(
                        "translate({} {})",
                        crate::report::markup::decimal(at[0]),
                        crate::report::markup::decimal(at[1])
                    ),
                )
                .holding(drawn)
                .holding(pen::words(name, [5.2, 0.9], SMALL, Stand::Start))
        }))
    }
}

/// Beams and anchors at which they sit in a way.
fn seats(platform: &Platform, seat: Seat) -> impl Iterator<Item = (&Beam, &Anchor)> {
    platform.beams().iter().flat_map(move |beam| {
        beam.supports.iter().filter_map(move |support| {
            let Carrier::Anchor(index) = support.carrier else {
                return None;
            };
            let anchor = platform.anchors().get(index)?;
            (support.seat == seat).then_some((beam, anchor))
        })
    })
}

/// Pairs of stems that a beam joins, each once.
fn joined(platform: &Platform) -> Vec<(&Stem, &Stem)> {
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for beam in platform.beams() {
        let stems = beam
            .supports
            .iter()
            .filter_map(|support| match support.carrier {
                Carrier::Anchor(index) => Some(platform.anchors().get(index)?.stem),
                Carrier::Beam { .. } | Carrier::Post(_) => None,
            });
        let stems: Vec<usize> = stems.collect();
        for pair in stems.windows(2) {
            if let &[a, b] = pair {
                let pair = (a.min(b), a.max(b));
                if a != b && !pairs.contains(&pair) {
                    pairs.push(pair);
                }
            }
        }
    }
    let stems = platform.stems();
    let both = |&(a, b): &(usize, usize)| Some((stems.get(a)?, stems.get(b)?));
    pairs.iter().filter_map(both).collect()
}

/// The angle of words along a line (degrees clockwise on paper), so that they are read from below or from the right.
fn readable(a: [f64; 2], b: [f64; 2]) -> f64 {
    let angle = (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
    if angle >= 89.9 {
        angle - 180.0
    } else if angle < -90.1 {
        angle + 180.0
    } else {
        angle
    }
}

fn double_arrow(a: [f64; 2], b: [f64; 2]) -> Element {
    Element::new("g")
        .holding(pen::line(a, b, Pen::FINE))
        .holding(pen::head(a, b, 1.6))
        .holding(pen::head(b, a, 1.6))
}

/// A load at a point: a ring with a cross.
fn spot(at: [f64; 2]) -> (Element, [f64; 2]) {
    let arm = 1.3 * std::f64::consts::FRAC_1_SQRT_2;
    let [x, y] = at;
    let drawn = Element::new("g")
        .holding(pen::circle(at, 1.3, Pen::MEDIUM, "#fff"))
        .holding(pen::line([x - arm, y - arm], [x + arm, y + arm], Pen::FINE))
        .holding(pen::line([x - arm, y + arm], [x + arm, y - arm], Pen::FINE));
    (drawn, at)
}

fn line_load(a: [f64; 2], b: [f64; 2]) -> Element {
    pen::line(a, b, Pen::dashed(0.8, INK, "1.2 0.8"))
}

fn area_load(corners: &[[f64; 2]]) -> Element {
    pen::polygon(corners, Pen::dashed(0.35, INK, "1.6 0.8"), INK).with("fill-opacity", "0.1")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(east: f64, north: f64) -> Point {
        Point::new(si::metres(east), si::metres(north))
    }

    #[test]
    fn a_known_point_lies_at_its_place_on_the_paper() {
        let mut bounds = Bounds::NOTHING;
        bounds.take(point(-1.0, 0.0), 0.0);
        bounds.take(point(4.0, 5.0), 0.0);
        let view = View::new(bounds, Show::Si);
        // Five metres into 120 mm by 150 mm: 1:50, so that a metre is 20 mm.
        assert_eq!(view.scale.name, "1:50");
        let left = ROOM[0] + (120.0 - 100.0) / 2.0;
        let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9;
        assert!(near(view.at(point(-1.0, 5.0)), [left, ROOM[1]]));
        // One metre east and two south of that corner.
        assert!(near(
            view.at(point(0.0, 3.0)),
            [left + 20.0, ROOM[1] + 40.0]
        ));
    }

    #[test]
    fn words_along_a_line_never_stand_on_their_head() {
        for (b, expected) in [
            ([1.0, 0.0], 0.0),
            ([-1.0, 0.0], 0.0),
            ([0.0, 1.0], -90.0),
            ([0.0, -1.0], -90.0),
            ([-1.0, -1.0], 45.0),
        ] {
            let angle = readable([0.0, 0.0], b);
            assert!((angle - expected).abs() < 1e-9, "{b:?}: {angle}");
        }
    }
}
