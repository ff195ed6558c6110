//! barkline.
pub mod units;
