//! The platform in space: braces, sliding and hung seats, plates, movement of stems, the worst of what may be there.
//! Statics by hand, closed forms, and layouts analysed the long way round.
#![allow(
    clippy::format_push_string,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use barkline::Layout;
use barkline::analysis::platform::{AnalysisError, JointKind, Solved, State, StateForces, solve};
use barkline::checks::{Going, Results};
use barkline::loads;
use barkline::model::{Action, ActionPart, ActionPlace, Bound, Case, Platform, Point, Presence};
use barkline::units::si;
use proptest::prelude::*;

/// Statics without any stiffness in it: rounding alone, as a share of the loads.
const ROUNDING: f64 = 1e-9;

fn platform(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}\n{text}"));
    let resolved = layout
        .resolve()
        .unwrap_or_else(|found| panic!("{found}\n{text}"));
    resolved.platform
}

fn check(text: &str) -> Results {
    platform(text)
        .check()
        .unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn on(solved: &Solved<'_>, anchor: &str, state: State) -> StateForces {
    let anchors = solved.platform().anchors();
    let index = anchors.iter().position(|own| own.id == anchor).unwrap();
    let forces = solved.anchor(index).unwrap();
    forces
        .states
        .into_iter()
        .find(|own| own.state == state)
        .unwrap()
}

/// Down, side, out under a case as a whole (N).
fn whole(solved: &Solved<'_>, anchor: &str, case: Case, state: State) -> [f64; 3] {
    let forces = on(solved, anchor, state);
    let mut sum = [0.0; 3];
    for (column, force) in solved.columns().iter().zip(&forces.columns) {
        let always = matches!(column.presence, Presence::Always | Presence::OnOff);
        if column.case == case && always {
            (0..3).for_each(|c| sum[c] += force[c]);
        }
    }
    sum
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} for {expected}"
    );
}

fn tree(id: &str, east: f64, north: f64) -> String {
    format!(
        "[[tree]]\nid = \"{id}\"\nspecies = \"white oak\"\nat = [\"{east} m\", \"{north} m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n"
    )
}

fn anchor(id: &str, tree: &str, faces: &str, more: &str) -> String {
    format!(
        "[[anchor]]\nid = \"{id}\"\ntree = \"{tree}\"\nfaces = \"{faces}\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n{more}\n"
    )
}

const TIMBER: &str = "width = \"100 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\n";
/// No notional, no level, no friction, no people: what is left is what the test puts there.
fn bare(mut platform: Platform) -> Platform {
    let mut criteria = platform.criteria().clone();
    for key in [
        "notional_side",
        "seat_level",
        "seat_friction",
        "people_side",
    ] {
        assert!(criteria.change(key, 0.0));
    }
    platform = platform.with_criteria(criteria);
    platform
}

/// Two spokes that run east from two stems, each on one anchor and a brace, under one deck.
fn spokes() -> String {
    let mut text = String::new();
    for (name, north) in [("a", 0.0), ("b", 3.0)] {
        text += &tree(name, 0.0, north);
        text += &anchor(&format!("{name}-up"), name, "E", "level = \"3 m\"");
        text += &anchor(&format!("{name}-low"), name, "E", "level = \"1.6 m\"");
        text += &format!(
            "[[beam]]\nid = \"{name}-spoke\"\non = [\"{name}-up\"]\nruns = \"out\"\noverhang = [\"0 m\", \"2.2 m\"]\nseat_rise = \"50 mm\"\nheld_down = true\n{TIMBER}"
        );
        text += &format!(
            "[[brace]]\nid = \"{name}-brace\"\nfrom = \"{name}-low\"\nto = \"{name}-spoke at 1.4 m\"\nwidth = \"90 mm\"\ndepth = \"90 mm\"\nmodulus = \"11 GPa\"\n"
        );
    }
    text + "[[deck]]\nid = \"d\"\non = [\"a-spoke\", \"b-spoke\"]\noutline = [[\"0.73 m\", \"0 m\"], [\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"], [\"0.73 m\", \"3 m\"]]\njoists = { run = \"N-S\", spacing = \"400 mm\", width = \"45 mm\", depth = \"145 mm\", modulus = \"10 GPa\" }\ndead = \"0 kPa\"\nlive = \"2 kPa\"\n"
}

