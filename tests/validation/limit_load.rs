//! Derived values for a steel bar in wood: plastic loads checked by linear programming, elastic ones by a
//! boundary-value solver.

use crate::record::{Record, Standing};
use barkline::mechanics::foundation::closed_forms::{characteristic, finite_free_state};
use barkline::mechanics::foundation::{BarSegment, BeamTheory, FoundationBar, Side};
use barkline::mechanics::mechanism::one_segment::{
    critical_length, hinge_force, rigid_rotation_force,
};
use barkline::mechanics::mechanism::two_segments::{TwoSegments, limit_force};
use barkline::mechanics::mechanism::{PlasticBar, PlasticSegment};
use barkline::units::si::{megapascals, metres, millimetres, newtons, newtons_per_metre};
use std::f64::consts::PI;

const SOURCE: &str = "own derivation; plastic loads checked by linear programming, elastic ones by a boundary-value solver";
/// Relative: the eight digits the collection gives.
const DIGITS: f64 = 1e-7;

/// Diameter, length, arm (mm), bearing strength, foundation modulus (MPa), then the derived values: rigid and hinge
/// force (N), critical length (mm), λ (1/mm), deflection and rotation of the face and deflection of the load point per N.
type Row = (f64, f64, f64, f64, f64, [f64; 7]);

const ROWS: [Row; 4] = [
    (
        38.0,
        150.0,
        75.0,
        30.0,
        600.0,
        [
            40_367.624,
            34_932.426,
            135.859_71,
            0.009_252_077_1,
            8.353_621_3e-5,
            1.146_477_6e-6,
            1.763_915_8e-4,
        ],
    ),
    (
        38.0,
        250.0,
        75.0,
        30.0,
        600.0,
        [
            81_736.925,
            34_932.426,
            135.859_71,
            0.009_252_077_1,
            5.512_483_8e-5,
            7.027_216_6e-7,
            1.146_985_1e-4,
        ],
    ),
    (
        25.4,
        200.0,
        50.0,
        20.0,
        500.0,
        [
            30_762.005,
            14_631.141,
            114.937_05,
            0.013_224_943,
            8.944_255_5e-5,
            1.637_096_1e-6,
            1.814_939_3e-4,
        ],
    ),
    (
        32.0,
        180.0,
        0.0,
        25.0,
        600.0,
        [
            59_646.753,
            54_905.883,
            165.693_16,
            0.010_986_842,
            4.192_922_6e-5,
            4.603_121_1e-7,
            4.192_922_6e-5,
        ],
    ),
];

fn record(id: String, quantity: &str, unit: &'static str, printed: f64, computed: f64) -> Record {
    Record {
        id,
        source: SOURCE,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance: DIGITS * printed,
        standing: Standing::Derived,
    }
}

fn id([d, l, e]: [f64; 3], quantity: &str) -> String {
    format!("DER-d{d}-L{l}-e{e}-{quantity}")
}

/// The plastic values of a row, by closed forms and by the segmented solver.
fn plastic(&(d_mm, l_mm, e_mm, f, _, expected): &Row) -> Vec<Record> {
    let (d, l, e) = (millimetres(d_mm), millimetres(l_mm), millimetres(e_mm));
    let (q, m) = (megapascals(f) * d, megapascals(345.0) * (d * d * d / 6.0));
    let segment = PlasticSegment {
        length: l,
        resistance: q,
        plastic_moment: m,
    };
    let unit = newtons(1.0);
    let limit = PlasticBar::new(&[], &[segment])
        .unwrap()
        .limit(unit, unit * e)
        .unwrap();

    let [rigid, hinge, critical, ..] = expected;
    let id = |quantity: &str| id([d_mm, l_mm, e_mm], quantity);
    let rigid_here = rigid_rotation_force(q, l, e).unwrap().value;
    let hinge_here = hinge_force(q, m, e).unwrap().value;
    let critical_here = critical_length(q, m, e).unwrap().value * 1e3;
    vec![
        record(id("P_rigid"), "rigid rotation", "N", rigid, rigid_here),
        record(id("P_hinge"), "one hinge", "N", hinge, hinge_here),
        record(
            id("P_hinge"),
            "limit load, segmented solver",
            "N",
            rigid.min(hinge),
            limit.factor,
        ),
        record(
            id("L_crit"),
            "critical length",
            "mm",
            critical,
            critical_here,
        ),
    ]
}

