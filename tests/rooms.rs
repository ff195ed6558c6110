//! The rooms of the library and the one way in which they know of each other.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What a room may know. Of two rooms on one step neither knows the other.
const MAY: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("tables", &["units"]),
    ("mechanics", &["units"]),
    ("model", &["units", "tables", "mechanics"]),
    ("analysis", &["units", "tables", "mechanics", "model"]),
    ("loads", &["units", "tables", "mechanics", "model"]),
    ("input", &["units", "tables", "mechanics", "model"]),
    (
        "checks",
        &[
            "units",
            "tables",
            "mechanics",
            "model",
            "loads",
            "analysis",
            "input",
        ],
    ),
    (
        "reliability",
        &[
            "units",
            "tables",
            "mechanics",
            "model",
            "loads",
            "analysis",
            "input",
            "checks",
        ],
    ),
    (
        "second_opinion",
        &[
            "units", "tables", "model", "loads", "analysis", "input", "checks",
        ],
    ),
    (
        "report",
        &[
            "units",
            "tables",
            "mechanics",
            "model",
            "loads",
            "analysis",
            "input",
            "checks",
            "reliability",
            "second_opinion",
        ],
    ),
];

/// What the routes of a second opinion may know: neither the mechanics nor the checks that they are held against, and
/// of the analysis only what a joist is before it is solved.
const ROUTES: &[(&str, &[&str])] = &[
    ("anchor", &["model"]),
    ("banded", &[]),
    ("bar", &[]),
    ("plastic", &[]),
    ("joist", &["analysis", "model"]),
    ("frame", &["model", "units"]),
];

/// Parts that are plain arithmetic and know nothing but each other.
const PURE: &[&str] = &[
    "analysis/frame",
    "analysis/skyline",
    "analysis/line",
    "analysis/span",
    "reliability/numerics",
];

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|end| end == "rs") {
            out.push(path);
        }
    }
}

/// The code of a file without comments, doctests and text.
fn code(text: &str) -> String {
    let lines = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines.collect::<Vec<_>>().join("\n")
}

/// First names of everything that stands behind `crate::`, in braces too.
fn known(code: &str) -> BTreeSet<String> {
    let word = |text: &str| -> String {
        text.trim_start()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect()
    };
    let mut names = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        match rest.strip_prefix('{') {
            None => {
                names.insert(word(rest));
            }
            Some(list) => {
                let mut depth = 0;
                let mut start = true;
                for (k, c) in list.char_indices() {
                    match c {
                        '{' => depth += 1,
                        '}' if depth == 0 => break,
                        '}' => depth -= 1,
                        ',' if depth == 0 => start = true,
                        c if start && !c.is_whitespace() => {
                            names.insert(word(&list[k..]));
                            start = false;
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    names
}

fn place(path: &Path) -> String {
    let inside = path.strip_prefix("src").unwrap();
    inside.to_str().unwrap().replace('\\', "/")
}

#[test]
fn names_behind_crate_are_found() {
    let code = code(
        "use crate::units::{a, b};\n// crate::hidden::x\nfn f() -> crate::model::X;\nuse crate::{tables::{x, y}, analysis};",
    );
    let found: Vec<String> = known(&code).into_iter().collect();
    assert_eq!(found, ["analysis", "model", "tables", "units"]);
}

#[test]
fn every_room_knows_only_those_before_it() {
    let mut files = Vec::new();
    sources(Path::new("src"), &mut files);
    assert!(files.len() > 80, "only {} files", files.len());
    let mut wrong = Vec::new();
    for path in &files {
        let place = place(path);
        let room = place.split(['/', '.']).next().unwrap().to_owned();
        if ["lib", "bin", "main"].contains(&room.as_str()) {
            continue;
        }
        let (_, may) = MAY
            .iter()
            .find(|(name, _)| *name == room)
            .unwrap_or_else(|| panic!("{place} is in a room that this test does not know"));
        for name in known(&code(&std::fs::read_to_string(path).unwrap())) {
            let is_room = MAY.iter().any(|(other, _)| *other == name);
            if is_room && name != room && !may.contains(&name.as_str()) {
                wrong.push(format!("{place} knows {name}"));
            }
            // Names that the library gives out under its own roof would hide where they come from.
            if !is_room {
                wrong.push(format!("{place} takes {name} from the roof of the library"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn plain_arithmetic_knows_no_model() {
    let mut files = Vec::new();
    sources(Path::new("src"), &mut files);
    let pure: Vec<_> = files
        .iter()
        .filter(|path| PURE.iter().any(|part| place(path).starts_with(part)))
        .collect();
    assert!(pure.len() >= PURE.len());
    for path in pure {
        let names = known(&code(&std::fs::read_to_string(path).unwrap()));
        let place = place(path);
        let room = place.split('/').next().unwrap();
        let strange: Vec<_> = names.iter().filter(|name| *name != room).collect();
        assert!(strange.is_empty(), "{} knows {strange:?}", path.display());
        let text = code(&std::fs::read_to_string(path).unwrap());
        for up in ["super::deck", "super::platform", "super::super::model"] {
            assert!(!text.contains(up), "{} knows {up}", path.display());
        }
    }
}

#[test]
fn the_routes_of_a_second_opinion_do_not_call_what_they_judge() {
    for (route, may) in ROUTES {
        let path = format!("src/second_opinion/{route}.rs");
        let text = code(&std::fs::read_to_string(&path).unwrap());
        let names = known(&text);
        let strange: Vec<_> = names
            .iter()
            .filter(|name| !may.contains(&name.as_str()))
            .collect();
        assert!(strange.is_empty(), "{path} knows {strange:?}");
        let analysis = text.matches("crate::analysis").count();
        let unsolved = ["platform::Stick;", "span::SpanLoad;"]
            .iter()
            .filter(|part| text.contains(*part));
        assert_eq!(analysis, unsolved.count(), "{path}");
        // The model can answer for its bar too: that would be the first route again.
        for call in [
            ".bar(stem",
            ".stiffness(stem",
            ".stiffness_on(",
            "foundation_modulus(stem",
        ] {
            assert!(!text.contains(call), "{path}: {call}");
        }
    }
}

/// Only the program prints and reads files.
#[test]
fn the_library_neither_prints_nor_reads_files() {
    let mut files = Vec::new();
    sources(Path::new("src"), &mut files);
    for path in files.iter().filter(|path| !place(path).starts_with("bin")) {
        let text = code(&std::fs::read_to_string(path).unwrap());
        for call in ["std::fs", "println!(", "std::process", "std::env::"] {
            assert!(!text.contains(call), "{}: {call}", path.display());
        }
    }
}
