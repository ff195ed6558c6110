//! Layouts that nobody would draw: never a panic, never a hang, never a number that is none.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::Layout;
use barkline::checks::{CheckError, Results};
use barkline::input::{Code, Diagnostics, Resolved};
use barkline::report::{CheckDocument, Provenance, check_json};
use proptest::prelude::*;
use std::fmt::Write as _;
use std::time::{Duration, Instant};

/// Nothing here takes this long, on a slow machine and without optimization.
const BOUND: Duration = Duration::from_secs(60);
/// Beyond any number of a platform of plausible sizes, in SI: a modulus of steel is 2·10¹¹, a rigid support 10¹³.
const HUGE: f64 = 1e15;

/// What became of a layout.
#[derive(Debug)]
enum Fate {
    Refused(Diagnostics),
    Stopped(CheckError),
    Checked(Box<Results>),
}

impl Fate {
    fn of(text: &str) -> Self {
        let begun = Instant::now();
        let fate = match Layout::from_toml(text).and_then(|layout| layout.resolve()) {
            Err(found) => Self::Refused(found),
            Ok(resolved) => check(&resolved),
        };
        assert!(begun.elapsed() < BOUND, "{:?}\n{text}", begun.elapsed());
        match &fate {
            Self::Refused(found) => assert!(found.has_errors(), "refused without a reason\n{text}"),
            Self::Stopped(error) => assert!(
                !matches!(
                    error,
                    CheckError::Analysis(barkline::analysis::platform::AnalysisError::Unbalanced(
                        _
                    ))
                ),
                "{error}\n{text}"
            ),
            Self::Checked(_) => {}
        }
        fate
    }

    fn codes(&self) -> Vec<Code> {
        match self {
            Self::Refused(found) => found.iter().map(|one| one.code).collect(),
            _ => Vec::new(),
        }
    }
}

fn check(resolved: &Resolved) -> Fate {
    let platform = &resolved.platform;
    let results = match platform.check() {
        Ok(results) => results,
        Err(error) => return Fate::Stopped(error),
    };
    let results = match platform.lose_each() {
        Ok(lost) => results.with_lost(lost),
        Err(error) => return Fate::Stopped(error),
    };
    finite(&format!("{results:?}"));
    let document = CheckDocument::new(&results, Provenance::of(b"hostile"), Vec::new());
    finite(&format!("{document:?}"));
    let json: serde_json::Value = serde_json::from_str(&check_json(&document).unwrap()).unwrap();
    walk("", &json);
    Fate::Checked(Box::new(results))
}

/// The words that Rust prints for numbers that are none.
fn finite(debug: &str) {
    let word = |at: usize, length: usize| {
        let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
        !letter(debug[..at].chars().next_back()) && !letter(debug[at + length..].chars().next())
    };
    for none in ["NaN", "inf"] {
        for (at, _) in debug.match_indices(none) {
            assert!(
                !word(at, none.len()),
                "…{}",
                &debug[at.saturating_sub(300)..at + 20]
            );
        }
    }
}

/// Where `null` says that there is no such number.
const MAY_BE_NULL: &[&str] = &[
    "allowed_n",
    "beam",
    "combination",
    "gap_m",
    "governing",
    "hardest",
    "level_m",
    "locked_in_n",
    "margin",
    "movement_m",
    "note",
    "overturning_n_m",
    "service_m",
    "share_of_rupture",
    "side_stiffness_n_per_m",
    "softened_margin",
    "storm_m",
    "stress_pa",
    "travel_given_m",
    "travel_needed_m",
    "tree",
    "unknown",
    "utilization",
    "yearly_m",
    "years_to_contact",
];

fn walk(key: &str, value: &serde_json::Value) {
    match value {
        serde_json::Value::Null => assert!(
            MAY_BE_NULL.contains(&key) || key.starts_with("allowable") || key.starts_with("demand"),
            "{key} is null"
        ),
        serde_json::Value::Number(number) => {
            assert!(number.as_f64().unwrap().is_finite(), "{key} is {number}");
        }
        serde_json::Value::Array(list) => list.iter().for_each(|one| walk(key, one)),
        serde_json::Value::Object(map) => map.iter().for_each(|(key, one)| walk(key, one)),
        _ => {}
    }
}

