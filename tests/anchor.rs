//! One anchor by hand, in code.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod common;

use barkline::checks::{Attachment, Verdict};
use barkline::mechanics::embedment::hankinson;
use barkline::mechanics::foundation::closed_forms::finite_free_state;
use barkline::mechanics::mechanism::PlasticSegment;
use barkline::mechanics::mechanism::two_segments::{TwoSegments, limit_force};
use barkline::model::{Bound, Case, Criteria, DurationRule, LimitState, LivingWood, Plane, Stem};
use barkline::units::{Stress, si, us};
use common::{
    Bar, Plan, REFERENCE, anchor, one, only, plain_criteria, scaled_wood, stem, used, wood,
};
use proptest::prelude::*;
use std::f64::consts::PI;

/// Rounding of a chain of some hundred operations, and of bisection in the solvers.
const ROUNDING: f64 = 1e-7;
/// The same closed form worked out in another order.
const CLOSED_FORM: f64 = 1e-9;
/// The largest along the bar is found by parabolas, here by 20 000 places: both stay below this.
const PEAK: f64 = 1e-6;

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found / expected - 1.0).abs() <= tolerance,
        "{found} is not {expected}"
    );
}

fn under(bar: &Bar, stem: Stem, loads: &[(Case, f64)], criteria: Criteria) -> Attachment {
    only(&one(anchor(bar), stem, loads, criteria))
}

fn live(bar: &Bar, stem: Stem, newtons: f64) -> Attachment {
    under(bar, stem, &[(Case::Live, newtons)], plain_criteria())
}

/// The 5 % exclusion value of the strength along the grain (Pa), from its parts.
fn f05(wood: &LivingWood) -> f64 {
    0.9 * wood.crushing().value * (1.0 - 1.645 * 0.18)
}

const YIELD: f64 = 36.0 * 6.894_757_293_168_36e6;

/// The limit load of a bar that is all boss outside the wood, from the public two-segment closed form (N).
fn two_segment_limit(bar: &Bar, f: f64, soft: f64) -> f64 {
    let piece = |length: f64, bears: f64, resists: f64| PlasticSegment {
        length: si::millimetres(length),
        resistance: si::pascals(f) * si::millimetres(bears),
        plastic_moment: si::newton_metres(YIELD * (resists / 1e3).powi(3) / 6.0),
    };
    let two = TwoSegments {
        outer: piece(bar.embedded - soft, bar.boss, bar.boss),
        inner: piece(bar.shank_length, bar.shank, bar.root),
    };
    limit_force(&two, si::millimetres(bar.arm + soft))
        .unwrap()
        .value
}

/// Figures of a program written by another hand from the same model, worked out down only, worst of K/2 and 2K (kN).
/// The two differ in how they cut the bar and look for the largest, so 3.5 % is what their agreement is good for.
#[test]
fn an_independent_program_agrees_within_its_three_per_cent() {
    const AGREEMENT: f64 = 0.035;
    let order = [
        LimitState::BossBearing,
        LimitState::ShankBearing,
        LimitState::FirstCrushing,
        LimitState::LimitLoad,
        LimitState::SteelBendingEmbedded,
        LimitState::Deflection,
    ];
    for (name, figures) in [
        ("white oak", [14.8, 14.7, 20.6, 6.4, 8.0, 14.3]),
        ("western redcedar", [11.8, 11.2, 16.9, 5.9, 7.9, 11.2]),
    ] {
        let attachment = live(&REFERENCE, stem(wood(name)), 1e3);
        for (limit_state, figure) in order.into_iter().zip(figures) {
            let allowed = 1.0 / used(&attachment, limit_state);
            assert!(
                (allowed / figure - 1.0).abs() < AGREEMENT,
                "{name} {limit_state:?}: {allowed:.2} kN, there {figure} kN"
            );
        }
    }
}

