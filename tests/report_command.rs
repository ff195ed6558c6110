//! `barkline report`: what it writes, what it refuses, how it ends.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::path::Path;
use std::process::{Command, Output};

fn example(name: &str) -> String {
    format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))
}

fn report(layout: &str, arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(["report", layout])
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_ending_says_the_form_and_the_status_what_was_found() {
    let folder = tempfile::tempdir().unwrap();
    for (name, status) in [("one-anchor", 0), ("fails", 1)] {
        for (file, begin) in [("a.html", "<!DOCTYPE html>"), ("a.MD", "# ")] {
            let run = report(&example(name), &["--force", "-o", file], folder.path());
            assert_eq!(run.status.code(), Some(status), "{}", said(&run));
            assert!(run.stdout.is_empty());
            assert!(said(&run).contains(&format!("wrote {file}")));
            let text = std::fs::read_to_string(folder.path().join(file)).unwrap();
            assert!(text.starts_with(begin), "{file}");
        }
    }
}

#[test]
fn what_can_not_be_written_is_refused_before_anything_is_checked() {
    let folder = tempfile::tempdir().unwrap();
    for (arguments, why) in [
        (&[][..], "nothing says where to write the package"),
        (&["-o", "a.pdf"], "a.pdf is neither .html nor .md"),
        (&["-o", "html"], "html is neither .html nor .md"),
        (
            &["-o", "a.html", "--format", "json"],
            "follows from the ending of its file",
        ),
    ] {
        let run = report("not-there.toml", arguments, folder.path());
        assert_eq!(run.status.code(), Some(2), "{arguments:?}");
        assert!(said(&run).contains(why), "{}", said(&run));
        if arguments.len() == 2 {
            assert!(said(&run).contains("end it in .html") && said(&run).contains(".md"));
        }
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_file_that_exists_is_kept_unless_it_may_be_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.html");
    std::fs::write(&file, "mine").unwrap();
    let run = report(&example("one-anchor"), &["-o", "a.html"], folder.path());
    assert_eq!(run.status.code(), Some(2));
    assert!(said(&run).contains("a.html exists already"));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    let run = report(
        &example("one-anchor"),
        &["-o", "a.html", "--force", "-q"],
        folder.path(),
    );
    assert_eq!(run.status.code(), Some(0));
    assert!(run.stderr.is_empty());
    assert!(std::fs::read_to_string(&file).unwrap().len() > 10_000);
}

#[test]
fn the_units_are_those_of_the_layout_or_those_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let written = |arguments: &[&str]| {
        let run = report(&example("two-stems"), arguments, folder.path());
        assert_eq!(run.status.code(), Some(0), "{}", said(&run));
        std::fs::read_to_string(folder.path().join("a.html")).unwrap()
    };
    let text = std::fs::read_to_string(example("two-stems")).unwrap();
    let resolved = barkline::Layout::from_toml(&text)
        .unwrap()
        .resolve()
        .unwrap();
    let load = resolved.platform.check().unwrap().attachments()[0]
        .load()
        .down_n;
    let pounds = format!("{:.0} lbf", load / 4.448_221_615_260_5);
    let us = written(&["-o", "a.html"]);
    assert!(us.contains(&pounds), "no {pounds}");
    assert!(us.contains("3/8 in = 1 ft"));
    // Zeros at the end are not printed.
    let shown = format!("{:.2}", load / 1e3);
    let kilonewtons = format!("{} kN", shown.trim_end_matches('0'));
    let si = written(&["-o", "a.html", "--force", "--show", "si"]);
    assert!(si.contains(&kilonewtons), "no {kilonewtons}");
    assert!(si.contains("1:40"));
}
