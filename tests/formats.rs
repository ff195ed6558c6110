//! Three formats of safety: combinations, factors and load duration always come from one of them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::Layout;
use barkline::checks::Attachment;
use barkline::input::Diagnostics;
use barkline::model::{Case, Criteria, DurationRule, LimitState, SafetyFormat, Standing};
use barkline::tables::{self, Format};
use common::{Plan, REFERENCE, anchor, one, only, stem, used, wood};
use std::collections::BTreeSet;

/// The sets that a layout can name, with their format.
const SETS: [(&str, SafetyFormat); 5] = [
    ("asce7-22-asd", SafetyFormat::Asd),
    ("asce7-16-asd", SafetyFormat::Asd),
    ("asce7-22-lrfd", SafetyFormat::Lrfd),
    ("asce7-16-lrfd", SafetyFormat::Lrfd),
    ("en1990", SafetyFormat::Partial),
];

/// Results of the same arithmetic in another order.
const ROUNDING: f64 = 1e-12;
/// Derived factors are written with three figures or more in the table.
const WRITTEN: f64 = 5e-4;

/// Keys that are no safety factors: constants of the model, limits of size, amounts of load. They are the same in every format.
const SAME_EVERYWHERE: &[&str] = &[
    "steel_fatigue",
    "dowel_bearing_wet",
    "embedment_along",
    "exclusion",
    "modulus_true",
    "foundation_along",
    "foundation_across",
    "foundation_low",
    "foundation_high",
    "foundation_creep",
    "boss_clearance",
    "softened_depth",
    "deflection_share",
    "deflection_floor",
    "hole_size",
    "penetration",
    "tips_clear",
    "spacing_length",
    "spacing_boss",
    "spacing_stem",
    "notional_side",
    "people_side",
    "swing_jerk",
    "lose_one_sudden",
    "lose_one_gradual",
    "lose_one_live",
    "seat_level",
    "seat_friction",
    "sway_wind",
    "sway_gust",
    "slider_reserve",
    "section_loss",
    "site_index",
    "duration_cap",
];

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance * expected.abs(),
        "{found} is not {expected}"
    );
}

fn plain(set: &str) -> Criteria {
    let mut criteria = Criteria::standard(set).unwrap();
    assert!(criteria.change("notional_side", 0.0));
    // With clearance round the boss no use grows quite in step with its load.
    assert!(criteria.change("boss_clearance", 0.0));
    criteria
}

/// The reference bar in white oak under dead and live load (N).
fn under(set: &str, dead: f64, live: f64) -> Attachment {
    let loads = [(Case::Dead, dead), (Case::Live, live)];
    only(&one(
        anchor(&REFERENCE),
        stem(wood("white oak")),
        &loads,
        plain(set),
    ))
}

#[test]
fn no_set_mixes_formats() {
    let mut sets: Vec<&str> = tables::combination_sets();
    sets.extend(SETS.map(|(set, _)| set));
    for set in sets {
        let criteria = Criteria::standard(set).unwrap();
        let rows = tables::combinations(set).unwrap();
        assert!(
            rows.iter().all(|row| row.format == criteria.format),
            "{set}"
        );
        let levels: BTreeSet<String> = rows
            .iter()
            .map(|row| format!("{:?}", row.snow_level))
            .collect();
        assert_eq!(levels.len(), 1, "{set}");
        for row in tables::safety_factors() {
            let own: Vec<_> = tables::resistance_factors()
                .iter()
                .filter(|other| other.key == row.id)
                .collect();
            let known = &criteria.factors[&row.id];
            match own.iter().find(|other| other.format == criteria.format) {
                Some(other) => {
                    assert_eq!(known.value, other.value, "{set} {}", row.id);
                    assert_eq!(known.origin.source, other.reference().citation());
                }
                None => {
                    assert!(
                        own.is_empty() || criteria.format == Format::Asd,
                        "{set} keeps the allowable {}",
                        row.id
                    );
                    assert_eq!(known.origin.source, row.reference().citation());
                }
            }
        }
    }
    for (set, format) in SETS {
        assert_eq!(Criteria::standard(set).unwrap().format, format);
    }
}

