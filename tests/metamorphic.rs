//! Whole layouts written in another way, or changed in a way whose effect is known: what must not change does not.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::Layout;
use barkline::analysis::platform::{State, solve};
use barkline::checks::{Reaction, Results};
use barkline::input::layout::{Axis, Bearing};
use barkline::loads;
use barkline::model::{Case, Platform, Presence};
use barkline::units::{kind, parse};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use toml::{Table, Value};

/// The same layout written another way: rounding of coordinates and of the solution, as a share.
const WRITTEN: f64 = 1e-5;
/// Demands are corners of what can happen at once, sought in a set of directions: the worst of a check may lie between two
/// of them, and how far off it is seen depends on the loads. Found here: 0.2 %.
const SEARCH: f64 = 0.01;
/// Forces below this are none beside the loads of these layouts (N).
const NO_FORCE: f64 = 1e-2;
/// Joists of half the width at half the spacing: parts of the load end on joists elsewhere, by up to half a spacing in 2 m.
const FINER: f64 = 0.10;

const SPOKES: &str = r#"
[criteria]
seat_friction = 0.3
[[tree]]
id = "a"
species = "white oak"
at = ["0 m", "0 m"]
diameter = "900 mm"
bark = "20 mm"
[[tree]]
id = "b"
species = "white oak"
at = ["0 m", "3 m"]
diameter = "900 mm"
bark = "20 mm"
[[anchor]]
id = "a-up"
tree = "a"
faces = "E"
size = "102x152/51"
arm = "100 mm"
level = "3 m"
[[anchor]]
id = "a-low"
tree = "a"
faces = "E"
size = "102x152/51"
arm = "100 mm"
level = "1.6 m"
[[anchor]]
id = "b-up"
tree = "b"
faces = "E"
size = "102x152/51"
arm = "100 mm"
level = "3 m"
[[anchor]]
id = "b-low"
tree = "b"
faces = "E"
size = "102x152/51"
arm = "100 mm"
level = "1.6 m"
[[beam]]
id = "a-spoke"
on = ["a-up"]
runs = "out"
overhang = ["0 m", "2.2 m"]
seat_rise = "50 mm"
held_down = true
width = "100 mm"
depth = "240 mm"
modulus = "11 GPa"
[[beam]]
id = "b-spoke"
on = ["b-up"]
runs = "out"
overhang = ["0 m", "2.2 m"]
seat_rise = "50 mm"
held_down = true
width = "100 mm"
depth = "240 mm"
modulus = "11 GPa"
[[brace]]
id = "a-brace"
from = "a-low"
to = "a-spoke at 1.4 m"
width = "90 mm"
depth = "90 mm"
modulus = "11 GPa"
[[brace]]
id = "b-brace"
from = "b-low"
to = "b-spoke at 1.4 m"
carries = "both"
width = "90 mm"
depth = "90 mm"
modulus = "11 GPa"
[[deck]]
id = "d"
on = ["a-spoke", "b-spoke"]
outline = [["0.73 m", "0 m"], ["2.73 m", "0 m"], ["2.73 m", "3 m"], ["0.73 m", "3 m"]]
joists = { run = "N-S", spacing = "400 mm", width = "45 mm", depth = "145 mm", modulus = "10 GPa" }
dead = "0.5 kPa"
live = "2 kPa"
concentrated = "1 kN"
[[guard]]
id = "g"
deck = "d"
along = [["2.73 m", "0 m"], ["2.73 m", "3 m"]]
height = "1 m"
solidity = "40 %"
[[swing]]
id = "s"
on = "a-spoke at 2 m"
rider = "0.8 kN"
to = "60 deg"
[[hammock]]
id = "h"
ends = ["a-spoke at 1 m", "b-spoke at 1.2 m"]
weight = "1 kN"
sag = "600 mm"
[[load]]
id = "p"
on = "b-spoke at 2 m"
live = "0.5 kN"
push = "0.2 kN"
toward = "35 deg"
"#;

