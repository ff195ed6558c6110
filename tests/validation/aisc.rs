//! AISC Design Examples, companion to the 16th edition Manual: a rectangular and a round bar in bending.

use crate::record::{Record, Standing, assert_all_agree, value};
use barkline::mechanics::round_bar::{
    elastic_modulus, nominal_moment, nominal_moment_rectangle, plastic_modulus,
};
use barkline::units::SectionModulus;
use barkline::units::us::{inches, ksi, pound_feet, pound_inches};

const SOURCE: &str =
    "AISC Design Examples, companion to the 16th edition Manual, Examples F.12 and F.13";

/// The example computes with S = 0.0982 in³, rounded by 5e-5; times 1.6 · 50 ksi, and half the last digit, that is this.
const MOMENT_TOLERANCE: f64 = 80.0 * 5e-5 + 0.005;

/// Resistance factor and safety factor of bending, which the library's equations leave to the caller.
const PHI: f64 = 0.90;
const OMEGA: f64 = 1.67;

pub fn records() -> Vec<Record> {
    let d = inches(1.0);
    let cubic = |s: SectionModulus| (s / (inches(1.0) * inches(1.0) * inches(1.0))).value;
    let round = value(nominal_moment(ksi(50.0), d));
    let bar = value(nominal_moment_rectangle(
        ksi(50.0),
        inches(3.0),
        inches(5.0),
    ));
    let (kip_in, kip_ft) = (pound_inches(1e3), pound_feet(1e3));
    let record = |id: &str, quantity: &str, unit, printed, computed, tolerance| Record {
        id: id.to_owned(),
        source: SOURCE,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::Read,
    };
    vec![
        record(
            "AISC-F12",
            "M_n, rectangular bar 3 in by 5 in, 50 ksi",
            "kip·in",
            938.0,
            (bar / kip_in).value,
            0.5,
        ),
        record(
            "AISC-F13-S",
            "S, 1 in",
            "in³",
            0.0982,
            cubic(value(elastic_modulus(d))),
            5e-5,
        ),
        record(
            "AISC-F13-Z",
            "Z, 1 in",
            "in³",
            0.167,
            cubic(value(plastic_modulus(d))),
            5e-4,
        ),
        record(
            "AISC-F13-Mn",
            "M_n, 1 in, 50 ksi",
            "kip·in",
            7.86,
            (round / kip_in).value,
            MOMENT_TOLERANCE,
        ),
        // The two below are printed to three decimals, from the rounded 7.86 kip·in above.
        record(
            "AISC-F13-LRFD",
            "0.90 M_n",
            "kip·ft",
            0.590,
            PHI * (round / kip_ft).value,
            1e-3,
        ),
        record(
            "AISC-F13-ASD",
            "M_n/1.67",
            "kip·ft",
            0.392,
            (round / kip_ft).value / OMEGA,
            5e-4,
        ),
    ]
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
