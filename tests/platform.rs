//! Statics by hand against the whole way from a layout's text to the reactions of its anchors.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::analysis::platform::BALANCE;
use barkline::checks::Verdict;
use barkline::model::{Case, LimitState};
use common::{Plan, PlatformForces, RIGID, SOFT, STIFF, close, reactions};
use proptest::prelude::*;

/// Statics without any stiffness in it: rounding alone (kN on some ten kN).
const EXACT: f64 = 1e-7;
/// Rigid supports are 10⁴ times 2K and beams bend: what is left of that in a figure that neglects it (kN).
const NEARLY_RIGID: f64 = 3e-3;
/// Half an edge joist stands between its axis and the edge: 22.5 mm of boards that load it 11 mm further in (kN·m).
const EDGE: f64 = 2e-3;
/// The lengths of a layout are written with twelve places.
const WRITTEN: f64 = 1e-8;

/// Two beams north on four anchors, `span` apart; they may go beyond the anchors.
fn two_beams(plan: &mut Plan, overhang: f64) -> &mut Plan {
    plan.anchor("sw", [0.0, 0.0])
        .anchor("nw", [0.0, 4.0])
        .anchor("se", [3.0, 0.0])
        .anchor("ne", [3.0, 4.0])
        .beam(
            "west",
            &["sw", "nw"],
            [[0.0, -overhang], [0.0, 4.0 + overhang]],
            "",
        )
        .beam(
            "east",
            &["se", "ne"],
            [[3.0, -overhang], [3.0, 4.0 + overhang]],
            "",
        )
}

fn rectangle(x: [f64; 2], y: [f64; 2]) -> [[f64; 2]; 4] {
    [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]]
}

fn sums(forces: &PlatformForces) {
    assert!(forces.imbalance <= BALANCE, "{}", forces.imbalance);
    for case in Case::ALL {
        // In the other states each anchor is the odd one by itself.
        for state in [SOFT, STIFF, RIGID] {
            let sum: f64 = forces
                .anchors
                .iter()
                .map(|anchor| anchor.states[state][case as usize])
                .sum();
            let total = forces.total[case as usize];
            assert!(
                (sum - total).abs() <= BALANCE * total.abs().max(1.0),
                "{case:?} {sum} {total}"
            );
        }
    }
}

/// A statically determinate platform: the expected live reactions in every state of the foundation.
#[track_caller]
fn determinate(plan: &Plan, expected: &[f64]) {
    let forces = plan.solve();
    sums(&forces);
    for state in 0..5 {
        close(&reactions(&forces, Case::Live, state), expected, EXACT);
    }
}

#[test]
fn a_deck_between_two_beams_gives_each_anchor_its_quarter() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.3).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        "",
    );
    determinate(&plan, &[6.0; 4]);
    let forces = plan.solve();
    assert!((forces.decks[0].area - 12.0).abs() < WRITTEN);
    // Own weight: beams of 4.6 m, joists, all at 7.5 kN/m³.
    let joists = forces.decks[0].joists as f64;
    let weight = 7.5 * (2.0 * 4.6 * 0.09 * 0.235 + joists * 3.0 * 0.045 * 0.145);
    assert!((forces.total[Case::Dead as usize] / 1e3 - weight).abs() < 1e-6);
    // One joist at each edge, and between them one every 0.4 m.
    assert_eq!(forces.decks[0].joists, 11);
}

#[test]
fn snow_on_a_deck_is_a_case_of_its_own() {
    let mut plan = Plan {
        criteria: "[site]\nsnow_basis = \"asce7-22\"".into(),
        ..Plan::default()
    };
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        "snow = \"1.5 kPa\"",
    );
    let forces = plan.solve();
    close(&reactions(&forces, Case::Snow, SOFT), &[4.5; 4], EXACT);
    close(&reactions(&forces, Case::Live, SOFT), &[6.0; 4], EXACT);
    // 0.7 S on a map of strength-level loads: D + 0.75 L + 0.525 S.
    let results = plan.check();
    let dead = reactions(&forces, Case::Dead, SOFT)[0];
    let down = |name: &str| {
        let reactions = results.attachments()[0].full_reactions();
        let row = reactions.iter().find(|row| row.combination == name);
        row.unwrap_or_else(|| panic!("{name}: {reactions:?}"))
            .down_n
            / 1e3
    };
    assert!((down("D + 0.75L + 0.525S") - dead - 4.5 - 0.525 * 4.5).abs() < 1e-6);
    assert!((down("D + L") - dead - 6.0).abs() < 1e-6);
}

