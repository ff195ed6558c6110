//! The bar loose in its hole: against a bar on many small springs with play, its limits, its scaling, its contact.

use barkline::mechanics::foundation::{BarSegment, BeamTheory, ClearanceBar, FoundationBar, Side};
use barkline::units::si::{metres, newton_metres, newtons, pascals};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use std::f64::consts::PI;

/// Rounding of two exact ways to the same number.
const ROUNDING: f64 = 1e-9;
/// The edges of contact are placed to 1e-9 of the segment, and enter the results squared.
const EDGES: f64 = 1e-7;
/// The springs stand a sixtieth of the segment apart; their error falls with the square of that.
const SPRINGS: f64 = 2e-3;
const STEEL: f64 = 200e9;

#[derive(Debug, Clone, Copy)]
struct Loose {
    arm: f64,
    boss: [f64; 2],
    shank: [f64; 2],
    foundation: f64,
    gap: f64,
}

/// The bar of the reference allowables in white oak, at the central modulus down the grain.
const REFERENCE: Loose = Loose {
    arm: 0.1,
    boss: [0.055, 0.064],
    shank: [0.135, 0.033],
    foundation: 474e6,
    gap: 0.5e-3,
};

impl Loose {
    fn segments(&self) -> ([BarSegment; 1], [BarSegment; 2]) {
        let segment = |[length, d]: [f64; 2], foundation| BarSegment {
            length: metres(length),
            bending_diameter: metres(d),
            bearing_diameter: metres(d),
            modulus: pascals(STEEL),
            foundation: pascals(foundation),
        };
        (
            [segment([self.arm, self.boss[1]], 0.0)],
            [
                segment(self.boss, self.foundation),
                segment(self.shank, self.foundation),
            ],
        )
    }

    fn snug(&self) -> FoundationBar {
        let (arm, embedded) = self.segments();
        FoundationBar::new(&arm, &embedded, BeamTheory::EulerBernoulli).unwrap()
    }

    fn bar(&self) -> ClearanceBar {
        self.snug().with_clearance(metres(self.gap)).unwrap()
    }

    /// Moment, shear and deflection at a depth, and the deflection of the load point.
    fn at(&self, force: f64, x: f64, side: Side) -> [f64; 4] {
        let response = self
            .bar()
            .respond(newtons(force), newton_metres(0.0))
            .unwrap();
        let state = response.state(metres(x), side).unwrap();
        [
            state.moment.value,
            state.shear.value,
            state.deflection.value,
            response.load_point_deflection().value,
        ]
    }

    fn ends(&self) -> [f64; 3] {
        [-self.arm, self.boss[0], self.boss[0] + self.shank[0]]
    }
}

