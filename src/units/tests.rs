#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

use super::kind::{self, About, Kind};
use super::us::{self, FOOT, INCH, POUND, POUND_FORCE};
use super::*;
use proptest::prelude::*;

/// Every kind, as the argument of a macro that takes a kind.
macro_rules! for_every_kind {
    ($do:ident) => {
        $do!(
            Length,
            Area,
            SectionModulus,
            SecondMoment,
            Force,
            Moment,
            Stress,
            Modulus,
            FoundationModulus,
            AreaLoad,
            LineLoad,
            Stiffness,
            UnitWeight,
            Mass,
            Density,
            FlexuralStiffness,
            Speed,
            Angle,
            Ratio
        )
    };
}

fn inches_of(text: &str) -> f64 {
    length(text).unwrap_or_else(|e| panic!("{text}: {e}")).value / INCH
}

/// The division above rounds once, and so may the multiplication within.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

#[track_caller]
fn is_inches(text: &str, inches: f64) {
    let got = inches_of(text);
    assert!(
        (got - inches).abs() <= ROUNDING * inches.abs(),
        "{text} was read as {got} in, not {inches} in"
    );
}

#[test]
fn every_way_to_write_inches() {
    for text in [
        "3.5 in",
        "3.5in",
        " 3.5  in ",
        "3-1/2 in",
        "3 1/2 in",
        "3-1/2in",
        "3½ in",
        "3 ½ in",
        "3-½ in",
        "3½\"",
        "3 1/2\"",
        "3-1/2″",
        "3-1/2 ”",
        "3.5''",
        "3.5 inch",
        "3.5 inches",
        "3.50 IN",
        "35e-1 in",
        "+3.5 in",
        "7/2 in",
        "3‑1/2 in",
        "3–1/2 in",
        "3 1⁄2 in",
        "3.5 in.",
        "3.5\u{a0}in",
    ] {
        is_inches(text, 3.5);
    }
    is_inches("1/2 in", 0.5);
    is_inches(".5 in", 0.5);
    for (text, inches) in [
        ("¼", 0.25),
        ("½", 0.5),
        ("¾", 0.75),
        ("⅓", 1.0 / 3.0),
        ("⅔", 2.0 / 3.0),
        ("⅛", 0.125),
        ("⅜", 0.375),
        ("⅝", 0.625),
        ("⅞", 0.875),
    ] {
        is_inches(&format!("{text} in"), inches);
    }
    is_inches("-14 in", -14.0);
    is_inches("−14 in", -14.0);
    is_inches("-3-1/2 in", -3.5);
    is_inches("5. in", 5.0);
}

#[test]
fn every_way_to_write_feet_and_inches() {
    for text in [
        "6 ft 4 in",
        "6ft4in",
        "6' 4\"",
        "6'4\"",
        "6'-4\"",
        "6 ft. 4 in.",
        "6′ 4″",
        "6’ 4”",
        "6 ft-4 in",
        "6' - 4\"",
        "6 FEET 4 INCHES",
        "6 foot 4 inch",
        "76 in",
        "6' 4''",
    ] {
        is_inches(text, 76.0);
    }
    is_inches("6' 4-1/2\"", 76.5);
    is_inches("6'-4 1/2\"", 76.5);
    is_inches("6ft4½in", 76.5);
    is_inches("6 ft ½ in", 72.5);
    is_inches("-6 ft 4 in", -76.0);
    is_inches("6.5 ft", 78.0);
    is_inches("6-1/2 ft", 78.0);
    is_inches("0 ft", 0.0);
    is_inches("0' 0\"", 0.0);
    assert_eq!(length("6 ft 4 in").unwrap(), us::inches(76.0));
}

/// One spelling, its kind and its value in SI, computed apart from the tables of units.
#[track_caller]
fn is<K: Kind>(text: &str, si: f64) {
    let got = parse::<K>(text)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .value;
    assert!(
        (got - si).abs() <= ROUNDING * si.abs(),
        "{text} was read as {got}, not {si}"
    );
}