fn tree(id: &str, east: &str, north: &str) -> String {
    format!(
        "[[tree]]\nid = \"{id}\"\nspecies = \"white oak\"\nat = [\"{east}\", \"{north}\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n"
    )
}

fn anchor(id: &str, tree: &str, faces: &str, more: &str) -> String {
    format!(
        "[[anchor]]\nid = \"{id}\"\ntree = \"{tree}\"\nfaces = \"{faces}\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n{more}\n"
    )
}

const TIMBER: &str = "width = \"100 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\n";

/// A braced platform with one of everything.
fn everything() -> String {
    let mut text =
        "[site]\nwind = \"115 mph\"\nexposure = \"C\"\n[criteria]\nseat_friction = 0.3\n"
            .to_owned();
    for (name, north) in [("a", "0 m"), ("b", "3 m")] {
        text += &tree(name, "0 m", north);
        text += &anchor(&format!("{name}-up"), name, "E", "level = \"3 m\"");
        text += &anchor(&format!("{name}-low"), name, "E", "level = \"1.6 m\"");
        write!(
            text,
            "[[beam]]\nid = \"{name}-spoke\"\non = [\"{name}-up\"]\nruns = \"out\"\noverhang = [\"0 m\", \"2.2 m\"]\nseat_rise = \"50 mm\"\nheld_down = true\n{TIMBER}[[brace]]\nid = \"{name}-brace\"\nfrom = \"{name}-low\"\nto = \"{name}-spoke at 1.4 m\"\nwidth = \"90 mm\"\ndepth = \"90 mm\"\nmodulus = \"11 GPa\"\n"
        )
        .unwrap();
    }
    text += "[[deck]]\nid = \"d\"\non = [\"a-spoke\", \"b-spoke\"]\noutline = [[\"0.73 m\", \"0 m\"], [\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"], [\"0.73 m\", \"3 m\"]]\njoists = { run = \"N-S\", spacing = \"400 mm\", width = \"45 mm\", depth = \"145 mm\", modulus = \"10 GPa\" }\ndead = \"0.5 kPa\"\nlive = \"2 kPa\"\nconcentrated = \"1 kN\"\n";
    text += "[[guard]]\nid = \"g\"\ndeck = \"d\"\nalong = [[\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"]]\nheight = \"1 m\"\nsolidity = \"40 %\"\n";
    text += "[[swing]]\nid = \"s\"\non = \"a-spoke at 2 m\"\nrider = \"0.8 kN\"\nto = \"60 deg\"\n";
    text += "[[hammock]]\nid = \"h\"\nends = [\"a-spoke at 1 m\", \"b-spoke at 1 m\"]\nweight = \"1 kN\"\nsag = \"600 mm\"\n";
    text + "[[load]]\nid = \"p\"\non = \"b-spoke at 2 m\"\nlive = \"0.5 kN\"\nuplift = \"0.1 kN\"\npush = \"0.2 kN\"\ntoward = \"35 deg\"\n"
}

#[test]
fn the_platform_of_these_tests_is_checked_and_its_numbers_are_sound() {
    let Fate::Checked(results) = Fate::of(&everything()) else {
        panic!("{:?}", Fate::of(&everything()));
    };
    let document = CheckDocument::new(&results, Provenance::of(b"hostile"), Vec::new());
    let json: serde_json::Value = serde_json::from_str(&check_json(&document).unwrap()).unwrap();
    assert!(largest(&json) < HUGE);
    assert!(results.attachments().len() == 4 && results.joints().len() == 2);
}

fn largest(value: &serde_json::Value) -> f64 {
    match value {
        serde_json::Value::Number(number) => number.as_f64().unwrap().abs(),
        serde_json::Value::Array(list) => list.iter().map(largest).fold(0.0, f64::max),
        serde_json::Value::Object(map) => map.values().map(largest).fold(0.0, f64::max),
        _ => 0.0,
    }
}

