//! Plastic limit loads: the static theorem from below, random mechanisms from above, closed forms in between.

use crate::static_theorem::admissible_factor;
use barkline::mechanics::MechanicsError;
use barkline::mechanics::mechanism::one_segment::{
    critical_length, held_head_force, held_head_two_hinges_force, hinge_force,
    rigid_rotation_centre, rigid_rotation_force,
};
use barkline::mechanics::mechanism::two_segments::{self, TwoSegments};
use barkline::mechanics::mechanism::{LimitLoad, Mechanism, PlasticBar, PlasticSegment};
use barkline::units::Length;
use barkline::units::si::{metres, newton_metres, newtons, newtons_per_metre};
use proptest::prelude::*;

/// What the linear programme loses to its own stopping rule and, in the part that stands still, to its slices.
const PROGRAMME: f64 = 1e-6;

/// A segment of 10 to 200 mm that bears 1 to 3000 N/mm and takes 0.2 to 30 kN·m.
fn bearing() -> impl Strategy<Value = PlasticSegment> {
    (0.01..0.2, 3.0..6.5, 2.3..4.5).prop_map(|(length, q, m): (f64, f64, f64)| PlasticSegment {
        length: metres(length),
        resistance: newtons_per_metre(10f64.powf(q)),
        plastic_moment: newton_metres(10f64.powf(m)),
    })
}

/// The same, but one in eight bears nothing.
fn segment() -> impl Strategy<Value = PlasticSegment> {
    let idle = |segment| PlasticSegment {
        resistance: newtons_per_metre(0.0),
        ..segment
    };
    prop_oneof![7 => bearing(), 1 => bearing().prop_map(idle)]
}

/// Rounding, where two exact ways to the same number are compared.
const ROUNDING: f64 = 1e-9;

#[derive(Debug, Clone)]
struct Bar {
    arm: Vec<PlasticSegment>,
    embedded: Vec<PlasticSegment>,
}

impl Bar {
    fn all(&self) -> Vec<PlasticSegment> {
        [&self.arm[..], &self.embedded[..]].concat()
    }

    fn outer_end(&self) -> f64 {
        -self
            .arm
            .iter()
            .map(|segment| segment.length.value)
            .sum::<f64>()
    }

    fn limit(&self, [force, moment]: [f64; 2]) -> LimitLoad {
        let bar = PlasticBar::new(&self.arm, &self.embedded).unwrap();
        bar.limit(newtons(force), newton_metres(moment)).unwrap()
    }
}

fn bars() -> impl Strategy<Value = Bar> {
    let arm = prop::collection::vec(segment(), 0..3).prop_map(|mut arm| {
        for segment in &mut arm {
            segment.resistance = newtons_per_metre(0.0);
        }
        arm
    });
    (arm, prop::collection::vec(segment(), 1..6))
        .prop_map(|(arm, embedded)| Bar { arm, embedded })
        .prop_filter("something bears", |bar| {
            bar.embedded.iter().any(|s| s.resistance.value > 0.0)
        })
}

/// A unit force, or none, with a moment of either sense, alone or of the order of the force times the bar's length.
fn loads() -> impl Strategy<Value = [f64; 2]> {
    prop_oneof![
        3 => Just([1.0, 0.0]),
        1 => Just([0.0, 1.0]),
        1 => Just([0.0, -1.0]),
        2 => (0.0..0.5).prop_map(|moment| [1.0, moment]),
        3 => (-0.6..0.0).prop_map(|moment| [1.0, moment]),
        1 => (-0.6..0.6).prop_map(|moment| [-1.0, moment]),
    ]
}

/// Slices tried one after another, until the bound is close enough.
const SLICES: [u32; 3] = [5, 40, 160];

