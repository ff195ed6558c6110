//! Lines, words and marks, in millimetres of paper. Everything is told by shape, weight and dash; colour only adds.

use crate::checks::Verdict;
use crate::report::markup::{Element, decimal};

/// Black enough for print.
pub(super) const INK: &str = "#111";
/// For what stands behind.
pub(super) const GREY: &str = "#6b6b6b";
/// The height of words (mm), about eight points.
pub(super) const TEXT: f64 = 2.9;
/// The height of small words (mm), about seven points.
pub(super) const SMALL: f64 = 2.5;
/// Width of a letter over its height, on the wide side for a common sans-serif (1).
const LETTER: f64 = 0.56;

/// The classes of the lines and words that stand in every drawing: each drawing carries them, a page needs them once.
pub(in crate::report) const STYLE: &str = "svg{fill:#111;font:2.9px system-ui,'Segoe UI','Helvetica Neue',Arial,sans-serif}\
     svg .lh{stroke:#111;stroke-width:.5}svg .lm{stroke:#111;stroke-width:.3}\
     svg .lf{stroke:#111;stroke-width:.18}svg .lp{stroke:#b4b4b4;stroke-width:.18}svg .lj{stroke:#8a8a8a;stroke-width:.2}\
     svg .ld{stroke:#6b6b6b;stroke-width:.18;stroke-dasharray:1.2 .8}\
     svg .la{stroke:#6b6b6b;stroke-width:.18;stroke-dasharray:4 .8 .6 .8}\
     svg .lc{stroke:#111;stroke-width:.45}svg .ls{stroke:#111;stroke-width:.45;stroke-dasharray:2 .9}\
     svg .ts{font-size:2.5px}svg .tm{text-anchor:middle}svg .te{text-anchor:end}svg .tb{font-weight:600}\
     svg .tw{fill:#fff;fill-opacity:.85}";

/// A kind of line: one of the classes of every drawing, or one of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pen {
    class: Option<&'static str>,
    width: f64,
    colour: &'static str,
    dash: Option<&'static str>,
}

impl Pen {
    pub(super) const HEAVY: Self = Self::of_class("lh");
    pub(super) const MEDIUM: Self = Self::of_class("lm");
    pub(super) const FINE: Self = Self::of_class("lf");
    pub(super) const FAINT: Self = Self::of_class("lp");
    pub(super) const JOIST: Self = Self::of_class("lj");
    pub(super) const HIDDEN: Self = Self::of_class("ld");
    pub(super) const AXIS: Self = Self::of_class("la");
    pub(super) const CURVE: Self = Self::of_class("lc");
    pub(super) const SECOND_CURVE: Self = Self::of_class("ls");
    /// No line: an area alone.
    pub(super) const NONE: Self = Self::solid(0.0, "none");

    const fn of_class(class: &'static str) -> Self {
        Self {
            class: Some(class),
            ..Self::NONE
        }
    }

    pub(super) const fn solid(width: f64, colour: &'static str) -> Self {
        Self {
            class: None,
            width,
            colour,
            dash: None,
        }
    }

    pub(super) const fn dashed(width: f64, colour: &'static str, dash: &'static str) -> Self {
        Self {
            class: None,
            width,
            colour,
            dash: Some(dash),
        }
    }

    /// An element drawn with this pen and filled with a colour or `none`.
    pub(super) fn draw(self, element: Element, fill: &'static str) -> Element {
        self.stroke(element.with("fill", fill))
    }

    /// An element drawn with this pen.
    fn stroke(self, element: Element) -> Element {
        if let Some(class) = self.class {
            return element.with("class", class);
        }
        if self.colour == "none" {
            return element;
        }
        let element = element
            .with("stroke", self.colour)
            .at("stroke-width", self.width);
        match self.dash {
            Some(dash) => element.with("stroke-dasharray", dash),
            None => element,
        }
    }
}

/// A straight line.
pub(super) fn line(a: [f64; 2], b: [f64; 2], pen: Pen) -> Element {
    let line = Element::new("line")
        .at("x1", a[0])
        .at("y1", a[1])
        .at("x2", b[0])
        .at("y2", b[1]);
    pen.stroke(line)
}

/// A circle.
pub(super) fn circle(centre: [f64; 2], radius: f64, pen: Pen, fill: &'static str) -> Element {
    let circle = Element::new("circle")
        .at("cx", centre[0])
        .at("cy", centre[1])
        .at("r", radius);
    pen.draw(circle, fill)
}

/// A rectangle between two corners.
pub(super) fn rect(a: [f64; 2], b: [f64; 2], pen: Pen, fill: &'static str) -> Element {
    let rect = Element::new("rect")
        .at("x", a[0].min(b[0]))
        .at("y", a[1].min(b[1]))
        .at("width", (b[0] - a[0]).abs())
        .at("height", (b[1] - a[1]).abs());
    pen.draw(rect, fill)
}

