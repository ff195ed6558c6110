//! The elastic bar: its differential equation, equilibrium, reciprocity, limits, and independence of how it is cut.

use barkline::mechanics::MechanicsError;
use barkline::mechanics::foundation::closed_forms::{
    characteristic, finite_free_state, rigid_pose, semi_infinite_largest_moment,
    semi_infinite_state,
};
use barkline::mechanics::foundation::{
    BarSegment, BarSolution, BarState, BeamTheory, FoundationBar, Side, UnitState,
};
use barkline::units::si::{gigapascals, megapascals, metres, newton_metres, newtons, pascals};
use barkline::units::{FlexuralStiffness, Length};
use proptest::prelude::*;
use std::f64::consts::PI;

/// Rounding of two exact ways to the same number, relative to the largest number of its kind.
const ROUNDING: f64 = 1e-9;
/// Differences over five places 1e-3 of the shortest wave apart: their own error, 1e-12/30, and rounding, 1e-13.
const DIFFERENCES: f64 = 1e-9;

fn segment() -> impl Strategy<Value = BarSegment> {
    (0.01..0.3, 0.015..0.09, 1.0..1.3, 7.5..9.7, 0..6).prop_map(
        |(length, d, bearing, k, bears): (f64, f64, f64, f64, i32)| BarSegment {
            length: metres(length),
            bending_diameter: metres(d),
            bearing_diameter: metres(d * bearing),
            modulus: gigapascals(200.0),
            foundation: pascals(if bears == 0 { 0.0 } else { 10f64.powf(k) }),
        },
    )
}

fn theories() -> impl Strategy<Value = BeamTheory> {
    prop_oneof![
        2 => Just(BeamTheory::EulerBernoulli),
        1 => Just(BeamTheory::Timoshenko { shear_modulus: gigapascals(79.0), shear_coefficient: 0.9 }),
        // So soft in shear that the deflection no longer waves.
        1 => (8.0..9.5).prop_map(|g: f64| BeamTheory::Timoshenko {
            shear_modulus: pascals(10f64.powf(g)),
            shear_coefficient: 0.9,
        }),
    ]
}

#[derive(Debug, Clone)]
struct Bar {
    arm: Vec<BarSegment>,
    embedded: Vec<BarSegment>,
    theory: BeamTheory,
    tip: [f64; 2],
}

impl Bar {
    fn solve(&self) -> BarSolution {
        FoundationBar::new(&self.arm, &self.embedded, self.theory)
            .and_then(|bar| bar.with_tip_spring(newtons(self.tip[0]) / metres(1.0)))
            .and_then(|bar| bar.with_tip_rotational_spring(newton_metres(self.tip[1])))
            .and_then(|bar| bar.solve())
            .unwrap()
    }

    fn ends(&self) -> [f64; 2] {
        let total = |part: &[BarSegment]| part.iter().map(|s| s.length.value).sum::<f64>();
        [-total(&self.arm), total(&self.embedded)]
    }

    /// Every segment with its two ends.
    fn laid(&self) -> Vec<([f64; 2], BarSegment)> {
        let mut start = self.ends()[0];
        let mut laid = Vec::new();
        for segment in self.arm.iter().chain(&self.embedded) {
            laid.push(([start, start + segment.length.value], *segment));
            start += segment.length.value;
        }
        laid
    }

    fn shear_flexibility(&self, segment: &BarSegment) -> f64 {
        match self.theory {
            BeamTheory::EulerBernoulli => 0.0,
            BeamTheory::Timoshenko {
                shear_modulus,
                shear_coefficient,
            } => {
                let area = PI * segment.bending_diameter.value.powi(2) / 4.0;
                1.0 / (shear_coefficient * shear_modulus.value * area)
            }
        }
    }
}

fn bars() -> impl Strategy<Value = Bar> {
    let arm = prop::collection::vec(segment(), 0..3).prop_map(|mut arm| {
        for segment in &mut arm {
            segment.foundation = pascals(0.0);
        }
        arm
    });
    let tip = prop_oneof![3 => Just([0.0, 0.0]), 1 => [0.0..1e8, 0.0..1e5]];
    (arm, prop::collection::vec(segment(), 1..5), theories(), tip)
        .prop_map(|(arm, embedded, theory, tip)| Bar {
            arm,
            embedded,
            theory,
            tip,
        })
        .prop_filter("something bears", |bar| {
            bar.embedded.iter().any(|s| s.foundation.value > 0.0)
        })
}

