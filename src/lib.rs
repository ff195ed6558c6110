//! Checks steel anchors in living trees and the platforms that hang on them.

pub mod tables;
pub mod mechanics;
pub mod analysis;
pub mod units;
