//! Timber members.

use super::{Origin, Point};
use crate::units::{Length, LineLoad, SecondMoment, Stiffness, Stress, UnitWeight};
use serde::{Deserialize, Serialize};

/// A sawn section and what it is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Timber {
    /// Width of the whole, all plies together.
    pub width: Length,
    /// Depth.
    pub depth: Length,
    /// Modulus of elasticity.
    pub modulus: Stress,
    /// Weight per volume.
    pub unit_weight: UnitWeight,
    /// Where modulus and weight come from.
    pub origin: Origin,
}

impl Timber {
    /// Second moment of area for bending in the vertical plane.
    pub fn second_moment(&self) -> SecondMoment {
        self.width * self.depth * self.depth * self.depth / 12.0
    }
    /// Weight per length.
    pub fn line_weight(&self) -> LineLoad {
        self.unit_weight * self.width * self.depth
    }
}

/// How a beam sits on its support.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Seat {
    /// Held in every direction of the plan.
    #[default]
    Fixed,
    /// Free to slide along the beam.
    Sliding,
    /// Hung from above.
    Hung,
}

/// What carries a beam at a support.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Carrier {
    /// An anchor, by its place in the platform.
    Anchor(usize),
    /// A post, by its place in the platform.
    Post(usize),
    /// Another beam, by its place in the platform, at a distance from that beam's first end.
    Beam {
        /// Index of the carrying beam.
        beam: usize,
        /// Distance from the carrying beam's first end.
        station: Length,
    },
}

/// A support of a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamSupport {
    /// What carries it.
    pub carrier: Carrier,
    /// Distance from this beam's first end.
    pub station: Length,
    /// How it sits.
    pub seat: Seat,
    /// Whether it is tied down against lifting.
    pub held_down: bool,
    /// Travel of a sliding seat from stop to stop, where it is said.
    pub travel: Option<Length>,
}

/// How a member passes the one that carries it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Crossing {
    /// On top of it.
    #[default]
    OnTop,
    /// Between, tops level.
    Flush,
}

/// A beam: straight, level, over anchors or other beams.
#[derive(Debug, Clone, PartialEq)]
pub struct Beam {
    /// Its id.
    pub id: String,
    /// First end in plan.
    pub start: Point,
    /// Last end in plan.
    pub end: Point,
    /// Section and wood.
    pub timber: Timber,
    /// Supports in order from the first end.
    pub supports: Vec<BeamSupport>,
    /// From the axis of the bar to its underside.
    pub seat_rise: Length,
    /// Height of its axis above the site's zero, where anything gives it.
    pub level: Option<Length>,
}

/// What a brace can carry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Carries {
    /// Compression only: its ends bear.
    #[default]
    Push,
    /// Tension only: a rod or a rope.
    Pull,
    /// Both.
    Both,
}

/// A brace from an anchor to a beam.
#[derive(Debug, Clone, PartialEq)]
pub struct Brace {
    /// Its id.
    pub id: String,
    /// Its anchor, by its place in the platform.
    pub anchor: usize,
    /// The beam it goes to, by its place in the platform.
    pub beam: usize,
    /// Distance from that beam's first end.
    pub station: Length,
    /// What it carries.
    pub carries: Carries,
    /// Section and wood.
    pub timber: Timber,
}

/// A post on the ground: a support up and down.
#[derive(Debug, Clone, PartialEq)]
pub struct Post {
    /// Its id.
    pub id: String,
    /// Its place in plan.
    pub at: Point,
    /// Its stiffness up and down; none where it is taken as stiff.
    pub stiffness: Option<Stiffness>,
}

impl Beam {
    /// Its length.
    pub fn length(&self) -> Length {
        self.start.distance(self.end)
    }
    /// The plan point at a distance from the first end.
    pub fn at(&self, station: Length) -> Point {
        self.start
            .between(self.end, (station / self.length()).value)
    }
}