/// Whether the static theorem confirms this limit load, neither above nor below; otherwise the bound it gives.
fn confirmed(bar: &Bar, load: [f64; 2], limit: &LimitLoad) -> Result<(), f64> {
    let outer = bar.outer_end();
    let places = limit.parts.iter().flat_map(|part| [part.to, part.centre]);
    let cuts: Vec<f64> = places.map(|place: Length| place.value - outer).collect();
    let mut best = 0.0;
    for parts in SLICES {
        best = admissible_factor(&bar.all(), load, &cuts, parts);
        if (best / limit.factor - 1.0).abs() < PROGRAMME {
            return Ok(());
        }
    }
    Err(best)
}

/// A shape of the bar: its deflection at the corners given (x, w), straight between them; the bar beyond the last
/// corner stands still, or ends there.
struct Shape {
    corners: Vec<[f64; 2]>,
}

impl Shape {
    /// The shape of a mechanism whose first part turns by one radian.
    fn of(limit: &LimitLoad) -> Self {
        let mut corners = Vec::new();
        let mut at_hinge = None;
        for part in &limit.parts {
            let (from, to, centre) = (part.from.value, part.to.value, part.centre.value);
            let turn = at_hinge.map_or(1.0, |w| w / (centre - from));
            if at_hinge.is_none() {
                corners.push([from, centre - from]);
            }
            corners.push([to, turn * (centre - to)]);
            at_hinge = Some(turn * (centre - to));
        }
        Self { corners }
    }

    /// The factor at which the load does as much work as the bar resists; `None` if the load does none.
    fn factor(&self, bar: &Bar, [force, moment]: [f64; 2]) -> Option<f64> {
        let mut start = bar.outer_end();
        let segments: Vec<([f64; 2], PlasticSegment)> = bar
            .all()
            .into_iter()
            .map(|segment| {
                let from = start;
                start += segment.length.value;
                ([from, start], segment)
            })
            .collect();
        let tip = start;
        let turns: Vec<f64> = self
            .corners
            .windows(2)
            .map(|pair| (pair[0][1] - pair[1][1]) / (pair[1][0] - pair[0][0]))
            .collect();
        let mut work = 0.0;
        for pair in self.corners.windows(2) {
            for ([from, to], segment) in &segments {
                let (a, b) = (pair[0][0].max(*from), pair[1][0].min(*to));
                let w = |x: f64| {
                    pair[0][1]
                        + (pair[1][1] - pair[0][1]) * (x - pair[0][0]) / (pair[1][0] - pair[0][0])
                };
                if a < b {
                    work += segment.resistance.value * swept(w(a), w(b), b - a);
                }
            }
        }
        for (index, [x, _]) in self.corners.iter().enumerate().skip(1) {
            let after = turns.get(index).copied().unwrap_or(0.0);
            let near = |from: f64, to: f64| (from - 1e-12..=to + 1e-12).contains(x);
            let weakest = segments
                .iter()
                .filter(|([from, to], _)| near(*from, *to))
                .map(|(_, segment)| segment.plastic_moment.value)
                .fold(f64::INFINITY, f64::min);
            if *x < tip - 1e-12 {
                work += weakest * (turns[index - 1] - after).abs();
            }
        }
        let done = force * self.corners[0][1] + moment * turns[0];
        (done.abs() > 1e-12).then(|| work / done.abs())
    }
}

/// ∫|w| over a straight piece of length h with w = a and b at its ends.
fn swept(a: f64, b: f64, h: f64) -> f64 {
    if a * b >= 0.0 {
        (a + b).abs() * h / 2.0
    } else {
        (a * a + b * b) / (a - b).abs() * h / 2.0
    }
}

/// A shape with up to four corners inside the bar; beyond the last one the bar is still, or it moves to its tip.
fn shapes() -> impl Strategy<Value = (Vec<[f64; 2]>, bool)> {
    (
        prop::collection::vec([0.0..1.0, -1.0..1.0], 1..5),
        any::<bool>(),
    )
}

