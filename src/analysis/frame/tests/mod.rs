//! Closed forms, properties and unstable layouts.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]
// Supports and loads read better as one line for all.
#![allow(clippy::needless_for_each, clippy::semicolon_if_nothing_returned)]

mod beams;
mod failures;
mod one_way;
mod parts;
mod properties;
mod variants;

use proptest::test_runner::Config;

use super::*;

/// Rounding of a well-conditioned frame.
const ROUNDING: f64 = 1e-9;

/// A softwood section 100 × 300 mm on edge.
const PLANK: Section = Section {
    e: 11e9,
    g: 0.69e9,
    a: 0.03,
    iy: 25e-6,
    iz: 225e-6,
    j: 79e-6,
    shear_y: None,
    shear_z: None,
};

/// Frames tried for each property; failures are printed and kept nowhere.
fn cases() -> Config {
    Config {
        cases: 128,
        failure_persistence: None,
        ..Config::default()
    }
}

/// A beam along x through the given places, free to bend up and down only.
fn level_beam(places: &[f64], section: Section) -> (Frame, Vec<NodeId>, Vec<MemberId>) {
    let mut frame = Frame::new();
    [Dof::Ux, Dof::Uy, Dof::Rx, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    let nodes: Vec<NodeId> = places.iter().map(|x| frame.node([*x, 0.0, 0.0])).collect();
    let section = frame.section(section);
    let members = nodes
        .windows(2)
        .map(|pair| {
            frame
                .member(pair[0], pair[1], section, Releases::NONE)
                .unwrap()
        })
        .collect();
    (frame, nodes, members)
}

#[track_caller]
fn close(own: f64, other: f64, tolerance: f64, scale: f64) {
    assert!(
        (own - other).abs() <= tolerance * scale,
        "{own} against {other}, apart by {:e} of {scale}",
        (own - other) / scale
    );
}

#[track_caller]
fn all_close(own: &[f64], other: &[f64], tolerance: f64) {
    assert_eq!(own.len(), other.len());
    let scale = other.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    own.iter()
        .zip(other)
        .for_each(|(a, b)| close(*a, *b, tolerance, scale));
}

const DOWN: [f64; 3] = [0.0, 0.0, -1.0];

fn down(force: f64) -> [f64; 3] {
    DOWN.map(|c| c * force)
}
