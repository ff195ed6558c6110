//! Elastic bars: every result of every case of `bef_cases.json` (state-transition matrices with 60 digits, checked
//! there by a boundary-value solver and two finite-element programs).

use crate::data::{self, Comparison, in_mm, in_mpa, in_newton_mm, length, list, number, text};
use barkline::mechanics::foundation::closed_forms::{
    characteristic, finite_free_state, rigid_pose, semi_infinite_state,
};
use barkline::mechanics::foundation::{
    BarResponse, BarSegment, BarState, BeamTheory, FoundationBar, Side,
};
use barkline::units::Length;
use barkline::units::si::{metres, pascals};
use serde_json::Value;

/// Relative accuracy of values: what the file suggests is 1e-6; its results carry more than ten digits, and so do ours.
const VALUE: f64 = 1e-9;
/// Values that decay to nothing are compared relative to the largest of their kind in the case: 60-digit numbers of
/// 1e-51 are compared with zero.
const FLOOR: f64 = 1e-12;
/// Accuracy of locations (mm): the file suggests 1e-3; both sides find them exactly.
const PLACE: f64 = 1e-6;
/// The semi-infinite closed forms, against bars with λL above 12: what e^(−12) leaves.
const SEMI_INFINITE: f64 = 1e-9;
/// The rigid limit, at λL = 0.35: the first neglected term is of order (λL)⁴ ≈ 0.016.
const RIGID: f64 = 0.02;

fn segments(case: &Value, key: &str) -> Vec<BarSegment> {
    list(&case[key])
        .iter()
        .map(|segment| BarSegment {
            length: length(&segment["length"]),
            bending_diameter: length(&segment["diameter"]),
            bearing_diameter: length(&segment["diameter"]),
            modulus: data::stress(&case["E"]),
            foundation: segment.get("k").map_or(pascals(0.0), data::stress),
        })
        .collect()
}

fn bar(case: &Value) -> FoundationBar {
    let theory = match text(&case["theory"]) {
        "euler_bernoulli" => BeamTheory::EulerBernoulli,
        "timoshenko" => BeamTheory::Timoshenko {
            shear_modulus: data::stress(&case["G"]),
            shear_coefficient: number(&case["kappa"]),
        },
        other => panic!("unknown theory {other}"),
    };
    FoundationBar::new(
        &segments(case, "arm_segments"),
        &segments(case, "segments"),
        theory,
    )
    .and_then(|bar| bar.with_tip_spring(data::stiffness(&case["tip_spring"])))
    .and_then(|bar| bar.with_tip_rotational_spring(data::moment(&case["tip_rot_spring"])))
    .unwrap()
}

/// One case under comparison.
struct Case<'a> {
    id: &'a str,
    results: &'a Value,
    response: BarResponse<'a>,
    outer_end: Length,
    tip: Length,
}

