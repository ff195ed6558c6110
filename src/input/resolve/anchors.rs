//! Anchors: size, direction, depth. Their arms may wait for the beams.

use super::Resolver;
use super::stems::Stems;
use crate::input::diagnostic::Code;
use crate::input::layout::{self, Id, Text};
use crate::input::source::Span;
use crate::model::anchor::thread_bears;
use crate::model::{Anchor, AnchorSize, Origin, Point, Segment, Standing, Steel, Stem};
use crate::tables;
use crate::units::{Angle, Length, si, us};

/// Length of the tapered tip over the outside of the thread, which holds nothing: that of lag screws (NDS 2018, Table L2).
const TIP: f64 = 0.7;

/// An anchor whose arm may not be known yet.
pub(super) struct Draft {
    pub(super) id: String,
    pub(super) span: Option<Span>,
    /// Its stem at its own height.
    pub(super) stem: Stem,
    pub(super) tree: usize,
    pub(super) faces: Angle,
    pub(super) level: Option<Length>,
    pub(super) size: AnchorSize,
    pub(super) embedded: Length,
    pub(super) arm: Option<Length>,
    /// From the bark to the near face of the beam.
    pub(super) gap: Option<Length>,
    /// The anchor at the other end of its through-rod.
    pub(super) rod: Option<usize>,
    /// How the bar is kept from turning.
    pub(super) locked: Option<String>,
}

impl Draft {
    /// The load point for an arm.
    pub(super) fn at(&self, arm: Length) -> Point {
        self.stem
            .at
            .toward(self.faces, self.stem.wood_radius() + arm)
    }
}

/// Every anchor that could be read; the others are missing.
pub(super) struct Drafts(pub(super) Vec<Draft>);

impl Drafts {
    pub(super) fn index(&self, id: &Id) -> Option<usize> {
        self.0.iter().position(|draft| draft.id == id.as_str())
    }

    /// Stems and anchors as the platform takes them: an anchor with a girth or bark of its own has a stem of its own.
    pub(super) fn built(self, Stems(mut stems): Stems) -> (Vec<Stem>, Vec<Anchor>) {
        let mut anchors = Vec::new();
        for draft in self.0 {
            let stem = if stems[draft.tree] == draft.stem {
                draft.tree
            } else {
                stems.push(draft.stem);
                stems.len() - 1
            };
            anchors.push(Anchor {
                id: draft.id,
                stem,
                faces: draft.faces,
                level: draft.level,
                size: draft.size,
                embedded: draft.embedded,
                arm: draft.arm.unwrap_or_default(),
                rod: draft.rod,
                tilt: si::radians(0.0),
                empty: si::metres(0.0),
                locked: draft.locked,
            });
        }
        (stems, anchors)
    }
}

impl<'a> Resolver<'a> {
    pub(super) fn anchors(&mut self, stems: &Stems) -> Drafts {
        let layout = self.layout;
        if layout.anchor.is_empty() {
            self.error(
                Code::MissingKey,
                None,
                "the layout has no anchor: nothing can be checked",
                "add an [[anchor]]",
            );
        }
        let drafts = layout
            .anchor
            .iter()
            .filter_map(|anchor| self.draft(anchor, stems));
        let mut drafts = Drafts(drafts.collect());
        self.rods(&mut drafts);
        drafts
    }

