<<<<<<< HEAD
//! Comparison with independent general-purpose programs. Each data file names the programs, their versions, its
//! conventions and how well the programs agree with one another; it is kept as it was written.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod bef;
mod data;
=======
//! Results of independent programs, named with their versions in each file under `data`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod cases;
mod frames;
mod grillage;
mod influence;
>>>>>>> frame
