//! Published values: woods, steels, sizes, loads and factors, compiled in from `data/*.csv`.
//!
//! Each row is typed and keeps a [`Reference`]: the source, the place in it, and how the value came here (read, worked out, from memory,
//! common practice). A table is parsed once, when first asked. Look-ups by name forgive case, punctuation and word order, and answer a
//! name that fits nothing or several rows with the names that would fit; they never guess.
//!
//! To add a row, add a line to the file (`data/README.md` says what each column means) and, for a new document, one to
//! `data/sources.csv`. A broken table fails [`verify`], which the tests call; a look-up in one answers [`LookupError::Broken`].
//!
//! ```rust
//! use barkline::tables;
//!
//! let oak = tables::find_green_wood("white oak")?;
//! assert_eq!(oak.reference().citation(), "fpl-gtr-282:5-3b");
//! # Ok::<(), tables::LookupError>(())
//! ```

mod adjustment;
mod anchor_size;
mod combination;
mod factors;
mod gravity;
mod loads;
mod lookup;
mod lumber;
mod random;
mod reader;
mod source;
mod steel;
mod stem;
mod wind;
mod wood;

pub use adjustment::{
    SizeFactor, WetService, size_factor, size_factors, wet_service, wet_services,
};
pub use anchor_size::{AnchorSize, anchor_size, anchor_sizes};
pub use combination::{
    Combination, Format, LoadCase, SnowLevel, all_combinations, combination_sets, combinations,
};
pub use factors::{
    Factor, FactorValue, LoadDuration, Property, ResistanceFactor, Variation, drilling_rule,
    drilling_rules, hole_guidance, hole_rule, load_duration, load_durations, reliability_target,
    reliability_targets, resistance_factors, safety_factor, safety_factors, snow_factor,
    snow_factors, time_effect, time_effects, variation, variations, wind_shape, wind_shapes,
};
pub use gravity::{
    CombinationGravity, GreenDensity, combination_gravities, combination_gravity, green_densities,
    green_density,
};
pub use loads::{DeadLoad, LiveLoad, Weight, dead_load, dead_loads, live_load, live_loads};
pub use lookup::LookupError;
pub use lumber::{
    DesignWood, LumberForm, LumberSize, StrengthClass, design_wood, design_woods, lumber_size,
    lumber_sizes, strength_class, strength_classes,
};
pub use random::{
    DeviationMeasure, DistributionShape, RandomCorrelation, RandomVariable, random_correlations,
    random_variable, random_variables,
};
pub use reader::TableError;
pub use source::{Kind, Read, Reference, Source, Standing, source, sources};
pub use steel::{Steel, SteelFamily, SteelStiffness, steel, steels};
pub use stem::{
    BarkRatio, Fit, RadialGrowth, StemSpecies, StemTaper, TaperedTree, any_stem, bark_ratio,
    bark_ratios, growth, radial_growths, stem_species, stem_species_rows, stem_taper, stem_tapers,
};
pub use wind::{
    WindEdition, WindExposure, WindProfile, WindTerrain, wind_profile, wind_profiles, wind_terrain,
    wind_terrains,
};
pub use wood::{
    GreenWood, Region, SeasonedWood, Species, WoodClass, find_green_wood, find_seasoned_wood,
    green_woods, seasoned_woods,
};

/// Parses every table.
///
/// # Errors
///
/// The first table that does not parse, with its file and line.
pub fn verify() -> Result<(), TableError> {
    source::verify()?;
    wood::verify()?;
    gravity::verify()?;
    steel::verify()?;
    stem::verify()?;
    anchor_size::verify()?;
    lumber::verify()?;
    adjustment::verify()?;
    loads::verify()?;
    combination::verify()?;
    wind::verify()?;
    random::verify()?;
    factors::verify()
}
