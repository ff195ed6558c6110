//! Grillages for comparison with general programs: reactions and times, as JSON on standard output.
//!
//! `benches/general/compare.py` runs this, does the same with other programs and holds the reactions against each other.
#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout)]

use barkline::analysis::frame::{Dof, Frame, LoadCase, MemberId, Releases, Section, SpringId};
use std::time::Instant;

const SECTION: Section = Section {
    e: 11e9,
    g: 0.69e9,
    a: 0.03,
    iy: 25e-6,
    iz: 225e-6,
    j: 79e-6,
    shear_y: None,
    shear_z: None,
};
/// Sides of the meshes (m).
const MESH: f64 = 0.8;
/// Springs under every fourth node, aslant (N/m).
const SPRING: f64 = 5e6;
const COMBINATIONS: usize = 7;
/// The best of so many runs is told.
const RUNS: usize = 20;

struct Grillage {
    frame: Frame,
    members: Vec<MemberId>,
    springs: Vec<SpringId>,
}

/// Rigid joints, three movements for each node.
fn grillage([east, north]: [usize; 2]) -> Grillage {
    let mut frame = Frame::new();
    for dof in [Dof::Ux, Dof::Uy, Dof::Rz] {
        frame.fix_all(dof);
    }
    let section = frame.section(SECTION);
    let count = east * north;
    let place = |k: usize| [MESH * (k % east) as f64, MESH * (k / east) as f64, 0.0];
    let nodes: Vec<_> = (0..count).map(|k| frame.node(place(k))).collect();
    let (mut members, mut springs) = (Vec::new(), Vec::new());
    for k in 0..count {
        let right = (k % east + 1 < east).then_some(k + 1);
        let above = (k / east + 1 < north).then_some(k + east);
        for other in right.into_iter().chain(above) {
            let member = frame.member(nodes[k], nodes[other], section, Releases::NONE);
            members.push(member.unwrap());
        }
        if (k % east + k / east) % 4 == 0 {
            springs.push(frame.spring(nodes[k], Dof::Uz, SPRING));
        }
    }
    Grillage {
        frame,
        members,
        springs,
    }
}

/// Down on every member, differently in each combination (N/m).
fn load(combination: usize, member: usize) -> f64 {
    1000.0 + ((member * (combination + 3)) % 11) as f64 * 100.0
}

/// Builds, solves every combination from one factorization, and reads the force of every spring (N).
fn solve(size: [usize; 2]) -> (usize, Vec<Vec<f64>>) {
    let grillage = grillage(size);
    let factored = grillage.frame.factorize().unwrap();
    let forces = (0..COMBINATIONS).map(|combination| {
        let mut loads = LoadCase::new();
        for (k, member) in grillage.members.iter().enumerate() {
            loads.uniform(*member, [0.0, 0.0, -load(combination, k)]);
        }
        let solution = factored.solve(&loads).unwrap();
        let springs = grillage.springs.iter();
        springs
            .map(|spring| solution.tension(*spring).unwrap().abs())
            .collect()
    });
    (grillage.members.len(), forces.collect())
}

fn main() {
    // `cargo test --benches` only wants to know that it runs.
    let runs = if std::env::args().any(|own| own == "--bench") {
        RUNS
    } else {
        1
    };
    let models = [[5, 3], [25, 25], [78, 78]].map(|size| {
        let mut best = f64::INFINITY;
        let mut found = (0, Vec::new());
        for _ in 0..runs {
            let start = Instant::now();
            found = solve(size);
            best = best.min(start.elapsed().as_secs_f64());
        }
        let (members, forces) = found;
        serde_json::json!({ "size": size, "members": members, "seconds": best, "forces": forces })
    });
    println!("{}", serde_json::Value::from(models.to_vec()));
}
