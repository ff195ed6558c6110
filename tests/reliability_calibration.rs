//! The reliability of anchors that just pass under the default safety factors: the table of `docs/reliability.md`, written
//! anew by `BARKLINE_BLESS=1 cargo test --test reliability_calibration`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::Layout;
use barkline::model::Platform;
use barkline::reliability::{Method, Outcome, OutcomeReliability, ReliabilityOptions};
use barkline::tables;
use std::fmt::Write as _;

/// Woods from light to heavy, sizes from small to large, and what leads; live or snow load is three times the dead load.
const CASES: &[(&str, &str, &str)] = &[
    ("eastern white pine", "64x114/34", "live"),
    ("western hemlock", "64x114/34", "live"),
    ("white oak", "38x76/19", "live"),
    ("white oak", "64x114/34", "live"),
    ("white oak", "89x127/44", "live"),
    ("white oak", "64x114/34", "snow"),
];
/// Variable over dead load (1).
const RATIO: f64 = 3.0;
/// Rounds in search of the load that just passes: it is nearly proportional.
const ROUNDS: usize = 20;
/// How near to one the utilization comes.
const NEAR: f64 = 1e-3;

fn platform(wood: &str, size: &str, lead: &str, dead: f64) -> Platform {
    let boss: f64 = size.split('x').next().unwrap().parse().unwrap();
    let text = format!(
        "[site]\nsnow_basis = \"asce7-22\"\n[[tree]]\nid = \"t\"\nspecies = \"{wood}\"\nat = [\"0 ft\", \"0 ft\"]\ndiameter = \"{} mm\"\nbark = \"20 mm\"\n\
         [[anchor]]\nid = \"a\"\ntree = \"t\"\nfaces = \"S\"\nsize = \"{size}\"\narm = \"{} mm\"\n\
         [[load]]\nid = \"p\"\non = \"a\"\ndead = \"{dead} N\"\n{lead} = \"{} N\"\n",
        // A stem that bears the hole, and an arm of a boss and a half: the same shape at every size.
        boss * 9.0,
        boss * 1.5,
        dead * RATIO
    );
    let layout = Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

/// The platform under the largest load that passes, that dead load (N), and the check that governs.
fn just_passing(wood: &str, size: &str, lead: &str) -> (Platform, f64, &'static str) {
    let mut dead = 1000.0;
    for _ in 0..ROUNDS {
        let platform = platform(wood, size, lead, dead);
        let results = platform.check().unwrap();
        let attachment = &results.attachments()[0];
        let strength = attachment
            .checks()
            .iter()
            .filter_map(|check| Some((check.limit_state, check.utilization?)))
            .filter(|(state, _)| Outcome::Damage.limit_states().contains(state))
            .max_by(|one, other| one.1.total_cmp(&other.1))
            .unwrap();
        let used = strength.1;
        if (used - 1.0).abs() < NEAR {
            return (platform, dead, strength.0.words());
        }
        dead /= used;
    }
    panic!("{wood} {size} {lead}: no load just passes")
}

fn cells(outcome: &OutcomeReliability) -> String {
    let view = outcome.first_order.as_ref().expect("a design point");
    let state = view.limit_state.unwrap().words();
    format!("{:.1} | {state}", view.beta)
}

fn table() -> String {
    let mut text = String::from(
        "| wood | size | load | governs the check | dead load that just passes, kN | β, collapse | by | β, damage | by |\n\
         |---|---|---|---|--:|--:|---|--:|---|\n",
    );
    for (wood, size, lead) in CASES {
        let (platform, dead, governs) = just_passing(wood, size, lead);
        let options = ReliabilityOptions {
            method: Method::Form,
            threads: 1,
            ..ReliabilityOptions::default()
        };
        let results = platform.reliability(&options).unwrap();
        let [collapse, damage] =
            Outcome::BOTH.map(|outcome| cells(results.attachments[0].outcome(outcome).unwrap()));
        let _ = writeln!(
            text,
            "| {wood} | {size} | {lead} | {governs} | {:.2} | {collapse} | {damage} |",
            dead / 1e3
        );
    }
    text
}

fn targets() -> String {
    let mut text = String::from("| target | for | β | source |\n|---|---|--:|---|\n");
    for row in tables::reliability_targets() {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {}, {} |",
            row.title,
            row.condition,
            row.number().unwrap(),
            row.reference().citation(),
            row.reference().standing()
        );
    }
    text
}

fn variables() -> String {
    let mut text = String::from(
        "| variable | what it is | distribution | mean | deviation | shared: tree, species, site | source |\n|---|---|---|--:|--:|---|---|\n",
    );
    for row in tables::random_variables() {
        let (mean, deviation) = match row.measure {
            tables::DeviationMeasure::Share => (
                format!("{}", row.mean),
                format!("{:.0} %", row.deviation * 100.0),
            ),
            tables::DeviationMeasure::Length => {
                ("0".to_owned(), format!("{:.1} mm", row.deviation * 1e3))
            }
            tables::DeviationMeasure::Angle => (
                "0".to_owned(),
                format!("{:.1}°", row.deviation.to_degrees()),
            ),
        };
        let [tree, species, site] = row.shared;
        let _ = writeln!(
            text,
            "| `{}` | {} | {} | {mean} | {deviation} | {tree}, {species}, {site} | {}, {} |",
            row.id,
            row.title,
            row.distribution.word(),
            row.reference().source().id,
            row.reference().standing()
        );
    }
    text
}

/// Puts a table between its marks.
fn put(page: &str, mark: &str, table: &str) -> String {
    let (begin, end) = (
        format!("<!-- {mark} -->\n"),
        format!("<!-- end of {mark} -->\n"),
    );
    let (before, rest) = page.split_once(&begin).expect("the mark of a table");
    let (_, after) = rest.split_once(&end).expect("the end of a table");
    format!("{before}{begin}\n{table}\n{end}{after}")
}

#[test]
fn the_page_shows_the_tables_as_they_come_out_today() {
    let path = format!("{}/docs/reliability.md", env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(&path).unwrap();
    let mut today = put(&page, "just passing", &table());
    today = put(&today, "targets", &targets());
    today = put(&today, "variables", &variables());
    if std::env::var_os("BARKLINE_BLESS").is_some() {
        std::fs::write(&path, today).unwrap();
    } else {
        assert_eq!(page, today, "BARKLINE_BLESS=1 writes it anew");
    }
}
