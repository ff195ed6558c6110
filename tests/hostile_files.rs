//! Files that nobody would write, through the program: each ends soon, with a status and a diagnostic that names its
//! code, its place and its mend. `tests/terminal.rs` holds the outputs that cannot be written.
#![cfg(feature = "cli")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

/// Nothing here takes this long, on a slow machine and without optimization.
const BOUND: Duration = Duration::from_secs(120);

const LAYOUT: &str = include_str!("../docs/examples/two-stems.toml");

fn barkline(arguments: &[&str], folder: &Path) -> Output {
    let begun = Instant::now();
    let output = Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(arguments)
        .current_dir(folder)
        .env("COLUMNS", "100")
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let taken = begun.elapsed();
    assert!(taken < BOUND, "{arguments:?}: {taken:?}");
    output
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// What is said of a layout that is refused, in one line: an error with its code, its place, and its mend.
#[track_caller]
fn refused(name: &str, layout: &[u8], expected: [&str; 3]) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(name), layout).unwrap();
    let run = barkline(&["check", name], folder.path());
    let said = text(&run.stderr);
    let shown: String = said.chars().take(2000).collect();
    assert_eq!(run.status.code(), Some(2), "{shown}");
    assert!(run.stdout.is_empty());
    let words: Vec<&str> = said.split_whitespace().collect();
    let line = words.join(" ");
    let [error, place, mend] = expected;
    // A place that ends in a colon is a line, whatever the column.
    let end = if place.is_empty() || place.ends_with(':') {
        ""
    } else {
        " "
    };
    let place = format!("--> {name}:{place}{end}");
    for part in [format!("error{error}"), place, format!("= mend: {mend}")] {
        assert!(line.contains(&part), "{part}\n{shown}");
    }
    assert!(said.len() < 400_000, "{} bytes are said", said.len());
}

/// The example with one thing changed.
fn with(from: &str, to: &str) -> String {
    assert!(LAYOUT.contains(from), "{from}");
    LAYOUT.replacen(from, to, 1)
}

#[test]
fn levels_out_of_all_reason_have_a_place_and_a_mend() {
    for (layout, expected) in [
        (
            with("level = \"8 ft\"", "level = \"8e200 ft\""),
            [
                "[unsound]: anchor SW: its level is more than 10 km from the site's zero",
                "47:6",
                "change its table",
            ],
        ),
        (
            with("ground = \"0 ft\"\n", "ground = \"-1e9 ft\"\n"),
            [
                "[unsound]: tree north: its ground is more than 10 km from the site's zero",
                "36:6",
                "change its table",
            ],
        ),
    ] {
        refused("a.toml", layout.as_bytes(), expected);
    }
}

#[test]
fn numbers_out_of_all_reason_have_a_place_and_a_mend() {
    let line = "[[\"-17-3/4 in\", \"-6 in\"], [\"-17-3/4 in\", \"12 ft 6 in\"]]";
    for (layout, expected) in [
        (
            with("at = [\"0 ft\", \"12 ft\"]", "at = [\"0 ft\", \"1e9 ft\"]"),
            [
                "[misplaced]: a support of beam west lies",
                "81:6",
                "make the line longer, or move the anchor",
            ],
        ),
        (
            with(
                line,
                "[[\"-17-3/4 in\", \"-6 in\"], [\"-17-3/4 in\", \"1e9 ft\"]]",
            ),
            [
                "[unsound]: beam west: it lies more than 1 km",
                "81:6",
                "change its table",
            ],
        ),
        (
            with("diameter = \"30 in\"", "diameter = \"0 in\""),
            [
                "[unsound]: tree south: its diameter must be more than zero",
                "25:6",
                "change its table",
            ],
        ),
        (
            with("spread = \"40 ft\"", "spread = \"1e200 ft\""),
            [
                "[out-of-range]: tree south: the weight of the crown is not a finite number",
                "31:10",
                "give height and crown base above the ground",
            ],
        ),
        (
            with("spread = \"40 ft\"", "spread = \"-40 ft\""),
            [
                "[out-of-range]: tree south: the width of the crown must not be negative",
                "31:10",
                "give height and crown base above the ground",
            ],
        ),
        (
            with("bark = \"1.1 in\"", "bark = \"NaN in\""),
            [
                "[bad-quantity]: `bark`: `NaN in` is not a finite number",
                "29:9",
                "a length is due: mm, cm, m, in, ft",
            ],
        ),
        (
            with("height = \"75 ft\"", "height = \"1e999 ft\""),
            [
                "[bad-quantity]: `height`: `1e999` is too large or too small",
                "31:11",
                "a length is due",
            ],
        ),
        (
            with("seat_friction = 0.15", "seat_friction = nan"),
            [
                "[out-of-range]: `seat_friction` is not a finite number",
                "22:17",
                "write a number with an end",
            ],
        ),
        (
            with("seat_friction = 0.15", "seat_friction = -inf"),
            [
                "[out-of-range]: `seat_friction` is not a finite number",
                "22:17",
                "write a number with an end",
            ],
        ),
    ] {
        refused("a.toml", layout.as_bytes(), expected);
    }
    let json = "{\"criteria\": {\"seat_friction\": NaN}}";
    refused(
        "a.json",
        json.as_bytes(),
        ["[syntax]: this is not JSON", "1:32", "write strict JSON"],
    );
    let json = "{\"criteria\": {\"seat_friction\": 1e999}}";
    refused(
        "a.json",
        json.as_bytes(),
        [
            "[out-of-range]: `seat_friction`",
            "1:32",
            "write a number with an end",
        ],
    );
}