/// In trials of that program 0.5 mm of clearance raised the moment at the step by 12 to 21 %; here at the load that its
/// limit load allows, within what the two programs agree to.
#[test]
fn clearance_raises_the_bending_of_the_bar_as_in_the_trials() {
    const AGREEMENT: f64 = 0.035;
    for (name, force) in [("white oak", 6.4e3), ("western redcedar", 5.9e3)] {
        let bending = |clearance: f64| {
            let mut criteria = plain_criteria();
            assert!(criteria.change("boss_clearance", clearance));
            let loads = [(Case::Live, force)];
            let attachment = under(&REFERENCE, stem(wood(name)), &loads, criteria);
            used(&attachment, LimitState::SteelBendingEmbedded)
        };
        let raised = bending(5e-4) / bending(0.0) - 1.0;
        assert!(
            (0.12 - AGREEMENT..0.21 + AGREEMENT).contains(&raised),
            "{name}, {force} N: {raised}"
        );
    }
}

fn with_clearance() -> Criteria {
    let mut criteria = plain_criteria();
    assert!(criteria.change("boss_clearance", 5e-4));
    criteria
}

/// Creep multiplies what the wood gives, not what clearance adds.
#[test]
fn clearance_adds_to_the_sinking_and_does_not_creep() {
    let (bar, force) = (anchor(&REFERENCE), 3e3);
    let oak = stem(wood("white oak"));
    let central = bar.bar(&oak, Plane::Along, Bound::Central).unwrap();
    let snug = central.solve().unwrap().load_point_flexibility()[0][0] * force;
    let loose = central
        .with_clearance(si::millimetres(0.5))
        .and_then(|bar| bar.respond(si::newtons(force), si::newton_metres(0.0)))
        .unwrap()
        .load_point_deflection()
        .value;
    assert!(loose > 1.1 * snug);
    let dead = under(&REFERENCE, oak, &[(Case::Dead, force)], with_clearance());
    near(
        dead.deflection().value,
        3.0 * snug + (loose - snug),
        CLOSED_FORM,
    );
}

/// The load that is said to be allowed takes the most used check to its limit, from either side, clearance or not.
#[test]
fn the_allowed_load_is_allowed() {
    // Places in the criteria's digits: the search ends a millionth short.
    const SEARCH: f64 = 1e-5;
    for force in [1.5e3, 5e3, 30e3] {
        let at = |force: f64| {
            let loads = [(Case::Live, force)];
            under(
                &REFERENCE,
                stem(wood("white oak")),
                &loads,
                with_clearance(),
            )
        };
        let found = at(force);
        let state = found.most_used().unwrap().limit_state;
        let allowed = found.allowed().unwrap();
        near(used(&at(allowed), state), 1.0, SEARCH);
        near(
            found.margin().unwrap(),
            1.0 / found.utilization().unwrap() - 1.0,
            CLOSED_FORM,
        );
    }
}

#[test]
fn the_moment_at_the_wood_surface_is_arm_times_load() {
    for soft in [0.0, 8.0] {
        let soft_stem = Stem {
            soft: si::millimetres(soft),
            ..stem(wood("white oak"))
        };
        let attachment = live(&REFERENCE, soft_stem, 5e3);
        let check = attachment.check(LimitState::SteelBendingBarkLine).unwrap();
        near(
            check.demand.unwrap().si(),
            5e3 * (0.1 + soft / 1e3),
            CLOSED_FORM,
        );
        let d = 0.064_f64;
        let allowed = YIELD * f64::min(d.powi(3) / 6.0, 1.6 * PI * d.powi(3) / 32.0) / 1.67;
        near(check.allowable.unwrap().si(), allowed, CLOSED_FORM);
    }
}

