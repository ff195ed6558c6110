//! Eurocode 5 fasteners, as an open implementation computes them; no printed example with complete inputs was found.

use crate::record::{Record, Standing, assert_all_agree, value};
use barkline::mechanics::eurocode5::{
    DoubleShear, ROPE_SHARE_BOLT, STEEL_TO_TIMBER, WoodKind, double_shear, effective_number,
    embedment, slip_modulus, splitting, washer_resistance, yield_moment,
};
use barkline::mechanics::round_bar::area;
use barkline::units::si::{degrees, kilograms_per_cubic_metre, megapascals, millimetres};

const SOURCE: &str =
    "EN 1995-1-1:2004, as computed by an open implementation (AnthonyPrst/ourocode, its tests)";

/// Values carried over to two decimals.
const TWO_DECIMALS: f64 = 0.005;

pub fn records() -> Vec<Record> {
    let (d, rho_m) = (millimetres(12.0), kilograms_per_cubic_metre(420.0));
    let record = |id: &str, quantity: &str, unit, printed, computed, tolerance| Record {
        id: id.to_owned(),
        source: SOURCE,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::Implementation,
    };
    let m_y = value(yield_moment(megapascals(400.0), d)).value * 1e3;
    let bolts = 8.0 * value(slip_modulus(rho_m, d)).value / 1e3;
    let dowels = 8.0 * STEEL_TO_TIMBER * value(slip_modulus(rho_m, millimetres(16.0))).value / 1e3;
    let n_ef = value(effective_number(2, millimetres(100.0), d));
    let f_90 = value(splitting(
        millimetres(100.0),
        millimetres(150.0),
        millimetres(200.0),
        1.0,
    ))
    .value;
    vec![
        record(
            "EC5-My",
            "M_y,Rk, 12 mm, 400 N/mm²",
            "N·mm",
            76_745.42,
            m_y,
            TWO_DECIMALS,
        ),
        // Carried over to one decimal.
        record(
            "EC5-Kser-bolt",
            "K_ser, 4 bolts of 12 mm, 2 planes, 420 kg/m³",
            "N/mm",
            35_926.7,
            bolts,
            0.05,
        ),
        record(
            "EC5-Kser-dowel",
            "K_ser, steel to timber, 4 dowels of 16 mm, 2 planes, 420 kg/m³",
            "N/mm",
            95_804.53,
            dowels,
            TWO_DECIMALS,
        ),
        record(
            "EC5-nef",
            "n_ef, 2 of 12 mm, 100 mm apart",
            "",
            1.669_728_45,
            n_ef,
            5e-9,
        ),
        record(
            "EC5-8.7k",
            "double shear, 2 rows of 2 bolts of 12 mm, GL24h",
            "N",
            55_632.21,
            joint(),
            TWO_DECIMALS,
        ),
        record(
            "EC5-F90",
            "F_90,Rk, b = 100, h = 200, h_e = 150 mm",
            "N",
            34_292.86,
            f_90,
            TWO_DECIMALS,
        ),
    ]
}

/// Two rows of two bolts, washers 24 mm on 13 mm holes, side members at 45°, two shear planes; in newtons.
fn joint() -> f64 {
    let (d, rho_k) = (millimetres(12.0), kilograms_per_cubic_metre(385.0));
    let embed = |degree| value(embedment(rho_k, d, degrees(degree), WoodKind::Softwood));
    let washer = value(area(millimetres(24.0))) - value(area(millimetres(13.0)));
    let modes = value(double_shear(&DoubleShear {
        diameter: d,
        side_length: millimetres(100.0),
        middle_length: millimetres(100.0),
        side_embedment: embed(45.0),
        middle_embedment: embed(0.0),
        yield_moment: value(yield_moment(megapascals(400.0), d)),
        axial: value(washer_resistance(megapascals(2.5), washer)),
        rope_share: ROPE_SHARE_BOLT,
    }));
    let in_a_row = value(effective_number(2, millimetres(100.0), d));
    2.0 * 2.0 * in_a_row * modes.governing().value
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
