//! Loads that a layout adds to those of its decks and members.

use super::Point;
use serde::{Deserialize, Serialize};

/// A load case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Case {
    /// Dead load.
    Dead,
    /// Live load of people and goods.
    Live,
    /// Live load on a roof.
    RoofLive,
    /// Snow.
    Snow,
    /// Rain.
    Rain,
    /// Wind.
    Wind,
    /// Earthquake.
    Seismic,
    /// Sideways sway of people.
    Sway,
}

impl Case {
    /// All cases, in the order of every table.
    pub const ALL: [Self; 8] =
        [Self::Dead, Self::Live, Self::RoofLive, Self::Snow, Self::Rain, Self::Wind, Self::Seismic, Self::Sway];

    /// The letter that combinations use.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Dead => "D",
            Self::Live => "L",
            Self::RoofLive => "Lr",
            Self::Snow => "S",
            Self::Rain => "R",
            Self::Wind => "W",
            Self::Seismic => "E",
            Self::Sway => "Z",
        }
    }

    /// The place of this case in an array over [`Case::ALL`].
    pub const fn index(self) -> usize {
        self as usize
    }
}

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
    /// At a station of a beam, by its place in [`Platform`](super::Platform) (N).
    Beam {
        /// Index of the beam.
        beam: usize,
        /// Distance from the beam's first end.
        station: crate::units::Length,
    },
}
