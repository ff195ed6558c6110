//! A deck: boards on joists on beams.

use super::{Crossing, Point, Timber};
use crate::units::{Angle, AreaLoad, Force, Length};
use serde::{Deserialize, Serialize};

/// How a deck holds its beams together in plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Diaphragm {
    /// As one stiff plate.
    #[default]
    Rigid,
    /// Not at all: each beam is on its own.
    Flexible,
}

/// The joists of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Joists {
    /// Compass bearing in which they run.
    pub run: Angle,
    /// Spacing between their centre lines.
    pub spacing: Length,
    /// How they meet the beams.
    pub set: Crossing,
    /// Section and wood.
    pub timber: Timber,
}

/// A deck with its loads per area.
#[derive(Debug, Clone, PartialEq)]
pub struct Deck {
    /// Its id.
    pub id: String,
    /// The beams that carry its joists, by their place in the platform.
    pub beams: Vec<usize>,
    /// Its outline, in order round it.
    pub outline: Vec<Point>,
    /// Openings in it that carry no load.
    pub openings: Vec<Vec<Point>>,
    /// Round openings for stems: centre and radius. Joists are cut there; the load area is not reduced.
    pub stem_holes: Vec<(Point, Length)>,
    /// Its joists.
    pub joists: Joists,
    /// Boards and finishes; the joists are added from their own section.
    pub dead: AreaLoad,
    /// Live load.
    pub live: AreaLoad,
    /// Snow load on the deck.
    pub snow: AreaLoad,
    /// A live load that may stand anywhere on it, besides the spread one.
    pub concentrated: Option<Force>,
    /// How it holds its beams together in plan.
    pub diaphragm: Diaphragm,
}
