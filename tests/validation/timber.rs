//! Sawn timber: worked examples of the American Wood Council, its span table for decks, and beam tables.

use crate::record::{Record, Standing, assert_all_agree, value};
use barkline::Layout;
use barkline::checks::MemberKind;
use barkline::mechanics::timber_member::{
    Axis, SAWN_COLUMN, beam_stability_factor, bending_and_compression, bending_and_tension,
    bending_stress, column_stability_factor, critical_bending_stress, critical_buckling_stress,
    slenderness_ratio,
};
use barkline::model::MemberLimitState;
use barkline::tables::{design_wood, size_factor};
use barkline::units::us::{inches, pound_feet, psi};
use barkline::units::{Length, Stress};
use std::fmt::Write as _;
use std::sync::LazyLock;

const EXAMPLES: &str = "AWC Structural Wood Design Examples, 2015/2018 edition";
const SPANS: &str =
    "AWC Prescriptive Residential Wood Deck Construction Guide (DCA 6), Table 2, joists";

/// The table prints whole inches, to the nearest.
const NEAREST_INCH: f64 = 0.5;

pub fn records() -> Vec<Record> {
    // Whole platforms take a while.
    static RECORDS: LazyLock<Vec<Record>> = LazyLock::new(work_out);
    RECORDS.clone()
}

fn work_out() -> Vec<Record> {
    let mut records = slender_beam();
    records.extend(tension());
    records.extend(column());
    records.extend(spans());
    records
}

fn record(
    id: &str,
    quantity: &str,
    unit: &'static str,
    printed: f64,
    computed: f64,
    tolerance: f64,
) -> Record {
    Record {
        id: id.to_owned(),
        source: EXAMPLES,
        quantity: quantity.to_owned(),
        unit,
        printed,
        computed,
        tolerance,
        standing: Standing::SecondHand,
    }
}

fn in_psi(stress: Stress) -> f64 {
    (stress / psi(1.0)).value
}

/// E1.2a: a beam of Douglas Fir-Larch Select Structural, 3.5 in × 15.25 in over 20 ft with one load in the middle.
fn slender_beam() -> Vec<Record> {
    let (b, d) = (inches(3.5), inches(15.25));
    // For a load in the middle the table has 1.37 l_u + 3 d.
    let effective: Length = inches(1.37 * 240.0) + 3.0 * d;
    let ratio = value(slenderness_ratio(effective, b, d));
    let critical = value(critical_bending_stress(psi(690e3), ratio));
    let stability = value(beam_stability_factor(critical, psi(1500.0)));
    vec![
        record("E1.2a-RB", "slenderness ratio R_B", "", 21.6, ratio, 0.05),
        record(
            "E1.2a-FbE",
            "critical bending stress F_bE",
            "psi",
            1776.0,
            in_psi(critical),
            0.5,
        ),
        record(
            "E1.2a-CL",
            "beam stability factor C_L",
            "",
            0.876,
            stability,
            5e-4,
        ),
        record(
            "E1.2a-Fb",
            "adjusted bending value",
            "psi",
            1313.0,
            1500.0 * stability,
            0.5,
        ),
    ]
}

/// E1.6: the bottom chord of a truss, a 2x8 of Hem-Fir No. 2, pulled and bent.
fn tension() -> Vec<Record> {
    let (b, d) = (inches(1.5), inches(7.25));
    let wood = design_wood("Hem-Fir", "No. 2", b, d).unwrap();
    let size = size_factor("Hem-Fir", b, d).unwrap();
    let f_b = value(bending_stress(pound_feet(576.0), b, d));
    let case = |id: &str, duration: f64, force: f64, printed: [f64; 4]| {
        let f_t = psi(force / 10.875);
        let f_t_value = wood.tension * duration * size.tension;
        let star = wood.bending * duration * size.bending;
        // 1.63 l_u + 3 d over 12 ft.
        let ratio = value(slenderness_ratio(inches(1.63 * 144.0) + 3.0 * d, b, d));
        let critical = value(critical_bending_stress(wood.modulus_min, ratio));
        let stability = value(beam_stability_factor(critical, star));
        let used = value(bending_and_tension(
            f_t,
            f_t_value,
            f_b,
            star,
            star * stability,
        ));
        vec![
            record(
                &format!("E1.6-{id}-Ft"),
                "adjusted tension value",
                "psi",
                printed[0],
                in_psi(f_t_value),
                0.5,
            ),
            record(
                &format!("E1.6-{id}-Fb"),
                "F_b* of bending",
                "psi",
                printed[1],
                in_psi(star),
                0.5,
            ),
            record(
                &format!("E1.6-{id}-used"),
                "use in tension and bending",
                "",
                printed[2],
                used,
                5e-4,
            ),
            record(
                &format!("E1.6-{id}-CL"),
                "beam stability factor C_L",
                "",
                printed[3],
                stability,
                5e-4,
            ),
        ]
    };
    [
        case("wind", 1.6, 3180.0, [1008.0, 1632.0, 0.612, 0.404]),
        case("roof", 1.25, 2300.0, [787.5, 1275.0, 0.681, 0.509]),
    ]
    .concat()
}

