//! Manners at the terminal: widths, colours, quiet, files that are written, and texts that are no layout.
#![cfg(feature = "cli")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr
)]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const COMMANDS: &[&str] = &[
    "check",
    "size",
    "reliability",
    "report",
    "explain",
    "drill",
    "cut",
    "woods",
    "steels",
    "sizes",
    "criteria",
    "sources",
    "new",
    "schema",
    "completions",
    "manual",
];

fn root(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(below)
}

/// The program, with nothing in its environment that changes what it prints.
fn program(arguments: &[&str], folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_barkline"));
    command.args(arguments).current_dir(folder);
    for variable in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "CI"] {
        command.env_remove(variable);
    }
    command
}

fn run(arguments: &[&str], folder: &Path) -> Output {
    program(arguments, folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn starter(folder: &Path) -> String {
    let made = run(&["new", "deck.toml", "--quiet"], folder);
    assert_eq!((made.status.code(), made.stderr.len()), (Some(0), 0));
    std::fs::read_to_string(folder.join("deck.toml")).unwrap()
}

#[test]
fn every_command_of_the_help_is_tested_here() {
    let help = text(&run(&["--help"], Path::new(".")).stdout);
    let list = help
        .split("Commands:\n")
        .nth(1)
        .unwrap()
        .split("\n\n")
        .next()
        .unwrap();
    let named = list.lines().filter(|line| !line.starts_with("   "));
    let named: Vec<&str> = named
        .map(|line| line.split_whitespace().next().unwrap())
        .collect();
    assert_eq!(named, COMMANDS);
}

#[test]
fn nothing_printed_is_wider_than_the_screen_or_ends_in_blanks() {
    let mut calls: Vec<Vec<&str>> = COMMANDS
        .iter()
        .map(|command| vec![*command, "--help"])
        .collect();
    calls.push(vec!["--help"]);
    calls.push(vec!["-h"]);
    for layout in [
        "two-stems.toml",
        "four-stems.toml",
        "one-stem.toml",
        "fails.toml",
        "survey/layout.toml",
    ] {
        calls.push(vec!["check", layout]);
        calls.push(vec!["drill", "--despite", layout]);
        calls.push(vec!["cut", layout]);
    }
    calls.push(vec!["check", "../../tests/bad_input/wrong-type.toml"]);
    calls.push(vec!["check", "../../tests/bad_input/resolve-conflict.toml"]);
    calls.push(vec!["check", "not-there.toml"]);
    calls.push(vec!["size", "one-anchor.toml"]);
    calls.push(vec!["reliability", "one-anchor.toml", "--method", "form"]);
    calls.push(vec!["check", "one-anchor.toml", "--second-opinion"]);
    calls.push(vec!["size", "../../tests/cli/size.in/bridge.toml"]);
    calls.push(vec![
        "check",
        "--as-built",
        "../../tests/cli/as_built.in/walk.toml",
    ]);
    for table in ["woods", "steels", "sizes", "criteria", "sources"] {
        calls.push(vec![table]);
        calls.push(vec![table, "--show", "si"]);
    }
    calls.push(vec!["woods", "oak"]);
    calls.push(vec!["sources", "fpl-gtr-282"]);
    for columns in [60, 80, 120, 200] {
        for call in &calls {
            let run = program(call, &root("docs/examples"))
                .env("COLUMNS", columns.to_string())
                .output()
                .unwrap();
            let printed = text(&run.stdout) + &text(&run.stderr);
            assert!(!printed.is_empty(), "{call:?}");
            for line in printed.lines() {
                assert!(
                    line.chars().count() <= columns,
                    "{call:?} at {columns}: {line}"
                );
                assert_eq!(line.trim_end(), line, "{call:?} at {columns}");
            }
        }
    }
}

/// A program on a terminal of so many columns; none where there is no `script` to make one.
fn on_a_terminal(columns: usize, call: &str, told: Option<&str>) -> Option<String> {
    // Told behind `stty`: a shell that sees a terminal change tells its own.
    let told = told.map_or_else(String::new, |told| format!("COLUMNS={told} "));
    let program = env!("CARGO_BIN_EXE_barkline");
    let call = format!("stty cols {columns} rows 40 && {told}{program} {call}");
    let mut script = Command::new("script");
    script.args(["-q", "-e", "-c", &call, "/dev/null"]);
    script.env("NO_COLOR", "1").env_remove("COLUMNS");
    let ran = match script.stdin(Stdio::null()).output() {
        Err(_) if std::env::var_os("CI").is_none() => return None,
        ran => ran.unwrap(),
    };
    assert!(ran.status.success(), "{ran:?}");
    Some(text(&ran.stdout).replace("\r\n", "\n"))
}

#[test]
fn the_terminal_is_asked_for_its_width_unless_the_shell_tells_it() {
    let told = |columns: usize| {
        let mut run = program(&["sizes"], Path::new("."));
        run.env("COLUMNS", columns.to_string());
        text(&run.output().unwrap().stdout)
    };
    assert!(told(60) != told(93) && told(93) != told(120) && told(120) != told(200));
    // What the terminal has, what the shell tells, what is printed: from 60 to 200 columns.
    for (columns, shell, width) in [
        (93, None, 93),
        (30, None, 60),
        (200, None, 200),
        (300, None, 200),
        (150, Some("93"), 93),
        (150, Some("none"), 150),
        // A terminal of no width does not tell.
        (0, None, 80),
    ] {
        let Some(printed) = on_a_terminal(columns, "sizes", shell) else {
            eprintln!("left out: no `script` on this machine");
            return;
        };
        assert_eq!(printed, told(width), "{columns} {shell:?}");
    }
    assert_eq!(told(20), told(60));
    assert_eq!(told(999), told(200));
    let elsewhere = run(&["sizes"], Path::new("."));
    assert_eq!(text(&elsewhere.stdout), told(120));
}

#[test]
fn a_table_breaks_no_word() {
    for columns in ["60", "80", "100"] {
        for table in ["steels", "sizes", "criteria", "sources"] {
            let print = |columns: &str| {
                let run = program(&[table], Path::new("."))
                    .env("COLUMNS", columns)
                    .output()
                    .unwrap();
                text(&run.stdout)
            };
            let wide = print("120");
            let words: std::collections::BTreeSet<&str> = wide.split_whitespace().collect();
            // Ids, in the first column: each is a word of the wide print.
            let narrow = print(columns);
            let ids = narrow.lines().filter(|line| !line.starts_with(' '));
            for word in ids.filter_map(|line| line.split_whitespace().next()) {
                assert!(words.contains(word), "{table} at {columns}: {word}");
            }
        }
    }
}

#[test]
fn colour_follows_the_conventions() {
    let folder = root("docs/examples");
    let coloured = |arguments: &[&str], variables: &[(&str, &str)]| {
        let mut arguments = arguments.to_vec();
        arguments.extend(["check", "fails.toml"]);
        let mut command = program(&arguments, &folder);
        command.envs(variables.iter().copied());
        command.output().unwrap().stdout.contains(&0x1b)
    };
    assert!(!coloured(&[], &[]), "not a terminal");
    assert!(coloured(&[], &[("CLICOLOR_FORCE", "1")]));
    assert!(!coloured(
        &[],
        &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]
    ));
    assert!(coloured(&["--color", "always"], &[]));
    assert!(coloured(&["--color", "always"], &[("NO_COLOR", "1")]));
    assert!(!coloured(&["--color", "never"], &[("CLICOLOR_FORCE", "1")]));
}

#[test]
fn files_have_no_colours_whatever_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    starter(folder.path());
    let made = run(
        &["check", "deck.toml", "--color", "always", "-o", "out.txt"],
        folder.path(),
    );
    assert_eq!(made.status.code(), Some(0));
    assert!(
        !std::fs::read(folder.path().join("out.txt"))
            .unwrap()
            .contains(&0x1b)
    );
}