#[test]
fn every_safety_factor_has_its_counterpart_in_both_other_formats() {
    let keys = |format: Format| -> BTreeSet<&str> {
        tables::resistance_factors()
            .iter()
            .filter(|row| row.format == format)
            .map(|row| row.key.as_str())
            .collect()
    };
    assert_eq!(keys(Format::Lrfd), keys(Format::Partial));
    assert!(keys(Format::Asd).is_empty());
    // Limits and creep of members are those of the code in every format.
    let same = |key: &str| SAME_EVERYWHERE.contains(&key) || key.starts_with("member_");
    for row in tables::safety_factors() {
        let replaced = keys(Format::Lrfd).contains(row.id.as_str());
        assert!(
            replaced != same(&row.id),
            "{} needs a row in resistance_factors.csv, or a place among those that are the same in every format",
            row.id
        );
    }
    for key in keys(Format::Lrfd) {
        assert!(tables::safety_factor(key).is_ok(), "{key}");
    }
}

#[test]
fn counterparts_follow_from_their_parts() {
    let asd = Criteria::standard("asce7-22-asd").unwrap();
    let lrfd = Criteria::standard("asce7-22-lrfd").unwrap();
    let en = Criteria::standard("en1990").unwrap();
    let time = |system: &str, class: &str| tables::load_duration(system, class).unwrap().factor;
    let (lambda, k_mod, k_permanent) = (
        time("nds-lrfd", "occupancy"),
        time("ec5-wet", "medium"),
        time("ec5-wet", "permanent"),
    );
    // NDS: K_F · φ of compression along and across the grain, and of connections.
    let (along, across, joint) = (2.40 * 0.90, 1.67 * 0.90, 3.32 * 0.65);
    for key in ["boss_bearing", "shank_bearing"] {
        near(
            lrfd.factor(key),
            asd.factor(key) / (along * lambda),
            ROUNDING,
        );
        near(en.factor(key), 1.3 / k_mod, ROUNDING);
    }
    let spread = 1.0 - asd.factor("exclusion") * 0.28;
    for key in ["boss_bearing_across", "shank_bearing_across", "push"] {
        near(lrfd.factor(key), asd.factor(key) / across, ROUNDING);
        near(en.factor(key), 1.3 / (k_permanent * spread), WRITTEN);
    }
    near(lrfd.factor("limit_load"), 3.0 / (joint * lambda), ROUNDING);
    near(en.factor("limit_load"), 1.3 / k_mod, ROUNDING);
    let lasting = time("nds-lrfd", "permanent");
    near(
        lrfd.factor("withdrawal_wet"),
        0.7 * joint * lasting,
        ROUNDING,
    );
    for key in [
        "steel_bending_bark_line",
        "steel_bending_embedded",
        "steel_shear",
        "steel_interaction",
    ] {
        // AISC: φ = 1.5/Ω, rounded to two figures.
        near(lrfd.factor(key), asd.factor(key) / 1.5, 3e-3);
    }
    near(lrfd.factor("lumber_stress"), along * lambda, ROUNDING);
    for k_f_phi in [2.54 * 0.85, 2.70 * 0.80, 2.88 * 0.75] {
        near(k_f_phi, along, 5e-4);
    }
    near(lrfd.factor("lumber_across"), across, ROUNDING);
    near(lrfd.factor("lumber_stability"), 1.76 * 0.85, ROUNDING);
    near(
        en.factor("lumber_across"),
        1.67 * spread * k_permanent / 1.3,
        2e-3,
    );
    // Limits at service level: the average factor of loads at L/D = 3.
    let (of_lrfd, of_en) = ((1.2 + 3.0 * 1.6) / 4.0, (1.35 + 3.0 * 1.5) / 4.0);
    near(lrfd.factor("first_crushing"), 1.0 / of_lrfd, ROUNDING);
    near(en.factor("first_crushing"), 1.0 / of_en, ROUNDING);
    near(
        lrfd.factor("splitting"),
        asd.factor("splitting") / of_lrfd,
        ROUNDING,
    );
    near(
        en.factor("withdrawal_wet"),
        0.7 * time("nds", "permanent") * 1.35,
        ROUNDING,
    );
}

