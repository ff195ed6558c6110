//! The `barkline` program.

fn main() {}
