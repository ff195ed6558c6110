//! ASCE 7: wind by exposure and height at 115 mph, snow on a deck, and what another program makes of the same equations.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::mechanics::snow::{FlatSnow, flat_snow};
use barkline::mechanics::wind::{
    design_pressure, elevation_factor, exposure_coefficient, velocity_pressure,
};
use barkline::model::{Case, Criteria};
use barkline::tables::{WindEdition, WindExposure, wind_profile};
use barkline::units::us::{feet, miles_per_hour, psf};
use barkline::units::{AreaLoad, Length, si};
use serde::Deserialize;

const TABLES: &str = "ASCE 7-16 and 7-22, Table 26.10-1 and Equation 26.10-1, 115 mph, worked apart from the library";
const PROGRAM: &str =
    "ASCE 7-16 and 7-22, as computed by an open implementation (xcfem/xc, its tests)";
const DECK: &str = "ASCE 7-16 section 2.4.1, three loads of a deck by hand";

/// Coefficients were kept to four decimals.
const KZ: f64 = 5e-5;
/// Pressures were kept to two decimals.
const PSF: f64 = 5e-3;
/// The other program takes the 0.613 of the metric printing; 0.00256 psf for one mph is 0.06 % more.
const METRIC: f64 = 6e-4;
/// Directionality of open work.
const KD: f64 = 0.85;

pub fn records() -> Vec<Record> {
    let mut records: Vec<Record> = table::<Row>("asce7_wind.csv")
        .iter()
        .flat_map(Row::records)
        .collect();
    records.extend(other_program());
    records.push(deck());
    records
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}

#[derive(Deserialize)]
struct Row {
    exposure: WindExposure,
    height_ft: f64,
    kz_16: f64,
    kz_22: f64,
    q_16_psf: f64,
    q_22_psf: f64,
    design_22_psf: f64,
}

impl Row {
    fn records(&self) -> Vec<Record> {
        let kz = |edition| kz(edition, self.exposure, feet(self.height_ft));
        let (old, new) = (kz(WindEdition::Asce716), kz(WindEdition::Asce722));
        let q = |kz| value(velocity_pressure(miles_per_hour(115.0), kz, 1.0, 1.0));
        let design = |kz| in_psf(value(design_pressure(q(kz), KD)));
        [
            ("K_z, 7-16", "", self.kz_16, old, KZ),
            ("K_z, 7-22", "", self.kz_22, new, KZ),
            ("q_z with K_d, 7-16", "psf", self.q_16_psf, design(old), PSF),
            (
                "q_z without K_d, 7-22",
                "psf",
                self.q_22_psf,
                in_psf(q(new)),
                PSF,
            ),
            (
                "q_z times K_d, 7-22",
                "psf",
                self.design_22_psf,
                design(new),
                PSF,
            ),
        ]
        .into_iter()
        .map(|(what, unit, printed, computed, tolerance)| Record {
            id: format!("wind-{}-{}", self.exposure.letter(), self.height_ft),
            source: TABLES,
            quantity: what.to_owned(),
            unit,
            printed,
            computed,
            tolerance,
            standing: Standing::Derived,
        })
        .collect()
    }
}

fn in_psf(q: AreaLoad) -> f64 {
    (q / psf(1.0)).value
}

fn kz(edition: WindEdition, exposure: WindExposure, height: Length) -> f64 {
    let row = wind_profile(edition, exposure).unwrap();
    value(exposure_coefficient(
        row.coefficient,
        row.alpha,
        row.gradient,
        height,
    ))
}

fn other_program() -> Vec<Record> {
    // The other program takes the gradient height of 2460 ft as 750 m.
    let new = value(exposure_coefficient(
        2.41,
        9.8,
        si::metres(750.0),
        si::metres(6.5),
    ));
    let old = kz(WindEdition::Asce716, WindExposure::C, si::metres(6.5));
    let ke = value(elevation_factor(si::metres(110.0)));
    let q = value(velocity_pressure(si::metres_per_second(52.0), new, 1.0, ke));
    let roof = FlatSnow {
        flat: 0.7,
        exposure: 1.0,
        thermal: 1.0,
        importance: 1.0,
    };
    let snow = in_psf(value(flat_snow(psf(30.0), roof)));
    let pressure = value(design_pressure(q, KD)).value;
    [
        (
            "C02",
            "K_z, exposure C at 6.5 m, 7-22",
            "",
            0.914_47,
            new,
            5e-6,
        ),
        (
            "C03",
            "K_z, exposure C at 6.5 m, 7-16",
            "",
            0.914_15,
            old,
            5e-6,
        ),
        ("C04", "K_e at 110 m", "", 0.987, ke, 5e-4),
        (
            "C05",
            "q_z times K_d, 52 m/s, exposure C at 6.5 m, ground at 110 m, 7-22",
            "Pa",
            1271.66,
            pressure,
            METRIC * 1271.66,
        ),
        (
            "C07",
            "snow on a flat roof, ground 30 psf, all factors 1",
            "psf",
            21.0,
            snow,
            1e-9,
        ),
    ]
    .into_iter()
    .map(|(id, what, unit, printed, computed, tolerance)| Record {
        id: format!("asce7-{id}"),
        source: PROGRAM,
        quantity: what.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::Implementation,
    })
    .collect()
}

/// 10, 60 and 30 psf of dead, live and snow load.
fn deck() -> Record {
    let criteria = Criteria::standard("asce7-16-asd").unwrap();
    let mut loads = [0.0; Case::ALL.len()];
    for (case, load) in [(Case::Dead, 10.0), (Case::Live, 60.0), (Case::Snow, 30.0)] {
        loads[case as usize] = load;
    }
    let sums = criteria.combinations.iter().map(|row| {
        let terms = row.factors.iter().zip(&loads);
        terms.map(|(factor, load)| factor * load).sum::<f64>()
    });
    Record {
        id: "asce7-C38".to_owned(),
        source: DECK,
        quantity: "largest of all combinations, D 10, L 60, S 30 psf".to_owned(),
        unit: "psf",
        printed: 77.5,
        computed: sums.fold(0.0, f64::max),
        tolerance: 0.0,
        standing: Standing::Derived,
    }
}
