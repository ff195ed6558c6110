//! What happens along the bar of an anchor: bearing pressure, shear and moment in the plane of the grain.

use super::elevation::Along;
use super::paper::{WIDTH, frame};
use super::pen::{self, INK, Pen, SMALL, Stand, TEXT};
use crate::checks::Attachment;
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::{BarSolution, Side, UnitState};
use crate::model::{Anchor, Bound, Plane, Stem};
use crate::report::Quantity;
use crate::report::markup::Element;
use crate::units::{Show, engineering, si};

/// Intervals for each piece of the bar.
const INTERVALS: usize = 20;
/// Height of a diagram and of the line of words above it (mm).
const PANEL: f64 = 21.0;
const WORDS: f64 = 6.0;
/// Room between diagrams (mm).
const GAP: f64 = 4.0;
/// Room under the last one (mm).
const FOOT: f64 = 8.0;

/// The lines of the two bounds.
const SOFT: Pen = Pen::solid(0.45, INK);
const STIFF: Pen = Pen::dashed(0.45, INK, "2 0.9");

/// A quantity along the bar per newton at the load point.
struct Diagram {
    name: &'static str,
    quantity: Quantity,
    of: fn(&UnitState) -> f64,
    in_wood_only: bool,
}

const DIAGRAMS: [Diagram; 3] = [
    Diagram {
        name: "Bearing pressure p",
        quantity: Quantity::Stress,
        of: |state| state.bearing_pressure,
        in_wood_only: true,
    },
    Diagram {
        name: "Shear V",
        quantity: Quantity::Force,
        of: |state| state.shear,
        in_wood_only: false,
    },
    Diagram {
        name: "Moment M",
        quantity: Quantity::Moment,
        of: |state| state.moment,
        in_wood_only: false,
    },
];

/// A place along the bar (m) and the state of its section.
type Sample = (f64, UnitState);

/// Draws the diagrams under each other.
pub(super) fn draw(
    anchor: &Anchor,
    stem: &Stem,
    attachment: &Attachment,
    show: Show,
) -> Result<String, MechanicsError> {
    let along = Along::new(anchor, stem, show);
    let load = attachment.load().down_n;
    let solved = |bound| samples(anchor, stem, bound);
    let [soft, stiff] = [solved(Bound::Soft)?, solved(Bound::Stiff)?];
    let height = DIAGRAMS.len() as f64 * (PANEL + WORDS + GAP) + FOOT;
    let mut group = Element::new("g").holding(guides(anchor, stem, &along, height - FOOT));
    let mut said = Vec::new();
    for (k, diagram) in DIAGRAMS.iter().enumerate() {
        let top = k as f64 * (PANEL + WORDS + GAP);
        let curves = [
            curve(diagram, &soft, load, show),
            curve(diagram, &stiff, load, show),
        ];
        let heading = heading(diagram, &curves, show);
        group = group.holding(panel(&curves, &along, top, &heading));
        said.push(heading);
    }
    let title = format!(
        "Anchor {}: pressure, shear and moment along the bar",
        anchor.id
    );
    Ok(frame(height, &title, &said.join(". "))
        .holding(group)
        .holding(key(height - 3.0))
        .write())
}

/// The states along the bar per newton down, from the load point inward; both sides of every step.
fn samples(anchor: &Anchor, stem: &Stem, bound: Bound) -> Result<Vec<Sample>, MechanicsError> {
    let solution = anchor.bar(stem, Plane::Along, bound)?.solve()?;
    let mut out = Vec::new();
    let mut from = -anchor.sound_arm(stem).value;
    for piece in anchor.outside(stem).iter().chain(&anchor.inside(stem)) {
        let length = piece.length.value;
        for k in 0..=INTERVALS {
            let x = from + length * (k as f64 / INTERVALS as f64);
            let side = if k == 0 { Side::Inner } else { Side::Outer };
            out.push((x, state(&solution, x, side)?));
        }
        from += length;
    }
    Ok(out)
}

fn state(solution: &BarSolution, x: f64, side: Side) -> Result<UnitState, MechanicsError> {
    Ok(solution.unit_states(si::metres(x), side)?.0)
}

/// Points of a diagram: x (m) and the value in the unit shown.
fn curve(diagram: &Diagram, samples: &[Sample], load: f64, show: Show) -> Vec<(f64, f64)> {
    let value = |(x, state): &Sample| {
        let si = (diagram.of)(state) * load;
        (*x, diagram.quantity.in_unit(si, show))
    };
    let embedded = |(x, _): &&Sample| !diagram.in_wood_only || *x >= -1e-12;
    // Outside of the wood nothing bears: those places stand at the end of the arm with a pressure of zero.
    samples.iter().filter(embedded).map(value).collect()
}