#[test]
fn a_brace_pushes_as_statics_say() {
    let platform = bare(platform(&spokes()));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    // Each spoke carries 6 kN, its middle 1.73 m out of the stem's centre; the seat lies 0.53 m out.
    let (load, seat) = (6e3_f64, 0.53);
    let push_up = load * (1.73 - seat) / 1.4;
    // The brace rises from the lower load point to the beam's axis: 3 + 0.05 + 0.12 − 1.6 m on 1.4 m.
    let level = push_up * 1.4 / 1.57;
    let thrust = push_up.hypot(level);
    for state in State::ALL {
        for name in ["a", "b"] {
            let up = whole(&solved, &format!("{name}-up"), Case::Live, state);
            near(up[0], load - push_up, 1e-6 * load);
            near(up[1], 0.0, 1e-6 * load);
            near(up[2], level, 1e-6 * load);
            let low = whole(&solved, &format!("{name}-low"), Case::Live, state);
            near(low[0], push_up, 1e-6 * load);
            near(low[2], -level, 1e-6 * load);
        }
    }
    let joints = solved.joints().unwrap();
    let brace = joints
        .iter()
        .find(|joint| joint.name == "brace a-brace")
        .unwrap();
    assert_eq!(brace.kind, JointKind::Pushes);
    let live: f64 = brace.presses[0]
        .iter()
        .zip(solved.columns())
        .filter(|(_, column)| column.case == Case::Live)
        .map(|(force, _)| force)
        .sum();
    near(live, thrust, 1e-6 * thrust);
}

#[test]
fn a_brace_that_would_have_to_pull_is_named() {
    let text = spokes() + "[[load]]\nid = \"gust\"\non = \"a-spoke at 2.1 m\"\nuplift = \"9 kN\"\n";
    let results = check(&text);
    let named = results
        .unassessed()
        .iter()
        .any(|part| part.contains("brace a-brace would have to pull"));
    assert!(named, "{:?}", results.unassessed());
    let both = text.replace(
        "to = \"a-spoke at 1.4 m\"",
        "to = \"a-spoke at 1.4 m\"\ncarries = \"both\"",
    );
    let results = check(&both);
    assert!(
        !results
            .unassessed()
            .iter()
            .any(|part| part.contains("a-brace")),
        "{:?}",
        results.unassessed()
    );
}

/// Forces of all anchors as vectors at their load points: they carry every action in all six directions.
#[test]
fn anchors_carry_every_action_in_all_six_directions() {
    let text = spokes();
    let platform = bare(platform(&text));
    let centre = Point::new(si::metres(1.73), si::metres(1.5));
    let action = |force: [f64; 3], on| Action {
        name: "test".into(),
        case: Case::Wind,
        presence: Presence::Always,
        parts: vec![ActionPart { on, force }],
    };
    let height = si::metres(0.9);
    let deck = |at| ActionPlace::Deck {
        deck: 0,
        at,
        height,
    };
    let beam = |station| ActionPlace::Beam {
        beam: 1,
        station: si::metres(station),
    };
    let aside = Point::new(si::metres(2.5), si::metres(0.4));
    // Plane 3.17 m, boards 0.12 + 0.145 m over it.
    let boards = 3.17 + 0.12 + 0.145 + 0.9;
    for (force, on, at) in [
        ([1e3, 0.0, 0.0], deck(centre), [1.73, 1.5, boards]),
        ([0.0, 1e3, 0.0], deck(aside), [2.5, 0.4, boards]),
        ([0.0, 0.0, 1e3], deck(aside), [2.5, 0.4, boards]),
        ([7e2, -4e2, 0.0], beam(2.0), [2.53, 3.0, 3.17]),
        ([7e2, -4e2, 3e2], beam(0.6), [1.13, 3.0, 3.17]),
    ] {
        let solved = solve(&platform, &[action(force, on)], platform.criteria()).unwrap();
        let mut left = [force[0], force[1], force[2], 0.0, 0.0, 0.0];
        turn(&mut left, at, force, 1.0);
        for anchor in platform.anchors() {
            let stem = platform.stem_of(anchor);
            let axes = anchor.axes(stem);
            let last = solved.columns().len() - 1;
            let [down, side, out] = on_last(&solved, &anchor.id, last);
            let force: [f64; 3] = (axes.down * down + axes.side * side + axes.out * out).into();
            let [x, y] = anchor.load_point(stem).metres();
            let z = if anchor.id.ends_with("low") {
                1.6
            } else {
                3.17
            };
            (0..3).for_each(|c| left[c] -= force[c]);
            turn(&mut left, [x, y, z], force, -1.0);
        }
        for part in left {
            near(part, 0.0, 1e-6 * 4e3);
        }
    }
}