#[test]
fn a_deck_over_part_of_the_span_goes_by_the_lever() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.5, 2.5]),
        90.0,
        2.0,
        "",
    );
    // 12 kN at 1.5 m of 4 m.
    let (south, north) = (6.0 * 2.5 / 4.0, 6.0 * 1.5 / 4.0);
    determinate(&plan, &[south, north, south, north]);
}

/// R₁ = w(l² − a²)/2l and R₂ = w(l + a)²/2l for a load over span and one overhang (derived, elementary statics).
#[test]
fn a_deck_on_an_overhang_lifts_the_far_end() {
    let (w, l, a) = (1.5, 4.0, 1.2);
    let mut plan = Plan::default();
    two_beams(&mut plan, a).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, l + a]),
        90.0,
        1.0,
        "",
    );
    let (r1, r2) = (
        w * (l * l - a * a) / (2.0 * l),
        w * (l + a) * (l + a) / (2.0 * l),
    );
    determinate(&plan, &[r1, r2, r1, r2]);
    let mut plan = Plan::default();
    two_beams(&mut plan, a).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [l, l + a]),
        90.0,
        1.0,
        "",
    );
    let lift = w * a * a / (2.0 * l);
    determinate(&plan, &[-lift, w * a + lift, -lift, w * a + lift]);
}

/// Joists that stand out beyond their beams turn about them.
#[test]
fn joists_overhang_too() {
    let mut plan = Plan::default();
    plan.anchor_facing("sw", [0.0, 0.0], 0.0)
        .anchor_facing("nw", [0.0, 4.0], 180.0)
        .anchor_facing("se", [3.0, 0.0], 0.0)
        .anchor_facing("ne", [3.0, 4.0], 180.0)
        .beam("west", &["sw", "nw"], [[0.0, 0.0], [0.0, 4.0]], "")
        .beam("east", &["se", "ne"], [[3.0, 0.0], [3.0, 4.0]], "")
        .deck(
            "d",
            &["west", "east"],
            &rectangle([0.0, 4.0], [0.0, 4.0]),
            90.0,
            1.0,
            "",
        );
    // 16 kN at 2 m of 3 m.
    let (west, east) = (16.0 / 3.0, 32.0 / 3.0);
    determinate(&plan, &[west / 2.0, west / 2.0, east / 2.0, east / 2.0]);
}

#[test]
fn a_point_load_on_boards_goes_by_the_lever_in_both_directions() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        0.0,
        "",
    );
    plan.point_load("p", [0.9, 1.35], 4.0);
    let (x, y) = (0.9 / 3.0, 1.35 / 4.0);
    determinate(
        &plan,
        &[
            4.0 * (1.0 - x) * (1.0 - y),
            4.0 * (1.0 - x) * y,
            4.0 * x * (1.0 - y),
            4.0 * x * y,
        ],
    );
}

#[test]
fn line_and_area_loads_act_at_their_middle() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        0.0,
        "",
    );
    plan.line_load("rail", [[0.0, 1.0], [3.0, 3.0]], 2.0)
        .area_load("tub", &rectangle([0.5, 1.5], [0.6, 1.8]), 4.0);
    let (rail, tub) = (2.0 * 13.0_f64.sqrt(), 4.8);
    let forces = plan.solve();
    sums(&forces);
    assert!((forces.total[Case::Live as usize] / 1e3 - rail - tub).abs() < EXACT);
    let live = reactions(&forces, Case::Live, SOFT);
    // Moments about the west and the south edge.
    assert!(((live[2] + live[3]) * 3.0 - rail * 1.5 - tub * 1.0).abs() < EXACT);
    assert!(((live[1] + live[3]) * 4.0 - rail * 2.0 - tub * 1.2).abs() < EXACT);
}

/// Supports at (0,0), (10,0), (3,8) ft and 6000 lb at (4.5, 3.5) ft: weights 0.24375, 0.31875, 0.4375 (derived: areas of the
/// three triangles).
#[test]
fn three_supports_share_by_the_triangle() {
    let ft = |x: f64, y: f64| [x * 0.3048, y * 0.3048];
    let mut plan = Plan {
        us: true,
        ..Plan::default()
    };
    // A beam along the south, and one on it that passes under the load to the third: its foot lies on the line from there.
    let share = 3.5 / 8.0;
    let (top, load) = (ft(3.0, 8.0), ft(4.5, 3.5));
    let foot = ft((4.5 - 3.0 * share) / (1.0 - share), 0.0);
    plan.anchor("a", ft(0.0, 0.0))
        .anchor("b", ft(10.0, 0.0))
        .anchor("c", top)
        .beam("south", &["a", "b"], [ft(0.0, 0.0), ft(10.0, 0.0)], "")
        .beam("spine", &["south", "c"], [foot, top], "");
    let along = (load[0] - foot[0]).hypot(load[1] - foot[1]);
    let pounds = 6.0 * 4.448_221_615_260_5;
    plan.beam_load("p", "spine", along, pounds);
    determinate(
        &plan,
        &[0.24375 * pounds, 0.31875 * pounds, 0.4375 * pounds],
    );
}

