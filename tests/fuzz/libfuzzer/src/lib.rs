//! The targets of `tests/fuzz`, for the programs in `fuzz_targets`, which are led by coverage.

#[path = "../../edits.rs"]
mod edits;
#[path = "../../targets.rs"]
pub mod targets;
