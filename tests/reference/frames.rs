//! Braced frames in space: openseespy 3.7.1.2 (subdivided elastic members) and PyNiteFEA 3.2.0.

use crate::cases::{Case, read};

const CASES: &str = include_str!("data/frame_cases.json");

fn case(id: &str) -> Case {
    read(CASES)
        .into_iter()
        .find(|case| case.id() == id)
        .expect("a case of the file")
}

#[test]
fn a_beam_across_one_stem_on_two_braces() {
    case("FR-01").check();
}

#[test]
fn a_beam_between_two_stems_on_springs_and_braces() {
    case("FR-02").check();
}

#[test]
fn a_platform_on_braces_out_of_plane() {
    case("FR-03").check();
}

#[test]
fn two_beams_four_braces_and_a_joist_grid() {
    case("FR-08").check();
}

#[test]
fn no_case_is_left_out() {
    let ids: Vec<String> = read(CASES)
        .iter()
        .map(|case| case.id().to_owned())
        .collect();
    assert_eq!(ids, ["FR-01", "FR-02", "FR-03", "FR-08"]);
}
