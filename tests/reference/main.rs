//! Results of independent programs, named with their versions in each file under `data`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod cases;
mod frames;
mod grillage;
mod influence;
