//! What happens along the bar of an anchor: bearing pressure, shear and moment in the plane of the grain.

use super::elevation::Along;
use super::paper::{WIDTH, frame};
use super::pen::{self, Pen, SMALL, Stand, TEXT};
use crate::checks::Attachment;
use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::{Side, UnitState};
use crate::model::{Anchor, Bound, Plane, Stem};
use crate::report::Quantity;
use crate::report::markup::Element;
use crate::units::{Show, engineering, si};

/// Intervals for each piece of the bar.
const INTERVALS: usize = 12;
/// Height of a diagram and of the line of words above it (mm).
const PANEL: f64 = 11.0;
const WORDS: f64 = 5.4;
/// Room between diagrams (mm).
const GAP: f64 = 2.5;
/// Room under the last one (mm).
const FOOT: f64 = 8.0;

/// The lines of the two bounds.
const SOFT: Pen = Pen::CURVE;
const STIFF: Pen = Pen::SECOND_CURVE;

/// A quantity along the bar.
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

/// The bar at one bound under a load down.
struct Solved {
    /// Places along the bar (m) and the states of their sections per newton, both sides of every step.
    samples: Vec<(f64, UnitState)>,
    /// The largest pressure, shear and moment (SI), with their signs.
    largest: [f64; 3],
    /// The moment where the boss ends (N·m).
    at_step: f64,
    /// The load (N).
    load: f64,
}

impl Solved {
    fn new(anchor: &Anchor, stem: &Stem, bound: Bound, load: f64) -> Result<Self, MechanicsError> {
        let solution = anchor.bar(stem, Plane::Along, bound)?.solve()?;
        let state = |x, side| Ok(solution.unit_states(si::metres(x), side)?.0);
        let mut samples = Vec::new();
        let mut from = -anchor.sound_arm(stem).value;
        for piece in anchor.outside(stem).iter().chain(&anchor.inside(stem)) {
            let length = piece.length.value;
            for k in 0..=INTERVALS {
                let x = from + length * (k as f64 / INTERVALS as f64);
                let side = if k == 0 { Side::Inner } else { Side::Outer };
                samples.push((x, state(x, side)?));
            }
            from += length;
        }
        let response = solution.respond(si::newtons(load), si::newton_metres(0.0))?;
        let step = anchor.sound_boss(stem).value.max(0.0);
        Ok(Self {
            samples,
            largest: [
                response.largest_pressure().value.value,
                response.largest_shear().value.value,
                response.largest_moment().value.value,
            ],
            at_step: state(step, Side::Outer)?.moment * load,
            load,
        })
    }

    /// Points of a diagram: x (m) and the value in the unit shown.
    fn curve(&self, diagram: &Diagram, show: Show) -> Vec<(f64, f64)> {
        let value = |(x, state): &(f64, UnitState)| {
            let si = (diagram.of)(state) * self.load;
            (*x, diagram.quantity.in_unit(si, show))
        };
        let shown = |(x, _): &&(f64, UnitState)| !diagram.in_wood_only || *x >= 0.0;
        self.samples.iter().filter(shown).map(value).collect()
    }
}

/// Draws the diagrams under each other.
pub(super) fn draw(
    anchor: &Anchor,
    stem: &Stem,
    attachment: &Attachment,
    show: Show,
) -> Result<String, MechanicsError> {
    let along = Along::new(anchor, stem, show);
    let load = attachment.load().down_n;
    let solved = |bound| Solved::new(anchor, stem, bound, load);
    let solved = [solved(Bound::Soft)?, solved(Bound::Stiff)?];
    let height = DIAGRAMS.len() as f64 * (PANEL + WORDS + GAP) + FOOT;
    let mut group = Element::new("g").holding(guides(anchor, stem, &along, height - FOOT));
    let mut said = Vec::new();
    for (k, diagram) in DIAGRAMS.iter().enumerate() {
        let top = k as f64 * (PANEL + WORDS + GAP);
        let curves = [0, 1].map(|bound: usize| solved[bound].curve(diagram, show));
        let heading = heading(k, &solved, show);
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

/// What a diagram shows, and its largest values.
fn heading(k: usize, solved: &[Solved; 2], show: Show) -> String {
    let Diagram { name, quantity, .. } = DIAGRAMS[k];
    let shown = |si: f64| engineering(quantity.in_unit(si, show));
    let [soft, stiff] = [0, 1].map(|bound: usize| shown(solved[bound].largest[k]));
    let text = format!(
        "{name} ({}): largest {soft} at K/2, {stiff} at 2K",
        quantity.unit(show)
    );
    if quantity == Quantity::Moment {
        let [soft, stiff] = [0, 1].map(|bound: usize| shown(solved[bound].at_step));
        format!("{text}; where the boss ends {soft} and {stiff}")
    } else {
        text
    }
}

/// One diagram: its words, its line of zero, both curves.
fn panel(curves: &[Vec<(f64, f64)>; 2], along: &Along, top: f64, heading: &str) -> Element {
    let values = || curves.iter().flatten().map(|point| point.1);
    let high = values().fold(0.0_f64, f64::max);
    let low = values().fold(0.0_f64, f64::min);
    let span = if high - low > 0.0 { high - low } else { 1.0 };
    let y = |value: f64| top + WORDS + PANEL * (high - value) / span;
    let [left, right] = along.ends();
    let points = |curve: &[(f64, f64)]| {
        let ends = |point: Option<&(f64, f64)>| point.map(|(x, _)| [along.at(*x), y(0.0)]);
        let inner = curve.iter().map(|(x, value)| [along.at(*x), y(*value)]);
        let first = ends(curve.first()).into_iter();
        let last = ends(curve.last());
        first.chain(inner).chain(last).collect::<Vec<_>>()
    };
    Element::new("g")
        .holding(pen::area(&points(&curves[0]), SOFT, "#e4e1da"))
        .holding(pen::line([left, y(0.0)], [right, y(0.0)], Pen::FINE))
        .holding(pen::curve(&points(&curves[1]), STIFF))
        .holding(pen::masked(heading, [left, top + 3.6], TEXT, Stand::Start))
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
    use crate::input::Layout;

    /// What the drawn curves may be off a balance of forces, for straight lines between samples (1).
    const CHORDS: f64 = 0.01;

    #[test]
    fn the_pressure_that_is_drawn_carries_the_load_that_is_named() {
        let text = include_str!("../../../docs/examples/two-stems.toml");
        let platform = Layout::from_toml(text).unwrap().resolve().unwrap().platform;
        let anchor = &platform.anchors()[0];
        let stem = platform.stem_of(anchor);
        for bound in Bound::BOTH {
            let solved = Solved::new(anchor, stem, bound, 1000.0).unwrap();
            let samples = &solved.samples;
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
            // What is said to be the largest is what the curve comes up to.
            let highest = samples.iter().map(|(_, state)| state.moment.abs() * 1000.0);
            let highest = highest.fold(0.0, f64::max);
            let named = solved.largest[2].abs();
            assert!(highest <= named * (1.0 + 1e-12) && highest > named * (1.0 - CHORDS));
            assert!(solved.at_step.abs() < named);
        }
    }
}
