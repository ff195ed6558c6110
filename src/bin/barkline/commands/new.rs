//! `new`: a starter layout.

use crate::args::{Common, Form};
use crate::output;
use crate::stop::{Status, Stop};
use barkline::report::Finding;
use std::path::Path;

/// A layout that checks as it stands.
const STARTER: &str = include_str!("../starter.toml");

pub(super) fn run(file: Option<&Path>, common: &Common) -> Result<Status, Stop> {
    if common.format != Form::Table {
        return Err(Stop::given(Finding::error(
            "no-such-form",
            "a starter layout is written as TOML only",
            "leave --format out",
        )));
    }
    match (file, &common.output) {
        (Some(_), Some(_)) => Err(Stop::given(Finding::error(
            "two-files",
            "both FILE and --output say where to write",
            "give one of them",
        ))),
        (Some(file), None) if file.as_os_str() != "-" => {
            output::to_file(STARTER, file, common.force)?;
            if !common.quiet {
                let name = file.display();
                let said = format!("wrote {name}; check it with: barkline check {name}\n");
                output::to_standard_error(&said, common);
            }
            Ok(Status::Pass)
        }
        _ => {
            output::deliver(STARTER, common)?;
            Ok(Status::Pass)
        }
    }
}
