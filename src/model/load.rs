//! Loads that a layout adds to those of its decks and members.

use super::{Case, Point};
use crate::units::Length;

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
