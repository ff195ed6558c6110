//! What acts on a platform beside weights and spread loads: people's side load, pushes, swings, hammocks, wind.

mod actions;

pub use actions::actions;
