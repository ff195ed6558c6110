//! Properties that any bar in wood must have, over random bars and loads.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod clearance;
mod foundation;
mod limit_load;
mod pushover;
mod static_theorem;
