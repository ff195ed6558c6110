//! `completions`: a script for a shell, from the same definitions as the command line.

use super::deliver_text;
use crate::args::{Args, Common};
use crate::stop::{Status, Stop};
use clap::CommandFactory as _;
use clap_complete::{Shell, generate};

pub(super) fn run(shell: Shell, common: &Common) -> Result<Status, Stop> {
    let mut script = Vec::new();
    generate(shell, &mut Args::command(), "barkline", &mut script);
    deliver_text("a script", &String::from_utf8_lossy(&script), common)
}
