//! Drawings as SVG: the plan to scale, an anchor in section, what happens along its bar, bars of utilization, how a
//! margin is spread and what that hangs on.
//!
//! A drawing is one `<svg>` of the width of a page, its user unit a millimetre of paper: printed at full size it is to the
//! scale that it names. It needs no script, no font and no network, has a title and a description for those who do not
//! see it, and tells by shape, weight and dash what colour only repeats. Nothing of a layout is ever read as markup.

mod bars;
mod diagrams;
mod elevation;
mod fittings;
mod importance;
mod labels;
mod paper;
mod pen;
mod plan;
mod spread;

use crate::checks::{Attachment, Results};
use crate::mechanics::MechanicsError;
use crate::model::{Anchor, Platform, Stem};
use crate::reliability::Importance;
use crate::reliability::numerics::Histogram;
use crate::units::{self, Length, Show};

pub use bars::Bar;
pub(super) use fittings::brace_ends;
pub(super) use paper::style;
pub(super) use pen::STYLE;

/// The plan: outlines of decks, joists, beams to their width, stems with their bark, holes, anchors with their verdict,
/// braces, posts, guards, swings, hammocks, loads, dimensions, north and a scale bar.
///
/// ```rust
/// use barkline::{Layout, report::drawing, units::Show};
/// let text = include_str!("../../../docs/examples/two-stems.toml");
/// let platform = Layout::from_toml(text)?.resolve()?.platform;
/// let results = platform.check()?;
/// let svg = drawing::plan(&platform, &results, Show::Us);
/// assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn plan(platform: &Platform, results: &Results, show: Show) -> String {
    plan::draw(platform, results, show)
}

/// An anchor in section along its bar: bark, sound wood, boss, shank, the load it carries, and its dimensions.
pub fn elevation(anchor: &Anchor, stem: &Stem, attachment: &Attachment, show: Show) -> String {
    elevation::draw(anchor, stem, attachment, show)
}

/// Bearing pressure, shear and moment along the bar under the downward part of the load that governs, at half and at
/// twice the foundation modulus, to the scale of [`elevation`].
///
/// # Errors
/// Mechanics without an answer.
pub fn diagrams(
    anchor: &Anchor,
    stem: &Stem,
    attachment: &Attachment,
    show: Show,
) -> Result<String, MechanicsError> {
    diagrams::draw(anchor, stem, attachment, show)
}

/// Bars of utilization with the limit marked, under a title.
pub fn bars(title: &str, bars: &[Bar]) -> String {
    bars::draw(title, bars)
}

/// How the margin g = ln(resistance/demand) is spread over the samples, under a title: a bar for each bin, g = 0 marked. Bars of
/// what is exceeded are dark, and higher by the power of ten that stands beside them.
pub fn spread(title: &str, histogram: &Histogram, exceeded: f64) -> String {
    spread::draw(title, histogram, exceeded)
}

/// What a probability hangs on, under a title: a bar for the share of each part, in their order.
pub fn importance(title: &str, parts: &[Importance]) -> String {
    importance::draw(title, parts)
}

/// A length as a builder reads it off a tape.
fn tape(length: Length, show: Show) -> String {
    match show {
        Show::Us => units::feet_and_sixteenths(length),
        Show::Si => format!("{:.0} mm", length.value * 1000.0 + 0.0),
    }
}

/// A length of an anchor: inches to the sixteenth, or millimetres.
fn tape_small(length: Length, show: Show) -> String {
    match show {
        Show::Us => units::sixteenths(length),
        Show::Si => units::print::<units::kind::Length>(length, show),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{si, us};

    #[test]
    fn lengths_read_as_on_a_tape() {
        assert_eq!(tape(us::feet(12.5), Show::Us), "12 ft 6 in");
        assert_eq!(tape(si::metres(3.8104), Show::Si), "3810 mm");
        assert_eq!(tape_small(si::millimetres(104.3), Show::Si), "104.3 mm");
        assert_eq!(tape_small(us::inches(4.0625), Show::Us), "4-1/16 in");
    }
}