#[test]
fn the_limit_load_is_that_of_the_two_segment_closed_form() {
    for name in ["white oak", "western redcedar"] {
        let wood = wood(name);
        for soft in [0.0, 10.0] {
            let soft_stem = Stem {
                soft: si::millimetres(soft),
                ..stem(wood.clone())
            };
            let found = used(&live(&REFERENCE, soft_stem, 1e3), LimitState::LimitLoad);
            let expected = 3.0 * 1e3 / two_segment_limit(&REFERENCE, f05(&wood), soft);
            near(found, expected, ROUNDING);
        }
    }
}

/// A plain bar of one diameter has closed forms for everything along it.
const PLAIN: Bar = Bar {
    boss: 50.0,
    boss_length: 160.0,
    shank: 50.0,
    root: 50.0,
    shank_length: 130.0,
    embedded: 60.0,
    arm: 90.0,
};

struct Plain {
    foundation: f64,
    rigidity: f64,
    arm: f64,
}

impl Plain {
    fn new(wood: &LivingWood, factor: f64) -> Self {
        Self {
            foundation: 0.05 * 1.1 * wood.modulus().value * factor,
            rigidity: us::ksi(29_000.0).value * PI * 0.05_f64.powi(4) / 64.0,
            arm: 0.09,
        }
    }

    /// Deflection, slope, moment, shear per newton at a depth, in SI.
    fn at(&self, x: f64) -> [f64; 4] {
        let metre = si::metres(1.0);
        let state = finite_free_state(
            si::pascals(self.foundation),
            si::pascals(self.rigidity) * (metre * metre * metre * metre),
            si::metres(0.19),
            si::newtons(1.0),
            si::newton_metres(self.arm),
            si::metres(x),
        )
        .unwrap();
        [
            state.deflection.value,
            state.slope.value,
            state.moment.value,
            state.shear.value,
        ]
    }

    fn largest(&self, from: f64, to: f64, f: impl Fn([f64; 4]) -> f64) -> f64 {
        (0..=20_000)
            .map(|i| f(self.at(from + (to - from) * f64::from(i) / 20_000.0)).abs())
            .fold(0.0, f64::max)
    }
}

#[test]
fn a_plain_bar_agrees_with_closed_forms_in_every_elastic_check() {
    let wood = wood("white oak");
    let force = 4e3;
    let attachment = live(&PLAIN, stem(wood.clone()), force);
    let bounds = [Plain::new(&wood, 0.5), Plain::new(&wood, 2.0)];
    let worst = |f: &dyn Fn(&Plain) -> f64| f64::max(f(&bounds[0]), f(&bounds[1]));
    let (f, d) = (f05(&wood), 0.05);
    let shear = |plain: &Plain, x: f64| plain.at(x)[3];

    let boss = worst(&|p| (shear(p, 0.0) - shear(p, 0.06)).abs() * force / (d * 0.06) / (f / 2.1));
    near(
        used(&attachment, LimitState::BossBearing),
        boss,
        CLOSED_FORM,
    );
    let window = |p: &Plain| {
        (0..=8_000)
            .map(|i| 0.06 + (0.13 - d) * f64::from(i) / 8_000.0)
            .map(|x| (shear(p, x) - shear(p, x + d)).abs())
            .fold(0.0, f64::max)
    };
    let shank = worst(&|p| window(p) * force / (d * d) / (f / 2.1));
    near(used(&attachment, LimitState::ShankBearing), shank, PEAK);
    let crushing = worst(&|p| p.largest(0.0, 0.19, |s| s[0] * p.foundation / d) * force / f);
    near(used(&attachment, LimitState::FirstCrushing), crushing, PEAK);

    let section = YIELD * f64::min(d.powi(3) / 6.0, 1.6 * PI * d.powi(3) / 32.0) / 1.67;
    let bending = worst(&|p| p.largest(0.0, 0.19, |s| s[2]) * force / section);
    near(
        used(&attachment, LimitState::SteelBendingEmbedded),
        bending,
        PEAK,
    );
    let cut = 0.6 * YIELD * PI * d * d / 4.0 / 1.67;
    let shearing = worst(&|p| p.largest(0.0, 0.19, |s| s[3]).max(1.0) * force / cut);
    near(used(&attachment, LimitState::SteelShear), shearing, PEAK);
    let both = worst(&|p| {
        p.largest(0.0, 0.19, |s| {
            (s[2] * force / section).hypot(s[3] * force / cut)
        })
    });
    near(used(&attachment, LimitState::SteelInteraction), both, PEAK);

    let e: f64 = 0.09;
    let sinking = |p: &Plain| {
        let [v, slope, ..] = p.at(0.0);
        force * (v + slope.abs() * e + e.powi(3) / (3.0 * p.rigidity))
    };
    let central = Plain::new(&wood, 1.0);
    let allowed = f64::max(e / 20.0, 3e-3);
    near(
        used(&attachment, LimitState::Deflection),
        sinking(&bounds[0]) / allowed,
        CLOSED_FORM,
    );
    // Permanent loads creep: three times the deflection at the central modulus.
    let dead = under(&PLAIN, stem(wood), &[(Case::Dead, force)], plain_criteria());
    near(
        used(&dead, LimitState::Deflection),
        3.0 * sinking(&central) / allowed,
        CLOSED_FORM,
    );
    near(
        dead.deflection().value,
        3.0 * sinking(&central),
        CLOSED_FORM,
    );
    near(
        dead.stiffness()[0].value,
        force / sinking(&central),
        CLOSED_FORM,
    );
}