/// A closed outline.
pub(super) fn polygon(corners: &[[f64; 2]], pen: Pen, fill: &'static str) -> Element {
    pen.draw(
        Element::new("polygon").with("points", points(corners)),
        fill,
    )
}

/// A line through points.
pub(super) fn polyline(through: &[[f64; 2]], pen: Pen) -> Element {
    pen.draw(
        Element::new("polyline").with("points", points(through)),
        "none",
    )
}

fn points(points: &[[f64; 2]]) -> String {
    let pairs = points
        .iter()
        .map(|[x, y]| format!("{},{}", decimal(*x), decimal(*y)));
    pairs.collect::<Vec<_>>().join(" ")
}

/// How words stand to their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    Start,
    Middle,
    End,
}

/// Words; `at` is on their base line.
pub(super) fn words(text: &str, at: [f64; 2], height: f64, stand: Stand) -> Element {
    written(text, at, height, stand, "")
}

/// Bold words.
pub(super) fn bold(text: &str, at: [f64; 2], height: f64, stand: Stand) -> Element {
    written(text, at, height, stand, "tb")
}

/// Words on a white ground, so that lines behind them do not disturb. A white edge of the letters would stand twice in
/// what is copied from a printed page.
pub(super) fn masked(text: &str, at: [f64; 2], height: f64, stand: Stand) -> Element {
    let width = width(text, height);
    let left = match stand {
        Stand::Start => at[0],
        Stand::Middle => at[0] - width / 2.0,
        Stand::End => at[0] - width,
    };
    Element::new("g")
        .holding(ground(
            [left - 0.3, at[1] - height * 0.82],
            [left + width + 0.3, at[1] + height * 0.25],
        ))
        .holding(words(text, at, height, stand))
}

fn written(text: &str, at: [f64; 2], height: f64, stand: Stand, class: &str) -> Element {
    let words = Element::new("text").at("x", at[0]).at("y", at[1]);
    let small = height.to_bits() == SMALL.to_bits();
    let usual = height.to_bits() == TEXT.to_bits();
    let stand = match stand {
        Stand::Start => "",
        Stand::Middle => "tm",
        Stand::End => "te",
    };
    let classes = [class, if small { "ts" } else { "" }, stand];
    let classes: Vec<&str> = classes.into_iter().filter(|c| !c.is_empty()).collect();
    let words = if classes.is_empty() {
        words
    } else {
        words.with("class", classes.join(" "))
    };
    let words = if small || usual {
        words
    } else {
        words.at("font-size", height)
    };
    words.saying(text)
}

/// A white ground.
pub(super) fn ground(a: [f64; 2], b: [f64; 2]) -> Element {
    Element::new("rect")
        .at("x", a[0].min(b[0]))
        .at("y", a[1].min(b[1]))
        .at("width", (b[0] - a[0]).abs())
        .at("height", (b[1] - a[1]).abs())
        .with("class", "tw")
}

/// The width that words take (mm): an estimate, since fonts differ.
pub(super) fn width(text: &str, height: f64) -> f64 {
    text.chars().count() as f64 * height * LETTER
}

/// Words that take no more than a width (mm), cut in their middle where they would: names often differ at their end, and
/// they stand whole in the tables.
pub(super) fn fitted(text: &str, height: f64, most: f64) -> String {
    let letters: Vec<char> = text.chars().collect();
    if width(text, height) <= most {
        return text.to_owned();
    }
    let mut kept = letters.len() / 2;
    let cut = |kept: usize| -> String {
        let head = letters.iter().take(kept);
        let tail = letters.iter().skip(letters.len() - kept);
        head.chain(&['…']).chain(tail).collect()
    };
    while kept > 1 && width(&cut(kept), height) > most {
        kept -= 1;
    }
    cut(kept)
}

/// An arrow with a filled head at `to`.
pub(super) fn arrow(from: [f64; 2], to: [f64; 2], pen: Pen) -> Element {
    Element::new("g")
        .holding(line(from, to, pen))
        .holding(head(from, to, 1.8))
}

/// The head of an arrow that comes from `from`, its tip at `to`.
pub(super) fn head(from: [f64; 2], to: [f64; 2], size: f64) -> Element {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
    let (ux, uy) = (dx / length * size, dy / length * size);
    let corners = [
        to,
        [to[0] - ux - uy * 0.35, to[1] - uy + ux * 0.35],
        [to[0] - ux + uy * 0.35, to[1] - uy - ux * 0.35],
    ];
    polygon(&corners, Pen::NONE, INK)
}

