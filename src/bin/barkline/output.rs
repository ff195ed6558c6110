//! Delivering results: to standard output, or whole and at once to a file.

use crate::args::Common;
use crate::stop::Stop;
use anstream::AutoStream;
use anstream::adapter::strip_str;
use std::io::{self, ErrorKind, Write};
use std::path::Path;

/// Widest print (columns).
const WIDEST: usize = 120;
/// Narrowest print (columns).
const NARROWEST: usize = 40;

/// Delivers results, which may hold colours, to where they were asked for.
pub(crate) fn deliver(text: &str, common: &Common) -> Result<(), Stop> {
    match &common.output {
        Some(path) => to_file(text, path, common.force),
        None => to_standard_output(text, common),
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

/// Writes a file whole: beside it first, then under its name, so that no reader sees half of it.
pub(crate) fn to_file(text: &str, path: &Path, force: bool) -> Result<(), Stop> {
    if !force && path.symlink_metadata().is_ok() {
        return Err(Stop::exists(path));
    }
    let failed = |error| Stop::Output(path.to_owned(), error);
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = new_file_in(folder).map_err(failed)?;
    file.write_all(strip_str(text).to_string().as_bytes())
        .map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    let kept = if force {
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
            std::fs::File::options()
                .read(true)
                .write(true)
                .create_new(true)
                .open(path)
        })
}

/// The width to print in: that of the terminal if the shell tells, and no more than fits a page.
pub(crate) fn width() -> usize {
    std::env::var("COLUMNS")
        .ok()
        .and_then(|columns| columns.parse().ok())
        .map_or(WIDEST, |columns: usize| columns.clamp(NARROWEST, WIDEST))
}
