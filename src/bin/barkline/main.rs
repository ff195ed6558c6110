//! The `barkline` program: reads arguments and files, calls the library, prints what it says.

mod args;
mod commands;
mod output;
mod render;
mod source;
mod stop;

use clap::Parser as _;

fn main() -> std::process::ExitCode {
    stop::exit_on_fault();
    let args = args::Args::parse();
    commands::run(args).into()
}