    /// Joins the two ends of every through-rod.
    fn rods(&mut self, drafts: &mut Drafts) {
        let layout = self.layout;
        for anchor in &layout.anchor {
            let Some(word) = &anchor.rod else { continue };
            let ends: Vec<&layout::Anchor> = layout
                .anchor
                .iter()
                .filter(|other| {
                    other
                        .rod
                        .as_ref()
                        .is_some_and(|own| own.value == word.value)
                })
                .collect();
            let [one, two] = ends.as_slice() else {
                let message = format!(
                    "through-rod \"{}\" has {}, not two ends",
                    word.as_str(),
                    ends.len()
                );
                let mend = "write the same word in the rod of two anchors";
                self.error(Code::Conflict, word.span, message, mend);
                continue;
            };
            if one.tree.value != two.tree.value {
                let message = format!(
                    "the ends of through-rod \"{}\" are in two trees",
                    word.as_str()
                );
                self.error(
                    Code::Conflict,
                    word.span,
                    message,
                    "a rod goes through one stem",
                );
                continue;
            }
            if one.size.value != two.size.value {
                let message = format!(
                    "the ends of through-rod \"{}\" are of two sizes",
                    word.as_str()
                );
                self.error(
                    Code::Conflict,
                    word.span,
                    message,
                    "give both ends one size: each boss holds the other's pull",
                );
                continue;
            }
            let (own, other) = if one.id.value == anchor.id.value {
                (one, two)
            } else {
                (two, one)
            };
            if let (Some(own), Some(other)) =
                (drafts.index(&own.id.value), drafts.index(&other.id.value))
            {
                drafts.0[own].rod = Some(other);
            }
        }
    }

    fn draft(&mut self, anchor: &'a layout::Anchor, stems: &Stems) -> Option<Draft> {
        let layout = self.layout;
        let known = layout
            .tree
            .iter()
            .any(|tree| tree.id.value == anchor.tree.value);
        if !known {
            self.unknown_id(
                "tree",
                &anchor.tree,
                layout.tree.iter().map(|tree| tree.id.as_str()),
            );
        }
        let faces = self.faces(anchor, stems);
        let size = self.anchor_size(&anchor.size, anchor.pilot.as_ref().map(|pilot| ***pilot));
        if let (Some(arm), Some(_)) = (&anchor.arm, &anchor.gap) {
            self.error(
                Code::Conflict,
                arm.span,
                "arm and gap are both given",
                "keep one: arm from the wood surface, or gap from the bark",
            );
        }
        let tree = stems.index(&anchor.tree.value)?;
        let stem = self.own_stem(anchor, &stems.0[tree]);
        let (faces, size) = (faces?, size?);
        let embedded = anchor
            .embedded
            .as_ref()
            .map_or(size.boss.length / 2.0, |embedded| ***embedded);
        if embedded > size.boss.length || embedded.value < 0.0 {
            let span = anchor.embedded.as_ref().and_then(|embedded| embedded.span);
            let message = format!(
                "embedded is {:.1} mm, and the boss is {:.1} mm long",
                embedded.value * 1e3,
                size.boss.length.value * 1e3
            );
            self.error(
                Code::OutOfRange,
                span,
                message,
                "give the part of the boss in sound wood, from zero to its length",
            );
        }
        Some(Draft {
            id: anchor.id.as_str().to_owned(),
            span: anchor.id.span,
            stem,
            tree,
            faces,
            level: self.level(anchor),
            size,
            embedded,
            arm: anchor.arm.as_ref().map(|arm| ***arm),
            gap: anchor.gap.as_ref().map(|gap| ***gap),
            rod: None,
            locked: anchor.locked.as_ref().map(|locked| locked.value.clone()),
        })
    }

    /// The stem with what the anchor measured at its own height.
    fn own_stem(&mut self, anchor: &layout::Anchor, stem: &Stem) -> Stem {
        let mut own = stem.clone();
        match (&anchor.diameter, &anchor.girth) {
            (Some(_), Some(girth)) => {
                self.error(
                    Code::Conflict,
                    girth.span,
                    "diameter and girth are both given",
                    "keep the one that was measured",
                );
            }
            (Some(diameter), None) => own.diameter = ***diameter,
            (None, Some(girth)) => own.diameter = ***girth / std::f64::consts::PI,
            (None, None) => {}
        }
        if let Some(bark) = &anchor.bark {
            own.bark = ***bark;
        }
        own
    }

