//! The tables of the National Design Specification for Wood Construction, 2018: bearing, lateral, withdrawal, groups.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::mechanics::embedment::{dowel_bearing_across, dowel_bearing_along, hankinson};
use barkline::mechanics::group_action::{Joined, group_action_factor, load_slip_modulus};
use barkline::mechanics::withdrawal::lag_withdrawal;
use barkline::mechanics::yield_modes::{Joint, double_shear, reference_values, single_shear};
use barkline::units::si::degrees;
use barkline::units::us::{inches, pounds_force, pounds_per_inch, psi};
use barkline::units::{Length, Stress};
use serde::Deserialize;

const BEARING: &str = "ANSI/AWC NDS-2018, Table 12.3.3, dowel bearing strength";
const HANKINSON: &str = "ANSI/AWC NDS-2018, Equation 12.3-11, hand calculations";
const LATERAL: &str = "ANSI/AWC NDS-2018, Tables 12A to 12K, reference lateral design values";
const WITHDRAWAL: &str = "ANSI/AWC NDS-2018, Table 12.2A, lag screw withdrawal";
const GROUP: &str = "ANSI/AWC NDS-2018, Tables 11.3.6A and 11.3.6C, group action factors";

/// The lateral tables are printed to ten pounds.
const LATERAL_TOLERANCE: f64 = 5.0;
/// The withdrawal table is printed to the pound per inch.
const WITHDRAWAL_TOLERANCE: f64 = 0.5;
/// The bearing table is printed to fifty psi, and the lateral tables are computed from it.
const BEARING_STEP_PSI: f64 = 50.0;
/// The group action tables are printed to two decimals.
const GROUP_TOLERANCE: f64 = 0.005;

pub fn records() -> Vec<Record> {
    let mut records: Vec<Record> = table::<Bearing>("nds_bearing.csv")
        .into_iter()
        .map(Bearing::record)
        .collect();
    records.extend(hand_calculations());
    records.extend(
        table::<Lateral>("nds_lateral.csv")
            .into_iter()
            .map(Lateral::record),
    );
    records.extend(
        table::<Withdrawal>("nds_withdrawal.csv")
            .into_iter()
            .map(Withdrawal::record),
    );
    records.extend(
        table::<Group>("nds_group_action.csv")
            .into_iter()
            .map(Group::record),
    );
    records
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}

#[derive(Deserialize)]
struct Bearing {
    id: String,
    gravity: f64,
    across_diameter_in: Option<f64>,
    printed_psi: f64,
}

impl Bearing {
    fn record(self) -> Record {
        let g = self.gravity;
        let (strength, direction) = match self.across_diameter_in {
            Some(d) => (
                dowel_bearing_across(g, inches(d)),
                format!("across the grain, D = {d} in"),
            ),
            None => (dowel_bearing_along(g), "along the grain".to_owned()),
        };
        Record {
            id: self.id,
            source: BEARING,
            quantity: format!("F_e {direction}, G = {g}"),
            unit: "psi",
            printed: self.printed_psi,
            computed: (value(strength) / psi(1.0)).value,
            tolerance: BEARING_STEP_PSI / 2.0,
            standing: Standing::SecondHand,
        }
    }
}

/// The bearing strength as the table prints it, which is what the lateral tables were computed from.
fn tabulated_bearing(gravity: f64, across: bool, nominal: Length) -> Stress {
    let exact = if across {
        dowel_bearing_across(gravity, nominal)
    } else {
        dowel_bearing_along(gravity)
    };
    let steps = (value(exact) / psi(BEARING_STEP_PSI)).value.round();
    psi(BEARING_STEP_PSI * steps)
}

#[derive(Deserialize)]
struct Lateral {
    id: String,
    table: String,
    shear: String,
    diameter_in: f64,
    nominal_in: f64,
    bending_yield_psi: f64,
    main_gravity: Option<f64>,
    main_bearing_psi: Option<f64>,
    main_angle_deg: f64,
    main_length_in: f64,
    side_gravity: Option<f64>,
    side_bearing_psi: Option<f64>,
    side_angle_deg: f64,
    side_length_in: f64,
    printed_lbf: f64,
    standing: String,
}

impl Lateral {
    /// Wood is given by its gravity, concrete and steel by their bearing strength.
    fn bearing(&self, gravity: Option<f64>, given: Option<f64>, angle: f64) -> Stress {
        match (gravity, given) {
            (Some(gravity), None) => {
                tabulated_bearing(gravity, angle == 90.0, inches(self.nominal_in))
            }
            (None, Some(strength)) => psi(strength),
            _ => panic!("{}: either a gravity or a bearing strength", self.id),
        }
    }