#[test]
fn every_unit_of_geometry_has_its_size() {
    is::<kind::Length>("89 mm", 0.089);
    is::<kind::Length>("89 cm", 0.89);
    is::<kind::Length>("89 m", 89.0);
    is::<kind::Area>("2 in2", 2.0 * 0.000_645_16);
    is::<kind::Area>("2 ft²", 2.0 * 0.092_903_04);
    is::<kind::Area>("2 mm^2", 2e-6);
    is::<kind::Area>("2 sq cm", 2e-4);
    is::<kind::Area>("2 m2", 2.0);
    is::<kind::SectionModulus>("2 in3", 2.0 * 1.638_706_4e-5);
    is::<kind::SectionModulus>("2 mm³", 2e-9);
    is::<kind::SectionModulus>("2 cm3", 2e-6);
    is::<kind::SectionModulus>("2 m3", 2.0);
    is::<kind::SecondMoment>("2 in4", 2.0 * 4.162_314_256e-7);
    is::<kind::SecondMoment>("2 mm⁴", 2e-12);
    is::<kind::SecondMoment>("2 cm4", 2e-8);
    is::<kind::SecondMoment>("2 m4", 2.0);
}

#[test]
fn every_unit_of_force_has_its_size() {
    for text in [
        "300 lbf", "300lb", "300 lbs", "300 LBF", "0.3 kip", "0.3 kips", "300 lb.",
    ] {
        is::<kind::Force>(text, 300.0 * 4.448_221_615_260_5);
    }
    is::<kind::Force>("300 N", 300.0);
    is::<kind::Force>("12 kN", 12_000.0);
    for text in [
        "2 lbf*ft",
        "2 lbf·ft",
        "2 lbf-ft",
        "2 lbf ft",
        "2 lbfft",
        "2 ft-lbf",
        "2 ft-lb",
        "2 lb-ft",
        "2 lbf × ft",
        "2 FT-LB",
        "24 lbf*in",
        "24 in-lb",
    ] {
        is::<kind::Moment>(text, 2.0 * 4.448_221_615_260_5 * 0.3048);
    }
    is::<kind::Moment>("2 kip-ft", 2e3 * 4.448_221_615_260_5 * 0.3048);
    is::<kind::Moment>("24 kip*in", 2e3 * 4.448_221_615_260_5 * 0.3048);
    for text in [
        "2 kN·m",
        "2 kN*m",
        "2 kN m",
        "2 kNm",
        "2 kN-m",
        "2 kN⋅m",
        "2000 N·m",
        "2000 Nm",
        "2e6 N*mm",
    ] {
        is::<kind::Moment>(text, 2000.0);
    }
}