/// The elastic values of a row, by closed forms and by the segmented solver.
fn elastic(&(d_mm, l_mm, e_mm, _, k, expected): &Row) -> Vec<Record> {
    let (d, l, e) = (millimetres(d_mm), millimetres(l_mm), millimetres(e_mm));
    let (k, modulus, unit) = (megapascals(k), megapascals(2e5), newtons(1.0));
    let flexural = modulus * (d * d * d * d * (PI / 64.0));
    let face = finite_free_state(k, flexural, l, unit, unit * e, metres(0.0)).unwrap();
    let segment = |length, foundation| BarSegment {
        length,
        bending_diameter: d,
        bearing_diameter: d,
        modulus,
        foundation,
    };
    let arm: Vec<_> = (e_mm > 0.0)
        .then(|| segment(e, megapascals(0.0)))
        .into_iter()
        .collect();
    let bar = FoundationBar::new(&arm, &[segment(l, k)], BeamTheory::EulerBernoulli).unwrap();
    let solution = bar.solve().unwrap();
    let (at_face, _) = solution.unit_states(metres(0.0), Side::Inner).unwrap();
    let (at_load, _) = solution.unit_states(-e, Side::Outer).unwrap();

    let [_, _, _, lambda, deflection, rotation, tip] = expected;
    let id = |quantity: &str| id([d_mm, l_mm, e_mm], quantity);
    let lambda_here = characteristic(k, flexural).unwrap().value * 1e-3;
    let face_id = id("face_deflection_per_N");
    let turn_id = id("face_rotation_per_N");
    let tip_id = id("tip_deflection_per_N");
    let face_here = [face.deflection.value * 1e3, at_face.deflection * 1e3];
    vec![
        record(
            id("lambda"),
            "characteristic λ",
            "1/mm",
            lambda,
            lambda_here,
        ),
        record(
            face_id.clone(),
            "deflection at the face",
            "mm/N",
            deflection,
            face_here[0],
        ),
        record(
            face_id,
            "deflection at the face, segmented solver",
            "mm/N",
            deflection,
            face_here[1],
        ),
        record(
            turn_id.clone(),
            "rotation at the face",
            "rad/N",
            rotation,
            face.slope.value,
        ),
        record(
            turn_id,
            "rotation at the face, segmented solver",
            "rad/N",
            rotation,
            at_face.slope,
        ),
        record(
            tip_id,
            "deflection at the load, segmented solver",
            "mm/N",
            tip,
            at_load.deflection * 1e3,
        ),
    ]
}

/// Name, outer and inner segment (mm, N/mm, N·mm; the inner one given by the depth of the tip), arm (mm), limit load (N).
type Stepped = (&'static str, [f64; 3], [f64; 3], f64, f64);

const STEPPED: [Stepped; 3] = [
    (
        "DER-2L-30-200",
        [30.0, 3000.0, 6e7],
        [200.0, 1200.0, 8e6],
        80.0,
        85_000.0,
    ),
    (
        "DER-2L-40-120",
        [40.0, 2500.0, 1e12],
        [120.0, 1000.0, 1e12],
        40.0,
        60_000.0,
    ),
    (
        "DER-2L-80-140",
        [80.0, 4000.0, 1e12],
        [140.0, 300.0, 1e12],
        200.0,
        31_284.134,
    ),
];

fn stepped((id, outer, inner, arm, expected): Stepped) -> [Record; 2] {
    let segment = |length: f64, [_, q, m]: [f64; 3]| PlasticSegment {
        length: millimetres(length),
        resistance: newtons_per_metre(q * 1e3),
        plastic_moment: newtons(m) * millimetres(1.0),
    };
    let bar = TwoSegments {
        outer: segment(outer[0], outer),
        inner: segment(inner[0] - outer[0], inner),
    };
    let (unit, e) = (newtons(1.0), millimetres(arm));
    let limit = PlasticBar::new(&[], &[bar.outer, bar.inner])
        .unwrap()
        .limit(unit, unit * e)
        .unwrap();
    [
        record(
            id.to_owned(),
            "limit load, closed forms",
            "N",
            expected,
            limit_force(&bar, e).unwrap().value,
        ),
        record(
            id.to_owned(),
            "limit load, segmented solver",
            "N",
            expected,
            limit.factor,
        ),
    ]
}

pub(crate) fn records() -> Vec<Record> {
    let stepped = STEPPED.into_iter().flat_map(stepped);
    ROWS.iter()
        .flat_map(plastic)
        .chain(ROWS.iter().flat_map(elastic))
        .chain(stepped)
        .collect()
}
