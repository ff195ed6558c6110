//! The JSON Schema of the layout: every sound layout validates, and what the reader refuses for its shape does not.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::input::{Code, schema};
use barkline::units::kind;
use proptest::prelude::*;
use regex::Regex;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// The keywords of JSON Schema that the layout's schema uses, and no others; what is wrong, with its path.
struct Validator {
    root: Value,
}

/// Words that say something to people only.
const SAID: [&str; 5] = ["$schema", "$defs", "title", "description", "examples"];

impl Validator {
    fn new() -> Self {
        Self { root: schema() }
    }

    fn faults(&self, value: &Value) -> Vec<String> {
        let mut found = Vec::new();
        self.check(&self.root, value, "", &mut found);
        found
    }

    fn check(&self, schema: &Value, value: &Value, path: &str, found: &mut Vec<String>) {
        let before = found.len();
        for (keyword, rule) in schema.as_object().unwrap() {
            if !SAID.contains(&keyword.as_str()) {
                self.keyword(schema, keyword, rule, value, path, found);
            }
            // Where the type is wrong the rest means nothing.
            if keyword == "type" && found.len() > before {
                return;
            }
        }
    }

    fn keyword(
        &self,
        schema: &Value,
        keyword: &str,
        rule: &Value,
        value: &Value,
        path: &str,
        found: &mut Vec<String>,
    ) {
        let number = || value.as_f64().unwrap();
        let holds = match keyword {
            "type" => is_of_type(value, rule.as_str().unwrap()),
            "enum" => rule.as_array().unwrap().contains(value),
            "pattern" => Regex::new(rule.as_str().unwrap())
                .unwrap()
                .is_match(value.as_str().unwrap()),
            "minimum" => number() >= rule.as_f64().unwrap(),
            "maximum" => number() <= rule.as_f64().unwrap(),
            "exclusiveMinimum" => number() > rule.as_f64().unwrap(),
            "minItems" => value.as_array().unwrap().len() as u64 >= rule.as_u64().unwrap(),
            "maxItems" => value.as_array().unwrap().len() as u64 <= rule.as_u64().unwrap(),
            "required" => {
                let names = rule.as_array().unwrap();
                names
                    .iter()
                    .all(|key| value.get(key.as_str().unwrap()).is_some())
            }
            "additionalProperties" => {
                assert_eq!(rule, &Value::Bool(false));
                let known = schema["properties"].as_object().unwrap();
                value
                    .as_object()
                    .unwrap()
                    .keys()
                    .all(|key| known.contains_key(key))
            }
            "properties" => {
                for (key, rule) in rule.as_object().unwrap() {
                    if let Some(inner) = value.get(key) {
                        self.check(rule, inner, &format!("{path}/{key}"), found);
                    }
                }
                true
            }
            "items" => {
                for (i, inner) in value.as_array().unwrap().iter().enumerate() {
                    self.check(rule, inner, &format!("{path}/{i}"), found);
                }
                true
            }
            "$ref" => {
                let pointer = rule.as_str().unwrap().strip_prefix('#').unwrap();
                self.check(self.root.pointer(pointer).unwrap(), value, path, found);
                true
            }
            "anyOf" => rule.as_array().unwrap().iter().any(|rule| {
                let mut inner = Vec::new();
                self.check(rule, value, path, &mut inner);
                inner.is_empty()
            }),
            other => panic!("the validator of this test does not know `{other}`"),
        };
        if !holds {
            found.push(format!("{path}: {keyword}"));
        }
    }
}

fn is_of_type(value: &Value, name: &str) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        other => panic!("the validator of this test does not know the type `{other}`"),
    }
}

fn document(path: &Path) -> Value {
    let text = std::fs::read_to_string(path).unwrap();
    if path.extension().is_some_and(|end| end == "json") {
        serde_json::from_str(&text).unwrap()
    } else {
        serde_json::to_value(toml::from_str::<toml::Table>(&text).unwrap()).unwrap()
    }
}

