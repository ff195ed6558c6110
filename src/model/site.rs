//! The site: what of its wind the loads need.

use crate::tables::{WindEdition, WindExposure};
use crate::units::Speed;

/// Wind of the site by ASCE 7.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wind {
    /// Basic wind speed of the code's map.
    pub speed: Speed,
    /// Exposure.
    pub exposure: WindExposure,
    /// Edition of the code.
    pub edition: WindEdition,
}
