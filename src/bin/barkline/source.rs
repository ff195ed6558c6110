//! Reading a layout: from a file or standard input, within bounds.

use crate::stop::Stop;
use barkline::Format;
use barkline::report::{Finding, Severity};
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// The largest layout that is read (bytes): some thousand times a large one.
const LIMIT: u64 = 16 << 20;

/// The text of a layout.
#[derive(Debug)]
pub(crate) struct Source {
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) format: Format,
}

impl Source {
    /// Reads a file; `-` is standard input.
    pub(crate) fn read(path: &Path) -> Result<Self, Stop> {
        let standard_input = path.as_os_str() == "-";
        let name = if standard_input {
            "standard input".to_owned()
        } else {
            path.display().to_string()
        };
        let bytes = if standard_input {
            bounded(io::stdin().lock())
        } else {
            open(path).and_then(bounded)
        };
        let bytes = bytes.map_err(|error| unreadable(&name, &error))?;
        if bytes.len() as u64 > LIMIT {
            return Err(too_large(&name));
        }
        let text = String::from_utf8(bytes).map_err(|error| not_utf8(&name, &error))?;
        let json = if standard_input {
            text.trim_start().starts_with('{')
        } else {
            path.extension()
                .is_some_and(|end| end.eq_ignore_ascii_case("json"))
        };
        let format = if json { Format::Json } else { Format::Toml };
        Ok(Self { name, text, format })
    }
}

fn open(path: &Path) -> io::Result<File> {
    if path.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    File::open(path)
}

fn bounded(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(LIMIT + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn unreadable(name: &str, error: &io::Error) -> Stop {
    let (code, why, mend) = match error.kind() {
        io::ErrorKind::NotFound => (
            "no-file",
            "is not there".to_owned(),
            "check the name; `barkline new` writes a starter layout",
        ),
        io::ErrorKind::IsADirectory => {
            ("not-a-file", "is a folder".to_owned(), "give a layout file")
        }
        io::ErrorKind::PermissionDenied => (
            "unreadable",
            "may not be read".to_owned(),
            "check its permissions",
        ),
        _ => (
            "unreadable",
            format!("could not be read: {error}"),
            "check the file",
        ),
    };
    Stop::given(Finding::error(code, format!("{name} {why}"), mend))
}

fn too_large(name: &str) -> Stop {
    Stop::given(Finding::error(
        "too-large",
        format!("{name} is larger than {} MiB", LIMIT >> 20),
        "a layout is text of some hundred lines; check that this is one",
    ))
}

/// Text up to the first byte that is none, and where that is.
fn not_utf8(name: &str, error: &std::string::FromUtf8Error) -> Stop {
    let sound = error.utf8_error().valid_up_to();
    let before = String::from_utf8_lossy(error.as_bytes().get(..sound).unwrap_or_default());
    let last = before.rsplit('\n').next().unwrap_or_default();
    let column = last.chars().count() + 1;
    let line = before.matches('\n').count() + 1;
    let mut finding = Finding::error(
        "not-utf-8",
        format!("{name} is not UTF-8 text: line {line}, column {column} can not be read"),
        "save it as UTF-8",
    );
    finding.severity = Severity::Error;
    finding.line = Some(line);
    finding.column = Some(column);
    Stop::given(finding)
}
