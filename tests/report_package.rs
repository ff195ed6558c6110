//! The calculation package: its structure, its markup, what it repeats of the results.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::checks::Results;
use barkline::model::{Anchor, AnchorSize, Case, Platform, Stem};
use barkline::report::{
    CheckDocument, Package, Project, Provenance, drawing, package_html, package_markdown,
};
use barkline::units::Show;
use barkline::{Format, Layout};
use proptest::prelude::*;
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::BTreeSet;

const EXAMPLES: [&str; 4] = ["two-stems", "four-stems", "one-anchor", "fails"];

/// The largest package of an example (bytes): small enough to send to anybody.
const LARGEST: usize = 400_000;

/// A package and all that it is made of.
struct Made {
    platform: Platform,
    results: Results,
    document: CheckDocument,
    project: Project,
    text: String,
    show: Show,
}

impl Made {
    fn of(name: &str, text: &str) -> Self {
        let layout = Layout::from_named(name, text, Format::Toml).unwrap_or_else(|e| panic!("{e}"));
        let resolved = layout.resolve().unwrap_or_else(|e| panic!("{e}"));
        let results = resolved.platform.check().unwrap();
        Self {
            document: CheckDocument::new(&results, Provenance::of(text.as_bytes()), Vec::new()),
            project: layout
                .project
                .as_ref()
                .map_or_else(Project::default, Project::from),
            platform: resolved.platform,
            results,
            text: text.to_owned(),
            show: resolved.show,
        }
    }

    fn example(name: &str) -> Self {
        let path = format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        Self::of(name, &std::fs::read_to_string(path).unwrap())
    }

    fn package(&self) -> Package<'_> {
        Package {
            platform: &self.platform,
            results: &self.results,
            document: &self.document,
            project: &self.project,
            layout: &self.text,
            show: self.show,
        }
    }

    fn html(&self) -> String {
        package_html(&self.package())
    }
}

fn parsed(html: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(html, options).unwrap_or_else(|error| panic!("{error}"))
}

fn all<'a>(document: &'a Document<'a>, name: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    let named = move |node: &Node<'_, '_>| node.tag_name().name() == name;
    document.descendants().filter(named)
}

fn said(node: Node<'_, '_>) -> String {
    node.descendants()
        .filter(Node::is_text)
        .filter_map(|node| node.text())
        .collect()
}

#[test]
fn the_sections_stand_in_the_order_in_which_an_engineer_reads() {
    let html = Made::example("two-stems").html();
    let document = parsed(&html);
    let headings: Vec<String> = all(&document, "h2").map(said).collect();
    assert_eq!(
        headings,
        [
            "Verdict",
            "Criteria",
            "Loads",
            "Plan",
            "Attachments",
            "Anchor SW in south",
            "Anchor SE in south",
            "Anchor NW in north",
            "Anchor NE in north",
            "Stems",
            "How well founded the checks are",
            "Sources",
            "What is not covered",
            "The layout",
            "Review",
        ]
    );
    assert_eq!(all(&document, "h1").count(), 1);
}

#[test]
fn everything_that_helps_a_reader_who_does_not_see_is_there() {
    for name in EXAMPLES {
        let html = Made::example(name).html();
        let document = parsed(&html);
        let root = document.root_element();
        assert_eq!(root.attribute("lang"), Some("en"), "{name}");
        assert!(!said(all(&document, "title").next().unwrap()).is_empty());
        for table in all(&document, "table") {
            let inside = |tag: &str| {
                let found = table.descendants().filter(|n| n.tag_name().name() == tag);
                found.collect::<Vec<_>>()
            };
            assert_eq!(inside("caption").len(), 1, "{name}: {}", said(table));
            assert!(inside("th").iter().all(|th| th.has_attribute("scope")));
        }
        for svg in all(&document, "svg") {
            assert_eq!(svg.attribute("role"), Some("img"));
            assert!(svg.attribute("aria-label").is_some_and(|s| !s.is_empty()));
            let first = svg.first_element_child().unwrap();
            assert_eq!(first.tag_name().name(), "title");
            let second = first.next_sibling_element().unwrap();
            assert!(second.tag_name().name() == "desc" && !said(second).is_empty());
        }
        let ids: Vec<&str> = document
            .descendants()
            .filter_map(|node| node.attribute("id"))
            .collect();
        let distinct: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), distinct.len(), "{name}: an id stands twice");
        for link in all(&document, "a") {
            let href = link.attribute("href").unwrap();
            assert!(distinct.contains(href.strip_prefix('#').unwrap()), "{href}");
        }
    }
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    for name in EXAMPLES {
        let html = Made::example(name).html();
        let without = html.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for word in [
            "<script", "http://", "https://", "url(", "@import", "src=", "<link",
        ] {
            assert!(!without.contains(word), "{name}: {word}");
        }
        let document = parsed(&html);
        let mut attributes = document.descendants().flat_map(|node| node.attributes());
        assert!(attributes.all(|attribute| !attribute.name().starts_with("on")));
        assert!(html.len() < LARGEST, "{name}: {} bytes", html.len());
    }
}