#[test]
fn a_beam_on_beams_passes_its_load_on() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0)
        .beam("upper", &["west", "east"], [[0.0, 1.0], [3.0, 1.0]], "")
        .beam_load("p", "upper", 1.0, 3.0);
    determinate(&plan, &[1.5, 0.5, 0.75, 0.25]);
}

/// Two spans under a uniform load on rigid supports: 0.375, 1.25, 0.375 of w·l (any table of continuous beams).
#[test]
fn joists_over_three_beams_are_continuous() {
    let stout = "width = \"0.2 m\"\ndepth = \"0.5 m\"";
    let mut plan = Plan::default();
    for (k, x) in [0.0, 2.0, 4.0].into_iter().enumerate() {
        let (south, north) = (format!("s{k}"), format!("n{k}"));
        plan.anchor_facing(&south, [x, 0.0], 0.0)
            .anchor_facing(&north, [x, 2.0], 180.0);
        plan.beam(
            &format!("b{k}"),
            &[&south, &north],
            [[x, 0.0], [x, 2.0]],
            stout,
        );
    }
    plan.deck(
        "d",
        &["b0", "b1", "b2"],
        &rectangle([0.0, 4.0], [0.0, 2.0]),
        90.0,
        1.0,
        "",
    );
    let rigid = plan.live(RIGID);
    let unit = 2.0;
    let expected = [0.375, 0.375, 1.25, 1.25, 0.375, 0.375].map(|share| share * unit);
    close(&rigid, &expected, NEARLY_RIGID);
    // On soft anchors the middle gives way: it takes less, and the bounds lie on both sides.
    let soft = plan.live(SOFT);
    assert!(
        soft[2] < rigid[2] - NEARLY_RIGID && soft[0] > rigid[0] + NEARLY_RIGID,
        "{soft:?}"
    );
    let forces = plan.solve();
    sums(&forces);
    let middle: Vec<f64> = (0..4)
        .map(|s| forces.anchors[2].states[s][Case::Live as usize] / 1e3)
        .collect();
    // Stiff among soft takes the most, soft among stiff the least.
    assert!(
        middle[2] > middle[0]
            && middle[2] > middle[1]
            && middle[3] < middle[0]
            && middle[3] < middle[1],
        "{middle:?}"
    );
}

/// Joists that all but meet an anchor make very short pieces of beam: those must not spoil the arithmetic.
#[test]
fn joists_may_cross_a_beam_next_to_its_anchors() {
    for near in [0.2, 0.09, 0.02, 5e-3, 1e-3, 3e-4, 1.1e-4, 5e-5] {
        let mut plan = Plan::default();
        plan.anchor("s0", [0.0, 0.4 - near])
            .anchor("n0", [0.0, 2.4 + near])
            .anchor("s2", [4.0, 0.4 + near])
            .anchor("n2", [4.0, 2.4 - near])
            .anchor_facing("s1", [2.0, -0.5], 0.0)
            .anchor_facing("n1", [2.0, 3.7], 180.0)
            .beam("b0", &["s0", "n0"], [[0.0, -0.1], [0.0, 3.3]], "")
            .beam("b1", &["s1", "n1"], [[2.0, -0.5], [2.0, 3.7]], "")
            .beam("b2", &["s2", "n2"], [[4.0, -0.1], [4.0, 3.3]], "");
        plan.deck(
            "d",
            &["b0", "b1", "b2"],
            &rectangle([0.0, 4.0], [0.0, 3.2]),
            90.0,
            1.0,
            "",
        );
        sums(&plan.solve());
    }
}