proptest! {
    #[test]
    fn the_static_theorem_confirms_every_limit_load(bar in bars(), load in loads()) {
        let limit = bar.limit(load);
        let confirmed = confirmed(&bar, load, &limit);
        prop_assert!(confirmed.is_ok(), "admissible {confirmed:?}, found {limit:?}");
    }

    #[test]
    fn the_named_mechanism_does_the_work_of_the_limit_load(bar in bars(), load in loads()) {
        let limit = bar.limit(load);
        let at_load = limit.parts[0].from == limit.parts[0].to;
        let factor = if at_load {
            bar.all()[0].plastic_moment.value / load[1].abs()
        } else {
            Shape::of(&limit).factor(&bar, load).unwrap()
        };
        prop_assert!((factor / limit.factor - 1.0).abs() < ROUNDING, "{factor} for {limit:?}");
    }

    #[test]
    fn no_other_mechanism_does_less_work(bar in bars(), load in loads(), shape in shapes()) {
        let (outer, tip) = (bar.outer_end(), bar.embedded.iter().map(|s| s.length.value).sum::<f64>());
        let (inside, whole) = shape;
        let mut corners: Vec<[f64; 2]> =
            inside.iter().map(|[share, w]| [outer + share * (tip - outer), *w]).collect();
        corners.sort_by(|one, other| one[0].total_cmp(&other[0]));
        corners[0][0] = outer;
        if whole || corners.len() == 1 {
            corners.push([tip, 0.3]);
        } else if let Some(last) = corners.last_mut() {
            last[1] = 0.0;
        }
        if let Some(factor) = (Shape { corners }).factor(&bar, load) {
            let limit = bar.limit(load);
            prop_assert!(limit.factor <= factor * (1.0 + ROUNDING), "{factor} below {limit:?}");
        }
    }

    #[test]
    fn more_resistance_is_never_weaker(bar in bars(), load in loads(), which in any::<prop::sample::Index>()) {
        let before = bar.limit(load).factor * (1.0 - ROUNDING);
        let mut stronger = bar.clone();
        let index = which.index(bar.embedded.len());
        stronger.embedded[index].resistance *= 1.3;
        prop_assert!(stronger.limit(load).factor >= before);
        let index = which.index(bar.embedded.len() + bar.arm.len());
        let mut stronger = bar;
        let segment = stronger.arm.iter_mut().chain(&mut stronger.embedded).nth(index).unwrap();
        segment.plastic_moment *= 1.3;
        prop_assert!(stronger.limit(load).factor >= before);
    }

    #[test]
    fn a_longer_arm_is_never_stronger_and_a_deeper_bar_never_weaker(bar in bars(), more in segment()) {
        let load = [1.0, 0.0];
        let before = bar.limit(load).factor;
        let mut longer = bar.clone();
        longer.arm.insert(0, PlasticSegment { resistance: newtons_per_metre(0.0), ..more });
        prop_assert!(longer.limit(load).factor <= before * (1.0 + ROUNDING));
        let mut deeper = bar;
        deeper.embedded.push(more);
        prop_assert!(deeper.limit(load).factor >= before * (1.0 - ROUNDING));
    }

    #[test]
    fn a_moment_that_adds_to_the_force_is_never_stronger(bar in bars(), moment in 0.0..0.5) {
        prop_assert!(bar.limit([1.0, moment]).factor <= bar.limit([1.0, 0.0]).factor * (1.0 + ROUNDING));
    }

    #[test]
    fn splitting_a_segment_changes_nothing(bar in bars(), load in loads(), share in 0.05..0.95) {
        let before = bar.limit(load).factor;
        let split = |segments: &[PlasticSegment]| -> Vec<PlasticSegment> {
            let halves = |s: &PlasticSegment| [share, 1.0 - share].map(|part| PlasticSegment { length: s.length * part, ..*s });
            segments.iter().flat_map(halves).collect()
        };
        let bar = Bar { arm: split(&bar.arm), embedded: split(&bar.embedded) };
        prop_assert!((bar.limit(load).factor / before - 1.0).abs() < ROUNDING);
    }

    #[test]
    fn the_load_reversed_is_as_strong_and_scales(bar in bars(), load in loads(), scale in 0.01..100.0_f64) {
        let before = bar.limit(load).factor;
        let reversed = bar.limit(load.map(|part| -scale * part)).factor;
        prop_assert!((reversed * scale / before - 1.0).abs() < ROUNDING);
    }

    #[test]
    fn units_scale(bar in bars(), load in loads(), length in 0.01..100.0_f64, force in 0.01..100.0_f64) {
        let before = bar.limit(load).factor;
        let scaled = |segments: &[PlasticSegment]| -> Vec<PlasticSegment> {
            segments.iter().map(|segment| PlasticSegment {
                length: segment.length * length,
                resistance: segment.resistance * (force / length),
                plastic_moment: segment.plastic_moment * (force * length),
            }).collect()
        };
        let bar = Bar { arm: scaled(&bar.arm), embedded: scaled(&bar.embedded) };
        let after = bar.limit([load[0], load[1] * length]).factor;
        prop_assert!((after / (before * force) - 1.0).abs() < ROUNDING);
    }

    #[test]
    fn one_segment_follows_its_closed_forms(segment in bearing(), arm in 0.0..0.3) {
        let PlasticSegment { length, resistance: q, plastic_moment: m } = segment;
        let e = metres(arm);
        let stiff = PlasticSegment { length: e, resistance: newtons_per_metre(0.0), plastic_moment: m };
        let arm: Vec<_> = (arm > 0.0).then_some(stiff).into_iter().collect();
        let limit = Bar { arm, embedded: vec![segment] }.limit([1.0, 0.0]);
        let (rigid, hinge) =
            (rigid_rotation_force(q, length, e).unwrap(), hinge_force(q, m, e).unwrap());
        prop_assert!((limit.factor / rigid.value.min(hinge.value) - 1.0).abs() < ROUNDING);
        if limit.mechanism == Mechanism::RigidRotation {
            let centre = rigid_rotation_centre(length, e).unwrap().value;
            prop_assert!((limit.centre.value - centre).abs() < 1e-7 * length.value, "{limit:?} {centre}");
        }
        // At the critical length both mechanisms meet.
        let critical = critical_length(q, m, e).unwrap();
        let there = rigid_rotation_force(q, critical, e).unwrap();
        prop_assert!(there.value >= hinge.value * (1.0 - ROUNDING));
        let embedded = vec![PlasticSegment { length: critical, ..segment }];
        let limit = PlasticBar::new(&[], &embedded).unwrap().limit(newtons(1.0), newtons(1.0) * e).unwrap();
        prop_assert!((limit.factor / hinge.value - 1.0).abs() < ROUNDING);
    }

    #[test]
    fn two_segments_follow_their_closed_forms(outer in bearing(), inner in bearing(), arm in 0.001..0.3) {
        let stiff = PlasticSegment {
            length: metres(arm),
            resistance: newtons_per_metre(0.0),
            plastic_moment: newton_metres(1e9),
        };
        let limit = Bar { arm: vec![stiff], embedded: vec![outer, inner] }.limit([1.0, 0.0]);
        let closed = two_segments::limit_force(&TwoSegments { outer, inner }, metres(arm)).unwrap();
        prop_assert!((limit.factor / closed.value - 1.0).abs() < ROUNDING, "{limit:?} {closed:?}");
    }

    #[test]
    fn a_head_held_by_a_stiff_arm_follows_its_closed_forms(segment in bearing()) {
        // A short outer piece that bears much turns about its own end: the bar beyond hinges at its head.
        let PlasticSegment { length, resistance: q, plastic_moment: m } = segment;
        let Ok(whole) = held_head_force(q, length, m) else { return Ok(()) };
        let force = whole.value.min(held_head_two_hinges_force(q, m).unwrap().value);
        let outer = PlasticSegment {
            length: metres(1.0),
            resistance: newtons_per_metre(1e9),
            plastic_moment: newton_metres(1e12),
        };
        // Pushed back with V at the step, the outer piece turns about c: P·(e + c) = q₁c²/2 + q₁(t − c)²/2 + V(t − c) + M.
        let e = 1e3;
        let centre = |c: f64| 1e9 * (c * c + (1.0 - c).powi(2)) / 2.0 + force * (1.0 - c) + m.value;
        let expected = (0..=1000).map(|i| f64::from(i) / 1000.0).map(|c| centre(c) / (e + c)).fold(f64::INFINITY, f64::min);
        let stiff = PlasticSegment { length: metres(e), resistance: newtons_per_metre(0.0), ..outer };
        let limit = Bar { arm: vec![stiff], embedded: vec![outer, segment] }.limit([1.0, 0.0]);
        prop_assert!(limit.factor <= expected * (1.0 + ROUNDING));
        prop_assert!(limit.factor >= expected * (1.0 - 1e-5), "{limit:?} {expected}");
    }
}