/// Values that mean nothing for a key, and values at the edge of meaning.
const LENGTHS: &[&str] = &[
    "0 m", "-1 m", "1e9 ft", "1e-9 m", "1e300 m", "1e-300 m", "NaN m", "inf m", "1", "", "12 kN",
];
const FORCES: &[&str] = &[
    "0 kN",
    "-1 kN",
    "1e300 kN",
    "1e12 kN",
    "1e-300 kN",
    "NaN kN",
    "inf kN",
    "1 m",
];

/// One key of the platform, as it stands and as it is replaced.
fn replaced(key: &str, value: &str) -> String {
    replaced_in(everything(), key, value)
}

fn replaced_in(text: String, key: &str, value: &str) -> String {
    let Some(at) = text.find(key) else {
        return text;
    };
    let line = text[at..].find(['\n', '}']).unwrap() + at;
    let (name, _) = key.split_once(" =").unwrap();
    let end = if text[at..line].contains(", ") && key.starts_with("spacing") {
        at + text[at..].find(',').unwrap()
    } else {
        line
    };
    format!("{}{name} = {value}{}", &text[..at], &text[end..])
}

#[test]
fn a_value_out_of_all_reason_is_refused_or_answered_in_numbers() {
    for (key, values) in [
        ("height = \"1 m\"", LENGTHS),
        ("seat_rise = \"50 mm\"", LENGTHS),
        ("sag = \"600 mm\"", LENGTHS),
        ("spacing = \"400 mm\"", LENGTHS),
        ("level = \"1.6 m\"", LENGTHS),
        ("level = \"3 m\"", LENGTHS),
        ("arm = \"100 mm\"", LENGTHS),
        ("diameter = \"900 mm\"", LENGTHS),
        ("bark = \"20 mm\"", LENGTHS),
        ("depth = \"240 mm\"", LENGTHS),
        ("width = \"90 mm\"", LENGTHS),
        ("rider = \"0.8 kN\"", FORCES),
        ("weight = \"1 kN\"", FORCES),
        ("concentrated = \"1 kN\"", FORCES),
        ("uplift = \"0.1 kN\"", FORCES),
        ("push = \"0.2 kN\"", FORCES),
        ("live = \"0.5 kN\"", FORCES),
    ] {
        for value in values {
            Fate::of(&replaced(key, &format!("\"{value}\"")));
        }
    }
    for (key, values) in [
        (
            "to = \"60 deg\"",
            &[
                "\"0 deg\"",
                "\"90 deg\"",
                "\"91 deg\"",
                "\"-1 deg\"",
                "\"1e30 deg\"",
                "\"NaN deg\"",
            ][..],
        ),
        (
            "solidity = \"40 %\"",
            &[
                "\"0 %\"",
                "\"100 %\"",
                "\"101 %\"",
                "\"-1 %\"",
                "\"NaN %\"",
                "\"inf %\"",
            ],
        ),
        (
            "seat_friction = 0.3",
            &["0", "-0.1", "1e300", "nan", "inf", "\"0.3\""],
        ),
        (
            "wind = \"115 mph\"",
            &[
                "\"0 mph\"",
                "\"-5 mph\"",
                "\"1e9 mph\"",
                "\"1e200 mph\"",
                "\"NaN mph\"",
            ],
        ),
        (
            "live = \"2 kPa\"",
            &[
                "\"0 kPa\"",
                "\"-1 kPa\"",
                "\"1e9 kPa\"",
                "\"1e300 kPa\"",
                "\"NaN kPa\"",
            ],
        ),
        (
            "modulus = \"11 GPa\"",
            &[
                "\"0 GPa\"",
                "\"-1 GPa\"",
                "\"1e-9 Pa\"",
                "\"1e300 Pa\"",
                "\"NaN Pa\"",
            ],
        ),
        (
            "toward = \"35 deg\"",
            &["\"NaN deg\"", "\"1e300 deg\"", "\"here\""],
        ),
    ] {
        for value in values {
            Fate::of(&replaced(key, value));
        }
    }
}

