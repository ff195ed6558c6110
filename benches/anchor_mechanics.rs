//! How fast one anchor is computed: a collar and a shank in wood, on an arm of two pieces.
#![allow(missing_docs, clippy::unwrap_used)]

use barkline::mechanics::foundation::{BarSegment, BarSolution, BeamTheory, FoundationBar, Side};
use barkline::mechanics::mechanism::{PlasticBar, PlasticSegment};
use barkline::mechanics::pushover::{PushoverBar, PushoverSegment, SteelLaw};
use barkline::units::si::{
    gigapascals, megapascals, metres, millimetres, newton_metres, newtons, newtons_per_metre,
    pascals,
};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn bar() -> ([BarSegment; 2], [BarSegment; 2]) {
    let segment = |length, d, k| BarSegment {
        length: millimetres(length),
        bending_diameter: millimetres(d),
        bearing_diameter: millimetres(d),
        modulus: gigapascals(200.0),
        foundation: megapascals(k),
    };
    (
        [segment(50.0, 32.0, 0.0), segment(50.0, 75.0, 0.0)],
        [segment(55.0, 75.0, 600.0), segment(135.0, 32.0, 600.0)],
    )
}

fn solution(theory: BeamTheory) -> BarSolution {
    let (arm, embedded) = bar();
    FoundationBar::new(&arm, &embedded, theory)
        .unwrap()
        .solve()
        .unwrap()
}

fn elastic(c: &mut Criterion) {
    let (arm, embedded) = bar();
    let timoshenko = BeamTheory::Timoshenko {
        shear_modulus: gigapascals(79.0),
        shear_coefficient: 0.9,
    };
    for (name, theory) in [
        ("Euler-Bernoulli", BeamTheory::EulerBernoulli),
        ("Timoshenko", timoshenko),
    ] {
        let bar = FoundationBar::new(&arm, &embedded, theory).unwrap();
        c.bench_function(&format!("new, {name}"), |b| {
            b.iter(|| FoundationBar::new(black_box(&arm), black_box(&embedded), theory).unwrap());
        });
        c.bench_function(&format!("solve, {name}"), |b| {
            b.iter(|| black_box(&bar).solve().unwrap());
        });
        let solution = solution(theory);
        for (place, x) in [("shank", 0.1), ("tip", 0.189), ("arm", -0.03)] {
            c.bench_function(&format!("unit states in the {place}, {name}"), |b| {
                b.iter(|| {
                    solution
                        .unit_states(black_box(metres(x)), Side::Outer)
                        .unwrap()
                });
            });
        }
    }
    let solution = solution(BeamTheory::EulerBernoulli);
    let response = solution.respond(newtons(1e4), newton_metres(50.0)).unwrap();
    c.bench_function("largest moment", |b| {
        b.iter(|| black_box(&response).largest_moment());
    });
    c.bench_function("largest pressure", |b| {
        b.iter(|| black_box(&response).largest_pressure());
    });
    c.bench_function("carried between two depths", |b| {
        b.iter(|| {
            response
                .line_reaction_between(black_box(metres(0.06)), metres(0.09))
                .unwrap()
        });
    });
}

fn plastic(c: &mut Criterion) {
    let segment = |length, q, m| PlasticSegment {
        length: millimetres(length),
        resistance: newtons_per_metre(q),
        plastic_moment: newton_metres(m),
    };
    let arm = [segment(50.0, 0.0, 1.35e3), segment(50.0, 0.0, 17e3)];
    let embedded = [segment(55.0, 1.8e6, 17e3), segment(135.0, 0.8e6, 1.35e3)];
    let bar = PlasticBar::new(&arm, &embedded).unwrap();
    c.bench_function("plastic bar, new", |b| {
        b.iter(|| PlasticBar::new(black_box(&arm), black_box(&embedded)).unwrap());
    });
    c.bench_function("limit load", |b| {
        b.iter(|| {
            bar.limit(black_box(newtons(1e4)), newton_metres(50.0))
                .unwrap()
        });
    });
}

fn path(c: &mut Criterion) {
    let (arm, embedded) = bar();
    let segments = |bar: &[BarSegment]| -> Vec<PushoverSegment> {
        let segment = |s: &BarSegment| PushoverSegment {
            length: s.length,
            bending_diameter: s.bending_diameter,
            modulus: s.modulus,
            yield_strength: megapascals(250.0),
            foundation: s.foundation,
            resistance: if s.foundation > pascals(0.0) {
                megapascals(25.0) * s.bearing_diameter
            } else {
                newtons_per_metre(0.0)
            },
        };
        bar.iter().map(segment).collect()
    };
    let deflections = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0].map(millimetres);
    for law in [SteelLaw::MomentCurvature, SteelLaw::Fibre] {
        let bar = PushoverBar::new(&segments(&arm), &segments(&embedded), law).unwrap();
        c.bench_function(&format!("path of six points, {law:?}"), |b| {
            b.iter(|| bar.follow(black_box(&deflections)).unwrap());
        });
    }
}

criterion_group!(benches, elastic, plastic, path);
criterion_main!(benches);
