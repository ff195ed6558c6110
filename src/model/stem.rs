//! A living stem.

use super::{LivingWood, Point, Sway, SwayEstimate, TreeWind, WholeTree};
use crate::mechanics::MechanicsError;
use crate::units::{Angle, Length, Stiffness};

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
    /// The tree as a whole, as far as it is known.
    pub whole: Option<WholeTree>,
}

impl Stem {
    /// Radius of the wood surface, under the bark.
    pub fn wood_radius(&self) -> Length {
        self.diameter / 2.0 - self.bark
    }

    /// A level above the site's zero, as a height above the ground at this stem.
    pub fn height_of(&self, level: Length) -> Option<Length> {
        Some(level - self.whole.as_ref()?.ground).filter(|height| height.value > 0.0)
    }

    /// How stiff the tree is against a sideways force at a level above the site's zero; nothing where too little of it is known.
    pub fn side_stiffness(&self, level: Length) -> Option<Stiffness> {
        let tree = self.whole.as_ref()?.mechanics.as_ref()?;
        tree.side_stiffness(self.height_of(level)?).ok()
    }

    /// The estimate of its movement at a level; nothing where too little of the tree is known.
    ///
    /// # Errors
    /// When the level lies above the tree, the wind means nothing, or the tree would fall by its own weight.
    pub fn estimated_sway(
        &self,
        level: Length,
        wind: &TreeWind,
    ) -> Result<Option<SwayEstimate>, MechanicsError> {
        let tree = self
            .whole
            .as_ref()
            .and_then(|whole| whole.mechanics.as_ref());
        match (tree, self.height_of(level)) {
            (Some(tree), Some(height)) => tree.sway(height, wind).map(Some),
            _ => Ok(None),
        }
    }

    /// How far it moves at a level: as measured, else as estimated; nothing where neither is known.
    pub fn sway(&self, level: Option<Length>, wind: &TreeWind) -> Option<Sway> {
        let estimate = level.and_then(|level| self.estimated_sway(level, wind).ok().flatten());
        let measured = self.whole.as_ref().and_then(|whole| whole.measured_sway);
        Some(Sway {
            movement: measured.or(estimate.map(|estimate| estimate.movement))?,
            measured: measured.is_some(),
            estimate,
        })
    }
}