    fn level(&mut self, anchor: &layout::Anchor) -> Option<Length> {
        match (&anchor.level, &anchor.height) {
            (Some(level), None) => Some(***level),
            (None, Some(height)) => {
                let tree = self
                    .layout
                    .tree
                    .iter()
                    .find(|tree| tree.id.value == anchor.tree.value);
                let ground = tree.and_then(|tree| tree.ground.as_ref());
                if ground.is_none() {
                    let message = format!(
                        "anchor {} has a height above the ground, and its tree no ground",
                        anchor.id.as_str()
                    );
                    self.error(
                        Code::MissingKey,
                        height.span,
                        message,
                        "add ground = \"-14 in\" to the tree, or give level",
                    );
                }
                Some(***ground? + ***height)
            }
            (Some(level), Some(_)) => {
                self.error(
                    Code::Conflict,
                    level.span,
                    "level and height are both given",
                    "keep one: level from the site's zero, or height above its own ground",
                );
                None
            }
            (None, None) => None,
        }
    }

    fn faces(&mut self, anchor: &'a layout::Anchor, stems: &Stems) -> Option<Angle> {
        let layout = self.layout;
        match (&anchor.faces, &anchor.toward) {
            (Some(faces), None) => Some(faces.value.0),
            (None, Some(toward)) => {
                let Some(aim) = layout
                    .tree
                    .iter()
                    .find(|tree| tree.id.value == toward.value)
                else {
                    self.unknown_id(
                        "tree",
                        toward,
                        layout.tree.iter().map(|tree| tree.id.as_str()),
                    );
                    return None;
                };
                let own = &stems.0[stems.index(&anchor.tree.value)?];
                let there = match stems.index(&aim.id.value) {
                    Some(other) => stems.0[other].at,
                    None => super::point(aim.at.as_ref()?),
                };
                if own.at == there {
                    self.error(
                        Code::Conflict,
                        toward.span,
                        "an anchor can not aim at its own tree",
                        "name another tree, or give faces",
                    );
                    return None;
                }
                let turn = anchor
                    .turn
                    .as_ref()
                    .map_or(si::degrees(0.0), |turn| ***turn);
                Some(own.at.bearing(there) + turn)
            }
            (Some(faces), Some(_)) => {
                self.error(
                    Code::Conflict,
                    faces.span,
                    "faces and toward are both given",
                    "keep one",
                );
                None
            }
            (None, None) => {
                let message = format!("anchor {} has no direction", anchor.id.as_str());
                self.error(
                    Code::MissingKey,
                    anchor.id.span,
                    message,
                    "add faces = \"S\", or toward = the id of another tree",
                );
                None
            }
        }
    }

    fn anchor_size(&mut self, name: &'a Text, pilot: Option<Length>) -> Option<AnchorSize> {
        if let Some(own) = self
            .layout
            .anchor_size
            .iter()
            .find(|size| size.id.value == name.value)
        {
            return self.own_size(own, pilot);
        }
        let row = tables::anchor_size(name)
            .map_err(|error| self.lookup(Code::UnknownSize, name.span, &error))
            .ok()?;
        let boss_steel = self.steel(&row.steel, row.boss_diameter, name.span)?;
        let shank_steel = self.steel(&row.steel, row.shank_diameter, name.span)?;
        let boss = Segment {
            length: row.boss_length,
            resists: row.boss_diameter,
            bears: row.boss_diameter,
            steel: boss_steel,
        };
        let shank = Segment {
            length: row.shank_length,
            resists: row.root_diameter,
            bears: thread_bears(
                row.shank_diameter,
                row.root_diameter,
                pilot.unwrap_or(row.pilot_diameter),
            ),
            steel: shank_steel,
        };
        let origin = Origin::from(row.reference());
        Some(AnchorSize {
            id: row.id.clone(),
            boss,
            shank: vec![shank],
            thread_length: row.thread_length,
            origin,
        })
    }