/// A beam over two anchors and a post, one that hangs below it, a rod through a stem.
const MIXED: &str = r#"
[[tree]]
id = "w"
species = "white oak"
at = ["0 m", "0 m"]
diameter = "900 mm"
bark = "20 mm"
[[tree]]
id = "e"
species = "red maple"
at = ["5 m", "0.2 m"]
diameter = "800 mm"
bark = "10 mm"
[[post]]
id = "post"
at = ["7 m", "0.28 m"]
stiffness = "8 kN/mm"
[[anchor]]
id = "wa"
tree = "w"
faces = "E"
size = "102x152/51"
arm = "100 mm"
level = "3 m"
rod = "through"
[[anchor]]
id = "back"
tree = "w"
faces = "W"
size = "102x152/51"
arm = "100 mm"
level = "3 m"
rod = "through"
[[anchor]]
id = "ea"
tree = "e"
faces = "W"
size = "102x152/51"
arm = "100 mm"
level = "3 m"
[[beam]]
id = "tie"
on = ["wa", "ea"]
seats = ["fixed", "sliding"]
overhang = ["100 mm", "1 m"]
held_down = true
width = "100 mm"
depth = "240 mm"
modulus = "11 GPa"
[[load]]
id = "p"
on = "tie at 1 m"
live = "4 kN"
push = "0.5 kN"
toward = "N"
[[load]]
id = "q"
on = "back"
dead = "2 kN"
live = "1 kN"
push = "0.5 kN"
toward = "SW"
"#;

const WIND: &str = "[site]\nwind = \"115 mph\"\nexposure = \"C\"\n";

fn mixed() -> String {
    let from = MIXED.find("[[post]]").unwrap();
    let to = MIXED.find("[[anchor]]").unwrap();
    MIXED[..from].to_owned() + &MIXED[to..]
}

fn layouts() -> Vec<(String, String)> {
    let mut all = vec![
        ("spokes".to_owned(), SPOKES.to_owned()),
        ("mixed".to_owned(), mixed()),
    ];
    for name in ["two-stems", "four-stems", "fails", "one-anchor"] {
        let path = format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        // Wind is taken from the eight points of the compass, which do not turn with the plan; it has a test of its own.
        let calm = text.lines().filter(|line| !line.starts_with("wind = "));
        all.push((name.to_owned(), calm.collect::<Vec<_>>().join("\n")));
    }
    all
}

fn table(text: &str) -> Table {
    text.parse().unwrap()
}

fn platform(table: &Table) -> Platform {
    let text = toml::to_string(table).unwrap();
    let layout = Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}\n{text}"));
    let resolved = layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}\n{text}"));
    resolved.platform
}

fn check(table: &Table) -> Results {
    platform(table).check().unwrap()
}

/// Every text of a layout with its key.
fn each(value: &mut Value, key: &str, change: &mut impl FnMut(&str, &mut String)) {
    match value {
        Value::String(text) => change(key, text),
        Value::Array(list) => list.iter_mut().for_each(|own| each(own, key, change)),
        Value::Table(map) => map.iter_mut().for_each(|(key, own)| each(own, key, change)),
        _ => {}
    }
}

fn every(table: &Table, mut change: impl FnMut(&str, &mut String)) -> Table {
    let mut value = Value::Table(table.clone());
    each(&mut value, "", &mut change);
    value.as_table().unwrap().clone()
}

fn metres(text: &str) -> f64 {
    parse::<kind::Length>(text).unwrap().value
}

/// Another north, another zero, the other hand.
#[derive(Clone, Copy)]
struct View {
    turn: f64,
    shift: [f64; 2],
    mirror: bool,
}

impl View {
    fn of(self, table: &Table) -> Table {
        let mut value = Value::Table(table.clone());
        self.points(&mut value, "");
        let ids = ids(table);
        each(&mut value, "", &mut |key, text| {
            self.direction(key, text, &ids)
        });
        value.as_table().unwrap().clone()
    }