fn on_last(solved: &Solved<'_>, anchor: &str, column: usize) -> [f64; 3] {
    on(solved, anchor, State::AllSoft).columns[column]
}

fn turn(left: &mut [f64; 6], at: [f64; 3], force: [f64; 3], sign: f64) {
    let [x, y, z] = at;
    let moment = [
        y * force[2] - z * force[1],
        z * force[0] - x * force[2],
        x * force[1] - y * force[0],
    ];
    (0..3).for_each(|c| left[3 + c] += sign * moment[c]);
}

/// One beam between two stems that stand east of each other.
fn between(seats: &str) -> String {
    tree("w", 0.0, 0.0)
        + &tree("e", 5.0, 0.0)
        + &anchor("W", "w", "E", "")
        + &anchor("E", "e", "W", "")
        + &format!(
            "[[beam]]\nid = \"tie\"\non = [\"W\", \"E\"]\nseats = {seats}\noverhang = [\"100 mm\", \"100 mm\"]\nheld_down = true\n{TIMBER}[[load]]\nid = \"p\"\non = \"tie at 1 m\"\nlive = \"4 kN\"\n"
        )
}

#[test]
fn two_fixed_ends_lock_in_stiffness_times_movement() {
    let platform = bare(platform(&between("[\"fixed\", \"fixed\"]")));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    let anchor = &platform.anchors()[0];
    // Along the bar the soft bound is that of the side; the two stems and the beam give besides.
    let side = anchor
        .stiffness(platform.stem_of(anchor), Bound::Soft)
        .unwrap()[1]
        .value;
    let span = 5.0 - 2.0 * 0.53;
    let give = 2.0 / side + span / (11e9 * 0.1 * 0.24) + 2.0 / 1e10;
    let forces = on(&solved, "W", State::AllSoft);
    let movement = &forces.movement;
    assert_eq!(movement.len(), 2);
    // The west stem goes east by one metre: its anchor is pressed in, and pulled out as the east stem does.
    near(movement[0][0][2], -1.0 / give, 1e-6 / give);
    near(movement[1][0][2], 1.0 / give, 1e-6 / give);
    let slides = bare(crate::platform(&between("[\"fixed\", \"sliding\"]")));
    let solved = solve(&slides, &[], slides.criteria()).unwrap();
    near(
        on(&solved, "W", State::AllSoft).movement[1][0][2],
        0.0,
        1e-6 / give,
    );
}

#[test]
fn friction_of_a_sliding_seat_pulls_at_both_ends() {
    let platform = bare(platform(&between("[\"fixed\", \"sliding\"]")));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    // A newton eastward on the beam: out of the west anchor, which faces east; the east anchor, which faces west, out too.
    near(
        on(&solved, "W", State::AllStiff).friction[0][2],
        1.0,
        ROUNDING,
    );
    near(
        on(&solved, "E", State::AllStiff).friction[0][2],
        1.0,
        ROUNDING,
    );
    let mut criteria = platform.criteria().clone();
    criteria.change("seat_friction", 0.25);
    let results = platform.check_with(&criteria).unwrap();
    let load = &results.attachments()[1];
    let most = load
        .reactions()
        .iter()
        .find(|row| row.combination == "D + L")
        .unwrap();
    let full = load
        .full_reactions()
        .iter()
        .find(|row| row.combination == "D + L")
        .unwrap();
    near(most.out_n.abs(), 0.25 * full.down_n, 1e-3 * full.down_n);
}

