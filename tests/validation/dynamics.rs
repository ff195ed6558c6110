//! Swings, taut lines, falls and crowds: hand calculations.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::loads::people::side_force;
use barkline::mechanics::dynamics::{
    falling_factor, swing_peak_horizontal, swing_peak_tension, taut_line,
};
use barkline::model::Criteria;
use barkline::units::si::{degrees, metres, newtons, pascals};
use barkline::units::us::{feet, pounds_force};
use serde::Deserialize;

const SWINGS: &str =
    "Pendulum let go at rest, by the balance of energy, worked apart from the library";
const LINES: &str =
    "Statics of a taut line (equation in a rescue manual of Arboriculture Australia, p. 128)";
const OTHERS: &str = "Loads of people and of things that fall, by hand";

/// Factors were kept to three decimals.
const FACTOR: f64 = 5e-4;
/// Angles were kept to a tenth of a degree.
const ANGLE: f64 = 0.05;

#[derive(Deserialize)]
struct Row {
    release_deg: f64,
    tension: f64,
    horizontal: f64,
    angle_deg: f64,
}

impl Row {
    fn records(&self) -> Vec<Record> {
        let (weight, release) = (newtons(1.0), degrees(self.release_deg));
        let down = value(swing_peak_tension(weight, release));
        let side = value(swing_peak_horizontal(weight, release));
        let angle = (side.from_plumb / degrees(1.0)).value;
        [
            (
                "largest pull",
                "W",
                self.tension,
                down.tension.value,
                FACTOR,
            ),
            (
                "largest horizontal pull",
                "W",
                self.horizontal,
                side.horizontal.value,
                FACTOR,
            ),
            (
                "angle of the largest horizontal pull",
                "°",
                self.angle_deg,
                angle,
                ANGLE,
            ),
        ]
        .into_iter()
        .map(|(what, unit, printed, computed, tolerance)| Record {
            id: format!("swing-{}", self.release_deg),
            source: SWINGS,
            quantity: format!("{what}, let go at {}°", self.release_deg),
            unit,
            printed,
            computed,
            tolerance,
            standing: Standing::Derived,
        })
        .collect()
    }
}

pub fn records() -> Vec<Record> {
    let mut records: Vec<Record> = table::<Row>("swings.csv")
        .iter()
        .flat_map(Row::records)
        .collect();
    for (angle, printed, tolerance) in [(10.0_f64, 2.879, FACTOR), (30.0, 1.0, 1e-12)] {
        let sag = metres(0.5 * angle.to_radians().tan());
        let pull = value(taut_line(newtons(1.0), metres(1.0), sag));
        records.push(Record {
            id: format!("line-{angle}"),
            source: LINES,
            quantity: format!("pull of a line {angle}° below the level"),
            unit: "W",
            printed,
            computed: pull.tension.value,
            tolerance,
            standing: Standing::SecondHand,
        });
    }
    records.extend([dropped(), crowd()]);
    records
}

/// A load let go without a fall.
fn dropped() -> Record {
    Record {
        id: "fall-0".to_owned(),
        source: OTHERS,
        quantity: "force of a load let go suddenly over its weight".to_owned(),
        unit: "",
        printed: 2.0,
        computed: value(falling_factor(metres(0.0), metres(0.01))),
        tolerance: 1e-12,
        standing: Standing::Derived,
    }
}

/// The sideways load of people on a deck of 12 ft by 12 ft, at the default of the criteria.
fn crowd() -> Record {
    let criteria = Criteria::standard("asce7-22-asd").unwrap();
    let pressure = pascals(criteria.factor("people_side"));
    let force = side_force(feet(12.0) * feet(12.0), pressure).unwrap();
    Record {
        id: "people-C35".to_owned(),
        source: OTHERS,
        quantity: "sideways force of people on 12 ft by 12 ft".to_owned(),
        unit: "lbf",
        printed: 1728.0,
        computed: (force / pounds_force(1.0)).value,
        tolerance: 1e-9,
        standing: Standing::Derived,
    }
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
