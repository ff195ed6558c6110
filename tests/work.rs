//! Drilling cards and shop sheets: check values of the trade, statics and geometry by hand, and what every form must say.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    clippy::format_push_string
)]

use barkline::Layout;
use barkline::checks::{Attachment, Deviation, Edge, MayMiss, Verdict};
use barkline::input::Resolved;
use barkline::model::{Anchor, LimitState, Platform};
use barkline::report::work::cutting::BeamPart;
use barkline::report::work::drilling::{CARD_CAUTIONS, Card, FIRST, STOP_RULES};
use barkline::report::work::{
    CutDocument, DrillDocument, cut_json, cut_pages, cut_sheet, drill_json, drill_pages,
    drill_sheet, pages_html, pages_markdown, pages_text,
};
use barkline::report::{Provenance, sheet_csv};
use barkline::units::us::INCH;
use barkline::units::{Show, si, us};
use proptest::prelude::*;

/// The noise under which a length counts as on its mark (m).
const ON_IT: f64 = 1e-6;
/// Geometry worked out twice (m, deg).
const GEOMETRY: f64 = 1e-9;

fn resolved(text: &str) -> Resolved {
    match Layout::from_toml(text).and_then(|layout| layout.resolve()) {
        Ok(resolved) => resolved,
        Err(diagnostics) => panic!("{diagnostics}"),
    }
}

fn example(name: &str) -> Resolved {
    resolved(&example_text(name))
}

fn example_text(name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/examples");
    std::fs::read_to_string(folder.join(name)).unwrap()
}

fn cards(resolved: &Resolved, despite: bool) -> DrillDocument {
    let platform = &resolved.platform;
    DrillDocument::new(
        platform,
        &platform.check().unwrap(),
        &platform.may_miss().unwrap(),
        despite,
        Provenance::of(b"text"),
        Vec::new(),
    )
    .unwrap()
}

fn sheet(resolved: &Resolved) -> CutDocument {
    let platform = &resolved.platform;
    CutDocument::new(
        platform,
        &platform.check().unwrap(),
        &platform.joint_loads().unwrap(),
        Provenance::of(b"text"),
        Vec::new(),
    )
    .unwrap()
}

/// One anchor with a load of its own; `more` goes into the tree and the anchor.
fn one(size: &str, species: &str, live: &str, tree: &str, anchor: &str) -> String {
    format!(
        "[[tree]]\nid = \"t\"\nspecies = \"{species}\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"30 in\"\nbark = \"1 in\"\n{tree}\n\
         [[anchor]]\nid = \"A\"\ntree = \"t\"\nfaces = \"E\"\nlevel = \"8 ft\"\nsize = \"{size}\"\narm = \"3 in\"\n{anchor}\n\
         [[load]]\nid = \"l\"\non = \"A\"\ndead = \"100 lbf\"\nlive = \"{live}\"\n"
    )
}

fn card(text: &str) -> Card {
    let mut document = cards(&resolved(text), true);
    assert_eq!(document.cards.len(), 1);
    document.cards.remove(0)
}

mod check_values {
    use super::*;

    /// Common practice, no source: a boss of 4 in set half way asks for a counterbore 2 in deep, in wood, of the boss's
    /// diameter, and a pilot near 7-1/2 in, up to a quarter inch more; the guide is slightly smaller than the pilot.
    #[test]
    fn a_boss_of_four_inches_set_half_way() {
        for species in ["Douglas-fir, coast", "white oak", "American beech"] {
            let card = card(&one("51x102/25", species, "100 lbf", "", ""));
            let bore = card.counterbore.as_ref().unwrap();
            assert_eq!(bore.depth.from_sound.mark_in, 2.0);
            assert_eq!(bore.bit.take_in, Some(2.0));
            let pilot = &card.pilots[0];
            assert_eq!(pilot.depth.from_sound.mark_in, 7.5);
            assert_eq!(pilot.deepest.from_sound.mark_in, 7.75);
            let (guide, bit) = (card.guide.unwrap(), pilot.bit.take_in.unwrap());
            assert!(guide.guide_in < bit && guide.guide_in > bit - 1.0 / 16.0);
            let bit = pilot.bit.take_mm.unwrap();
            assert!(guide.guide_mm < bit && guide.guide_mm > bit - 1.0);
        }
    }

    /// Common practice, no source: depths are marked from the bark as well, by its thickness deeper.
    #[test]
    fn from_the_bark_every_depth_is_by_the_bark_deeper() {
        let card = card(&one("51x102/25", "white oak", "100 lbf", "", ""));
        let bore = card.counterbore.unwrap().depth;
        assert_eq!(bore.from_bark.mark_in, 3.0);
        assert_eq!(bore.from_wood, bore.from_sound);
        assert_eq!(card.pilots[0].depth.from_bark.mark_in, 8.5);
        assert_eq!(card.bark.mark_in, 1.0);
    }

    /// Common practice, no source: the counterbore is snug, of the boss's diameter where there is such a bit.
    #[test]
    fn the_counterbore_is_of_the_diameter_of_the_boss() {
        for (size, boss) in [
            ("80x120/40", 80.0),
            ("89x127/44", 89.0),
            ("102x152/51", 102.0),
        ] {
            let card = card(&one(size, "white oak", "100 lbf", "", ""));
            assert_eq!(card.counterbore.unwrap().bit.take_mm, Some(boss), "{size}");
        }
    }

    /// Common practice, no source: pilots of 0.90 to 1.00 of the root in light wood, the root in dense hardwood; never over
    /// the root where the thread is taken to bear on its outside.
    #[test]
    fn the_pilot_follows_root_and_density() {
        let root = 19.812e-3;
        for (species, least, most) in [
            ("western redcedar", 0.90 * root, root),
            ("white oak", root - 0.4e-3, root),
        ] {
            let card = card(&one("51x102/25", species, "100 lbf", "", ""));
            let bit = &card.pilots[0].bit;
            assert!((bit.least_m - least).abs() < 1e-9, "{species}");
            assert!((bit.most_m - most).abs() < 1e-9, "{species}");
            let inch = bit.take_in.unwrap() * INCH;
            assert!((bit.least_m - ON_IT..=bit.most_m + ON_IT).contains(&inch));
        }
        // A pilot over the root, said in the layout: the thread bears on its root, and dense wood may have 1.05 of it.
        let text = one(
            "51x102/25",
            "white oak",
            "100 lbf",
            "",
            "pilot = \"20.5 mm\"",
        );
        let bit = card(&text).pilots[0].bit.clone();
        assert!((bit.most_m - 1.05 * root).abs() < 1e-9);
    }