    fn own_size(
        &mut self,
        own: &'a layout::AnchorSize,
        pilot: Option<Length>,
    ) -> Option<AnchorSize> {
        let default = Text::from("A36");
        let steel = own.steel.as_ref().unwrap_or(&default);
        let origin = Origin::new(own.source.value.clone(), Standing::Published);
        let id = own.id.value.clone();
        match (&own.boss, &own.shank, own.segments.as_slice()) {
            (Some(boss), Some(shank), []) => {
                let (diameter, length) = (***boss.diameter.as_ref()?, ***boss.length.as_ref()?);
                let outside = ***shank.diameter.as_ref()?;
                let root = ***shank.root.as_ref()?;
                let shank_length = ***shank.length.as_ref()?;
                if root > outside {
                    let span = shank.root.as_ref().and_then(|root| root.span);
                    self.error(
                        Code::OutOfRange,
                        span,
                        "the thread's root is thicker than its outside",
                        "exchange root and diameter",
                    );
                }
                let boss_steel = self.steel(steel, diameter, steel.span.or(own.id.span))?;
                let shank_steel = self.steel(steel, outside, steel.span.or(own.id.span))?;
                Some(AnchorSize {
                    id,
                    boss: Segment {
                        length,
                        resists: diameter,
                        bears: diameter,
                        steel: boss_steel,
                    },
                    shank: vec![Segment {
                        length: shank_length,
                        resists: root,
                        bears: thread_bears(outside, root, pilot.unwrap_or(root)),
                        steel: shank_steel,
                    }],
                    thread_length: (shank_length - outside * TIP).max(si::metres(0.0)),
                    origin,
                })
            }
            (None, None, [first, rest @ ..]) => {
                let boss = self.segment(first, steel, own.id.span)?;
                let shank: Vec<Segment> = rest
                    .iter()
                    .filter_map(|piece| self.segment(piece, steel, own.id.span))
                    .collect();
                let thread_length = shank
                    .iter()
                    .filter(|piece| piece.bears > piece.resists)
                    .fold(si::metres(0.0), |sum, piece| sum + piece.length);
                Some(AnchorSize {
                    id,
                    boss,
                    shank,
                    thread_length,
                    origin,
                })
            }
            _ => {
                let message =
                    format!("anchor size {id} must be a boss and a shank, or a list of segments");
                self.error(
                    Code::Conflict,
                    own.id.span,
                    message,
                    "give boss and shank, or segments from the outer end inward",
                );
                None
            }
        }
    }

    fn segment(
        &mut self,
        piece: &'a layout::Segment,
        default: &Text,
        span: Option<Span>,
    ) -> Option<Segment> {
        let resists = ***piece.resists.as_ref()?;
        let steel = self.steel(piece.steel.as_ref().unwrap_or(default), resists, span)?;
        Some(Segment {
            length: ***piece.length.as_ref()?,
            resists,
            bears: ***piece.bears.as_ref()?,
            steel,
        })
    }

    fn steel(&mut self, grade: &str, diameter: Length, span: Option<Span>) -> Option<Steel> {
        if let Some(own) = self
            .layout
            .steel
            .iter()
            .find(|steel| steel.id.eq_ignore_ascii_case(grade))
        {
            return Some(Steel {
                name: own.id.value.clone(),
                yield_strength: ***own.yield_strength.as_ref()?,
                modulus: match &own.modulus {
                    Some(modulus) => ***modulus,
                    None => self.steel("A36", us::inches(1.0), own.id.span)?.modulus,
                },
                origin: Origin::new(own.source.value.clone(), Standing::Published),
            });
        }
        let row = tables::steel(grade, diameter)
            .map_err(|error| self.lookup(Code::UnknownSteel, span, &error))
            .ok()?;
        let steel = Steel::from_table(row);
        if steel.is_none() {
            let message = format!("the tables have no modulus of elasticity for {grade}");
            self.error(
                Code::UnknownSteel,
                span,
                message,
                "give a [[steel]] with its modulus",
            );
        }
        steel
    }
}
