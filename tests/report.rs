//! The forms of a check: a platform made in code, checked, and written out.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::checks::{Measure, Verdict};
use barkline::model::{
    Anchor, AnchorSize, Criteria, LivingWood, Load, LoadPlace, Origin, Parts, Platform, Point,
    Segment, Standing, Steel, Stem,
};
use barkline::report::{
    CheckDocument, Provenance, attachment_sheet, check_json, check_markdown, check_sheet, reviews,
    sheet_csv, sheet_json, summary, worst_first,
};
use barkline::tables;
use barkline::units::{Show, si, us};
use serde_json::Value;

/// Numbers read back from JSON may be off in the last bit (relative).
const READ_BACK: f64 = 4.0 * f64::EPSILON;

/// Whether two values are one, or both none.
fn same(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= READ_BACK * b.abs(),
        (None, None) => true,
        _ => false,
    }
}

/// The weight on the stronger loaded of the two anchors that both pass (N).
const LIGHT: f64 = 3000.0;
/// The weight under which only the stronger loaded fails (N).
const HEAVY: f64 = 9000.0;

fn steel() -> Steel {
    Steel {
        name: "A36".into(),
        yield_strength: us::ksi(36.0),
        modulus: us::ksi(29_000.0),
        origin: Origin::new("astm-a36", Standing::Published),
    }
}

fn anchor(id: &str, faces: f64) -> Anchor {
    let piece = |length, resists, bears| Segment {
        length: si::millimetres(length),
        resists: si::millimetres(resists),
        bears: si::millimetres(bears),
        steel: steel(),
    };
    Anchor {
        id: id.into(),
        stem: 0,
        faces: si::degrees(faces),
        level: None,
        size: AnchorSize {
            id: "64x110/38".into(),
            boss: piece(110.0, 64.0, 64.0),
            shank: vec![piece(135.0, 33.0, 38.0)],
            thread_length: si::millimetres(120.0),
            origin: Origin::new("common-practice", Standing::Practice),
        },
        embedded: si::millimetres(55.0),
        arm: si::millimetres(100.0),
        rod: None,
        tilt: si::degrees(0.0),
        empty: si::metres(0.0),
        locked: None,
    }
}

