//! The program as people and scripts meet it: transcripts, statuses and files.
//!
//! The transcripts in `tests/cli` are examples as well; `TRYCMD=overwrite cargo test --test cli` writes them anew, to be
//! read before they are kept.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

#[test]
fn transcripts() {
    trycmd::TestCases::new()
        .env("COLUMNS", "100")
        .env("NO_COLOR", "1")
        .case("tests/cli/*.trycmd")
        .case("docs/tour.md");
}

fn barkline(arguments: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

#[test]
fn the_starter_layout_passes_as_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(
        barkline(&["new", "deck.toml"], folder.path()).status.code(),
        Some(0)
    );
    let check = barkline(&["check", "deck.toml"], folder.path());
    assert_eq!(
        check.status.code(),
        Some(0),
        "{}{}",
        text(&check.stdout),
        text(&check.stderr)
    );
}

/// Ids, paths and the numbers of one substitution are whole words; everything else is broken to the width.
#[test]
fn an_explanation_fits_narrow_and_wide_screens() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/examples");
    for width in [80, 120] {
        for show in ["us", "si"] {
            let found = Command::new(env!("CARGO_BIN_EXE_barkline"))
                .args(["explain", "one-anchor.toml", "A1", "--show", show])
                .current_dir(&folder)
                .env("COLUMNS", width.to_string())
                .output()
                .unwrap();
            let printed = text(&found.stdout);
            assert!(printed.contains("Diagrams") && printed.contains("limit load"));
            for line in printed.lines() {
                assert!(line.chars().count() <= width, "{width}: {line}");
            }
        }
    }
}

#[test]
fn a_file_that_exists_is_not_replaced_without_force() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.toml");
    std::fs::write(&file, "mine").unwrap();
    for arguments in [&["new", "mine.toml"][..], &["steels", "-o", "mine.toml"]] {
        let run = barkline(arguments, folder.path());
        assert_eq!(run.status.code(), Some(2));
        assert!(text(&run.stderr).contains("mine.toml exists already"));
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    }
    let run = barkline(&["steels", "--force", "-o", "mine.toml"], folder.path());
    assert_eq!(run.status.code(), Some(0));
    assert!(run.stdout.is_empty());
    assert!(
        std::fs::read_to_string(&file)
            .unwrap()
            .starts_with("Steels\n")
    );
    assert_eq!(
        names(folder.path()),
        ["mine.toml"],
        "nothing is left beside it"
    );
}

#[test]
fn a_folder_that_is_not_there_is_no_success() {
    let folder = tempfile::tempdir().unwrap();
    let run = barkline(&["steels", "-o", "nowhere/steels.txt"], folder.path());
    assert_eq!(run.status.code(), Some(3));
    assert!(text(&run.stderr).contains("nowhere/steels.txt could not be written"));
    assert!(names(folder.path()).is_empty());
}

#[test]
fn wrong_input_has_status_2_and_says_everything() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("a.toml"),
        "titel = \"x\"\n[[tree]]\nid = \"t\"\nbark = 1\n",
    )
    .unwrap();
    let run = barkline(&["check", "a.toml"], folder.path());
    assert_eq!(run.status.code(), Some(2));
    assert!(run.stdout.is_empty());
    let said = text(&run.stderr);
    for part in [
        "error[unknown-key]",
        "a.toml:1:1",
        "error[bare-number]",
        "a.toml:4:8",
        "= mend:",
    ] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

#[test]
fn wrong_input_is_json_where_json_was_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.toml"), "titel = \"x\"\n").unwrap();
    for (arguments, code, line) in [
        (
            ["check", "a.toml", "--format", "json"],
            "unknown-key",
            Some(1),
        ),
        (["check", "b.toml", "--format", "json"], "no-file", None),
    ] {
        let run = barkline(&arguments, folder.path());
        assert_eq!(run.status.code(), Some(2));
        let value: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_eq!(value["schema"], "barkline/check/1");
        assert_eq!(value["verdict"], "error");
        assert_eq!(value["diagnostics"][0]["code"], code);
        assert_eq!(value["diagnostics"][0]["line"].as_u64(), line);
    }
}

#[test]
fn text_that_is_no_text_is_named_by_line() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.toml"), b"# one\n# tw\xff\n").unwrap();
    let run = barkline(&["check", "a.toml"], folder.path());
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("a.toml is not UTF-8 text: line 2, column 5"));
}

#[test]
fn more_than_any_layout_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let file = std::fs::File::create(folder.path().join("a.toml")).unwrap();
    file.set_len((16 << 20) + 1).unwrap();
    let run = barkline(&["check", "a.toml"], folder.path());
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("a.toml is larger than 16 MiB"));
}

#[test]
fn standard_input_is_read_as_toml_or_json() {
    for (layout, place) in [
        ("\ntitel = \"x\"\n", "standard input:2:1"),
        ("{ \"titel\": \"x\" }", "standard input:1:3"),
    ] {
        let mut run = Command::new(env!("CARGO_BIN_EXE_barkline"))
            .args(["check", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        run.stdin
            .take()
            .unwrap()
            .write_all(layout.as_bytes())
            .unwrap();
        let output = run.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        let said = text(&output.stderr);
        assert!(said.contains(place) && said.contains("`titel`"), "{said}");
    }
}

#[test]
fn a_reader_that_leaves_is_no_fault() {
    let mut run = Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(["woods", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(run.stdout.take());
    let output = run.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
}

#[test]
fn colour_is_given_only_where_it_is_wanted() {
    let folder = tempfile::tempdir().unwrap();
    let escape = |run: &Output| run.stderr.contains(&0x1b);
    assert!(escape(&barkline(
        &["check", "no", "--color", "always"],
        folder.path()
    )));
    assert!(!escape(&barkline(
        &["check", "no", "--color", "never"],
        folder.path()
    )));
    assert!(!escape(&barkline(&["check", "no"], folder.path())));
}

#[test]
fn every_table_carries_its_cautions_in_every_form() {
    let folder = tempfile::tempdir().unwrap();
    for command in ["woods", "steels", "sizes", "criteria", "sources"] {
        for form in ["table", "json", "csv", "markdown"] {
            let run = barkline(&[command, "--format", form], folder.path());
            assert_eq!(run.status.code(), Some(0));
            assert!(
                text(&run.stdout).contains("Not a design approval"),
                "{command} {form}"
            );
        }
    }
}

#[test]
fn the_readme_shows_what_is_printed() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let run = Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(["check", "docs/examples/two-stems.toml"])
        .current_dir(root)
        .env("COLUMNS", "96")
        .output()
        .unwrap();
    let printed = String::from_utf8(run.stdout).unwrap();
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    assert!(readme.contains(printed.trim_end()), "{printed}");
}
