//! The main job in process: a layout's text to its verdicts, and the parts of that.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use barkline::Layout;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn read(name: &str) -> String {
    std::fs::read_to_string(format!(
        "{}/docs/examples/{name}.toml",
        env!("CARGO_MANIFEST_DIR")
    ))
    .expect("an example of the docs")
}

fn check(c: &mut Criterion) {
    for name in ["one-anchor", "two-stems", "four-stems"] {
        let text = read(name);
        let platform = Layout::from_toml(&text)
            .unwrap()
            .resolve()
            .unwrap()
            .platform;
        c.bench_function(&format!("check {name}"), |b| {
            b.iter(|| black_box(&platform).check().unwrap());
        });
        if platform.anchors().len() > 1 {
            c.bench_function(&format!("lose one {name}"), |b| {
                b.iter(|| black_box(&platform).lose_each().unwrap());
            });
        }
        let first = &platform.anchors()[0].id;
        c.bench_function(&format!("explain {name}"), |b| {
            b.iter(|| black_box(&platform).explain(black_box(first)).unwrap());
        });
        c.bench_function(&format!("read {name}"), |b| {
            b.iter(|| Layout::from_toml(black_box(&text)).unwrap());
        });
        c.bench_function(&format!("read and resolve {name}"), |b| {
            b.iter(|| {
                Layout::from_toml(black_box(&text))
                    .unwrap()
                    .resolve()
                    .unwrap()
            });
        });
    }
}

criterion_group!(benches, check);
criterion_main!(benches);
