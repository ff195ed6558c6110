//! What a cavity or a hole takes from a stem, against a numerical integration made apart from the library.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::mechanics::stem::{
    cavity_area_loss, cavity_strength_loss, eccentric_stress, hole_loss_on_neutral_axis,
    hole_strength_loss,
};
use barkline::units::si::metres;
use barkline::units::us::{inches, pounds_force, psi};
use serde::Deserialize;

const SOURCE: &str = "Sections of hollow and drilled stems, integrated numerically";

/// Losses in the plane of bending were kept to a tenth of a percent, those on the neutral axis to a hundredth.
const STRENGTH_TOLERANCE: f64 = 0.05;
const NEUTRAL_AXIS_TOLERANCE: f64 = 0.005;

#[derive(Deserialize)]
struct Row {
    hole_over_stem: f64,
    depth_over_stem: f64,
    strength_loss_percent: f64,
    neutral_axis_loss_percent: Option<f64>,
}

impl Row {
    fn records(self) -> Vec<Record> {
        let (hole, depth) = (metres(self.hole_over_stem), metres(self.depth_over_stem));
        let name = format!(
            "hole {:.3} D, {:.2} D deep",
            self.hole_over_stem, self.depth_over_stem
        );
        let strength = 100.0 * value(hole_strength_loss(metres(1.0), hole, depth));
        let id = format!(
            "stem-hole-{:.3}-{:.2}",
            self.hole_over_stem, self.depth_over_stem
        );
        let quantity = format!("loss of Z, {name}");
        let in_plane = record(
            &id,
            quantity,
            "%",
            self.strength_loss_percent,
            strength,
            STRENGTH_TOLERANCE,
        );
        let on_axis = self.neutral_axis_loss_percent.map(|printed| {
            let loss = 100.0 * value(hole_loss_on_neutral_axis(metres(1.0), hole));
            let quantity = format!("loss of I, {name}, on the neutral axis");
            record(
                &format!("{id}-axis"),
                quantity,
                "%",
                printed,
                loss,
                NEUTRAL_AXIS_TOLERANCE,
            )
        });
        std::iter::once(in_plane).chain(on_axis).collect()
    }
}

fn record(
    id: &str,
    quantity: String,
    unit: &'static str,
    printed: f64,
    computed: f64,
    tolerance: f64,
) -> Record {
    let standing = Standing::Derived;
    Record {
        id: id.to_owned(),
        source: SOURCE,
        quantity,
        unit,
        printed,
        computed,
        tolerance,
        standing,
    }
}

pub fn records() -> Vec<Record> {
    let (d, shell) = (metres(1.0), metres(0.15));
    let area = value(cavity_area_loss(d, shell));
    let strength = value(cavity_strength_loss(d, shell));
    let stress = value(eccentric_stress(
        pounds_force(3000.0),
        inches(4.0),
        inches(16.0),
    )) / psi(1.0);
    let beside = "stress, 3000 lbf at 4 in from a stem of 16 in";
    let mut records = vec![
        record(
            "stem-cavity-area",
            "loss of area, shell of 0.3 radii".into(),
            "",
            0.49,
            area,
            0.005,
        ),
        record(
            "stem-cavity-strength",
            "loss of Z, shell of 0.3 radii".into(),
            "",
            0.240,
            strength,
            5e-4,
        ),
        record(
            "stem-eccentric",
            beside.into(),
            "psi",
            89.5,
            stress.value,
            0.05,
        ),
    ];
    records.extend(
        table::<Row>("drilled_stems.csv")
            .into_iter()
            .flat_map(Row::records),
    );
    records
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
