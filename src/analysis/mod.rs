//! What turns loads into forces at every attachment: linear frames and continuous lines of beam.
//!
//! [`frame`], [`mod@line`], [`skyline`] and [`span`] are plain `f64` in SI units (N, m, rad) and know nothing of trees or
//! platforms.

pub mod deck;
pub mod frame;
pub mod line;
pub mod platform;
pub mod skyline;
pub mod span;