fn flexural(segment: &BarSegment) -> FlexuralStiffness {
    let d = segment.bending_diameter;
    segment.modulus * (d * d * d * d * (PI / 64.0))
}

fn plain(state: &BarState) -> [f64; 4] {
    [
        state.deflection.value,
        state.slope.value,
        state.moment.value,
        state.shear.value,
    ]
}

/// The largest magnitudes of v, θ, M, V at the ends and middles of the segments.
fn scales(bar: &Bar, solution: &BarSolution, load: [f64; 2]) -> [f64; 4] {
    let response = solution
        .respond(newtons(load[0]), newton_metres(load[1]))
        .unwrap();
    let mut scales = [0.0f64; 4];
    for ([from, to], _) in bar.laid() {
        for x in [from, 0.5 * (from + to), to] {
            let state = plain(&response.state(metres(x), Side::Outer).unwrap());
            scales = std::array::from_fn(|i| scales[i].max(state[i].abs()));
        }
    }
    scales
}

fn close(one: [f64; 4], other: [f64; 4], scale: [f64; 4], tolerance: f64) -> bool {
    (0..4).all(|i| (one[i] - other[i]).abs() <= tolerance * scale[i])
}

proptest! {
    #[test]
    fn the_states_obey_the_differential_equation(bar in bars(), load in [-1e4..1e4, -1e3..1e3], share in 0.01..0.99) {
        let solution = bar.solve();
        let scale = scales(&bar, &solution, load);
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        for ([from, to], segment) in bar.laid() {
            let (ei, k, c) = (flexural(&segment).value, segment.foundation.value, bar.shear_flexibility(&segment));
            let wave = 1.0 / ((k / ei).powf(0.25) + (k * c).sqrt() + 1.0 / (to - from));
            let (x, h) = (from + share * (to - from), 1e-3 * wave);
            let at = |x: f64| plain(&response.state(metres(x), Side::Outer).unwrap());
            let around = [-2.0, -1.0, 1.0, 2.0].map(|step| at(x + step * h));
            let derivative: [f64; 4] = std::array::from_fn(|i| {
                let [a, b, c, d] = around.map(|state| state[i]);
                (a - 8.0 * b + 8.0 * c - d) / (12.0 * h)
            });
            let here = at(x);
            let [v, theta, m, q] = here;
            let expected = [-theta - c * q, -m / ei, q, -k * v];
            // What a derivative is measured by: its own size, and what its quantity may change over a wave, near this
            // place and, for rounding, anywhere.
            let size: [f64; 4] =
                std::array::from_fn(|i| (here[i].abs() + 1e-3 * scale[i]) / wave + expected[i].abs());
            prop_assert!(close(derivative, expected, size, DIFFERENCES), "{derivative:?} {expected:?} at {x} {segment:?}");
        }
    }

    #[test]
    fn the_bar_is_in_equilibrium(bar in bars(), load in [-1e4..1e4, -1e3..1e3]) {
        let solution = bar.solve();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let [outer, tip] = bar.ends();
        // Simpson over 1000 cells of every segment, a hundredth of the shortest wave or less.
        let (mut force, mut moment, mut size) = (0.0, 0.0, 0.0);
        for ([from, to], segment) in bar.laid() {
            let h = (to - from) / 1000.0;
            for cell in 0..1000 {
                let x = from + f64::from(cell) * h;
                for (place, weight) in [(x, 1.0), (x + h / 2.0, 4.0), (x + h, 1.0)] {
                    let state = response.state(metres(place.min(to)), Side::Outer).unwrap();
                    let p = segment.foundation.value * state.deflection.value * weight * h / 6.0;
                    force += p;
                    moment += p * (place - outer);
                    size += p.abs();
                }
            }
        }
        let end = response.state(metres(tip), Side::Outer).unwrap();
        let spring = [bar.tip[0] * end.deflection.value, bar.tip[1] * end.slope.value];
        let span = tip - outer;
        prop_assert!((force + spring[0] - load[0]).abs() <= 1e-6 * (size + load[0].abs()));
        // The moments about the load point: M and what the wood and the springs give.
        let about = load[1] + moment + spring[0] * span - spring[1];
        prop_assert!(about.abs() <= 1e-6 * (size * span + load[1].abs()), "{about}");
        let inner = response.line_reaction_between(metres(0.0), metres(tip)).unwrap().value;
        prop_assert!((inner - force).abs() <= 1e-6 * (size + load[0].abs()));
    }

    #[test]
    fn the_ends_are_as_loaded(bar in bars(), load in [-1e4..1e4, -1e3..1e3]) {
        let solution = bar.solve();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let [outer, tip] = bar.ends();
        let scale = scales(&bar, &solution, load);
        let flexibility = solution.load_point_flexibility();
        let expected = [
            flexibility[0][0] * load[0] + flexibility[0][1] * load[1],
            flexibility[1][0] * load[0] + flexibility[1][1] * load[1],
            load[1],
            load[0],
        ];
        let start = plain(&response.state(metres(outer), Side::Inner).unwrap());
        prop_assert!(close(start, expected, scale, ROUNDING), "{start:?} {expected:?}");
        let end = plain(&response.state(metres(tip), Side::Outer).unwrap());
        let expected = [end[0], end[1], bar.tip[1] * end[1], bar.tip[0] * end[0]];
        prop_assert!(close(end, expected, scale, ROUNDING));
    }

    #[test]
    fn the_state_is_continuous_across_steps_and_pressure_is_not(bar in bars(), load in [-1e4..1e4, -1e3..1e3]) {
        let solution = bar.solve();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let scale = scales(&bar, &solution, load);
        for pair in bar.laid().windows(2) {
            let x = metres(pair[0].0[1]);
            let [outer, inner] = [Side::Outer, Side::Inner].map(|side| response.state(x, side).unwrap());
            prop_assert!(close(plain(&outer), plain(&inner), scale, ROUNDING));
            for (state, (_, segment)) in [(outer, pair[0]), (inner, pair[1])] {
                let pressure = segment.foundation * state.deflection / segment.bearing_diameter;
                prop_assert!((pressure - state.bearing_pressure).value.abs() <= 1e-12 * pressure.value.abs());
            }
        }
    }

    #[test]
    fn deflection_by_moment_is_slope_by_force(bar in bars()) {
        let [[vv, vt], [tv, tt]] = bar.solve().load_point_flexibility();
        prop_assert!((vt - tv).abs() <= ROUNDING * (vv * tt).sqrt());
        prop_assert!(vv > 0.0 && tt > 0.0 && vv * tt > vt * tv);
    }

    #[test]
    fn unit_states_superpose(bar in bars(), load in [-1e4..1e4, -1e3..1e3], share in 0.0..1.0) {
        let solution = bar.solve();
        let [outer, tip] = bar.ends();
        let x = metres(outer + share * (tip - outer));
        let (force, moment) = solution.unit_states(x, Side::Outer).unwrap();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let state = response.state(x, Side::Outer).unwrap();
        let sum = |part: fn(&UnitState) -> f64| load[0] * part(&force) + load[1] * part(&moment);
        let scale = scales(&bar, &solution, load);
        let expected = [sum(|s| s.deflection), sum(|s| s.slope), sum(|s| s.moment), sum(|s| s.shear)];
        prop_assert!(close(plain(&state), expected, scale, ROUNDING));
        let reactions = [
            (state.line_reaction.value, sum(|s| s.line_reaction)),
            (state.bearing_pressure.value, sum(|s| s.bearing_pressure)),
        ];
        for (one, other) in reactions {
            prop_assert!((one - other).abs() <= ROUNDING * (one.abs() + other.abs()) + 1e-3);
        }
    }

    #[test]
    fn splitting_a_segment_changes_nothing(bar in bars(), share in 0.001..0.999, at in 0.0..1.0) {
        let split = |segments: &[BarSegment]| -> Vec<BarSegment> {
            let halves = |s: &BarSegment| [share, 1.0 - share].map(|part| BarSegment { length: s.length * part, ..*s });
            segments.iter().flat_map(halves).collect()
        };
        let other = Bar { arm: split(&bar.arm), embedded: split(&bar.embedded), ..bar.clone() };
        let [outer, tip] = bar.ends();
        let x = metres(outer + at * (tip - outer));
        let load = [1e3, -50.0];
        let scale = scales(&bar, &bar.solve(), load);
        let [one, two] = [&bar, &other].map(|bar| {
            let solution = bar.solve();
            let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
            plain(&response.state(x, Side::Outer).unwrap())
        });
        prop_assert!(close(one, two, scale, ROUNDING), "{one:?} {two:?}");
    }

    #[test]
    fn extremes_are_reached_and_never_exceeded(bar in bars(), load in [-1e4..1e4, -1e3..1e3]) {
        let solution = bar.solve();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let [moment, shear] = [
            (response.largest_moment().value.value, response.largest_moment().at),
            (response.largest_shear().value.value, response.largest_shear().at),
        ];
        let pressure = response.largest_pressure();
        let scale = scales(&bar, &solution, load);
        let sides = |x: Length| [Side::Outer, Side::Inner].map(|side| response.state(x, side).unwrap());
        prop_assert!((plain(&sides(moment.1)[0])[2] - moment.0).abs() <= ROUNDING * scale[2]);
        prop_assert!((plain(&sides(shear.1)[0])[3] - shear.0).abs() <= ROUNDING * scale[3]);
        let there = sides(pressure.at).map(|state| (state.bearing_pressure - pressure.value).value.abs());
        prop_assert!(there[0].min(there[1]) <= ROUNDING * pressure.value.value.abs());
        let segments = bar.laid();
        prop_assert!(segments[pressure.segment].1.foundation.value > 0.0);
        let zeros = response.zero_deflection_depths();
        let mut changes = 0;
        for (index, ([from, to], _)) in segments.iter().enumerate() {
            let mut before: Option<f64> = None;
            for i in 0..=300 {
                let x = from + (to - from) * f64::from(i) / 300.0;
                let state = response.state(metres(x), if i == 0 { Side::Inner } else { Side::Outer }).unwrap();
                let larger = 1.0 + ROUNDING;
                prop_assert!(state.moment.value.abs() <= moment.0.abs() * larger);
                prop_assert!(state.shear.value.abs() <= shear.0.abs() * larger);
                if index >= bar.arm.len() {
                    prop_assert!(state.bearing_pressure.value.abs() <= pressure.value.value.abs() * larger);
                    let v = state.deflection.value;
                    changes += usize::from(before.is_some_and(|b| b * v < 0.0));
                    before = Some(v);
                }
            }
        }
        prop_assert!(zeros.len() >= changes, "{changes} changes of sign, zeros {zeros:?}");
        for pair in zeros.windows(2) {
            prop_assert!(pair[0] < pair[1]);
        }
        for zero in zeros {
            prop_assert!(sides(zero)[0].deflection.value.abs() <= 1e-10 * scale[0]);
        }
    }

    #[test]
    fn the_stiffness_of_a_piece_joins_its_end_states(segment in segment(), theory in theories(), end in [-1e3..1e3, -1e2..1e2]) {
        // The piece as a bar on its own, its inner end on springs: its end states must satisfy f = k·d.
        let stiffness = segment.stiffness(theory).unwrap();
        let bar = Bar { arm: vec![], embedded: vec![segment], theory, tip: [3e6, 2e4] };
        let solution = bar.solve();
        let response = solution.respond(newtons(end[0]), newton_metres(end[1])).unwrap();
        let [o, i] = [0.0, segment.length.value].map(|x| plain(&response.state(metres(x), Side::Outer).unwrap()));
        let d = [o[0], o[1], i[0], i[1]];
        let forces = [o[3], o[2], -i[3], -i[2]];
        for (row, force) in stiffness.iter().zip(forces) {
            let terms: Vec<f64> = row.iter().zip(d).map(|(k, d)| k * d).collect();
            let size: f64 = terms.iter().map(|term| term.abs()).sum::<f64>() + force.abs();
            let sum: f64 = terms.iter().sum();
            prop_assert!((sum - force).abs() <= ROUNDING * size, "{sum} {force}");
        }
        for (i, row) in stiffness.iter().enumerate() {
            for (j, term) in row.iter().enumerate() {
                let diagonal = (stiffness[i][i] * stiffness[j][j]).sqrt();
                prop_assert!((term - stiffness[j][i]).abs() <= ROUNDING * diagonal);
            }
        }
    }

    #[test]
    fn a_soft_foundation_leaves_the_bar_to_its_tip_springs(bar in bars()) {
        // K → 0 with springs at the tip: a cantilever on springs.
        let mut bar = Bar { tip: [2e7, 3e4], theory: BeamTheory::EulerBernoulli, ..bar };
        for segment in &mut bar.embedded { segment.foundation = pascals(1e-6); }
        let [outer, tip] = bar.ends();
        let span = tip - outer;
        let mut expected = [1.0 / bar.tip[0] + span * span / bar.tip[1], span / bar.tip[1], 1.0 / bar.tip[1]];
        for ([from, to], segment) in bar.laid() {
            let (a, b, ei) = (from - outer, to - outer, flexural(&segment).value);
            expected[0] += (b.powi(3) - a.powi(3)) / (3.0 * ei);
            expected[1] += (b * b - a * a) / (2.0 * ei);
            expected[2] += (b - a) / ei;
        }
        let [[vv, vt], [_, tt]] = bar.solve().load_point_flexibility();
        for (one, other) in [vv, vt, tt].into_iter().zip(expected) {
            prop_assert!((one / other - 1.0).abs() < ROUNDING);
        }
    }

    #[test]
    fn a_hard_foundation_holds_the_arm_at_the_face(bar in bars()) {
        // K → ∞: a cantilever built in at the face, but for what a bar without end gives there.
        let mut bar = Bar { theory: BeamTheory::EulerBernoulli, tip: [0.0; 2], ..bar };
        for segment in &mut bar.embedded { segment.foundation = pascals(1e19); }
        let outer = bar.ends()[0];
        let cantilever: f64 = bar.laid()[..bar.arm.len()]
            .iter()
            .map(|([from, to], s)| ((to - outer).powi(3) - (from - outer).powi(3)) / (3.0 * flexural(s).value))
            .sum();
        let face = &bar.embedded[0];
        let (force, arm) = (newtons(1.0), metres(-outer));
        let state = semi_infinite_state(face.foundation, flexural(face), force, force * arm, metres(0.0)).unwrap();
        let given = state.deflection.value - outer * state.slope.value;
        let [[vv, _], _] = bar.solve().load_point_flexibility();
        prop_assert!((vv / (cantilever + given) - 1.0).abs() < ROUNDING, "{vv} {cantilever} {given}");
    }

    #[test]
    fn a_rigid_bar_stands_in_its_rigid_pose(segment in segment(), load in [-1e4..1e4, -1e3..1e3]) {
        prop_assume!(segment.foundation.value > 0.0);
        let stiff = BarSegment { modulus: gigapascals(1e12), ..segment };
        let solution = Bar { arm: vec![], embedded: vec![stiff], theory: BeamTheory::EulerBernoulli, tip: [0.0; 2] }.solve();
        let response = solution.respond(newtons(load[0]), newton_metres(load[1])).unwrap();
        let face = response.state(metres(0.0), Side::Inner).unwrap();
        let pose = rigid_pose(segment.foundation, segment.length, newtons(load[0]), newton_metres(load[1])).unwrap();
        let size = pose.deflection.value.abs() + (pose.slope.value * segment.length.value).abs();
        prop_assert!((face.deflection - pose.deflection).value.abs() <= 1e-5 * size);
        prop_assert!((face.slope - pose.slope).value.abs() * segment.length.value <= 1e-5 * size);
    }

    #[test]
    fn a_uniform_bar_follows_its_closed_forms(segment in segment(), arm in 0.0..0.2, share in 0.0..1.0) {
        prop_assume!(segment.foundation.value > 0.0);
        let (k, ei, l) = (segment.foundation, flexural(&segment), segment.length);
        let (force, moment) = (newtons(1e3), newtons(1e3) * metres(arm));
        let bar = |length| Bar {
            arm: vec![],
            embedded: vec![BarSegment { length, ..segment }],
            theory: BeamTheory::EulerBernoulli,
            tip: [0.0; 2],
        };
        let lambda = characteristic(k, ei).unwrap();
        let x = l * share;
        let finite = bar(l);
        let solution = finite.solve();
        let state = plain(&solution.respond(force, moment).unwrap().state(x, Side::Outer).unwrap());
        let closed = finite_free_state(k, ei, l, force, moment, x);
        let scale = scales(&finite, &solution, [force.value, moment.value]);
        // The closed form loses digits as the bar gets stiff: about 1e-16/(λL)⁴.
        let z = (lambda * l).value;
        if let Ok(closed) = closed {
            let expected = [closed.deflection.value, closed.slope.value, closed.moment.value, closed.shear.value];
            prop_assert!(close(state, expected, scale, ROUNDING + 1e-14 / z.powi(4)), "{state:?} {expected:?}");
        }

        // λL = 50, far beyond any tip.
        let long = bar(metres(50.0) / (lambda * metres(1.0)).value);
        let solution = long.solve();
        let response = solution.respond(force, moment).unwrap();
        let state = plain(&response.state(x, Side::Outer).unwrap());
        let closed = semi_infinite_state(k, ei, force, moment, x).unwrap();
        let expected = [closed.deflection.value, closed.slope.value, closed.moment.value, closed.shear.value];
        prop_assert!(close(state, expected, expected.map(f64::abs), 1e-7), "{state:?} {expected:?}");
        let largest = semi_infinite_largest_moment(k, ei, force, metres(arm)).unwrap();
        prop_assert!(((response.largest_moment().value / largest.moment).value - 1.0).abs() < ROUNDING);
        prop_assert!((response.largest_moment().at - largest.at).value.abs() < 1e-9);
    }

    #[test]
    fn units_scale(bar in bars(), length in 0.1..10.0_f64, stress in 0.01..100.0_f64) {
        let scaled = |segments: &[BarSegment]| -> Vec<BarSegment> {
            segments.iter().map(|s| BarSegment {
                length: s.length * length,
                bending_diameter: s.bending_diameter * length,
                bearing_diameter: s.bearing_diameter * length,
                modulus: s.modulus * stress,
                foundation: s.foundation * stress,
            }).collect()
        };
        let theory = match bar.theory {
            BeamTheory::Timoshenko { shear_modulus, shear_coefficient } =>
                BeamTheory::Timoshenko { shear_modulus: shear_modulus * stress, shear_coefficient },
            BeamTheory::EulerBernoulli => BeamTheory::EulerBernoulli,
        };
        let other = Bar {
            arm: scaled(&bar.arm),
            embedded: scaled(&bar.embedded),
            theory,
            tip: [bar.tip[0] * stress * length, bar.tip[1] * stress * length.powi(3)],
        };
        let [[vv, vt], [_, tt]] = bar.solve().load_point_flexibility();
        let [[vv2, vt2], [_, tt2]] = other.solve().load_point_flexibility();
        prop_assert!((vv2 * stress * length / vv - 1.0).abs() < ROUNDING);
        prop_assert!((vt2 * stress * length.powi(2) - vt).abs() < ROUNDING * (vv * tt).sqrt());
        prop_assert!((tt2 * stress * length.powi(3) / tt - 1.0).abs() < ROUNDING);
    }
}