#[test]
fn outlines_that_go_round_nothing_have_a_place_and_a_mend() {
    let outline = "[[\"-2 ft 6 in\", \"2 ft\"], [\"2 ft 6 in\", \"2 ft\"], [\"2 ft 6 in\", \"10 ft\"], [\"-2 ft 6 in\", \"10 ft\"]]";
    let crossing = "[[\"-2 ft 6 in\", \"2 ft\"], [\"2 ft 6 in\", \"10 ft\"], [\"2 ft 6 in\", \"2 ft\"], [\"-2 ft 6 in\", \"10 ft\"]]";
    let flat = "[[\"-2 ft 6 in\", \"2 ft\"], [\"2 ft 6 in\", \"2 ft\"], [\"0 ft\", \"2 ft\"]]";
    let point = "[[\"1 ft\", \"2 ft\"], [\"1 ft\", \"2 ft\"], [\"1 ft\", \"2 ft\"]]";
    for (corners, expected) in [
        (
            crossing,
            "[unsound]: deck landing: its outline crosses itself: its corners must be in order round it",
        ),
        (flat, "[unsound]: deck landing: its outline has no area"),
        (point, "[unsound]: deck landing: its outline has no area"),
    ] {
        let layout = with(outline, corners);
        refused(
            "a.toml",
            layout.as_bytes(),
            [expected, "105:6", "change its table"],
        );
        let opening = with(
            outline,
            &format!("{outline}\nholes = [{{ outline = {corners} }}]"),
        );
        let expected = expected.replace("its outline", "an opening");
        refused(
            "a.toml",
            opening.as_bytes(),
            [&expected, "105:6", "change its table"],
        );
        let load =
            format!("{LAYOUT}\n[[load]]\nid = \"tub\"\nover = {corners}\nlive = \"20 psf\"\n");
        let expected = expected.replace("deck landing: an opening", "load tub: its area");
        refused(
            "a.toml",
            load.as_bytes(),
            [&expected, "127:6", "change its table"],
        );
    }
    let none = with(outline, "[[\"1 ft\", \"2 ft\"], [\"1 ft\", \"3 ft\"]]");
    refused(
        "a.toml",
        none.as_bytes(),
        [
            "[out-of-range]: deck landing has no outline",
            "105:6",
            "give at least three corners",
        ],
    );
}

#[test]
fn rings_and_doubled_ids_have_both_places() {
    let ring = with("on = [\"SW\", \"NW\"]", "on = [\"SW\", \"x\"]")
        + "[[beam]]\nid = \"x\"\non = [\"west\", \"NE\"]\nline = [[\"-3 ft\", \"12 ft\"], [\"3 ft\", \"12 ft\"]]\nsize = \"4x12\"\nwood = \"Douglas Fir-Larch\"\ngrade = \"No. 1\"\n";
    refused("a.toml", ring.as_bytes(), ["[circle]: ", "", ""]);
    let twice = with("id = \"NE\"", "id = \"NW\"");
    refused(
        "a.toml",
        twice.as_bytes(),
        [
            "[duplicate-id]: the id \"NW\" is taken",
            "71:6",
            "give one of the two another id",
        ],
    );
    refused("a.toml", twice.as_bytes(), ["[duplicate-id]", "71:6", ""]);
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.toml"), twice).unwrap();
    let said = text(&barkline(&["check", "a.toml"], folder.path()).stderr);
    assert!(
        said.contains("= also: the first one (a.toml:63:6)"),
        "{said}"
    );
}

