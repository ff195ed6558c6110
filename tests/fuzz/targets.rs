//! What each target makes of its bytes: any bytes, and a panic where the program breaks a promise.
//!
//! The promises: no panic, an answer in bounded time, no number that is none in anything that leaves the library, and of
//! whatever is refused the place and the mend. The form that runs on stable and the one that is led by coverage share
//! this file.

use super::edits::spoilt;
use barkline::checks::{CheckError, Results};
use barkline::input::{Diagnostics, Resolved};
use barkline::report::work::{
    CutDocument, DrillDocument, cut_json, cut_pages, drill_json, drill_pages, pages_html,
};
use barkline::report::{
    AsBuiltDocument, CheckDocument, ExplainDocument, Package, Project, Provenance, SizeDocument,
    as_built_json, as_built_markdown, check_json, check_markdown, check_sheet, explain_json,
    explain_markdown, package_html, sheet_csv, size_json, size_markdown,
};
use barkline::units::{Kind, Show, exact, kind, parse, print};
use barkline::{Format, Layout};
use std::fmt::Debug;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// Nothing here takes this long, on a slow machine with checks on.
const BOUND: Duration = Duration::from_secs(120);

macro_rules! texts {
    ($($file:literal),*) => {
        vec![$(include_str!(concat!("../../", $file)).replace("\r\n", "\n")),*]
    };
}

static TOML: LazyLock<Vec<String>> = LazyLock::new(|| {
    texts![
        "docs/examples/one-anchor.toml",
        "docs/examples/two-stems.toml",
        "docs/examples/four-stems.toml",
        "docs/examples/one-stem.toml",
        "docs/examples/fails.toml",
        "docs/examples/survey/built.toml",
        "tests/good_input/every_key.toml",
        "tests/common/everything.toml"
    ]
});

static JSON: LazyLock<Vec<String>> = LazyLock::new(|| {
    let same = TOML.iter().filter_map(|text| {
        let layout = Layout::from_toml(text).ok()?;
        serde_json::to_string_pretty(&layout).ok()
    });
    same.chain(texts!["docs/examples/one-anchor.json"])
        .collect()
});

static SHEETS: LazyLock<Vec<String>> = LazyLock::new(|| {
    texts![
        "docs/examples/survey/trees.csv",
        "docs/examples/survey/anchors.csv",
        "docs/examples/survey/built.csv"
    ]
});

/// The layout of the spreadsheets.
const SURVEY: &str = include_str!("../../docs/examples/survey/built.toml");

/// The names of the spreadsheets.
const NAMES: [&str; 3] = ["trees.csv", "anchors.csv", "built.csv"];

fn sound_sheet(name: &str) -> Result<Vec<u8>, &'static str> {
    let own = NAMES
        .iter()
        .zip(SHEETS.iter())
        .find(|(own, _)| **own == name);
    own.map(|(_, text)| text.clone().into_bytes())
        .ok_or("there is no such sheet")
}

/// The bytes as text, or one of the texts spoilt by them.
fn text_of(bytes: &[u8], texts: &[String]) -> String {
    match bytes.split_first() {
        Some((first, rest)) if first % 4 > 0 => spoilt(rest, texts),
        Some((_, rest)) => String::from_utf8_lossy(rest).into_owned(),
        None => String::new(),
    }
}

/// The text of a layout, as TOML.
pub fn layout_toml(bytes: &[u8]) {
    bounded(|| read(&text_of(bytes, &TOML), Format::Toml));
}

/// The text of a layout, as JSON.
pub fn layout_json(bytes: &[u8]) {
    bounded(|| read(&text_of(bytes, &JSON), Format::Json));
}

/// One of the spreadsheets of the survey: the others are sound.
pub fn survey(bytes: &[u8]) {
    let (which, bytes) = bytes
        .split_first()
        .map_or((0, bytes), |(first, rest)| (usize::from(*first) % 3, rest));
    let spoilt = match bytes.split_first() {
        Some((first, rest)) if first % 4 == 0 => rest.to_vec(),
        _ => text_of(bytes, &SHEETS[which..=which]).into_bytes(),
    };
    bounded(|| {
        let layout = Layout::from_toml(SURVEY).expect("the survey is sound");
        let layout = layout.with_spreadsheets(|wanted| match wanted {
            wanted if wanted == NAMES[which] => Ok(spoilt.clone()),
            _ => sound_sheet(wanted),
        });
        match layout {
            Ok(layout) => {
                reads_back(&layout);
                resolved(&layout);
            }
            Err(found) => refused(&found, None),
        }
    });
}

/// Quantities of every kind, one to a line.
pub fn quantities(bytes: &[u8]) {
    let written: Vec<String> = WRITTEN.iter().map(|&text| text.to_owned()).collect();
    let text = text_of(bytes, &written);
    bounded(|| {
        for line in text.lines().take(64) {
            every_kind(line);
        }
    });
}