#[test]
fn every_unit_of_a_force_over_something_has_its_size() {
    let psi = 4.448_221_615_260_5 / 0.000_645_16;
    for text in [
        "900 psi",
        "0.9 ksi",
        "900 PSI",
        "900 lbf/in2",
        "900 lb/in²",
        "0.9 kip/in2",
    ] {
        is::<kind::Stress>(text, 900.0 * psi);
    }
    for text in [
        "7 MPa",
        "7 N/mm2",
        "7 N/mm²",
        "7 N/mm^2",
        "7 N / mm2",
        "7000 kPa",
        "7e6 Pa",
        "0.007 GPa",
        "7 MN/m2",
        "7000 kN/m2",
        "0.007 kN/mm2",
    ] {
        is::<kind::Stress>(text, 7e6);
    }
    is::<kind::Modulus>("1.6e6 psi", 1.6e6 * psi);
    is::<kind::Modulus>("11 GPa", 11e9);
    is::<kind::FoundationModulus>("450 N/mm2", 450e6);
    for text in ["40 psf", "40 PSF", "40 lbf/ft2", "40 lb/ft²"] {
        is::<kind::AreaLoad>(text, 40.0 * psi / 144.0);
    }
    for text in ["1.9 kPa", "1.9 kN/m2", "1.9 kN/m²", "1900 Pa", "1900 N/m2"] {
        is::<kind::AreaLoad>(text, 1900.0);
    }
    for text in [
        "120 plf",
        "120 lbf/ft",
        "120 lb/ft",
        "10 lbf/in",
        "10 pli",
        "0.12 kip/ft",
        "0.12 klf",
    ] {
        is::<kind::LineLoad>(text, 120.0 * 4.448_221_615_260_5 / 0.3048);
    }
    for text in ["5 kN/m", "5 N/mm", "5000 N/m"] {
        is::<kind::LineLoad>(text, 5000.0);
    }
    for text in ["5 kN/m", "5 N/mm", "5000 N/m", "0.005 kN/mm", "0.005 MN/m"] {
        is::<kind::Stiffness>(text, 5000.0);
    }
    for text in ["120 lbf/ft", "10 lb/in", "0.01 kip/in", "0.12 kip/ft"] {
        is::<kind::Stiffness>(text, 120.0 * 4.448_221_615_260_5 / 0.3048);
    }
    for text in ["45 pcf", "45 lbf/ft3", "45 lb/ft³"] {
        is::<kind::UnitWeight>(text, 45.0 * psi / 144.0 / 0.3048);
    }
}

#[test]
fn every_unit_of_the_rest_has_its_size() {
    is::<kind::UnitWeight>("7 kN/m3", 7000.0);
    is::<kind::UnitWeight>("7 N/m3", 7.0);
    for text in ["250 lb", "250 lbs", "250 lbm"] {
        is::<kind::Mass>(text, 250.0 * 0.453_592_37);
    }
    is::<kind::Mass>("90 kg", 90.0);
    for text in ["45 lb/ft3", "45 pcf", "45 lbm/ft3"] {
        is::<kind::Density>(text, 45.0 * 0.453_592_37 / 0.028_316_846_592);
    }
    is::<kind::Density>("700 kg/m3", 700.0);
    is::<kind::FlexuralStiffness>("2 lbf*in2", 2.0 * 4.448_221_615_260_5 * 0.000_645_16);
    is::<kind::FlexuralStiffness>("2 kN*m2", 2000.0);
    is::<kind::FlexuralStiffness>("2 N m²", 2.0);
    is::<kind::Speed>("105 mph", 105.0 * 0.447_04);
    is::<kind::Speed>("10 ft/s", 3.048);
    is::<kind::Speed>("47 m/s", 47.0);
    is::<kind::Speed>("36 km/h", 10.0);
    let right = std::f64::consts::FRAC_PI_2;
    for text in ["90 deg", "90°", "90 degrees", "1.5707963267948966 rad"] {
        is::<kind::Angle>(text, right);
    }
    for text in ["5 %", "5%", "5 percent", "5.0 %", "50e-1 %"] {
        is::<kind::Ratio>(text, 0.05);
    }
    is::<kind::Ratio>("1/2 %", 0.005);
}

#[test]
fn text_has_the_bits_of_the_constructor() {
    assert_eq!(length("9 mm").unwrap(), si::millimetres(9.0));
    assert_eq!(length("88.9 mm").unwrap(), si::millimetres(88.9));
    assert_eq!(force("12.3 kip").unwrap(), us::kips(12.3));
    assert_eq!(moment("7 lbf*ft").unwrap(), us::pound_feet(7.0));
    assert_eq!(moment("7 lbf*in").unwrap(), us::pound_inches(7.0));
    assert_eq!(stress("36 ksi").unwrap(), us::ksi(36.0));
    assert_eq!(area_load("40 psf").unwrap(), us::psf(40.0));
    assert_eq!(line_load("120 plf").unwrap(), us::plf(120.0));
    assert_eq!(unit_weight("45 pcf").unwrap(), us::pcf(45.0));
    assert_eq!(
        density("45 lb/ft3").unwrap(),
        us::pounds_per_cubic_foot(45.0)
    );
    assert_eq!(angle("35 deg").unwrap(), si::degrees(35.0));
    assert_eq!(ratio("5 %").unwrap(), si::ratio(0.05));
    assert!((FOOT - 0.3048).abs() <= f64::EPSILON);
    assert_eq!((POUND, POUND_FORCE), (0.453_592_37, 4.448_221_615_260_5));
}

