//! What the routes find by themselves, and that a wrong first answer is named.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::{Opinion, bar, plastic};
use crate::input::Layout;
use crate::model::{LimitState, Platform};

const TEXT: &str = include_str!("../../docs/examples/one-anchor.toml");

fn platform() -> Platform {
    let layout = Layout::from_toml(TEXT).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

fn named(opinion: &Opinion) -> Vec<&str> {
    opinion.differing().map(|own| own.what.as_str()).collect()
}

#[test]
fn a_value_that_is_wrong_by_a_thousandth_is_named_alone() {
    let platform = platform();
    let results = platform.check().unwrap();
    let opinion = platform.second_opinion(&results).unwrap();
    assert!(opinion.agrees(), "{:?}", named(&opinion));
    for (limit_state, _) in super::COMPARED {
        let mut wrong = results.clone();
        if !wrong.spoil(limit_state, 1.0 + 1e-3) {
            continue;
        }
        let opinion = platform.second_opinion(&wrong).unwrap();
        assert!(!opinion.agrees());
        assert_eq!(named(&opinion), [format!("use of {}", limit_state.id())]);
    }
}

#[test]
fn a_value_that_is_no_number_never_agrees() {
    let platform = platform();
    let mut results = platform.check().unwrap();
    assert!(results.spoil(LimitState::BossBearing, f64::NAN));
    let opinion = platform.second_opinion(&results).unwrap();
    assert_eq!(named(&opinion), ["use of boss_bearing"]);
}

#[test]
fn results_of_another_platform_are_refused_or_differ() {
    let platform = platform();
    let results = platform.check().unwrap();
    let longer = platform
        .with_parts(|parts| parts.anchors[0].arm *= 1.001)
        .unwrap();
    let opinion = longer.second_opinion(&results).unwrap();
    let expected = [
        "use of limit_load",
        "use of steel_bending_bark_line",
        "stiffness down",
    ];
    for what in expected {
        assert!(named(&opinion).contains(&what), "{:?}", named(&opinion));
    }
    let other = platform
        .with_parts(|parts| parts.anchors[0].id = "B".into())
        .unwrap();
    assert!(other.second_opinion(&results).is_err());
}

/// Hetényi's bar without end on an elastic bed, in closed form.
#[test]
fn the_bar_by_elements_is_the_long_bar_of_the_closed_form() {
    let (rigidity, bed, arm) = (2.0e4_f64, 4.0e8_f64, 0.1_f64);
    let lambda = (bed / (4.0 * rigidity)).powf(0.25);
    let piece = |length, bed| bar::Piece {
        length,
        rigidity,
        bed,
        gap: 0.0,
    };
    let bar = bar::Bar::new(vec![piece(arm, 0.0), piece(12.0 / lambda, bed)], 1);
    let bent = bar.bend(1e3).unwrap();
    let face = bar.at(&bent, 1, 0.0);
    let deflection = 2.0 * 1e3 * lambda / bed * (1.0 + lambda * arm);
    assert!((face.deflection / deflection - 1.0).abs() < 1e-7);
    assert!((face.moment - 1e3 * arm).abs() < 1e-9 * 1e3);
    let most = bar.largest(1, |x| bar.at(&bent, 1, x).moment);
    let turn = (1.0 / (1.0 + 2.0 * lambda * arm)).atan();
    let closed =
        1e3 / (2.0 * lambda) * (-turn).exp() * ((1.0 + 2.0 * lambda * arm).powi(2) + 1.0).sqrt();
    assert!((most / closed - 1.0).abs() < 1e-7, "{most} {closed}");
}

/// A bar of one diameter in closed form: as a whole, and with one hinge.
#[test]
fn the_programme_finds_the_limit_load_of_one_diameter() {
    let (q, arm, length) = (8.0e5_f64, 0.08_f64, 0.3_f64);
    let whole =
        q * (((2.0 * arm + length).powi(2) + length * length).sqrt() - (2.0 * arm + length));
    for (yields, expected) in [
        (1e6, whole),
        (5e3, q * ((arm * arm + 2.0 * 5e3 / q).sqrt() - arm)),
    ] {
        let piece = |length, resists| plastic::Piece {
            length,
            resists,
            yields,
        };
        let found = plastic::limit(&[piece(arm, 0.0), piece(length, q)]).unwrap();
        assert!((found / expected - 1.0).abs() < 1e-8, "{found} {expected}");
    }
}
