//! Elastic–plastic paths: every case of `pushover_cases.json` (an event-to-event code of Hermite elements, checked
//! there by a finite-element program; limit loads there by linear programming).

use crate::data::{self, Comparison, in_mm, in_newton_mm, length, list, number, text};
use barkline::mechanics::mechanism::one_segment::{hinge_force, rigid_rotation_force};
use barkline::mechanics::mechanism::{PlasticBar, PlasticSegment};
use barkline::mechanics::pushover::{LoadPath, PathPoint, PushoverBar, PushoverSegment, SteelLaw};
use barkline::units::Length;
use barkline::units::si::{metres, millimetres, newtons, newtons_per_metre, pascals};
use serde_json::Value;

/// What the file suggests for the force, of max(|P|, 0.02·P_max); for the moment we ask the same.
const FORCE: f64 = 5e-4;
/// The same with fibres: the file's section has 60 strips, ours infinitely many.
const FIBRE: f64 = 1e-3;
/// Small deflections of the tip are the difference of large ones: share of the deflection of the load point.
const TIP: f64 = 1e-4;
/// Links of the coarsest mesh of the file and of ours over the embedded length: places are known to one of each.
const LINKS: [f64; 2] = [100.0, 200.0];
/// The file's linear programme has 1200 slices; its own distance from closed forms is up to 1.3e-6.
const PROGRAMME: f64 = 2e-6;
/// Closed forms: the digits of the file.
const CLOSED: f64 = 1e-12;

struct Case {
    value: Value,
    law: SteelLaw,
    arm: Vec<PushoverSegment>,
    embedded: Vec<PushoverSegment>,
}

fn segments(case: &Value, key: &str) -> Vec<PushoverSegment> {
    list(&case[key])
        .iter()
        .map(|segment| PushoverSegment {
            length: length(&segment["length"]),
            bending_diameter: length(&segment["diameter"]),
            modulus: data::stress(&case["E"]),
            yield_strength: case.get("Fy").map_or(pascals(0.0), data::stress),
            foundation: segment.get("k").map_or(pascals(0.0), data::stress),
            resistance: segment.get("Fe").map_or(newtons_per_metre(0.0), |f| {
                data::stress(f) * length(&segment["diameter"])
            }),
        })
        .collect()
}

fn cases() -> Vec<Case> {
    let cases = data::cases(include_str!("data/pushover_cases.json"));
    assert_eq!(cases.len(), 9);
    cases
        .into_iter()
        .map(|value| Case {
            law: match text(&value["steel_model"]) {
                "elastic" => SteelLaw::Elastic,
                "mkappa" => SteelLaw::MomentCurvature,
                "fibre" => SteelLaw::Fibre,
                other => panic!("unknown steel model {other}"),
            },
            arm: segments(&value, "arm_segments"),
            embedded: segments(&value, "segments"),
            value,
        })
        .collect()
}

impl Case {
    fn id(&self) -> &str {
        text(&self.value["id"])
    }

    fn follow(&self, path: &[Length]) -> LoadPath {
        PushoverBar::new(&self.arm, &self.embedded, self.law)
            .unwrap()
            .follow(path)
            .unwrap()
    }

    fn tolerance(&self) -> f64 {
        if self.law == SteelLaw::Fibre {
            FIBRE
        } else {
            FORCE
        }
    }

    fn total(segments: &[PushoverSegment]) -> f64 {
        in_mm(
            segments
                .iter()
                .map(|s| s.length)
                .fold(metres(0.0), |a, b| a + b),
        )
    }

    fn point(&self, into: &mut Comparison, point: &PathPoint, expected: &Value, largest: f64) {
        let what = |key: &str| format!("{} {key} at {}", self.id(), expected["deflection"]);
        let share = self.tolerance();
        let force = number(&expected["P"]);
        let allowed = share * force.abs().max(0.02 * largest);
        into.check(&what("P"), point.force.value, force, allowed);

        let moment = number(&expected["M_max"]);
        into.check(
            &what("M_max"),
            in_newton_mm(point.largest_moment),
            moment,
            share * moment,
        );
        let links: f64 = LINKS
            .map(|count| Self::total(&self.embedded) / count)
            .iter()
            .sum();
        let place = number(&expected["M_max_z"]);
        into.check(
            &what("M_max_z"),
            in_mm(point.largest_moment_at),
            place,
            links,
        );

        let deflection = number(&expected["deflection"]);
        // A hinge one link away turns the face by as much more or less.
        let turned = match self.law {
            SteelLaw::Elastic => 0.0,
            _ => links * deflection / (Self::total(&self.arm) + place),
        };
        let face = number(&expected["deflection_surface"]);
        let allowed = share * face.abs() + if self.arm.is_empty() { 0.0 } else { turned };
        into.check(
            &what("deflection_surface"),
            in_mm(point.face_deflection),
            face,
            allowed,
        );
        let tip = number(&expected["deflection_tip"]);
        let allowed = share * tip.abs() + TIP * deflection;
        into.check(
            &what("deflection_tip"),
            in_mm(point.tip_deflection),
            tip,
            allowed,
        );
    }
}

