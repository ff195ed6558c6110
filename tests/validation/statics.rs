//! Beams on several supports and platforms on three or four: exact fractions, and hand calculations in pounds.

use crate::record::{Record, Standing, assert_all_agree, table, value};
use barkline::mechanics::statics::{
    Point, Span, SpringSupport, continuous_beam, loaded_overhang, overhanging_beam, rigid_platform,
    three_supports, two_spans_on_springs,
};
use barkline::units::Force;
use barkline::units::us::{feet, plf, pounds_force, pounds_per_inch};
use serde::Deserialize;

const BEAMS: &str = "Continuous beams by the equation of three moments, exact fractions (AISC Manual Table 3-23 where seen)";
const PLATFORMS: &str = "Platforms on springs, overhangs and three supports, by hand";

/// Fractions are exact; the library may lose a few last digits on the way.
const EXACT: f64 = 1e-12;
/// Span moments were kept to four decimals.
const SPAN_MOMENT: f64 = 5e-5;

pub fn records() -> Vec<Record> {
    let mut records: Vec<Record> = table::<Row>("continuous_beams.csv")
        .iter()
        .flat_map(Row::records)
        .collect();
    records.extend(even_loads());
    records.extend(platforms());
    records
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}

/// A beam whose first span and load are the units of every result.
#[derive(Deserialize)]
struct Row {
    id: String,
    case: String,
    standing: String,
    spans: String,
    loads: String,
    reactions: String,
    support_moments: String,
    span_moments: String,
}

impl Row {
    fn records(&self) -> Vec<Record> {
        let (length, load) = (feet(10.0), plf(100.0));
        let spans: Vec<Span> = std::iter::zip(numbers(&self.spans), numbers(&self.loads))
            .map(|(l, w)| Span {
                length: l * length,
                load: w * load,
            })
            .collect();
        let beam = value(continuous_beam(&spans));
        let over_wl: Vec<f64> = beam
            .reactions
            .iter()
            .map(|r| (*r / (load * length)).value)
            .collect();
        let over_wl2 = |m: &barkline::units::Moment| (*m / (load * length * length)).value;
        let inner: Vec<f64> = beam.support_moments[1..spans.len()]
            .iter()
            .map(over_wl2)
            .collect();
        let crests: Vec<f64> = beam.span_moments.iter().map(over_wl2).collect();
        [
            self.group("R", "reaction", "wL", &self.reactions, &over_wl, EXACT),
            self.group(
                "M",
                "support moment",
                "wL²",
                &self.support_moments,
                &inner,
                EXACT,
            ),
            self.group(
                "C",
                "span moment",
                "wL²",
                &self.span_moments,
                &crests,
                SPAN_MOMENT,
            ),
        ]
        .concat()
    }

    /// One record for each number of a list.
    fn group(
        &self,
        letter: &str,
        what: &str,
        unit: &'static str,
        printed: &str,
        computed: &[f64],
        tolerance: f64,
    ) -> Vec<Record> {
        let printed = numbers(printed);
        assert_eq!(printed.len(), computed.len(), "{}: {what}", self.case);
        std::iter::zip(printed, computed)
            .enumerate()
            .map(|(i, (printed, &computed))| Record {
                id: format!("beam-{}-{letter}{}", self.id, i + 1),
                source: BEAMS,
                quantity: format!("{what} {}, {}", i + 1, self.case),
                unit,
                printed,
                computed,
                tolerance,
                standing: if self.standing == "second-hand" {
                    Standing::SecondHand
                } else {
                    Standing::Derived
                },
            })
            .collect()
    }
}

/// Numbers and fractions separated by spaces.
fn numbers(list: &str) -> Vec<f64> {
    let number = |text: &str| {
        text.parse::<f64>()
            .unwrap_or_else(|e| panic!("{text}: {e}"))
    };
    let fraction = |text: &str| {
        text.split_once('/')
            .map_or_else(|| number(text), |(a, b)| number(a) / number(b))
    };
    list.split_whitespace().map(fraction).collect()
}

fn point(x_ft: f64, y_ft: f64) -> Point {
    Point {
        x: feet(x_ft),
        y: feet(y_ft),
    }
}

/// One record for each support of a platform.
fn supports(
    id: &str,
    quantity: &str,
    unit: &'static str,
    printed: &[f64],
    computed: &[f64],
    tolerance: f64,
) -> Vec<Record> {
    assert_eq!(printed.len(), computed.len(), "{id}");
    std::iter::zip(printed, computed)
        .enumerate()
        .map(|(i, (&printed, &computed))| Record {
            id: format!("{id}-{}", i + 1),
            source: PLATFORMS,
            quantity: format!("{quantity}, support {}", i + 1),
            unit,
            printed,
            computed,
            tolerance,
            standing: Standing::Derived,
        })
        .collect()
}

