//! Trees: wood, place, size.

use super::{Resolver, point};
use crate::input::diagnostic::Code;
use crate::input::layout::{Id, Text, Tree};
use crate::input::source::At;
use crate::model::{Criteria, LivingWood, OwnWood, Point, Stem};
use crate::tables::{self, Property};
use crate::units::{Length, si};

/// A tree without anchors: its centre and radius over bark.
pub(super) struct Obstacle {
    pub(super) id: String,
    pub(super) at: Point,
    pub(super) radius: Length,
}

/// Stems that resolved, by the id of their tree.
pub(super) struct Stems(pub(super) Vec<Stem>);

impl Stems {
    pub(super) fn index(&self, id: &Id) -> Option<usize> {
        self.0.iter().position(|stem| stem.id == id.as_str())
    }
}

impl<'a> Resolver<'a> {
    /// Stems with anchors, and every tree as a thing to keep clear of.
    pub(super) fn stems(&mut self, criteria: Option<&Criteria>) -> (Stems, Vec<Obstacle>) {
        let layout = self.layout;
        let (mut stems, mut obstacles) = (Vec::new(), Vec::new());
        for tree in &layout.tree {
            let anchored = layout
                .anchor
                .iter()
                .any(|anchor| anchor.tree.value == tree.id.value);
            let at = self.place(tree, &mut vec![&tree.id.value]);
            let diameter = self.diameter(tree);
            let (Some(at), Some(diameter)) = (at, diameter) else {
                continue;
            };
            obstacles.push(Obstacle {
                id: tree.id.as_str().to_owned(),
                at,
                radius: diameter / 2.0,
            });
            // One that carries nothing needs wood and bark only for its own movement.
            let known = anchored || (tree.species.is_some() && tree.bark.is_some());
            if known && let Some(stem) = self.stem(tree, at, diameter, criteria) {
                stems.push(stem);
            }
        }
        (Stems(stems), obstacles)
    }

    fn stem(
        &mut self,
        tree: &'a Tree,
        at: Point,
        diameter: Length,
        criteria: Option<&Criteria>,
    ) -> Option<Stem> {
        let id = tree.id.as_str();
        let wood = match &tree.species {
            Some(species) => self.living_wood(species),
            None => {
                self.error(
                    Code::MissingKey,
                    tree.id.span,
                    format!("tree {id} carries anchors and has no species"),
                    "add species = \"white oak\"",
                );
                None
            }
        };
        if tree.bark.is_none() {
            let message = format!("tree {id} carries anchors and has no bark thickness");
            self.error(
                Code::MissingKey,
                tree.id.span,
                message,
                "measure it at the anchors and add bark = \"0.8 in\"; bark carries nothing",
            );
        }
        let lean = tree.lean.as_ref().map_or(si::degrees(0.0), |lean| ***lean);
        if lean.value != 0.0 && tree.leans.is_none() {
            let span = tree.lean.as_ref().and_then(|lean| lean.span);
            self.error(
                Code::MissingKey,
                span,
                format!("tree {id} leans, but it is not said where"),
                "add leans = \"W\"",
            );
        }
        let wood = wood?;
        Some(Stem {
            id: id.to_owned(),
            whole: Some(self.whole(tree, diameter, &wood, criteria)),
            wood,
            at,
            diameter,
            bark: ***tree.bark.as_ref()?,
            soft: length_or_zero(tree.soft.as_ref()),
            shell: tree.shell.as_ref().map(|shell| ***shell),
            lean,
            leans: tree
                .leans
                .as_ref()
                .map_or(si::degrees(0.0), |leans| leans.value.0),
        })
    }