#[test]
fn quiet_leaves_errors_the_status_and_the_file() {
    let folder = root("docs/examples");
    for (layout, status) in [("two-stems.toml", 0), ("fails.toml", 1)] {
        for form in ["table", "json"] {
            let run = run(&["check", layout, "--quiet", "--format", form], &folder);
            assert_eq!(run.status.code(), Some(status));
            assert!(run.stdout.is_empty() && run.stderr.is_empty(), "{layout}");
        }
    }
    let wrong = run(
        &["check", "not-there.toml", "-q", "--format", "json"],
        &folder,
    );
    assert_eq!((wrong.status.code(), wrong.stdout.len()), (Some(2), 0));
    assert!(text(&wrong.stderr).contains("error[no-file]"));
    let out = tempfile::tempdir().unwrap();
    let file = out.path().join("out.json");
    let made = run(
        &[
            "steels",
            "-q",
            "--format",
            "json",
            "-o",
            file.to_str().unwrap(),
        ],
        &folder,
    );
    assert_eq!((made.status.code(), made.stdout.len()), (Some(0), 0));
    assert!(
        std::fs::read_to_string(file)
            .unwrap()
            .contains("barkline/steels/1")
    );
}

#[test]
fn a_dash_is_standard_input_and_standard_output() {
    let folder = root("docs/examples/survey");
    let mut child = program(&["check", "-", "-o", "-", "--format", "json"], &folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let layout = std::fs::read(folder.join("layout.toml")).unwrap();
    child.stdin.take().unwrap().write_all(&layout).unwrap();
    let piped = child.wait_with_output().unwrap();
    assert_eq!(
        piped.status.code(),
        Some(0),
        "its spreadsheets are read from the folder at hand"
    );
    let named = run(&["check", "layout.toml", "--format", "json"], &folder);
    assert_eq!(text(&piped.stdout), text(&named.stdout));
}

#[test]
fn the_fingerprint_of_a_layout_covers_its_spreadsheets() {
    let folder = tempfile::tempdir().unwrap();
    let print = || {
        let run = run(&["check", "layout.toml", "--format", "json"], folder.path());
        let value: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
        value["layout_sha256"].as_str().unwrap().to_owned()
    };
    for name in ["layout.toml", "trees.csv", "anchors.csv"] {
        std::fs::copy(
            root("docs/examples/survey").join(name),
            folder.path().join(name),
        )
        .unwrap();
    }
    let before = print();
    assert_eq!(print(), before);
    for name in ["trees.csv", "anchors.csv", "layout.toml"] {
        let path = folder.path().join(name);
        let was = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, format!("{was}\n")).unwrap();
        assert_ne!(print(), before, "{name}");
        std::fs::write(&path, was).unwrap();
    }
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    let all = [read("layout.toml"), read("trees.csv"), read("anchors.csv")].concat();
    assert_eq!(before, barkline::report::Provenance::of(&all).layout_sha256);
}

