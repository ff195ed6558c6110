//! Axial force and sideways bending, which no layout asks for yet; seats; slenderness.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::{AXIAL, check};
use crate::analysis::platform::{
    Group, MemberActions, MemberPart, Response, SeatOn, Stretch, solve,
};
use crate::checks::result::{MemberResult, Verdict};
use crate::input::Layout;
use crate::mechanics::timber_member::{
    Axis, SAWN_COLUMN, bending_and_compression, bending_and_tension, column_stability_factor,
    critical_buckling_stress,
};
use crate::model::{Case, MemberLimitState, Platform};
use crate::units::{si, us};

const TEXT: &str = r#"
[[tree]]
id = "t"
species = "white oak"
at = ["0 ft", "0 ft"]
diameter = "30 in"
bark = "0.8 in"
[[tree]]
id = "u"
species = "white oak"
at = ["0 ft", "8 ft"]
diameter = "30 in"
bark = "0.8 in"
[[anchor]]
id = "a"
tree = "t"
faces = "E"
size = "80x120/40"
arm = "3 in"
[[anchor]]
id = "b"
tree = "u"
faces = "E"
size = "80x120/40"
arm = "3 in"
[[beam]]
id = "m"
on = ["a", "b"]
held_down = true
size = "2x6"
modulus = "1.4e6 psi"
allowable = { bending = "1000 psi", shear = "175 psi", bearing = "400 psi", compression = "1400 psi", tension = "600 psi" }
"#;

