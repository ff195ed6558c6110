//! How the margin of an attachment is spread: a histogram with g = 0 marked, what is exceeded enlarged and dark.

use super::paper::{WIDTH, frame};
use super::pen::{self, INK, Pen, SMALL, Stand, TEXT};
use crate::reliability::numerics::Histogram;
use crate::report::markup::Element;
use crate::report::reliability::{SpreadWords, edge, probability};

/// Where the axis begins and ends (mm).
const START: f64 = 8.0;
const END: f64 = WIDTH - 8.0;
/// Height of the highest bar (mm).
const HIGH: f64 = 30.0;
/// The base of the bars (mm).
const BASE: f64 = 40.0;
/// A bar lower than this is not seen (mm).
const UNSEEN: f64 = 0.005;
/// What is not exceeded, and what is.
const HELD: &str = "#b9c2b4";

/// Draws a histogram; `exceeded` is the probability that goes with it.
pub(super) fn draw(title: &str, histogram: &Histogram, exceeded: f64) -> String {
    let axis = Axis::of(histogram);
    let bars = histogram
        .shares
        .iter()
        .enumerate()
        .filter_map(|(k, share)| bar(&axis, k, *share));
    frame(BASE + 9.0, title, &description(histogram, exceeded))
        .holding(marks(&axis))
        .holding(Element::new("g").holding_all(bars))
        .holding(limit(&axis, exceeded))
        .write()
}

/// Where margins stand on paper, and how high shares are.
struct Axis {
    low: f64,
    high: f64,
    step: f64,
    /// Height of a share of one (mm).
    one: f64,
    /// By what the bars of what is exceeded are enlarged: a power of ten.
    enlarged: f64,
}

impl Axis {
    fn of(histogram: &Histogram) -> Self {
        let bins = histogram.bins;
        let step = (bins.high - bins.low) / bins.count.max(1) as f64;
        let (mut held, mut exceeded) = (0.0_f64, 0.0_f64);
        for (k, share) in histogram.shares.iter().enumerate() {
            let side = if is_exceeded(bins.low + step * k as f64, step) {
                &mut exceeded
            } else {
                &mut held
            };
            *side = side.max(*share);
        }
        let most = held.max(exceeded);
        // No more than fits beside the highest of what is held.
        let enlarged = if exceeded > 0.0 && held > exceeded {
            10f64.powf((held / exceeded).log10().floor())
        } else {
            1.0
        };
        Self {
            low: bins.low,
            high: bins.high,
            step,
            one: if most > 0.0 { HIGH / most } else { 0.0 },
            enlarged,
        }
    }

    fn x(&self, margin: f64) -> f64 {
        START + (margin - self.low) / (self.high - self.low) * (END - START)
    }
}

/// Whether a bin that begins here lies below zero; the edge at zero is met to rounding.
fn is_exceeded(from: f64, step: f64) -> bool {
    from + step / 2.0 < 0.0
}

/// The bar of a bin; none where it is not seen.
fn bar(axis: &Axis, k: usize, share: f64) -> Option<Element> {
    let from = axis.low + axis.step * k as f64;
    let exceeded = is_exceeded(from, axis.step);
    let (scale, fill) = if exceeded {
        (axis.enlarged, INK)
    } else {
        (1.0, HELD)
    };
    let height = share * axis.one * scale;
    let corners = [
        [axis.x(from), BASE - height],
        [axis.x(from + axis.step), BASE],
    ];
    (height >= UNSEEN).then(|| pen::rect(corners[0], corners[1], Pen::FINE, fill))
}

/// The axis, with a mark at every half.
fn marks(axis: &Axis) -> Element {
    let mut group = Element::new("g").holding(pen::line([START, BASE], [END, BASE], Pen::MEDIUM));
    let mut at = (axis.low * 2.0).ceil() / 2.0;
    while at <= axis.high + axis.step / 2.0 {
        let x = axis.x(at);
        group = group
            .holding(pen::line([x, BASE], [x, BASE + 1.2], Pen::FINE))
            .holding(pen::words(&edge(at), [x, BASE + 4.2], SMALL, Stand::Middle));
        at += 0.5;
    }
    group.holding(pen::words(
        "margin g = ln(resistance / demand)",
        [END, BASE + 7.8],
        SMALL,
        Stand::End,
    ))
}

/// The limit at zero, and what lies below it.
fn limit(axis: &Axis, exceeded: f64) -> Element {
    let x = axis.x(0.0);
    let top = BASE - HIGH - 2.0;
    let group = Element::new("g")
        .holding(pen::line([x, top], [x, BASE + 1.2], Pen::solid(0.55, INK)))
        .holding(pen::masked(
            "g = 0",
            [x + 1.2, top + 2.0],
            TEXT,
            Stand::Start,
        ));
    let below = format!("exceeded: {}", probability(exceeded));
    let group = group.holding(pen::masked(&below, [x - 1.2, top + 2.0], TEXT, Stand::End));
    if axis.enlarged > 1.0 {
        let said = format!("dark bars × {}", thousands(axis.enlarged));
        group.holding(pen::masked(&said, [x - 1.2, top - 2.0], SMALL, Stand::End))
    } else {
        group
    }
}

/// A power of ten: its zeros as long as they can be counted.
fn thousands(value: f64) -> String {
    const COUNTED: f64 = 1e4;
    if value <= COUNTED {
        format!("{value:.0}")
    } else {
        format!("{value:.0e}")
    }
}

fn description(histogram: &Histogram, exceeded: f64) -> String {
    let spread = SpreadWords::of(histogram);
    let axis = Axis::of(histogram);
    let enlarged = if axis.enlarged > 1.0 {
        format!(", drawn {} times as high", thousands(axis.enlarged))
    } else {
        String::new()
    };
    format!(
        "{spread} The probability of a margin of zero or less is {}: dark bars to the left of the line g = 0{enlarged}.",
        probability(exceeded)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reliability::numerics::Bins;

    fn histogram(shares: [f64; 4]) -> Histogram {
        Histogram {
            bins: Bins {
                low: -1.0,
                high: 1.0,
                count: 4,
            },
            shares: shares.to_vec(),
            below: 0.0,
            above: 0.0,
        }
    }

    #[test]
    fn bars_are_as_high_as_their_shares_and_what_is_exceeded_is_enlarged() {
        let spread = histogram([0.0, 0.0002, 0.4, 0.5998]);
        let axis = Axis::of(&spread);
        assert!((axis.enlarged - 1000.0).abs() < 1e-9, "{}", axis.enlarged);
        let svg = draw("m", &spread, 0.0002);
        for height in ["30", "20.01", "10"] {
            assert!(svg.contains(&format!("height=\"{height}\"")), "{height}");
        }
        assert!(svg.contains("dark bars × 1000") && svg.contains("exceeded: 2.0e-4"));
        assert_eq!(
            svg.matches("<rect").count(),
            svg.matches("tw\"").count() + 3
        );
    }

    #[test]
    fn nothing_exceeded_and_nothing_at_all_are_drawn_too() {
        let axis = Axis::of(&histogram([0.0, 0.0, 1.0, 0.0]));
        assert!((axis.enlarged - 1.0).abs() < 1e-12);
        let none = draw("m", &histogram([0.0; 4]), 0.0);
        assert!(!none.contains("NaN") && !none.contains("inf"), "{none}");
        // More is exceeded than is held: both on one scale.
        let axis = Axis::of(&histogram([0.5, 0.3, 0.1, 0.1]));
        assert!((axis.one - HIGH / 0.5).abs() < 1e-9 && (axis.enlarged - 1.0).abs() < 1e-12);
    }
}