impl Case<'_> {
    fn state(&self, x: Length) -> BarState {
        self.response.state(x, Side::Outer).unwrap()
    }

    fn value(&self, into: &mut Comparison, key: &str, computed: f64, scale: f64) {
        let expected = number(&self.results[key]);
        let tolerance = VALUE * expected.abs() + FLOOR * scale;
        into.check(&format!("{} {key}", self.id), computed, expected, tolerance);
    }

    fn place(&self, into: &mut Comparison, key: &str, computed: Length) {
        into.check(
            &format!("{} {key}", self.id),
            in_mm(computed),
            number(&self.results[key]),
            PLACE,
        );
    }

    /// The largest deflection, rotation, moment and shear of the case, in the units of the file.
    fn scales(&self) -> [f64; 4] {
        let outer = self.state(self.outer_end);
        [
            in_mm(outer.deflection).abs(),
            outer.slope.value.abs(),
            in_newton_mm(self.response.largest_moment().value).abs(),
            self.response.largest_shear().value.value.abs(),
        ]
    }

    fn ends(&self, into: &mut Comparison) {
        let [v, theta, m, q] = self.scales();
        let outer = self.state(self.outer_end);
        self.value(into, "deflection_load_point", in_mm(outer.deflection), v);
        self.value(into, "rotation_load_point", outer.slope.value, theta);
        let face = self.response.state(metres(0.0), Side::Inner).unwrap();
        self.value(into, "deflection_surface", in_mm(face.deflection), v);
        self.value(into, "rotation_surface", face.slope.value, theta);
        self.value(into, "moment_surface", in_newton_mm(face.moment), m);
        self.value(into, "shear_surface", face.shear.value, q);
        let tip = self.state(self.tip);
        self.value(into, "deflection_tip", in_mm(tip.deflection), v);
        self.value(into, "rotation_tip", tip.slope.value, theta);
        self.value(into, "tip_line_reaction", tip.line_reaction.value * 1e-3, q);
        self.value(into, "tip_pressure", in_mpa(tip.bearing_pressure), q);
        self.value(into, "tip_spring_force", tip.shear.value, q);
        self.value(into, "tip_rot_spring_moment", in_newton_mm(tip.moment), m);
    }

    fn extremes(&self, into: &mut Comparison) {
        let [_, _, _, q] = self.scales();
        let moment = self.response.largest_moment();
        self.value(into, "moment_max_abs", in_newton_mm(moment.value), 0.0);
        self.place(into, "moment_max_abs_z", moment.at);
        let [least, greatest] = self.response.embedded_shear_range();
        self.value(into, "shear_min", least.value.value, q);
        self.place(into, "shear_min_z", least.at);
        self.value(into, "shear_max", greatest.value.value, q);
        self.place(into, "shear_max_z", greatest.at);
        let largest = self.response.largest_pressure();
        let [low, high] = ["pressure_min", "pressure_max"].map(|key| number(&self.results[key]));
        let expected = if high > -low { high } else { low };
        let what = format!("{} largest pressure", self.id);
        into.check(
            &what,
            in_mpa(largest.value),
            expected,
            VALUE * expected.abs(),
        );
    }

    fn pressures(&self, into: &mut Comparison) {
        let mut whole = [f64::INFINITY, f64::NEG_INFINITY];
        for (index, expected) in list(&self.results["per_segment_pressure"])
            .iter()
            .enumerate()
        {
            let range = self.response.pressure_range(index).unwrap();
            for (extreme, key) in range.iter().zip(["pressure_min", "pressure_max"]) {
                let what = format!("{} segment {index} {key}", self.id);
                let value = number(&expected[key]);
                into.check(&what, in_mpa(extreme.value), value, VALUE * value.abs());
                // A segment without foundation has no place of greatest pressure.
                if value != 0.0 {
                    let place = number(&expected[format!("{key}_z")]);
                    into.check(&what, in_mm(extreme.at), place, PLACE);
                }
            }
            whole = [
                whole[0].min(in_mpa(range[0].value)),
                whole[1].max(in_mpa(range[1].value)),
            ];
            for (key, value) in ["pressure_min", "pressure_max"].iter().zip(whole) {
                if self.results[format!("{key}_segment")] == index {
                    self.value(into, key, value, 0.0);
                }
            }
        }
    }

    fn zeros_and_resultants(&self, into: &mut Comparison) {
        let depths = self.response.zero_deflection_depths();
        let expected = list(&self.results["zero_deflection_depths"]);
        assert_eq!(
            depths.len(),
            expected.len(),
            "{}: zeros {depths:?}",
            self.id
        );
        for (depth, expected) in depths.iter().zip(expected) {
            into.check(
                &format!("{} zero", self.id),
                in_mm(*depth),
                number(expected),
                PLACE,
            );
        }
        let bounds = [&[metres(0.0)], &depths[..], &[self.tip]].concat();
        let parts: Vec<f64> = bounds
            .windows(2)
            .map(|pair| {
                self.response
                    .line_reaction_between(pair[0], pair[1])
                    .unwrap()
                    .value
            })
            .collect();
        let [_, _, _, q] = self.scales();
        let direct = parts.iter().filter(|part| **part > 0.0).sum();
        let reverse = parts.iter().filter(|part| **part < 0.0).sum();
        self.value(into, "resultant_direct", direct, q);
        self.value(into, "resultant_reverse", reverse, q);
    }

    fn stations(&self, into: &mut Comparison) {
        let [v, theta, m, q] = self.scales();
        for station in list(&self.results["stations"]) {
            let state = self.state(length(&station["z"]));
            for (key, computed, scale) in [
                ("v", in_mm(state.deflection), v),
                ("theta", state.slope.value, theta),
                ("M", in_newton_mm(state.moment), m),
                ("V", state.shear.value, q),
            ] {
                let expected = number(&station[key]);
                let what = format!("{} {key} at {}", self.id, station["z"]);
                into.check(
                    &what,
                    computed,
                    expected,
                    VALUE * expected.abs() + FLOOR * scale,
                );
            }
        }
    }
}

