//! What acts on a platform besides its own weight: forces worked out from the equations of
//! [`mechanics`](crate::mechanics) with the factors of [`tables`](crate::tables).
//!
//! - [`actions()`]: everything with a direction that acts on a platform
//! - [`wind`]: on guards and edges, by ASCE 7
//! - [`people`]: crowds that sway, those who lean on a guard, swings
//!
//! All but the first know nothing of a platform; they return typed forces, each with where it comes from.

mod actions;
pub mod people;
pub mod wind;

pub use actions::actions;

use crate::mechanics::MechanicsError;
use crate::tables::LookupError;

/// Why there is no load.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LoadError {
    /// A number has no meaning in its equation.
    #[error(transparent)]
    Mechanics(#[from] MechanicsError),
    /// A table lacks a row.
    #[error(transparent)]
    Table(#[from] LookupError),
    /// A row of a table has no value of the kind that is needed.
    #[error("the row {0} has no value of the kind that is needed")]
    Empty(&'static str),
}