/// A beam that ends a hair beyond its anchor, and one that crosses another a hair from its anchor.
#[test]
fn hairs_between_things_do_not_spoil_the_arithmetic() {
    for near in [0.1, 0.02, 1e-3, 1.1e-4, 5e-5] {
        let mut plan = Plan::default();
        plan.anchor("a", [0.0, 0.0])
            .anchor("b", [0.0, 3.0])
            .beam("x", &["a", "b"], [[0.0, -near], [0.0, 3.0 + near]], "")
            .beam_load("p", "x", 3.0 + 2.0 * near, 3.0)
            .beam_load("q", "x", 0.0, 1.5);
        let turn = (3.0 - 1.5) * near / 3.0;
        determinate(
            &plan,
            &[1.5 + 1.5 * near / 3.0 - 3.0 * near / 3.0, 3.0 + turn],
        );
        let dead = reactions(&plan.solve(), Case::Dead, SOFT);
        close(&dead, &[dead[0]; 2], EXACT);

        let mut plan = Plan::default();
        two_beams(&mut plan, 0.0)
            .beam("upper", &["west", "east"], [[0.0, near], [3.0, near]], "")
            .beam_load("p", "upper", 1.0, 3.0);
        let forces = plan.solve();
        sums(&forces);
        // Within a tenth of the depth it sits on the anchor.
        let share = if near > 0.0235 { near / 4.0 } else { 0.0 };
        close(
            &reactions(&forces, Case::Live, SOFT),
            &[2.0 * (1.0 - share), 2.0 * share, 1.0 - share, share],
            EXACT,
        );
    }
}

#[test]
fn a_beam_over_three_anchors_is_continuous() {
    let mut plan = Plan::default();
    plan.anchor("a", [0.0, 0.0])
        .anchor("b", [0.0, 3.0])
        .anchor("c", [0.0, 6.0])
        .beam("long", &["a", "b", "c"], [[0.0, 0.0], [0.0, 6.0]], "")
        .beam_load("p", "long", 1.5, 8.0);
    // A load in the middle of one of two spans: 13/32, 22/32, −3/32 (any table of continuous beams).
    let rigid = plan.live(RIGID);
    close(
        &rigid,
        &[8.0 * 13.0 / 32.0, 8.0 * 22.0 / 32.0, -8.0 * 3.0 / 32.0],
        0.01,
    );
    let forces = plan.solve();
    sums(&forces);
    // K/2 of the whole lies further from rigid than 2K.
    let middle = |state: usize| forces.anchors[1].states[state][Case::Live as usize];
    assert!((middle(0) - middle(4)).abs() > (middle(1) - middle(4)).abs());
}

#[test]
fn a_hole_in_the_middle_keeps_total_and_symmetry() {
    let mut plan = Plan::default();
    let hole = format!(
        "holes = [{{ outline = [{}, {}, {}, {}] }}]",
        plan.point([1.0, 1.4]),
        plan.point([2.0, 1.4]),
        plan.point([2.0, 2.6]),
        plan.point([1.0, 2.6])
    );
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        &hole,
    );
    let forces = plan.solve();
    assert!((forces.decks[0].area - 10.8).abs() < WRITTEN);
    determinate(&plan, &[5.4; 4]);
    let dead = reactions(&forces, Case::Dead, SOFT);
    close(&dead, &[dead[0]; 4], EXACT);
    // Three joists cut in two, two headers from the joist at 1.2 m to that at 2.8 m.
    assert_eq!(forces.decks[0].joists, 11 + 3);
    let line = 7.5 * 0.045 * 0.145;
    let cut = 11.0 * 3.0 - 3.0 * 1.0 + 2.0 * (2.8 - 1.2);
    let weight = line * cut + 7.5 * 2.0 * 4.0 * 0.09 * 0.235;
    assert!((forces.total[Case::Dead as usize] / 1e3 - weight).abs() < 1e-6);
}

#[test]
fn an_eccentric_hole_loads_its_trimmers_by_the_lever() {
    let mut plan = Plan::default();
    let hole = format!(
        "holes = [{{ outline = [{}, {}, {}, {}] }}]",
        plan.point([0.6, 0.6]),
        plan.point([1.4, 0.6]),
        plan.point([1.4, 1.4]),
        plan.point([0.6, 1.4])
    );
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        &hole,
    );
    // The load of the hole is missing where it was.
    let (lost, x, y) = (2.0 * 0.8 * 0.8, 1.0 / 3.0, 1.0 / 4.0);
    determinate(
        &plan,
        &[
            6.0 - lost * (1.0 - x) * (1.0 - y),
            6.0 - lost * (1.0 - x) * y,
            6.0 - lost * x * (1.0 - y),
            6.0 - lost * x * y,
        ],
    );
}