#[test]
fn a_spreadsheet_that_is_not_there_is_named_with_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    let below = folder.path().join("survey");
    std::fs::create_dir(&below).unwrap();
    std::fs::write(below.join("a.toml"), "trees = \"../trees.csv\"\n").unwrap();
    let wrong = run(&["check", "survey/a.toml"], folder.path());
    assert_eq!(wrong.status.code(), Some(2));
    let said = text(&wrong.stderr);
    assert!(
        said.contains("the spreadsheet survey/../trees.csv could not be read: it is not there"),
        "{said}"
    );
    assert!(said.contains("survey/a.toml:1:9"), "{said}");
}

/// What is no layout, with what is said of it.
#[test]
fn what_cannot_be_read_is_told_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    write("latin.toml", b"title = \"Fl\xe4che\"\n");
    write("wide.toml", b"\xff\xfet\0i\0t\0l\0e\0");
    write("empty.toml", b"");
    std::fs::create_dir(folder.path().join("folder")).unwrap();
    let large = std::fs::File::create(folder.path().join("large.toml")).unwrap();
    large.set_len(100 << 20).unwrap();
    let mut text_of_nine = b"# ".to_vec();
    text_of_nine.resize(9 << 20, b'x');
    write("long.toml", &text_of_nine);
    for (name, said) in [
        (
            "latin.toml",
            "latin.toml is not UTF-8 text: line 1, column 12 can not be read",
        ),
        (
            "wide.toml",
            "wide.toml is not UTF-8 text: line 1, column 1 can not be read",
        ),
        (
            "empty.toml",
            "the layout has no anchor: nothing can be checked",
        ),
        ("folder", "error[not-a-file]: folder is a folder"),
        ("large.toml", "large.toml is larger than 16 MiB"),
        (
            "long.toml",
            "error[too-large]: the text has 9437184 bytes, more than any layout needs",
        ),
        ("none.toml", "error[no-file]: none.toml is not there"),
        ("latin.toml/x", "latin.toml/x could not be read"),
    ] {
        let wrong = run(&["check", name], folder.path());
        assert_eq!(wrong.status.code(), Some(2), "{name}");
        assert!(wrong.stdout.is_empty());
        let heard = text(&wrong.stderr);
        assert!(
            heard.contains(said) && heard.contains("= mend: "),
            "{name}: {heard}"
        );
    }
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let layout = starter(folder.path());
    let marked = format!("\u{feff}{}", layout.replace('\n', "\r\n"));
    std::fs::write(folder.path().join("marked.toml"), marked).unwrap();
    let print = |name: &str| text(&run(&["check", name], folder.path()).stdout);
    assert_eq!(print("marked.toml"), print("deck.toml"));
    // A problem stands on its line and column, mark or no mark.
    let wrong = "\u{feff}titel = \"x\"\r\nshow = \"uk\"\r\n";
    std::fs::write(folder.path().join("wrong.toml"), wrong).unwrap();
    let said = text(&run(&["check", "wrong.toml"], folder.path()).stderr);
    assert!(
        said.contains("wrong.toml:1:1\n")
            && said.contains("wrong.toml:2:9\n")
            && said.contains("did you mean `title`?"),
        "{said}"
    );
}

