//! `manual`: one manual page of all commands, from the same definitions as the command line.

use super::deliver_text;
use crate::args::{Args, Common, EXIT_STATUS, STREAMS};
use crate::stop::{Status, Stop};
use clap::{Command, CommandFactory as _};
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};
use std::io;
use std::path::Path;

pub(super) fn run(common: &Common) -> Result<Status, Stop> {
    let page = page().map_err(|error| Stop::Output(Path::new("the manual page").into(), error))?;
    deliver_text("the manual page", &page, common)
}

/// The page: what all commands share, then each command under its own heading.
fn page() -> io::Result<String> {
    let command = Args::command();
    let man = Man::new(command.clone());
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    let mut text = String::from_utf8_lossy(&page).into_owned();
    text.push_str(".PP\n");
    text.push_str(STREAMS);
    text.push_str("\n.SH COMMANDS\n");
    for command in command.get_subcommands() {
        text.push_str(&section(command)?);
    }
    let mut page = Vec::new();
    man.render_options_section(&mut page)?;
    text.push_str(&String::from_utf8_lossy(&page));
    text.push_str(&exit_status());
    Ok(text)
}

/// One command: how it is called, what it does, its own arguments.
fn section(command: &Command) -> io::Result<String> {
    let call = format!("barkline {}", command.get_name());
    // The options that all commands share stand in a section of their own.
    let own = command.clone().bin_name(&call).disable_help_flag(true);
    let has_arguments = own.get_arguments().next().is_some();
    let man = Man::new(own);
    let mut body = Vec::new();
    man.render_synopsis_section(&mut body)?;
    man.render_description_section(&mut body)?;
    if has_arguments {
        man.render_options_section(&mut body)?;
    }
    let body = String::from_utf8_lossy(&body).into_owned();
    let mut text = format!(".SS {}\n", command.get_name());
    for line in body.lines() {
        // A section of a page of its own is a paragraph here.
        let line = if line.starts_with(".SH ") {
            ".PP"
        } else {
            line
        };
        text.push_str(line);
        text.push('\n');
    }
    Ok(text)
}

fn exit_status() -> String {
    let mut roff = Roff::default();
    let mut lines = EXIT_STATUS.lines();
    roff.control(
        "SH",
        [lines
            .next()
            .unwrap_or_default()
            .trim_end_matches(':')
            .to_uppercase()
            .as_str()],
    );
    for line in lines {
        let (status, meaning) = line.trim().split_once("  ").unwrap_or((line, ""));
        roff.control("TP", []);
        roff.text([bold(status)]);
        roff.text([roman(meaning)]);
    }
    roff.to_roff()
}