#[test]
fn more_parts_than_any_platform_has_are_counted_and_refused() {
    let mut anchors = LAYOUT.to_owned();
    for k in 0..9_996 {
        write!(
            anchors,
            "[[anchor]]\nid = \"a{k}\"\ntree = \"south\"\nfaces = \"W\"\nsize = \"102x152/51\"\n"
        )
        .unwrap();
    }
    refused(
        "a.toml",
        anchors.as_bytes(),
        [
            "[too-many]: there are 10000 anchors, and no more than",
            "",
            "divide the layout into platforms",
        ],
    );
    anchors += "[[anchor]]\nid = \"last\"\n";
    refused(
        "a.toml",
        anchors.as_bytes(),
        [
            "[too-large]: a list of 10001 entries is longer than any layout needs (10000)",
            "46:1",
            "divide the layout",
        ],
    );
}

#[test]
fn nesting_without_end_ends() {
    for depth in [40, 100_000, 1_000_000] {
        let list = format!("title = {}{}\n", "[".repeat(depth), "]".repeat(depth));
        let nested = "[too-large]: tables and lists are nested more than 32 deep";
        refused(
            "a.toml",
            list.as_bytes(),
            [nested, "1:", "no key of a layout is nested that deep"],
        );
        let path = vec!["a"; depth].join(".");
        let keys = format!("{path} = 1\n");
        let open = format!("{{\"title\": {}", "[".repeat(depth));
        refused(
            "a.json",
            open.as_bytes(),
            ["[syntax]: this is not JSON", "1:", "write strict JSON"],
        );
        let tables = format!("{}1{}", "{\"a\":".repeat(depth), "}".repeat(depth));
        let due = if depth < 100 {
            nested
        } else {
            "[syntax]: this is not JSON: Maximum nesting depth exceeded"
        };
        refused("a.json", tables.as_bytes(), [due, "1:", ""]);
        let due = if depth < 100 {
            nested
        } else {
            "[syntax]: this is not TOML: recursion limit"
        };
        refused("a.toml", keys.as_bytes(), [due, "1:", ""]);
    }
}

/// Texts within the bound on bytes in which every line, or every few bytes of one line, is wrong.
#[test]
fn a_text_of_nothing_but_faults_ends_soon() {
    let lines = "x\n".repeat(4 << 20);
    refused(
        "a.toml",
        &lines.as_bytes()[..8 << 20],
        [
            "[too-large]: the text has 4194305 lines, more than any layout needs (200000)",
            "1:1",
            "give the layout file itself",
        ],
    );
    let fewer = "x\n".repeat(190_000);
    refused(
        "a.toml",
        fewer.as_bytes(),
        [
            "[too-large]: there are more than 200 problems",
            "201:",
            "mend the ones above first",
        ],
    );
    let same = "title = \"a\"\n".repeat(190_000);
    refused(
        "a.toml",
        same.as_bytes(),
        [
            "[duplicate-key]: this key is already set",
            "2:1",
            "keep one of the two",
        ],
    );
    let list = format!("a = [{}]", "?,".repeat(2_000_000));
    refused(
        "a.toml",
        list.as_bytes(),
        [
            "[too-large]: a list of 2000000 entries",
            "1:5",
            "divide the layout",
        ],
    );
    // One line of half a million letters, and every fault behind them.
    let long = "a".repeat(500_000);
    let keys = format!(
        "{{\"b\": \"{long}\", {}\"c\": 1}}",
        "\"a\": 1, ".repeat(9_990)
    );
    refused(
        "a.json",
        keys.as_bytes(),
        [
            "[duplicate-key]: this key is already set",
            "1:500019",
            "keep one of the two",
        ],
    );
    let trees = "{\"id\": \"t\"},".repeat(990);
    let ids = format!("{{\"title\": \"{long}\", \"tree\": [{trees}{{\"id\": \"t\"}}]}}");
    refused(
        "a.json",
        ids.as_bytes(),
        [
            "[duplicate-id]: the id \"t\" is taken",
            "1:500043",
            "give one of the two another id",
        ],
    );
}

#[test]
fn what_never_ends_is_read_no_further_than_a_layout_goes() {
    let folder = tempfile::tempdir().unwrap();
    let mut run = Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(["check", "-"])
        .current_dir(folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut to = run.stdin.take().unwrap();
    let written = std::thread::spawn(move || {
        let block = vec![b'#'; 1 << 20];
        // The program goes before all is written: the pipe breaks.
        (0..100)
            .take_while(|_| to.write_all(&block).is_ok())
            .count()
    });
    let output = run.wait_with_output().unwrap();
    assert!(written.join().unwrap() < 100);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(
        said.contains("error[too-large]: standard input is larger than 16 MiB")
            && said.contains("= mend: "),
        "{said}"
    );
    #[cfg(target_os = "linux")]
    {
        let run = barkline(&["check", "/dev/zero"], folder.path());
        assert_eq!(run.status.code(), Some(2));
        assert!(text(&run.stderr).contains("error[too-large]: /dev/zero is larger than 16 MiB"));
    }
}

/// The survey of the examples in a folder of its own.
fn survey() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/examples/survey");
    for name in ["layout.toml", "trees.csv", "anchors.csv"] {
        std::fs::copy(from.join(name), folder.path().join(name)).unwrap();
    }
    folder
}

