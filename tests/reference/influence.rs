//! Extreme support reactions under patterns and moving loads: openseespy 3.7.1.2 (every pattern solved, and
//! Müller-Breslau shapes), PyNiteFEA 3.2.0 (superposition).

use std::collections::BTreeSet;

use barkline::analysis::frame::{Dof, Influence, LoadCase};
use serde_json::Value;

use crate::cases::{Case, MM, entries, number, read, text};

const CASES: &str = include_str!("data/influence_cases.json");

/// The file's own agreement is 1e-12; its numbers are printed to eight or nine digits.
const EXACT: f64 = 1e-7;

/// The file found the extremes of moving loads on a grid of 75 to 112.5 mm; the peak between its points may lie higher
/// by the tolerance that it suggests itself.
const SCANNED: f64 = 1e-4;

/// Places tried along the beam for an extreme of a moving load.
const PLACES: usize = 2000;

const BEAM: &str = "main";

fn strips(case: &Case) -> Vec<(String, LoadCase)> {
    let strips = case.json["live_load"]["strips"].as_array().unwrap();
    strips
        .iter()
        .map(|strip| (text(&strip["id"]).to_owned(), case.loads(&strip["loads"])))
        .collect()
}

fn near(own: f64, theirs: &Value, tolerance: f64, scale: f64, what: &str) {
    let theirs = number(theirs);
    assert!(
        (own - theirs).abs() <= tolerance * scale,
        "{what}: {own} against {theirs}"
    );
}

/// The extreme that a sign picks, by solving every pattern of strips.
fn brute_force(case: &Case, node: &str, sign: f64) -> (f64, BTreeSet<String>) {
    let factored = case.frame.factorize().unwrap();
    let strips = strips(case);
    let pattern = |bits: usize| {
        strips
            .iter()
            .enumerate()
            .filter(move |(k, _)| bits >> k & 1 == 1)
            .map(|(_, strip)| strip)
    };
    let reaction = |bits: usize| {
        let mut loads = LoadCase::new();
        pattern(bits).for_each(|(_, strip)| _ = loads.add(1.0, strip));
        factored
            .solve(&loads)
            .unwrap()
            .reaction(case.nodes[node])
            .unwrap()[2]
    };
    let all: Vec<(usize, f64)> = (0..1 << strips.len())
        .map(|bits| (bits, sign * reaction(bits)))
        .collect();
    let (bits, value) = all.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    (
        sign * value,
        pattern(bits).map(|(id, _)| id.clone()).collect(),
    )
}

fn ids(pattern: &Value) -> BTreeSet<String> {
    pattern
        .as_array()
        .unwrap()
        .iter()
        .map(|id| text(id).to_owned())
        .collect()
}

fn check_patterns(case: &Case, node: &str, results: &Value, influence: &Influence) {
    let scale = number(&results["max_reaction"]);
    let (mut most, mut least, mut all) = (0.0, 0.0, 0.0);
    for (id, strip) in strips(case) {
        let worth = influence.of(&strip).unwrap();
        near(
            worth,
            &results["strip_reactions"][&id],
            EXACT,
            scale,
            &format!("{node} {id}"),
        );
        most += worth.max(0.0);
        least += worth.min(0.0);
        all += worth;
    }
    near(all, &results["all_on"], EXACT, scale, "all strips");
    for (worth, name, sign) in [(most, "max", 1.0), (least, "min", -1.0)] {
        let (extreme, pattern) = brute_force(case, node, sign);
        for own in [worth, extreme] {
            for field in [
                format!("{name}_reaction"),
                format!("mueller_breslau_{name}"),
                format!("pynite_superposition_{name}"),
            ] {
                near(own, &results[&field], EXACT, scale, &field);
            }
        }
        assert_eq!(
            pattern,
            ids(&results[format!("{name}_pattern")]),
            "{node} {name}"
        );
    }
}

fn unit_load(case: &Case, influence: &Influence, x: f64) -> f64 {
    let (member, x) = case.at(BEAM, x)[0];
    influence
        .of(LoadCase::new().point(member, x, [0.0, 0.0, -1.0]))
        .unwrap()
}