/// A bar of short cubic elements on a spring at each node, each spring of the boss with play, solved by trying which
/// springs touch until none changes. Gives the deflection of the load point and the moment at the step.
fn on_springs(bar: &Loose, force: f64) -> [f64; 2] {
    let counts = [10, 60, 60];
    let lengths = [bar.arm, bar.boss[0], bar.shank[0]];
    let diameters = [bar.boss[1], bar.boss[1], bar.shank[1]];
    let nodes = counts.iter().sum::<usize>() + 1;
    let mut beam = DMatrix::<f64>::zeros(2 * nodes, 2 * nodes);
    let (mut springs, mut loose) = (vec![0.0; nodes], vec![0.0; nodes]);
    let mut node = 0;
    for (part, count) in counts.into_iter().enumerate() {
        let h = lengths[part] / count as f64;
        let rigidity = STEEL * PI * diameters[part].powi(4) / 64.0;
        for _ in 0..count {
            let k = rigidity / h.powi(3);
            let rows = [
                [12.0, 6.0 * h, -12.0, 6.0 * h],
                [6.0 * h, 4.0 * h * h, -6.0 * h, 2.0 * h * h],
                [-12.0, -6.0 * h, 12.0, -6.0 * h],
                [6.0 * h, 2.0 * h * h, -6.0 * h, 4.0 * h * h],
            ];
            for (i, row) in rows.iter().enumerate() {
                for (j, value) in row.iter().enumerate() {
                    beam[(2 * node + i, 2 * node + j)] += k * value;
                }
            }
            if part > 0 {
                let half = bar.foundation * h / 2.0;
                let of = if part == 1 { &mut loose } else { &mut springs };
                of[node] += half;
                of[node + 1] += half;
            }
            node += 1;
        }
    }
    let mut touching = vec![1.0; nodes];
    for _ in 0..100 {
        let (mut matrix, mut load) = (beam.clone(), DVector::<f64>::zeros(2 * nodes));
        load[0] = force;
        for node in 0..nodes {
            let loose = loose[node] * f64::abs(touching[node]);
            matrix[(2 * node, 2 * node)] += springs[node] + loose;
            load[2 * node] += loose * touching[node] * bar.gap;
        }
        let moved = matrix.lu().solve(&load).unwrap();
        let side = |v: f64| if v.abs() > bar.gap { v.signum() } else { 0.0 };
        let next: Vec<f64> = (0..nodes).map(|node| side(moved[2 * node])).collect();
        if next == touching {
            let step = counts[0] + counts[1];
            let h = bar.boss[0] / counts[1] as f64;
            let taken = (counts[0]..step).map(|node| {
                let v = moved[2 * node];
                loose[node]
                    * (v - next[node] * bar.gap)
                    * f64::abs(next[node])
                    * (step - node) as f64
                    * h
            });
            return [
                moved[0],
                force * (bar.arm + bar.boss[0]) - taken.sum::<f64>(),
            ];
        }
        touching = next;
    }
    panic!("the springs did not settle");
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance * expected.abs(),
        "{found} is not {expected}"
    );
}

#[test]
fn a_bar_on_many_small_springs_with_play_agrees() {
    for (gap, force) in [
        (0.5e-3, 2e3),
        (0.5e-3, 8e3),
        (0.5e-3, 40e3),
        (0.1e-3, 8e3),
        (2e-3, 5e3),
    ] {
        for foundation in [158e6, 474e6, 1900e6] {
            let bar = Loose {
                foundation,
                gap,
                ..REFERENCE
            };
            let [sinking, moment] = on_springs(&bar, force);
            let [at_step, _, _, deflection] = bar.at(force, bar.boss[0], Side::Outer);
            near(deflection, sinking, SPRINGS);
            near(at_step, moment, SPRINGS);
        }
    }
}

#[test]
fn without_clearance_it_is_the_snug_bar() {
    let bar = Loose {
        gap: 0.0,
        ..REFERENCE
    };
    let snug = bar.snug().solve().unwrap();
    let whole = snug.respond(newtons(5e3), newton_metres(0.0)).unwrap();
    for x in [-0.1, -0.03, 0.0, 0.02, 0.05, 0.07, 0.15] {
        let one = whole.state(metres(x), Side::Inner).unwrap();
        let [moment, shear, deflection, _] = bar.at(5e3, x, Side::Inner);
        near(moment, one.moment.value, ROUNDING);
        near(shear, one.shear.value, ROUNDING);
        near(deflection, one.deflection.value, ROUNDING);
    }
}

/// While the boss touches nothing it is part of the arm.
#[test]
fn a_boss_that_touches_nothing_is_an_arm() {
    let bar = Loose {
        gap: 5e-3,
        ..REFERENCE
    };
    let ([mut arm], [boss, shank]) = bar.segments();
    arm.length += boss.length;
    let long = FoundationBar::new(&[arm], &[shank], BeamTheory::EulerBernoulli).unwrap();
    let flexibility = long.solve().unwrap().load_point_flexibility()[0][0];
    let response = bar
        .bar()
        .respond(newtons(300.0), newton_metres(0.0))
        .unwrap();
    assert!(response.contact().is_empty());
    near(
        response.load_point_deflection().value,
        300.0 * flexibility,
        ROUNDING,
    );
}