#[test]
fn a_stem_through_the_deck_cuts_joists_and_no_load() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        "",
    );
    let whole = plan.solve();
    plan.tables.push(format!(
        "[[tree]]\nid = \"young\"\nspecies = \"red maple\"\nat = {}\ndiameter = \"0.5 m\"\nbark = \"8 mm\"\n",
        plan.point([1.5, 2.0])
    ));
    let cut = plan.solve();
    sums(&cut);
    assert!(cut.decks[0].joists > whole.decks[0].joists);
    close(&reactions(&cut, Case::Live, SOFT), &[6.0; 4], EXACT);
    // One joist loses the width of the hole, two headers of two bays come.
    let line = 7.5 * 0.045 * 0.145;
    let more = (cut.total[Case::Dead as usize] - whole.total[Case::Dead as usize]) / 1e3;
    assert!(
        (more - line * (2.0 * 0.8 - 2.0 * (0.25 + 0.0508))).abs() < 1e-6,
        "{more}"
    );
}

/// An L: its inner corner lies halfway between two joists either way, where the boards' shares end.
fn ell() -> [[f64; 2]; 6] {
    [
        [0.0, 0.0],
        [3.0, 0.0],
        [3.0, 1.8],
        [1.4, 1.8],
        [1.4, 4.0],
        [0.0, 4.0],
    ]
}

#[test]
fn an_l_has_the_load_of_its_two_parts() {
    let mut plan = Plan::default();
    // Joists run north here, on a beam along the south, one in the middle and one in the north.
    plan.anchor("sw", [0.0, 0.0])
        .anchor("se", [3.0, 0.0])
        .anchor("mw", [0.0, 1.8])
        .anchor("me", [3.0, 1.8])
        .anchor("nw", [0.0, 4.0])
        .anchor("ne", [1.4, 4.0])
        .beam("south", &["sw", "se"], [[0.0, 0.0], [3.0, 0.0]], "")
        .beam("middle", &["mw", "me"], [[0.0, 1.8], [3.0, 1.8]], "")
        .beam("north", &["nw", "ne"], [[0.0, 4.0], [1.4, 4.0]], "")
        .deck("d", &["south", "middle", "north"], &ell(), 0.0, 2.0, "");
    let forces = plan.solve();
    sums(&forces);
    let (south, north) = (3.0 * 1.8, 1.4 * 2.2);
    assert!((forces.decks[0].area - south - north).abs() < WRITTEN);
    assert!((forces.total[Case::Live as usize] / 1e3 - 2.0 * (south + north)).abs() < EXACT);
    for state in [SOFT, STIFF, RIGID] {
        let live = reactions(&forces, Case::Live, state);
        // Boards stand out 0.2 m beyond the last joist of the narrow part, and load it at its axis.
        let east = 3.0 * (live[1] + live[3]) + 1.4 * live[5];
        assert!(
            (east - 2.0 * (south * 1.5 + north * 0.7 - 0.2 * 0.1 * 2.2)).abs() < EDGE,
            "{east}"
        );
        let up = 1.8 * (live[2] + live[3]) + 4.0 * (live[4] + live[5]);
        assert!(
            (up - 2.0 * (south * 0.9 + north * 2.9)).abs() < EXACT,
            "{up}"
        );
    }
}

/// A platform with something of everything.
fn everything(mut plan: Plan) -> Plan {
    two_beams(&mut plan, 0.4)
        .anchor_facing("sh", [1.4, 0.0], 0.0)
        .anchor_facing("nh", [1.4, 3.9], 180.0)
        .beam("half", &["sh", "nh"], [[1.4, -0.2], [1.4, 4.2]], "")
        .beam("upper", &["west", "east"], [[0.0, 4.2], [3.0, 4.2]], "")
        .deck("d", &["west", "half", "east"], &ell(), 90.0, 2.0, "")
        .point_load("p", [2.1, 1.3], 3.0)
        .line_load("l", [[0.2, 0.3], [1.2, 3.6]], 0.7)
        .area_load("a", &rectangle([0.3, 1.1], [2.4, 3.7]), 1.1)
        .beam_load("b", "upper", 1.1, 2.0);
    plan
}

#[test]
fn the_order_of_the_file_does_not_matter() {
    let plan = everything(Plan::default());
    let there = plan.solve();
    let mut back = plan.clone();
    back.tables.reverse();
    let back = back.solve();
    let mut reversed = back.anchors.clone();
    reversed.reverse();
    for (one, two) in there.anchors.iter().zip(&reversed) {
        for (a, b) in one.states.iter().flatten().zip(two.states.iter().flatten()) {
            assert!((a - b).abs() < 1e-4, "{a} {b}");
        }
    }
}

#[test]
fn names_do_not_matter() {
    let there = everything(Plan::default()).solve();
    let renamed = everything(Plan {
        prefix: "zz-",
        ..Plan::default()
    })
    .solve();
    assert_eq!(there.anchors, renamed.anchors);
}

