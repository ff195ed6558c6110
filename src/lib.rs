//! Checks steel anchors in living trees and the platforms that hang on them.

pub mod input;
pub mod units;