fn piece(length: f64, resistance: f64, plastic_moment: f64) -> PlasticSegment {
    PlasticSegment {
        length: metres(length),
        resistance: newtons_per_metre(resistance),
        plastic_moment: newton_metres(plastic_moment),
    }
}

/// Every mechanism by an example, with its number of moving parts and of hinges, confirmed by the static theorem.
#[test]
fn every_mechanism_occurs() {
    use Mechanism::{
        HingeAtFace, HingeAtStep, HingeInWood, HingeOutside, InnerPushedBack, RigidRotation,
    };
    let examples = [
        (
            vec![],
            vec![piece(0.1, 1e6, 1e6)],
            [1.0, 0.0],
            RigidRotation,
            [1, 0],
        ),
        (
            vec![piece(0.1, 0.0, 1e3)],
            vec![piece(0.3, 1e6, 1e3)],
            [1.0, 0.0],
            HingeInWood,
            [1, 1],
        ),
        (
            vec![piece(0.1, 0.0, 1e3)],
            vec![piece(0.3, 1e6, 1e5)],
            [1.0, 0.0],
            HingeAtFace,
            [1, 1],
        ),
        (
            vec![piece(0.1, 0.0, 1e4), piece(0.1, 0.0, 1e3)],
            vec![piece(0.3, 1e6, 1e5)],
            [0.0, 1.0],
            HingeOutside,
            [1, 1],
        ),
        (
            vec![piece(0.08, 0.0, 6e4)],
            vec![piece(0.03, 3e6, 6e4), piece(0.17, 1.2e6, 8e3)],
            [1.0, 0.0],
            HingeAtStep,
            [1, 1],
        ),
        (
            vec![],
            vec![piece(0.1, 5e6, 1e9), piece(0.1, 1e6, 2e3)],
            [1.0, 0.0],
            InnerPushedBack,
            [2, 1],
        ),
        (
            vec![],
            vec![piece(0.1, 5e6, 1e9), piece(0.3, 1e6, 400.0)],
            [1.0, 0.0],
            InnerPushedBack,
            [2, 2],
        ),
        // Weaker and weaker inward: the third part is pushed forward again, by the second.
        (
            vec![],
            vec![
                piece(0.073_8, 1.254e6, 10_314.0),
                piece(0.166_1, 153_422.0, 1_433.9),
                piece(0.015_5, 767_461.0, 2_094.3),
                piece(0.085_3, 198_142.0, 300.6),
                piece(0.108_3, 10_996.0, 6_315.3),
            ],
            [1.0, 0.0],
            InnerPushedBack,
            [3, 2],
        ),
        (
            vec![],
            vec![
                piece(0.055_9, 601_732.0, 18_798.0),
                piece(0.149_3, 0.0, 583.4),
                piece(0.055_2, 413_483.0, 7_816.2),
                piece(0.042, 0.0, 209.3),
                piece(0.069_4, 2.296_7e6, 946.1),
            ],
            [1.0, 0.490_7],
            InnerPushedBack,
            [3, 3],
        ),
    ];
    for (arm, embedded, load, mechanism, [parts, hinges]) in examples {
        let bar = Bar { arm, embedded };
        let limit = bar.limit(load);
        assert_eq!(limit.mechanism, mechanism, "{limit:?}");
        assert_eq!(limit.parts.len(), parts, "{limit:?}");
        assert_eq!(
            limit.parts.iter().filter(|part| part.hinge).count(),
            hinges,
            "{limit:?}"
        );
        assert_eq!(confirmed(&bar, load, &limit), Ok(()), "{limit:?}");
    }
}