#[test]
fn without_a_hold_in_plan_the_way_it_moves_is_named() {
    for (seats, words) in [
        ("[\"sliding\", \"sliding\"]", "slides along itself"),
        ("[\"hung\", \"hung\"]", "swings sideways"),
        ("[\"hung\", \"fixed\"]", "swings sideways"),
    ] {
        let platform = platform(&between(seats));
        let error = solve(&platform, &[], platform.criteria()).unwrap_err();
        let AnalysisError::Mechanism(message) = &error else {
            panic!("{error}");
        };
        assert!(message.contains(words), "{seats}: {message}");
        assert!(!message.contains("up and down"), "{seats}: {message}");
    }
}

/// A beam over three anchors in a row.
fn row() -> String {
    let mut text = String::new();
    for (k, east) in [0.0, 3.0, 5.5].into_iter().enumerate() {
        text += &tree(&format!("t{k}"), east, 0.0);
        text += &anchor(&format!("A{k}"), &format!("t{k}"), "N", "");
    }
    text + &format!(
        "[[beam]]\nid = \"b\"\non = [\"A0\", \"A1\", \"A2\"]\nseats = [\"fixed\", \"sliding\", \"sliding\"]\noverhang = [\"800 mm\", \"600 mm\"]\nheld_down = true\n{TIMBER}"
    )
}

fn loads_at(stations: &[(f64, f64)]) -> String {
    let mut text = String::new();
    for (k, (station, force)) in stations.iter().enumerate() {
        text +=
            &format!("[[load]]\nid = \"p{k}\"\non = \"b at {station} m\"\nlive = \"{force} kN\"\n");
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(4) })]

    /// The worst by influence is the worst of all patterns, each analysed as a layout of its own.
    #[test]
    fn the_worst_of_the_parts_is_the_worst_of_all_patterns(
        stations in prop::collection::vec((0.05..6.8_f64, 1.0..5.0_f64), 4)
    ) {
        let all = bare(platform(&(row() + &loads_at(&stations))));
        let solved = solve(&all, &[], all.criteria()).unwrap();
        for anchor in ["A0", "A1", "A2"] {
            for state in State::ALL {
                let forces = on(&solved, anchor, state);
                let parts = solved.columns().iter().zip(&forces.columns).filter(|(column, _)| column.presence == Presence::OnOff);
                let (mut most, mut least) = (0.0, 0.0);
                for (_, force) in parts {
                    most += force[0].max(0.0);
                    least += force[0].min(0.0);
                }
                let (mut highest, mut lowest) = (0.0_f64, 0.0_f64);
                for pattern in 1_u32..16 {
                    let chosen: Vec<_> = stations.iter().enumerate().filter(|(k, _)| pattern & (1 << k) != 0).map(|(_, load)| *load).collect();
                    let alone = bare(platform(&(row() + &loads_at(&chosen))));
                    let alone = solve(&alone, &[], alone.criteria()).unwrap();
                    let down = whole(&alone, anchor, Case::Live, state)[0];
                    highest = highest.max(down);
                    lowest = lowest.min(down);
                }
                prop_assert!((most - highest).abs() <= 1e-6 * 2e4, "{most} {highest}");
                prop_assert!((least - lowest).abs() <= 1e-6 * 2e4, "{least} {lowest}");
            }
        }
    }
}

