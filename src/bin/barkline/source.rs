//! Reading a layout: from a file or standard input, within bounds.

use crate::stop::Stop;
use barkline::input::Diagnostics;
use barkline::report::{Finding, Severity};
use barkline::{Format, Layout};
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The largest layout that is read (bytes): some thousand times a large one.
const LIMIT: u64 = 16 << 20;

/// The text of a layout, and of the spreadsheets that it names.
#[derive(Debug)]
pub(crate) struct Source {
    pub(crate) name: String,
    text: String,
    format: Format,
    /// The folder that names of spreadsheets count from.
    folder: PathBuf,
    spreadsheets: Vec<Spreadsheet>,
}

#[derive(Debug)]
struct Spreadsheet {
    path: PathBuf,
    name: String,
    bytes: Vec<u8>,
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
            is_json(path)
        };
        Ok(Self {
            name,
            text,
            format: if json { Format::Json } else { Format::Toml },
            folder: path.parent().map_or_else(PathBuf::new, Path::to_owned),
            spreadsheets: Vec::new(),
        })
    }

    /// The layout of the text, with the rows of its spreadsheets.
    pub(crate) fn layout(&mut self) -> Result<Layout, Diagnostics> {
        let layout = Layout::from_named(&self.name, &self.text, self.format)?;
        layout.with_spreadsheets(|name| {
            let path = self.folder.join(name);
            let bytes = open(&path).and_then(bounded).map_err(|error| {
                let (_, why, _) = reason(&error);
                format!("it {why}")
            })?;
            self.spreadsheets.push(Spreadsheet {
                name: path.display().to_string(),
                path,
                bytes: bytes.clone(),
            });
            Ok::<_, String>(bytes)
        })
    }

    /// The spreadsheets that were read.
    pub(crate) fn spreadsheets(&self) -> impl Iterator<Item = &Path> {
        self.spreadsheets.iter().map(|sheet| sheet.path.as_path())
    }

    /// The text of that name, if it is one of those read here.
    pub(crate) fn text(&self, name: &str) -> Option<&str> {
        if name == self.name {
            return Some(&self.text);
        }
        let sheet = self.spreadsheets.iter().find(|sheet| sheet.name == name)?;
        let text = std::str::from_utf8(&sheet.bytes).ok()?;
        Some(text.strip_prefix('\u{feff}').unwrap_or(text))
    }

    /// Every text that was read with its name, the layout first.
    pub(crate) fn texts(&self) -> impl Iterator<Item = (&str, String)> {
        let sheets = self.spreadsheets.iter().map(|sheet| {
            let text = String::from_utf8_lossy(&sheet.bytes).into_owned();
            (sheet.name.as_str(), text)
        });
        std::iter::once((self.name.as_str(), self.text.clone())).chain(sheets)
    }

    /// Everything that was read, in the order in which the layout names it: what a fingerprint of the input is taken of.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        let sheets = self.spreadsheets.iter().map(|sheet| sheet.bytes.as_slice());
        std::iter::once(self.text.as_bytes())
            .chain(sheets)
            .collect::<Vec<_>>()
            .concat()
    }
}

/// Whether the name of a file says that it is JSON.
pub(crate) fn is_json(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("json"))
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
    let (code, why, mend) = reason(error);
    Stop::given(Finding::error(code, format!("{name} {why}"), mend))
}

/// Why a file could not be read: code, words, mend.
fn reason(error: &io::Error) -> (&'static str, String, &'static str) {
    match error.kind() {
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
    }
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