/// A bar too strong at its step for the wood beyond to be pushed back has no such mechanism.
#[test]
fn a_short_inner_segment_is_not_pushed_back() {
    let pushed_back = |moment| {
        let bar = TwoSegments {
            outer: piece(0.1, 5e6, 1e9),
            inner: piece(0.1, 1e6, moment),
        };
        two_segments::hinge_at_step_inner_pushed_back(&bar, metres(0.0)).unwrap()
    };
    // q₂·L₂²/2 = 5000 N·m.
    assert!(pushed_back(4.999e3).is_some() && pushed_back(5.001e3).is_none());
}

/// A moment alone at the face: q·L²/4 turns a short bar about its middle, M_p is all a long one takes.
#[test]
fn a_moment_alone() {
    let (q, length) = (1e6, 0.1);
    for (plastic_moment, expected, mechanism) in [
        (1e6, q * length * length / 4.0, Mechanism::RigidRotation),
        (1e3, 1e3, Mechanism::HingeAtFace),
    ] {
        let limit = Bar {
            arm: vec![],
            embedded: vec![piece(length, q, plastic_moment)],
        }
        .limit([0.0, 1.0]);
        assert!(
            (limit.factor / expected - 1.0).abs() < ROUNDING,
            "{limit:?}"
        );
        assert_eq!(limit.mechanism, mechanism, "{limit:?}");
    }
}