/// The mark of a verdict: a ring with a tick, a black square with a cross, a triangle, an empty ring.
pub(super) fn mark(verdict: Verdict, at: [f64; 2], size: f64) -> Element {
    let [x, y] = at;
    let place = |dx: f64, dy: f64| [x + dx * size, y + dy * size];
    let group = Element::new("g").holding(Element::new("title").saying(verdict.word()));
    match verdict {
        Verdict::Pass => group
            .holding(circle(at, size, Pen::solid(0.35, "#14532d"), "#fff"))
            .holding(polyline(
                &[place(-0.5, 0.0), place(-0.1, 0.45), place(0.55, -0.45)],
                Pen::solid(0.4, "#14532d"),
            )),
        Verdict::Fail => group
            .holding(rect(
                place(-1.0, -1.0),
                place(1.0, 1.0),
                Pen::solid(0.3, "#8f0014"),
                "#8f0014",
            ))
            .holding(line(
                place(-0.6, -0.6),
                place(0.6, 0.6),
                Pen::solid(0.45, "#fff"),
            ))
            .holding(line(
                place(-0.6, 0.6),
                place(0.6, -0.6),
                Pen::solid(0.45, "#fff"),
            )),
        Verdict::Review => group
            .holding(polygon(
                &[place(0.0, -1.2), place(1.15, 0.85), place(-1.15, 0.85)],
                Pen::solid(0.4, "#7a4b00"),
                "#fff",
            ))
            .holding(line(
                place(0.0, -0.45),
                place(0.0, 0.25),
                Pen::solid(0.4, "#7a4b00"),
            ))
            .holding(circle(
                place(0.0, 0.55),
                size * 0.08,
                Pen::solid(0.2, "#7a4b00"),
                "#7a4b00",
            )),
        Verdict::NotNeeded => group.holding(circle(at, size * 0.8, Pen::HIDDEN, "#fff")),
    }
}

/// Many straight lines at once.
pub(super) fn strokes(lines: impl IntoIterator<Item = [[f64; 2]; 2]>, pen: Pen) -> Element {
    let stroke = |[a, b]: [[f64; 2]; 2]| {
        let [x1, y1, x2, y2] = [a[0], a[1], b[0], b[1]].map(decimal);
        if x1 == x2 {
            format!("M{x1} {y1}V{y2}")
        } else if y1 == y2 {
            format!("M{x1} {y1}H{x2}")
        } else {
            format!("M{x1} {y1}L{x2} {y2}")
        }
    };
    let path: String = lines.into_iter().map(stroke).collect();
    pen.draw(Element::new("path").with("d", path), "none")
}

/// Slanted lines in a rectangle.
pub(super) fn hatch(a: [f64; 2], b: [f64; 2], step: f64, pen: Pen) -> Element {
    let (height, width) = (b[1] - a[1], b[0] - a[0]);
    let mut lines = Vec::new();
    let mut start = -height;
    while start < width && step > 0.0 {
        let (from, to) = (start.max(0.0), (start + height).min(width));
        if to > from {
            // A tenth of a millimetre will do for what is only texture.
            let at = |along: f64| [a[0] + along, b[1] - (along - start)].map(tenth);
            lines.push([at(from), at(to)]);
        }
        start += step;
    }
    strokes(lines, pen)
}

/// A place to a tenth of a millimetre.
fn tenth(at: f64) -> f64 {
    (at * 10.0).round() / 10.0
}

/// Steps of a curve in a millimetre of paper: finer is not seen and makes the file long.
const CURVE_STEPS: f64 = 20.0;
/// How far a place of a curve may lie off the chord that is drawn (mm): a tenth of its line's width.
const OFF_CHORD: f64 = 0.045;

/// An area under a curve.
pub(super) fn area(points: &[[f64; 2]], pen: Pen, fill: &'static str) -> Element {
    let path = along(points) + "z";
    pen.draw(Element::new("path").with("d", path), fill)
}

/// A curve.
pub(super) fn curve(points: &[[f64; 2]], pen: Pen) -> Element {
    pen.draw(Element::new("path").with("d", along(points)), "none")
}

/// A path through the points that its chords need, each told by its way from the last.
fn along(points: &[[f64; 2]]) -> String {
    let mut path = String::new();
    let mut last = [0.0; 2];
    for (k, point) in corners(points).into_iter().enumerate() {
        let point = point.map(|at| (at * CURVE_STEPS).round());
        let [dx, dy] = [0, 1].map(|axis: usize| decimal((point[axis] - last[axis]) / CURVE_STEPS));
        let step = match (k, dx.as_str(), dy.as_str()) {
            (0, ..) => format!("M{dx} {dy}"),
            (_, "0", "0") => String::new(),
            (_, _, "0") => format!("h{dx}"),
            (_, "0", _) => format!("v{dy}"),
            _ => format!("l{dx} {dy}"),
        };
        path.push_str(&step);
        last = point;
    }
    path
}