/// Hetényi's stiffness terms of a bar with free ends, and the cubic beam's where nothing bears.
#[test]
fn the_stiffness_of_a_piece_follows_its_closed_forms() {
    let segment = BarSegment {
        length: metres(0.15),
        bending_diameter: metres(0.032),
        bearing_diameter: metres(0.032),
        modulus: gigapascals(205.0),
        foundation: megapascals(500.0),
    };
    let (ei, l) = (flexural(&segment).value, segment.length.value);
    let lambda = characteristic(segment.foundation, flexural(&segment))
        .unwrap()
        .value;
    let z = lambda * l;
    let (sh, ch, s, c) = (z.sinh(), z.cosh(), z.sin(), z.cos());
    let n = sh * sh - s * s;
    let [k11, k12, k13, k14, k22, k24] = [
        4.0 * ei * lambda.powi(3) * (sh * ch + s * c) / n,
        2.0 * ei * lambda.powi(2) * (sh * sh + s * s) / n,
        -4.0 * ei * lambda.powi(3) * (sh * c + ch * s) / n,
        4.0 * ei * lambda.powi(2) * sh * s / n,
        2.0 * ei * lambda * (sh * ch - s * c) / n,
        2.0 * ei * lambda * (ch * s - c * sh) / n,
    ];
    // Those are for θ = dv/dx along the bar; here θ = −dv/dx.
    let winkler = [
        [k11, -k12, k13, -k14],
        [-k12, k22, k14, k24],
        [k13, k14, k11, k12],
        [-k14, k24, k12, k22],
    ];
    let [a, b, d] = [12.0 * ei / l.powi(3), 6.0 * ei / l.powi(2), 2.0 * ei / l];
    let cubic = [
        [a, -b, -a, -b],
        [-b, 2.0 * d, b, d],
        [-a, b, a, b],
        [-b, d, b, 2.0 * d],
    ];
    let idle = BarSegment {
        foundation: pascals(0.0),
        ..segment
    };
    for (segment, expected) in [(segment, winkler), (idle, cubic)] {
        let stiffness = segment.stiffness(BeamTheory::EulerBernoulli).unwrap();
        for (one, other) in stiffness.iter().flatten().zip(expected.iter().flatten()) {
            assert!(
                (one / other - 1.0).abs() < 1e-11,
                "{stiffness:?} {expected:?}"
            );
        }
    }
    // A very long piece: each end as if the other were not there.
    let long = BarSegment {
        length: metres(50.0 / lambda),
        ..segment
    };
    let stiffness = long.stiffness(BeamTheory::EulerBernoulli).unwrap();
    let alone = [
        4.0 * ei * lambda.powi(3),
        2.0 * ei * lambda.powi(2),
        2.0 * ei * lambda,
    ];
    for (one, other) in [stiffness[0][0], -stiffness[0][1], stiffness[1][1]]
        .into_iter()
        .zip(alone)
    {
        assert!((one / other - 1.0).abs() < 1e-12);
    }
    assert!(stiffness[0][2].abs() < 1e-15 * stiffness[0][0]);
}