#[test]
fn a_side_load_counts_by_squares_in_every_elastic_check() {
    let wood = wood("white oak");
    let (force, share, d) = (4e3, 0.8, 0.05);
    let mut criteria = plain_criteria();
    assert!(criteria.change("notional_side", share));
    let attachment = under(&PLAIN, stem(wood.clone()), &[(Case::Live, force)], criteria);
    // Across the grain the foundation is a third as stiff.
    let planes = |factor| [Plain::new(&wood, factor), Plain::new(&wood, factor / 3.0)];
    let bounds = [planes(0.5), planes(2.0)];
    let largest = |f: &dyn Fn(&[Plain; 2], f64) -> f64| {
        let along = |planes| (0..=20_000).map(move |i| f(planes, 0.19 * f64::from(i) / 20_000.0));
        bounds.iter().flat_map(along).fold(0.0, f64::max)
    };
    let both = |[down, side]: &[Plain; 2], x: f64, k: usize| {
        (down.at(x)[k] * force).hypot(side.at(x)[k] * force * share)
    };
    let (f, across) = (f05(&wood), wood.across().value);
    let taken = |plain: &Plain| (plain.at(0.0)[3] - plain.at(0.06)[3]).abs() * force / (d * 0.06);
    let boss = bounds
        .iter()
        .map(|[down, side]| (taken(down) / (f / 2.1)).hypot(share * taken(side) / (across / 1.67)))
        .fold(0.0, f64::max);
    near(
        used(&attachment, LimitState::BossBearing),
        boss,
        CLOSED_FORM,
    );
    let crushing = largest(&|[down, side], x| {
        (down.at(x)[0] * down.foundation * force / d / f)
            .hypot(side.at(x)[0] * side.foundation * force * share / d / across)
    });
    near(used(&attachment, LimitState::FirstCrushing), crushing, PEAK);
    let section = YIELD * f64::min(d.powi(3) / 6.0, 1.6 * PI * d.powi(3) / 32.0) / 1.67;
    let cut = 0.6 * YIELD * PI * d * d / 4.0 / 1.67;
    near(
        used(&attachment, LimitState::SteelBendingEmbedded),
        largest(&|planes, x| both(planes, x, 2)) / section,
        PEAK,
    );
    let outside = force * f64::hypot(1.0, share);
    near(
        used(&attachment, LimitState::SteelShear),
        largest(&|planes, x| both(planes, x, 3)).max(outside) / cut,
        PEAK,
    );
    let all = largest(&|planes, x| (both(planes, x, 2) / section).hypot(both(planes, x, 3) / cut));
    near(used(&attachment, LimitState::SteelInteraction), all, PEAK);
    // Without an arm, shear and bending are of one size.
    let short = live(&Bar { arm: 1.0, ..PLAIN }, stem(wood.clone()), force);
    let all = [0.5, 2.0].map(|factor| {
        let plain = Plain {
            arm: 1e-3,
            ..Plain::new(&wood, factor)
        };
        plain.largest(0.0, 0.19, |s| {
            (s[2] * force / section).hypot(s[3] * force / cut)
        })
    });
    near(
        used(&short, LimitState::SteelInteraction),
        f64::max(all[0], all[1]),
        PEAK,
    );
}

