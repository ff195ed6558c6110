//! The calculation package: its structure, its markup, what it repeats of the results.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::checks::stems::{Question, Trees, Winds};
use barkline::checks::{Going, Results, Verdict};
use barkline::loads;
use barkline::model::{Anchor, AnchorSize, Case, Platform, Stem};
use barkline::reliability::{Method, Outcome, ReliabilityOptions};
use barkline::report::work::{DrillDocument, drill_pages, pages_html, pages_markdown};
use barkline::report::{
    CheckDocument, Package, Project, Provenance, ReliabilityDocument, drawing, package_html,
    package_markdown,
};
use barkline::units::{Show, kind, print, si};
use barkline::{Format, Layout};
use proptest::prelude::*;
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::BTreeSet;

/// The examples, and a layout with one of everything.
const EXAMPLES: [&str; 5] = ["two-stems", "four-stems", "one-anchor", "fails", EVERYTHING];

/// A layout of these tests: braces, a post, a guard, a swing, a hammock.
const EVERYTHING: &str = "everything";

/// A layout of the transcripts: one anchor fails, the other passes.
const BRIDGE: &str = "bridge";

/// The largest package of an example (bytes): small enough to send to anybody; without drilling cards.
const LARGEST: usize = 225_000;

/// The largest sheet of one anchor (bytes), with its drawings and worked steps.
const LARGEST_SHEET: usize = 24_000;

/// The largest drilling card (bytes).
const LARGEST_CARD: usize = 7_000;

/// A package and all that it is made of.
struct Made {
    platform: Platform,
    results: Results,
    document: CheckDocument,
    project: Project,
    cards: Option<DrillDocument>,
    text: String,
    show: Show,
}

impl Made {
    fn of(name: &str, text: &str) -> Self {
        let layout = Layout::from_named(name, text, Format::Toml).unwrap_or_else(|e| panic!("{e}"));
        let resolved = layout.resolve().unwrap_or_else(|e| panic!("{e}"));
        let lost = resolved.platform.lose_each().unwrap();
        let results = resolved.platform.check().unwrap().with_lost(lost);
        Self {
            document: CheckDocument::new(&results, Provenance::of(text.as_bytes()), Vec::new()),
            project: layout
                .project
                .as_ref()
                .map_or_else(Project::default, Project::from),
            platform: resolved.platform,
            results,
            cards: None,
            text: text.to_owned(),
            show: resolved.show,
        }
    }