    fn record(self) -> Record {
        let d = inches(self.diameter_in);
        let joint = Joint {
            diameter: d,
            main_length: inches(self.main_length_in),
            side_length: inches(self.side_length_in),
            main_bearing: self.bearing(
                self.main_gravity,
                self.main_bearing_psi,
                self.main_angle_deg,
            ),
            side_bearing: self.bearing(
                self.side_gravity,
                self.side_bearing_psi,
                self.side_angle_deg,
            ),
            bending_yield: psi(self.bending_yield_psi),
        };
        let yields = match self.shear.as_str() {
            "single" => value(single_shear(&joint)),
            "double" => value(double_shear(&joint)),
            other => panic!("{}: shear {other}", self.id),
        };
        let angle = degrees(self.main_angle_deg.max(self.side_angle_deg));
        let (mode, z) =
            value(reference_values(&yields, d, inches(self.nominal_in), angle)).governing();
        let main = member(self.main_gravity, self.main_length_in, self.main_angle_deg);
        let side = member(self.side_gravity, self.side_length_in, self.side_angle_deg);
        let (table, nominal) = (self.table, self.nominal_in);
        Record {
            id: self.id,
            source: LATERAL,
            quantity: format!(
                "Z, Table {table}, D = {nominal} in, main {main}, side {side}; mode {mode:?}"
            ),
            unit: "lbf",
            printed: self.printed_lbf,
            computed: (z / pounds_force(1.0)).value,
            tolerance: LATERAL_TOLERANCE,
            standing: if self.standing == "read" {
                Standing::Read
            } else {
                Standing::SecondHand
            },
        }
    }
}

/// A member in words: its bearing length and, if it is wood, its gravity and the direction of the load.
fn member(gravity: Option<f64>, length_in: f64, angle_deg: f64) -> String {
    let wood = |g: f64| {
        format!(
            "{length_in} in, G = {g}, {}",
            if angle_deg == 0.0 { "along" } else { "across" }
        )
    };
    gravity.map_or_else(|| format!("{length_in} in"), wood)
}

#[derive(Deserialize)]
struct Withdrawal {
    id: String,
    gravity: f64,
    diameter_in: f64,
    printed_lbf_per_in: f64,
}

impl Withdrawal {
    fn record(self) -> Record {
        let w = value(lag_withdrawal(self.gravity, inches(self.diameter_in)));
        Record {
            id: self.id,
            source: WITHDRAWAL,
            quantity: format!("W, G = {}, D = {} in", self.gravity, self.diameter_in),
            unit: "lbf/in",
            printed: self.printed_lbf_per_in,
            computed: (w / pounds_per_inch(1.0)).value,
            tolerance: WITHDRAWAL_TOLERANCE,
            standing: Standing::Read,
        }
    }
}

/// Wood of the group action tables (psi); their fasteners are 1 in, 4 in apart.
const GROUP_MODULUS_PSI: f64 = 1.4e6;

#[derive(Deserialize)]
struct Group {
    id: String,
    fasteners: u32,
    main_area_in2: f64,
    side_area_in2: f64,
    side_modulus_psi: f64,
    joined: String,
    printed: f64,
}

impl Group {
    fn record(self) -> Record {
        let joined = if self.joined == "steel" {
            Joined::WoodToMetal
        } else {
            Joined::WoodToWood
        };
        let gamma = value(load_slip_modulus(inches(1.0), joined));
        let main = pounds_force(self.main_area_in2 * GROUP_MODULUS_PSI);
        let side = pounds_force(self.side_area_in2 * self.side_modulus_psi);
        let (n, areas) = (
            self.fasteners,
            format!(
                "A_m = {} in², A_s = {:.3} in²",
                self.main_area_in2, self.side_area_in2
            ),
        );
        Record {
            id: self.id,
            source: GROUP,
            quantity: format!("C_g, {n} fasteners, {areas}, {} side", self.joined),
            unit: "",
            printed: self.printed,
            computed: value(group_action_factor(n, gamma, inches(4.0), main, side)),
            tolerance: GROUP_TOLERANCE,
            standing: Standing::SecondHand,
        }
    }
}

/// Three unrounded hand calculations: twice the Hankinson formula, and a bolt at 45° on both members.
fn hand_calculations() -> Vec<Record> {
    let angle = |across, degree| value(hankinson(psi(5600.0), psi(across), degrees(degree), 2.0));
    let record = |id: &str, quantity: &str, unit, printed, computed, tolerance| Record {
        id: id.to_owned(),
        source: HANKINSON,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::SecondHand,
    };
    let joint = Joint {
        diameter: inches(0.5),
        main_length: inches(1.5),
        side_length: inches(1.5),
        main_bearing: angle(3150.0, 45.0),
        side_bearing: angle(3150.0, 45.0),
        bending_yield: psi(45_000.0),
    };
    let loads = reference_values(
        &value(single_shear(&joint)),
        inches(0.5),
        inches(0.5),
        degrees(45.0),
    );
    let z = value(loads).governing().1 / pounds_force(1.0);
    let at_30 = (angle(2600.0, 30.0) / psi(1.0)).value;
    let at_45 = (angle(3150.0, 45.0) / psi(1.0)).value;
    vec![
        record(
            "NDS-Hank-30",
            "F_e at 30° of 5600 and 2600 psi",
            "psi",
            4346.2687,
            at_30,
            5e-5,
        ),
        record(
            "NDS-Hank-45",
            "F_e at 45° of 5600 and 3150 psi",
            "psi",
            4032.0,
            at_45,
            1e-6,
        ),
        record(
            "NDS-45deg",
            "Z of a half-inch bolt at 45°, 1.5 in on 1.5 in",
            "lbf",
            309.28,
            z.value,
            0.005,
        ),
    ]
}
