//! Spreadsheets of a layout: the example survey checks, and every spreadsheet that must fail says where and why.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::checks::Verdict;
use barkline::input::{Code, Diagnostics};
use barkline::model::LimitState;
use barkline::{Format, Layout};
use snapbox::{Data, assert_data_eq};
use std::path::{Path, PathBuf};

fn root(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(below)
}

/// The survey of the examples, its spreadsheets changed on the way.
fn survey(change: impl Fn(&str, String) -> String) -> Result<Layout, Diagnostics> {
    let folder = root("docs/examples/survey");
    let text = std::fs::read_to_string(folder.join("layout.toml")).unwrap();
    let layout = Layout::from_named("survey/layout.toml", &text, Format::Toml).unwrap();
    layout.with_spreadsheets(|name| {
        let text = std::fs::read_to_string(folder.join(name)).map_err(|error| error.to_string())?;
        Ok::<_, String>(change(name, text).into_bytes())
    })
}

#[test]
fn the_survey_passes_and_its_rows_count() {
    let layout = survey(|_, text| text).unwrap_or_else(|found| panic!("{found}"));
    assert_eq!((layout.tree.len(), layout.anchor.len()), (3, 4));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    let results = resolved.platform.check().unwrap();
    assert_eq!(results.verdict(), Verdict::Pass);
    assert_eq!(results.attachments().len(), 4);
    // A thicker bark of one row is a longer arm of the anchors in that stem.
    let margin = |layout: Layout| {
        let results = layout.resolve().unwrap().platform.check().unwrap();
        let limit_load = results.attachments()[0].check(LimitState::LimitLoad);
        limit_load.unwrap().margin().unwrap()
    };
    let before = margin(survey(|_, text| text).unwrap());
    let after = margin(survey(|_, text| text.replace("236,24,", "236,60,")).unwrap());
    assert!(after < before, "{after} {before}");
}

#[test]
fn exports_in_other_forms_are_the_same_survey() {
    let plain = survey(|_, text| text).unwrap();
    let marked = survey(|_, text| format!("\u{feff}{}", text.replace('\n', "\r\n"))).unwrap();
    let semicolons = survey(|_, text| text.replace(',', ";")).unwrap();
    let tabs = survey(|_, text| text.replace(',', "\t")).unwrap();
    let quoted = survey(|_, text| {
        let lines = text.lines();
        let quote = |line: &str| format!("\"{}\"\n", line.replace(',', "\",\""));
        lines.map(quote).collect()
    })
    .unwrap();
    for other in [marked, semicolons, tabs, quoted] {
        assert_eq!(other, plain);
    }
}

#[test]
fn what_looking_up_finds_stands_in_its_cell() {
    let found = |from: &str, to: &str| {
        let layout = survey(|_, text| text.replacen(from, to, 1)).unwrap();
        let found = layout.resolve().unwrap_err();
        let first = found.iter().next().unwrap().clone();
        let place = first.place.unwrap();
        (first.code, place.file, place.line, place.cell.unwrap())
    };
    let trees = |row, column: &str| {
        (
            "survey/trees.csv".to_owned(),
            row,
            format!("row {row}, column {column}"),
        )
    };
    let due = |code, (file, row, cell)| (code, file, row, cell);
    assert_eq!(
        found("oak-2,white oak", "oak-2,whit oak"),
        due(Code::UnknownWood, trees(3, "B"))
    );
    assert_eq!(
        found("birch,", "oak-1,"),
        due(Code::DuplicateId, trees(4, "A"))
    );
    let anchors = (
        "survey/anchors.csv".to_owned(),
        3,
        "row 3, column B".to_owned(),
    );
    assert_eq!(found("1E,oak-1", "1E,oak-3"), due(Code::UnknownId, anchors));
}

#[test]
fn a_spreadsheet_that_cannot_be_had_is_told_at_its_key() {
    let layout =
        Layout::from_toml("title = \"x\"\ntrees = \"t.csv\"\nanchors = \"a.csv\"\n").unwrap();
    let found = layout
        .with_spreadsheets(|name| Err::<Vec<u8>, _>(format!("no {name}")))
        .unwrap_err();
    let said: Vec<(Code, usize, &str)> = found
        .iter()
        .map(|one| {
            (
                one.code,
                one.place.as_ref().unwrap().line,
                one.message.as_str(),
            )
        })
        .collect();
    assert_eq!(
        said,
        [
            (
                Code::Unreadable,
                2,
                "the spreadsheet t.csv could not be read: no t.csv"
            ),
            (
                Code::Unreadable,
                3,
                "the spreadsheet a.csv could not be read: no a.csv"
            ),
        ]
    );
}

#[test]
fn the_page_of_the_format_shows_a_spreadsheet_that_reads() {
    let page = std::fs::read_to_string(root("docs/format.md")).unwrap();
    let section = page.split("## Spreadsheets").nth(1).unwrap();
    let csv = section
        .split("```text\n")
        .nth(1)
        .unwrap()
        .split("```")
        .next()
        .unwrap();
    let layout = Layout::from_toml("trees = \"trees.csv\"").unwrap();
    let layout = layout.with_spreadsheets(|_| Ok::<_, String>(csv.as_bytes().to_vec()));
    let layout = layout.unwrap_or_else(|found| panic!("{found}"));
    assert_eq!(
        layout.tree[1].girth,
        Some(barkline::units::us::inches(90.0).into())
    );
    assert_eq!(layout.tree[1].lean, None);
}

/// Files `<key>.<code>.csv` and `<key>.<code>.<more>.csv`, each with its snapshot.
#[test]
fn every_spreadsheet_that_must_fail_does() {
    let mut files: Vec<PathBuf> = std::fs::read_dir(root("tests/bad_csv"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "csv"))
        .collect();
    files.sort();
    assert!(files.len() >= 15);
    for path in files {
        let name = path.file_name().unwrap().to_str().unwrap();
        let mut words = name.split('.');
        let (key, code) = (words.next().unwrap(), words.next().unwrap());
        let layout = Layout::from_toml(&format!("{key} = \"{name}\"")).unwrap();
        let found = layout
            .with_spreadsheets(|_| std::fs::read(&path))
            .expect_err(name);
        assert!(
            found.iter().any(|one| one.code.word() == code),
            "{name}:\n{found}"
        );
        for one in &found {
            let place = one.place.as_ref().unwrap_or_else(|| panic!("{one}"));
            assert_eq!(place.file, name);
            assert!(one.mend.len() > 5);
        }
        assert_data_eq!(
            found.to_string(),
            Data::read_from(&path.with_extension("csv.txt"), None).raw()
        );
    }
}