#[test]
fn a_spreadsheet_that_is_none_is_told_where_it_is_named() {
    let large = |path: PathBuf| {
        std::fs::File::create(path)
            .unwrap()
            .set_len(100 << 20)
            .unwrap()
    };
    let ways: [(&str, &dyn Fn(PathBuf)); 5] = [
        ("could not be read: it is not there", &|path| {
            std::fs::remove_file(path).unwrap()
        }),
        ("could not be read: it is a folder", &|path| {
            std::fs::remove_file(&path).unwrap();
            std::fs::create_dir(path).unwrap();
        }),
        ("could not be read: its line 2 is not UTF-8 text", &|path| {
            std::fs::write(path, b"id,species\noak\xff,white oak\n").unwrap();
        }),
        ("is larger than any layout needs", &large),
        ("this quotation mark is never closed", &|path| {
            std::fs::write(path, "id,species\noak,\"white oak\n").unwrap()
        }),
    ];
    for (due, spoil) in ways {
        let folder = survey();
        spoil(folder.path().join("trees.csv"));
        let run = barkline(&["check", "layout.toml"], folder.path());
        assert_eq!(run.status.code(), Some(2), "{due}");
        let said = text(&run.stderr)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        let place = said.contains("--> layout.toml:4:9") || said.contains("--> trees.csv:");
        assert!(
            said.contains(due) && place && said.contains("= mend: "),
            "{due}\n{said}"
        );
    }
}

#[test]
fn results_never_replace_what_they_come_from() {
    let folder = survey();
    let read = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    for name in ["layout.toml", "./layout.toml", "trees.csv", "anchors.csv"] {
        let before = read(name);
        for command in [
            &["check"][..],
            &["check", "--lose-one"],
            &["size"],
            &["drill"],
            &["cut"],
        ] {
            let options = ["layout.toml", "--force", "-o", name];
            let run = barkline(&[command, &options].concat(), folder.path());
            let said = text(&run.stderr);
            assert_eq!(run.status.code(), Some(2), "{command:?} {name}: {said}");
            assert!(
                said.contains("error[file-exists]") && said.contains("= mend: give another name"),
                "{said}"
            );
            assert!(read(name) == before, "{command:?} {name}");
        }
    }
}

#[cfg(unix)]
#[test]
fn links_lead_to_what_they_come_from_as_well() {
    use std::os::unix::fs::symlink;
    let folder = survey();
    let at = |name: &str| folder.path().join(name);
    symlink("layout.toml", at("link.txt")).unwrap();
    symlink("trees.csv", at("trees.txt")).unwrap();
    symlink("round.toml", at("round.toml")).unwrap();
    for name in ["link.txt", "trees.txt"] {
        let before = std::fs::read(at(name)).unwrap();
        let run = barkline(
            &["check", "layout.toml", "--force", "-o", name],
            folder.path(),
        );
        assert_eq!(run.status.code(), Some(2), "{name}");
        assert!(std::fs::read(at(name)).unwrap() == before, "{name}");
    }
    // A link to itself is neither a layout nor a place for results.
    let run = barkline(&["check", "round.toml"], folder.path());
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("error[unreadable]: round.toml could not be read"));
    let run = barkline(
        &["check", "layout.toml", "--force", "-o", "round.toml"],
        folder.path(),
    );
    assert_eq!(run.status.code(), Some(3));
    assert!(text(&run.stderr).contains("error[not-written]: round.toml could not be written"));
}

/// A file that is marked as not to be changed is not changed, whoever asks.
#[test]
fn a_read_only_file_is_kept_even_with_force() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("kept.txt");
    std::fs::write(&file, "mine").unwrap();
    let mut permissions = file.metadata().unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&file, permissions).unwrap();
    let run = barkline(&["steels", "--force", "-o", "kept.txt"], folder.path());
    let said = text(&run.stderr);
    assert_eq!(run.status.code(), Some(3), "{said}");
    assert!(
        said.contains("error[not-written]: kept.txt could not be written: permission denied"),
        "{said}"
    );
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        1,
        "nothing is left beside it"
    );
}
