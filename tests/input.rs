//! The layout file: every key is read, written and read back; every problem has its code and its place.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::input::layout::{
    Along, Amount, AsBuiltRows, Axis, Bearing, LIMIT_STATES, LOAD_SYMBOLS, Runs,
};
use barkline::input::reader::{Key, Shape};
use barkline::input::{Code, Format, Layout};
use barkline::units::{Show, si, us};
use proptest::prelude::*;
use snapbox::{Data, assert_data_eq};
use std::path::Path;

const EVERY_KEY: &str = include_str!("good_input/every_key.toml");

fn every_key() -> Layout {
    Layout::from_toml(EVERY_KEY).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The same document, read by another library and written as JSON.
fn as_json(toml: &str) -> String {
    let document: toml::Table = toml::from_str(toml).unwrap();
    serde_json::to_string_pretty(&document).unwrap()
}

/// The keys of the shape that the value does not use, with their path.
fn unused(shape: &Shape, value: &[&toml::Value], path: &str, out: &mut Vec<String>) {
    match shape {
        Shape::List(of) | Shape::FileOr(of) | Shape::Pair(of) => {
            let inner: Vec<&toml::Value> = value
                .iter()
                .flat_map(|value| value.as_array().unwrap())
                .collect();
            let of = if matches!(shape, Shape::FileOr(_)) {
                return unused(of, value, path, out);
            } else {
                of
            };
            unused(of, &inner, path, out);
        }
        Shape::Table(_, keys) => {
            for Key { name, shape, .. } in *keys {
                let path = format!("{path}.{name}");
                let inner: Vec<&toml::Value> = value.iter().filter_map(|v| v.get(name)).collect();
                if inner.is_empty() {
                    out.push(path);
                } else {
                    unused(shape, &inner, &path, out);
                }
            }
        }
        Shape::Numbers(names) => {
            let missing = names
                .iter()
                .filter(|name| !value.iter().any(|v| v.get(name).is_some()));
            out.extend(missing.map(|name| format!("{path}.{name}")));
        }
        _ => {}
    }
}

#[test]
fn the_file_with_every_key_has_every_key() {
    let document: toml::Value = toml::from_str::<toml::Table>(EVERY_KEY).unwrap().into();
    let mut missing = Vec::new();
    unused(&Layout::SHAPE, &[&document], "", &mut missing);
    assert_eq!(missing, Vec::<String>::new());
    assert_eq!((LIMIT_STATES.len(), LOAD_SYMBOLS.len()), (15, 6));
}

#[test]
fn values_arrive_where_they_belong() {
    let layout = every_key();
    assert_eq!(*layout.show.unwrap(), Show::Us);
    let ridge = &layout.tree[0];
    assert_eq!(&**ridge.id, "ridge");
    assert_eq!(ridge.ground, Some(us::inches(-14.0).into()));
    let at = ridge.at.unwrap();
    assert_eq!((at.east(), at.north()), (us::feet(0.0), us::feet(14.0)));
    assert_eq!(ridge.leans.unwrap().value, Bearing(si::degrees(270.0)));
    let spur = &layout.tree[1];
    assert_eq!(spur.distance, Some(us::inches(161.0).into()));
    assert_eq!(layout.anchor[1].turn, Some(si::degrees(-90.0).into()));
    let main = &layout.beam[1];
    let along: Vec<Along> = main.on.iter().map(|place| place.along).collect();
    let four = Along::At(us::feet(4.0).into());
    assert_eq!(
        along,
        [
            four,
            Along::Start,
            Along::End,
            Along::Crossing,
            Along::Crossing
        ]
    );
    assert_eq!(layout.beam[2].runs.unwrap().value, Runs::Out);
    assert_eq!(**layout.beam[0].plies.as_ref().unwrap(), 2);
    let run = layout.deck[0].joists.as_ref().unwrap().run.unwrap().value;
    assert_eq!(run, Axis(Bearing(si::degrees(90.0))));
    assert_eq!(
        layout.load[1].dead.unwrap().value,
        Amount::Line(us::plf(8.0).into())
    );
    let factors = &layout.criteria.as_ref().unwrap().safety_factor;
    assert_eq!(factors.as_ref().unwrap().0["boss_bearing"], 2.1.into());
    let Some(AsBuiltRows::Rows(rows)) = &layout.as_built else {
        panic!()
    };
    assert_eq!(rows[0].depth, Some(us::inches(9.25).into()));
}

#[test]
fn places_are_those_of_the_file() {
    let layout = every_key();
    let span = layout.tree[1].distance.unwrap().span.unwrap();
    assert_eq!(&EVERY_KEY[span.start..span.end], "\"13 ft 5 in\"");
    let place = layout.tree[1]
        .distance
        .unwrap()
        .place(&layout.sources)
        .unwrap();
    assert_eq!(place.excerpt, "distance = \"13 ft 5 in\"");
    assert_eq!((place.column, place.mark), (12, 11..23));
}

#[test]
fn json_of_the_same_layout_is_the_same_layout() {
    let json = as_json(EVERY_KEY);
    let read = Layout::from_json(&json).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(read, every_key());
    let span = read.tree[1].distance.unwrap().span.unwrap();
    assert_eq!(&json[span.start..span.end], "\"13 ft 5 in\"");
}

#[test]
fn a_layout_that_is_written_reads_back_equal() {
    let layout = every_key();
    let toml = toml::to_string(&layout).unwrap();
    assert_eq!(
        Layout::from_toml(&toml).unwrap_or_else(|problems| panic!("{toml}\n{problems}")),
        layout
    );
    assert_eq!(toml::from_str::<Layout>(&toml).unwrap(), layout);
    let json = serde_json::to_string(&layout).unwrap();
    assert_eq!(
        Layout::from_json(&json).unwrap_or_else(|problems| panic!("{json}\n{problems}")),
        layout
    );
    assert_eq!(serde_json::from_str::<Layout>(&json).unwrap(), layout);
    assert!(!json.contains("null"));
}

#[test]
fn an_empty_text_is_an_empty_layout() {
    assert_eq!(Layout::from_toml("").unwrap(), Layout::default());
    assert_eq!(Layout::from_json("{}").unwrap(), Layout::default());
    assert_eq!(toml::to_string(&Layout::default()).unwrap(), "");
    assert!(Layout::from_json("").is_err());
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let marked = format!("\u{feff}{}", EVERY_KEY.replace('\n', "\r\n"));
    let layout = Layout::from_toml(&marked).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(layout, every_key());
    let span = layout.tree[0].species.as_ref().unwrap().span.unwrap();
    assert_eq!(&marked[span.start..span.end], "\"western larch\"");
    let json = format!("\u{feff}{}", as_json(EVERY_KEY));
    assert_eq!(Layout::from_json(&json).unwrap(), every_key());
}

#[test]
fn a_spreadsheet_may_stand_for_the_rows_as_built() {
    let layout = Layout::from_toml("as_built = \"site.csv\"").unwrap();
    assert_eq!(layout.as_built, Some(AsBuiltRows::File("site.csv".into())));
    let again = Layout::from_toml(&toml::to_string(&layout).unwrap()).unwrap();
    assert_eq!(again, layout);
    assert_eq!(
        serde_json::from_str::<Layout>(r#"{"as_built":"site.csv"}"#).unwrap(),
        layout
    );
}

#[test]
fn a_date_may_stand_without_quotes() {
    let layout = Layout::from_toml("[project]\ndate = 2026-05-01\n").unwrap();
    assert_eq!(layout.project.unwrap().date, Some("2026-05-01".into()));
}

#[test]
fn every_code_has_an_input_that_must_fail() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_input");
    // What is found only once ids are looked up has its files and its test beside these.
    let read = |code: &&Code| !folder.join(format!("resolve-{code}.toml")).exists();
    for code in Code::all().iter().filter(read) {
        let toml = folder.join(format!("{code}.toml"));
        let json = folder.join(format!("{code}.json"));
        let inputs = [(toml, Format::Toml), (json, Format::Json)];
        let there = inputs.iter().filter(|(path, _)| path.exists());
        let mut count = 0;
        for (path, format) in there {
            count += 1;
            let text = std::fs::read_to_string(path).unwrap();
            let name = path.file_name().unwrap().to_str().unwrap();
            let problems = Layout::from_named(name, &text, *format).expect_err(name);
            assert!(
                problems.iter().any(|p| p.code == *code),
                "{name}:\n{problems}"
            );
            assert!(problems.has_errors());
            let snapshot = path.with_file_name(format!("{name}.txt"));
            assert_data_eq!(problems.to_string(), Data::read_from(&snapshot, None).raw());
        }
        assert!(
            count > 0,
            "no input in {} fails with {code}",
            folder.display()
        );
    }
}

fn codes(text: &str, format: Format) -> Vec<Code> {
    let problems = Layout::from_text(text, format).expect_err("it has problems");
    problems.iter().map(|problem| problem.code).collect()
}

#[test]
fn sizes_beyond_all_layouts_are_refused() {
    let long = format!("# {}\n", "x".repeat(9 << 20));
    assert_eq!(codes(&long, Format::Toml), [Code::TooLarge]);
    let list = format!(
        "[[beam]]\nid = \"a\"\non = [{}]\n",
        "\"N1\",".repeat(10_001)
    );
    assert!(codes(&list, Format::Toml).contains(&Code::TooLarge));
    let list = format!("{{\"beam\": [{}null]}}", "null,".repeat(10_000));
    assert_eq!(codes(&list, Format::Json), [Code::TooLarge]);
    let keys: Vec<String> = (0..10_001).map(|i| format!("k{i} = 1")).collect();
    assert_eq!(codes(&keys.join("\n"), Format::Toml), [Code::TooLarge]);
    let fits = format!(
        "[[beam]]\nid = \"a\"\non = [{}]\n",
        "\"N1\",".repeat(10_000)
    );
    assert_eq!(Layout::from_toml(&fits).unwrap().beam[0].on.len(), 10_000);
}

#[test]
fn nesting_ends_before_the_stack_does() {
    for depth in [33, 100, 1000, 100_000] {
        let list = format!("title = {}{}", "[".repeat(depth), "]".repeat(depth));
        assert!(!codes(&list, Format::Toml).is_empty());
        let open = format!("title = {}", "[".repeat(depth));
        assert!(!codes(&open, Format::Toml).is_empty());
        let list = format!("{{\"title\": {}{}}}", "[".repeat(depth), "]".repeat(depth));
        assert!(!codes(&list, Format::Json).is_empty());
        let tables = format!("{}1{}", "{\"a\":".repeat(depth), "}".repeat(depth));
        assert!(!codes(&tables, Format::Json).is_empty());
        let path = vec!["a"; depth].join(".");
        assert!(!codes(&format!("{path} = 1"), Format::Toml).is_empty());
        assert!(!codes(&format!("[{path}]"), Format::Toml).is_empty());
        assert!(!codes(&format!("[[{path}]]"), Format::Toml).is_empty());
    }
    // Dotted keys within inline tables: both limits of the parser at once.
    let path = vec!["a"; 79].join(".");
    let both = format!(
        "{}{path} = 1{}",
        format!("{path} = {{").repeat(78),
        "}".repeat(78)
    );
    assert!(codes(&both, Format::Toml).contains(&Code::TooLarge));
}

#[test]
fn not_more_problems_are_shown_than_can_be_read() {
    let tree = |i: i32| format!("[[tree]]\nid = \"t{i}\"\nbark = 1\n");
    let text: String = (0..1000).map(tree).collect();
    let found = codes(&text, Format::Toml);
    assert_eq!(found.len(), 201);
    assert_eq!(found.last(), Some(&Code::TooLarge));
    assert!(found.iter().take(200).all(|code| *code == Code::BareNumber));
}

#[test]
fn problems_come_in_the_order_of_the_file() {
    let problems = Layout::from_toml(include_str!("bad_input/wrong-type.toml")).unwrap_err();
    let lines: Vec<usize> = problems
        .iter()
        .map(|p| p.place.as_ref().unwrap().line)
        .collect();
    assert!(lines.len() > 10 && lines.is_sorted(), "{lines:?}");
}

#[test]
fn diagnostics_serialize_for_programs() {
    let problems = Layout::from_toml("[[tree]]\nid = \"a\"\nbark = 1\n").unwrap_err();
    let json = serde_json::to_value(&problems).unwrap();
    let expected = serde_json::json!([{
        "code": "bare-number",
        "severity": "error",
        "message": "`bark` is a bare number",
        "place": {
            "file": "layout", "line": 3, "column": 8, "range": { "start": 25, "end": 26 },
            "excerpt": "bark = 1", "mark": { "start": 7, "end": 8 }
        },
        "mend": "write it in quotes with its unit: \"1 mm\", \"1 cm\", \"1 m\", \"1 in\", \"1 ft\"",
        "related": []
    }]);
    assert_eq!(json, expected);
}

#[test]
fn a_quoted_file_cannot_drive_the_terminal() {
    let problems = Layout::from_toml("\"\\u001b[31m\" = 1\n").unwrap_err();
    assert_eq!(problems.len(), 1);
    assert!(
        problems.to_string().contains("` [31m` is not a key"),
        "{problems}"
    );
}

#[test]
fn every_code_has_its_own_word_and_meaning() {
    let words: std::collections::BTreeSet<&str> = Code::all().iter().map(|c| c.word()).collect();
    assert_eq!(words.len(), Code::all().len());
    for code in Code::all() {
        let kebab = |c: char| c.is_ascii_lowercase() || c == '-';
        assert!(code.word().chars().all(kebab), "{code}");
        assert!(
            code.about().ends_with('.') && !code.about().starts_with(' '),
            "{code}"
        );
    }
}

#[test]
fn json_is_read_strictly() {
    for text in [
        "",
        " ",
        "{",
        "{}x",
        "{} {}",
        "{'title': 'a'}",
        "{title: \"a\"}",
        "{\"title\": \"a\",}",
        "{\"tree\": [],}",
        "{\"tree\": [,]}",
        "/* a */ {}",
        "{\"title\": \"a\" \"show\": \"us\"}",
        "{\"site\": {\"snow_thermal\": 0x1}}",
        "{\"site\": {\"snow_thermal\": +1}}",
        "{\"site\": {\"snow_thermal\": 01}}",
        "{\"site\": {\"snow_thermal\": 1.}}",
        "{\"site\": {\"snow_thermal\": .5}}",
        "{\"title\": \"\\x\"}",
        "{\"title\": \"a\nb\"}",
        "{\"title\": NaN}",
        "{\"title\": undefined}",
    ] {
        assert_eq!(codes(text, Format::Json), [Code::Syntax], "{text}");
    }
    assert_eq!(codes("[]", Format::Json), [Code::WrongType]);
    let huge = "{\"site\": {\"snow_thermal\": 1e999}}";
    assert_eq!(codes(huge, Format::Json), [Code::OutOfRange]);
}

/// Lines that a layout could have, sound and broken, in any order.
fn lines() -> impl Strategy<Value = String> {
    let file: Vec<&str> = EVERY_KEY.lines().collect();
    let broken = vec![
        "[[tree]]",
        "[",
        "id = ",
        "x = 1",
        "bark = 1",
        "on = [[",
        "}",
        "a.b.c = 3",
        "[a.b]",
        "'''",
        "\"\"\"",
        "\u{feff}",
        "ö = 'ß'",
    ];
    let line = prop_oneof![
        4 => prop::sample::select(file).prop_map(str::to_owned),
        1 => prop::sample::select(broken).prop_map(str::to_owned),
        1 => ".{0,12}",
    ];
    prop::collection::vec(line, 0..40).prop_map(|lines| lines.join("\n"))
}

/// Tables of the file, whole, in any order: mostly sound layouts.
fn tables() -> impl Strategy<Value = String> {
    let tables: Vec<&str> = EVERY_KEY
        .split("\n\n")
        .skip(1)
        .filter(|t| t.starts_with("[["))
        .collect();
    prop::collection::vec(prop::sample::select(tables), 0..20)
        .prop_map(|tables| tables.join("\n\n"))
}

/// Neither a panic nor a place outside the text.
fn is_read_or_refused(text: &str, format: Format) -> Result<(), TestCaseError> {
    match Layout::from_text(text, format) {
        Ok(layout) => {
            let again = toml::to_string(&layout).unwrap();
            let read = Layout::from_toml(&again);
            prop_assert!(
                read.as_ref().is_ok_and(|read| *read == layout),
                "{}\n{:?}",
                again,
                read
            );
        }
        Err(problems) => {
            prop_assert!(!problems.is_empty());
            for problem in &problems {
                let place = problem.place.as_ref();
                let within = place.is_some_and(|place| text.get(place.range.clone()).is_some());
                prop_assert!(within, "{}", problem);
                let shown = problem.to_string();
                let clean = !problem.mend.is_empty() && !shown.contains('\u{1b}');
                prop_assert!(clean, "{}", shown);
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_text_is_read_or_refused(text in ".*", json in "[\\[\\]{}:,\" a-z0-9.\\\\]*") {
        is_read_or_refused(&text, Format::Toml)?;
        is_read_or_refused(&text, Format::Json)?;
        is_read_or_refused(&json, Format::Json)?;
    }

    #[test]
    fn characters_of_several_bytes_are_read_or_refused(json in "[\\[\\]{}:,\"¡é\u{b}\u{1}木 a]*") {
        is_read_or_refused(&json, Format::Json)?;
        is_read_or_refused(&json, Format::Toml)?;
    }

    #[test]
    fn shuffled_lines_are_read_or_refused(text in lines()) {
        is_read_or_refused(&text, Format::Toml)?;
    }

    #[test]
    fn toml_and_json_of_any_tables_say_the_same(text in tables()) {
        is_read_or_refused(&text, Format::Toml)?;
        let layout = Layout::from_toml(&text);
        prop_assert!(layout.is_ok(), "{}", layout.unwrap_err());
        prop_assert_eq!(layout.ok(), Layout::from_json(&as_json(&text)).ok());
    }

    #[test]
    fn a_changed_character_is_read_or_refused(at in 0..EVERY_KEY.len(), with in any::<char>()) {
        let mut text: Vec<char> = EVERY_KEY.chars().collect();
        if let Some(c) = text.get_mut(at) {
            *c = with;
        }
        is_read_or_refused(&text.into_iter().collect::<String>(), Format::Toml)?;
    }
}