/// Stepping along the bar gives the states at the places, snug and loose, over one piece and over several.
#[test]
fn states_along_the_bar_are_those_at_its_places() {
    let snug = REFERENCE.snug().solve().unwrap();
    let response = REFERENCE
        .bar()
        .respond(newtons(8e3), newton_metres(0.0))
        .unwrap();
    for [from, to] in [
        [-0.1, 0.0],
        [0.0, 0.055],
        [0.055, 0.19],
        [-0.08, 0.17],
        [0.06, 0.06],
    ] {
        let place = |i: usize| metres(from + (to - from) * i as f64 / 16.0);
        let side = |i: usize| if i == 0 { Side::Inner } else { Side::Outer };
        let mut counted = 0;
        snug.unit_force_along(metres(from), metres(to), 16, |i, state| {
            let one = snug.unit_force_state(place(i), side(i)).unwrap();
            assert!(
                (one.moment - state.moment).abs() < 1e-13
                    && (one.shear - state.shear).abs() < 1e-12
            );
            near(state.bearing_pressure, one.bearing_pressure, ROUNDING);
            counted += 1;
        })
        .unwrap();
        response
            .along(metres(from), metres(to), 16, |i, state| {
                let one = response.state(place(i), side(i)).unwrap();
                assert!((one.moment.value - state.moment).abs() < 1e-9);
                assert!((one.shear.value - state.shear).abs() < 1e-8);
                near(state.deflection, one.deflection.value, ROUNDING);
                near(state.bearing_pressure, one.bearing_pressure.value, ROUNDING);
                counted += 1;
            })
            .unwrap();
        assert_eq!(counted, 34);
    }
    assert!(
        snug.unit_force_along(metres(0.0), metres(0.2), 16, |_, _| ())
            .is_err()
    );
}

/// Nothing would hold it while it does not touch.
#[test]
fn a_loose_boss_needs_a_shank() {
    let ([arm], [boss, _]) = REFERENCE.segments();
    let bar = FoundationBar::new(&[arm], &[boss], BeamTheory::EulerBernoulli).unwrap();
    assert!(bar.with_clearance(metres(0.5e-3)).is_err());
}

#[test]
fn without_a_load_it_stays() {
    let still = REFERENCE
        .bar()
        .respond(newtons(0.0), newton_metres(0.0))
        .unwrap();
    assert!(still.contact().is_empty() && still.load_point_deflection().value == 0.0);
}