/// Two anchors in one stem: the first carries half of what the second does.
fn document(force: f64) -> CheckDocument {
    let stem = Stem {
        id: "oak".into(),
        wood: LivingWood::from_table(tables::find_green_wood("white oak").unwrap(), 0.18).unwrap(),
        at: Point::new(si::metres(0.0), si::metres(0.0)),
        diameter: si::millimetres(600.0),
        bark: si::millimetres(20.0),
        soft: si::metres(0.0),
        shell: None,
        lean: si::degrees(0.0),
        leans: si::degrees(0.0),
        whole: None,
    };
    let load = |at, live| {
        let magnitudes = [0.0, live, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        Load::down(format!("load-{at}"), LoadPlace::Anchor(at), magnitudes)
    };
    let parts = Parts {
        title: "Two | anchors".into(),
        stems: vec![stem],
        anchors: vec![anchor("east", 90.0), anchor("west", 270.0)],
        loads: vec![load(0, force / 2.0), load(1, force)],
        ..Parts::default()
    };
    let platform = Platform::new(parts, Criteria::standard("asce7-22-asd").unwrap()).unwrap();
    let results = platform.check().unwrap();
    CheckDocument::new(&results, Provenance::of(b"abc"), Vec::new())
}

fn json(document: &CheckDocument) -> Value {
    serde_json::from_str(&check_json(document).unwrap()).unwrap()
}

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

#[test]
fn json_has_the_shape_that_programs_rely_on() {
    let value = json(&document(HEAVY));
    assert_eq!(
        keys(&value),
        [
            "schema",
            "program",
            "layout_sha256",
            "title",
            "verdict",
            "criteria",
            "cautions",
            "attachments",
            "members",
            "joints",
            "trees",
            "movements",
            "decks",
            "load_n",
            "imbalance",
            "not_assessed",
            "diagnostics"
        ]
    );
    assert_eq!(value["schema"], "barkline/check/1");
    assert_eq!(value["verdict"], "fail");
    assert_eq!(
        keys(&value["attachments"][0]),
        [
            "anchor",
            "tree",
            "verdict",
            "load_n",
            "allowed_n",
            "down_n",
            "side_n",
            "out_n",
            "combination",
            "governing",
            "utilization",
            "margin",
            "softened_margin",
            "checks",
            "stiffness_down_n_per_m",
            "stiffness_side_n_per_m",
            "deflection_m",
            "reactions",
            "full_load",
            "ranges"
        ]
    );
    assert_eq!(
        keys(&value["attachments"][0]["reactions"][0]),
        ["combination", "down_n", "side_n", "out_n"]
    );
    let bearing = &value["attachments"][0]["checks"][0];
    assert_eq!(
        keys(bearing),
        [
            "check",
            "verdict",
            "standing",
            "combination",
            "demand_pa",
            "allowable_pa",
            "utilization",
            "margin",
            "source",
            "note"
        ]
    );
    assert_eq!(bearing["check"], "boss_bearing");
}

#[test]
fn the_sha_256_is_that_of_the_layout() {
    // The first example of FIPS 180-2, appendix B.1: the message "abc".
    assert_eq!(
        document(LIGHT).layout_sha256,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
}

#[test]
fn numbers_in_json_are_those_of_the_record() {
    let document = document(HEAVY);
    let value = json(&document);
    for (part, written) in document
        .attachments
        .iter()
        .zip(value["attachments"].as_array().unwrap())
    {
        assert!(same(written["load_n"].as_f64(), Some(part.load_n)));
        for (check, written) in part
            .checks
            .iter()
            .zip(written["checks"].as_array().unwrap())
        {
            let check = &check.0;
            assert!(
                same(written["margin"].as_f64(), check.margin()),
                "{written}"
            );
            assert!(
                same(written["utilization"].as_f64(), check.utilization),
                "{written}"
            );
            let key = match check.demand.or(check.allowable).and_then(Measure::key_unit) {
                Some(unit) => format!("demand_{unit}"),
                None => "demand".to_owned(),
            };
            assert!(
                same(written[&key].as_f64(), check.demand.map(Measure::si)),
                "{key} {written}"
            );
        }
    }
}

#[test]
fn a_check_without_demand_has_no_margin() {
    let value = json(&document(LIGHT));
    let idle: Vec<&Value> = value["attachments"][0]["checks"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|check| check["verdict"] == "not_needed")
        .collect();
    assert!(!idle.is_empty());
    for check in idle {
        assert_eq!(check["margin"], Value::Null, "{check}");
    }
}

#[test]
fn criteria_name_the_unit_of_a_value_that_has_one() {
    let value = json(&document(LIGHT));
    let factors = &value["criteria"]["factors"];
    assert_eq!(factors["limit_load"]["value"].as_f64(), Some(3.0));
    // 18 in in metres, exactly.
    assert_eq!(factors["spacing_length"]["value_m"].as_f64(), Some(0.4572));
    assert_eq!(factors["spacing_length"]["changed"], false);
}

#[test]
fn the_worst_stands_first_and_is_named() {
    let document = document(HEAVY);
    let order: Vec<&str> = worst_first(&document)
        .iter()
        .map(|part| part.anchor.as_str())
        .collect();
    assert_eq!(order, ["west", "east"]);
    let sentence = summary(&document, Show::Si);
    assert!(
        sentence.starts_with("1 of 2 attachments fails: west in "),
        "{sentence}"
    );
    let governing = worst_first(&document)[0].governing_check().unwrap();
    assert!(
        sentence.contains(governing.limit_state.words()),
        "{sentence}"
    );
    assert!(sentence.contains("that it may carry under "), "{sentence}");
}

#[test]
fn what_fails_beside_the_worst_is_listed() {
    let document = document(4.0 * HEAVY);
    let lines = reviews(&document, Show::Us);
    assert!(
        lines
            .iter()
            .any(|line| line.starts_with("west also fails in ")),
        "{lines:?}"
    );
    assert!(
        lines.iter().any(|line| line.starts_with("east fails in ")),
        "{lines:?}"
    );
}

#[test]
fn passing_says_so_with_the_least_margin() {
    let document = document(LIGHT);
    assert_eq!(document.verdict, Verdict::Pass);
    let sentence = summary(&document, Show::Us);
    assert!(
        sentence.starts_with("All 2 attachments pass; the least margin under load is "),
        "{sentence}"
    );
    assert!(
        sentence.contains(&format!(" % at {}, in ", worst_first(&document)[0].anchor)),
        "{sentence}"
    );
    assert!(reviews(&document, Show::Us).is_empty());
}

#[test]
fn what_is_not_assessed_is_said_beside_a_pass() {
    let mut document = document(LIGHT);
    document.verdict = Verdict::Review;
    document.not_assessed = vec!["swing \"rope\"".to_owned()];
    let sentence = summary(&document, Show::Us);
    assert!(
        sentence.contains("not assessed, so the verdict is review: swing \"rope\"."),
        "{sentence}"
    );
}

#[test]
fn an_empty_record_is_no_pass() {
    let mut document = document(LIGHT);
    document.attachments.clear();
    assert_eq!(
        summary(&document, Show::Us),
        "There is no attachment: nothing was checked."
    );
}

#[test]
fn csv_has_a_row_for_each_check_and_caution_and_units_in_its_heads() {
    let document = document(HEAVY);
    let checks: usize = document
        .attachments
        .iter()
        .map(|part| part.checks.len())
        .sum();
    for (show, force, scale) in [
        (Show::Us, "demand_lbf", us::POUND_FORCE),
        (Show::Si, "demand_kN", 1e3),
    ] {
        let mut bytes = Vec::new();
        sheet_csv(&check_sheet(&document), show, &mut bytes).unwrap();
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let heads = reader.headers().unwrap().clone();
        let at = |key| heads.iter().position(|head| head == key).unwrap();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), checks + document.cautions.len());
        let (check, demand, note) = (at("check"), at(force), at("note"));
        let row = rows.iter().find(|row| &row[check] == "limit_load").unwrap();
        let value: f64 = row[demand].parse().unwrap();
        let own = document.attachments[0]
            .checks
            .iter()
            .find(|own| own.0.limit_state.id() == "limit_load");
        let newtons = own.unwrap().0.demand.unwrap().si();
        assert!(
            (value * scale / newtons - 1.0).abs() < CSV_ROUNDING,
            "{value} {newtons}"
        );
        assert_eq!(&rows.last().unwrap()[0], "caution");
        assert_eq!(
            rows.last().unwrap()[note],
            *document.cautions.last().unwrap()
        );
    }
}