    fn points(self, value: &mut Value, key: &str) {
        match value {
            Value::Array(list) => {
                let point = ["at", "line", "outline", "along", "over"].contains(&key)
                    && list.len() == 2
                    && list.iter().all(Value::is_str);
                if point {
                    let [x, y] = [0, 1].map(|k| metres(list[k].as_str().unwrap()));
                    let x = if self.mirror { -x } else { x };
                    let (sin, cos) = self.turn.to_radians().sin_cos();
                    let at = [
                        x * cos + y * sin + self.shift[0],
                        y * cos - x * sin + self.shift[1],
                    ];
                    *list = at
                        .map(|length| Value::String(format!("{length} m")))
                        .to_vec();
                } else {
                    for own in list {
                        self.points(own, key);
                    }
                }
            }
            Value::Table(map) => map.iter_mut().for_each(|(key, own)| self.points(own, key)),
            _ => {}
        }
    }

    fn direction(self, key: &str, text: &mut String, ids: &[String]) {
        let sign = if self.mirror { -1.0 } else { 1.0 };
        let angle = match key {
            "faces" | "leans" | "bearing" | "toward" | "runs" => {
                text.parse::<Bearing>().ok().map(|own| own.0)
            }
            // Joists are set out from one side of their line: its sense must be that of the other hand too.
            "run" if self.mirror => text
                .parse::<Axis>()
                .ok()
                .map(|own| own.0.0 + barkline::units::si::degrees(180.0)),
            "run" | "swings" => text.parse::<Axis>().ok().map(|own| own.0.0),
            "turn" if self.mirror => {
                let turn = parse::<kind::Angle>(text).unwrap().value.to_degrees();
                *text = format!("{} deg", -turn);
                None
            }
            _ => None,
        };
        if let Some(angle) = angle.filter(|_| !ids.contains(text)) {
            *text = format!(
                "{} deg",
                (sign * angle.value.to_degrees() + self.turn).rem_euclid(360.0)
            );
        }
    }
}

const KINDS: [&str; 10] = [
    "tree", "anchor", "beam", "brace", "post", "deck", "guard", "load", "swing", "hammock",
];

fn ids(table: &Table) -> Vec<String> {
    let tables = KINDS
        .iter()
        .filter_map(|kind| table.get(*kind)?.as_array())
        .flatten();
    tables
        .map(|own| own["id"].as_str().unwrap().to_owned())
        .collect()
}

fn renamed(table: &Table, prefix: &str) -> Table {
    let ids = ids(table);
    every(table, |key, text| {
        let names = [
            "id", "tree", "on", "from", "to", "deck", "ends", "toward", "around",
        ];
        let word = text.split_whitespace().next().unwrap_or("");
        if names.contains(&key) && ids.iter().any(|id| id == word) {
            *text = format!("{prefix}{text}");
        }
    })
}

fn reordered(table: &Table) -> Table {
    let mut table = table.clone();
    for kind in KINDS {
        if let Some(Value::Array(list)) = table.get_mut(kind) {
            list.reverse();
        }
    }
    table
}

/// US text as SI and SI text as US.
fn other_units(table: &Table) -> Table {
    every(table, |_, text| {
        let (place, quantity) = match text.split_once(" at ") {
            Some((place, length)) => (format!("{place} at "), length.to_owned()),
            None => (String::new(), text.clone()),
        };
        let us = ["ft", "in", "lbf", "psf", "plf", "\""]
            .iter()
            .any(|unit| quantity.ends_with(unit));
        let other = |value: f64, unit: [&str; 2], factor: f64| {
            if us {
                format!("{value} {}", unit[0])
            } else {
                format!("{} {}", value / factor, unit[1])
            }
        };
        let found = if let Ok(length) = parse::<kind::Length>(&quantity) {
            other(length.value, ["m", "ft"], 0.3048)
        } else if let Ok(force) = parse::<kind::Force>(&quantity) {
            other(force.value, ["N", "lbf"], 4.448_221_615_260_5)
        } else if let (Ok(load), true) = (
            parse::<kind::AreaLoad>(&quantity),
            quantity.contains("psf") || quantity.contains("kPa"),
        ) {
            other(load.value, ["Pa", "psf"], 47.880_258_980_335_84)
        } else {
            return;
        };
        *text = place + &found;
    })
}

