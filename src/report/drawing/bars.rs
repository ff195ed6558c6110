//! Bars of utilization: the limit at one is a line across all of them.

use super::paper::{WIDTH, frame};
use super::pen::{self, INK, Pen, SMALL, Stand, TEXT};
use crate::checks::Verdict;
use crate::report::attachments::up;
use crate::report::markup::Element;

/// Where the bars begin and how long one is that is used wholly (mm).
const START: f64 = 67.0;
const ONE: f64 = 42.0;
/// Beyond this a bar is broken off (1).
const MOST: f64 = 1.5;
/// Height of a row (mm).
const ROW: f64 = 5.4;
/// Height of the names (mm).
const NAME: f64 = 2.7;
/// Room above the rows for the marks of the scale (mm).
const HEAD: f64 = 6.0;

/// A bar: what is used, how much of it, and what is said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// What it is.
    pub name: String,
    /// The group it belongs to; a new one begins under its own heading.
    pub group: &'static str,
    /// Demand over allowable, where there is a demand (1).
    pub utilization: Option<f64>,
    /// The verdict.
    pub verdict: Verdict,
    /// Whether it governs.
    pub governs: bool,
}

/// Draws bars under each other.
pub(super) fn draw(title: &str, bars: &[Bar]) -> String {
    let mut rows = Element::new("g");
    let (mut y, mut group) = (HEAD, "");
    for bar in bars {
        if bar.group != group {
            group = bar.group;
            rows = rows.holding(pen::bold(group, [0.0, y + 3.9], SMALL, Stand::Start));
            y += ROW;
        }
        rows = rows.holding(row(bar, y));
        y += ROW;
    }
    frame(y + 1.0, title, &description(bars))
        .holding(scale(y))
        .holding(rows)
        .holding(pen::line(
            [START + ONE, HEAD - 1.0],
            [START + ONE, y],
            Pen::solid(0.55, INK),
        ))
        .write()
}

fn description(bars: &[Bar]) -> String {
    let of = |bar: &Bar| match bar.utilization {
        Some(used) => format!("{} {}, {}", bar.name, up(used), bar.verdict.word()),
        None => format!("{} {}", bar.name, bar.verdict.word()),
    };
    bars.iter().map(of).collect::<Vec<_>>().join("; ")
}

/// The marks of the scale.
fn scale(foot: f64) -> Element {
    let marks = ["0", "0.25", "0.5", "0.75", "1.0 limit", "1.25", "1.5"];
    Element::new("g").holding_all(marks.into_iter().enumerate().map(|(k, name)| {
        let x = START + ONE * 0.25 * k as f64;
        Element::new("g")
            .holding(pen::line([x, HEAD - 1.0], [x, foot], Pen::FAINT))
            .holding(pen::words(name, [x, HEAD - 2.0], SMALL, Stand::Middle))
    }))
}

fn row(bar: &Bar, y: f64) -> Element {
    let base = y + 3.8;
    let name = pen::fitted(&bar.name, NAME, START - 1.5);
    let said = match bar.utilization {
        Some(used) => format!("{}  {}", up(used), bar.verdict.word()),
        None => bar.verdict.word().to_owned(),
    };
    let said = if bar.governs {
        format!("{said}, governs")
    } else {
        said
    };
    let words = if bar.governs { pen::bold } else { pen::words };
    let end = START + ONE * MOST + 5.0;
    Element::new("g")
        .holding(words(&name, [2.0, base], NAME, Stand::Start))
        .holding_all(bar.utilization.map(|used| length(used, bar.verdict, y)))
        .holding(pen::mark(bar.verdict, [end, y + 2.8], 1.3))
        .holding(words(&said, [end + 3.0, base], TEXT, Stand::Start))
}

/// The bar itself: pale where it passes, hatched where it is to be reviewed, dark where it fails.
fn length(used: f64, verdict: Verdict, y: f64) -> Element {
    let shown = used.clamp(0.0, MOST);
    let (a, b) = ([START, y + 0.9], [START + ONE * shown, y + 4.5]);
    let group = Element::new("g");
    let group = match verdict {
        Verdict::Fail => group.holding(pen::rect(a, b, Pen::FINE, "#7a1420")),
        Verdict::Review => group
            .holding(pen::rect(a, b, Pen::FINE, "#fff"))
            .holding(pen::hatch(a, b, 1.6, Pen::FINE)),
        Verdict::Pass | Verdict::NotNeeded => group.holding(pen::rect(a, b, Pen::FINE, "#b9c2b4")),
    };
    if used > MOST {
        group.holding(broken(b[0] - 4.0, y))
    } else {
        group
    }
}

/// Two slanted white strokes: the bar is longer than it is drawn.
fn broken(x: f64, y: f64) -> Element {
    let white = Pen::solid(0.8, "#fff");
    let stroke = |x: f64| pen::line([x - 0.9, y + 5.0], [x + 0.9, y + 0.4], white);
    Element::new("g")
        .holding(stroke(x))
        .holding(stroke(x + 1.8))
}

/// Space to the right of the bars for what is said of them.
const _: () = assert!(START + ONE * MOST + 5.0 + 34.0 < WIDTH);

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(utilization: f64, verdict: Verdict) -> Bar {
        Bar {
            name: "bearing <of> the boss".into(),
            group: "wood",
            utilization: Some(utilization),
            verdict,
            governs: false,
        }
    }

    #[test]
    fn a_bar_is_as_long_as_it_is_used_and_broken_off_beyond_the_end() {
        let half = length(0.5, Verdict::Pass, 0.0).write();
        assert!(half.contains("width=\"21\""), "{half}");
        let most = length(4.0, Verdict::Fail, 0.0).write();
        assert!(most.contains("width=\"63\""), "{most}");
        assert!(most.contains("<line"), "a break mark");
        assert!(!length(1.2, Verdict::Fail, 0.0).write().contains("<line"));
    }

    #[test]
    fn what_is_drawn_is_said_in_words_too() {
        let svg = draw(
            "used",
            &[bar(0.501, Verdict::Pass), bar(2.0, Verdict::Fail)],
        );
        assert!(svg.contains(
            "bearing &lt;of&gt; the boss 0.51, pass; bearing &lt;of&gt; the boss 2.00, fail"
        ));
    }
}