#[test]
fn what_means_nothing_is_refused_with_a_code() {
    for (key, value) in [
        ("height = \"1 m\"", "\"0 m\""),
        ("height = \"1 m\"", "\"-1 m\""),
        ("rider = \"0.8 kN\"", "\"-1 kN\""),
        ("weight = \"1 kN\"", "\"0 kN\""),
        ("sag = \"600 mm\"", "\"0 m\""),
        ("to = \"60 deg\"", "\"91 deg\""),
        ("to = \"60 deg\"", "\"-1 deg\""),
        ("solidity = \"40 %\"", "\"101 %\""),
        ("seat_friction = 0.3", "-0.1"),
        ("concentrated = \"1 kN\"", "\"-1 kN\""),
        ("wind = \"115 mph\"", "\"-5 mph\""),
        ("level = \"1.6 m\"", "\"3.17 m\""),
        (
            "ends = [\"a-spoke at 1 m\", \"b-spoke at 1 m\"]",
            "[\"a-spoke at 1 m\", \"a-spoke at 1 m\"]",
        ),
        ("to = \"a-spoke at 1.4 m\"", "\"a-low\""),
        ("to = \"a-spoke at 1.4 m\"", "\"a-spoke at 9 m\""),
        ("on = [\"a-spoke\", \"b-spoke\"]", "[]"),
        ("on = \"a-spoke at 2 m\"", "\"a-up\""),
        (
            "along = [[\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"]]",
            "[[\"2.73 m\", \"0 m\"], [\"2.73 m\", \"0 m\"]]",
        ),
    ] {
        let fate = Fate::of(&replaced(key, value));
        assert!(!fate.codes().is_empty(), "{key} → {value}: {fate:?}");
    }
}

#[test]
fn outlines_of_no_area_or_that_cross_themselves_are_told() {
    let outline = "outline = [[\"0.73 m\", \"0 m\"], [\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"], [\"0.73 m\", \"3 m\"]]";
    for corners in [
        "[[\"0.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"], [\"2.73 m\", \"0 m\"], [\"0.73 m\", \"3 m\"]]",
        "[[\"0.73 m\", \"0 m\"], [\"0.73 m\", \"0 m\"], [\"0.73 m\", \"0 m\"]]",
        "[[\"0.73 m\", \"0 m\"], [\"1 m\", \"1 m\"], [\"2.73 m\", \"3 m\"]]",
        "[[\"0.73 m\", \"0 m\"], [\"1.73 m\", \"0 m\"], [\"2.73 m\", \"0 m\"]]",
        "[]",
        "[[\"1 m\", \"1 m\"]]",
        "[[\"9 m\", \"0 m\"], [\"11 m\", \"0 m\"], [\"11 m\", \"3 m\"], [\"9 m\", \"3 m\"]]",
    ] {
        let fate = Fate::of(&replaced(outline, corners));
        assert!(!matches!(fate, Fate::Checked(_)), "{corners}: {fate:?}");
    }
}

#[test]
fn rings_of_beams_and_doubled_ids_are_told() {
    let ring = tree("t", "0 m", "0 m")
        + &anchor("A", "t", "E", "")
        + &format!(
            "[[beam]]\nid = \"x\"\non = [\"y\"]\nline = [[\"0 m\", \"0 m\"], [\"1 m\", \"0 m\"]]\n{TIMBER}"
        )
        + &format!(
            "[[beam]]\nid = \"y\"\non = [\"z\"]\nline = [[\"0 m\", \"0 m\"], [\"0 m\", \"1 m\"]]\n{TIMBER}"
        )
        + &format!(
            "[[beam]]\nid = \"z\"\non = [\"x\", \"A\"]\nline = [[\"0 m\", \"0 m\"], [\"1 m\", \"1 m\"]]\n{TIMBER}"
        );
    assert!(Fate::of(&ring).codes().contains(&Code::Circle));
    let own = ring.replace("on = [\"y\"]", "on = [\"x\"]");
    assert!(!Fate::of(&own).codes().is_empty());
    let doubled = everything().replace("id = \"b-up\"", "id = \"a-up\"");
    assert!(Fate::of(&doubled).codes().contains(&Code::DuplicateId));
}

