//! Layouts that read well and make no platform, or one with cautions: each problem has its code, its place and a mend.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::input::{Code, Diagnostics};
use barkline::{Format, Layout};
use snapbox::{Data, assert_data_eq};
use std::path::{Path, PathBuf};

/// Codes of what a whole layout means; those before them are of the text alone.
fn codes() -> Vec<Code> {
    let first = Code::DuplicateId;
    Code::all()
        .iter()
        .copied()
        .filter(|code| *code >= first)
        .collect()
}

/// The files `resolve-<code>.toml` and `resolve-<code>.<more>.toml`.
fn files(code: Code) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_input");
    let start = format!("resolve-{code}.");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.file_name().unwrap().to_str().unwrap();
            name.starts_with(&start) && path.extension().is_some_and(|end| end == "toml")
        })
        .collect();
    files.sort();
    files
}

fn diagnostics(path: &Path) -> Diagnostics {
    let name = path.file_name().unwrap().to_str().unwrap();
    let text = std::fs::read_to_string(path).unwrap();
    let layout = Layout::from_named(name, &text, Format::Toml)
        .unwrap_or_else(|found| panic!("{name} does not even read:\n{found}"));
    match layout.resolve() {
        Ok(resolved) => resolved.diagnostics,
        Err(found) => found,
    }
}

#[test]
fn every_code_of_resolving_has_a_file_and_its_snapshot() {
    assert_eq!(codes().len(), 15);
    for code in codes() {
        let files = files(code);
        assert!(!files.is_empty(), "no file resolve-{code}.toml");
        for path in files {
            let found = diagnostics(&path);
            assert!(
                found.iter().any(|one| one.code == code),
                "{}:\n{found}",
                path.display()
            );
            let snapshot = path.with_extension("toml.txt");
            assert_data_eq!(found.to_string(), Data::read_from(&snapshot, None).raw());
        }
    }
}

#[test]
fn cautions_alone_let_a_layout_through_and_errors_do_not() {
    for code in codes() {
        for path in files(code) {
            let text = std::fs::read_to_string(&path).unwrap();
            let layout = Layout::from_toml(&text).unwrap();
            assert_eq!(layout.resolve().is_err(), diagnostics(&path).has_errors());
        }
    }
}

#[test]
fn every_problem_says_how_to_mend_it_and_errors_come_in_the_order_of_the_file() {
    for path in codes().into_iter().flat_map(files) {
        let found = diagnostics(&path);
        let places: Vec<_> = found
            .iter()
            .filter_map(|one| one.place.as_ref())
            .map(|place| (place.line, place.column))
            .collect();
        assert!(places.is_sorted(), "{}: {places:?}", path.display());
        for one in &found {
            assert!(!one.message.is_empty() && one.mend.len() > 5, "{one}");
        }
    }
}