#[test]
fn every_result_of_every_case() {
    let mut comparison = Comparison::default();
    let cases = data::cases(include_str!("data/bef_cases.json"));
    assert_eq!(cases.len(), 21);
    for case in &cases {
        let solution = bar(case).solve().unwrap();
        let load = &case["load"];
        let response = solution
            .respond(data::force(&load["P"]), data::moment(&load["M"]))
            .unwrap();
        let total = |key| {
            segments(case, key)
                .iter()
                .map(|s| s.length)
                .fold(metres(0.0), |a, b| a + b)
        };
        let case = Case {
            id: text(&case["id"]),
            results: &case["results"],
            response,
            outer_end: -total("arm_segments"),
            tip: total("segments"),
        };
        case.ends(&mut comparison);
        case.extremes(&mut comparison);
        case.pressures(&mut comparison);
        case.zeros_and_resultants(&mut comparison);
        case.stations(&mut comparison);
    }
    comparison.finish(21 * 40);
}

#[test]
fn closed_forms_of_the_uniform_cases() {
    let mut comparison = Comparison::default();
    let cases = data::cases(include_str!("data/bef_cases.json"));
    for case in cases
        .iter()
        .filter(|case| case.get("closed_form").is_some())
    {
        let (id, closed, results) = (text(&case["id"]), &case["closed_form"], &case["results"]);
        let segment = segments(case, "segments")[0];
        let d = segment.bending_diameter;
        let flexural = segment.modulus * (d * d * d * d * (std::f64::consts::PI / 64.0));
        let (force, arm) = (data::force(&case["load"]["P"]), bar_arm(case));
        let moment = force * arm + data::moment(&case["load"]["M"]);

        let lambda = characteristic(segment.foundation, flexural).unwrap();
        comparison.check(id, lambda.value * 1e-3, number(&closed["lambda"]), 1e-15);
        let endless = text(&closed["form"]).starts_with("semi-infinite");
        let (k, l) = (segment.foundation, segment.length);
        let state = |x| {
            if endless {
                semi_infinite_state(k, flexural, force, moment, x).unwrap()
            } else {
                finite_free_state(k, flexural, l, force, moment, x).unwrap()
            }
        };
        let tolerance = if endless { SEMI_INFINITE } else { VALUE };
        let face = state(metres(0.0));
        for (computed, key) in [
            (in_mm(face.deflection), "deflection_surface"),
            (face.slope.value, "rotation_surface"),
        ] {
            let expected = number(&closed[key]);
            comparison.check(
                &format!("{id} {key}"),
                computed,
                expected,
                tolerance * expected.abs(),
            );
        }
        for station in list(&results["stations"])
            .iter()
            .filter(|s| number(&s["z"]) >= 0.0)
        {
            let (expected, x) = (number(&station["v"]), length(&station["z"]));
            // An endless bar knows no tip: what the tip throws back has travelled there and back to x.
            let thrown_back =
                8.0 * (-(lambda * (l + l - x)).value).exp() * in_mm(face.deflection).abs();
            let allowed = tolerance * expected.abs() + if endless { thrown_back } else { 0.0 };
            let what = format!("{id} v at {}", station["z"]);
            comparison.check(&what, in_mm(state(x).deflection), expected, allowed);
        }
        if let Some(rigid) = closed.get("rigid_limit") {
            let pose = rigid_pose(segment.foundation, segment.length, force, moment).unwrap();
            let expected = number(&results["deflection_surface"]);
            comparison.check(id, in_mm(pose.deflection), expected, RIGID * expected);
            let printed = number(&rigid["deflection_surface"]);
            comparison.check(id, in_mm(pose.deflection), printed, 1e-12 * printed);
        }
    }
    comparison.finish(10 * 6);
}

fn bar_arm(case: &Value) -> Length {
    segments(case, "arm_segments")
        .iter()
        .map(|s| s.length)
        .fold(metres(0.0), |a, b| a + b)
}