/// A bar 50/λ long under a force at its face: v ∝ e⁻ᶻ cos z crosses zero at every odd multiple of π/2, the moment is
/// greatest at π/4, the shear at the face and the pressure there too.
#[test]
fn a_long_bar_waves() {
    let segment = BarSegment {
        length: metres(1.0),
        bending_diameter: metres(0.03),
        bearing_diameter: metres(0.03),
        modulus: gigapascals(200.0),
        foundation: megapascals(500.0),
    };
    let lambda = characteristic(segment.foundation, flexural(&segment))
        .unwrap()
        .value;
    let long = BarSegment {
        length: metres(50.0 / lambda),
        ..segment
    };
    let bar = FoundationBar::new(&[], &[long], BeamTheory::EulerBernoulli).unwrap();
    let solution = bar.solve().unwrap();
    let response = solution.respond(newtons(1e3), newton_metres(0.0)).unwrap();
    let zeros = response.zero_deflection_depths();
    // Up to 47 from the face; nearer to the tip it is the tip that tells.
    for (count, zero) in (0..15).zip(&zeros) {
        let expected = (f64::from(count) + 0.5) * PI;
        assert!(
            (zero.value * lambda - expected).abs() < 1e-2,
            "{count}: {zero:?} {expected}"
        );
    }
    assert_eq!(zeros.len(), 16, "{zeros:?}");
    assert!((response.largest_moment().at.value * lambda - PI / 4.0).abs() < 1e-9);
    assert_eq!(response.largest_shear().at.value, 0.0);
    assert_eq!(response.largest_pressure().at.value, 0.0);
    let [least, greatest] = response.pressure_range(0).unwrap();
    assert!(greatest.at.value == 0.0 && (least.at.value * lambda - 0.75 * PI).abs() < 1e-9);
    assert!(response.pressure_range(1).is_none());
}