/// By anchor and limit state: the verdict and the use; the whole verdict.
fn uses(results: &Results, prefix: &str) -> BTreeMap<String, (String, f64)> {
    let mut all = BTreeMap::new();
    for own in results.attachments() {
        let anchor = own.anchor().strip_prefix(prefix).unwrap();
        for check in own.checks() {
            let key = format!("{anchor} {:?}", check.limit_state);
            all.insert(
                key,
                (
                    check.verdict.word().to_owned(),
                    check.utilization.unwrap_or(0.0),
                ),
            );
        }
    }
    for own in results.members() {
        for check in own.checks() {
            let key = format!(
                "{} {:?}",
                own.member().replace(prefix, ""),
                check.limit_state
            );
            all.insert(
                key,
                (
                    check.verdict.word().to_owned(),
                    check.utilization.unwrap_or(0.0),
                ),
            );
        }
    }
    all.insert("all".into(), (results.verdict().word().to_owned(), 0.0));
    all
}

#[track_caller]
fn same(name: &str, found: &Results, expected: &Results, prefix: &str) {
    same_within(WRITTEN, name, found, expected, prefix);
}

#[track_caller]
fn same_within(tolerance: f64, name: &str, found: &Results, expected: &Results, prefix: &str) {
    let (found, expected) = (uses(found, prefix), uses(expected, ""));
    assert_eq!(found.len(), expected.len(), "{name}");
    for ((key, (verdict, used)), (other, (due, use_due))) in found.iter().zip(&expected) {
        assert_eq!(key, other, "{name}");
        assert!(
            (used - use_due).abs() <= tolerance * use_due.abs().max(0.1),
            "{name}: {key}: {used} for {use_due}"
        );
        assert_eq!(verdict, due, "{name}: {key}");
    }
}

#[test]
fn where_north_and_zero_are_changes_nothing() {
    for (name, text) in layouts() {
        let table = table(&text);
        let plain = check(&table);
        for (turn, shift) in [
            (37.3, [0.0; 2]),
            (-118.0, [12.3, -45.6]),
            (90.0, [0.0; 2]),
            (0.0, [-101.0, 77.7]),
        ] {
            let view = View {
                turn,
                shift,
                mirror: false,
            };
            same(
                &format!("{name} turned by {turn}"),
                &check(&view.of(&table)),
                &plain,
                "",
            );
        }
    }
}

/// Wind is taken from the eight points of the compass: plans turned by an eighth see the same.
#[test]
fn wind_turns_with_the_plan_by_eighths() {
    let table = table(&(WIND.to_owned() + SPOKES));
    let plain = check(&table);
    for turn in [45.0, 180.0, 315.0] {
        let view = View {
            turn,
            shift: [0.0; 2],
            mirror: false,
        };
        same(
            &format!("turned by {turn}"),
            &check(&view.of(&table)),
            &plain,
            "",
        );
    }
}

