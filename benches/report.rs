//! What is written of a layout: its record, its sheet, its calculation package with drawings and drilling cards.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use barkline::Layout;
use barkline::report::work::DrillDocument;
use barkline::report::{
    CheckDocument, Package, Project, Provenance, check_json, check_sheet, package_html, sheet_csv,
};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn report(c: &mut Criterion) {
    for name in ["two-stems", "four-stems"] {
        let path = format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("an example of the docs");
        let resolved = Layout::from_toml(&text).unwrap().resolve().unwrap();
        let results = resolved.platform.check().unwrap();
        let of_text = || Provenance::of(text.as_bytes());
        let document = CheckDocument::new(&results, of_text(), Vec::new());
        c.bench_function(&format!("record as JSON, {name}"), |b| {
            b.iter(|| check_json(black_box(&document)).unwrap());
        });
        c.bench_function(&format!("sheet as CSV, {name}"), |b| {
            b.iter(|| {
                let mut out = Vec::new();
                sheet_csv(&check_sheet(black_box(&document)), resolved.show, &mut out).unwrap();
                out
            });
        });
        let may_miss = resolved.platform.may_miss().unwrap();
        let drill = DrillDocument::new(
            &resolved.platform,
            &results,
            &may_miss,
            true,
            of_text(),
            Vec::new(),
        );
        let drill = drill.expect("cards of an example");
        let project = Project::default();
        let package = Package {
            platform: &resolved.platform,
            results: &results,
            document: &document,
            trees: Some(results.trees()),
            drill: Some(&drill),
            reliability: None,
            project: &project,
            layout: &text,
            show: resolved.show,
        };
        c.bench_function(&format!("package as HTML, {name}"), |b| {
            b.iter(|| package_html(black_box(&package)));
        });
        c.bench_function(&format!("how far an anchor may miss, {name}"), |b| {
            b.iter(|| black_box(&resolved.platform).may_miss().unwrap());
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = report
}
criterion_main!(benches);