#[test]
fn every_anchor_has_its_drawing_its_diagrams_and_all_its_checks() {
    for name in EXAMPLES {
        let made = Made::example(name);
        let html = made.html();
        let document = parsed(&html);
        for (k, attachment) in made.results.attachments().iter().enumerate() {
            let id = format!("anchor-{}", k + 1);
            let section = all(&document, "section")
                .find(|own| own.attribute("id") == Some(&id))
                .unwrap();
            let drawings = section
                .descendants()
                .filter(|n| n.tag_name().name() == "svg");
            assert_eq!(drawings.count(), 3, "{name} {id}");
            let text = said(section);
            let anchor = attachment.anchor();
            assert!(text.contains(&format!("Anchor {anchor} in {}", attachment.tree())));
            let governing = attachment.governing().and_then(|check| check.utilization);
            let up = (governing.unwrap() * 100.0 - 1e-7).ceil() / 100.0;
            assert!(
                text.contains(&format!("; utilization {up:.2}.")),
                "{name} {id}: {up}"
            );
            for check in attachment.checks() {
                assert!(text.contains(check.limit_state.words()), "{name} {id}");
                let note = check.note.as_deref().unwrap_or_default();
                assert!(text.contains(note.trim_end_matches('.')), "{note}");
            }
        }
    }
}

#[test]
fn what_identifies_the_layout_and_the_program_is_repeated() {
    let made = Made::example("two-stems");
    let html = made.html();
    let document = parsed(&html);
    let digest = &made.document.layout_sha256;
    let start = &digest[..16];
    assert!(said(document.root_element()).contains(digest));
    for section in all(&document, "section").filter(|own| own.attribute("class") == Some("sheet")) {
        let stamp = said(section.first_element_child().unwrap());
        assert!(
            stamp.contains(start) && stamp.contains(&made.document.program),
            "{stamp}"
        );
    }
    let style = said(all(&document, "style").next().unwrap());
    assert!(style.contains(start), "the foot of printed sheets");
    assert_eq!(said(all(&document, "code").next().unwrap()), made.text);
}

#[test]
fn a_changed_default_is_called_out_and_the_title_block_is_filled_in() {
    let path = format!(
        "{}/docs/examples/two-stems.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(path).unwrap();
    let text = text
        .replace(
            "site = \"Example\"",
            "site = \"Ridge <north>\"\nclient = \"A & B\"",
        )
        .replace(
            "[[tree]]\nid = \"south\"",
            "[criteria.safety_factor]\nlimit_load = 2.5\n[[tree]]\nid = \"south\"",
        );
    let made = Made::of("changed", &text);
    let html = made.html();
    let document = parsed(&html);
    let words = said(document.root_element());
    assert!(words.contains("Plastic limit load: 2.5 instead of 3 (limit_load)."));
    assert!(words.contains("2.5, changed from 3"));
    assert!(words.contains("Ridge <north>") && words.contains("A & B"));
    assert!(words.contains("Friction of a sliding seat: 0.15 instead of 0.3 (seat_friction)."));
    let plain = said(parsed(&Made::example("one-anchor").html()).root_element());
    assert!(plain.contains("No default of the criteria was changed by the layout."));
}

#[test]
fn the_live_load_is_counted_in_people() {
    // 5 ft by 8 ft at 60 psf is 2400 lbf, and 2400/175 is 13.7.
    let words = said(parsed(&Made::example("two-stems").html()).root_element());
    assert!(
        words.contains("60 psf over 40 ft² is 2400 lbf, as much as 13 people, 2.92 ft² for each.")
    );
    // At 2.9 kPa and the same 175 lb: 778.4 N each, 0.268 m².
    let words = said(parsed(&Made::example("four-stems").html()).root_element());
    assert!(words.contains("0.268 m² for each."), "{words}");
}

#[test]
fn a_part_that_is_not_assessed_is_named() {
    let made = Made::example("two-stems");
    let platform = made
        .platform
        .clone()
        .with_unassessed(vec!["brace k1".to_owned()]);
    let results = platform.check().unwrap();
    let document = CheckDocument::new(&results, Provenance::of(b"x"), Vec::new());
    let html = package_html(&Package {
        platform: &platform,
        results: &results,
        document: &document,
        ..made.package()
    });
    let words = said(parsed(&html).root_element());
    assert!(words.contains("Named by this layout and not assessed"));
    assert!(words.contains("brace k1") && words.contains("REVIEW"));
}

#[test]
fn the_same_sections_stand_in_markdown() {
    let made = Made::example("fails");
    let text = package_markdown(&made.package());
    let html = made.html();
    let document = parsed(&html);
    let headings: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix("## ")).collect();
    let in_html: Vec<String> = all(&document, "h2").map(said).collect();
    assert_eq!(headings, in_html);
    assert!(text.contains("**FAIL** 4 of 4 attachments fail"));
    assert!(!text.contains("<svg"));
    for line in text.lines().filter(|line| line.starts_with('|')) {
        let bars = line.replace("\\|", "").matches('|').count();
        assert!(bars >= 3, "{line}");
    }
}