/// Quantities as people write them.
const WRITTEN: &[&str] = &[
    "6 ft 4-1/2 in",
    "6' 4\"",
    "3 1/2 in",
    "12 in2",
    "31.6 in^3",
    "178 in4",
    "300 lbf",
    "1.2 kN*m",
    "36 ksi",
    "1.6e6 psi",
    "450 N/mm2",
    "40 psf",
    "120 plf",
    "5 kN/mm",
    "45 pcf",
    "250 lb",
    "700 kg/m³",
    "20 kN·m2",
    "105 mph",
    "35 deg",
    "5 %",
    "−3.5 mm",
    "+1_000 m",
    "½ in",
    "1,5 m",
];

macro_rules! kinds {
    ($text:expr; $($kind:ident),*) => {$(of_kind::<kind::$kind>($text);)*};
}

fn every_kind(text: &str) {
    kinds!(text; Length, Area, SectionModulus, SecondMoment, Force, Moment, Stress, Modulus, FoundationModulus, AreaLoad,
        LineLoad, Stiffness, UnitWeight, Mass, Density, FlexuralStiffness, Speed, Angle, Ratio);
}

/// What is read is finite, is printed, and what is written of it reads back to the same bits.
fn of_kind<K: Kind>(text: &str) {
    match parse::<K>(text) {
        Ok(quantity) => {
            assert!(quantity.value.is_finite(), "{text}");
            let again = parse::<K>(&exact::<K>(quantity)).map(|again| again.value.to_bits());
            assert_eq!(again, Ok(quantity.value.to_bits()), "{text}");
            for show in [Show::Us, Show::Si] {
                let printed = print::<K>(quantity, show);
                assert!(!says_none(&printed), "{text}: {printed}");
            }
        }
        Err(error) => {
            assert!(text.get(error.range()).is_some(), "{text}: {error:?}");
            assert!(
                !error.mend().is_empty() && !error.problem().to_string().is_empty(),
                "{text}"
            );
        }
    }
}

/// A layout through everything that can be asked of it; the first byte says what that is.
pub fn whole_check(bytes: &[u8]) {
    let (ask, bytes) = bytes
        .split_first()
        .map_or((0, bytes), |(first, rest)| (*first, rest));
    let text = spoilt(bytes, &TOML);
    bounded(|| {
        let layout = Layout::from_toml(&text);
        let Ok(layout) = layout.and_then(|layout| layout.with_spreadsheets(sound_sheet)) else {
            return;
        };
        if let Some(resolved) = resolved(&layout) {
            answered(&text, &layout, &resolved, ask);
        }
    });
}

fn bounded(work: impl FnOnce()) {
    let begun = Instant::now();
    work();
    let taken = begun.elapsed();
    assert!(taken < BOUND, "{taken:?}");
}

/// Reads a text; a layout is written and read back equal.
fn read(text: &str, format: Format) {
    match Layout::from_text(text, format) {
        Ok(layout) => {
            reads_back(&layout);
            resolved(&layout);
        }
        Err(found) => refused(&found, Some(text)),
    }
}

fn reads_back(layout: &Layout) {
    let toml = toml::to_string(layout).expect("a layout can be written");
    match Layout::from_toml(&toml) {
        Ok(again) => assert!(again == *layout, "{toml}"),
        Err(found) => panic!("{found}\n{toml}"),
    }
}

fn resolved(layout: &Layout) -> Option<Resolved> {
    match layout.resolve() {
        Ok(resolved) => {
            all_numbers(&resolved.platform);
            Some(resolved)
        }
        Err(found) => {
            refused(&found, None);
            None
        }
    }
}

/// What is refused has its reason, its mend, and a place within the text.
fn refused(found: &Diagnostics, text: Option<&str>) {
    assert!(found.has_errors(), "refused without an error: {found}");
    for problem in found {
        let shown = problem.to_string();
        assert!(
            !problem.message.is_empty() && !problem.mend.is_empty(),
            "{shown}"
        );
        let driven = shown.contains(|c: char| c.is_control() && c != '\n');
        assert!(!driven, "{shown:?}");
        if let (Some(place), Some(text)) = (&problem.place, text) {
            assert!(text.get(place.range.clone()).is_some(), "{shown}");
        }
    }
}