/// Numbers in CSV have nine significant digits.
const CSV_ROUNDING: f64 = 1e-8;

#[test]
fn markdown_is_not_broken_by_the_words_of_a_layout() {
    let text = check_markdown(&document(LIGHT), Show::Us);
    assert!(
        text.starts_with(
            "# Two \\| anchors\n\nVerdict: **pass**\n\n| anchor | tree | load (lbf) |"
        ),
        "{text}"
    );
    assert_eq!(
        text.lines().filter(|line| line.starts_with("| ")).count(),
        4
    );
    assert!(text.lines().all(|line| line.trim_end() == line));
}

#[test]
fn a_sheet_in_json_is_in_si_with_its_unit_in_the_key() {
    let document = document(HEAVY);
    let sheet = attachment_sheet(&document);
    let value: Value = serde_json::from_str(&sheet_json(&sheet).unwrap()).unwrap();
    let first = &value["rows"][0];
    assert_eq!(first["anchor"], "west");
    assert!(same(
        first["load_n"].as_f64(),
        Some(document.attachments[1].load_n)
    ));
    assert_eq!(first["verdict"], "fail");
}

/// A beam on the two anchors, its strength known or not.
fn with_beam(strength: &str) -> CheckDocument {
    let anchor = |id: &str, east: &str| {
        format!(
            "[[tree]]\nid = \"{id}-tree\"\nspecies = \"white oak\"\nat = [\"{east}\", \"0 ft\"]\ndiameter = \"30 in\"\nbark = \"0.8 in\"\n\
             [[anchor]]\nid = \"{id}\"\ntree = \"{id}-tree\"\nfaces = \"N\"\nsize = \"102x152/51\"\narm = \"3 in\"\n"
        )
    };
    let text = format!(
        "{}{}[[beam]]\nid = \"b\"\non = [\"a1\", \"a2\"]\nheld_down = true\nsize = \"2x6\"\n{strength}\n\
         [[load]]\nid = \"p\"\non = \"b at 5 ft\"\nlive = \"400 lbf\"\n",
        anchor("a1", "0 ft"),
        anchor("a2", "10 ft")
    );
    let layout = barkline::Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}"));
    let platform = layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}"))
        .platform;
    CheckDocument::new(
        &platform.check().unwrap(),
        Provenance::of(b"abc"),
        Vec::new(),
    )
}

#[test]
fn members_stand_in_every_output() {
    use barkline::report::{member_sheet, member_summary};
    let failing = with_beam("wood = \"Hem-Fir\"\ngrade = \"No. 2\"");
    let value = json(&failing);
    assert_eq!(value["verdict"], "fail");
    assert!(
        value["attachments"]
            .as_array()
            .unwrap()
            .iter()
            .all(|part| part["verdict"] == "pass")
    );
    let member = &value["members"][0];
    assert_eq!(
        keys(member),
        [
            "member",
            "kind",
            "pieces",
            "verdict",
            "governing",
            "utilization",
            "margin",
            "checks"
        ]
    );
    assert_eq!(
        (&member["member"], &member["kind"]),
        (&"b".into(), &"beam".into())
    );
    assert_eq!(member["checks"][0]["check"], "member_bending");
    assert!(member["checks"][0]["demand_pa"].as_f64().unwrap() > 1e6);
    assert!(member["checks"][3]["demand_m"].as_f64().unwrap() > 1e-3);
    let sentence = member_summary(&failing, Show::Us).unwrap();
    assert!(
        sentence.starts_with("1 of 1 member fails: beam b in "),
        "{sentence}"
    );
    assert_eq!(member_sheet(&failing).rows.len(), 1);
    let markdown = check_markdown(&failing, Show::Us);
    assert!(
        markdown.contains("## Members") && markdown.contains("| beam b |"),
        "{markdown}"
    );
    let mut bytes = Vec::new();
    sheet_csv(&check_sheet(&failing), Show::Si, &mut bytes).unwrap();
    let csv = String::from_utf8(bytes).unwrap();
    assert!(
        csv.contains(",,beam b,member_bending,member,fail,"),
        "{csv}"
    );
}

#[test]
fn a_member_of_unknown_strength_is_named_and_no_pass() {
    use barkline::report::member_summary;
    let unknown = with_beam("modulus = \"1.3e6 psi\"");
    assert_eq!(json(&unknown)["verdict"], "review");
    let sentence = member_summary(&unknown, Show::Us).unwrap();
    assert!(
        sentence.starts_with("1 of 1 member needs review: beam b in ")
            && sentence.contains("neither its grade"),
        "{sentence}"
    );
}
