//! A second opinion that differs: both answers go to a file to be sent in, and the run ends as a fault.

use crate::args::Common;
use crate::output;
use crate::source::Source;
use crate::stop::Stop;
use barkline::report::{
    Finding, OpinionDocument, OpinionInput, Provenance, differing_words, opinion_json,
};
use barkline::second_opinion::Opinion;
use std::path::{Path, PathBuf};

/// The most files of one name that are kept side by side.
const MOST: usize = 100;

/// Goes on if both answers agree; otherwise writes them down and stops.
pub(super) fn agreed(
    source: &Source,
    opinion: &Opinion,
    file: &Path,
    common: &Common,
) -> Result<(), Stop> {
    if opinion.agrees() {
        return Ok(());
    }
    if opinion.comparisons.is_empty() {
        return Err(Stop::Analysis(Box::new(Finding::error(
            "second-opinion",
            format!("nothing of {} could be compared", source.name),
            "give the anchors loads, or leave --second-opinion out",
        ))));
    }
    let texts = source.texts().map(|(name, text)| OpinionInput {
        name: name.to_owned(),
        text,
    });
    let provenance = Provenance::of(&source.bytes());
    let document = OpinionDocument::new(opinion, provenance, texts.collect());
    let mend = match keep(&opinion_json(&document)?, file, common.force) {
        Ok(kept) => format!(
            "nothing of this run can be used; please send {} in, it holds the layout and both answers",
            kept.display()
        ),
        Err(_) => format!(
            "nothing of this run can be used, and {} could not be written: run it again with --second-opinion=FILE in a \
             folder that may be written",
            file.display()
        ),
    };
    let message = format!(
        "two ways to one answer differ for {}, so that none can be trusted: {}",
        source.name,
        differing_words(opinion)
    );
    let finding = Finding::error("second-opinion", message, mend);
    Err(Stop::Analysis(Box::new(finding)))
}

/// Writes the file whole, under its name or the next one that is free.
fn keep(text: &str, file: &Path, force: bool) -> Result<PathBuf, Stop> {
    let mut path = file.to_owned();
    for number in 2..=MOST {
        match output::to_file(text, &path, force) {
            Err(Stop::Given(_)) if path.exists() && !path.is_dir() => path = numbered(file, number),
            Err(stop) => return Err(stop),
            Ok(()) => return Ok(path),
        }
    }
    Err(Stop::exists(&path))
}

fn numbered(file: &Path, number: usize) -> PathBuf {
    let part =
        |part: Option<&std::ffi::OsStr>| part.map(|part| part.to_string_lossy().into_owned());
    let stem = part(file.file_stem()).unwrap_or_default();
    let end = part(file.extension()).map_or_else(String::new, |end| format!(".{end}"));
    file.with_file_name(format!("{stem}-{number}{end}"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::args::Args;
    use crate::stop::Status;
    use barkline::second_opinion::Comparison;
    use clap::Parser as _;

    const LAYOUT: &str = "docs/examples/one-anchor.toml";

    fn opinion(difference: f64) -> Opinion {
        Opinion {
            comparisons: vec![Comparison {
                anchor: "A1".into(),
                what: "use of limit_load".into(),
                first: 0.7,
                second: 0.7 * (1.0 + difference),
                difference,
                tolerance: 1e-6,
                because: "test",
            }],
            not_compared: Vec::new(),
        }
    }

    fn common() -> Common {
        Args::parse_from(["barkline", "sizes"]).common
    }

    #[test]
    fn answers_that_differ_stop_the_run_and_are_kept_with_the_layout() {
        let source = Source::read(Path::new(LAYOUT)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("two.json");
        let stop = agreed(&source, &opinion(1e-3), &file, &common()).unwrap_err();
        assert_eq!(stop.status(), Status::NotCompleted);
        let (_, findings) = stop.findings();
        let said = format!("{findings:?}");
        assert!(
            said.contains("anchor A1, use of limit_load: 0.7 by"),
            "{said}"
        );
        assert!(said.contains("two.json"), "{said}");
        let text = std::fs::read_to_string(&file).unwrap();
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        let layout = std::fs::read_to_string(LAYOUT).unwrap();
        assert_eq!(json["input"][0]["text"], layout);
        assert_eq!(json["program"], env!("CARGO_PKG_VERSION"));
        assert_eq!(json["differing"][0]["first"], 0.7);
        assert_eq!(json["comparisons"][0]["tolerance"], 1e-6);
    }

    #[test]
    fn what_was_kept_before_is_kept() {
        let source = Source::read(Path::new(LAYOUT)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("two.json");
        std::fs::write(&file, "mine").unwrap();
        assert!(agreed(&source, &opinion(1e-3), &file, &common()).is_err());
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
        let next = std::fs::read_to_string(folder.path().join("two-2.json")).unwrap();
        assert!(next.contains("use of limit_load"));
    }

    #[test]
    fn answers_that_agree_leave_nothing_behind() {
        let source = Source::read(Path::new(LAYOUT)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("two.json");
        assert!(agreed(&source, &opinion(1e-9), &file, &common()).is_ok());
        assert!(!file.exists());
    }

    #[test]
    fn a_file_that_cannot_be_written_hides_no_difference() {
        let source = Source::read(Path::new(LAYOUT)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("not there").join("two.json");
        let stop = agreed(&source, &opinion(1e-3), &file, &common()).unwrap_err();
        assert_eq!(stop.status(), Status::NotCompleted);
        let said = format!("{:?}", stop.findings().1);
        assert!(said.contains("use of limit_load"), "{said}");
        assert!(said.contains("could not be written"), "{said}");
    }

    #[test]
    fn no_number_and_no_comparison_are_no_agreement() {
        let source = Source::read(Path::new(LAYOUT)).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("two.json");
        assert!(agreed(&source, &opinion(f64::NAN), &file, &common()).is_err());
        assert!(agreed(&source, &Opinion::default(), &file, &common()).is_err());
    }
}