/// Everything that the program can say of a sound layout.
fn answered(text: &str, layout: &Layout, resolved: &Resolved, ask: u8) {
    let platform = &resolved.platform;
    let own = || Provenance::of(text.as_bytes());
    let shows = [Show::Us, Show::Si];
    let years = if ask & 8 > 0 { 30 } else { 0 };
    let Some(results) = stopped_or(platform.check_after(platform.criteria(), years)) else {
        return;
    };
    all_numbers(&results);
    let document = CheckDocument::new(&results, own(), Vec::new());
    all_numbers(&document);
    json_holds(&check_json(&document).expect("results can be written"));
    let quoted = says_none(text);
    let says_numbers = |said: &str| assert!(quoted || !says_none(said), "{said}\n{text}");
    match ask % 8 {
        0 => {
            for show in shows {
                says_numbers(&check_markdown(&document, show));
                let mut csv = Vec::new();
                sheet_csv(&check_sheet(&document), show, &mut csv).expect("a sheet can be written");
                says_numbers(&String::from_utf8(csv).expect("a sheet is text"));
            }
        }
        1 => {
            if let Some(lost) = stopped_or(platform.lose_each()) {
                all_numbers(&results.with_lost(lost));
            }
        }
        2 => {
            if let Some(sizes) = stopped_or(platform.size_with(platform.criteria(), Show::Si)) {
                let document = SizeDocument::new(&sizes, own(), Vec::new());
                all_numbers(&document);
                json_holds(&size_json(&document).expect("sizes can be written"));
                says_numbers(&size_markdown(&document, Show::Us));
            }
        }
        3 => {
            for anchor in platform.anchors().iter().take(2) {
                if let Some(explanation) = stopped_or(platform.explain(&anchor.id)) {
                    all_numbers(&explanation);
                    let document = ExplainDocument::new(&explanation, own());
                    json_holds(&explain_json(&document).expect("an explanation can be written"));
                    says_numbers(&explain_markdown(&explanation, &own(), Show::Us));
                }
            }
        }
        4 => drawn(text, layout, resolved, &results, &document, &says_numbers),
        5 => {
            let Some(may_miss) = stopped_or(platform.may_miss()) else {
                return;
            };
            let drilling =
                DrillDocument::new(platform, &results, &may_miss, true, own(), Vec::new());
            if let Ok(drilling) = drilling {
                all_numbers(&drilling);
                json_holds(&drill_json(&drilling).expect("cards can be written"));
                says_numbers(&pages_html("cards", &drill_pages(&drilling, Show::Us)));
            }
        }
        6 => {
            let Some(joints) = stopped_or(platform.joint_loads()) else {
                return;
            };
            if let Ok(cutting) = CutDocument::new(platform, &results, &joints, own(), Vec::new()) {
                all_numbers(&cutting);
                json_holds(&cut_json(&cutting).expect("a shop sheet can be written"));
                says_numbers(&pages_html("sheet", &cut_pages(&cutting, Show::Us)));
            }
        }
        _ => {
            if let Ok(built) = platform.check_as_built() {
                let document = AsBuiltDocument::new(&built, &own(), &[]);
                all_numbers(&document);
                json_holds(&as_built_json(&document).expect("a check as built can be written"));
                says_numbers(&as_built_markdown(&document, Show::Si));
            }
        }
    }
}

/// The calculation package, with its drawings.
fn drawn(
    text: &str,
    layout: &Layout,
    resolved: &Resolved,
    results: &Results,
    document: &CheckDocument,
    says_numbers: &dyn Fn(&str),
) {
    let project = layout
        .project
        .as_ref()
        .map_or_else(Project::default, Project::from);
    says_numbers(&package_html(&Package {
        platform: &resolved.platform,
        results,
        document,
        trees: Some(results.trees()),
        drill: None,
        reliability: None,
        project: &project,
        layout: text,
        show: resolved.show,
    }));
}

/// The results; an analysis that stops says why.
fn stopped_or<T>(results: Result<T, CheckError>) -> Option<T> {
    match results {
        Ok(results) => Some(results),
        Err(error) => {
            assert!(!error.to_string().is_empty());
            None
        }
    }
}

/// JSON writes a number that is none as null: where a number must be there is one.
fn json_holds(json: &str) {
    let value: serde_json::Value = serde_json::from_str(json).expect("it is JSON");
    assert!(
        value["schema"].is_string()
            && value
                .get("verdict")
                .is_none_or(serde_json::Value::is_string),
        "{json}"
    );
}

/// No number within is none, as its `Debug` form shows; what stands in quotes is not a number.
pub fn all_numbers(whole: &impl Debug) {
    let shown = format!("{whole:?}");
    let mut outside = String::with_capacity(shown.len());
    let mut quoted = false;
    let mut letters = shown.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' if quoted => _ = letters.next(),
            '"' => quoted = !quoted,
            _ if quoted => {}
            _ => outside.push(letter),
        }
    }
    if let Some(at) = place_of_none(&outside) {
        let start = (0..=at.saturating_sub(300))
            .rev()
            .find(|&at| outside.is_char_boundary(at))
            .unwrap_or(0);
        panic!("…{}", &outside[start..at + 3]);
    }
}

/// Whether a text has a word that Rust prints for a number that is none.
pub fn says_none(text: &str) -> bool {
    place_of_none(text).is_some()
}

fn place_of_none(text: &str) -> Option<usize> {
    let letter = |c: char| c.is_alphanumeric() || c == '_';
    ["NaN", "inf"]
        .iter()
        .flat_map(|none| text.match_indices(none))
        .find(|(at, none)| {
            !text[..*at].ends_with(letter) && !text[at + none.len()..].starts_with(letter)
        })
        .map(|(at, _)| at)
}