/// Even loads on a square and on a triangle of 12 ft.
fn even_loads() -> Vec<Record> {
    let quarter = |pressure: f64| on_corners(12.0, pressure * 144.0);
    let height = 12.0 * 3.0_f64.sqrt() / 2.0;
    let share = |x: f64, y: f64| value(three_supports(triangle_of(12.0), point(x, y)));
    let third = share(6.0, height / 3.0).map(|part| part * 70.0 * 6.0 * height);
    let middle = share(6.0, 0.0).map(|part| 300.0 * part);
    let square = |id, pressure: f64, printed| {
        let what = format!("12 ft square, {pressure} psf, on four corners");
        supports(id, &what, "lbf", &[printed; 4], &quarter(pressure), 1e-9)
    };
    [
        square("P1", 50.0, 1800.0),
        square("P1b", 70.0, 2520.0),
        supports(
            "P2",
            "70 psf on a triangle of 12 ft",
            "lbf",
            &[1454.9; 3],
            &third,
            0.05,
        ),
        supports(
            "P2b",
            "300 lbf at the middle of a side of a triangle",
            "lbf",
            &[150.0, 150.0, 0.0],
            &middle,
            1e-9,
        ),
    ]
    .concat()
}

/// The hand calculations, in pounds and in multiples of the load.
fn platforms() -> Vec<Record> {
    let mut records = Vec::new();
    let mut add = |id: &str, quantity: &str, unit, printed: &[f64], computed: &[f64], tolerance| {
        records.extend(supports(id, quantity, unit, printed, computed, tolerance));
    };
    let triangle = [point(0.0, 0.0), point(10.0, 0.0), point(3.0, 8.0)];
    let inside = value(three_supports(triangle, point(4.5, 3.5))).map(|share| 6000.0 * share);
    let outside = value(three_supports(triangle, point(9.0, 6.0)));
    // The fractions 39/160, 51/160, 7/16 of the load are exact.
    add(
        "P3",
        "6000 lbf on three supports",
        "lbf",
        &[1462.5, 1912.5, 2625.0],
        &inside,
        1e-9,
    );
    add(
        "P3b",
        "load outside three supports, uplift",
        "P",
        &[-0.425, 0.675, 0.75],
        &outside,
        EXACT,
    );

    let eccentric = frame([1.0; 4], point(1.5, 1.0));
    let soft = frame([0.5, 1.0, 1.0, 1.0], point(0.0, 0.0));
    add(
        "P4",
        "4000 lbf off the centre of a rigid frame",
        "lbf",
        &[1550.0, 950.0, 450.0, 1050.0],
        &eccentric,
        1e-9,
    );
    add(
        "P5",
        "4000 lbf, first spring half as stiff",
        "lbf",
        &[800.0, 1200.0, 800.0, 1200.0],
        &soft,
        1e-9,
    );

    let springs = on_springs(0.1);
    let rigid_beam = on_springs(1e9);
    add(
        "P7b",
        "two spans of 10 ft, 400 plf, springs, α = 0.1",
        "lbf",
        &[2052.6, 3894.7, 2052.6],
        &springs,
        0.05,
    );
    add(
        "P7c",
        "two spans of 10 ft, 400 plf, rigid beam",
        "lbf",
        &[2666.7; 3],
        &rigid_beam,
        0.05,
    );

    let whole = pounds(value(overhanging_beam(plf(200.0), feet(10.0), feet(3.0))));
    let end_only = pounds(value(loaded_overhang(plf(200.0), feet(10.0), feet(3.0))));
    add(
        "P8",
        "span 10 ft, overhang 3 ft, 200 plf",
        "lbf",
        &[910.0, 1690.0],
        &whole,
        1e-9,
    );
    add(
        "P8b",
        "the same, overhang alone loaded",
        "lbf",
        &[-90.0, 690.0],
        &end_only,
        1e-9,
    );
    records
}

fn pounds<const N: usize>(forces: [Force; N]) -> [f64; N] {
    forces.map(|r| (r / pounds_force(1.0)).value)
}

/// Reactions of two spans of 10 ft under 400 plf on springs of relative stiffness α, in pounds.
fn on_springs(alpha: f64) -> [f64; 3] {
    let (l, k) = (feet(10.0), pounds_per_inch(1000.0));
    pounds(value(two_spans_on_springs(
        plf(400.0),
        l,
        alpha * k * l * l * l,
        k,
    )))
}

/// An equilateral triangle on its side, in feet.
fn triangle_of(side: f64) -> [Point; 3] {
    [
        point(0.0, 0.0),
        point(side, 0.0),
        point(side / 2.0, side * 3.0_f64.sqrt() / 2.0),
    ]
}

/// Reactions of a square on its corners under a centred load, in pounds.
fn on_corners(side: f64, load: f64) -> Vec<f64> {
    let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
    let supports = corners.map(|(x, y)| SpringSupport {
        at: point(x, y),
        stiffness: pounds_per_inch(1000.0),
    });
    let centre = point(side / 2.0, side / 2.0);
    value(rigid_platform(&supports, pounds_force(load), centre))
        .iter()
        .map(|r| (*r / pounds_force(1.0)).value)
        .collect()
}

/// Reactions of a rigid frame of 10 ft by 8 ft under 4000 lbf, corners anticlockwise from the north-east, in pounds.
fn frame(stiffness: [f64; 4], at: Point) -> Vec<f64> {
    let corners = [
        point(5.0, 4.0),
        point(-5.0, 4.0),
        point(-5.0, -4.0),
        point(5.0, -4.0),
    ];
    let supports: Vec<SpringSupport> = std::iter::zip(corners, stiffness)
        .map(|(at, k)| SpringSupport {
            at,
            stiffness: pounds_per_inch(1000.0 * k),
        })
        .collect();
    value(rigid_platform(&supports, pounds_force(4000.0), at))
        .iter()
        .map(|r| (*r / pounds_force(1.0)).value)
        .collect()
}
