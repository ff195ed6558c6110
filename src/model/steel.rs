//! Steel of an anchor.

use super::Origin;
use crate::tables;
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

impl Steel {
    /// A steel of the table; none where the table has no modulus for its family.
    pub fn from_table(row: &tables::Steel) -> Option<Self> {
        Some(Self {
            name: row.names.first().unwrap_or(&row.id).clone(),
            yield_strength: row.f_y,
            modulus: row.stiffness()?.modulus,
            origin: Origin::from(row.reference()),
        })
    }
}