#[test]
fn feet_and_metres_are_the_same_platform() {
    let si = everything(Plan::default()).solve();
    let us = everything(Plan {
        us: true,
        ..Plan::default()
    })
    .solve();
    for (one, two) in si.anchors.iter().zip(&us.anchors) {
        for (a, b) in one.states.iter().flatten().zip(two.states.iter().flatten()) {
            assert!((a - b).abs() < 1e-3, "{a} {b}");
        }
    }
}

#[test]
fn a_load_at_the_very_end_of_a_beam_is_on_it() {
    let mut plan = Plan {
        turn: 33.0,
        ..Plan::default()
    };
    two_beams(&mut plan, 0.3).beam_load("tip", "west", 4.6, 1.0);
    determinate(&plan, &[-0.075, 1.075, 0.0, 0.0]);
}

#[test]
fn a_mirrored_platform_has_the_same_reactions() {
    let there = everything(Plan::default()).live(SOFT);
    let mirrored = everything(Plan {
        mirror: true,
        ..Plan::default()
    })
    .live(SOFT);
    close(&there, &mirrored, 1e-6);
}

#[test]
fn two_decks_are_as_one() {
    let mut one = Plan::default();
    two_beams(&mut one, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        2.0,
        "",
    );
    let mut two = Plan::default();
    two_beams(&mut two, 0.0)
        .deck(
            "d",
            &["west", "east"],
            &rectangle([0.0, 3.0], [0.0, 1.3]),
            90.0,
            2.0,
            "",
        )
        .deck(
            "e",
            &["west", "east"],
            &rectangle([0.0, 3.0], [1.3, 4.0]),
            90.0,
            2.0,
            "",
        );
    for plan in [&mut one, &mut two] {
        plan.point_load("p", [1.0, 3.0], 1.0)
            .point_load("q", [1.0, 0.5], 1.0);
    }
    close(&one.live(SOFT), &two.live(SOFT), EXACT);
}

#[test]
fn joists_run_at_an_angle_where_they_are_told_to() {
    // The diagonal joists of a square bear on a beam at two of its sides each; the total stays.
    let mut plan = Plan::default();
    plan.anchor("a", [0.0, 0.0])
        .anchor("b", [3.0, 0.0])
        .anchor("c", [3.0, 3.0])
        .anchor("d", [0.0, 3.0])
        .beam("ab", &["a", "b"], [[0.0, 0.0], [3.0, 0.0]], "")
        .beam("cd", &["d", "c"], [[0.0, 3.0], [3.0, 3.0]], "")
        .beam("bc", &["ab", "cd"], [[3.0, 0.0], [3.0, 3.0]], "")
        .beam("da", &["ab", "cd"], [[0.0, 0.0], [0.0, 3.0]], "")
        .deck(
            "floor",
            &["ab", "bc", "cd", "da"],
            &rectangle([0.0, 3.0], [0.0, 3.0]),
            45.0,
            1.0,
            "",
        );
    let forces = plan.solve();
    sums(&forces);
    assert!((forces.total[Case::Live as usize] / 1e3 - 9.0).abs() < EXACT);
}

#[test]
fn a_seat_that_lifts_fails_unless_it_is_held_down() {
    for (held, verdict) in [("", Verdict::Fail), ("held_down = true", Verdict::Pass)] {
        let mut plan = Plan::default();
        plan.anchor("a", [0.0, 0.0])
            .anchor("b", [0.0, 2.0])
            .beam("long", &["a", "b"], [[0.0, 0.0], [0.0, 4.0]], held)
            .beam_load("p", "long", 4.0, 1.0);
        let results = plan.check();
        let (lifted, pressed) = (&results.attachments()[0], &results.attachments()[1]);
        let check = lifted.check(LimitState::Uplift).unwrap();
        assert_eq!(check.verdict, verdict);
        assert!(check.combination.is_some());
        assert_eq!(
            pressed.check(LimitState::Uplift).unwrap().verdict,
            Verdict::NotNeeded
        );
        // The upward load is in the other checks.
        assert!(
            lifted
                .check(LimitState::LimitLoad)
                .unwrap()
                .utilization
                .unwrap()
                > 0.0
        );
        // Lift: 1 kN live at 4 m about 2 m, and the beam's own weight of 4 m × 0.1586 kN/m, which balances over b.
        let worst = lifted
            .reactions()
            .iter()
            .map(|r| r.down_n)
            .fold(0.0, f64::min);
        assert!((worst + 1e3).abs() < 1e-3, "{worst}");
    }
}