    /// Common practice, no source: the level is looked at repeatedly, both marks are made before drilling, and the
    /// arborist comes before all of it.
    #[test]
    fn the_order_of_the_work() {
        let resolved = resolved(&one("51x102/25", "white oak", "100 lbf", "", ""));
        let text = pages_text(&drill_pages(&cards(&resolved, false), Show::Us)[1..], 80);
        let places: Vec<usize> = [
            "qualified arborist",
            "before drilling",
            "PILOT",
            "COUNTERBORE",
            "Drive the bar",
        ]
        .iter()
        .map(|words| {
            text.replace("\n     ", " ")
                .find(words)
                .unwrap_or_else(|| panic!("{words}: {text}"))
        })
        .collect();
        assert!(places.is_sorted(), "{places:?}");
        assert!(text.contains("often on the way") || text.contains("level at the start and often"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Marks of depths are never short of the bar, never beyond the sound wood, and agree from every face.
    #[test]
    fn no_mark_leaves_the_sound_wood(
        bark in 1.0..60.0_f64, soft in 0.0..12.0_f64, shell in 170.0..230.0_f64, embedded in 15.0..90.0_f64,
    ) {
        let tree = format!("shell = \"{shell} mm\"\nsoft = \"{soft} mm\"").replace("bark = \"1 in\"", "");
        let text = one("51x102/25", "white oak", "100 lbf", &tree, &format!("embedded = \"{embedded} mm\""));
        let text = text.replace("bark = \"1 in\"", &format!("bark = \"{bark} mm\""));
        let card = card(&text);
        let shell = shell * 1e-3;
        let bar = (embedded - soft + 139.7) * 1e-3;
        prop_assert_eq!(card.beyond_sound, bar > shell);
        let pilot = &card.pilots[0];
        for depth in [pilot.depth, pilot.deepest] {
            for (mark, face) in [(depth.from_sound, 0.0), (depth.from_wood, soft), (depth.from_bark, soft + bark)] {
                let face = face * 1e-3;
                for marked in [mark.mark_in * INCH, mark.mark_mm * 1e-3] {
                    prop_assert!(marked <= shell + face + ON_IT, "beyond the sound wood: {marked} of {shell} + {face}");
                    prop_assert!(marked >= (bar + face).min(shell + face - INCH / 16.0) - ON_IT, "short of the bar");
                }
            }
        }
        let bore = card.counterbore.unwrap().depth.from_sound;
        prop_assert!((bore.exact_m - (embedded - soft) * 1e-3).abs() < 1e-12);
        prop_assert!(bore.mark_in * INCH >= bore.exact_m - ON_IT && bore.mark_in * INCH < bore.exact_m + INCH / 16.0);
        prop_assert!(card.left_behind.exact_m <= (shell - bar).max(0.0));
    }
}

mod may_miss {
    use super::*;

    /// An edge: what is missed, how far it holds, and the deviation of a distance.
    type Found = (&'static str, Edge<f64>, fn(f64) -> Deviation);

    /// Every edge of an anchor as a deviation that passes and one that does not.
    fn edges(miss: &MayMiss, anchor: &Anchor, bark: f64) -> Vec<Found> {
        let (arm, embedded) = (anchor.arm.value, anchor.embedded.value);
        vec![
            ("arm", miss.arm.map(|length| length.value - arm), |off| {
                Deviation {
                    arm: si::metres(off),
                    ..Deviation::default()
                }
            }),
            (
                "boss",
                miss.boss_in_wood.map(|length| embedded - length.value),
                |off| Deviation {
                    boss: si::metres(off),
                    ..Deviation::default()
                },
            ),
            ("bark", miss.bark.map(|length| length.value - bark), |off| {
                Deviation {
                    bark: si::metres(off),
                    ..Deviation::default()
                }
            }),
            ("up", miss.tilt_up.map(|angle| angle.value), |off| {
                Deviation {
                    tilt: si::radians(off),
                    ..Deviation::default()
                }
            }),
            ("down", miss.tilt_down.map(|angle| angle.value), |off| {
                Deviation {
                    tilt: si::radians(-off),
                    ..Deviation::default()
                }
            }),
        ]
    }

    fn verdict(platform: &Platform, index: usize, deviation: &Deviation) -> Option<Verdict> {
        let attachment = platform.check_as_set(index, deviation).ok()?;
        Some(attachment.verdict())
    }

    /// Halves of what may be missed pass as well: between drawing and edge nothing fails.
    const SHARES: [f64; 4] = [0.0, 0.3, 0.7, 1.0];

    fn holds_to_the_edge(platform: &Platform) -> usize {
        let mut seen = 0;
        for (index, miss) in platform.may_miss().unwrap().iter().enumerate() {
            let anchor = &platform.anchors()[index];
            let bark = platform.stem_of(anchor).bark.value;
            for (what, edge, of) in edges(miss, anchor, bark) {
                let Some(passes) = edge.holds() else {
                    assert_eq!(verdict(platform, index, &of(0.0)), Some(Verdict::Fail));
                    continue;
                };
                for share in SHARES {
                    let found = verdict(platform, index, &of(share * passes));
                    assert_eq!(found, Some(Verdict::Pass), "{} {what} {share}", miss.anchor);
                }
                if let Edge::Between { fails, .. } = edge {
                    assert_ne!(
                        verdict(platform, index, &of(fails)),
                        Some(Verdict::Pass),
                        "{} {what}",
                        miss.anchor
                    );
                    seen += 1;
                }
            }
        }
        seen
    }

    #[test]
    fn passes_at_the_edge_and_fails_beyond_it() {
        let mut seen = holds_to_the_edge(&example("one-anchor.toml").platform);
        for (size, species, live) in [
            ("51x102/25", "white oak", "350 lbf"),
            ("51x102/25", "western redcedar", "250 lbf"),
            ("80x120/40", "white oak", "900 lbf"),
            ("80x120/40", "Douglas-fir, coast", "800 lbf"),
            ("102x152/51", "western redcedar", "1600 lbf"),
        ] {
            seen += holds_to_the_edge(&resolved(&one(size, species, live, "", "")).platform);
        }
        assert!(seen >= 8, "{seen} edges were found");
    }

    /// A load straight on an anchor does not hang on stiffness: a layout with the other arm says the same by itself.
    #[test]
    fn the_longest_arm_is_that_of_a_layout_drawn_so() {
        let text = one("80x120/40", "Douglas-fir, coast", "800 lbf", "", "");
        let miss = resolved(&text).platform.may_miss().unwrap().remove(0);
        let Edge::Between { holds, fails } = miss.arm else {
            panic!("there is an edge");
        };
        for (arm, expected) in [(holds, Verdict::Pass), (fails, Verdict::Fail)] {
            let drawn = text.replace("arm = \"3 in\"", &format!("arm = \"{} m\"", arm.value));
            assert_eq!(
                resolved(&drawn).platform.check().unwrap().verdict(),
                expected
            );
        }
    }

    /// Thicker bark under the same girth, the load where it was: drawn so, the layout says the same.
    #[test]
    fn the_thickest_bark_is_that_of_a_layout_drawn_so() {
        let text = one("80x120/40", "Douglas-fir, coast", "1200 lbf", "", "");
        let miss = resolved(&text).platform.may_miss().unwrap().remove(0);
        let Edge::Between { holds, fails } = miss.bark else {
            panic!("there is an edge: {miss:?}");
        };
        for (bark, expected) in [(holds, Verdict::Pass), (fails, Verdict::Fail)] {
            let arm = us::inches(3.0) + bark - us::inches(1.0);
            let drawn = text
                .replace("bark = \"1 in\"", &format!("bark = \"{} m\"", bark.value))
                .replace("arm = \"3 in\"", &format!("arm = \"{} m\"", arm.value));
            assert_eq!(
                resolved(&drawn).platform.check().unwrap().verdict(),
                expected
            );
        }
    }

    /// By hand: a bar whose outer end hangs θ below level carries V·cos θ across and V·sin θ outward.
    #[test]
    fn a_tilted_bar_carries_part_of_its_load_along() {
        let text = one("80x120/40", "Douglas-fir, coast", "1500 lbf", "", "");
        let platform = resolved(&text).platform;
        let load = us::pounds_force(1600.0).value;
        for degrees in [-8.0_f64, 3.0, 8.0] {
            let deviation = Deviation {
                tilt: si::degrees(degrees),
                ..Deviation::default()
            };
            let attachment = platform.check_as_set(0, &deviation).unwrap();
            let most = attachment
                .reactions()
                .iter()
                .map(|r| r.down_n)
                .fold(0.0, f64::max);
            let turn = degrees.to_radians();
            assert!((most - load * turn.cos()).abs() < 1e-6 * load, "{degrees}");
            let out = attachment
                .reactions()
                .iter()
                .find(|r| r.down_n == most)
                .unwrap()
                .out_n;
            assert!(
                (out + load * turn.sin()).abs() < 1e-6 * load,
                "{degrees}: {out}"
            );
            let pulled = attachment.check(LimitState::Withdrawal).unwrap().verdict;
            assert_eq!(pulled == Verdict::NotNeeded, degrees > 0.0, "{degrees}");
        }
    }

    /// The same angle between bar and grain comes of a stem that leans toward a level bar: what hangs on bearing alone differs
    /// by the share of the load that acts across the bar.
    #[test]
    fn a_tilted_bar_bears_across_the_grain_in_part() {
        let text = one("80x120/40", "Douglas-fir, coast", "1500 lbf", "", "");
        let tilt = Deviation {
            tilt: si::degrees(8.0),
            ..Deviation::default()
        };
        let tilted = resolved(&text).platform.check_as_set(0, &tilt).unwrap();
        let tree = "lean = \"8 deg\"\nleans = \"E\"";
        let leaning = resolved(&one(
            "80x120/40",
            "Douglas-fir, coast",
            "1500 lbf",
            tree,
            "",
        ));
        let leaning = leaning.platform.check().unwrap().attachments()[0].clone();
        // The shank with its boss loose in the counterbore does not grow quite in step with its load.
        for state in [LimitState::BossBearing, LimitState::LimitLoad] {
            let used =
                |attachment: &Attachment| attachment.check(state).unwrap().utilization.unwrap();
            let share = used(&tilted) / used(&leaning);
            assert!(
                (share - 8.0_f64.to_radians().cos()).abs() < 1e-9,
                "{state:?} {share}"
            );
        }
    }

    /// The anchor re-checked by itself is the anchor checked with all the others.
    #[test]
    fn nothing_changes_without_a_deviation() {
        let platform = example("one-anchor.toml").platform;
        let drawn = platform.check().unwrap().attachments()[0].clone();
        assert_eq!(
            platform.check_as_set(0, &Deviation::default()).unwrap(),
            drawn
        );
        assert!(platform.check_as_set(7, &Deviation::default()).is_err());
    }

    #[test]
    fn both_ends_of_a_rod_may_be_missed() {
        let text = one("51x102/25", "white oak", "150 lbf", "", "rod = \"r\"");
        let other = text
            .split("[[anchor]]")
            .nth(1)
            .unwrap()
            .split("[[load]]")
            .next()
            .unwrap();
        let other = other.replace("\"A\"", "\"B\"").replace("\"E\"", "\"W\"");
        let load = "[[load]]\nid = \"m\"\non = \"B\"\nlive = \"150 lbf\"\n";
        let platform = resolved(&format!("{text}[[anchor]]{other}{load}")).platform;
        for miss in platform.may_miss().unwrap() {
            assert!(miss.bark.holds().is_some() && miss.tilt_down.holds().is_some());
        }
    }
}

mod torque {
    use super::*;

    /// By hand: T = (π/2)·d_m²·μ·p·L with μ = 0.3 and p = compression across the grain, T_y = π·d³·F_y/(16·√3).
    #[test]
    fn is_that_of_the_equations() {
        let card = card(&one("51x102/25", "white oak", "100 lbf", "", ""));
        let torque = card.torque.unwrap();
        let mean = f64::midpoint(25.4e-3, 19.812e-3);
        let across = 670.0 * us::psi(1.0).value;
        let by_hand = std::f64::consts::FRAC_PI_2 * mean * mean * 0.3 * across * 0.121;
        assert!((torque.middle_n_m / by_hand - 1.0).abs() < 1e-9);
        let bar = std::f64::consts::PI * 19.812e-3_f64.powi(3) * us::ksi(36.0).value
            / (16.0 * 3.0_f64.sqrt());
        assert!((torque.yield_n_m / bar - 1.0).abs() < 1e-9);
        assert!((torque.least_n_m / by_hand - 0.2 / 0.3 * 0.5).abs() < 1e-9);
        assert!((torque.most_n_m / by_hand - 0.5 / 0.3 * 2.0).abs() < 1e-9);
        assert!(torque.stop_n_m < torque.yield_n_m);
    }
}

mod cards {
    use super::*;

    #[test]
    fn an_anchor_that_fails_has_no_card_unless_asked_for() {
        let fails = example("fails.toml");
        let bad: Vec<String> = fails
            .platform
            .check()
            .unwrap()
            .attachments()
            .iter()
            .filter(|attachment| attachment.verdict() == Verdict::Fail)
            .map(|attachment| attachment.anchor().to_owned())
            .collect();
        assert!(!bad.is_empty());
        let without = cards(&fails, false);
        let withheld: Vec<_> = without
            .withheld
            .iter()
            .map(|anchor| anchor.anchor.clone())
            .collect();
        assert_eq!(withheld, bad);
        assert!(
            without
                .cards
                .iter()
                .all(|card| card.verdict != Verdict::Fail)
        );
        let with = cards(&fails, true);
        assert_eq!(with.cards.len(), fails.platform.anchors().len());
        assert!(with.withheld.is_empty());
        for pages in [drill_pages(&with, Show::Us), drill_pages(&with, Show::Si)] {
            let banners = pages.iter().filter(|page| {
                page.banner
                    .as_ref()
                    .unwrap()
                    .0
                    .contains("FAILS: do not drill")
            });
            assert_eq!(banners.count(), bad.len() + 1, "the platform's own too");
        }
    }

    /// Two anchors on one stem, one of them overloaded: the card of the other says that the platform fails.
    #[test]
    fn a_card_of_a_platform_that_fails_says_so() {
        let text = one("80x120/40", "white oak", "500 lbf", "", "");
        let other = text.split("[[anchor]]").nth(1).unwrap();
        let other = other
            .replace("\"A\"", "\"B\"")
            .replace("\"E\"", "\"W\"")
            .replace("id = \"l\"", "id = \"m\"")
            .replace("500 lbf", "9000 lbf");
        let document = cards(&resolved(&format!("{text}[[anchor]]{other}")), false);
        assert_eq!(document.verdict, Verdict::Fail);
        assert_eq!((document.cards.len(), document.withheld.len()), (1, 1));
        assert_eq!(document.cards[0].verdict, Verdict::Pass);
        let pages = drill_pages(&document, Show::Us);
        assert!(
            pages[1]
                .banner
                .as_ref()
                .unwrap()
                .0
                .contains("the platform FAILS")
        );
    }

    /// The bar of 190.5 mm and two shank diameters ask for 241.3 mm of sound wood.
    #[test]
    fn too_little_sound_wood_is_said() {
        for (shell, short, beyond) in [
            ("250 mm", false, false),
            ("240 mm", true, false),
            ("190 mm", true, true),
        ] {
            let tree = format!("shell = \"{shell}\"");
            let resolved = resolved(&one("51x102/25", "white oak", "100 lbf", &tree, ""));
            let text = pages_text(&drill_pages(&cards(&resolved, true), Show::Si), 80);
            assert_eq!(text.contains("LESS than needed"), short, "{shell}");
            assert_eq!(
                text.contains("LONGER than the sound wood"),
                beyond,
                "{shell}"
            );
        }
    }

    #[test]
    fn every_card_says_what_it_must_in_every_form() {
        let document = cards(&example("fails.toml"), true);
        let pages = drill_pages(&document, Show::Us);
        assert_eq!(pages.len(), document.cards.len() + 1);
        let unbroken = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
        for page in &pages[1..] {
            let one = std::slice::from_ref(page);
            for text in [
                pages_text(one, 80),
                pages_markdown(one),
                pages_html("t", one),
            ] {
                let text = unbroken(text);
                let first = text.find(FIRST).expect("the arborist");
                let pilot = text.find("PILOT").expect("the pilot");
                assert!(first < pilot);
                for rule in STOP_RULES.iter().chain(&CARD_CAUTIONS) {
                    assert!(text.contains(rule), "{rule}");
                }
            }
        }
        for text in [pages_text(&pages[..1], 200), pages_html("t", &pages[..1])] {
            let text = unbroken(text);
            for caution in &document.cautions {
                assert!(text.contains(caution.as_str()), "{caution}");
            }
        }
    }

    #[test]
    fn the_distance_round_the_bark_is_counted_from_the_string() {
        // Stems 12 ft apart, north and south: the sides of both are a quarter of the girth from the line between them.
        let document = cards(&example("two-stems.toml"), true);
        let quarter = |inches: f64| inches * INCH * std::f64::consts::FRAC_PI_4;
        for (anchor, tree, round, clockwise) in [
            ("SW", "north", quarter(30.0), false),
            ("SE", "north", quarter(30.0), true),
            ("NW", "south", quarter(30.0), true),
            ("NE", "south", quarter(30.0), false),
        ] {
            let card = document
                .cards
                .iter()
                .find(|card| card.anchor == anchor)
                .unwrap();
            assert_eq!(card.around.string_to.as_deref(), Some(tree));
            assert!((card.around.distance.exact_m - round).abs() < GEOMETRY);
            assert_eq!(card.around.clockwise, clockwise, "{anchor}");
        }
        let slider = document
            .cards
            .iter()
            .find(|card| card.anchor == "NW")
            .unwrap();
        assert_eq!(slider.seats[0].each_way.unwrap().mark_in, 3.5);
    }

    #[test]
    fn a_card_says_where_its_anchor_is_and_where_it_points() {
        let text = one("51x102/25", "white oak", "100 lbf", "", "");
        for (faces, degrees) in [("E", 90.0), ("W", 270.0), ("10 deg", 10.0)] {
            let text = text.replace("faces = \"E\"", &format!("faces = \"{faces}\""));
            let own = card(&text);
            assert!((own.faces_deg - degrees).abs() < 1e-9, "{faces}");
            assert_eq!(own.level.unwrap().mark_in, 96.0);
            let pages = drill_pages(&cards(&resolved(&text), true), Show::Us);
            let page = pages_text(&pages[1..], 100);
            let row = |what: &str| page.lines().find(|line| line.contains(what)).unwrap();
            // North is the string: who faces the stem has the east to the left of it, the west to the right.
            let hand = if faces == "W" { "RIGHT" } else { "LEFT" };
            assert!(
                row("Round the bark").contains(&format!("to your {hand}")),
                "{page}"
            );
            assert!(row("Height over zero").contains(" 8 ft "), "{page}");
            assert!(
                row("Points toward").contains(&format!(" {degrees:.0}° ")),
                "{page}"
            );
        }
        assert_eq!(card(&text.replace("level = \"8 ft\"\n", "")).level, None);
    }

    #[test]
    fn the_load_line_is_measured_from_bark_wood_and_boss() {
        // 3 in from the wood: 2 in from the bark of 1 in; half of the boss of 4 in stands out, the load 1 in beyond it.
        let card = card(&one("51x102/25", "white oak", "100 lbf", "", ""));
        let marks = [card.arm, card.arm_from_bark, card.arm_from_boss];
        assert_eq!(marks.map(|mark| mark.mark_in), [3.0, 2.0, 1.0]);
    }

    #[test]
    fn what_may_be_missed_is_never_rounded_up() {
        let document = cards(&example("one-anchor.toml"), false);
        let page = pages_text(&drill_pages(&document, Show::Si)[1..], 100);
        let miss = &document.cards[0].may_miss;
        for (what, room) in [
            ("Arm longer by", miss.arm),
            ("Boss less in wood by", miss.boss_in_wood),
            ("Bark thicker by", miss.bark),
        ] {
            let line = page.lines().find(|line| line.contains(what)).unwrap();
            let (number, _) = line.split_once(" mm").unwrap();
            let number: f64 = number.rsplit(' ').next().unwrap().parse().unwrap();
            let way = (room.passes_m.unwrap() - room.drawn_m).abs() * 1e3;
            assert!(number <= way + 1e-6 && number > way - 1.0, "{line}: {way}");
        }
        let tilt = [miss.tilt_up, miss.tilt_down].map(|turn| turn.passes_deg.unwrap());
        for (what, passes) in ["Outer end up by", "Outer end down by"].iter().zip(tilt) {
            let line = page.lines().find(|line| line.contains(what)).unwrap();
            let (number, _) = line.split_once('°').unwrap();
            let number: f64 = number.rsplit(' ').next().unwrap().parse().unwrap();
            assert!(
                number <= passes + 1e-6 && number > passes - 0.1,
                "{line}: {passes}"
            );
        }
    }

    #[test]
    fn rows_hold_the_numbers_of_the_cards() {
        let text = one(
            "51x102/25",
            "white oak",
            "100 lbf",
            "soft = \"0.25 in\"",
            "",
        );
        let document = cards(&resolved(&text), true);
        let card = &document.cards[0];
        let sheet = drill_sheet(&document);
        let mut bytes = Vec::new();
        sheet_csv(&sheet, Show::Us, &mut bytes).unwrap();
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let heads = reader.headers().unwrap().clone();
        let row = reader.records().next().unwrap().unwrap();
        let inches = |head: &str| -> f64 {
            let at = heads.iter().position(|own| own == head).unwrap();
            row[at].parse::<f64>().unwrap() * INCH
        };
        let (pilot, bore) = (&card.pilots[0], card.counterbore.as_ref().unwrap());
        for (head, mark) in [
            ("level_in", card.level.unwrap()),
            ("round_bark_in", card.around.distance),
            ("bark_in", card.bark),
            ("pilot_sound_in", pilot.depth.from_sound),
            ("pilot_bark_in", pilot.depth.from_bark),
            ("counterbore_sound_in", bore.depth.from_sound),
            ("counterbore_bark_in", bore.depth.from_bark),
            ("left_behind_in", card.left_behind),
            ("arm_in", card.arm),
        ] {
            // Nine figures are written.
            assert!((inches(head) - mark.exact_m).abs() < 1e-8, "{head}");
        }
    }

    #[test]
    fn torques_are_in_both_systems() {
        let document = cards(&example("one-anchor.toml"), false);
        let page = pages_text(&drill_pages(&document, Show::Us)[1..], 100);
        let line = page.lines().find(|line| line.contains("Stop at")).unwrap();
        let stop = document.cards[0].torque.unwrap().stop_n_m;
        // A pound-foot is 1.3558 N·m.
        let both = [
            format!(" {:.0} lbf·ft", stop / 1.355_818),
            format!("({stop:.0} N·m)"),
        ];
        assert!(both.iter().all(|own| line.contains(own.as_str())), "{line}");
    }

    #[test]
    fn the_string_goes_to_the_nearest_stem_but_first_to_one_of_the_same_beam() {
        let tree = |id: &str, at: &str| {
            format!(
                "[[tree]]\nid = \"{id}\"\nspecies = \"white oak\"\nat = {at}\ndiameter = \"20 in\"\nbark = \"1 in\"\n"
            )
        };
        let others = tree("far", "[\"0 ft\", \"30 ft\"]") + &tree("near", "[\"0 ft\", \"-9 ft\"]");
        let alone = one("51x102/25", "white oak", "100 lbf", "", "");
        let around = card(&(others.clone() + &alone)).around;
        assert_eq!(around.string_to.as_deref(), Some("near"));
        assert!((around.string_deg - 180.0).abs() < 1e-9);
        // To the anchor in the east from a string to the south: clockwise is by the west, so it is the other way.
        assert!(
            !around.clockwise
                && (around.distance.mark_in - 15.0 * std::f64::consts::FRAC_PI_2).abs() < 0.04
        );
        // The stem at the other end of the beam is 12 ft away, another stands nearer.
        let text = example_text("two-stems.toml") + &tree("near", "[\"0 ft\", \"-9 ft\"]");
        for card in cards(&resolved(&text), true).cards {
            let other = if card.tree == "south" {
                "north"
            } else {
                "south"
            };
            assert_eq!(
                card.around.string_to.as_deref(),
                Some(other),
                "{}",
                card.anchor
            );
        }
    }

    #[test]
    fn a_card_stays_within_eighty_columns() {
        for name in ["one-anchor.toml", "four-stems.toml", "fails.toml"] {
            let example = example(name);
            let pages = [
                drill_pages(&cards(&example, true), Show::Us),
                cut_pages(&sheet(&example), Show::Si),
            ]
            .concat();
            for width in [60, 80] {
                for line in pages_text(&pages, width).lines() {
                    assert!(
                        line.chars().count() <= width && line.trim_end() == line,
                        "{line}"
                    );
                }
            }
        }
    }

    #[test]
    fn html_needs_nothing_else_and_escapes() {
        let text = one("51x102/25", "white oak", "100 lbf", "", "").replacen(
            "[[tree]]",
            "title = \"<b>&\"\n[[tree]]",
            1,
        );
        let html = pages_html(
            "<b>",
            &drill_pages(&cards(&resolved(&text), false), Show::Us),
        );
        assert!(!html.contains("<b>") && html.contains("&lt;b&gt;&amp;"));
        for outside in [
            "http:", "https:", "src=", "href=", "<script", "@import", "url(",
        ] {
            assert!(!html.contains(outside), "{outside}");
        }
        assert!(html.contains("@media print") && html.contains("break-after: page"));
        assert_eq!(
            html.matches("<article ").count(),
            html.matches("</article>").count()
        );
        // Grey alone: red, green and blue are the same.
        let (style, _) = html.split_once("</style>").unwrap();
        let colours = style.split('#').skip(1).map(|rest| {
            let digits = |c: &char| c.is_ascii_hexdigit();
            rest.chars().take_while(digits).collect::<String>()
        });
        let colours: Vec<String> = colours.collect();
        assert!(colours.len() > 5);
        for colour in colours {
            let part = colour.len() / 3;
            let [red, green, blue] = [0, 1, 2].map(|k| &colour[k * part..(k + 1) * part]);
            assert!(red == green && green == blue, "#{colour}");
        }
    }

    #[test]
    fn json_has_its_shape() {
        let document = cards(&example("one-anchor.toml"), false);
        let value: serde_json::Value =
            serde_json::from_str(&drill_json(&document).unwrap()).unwrap();
        assert_eq!(value["schema"], "barkline/drill/1");
        let card = &value["cards"][0];
        for key in [
            "anchor",
            "verdict",
            "first",
            "level",
            "level_tolerance",
            "faces_deg",
            "axis_tolerance_deg",
            "around",
            "pilots",
            "counterbore",
            "guide",
            "sound_needed",
            "left_behind",
            "torque",
            "seats",
            "may_miss",
            "stop_rules",
            "cautions",
            "as_built",
        ] {
            assert!(!card[key].is_null(), "{key}");
        }
        for key in ["exact_m", "mark_in", "mark_mm"] {
            assert!(
                card["pilots"][0]["depth"]["from_bark"][key].is_f64(),
                "{key}"
            );
        }
        let keys: Vec<&str> = card["as_built"]
            .as_array()
            .unwrap()
            .iter()
            .map(|key| key.as_str().unwrap())
            .collect();
        for key in [
            "depth",
            "boss_in_wood",
            "bark",
            "arm",
            "tilt",
            "level",
            "note",
        ] {
            assert!(keys.contains(&key), "{key}");
        }
        assert_eq!(value["tools"].as_array().unwrap().len(), 3);
        let sheet = drill_sheet(&document);
        assert!(
            sheet
                .rows
                .iter()
                .all(|row| row.len() == sheet.columns.len())
        );
    }
}

mod shop {
    use super::*;

    /// Two stems 3 m apart. East of each a spoke of 2.2 m on an anchor and a brace, a deck on both spokes; west of both a beam
    /// over two anchors, one of them 20 mm lower.
    fn braced() -> Resolved {
        resolved(&braced_text())
    }

    fn braced_text() -> String {
        let timber = "width = \"90 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\nheld_down = true\nseat_rise = \"50 mm\"\n";
        // No side load of people: it would push along the spokes as well.
        let mut text = "[criteria]\npeople_side = \"0 psf\"\n".to_owned();
        for (name, north, west) in [("a", 0, "3 m"), ("b", 3, "2.98 m")] {
            text += &format!(
                "[[tree]]\nid = \"{name}\"\nspecies = \"white oak\"\nat = [\"0 m\", \"{north} m\"]\n\
                 diameter = \"640 mm\"\nbark = \"20 mm\"\n"
            );
            for (place, faces, level) in [
                ("up", "E", "3 m"),
                ("low", "E", "1.6 m"),
                ("west", "W", west),
            ] {
                text += &format!(
                    "[[anchor]]\nid = \"{name}-{place}\"\ntree = \"{name}\"\nfaces = \"{faces}\"\nlevel = \"{level}\"\n\
                     size = \"102x152/51\"\narm = \"100 mm\"\n"
                );
            }
            text += &format!(
                "[[beam]]\nid = \"{name}-spoke\"\non = [\"{name}-up\"]\nruns = \"out\"\noverhang = [\"0 m\", \"2.2 m\"]\n{timber}\
                 [[brace]]\nid = \"{name}-brace\"\nfrom = \"{name}-low\"\nto = \"{name}-spoke at 1.4 m\"\n\
                 width = \"90 mm\"\ndepth = \"90 mm\"\nmodulus = \"11 GPa\"\n"
            );
        }
        text += &format!(
            "[[beam]]\nid = \"main\"\non = [\"a-west\", \"b-west\"]\nline = [[\"-0.4 m\", \"-0.5 m\"], [\"-0.4 m\", \"3.5 m\"]]\n{timber}"
        );
        text += "[[deck]]\nid = \"d\"\non = [\"a-spoke\", \"b-spoke\"]\n\
                 outline = [[\"0.6 m\", \"0 m\"], [\"2.6 m\", \"0 m\"], [\"2.6 m\", \"3 m\"], [\"0.6 m\", \"3 m\"]]\n\
                 joists = { run = \"N-S\", spacing = \"400 mm\", width = \"45 mm\", depth = \"145 mm\", modulus = \"10 GPa\" }\n\
                 dead = \"0 kPa\"\nlive = \"2 kPa\"\n";
        text
    }

    fn beam<'a>(document: &'a CutDocument, id: &str) -> &'a BeamPart {
        document.beams.iter().find(|beam| beam.beam == id).unwrap()
    }

    #[test]
    fn marks_packing_and_weights_by_hand() {
        let document = sheet(&braced());
        let main = beam(&document, "main");
        let at: Vec<f64> = main.marks.iter().map(|mark| mark.at.exact_m).collect();
        assert!((at[0] - 0.5).abs() < GEOMETRY && (at[1] - 3.5).abs() < GEOMETRY);
        // Level on the higher anchor; the other is 20 mm lower.
        assert_eq!(main.marks[0].packing, None);
        assert!((main.marks[1].packing.unwrap().exact_m - 0.02).abs() < GEOMETRY);
        assert!((main.underside.unwrap().exact_m - 3.05).abs() < GEOMETRY);
        assert!(main.marks.iter().all(|mark| mark.levels_known));
        // 90 × 240 mm at 7.5 kN/m³.
        let weight = 7.5e3 * 0.09 * 0.24;
        assert!((main.weight_n / (4.0 * weight) - 1.0).abs() < GEOMETRY);
        let spoke = beam(&document, "a-spoke");
        assert!((spoke.weight_n / (2.2 * weight) - 1.0).abs() < GEOMETRY);
        assert!(document.lifts.is_sorted_by(|a, b| a.weight_n >= b.weight_n));
        assert_eq!(document.lifts.len(), 3 + 2 + 1);
    }

    #[test]
    fn a_brace_by_hand() {
        let document = sheet(&braced());
        let brace = &document.braces[0];
        // From the load point of the lower anchor 1.4 m out, and up 3 + 0.05 + 0.12 − 1.6 m.
        let (run, rise) = (1.4_f64, 1.57_f64);
        let slope = rise.atan2(run);
        assert!((brace.axis_length.exact_m - run.hypot(rise)).abs() < GEOMETRY);
        let faces = run.hypot(rise) - 0.12 / slope.sin() - 0.0508;
        assert!((brace.face_length.exact_m - faces).abs() < GEOMETRY);
        let cut = brace.cut_length;
        assert!(
            cut.mark_in * INCH >= faces + INCH - ON_IT
                && cut.mark_in * INCH < faces + INCH + INCH / 16.0
        );
        assert!((brace.from_level_deg - slope.to_degrees()).abs() < GEOMETRY);
        assert!((brace.from_plumb_deg - (90.0 - slope.to_degrees())).abs() < GEOMETRY);
        // A level face meets the stick at its slope from level: from square that is the rest of a right angle.
        assert!((brace.saw_at_beam_deg - (90.0 - slope.to_degrees())).abs() < GEOMETRY);
        assert!((brace.saw_at_anchor_deg - slope.to_degrees()).abs() < GEOMETRY);
        assert!(brace.skew_deg < 1e-6);
        let mark = beam(&document, "a-spoke").marks.last().unwrap();
        assert!((mark.at.exact_m - 1.4).abs() < GEOMETRY && mark.part == "a-brace");
    }

    /// A third brace that leaves the plane of its beam: from the load point of the other stem, 3 m north.
    #[test]
    fn a_brace_out_of_the_plane_of_its_beam_is_cut_askew() {
        let text = braced_text()
            + "[[brace]]\nid = \"skew\"\nfrom = \"b-low\"\nto = \"a-spoke at 1.4 m\"\n\
               width = \"90 mm\"\ndepth = \"90 mm\"\nmodulus = \"11 GPa\"\n";
        let document = sheet(&resolved(&text));
        let askew = document.braces.iter().find(|brace| brace.brace == "skew");
        // In plan it runs 1.4 m east and 3 m south, the beam runs east.
        let by_hand = 3.0_f64.atan2(1.4).to_degrees();
        assert!((askew.unwrap().skew_deg - by_hand).abs() < GEOMETRY);
        let page = pages_text(&cut_pages(&document, Show::Si), 100);
        assert!(page.contains(&format!("{by_hand:.1}°")), "{page}");
    }

    #[test]
    fn a_hung_beam_has_its_hanger_from_the_axis_of_the_bar_down() {
        // The west anchor of stem b goes up to 4 m and holds the beam by a rod; its underside stays 50 mm over the other. A
        // cross-piece to a spoke keeps it from swinging.
        let text = braced_text()
            .replace("level = \"2.98 m\"", "level = \"4 m\"")
            .replace(
                "on = [\"a-west\", \"b-west\"]",
                "on = [\"a-west\", \"b-west\"]\nseats = [\"fixed\", \"hung\"]",
            )
            + "[[beam]]\nid = \"tie\"\non = [\"main\", \"b-spoke\"]\nline = [[\"-0.6 m\", \"2.4 m\"], [\"1 m\", \"3.2 m\"]]\n\
               width = \"90 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\nheld_down = true\n";
        let document = sheet(&resolved(&text));
        let main = beam(&document, "main");
        assert!((main.underside.unwrap().exact_m - 3.05).abs() < GEOMETRY);
        let hangers = main.marks.iter().filter_map(|mark| mark.hanger);
        let hangers: Vec<f64> = hangers.map(|hanger| hanger.exact_m).collect();
        assert!(
            hangers.len() == 1 && (hangers[0] - 0.95).abs() < GEOMETRY,
            "{hangers:?}"
        );
    }

    #[test]
    fn loads_on_anchors_keep_the_signs_of_the_check() {
        let resolved = example("two-stems.toml");
        let results = resolved.platform.check().unwrap();
        let document = sheet(&resolved);
        let mut against = 0;
        for (own, attachment) in document.anchors.iter().zip(results.attachments()) {
            let load = attachment.load();
            assert_eq!(own.anchor, attachment.anchor());
            assert_eq!(own.combination, load.combination);
            assert_eq!(
                [own.down_n, own.side_n, own.out_n],
                [load.down_n, load.side_n, load.out_n]
            );
            against += usize::from(load.side_n < 0.0);
        }
        assert!(against > 0, "a sign that is never seen");
    }

    /// Joists run east; a beam that runs north is marked where they cross it, from its own first end.
    #[test]
    fn joists_land_where_they_lie_in_plan() {
        let document = sheet(&example("two-stems.toml"));
        let deck = &document.decks[0];
        for beam in &document.beams {
            assert!(beam.runs_deg.abs() < GEOMETRY, "it runs north");
            let lie = deck.joists.iter().map(|joist| joist.ends_m[0][1]);
            let mut by_hand: Vec<f64> = lie.map(|north| north - beam.first_end_m[1]).collect();
            by_hand.sort_by(f64::total_cmp);
            assert_eq!(by_hand.len(), beam.joists.len());
            for (mark, at) in beam.joists.iter().zip(by_hand) {
                assert!((mark.exact_m - at).abs() < GEOMETRY, "{}", beam.beam);
            }
        }
    }

    #[test]
    fn no_stick_is_cut_short() {
        // 3.0137 m between the edges: no whole sixteenth, no whole millimetre.
        let text = braced_text()
            .replace(
                "[\"2.6 m\", \"0 m\"], [\"2.6 m\", \"3 m\"]",
                "[\"2.6 m\", \"0 m\"], [\"2.6 m\", \"3.0137 m\"]",
            )
            .replace("[\"0.6 m\", \"3 m\"]", "[\"0.6 m\", \"3.0137 m\"]");
        let document = sheet(&resolved(&text));
        for joist in &document.decks[0].joists {
            let length = joist.length;
            assert!((length.exact_m - 3.0137).abs() < GEOMETRY);
            assert_eq!(length.mark_mm, 3014.0);
            assert!(
                length.mark_in * INCH >= length.exact_m
                    && length.mark_in * INCH < length.exact_m + INCH / 16.0
            );
        }
    }

    /// Own weight of the sticks is small beside the live load: what is rounded of it in the sum by hand (1).
    const BY_HAND: f64 = 1e-6;

    /// By moments about the seat: 6 kN of live load and the joists 1.2 m out, the spoke 1.1 m, half a brace 1.4 m.
    #[test]
    fn the_push_of_a_brace_is_on_the_sheet() {
        let resolved = braced();
        let document = sheet(&resolved);
        let brace = document
            .joints
            .iter()
            .find(|joint| joint.joint == "brace a-brace")
            .unwrap();
        let results = resolved.platform.check().unwrap();
        let joists = results.decks()[0].total[0] / 2.0;
        let spoke = beam(&document, "a-spoke").weight_n;
        let own = document.braces[0].weight_n / 2.0;
        let up = |live: f64| ((live + joists) * 1.2 + spoke * 1.1 + own * 1.4) / 1.4;
        let along = 1.4_f64.hypot(1.57) / 1.57;
        assert!(
            (brace.most_n / (up(6e3) * along) - 1.0).abs() < BY_HAND,
            "{} {}",
            brace.most_n,
            up(6e3) * along
        );
        let least = 0.6 * up(0.0) * along;
        assert!(
            (brace.least_n / least - 1.0).abs() < BY_HAND,
            "{} {least}",
            brace.least_n
        );
        assert!(brace.most_under.contains('L'));
    }

    #[test]
    fn joists_and_headers_of_a_deck_with_a_hole() {
        let document = sheet(&example("four-stems.toml"));
        let deck = &document.decks[0];
        // The hole round the stem: 280/2 + 120 mm each way of (2.0 m, 2.4 m). Of the joists at 2.9, 2.5 and 2.1 m north it meets the second.
        let whole = deck
            .joists
            .iter()
            .filter(|joist| joist.cut == [false, false])
            .count();
        assert_eq!((deck.joists.len(), whole), (7, 5));
        assert_eq!(deck.headers.len(), 2);
        // Between the faces of the joists next to the cut one: two spaces less a joist.
        for header in &deck.headers {
            assert!((header.length.exact_m - (0.8 - 0.045)).abs() < GEOMETRY);
        }
        let count: usize = deck.list.iter().map(|stick| stick.count).sum();
        assert_eq!(count, 9);
        // The cut joist runs from 0.7 m to the hole's edge at 1.74 m, and from 2.26 m to 3.4 m.
        let short = deck
            .joists
            .iter()
            .filter(|joist| joist.cut != [false, false]);
        let mut lengths: Vec<f64> = short.map(|joist| joist.length.exact_m).collect();
        lengths.sort_by(f64::total_cmp);
        for (length, expected) in lengths.iter().zip([1.04, 1.14]) {
            assert!((length - expected).abs() < 1e-6, "{length}");
        }
        // Every crossing of a joist is a mark on its beam.
        let crossings: usize = deck.joists.iter().map(|joist| joist.seats.len()).sum();
        let marks: usize = document.beams.iter().map(|beam| beam.joists.len()).sum();
        assert_eq!(crossings, marks);
    }

    #[test]
    fn crossings_are_marked_on_both_beams() {
        let document = sheet(&example("four-stems.toml"));
        let lower = document
            .beams
            .iter()
            .find(|beam| beam.beam == "lower-south")
            .unwrap();
        let upper = document
            .beams
            .iter()
            .find(|beam| beam.beam == "upper-west")
            .unwrap();
        assert!(lower.marks.iter().any(|mark| mark.part == "upper-west"));
        assert!(upper.marks.iter().any(|mark| mark.part == "lower-south"));
        // Seats at the same height over bosses at the same level: 3.04 m under the lower beam, its 290 mm, and no packing.
        let crossing = lower.marks.iter().find(|mark| mark.part == "upper-west");
        assert!(crossing.unwrap().levels_known);
        assert!(
            upper
                .marks
                .iter()
                .all(|mark| mark.levels_known && mark.packing.is_none())
        );
        assert!(lower.marks.iter().all(|mark| mark.packing.is_none()));
    }

    #[test]
    fn where_levels_are_left_out_no_packing_is_made_up() {
        let mut layout = example_text("four-stems.toml");
        layout = layout
            .lines()
            .filter(|line| !line.starts_with("level"))
            .fold(String::new(), |text, line| text + line + "\n");
        let document = sheet(&resolved(&layout));
        let marks = document.beams.iter().flat_map(|beam| &beam.marks);
        assert!(marks.clone().all(|mark| mark.packing.is_none()));
        assert!(marks.clone().any(|mark| !mark.levels_known));
        let text = pages_text(&cut_pages(&document, Show::Si), 100);
        assert!(text.contains("packing not known: no levels"));
    }

    #[test]
    fn json_and_rows_have_their_shape() {
        let document = sheet(&braced());
        let value: serde_json::Value = serde_json::from_str(&cut_json(&document).unwrap()).unwrap();
        assert_eq!(value["schema"], "barkline/cut/1");
        for key in ["beams", "braces", "joints", "anchors", "lifts"] {
            assert!(!value[key].as_array().unwrap().is_empty(), "{key}");
        }
        let sheet = cut_sheet(&document);
        assert!(
            sheet
                .rows
                .iter()
                .all(|row| row.len() == sheet.columns.len())
        );
        let html = pages_html("t", &cut_pages(&document, Show::Us));
        assert!(html.contains("Brace a-brace: anchor a-low to beam a-spoke"));
    }
}