#[test]
fn what_has_no_limit_load() {
    let nothing_bears = PlasticBar::new(&[], &[piece(0.1, 0.0, 1e3)]);
    assert!(matches!(
        nothing_bears,
        Err(MechanicsError::NoSolution { .. })
    ));
    assert!(matches!(
        PlasticBar::new(&[], &[]),
        Err(MechanicsError::NoSolution { .. })
    ));
    for wrong in [
        piece(0.0, 1.0, 1.0),
        piece(1.0, 1.0, 0.0),
        piece(-1.0, 1.0, 1.0),
    ] {
        assert!(matches!(
            PlasticBar::new(&[], &[wrong]),
            Err(MechanicsError::NotPositive { .. })
        ));
    }
    let negative = PlasticBar::new(&[], &[piece(1.0, -1.0, 1.0)]);
    assert!(matches!(negative, Err(MechanicsError::Negative { .. })));
    let infinite = PlasticBar::new(&[], &[piece(1.0, f64::INFINITY, 1.0)]);
    assert!(matches!(infinite, Err(MechanicsError::NotFinite { .. })));
    let bar = PlasticBar::new(&[], &[piece(0.1, 1e6, 1e3)]).unwrap();
    assert!(matches!(
        bar.limit(newtons(0.0), newton_metres(0.0)),
        Err(MechanicsError::NoSolution { .. })
    ));
    assert!(matches!(
        bar.limit(newtons(f64::NAN), newton_metres(0.0)),
        Err(MechanicsError::NotFinite { .. })
    ));
}