#[test]
fn long_ids_and_odd_letters_come_through() {
    let long = "n".repeat(100_000);
    assert!(matches!(
        Fate::of(&everything().replace("a-spoke", &long)),
        Fate::Checked(_)
    ));
    let fate = Fate::of(&everything().replace("a-spoke", "Ärmel-\u{6728}"));
    assert!(matches!(fate, Fate::Checked(_)), "{fate:?}");
    assert!(
        Fate::of(&everything().replace("a-spoke", "a\\u0000b"))
            .codes()
            .contains(&Code::BadId)
    );
    let deep = format!("title = {}1{}", "[".repeat(50_000), "]".repeat(50_000));
    assert!(!Fate::of(&deep).codes().is_empty());
}

/// Rods are of two ends in one stem.
#[test]
fn a_rod_of_one_end_or_three_is_told() {
    let rods = |count: usize, trees: [&str; 3]| {
        let mut text = tree("t", "0 m", "0 m") + &tree("u", "6 m", "0 m");
        for (k, (faces, tree)) in ["E", "W", "N"].iter().zip(trees).enumerate().take(count) {
            text += &anchor(
                &format!("A{k}"),
                tree,
                faces,
                &format!("level = \"{k} m\"\nrod = \"r\""),
            );
            write!(
                text,
                "[[load]]\nid = \"l{k}\"\non = \"A{k}\"\nlive = \"1 kN\"\n"
            )
            .unwrap();
        }
        text
    };
    assert!(matches!(Fate::of(&rods(2, ["t"; 3])), Fate::Checked(_)));
    for (count, trees) in [(1, ["t"; 3]), (3, ["t"; 3]), (2, ["t", "u", "t"])] {
        let fate = Fate::of(&rods(count, trees));
        assert!(!fate.codes().is_empty(), "{count} {trees:?}: {fate:?}");
    }
}

/// One beam on one anchor, all anchors on one stem: the first can turn, the second stand on each other's line.
#[test]
fn one_stem_alone_is_answered() {
    let one = tree("t", "0 m", "0 m")
        + &anchor("A", "t", "E", "")
        + &format!(
            "[[beam]]\nid = \"b\"\non = [\"A\"]\nruns = \"out\"\noverhang = [\"0 m\", \"2 m\"]\n{TIMBER}"
        );
    assert!(matches!(Fate::of(&one), Fate::Stopped(_)));
    let mut two = tree("t", "0 m", "0 m");
    let mut on = Vec::new();
    for (k, faces) in ["N", "NE", "E", "SE", "S"].iter().enumerate() {
        two += &anchor(&format!("A{k}"), "t", faces, "level = \"2 m\"");
        on.push(format!("\"A{k}\""));
    }
    let line = format!(
        "[[beam]]\nid = \"b\"\non = [{}]\nline = [[\"-2 m\", \"0.53 m\"], [\"2 m\", \"0.53 m\"]]\n{TIMBER}",
        on.join(", ")
    );
    assert!(!matches!(Fate::of(&(two + &line)), Fate::Checked(_)));
}

#[test]
fn a_post_with_nothing_on_it_and_a_deck_on_no_beam_are_told() {
    let idle = everything() + "[[post]]\nid = \"idle\"\nat = [\"9 m\", \"9 m\"]\n";
    let fate = Fate::of(&idle);
    assert!(
        !fate.codes().is_empty(),
        "a post that carries nothing goes unnoticed"
    );
    for stiffness in ["0 N/m", "-1 N/m", "NaN N/m", "1e300 N/m"] {
        let post = format!(
            "[[post]]\nid = \"post\"\nat = [\"0 m\", \"5 m\"]\nstiffness = \"{stiffness}\"\n"
        ) + &tree("t", "0 m", "0 m")
            + &anchor("A", "t", "N", "")
            + &format!("[[beam]]\nid = \"b\"\non = [\"A\", \"post\"]\n{TIMBER}");
        Fate::of(&post);
    }
}

/// Anchors in a row, each with a load of its own.
fn many(count: usize) -> String {
    let mut text = String::new();
    for k in 0..count {
        text += &tree(
            &format!("t{k}"),
            &format!("{} m", k % 30 * 20),
            &format!("{} m", k / 30 * 2),
        );
        text += &anchor(&format!("A{k}"), &format!("t{k}"), "N", "");
        write!(
            text,
            "[[load]]\nid = \"l{k}\"\non = \"A{k}\"\nlive = \"1 kN\"\n"
        )
        .unwrap();
    }
    text
}

