//! Timber members.

use super::{Origin, Point, Standing};
use crate::units::{Length, LineLoad, SecondMoment, Stiffness, Stress, UnitWeight};
use serde::{Deserialize, Serialize};

/// A sawn section and what it is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Timber {
    /// Width of the whole, all plies together.
    pub width: Length,
    /// Depth.
    pub depth: Length,
    /// Pieces side by side that make it, fastened to act as one.
    pub plies: u32,
    /// Modulus of elasticity.
    pub modulus: Stress,
    /// Weight per volume.
    pub unit_weight: UnitWeight,
    /// What it may bear; none where nobody said, and then nothing of its strength is judged.
    pub design: Option<MemberStrength>,
    /// Where modulus and weight come from.
    pub origin: Origin,
}

/// What sawn wood may bear at normal load duration, with the factors of its size and service.
///
/// A stress that is not known stays out: the check that needs it is then `review`.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberStrength {
    /// Bending F_b.
    pub bending: Option<Stress>,
    /// Shear along the grain F_v.
    pub shear: Option<Stress>,
    /// Compression across the grain F_c⊥.
    pub across: Option<Stress>,
    /// Compression along the grain F_c.
    pub compression: Option<Stress>,
    /// Tension along the grain F_t.
    pub tension: Option<Stress>,
    /// Modulus for stability E_min.
    pub modulus_min: Stress,
    /// Factors for its size; ones where the stresses are of this very size.
    pub size: SizeFactors,
    /// Factors for service in the wet; none where the stresses hold in the wet.
    pub wet: Option<WetFactors>,
    /// Whether members side by side that share their load may take more: not of stresses that are somebody's last word.
    pub repetitive: bool,
    /// Where the stresses come from.
    pub origin: Origin,
}

/// Factors for the size of a piece (1).
#[derive(Debug, Clone, PartialEq)]
pub struct SizeFactors {
    /// On bending.
    pub bending: f64,
    /// On tension along the grain.
    pub tension: f64,
    /// On compression along the grain.
    pub compression: f64,
    /// Where they come from.
    pub origin: Origin,
}

/// Factors for service in the wet (1).
#[derive(Debug, Clone, PartialEq)]
pub struct WetFactors {
    /// On bending, this value of size taken into account.
    pub bending: f64,
    /// On shear.
    pub shear: f64,
    /// On compression across the grain.
    pub across: f64,
    /// On compression along the grain.
    pub compression: f64,
    /// On tension along the grain.
    pub tension: f64,
    /// On both moduli.
    pub modulus: f64,
    /// Where they come from.
    pub origin: Origin,
}

impl MemberStrength {
    /// Bending value with the factors of size and service, without load duration and stability.
    pub fn bending(&self) -> Option<Stress> {
        self.with(self.bending, self.size.bending, |wet| wet.bending)
    }
    /// Shear value with the factor of service.
    pub fn shear(&self) -> Option<Stress> {
        self.with(self.shear, 1.0, |wet| wet.shear)
    }
    /// Value across the grain with the factor of service; load duration never touches it.
    pub fn across(&self) -> Option<Stress> {
        self.with(self.across, 1.0, |wet| wet.across)
    }
    /// Compression value with the factors of size and service, without load duration and stability.
    pub fn compression(&self) -> Option<Stress> {
        self.with(self.compression, self.size.compression, |wet| {
            wet.compression
        })
    }
    /// Tension value with the factors of size and service, without load duration.
    pub fn tension(&self) -> Option<Stress> {
        self.with(self.tension, self.size.tension, |wet| wet.tension)
    }
    /// Modulus for stability with the factor of service.
    pub fn modulus_min(&self) -> Stress {
        self.modulus_min * self.wet_modulus()
    }
    /// What the wet leaves of the modulus of elasticity (1).
    pub fn wet_modulus(&self) -> f64 {
        self.wet.as_ref().map_or(1.0, |wet| wet.modulus)
    }

    fn with(
        &self,
        value: Option<Stress>,
        size: f64,
        wet: impl Fn(&WetFactors) -> f64,
    ) -> Option<Stress> {
        value.map(|value| value * size * self.wet.as_ref().map_or(1.0, wet))
    }

    /// The least well founded of what the stresses and their factors rest on.
    pub fn standing(&self) -> Standing {
        let wet = self
            .wet
            .as_ref()
            .map_or(self.origin.standing, |wet| wet.origin.standing);
        self.origin
            .standing
            .worse(self.size.origin.standing)
            .worse(wet)
    }
}

impl Timber {
    /// Second moment of area for bending in the vertical plane.
    pub fn second_moment(&self) -> SecondMoment {
        self.width * self.depth * self.depth * self.depth / 12.0
    }
    /// Width of one ply.
    pub fn ply(&self) -> Length {
        self.width / f64::from(self.plies.max(1))
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