#[test]
fn duration_is_counted_once_and_from_the_live_load() {
    for (set, dead, wind, seismic) in [
        ("asce7-22-asd", 0.9, 1.6, 1.6),
        ("asce7-22-lrfd", 0.6 / 0.8, 1.0, 1.0 / 0.8),
        ("en1990", 0.5 / 0.65, 0.7 / 0.65, 0.9 / 0.65),
    ] {
        let mut criteria = Criteria::standard(set).unwrap();
        let of = |criteria: &Criteria, cases: &[Case]| criteria.duration(cases.iter().copied());
        assert_eq!(of(&criteria, &[Case::Dead, Case::Live]), 1.0, "{set}");
        near(of(&criteria, &[Case::Dead]), dead, ROUNDING);
        assert_eq!(of(&criteria, &[Case::Dead, Case::Wind]), 1.0, "{set}");
        criteria.duration = DurationRule::Nds;
        near(of(&criteria, &[Case::Dead, Case::Wind]), wind, ROUNDING);
        near(of(&criteria, &[Case::Seismic]), seismic, ROUNDING);
        criteria.duration = DurationRule::Off;
        assert_eq!(of(&criteria, &[Case::Dead]), 1.0, "{set}");
    }
}

/// D = 1 kN, L = 3 kN on one anchor: the factored load times the factor in force over the limit load without one.
#[test]
fn dead_and_live_load_by_hand_in_every_format() {
    let (dead, live) = (1e3, 3e3);
    for (set, load, name, divisor) in [
        ("asce7-22-asd", dead + live, "D + L", 3.0),
        (
            "asce7-22-lrfd",
            1.2 * dead + 1.6 * live,
            "1.2D + 1.6L + 0.5Lr",
            3.0 / (3.32 * 0.65 * 0.8),
        ),
        (
            "en1990",
            1.35 * dead + 1.5 * live,
            "1.35D + 1.5L",
            1.3 / 0.65,
        ),
    ] {
        let attachment = under(set, dead, live);
        let check = attachment.check(LimitState::LimitLoad).unwrap();
        assert_eq!(check.combination.as_deref(), Some(name));
        // With every factor at one, the use is the load over the limit load itself.
        let mut bare = plain(set);
        assert!(bare.change("limit_load", 1.0));
        let bare = only(&one(
            anchor(&REFERENCE),
            stem(wood("white oak")),
            &[(Case::Live, 1e3)],
            bare,
        ));
        let factor = match set {
            "en1990" => 1.5,
            "asce7-22-lrfd" => 1.6,
            _ => 1.0,
        };
        let limit = factor * 1e3 / used(&bare, LimitState::LimitLoad);
        near(
            used(&attachment, LimitState::LimitLoad),
            divisor * load / limit,
            1e-9,
        );
    }
}

#[test]
fn at_three_times_as_much_live_as_dead_load_steel_is_used_alike() {
    let (asd, lrfd, en) = (
        under("asce7-22-asd", 1e3, 3e3),
        under("asce7-22-lrfd", 1e3, 3e3),
        under("en1990", 1e3, 3e3),
    );
    for state in [
        LimitState::SteelBendingBarkLine,
        LimitState::SteelBendingEmbedded,
        LimitState::SteelShear,
        LimitState::SteelInteraction,
    ] {
        // AISC 360, commentary B3: both formats agree at L/D = 3; 1.5/0.90 over 1.67 is 0.998.
        near(
            used(&lrfd, state) / used(&asd, state),
            1.5 / 0.90 / 1.67,
            1e-9,
        );
    }
    near(
        used(&en, LimitState::SteelShear) / used(&asd, LimitState::SteelShear),
        1.4625 * 1.25 / 1.67,
        1e-9,
    );
    // Wood: NDS calibrates at snow (C_D 1.15), so live load is used less in LRFD: 1.5/(2.16 · 0.8).
    near(
        used(&lrfd, LimitState::BossBearing) / used(&asd, LimitState::BossBearing),
        1.5 / 1.728,
        1e-9,
    );
    near(
        used(&en, LimitState::BossBearing) / used(&asd, LimitState::BossBearing),
        1.4625 * 2.0 / 2.1,
        1e-9,
    );
    // A limit at service level says the same in every format.
    for other in [&lrfd, &en] {
        near(
            used(other, LimitState::FirstCrushing),
            used(&asd, LimitState::FirstCrushing),
            1e-9,
        );
    }
    // The sinking is judged under the factored loads: stricter, never laxer.
    for other in [&lrfd, &en] {
        assert!(used(other, LimitState::Deflection) > used(&asd, LimitState::Deflection));
    }
}

