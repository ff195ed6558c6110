//! Grillages: 64 nodes with four load cases, about 1 200 members, about 12 000 members.
#![allow(missing_docs, clippy::unwrap_used)]

use std::hint::black_box;

use barkline::analysis::frame::{Dof, Frame, LoadCase, MemberId, NodeId, Probe, Releases, Section};
use criterion::{Criterion, criterion_group, criterion_main};

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

struct Grillage {
    frame: Frame,
    nodes: Vec<NodeId>,
    members: Vec<MemberId>,
}

/// A square grillage with rigid joints, three movements for each node, on springs at every fourth node both ways.
fn grillage(side: usize) -> Grillage {
    let mut frame = Frame::new();
    for dof in [Dof::Ux, Dof::Uy, Dof::Rz] {
        frame.fix_all(dof);
    }
    let section = frame.section(SECTION);
    let place = |k: usize| [0.8 * (k % side) as f64, 0.8 * (k / side) as f64, 0.0];
    let nodes: Vec<NodeId> = (0..side * side).map(|k| frame.node(place(k))).collect();
    let mut members = Vec::new();
    for k in 0..side * side {
        let east = (k % side + 1 < side).then_some(k + 1);
        let north = (k / side + 1 < side).then_some(k + side);
        for other in east.into_iter().chain(north) {
            members.push(
                frame
                    .member(nodes[k], nodes[other], section, Releases::NONE)
                    .unwrap(),
            );
        }
        if k % side % 4 == 1 && k / side % 4 == 1 {
            frame.spring(nodes[k], Dof::Uz, 5e6);
        }
    }
    Grillage {
        frame,
        nodes,
        members,
    }
}

fn loads(grillage: &Grillage, case: usize) -> LoadCase {
    let mut loads = LoadCase::new();
    for (k, member) in grillage
        .members
        .iter()
        .enumerate()
        .filter(|(k, _)| k % 4 >= case)
    {
        loads.uniform(*member, [0.0, 0.0, -1000.0 - k as f64]);
    }
    loads
}

fn whole(criterion: &mut Criterion, name: &str, side: usize, cases: usize) {
    let grillage = grillage(side);
    let loads: Vec<LoadCase> = (0..cases).map(|case| loads(&grillage, case)).collect();
    criterion.bench_function(name, |bench| {
        bench.iter(|| {
            let factored = grillage.frame.factorize().unwrap();
            for loads in &loads {
                black_box(factored.solve(loads).unwrap());
            }
        });
    });
}

fn parts(criterion: &mut Criterion) {
    let grillage = grillage(8);
    criterion.bench_function("64 nodes, factorize", |bench| {
        bench.iter(|| black_box(grillage.frame.factorize().unwrap()));
    });
    let factored = grillage.frame.factorize().unwrap();
    let loads = loads(&grillage, 0);
    criterion.bench_function("64 nodes, one case", |bench| {
        bench.iter(|| black_box(factored.solve(&loads).unwrap()));
    });
    let places: Vec<Probe> = [9, 13, 41, 45]
        .iter()
        .map(|k| Probe::At(grillage.nodes[*k], Dof::Uz))
        .collect();
    let probes = factored.probes(&places).unwrap();
    let stretches = factored.stretches(&probes, &loads).unwrap();
    criterion.bench_function("64 nodes, four springs changed, their forces", |bench| {
        bench.iter(|| {
            black_box(
                factored
                    .with_springs(&probes, &[-2e6, 5e6, 5e6, -2e6])
                    .unwrap()
                    .forces(&stretches)
                    .unwrap(),
            )
        });
    });
}

fn all(criterion: &mut Criterion) {
    whole(criterion, "64 nodes, factorize and four cases", 8, 4);
    parts(criterion);
    whole(criterion, "1 200 members, factorize and one case", 25, 1);
    let mut slow = std::mem::take(criterion).sample_size(10);
    whole(&mut slow, "12 000 members, factorize and one case", 78, 1);
}

criterion_group!(benches, all);
criterion_main!(benches);
