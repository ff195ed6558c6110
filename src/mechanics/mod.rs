//! Pure mechanics: published equations and exact solvers, without tables, safety factors or files.

mod check;
pub mod error;
pub mod foundation;
pub mod mechanism;

pub use error::MechanicsError;
