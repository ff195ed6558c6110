//! What a probability hangs on: bars of the shares α², the longest on top.

use super::paper::{WIDTH, frame};
use super::pen::{self, Pen, SMALL, Stand, TEXT};
use crate::reliability::Importance;
use crate::report::markup::Element;
use crate::report::reliability::percent;

/// Where the bars begin and end (mm).
const START: f64 = 67.0;
const END: f64 = WIDTH - 18.0;
/// Height of a row (mm).
const ROW: f64 = 5.4;
/// Height of the names (mm).
const NAME: f64 = 2.7;
/// Room above the rows for the marks of the scale (mm).
const HEAD: f64 = 6.0;
/// Where the scale may end (1).
const ENDS: [f64; 4] = [0.2, 0.4, 0.6, 0.8];
/// Marks of the scale, besides zero.
const MARKS: u32 = 4;

/// Draws the shares, the largest first.
pub(super) fn draw(title: &str, parts: &[Importance]) -> String {
    let most = parts.iter().map(|part| part.share).fold(0.0, f64::max);
    let end = ENDS.into_iter().find(|end| *end >= most).unwrap_or(1.0);
    let foot = HEAD + ROW * parts.len() as f64;
    let rows = parts.iter().enumerate();
    frame(foot + 1.0, title, &description(parts))
        .holding(scale(end, foot))
        .holding_all(rows.map(|(k, part)| row(part, HEAD + ROW * k as f64, end)))
        .write()
}

fn description(parts: &[Importance]) -> String {
    let of = |part: &Importance| format!("{} {}", part.part, percent(part.share));
    parts.iter().map(of).collect::<Vec<_>>().join("; ")
}

fn scale(end: f64, foot: f64) -> Element {
    Element::new("g").holding_all((0..=MARKS).map(|k| {
        let share = f64::from(k) / f64::from(MARKS);
        let x = START + (END - START) * share;
        let name = format!("{:.0} %", end * share * 100.0);
        Element::new("g")
            .holding(pen::line([x, HEAD - 1.0], [x, foot], Pen::FAINT))
            .holding(pen::words(&name, [x, HEAD - 2.0], SMALL, Stand::Middle))
    }))
}

fn row(part: &Importance, y: f64, end: f64) -> Element {
    let base = y + 3.8;
    let name = pen::fitted(&part.part, NAME, START - 1.5);
    let tip = START + (END - START) * (part.share / end).clamp(0.0, 1.0);
    Element::new("g")
        .holding(pen::words(&name, [0.0, base], NAME, Stand::Start))
        .holding(pen::rect(
            [START, y + 0.9],
            [tip, y + 4.5],
            Pen::FINE,
            "#b9c2b4",
        ))
        .holding(pen::masked(
            &percent(part.share),
            [tip + 1.2, base],
            TEXT,
            Stand::Start,
        ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_as_long_as_its_share_and_is_said_in_words() {
        let part = |part: &str, share| Importance {
            part: part.to_owned(),
            share,
        };
        let svg = draw("i", &[part("live <load>", 0.6), part("yield", 0.15)]);
        let whole = END - START;
        for length in [whole, whole / 4.0] {
            assert!(svg.contains(&format!("width=\"{length}\"")), "{svg}");
        }
        assert!(svg.contains("<desc>live &lt;load&gt; 60 %; yield 15 %</desc>"));
    }
}
