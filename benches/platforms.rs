//! Platforms that grow by repetition: a walkway between two rows of trees, on one level or several.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use barkline::Layout;
use barkline::analysis::platform::{Solved, solve};
use barkline::loads;
use barkline::model::{Criteria, Platform};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use std::fmt::Write as _;
use std::hint::black_box;

/// Trees in two rows 5 m apart, a pair every 4 m; on each level a cross beam at every pair, two stringers over all of
/// them, and a deck.
fn walkway(pairs: usize, levels: usize) -> String {
    let mut text = String::from("title = \"walkway\"\nshow = \"si\"\n");
    for k in 0..pairs {
        for (side, north) in [("S", 0.0), ("N", 5.0)] {
            let _ = write!(
                text,
                "[[tree]]\nid = \"{side}{k}\"\nspecies = \"white oak\"\nat = [\"{} m\", \"{north} m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n",
                4 * k
            );
        }
    }
    for level in 0..levels {
        for k in 0..pairs {
            for (side, faces) in [("S", "N"), ("N", "S")] {
                let _ = write!(
                    text,
                    "[[anchor]]\nid = \"{side}{k}-{level}\"\ntree = \"{side}{k}\"\nfaces = \"{faces}\"\nlevel = \"{} m\"\nsize = \"102x152/51\"\narm = \"100 mm\"\nlocked = \"pinned\"\n",
                    3 + level
                );
            }
            let _ = write!(
                text,
                "[[beam]]\nid = \"cross{k}-{level}\"\non = [\"S{k}-{level}\", \"N{k}-{level}\"]\nseats = [\"fixed\", \"sliding\"]\nheld_down = true\nwidth = \"140 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\n"
            );
        }
        let on: Vec<String> = (0..pairs)
            .map(|k| format!("\"cross{k}-{level}\""))
            .collect();
        for (name, north) in [("south", 1.8), ("north", 3.2)] {
            let _ = write!(
                text,
                "[[beam]]\nid = \"{name}-{level}\"\non = [{}]\nheld_down = true\nline = [[\"-0.3 m\", \"{north} m\"], [\"{} m\", \"{north} m\"]]\nwidth = \"90 mm\"\ndepth = \"190 mm\"\nmodulus = \"11 GPa\"\n",
                on.join(", "),
                4.0 * (pairs as f64 - 1.0) + 0.3
            );
        }
        let end = 4.0 * (pairs as f64 - 1.0) + 0.2;
        let _ = write!(
            text,
            "[[deck]]\nid = \"deck{level}\"\non = [\"south-{level}\", \"north-{level}\"]\noutline = [[\"-0.2 m\", \"1.7 m\"], [\"{end} m\", \"1.7 m\"], [\"{end} m\", \"3.3 m\"], [\"-0.2 m\", \"3.3 m\"]]\njoists = {{ run = \"N-S\", spacing = \"400 mm\", width = \"45 mm\", depth = \"120 mm\", modulus = \"10 GPa\" }}\ndead = \"0.5 kPa\"\nlive = \"2.9 kPa\"\n"
        );
    }
    text
}

fn platform(pairs: usize, levels: usize) -> Platform {
    let layout = Layout::from_toml(&walkway(pairs, levels)).unwrap();
    layout.resolve().unwrap().platform
}

/// The worst of every arrangement of live load, for each member and combination.
fn arrangements(solved: &Solved<'_>, criteria: &Criteria) -> usize {
    let rows: Vec<_> = criteria
        .combinations
        .iter()
        .map(|combination| combination.factors)
        .collect();
    let members = solved.members().unwrap();
    members.iter().map(|own| own.envelopes(&rows).len()).sum()
}

fn platforms(c: &mut Criterion) {
    let mut group = c.benchmark_group("walkway");
    group.sample_size(10);
    for (pairs, levels) in [(2, 1), (20, 1), (20, 5), (200, 1)] {
        let platform = platform(pairs, levels);
        let anchors = platform.anchors().len();
        let name = format!("{} trees, {anchors} anchors", 2 * pairs);
        group.bench_function(BenchmarkId::new("check", &name), |b| {
            b.iter(|| black_box(&platform).check().unwrap());
        });
        let actions = loads::actions(&platform, platform.criteria()).unwrap();
        let solved = solve(&platform, &actions, platform.criteria()).unwrap();
        group.bench_function(
            BenchmarkId::new("arrangements of each member", &name),
            |b| {
                b.iter(|| arrangements(black_box(&solved), platform.criteria()));
            },
        );
        if pairs <= 20 {
            group.bench_function(BenchmarkId::new("lose one", &name), |b| {
                b.iter(|| black_box(&platform).lose_each().unwrap());
            });
        }
    }
    group.finish();
}

criterion_group!(benches, platforms);
criterion_main!(benches);
