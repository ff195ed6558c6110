//! Broms' short free-headed pile in cohesive soil: the same statics as a rigid bar in wood.

use crate::record::{Record, Standing};
use barkline::mechanics::mechanism::one_segment::rigid_rotation_force;
use barkline::units::si::{metres, newtons_per_metre};

const BROMS: &str = "Broms 1964, short free-headed pile in cohesive soil, as in 'Fundamentals of Foundation Engineering' 6.24 and the \
     public copy of Reese and Van Impe, appendix A";
const STATICS: &str = "statics; EN 1995-1-1 expression (8.9a) rounds it to 0.4";

/// The ultimate force (N) by Broms' own equations, solved by bisection: f = H/p, M_max = H(e + 1.5b + 0.5f) = p·g²/4,
/// L = 1.5b + f + g, with p = 9·c_u·b.
fn broms(p: f64, b: f64, length: f64, e: f64) -> f64 {
    let excess = |h: f64| {
        let f = h / p;
        let g = length - 1.5 * b - f;
        h * (e + 1.5 * b + 0.5 * f) - p * g * g / 4.0
    };
    let (mut low, mut high) = (0.0, p * (length - 1.5 * b));
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if excess(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

pub(crate) fn records() -> Vec<Record> {
    // Pile width b, length L, height e of the load (m), undrained strength c_u (Pa): any values; the identity is exact.
    let piles = [
        (0.5, 4.0, 0.0, 30e3),
        (0.3, 3.0, 1.0, 50e3),
        (1.0, 8.0, 0.5, 20e3),
    ];
    let mut records: Vec<Record> = piles
        .into_iter()
        .map(|(b, length, e, strength)| {
            let p = 9.0 * strength * b;
            let dead = 1.5 * b;
            let here = rigid_rotation_force(
                newtons_per_metre(p),
                metres(length - dead),
                metres(e + dead),
            );
            let printed = broms(p, b, length, e);
            Record {
                id: "BROMS-id1".to_owned(),
                source: BROMS,
                quantity: format!("ultimate force, b = {b} m, L = {length} m, e = {e} m"),
                unit: "N",
                printed,
                computed: here.unwrap().value,
                // An identity: rounding only.
                tolerance: 1e-9 * printed,
                standing: Standing::Read,
            }
        })
        .collect();
    let unit = rigid_rotation_force(newtons_per_metre(1.0), metres(1.0), metres(0.0))
        .unwrap()
        .value;
    records.push(Record {
        id: "BROMS-id2".to_owned(),
        source: STATICS,
        quantity: "ultimate force at the face over q·L".to_owned(),
        unit: "1",
        printed: 0.414_214,
        computed: unit,
        tolerance: 1e-6,
        standing: Standing::Derived,
    });
    records
}