    fn living_wood(&mut self, species: &Text) -> Option<LivingWood> {
        let Some(variation) = tables::variation(Property::Crushing).map(|row| row.coefficient)
        else {
            let message = "the tables have no coefficient of variation for crushing strength";
            self.error(
                Code::UnusableWood,
                species.span,
                message,
                "give a [[wood]] with its variation",
            );
            return None;
        };
        if let Some(own) = self
            .layout
            .wood
            .iter()
            .find(|wood| wood.id.eq_ignore_ascii_case(species))
        {
            let wood = OwnWood {
                name: own.id.value.clone(),
                crushing: ***own.crushing.as_ref()?,
                across: ***own.across.as_ref()?,
                modulus: ***own.modulus.as_ref()?,
                specific_gravity: own.specific_gravity.as_ref()?.value,
                variation: own
                    .variation
                    .as_ref()
                    .map_or(variation, |own| (**own).value),
                foundation_modulus: own.foundation_modulus.as_ref().map(|k| ***k),
                source: own.source.value.clone(),
            };
            return LivingWood::own(wood)
                .map_err(|error| {
                    self.error(
                        Code::OutOfRange,
                        own.id.span,
                        error.to_string(),
                        "give green means of clear wood",
                    );
                })
                .ok();
        }
        let row = tables::find_green_wood(species)
            .map_err(|error| self.lookup(Code::UnknownWood, species.span, &error))
            .ok()?;
        LivingWood::from_table(row, variation)
            .map_err(|error| {
                let mend = "give a [[wood]] of your own with green means and their source";
                self.error(Code::UnusableWood, species.span, error.to_string(), mend);
            })
            .ok()
    }

    fn diameter(&mut self, tree: &Tree) -> Option<Length> {
        match (&tree.diameter, &tree.girth) {
            (Some(diameter), None) => Some(***diameter),
            (None, Some(girth)) => Some(***girth / std::f64::consts::PI),
            (Some(_), Some(girth)) => {
                self.error(
                    Code::Conflict,
                    girth.span,
                    "diameter and girth are both given",
                    "keep the one that was measured",
                );
                None
            }
            (None, None) => {
                if let Some(drawn) = self.drawn_diameter(tree) {
                    return Some(drawn);
                }
                let message = format!("tree {} has no size", tree.id.as_str());
                self.error(
                    Code::MissingKey,
                    tree.id.span,
                    message,
                    if tree.diameter_breast.is_some() {
                        "add diameter = \"22 in\" at the anchors; to draw it from breast height, the height of the tree and the level of an anchor are needed"
                    } else {
                        "add diameter = \"22 in\" or girth = \"69 in\", over bark at the anchors"
                    },
                );
                None
            }
        }
    }

    /// The centre of a tree: given, or from another tree by tape and compass.
    fn place(&mut self, tree: &'a Tree, way: &mut Vec<&'a Id>) -> Option<Point> {
        match (&tree.at, &tree.from, &tree.distance, &tree.bearing) {
            (Some(at), None, None, None) => Some(point(at)),
            (None, Some(from), Some(distance), Some(bearing)) => {
                let start = self.other_tree(from, way)?;
                Some(start.toward(bearing.value.0, ***distance))
            }
            (Some(at), ..) => {
                self.error(
                    Code::Conflict,
                    at.span,
                    "a tree is placed in two ways",
                    "keep `at`, or from, distance and bearing",
                );
                None
            }
            _ => {
                let message = format!("tree {} has no place", tree.id.as_str());
                self.error(Code::MissingKey, tree.id.span, message, "add at = [\"0 ft\", \"14 ft\"] (east, north), or all of from, distance, bearing");
                None
            }
        }
    }

    fn other_tree(&mut self, from: &'a At<Id>, way: &mut Vec<&'a Id>) -> Option<Point> {
        let layout = self.layout;
        let Some(other) = layout.tree.iter().find(|tree| tree.id.value == from.value) else {
            self.unknown_id(
                "tree",
                from,
                layout.tree.iter().map(|tree| tree.id.as_str()),
            );
            return None;
        };
        if way.contains(&&other.id.value) {
            self.error(
                Code::Circle,
                from.span,
                "trees are placed from each other in a ring",
                "place one of them with `at`",
            );
            return None;
        }
        way.push(&other.id.value);
        self.place(other, way)
    }
}

/// A length that may be left out.
pub(super) fn length_or_zero(length: Option<&crate::input::layout::Length>) -> Length {
    length.map_or(si::metres(0.0), |length| ***length)
}