#[track_caller]
fn refused<K: Kind>(text: &str, problem: &str, mend: &str, range: std::ops::Range<usize>) {
    let error = parse::<K>(text).expect_err(text);
    assert_eq!(error.to_string(), format!("{problem}; {mend}"), "{text}");
    assert_eq!(error.range(), range, "{text}");
}

const LENGTH: &str = "a length is due: mm, cm, m, in, ft";
const FORCE: &str = "a force is due: lbf, kip, N, kN";
const STRESS: &str = "a stress is due: psi, ksi, Pa, kPa, MPa, GPa, N/mm²";

#[test]
fn refuses_what_is_missing() {
    use kind::*;
    let unit = "write the unit of a length: mm, cm, m, in, ft";
    refused::<Length>("", "nothing is written here", LENGTH, 0..0);
    refused::<Length>("  ", "nothing is written here", LENGTH, 0..2);
    refused::<Length>("12", "`12` has no unit", unit, 2..2);
    refused::<Length>("-12 ", "`-12` has no unit", unit, 3..3);
    refused::<Length>("3-1/2", "`3-1/2` has no unit", unit, 5..5);
    refused::<Length>("6' 4", "`4` has no unit", unit, 4..4);
    refused::<Length>(
        "about 3 in",
        "`about 3 in` does not begin with a number",
        LENGTH,
        0..10,
    );
    refused::<Length>(
        "--3 in",
        "`--3 in` does not begin with a number",
        LENGTH,
        1..6,
    );
    refused::<Length>(". in", "`. in` does not begin with a number", LENGTH, 0..4);
}

#[test]
fn refuses_units_of_another_kind() {
    use kind::*;
    refused::<Length>("30 kN", "`kN` is the unit of a force", LENGTH, 3..5);
    refused::<Force>("30 mm", "`mm` is the unit of a length", FORCE, 3..5);
    let area_load = "a load per area is due: psf, Pa, kPa, kN/m²";
    let psi = "`psi` is the unit of a stress or a modulus of elasticity";
    refused::<AreaLoad>("40 psi", psi, area_load, 3..6);
    refused::<Stress>(
        "40 psf",
        "`psf` is the unit of a load per area",
        STRESS,
        3..6,
    );
    refused::<Length>(
        "30 lb",
        "`lb` is the unit of a force or a mass",
        LENGTH,
        3..5,
    );
    refused::<Mass>(
        "30 lbf",
        "`lbf` is the unit of a force",
        "a mass is due: lb, kg",
        3..6,
    );
    refused::<Force>("30 kg", "`kg` is the unit of a mass", FORCE, 3..5);
}

#[test]
fn refuses_units_that_are_not_known() {
    use kind::*;
    let meant = |unit: &str, due: &str| format!("did you mean {unit}? {due}");
    refused::<Length>(
        "30 mn",
        "the unit `mn` is not known",
        &meant("mm", LENGTH),
        3..5,
    );
    refused::<Force>(
        "30 KN",
        "the unit `KN` is not known",
        &meant("kN", FORCE),
        3..5,
    );
    refused::<Stress>(
        "30 Mpa",
        "the unit `Mpa` is not known",
        &meant("MPa", STRESS),
        3..6,
    );
    refused::<Length>(
        "3 m m",
        "the unit `m m` is not known",
        &meant("mm", LENGTH),
        2..5,
    );
    refused::<Length>(
        "3 furlongs",
        "the unit `furlongs` is not known",
        LENGTH,
        2..10,
    );
    refused::<Length>("5 m 3 cm", "the unit `m 3 cm` is not known", LENGTH, 2..8);
    refused::<Area>(
        "5 in^",
        "the unit `in^` is not known",
        "did you mean in²? an area is due: mm², cm², m², in², ft²",
        2..5,
    );
}

