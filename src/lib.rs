#![doc = include_str!("../README.md")]

pub mod analysis;
pub mod checks;
pub mod input;
pub mod loads;
pub mod mechanics;
pub mod model;
pub mod reliability;
pub mod report;
#[cfg(feature = "second-opinion")]
pub mod second_opinion;
pub mod tables;
pub mod units;

pub use input::{Diagnostics, Format, Layout};

/// The pages of the documentation, as the repository has them.
pub mod guide {
    #[doc = include_str!("../docs/architecture.md")]
    pub mod architecture {}
    #[doc = include_str!("../docs/method.md")]
    pub mod method {}
    #[doc = include_str!("../docs/notation.md")]
    pub mod notation {}
    #[doc = include_str!("../docs/format.md")]
    pub mod format {}
    #[doc = include_str!("../docs/checks.md")]
    pub mod checks {}
    #[doc = include_str!("../docs/sizing.md")]
    pub mod sizing {}
    #[doc = include_str!("../docs/drilling.md")]
    pub mod drilling {}
    #[doc = include_str!("../docs/reliability.md")]
    pub mod reliability {}
    #[doc = include_str!("../docs/limits.md")]
    pub mod limits {}
    #[doc = include_str!("../docs/design.md")]
    pub mod design {}
    #[cfg(feature = "second-opinion")]
    #[doc = include_str!("../docs/second-opinion.md")]
    pub mod second_opinion {}
    #[doc = include_str!("../docs/benchmarks.md")]
    pub mod benchmarks {}
}
