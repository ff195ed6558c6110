//! How a run ends: its status, and why it stopped.

use crate::source::Source;
use barkline::report::{Finding, ReportError};
use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The status of a run, as scripts see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Status {
    /// Everything passes, or the command did what it was asked.
    Pass,
    /// An attachment fails or needs review.
    NotPass,
    /// The input is wrong.
    Input,
    /// The analysis was not completed, or a fault of the program.
    NotCompleted,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(status as u8)
    }
}

/// Why a run stopped.
#[derive(Debug)]
pub(crate) enum Stop {
    /// A layout is wrong, at places in its text.
    Layout(Box<Source>, Vec<Finding>),
    /// Something else that was given is wrong: a name, a file.
    Given(Box<Finding>),
    /// The analysis could not be completed.
    Analysis(Box<Finding>),
    /// The results could not be delivered.
    Output(PathBuf, io::Error),
    /// The results could not be written in the form asked for.
    Report(ReportError),
}

impl Stop {
    /// Something that was given is wrong.
    pub(crate) fn given(finding: Finding) -> Self {
        Self::Given(Box::new(finding))
    }

    /// The file that is in the way of the results.
    pub(crate) fn exists(path: &Path) -> Self {
        Self::given(Finding::error(
            "file-exists",
            format!("{} exists already", path.display()),
            "give another name, or replace it with --force",
        ))
    }

    /// The folder that stands where the results should go.
    pub(crate) fn folder(path: &Path) -> Self {
        Self::given(Finding::error(
            "not-a-file",
            format!("{} is a folder", path.display()),
            "give the name of a file",
        ))
    }

    /// The status it ends with.
    pub(crate) fn status(&self) -> Status {
        match self {
            Self::Layout(..) | Self::Given(_) => Status::Input,
            Self::Analysis(_) | Self::Output(..) | Self::Report(_) => Status::NotCompleted,
        }
    }

    /// Everything that is wrong, and the text it is wrong in.
    pub(crate) fn findings(self) -> (Option<Box<Source>>, Vec<Finding>) {
        match self {
            Self::Layout(source, findings) => (Some(source), findings),
            Self::Given(finding) | Self::Analysis(finding) => (None, vec![*finding]),
            Self::Output(path, error) => (None, vec![not_written(&path, &error)]),
            Self::Report(error) => (
                None,
                vec![Finding::error(
                    "not-written",
                    error.to_string(),
                    "this is a fault of the program; please report it",
                )],
            ),
        }
    }
}

/// Why results could not be delivered; what was there before is there still.
fn not_written(path: &Path, error: &io::Error) -> Finding {
    let (why, mend) = match error.kind() {
        io::ErrorKind::NotFound => (
            "its folder, or the file that it links to, is not there".to_owned(),
            "make the folder first, or give another name",
        ),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => (
            "permission denied".to_owned(),
            "check its permissions and those of its folder, or give another name",
        ),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
            (
                "there is no room for it".to_owned(),
                "make room, or write somewhere else",
            )
        }
        _ => (error.to_string(), "check the folder and the device"),
    };
    let message = format!("{} could not be written: {why}", path.display());
    Finding::error("not-written", message, mend)
}

impl From<ReportError> for Stop {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

/// Makes a fault of the program end with its own status instead of a signal.
pub(crate) fn exit_on_fault() {
    let report = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |fault| {
        report(fault);
        std::process::exit(Status::NotCompleted as i32);
    }));
}