#[test]
fn the_other_hand_changes_the_sign_of_side_alone() {
    for (name, text) in layouts() {
        let table = table(&text);
        let view = View {
            turn: 0.0,
            shift: [0.0; 2],
            mirror: true,
        };
        let other = view.of(&table);
        same_within(
            WRITTEN,
            &format!("{name} mirrored"),
            &check(&other),
            &check(&table),
            "",
        );
        let (one, two) = (platform(&table), platform(&other));
        let forces = |platform: &Platform| {
            let actions = loads::actions(platform, platform.criteria()).unwrap();
            let solved = solve(platform, &actions, platform.criteria()).unwrap();
            let always = |column: usize| {
                matches!(
                    solved.columns()[column].presence,
                    Presence::Always | Presence::OnOff
                )
            };
            let anchors = (0..platform.anchors().len()).map(|index| {
                let states = solved.anchor(index).unwrap().states;
                let columns = states[0].columns.iter().enumerate();
                columns
                    .filter(|(k, _)| always(*k))
                    .map(|(_, force)| *force)
                    .collect::<Vec<_>>()
            });
            anchors.collect::<Vec<_>>()
        };
        let sums = |forces: &[[f64; 3]]| {
            forces.iter().fold([0.0; 3], |sum: [f64; 3], own| {
                [0, 1, 2].map(|c| sum[c] + own[c])
            })
        };
        for (a, b) in forces(&one).iter().zip(forces(&two)) {
            let (a, b) = (sums(a), sums(&b));
            let size = a.iter().map(|part| part.abs()).fold(1e3, f64::max);
            for (c, sign) in [1.0, -1.0, 1.0].into_iter().enumerate() {
                assert!(
                    (a[c] - sign * b[c]).abs() <= WRITTEN * size,
                    "{name}: {a:?} {b:?}"
                );
            }
        }
    }
}

#[test]
fn names_order_and_units_change_nothing() {
    for (name, text) in layouts() {
        let table = table(&text);
        let plain = check(&table);
        same(
            &format!("{name} renamed"),
            &check(&renamed(&table, "zz-")),
            &plain,
            "zz-",
        );
        same(
            &format!("{name} in other units"),
            &check(&other_units(&table)),
            &plain,
            "",
        );
        let turned = check(&reordered(&table));
        same(&format!("{name} reordered"), &turned, &plain, "");
    }
}

#[test]
fn a_load_in_two_halves_and_a_load_of_nothing_change_nothing() {
    let plain = check(&table(SPOKES));
    let half = SPOKES.replace(
        "live = \"0.5 kN\"\npush = \"0.2 kN\"",
        "live = \"0.25 kN\"\npush = \"0.1 kN\"",
    );
    let more = "[[load]]\nid = \"p2\"\non = \"b-spoke at 2 m\"\nlive = \"0.25 kN\"\npush = \"0.1 kN\"\ntoward = \"35 deg\"\n";
    same("halves", &check(&table(&(half + more))), &plain, "");
    let none =
        "[[load]]\nid = \"none\"\non = \"a-spoke at 1 m\"\nlive = \"0 kN\"\ndead = \"0 kN\"\n";
    same(
        "nothing",
        &check(&table(&(SPOKES.to_owned() + none))),
        &plain,
        "",
    );
}

#[test]
fn finer_joists_under_the_same_load_change_little() {
    let plain = check(&table(SPOKES));
    let finer = SPOKES.replace(
        "spacing = \"400 mm\", width = \"45 mm\"",
        "spacing = \"200 mm\", width = \"22.5 mm\"",
    );
    let finer = check(&table(&finer));
    for (one, two) in plain.attachments().iter().zip(finer.attachments()) {
        let (a, b) = (one.utilization().unwrap(), two.utilization().unwrap());
        assert!((a - b).abs() <= FINER * a, "{}: {a} {b}", one.anchor());
    }
}

/// Three stems in a row, and beams on them with a dead load at each place.
fn row(beams: &[(&str, &str)], loads: &[&str]) -> Results {
    let mut text = String::new();
    for (stem, east) in [("a", "0 m"), ("b", "4 m"), ("c", "8 m")] {
        let anchor = stem.to_uppercase();
        write!(
            text,
            "[[tree]]\nid = \"{stem}\"\nspecies = \"white oak\"\nat = [\"{east}\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n\
             [[anchor]]\nid = \"{anchor}\"\ntree = \"{stem}\"\nfaces = \"N\"\nsize = \"102x152/51\"\narm = \"100 mm\"\nlevel = \"3 m\"\n"
        ).unwrap();
    }
    for (id, on) in beams {
        write!(
            text,
            "[[beam]]\nid = \"{id}\"\non = [{on}]\noverhang = [\"0 m\", \"0 m\"]\nheld_down = true\nwidth = \"100 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\n"
        ).unwrap();
    }
    for (k, on) in loads.iter().enumerate() {
        write!(
            text,
            "[[load]]\nid = \"l{k}\"\non = \"{on}\"\ndead = \"4 kN\"\n"
        )
        .unwrap();
    }
    check(&table(&text))
}

