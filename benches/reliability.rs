//! Full evaluations of an attachment, one after the other on one thread: collapse and damage at drawn values.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use barkline::Layout;
use barkline::reliability::numerics::Response;
use barkline::reliability::{Attachment, attachments};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

/// Draws that are gone through again and again.
const DRAWS: usize = 1024;
/// Normals of one attachment.
const NORMALS: usize = 22;

fn read(name: &str) -> Vec<Attachment> {
    let root = env!("CARGO_MANIFEST_DIR");
    let text = std::fs::read_to_string(format!("{root}/docs/examples/{name}.toml"))
        .expect("an example of the docs");
    let resolved = Layout::from_toml(&text).unwrap().resolve().unwrap();
    attachments(&resolved.platform).unwrap()
}

/// Normals spread as those of samples are: sums of a dozen uniform numbers of a linear congruence.
fn draws() -> Vec<[f64; NORMALS]> {
    let mut state = 1_u64;
    let mut uniform = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    (0..DRAWS)
        .map(|_| std::array::from_fn(|_| (0..12).map(|_| uniform()).sum::<f64>() - 6.0))
        .collect()
}

fn evaluate(c: &mut Criterion) {
    let draws = draws();
    let mut group = c.benchmark_group("evaluate");
    group.throughput(Throughput::Elements(1));
    for name in ["one-anchor", "two-stems", "four-stems"] {
        let attachment = read(name).into_iter().next().unwrap();
        let mut scratch = attachment.scratch();
        let (mut next, mut g) = (0, [0.0; 2]);
        group.bench_function(name, |b| {
            b.iter(|| {
                next = (next + 1) % DRAWS;
                attachment.evaluate(black_box(&draws[next]), &mut scratch, &mut g);
                g
            });
        });
    }
    group.finish();
}

criterion_group!(benches, evaluate);
criterion_main!(benches);