#[test]
fn the_notional_side_load_acts_on_every_anchor() {
    let oak = wood("white oak");
    let criteria = Criteria::standard("asce7-22-asd").unwrap();
    let attachment = under(
        &REFERENCE,
        stem(oak.clone()),
        &[(Case::Live, 2e3)],
        criteria,
    );
    near(attachment.load().side_n.abs(), 200.0, CLOSED_FORM);
    let down = two_segment_limit(&REFERENCE, f05(&oak), 0.0);
    let side = two_segment_limit(&REFERENCE, oak.across().value, 0.0);
    near(
        used(&attachment, LimitState::LimitLoad),
        3.0 * (2e3 / down).hypot(200.0 / side),
        ROUNDING,
    );
}

#[test]
fn a_leaning_stem_turns_load_and_grain() {
    let oak = wood("white oak");
    let lean = 25.0_f64;
    let leaning = |leans: f64| Stem {
        lean: si::degrees(lean),
        leans: si::degrees(leans),
        ..stem(oak.clone())
    };
    let (sin, cos) = lean.to_radians().sin_cos();
    // Across the bar, which faces east: the load is no longer along the grain.
    let across = live(&REFERENCE, leaning(0.0), 2e3);
    near(across.load().down_n, 2e3 * cos, CLOSED_FORM);
    near(across.load().side_n.abs(), 2e3 * sin, CLOSED_FORM);
    // Along the bar: the load is along the projected grain, and the grain runs at an angle to it.
    let along = live(&REFERENCE, leaning(90.0), 2e3);
    near(along.load().down_n, 2e3, CLOSED_FORM);
    let turned = hankinson(
        si::pascals(f05(&oak)),
        oak.across(),
        si::degrees(lean),
        barkline::mechanics::embedment::COMPRESSION_EXPONENT,
    )
    .unwrap();
    let limit = two_segment_limit(&REFERENCE, turned.value, 0.0);
    near(
        used(&along, LimitState::LimitLoad),
        3.0 * 2e3 / limit,
        ROUNDING,
    );
    // Either way across, nothing changes.
    let other = live(&REFERENCE, leaning(180.0), 2e3);
    for (one, two) in across.checks().iter().zip(other.checks()) {
        match (one.utilization, two.utilization) {
            (Some(a), Some(b)) => near(a, b, CLOSED_FORM),
            (a, b) => assert_eq!(a, b),
        }
    }
}

fn with(rule: DurationRule) -> Criteria {
    Criteria {
        duration: rule,
        ..plain_criteria()
    }
}

#[test]
fn load_duration_never_raises_a_strength_unless_asked() {
    let boss = |loads: &[(Case, f64)], rule| {
        let attachment = under(&REFERENCE, stem(wood("white oak")), loads, with(rule));
        used(&attachment, LimitState::BossBearing)
    };
    let wind = [(Case::Wind, 4e3)];
    assert_eq!(
        boss(&wind, DurationRule::Capped),
        boss(&wind, DurationRule::Off)
    );
    near(
        boss(&wind, DurationRule::Off) / boss(&wind, DurationRule::Nds),
        1.6,
        CLOSED_FORM,
    );
    let dead = [(Case::Dead, 4e3)];
    near(
        boss(&dead, DurationRule::Capped) / boss(&dead, DurationRule::Off),
        1.0 / 0.9,
        CLOSED_FORM,
    );
    // Hardly any live load does not make a permanent load a short one.
    let mixed = [(Case::Dead, 4e3), (Case::Live, 1.0)];
    near(
        boss(&mixed, DurationRule::Capped),
        boss(&dead, DurationRule::Capped),
        CLOSED_FORM,
    );
}