/// What dead load alone puts down on each anchor (N).
fn dead(results: &Results) -> Vec<f64> {
    let own = results.attachments().iter();
    let dead = |all: &[Reaction]| {
        all.iter()
            .find(|one| one.combination == "D")
            .unwrap()
            .down_n
    };
    own.map(|own| dead(own.full_reactions())).collect()
}

/// A beam over three seats that is cut at the middle one is two beams of known reactions; uncut, the middle seat has more
/// and the ends less.
#[test]
fn a_beam_cut_at_a_support_hands_the_middle_back_to_the_ends() {
    let whole = [("w", "\"A\", \"B\", \"C\"")];
    let cut = [("v", "\"A\", \"B\""), ("w", "\"B\", \"C\"")];
    let alone = dead(&row(&cut, &[]));
    let (own, load) = (alone[1], 4000.0);
    for (found, due) in alone.iter().zip([own / 2.0, own, own / 2.0]) {
        assert!((found - due).abs() <= WRITTEN * own, "{alone:?}");
    }
    let halves = dead(&row(&cut, &["v at 2 m", "w at 2 m"]));
    let half = f64::midpoint(own, load);
    let due = [half, own + load, half];
    for (found, due) in halves.iter().zip(due) {
        assert!((found - due).abs() <= WRITTEN * due, "{halves:?}");
    }
    let uncut = dead(&row(&whole, &["w at 2 m", "w at 6 m"]));
    assert!(
        uncut[1] > 1.1 * halves[1] && uncut[0] < halves[0] && uncut[2] < halves[2],
        "{uncut:?}"
    );
    // On the seat itself it is the same on which of the two beams the load stands.
    let (one, other) = (row(&cut, &["v at 4 m"]), row(&cut, &["w at 0 m"]));
    same("a load on the seat", &one, &other, "");
    assert!((dead(&one)[1] - own - load).abs() <= WRITTEN * load);
    // Beyond what stands on the cut nothing changes: the other beam does not know of a load on this one.
    let one = dead(&row(&cut, &["v at 1 m"]));
    assert!((one[2] - alone[2]).abs() <= WRITTEN * own, "{one:?}");
}

/// What is there or not can not relieve: more of it is never less use. (Dead load can: it stands on the far side of a seat.)
#[test]
fn more_load_is_never_more_margin() {
    let text = WIND.to_owned() + SPOKES;
    let plain = uses(&check(&table(&text)), "");
    for (less, more) in [
        ("live = \"2 kPa\"", "live = \"2.6 kPa\""),
        ("concentrated = \"1 kN\"", "concentrated = \"3 kN\""),
        ("rider = \"0.8 kN\"", "rider = \"1.2 kN\""),
        ("weight = \"1 kN\"", "weight = \"1.5 kN\""),
        ("sag = \"600 mm\"", "sag = \"400 mm\""),
        ("live = \"0.5 kN\"", "live = \"1.5 kN\""),
        ("push = \"0.2 kN\"", "push = \"0.8 kN\""),
        ("height = \"1 m\"", "height = \"1.3 m\""),
        ("solidity = \"40 %\"", "solidity = \"80 %\""),
        ("wind = \"115 mph\"", "wind = \"140 mph\""),
        (
            "seat_friction = 0.3",
            "seat_friction = 0.3\npeople_side = \"20 psf\"",
        ),
    ] {
        assert!(text.contains(less));
        let heavier = uses(&check(&table(&text.replacen(less, more, 1))), "");
        let mut grew = false;
        for (key, (_, used)) in &plain {
            let now = heavier[key].1;
            grew |= now > used + WRITTEN;
            assert!(
                now >= used - SEARCH * used.max(0.1),
                "{more}: {key}: {now} after {used}"
            );
        }
        assert!(
            grew || less.starts_with("conc")
                || less.starts_with("solid")
                || less.starts_with("height"),
            "{more} changes nothing"
        );
    }
}