/// The value of the largest size and its place.
fn largest(curve: &[(f64, f64)]) -> (f64, f64) {
    let size = |point: &(f64, f64)| point.1.abs();
    let largest = curve.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
    largest.copied().unwrap_or((0.0, 0.0))
}

fn heading(diagram: &Diagram, curves: &[Vec<(f64, f64)>; 2], show: Show) -> String {
    let [soft, stiff] = [largest(&curves[0]).1, largest(&curves[1]).1].map(engineering);
    let unit = diagram.quantity.unit(show);
    format!(
        "{} ({unit}): largest {soft} at K/2, {stiff} at 2K",
        diagram.name
    )
}

/// One diagram: its words, its line of zero, both curves.
fn panel(curves: &[Vec<(f64, f64)>; 2], along: &Along, top: f64, heading: &str) -> Element {
    let values = || curves.iter().flatten().map(|point| point.1);
    let high = values().fold(0.0_f64, f64::max);
    let low = values().fold(0.0_f64, f64::min);
    let span = if high - low > 0.0 { high - low } else { 1.0 };
    let y = |value: f64| top + WORDS + PANEL * (high - value) / span;
    let [left, right] = along.ends();
    let drawn = |curve: &[(f64, f64)], pen| {
        let first = curve.first().map(|(x, _)| [along.at(*x), y(0.0)]);
        let last = curve.last().map(|(x, _)| [along.at(*x), y(0.0)]);
        let inner = curve.iter().map(|(x, value)| [along.at(*x), y(*value)]);
        let points: Vec<_> = first.into_iter().chain(inner).chain(last).collect();
        pen::polyline(&points, pen)
    };
    let shade: Vec<_> = {
        let curve = &curves[0];
        let ends = |point: Option<&(f64, f64)>| point.map(|(x, _)| [along.at(*x), y(0.0)]);
        let inner = curve.iter().map(|(x, value)| [along.at(*x), y(*value)]);
        let first = ends(curve.first());
        first
            .into_iter()
            .chain(inner)
            .chain(ends(curve.last()))
            .collect()
    };
    Element::new("g")
        .holding(pen::polygon(&shade, Pen::solid(0.0, "none"), "#e4e1da"))
        .holding(pen::line([left, y(0.0)], [right, y(0.0)], Pen::FINE))
        .holding(drawn(&curves[0], SOFT))
        .holding(drawn(&curves[1], STIFF))
        .holding(pen::words(heading, [left, top + 3.6], TEXT, Stand::Start))
}

/// Lines through all diagrams: the load, the wood, the step, the tip.
fn guides(anchor: &Anchor, stem: &Stem, along: &Along, foot: f64) -> Element {
    let places = [
        (-anchor.sound_arm(stem).value, "load"),
        (0.0, "sound wood"),
        (anchor.sound_boss(stem).value, "step"),
        (anchor.sound_length(stem).value, "tip"),
    ];
    Element::new("g").holding_all(places.map(|(x, name)| {
        let x = along.at(x);
        Element::new("g")
            .holding(pen::line([x, WORDS], [x, foot], Pen::HIDDEN))
            .holding(pen::words(name, [x, foot + 2.6], SMALL, Stand::Middle))
    }))
}

fn key(y: f64) -> Element {
    let sample = |x: f64, pen, name: &str| {
        Element::new("g")
            .holding(pen::line([x, y + 1.0], [x + 9.0, y + 1.0], pen))
            .holding(pen::words(name, [x + 10.5, y + 1.9], SMALL, Stand::Start))
    };
    Element::new("g")
        .holding(sample(
            WIDTH / 2.0 - 62.0,
            SOFT,
            "half the foundation modulus, K/2",
        ))
        .holding(sample(
            WIDTH / 2.0 + 4.0,
            STIFF,
            "twice the foundation modulus, 2K",
        ))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::Layout;

    /// What the drawn curves may be off a balance of forces, for straight lines between samples (1).
    const CHORDS: f64 = 0.01;

    #[test]
    fn the_pressure_that_is_drawn_carries_the_load_that_is_named() {
        let text = include_str!("../../../docs/examples/two-stems.toml");
        let platform = Layout::from_toml(text).unwrap().resolve().unwrap().platform;
        let anchor = &platform.anchors()[0];
        let stem = platform.stem_of(anchor);
        for bound in Bound::BOTH {
            let samples = samples(anchor, stem, bound).unwrap();
            let area: f64 = samples
                .windows(2)
                .map(|pair| {
                    let [(a, p), (b, q)] = [&pair[0], &pair[1]];
                    (b - a) * f64::midpoint(p.line_reaction, q.line_reaction)
                })
                .sum();
            assert!((area - 1.0).abs() < CHORDS, "{bound:?}: {area}");
            let (first, last) = (samples.first().unwrap(), samples.last().unwrap());
            assert!((first.1.shear.abs() - 1.0).abs() < 1e-9 && last.1.moment.abs() < 1e-9);
        }
    }
}
