//! A living stem.

use super::{LivingWood, Point};
use crate::units::{Angle, Length};

/// One stem at the height of its anchors.
#[derive(Debug, Clone, PartialEq)]
pub struct Stem {
    /// Its id in the layout.
    pub id: String,
    /// Its wood.
    pub wood: LivingWood,
    /// Its centre in plan.
    pub at: Point,
    /// Diameter over bark.
    pub diameter: Length,
    /// Thickness of the bark.
    pub bark: Length,
    /// Unsound outer wood under the bark, which carries nothing.
    pub soft: Length,
    /// Sound wall of a hollow stem, where known.
    pub shell: Option<Length>,
    /// Lean from plumb.
    pub lean: Angle,
    /// Compass bearing toward which it leans.
    pub leans: Angle,
}

impl Stem {
    /// Radius of the wood surface, under the bark.
    pub fn wood_radius(&self) -> Length {
        self.diameter / 2.0 - self.bark
    }
}