#[test]
fn what_is_left_without_an_anchor_is_the_platform_without_it() {
    let loads = loads_at(&[(1.5, 3.0), (4.0, 5.0), (6.5, 2.0)]);
    let platform = bare(platform(&(row() + &loads)));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    let losses = solved.lose_each().unwrap();
    assert_eq!(losses.len(), 3);
    let without = row()
        .replace("\"A0\", \"A1\", \"A2\"", "\"A0\", \"A2\"")
        .replace(
            "seats = [\"fixed\", \"sliding\", \"sliding\"]",
            "seats = [\"fixed\", \"sliding\"]",
        );
    let cut = without.find("[[tree]]\nid = \"t1\"").unwrap();
    let end = without.find("[[tree]]\nid = \"t2\"").unwrap();
    let without = without[..cut].to_owned() + &without[end..];
    let other = bare(crate::platform(&(without + &loads)));
    let alone = solve(&other, &[], other.criteria()).unwrap();
    let forces = losses[1].forces.as_ref().unwrap();
    for (base, state) in [State::AllSoft, State::AllStiff].into_iter().enumerate() {
        for (index, name) in [(0, "A0"), (2, "A2")] {
            for (k, case) in [Case::Dead, Case::Live].into_iter().enumerate() {
                let expected = whole(&alone, name, case, state);
                for c in 0..3 {
                    near(forces[base][index][k][c], expected[c], 1e-6 * 1e4);
                }
            }
        }
    }
    // The first anchor is the only one that holds the beam along itself.
    assert!(losses[0].forces.is_none());
}

#[test]
fn a_table_of_losses_says_what_falls_and_what_is_exceeded() {
    let platform = platform(&(row() + &loads_at(&[(2.0, 60.0), (4.2, 60.0)])));
    let lost = platform.lose_each().unwrap();
    assert_eq!(lost.len(), 3);
    assert!(!lost[0].held && !lost[0].stands(Going::Gradual));
    assert!(lost[1].held);
    assert!(!lost[1].stands(Going::Sudden), "{:?}", lost[1]);
    let [sudden, gradual] = lost[1]
        .hardest
        .each_ref()
        .map(|hardest| hardest.as_ref().unwrap().utilization);
    // Twice the load is about twice the use: with clearance round the boss not quite in step.
    near(sudden, 2.0 * gradual, 0.03 * sudden);
}

#[test]
fn a_swing_pulls_down_and_aside() {
    let text = between("[\"fixed\", \"sliding\"]")
        + "[[swing]]\nid = \"s\"\non = \"tie at 2 m\"\nrider = \"1 kN\"\nto = \"60 deg\"\nswings = \"N-S\"\n";
    let platform = platform(&text);
    let actions = loads::actions(&platform, platform.criteria()).unwrap();
    let forces: Vec<[f64; 3]> = actions.iter().map(|action| action.parts[0].force).collect();
    assert_eq!(forces.len(), 3);
    // 3 − 2 cos θ at the lowest point; at most 0.840 of the weight aside (C18, C19 of the check values, computed).
    // Half as much again for jerks.
    near(forces[0][2], -1.5 * 2e3, ROUNDING * 1e3);
    near(forces[1][1].abs(), 1.5 * 840.0, 0.5);
    near(forces[2][1], -forces[1][1], ROUNDING);
    assert!(
        actions
            .iter()
            .all(|action| action.presence == Presence::OneOf(0))
    );
}

#[test]
fn a_hammock_pulls_its_ends_together() {
    let text = between("[\"fixed\", \"sliding\"]")
        + "[[hammock]]\nid = \"h\"\nends = [\"W\", \"E\"]\nweight = \"1 kN\"\nsag = \"300 mm\"\n";
    let platform = platform(&text);
    let action = &loads::actions(&platform, platform.criteria()).unwrap()[0];
    let span = 5.0 - 2.0 * 0.53;
    let [one, two] = [action.parts[0].force, action.parts[1].force];
    near(one[0], 1e3 * span / (4.0 * 0.3), ROUNDING * 1e3);
    near(two[0], -one[0], ROUNDING * 1e3);
    near(one[2], -500.0, ROUNDING * 1e3);
    let results = platform.check().unwrap();
    let pulled = results.attachments()[0]
        .reactions()
        .iter()
        .map(|row| row.out_n)
        .fold(0.0, f64::max);
    assert!(pulled > one[0], "{pulled}");
}