#[test]
fn first_crushing_has_its_own_factor_under_permanent_load_alone() {
    let crushing = |loads: &[(Case, f64)]| {
        let attachment = under(
            &REFERENCE,
            stem(wood("white oak")),
            loads,
            with(DurationRule::Off),
        );
        used(&attachment, LimitState::FirstCrushing)
    };
    near(
        crushing(&[(Case::Dead, 3e3)]) / crushing(&[(Case::Live, 3e3)]),
        1.6,
        CLOSED_FORM,
    );
}

#[test]
fn a_safety_factor_scales_its_own_check_and_no_other() {
    let plain = live(&REFERENCE, stem(wood("white oak")), 2e3);
    for (key, scaled) in [
        ("boss_bearing", LimitState::BossBearing),
        ("shank_bearing", LimitState::ShankBearing),
        ("first_crushing", LimitState::FirstCrushing),
        ("limit_load", LimitState::LimitLoad),
        ("steel_bending_bark_line", LimitState::SteelBendingBarkLine),
        ("steel_bending_embedded", LimitState::SteelBendingEmbedded),
        ("steel_shear", LimitState::SteelShear),
    ] {
        let mut criteria = plain_criteria();
        let factor = criteria.factor(key);
        assert!(criteria.change(key, 1.75 * factor));
        let changed = under(
            &REFERENCE,
            stem(wood("white oak")),
            &[(Case::Live, 2e3)],
            criteria,
        );
        for limit_state in LimitState::ALL {
            let (before, after) = (used(&plain, *limit_state), used(&changed, *limit_state));
            if *limit_state == scaled {
                near(after, 1.75 * before, CLOSED_FORM);
            } else if *limit_state == LimitState::SteelInteraction {
                // Bending and shear of the bar are part of it.
                assert!(after >= before * (1.0 - CLOSED_FORM));
            } else {
                assert!(
                    (after - before).abs() <= CLOSED_FORM * before,
                    "{key} moves {limit_state:?}"
                );
            }
        }
    }
}

#[test]
fn a_check_outside_the_tested_sizes_is_reviewed_if_the_criteria_say_so() {
    let criteria = Criteria {
        extended_is_review: true,
        ..plain_criteria()
    };
    let plain = live(&REFERENCE, stem(wood("white oak")), 1e3);
    let strict = under(
        &REFERENCE,
        stem(wood("white oak")),
        &[(Case::Live, 1e3)],
        criteria,
    );
    for (limit_state, becomes) in [
        (LimitState::BossBearing, Verdict::Review),
        (LimitState::ShankBearing, Verdict::Review),
        (LimitState::FirstCrushing, Verdict::Review),
        (LimitState::LimitLoad, Verdict::Review),
        (LimitState::SteelShear, Verdict::Pass),
        (LimitState::Deflection, Verdict::Pass),
    ] {
        assert_eq!(plain.check(limit_state).unwrap().verdict, Verdict::Pass);
        assert_eq!(strict.check(limit_state).unwrap().verdict, becomes);
    }
}

