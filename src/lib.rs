//! Checks steel anchors in living trees and the platforms that hang on them.

pub mod analysis;
pub mod checks;
pub mod input;
pub mod mechanics;
pub mod model;
pub mod report;
pub mod tables;
pub mod units;

pub use input::{Diagnostics, Format, Layout};