#[test]
fn people_sway_a_deck_any_way() {
    let platform = platform(&spokes());
    let actions = loads::actions(&platform, platform.criteria()).unwrap();
    // 12 psf on 2 m by 3 m.
    let force = 12.0 * 47.880_258_980_335_84 * 6.0;
    near(actions[0].parts[0].force[0], force, 1e-6 * force);
    near(actions[1].parts[0].force[1], force, 1e-6 * force);
    assert!(
        actions
            .iter()
            .all(|action| action.presence == Presence::Turning && action.case == Case::Sway)
    );
    let ActionPlace::Deck { at, .. } = actions[0].parts[0].on else {
        panic!("people stand on a deck");
    };
    near(at.east.value, 1.73, ROUNDING);
    near(at.north.value, 1.5, ROUNDING);
}

/// Two anchors of one stem, back to back, and one rod through it.
fn rod(word: &str) -> String {
    tree("w", 0.0, 0.0)
        + &anchor("E", "w", "E", word)
        + &anchor("W", "w", "W", word)
        + &tree("far", 0.0, 6.0)
        + &anchor("F", "far", "E", "")
        + "[[hammock]]\nid = \"h\"\nends = [\"E\", \"F\"]\nweight = \"1 kN\"\nsag = \"1 m\"\n[[load]]\nid = \"p\"\non = \"W\"\ndead = \"1 kN\"\n"
}

#[test]
fn a_through_rod_is_held_by_the_boss_at_its_other_end() {
    let lean =
        "[[load]]\nid = \"q\"\non = \"E\"\ndead = \"1 kN\"\npush = \"2 kN\"\ntoward = \"E\"\n";
    let pulled = |word: &str| {
        let results = check(&(rod(word) + lean));
        let own = results.attachments()[0].clone();
        own.check(barkline::model::LimitState::Withdrawal)
            .unwrap()
            .clone()
    };
    let (thread, boss) = (pulled(""), pulled("rod = \"through\""));
    assert!(thread.source.contains("nds-2018"));
    // π/4 (102² − 51²) mm² of white oak across the grain, 670 psi green, over 1.67 (Wood Handbook, Table 5-3b).
    let ring = std::f64::consts::FRAC_PI_4 * (0.1016_f64.powi(2) - 0.0508_f64.powi(2));
    let allowed = boss.allowable.unwrap().si();
    assert!(boss.note.unwrap().contains("through-rod"));
    let across = 670.0 * 6_894.757_293_168;
    near(allowed, ring * across / 1.67, 0.02 * allowed);
}

/// A beam of two equal spans over three anchors in a row, without other loads than its weight.
fn two_spans() -> String {
    let mut text = String::new();
    for (k, east) in [0.0, 3.0, 6.0].into_iter().enumerate() {
        text += &tree(&format!("t{k}"), east, 0.0);
        text += &anchor(&format!("A{k}"), &format!("t{k}"), "N", "");
    }
    text + &format!(
        "[[beam]]\nid = \"b\"\non = [\"A0\", \"A1\", \"A2\"]\nseats = [\"fixed\", \"sliding\", \"sliding\"]\nheld_down = true\n{TIMBER}"
    )
}

/// EI of the beam of these tests (N·m²).
const RIGIDITY: f64 = 11e9 * 0.1 * 0.24 * 0.24 * 0.24 / 12.0;

#[test]
fn a_seat_out_of_level_moves_load_as_in_the_tables() {
    let platform = bare(platform(&two_spans()));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    // The middle of two equal spans sinks by Δ: its reaction falls by 6·EI·Δ/L³, each end's rises by half of that.
    let expected = 6.0 * RIGIDITY / 27.0;
    let level = |name: &str| on(&solved, name, State::Rigid).level[1][0];
    // Rigid supports are a thousand times the stiff bound; the beam itself bends.
    near(level("A1"), -expected, 2e-3 * expected);
    near(level("A0"), expected / 2.0, 2e-3 * expected);
    let mut criteria = platform.criteria().clone();
    criteria.change("seat_level", 0.003);
    let most = |criteria: &barkline::model::Criteria| {
        let results = platform.check_with(criteria).unwrap();
        results.attachments()[0].ranges()[0].down_n[1]
    };
    // No state shifts more than the rigid one.
    let more = most(&criteria) - most(platform.criteria());
    assert!(
        more > 0.0 && more <= 0.003 * expected / 2.0 * (1.0 + 1e-6),
        "{more}"
    );
}