#[test]
fn a_demand_above_the_allowable_fails_and_one_below_passes() {
    let capacity = 1e3
        / used(
            &live(&REFERENCE, stem(wood("white oak")), 1e3),
            LimitState::LimitLoad,
        );
    for (share, verdict) in [(0.999, Verdict::Pass), (1.001, Verdict::Fail)] {
        let attachment = live(&REFERENCE, stem(wood("white oak")), share * capacity);
        assert_eq!(
            attachment.check(LimitState::LimitLoad).unwrap().verdict,
            verdict
        );
        assert_eq!(attachment.verdict(), verdict);
        near(attachment.margin().unwrap(), 1.0 / share - 1.0, 1e-3);
    }
}

/// The printed margin with 12 mm of softened wood is that of a stem which has them.
#[test]
fn the_softened_margin_is_that_of_a_softened_stem() {
    let plain = live(&REFERENCE, stem(wood("white oak")), 3e3);
    let soft = Stem {
        soft: si::millimetres(12.0),
        ..stem(wood("white oak"))
    };
    let soft = live(&REFERENCE, soft, 3e3);
    let worst = [
        LimitState::BossBearing,
        LimitState::ShankBearing,
        LimitState::FirstCrushing,
        LimitState::LimitLoad,
    ]
    .map(|limit_state| used(&soft, limit_state))
    .into_iter()
    .fold(0.0, f64::max);
    near(
        plain.softened_margin().unwrap(),
        1.0 / worst - 1.0,
        CLOSED_FORM,
    );
}

#[test]
fn feet_and_metres_are_the_same_layout() {
    let make = |us| {
        let mut plan = Plan {
            us,
            ..Plan::default()
        };
        plan.anchor("a", [0.0, 0.0])
            .load("p", "on = \"a\"", "\"5 kN\"");
        plan.check()
    };
    let (si, us) = (make(false), make(true));
    for (one, two) in si.attachments()[0]
        .checks()
        .iter()
        .zip(us.attachments()[0].checks())
    {
        match (one.utilization, two.utilization) {
            (Some(a), Some(b)) => near(a, b, CLOSED_FORM),
            (a, b) => assert_eq!(a, b),
        }
    }
}

fn bars() -> impl Strategy<Value = Bar> {
    (
        50.0..100.0_f64,
        0.5..0.8_f64,
        0.78..0.95_f64,
        30.0..80.0_f64,
        80.0..220.0_f64,
        20.0..160.0_f64,
        0.0..120.0_f64,
    )
        .prop_map(
            |(boss, shank, root, embedded, shank_length, arm, outside)| Bar {
                boss,
                boss_length: embedded + outside,
                shank: boss * shank,
                root: boss * shank * root,
                shank_length,
                embedded,
                arm,
            },
        )
}

const LOADED: [LimitState; 9] = [
    LimitState::BossBearing,
    LimitState::ShankBearing,
    LimitState::FirstCrushing,
    LimitState::LimitLoad,
    LimitState::SteelBendingBarkLine,
    LimitState::SteelBendingEmbedded,
    LimitState::SteelShear,
    LimitState::SteelInteraction,
    LimitState::Deflection,
];

fn limit_use(bar: &Bar, stem: Stem) -> f64 {
    used(&live(bar, stem, 1e3), LimitState::LimitLoad)
}

