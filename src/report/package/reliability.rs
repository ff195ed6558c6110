//! How likely it is that strength is exceeded, how margins are spread, and what that hangs on.

use super::Package;
use super::block::{Block, Figure, Grid, Section};
use crate::reliability::numerics::Histogram;
use crate::reliability::{
    AttachmentReliability, Importance, Method, Outcome, OutcomeReliability, Reliability,
};
use crate::report::reliability::{edge, percent, probability};
use crate::report::{ReliabilityDocument, drawing, reliability_sheet};

/// A part with less than this share is drawn with the others of its kind (1).
const LEAST: f64 = 0.01;
/// Rows of the table of a spread: so wide is each (1).
const WIDE: f64 = 0.2;

/// The reliability of the attachments.
pub(super) fn section(package: &Package<'_>, document: &ReliabilityDocument) -> Section {
    let results = &document.results;
    let sheet = reliability_sheet(document);
    let mut section = Section::new("reliability", "Reliability")
        .on_new_sheet()
        .saying(how(results))
        .with(Block::Table(Grid::of(
            &sheet,
            format!(
                "How likely collapse and damage are in {} years, from and to: {}.",
                results.years,
                if results.method == Method::Form {
                    "of any attachment, all dependent and all independent"
                } else {
                    "the 95 % interval of the samples"
                }
            ),
            package.show,
        )))
        .with(Block::List(document.words.clone()));
    for own in &results.attachments {
        section = attachment(own).into_iter().fold(section, Section::with);
    }
    section
        .with(Block::Heading("Cautions of this section".to_owned()))
        .with(Block::List(results.cautions.clone()))
}

fn how(results: &Reliability) -> String {
    let sampled = if results.method == Method::Form {
        String::new()
    } else {
        format!(
            ", {} samples for each attachment and for the platform, seed {}",
            results.samples, results.seed
        )
    };
    format!(
        "Worked out by {}{sampled}. Nominal probabilities: they compare, they do not foretell, and they change no verdict of \
         the other sections.",
        results.method.words()
    )
}

/// The drawings of an attachment: against collapse, as verdicts hang on that.
fn attachment(own: &AttachmentReliability) -> Vec<Block> {
    let Some(collapse) = own.outcome(Outcome::Collapse) else {
        return Vec::new();
    };
    let drawings = [
        collapse
            .histogram
            .as_ref()
            .map(|found| spread(own, collapse, found)),
        importance(own, collapse),
    ];
    let drawings: Vec<Block> = drawings.into_iter().flatten().collect();
    if drawings.is_empty() {
        return drawings;
    }
    let heading = format!("Anchor {} in {}, collapse", own.anchor, own.tree);
    let mut blocks = vec![Block::Heading(heading)];
    blocks.extend(drawings);
    blocks
}

fn spread(
    own: &AttachmentReliability,
    collapse: &OutcomeReliability,
    histogram: &Histogram,
) -> Block {
    let title = format!("Margin of anchor {} against collapse", own.anchor);
    let exceeded = collapse.chance.probability;
    let caption = format!(
        "How the margin against collapse of anchor {} is spread over the samples; {} of it lies at g = 0 or below.",
        own.anchor,
        probability(exceeded)
    );
    Block::Drawn(
        Figure {
            svg: drawing::spread(&title, histogram, exceeded),
            caption: caption.clone(),
        },
        Grid::new(caption, &["margin g", "#share"]).with_rows(spread_rows(histogram)),
    )
}

/// Margins and their shares, some bins together; those with nothing in them are left out.
fn spread_rows(histogram: &Histogram) -> Vec<Vec<String>> {
    let bins = histogram.bins;
    let step = (bins.high - bins.low) / bins.count.max(1) as f64;
    // A count of bins: a small whole number above zero.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let together = (WIDE / step).round().max(1.0) as usize;
    let within = histogram
        .shares
        .chunks(together)
        .enumerate()
        .map(|(k, shares)| {
            let from = bins.low + step * (k * together) as f64;
            let to = from + step * shares.len() as f64;
            let name = format!("{} to {}", edge(from), edge(to));
            (name, shares.iter().sum::<f64>())
        });
    let below = (format!("below {}", edge(bins.low)), histogram.below);
    let above = (format!("{} and above", edge(bins.high)), histogram.above);
    std::iter::once(below)
        .chain(within)
        .chain([above])
        .filter(|(_, share)| *share > 0.0)
        .map(|(name, share)| vec![name, percent(share)])
        .collect()
}

/// What the probability hangs on; none without a design point.
fn importance(own: &AttachmentReliability, collapse: &OutcomeReliability) -> Option<Block> {
    let view = collapse.first_order.as_ref()?;
    let parts = drawn(&view.importance);
    let title = format!("What the collapse of anchor {} hangs on", own.anchor);
    let met = view
        .limit_state
        .map_or_else(String::new, |state| format!(" ({})", state.words()));
    let caption = format!(
        "What the collapse of anchor {} hangs on at its design point{met}: shares α² in first order, without a sign. They add \
         to the whole.",
        own.anchor
    );
    let row = |part: &Importance| vec![part.part.clone(), percent(part.share)];
    Some(Block::Drawn(
        Figure {
            svg: drawing::importance(&title, &parts),
            caption: caption.clone(),
        },
        Grid::new(caption, &["part of the model", "#share α²"]).with_rows(parts.iter().map(row)),
    ))
}

/// The parts that are seen, the largest first, and the others together.
fn drawn(importance: &[Importance]) -> Vec<Importance> {
    let (mut seen, small): (Vec<_>, Vec<_>) = importance
        .iter()
        .cloned()
        .partition(|part| part.share >= LEAST);
    if !small.is_empty() {
        seen.push(Importance {
            part: format!("{} others, each below 1 %", small.len()),
            share: small.iter().map(|part| part.share).sum(),
        });
    }
    seen
}
