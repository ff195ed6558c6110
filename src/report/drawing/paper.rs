//! The paper: scales that draughtsmen use, scale bars, and the frame of a drawing.

use super::pen::{self, Pen, SMALL, Stand};
use crate::report::markup::{Element, decimal};
use crate::units::{Show, us};

/// Width of every drawing (mm): fits A4 and Letter between the margins of the page.
pub(super) const WIDTH: f64 = 170.0;

/// Millimetres in a metre.
const MM: f64 = 1000.0;

/// The scales of drawings in SI.
const SI: &[f64] = &[
    1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 10.0, 15.0, 20.0, 25.0, 40.0, 50.0, 75.0, 100.0, 200.0, 250.0,
    500.0,
];
/// The scales of drawings in feet and inches, with their names where they have one.
const US: &[(f64, &str)] = &[
    (1.0, "full size"),
    (2.0, "half size"),
    (3.0, "4 in = 1 ft"),
    (4.0, "quarter size"),
    (6.0, "2 in = 1 ft"),
    (8.0, "1-1/2 in = 1 ft"),
    (12.0, "1 in = 1 ft"),
    (16.0, "3/4 in = 1 ft"),
    (24.0, "1/2 in = 1 ft"),
    (32.0, "3/8 in = 1 ft"),
    (48.0, "1/4 in = 1 ft"),
    (64.0, "3/16 in = 1 ft"),
    (96.0, "1/8 in = 1 ft"),
    (128.0, "3/32 in = 1 ft"),
    (192.0, "1/16 in = 1 ft"),
    (240.0, "1 in = 20 ft"),
    (480.0, "1 in = 40 ft"),
];

/// A scale: how many times smaller than life (1), and what it is called.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    pub(super) ratio: f64,
    pub(super) name: String,
}

impl Scale {
    /// The largest usual scale at which a piece of life of this size (m) fits a piece of paper (mm).
    pub(super) fn fitting(life: [f64; 2], paper: [f64; 2], show: Show) -> Self {
        let needed = (life[0] * MM / paper[0]).max(life[1] * MM / paper[1]);
        let plain = |ratio: f64| Self {
            ratio,
            name: format!("1:{}", decimal(ratio)),
        };
        let usual = match show {
            Show::Si => SI.iter().copied().find(|&s| s >= needed).map(plain),
            Show::Us => US.iter().find(|(s, _)| *s >= needed).map(|(ratio, name)| {
                let Self { ratio, name: plain } = plain(*ratio);
                let name = format!("{plain} ({name})");
                Self { ratio, name }
            }),
        };
        usual.unwrap_or_else(|| Self {
            ratio: needed,
            name: "as the scale bar shows".to_owned(),
        })
    }

    /// A length of life (m) on paper (mm).
    pub(super) fn paper(&self, metres: f64) -> f64 {
        metres * MM / self.ratio
    }
}

/// A scale bar: a length of one, two or five times a power of ten in the unit shown.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ScaleBar {
    /// Its length in the unit.
    pub(super) length: f64,
    unit: &'static str,
    parts: u32,
    /// Its length on paper (mm).
    pub(super) paper: f64,
}

/// What a scale bar counts in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Counting {
    /// Feet or metres.
    Large,
    /// Inches or millimetres.
    Small,
}

impl ScaleBar {
    /// The longest that is no longer than `most` on paper (mm).
    pub(super) fn new(scale: &Scale, counting: Counting, show: Show, most: f64) -> Self {
        let (unit, metres) = match (counting, show) {
            (Counting::Large, Show::Us) => ("ft", us::INCH * 12.0),
            (Counting::Small, Show::Us) => ("in", us::INCH),
            (Counting::Large, Show::Si) => ("m", 1.0),
            (Counting::Small, Show::Si) => ("mm", 0.001),
        };
        let one = scale.paper(metres);
        let power = 10f64.powf((most / one).log10().floor());
        let (step, parts) = [(5.0, 5), (2.0, 4), (1.0, 5)]
            .into_iter()
            .find(|(step, _)| step * power * one <= most)
            .unwrap_or((1.0, 5));
        let length = step * power;
        Self {
            length,
            unit,
            parts,
            paper: length * one,
        }
    }

    /// The bar, its left end at `at`.
    pub(super) fn draw(&self, at: [f64; 2]) -> Element {
        let part = self.paper / f64::from(self.parts);
        let mut group = Element::new("g");
        for k in 0..self.parts {
            let x = at[0] + part * f64::from(k);
            let fill = if k % 2 == 0 { pen::INK } else { "#fff" };
            group = group.holding(pen::rect(
                [x, at[1]],
                [x + part, at[1] + 1.4],
                Pen::FINE,
                fill,
            ));
        }
        let name = |share: f64, text: String, stand| {
            pen::words(
                &text,
                [at[0] + self.paper * share, at[1] + 4.4],
                SMALL,
                stand,
            )
        };
        let end = format!("{} {}", number(self.length), self.unit);
        group
            .holding(name(0.0, "0".to_owned(), Stand::Middle))
            .holding(name(
                1.0 / f64::from(self.parts),
                number(self.length / f64::from(self.parts)),
                Stand::Middle,
            ))
            .holding(name(1.0, end, Stand::Middle))
    }
}

/// A round number of a scale bar: no more places than it has.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The frame of a drawing of a height (mm): the full width of the paper, its name and what it shows.
pub(super) fn frame(height: f64, title: &str, description: &str) -> Element {
    Element::new("svg")
        .with("xmlns", "http://www.w3.org/2000/svg")
        .with(
            "viewBox",
            format!("0 0 {} {}", decimal(WIDTH), decimal(height)),
        )
        .with("width", format!("{}mm", decimal(WIDTH)))
        .with("height", format!("{}mm", decimal(height)))
        .with("role", "img")
        .with("aria-label", title)
        .holding(Element::new("title").saying(title))
        .holding(Element::new("desc").saying(description))
        .holding(style())
}

/// The classes of every drawing: a page of many drawings has them once.
pub(in crate::report) fn style() -> Element {
    Element::new("style").holding_markup(pen::STYLE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_is_the_largest_usual_one_that_fits() {
        let scale = Scale::fitting([6.0, 4.0], [150.0, 150.0], Show::Si);
        assert!((scale.ratio - 40.0).abs() < 1e-12, "{scale:?}");
        assert!((scale.paper(6.0) - 150.0).abs() < 1e-9);
        let scale = Scale::fitting([6.0, 4.0], [150.0, 150.0], Show::Us);
        assert_eq!(scale.name, "1:48 (1/4 in = 1 ft)");
        let huge = Scale::fitting([1500.0, 4.0], [150.0, 150.0], Show::Us);
        assert!((huge.paper(1500.0) - 150.0).abs() < 1e-9);
    }

    #[test]
    fn a_scale_bar_is_a_round_length_of_life() {
        let scale = Scale {
            ratio: 50.0,
            name: String::new(),
        };
        let bar = ScaleBar::new(&scale, Counting::Large, Show::Si, 60.0);
        // Two metres at 1:50 are 40 mm; five would be 100.
        assert!((bar.length - 2.0).abs() < 1e-12 && (bar.paper - 40.0).abs() < 1e-9);
        let bar = ScaleBar::new(&scale, Counting::Large, Show::Us, 60.0);
        assert!((bar.length - 5.0).abs() < 1e-12 && (bar.paper - 5.0 * 304.8 / 50.0).abs() < 1e-9);
    }
}