/// Printed numbers have three figures at the least (1).
const PRINTED: f64 = 0.005;

/// The cells of the rows of the table whose caption begins with some words.
fn cells(document: &Document<'_>, caption: &str) -> Vec<Vec<String>> {
    let begins =
        |table: &Node<'_, '_>| said(table.first_element_child().unwrap()).starts_with(caption);
    let table = all(document, "table").find(begins).unwrap();
    let rows = table.descendants().filter(|n| n.tag_name().name() == "tr");
    rows.map(|row| row.children().filter(Node::is_element).map(said).collect())
        .collect()
}

#[test]
fn the_loads_of_every_anchor_and_combination_are_those_of_the_results() {
    let made = Made::example("four-stems");
    let html = made.html();
    let rows = cells(&parsed(&html), "Load on each attachment by combination");
    let mut left = rows.iter().skip(1);
    for attachment in made.results.attachments() {
        for reaction in attachment.reactions() {
            let row = left.next().unwrap();
            assert_eq!(row[0], attachment.anchor());
            let governs = reaction.combination == attachment.load().combination;
            assert_eq!(row[1].contains("(governs)"), governs);
            assert_eq!(row[1].replace(" (governs)", ""), reaction.combination);
            let expected = [
                reaction.down_n,
                // Either way.
                reaction.side_n.abs(),
                reaction.out_n,
                reaction.resultant(),
            ];
            for (cell, newtons) in row[2..].iter().zip(expected) {
                let shown: f64 = cell.parse().unwrap();
                let off = (shown * 1000.0 - newtons).abs();
                assert!(off <= PRINTED * newtons.abs() + 1e-6, "{row:?} {newtons}");
            }
        }
    }
    assert!(left.next().is_none());
}

#[test]
fn the_loads_by_case_add_up() {
    let made = Made::example("two-stems");
    let html = made.html();
    let rows = cells(&parsed(&html), "Loads by case");
    assert_eq!(rows[0], ["part", "D (lbf)", "L (lbf)"]);
    let number = |row: usize, column: usize| rows[row][column].parse::<f64>().unwrap();
    for column in [1, 2] {
        let sum = number(1, column) + number(2, column);
        assert!(
            (sum - number(3, column)).abs() <= 2.0 * PRINTED * sum,
            "{rows:?}"
        );
    }
    // Live load only on the deck: 40 ft² at 60 psf.
    assert_eq!(rows[1][2], "2400");
    assert_eq!(rows[2][2], "0");
}

#[test]
fn a_stem_carries_what_its_anchors_bring() {
    let made = Made::example("two-stems");
    let html = made.html();
    let rows = cells(&parsed(&html), "Load and overturning moment");
    let row = rows
        .iter()
        .find(|row| row[0] == "south" && row[2] == "D + L")
        .unwrap();
    // Two anchors on opposite sides, each 17-3/4 in from the centre, the largest load of each.
    let down = |at: usize| {
        let mut rows = made.results.attachments()[at].reactions().iter();
        rows.find(|r| r.combination == "D + L").unwrap().down_n / 4.448_221_6
    };
    let (west, east) = (down(0), down(1));
    let near = |cell: &str, value: f64| {
        let shown: f64 = cell.parse().unwrap();
        (shown - value).abs() <= PRINTED * value.abs()
    };
    let arm = 17.75 / 12.0;
    assert_eq!(row[1], "SW, SE");
    assert!(near(&row[3], west + east), "{row:?}");
    assert!(near(&row[4], (east - west) * arm), "{row:?}");
    assert_eq!(row[5], "90°");
    assert!(near(&row[6], east * arm), "{row:?}");
}

/// Drawn lengths are rounded to a hundredth of a millimetre, their ends each on its own (mm).
const DRAWN: f64 = 0.011;

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

fn filled<'a>(svg: &'a Document<'a>, name: &'a str, fill: &str) -> Vec<Node<'a, 'a>> {
    let own = all(svg, name).filter(|node| node.attribute("fill") == Some(fill));
    own.collect()
}