    fn example(name: &str) -> Self {
        let folder = match name {
            EVERYTHING => "tests/common",
            BRIDGE => "tests/cli/size.in",
            _ => "docs/examples",
        };
        let path = format!("{}/{folder}/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        Self::of(name, &std::fs::read_to_string(path).unwrap())
    }

    /// The same with its drilling cards, as the command makes them.
    fn drilled(mut made: Self, despite: bool) -> Self {
        let cards = DrillDocument::new(
            &made.platform,
            &made.results,
            &made.platform.may_miss().unwrap(),
            despite,
            Provenance::of(made.text.as_bytes()),
            Vec::new(),
        );
        made.cards = Some(cards.unwrap());
        made
    }

    fn package(&self) -> Package<'_> {
        Package {
            platform: &self.platform,
            results: &self.results,
            document: &self.document,
            trees: None,
            drill: self.cards.as_ref(),
            reliability: None,
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
            "One attachment lost",
            "Anchor SW in south",
            "Anchor SE in south",
            "Anchor NW in north",
            "Anchor NE in north",
            "Members",
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
    let cards = [BRIDGE, "one-anchor"].map(|name| (name, Made::drilled(Made::example(name), true)));
    let all_made = EXAMPLES.map(|name| (name, Made::example(name)));
    for (name, made) in all_made.into_iter().chain(cards) {
        let html = made.html();
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
            assert_eq!(drawings.count(), 2, "{name} {id}");
            let size = section.range().len();
            assert!(size < LARGEST_SHEET, "{name} {id}: {size} bytes");
            let text = said(section);
            let anchor = attachment.anchor();
            assert!(text.contains(&format!("Anchor {anchor} in {}", attachment.tree())));
            let governing = attachment.governing().and_then(|check| check.utilization);
            if let Some(used) = governing {
                let up = (used * 100.0 - 1e-7).ceil() / 100.0;
                assert!(
                    text.contains(&format!("; utilization {up:.2}.")),
                    "{name} {id}: {up}"
                );
            }
            for check in attachment.checks() {
                assert!(text.contains(check.limit_state.words()), "{name} {id}");
                let cited = (check.verdict != Verdict::NotNeeded).then_some(&check.source);
                for part in cited
                    .into_iter()
                    .chain(&check.note)
                    .flat_map(|s| s.split(';'))
                {
                    assert!(text.contains(part.trim().trim_end_matches('.')), "{part}");
                }
            }
        }
    }
}

/// Half of the last place of a bar's length (of its whole) and of a figure beside it, as a utilization.
const BAR_ROUNDING: f64 = 0.5 * 0.001 * 1.5 + 0.01;

#[test]
fn a_bar_is_as_long_as_the_figure_beside_it_and_one_ends_at_two_thirds() {
    let html = Made::example("fails").html();
    let document = parsed(&html);
    let mut seen = 0;
    for bar in all(&document, "i").filter(|own| own.attribute("class").is_some()) {
        let used: f64 = said(bar.parent().unwrap()).parse().unwrap();
        let style = bar
            .first_element_child()
            .unwrap()
            .attribute("style")
            .unwrap();
        let share = style
            .strip_prefix("width:")
            .and_then(|own| own.strip_suffix('%'));
        let length = share.unwrap().parse::<f64>().unwrap() / 100.0 * 1.5;
        assert!(
            (length - used.min(1.5)).abs() <= BAR_ROUNDING,
            "{used}: {style}"
        );
        seen += usize::from(used > 0.1 && used < 1.4);
    }
    assert!(seen > 20, "{seen} bars");
}

/// The words of the drilling cards, card by card.
fn on_cards(html: &str) -> Vec<String> {
    let document = parsed(html);
    let cards = all(&document, "article").map(|card| {
        let words = card.descendants().filter_map(|node| node.text());
        words.collect::<Vec<_>>().join(" ")
    });
    cards.collect()
}

#[test]
fn the_drilling_cards_stand_as_drill_gives_them() {
    for (name, despite) in [(BRIDGE, false), (BRIDGE, true), ("fails", false)] {
        let made = Made::drilled(Made::example(name), despite);
        let cards = made.cards.as_ref().unwrap();
        let pages = drill_pages(cards, made.show);
        let html = made.html();
        let here = on_cards(&html);
        assert_eq!(here, on_cards(&pages_html("t", &pages)), "{name}");
        assert_eq!(here.len(), cards.cards.len() + 1, "{name}");
        let document = parsed(&html);
        let sizes = all(&document, "article").map(|card| card.range().len());
        assert!(sizes.max().unwrap() < LARGEST_CARD, "{name}");
        let markdown = package_markdown(&made.package());
        assert!(markdown.contains("\n## Drilling cards\n"));
        for line in pages_markdown(&pages).lines() {
            let line = if line.starts_with('#') {
                format!("##{line}")
            } else {
                line.to_owned()
            };
            assert!(line == "---" || markdown.contains(&line), "{name}: {line}");
        }
        let headings: Vec<String> = all(&document, "h2").map(said).collect();
        let place = |heading: &str| headings.iter().position(|own| own == heading);
        assert!(place("Stems") < place("Drilling cards"));
        assert!(place("Drilling cards") < place("Sources"));
    }
}

#[test]
fn an_anchor_that_fails_has_no_drilling_card_and_the_package_says_how_to_get_it() {
    let made = Made::drilled(Made::example(BRIDGE), false);
    let fails = |verdict: &Verdict| *verdict == Verdict::Fail;
    let attachments = || made.results.attachments().iter();
    let failing = attachments().filter(|own| fails(&own.verdict()));
    let failing: Vec<String> = failing.map(|own| own.anchor().to_owned()).collect();
    assert!(!failing.is_empty() && failing.len() < attachments().count());
    let withheld = |anchor: &str, text: &str| {
        let said = format!("{anchor} fails in ");
        text.lines().any(|line| {
            line.contains(&said)
                && line.contains(": its card is withheld.")
                && line.contains("barkline drill LAYOUT --despite")
        })
    };
    let pages = on_cards(&made.html());
    let markdown = package_markdown(&made.package());
    for attachment in attachments() {
        let anchor = attachment.anchor();
        let card = pages
            .iter()
            .filter(|page| page.starts_with(&format!("Anchor {anchor} ")));
        let here = failing.iter().any(|own| own == anchor);
        assert_eq!(card.count(), usize::from(!here), "{anchor}");
        assert_eq!(withheld(anchor, &pages[0]), here, "{anchor}");
        assert_eq!(withheld(anchor, &markdown), here, "{anchor}");
    }
    let despite = on_cards(&Made::drilled(made, true).html());
    for anchor in failing {
        let card = despite
            .iter()
            .find(|page| page.starts_with(&format!("Anchor {anchor} ")));
        assert!(card.unwrap().contains("FAILS: do not drill"), "{anchor}");
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
    for section in all(&document, "section")
        .filter(|own| own.attribute("class").is_some_and(|c| c.contains("sheet")))
    {
        let stamp = said(section.first_element_child().unwrap());
        assert!(
            stamp.contains(start) && stamp.contains(&made.document.program),
            "{stamp}"
        );
    }
    let style = said(all(&document, "style").next().unwrap());
    assert!(style.contains(start), "the foot of printed sheets");
    assert_eq!(said(all(&document, "pre").next().unwrap()), made.text);
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
    assert!(words.contains("Not assessed: brace k1.") && results.verdict() >= Verdict::Review);
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
    let verdict = made.document.verdict.word().to_uppercase();
    assert!(text.contains(&format!("**{verdict}** ")));
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

/// A printed number is that value, to the figures that are printed.
#[track_caller]
fn reads(cell: &str, value: f64) {
    let shown: f64 = cell.parse().unwrap_or_else(|_| panic!("{cell}"));
    let off = (shown - value).abs();
    assert!(off <= PRINTED * value.abs() + 1e-6, "{cell} for {value}");
}

const POUND_FORCE: f64 = 4.448_221_615_260_5;

#[test]
fn every_member_stands_with_all_its_checks_worst_first() {
    let made = Made::example(EVERYTHING);
    let html = made.html();
    let document = parsed(&html);
    let rows = cells(&document, "Members, worst first");
    assert_eq!(rows.len() - 1, made.results.members().len());
    let used: Vec<f64> = rows[1..]
        .iter()
        .map(|row| row[6].parse().unwrap())
        .collect();
    let same: Vec<&String> = rows[1..].iter().map(|row| &row[9]).collect();
    let falls = |k: usize| same[k] != same[k + 1] || used[k] >= used[k + 1];
    assert!((0..used.len() - 1).all(falls), "{rows:#?}");
    for member in made.results.members() {
        let row = rows
            .iter()
            .find(|row| row[0] == member.member() && row[1] == member.kind().words())
            .unwrap();
        assert_eq!(row[2], member.pieces().to_string());
        let governing = member.governing().unwrap();
        assert_eq!(row[3], governing.limit_state.words());
        assert_eq!(row[9], member.verdict().word());
        let up = (member.utilization().unwrap() * 100.0 - 1e-7).ceil() / 100.0;
        assert_eq!(row[6], format!("{up:.2}"));
    }
    let checks = cells(&document, "Every check of each member");
    let expected: usize = made
        .results
        .members()
        .iter()
        .map(|m| m.checks().len())
        .sum();
    // Each has a row of cells and one of its source.
    assert_eq!(checks.len() - 1, 2 * expected);
    for check in made
        .results
        .members()
        .iter()
        .flat_map(barkline::checks::MemberResult::checks)
    {
        assert!(
            checks.iter().any(|row| row[0].contains(&check.source)),
            "{}",
            check.source
        );
    }
}

#[test]
fn joints_have_their_least_and_most_and_braces_their_length() {
    let made = Made::example(EVERYTHING);
    let html = made.html();
    let document = parsed(&html);
    let rows = cells(&document, "What presses on each joint");
    assert_eq!(rows.len() - 1, made.results.joints().len());
    for (row, joint) in rows[1..].iter().zip(made.results.joints()) {
        assert_eq!(row[0], joint.name);
        reads(&row[2], joint.least.0 / POUND_FORCE);
        assert_eq!(row[3], joint.least.1);
        reads(&row[4], joint.most.0 / POUND_FORCE);
        assert_eq!(row[5], joint.most.1);
    }
    let braces = cells(&document, "Braces, from the line");
    let brace = braces.iter().find(|row| row[0] == "k-b").unwrap();
    // From 0.53 m to 1.4 m from the end of a beam that begins at its anchor; up from 1.6 m to the axis of the beam:
    // 3 m, 50 mm, half of 9-1/4 in. 1.4 m by 1.5675 m is 2.1016 m at 48.2 degrees.
    assert_eq!(brace[5], "4 ft 7-1/8 in", "{brace:?}");
    assert_eq!(brace[7], "6 ft 10-3/4 in", "{brace:?}");
    assert_eq!(brace[8], "48.2°", "{brace:?}");
}

#[test]
fn what_follows_a_loss_stands_as_it_was_found() {
    for name in ["four-stems", EVERYTHING] {
        let made = Made::example(name);
        let html = made.html();
        let rows = cells(&parsed(&html), "Each attachment taken away in turn");
        let lost = made.results.lost().unwrap();
        assert_eq!(rows.len() - 1, lost.len());
        for (row, one) in rows[1..].iter().zip(lost) {
            assert_eq!(row[0], one.anchor);
            for (going, cells) in [(Going::Sudden, &row[1..4]), (Going::Gradual, &row[4..7])] {
                assert_eq!(cells[0] == "stands", one.stands(going), "{row:?}");
                assert_eq!(cells[0].contains("falls"), !one.held, "{row:?}");
                if let Some(most) = &one.hardest[going as usize] {
                    assert!(cells[1].starts_with(&format!("{}, ", most.anchor)));
                    let up = (most.utilization * 100.0 - 1e-7).ceil() / 100.0;
                    assert_eq!(cells[2], format!("{up:.2}"));
                }
            }
        }
    }
    let made = Made::example("two-stems");
    let results = made.platform.check().unwrap();
    let document = CheckDocument::new(&results, Provenance::of(b"x"), Vec::new());
    let html = package_html(&Package {
        results: &results,
        document: &document,
        ..made.package()
    });
    assert!(!html.contains("One attachment lost"), "nobody asked");
}

#[test]
fn the_steps_of_the_governing_check_and_of_the_limit_load_are_worked_on_each_sheet() {
    for name in ["two-stems", EVERYTHING] {
        let made = Made::example(name);
        let html = made.html();
        let document = parsed(&html);
        for (k, attachment) in made.results.attachments().iter().enumerate() {
            let id = format!("anchor-{}", k + 1);
            let sheet = all(&document, "section")
                .find(|own| own.attribute("id") == Some(&id))
                .unwrap();
            let text = said(sheet);
            let explanation = made.platform.explain(attachment.anchor()).unwrap();
            let governing = attachment.governing().unwrap().limit_state;
            for state in [governing, barkline::model::LimitState::LimitLoad] {
                let explained = explanation.checks.iter();
                let explained = explained
                    .clone()
                    .find(|own| own.check.limit_state == state)
                    .unwrap();
                assert!(
                    text.contains(&format!("Worked: {}", state.words())),
                    "{name} {id}"
                );
                assert!(!explained.steps.is_empty());
                for step in &explained.steps {
                    assert!(
                        text.contains(&step.title) && text.contains(&step.source),
                        "{}",
                        step.title
                    );
                    let result = step.result.result(step.shown_in(made.show));
                    assert!(
                        text.contains(&result),
                        "{name} {id}: {} {result}",
                        step.title
                    );
                    if let Some(numbers) = step.substitution(made.show) {
                        assert!(text.contains(&numbers), "{name} {id}: {numbers}");
                    }
                }
            }
            assert!(text.contains(&format!("barkline explain LAYOUT {}", attachment.anchor())));
        }
    }
}

#[test]
fn loads_with_a_direction_are_those_that_were_run() {
    let made = Made::example(EVERYTHING);
    let actions = loads::actions(&made.platform, made.results.criteria()).unwrap();
    let html = made.html();
    let document = parsed(&html);
    let rows = cells(&document, "Loads with a direction");
    // The two components of the people's side load are one row.
    assert_eq!(rows.len() - 1, actions.len() - 1);
    let find = |name: &str| rows.iter().find(|row| row[0].starts_with(name)).unwrap();
    let people = find("people's side load on deck floor");
    // 12 psf on 2 m by 3 m.
    reads(&people[3], 12.0 * 6.0 / (0.3048 * 0.3048));
    assert_eq!(people[4], "any way");
    // 50 plf on 3 m of guard at the east edge: outward.
    let lean = find("people leaning on guard rail");
    reads(&lean[3], 50.0 * 3.0 / 0.3048);
    assert_eq!(lean[4], "90°");
    // 250 lbf that swing to 60 degrees pull down with twice their weight, half as much again for jerks.
    reads(&find("swing swing")[6], 750.0);
    // Half of 1 kN on each end; the pulls of the ends cancel.
    let net = find("hammock net");
    assert_eq!([net[3].as_str(), net[4].as_str()], ["0", "–"]);
    reads(&net[5], 1000.0 * 3.0 / (4.0 * 0.6) / POUND_FORCE);
    assert_eq!(
        rows.iter()
            .filter(|row| row[0].starts_with("wind toward"))
            .count(),
        8
    );
    let rows = cells(&document, "Load on each attachment by combination");
    let mut left = rows.iter().skip(1);
    for attachment in made.results.attachments() {
        for reaction in attachment.reactions() {
            let row = left.next().unwrap();
            let full = attachment.full_reactions().iter();
            let full = full
                .clone()
                .find(|f| f.combination == reaction.combination)
                .unwrap();
            for (cell, newtons) in row[6..]
                .iter()
                .zip([full.down_n, full.side_n.abs(), full.out_n])
            {
                reads(
                    cell,
                    if newtons.abs() < 1e-6 {
                        0.0
                    } else {
                        newtons / POUND_FORCE
                    },
                );
            }
        }
    }
}

#[test]
fn a_project_that_is_not_named_leaves_no_empty_title_block() {
    let made = Made::example("two-stems");
    let none = Project::default();
    let html = package_html(&Package {
        project: &none,
        ..made.package()
    });
    let document = parsed(&html);
    let names: Vec<String> = all(&document, "dt").map(said).collect();
    for name in ["Site", "Client", "Drawn by", "Revision", "Date", "Permit"] {
        assert!(!names.iter().any(|own| own == name), "{name}");
    }
    let some = Project {
        client: Some("A & B".into()),
        ..Project::default()
    };
    let html = package_html(&Package {
        project: &some,
        ..made.package()
    });
    let document = parsed(&html);
    let names: Vec<String> = all(&document, "dt").map(said).collect();
    assert!(names.contains(&"Client".to_owned()) && !names.contains(&"Permit".to_owned()));
}

#[test]
fn the_plan_shows_what_leans_stands_and_hangs() {
    let made = Made::example(EVERYTHING);
    let svg = drawing::plan(&made.platform, &made.results, Show::Us);
    let document = Document::parse(&svg).unwrap();
    let words: Vec<String> = all(&document, "text").map(said).collect();
    for name in [
        "brace k-a",
        "brace k-b",
        "post p",
        "guard rail",
        "swing swing",
        "hammock net",
    ] {
        assert!(words.iter().any(|own| own == name), "{name}: {words:?}");
    }
    let dashed = |dash: &str| {
        let own = all(&document, "line").filter(|l| l.attribute("stroke-dasharray") == Some(dash));
        own.collect::<Vec<_>>()
    };
    // Two braces and the one of the key, to scale: 1:48, 1.4 m and 1.53 m less 0.53 m and the end at 0.4 m.
    let braces = dashed("2.4 1.2");
    assert_eq!(braces.len(), 3);
    let level = |line: &Node<'_, '_>| (number(*line, "x2") - number(*line, "x1")).abs();
    let ratio = 48.0;
    assert!(svg.contains("1:48"), "another scale");
    assert!(
        (level(&braces[0]) - 1400.0 / ratio).abs() < 2.0 * DRAWN,
        "{}",
        level(&braces[0])
    );
    assert!(
        (level(&braces[1]) - 1400.0 / ratio).abs() < 2.0 * DRAWN,
        "{}",
        level(&braces[1])
    );
    let desc = said(all(&document, "desc").next().unwrap());
    for part in ["2 braces", "1 post", "1 guard", "1 swing", "1 hammock"] {
        assert!(desc.contains(part), "{desc}");
    }
    // Two anchors above each other share a place: the mark that is drawn last there is the worse of theirs.
    let marks: Vec<String> = all(&document, "title").skip(1).map(said).collect();
    let ranks: Vec<usize> = marks
        .iter()
        .map(|m| {
            ["not needed", "pass", "review", "fail"]
                .iter()
                .position(|w| w == m)
                .unwrap()
        })
        .collect();
    let anchors = made.platform.anchors().len();
    assert!(ranks[..anchors].is_sorted(), "{marks:?}");
    let plain = Made::example("two-stems");
    let svg = drawing::plan(&plain.platform, &plain.results, Show::Us);
    assert!(!svg.contains("brace") && !svg.contains("hammock"));
}

#[test]
fn a_stem_has_the_moment_at_its_ground_where_heights_are_known() {
    let made = Made::example(EVERYTHING);
    let html = made.html();
    let rows = cells(&parsed(&html), "Load and overturning moment");
    let row = rows
        .iter()
        .find(|row| row[0] == "a" && row[2] == "D + L")
        .unwrap();
    let (mut side, mut ground) = (0.0, 0.0);
    for (anchor, attachment) in made
        .platform
        .anchors()
        .iter()
        .zip(made.results.attachments())
    {
        if attachment.tree() == "a" {
            let reactions = attachment.reactions().iter();
            let on = reactions
                .clone()
                .find(|r| r.combination == "D + L")
                .unwrap();
            side += on.side_n.hypot(on.out_n);
            // The ground is the zero of the site; every arm points east, 0.53 m out.
            ground +=
                on.side_n.hypot(on.out_n) * anchor.level.unwrap().value + on.down_n.max(0.0) * 0.53;
        }
    }
    reads(&row[7], side / POUND_FORCE);
    reads(&row[8], ground / POUND_FORCE / 0.3048);
    for name in EXAMPLES {
        let made = Made::example(name);
        let html = made.html();
        for row in &cells(&parsed(&html), "Load and overturning moment")[1..] {
            let mut own = made.platform.anchors().iter();
            let known = own.all(|anchor| {
                let stem = made.platform.stem_of(anchor);
                let height = |level| stem.height_of(level);
                stem.id != row[0] || anchor.level.and_then(height).is_some()
            });
            assert_eq!(row[8] != "–", known, "{name}: {row:?}");
        }
    }
}

fn trees(platform: &Platform) -> Trees {
    let criteria = platform.criteria();
    let question = Question {
        winds: Winds::new(criteria, None),
        loads: &[],
        years: 10,
        travel: &|support| support.travel,
    };
    platform.trees(criteria, &question).unwrap()
}

#[test]
fn the_movement_of_the_stems_stands_where_it_was_worked_out() {
    let made = Made::example(EVERYTHING);
    let trees = trees(&made.platform);
    let html = package_html(&Package {
        trees: Some(&trees),
        ..made.package()
    });
    let document = parsed(&html);
    assert!(all(&document, "h2").any(|h2| said(h2) == "Movement of the stems"));
    let rows = cells(&document, "Peak movement to one side");
    let mut left = rows.iter().skip(1);
    let inches = |cell: &str| cell.split(' ').next().unwrap().to_owned();
    for tree in &trees.trees {
        for at in &tree.movement {
            let row = left.next().unwrap();
            assert_eq!([&row[0], &row[1]], [&tree.tree, &at.anchor]);
            reads(
                &inches(&row[3]),
                at.service.as_ref().unwrap().movement.value / 0.0254,
            );
            assert_eq!(row[4], "not known");
        }
    }
    assert!(left.next().is_none());
    let rows = cells(&document, "The stem at each anchor");
    let found: Vec<&Vec<String>> = rows.iter().skip(1).filter(|row| row.len() > 2).collect();
    let sections: Vec<_> = trees.trees.iter().flat_map(|tree| &tree.sections).collect();
    assert_eq!(found.len(), sections.len());
    for (row, section) in found.iter().zip(sections) {
        assert_eq!(row[2], format!("{:.1} %", section.hole_loss * 100.0));
        assert_eq!(row[9], section.verdict.word());
    }
    let rows = cells(&document, "Pairs of trees");
    assert_eq!(rows[1][0], "a and b");
    reads(
        &inches(&rows[1][2]),
        trees.pairs[0].service.as_ref().unwrap().opposed.value / 0.0254,
    );
    let note = trees.pairs[0].note.trim_end_matches('.');
    assert!(rows[2][0].contains(note), "{rows:?}");
    let rows = cells(&document, "Growth at each anchor");
    assert_eq!(rows.len() - 1, trees.growth.len());
    for (row, own) in rows[1..].iter().zip(&trees.growth) {
        assert_eq!(row[0], own.anchor);
        assert_eq!(row[7], own.rows.last().unwrap().year.to_string());
    }
    let roots = cells(&document, "Moment that the platform brings to the roots");
    assert_eq!(roots.len() - 1, trees.trees.len());
    assert!(
        !made.html().contains("Movement of the stems"),
        "nobody asked"
    );
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
    let (_, rest) = svg.split_once("in section, 1:").unwrap();
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    let scale: f64 = digits.parse().unwrap();
    assert!((2.0..=6.0).contains(&scale), "{scale}");
    // Size 102x152/51: a boss of 4 in by 6 in, half of it in the wood, a shank of 2 in.
    let [boss] = filled(&document, "rect", "#9a9a9a")[..] else {
        panic!("one boss")
    };
    assert!((number(boss, "width") - 152.4 / scale).abs() < DRAWN);
    assert!((number(boss, "height") - 101.6 / scale).abs() < DRAWN);
    let [wood] = filled(&document, "rect", "#f7f0e2")[..] else {
        panic!("one stem")
    };
    let deep = number(boss, "x") + number(boss, "width") - number(wood, "x");
    assert!((deep - 76.2 / scale).abs() < 2.0 * DRAWN, "{deep}");
    for shank in filled(&document, "rect", "#dcdcdc") {
        assert!((number(shank, "height") - 50.8 / scale).abs() < DRAWN);
    }
    // What its dimensions say, each over its name.
    let words: Vec<String> = all(&document, "text").map(said).collect();
    let deep = si::millimetres(76.2 + 152.4);
    for (length, name) in [
        (anchor.arm, "arm"),
        (si::millimetres(76.2), "boss in wood"),
        (si::millimetres(152.4), "shank"),
        (deep, "depth from the wood"),
        (deep + stem.bark, "depth from the bark"),
    ] {
        let value = print::<kind::Length>(length, Show::Si);
        let together = words
            .windows(2)
            .any(|pair| pair[0] == value && pair[1] == name);
        assert!(together, "{value} {name} in {words:?}");
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
        cards: None,
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

/// Samples of these tests: enough for every bar to be drawn, not for a probability to be relied on.
const SAMPLES: u64 = 400;

fn likelihoods(made: &Made, method: Method) -> ReliabilityDocument {
    let options = ReliabilityOptions {
        method,
        samples: SAMPLES,
        ..ReliabilityOptions::default()
    };
    let results = made.platform.reliability(&options).unwrap();
    ReliabilityDocument::new(results, Provenance::of(made.text.as_bytes()), Vec::new())
}

/// The drawing with this title.
fn drawing_of<'a>(document: &'a Document<'a>, title: &str) -> Node<'a, 'a> {
    all(document, "svg")
        .find(|svg| svg.attribute("aria-label") == Some(title))
        .unwrap_or_else(|| panic!("no drawing {title}"))
}

/// Left edge, width, height and colour of the bars of a drawing; grounds of words left out.
fn bars_of(svg: Node<'_, '_>) -> Vec<([f64; 3], String)> {
    let number = |node: &Node<'_, '_>, name| node.attribute(name).unwrap().parse().unwrap();
    svg.descendants()
        .filter(|own| own.tag_name().name() == "rect" && own.attribute("class") != Some("tw"))
        .map(|own| {
            let edges = ["x", "width", "height"].map(|name| number(&own, name));
            (edges, own.attribute("fill").unwrap().to_owned())
        })
        .collect()
}

/// Half of the last place of a coordinate of a drawing (mm), at both ends of a bar.
const BAR_DRAWN: f64 = 0.01;

#[test]
fn reliability_stands_in_the_package_only_when_it_was_asked_for() {
    let made = Made::example("one-anchor");
    let without = [made.html(), package_markdown(&made.package())];
    assert!(without.iter().all(|text| !text.contains("Reliability")));
    let found = likelihoods(&made, Method::Importance);
    let package = Package {
        reliability: Some(&found),
        ..made.package()
    };
    let html = package_html(&package);
    let document = parsed(&html);
    let section = all(&document, "section")
        .find(|own| own.attribute("id") == Some("reliability"))
        .unwrap();
    let words = said(section);
    let told = found.results.cautions.iter().chain(&found.words);
    for caution in told {
        assert!(words.contains(caution.as_str()), "{caution}");
    }
    let rows = cells(&document, "How likely collapse and damage are");
    // The heads; collapse and damage of the anchor, and of any.
    assert_eq!(rows.len(), 5);
    for (row, outcome) in rows[1..].iter().zip(&found.results.attachments[0].outcomes) {
        assert_eq!(row[1], outcome.outcome.word());
        let beta = outcome.chance.beta.unwrap();
        assert_eq!(row[2], format!("{beta:.2}"));
    }
    for svg in section
        .descendants()
        .filter(|n| n.tag_name().name() == "svg")
    {
        let first = svg.first_element_child().unwrap();
        let second = first.next_sibling_element().unwrap();
        assert_eq!(Some(said(first).as_str()), svg.attribute("aria-label"));
        assert!(second.tag_name().name() == "desc" && said(second).len() > 40);
    }
    let markdown = package_markdown(&package);
    for part in [
        "\n## Reliability\n",
        "| margin g | share |",
        "| part of the model | share α² |",
    ] {
        assert!(markdown.contains(part), "{part}");
    }
}

#[test]
fn bars_of_importance_are_in_proportion_to_the_shares_and_the_largest_is_first() {
    let made = Made::example("one-anchor");
    let found = likelihoods(&made, Method::Form);
    let html = package_html(&Package {
        reliability: Some(&found),
        ..made.package()
    });
    let document = parsed(&html);
    assert!(
        !html.contains("Margin of anchor"),
        "first order has no samples"
    );
    for own in &found.results.attachments {
        let title = format!("What the collapse of anchor {} hangs on", own.anchor);
        let bars = bars_of(drawing_of(&document, &title));
        let collapse = own.outcome(Outcome::Collapse).unwrap();
        let shares = &collapse.first_order.as_ref().unwrap().importance;
        let seen: Vec<f64> = (shares.iter().map(|part| part.share))
            .filter(|share| *share >= 0.01)
            .collect();
        assert!(seen.len() > 3 && bars.len() >= seen.len());
        let one = bars[0].0[1] / seen[0];
        for (([_, width, _], _), share) in bars.iter().zip(&seen) {
            assert!(
                (width - one * share).abs() <= 2.0 * BAR_DRAWN,
                "{width} {share}"
            );
        }
        assert!(
            bars[..seen.len()]
                .windows(2)
                .all(|pair| pair[0].0[1] >= pair[1].0[1])
        );
        // The last bar is what is left: all bars together are the whole.
        let sum: f64 = bars.iter().map(|(edges, _)| edges[1]).sum();
        assert!(
            (sum - one).abs() <= BAR_DRAWN * 2.0 * bars.len() as f64,
            "{sum} {one}"
        );
    }
}

#[test]
fn bars_of_a_spread_are_in_proportion_to_the_shares_which_add_up() {
    let made = Made::example("one-anchor");
    let found = likelihoods(&made, Method::Importance);
    let html = package_html(&Package {
        reliability: Some(&found),
        ..made.package()
    });
    let document = parsed(&html);
    let own = &found.results.attachments[0];
    let spread = own.outcome(Outcome::Collapse).unwrap().histogram.as_ref();
    let spread = spread.unwrap();
    let sum: f64 = spread.shares.iter().sum::<f64>() + spread.below + spread.above;
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    let title = format!("Margin of anchor {} against collapse", own.anchor);
    let svg = drawing_of(&document, &title);
    let bars = bars_of(svg);
    let texts = svg.descendants().filter(|n| n.tag_name().name() == "text");
    let texts: Vec<String> = texts.map(said).collect();
    assert!(texts.iter().any(|text| text == "g = 0"), "{texts:?}");
    let enlarged = texts
        .iter()
        .find_map(|text| text.strip_prefix("dark bars × "));
    let enlarged: f64 = enlarged.map_or(1.0, |text| text.parse().unwrap());
    let heights = bars.iter().map(|(edges, _)| edges[2]);
    let most = spread.shares.iter().copied().fold(0.0, f64::max);
    let one = heights.fold(0.0, f64::max) / most;
    let (count, [left, right]) = (spread.bins.count as f64, [8.0, 162.0]);
    let (mut dark, mut pale) = (0, 0);
    for ([x, _, height], fill) in &bars {
        // The bin in whose middle the bar stands.
        let bin = ((x - left) / (right - left) * count).round();
        let k = (0..spread.bins.count).find(|k| *k as f64 == bin).unwrap();
        // Zero is a quarter of the way from −1 to 3.
        let exceeded = bin < count / 4.0;
        assert_eq!(fill == "#111", exceeded, "{bin}");
        let scale = if exceeded { enlarged } else { 1.0 };
        let rounding = BAR_DRAWN + 0.005 * one / one.max(1.0);
        assert!(
            (height - spread.shares[k] * one * scale).abs() <= rounding,
            "{bin}: {height}"
        );
        if exceeded { dark += 1 } else { pale += 1 }
    }
    assert!(dark > 2 && pale > 10, "{dark} dark, {pale} pale");
}
