//! Comparison with independent general-purpose programs. Each data file names the programs, their versions, its
//! conventions and how well the programs agree with one another; it is kept as it was written.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod bef;
mod cases;
mod data;
mod frames;
mod grillage;
mod influence;
mod pushover;