#[test]
fn every_point_of_every_path() {
    let mut comparison = Comparison::default();
    for case in cases() {
        let results = &case.value["results"];
        let curve = list(&results["curve"]);
        let far = ["P_at_300mm", "P_at_1000mm"].map(|key| results.get(key).map(number));
        let mut path: Vec<Length> = list(&case.value["path"]).iter().map(length).collect();
        if far.iter().all(Option::is_some) {
            path.extend([300.0, 1000.0].map(millimetres));
        }
        let followed = case.follow(&path);
        let largest = curve
            .iter()
            .map(|point| number(&point["P"]))
            .fold(0.0, f64::max);
        for (point, expected) in followed.points.iter().zip(curve) {
            case.point(&mut comparison, point, expected, largest);
        }
        for (point, expected) in followed
            .points
            .iter()
            .skip(curve.len())
            .zip(far.into_iter().flatten())
        {
            let what = format!("{} P far out", case.id());
            comparison.check(
                &what,
                point.force.value,
                expected,
                case.tolerance() * expected,
            );
        }
        let stiffness = followed.initial_stiffness().unwrap().value * 1e-3;
        let expected = number(&results["initial_stiffness_at_first_point"]);
        let what = format!("{} stiffness", case.id());
        comparison.check(&what, stiffness, expected, case.tolerance() * expected);
    }
    comparison.finish(9 * 14 * 5);
}

#[test]
fn every_offset_load() {
    let mut comparison = Comparison::default();
    for case in cases() {
        let Some(expected) = case.value["results"].get("offset_load") else {
            continue;
        };
        let (force, deflection) = (number(&expected["P"]), number(&expected["deflection"]));
        let steps = (1..)
            .map(|step| 0.25 * f64::from(step))
            .take_while(|at| *at < deflection + 1.0);
        let path: Vec<Length> = steps.map(millimetres).collect();
        let offset = length(&expected["offset_mm"]);
        let (at, load) = case.follow(&path).offset_load(offset).unwrap();
        let what = format!("{} offset load", case.id());
        comparison.check(&what, load.value, force, case.tolerance() * force);
        comparison.check(&what, in_mm(at), deflection, case.tolerance() * deflection);
    }
    comparison.finish(8 * 2);
}

#[test]
fn every_limit_load() {
    let mut comparison = Comparison::default();
    for case in cases() {
        let results = &case.value["results"];
        // An elastic bar never yields: a plastic moment beyond all that occurs.
        let plastic_moment = |s: &PushoverSegment| {
            let d = s.bending_diameter;
            let strength = if case.law == SteelLaw::Elastic {
                pascals(1e15)
            } else {
                s.yield_strength
            };
            strength * (d * d * d / 6.0)
        };
        let plastic = |segments: &[PushoverSegment]| -> Vec<PlasticSegment> {
            let segment = |s: &PushoverSegment| PlasticSegment {
                length: s.length,
                resistance: s.resistance,
                plastic_moment: plastic_moment(s),
            };
            segments.iter().map(segment).collect()
        };
        let bar = PlasticBar::new(&plastic(&case.arm), &plastic(&case.embedded)).unwrap();
        let limit = bar
            .limit(newtons(1.0), newtons(0.0) * metres(0.0))
            .unwrap()
            .factor;
        let programme = number(&results["plastic_limit_lp"]);
        comparison.check(case.id(), limit, programme, PROGRAMME * programme);

        let closed = &results["closed_form"];
        let (segment, arm) = (case.embedded[0], millimetres(Case::total(&case.arm)));
        let rigid = rigid_rotation_force(segment.resistance, segment.length, arm)
            .unwrap()
            .value;
        comparison.check(
            case.id(),
            rigid,
            number(&closed["rigid_rotation"]),
            CLOSED * rigid,
        );
        if let Some(expected) = closed.get("one_hinge") {
            let hinge = hinge_force(segment.resistance, plastic_moment(&segment), arm).unwrap();
            comparison.check(
                case.id(),
                hinge.value,
                number(expected),
                CLOSED * hinge.value,
            );
            let depth = in_mm(hinge / segment.resistance);
            comparison.check(
                case.id(),
                depth,
                number(&closed["one_hinge_depth"]),
                CLOSED * depth,
            );
        }
        let governing = number(&closed["governing"]);
        comparison.check(case.id(), limit, governing, CLOSED * governing);
    }
    comparison.finish(9 * 3);
}