#[test]
fn refuses_numbers_in_pieces() {
    use kind::*;
    let point = "write a decimal point, as in 1.5, and no mark between thousands";
    let together = "write the digits of a number together, as in 12000";
    refused::<Length>("1,5 m", "a comma stands in the number", point, 1..2);
    refused::<Force>("1,000 lbf", "a comma stands in the number", point, 1..2);
    refused::<Force>(
        "1_000 lbf",
        "the number is written in pieces",
        together,
        1..2,
    );
    refused::<Force>(
        "1 000 lbf",
        "the number is written in pieces",
        together,
        0..5,
    );
}

#[test]
fn refuses_what_is_not_finite() {
    use kind::*;
    refused::<Length>("NaN m", "`NaN m` is not a finite number", LENGTH, 0..5);
    refused::<Length>("-inf m", "`-inf m` is not a finite number", LENGTH, 1..6);
    refused::<Length>("∞ m", "`∞ m` is not a finite number", LENGTH, 0..5);
    let size = |text: &str| format!("`{text}` is too large or too small a number");
    refused::<Length>("1e400 m", &size("1e400"), LENGTH, 0..5);
    refused::<Length>("1e-400 m", &size("1e-400"), LENGTH, 0..6);
    refused::<Stress>("1e308 MPa", &size("1e308 MPa"), STRESS, 0..9);
    refused::<Length>("1e-322 mm", &size("1e-322 mm"), LENGTH, 0..9);
}

#[test]
fn refuses_fractions_and_feet_that_cannot_be_meant() {
    use kind::Length;
    for (text, range) in [
        ("1/0 in", 0..3),
        ("3-1/0 in", 0..5),
        ("3-5/4 in", 2..5),
        ("3-5 in", 0..3),
        ("3.5-1/2 in", 0..7),
        ("1/ in", 0..2),
    ] {
        let mend = "write fractions as 3-1/2, 3 1/2 or 1/2";
        refused::<Length>(text, "the fraction cannot be read", mend, range);
    }
    for (text, range) in [
        ("6.5 ft 4 in", 4..11),
        ("5 ft 12 in", 2..10),
        ("5 ft 3 ft", 2..9),
        ("5 ft 3 mm", 2..9),
        ("5 ft 3 in 2", 2..11),
    ] {
        let mend = "write whole feet and less than 12 inches, as in 6 ft 4-1/2 in";
        refused::<Length>(text, "the feet and inches cannot be read", mend, range);
    }
}

#[test]
fn prints_in_one_unit_per_kind() {
    assert_eq!(print::<kind::Length>(us::inches(3.5), Show::Us), "3.5 in");
    assert_eq!(print::<kind::Length>(us::inches(3.5), Show::Si), "88.9 mm");
    assert_eq!(
        print::<kind::Moment>(us::pound_feet(1800.0), Show::Us),
        "1800 lbf·ft"
    );
    assert_eq!(
        print::<kind::Moment>(si::newton_metres(2440.0), Show::Si),
        "2.44 kN·m"
    );
    assert_eq!(print::<kind::Stress>(us::psi(900.0), Show::Us), "900 psi");
    assert_eq!(print::<kind::Modulus>(us::psi(1.6e6), Show::Us), "1600 ksi");
    assert_eq!(
        print::<kind::AreaLoad>(us::psf(40.0), Show::Si),
        "1.915 kPa"
    );
    assert_eq!(print::<kind::Angle>(si::degrees(35.0), Show::Us), "35°");
    assert_eq!(print::<kind::Ratio>(si::ratio(0.05), Show::Si), "5 %");
    assert_eq!(
        print::<kind::Length>(si::millimetres(-0.0), Show::Si),
        "0 mm"
    );
    assert_eq!(number::<kind::Force>(us::kips(2.0), Show::Us), "2000");
    assert_eq!(unit::<kind::Force>(Show::Us), "lbf");
    assert_eq!(unit::<kind::UnitWeight>(Show::Si), "kN/m³");
}