/// The layouts in a folder and those below it.
fn layouts(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|end| end == "toml" || end == "json")
            {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn a_json_layout_may_name_its_schema_at_its_head_and_nowhere_else() {
    let read = barkline::Layout::from_json;
    let with = |head: &str, tree: &str| {
        format!("{{ {head} \"tree\": [{{ {tree} \"id\": \"a\", \"diameter\": \"22 in\" }}] }}")
    };
    let named = "\"$schema\": \"./barkline.schema.json\",";
    let validator = Validator::new();
    for (head, tree, sound) in [
        ("", "", true),
        (named, "", true),
        ("\"$schema\": 3,", "", false),
        ("", named, false),
        ("\"$Schema\": \"x\",", "", false),
    ] {
        let text = with(head, tree);
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(validator.faults(&value).is_empty(), sound, "{text}");
        assert_eq!(read(&text).is_ok(), sound, "{text}");
    }
    assert_eq!(
        read(&with(named, "")).unwrap(),
        read(&with("", "")).unwrap()
    );
    let twice = read(&with(&named.repeat(2), "")).unwrap_err();
    assert!(
        twice
            .iter()
            .any(|problem| problem.code == Code::DuplicateKey)
    );
    // TOML has a line of its own for it.
    assert!(barkline::Layout::from_toml("\"$schema\" = \"x\"\n").is_err());
}

#[test]
fn every_sound_layout_validates() {
    let validator = Validator::new();
    let mut paths = layouts("docs/examples");
    paths.extend(layouts("tests/good_input"));
    assert!(paths.len() > 5);
    for path in paths {
        let faults = validator.faults(&document(&path));
        assert!(faults.is_empty(), "{}: {faults:?}", path.display());
    }
}

/// Layouts that read well and fail only once ids are looked up: their shape is sound.
#[test]
fn what_only_looking_up_refuses_validates() {
    let validator = Validator::new();
    let named = |path: &PathBuf| {
        path.file_name()
            .unwrap()
            .to_str()
            .unwrap()
            .starts_with("resolve-")
    };
    let paths: Vec<PathBuf> = layouts("tests/bad_input")
        .into_iter()
        .filter(named)
        .collect();
    assert!(paths.len() > 10);
    for path in paths {
        let faults = validator.faults(&document(&path));
        assert!(faults.is_empty(), "{}: {faults:?}", path.display());
    }
}

#[test]
fn every_layout_of_a_wrong_shape_is_refused() {
    let validator = Validator::new();
    for code in [
        "unknown-key",
        "missing-key",
        "wrong-type",
        "bare-number",
        "unknown-word",
    ] {
        let named = |path: &PathBuf| path.file_stem().unwrap() == code;
        let paths: Vec<PathBuf> = layouts("tests/bad_input")
            .into_iter()
            .filter(named)
            .collect();
        assert!(!paths.is_empty(), "{code}");
        for path in paths {
            let faults = validator.faults(&document(&path));
            assert!(!faults.is_empty(), "{}", path.display());
        }
    }
}

/// One slip at a time, so that no rule hides behind another.
#[test]
fn each_single_slip_is_refused_at_its_place() {
    let validator = Validator::new();
    for (layout, fault) in [
        ("titel = \"x\"", ": additionalProperties"),
        ("[[tree]]\nspecies = \"oak\"", "/tree/0: required"),
        (
            "[[tree]]\nid = \"a\"\nleens = \"S\"",
            "/tree/0: additionalProperties",
        ),
        ("[[tree]]\nid = \"a\"\nbark = 1", "/tree/0/bark: type"),
        (
            "[[tree]]\nid = \"a\"\nbark = \"1\"",
            "/tree/0/bark: pattern",
        ),
        (
            "[[tree]]\nid = \"a\"\nat = [\"1 ft\"]",
            "/tree/0/at: minItems",
        ),
        (
            "[[tree]]\nid = \"a\"\nat = [\"1 ft\", \"1 ft\", \"1 ft\"]",
            "/tree/0/at: maxItems",
        ),
        ("[tree]\nid = \"a\"", "/tree: type"),
        ("show = \"uk\"", "/show: enum"),
        (
            "[criteria.safety_factor]\npush = 0",
            "/criteria/safety_factor/push: exclusiveMinimum",
        ),
        (
            "[criteria.safety_factor]\npush = \"2\"",
            "/criteria/safety_factor/push: type",
        ),
        (
            "[criteria.safety_factor]\npuhs = 2",
            "/criteria/safety_factor: additionalProperties",
        ),
        (
            "[[beam]]\nid = \"b\"\non = [\"a\"]\nplies = 0",
            "/beam/0/plies: minimum",
        ),
        (
            "[[beam]]\nid = \"b\"\non = [\"a\"]\nplies = 1.5",
            "/beam/0/plies: type",
        ),
        (
            "[[beam]]\nid = \"b\"\non = [\"a\"]\nplies = 1001",
            "/beam/0/plies: maximum",
        ),
        ("[[beam]]\nid = \"b\"\non = []", "/beam/0/on: minItems"),
        (
            "[[beam]]\nid = \"b\"\non = [\"a\"]\nheld_down = \"yes\"",
            "/beam/0/held_down: type",
        ),
        (
            "[[steel]]\nid = \"a\"\nsource = \"  \"\nyield_strength = \"1 psi\"",
            "/steel/0/source: pattern",
        ),
        ("as_built = 3", "/as_built: anyOf"),
        ("[[as_built]]\ndepth = \"1 in\"", "/as_built: anyOf"),
    ] {
        let value = serde_json::to_value(toml::from_str::<toml::Table>(layout).unwrap()).unwrap();
        assert_eq!(validator.faults(&value), [fault], "{layout}");
        assert!(barkline::Layout::from_toml(layout).is_err(), "{layout}");
    }
}

#[test]
fn the_pattern_of_quantities_takes_every_way_to_write_one() {
    let root = schema();
    let pattern = root["$defs"]["tree"]["properties"]["bark"]["pattern"]
        .as_str()
        .unwrap();
    let pattern = Regex::new(pattern).unwrap();
    for text in [
        "3-1/2 in",
        "6 ft 4 in",
        "6' 4-1/2\"",
        "½ in",
        "3½ in",
        "89mm",
        "-14 in",
        "−14 in",
        ".5 in",
        "1.6e6 psi",
        "5 %",
        "35°",
        "450 N/mm2",
        "10 kN/mm",
        " 1 in ",
    ] {
        assert!(pattern.is_match(text), "{text}");
    }
    for text in ["", "in", "12", "1-1/2", "NaN m", "-5"] {
        assert!(!pattern.is_match(text), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is read as a quantity has the pattern.
    #[test]
    fn no_quantity_is_refused_for_its_pattern(text in "[-−+ ]?[0-9½¼]{0,3}[-. /]?[0-9/]{0,4} ?(mm|in|ft|'|\"|m|″)( [0-9]{1,2} in)?") {
        let root = schema();
        let pattern = root["$defs"]["tree"]["properties"]["bark"]["pattern"].as_str().unwrap().to_owned();
        if barkline::units::parse::<kind::Length>(&text).is_ok() {
            prop_assert!(Regex::new(&pattern).unwrap().is_match(&text), "{}", text);
        }
    }
}