#[test]
fn a_file_is_replaced_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("mine.txt"), "mine").unwrap();
    let kept = run(&["steels", "-o", "mine.txt"], folder.path());
    assert_eq!(kept.status.code(), Some(2));
    assert!(text(&kept.stderr).contains("error[file-exists]: mine.txt exists already"));
    assert_eq!(std::fs::read_to_string(at("mine.txt")).unwrap(), "mine");

    std::fs::create_dir(at("folder")).unwrap();
    for force in [&["--force"][..], &[]] {
        let wrong = run(
            &[&["steels", "-o", "folder"], force].concat(),
            folder.path(),
        );
        assert_eq!(wrong.status.code(), Some(2));
        assert!(text(&wrong.stderr).contains("error[not-a-file]: folder is a folder"));
    }
    let nowhere = run(&["steels", "-o", "no/where.txt"], folder.path());
    assert_eq!(nowhere.status.code(), Some(3));
    assert!(text(&nowhere.stderr).contains("no/where.txt could not be written: its folder"));

    let layout = starter(folder.path());
    let same = run(
        &["check", "deck.toml", "--force", "-o", "./deck.toml"],
        folder.path(),
    );
    assert_eq!(same.status.code(), Some(2), "not over the layout itself");
    assert_eq!(std::fs::read_to_string(at("deck.toml")).unwrap(), layout);

    let names = std::fs::read_dir(folder.path()).unwrap();
    let mut names: Vec<_> = names.map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(
        names,
        ["deck.toml", "folder", "mine.txt"],
        "nothing is left beside them"
    );
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt as _, symlink};

    #[test]
    fn what_a_link_points_to_is_replaced_and_the_link_stays() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        std::fs::create_dir(at("real")).unwrap();
        std::fs::write(at("real/file.txt"), "mine").unwrap();
        std::fs::set_permissions(at("real/file.txt"), std::fs::Permissions::from_mode(0o640))
            .unwrap();
        symlink("real/file.txt", at("link.txt")).unwrap();
        let kept = run(&["steels", "-o", "link.txt"], folder.path());
        assert_eq!(kept.status.code(), Some(2));
        let made = run(&["steels", "--force", "-o", "link.txt"], folder.path());
        assert_eq!(made.status.code(), Some(0));
        assert!(
            at("link.txt")
                .symlink_metadata()
                .unwrap()
                .file_type()
                .is_symlink()
        );
        assert!(
            std::fs::read_to_string(at("real/file.txt"))
                .unwrap()
                .starts_with("Steels\n")
        );
        let mode = at("real/file.txt").metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o640, "the permissions stay");
        assert_eq!(std::fs::read_dir(at("real")).unwrap().count(), 1);

        symlink("gone.txt", at("broken.txt")).unwrap();
        let broken = run(&["steels", "--force", "-o", "broken.txt"], folder.path());
        assert_eq!(broken.status.code(), Some(3));
        assert!(text(&broken.stderr).contains("the file that it links to, is not there"));
    }

    /// What a shell says and how it ends.
    fn shell(script: &str, folder: &Path) -> Output {
        let script = script.replace("barkline", env!("CARGO_BIN_EXE_barkline"));
        Command::new("sh")
            .args(["-c", &script])
            .current_dir(folder)
            .output()
            .unwrap()
    }

    #[test]
    fn a_full_disk_loses_nothing() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("mine.txt"), "mine").unwrap();
        // No file may grow: what a full disk does to the file beside the result.
        let full = shell(
            "trap '' XFSZ; ulimit -f 0; barkline woods --force -o mine.txt",
            folder.path(),
        );
        assert_eq!(full.status.code(), Some(3));
        let said = text(&full.stderr);
        assert!(
            said.contains("mine.txt could not be written: there is no room for it"),
            "{said}"
        );
        assert_eq!(
            std::fs::read_to_string(folder.path().join("mine.txt")).unwrap(),
            "mine"
        );
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_full_device_is_told() {
        let full = shell("barkline woods > /dev/full", Path::new("/"));
        assert_eq!(full.status.code(), Some(3));
        let said = text(&full.stderr);
        let due = "standard output could not be written: there is no room for it";
        assert!(said.contains(due), "{said}");
    }

    #[test]
    fn a_pipe_is_written_to_and_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let script = "mkfifo pipe; cat pipe > copy & barkline steels --force -o pipe; status=$?; wait; exit $status";
        let piped = shell(script, folder.path());
        assert_eq!(
            (piped.status.code(), text(&piped.stderr)),
            (Some(0), String::new())
        );
        let copy = std::fs::read_to_string(folder.path().join("copy")).unwrap();
        assert!(copy.starts_with("Steels\n"));
        assert!(!folder.path().join("pipe").metadata().unwrap().is_file());
        let kept = shell("barkline steels -o pipe", folder.path());
        assert_eq!(kept.status.code(), Some(2));
    }

    /// A folder of the system in which nobody, whatever the rights, makes a file.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_folder_that_may_not_be_written_is_told() {
        let run = run(&["steels", "-o", "/sys/barkline-test.txt"], Path::new("/"));
        assert_eq!(run.status.code(), Some(3));
        let said = text(&run.stderr);
        assert!(
            said.contains("/sys/barkline-test.txt could not be written: permission denied"),
            "{said}"
        );
    }

    #[test]
    fn a_reader_that_leaves_is_no_fault() {
        for call in [
            "barkline woods | head -1",
            "barkline schema | head -1",
            "barkline check none 2>&1 | true",
        ] {
            let run = shell(call, &root("docs/examples"));
            assert_eq!(text(&run.stderr), "", "{call}");
        }
    }
}

