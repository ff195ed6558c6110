//! What a platform is, once it is known to be sound: typed, checked, without spans or strings to look up.
//!
//! A [`Platform`] is built by [`input`](crate::input) from a layout, or in code from the parts in this room. The parts are
//! plain records; [`Platform::new`] is the one gate at which they are checked together.

pub mod anchor;
pub mod as_built;
pub mod criteria;
pub mod deck;
pub mod load;
pub mod member;
mod moved;
pub mod plan;
pub mod platform;
pub mod site;
pub mod steel;
pub mod stem;
pub mod uncertainty;
pub mod whole_tree;
pub mod wood;

pub use anchor::{Anchor, AnchorSize, Axes, Bound, Plane, Segment};
pub use as_built::{AsBuilt, Built, BuiltChange, BuiltKey, Dimension, Unmeasured};
pub use criteria::{
    Basis, Combination, Criteria, DurationRule, Group, LimitState, MemberLimitState, NOT_READ,
};
pub use deck::{Deck, Diaphragm, Joists};
pub use load::{
    Action, ActionPart, ActionPlace, Guard, Hammock, Hold, Load, LoadPlace, Magnitudes, Presence,
    Swing,
};
pub use member::{
    Beam, BeamSupport, Brace, Carrier, Carries, Crossing, MemberStrength, Post, Seat, SizeFactors,
    Timber, WetFactors,
};
pub use plan::Point;
pub use platform::{Parts, Platform, PlatformError};
pub use site::Wind;
pub use steel::Steel;
pub use stem::Stem;
pub use uncertainty::{Spread, UNCERTAIN, Uncertain, Uncertainty};
pub use whole_tree::{
    DRAWN_DIAMETER, Drag, Growth, StemMechanics, Sway, SwayEstimate, TreeParts, TreeWind,
    WholeTree, WindRoute,
};
pub use wood::{LivingWood, OwnWood};

pub use crate::tables::{
    DeviationMeasure, DistributionShape, Format as SafetyFormat, LoadCase as Case, Standing,
};

use serde::{Deserialize, Serialize};

/// Where a number comes from: a source of `data/sources.csv`, or the words of whoever gave it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    /// Source id and locator, such as `fpl-gtr-282:T5-3`.
    pub source: String,
    /// How far it can be trusted.
    pub standing: Standing,
}

impl Origin {
    /// An origin from its parts.
    pub fn new(source: impl Into<String>, standing: Standing) -> Self {
        Self {
            source: source.into(),
            standing,
        }
    }
}

impl From<&crate::tables::Reference> for Origin {
    fn from(reference: &crate::tables::Reference) -> Self {
        Self::new(reference.citation(), reference.standing())
    }
}