fn fault(plan: &Plan) -> String {
    plan.try_solve().unwrap_err().to_string()
}

#[test]
fn what_can_move_is_named() {
    let mut plan = Plan::default();
    plan.anchor("a", [0.0, 0.0])
        .beam("alone", &["a"], [[0.0, -1.0], [0.0, 1.0]], "")
        .beam_load("p", "alone", 0.5, 1.0);
    let text = fault(&plan);
    assert!(
        text.contains("the platform can move") && text.contains("beam alone turns"),
        "{text}"
    );

    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0)
        .beam("see", &["west"], [[-1.0, 2.0], [1.0, 2.0]], "")
        .beam_load("p", "see", 0.5, 1.0);
    let text = fault(&plan);
    assert!(
        text.contains("beam see turns")
            && !text.contains("beam west")
            && !text.contains("beam east"),
        "{text}"
    );

    // A beam that hangs on the free end of one that turns.
    let mut plan = Plan::default();
    plan.anchor("a", [0.0, 0.0])
        .anchor("b", [2.0, 3.0])
        .beam("arm", &["a"], [[0.0, 0.0], [0.0, 3.0]], "")
        .beam("tip", &["arm end", "b"], [[0.0, 3.0], [2.0, 3.0]], "")
        .beam_load("p", "tip", 1.0, 1.0);
    let text = fault(&plan);
    assert!(
        text.contains("beam arm turns") && text.contains("beam tip turns"),
        "{text}"
    );
}

#[test]
fn a_joist_on_one_beam_is_named_with_its_place() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        1.0,
        "",
    );
    let text = fault(&plan);
    assert!(
        text.contains("deck d")
            && text.contains("joist at (1.50 m, 3.98 m)")
            && text.contains("1 support"),
        "{text}"
    );
}

#[test]
fn loads_off_the_deck_are_named() {
    let deck = |plan: &mut Plan| {
        two_beams(plan, 0.0).deck(
            "d",
            &["west", "east"],
            &rectangle([0.0, 3.0], [0.0, 4.0]),
            90.0,
            1.0,
            "",
        );
    };
    let mut plan = Plan::default();
    deck(&mut plan);
    plan.point_load("far", [3.5, 1.0], 1.0);
    let text = fault(&plan);
    assert!(
        text.contains("load far acts off the deck") && text.contains("(3.50 m, 1.00 m)"),
        "{text}"
    );
    let mut plan = Plan::default();
    deck(&mut plan);
    plan.area_load("wide", &rectangle([0.0, 3.5], [0.0, 1.0]), 1.0);
    assert!(fault(&plan).contains("load wide"));
    let mut plan = Plan::default();
    deck(&mut plan);
    plan.line_load("long", [[0.0, 1.0], [0.0, 5.0]], 1.0);
    assert!(fault(&plan).contains("load long"));
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).point_load("lost", [1.0, 1.0], 1.0);
    assert!(fault(&plan).contains("load lost acts on no deck"));
}

#[test]
fn an_outline_that_crosses_itself_is_named() {
    let mut plan = Plan::default();
    let bow = [[0.0, 0.0], [3.0, 4.0], [3.0, 0.0], [0.0, 4.0]];
    two_beams(&mut plan, 0.0).deck("d", &["west", "east"], &bow, 90.0, 1.0, "");
    let refused = plan.platform().unwrap_err().to_string();
    assert!(
        refused.contains("deck d: its outline crosses itself"),
        "{refused}"
    );
}

/// A hole that reaches beyond the edge, or into another hole, is no area to subtract: it must be named, not run into a false total.
#[test]
fn holes_that_cross_an_edge_or_each_other_are_named() {
    let hole = |plan: &Plan, x: [f64; 2], y: [f64; 2]| {
        let corners: Vec<String> = rectangle(x, y).iter().map(|c| plan.point(*c)).collect();
        format!("{{ outline = [{}] }}", corners.join(", "))
    };
    let plan = Plan::default();
    let outside = hole(&plan, [2.5, 3.5], [1.0, 2.0]);
    let beyond = hole(&plan, [3.5, 4.5], [1.0, 2.0]);
    let (one, two) = (
        hole(&plan, [0.8, 1.6], [1.0, 2.0]),
        hole(&plan, [1.2, 2.0], [1.5, 2.5]),
    );
    for holes in [outside, beyond, format!("{one}, {two}")] {
        let mut plan = Plan::default();
        two_beams(&mut plan, 0.0).deck(
            "d",
            &["west", "east"],
            &rectangle([0.0, 3.0], [0.0, 4.0]),
            90.0,
            1.0,
            &format!("holes = [{holes}]"),
        );
        let text = fault(&plan);
        assert!(text.contains("deck d") && text.contains("hole"), "{text}");
    }
}

