//! The layout as it was written, so that the digest can be worked out again.

use super::Package;
use super::block::{Block, Section};

/// The longest layout that is repeated whole (bytes).
const MOST: usize = 64 << 10;

/// The input.
pub(super) fn section(package: &Package<'_>) -> Section {
    let section = Section::new("layout", "The layout")
        .on_new_sheet()
        .saying(format!(
            "What the program was given. SHA-256 {}.",
            package.document.layout_sha256
        ));
    if package.layout.len() > MOST {
        let size = package.layout.len() >> 10;
        section.saying(format!(
            "Its {size} KiB are too long to be repeated here; keep the file with this package."
        ))
    } else {
        section.with(Block::Verbatim(package.layout.to_owned()))
    }
}
