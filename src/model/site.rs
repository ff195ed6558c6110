//! The site: what of its wind the loads need.

use crate::units::Speed;

/// Exposure to wind by ASCE 7.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Exposure {
    /// Wooded or built up.
    B,
    /// Open.
    C,
    /// Flat and open towards water.
    D,
}

impl Exposure {
    /// Its letter.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::B => "B",
            Self::C => "C",
            Self::D => "D",
        }
    }
}

/// Wind of the site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wind {
    /// Basic wind speed of the code's map.
    pub speed: Speed,
    /// Exposure.
    pub exposure: Exposure,
    /// Whether the edition is ASCE 7-16; otherwise it is 7-22.
    pub asce7_16: bool,
}