#[test]
fn a_load_area_that_crosses_itself_is_named() {
    let mut plan = Plan::default();
    two_beams(&mut plan, 0.0).deck(
        "d",
        &["west", "east"],
        &rectangle([0.0, 3.0], [0.0, 4.0]),
        90.0,
        1.0,
        "",
    );
    plan.area_load(
        "bow",
        &[[0.5, 0.5], [2.5, 3.1], [2.5, 0.5], [0.5, 3.1]],
        1.0,
    );
    let refused = plan.platform().unwrap_err().to_string();
    assert!(
        refused.contains("load bow: its area crosses itself"),
        "{refused}"
    );
}

/// A deck on two beams, its joists at `run` degrees, under an area load (kPa) and a point load: place as shares of width and
/// length, size (kN).
fn four_sums(
    [width, length, overhang]: [f64; 3],
    run: f64,
    live: f64,
    p: (f64, f64, f64),
) -> Result<(), TestCaseError> {
    let mut plan = Plan::default();
    plan.anchor("sw", [0.0, 0.0])
        .anchor("nw", [0.0, length])
        .anchor("se", [width, 0.0])
        .anchor("ne", [width, length])
        .beam(
            "west",
            &["sw", "nw"],
            [[0.0, -3.0], [0.0, length + 3.0]],
            "",
        )
        .beam(
            "east",
            &["se", "ne"],
            [[width, -3.0], [width, length + 3.0]],
            "",
        );
    // Joists askew: the outline is a parallelogram along them.
    let slip = (90.0 - run).to_radians().tan() * width;
    let outline = [
        [0.0, -overhang],
        [width, slip - overhang],
        [width, length + slip],
        [0.0, length],
    ];
    plan.deck("d", &["west", "east"], &outline, run, live, "");
    let at = [
        p.0 * width,
        p.0 * slip - overhang + p.1 * (length + overhang),
    ];
    plan.point_load("p", at, p.2);
    let forces = plan.solve();
    sums(&forces);
    let r = reactions(&forces, Case::Live, SOFT);
    let load = live * width * (length + overhang);
    prop_assert!((forces.total[Case::Live as usize] / 1e3 - load - p.2).abs() < 1e-6);
    // Two simple beams: moments about the west beam, and about the south anchors. Boards carry askew joists' loads halfway
    // to the next one, at right angles: the resultant stays, but for what stands out at the ends of a joist.
    let askew = (run - 90.0_f64).abs() / 90.0 * load;
    prop_assert!(
        ((r[2] + r[3]) * width - load * width / 2.0 - p.2 * at[0]).abs() < 1e-6 + askew * 0.2
    );
    let middle = f64::midpoint(length - overhang, slip);
    prop_assert!(((r[1] + r[3]) * length - load * middle - p.2 * at[1]).abs() < 1e-6 + askew * 0.2);
    // Determinate: the same in every state.
    for state in 1..5 {
        close(&reactions(&forces, Case::Live, state), &r, 1e-6);
    }
    Ok(())
}

/// Joists whose ends lie a tenth of a millimetre apart lose nothing of what lies between.
#[test]
fn a_deck_a_hair_askew_is_carried_whole() {
    four_sums(
        [1.5, 2.0, 0.0],
        90.071_454_576_623_98,
        0.5,
        (0.05, 0.05, 0.1),
    )
    .unwrap();
    for hair in [1e-6, 1e-4, 3e-3, 0.02] {
        four_sums([3.0, 4.0, 0.3], 90.0 + hair, 2.0, (0.4, 0.6, 1.0)).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    #[test]
    fn a_turned_plan_has_the_same_reactions(turn in 0.0..360.0_f64) {
        let there = everything(Plan::default());
        let turned = everything(Plan { turn, ..Plan::default() });
        for state in [SOFT, RIGID] {
            close(&there.live(state), &turned.live(state), 1e-4);
        }
    }

    #[test]
    fn reactions_sum_to_loads_and_moments_hold(
        width in 1.5..5.0_f64,
        length in 2.0..6.0_f64,
        overhang in 0.0..0.8_f64,
        run in prop_oneof![Just(90.0), 70.0..110.0_f64],
        live in 0.5..5.0_f64,
        p in (0.05..0.95_f64, 0.05..0.95_f64, 0.1..5.0_f64),
    ) {
        four_sums([width, length, overhang], run, live, p)?;
    }
}
