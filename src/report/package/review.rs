//! The reviewer's sheet, blank.

use super::Package;
use super::block::{Block, Section};

/// The sheet.
pub(super) fn section(package: &Package<'_>) -> Section {
    Section::new("review", "Review")
        .on_new_sheet()
        .saying(format!(
            "To be filled in by the engineer who reviews this package: {}.",
            package.stamp()
        ))
        .with(Block::Blanks(vec![
            ("Code in force, edition and amendments", 1),
            ("Report of the arborist: name, date, trees examined", 1),
            ("Checked by hand", 2),
            ("Accepted / accepted as noted / returned", 1),
            ("Remarks", 7),
            ("Reviewer, licence number", 1),
            ("Date and signature", 1),
            ("Seal", 9),
        ]))
        .saying("Blank as printed: this package is not sealed by the program that wrote it.")
}
