//! Duration of load: points of the Madison curve, worked out from its constants apart from the library.

use crate::record::{Record, Standing, assert_all_agree, value};
use barkline::mechanics::duration::madison_curve;
use std::time::Duration;

const SOURCE: &str = "Madison curve (FPL Report 1916, 1951, quoted in Forests 12(9) (2021) 1148)";

const DAY: u64 = 86_400;
/// A year of 365.25 days.
const YEAR: u64 = 31_557_600;

pub fn records() -> Vec<Record> {
    let point = |name: &str, seconds, printed| Record {
        id: format!("madison-{}", name.replace(' ', "-")),
        source: SOURCE,
        quantity: format!("stress level after {name}"),
        unit: "%",
        printed,
        computed: 100.0 * value(madison_curve(Duration::from_secs(seconds))),
        tolerance: 0.05,
        standing: Standing::Derived,
    };
    vec![
        point("5 minutes", 300, 101.5),
        point("10 minutes", 600, 98.9),
        point("7 days", 7 * DAY, 76.7),
        point("61 days", 61 * DAY, 71.2),
        point("10 years", 10 * YEAR, 62.0),
        point("50 years", 50 * YEAR, 58.9),
    ]
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