#[test]
fn figures_are_those_of_an_engineer() {
    for (number, text) in [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.000_01, "-1.000e-5"),
        (1.0, "1"),
        (9.996, "10"),
        (1.9996, "2"),
        (0.999_96, "1"),
        (2.345_6, "2.35"),
        (12.345, "12.35"),
        (99.96, "100"),
        (234.56, "235"),
        (-234.56, "-235"),
        (1234.4, "1234"),
        (98_765.4, "98765"),
        (0.012_345, "0.01235"),
        (0.000_2, "0.0002"),
        (2.5e9, "2.500e9"),
        (f64::NAN, "not finite"),
        (f64::INFINITY, "not finite"),
    ] {
        assert_eq!(engineering(number), text, "{number}");
    }
}

#[test]
fn prints_sixteenths() {
    for (inches, short, long) in [
        (0.0, "0 in", "0 in"),
        (0.01, "0 in", "0 in"),
        (0.04, "1/16 in", "1/16 in"),
        (3.75, "3-3/4 in", "3-3/4 in"),
        (11.99, "12 in", "1 ft"),
        (76.5, "76-1/2 in", "6 ft 4-1/2 in"),
        (72.125, "72-1/8 in", "6 ft 0-1/8 in"),
        (-76.5, "-76-1/2 in", "-6 ft 4-1/2 in"),
    ] {
        assert_eq!(sixteenths(us::inches(inches)), short);
        assert_eq!(feet_and_sixteenths(us::inches(inches)), long);
    }
    assert_eq!(sixteenths(us::inches(1e300)), "1.000e300 in");
}

#[test]
fn every_unit_is_printed_as_it_is_read_and_is_named_once() {
    for about in kind::ALL {
        let About { units, us, si, .. } = about;
        assert!(units.contains(us) && units.contains(si), "{about:?}");
        assert!(
            units.iter().any(|unit| unit.factor == 1.0),
            "{} has no base unit",
            about.name
        );
        for (i, unit) in units.iter().enumerate() {
            for word in std::iter::once(&unit.name).chain(unit.spellings) {
                let named: Vec<usize> = (0..units.len())
                    .filter(|&j| units[j].is_called(word))
                    .collect();
                assert_eq!(
                    named,
                    [i],
                    "`{word}` of {} names more than one unit",
                    about.name
                );
            }
        }
    }
}

#[test]
fn serde_is_a_string_with_its_unit() {
    let arm = Written::<kind::Length>(us::inches(3.5));
    assert_eq!(serde_json::to_string(&arm).unwrap(), "\"3.5 in\"");
    assert_eq!(
        serde_json::from_str::<Written<kind::Length>>("\"3-1/2 in\"").unwrap(),
        arm
    );
    let bare = serde_json::from_str::<Written<kind::Length>>("3")
        .unwrap_err()
        .to_string();
    assert!(
        bare.contains("a length with its unit, as a string: mm, cm, m, in, ft"),
        "{bare}"
    );
    assert!(serde_json::from_str::<Written<kind::Length>>("3.5").is_err());
    assert!(
        serde_json::from_str::<Written<kind::Length>>("\"30 kN\"")
            .unwrap_err()
            .to_string()
            .contains("a force")
    );
    assert!(serde_json::to_string(&Written::<kind::Length>(si::metres(f64::NAN))).is_err());
    assert_eq!(exact::<kind::Force>(us::kips(12.0)), "12 kip");
    assert_eq!(exact::<kind::Ratio>(si::ratio(0.05)), "5 %");
    assert_eq!(exact::<kind::Length>(si::metres(0.0)), "0 m");
    assert_eq!(exact::<kind::Length>(si::metres(1.0)), "1 m");
    assert_eq!(serde_json::to_string(&Show::Si).unwrap(), "\"si\"");
}