/// All loads by a factor: forces by that factor, and no use less.
#[test]
fn all_loads_by_a_factor_are_all_forces_by_that_factor() {
    let row = |factor: f64| {
        format!(
            "{SPOKES}[[combination]]\nid = \"own\"\nfactors = {{ D = {factor}, L = {factor} }}\nsource = \"test\"\n"
        )
    };
    let at = |factor: f64| {
        let platform = platform(&table(&row(factor)));
        let mut criteria = platform.criteria().clone();
        assert!(criteria.change("seat_level", 0.0));
        platform.check_with(&criteria).unwrap()
    };
    let (one, two) = (at(1.0), at(1.7));
    for (a, b) in one.attachments().iter().zip(two.attachments()) {
        for (low, high) in a.ranges().iter().zip(b.ranges()) {
            let parts =
                |own: &barkline::checks::LoadRange| [own.down_n, own.side_n, own.out_n].concat();
            for (x, y) in parts(low).into_iter().zip(parts(high)) {
                assert!(
                    (1.7 * x - y).abs() <= WRITTEN * y.abs().max(NO_FORCE / WRITTEN),
                    "{}: {x} {y}",
                    a.anchor()
                );
            }
        }
        assert!(b.utilization() > a.utilization());
    }
}

/// Every action is carried by the anchors alone, in all three directions, in every state that is one for all anchors.
#[test]
fn anchors_carry_every_action_of_every_layout() {
    let mut texts = layouts();
    texts.push(("wind".into(), WIND.to_owned() + SPOKES));
    for (name, text) in texts {
        let platform = platform(&table(&text));
        let actions = loads::actions(&platform, platform.criteria()).unwrap();
        let solved = solve(&platform, &actions, platform.criteria()).unwrap();
        let first = solved.columns().len() - actions.len();
        for state in [State::AllSoft, State::AllStiff, State::Rigid] {
            let mut sums = vec![[0.0; 3]; solved.columns().len()];
            for (index, anchor) in platform.anchors().iter().enumerate() {
                let axes = anchor.axes(platform.stem_of(anchor));
                let states = solved.anchor(index).unwrap().states;
                let own = states.iter().find(|own| own.state == state).unwrap();
                for (sum, [down, side, out]) in sums.iter_mut().zip(&own.columns) {
                    let force = axes.down * *down + axes.side * *side + axes.out * *out;
                    (0..3).for_each(|c| sum[c] += force[c]);
                }
            }
            for (action, sum) in actions.iter().zip(&sums[first..]) {
                for c in 0..3 {
                    let due: f64 = action.parts.iter().map(|part| part.force[c]).sum();
                    assert!(
                        (sum[c] - due).abs() <= WRITTEN * 1e3,
                        "{name}: {}: {sum:?}",
                        action.name
                    );
                }
            }
            for case in [Case::Dead, Case::Live] {
                let columns = solved.columns().iter().zip(&sums);
                let whole = columns.filter(|(column, _)| {
                    column.case == case
                        && matches!(column.presence, Presence::Always | Presence::OnOff)
                });
                let down: f64 = whole.map(|(_, sum)| -sum[2]).sum();
                let due = solved.total()[case as usize];
                assert!(
                    (down - due).abs() <= WRITTEN * due.max(1e3),
                    "{name}: {case:?}: {down} for {due}"
                );
            }
        }
    }
}