/// E1.8: a 2x4 of Southern Pine No. 2, three feet, pressed and bent both ways.
fn column() -> Vec<Record> {
    let (b, d, l) = (inches(1.5), inches(3.5), inches(36.0));
    let wood = design_wood("Southern Pine", "No. 2", b, d).unwrap();
    let critical = [d, b].map(|side| value(critical_buckling_stress(wood.modulus_min, l, side)));
    let ratio = value(slenderness_ratio(1.37 * l + 3.0 * d, b, d));
    let buckles = value(critical_bending_stress(wood.modulus_min, ratio));
    // Flat use raises flatwise bending by 1.1.
    let case = |id: &str, duration: f64, edge: f64, printed: [f64; 3]| {
        let star = wood.compression * duration;
        let stability = value(column_stability_factor(critical[1], star, SAWN_COLUMN));
        let bending = wood.bending * duration;
        let kept = value(beam_stability_factor(buckles, bending));
        let used = value(bending_and_compression(
            psi(171.0),
            star * stability,
            Axis {
                stress: psi(edge),
                allowable: bending * kept,
                buckling: critical[0],
            },
            Axis {
                stress: psi(1029.0),
                allowable: 1.1 * bending,
                buckling: critical[1],
            },
            Some(buckles),
        ));
        vec![
            record(
                &format!("E1.8-{id}-CP"),
                "column stability factor C_P",
                "",
                printed[0],
                stability,
                5e-3,
            ),
            record(
                &format!("E1.8-{id}-Fc"),
                "adjusted compression value",
                "psi",
                printed[1],
                in_psi(star * stability),
                1.0,
            ),
            record(
                &format!("E1.8-{id}-used"),
                "use in compression and bending",
                "",
                printed[2],
                used,
                5e-3,
            ),
        ]
    };
    [
        case("wind", 1.6, 353.0, [0.29, 673.0, 0.98]),
        case("snow", 1.15, 0.0, [0.387, 646.0, 1.04]),
    ]
    .concat()
}

/// The longest span at which the joists of a whole platform just pass in bending and deflection: Southern Pine No. 2, 40 psf
/// live and 10 psf dead, in the wet.
fn spans() -> Vec<Record> {
    [
        ("2x6", "12 in", 9.0, 11.0),
        ("2x6", "16 in", 9.0, 0.0),
        ("2x6", "24 in", 7.0, 7.0),
        ("2x8", "12 in", 13.0, 1.0),
        ("2x8", "16 in", 11.0, 10.0),
        ("2x8", "24 in", 9.0, 8.0),
        ("2x10", "12 in", 16.0, 2.0),
        ("2x10", "16 in", 14.0, 0.0),
        ("2x10", "24 in", 11.0, 5.0),
        ("2x12", "16 in", 16.0, 6.0),
        ("2x12", "24 in", 13.0, 6.0),
    ]
    .map(|(size, spacing, feet, more)| Record {
        id: format!("DCA6-{size}-{}", spacing.replace(' ', "")),
        source: SPANS,
        quantity: format!("longest span of joists {size} every {spacing}, Southern Pine No. 2"),
        unit: "in",
        printed: 12.0 * feet + more,
        computed: longest(size, spacing, 12.0 * feet + more),
        tolerance: NEAREST_INCH,
        standing: Standing::Read,
    })
    .to_vec()
}

/// The span at which the joists just pass, from their use at the printed one (in): bending grows with the square of the span,
/// deflection over its limit with the cube, since the load per length stays.
fn longest(size: &str, spacing: &str, printed: f64) -> f64 {
    let bare = platform(size, spacing, printed, "0 psf");
    let joists = &bare.decks()[0].joists;
    // The table counts the joists among its 10 psf.
    let own = joists.timber.line_weight() / joists.spacing;
    let dead = format!("{} Pa", 10.0 * 47.880_258_980_335_84 - own.value);
    let results = platform(size, spacing, printed, &dead).check().unwrap();
    let joists = results
        .members()
        .iter()
        .find(|own| own.kind() == MemberKind::Joists)
        .unwrap();
    let span = |state, power: f64| {
        let used: f64 = joists.check(state).unwrap().utilization.unwrap();
        printed / used.powf(1.0 / power)
    };
    span(MemberLimitState::Bending, 2.0).min(span(MemberLimitState::Deflection, 3.0))
}

/// Two beams on two anchors each, a deck between them (inches).
fn platform(size: &str, spacing: &str, span: f64, dead: &str) -> barkline::model::Platform {
    let mut text = String::new();
    for (id, x, faces, out) in [("w", 0.0, "E", -24.0), ("e", span, "W", 24.0)] {
        for (end, y) in [("s", 0.0), ("n", 120.0)] {
            write!(text,
                "[[tree]]\nid = \"t{id}{end}\"\nspecies = \"white oak\"\nat = [\"{} in\", \"{y} in\"]\ndiameter = \"40 in\"\nbark = \"1 in\"\n\
                 [[anchor]]\nid = \"{id}{end}\"\ntree = \"t{id}{end}\"\nfaces = \"{faces}\"\nsize = \"102x152/51\"\n",
                x + out).unwrap();
        }
        write!(text,
            "[[beam]]\nid = \"{id}\"\non = [\"{id}s\", \"{id}n\"]\nheld_down = true\nline = [[\"{x} in\", \"-12 in\"], [\"{x} in\", \"132 in\"]]\n\
             size = \"4x12\"\nwood = \"Douglas Fir-Larch\"\ngrade = \"Select Structural\"\n").unwrap();
    }
    write!(text,
        "[[deck]]\nid = \"d\"\non = [\"w\", \"e\"]\noutline = [[\"0 in\", \"0 in\"], [\"{span} in\", \"0 in\"], [\"{span} in\", \"120 in\"], [\"0 in\", \"120 in\"]]\n\
         joists = {{ run = \"E-W\", spacing = \"{spacing}\", size = \"{size}\", wood = \"Southern Pine\", grade = \"No. 2\" }}\ndead = \"{dead}\"\nlive = \"40 psf\"\n").unwrap();
    let layout = Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

#[test]
fn every_value_agrees() {
    assert_all_agree(&records());
}