#[test]
fn wood_that_creeps_hands_its_dead_load_on() {
    let platform = bare(platform(&two_spans()));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    let anchor = &platform.anchors()[1];
    let k = anchor
        .stiffness_on(platform.stem_of(anchor), 1.0 / 6.0)
        .unwrap()[0]
        .value;
    let (w, span) = (platform.beams()[0].timber.line_weight().value, 3.0_f64);
    // Two equal spans on three equal springs, α = EI/(k·L³): R_B = w·L·(5/24 + α)/(1/6 + 1.5·α).
    let alpha = RIGIDITY / (k * span.powi(3));
    let expected = w * span * (5.0 / 24.0 + alpha) / (1.0 / 6.0 + 1.5 * alpha);
    near(
        solved.anchor(1).unwrap().crept[0],
        expected,
        1e-6 * expected,
    );
}

#[test]
fn a_load_that_may_stand_anywhere_is_the_worst_of_its_places() {
    let deck = |more: &str| spokes().replace("dead = \"0 kPa\"\nlive = \"2 kPa\"", more);
    let of = |text: &str, whole_case: bool| {
        let platform = bare(platform(text));
        let solved = solve(&platform, &[], platform.criteria()).unwrap();
        let forces = on(&solved, "a-low", State::AllSoft);
        let parts = solved.columns().iter().zip(&forces.columns);
        let live = parts
            .filter(|(column, _)| column.case == Case::Live && column.presence != Presence::Always)
            .map(|(column, force)| (column.presence, force[0]));
        let live: Vec<_> = live.collect();
        if whole_case {
            live.iter().map(|(_, down)| down).sum::<f64>()
        } else {
            assert!(
                live.iter()
                    .all(|(presence, _)| *presence == Presence::OneOf(0))
            );
            live.iter().map(|(_, down)| *down).fold(0.0, f64::max)
        }
    };
    let anywhere = of(
        &deck("dead = \"0 kPa\"\nlive = \"0 kPa\"\nconcentrated = \"1 kN\""),
        false,
    );
    let mut most = 0.0_f64;
    for east in [0.75, 1.0, 1.5, 2.0, 2.3, 2.5, 2.71] {
        for north in [0.0, 0.4, 1.1, 2.0] {
            let load = format!(
                "dead = \"0 kPa\"\nlive = \"0 kPa\"\n[[load]]\nid = \"p\"\nat = [\"{east} m\", \"{north} m\"]\nlive = \"1 kN\""
            );
            most = most.max(of(&deck(&load), true));
        }
    }
    assert!(most > 1e3, "{most}");
    // The last joist stands half its width inside the edge, a little farther out than the grid reaches.
    assert!(
        anywhere >= most - 1e-6 && anywhere < 1.01 * most,
        "{anywhere} {most}"
    );
}

