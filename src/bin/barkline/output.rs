//! Delivering results: to standard output, or whole and at once to a file.

use crate::args::Common;
use crate::stop::Stop;
use anstream::AutoStream;
use anstream::adapter::strip_str;
use std::fs::{File, Metadata};
use std::io::{self, ErrorKind, IsTerminal as _, Write};
use std::path::Path;
use terminal_size::{Width, terminal_size_of};

/// Widest print (columns): longer lines are hard to read.
const WIDEST: usize = 200;
/// Narrowest print (columns).
const NARROWEST: usize = 60;
/// Width of a terminal that does not tell its own (columns).
const TERMINAL: usize = 80;
/// Width of what goes to a file or to another program (columns): fits a page laid across.
const ELSEWHERE: usize = 120;

/// Delivers results, which may hold colours, to where they were asked for.
pub(crate) fn deliver(text: &str, common: &Common) -> Result<(), Stop> {
    match &common.output {
        Some(path) if path.as_os_str() != "-" => to_file(text, path, common.force),
        _ if common.quiet => Ok(()),
        _ => to_standard_output(text, common),
    }
}

/// Writes to standard output; a reader that has gone wants no more.
pub(crate) fn to_standard_output(text: &str, common: &Common) -> Result<(), Stop> {
    let mut out = AutoStream::new(io::stdout().lock(), common.color.into());
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Stop::Output("standard output".into(), error))
        }
        _ => Ok(()),
    }
}

/// Writes to standard error; when that is gone there is nobody to tell.
pub(crate) fn to_standard_error(text: &str, common: &Common) {
    let mut out = AutoStream::new(io::stderr().lock(), common.color.into());
    let _ = out.write_all(text.as_bytes());
}

/// Writes a file whole: beside it first, then under its name, so that no reader sees half of it and nothing is lost.
pub(crate) fn to_file(text: &str, path: &Path, force: bool) -> Result<(), Stop> {
    let failed = |error| Stop::Output(path.to_owned(), error);
    let text = strip_str(text).to_string();
    if path.is_dir() {
        return Err(Stop::folder(path));
    }
    if path.symlink_metadata().is_err() {
        return replace(&text, path, None);
    }
    if !force {
        return Err(Stop::exists(path));
    }
    // A link goes on pointing where it does: the file behind it is replaced.
    let behind = path.canonicalize().map_err(failed)?;
    let there = behind.metadata().map_err(failed)?;
    if there.is_file() {
        // What its owner marked as not to be changed is kept, even from those who could.
        if there.permissions().readonly() {
            return Err(failed(ErrorKind::PermissionDenied.into()));
        }
        return replace(&text, &behind, Some(&there));
    }
    // A device or a pipe takes the text; nothing can stand in its place.
    let mut device = File::options().write(true).open(&behind).map_err(failed)?;
    let written = device.write_all(text.as_bytes());
    written.and_then(|()| device.flush()).map_err(failed)
}

/// Puts a new file at a path, with the permissions of the one that it replaces.
fn replace(text: &str, path: &Path, there: Option<&Metadata>) -> Result<(), Stop> {
    let failed = |error| Stop::Output(path.to_owned(), error);
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = new_file_in(folder).map_err(failed)?;
    file.write_all(text.as_bytes()).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    let kept = if let Some(there) = there {
        file.as_file()
            .set_permissions(there.permissions())
            .map_err(failed)?;
        file.persist(path)
    } else {
        file.persist_noclobber(path)
    };
    match kept {
        Ok(_) => Ok(()),
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(Stop::exists(path)),
        Err(error) => Err(failed(error.error)),
    }
}

/// A file beside the result, with the permissions of any new file.
fn new_file_in(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    tempfile::Builder::new()
        .prefix(".barkline-")
        .make_in(folder, |path| {
            File::options()
                .read(true)
                .write(true)
                .create_new(true)
                .open(path)
        })
}

/// The width to print in: what the shell tells, or what the terminal tells; elsewhere no more than fits a page.
pub(crate) fn width() -> usize {
    let told = std::env::var("COLUMNS").ok();
    let told = told.and_then(|columns| columns.parse::<usize>().ok());
    told.unwrap_or_else(own_width).clamp(NARROWEST, WIDEST)
}

fn own_width() -> usize {
    let out = io::stdout();
    match terminal_size_of(&out) {
        Some((Width(columns), _)) => columns.into(),
        None if out.is_terminal() => TERMINAL,
        None => ELSEWHERE,
    }
}
