//! AWC Technical Report 12, Example 3.1: every mode of a half-inch bolt, with and without a gap.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::mechanics::general_dowel::{Member, single_shear};
use barkline::mechanics::round_bar::plastic_moment;
use barkline::mechanics::yield_modes::reference_values;
use barkline::units::si::degrees;
use barkline::units::us::{inches, pounds_force, psi};
use serde::Deserialize;

const SOURCE: &str = "AWC Technical Report 12 (2015), General Dowel Equations, Example 3.1";

/// Printed to the pound.
const TOLERANCE: f64 = 0.5;

#[derive(Deserialize)]
struct Row {
    id: String,
    diameter_in: f64,
    main_length_in: f64,
    side_length_in: f64,
    gap_in: f64,
    main_bearing_psi: f64,
    side_bearing_psi: f64,
    bending_yield_psi: f64,
    grain_deg: f64,
    mode: String,
    printed_lbf: f64,
}

impl Row {
    fn record(self) -> Record {
        let d = inches(self.diameter_in);
        let moment = value(plastic_moment(psi(self.bending_yield_psi), d));
        let member = |bearing, length| Member {
            bearing: psi(bearing) * d,
            length: inches(length),
            moment,
        };
        let main = member(self.main_bearing_psi, self.main_length_in);
        let side = member(self.side_bearing_psi, self.side_length_in);
        let yields = value(single_shear(&main, &side, inches(self.gap_in)));
        let loads = value(reference_values(&yields, d, d, degrees(self.grain_deg)));
        let named = loads
            .iter()
            .find(|(mode, _)| format!("{mode:?}") == self.mode);
        let (_, load) = named.unwrap_or_else(|| panic!("{}: no mode {}", self.id, self.mode));
        let along = if self.grain_deg == 0.0 {
            "along"
        } else {
            "across"
        };
        Record {
            id: self.id,
            source: SOURCE,
            quantity: format!(
                "Z, mode {}, {along} the grain, gap {} in",
                self.mode, self.gap_in
            ),
            unit: "lbf",
            printed: self.printed_lbf,
            computed: (load / pounds_force(1.0)).value,
            tolerance: TOLERANCE,
            standing: Standing::SecondHand,
        }
    }
}

pub fn records() -> Vec<Record> {
    table::<Row>("tr12_example_3_1.csv")
        .into_iter()
        .map(Row::record)
        .collect()
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