#[test]
fn completions_and_the_manual_name_every_command() {
    let here = Path::new(".");
    let mut texts = vec![("manual", text(&run(&["manual"], here).stdout))];
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        texts.push((shell, text(&run(&["completions", shell], here).stdout)));
    }
    for (what, text) in &texts {
        for command in COMMANDS {
            assert!(text.contains(command), "{what}: {command}");
        }
        assert!(text.contains("quiet") && text.contains("format"), "{what}");
    }
    let manual = &texts[0].1;
    for section in [
        "NAME",
        "SYNOPSIS",
        "DESCRIPTION",
        "COMMANDS",
        "OPTIONS",
        "\"EXIT STATUS\"",
    ] {
        assert_eq!(
            manual.matches(&format!("\n.SH {section}\n")).count(),
            1,
            "{section}"
        );
    }
    for command in COMMANDS {
        assert_eq!(
            manual.matches(&format!("\n.SS {command}\n")).count(),
            1,
            "{command}"
        );
    }
}

#[test]
fn the_schema_is_that_of_the_library_and_the_starter_names_it() {
    let folder = tempfile::tempdir().unwrap();
    let printed = run(&["schema"], folder.path());
    let schema: serde_json::Value = serde_json::from_slice(&printed.stdout).unwrap();
    assert_eq!(schema, barkline::input::schema());
    let made = run(&["new", "deck.toml"], folder.path());
    let said = text(&made.stderr);
    assert!(
        said.contains("barkline schema > barkline.schema.json"),
        "{said}"
    );
    let layout = std::fs::read_to_string(folder.path().join("deck.toml")).unwrap();
    assert!(layout.starts_with("#:schema ./barkline.schema.json\n"));
    let toml = barkline::Layout::from_toml(&layout).unwrap();
    // The same in JSON, which names the schema by a key.
    let made = run(&["new", "deck.json"], folder.path());
    assert!(text(&made.stderr).contains("barkline schema > barkline.schema.json"));
    let json = std::fs::read_to_string(folder.path().join("deck.json")).unwrap();
    assert!(
        json.starts_with("{\n  \"$schema\": \"./barkline.schema.json\",\n"),
        "{json}"
    );
    assert_eq!(barkline::Layout::from_json(&json).unwrap(), toml);
    assert_eq!(
        run(&["new", "-o", "-"], folder.path()).stdout,
        layout.as_bytes()
    );
    let outcomes = ["deck.toml", "deck.json"].map(|file| {
        let checked = run(&["check", file, "--format", "csv"], folder.path());
        (checked.status.code(), checked.stdout)
    });
    assert!(outcomes[0].0 == Some(0) && outcomes[0] == outcomes[1]);
    for what in [
        &["schema"][..],
        &["manual"],
        &["new"],
        &["completions", "bash"],
    ] {
        let wrong = run(&[what, &["--format", "csv"]].concat(), folder.path());
        assert_eq!(wrong.status.code(), Some(2));
        assert!(text(&wrong.stderr).contains("error[no-such-form]"));
    }
}