#[test]
fn a_permanent_load_alone_has_its_own_row_and_duration() {
    for (set, factor, duration) in [
        ("asce7-22-asd", 1.0, 0.9),
        ("asce7-22-lrfd", 1.4, 0.75),
        ("en1990", 1.35, 0.5 / 0.65),
    ] {
        let both = |dead, live| used(&under(set, dead, live), LimitState::BossBearing);
        let leading = match set {
            "en1990" => 1.5,
            "asce7-22-lrfd" => 1.6,
            _ => 1.0,
        };
        near(
            both(3e3, 0.0) / both(0.0, 3e3),
            factor / leading / duration,
            1e-9,
        );
    }
}

#[test]
fn combinations_that_come_to_the_same_are_gone_through_once() {
    let mut total = [0.0; Case::ALL.len()];
    total[Case::Dead as usize] = 1.0;
    total[Case::Live as usize] = 1.0;
    let names = |set: &str| -> Vec<String> {
        let criteria = Criteria::standard(set).unwrap();
        criteria
            .distinct_for(&total)
            .iter()
            .map(|row| criteria.combinations[*row].name.clone())
            .collect()
    };
    assert_eq!(
        names("asce7-22-asd"),
        ["D", "D + L", "D + 0.75L + 0.75Lr", "0.6D + 0.6W"]
    );
    let lrfd = names("asce7-22-lrfd");
    for set in ["asce7-22-lrfd", "asce7-16-lrfd"] {
        assert_eq!(names(set), lrfd);
    }
    assert_eq!(
        lrfd,
        [
            "1.4D",
            "1.2D + 1.6L + 0.5Lr",
            "1.2D + L + 1.6Lr",
            "1.2D + 1.6Lr + 0.5W",
            "0.9D + W"
        ]
    );
    let en = names("en1990");
    for row in [
        "1.35D",
        "1.35D + 1.5L",
        "D + 1.5L",
        "1.1D + 1.5L",
        "0.9D + 1.5L",
    ] {
        assert!(en.iter().any(|name| name == row), "{row}: {en:?}");
    }
}

/// Three loads of a deck by the combinations of 7-16: 10, 60 and 30 psf come to 77.5 psf, where D + L gives 70.
#[test]
fn the_worked_deck_is_governed_by_three_quarters_of_both() {
    let criteria = Criteria::standard("asce7-16-asd").unwrap();
    let mut loads = [0.0; Case::ALL.len()];
    for (case, load) in [(Case::Dead, 10.0), (Case::Live, 60.0), (Case::Snow, 30.0)] {
        loads[case as usize] = load;
    }
    let sum = |row: usize| -> f64 {
        let factors = &criteria.combinations[row].factors;
        factors.iter().zip(&loads).map(|(f, load)| f * load).sum()
    };
    let rows = criteria.distinct_for(&loads);
    let worst = rows
        .iter()
        .copied()
        .max_by(|a, b| sum(*a).total_cmp(&sum(*b)))
        .unwrap();
    assert_eq!(sum(worst), 77.5);
    assert_eq!(criteria.combinations[worst].name, "D + 0.75L + 0.75S");
}

#[test]
fn a_factor_of_the_layout_is_the_divisor_of_the_format_in_force() {
    let text = |set: &str| {
        format!(
            "title = \"t\"\n[criteria]\ncombinations = \"{set}\"\n[criteria.safety_factor]\nlimit_load = 2.5\n\
             [[tree]]\nid = \"oak\"\nspecies = \"white oak\"\nat = [\"0 m\", \"0 m\"]\ndiameter = \"600 mm\"\nbark = \"20 mm\"\n\
             [[anchor]]\nid = \"A\"\ntree = \"oak\"\nfaces = \"E\"\nsize = \"64x114/34\"\narm = \"100 mm\"\n\
             [[load]]\nid = \"p\"\non = \"A\"\ndead = \"1 kN\"\nlive = \"3 kN\"\n"
        )
    };
    for (set, format) in SETS {
        let platform = Layout::from_toml(&text(set))
            .unwrap()
            .resolve()
            .unwrap_or_else(|found| panic!("{found}"))
            .platform;
        let criteria = platform.criteria();
        assert_eq!(
            (criteria.format, criteria.factor("limit_load")),
            (format, 2.5)
        );
        assert!(criteria.factors["limit_load"].changed);
        assert_eq!(
            criteria.factor("boss_bearing"),
            Criteria::standard(set).unwrap().factor("boss_bearing")
        );
    }
}