#[test]
fn the_plan_is_to_scale() {
    let made = Made::example("two-stems");
    let svg = drawing::plan(&made.platform, &made.results, Show::Us);
    let document = Document::parse(&svg).unwrap();
    assert!(svg.contains("Plan, 1:32 (3/8 in = 1 ft)"));
    let paper = |inches: f64| inches * 25.4 / 32.0;
    // Stems of 30 in over bark, twelve feet from south to north, north up.
    let [south, north] = filled(&document, "circle", "#8d8478")[..] else {
        panic!("two stems")
    };
    assert!((number(south, "r") - paper(15.0)).abs() < DRAWN);
    assert!((number(north, "r") - paper(15.0)).abs() < DRAWN);
    assert!((number(south, "cy") - number(north, "cy") - paper(144.0)).abs() < DRAWN);
    assert!((number(south, "cx") - number(north, "cx")).abs() < DRAWN);
    // A scale bar of five feet, in five parts that lie end to end.
    let parts = all(&document, "rect").filter(|part| number(*part, "height") == 1.4);
    let parts: Vec<_> = parts.collect();
    assert_eq!(parts.len(), 5);
    for pair in parts.windows(2) {
        let end = number(pair[0], "x") + number(pair[0], "width");
        assert!((end - number(pair[1], "x")).abs() < DRAWN);
        assert!((number(pair[0], "width") - paper(12.0)).abs() < DRAWN);
    }
    assert!(svg.contains(">5 ft<"));
}

#[test]
fn the_section_of_an_anchor_is_to_scale() {
    let made = Made::example("two-stems");
    let anchor = &made.platform.anchors()[0];
    let stem = made.platform.stem_of(anchor);
    let attachment = &made.results.attachments()[0];
    let svg = drawing::elevation(anchor, stem, attachment, Show::Si);
    let document = Document::parse(&svg).unwrap();
    assert!(svg.contains("in section, 1:4<"), "{}", &svg[..400]);
    // Size 102x152/51: a boss of 4 in by 6 in, half of it in the wood, a shank of 2 in.
    let [boss] = filled(&document, "rect", "#9a9a9a")[..] else {
        panic!("one boss")
    };
    assert!((number(boss, "width") - 152.4 / 4.0).abs() < DRAWN);
    assert!((number(boss, "height") - 101.6 / 4.0).abs() < DRAWN);
    let [wood] = filled(&document, "rect", "#f7f0e2")[..] else {
        panic!("one stem")
    };
    let deep = number(boss, "x") + number(boss, "width") - number(wood, "x");
    assert!((deep - 76.2 / 4.0).abs() < 2.0 * DRAWN, "{deep}");
    for shank in filled(&document, "rect", "#dcdcdc") {
        assert!((number(shank, "height") - 50.8 / 4.0).abs() < DRAWN);
    }
}

/// One anchor with a load, whose every name is a text.
fn named(text: &str) -> Made {
    let stem = Stem {
        id: text.to_owned(),
        ..common::stem(common::wood("white oak"))
    };
    let plain = common::anchor(&common::REFERENCE);
    let anchor = Anchor {
        id: text.to_owned(),
        size: AnchorSize {
            id: text.to_owned(),
            ..plain.size.clone()
        },
        ..plain
    };
    let loads = [(Case::Dead, 500.0), (Case::Live, 2000.0)];
    let mut platform = common::one(anchor, stem, &loads, common::plain_criteria());
    platform.title = text.into();
    let results = platform.check().unwrap();
    Made {
        document: CheckDocument::new(&results, Provenance::of(text.as_bytes()), Vec::new()),
        project: Project {
            site: Some(text.to_owned()),
            ..Project::default()
        },
        platform,
        results,
        text: text.to_owned(),
        show: Show::Si,
    }
}

/// What becomes of a text: characters that do not print are blanks.
fn printable(text: &str) -> String {
    let blank = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars()
        .map(|c| if blank(c) { ' ' } else { c })
        .collect()
}

#[test]
fn hostile_names_stay_words() {
    let text = "]]></title></style><script>alert(1)</script>&amp;\"'<!-- \u{0}";
    let made = named(text);
    let html = made.html();
    let document = parsed(&html);
    assert_eq!(all(&document, "script").count(), 0);
    assert_eq!(said(all(&document, "h1").next().unwrap()), printable(text));
    assert!(!html.contains("<script"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_name_leaves_the_markup_whole(text in "\\PC*|[<>&\"'\\]\\[!-/{}\\\\|\u{0}-\u{1f}]{0,30}|.{0,40}") {
        let made = named(&text);
        let html = made.html();
        let document = parsed(&html);
        prop_assert_eq!(all(&document, "h2").count(), 12);
        let plan = drawing::plan(&made.platform, &made.results, Show::Us);
        let svg = Document::parse(&plan).unwrap();
        prop_assert_eq!(svg.root_element().tag_name().name(), "svg");
        prop_assert!(!plan.contains("NaN") && !plan.contains("inf"));
    }
}
