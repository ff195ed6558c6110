//! Steel of an anchor.

use super::Origin;
use crate::units::Stress;

/// A steel at the size it is used in.
#[derive(Debug, Clone, PartialEq)]
pub struct Steel {
    /// Grade.
    pub name: String,
    /// Yield strength F_y.
    pub yield_strength: Stress,
    /// Modulus of elasticity.
    pub modulus: Stress,
    /// Where the values come from.
    pub origin: Origin,
}
