//! AWC Structural Wood Design Solved Example Problems, as another program recomputed them to many digits.

use crate::record::{Record, Standing, assert_all_agree, value};
use barkline::mechanics::embedment::dowel_bearing_small;
use barkline::mechanics::withdrawal::{lag_withdrawal, nail_withdrawal};
use barkline::mechanics::yield_modes::{Joint, reference_values, single_shear};
use barkline::units::si::degrees;
use barkline::units::us::{inches, psi};

const SOURCE: &str = "AWC Structural Wood Design Solved Example Problems, chapter E2";

/// Carried over to two decimals.
const TOLERANCE: f64 = 0.005;

/// Penetration of the nail in the main member, 3 in less the side member; it has no part in the governing mode IIIs.
const NAIL_MAIN_LENGTH_IN: f64 = 2.25;

pub fn records() -> Vec<Record> {
    let lag = value(lag_withdrawal(0.55, inches(0.5))) * inches(2.1875);
    let nail = value(nail_withdrawal(0.42, inches(0.131)));
    let record = |id: &str, quantity: &str, unit, printed, computed| Record {
        id: id.to_owned(),
        source: SOURCE,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance: TOLERANCE,
        standing: Standing::Implementation,
    };
    vec![
        record(
            "AWC-E2.3",
            "lag screw withdrawal, D = 0.5 in, G = 0.55, 2.1875 in of thread",
            "N",
            4247.94,
            lag.value,
        ),
        record(
            "AWC-E2.1a",
            "smooth nail withdrawal per length, D = 0.131 in, G = 0.42",
            "N/m",
            3619.31,
            nail.value,
        ),
        record(
            "AWC-E2.4-nail",
            "Z, 10d common nail, side 3/4 in, G = 0.50",
            "N",
            467.49,
            common_nail(),
        ),
    ]
}

/// The 10d common nail, lateral, in newtons.
fn common_nail() -> f64 {
    let (d, bearing) = (inches(0.148), value(dowel_bearing_small(0.50)));
    let joint = Joint {
        diameter: d,
        main_length: inches(NAIL_MAIN_LENGTH_IN),
        side_length: inches(0.75),
        main_bearing: bearing,
        side_bearing: bearing,
        bending_yield: psi(90_000.0),
    };
    value(reference_values(
        &value(single_shear(&joint)),
        d,
        d,
        degrees(0.0),
    ))
    .governing()
    .1
    .value
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