#[test]
fn tip_springs_add_in_any_order() {
    let segment = BarSegment {
        length: metres(0.1),
        bending_diameter: metres(0.03),
        bearing_diameter: metres(0.03),
        modulus: gigapascals(200.0),
        foundation: megapascals(500.0),
    };
    let bar = FoundationBar::new(&[], &[segment], BeamTheory::EulerBernoulli).unwrap();
    let (transverse, rotational) = (newtons(1e7) / metres(1.0), newton_metres(1e5));
    let with = |bar: FoundationBar| bar.solve().unwrap().load_point_flexibility();
    let one = bar.clone().with_tip_spring(transverse).unwrap();
    let other = bar.clone().with_tip_rotational_spring(rotational).unwrap();
    let first = with(one.with_tip_rotational_spring(rotational).unwrap());
    let second = with(other.with_tip_spring(transverse).unwrap());
    assert_eq!(first, second);
    assert!(first[0][0] < with(bar.clone())[0][0]);
    assert!(bar.clone().with_tip_spring(-transverse).is_err());
    assert!(bar.with_tip_rotational_spring(-rotational).is_err());
}

#[test]
fn what_has_no_solution() {
    let good = BarSegment {
        length: metres(0.1),
        bending_diameter: metres(0.03),
        bearing_diameter: metres(0.03),
        modulus: gigapascals(200.0),
        foundation: megapascals(500.0),
    };
    let theory = BeamTheory::EulerBernoulli;
    let bar = |segment| FoundationBar::new(&[], &[segment], theory);
    assert!(matches!(
        FoundationBar::new(&[], &[], theory),
        Err(MechanicsError::NoSolution { .. })
    ));
    for wrong in [
        BarSegment {
            length: metres(0.0),
            ..good
        },
        BarSegment {
            bending_diameter: metres(-0.1),
            ..good
        },
        BarSegment {
            bearing_diameter: metres(0.0),
            ..good
        },
        BarSegment {
            modulus: pascals(0.0),
            ..good
        },
    ] {
        assert!(
            matches!(bar(wrong), Err(MechanicsError::NotPositive { .. })),
            "{wrong:?}"
        );
    }
    let negative = BarSegment {
        foundation: pascals(-1.0),
        ..good
    };
    assert!(matches!(
        bar(negative),
        Err(MechanicsError::Negative { .. })
    ));
    let unknown = BarSegment {
        modulus: pascals(f64::NAN),
        ..good
    };
    assert!(matches!(
        bar(unknown),
        Err(MechanicsError::NotFinite { .. })
    ));
    let endless = BarSegment {
        length: metres(1e6),
        ..good
    };
    assert!(matches!(
        bar(endless),
        Err(MechanicsError::NoSolution { .. })
    ));
    // Nothing holds it, or only a pivot does.
    let idle = bar(BarSegment {
        foundation: pascals(0.0),
        ..good
    })
    .unwrap();
    assert!(matches!(
        idle.solve(),
        Err(MechanicsError::NoSolution { .. })
    ));
    let pivot = idle.with_tip_spring(newtons(1.0) / metres(1.0)).unwrap();
    assert!(matches!(
        pivot.solve(),
        Err(MechanicsError::NoSolution { .. })
    ));
    let solution = bar(good).unwrap().solve().unwrap();
    for x in [-0.01, 0.11, f64::NAN] {
        let outside = solution.unit_states(metres(x), Side::Outer);
        assert!(
            matches!(outside, Err(MechanicsError::NoSolution { .. })),
            "{x}"
        );
    }
    assert!(
        solution
            .respond(newtons(f64::INFINITY), newton_metres(0.0))
            .is_err()
    );
}
