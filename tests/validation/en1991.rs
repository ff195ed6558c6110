//! EN 1991-1-4: peak velocity pressures at 26 m/s by terrain and height.

use crate::record::{Record, Standing, assert_all_agree, table};
use barkline::loads::wind::en_pressure;
use barkline::units::si::{metres, metres_per_second};
use serde::Deserialize;

const SOURCE: &str =
    "EN 1991-1-4:2005, expressions 4.3 to 4.8, basic wind 26 m/s, worked apart from the library";

#[derive(Deserialize)]
struct Row {
    terrain: String,
    height_m: f64,
    speed_m_per_s: f64,
    pressure_pa: f64,
}

pub fn records() -> Vec<Record> {
    table::<Row>("en1991_wind.csv")
        .iter()
        .map(|row| {
            let q = en_pressure(
                metres_per_second(row.speed_m_per_s),
                &row.terrain,
                metres(row.height_m),
            );
            Record {
                id: format!("en1991-{}-{}", row.terrain, row.height_m),
                source: SOURCE,
                quantity: format!("q_p, terrain {} at {} m", row.terrain, row.height_m),
                unit: "Pa",
                printed: row.pressure_pa,
                computed: q.unwrap().value,
                tolerance: 0.05,
                standing: Standing::Derived,
            }
        })
        .collect()
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