#[test]
fn a_second_opinion_that_agrees_is_told_and_leaves_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let layout = root("docs/examples/one-anchor.toml");
    let check = |more: &[&str]| {
        let layout = layout.to_str().unwrap();
        run(&[&["check", layout][..], more].concat(), folder.path())
    };
    let asked = check(&["--second-opinion"]);
    let said = text(&asked.stdout);
    assert_eq!(asked.status.code(), Some(0), "{}", text(&asked.stderr));
    assert!(
        said.contains("\nSecond opinion: 25 values compared, largest difference "),
        "{said}"
    );
    assert!(said.contains("\nNot compared: splitting, push,"), "{said}");
    let plain = text(&check(&[]).stdout);
    assert!(!plain.contains("econd opinion"), "{plain}");
    let json = |more: &[&str]| -> serde_json::Value {
        serde_json::from_slice(&check(more).stdout).unwrap()
    };
    let asked = json(&["--format", "json", "--second-opinion=there.json"]);
    let compared = asked["second_opinion"]["comparisons"].as_array().unwrap();
    assert_eq!(compared.len(), 25);
    for own in compared {
        let [difference, tolerance] = ["difference", "tolerance"].map(|key| own[key].as_f64());
        assert!(difference.unwrap() <= tolerance.unwrap(), "{own}");
    }
    assert!(json(&["--format", "json"]).get("second_opinion").is_none());
    let markdown = text(&check(&["--format", "markdown", "--second-opinion"]).stdout);
    assert!(markdown.contains("## Second opinion\n"), "{markdown}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn each_exit_status_is_what_the_help_says() {
    let folder = root("docs/examples");
    let status = |arguments: &[&str]| run(arguments, &folder).status.code();
    assert_eq!(status(&["check", "two-stems.toml"]), Some(0));
    assert_eq!(status(&["check", "fails.toml"]), Some(1));
    assert_eq!(status(&["check", "none.toml"]), Some(2));
    assert_eq!(status(&["check"]), Some(2));
    assert_eq!(status(&["--no-such-option"]), Some(2));
    assert_eq!(status(&["steels", "-o", "no/where.txt"]), Some(3));
    let help = text(&run(&["check", "--help"], &folder).stdout);
    for line in [
        "Exit status:",
        "  0  all",
        "  1  an attachment",
        "  2  the input",
        "  3  the analysis",
    ] {
        assert!(help.contains(line), "{line}");
    }
}
