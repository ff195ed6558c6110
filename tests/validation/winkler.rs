//! Dowel bars of concrete pavements: a bar on a Winkler foundation, loaded across a joint.

use crate::record::{Record, Standing};
use barkline::mechanics::foundation::closed_forms::{characteristic, semi_infinite_state};
use barkline::mechanics::foundation::{BarSegment, BeamTheory, FoundationBar, Side};
use barkline::units::si::{megapascals, metres, millimetres, newtons, pascals};
use barkline::units::{FlexuralStiffness, FoundationModulus, Length, SecondMoment};
use std::f64::consts::PI;

const NPTEL: &str =
    "NPTEL (IIT), Transportation Engineering II, module 2 lecture 4, design of dowel bar";
const IRC_250: &str = "IRC 58:2015 dowel bar design sheet, Annexure III, 250 mm slab; takes π = 3.14, I = 82406.16 mm⁴";
const IRC_200: &str =
    "IRC 58 dowel bar design sheet, Annexure 9, 200 mm slab; takes π = 3.14, I = 82406.16 mm⁴";

/// A dowel of diameter d on a foundation of 415 N/mm³.
struct Dowel {
    d: Length,
    foundation: FoundationModulus,
    flexural: FlexuralStiffness,
}

/// Modulus of dowel support of all three sources (N/mm³).
const SUPPORT: f64 = 415.0;

impl Dowel {
    fn new(d: f64, second_moment: f64) -> Self {
        let mm = millimetres(1.0);
        let second_moment: SecondMoment = mm * mm * mm * mm * second_moment;
        let flexural = megapascals(2e5) * second_moment;
        Self {
            d: millimetres(d),
            foundation: megapascals(SUPPORT * d),
            flexural,
        }
    }

    /// The same dowel with the foundation that gives λ (1/mm) as the source has rounded it.
    fn rounded(self, lambda: f64) -> Self {
        let foundation = 4.0 * self.flexural.value * (lambda * 1e3).powi(4);
        Self {
            foundation: pascals(foundation),
            ..self
        }
    }

    /// λ in 1/mm.
    fn characteristic(&self) -> f64 {
        characteristic(self.foundation, self.flexural)
            .unwrap()
            .value
            * 1e-3
    }

    /// The bearing stress at the face (MPa) under a force (N) in the middle of a joint of width z (mm).
    fn bearing(&self, force: f64, joint: f64) -> f64 {
        let (p, e) = (newtons(force), millimetres(joint / 2.0));
        let face =
            semi_infinite_state(self.foundation, self.flexural, p, p * e, metres(0.0)).unwrap();
        SUPPORT * face.deflection.value * 1e3
    }

    /// The same from the segmented solver, with a bar 50/λ long whose I is that of a circle.
    fn bearing_of_a_long_bar(&self, force: f64, joint: f64) -> f64 {
        let lambda = characteristic(self.foundation, self.flexural)
            .unwrap()
            .value;
        // The modulus is scaled so that E·πd⁴/64 is the flexural stiffness asked for.
        let circle = self.d * self.d * self.d * self.d * (PI / 64.0);
        let segment = |length, foundation| BarSegment {
            length,
            bending_diameter: self.d,
            bearing_diameter: self.d,
            modulus: self.flexural / circle,
            foundation,
        };
        let arm = segment(millimetres(joint / 2.0), megapascals(0.0));
        let embedded = segment(metres(50.0 / lambda), self.foundation);
        let bar = FoundationBar::new(&[arm], &[embedded], BeamTheory::EulerBernoulli).unwrap();
        let solution = bar.solve().unwrap();
        let response = solution
            .respond(newtons(force), newtons(0.0) * metres(0.0))
            .unwrap();
        response
            .state(metres(0.0), Side::Inner)
            .unwrap()
            .bearing_pressure
            .value
            * 1e-6
    }
}

pub(crate) fn records() -> Vec<Record> {
    let nptel = Dowel::new(32.0, PI * 32f64.powi(4) / 64.0);
    let irc = Dowel::new(36.0, 82_406.16);
    let row = |id: &str, source, quantity: &str, unit, printed, computed, tolerance| Record {
        id: id.to_owned(),
        source,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::Read,
    };
    // Tolerances: half a unit of the last digit printed; WINK-5 prints its load to 10 N, which moves the stress by 0.01.
    let mut records = vec![
        row(
            "WINK-1",
            NPTEL,
            "characteristic λ",
            "1/mm",
            0.0238,
            nptel.characteristic(),
            5e-5,
        ),
        // The source goes on with λ rounded to 0.0238, and prints one decimal.
        row(
            "WINK-2",
            NPTEL,
            "bearing stress, λ as rounded there",
            "MPa",
            27.2,
            nptel.rounded(0.0238).bearing(15_437.5, 15.0),
            0.01,
        ),
        row(
            "WINK-3",
            IRC_250,
            "characteristic λ",
            "1/mm",
            0.021_818_517_25,
            irc.characteristic(),
            1e-10,
        ),
        row(
            "WINK-4",
            IRC_250,
            "bearing stress",
            "MPa",
            23.453_091_048_5,
            irc.bearing(15_883.055_457, 20.0),
            1e-8,
        ),
        row(
            "WINK-5",
            IRC_200,
            "bearing stress",
            "MPa",
            12.11,
            irc.bearing(9_470.0, 5.0),
            0.01,
        ),
    ];
    records.push(row(
        "WINK-4",
        IRC_250,
        "bearing stress, segmented solver",
        "MPa",
        23.453_091_048_5,
        irc.bearing_of_a_long_bar(15_883.055_457, 20.0),
        1e-8,
    ));
    records
}