/// A patch of load from a place on, wholly on the beam.
fn patch(case: &Case, influence: &Influence, from: f64, length: f64, w: f64) -> f64 {
    let mut loads = LoadCase::new();
    let mut start = 0.0;
    for member in &case.groups[BEAM] {
        let end = start + case.frame.length(*member).unwrap();
        let x = [from.max(start) - start, (from + length).min(end) - start];
        if x[0] < x[1] {
            loads.trapezoid(*member, x, [[0.0, 0.0, -w]; 2]);
        }
        start = end;
    }
    influence.of(&loads).unwrap()
}

fn check_line(case: &Case, node: &str, results: &Value, influence: &Influence) {
    let line = &results["influence_line"];
    let places = line["x"]
        .as_array()
        .unwrap()
        .iter()
        .zip(line["ordinate"].as_array().unwrap());
    for (x, ordinate) in places {
        near(
            unit_load(case, influence, number(x) * MM),
            ordinate,
            EXACT,
            1.0,
            &format!("{node} at {x}"),
        );
    }
    let spans = case.groups[BEAM].iter().map(|member| {
        influence
            .of(LoadCase::new().uniform(*member, [0.0, 0.0, -1.0]))
            .unwrap()
    });
    let (positive, negative) = spans.fold((0.0, 0.0), |(p, n), area| {
        (p + area.max(0.0), n + area.min(0.0))
    });
    near(
        positive / MM,
        &results["influence_area_positive"],
        EXACT,
        positive / MM,
        "positive area",
    );
    near(
        negative / MM,
        &results["influence_area_negative"],
        EXACT,
        positive / MM,
        "negative area",
    );
}

/// The extreme at the file's place, and nothing beyond it anywhere.
fn check_moving(
    value: impl Fn(f64) -> f64,
    length: f64,
    extreme: &Value,
    place: &Value,
    sign: f64,
    scale: f64,
) {
    near(
        value(number(place) * MM),
        extreme,
        EXACT,
        scale,
        "at its place",
    );
    let all = (0..=PLACES).map(|k| sign * value(length * k as f64 / PLACES as f64));
    let most = all.fold(f64::NEG_INFINITY, f64::max);
    assert!(
        most <= sign * number(extreme) + SCANNED * scale,
        "{most} beyond {extreme}"
    );
}

fn check(id: &str) {
    let case = read(CASES)
        .into_iter()
        .find(|case| case.id() == id)
        .unwrap();
    let factored = case.frame.factorize().unwrap();
    let length: f64 = case.groups[BEAM]
        .iter()
        .map(|member| case.frame.length(*member).unwrap())
        .sum();
    let live = &case.json["live_load"]["moving_patch"];
    let (long, w) = (number(&live["length"]) * MM, number(&live["w"]) / MM);
    for (node, results) in entries(&case.json["results"]) {
        let influence = factored
            .influence_on_reaction(case.nodes[node], Dof::Uz)
            .unwrap();
        check_patterns(&case, node, results, &influence);
        check_line(&case, node, results, &influence);
        let point = |x: f64| unit_load(&case, &influence, x);
        let moving = |x: f64| patch(&case, &influence, x, long, w);
        let scale = number(&results["moving_patch"]["max"]);
        for (name, sign) in [("max", 1.0), ("min", -1.0)] {
            let (value, place) = (
                &results[format!("moving_unit_load_{name}")],
                &results[format!("moving_unit_load_{name}_x")],
            );
            check_moving(point, length, value, place, sign, 1.0);
            let (value, place) = (
                &results["moving_patch"][name],
                &results["moving_patch"][format!("{name}_start_x")],
            );
            check_moving(moving, length - long, value, place, sign, scale);
        }
        for (name, value) in
            entries(&results["known"]).filter(|(name, _)| name.ends_with("_reaction"))
        {
            near(
                number(&results[name]),
                value,
                EXACT,
                number(&results["max_reaction"]),
                "closed form",
            );
        }
    }
}

#[test]
fn two_spans() {
    check("IN-01");
}

#[test]
fn three_spans() {
    check("IN-02");
}

#[test]
fn no_case_is_left_out() {
    let ids: Vec<String> = read(CASES)
        .iter()
        .map(|case| case.id().to_owned())
        .collect();
    assert_eq!(ids, ["IN-01", "IN-02"]);
}
