//! Pure mechanics: published equations and exact solvers, without tables, safety factors or files.

mod error;
pub mod foundation;
mod guard;
pub mod mechanism;
pub mod pushover;

pub use error::MechanicsError;
