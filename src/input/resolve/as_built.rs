//! What was measured after drilling: anchors looked up, values within what can be.

use super::Resolver;
use super::anchors::{Draft, Drafts};
use crate::input::diagnostic::Code;
use crate::input::layout::{self, AsBuiltRows};
use crate::input::source::Span;
use crate::model::AsBuilt;
use crate::model::as_built::DRAWING_ONLY;
use crate::model::platform::MOST_TILT;
use crate::units::{Length, si};

impl<'a> Resolver<'a> {
    /// Rows as the platform takes them; with any, the reader is told that they wait to be asked for.
    pub(super) fn as_built(&mut self, anchors: &Drafts) -> Vec<AsBuilt> {
        let layout = self.layout;
        let Some(AsBuiltRows::Rows(rows)) = &layout.as_built else {
            return Vec::new();
        };
        let mut seen: Vec<&layout::AsBuilt> = Vec::new();
        let mut built = Vec::new();
        for row in rows {
            if let Some(first) = seen
                .iter()
                .find(|first| first.anchor.value == row.anchor.value)
            {
                self.taken(row.anchor.as_str(), row.anchor.span, first.anchor.span);
            }
            seen.push(row);
            built.extend(self.measured(row, anchors));
        }
        if let Some(first) = rows.first() {
            self.assumed(
                first.anchor.span,
                DRAWING_ONLY,
                "check what was built with --as-built",
            );
        }
        built
    }

    fn measured(&mut self, row: &'a layout::AsBuilt, anchors: &Drafts) -> Option<AsBuilt> {
        let layout = self.layout;
        let known = || layout.anchor.iter().map(|anchor| anchor.id.as_str());
        if !known().any(|id| id == row.anchor.as_str()) {
            self.unknown_id("anchor", &row.anchor, known());
        }
        let index = anchors.index(&row.anchor.value)?;
        let draft = &anchors.0[index];
        self.ranges(row, draft);
        let value = |length: &Option<layout::Length>| length.as_ref().map(|length| ***length);
        Some(AsBuilt {
            anchor: index,
            depth: value(&row.depth),
            hole_over: value(&row.hole_over),
            boss_in_wood: value(&row.boss_in_wood),
            bark: value(&row.bark),
            arm: value(&row.arm),
            tilt: row.tilt.as_ref().map(|tilt| ***tilt),
            level: value(&row.level),
            refused: row.refused.as_ref().is_some_and(|refused| refused.value),
            note: row.note.as_ref().map(|note| note.value.clone()),
        })
    }

    /// What can not be, whatever was drawn.
    fn ranges(&mut self, row: &layout::AsBuilt, draft: &Draft) {
        let id = row.anchor.as_str();
        for (key, length) in [
            ("depth", &row.depth),
            ("hole_over", &row.hole_over),
            ("boss_in_wood", &row.boss_in_wood),
            ("bark", &row.bark),
            ("arm", &row.arm),
        ] {
            if let Some(length) = length.as_ref().filter(|length| (***length).value < 0.0) {
                let message = format!("{key} of {id} as built is below zero");
                self.error(
                    Code::OutOfRange,
                    length.span,
                    message,
                    "give what was measured, zero or more",
                );
            }
        }
        if let Some(tilt) = &row.tilt
            && !(-MOST_TILT..=MOST_TILT).contains(&***tilt)
        {
            let message = format!("anchor {id} can not be tilted by more than 20 degrees");
            let mend = "give the angle of the bar from level, outer end up positive";
            self.error(Code::OutOfRange, tilt.span, message, mend);
        }
        let boss = row.boss_in_wood.as_ref();
        let size = draft.size.boss.length - draft.stem.soft;
        if let Some(boss) = boss.filter(|boss| ****boss > size) {
            let message = format!("more of the boss of {id} is in sound wood than there is");
            self.error(
                Code::OutOfRange,
                boss.span,
                message,
                "give the part of the boss in sound wood, from zero to its length",
            );
        }
        if let Some(bark) = &row.bark
            && ***bark + draft.stem.soft >= draft.stem.diameter / 2.0
        {
            let message = format!("the bark at {id} leaves no wood in the stem");
            self.error(
                Code::OutOfRange,
                bark.span,
                message,
                "give the thickness of the bark on one side",
            );
        }
        self.depths(row, draft);
    }

    /// A hole is at least as deep as what is in it.
    fn depths(&mut self, row: &layout::AsBuilt, draft: &Draft) {
        let Some(depth) = &row.depth else { return };
        let zero = si::metres(0.0);
        let boss = row
            .boss_in_wood
            .as_ref()
            .map_or(draft.embedded - draft.stem.soft, |boss| ***boss);
        let over = row.hole_over.as_ref().map_or(zero, |over| ***over);
        if ***depth < boss + over {
            self.shallow(row.anchor.as_str(), depth.span, ***depth, boss, over);
        }
    }

    fn shallow(&mut self, id: &str, span: Option<Span>, depth: Length, boss: Length, over: Length) {
        let millimetres = |length: Length| length.value * 1e3;
        let message = format!(
            "the hole of {id} is {:.0} mm deep, and {:.0} mm of boss and {:.0} mm of empty hole are to be in it",
            millimetres(depth),
            millimetres(boss),
            millimetres(over)
        );
        self.error(
            Code::Conflict,
            span,
            message,
            "measure the depth from the wood surface, under the bark, and give boss_in_wood",
        );
    }
}
