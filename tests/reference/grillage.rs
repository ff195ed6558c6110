//! Grillages on springs: openseespy 3.7.1.2 (subdivided elastic members) and PyNiteFEA 3.2.0.

use crate::cases::{Case, number, read};

const CASES: &str = include_str!("data/grillage_cases.json");

fn case(id: &str) -> Case {
    read(CASES)
        .into_iter()
        .find(|case| case.id() == id)
        .expect("a case of the file")
}

#[test]
fn two_spans_on_three_springs() {
    case("GR-01").check();
}

#[test]
fn overhangs_unequal_springs_and_partial_loads() {
    case("GR-02").check();
}

#[test]
fn a_triangle_of_hinged_beams() {
    case("GR-03").check();
}

#[test]
fn a_rigid_jointed_grillage_under_a_point_load() {
    case("GR-04").check();
}

#[test]
fn a_bearing_lifts_off() {
    let case = case("GR-05");
    case.check();
    let reactions = &case.json["results"]["SUM"]["reactions"];
    let empty = case
        .springs
        .iter()
        .filter(|((node, _), _)| number(&reactions[node]["FZ"]) == 0.0);
    let empty: Vec<_> = empty.map(|(_, spring)| *spring).collect();
    assert_eq!(empty.len(), 1);
    let loads = case.loads(&case.json["load_cases"]["L"]);
    let solution = case.frame.factorize().unwrap().solve(&loads).unwrap();
    assert_eq!(solution.open(), empty);
}

#[test]
fn no_case_is_left_out() {
    let ids: Vec<String> = read(CASES)
        .iter()
        .map(|case| case.id().to_owned())
        .collect();
    assert_eq!(ids, ["GR-01", "GR-02", "GR-03", "GR-04", "GR-05"]);
}