// Of the plastic limit load the static theorem says what more and less of anything does. Of an elastic check nothing such holds:
// a thinner or softer shank may well take less load and be used less. So those are only asked about loads.
proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    #[test]
    fn more_load_down_never_leaves_more_margin(bar in bars(), dead in 0.0..5e3_f64, live in 0.0..5e3_f64, more in 0.0..3e3_f64) {
        let at = |dead: f64, live: f64| {
            let loads = [(Case::Dead, dead), (Case::Live, live)];
            under(&bar, stem(wood("white oak")), &loads, Criteria::standard("asce7-22-asd").unwrap())
        };
        let before = at(dead, live);
        for after in [at(dead + more, live), at(dead, live + more)] {
            for limit_state in LOADED {
                prop_assert!(used(&after, limit_state) >= used(&before, limit_state) * (1.0 - ROUNDING), "{limit_state:?}");
            }
        }
    }

    #[test]
    fn more_load_sideways_never_leaves_more_margin(bar in bars(), share in 0.0..1.0_f64, more in 0.0..1.0_f64) {
        let at = |share: f64| {
            let mut criteria = plain_criteria();
            criteria.change("notional_side", share);
            under(&bar, stem(wood("white oak")), &[(Case::Live, 3e3)], criteria)
        };
        let (before, after) = (at(share), at(share + more));
        for limit_state in LOADED {
            prop_assert!(used(&after, limit_state) >= used(&before, limit_state) * (1.0 - ROUNDING), "{limit_state:?}");
        }
    }

    #[test]
    fn the_limit_load_never_gains_from_less(bar in bars(), less in 0.6..1.0_f64, soft in 0.0..20.0_f64) {
        let oak = || stem(wood("white oak"));
        let before = limit_use(&bar, oak()) * (1.0 - ROUNDING);
        let longer = Bar { arm: bar.arm + 50.0 * (1.0 - less), ..bar };
        let boss = Bar { boss: f64::max(bar.boss * less, bar.shank), ..bar };
        let shank = Bar { shank: bar.shank * less, root: bar.root * less, ..bar };
        prop_assert!(limit_use(&longer, oak()) >= before, "longer arm");
        prop_assert!(limit_use(&boss, oak()) >= before, "smaller boss");
        prop_assert!(limit_use(&shank, oak()) >= before, "thinner shank");
        prop_assert!(limit_use(&bar, stem(scaled_wood(less, 1.0))) >= before, "softer wood");
        let rotten = Stem { soft: si::millimetres(soft), ..oak() };
        prop_assert!(limit_use(&bar, rotten) >= before, "soft outer wood");
    }

    #[test]
    fn the_limit_load_never_loses_from_a_deeper_shank(bar in bars(), more in 0.0..100.0_f64) {
        let deeper = Bar { shank_length: bar.shank_length + more, ..bar };
        let oak = || stem(wood("white oak"));
        prop_assert!(limit_use(&deeper, oak()) <= limit_use(&bar, oak()) * (1.0 + ROUNDING));
    }

    #[test]
    fn every_use_is_a_number(bar in bars(), force in 0.0..1e6_f64) {
        for check in live(&bar, stem(wood("western redcedar")), force).checks() {
            prop_assert!(check.utilization.is_none_or(|u| u.is_finite() && u >= 0.0));
            let measured = check.demand.zip(check.allowable).zip(check.utilization);
            if let Some(((demand, allowed), used)) = measured {
                prop_assert!((demand.si() - used * allowed.si()).abs() <= 1e-9 * demand.si().abs());
            }
        }
    }
}

#[test]
fn a_thin_stem_is_reviewed_for_its_hole_and_its_depth() {
    let thin = Stem {
        diameter: si::millimetres(300.0),
        ..stem(wood("white oak"))
    };
    let attachment = live(&REFERENCE, thin, 100.0);
    near(
        used(&attachment, LimitState::HoleSize),
        64.0 / 260.0 * 6.0,
        1e-2,
    );
    near(
        used(&attachment, LimitState::Penetration),
        190.0 / (0.6 * 260.0),
        CLOSED_FORM,
    );
    assert_eq!(attachment.verdict(), Verdict::Review);
    let hollow = Stem {
        shell: Some(si::millimetres(100.0)),
        ..stem(wood("white oak"))
    };
    near(
        used(&live(&REFERENCE, hollow, 100.0), LimitState::Penetration),
        1.9,
        CLOSED_FORM,
    );
}

/// Nothing in this file takes a stress for granted: the green means come from the table.
#[test]
fn the_woods_are_those_of_the_table() {
    let oak = wood("white oak");
    assert_eq!(oak.crushing(), us::psi(3560.0));
    let mean: Stress = oak.modulus();
    assert_eq!(mean, us::psi(1.25e6));
}
