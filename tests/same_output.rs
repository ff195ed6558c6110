//! The same bytes from the same layout: run after run, on one processor and on all, and from another build.
//!
//! `BARKLINE_OTHER=target/release/barkline cargo test --test same_output` compares with that build as well.
#![cfg(feature = "cli")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr
)]

use std::path::{Path, PathBuf};
use std::process::Command;

/// An example, and an anchor of it.
const EXAMPLES: &[(&str, &str)] = &[
    ("one-anchor.toml", "A1"),
    ("one-anchor.json", "A1"),
    ("two-stems.toml", "SW"),
    ("four-stems.toml", "gate-N"),
    ("one-stem.toml", "NE-up"),
    ("fails.toml", "SW"),
    ("survey/layout.toml", "1W"),
    ("survey/built.toml", "1W"),
];

/// The example that costs least.
const SMALL: &str = "one-anchor.toml";

const TEXTS: &[&str] = &["json", "table", "csv", "markdown"];
const PAGES: &[&str] = &["json", "table", "csv", "markdown", "html"];
const SHEETS: &[&str] = &["json", "table", "markdown"];

/// Every call that reads an example, in every form; or those that cost little, in the form that holds every number.
fn calls(every_form: bool) -> Vec<Vec<String>> {
    let mut all = Vec::new();
    let mut call = |words: &[&str]| all.push(words.iter().map(|&word| word.to_owned()).collect());
    for &(layout, anchor) in EXAMPLES {
        let asked = |forms: &'static [&str]| &forms[..if every_form { forms.len() } else { 1 }];
        for (command, forms) in [
            ("check", TEXTS),
            ("size", TEXTS),
            ("drill", PAGES),
            ("cut", PAGES),
        ] {
            // These check again and again: minutes for large layouts in a build that is not optimized.
            if !every_form && matches!(command, "size" | "drill") && layout != SMALL {
                continue;
            }
            for form in asked(forms) {
                call(&[command, layout, "--format", form]);
            }
        }
        call(&[
            "check",
            layout,
            "--lose-one",
            "--after",
            "30",
            "--format",
            "json",
            "--show",
            "si",
        ]);
        for form in asked(SHEETS) {
            call(&["explain", layout, anchor, "--format", form]);
        }
        for ending in asked(&["html", "md"]) {
            call(&["report", layout, "-o", ending]);
        }
    }
    for form in TEXTS {
        call(&["check", "survey/built.toml", "--as-built", "--format", form]);
    }
    all
}

/// Everything that a run leaves: its status, what it prints, the file it writes.
type Left = (Option<i32>, Vec<u8>, Vec<u8>, Option<Vec<u8>>);

/// Runs a program, behind others such as `taskset`; a file goes to a folder of its own.
fn left(before: &[String], program: &Path, call: &[String]) -> Left {
    let folder = tempfile::tempdir().unwrap();
    let mut call = call.to_vec();
    let written = call.iter().position(|word| word == "-o").map(|at| at + 1);
    let file = written.map(|at| folder.path().join("out").with_extension(&call[at]));
    if let (Some(at), Some(file)) = (written, &file) {
        call[at] = file.display().to_string();
        call.push("--quiet".to_owned());
    }
    let words = before.iter().map(String::as_str).chain(program.to_str());
    let words: Vec<&str> = words.chain(call.iter().map(String::as_str)).collect();
    let output = Command::new(words[0])
        .args(&words[1..])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/examples"))
        .env("COLUMNS", "100")
        .output()
        .unwrap();
    let file = file.map(|file| std::fs::read(file).unwrap());
    (output.status.code(), output.stdout, output.stderr, file)
}

fn this() -> PathBuf {
    PathBuf::from(env!("CARGO_BIN_EXE_barkline"))
}

/// Compares calls with another way to make them.
fn the_same(calls: Vec<Vec<String>>, before: &[String], program: &Path) {
    for call in calls {
        let (one, other) = (left(&[], &this(), &call), left(before, program, &call));
        assert!(
            matches!(one.0, Some(0 | 1)),
            "{call:?}: {}",
            String::from_utf8_lossy(&one.2)
        );
        let said = one.1.len() + one.3.as_ref().map_or(0, Vec::len);
        assert!(said > 100, "{call:?} says {said} bytes");
        assert!(
            one == other,
            "{call:?} behind {before:?} {} is another",
            program.display()
        );
    }
}

/// What restricts a run to one processor, where that can be done and be seen.
#[cfg(target_os = "linux")]
fn one_processor() -> Option<Vec<String>> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let allowed = status
        .lines()
        .find_map(|line| line.strip_prefix("Cpus_allowed_list:"))?;
    let first = allowed.trim().split(['-', ',']).next()?.to_owned();
    let before = ["taskset".to_owned(), "-c".to_owned(), first];
    let seen = Command::new(&before[0])
        .args(&before[1..])
        .arg("nproc")
        .output()
        .ok()?;
    (seen.stdout == b"1\n").then(|| before.to_vec())
}

/// Two runs: the one on every processor that there is, the other on one, where the system can do that.
#[test]
fn runs_and_processors_leave_the_same_bytes() {
    #[cfg(target_os = "linux")]
    let before = one_processor();
    #[cfg(not(target_os = "linux"))]
    let before = None;
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    if before.is_none() || threads < 2 {
        eprintln!("only runs are compared: there is one processor, or no taskset");
    }
    the_same(calls(false), &before.unwrap_or_default(), &this());
}

/// A build with other settings leaves the same bytes; left out where none is named.
#[test]
fn another_build_leaves_the_same_bytes() {
    match std::env::var_os("BARKLINE_OTHER") {
        None => eprintln!("no other build is compared: BARKLINE_OTHER does not name one"),
        Some(other) => {
            let other = Path::new(env!("CARGO_MANIFEST_DIR")).join(other);
            the_same(calls(true), &[], &other);
        }
    }
}