/// Sizes over all that a layout could hold, and far beyond; the last powers of ten overflow in small units.
fn sizes() -> impl Strategy<Value = f64> {
    let any = (prop::num::f64::NORMAL | prop::num::f64::ZERO).prop_filter("within reach", |v| {
        *v == 0.0 || (1e-290..1e290).contains(&v.abs())
    });
    let decimals = (-1_000_000..1_000_000_i32).prop_map(|n| f64::from(n) / 1000.0);
    prop_oneof![any, -1e6..1e6_f64, decimals]
}

fn quantity<K: Kind>(value: f64) -> kind::Of<K> {
    kind::Of::<K> {
        dimension: std::marker::PhantomData,
        units: std::marker::PhantomData,
        value,
    }
}

fn reads_back<K: Kind>(value: f64) {
    let text = exact::<K>(quantity::<K>(value));
    let read = parse::<K>(&text).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(read.value.to_bits(), value.to_bits(), "{text}");
}

/// Printing keeps three figures.
fn prints_near<K: Kind>(value: f64) {
    for show in [Show::Us, Show::Si] {
        let text = print::<K>(quantity::<K>(value), show);
        let Ok(read) = parse::<K>(&text) else {
            panic!("{text}")
        };
        let kept = (read.value - value).abs() <= 0.005 * value.abs();
        assert!(kept, "{value} was printed as {text}");
    }
}

fn scales_alike<K: Kind>(number: f64) {
    for unit in K::ABOUT.units {
        let Ok(read) = parse::<K>(&format!("{number} {}", unit.name)) else {
            panic!("{number} {}", unit.name)
        };
        let due = number * unit.si();
        assert!(
            (read.value - due).abs() <= ROUNDING * due.abs(),
            "{number} {}",
            unit.name
        );
    }
}

fn never_panics<K: Kind>(text: &str) {
    match parse::<K>(text) {
        Ok(read) => assert!(read.value.is_finite(), "{text}"),
        Err(error) => {
            assert!(
                text.get(error.range()).is_some(),
                "{text}: {:?} is no range of it",
                error.range()
            );
            assert!(!error.to_string().is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn exact_text_reads_back_to_the_same_bits(value in sizes()) {
        macro_rules! all { ($($kind:ident),*) => { $(reads_back::<kind::$kind>(value);)* } }
        for_every_kind!(all);
    }

    #[test]
    fn printed_text_reads_back_to_three_figures(value in (-1e9..1e9_f64).prop_filter("ordinary", |v| v.abs() > 1e-6)) {
        macro_rules! all { ($($kind:ident),*) => { $(prints_near::<kind::$kind>(value);)* } }
        for_every_kind!(all);
    }

    #[test]
    fn units_scale(number in -1e6..1e6_f64) {
        macro_rules! all { ($($kind:ident),*) => { $(scales_alike::<kind::$kind>(number);)* } }
        for_every_kind!(all);
    }

    #[test]
    fn arbitrary_text_is_read_or_refused(text in ".*", near in "[-+0-9./ ½'\"eEinftmkNps²·^,_]{0,16}") {
        macro_rules! all { ($($kind:ident),*) => { $(never_panics::<kind::$kind>(&text); never_panics::<kind::$kind>(&near);)* } }
        for_every_kind!(all);
    }

    #[test]
    fn sixteenths_are_nearest_and_read_back(inches in -1e5..1e5_f64) {
        for text in [sixteenths(us::inches(inches)), feet_and_sixteenths(us::inches(inches))] {
            let read = inches_of(&text);
            prop_assert!((read - inches).abs() <= 1.0 / 32.0 + 1e-9, "{inches} was printed as {text}");
        }
    }
}
