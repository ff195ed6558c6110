//! Loads that a layout adds to those of its decks and members.

use super::{Case, Point};
use crate::units::{Angle, Force, Length};

/// One number for each case, positive down, in SI: newtons, newtons per metre or pascals as [`LoadPlace`] says.
pub type Magnitudes = [f64; Case::ALL.len()];

/// A load of the layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Its id.
    pub id: String,
    /// Where it acts.
    pub place: LoadPlace,
    /// How much, by case, positive down.
    pub magnitudes: Magnitudes,
    /// What wind lifts of it, positive up; it acts in place of the wind of `magnitudes`.
    pub uplift: f64,
    /// A sideways load of people that may be there or not: how much, and its compass bearing.
    pub push: Option<(f64, Angle)>,
}

impl Load {
    /// A load that acts straight down.
    pub fn down(id: impl Into<String>, place: LoadPlace, magnitudes: Magnitudes) -> Self {
        Self {
            id: id.into(),
            place,
            magnitudes,
            uplift: 0.0,
            push: None,
        }
    }
}

/// A swing that hangs from a beam.
#[derive(Debug, Clone, PartialEq)]
pub struct Swing {
    /// Its id.
    pub id: String,
    /// The beam, by its place in the platform.
    pub beam: usize,
    /// Distance from the beam's first end.
    pub station: Length,
    /// Weight of the rider.
    pub rider: Force,
    /// How far it swings from plumb.
    pub to: Angle,
    /// Compass bearing of the line along which it swings.
    pub along: Angle,
}

/// What a hammock hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// An anchor, by its place in the platform.
    Anchor(usize),
    /// A station of a beam.
    Beam {
        /// Index of the beam.
        beam: usize,
        /// Distance from the beam's first end.
        station: Length,
    },
}

/// A hammock, or any taut line with a weight at its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Hammock {
    /// Its id.
    pub id: String,
    /// Its two ends.
    pub ends: [Hold; 2],
    /// The weight in it.
    pub weight: Force,
    /// How far its lowest point hangs below its ends.
    pub sag: Length,
}

/// A guard along a line of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Guard {
    /// Its id.
    pub id: String,
    /// The deck, by its place in the platform.
    pub deck: usize,
    /// Its ends in plan.
    pub along: [Point; 2],
    /// Its height above the deck.
    pub height: Length,
    /// Solid share of its face (1).
    pub solidity: f64,
}

/// How the parts of actions that are not always there meet each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Presence {
    /// There whenever its case is.
    Always,
    /// There or not.
    OnOff,
    /// One of its group at most.
    OneOf(usize),
    /// With the next action, the two components of a level force that may point anywhere.
    Turning,
}

/// A load with a direction, as the analysis takes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    /// What it is, in words.
    pub name: String,
    /// Its case.
    pub case: Case,
    /// Whether it is always there.
    pub presence: Presence,
    /// Where it acts.
    pub parts: Vec<ActionPart>,
}

/// A force of an action: east, north, up (N).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ActionPart {
    /// Where it acts.
    pub on: ActionPlace,
    /// East, north, up (N).
    pub force: [f64; 3],
}

/// Where a part of an action acts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ActionPlace {
    /// Straight on an anchor, by its place in the platform.
    Anchor(usize),
    /// At a station of a beam.
    Beam {
        /// Index of the beam.
        beam: usize,
        /// Distance from the beam's first end.
        station: Length,
    },
    /// On the boards of a deck, at a plan point and a height above the boards.
    Deck {
        /// Index of the deck.
        deck: usize,
        /// The plan point.
        at: Point,
        /// Height above the boards.
        height: Length,
    },
}

/// Where a load acts, and with it what its magnitudes mean.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadPlace {
    /// At a point of a deck (N).
    Point(Point),
    /// Along a line of a deck (N/m).
    Line(Point, Point),
    /// Over an area of a deck (Pa).
    Area(Vec<Point>),
    /// Straight on an anchor, by its place in the platform (N).
    Anchor(usize),
    /// At a station of a beam, by its place in [`Platform`](super::Platform) (N).
    Beam {
        /// Index of the beam.
        beam: usize,
        /// Distance from the beam's first end.
        station: Length,
    },
}