#[test]
fn more_anchors_than_any_platform_has_are_refused_soon() {
    let fate = Fate::of(&many(10_000));
    assert!(fate.codes().contains(&Code::TooMany), "{fate:?}");
}

/// Keys of the platform with values that mean something and values that hardly do.
fn key_and_value() -> impl Strategy<Value = (&'static str, &'static str)> {
    let keys: Vec<(&str, &[&str])> = vec![
        ("height = \"1 m\"", &["\"0.3 m\"", "\"9 m\"", "\"0 m\""]),
        (
            "seat_rise = \"50 mm\"",
            &["\"0 m\"", "\"2 m\"", "\"-1 mm\""],
        ),
        ("sag = \"600 mm\"", &["\"1 mm\"", "\"30 m\""]),
        (
            "spacing = \"400 mm\"",
            &["\"60 mm\"", "\"900 mm\"", "\"9 m\""],
        ),
        ("level = \"1.6 m\"", &["\"-3 m\"", "\"3.1 m\"", "\"900 m\""]),
        ("arm = \"100 mm\"", &["\"0 mm\"", "\"3 m\""]),
        ("bark = \"20 mm\"", &["\"0 mm\"", "\"200 mm\""]),
        ("diameter = \"900 mm\"", &["\"120 mm\"", "\"5 m\""]),
        ("depth = \"240 mm\"", &["\"9 mm\"", "\"3 m\""]),
        ("modulus = \"11 GPa\"", &["\"1 MPa\"", "\"900 GPa\""]),
        ("rider = \"0.8 kN\"", &["\"1 N\"", "\"90 kN\""]),
        ("to = \"60 deg\"", &["\"0 deg\"", "\"90 deg\""]),
        ("live = \"2 kPa\"", &["\"0 kPa\"", "\"90 kPa\""]),
        ("uplift = \"0.1 kN\"", &["\"90 kN\""]),
        ("seat_friction = 0.3", &["0", "9"]),
        ("runs = \"out\"", &["\"N\"", "\"W\"", "\"100 deg\""]),
        (
            "to = \"a-spoke at 1.4 m\"",
            &[
                "\"a-spoke start\"",
                "\"a-spoke end\"",
                "\"b-spoke at 1 m\"",
                "\"a-spoke at 1 mm\"",
            ],
        ),
        ("from = \"a-low\"", &["\"b-low\"", "\"a-up\""]),
        (
            "on = [\"a-up\"]",
            &[
                "[\"b-up\"]",
                "[\"a-up\", \"a-low\"]",
                "[\"a-up\"]\nseats = [\"hung\"]",
                "[\"a-up\"]\nseats = [\"sliding\"]",
            ],
        ),
        (
            "on = [\"a-spoke\", \"b-spoke\"]",
            &[
                "[\"a-spoke\"]",
                "[\"b-spoke\", \"a-spoke\"]\ndiaphragm = \"flexible\"",
            ],
        ),
        (
            "ends = [\"a-spoke at 1 m\", \"b-spoke at 1 m\"]",
            &["[\"a-up\", \"b-up\"]", "[\"a-spoke start\", \"a-up\"]"],
        ),
        (
            "at = [\"0 m\", \"3 m\"]",
            &[
                "[\"0 m\", \"0.1 m\"]",
                "[\"0 m\", \"0 m\"]",
                "[\"0.4 m\", \"2 m\"]",
            ],
        ),
        ("held_down = true", &["false"]),
    ];
    prop::sample::select(keys)
        .prop_flat_map(|(key, values)| (Just(key), prop::sample::select(values)))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    /// Tables left out and values of all kinds together.
    #[test]
    fn any_mixture_is_refused_or_answered_in_numbers(
        changes in prop::collection::vec(key_and_value(), 0..5),
        left_out in prop::collection::vec(0..16_usize, 0..3),
    ) {
        let text = changes.into_iter().fold(everything(), |text, (key, value)| replaced_in(text, key, value));
        let tables = text.split("\n[[").enumerate();
        let kept: Vec<&str> = tables.filter(|(k, _)| *k == 0 || !left_out.contains(k)).map(|(_, own)| own).collect();
        let text = kept.join("\n[[");
        Fate::of(&text);
    }
}
