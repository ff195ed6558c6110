//! All attachments at a glance.

use super::Package;
use super::block::{Block, Figure, Grid, Section};
use crate::report::drawing::{self, Bar};
use crate::report::{attachment_sheet, worst_first};

/// The attachments, worst first.
pub(super) fn section(package: &Package<'_>) -> Section {
    let table = Grid::of(
        &attachment_sheet(package.document),
        "Attachments, worst first: load and allowed load in the combination that governs, utilization by group.",
        package.show,
    );
    Section::new("attachments", "Attachments")
        .on_new_sheet()
        .with(Block::Table(table))
        .with(Block::Figure(Figure {
            svg: drawing::bars("Utilization of the attachments", &bars(package)),
            caption: "How much of each attachment is used by the most used check that hangs on loads; one is the limit."
                .to_owned(),
        }))
        .saying(
            "Utilization is demand over allowable, rounded up; margin is allowable over demand less one, rounded down. \
             A check of a rule of practice that is not kept asks for a review, whatever is used under load.",
        )
}

fn bars(package: &Package<'_>) -> Vec<Bar> {
    let worst = worst_first(package.document);
    let bars = worst.into_iter().map(|part| Bar {
        name: format!("{} in {}", part.anchor, part.tree),
        group: "",
        utilization: part.utilization,
        verdict: part.verdict,
        governs: false,
    });
    bars.collect()
}
