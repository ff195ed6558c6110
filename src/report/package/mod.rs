//! The calculation package: what an engineer is handed, in the order in which it is read.
//!
//! Each module makes one section from the results, without a form; [`package_html`](super::package_html) and
//! [`package_markdown`](super::package_markdown) give all of them theirs. A further result takes a module with one function and a
//! line in [`sections`].

mod anchors;
mod attachments;
pub(super) mod block;
mod cover;
mod criteria;
mod drilling;
mod joints;
mod limits;
mod loads;
mod markdown;
mod members;
mod movement;
mod plan;
mod reliability;
mod review;
mod sources;
mod standings;
mod stems;
mod worked;
mod written;

use super::work::DrillDocument;
use super::{CheckDocument, ReliabilityDocument};
use crate::checks::Results;
use crate::checks::stems::Trees;
use crate::input::layout;
use crate::model::Platform;
use crate::units::{Length, Show, feet_and_sixteenths, kind, print};
use block::Section;

pub use markdown::package_markdown;

/// The title block of the package: free text of the layout, none of it read by any check.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Project {
    /// Where it is.
    pub site: Option<String>,
    /// For whom it is.
    pub client: Option<String>,
    /// Who drew it.
    pub drawn_by: Option<String>,
    /// Which revision it is.
    pub revision: Option<String>,
    /// The date of the drawing.
    pub date: Option<String>,
    /// The number of the permit.
    pub permit: Option<String>,
}

impl From<&layout::Project> for Project {
    fn from(project: &layout::Project) -> Self {
        let text = |text: &Option<layout::Text>| text.as_ref().map(|text| text.value.clone());
        Self {
            site: text(&project.site),
            client: text(&project.client),
            drawn_by: text(&project.drawn_by),
            revision: text(&project.revision),
            date: text(&project.date),
            permit: text(&project.permit),
        }
    }
}

/// Everything that the package is made of.
#[derive(Debug, Clone, Copy)]
pub struct Package<'a> {
    /// The platform.
    pub platform: &'a Platform,
    /// Its results.
    pub results: &'a Results,
    /// The record of those results.
    pub document: &'a CheckDocument,
    /// What the trees do, where it was worked out.
    pub trees: Option<&'a Trees>,
    /// The drilling cards, where they were made.
    pub drill: Option<&'a DrillDocument>,
    /// How likely it is that strength is exceeded, where it was worked out.
    pub reliability: Option<&'a ReliabilityDocument>,
    /// The title block.
    pub project: &'a Project,
    /// The layout as it was written; its digest is that of the record.
    pub layout: &'a str,
    /// The units shown.
    pub show: Show,
}

/// The longest title on every sheet (letters).
const TITLE: usize = 56;

impl Package<'_> {
    /// The title of the layout.
    pub(super) fn title(&self) -> &str {
        if self.document.title.trim().is_empty() {
            "Untitled layout"
        } else {
            &self.document.title
        }
    }

    /// What identifies every sheet: the title, cut short if it is long, the program and its version, the start of the
    /// layout's digest.
    pub(super) fn stamp(&self) -> String {
        let title = self.title();
        let short = match title.char_indices().nth(TITLE) {
            Some((end, _)) => format!("{}…", title.get(..end).unwrap_or_default()),
            None => title.to_owned(),
        };
        format!("{short} · {}", self.identity())
    }

    /// The program and its version, the start of the layout's digest.
    pub(super) fn identity(&self) -> String {
        let digest = &self.document.layout_sha256;
        let start = digest.get(..16).unwrap_or(digest);
        format!(
            "barkline {}, layout SHA-256 {start}…",
            self.document.program
        )
    }
}

/// A length to set out by.
fn tape(length: Length, show: Show) -> String {
    match show {
        Show::Us => feet_and_sixteenths(length),
        Show::Si => print::<kind::Length>(length, show),
    }
}

/// The sections, in the order in which they are read.
pub(super) fn sections(package: &Package<'_>) -> Vec<Section> {
    let workings = worked::workings(package);
    let mut sections = vec![
        cover::section(package),
        criteria::section(package),
        loads::section(package),
        plan::section(package),
        attachments::section(package),
    ];
    sections.extend(joints::losses(package));
    sections.extend(anchors::sections(package, &workings));
    sections.extend(members::section(package));
    sections.extend(joints::section(package));
    sections.push(stems::section(package));
    sections.extend(package.trees.map(|trees| movement::section(package, trees)));
    sections.extend(
        package
            .reliability
            .map(|found| reliability::section(package, found)),
    );
    sections.extend(package.drill.map(|cards| drilling::section(package, cards)));
    sections.extend([
        standings::section(package),
        sources::section(package, &workings),
        limits::section(package),
        written::section(package),
        review::section(package),
    ]);
    sections
}