fn loose() -> impl Strategy<Value = Loose> {
    (
        0.0..0.2_f64,
        0.02..0.12_f64,
        0.04..0.12_f64,
        0.05..0.25_f64,
        0.3..0.9_f64,
        7.5..9.5_f64,
        0.0..2e-3_f64,
    )
        .prop_map(|(arm, t, d, l, share, k, gap)| Loose {
            arm: arm.max(1e-3),
            boss: [t, d],
            shank: [l, d * share],
            foundation: 10f64.powf(k),
            gap,
        })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    /// Load and clearance times a factor give results times that factor; either way the bar is the same.
    #[test]
    fn it_scales_with_load_and_clearance_together(bar in loose(), force in 1e2..1e5_f64, factor in 0.2..5.0_f64) {
        let scaled = Loose { gap: bar.gap * factor, ..bar };
        let x = bar.boss[0] / 2.0;
        let (one, other) = (bar.at(force, x, Side::Outer), scaled.at(force * factor, x, Side::Outer));
        let back = bar.at(-force, x, Side::Outer);
        let size = [force * (bar.arm + bar.boss[0]), force, one[3].abs(), one[3].abs()];
        for i in 0..4 {
            prop_assert!((one[i] * factor - other[i]).abs() <= EDGES * size[i] * factor, "{one:?} {other:?}");
            prop_assert!((one[i] + back[i]).abs() <= EDGES * size[i], "{one:?} {back:?}");
        }
    }

    /// The wood carries what the load brings; the bar is whole at every edge; it bears where it moved by more than the clearance, and only there.
    #[test]
    fn it_is_in_balance_and_bears_where_it_touches(bar in loose(), force in 1e2..1e5_f64) {
        let response = bar.bar().respond(newtons(force), newton_metres(0.0)).unwrap();
        let [_, t, tip] = bar.ends();
        let state = |x: f64, side| response.state(metres(x), side).unwrap();
        let size = force * (bar.arm + tip);
        prop_assert!((state(0.0, Side::Inner).moment.value - force * bar.arm).abs() <= EDGES * size);
        prop_assert!((state(0.0, Side::Inner).shear.value - force).abs() <= EDGES * force);
        prop_assert!(state(tip, Side::Outer).moment.value.abs() <= EDGES * size);
        prop_assert!(state(tip, Side::Outer).shear.value.abs() <= EDGES * force);
        let largest = response.load_point_deflection().value.abs();
        for i in 0..=40 {
            let x = t * f64::from(i) / 40.0;
            let (outer, inner) = (state(x, Side::Outer), state(x, Side::Inner));
            let bears = if i == 0 { inner } else { outer };
            prop_assert!((outer.moment.value - inner.moment.value).abs() <= EDGES * size);
            prop_assert!((outer.deflection.value - inner.deflection.value).abs() <= EDGES * largest);
            let v = bears.deflection.value;
            let expected = bar.foundation * v.signum() * (v.abs() - bar.gap).max(0.0);
            let found = bears.line_reaction.value;
            prop_assert!((found - expected).abs() <= 1e-6 * bar.foundation * largest, "{x}: {found} {expected}");
        }
        for x in response.contact().iter().flatten().map(|x| x.value).filter(|x| *x > 0.0 && *x < t) {
            prop_assert!((state(x, Side::Outer).deflection.value.abs() - bar.gap).abs() <= EDGES * largest);
        }
    }

    /// Where the search begins changes nothing.
    #[test]
    fn begun_from_another_load_it_is_the_same(bar in loose(), force in 1e2..1e5_f64, factor in -2.0..2.0_f64) {
        let loaded = bar.bar();
        let none = newton_metres(0.0);
        let alone = loaded.respond(newtons(force), none).unwrap();
        let other = loaded.respond(newtons(force * factor), none).unwrap();
        let begun = loaded.respond_near(newtons(force), none, Some(&other)).unwrap();
        let [a, b] = [alone, begun].map(|found| found.load_point_deflection().value);
        prop_assert!((a - b).abs() <= ROUNDING * a.abs(), "{a} {b}");
    }

    /// More load bends the bar more and sinks it more, and sinks it by no more than in proportion: touching only adds support.
    #[test]
    fn it_grows_with_its_load(bar in loose(), force in 1e2..1e5_f64, factor in 1.0..3.0_f64) {
        let t = bar.boss[0];
        let (one, other) = (bar.at(force, t, Side::Outer), bar.at(force * factor, t, Side::Outer));
        prop_assert!(other[0] >= one[0] - EDGES * force * (bar.arm + t), "{one:?} {other:?} {factor}");
        prop_assert!(other[3] >= one[3] * (1.0 - EDGES), "{one:?} {other:?} {factor}");
        prop_assert!(other[3] <= factor * one[3] * (1.0 + EDGES), "{one:?} {other:?} {factor}");
    }
}

#[test]
fn a_clearance_must_be_a_length() {
    let bar = REFERENCE.snug();
    assert!(bar.with_clearance(metres(-1e-3)).is_err());
    assert!(bar.with_clearance(metres(f64::NAN)).is_err());
}