#[test]
fn what_rests_on_memory_says_so_in_every_format() {
    for (set, _) in SETS {
        let criteria = Criteria::standard(set).unwrap();
        let standing = criteria.standing("boss_bearing");
        let expected = match criteria.format {
            Format::Partial => Standing::Extended,
            _ => Standing::FromMemory,
        };
        assert_eq!(standing, expected, "{set}");
    }
}

/// Snow on a deck (Pa) by the site and the set of a layout, or what is wrong with it.
fn snow(set: &str, site: &str) -> Result<f64, Diagnostics> {
    let mut plan = Plan {
        criteria: format!("[criteria]\ncombinations = \"{set}\"\n[site]\n{site}"),
        ..Plan::default()
    };
    let outline = [[0.0, 0.0], [3.0, 0.0], [3.0, 4.0], [0.0, 4.0]];
    plan.anchor("sw", [0.0, 0.0])
        .anchor("nw", [0.0, 4.0])
        .anchor("se", [3.0, 0.0])
        .anchor("ne", [3.0, 4.0])
        .beam("west", &["sw", "nw"], [[0.0, 0.0], [0.0, 4.0]], "")
        .beam("east", &["se", "ne"], [[3.0, 0.0], [3.0, 4.0]], "")
        .deck("d", &["west", "east"], &outline, 90.0, 2.0, "");
    plan.platform()
        .map(|platform| platform.decks()[0].snow.value)
}

#[test]
fn snow_from_the_ground_is_that_of_the_standard_of_its_map() {
    let ground = |basis: &str, more: &str| {
        format!("ground_snow = \"1 kPa\"\nsnow_basis = \"{basis}\"\n{more}")
    };
    let exact = |set: &str, basis: &str, more: &str, expected: f64| {
        let found = snow(set, &ground(basis, more)).unwrap_or_else(|found| panic!("{found}"));
        near(found, expected, 1e-9);
    };
    exact("asce7-22-asd", "asce7-22", "", 0.7 * 1.2 * 1.2 * 1e3);
    exact("asce7-22-lrfd", "asce7-22", "", 0.7 * 1.2 * 1.2 * 1e3);
    exact("en1990", "en1991", "", 0.8 * 1.2 * 1e3);
    let mut given = "snow_exposure = 0.9\nsnow_thermal = 1.3\n".to_owned();
    exact("en1990", "en1991", &given, 0.8 * 0.9 * 1.3 * 1e3);
    given.push_str("snow_importance = 1.1");
    exact("asce7-16-asd", "asce7-16", &given, 1.1 * 20.0 * PSF);
    exact("asce7-22-asd", "asce7-22", &given, 1e3);
    // Twice as much on the ground: the least load stops at 20 psf, the other goes on.
    let deep = ground("asce7-16", &given).replace("1 kPa", "2 kPa");
    let found = snow("asce7-16-lrfd", &deep).unwrap_or_else(|found| panic!("{found}"));
    near(found, 0.7 * 0.9 * 1.3 * 1.1 * 2e3, 1e-9);
}

/// One pound on a square foot (Pa).
const PSF: f64 = 47.880_258_980_335_84;

#[test]
fn snow_of_another_level_than_the_set_is_an_error() {
    for (set, own) in [
        ("asce7-22-asd", "asce7-22"),
        ("asce7-16-asd", "asce7-16"),
        ("asce7-22-lrfd", "asce7-22"),
        ("asce7-16-lrfd", "asce7-16"),
        ("en1990", "en1991"),
    ] {
        for basis in ["asce7-22", "asce7-16", "en1991"] {
            let site = format!("ground_snow = \"1 kPa\"\nsnow_basis = \"{basis}\"");
            assert_eq!(snow(set, &site).is_ok(), basis == own, "{set} {basis}");
        }
    }
}