fn platform(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

/// One live load on the beam of the layout: the same everywhere along 8 ft (N, N·m).
fn actions(axial: f64, moment: f64, sideways: f64) -> MemberActions {
    let length = us::feet(8.0).value;
    let response = Response {
        moment: vec![moment; 3],
        sideways: vec![sideways; 3],
        shear: vec![1.0; 3],
        axial: vec![axial; 3],
        deflection: vec![0.0; 3],
        reactions: vec![0.0; 2],
    };
    MemberActions {
        part: MemberPart::Beam(0),
        length,
        supports: vec![(0.0, SeatOn::Anchor(0)), (length, SeatOn::Anchor(1))],
        held: Vec::new(),
        stretches: vec![Stretch {
            from: 0.0,
            to: length,
            overhang: false,
        }],
        sections: vec![(0.0, 0), (length / 2.0, 0), (length, 0)],
        groups: vec![Group {
            case: Case::Live,
            presence: crate::model::Presence::OnOff,
        }],
        states: vec![vec![response]],
    }
}

fn judged(text: &str, actions: MemberActions) -> MemberResult {
    let platform = platform(text);
    let criteria = platform.criteria();
    let all: Vec<usize> = (0..criteria.combinations.len()).collect();
    let mut results = check(&platform, &[actions], criteria, &all).unwrap();
    results.remove(0)
}

fn used(result: &MemberResult, state: MemberLimitState) -> f64 {
    result.check(state).unwrap().utilization.unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!(
        (found / expected - 1.0).abs() < 1e-9,
        "{found} is not {expected}"
    );
}

const AREA: f64 = 1.5 * 5.5 * 0.0254 * 0.0254;

#[test]
fn compression_is_held_against_buckling_in_the_weaker_plane() {
    let force = 2e3;
    let result = judged(TEXT, actions(-force, 0.0, 0.0));
    let modulus = us::psi(1.4e6) * (1.03 * (1.0 - 1.645 * 0.25) / 1.66);
    let critical = critical_buckling_stress(modulus, us::feet(8.0), us::inches(1.5)).unwrap();
    let stability = column_stability_factor(critical, us::psi(1400.0), SAWN_COLUMN).unwrap();
    // l/d = 64 is more than the standard allows: that alone fails.
    let slender = 96.0 / 1.5 / 50.0;
    let stress = force / AREA;
    let ratio = stress / (us::psi(1400.0).value * stability);
    near(
        used(&result, MemberLimitState::Buckling),
        ratio.max(slender),
    );
    assert_eq!(
        result.check(MemberLimitState::Buckling).unwrap().verdict,
        Verdict::Fail
    );
    assert!(result.check(MemberLimitState::Tension).is_none());
}

#[test]
fn tension_is_held_against_the_whole_section() {
    let result = judged(TEXT, actions(2e3, 50.0, 10.0));
    let stress = 2e3 / AREA;
    near(
        used(&result, MemberLimitState::Tension),
        stress / us::psi(600.0).value,
    );
    assert!(result.check(MemberLimitState::Buckling).is_none());
    let bending = result.check(MemberLimitState::Bending).unwrap();
    let edge = 50.0 * 6.0 / (AREA * 5.5 * 0.0254);
    let flat = 10.0 * 6.0 / (AREA * 1.5 * 0.0254);
    let expected = bending_and_tension(
        si::pascals(stress),
        us::psi(600.0),
        si::pascals(edge + flat),
        us::psi(1000.0),
        si::pascals(bending.allowable.unwrap().si()),
    )
    .unwrap();
    near(used(&result, MemberLimitState::Combined), expected);
}

/// A thicker post, within the slenderness: the interaction of the standard, and when it buckles, more than one.
#[test]
fn compression_and_bending_are_taken_together() {
    let text = TEXT.replace("size = \"2x6\"", "size = \"4x6\"");
    let (force, moment, sideways) = (8e3, 400.0, 100.0);
    let result = judged(&text, actions(-force, moment, sideways));
    let (b, d) = (3.5 * 0.0254, 5.5 * 0.0254);
    let modulus = us::psi(1.4e6) * (1.03 * (1.0 - 1.645 * 0.25) / 1.66);
    let critical = [5.5, 3.5]
        .map(|side| critical_buckling_stress(modulus, us::feet(8.0), us::inches(side)).unwrap());
    let compression = us::psi(1400.0);
    let stability = column_stability_factor(critical[1], compression, SAWN_COLUMN).unwrap();
    let bending = si::pascals(
        result
            .check(MemberLimitState::Bending)
            .unwrap()
            .allowable
            .unwrap()
            .si(),
    );
    let edge = Axis {
        stress: si::pascals(6.0 * moment / (b * d * d)),
        allowable: bending,
        buckling: critical[0],
    };
    let flat = Axis {
        stress: si::pascals(6.0 * sideways / (d * b * b)),
        allowable: us::psi(1000.0),
        buckling: critical[1],
    };
    let (l, psi) = (96.0_f64, us::PSI);
    // l/d = 17.5: 1.84 l.
    let ratio_squared = 1.84 * l * 5.5 / (3.5 * 3.5);
    let critical_bending = si::pascals(1.2 * modulus.value / ratio_squared);
    let expected = bending_and_compression(
        si::pascals(force / (b * d)),
        compression * stability,
        edge,
        flat,
        Some(critical_bending),
    )
    .unwrap();
    near(used(&result, MemberLimitState::Combined), expected);
    assert!(psi > 0.0 && expected < 1.0);
    let crushed = judged(&text, actions(-1e6, moment, sideways));
    let more = judged(&text, actions(-2e6, moment, sideways));
    let [a, b] = [&crushed, &more].map(|result| used(result, MemberLimitState::Combined));
    assert!(a > 1.0 && b > a, "{a} {b}");
}

#[test]
fn plies_that_are_only_nailed_keep_less_of_a_column() {
    let solid = TEXT.replace("size = \"2x6\"", "width = \"3 in\"\ndepth = \"5.5 in\"");
    let plies = TEXT.replace("size = \"2x6\"", "size = \"2x6\"\nplies = 2");
    let [solid, plies] = [solid, plies].map(|text| {
        used(
            &judged(&text, actions(-2e3, 0.0, 0.0)),
            MemberLimitState::Buckling,
        )
    });
    near(plies / solid, 1.0 / 0.6);
}

#[test]
fn without_axial_force_nothing_is_said_of_it() {
    let result = judged(TEXT, actions(0.0, 100.0, 0.0));
    assert!(AXIAL.iter().all(|state| result.check(*state).is_none()));
    assert_eq!(result.checks().len(), 4);
}

/// A deep thin beam without anything that holds its top.
#[test]
fn a_beam_too_slender_for_the_standard_fails_whatever_it_carries() {
    let text = TEXT.replace("size = \"2x6\"", "width = \"0.8 in\"\ndepth = \"16 in\"");
    let result = judged(&text, actions(0.0, 1.0, 0.0));
    let bending = result.check(MemberLimitState::Bending).unwrap();
    assert_eq!(bending.verdict, Verdict::Fail);
    assert!(bending.note.as_ref().unwrap().contains("slenderness ratio"));
}

/// Hogging has its own unheld length: a load on the beam holds its top, nothing its underside.
#[test]
fn top_and_underside_are_held_by_different_things() {
    let mut own = actions(0.0, 200.0, 0.0);
    own.held = vec![0.5, 1.0, 1.5, 2.0];
    let sagging = judged(TEXT, own.clone());
    own.states[0][0].moment = vec![-200.0; 3];
    let hogging = judged(TEXT, own);
    let [top, bottom] = [&sagging, &hogging].map(|result| used(result, MemberLimitState::Bending));
    assert!(bottom > 1.01 * top, "{top} {bottom}");
}

/// The force on a seat is what the beam puts there: half of its load, and that of a beam that sits right above.
#[test]
fn what_sits_right_above_a_support_goes_through_its_seat() {
    let text = TEXT.to_owned()
        + r#"
[[tree]]
id = "v"
species = "white oak"
at = ["20 ft", "0 ft"]
diameter = "30 in"
bark = "0.8 in"
[[anchor]]
id = "c"
tree = "v"
faces = "W"
size = "80x120/40"
arm = "3 in"
[[beam]]
id = "top"
on = ["m at 0 ft", "c"]
held_down = true
size = "4x8"
modulus = "1.4e6 psi"
[[load]]
id = "p"
on = "m at 4 ft"
live = "100 lbf"
[[load]]
id = "q"
on = "top at 0 ft"
live = "300 lbf"
"#;
    let platform = platform(&text);
    let forces = solve(&platform, &[], platform.criteria()).unwrap();
    let members = forces.members().unwrap();
    let beam = members
        .iter()
        .find(|own| own.part == MemberPart::Beam(0))
        .unwrap();
    let mut live = [0.0; Case::ALL.len()];
    live[Case::Live as usize] = 1.0;
    let reactions = beam.envelope(&live).reactions;
    near(reactions[0], us::pounds_force(350.0).value);
    near(reactions[1], us::pounds_force(50.0).value);
}