/// The points of a line from which no other lies off by more than is seen (Ramer, Douglas and Peucker).
fn corners(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let [first, inner @ .., last] = points else {
        return points.to_vec();
    };
    let farthest = (0..inner.len())
        .map(|k| (k, off_chord(inner[k], [*first, *last])))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(_, off)| *off > OFF_CHORD);
    let Some((k, _)) = farthest else {
        return vec![*first, *last];
    };
    let mut before = corners(&points[..=k + 1]);
    before.pop();
    before.extend(corners(&points[k + 1..]));
    before
}

/// How far a point lies from a piece of straight line.
fn off_chord(point: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let chord = [b[0] - a[0], b[1] - a[1]];
    let way = [point[0] - a[0], point[1] - a[1]];
    let square = chord[0].powi(2) + chord[1].powi(2);
    let share = if square > 0.0 {
        ((way[0] * chord[0] + way[1] * chord[1]) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (way[0] - share * chord[0]).hypot(way[1] - share * chord[1])
}

/// A dimension along a level line at `y`: ticks, the value over it, its name under it; both to the left where the value
/// does not fit.
pub(super) fn level_dimension(x: [f64; 2], y: f64, value: &str, name: &str) -> Element {
    let drawn = Element::new("g")
        .holding(line([x[0], y], [x[1], y], Pen::FINE))
        .holding(ticks(x.map(|x| [x, y])));
    if width(value, TEXT) > x[1] - x[0] {
        let beside = format!("{name} {value}");
        let place = [x[0] - 1.4, y + 1.0];
        return drawn.holding(masked(beside.trim_start(), place, TEXT, Stand::End));
    }
    let middle = f64::midpoint(x[0], x[1]);
    drawn
        .holding(masked(value, [middle, y - 0.9], TEXT, Stand::Middle))
        .holding_all(
            (!name.is_empty()).then(|| masked(name, [middle, y + 2.7], SMALL, Stand::Middle)),
        )
}

/// A dimension along a plumb line at `x`, its value turned to read from the right.
pub(super) fn plumb_dimension(x: f64, y: [f64; 2], value: &str) -> Element {
    let middle = f64::midpoint(y[0], y[1]);
    Element::new("g")
        .holding(line([x, y[0]], [x, y[1]], Pen::FINE))
        .holding(ticks(y.map(|y| [x, y])))
        .holding(turned(value, [x - 0.9, middle], -90.0, TEXT))
}

/// The slanted ticks at the ends of a dimension.
fn ticks(ends: [[f64; 2]; 2]) -> Element {
    let tick = |[x, y]: [f64; 2]| [[x - 0.8, y + 0.8], [x + 0.8, y - 0.8]];
    strokes(ends.map(tick), Pen::MEDIUM)
}

/// Words turned by an angle (degrees, clockwise on paper) about their place.
pub(super) fn turned(text: &str, at: [f64; 2], degrees: f64, height: f64) -> Element {
    masked(text, at, height, Stand::Middle).with(
        "transform",
        format!(
            "rotate({} {} {})",
            decimal(degrees),
            decimal(at[0]),
            decimal(at[1])
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_keeps_its_corners_and_its_bend() {
        // A step, a straight part, a bend: no place of it lies off what is drawn.
        let bend = (0..=40).map(|k| f64::from(k) / 40.0);
        let bend = bend.map(|t| [20.0 + 30.0 * t, 10.0 * t * t]);
        let points: Vec<[f64; 2]> = [[0.0, 0.0], [0.0, 5.0], [4.0, 5.0], [9.0, 5.0], [9.0, 0.0]]
            .into_iter()
            .chain([[20.0, 0.0]])
            .chain(bend)
            .collect();
        let kept = corners(&points);
        assert!(kept.len() < points.len() / 2 && kept.len() > 8, "{kept:?}");
        for corner in [[0.0, 5.0], [9.0, 5.0], [9.0, 0.0], [50.0, 10.0]] {
            assert!(kept.contains(&corner), "{corner:?}");
        }
        for point in &points {
            let off = kept
                .windows(2)
                .map(|pair| off_chord(*point, [pair[0], pair[1]]));
            assert!(off.fold(f64::INFINITY, f64::min) <= OFF_CHORD, "{point:?}");
        }
        assert_eq!(
            along(&[[1.0, 2.0], [1.0, 0.51], [3.26, 0.51], [3.0, 1.0]]),
            "M1 2v-1.5h2.25l-0.25 0.5"
        );
    }

    #[test]
    fn long_names_keep_both_ends() {
        assert_eq!(fitted("short", 2.0, 30.0), "short");
        let cut = fitted("a-name-that-goes-on-and-on-NW", 2.0, 20.0);
        assert!(cut.starts_with("a-name") && cut.ends_with("-NW"), "{cut}");
        assert!(width(&cut, 2.0) <= 20.0);
        assert_eq!(fitted("äöüßäöüß", 2.0, 1.0), "ä…ß");
    }
}