#[test]
fn wind_blows_on_guards_and_edges_from_every_side() {
    use barkline::loads::wind::{Guard, WindSite, edge_wind, guard_wind};
    use barkline::tables::{WindEdition, WindExposure};
    use barkline::units::us;
    let text = format!(
        "[site]\nwind = \"115 mph\"\nexposure = \"C\"\n{}[[guard]]\nid = \"g\"\ndeck = \"d\"\nalong = [[\"2.73 m\", \"0 m\"], [\"2.73 m\", \"3 m\"]]\nheight = \"1 m\"\nsolidity = \"40 %\"\n",
        spokes()
    );
    let platform = platform(&text);
    let actions = loads::actions(&platform, platform.criteria()).unwrap();
    let wind: Vec<&Action> = actions
        .iter()
        .filter(|action| action.case == Case::Wind)
        .collect();
    assert_eq!(wind.len(), 8);
    assert!(wind.iter().all(|action| action.presence == wind[0].presence
        && matches!(action.presence, Presence::OneOf(_))));
    let site = WindSite::new(
        us::miles_per_hour(115.0),
        WindExposure::C,
        WindEdition::Asce722,
    );
    // Boards at 3 + 0.05 + 0.24 + 0.145 m.
    let boards = si::metres(3.435);
    let guard = Guard {
        length: si::metres(3.0),
        height: si::metres(1.0),
        solidity: 0.4,
        level: boards,
    };
    let guard = guard_wind(&site, &guard).unwrap();
    let depth = si::metres(0.385);
    let edge = edge_wind(&site, si::metres(3.0), depth, boards - depth).unwrap();
    let east = wind
        .iter()
        .find(|action| action.name.contains("90°"))
        .unwrap();
    let sum: f64 = east.parts.iter().map(|part| part.force[0]).sum();
    near(sum, (guard.total + edge.total).value, 1e-6 * sum);
    // Along the guard nothing blows on it.
    let north = wind
        .iter()
        .find(|action| action.name.contains("toward 0°"))
        .unwrap();
    near(
        north.parts[0].force[0].hypot(north.parts[0].force[1]),
        0.0,
        1e-9,
    );
    let results = platform.check().unwrap();
    assert!(
        results.attachments()[0]
            .reactions()
            .iter()
            .any(|row| row.combination.contains('W'))
    );
}

#[test]
fn a_side_load_above_the_bar_turns_it() {
    let results = check(&spokes());
    let torsion = results.attachments()[0]
        .check(barkline::model::LimitState::Torsion)
        .unwrap();
    assert_eq!(torsion.verdict, barkline::checks::Verdict::Review);
    let sides = results.attachments()[0]
        .ranges()
        .iter()
        .flat_map(|row| row.side_n);
    let most = sides.map(f64::abs).fold(0.0, f64::max);
    // The beam lies 50 mm over the axis of the bar.
    near(torsion.demand.unwrap().si(), 0.05 * most, 1e-6 * most);
}

#[test]
fn a_sloping_hanger_pulls_its_anchor_out() {
    // A level beam on two anchors; a third, higher up and 0.5 m aside, takes the overhanging end by a rod.
    let text = tree("w", 0.0, 0.0)
        + &tree("e", 4.0, 0.0)
        + &tree("far", 7.0, 0.0)
        + &anchor("W", "w", "N", "level = \"3 m\"")
        + &anchor("E", "e", "N", "level = \"3 m\"")
        + &anchor("H", "far", "N", "level = \"5 m\"\nbark = \"20 mm\"").replace(
            "arm = \"100 mm\"\nlevel = \"5 m\"",
            "arm = \"200 mm\"\nlevel = \"5 m\"",
        )
        + &format!(
            "[[beam]]\nid = \"b\"\non = [\"W\", \"E\", \"H\"]\nseats = [\"fixed\", \"sliding\", \"hung\"]\nline = [[\"0 m\", \"0.53 m\"], [\"7 m\", \"0.53 m\"]]\nheld_down = true\nseat_rise = \"50 mm\"\n{TIMBER}[[load]]\nid = \"p\"\non = \"b at 7 m\"\nlive = \"3 kN\"\n"
        );
    let platform = bare(platform(&text));
    let solved = solve(&platform, &[], platform.criteria()).unwrap();
    let [down, side, out] = whole(&solved, "H", Case::Live, State::AllSoft);
    assert!(down > 1e3, "{down}");
    // The rod leaves the load point 0.1 m farther out than the beam, 5 m up, for the beam's axis at 3.17 m.
    near(out / down, -0.1 / (5.0 - 3.17), 1e-6);
    near(side, 0.0, 1e-6 * down);
    let joints = solved.joints().unwrap();
    let rod = joints
        .iter()
        .find(|joint| joint.kind == JointKind::Pulls)
        .unwrap();
    let pull: f64 = rod.presses[0]
        .iter()
        .zip(solved.columns())
        .filter(|(_, column)| column.case == Case::Live)
        .map(|(force, _)| force)
        .sum();
    near(pull, down.hypot(out), 1e-6 * down);
}
