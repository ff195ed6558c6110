//! The kinds of quantity that can be written and printed, each with the units it takes.
//!
//! A stress and a load per area have the same dimension, but "40 psi" of people is a slip of the pen: a kind is what
//! the reader of the number thinks of, and takes only the units that are customary for it.

use super::us::{FOOT, INCH, POUND, POUND_FORCE, PSI};
use std::f64::consts::PI;
use uom::si::{Dimension, Quantity, SI};

/// A unit: how it is printed, how else it may be written, and what it is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// How the unit is printed.
    pub name: &'static str,
    /// How else it may be written.
    pub(super) spellings: &'static [&'static str],
    /// One of it in SI base units, but for the power of ten.
    pub(super) factor: f64,
    /// A power of ten, applied to the digits before they become a binary number.
    pub(super) tens: i32,
    /// Whether capitals mean nothing: `PSF` is psf, but `MN` is not mN.
    pub(super) any_case: bool,
}

impl Unit {
    /// One of this unit in SI base units.
    pub fn si(&self) -> f64 {
        self.factor * 10_f64.powi(self.tens)
    }

    /// Whether its digits are those of the SI value, but for the point.
    pub(super) fn is_base(&self) -> bool {
        self.factor.to_bits() == 1_f64.to_bits()
    }

    pub(super) fn is_called(&self, word: &str) -> bool {
        std::iter::once(&self.name)
            .chain(self.spellings)
            .any(|name| same_unit(name, word, self.any_case))
    }
}

/// What is known of a kind of quantity while the program runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct About {
    /// The kind with its article: "a length".
    pub name: &'static str,
    /// The units it takes, in the order in which they are offered.
    pub units: &'static [Unit],
    /// The unit it is printed in, in SI.
    pub si: Unit,
    /// The unit it is printed in, in US customary units.
    pub us: Unit,
}

impl About {
    /// The units taken, as a list in words: `mm, cm, m, in, ft`.
    pub fn accepted(&self) -> String {
        self.units
            .iter()
            .map(|unit| unit.name)
            .collect::<Vec<_>>()
            .join(", ")
    }

    pub(crate) fn unit(&self, word: &str) -> Option<&'static Unit> {
        self.units.iter().find(|unit| unit.is_called(word))
    }
}

/// A kind of quantity: its type, its name in plain words, the units it takes.
pub trait Kind: 'static {
    /// The dimension of the quantity.
    type Dimension: Dimension + ?Sized;
    /// The name and the units.
    const ABOUT: &'static About;
}

/// The quantity of a kind.
pub type Of<K> = Quantity<<K as Kind>::Dimension, SI<f64>, f64>;

/// A quantity type, asked for its dimension.
pub trait Dimensioned {
    /// The dimension.
    type Dimension: ?Sized;
}

impl<D: Dimension + ?Sized> Dimensioned for Quantity<D, SI<f64>, f64> {
    type Dimension = D;
}

const fn si(name: &'static str, factor: f64, spellings: &'static [&'static str]) -> Unit {
    Unit {
        name,
        spellings,
        factor,
        tens: 0,
        any_case: false,
    }
}

const fn us(name: &'static str, factor: f64, spellings: &'static [&'static str]) -> Unit {
    Unit {
        name,
        spellings,
        factor,
        tens: 0,
        any_case: true,
    }
}

/// The unit of that name, found while compiling.
const fn pick(units: &[Unit], name: &str) -> Unit {
    let mut i = 0;
    while !same_bytes(units[i].name.as_bytes(), name.as_bytes()) {
        i += 1;
    }
    units[i]
}

const fn same_bytes(a: &[u8], b: &[u8]) -> bool {
    let mut i = 0;
    while i < a.len() && i < b.len() && a[i] == b[i] {
        i += 1;
    }
    i == a.len() && i == b.len()
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $name:literal, $us:literal, $si:literal, $units:expr;)*) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub enum $kind {}

            impl Kind for $kind {
                type Dimension = <super::$kind as Dimensioned>::Dimension;
                const ABOUT: &'static About = {
                    const UNITS: &[Unit] = $units;
                    &About { name: $name, units: UNITS, si: pick(UNITS, $si), us: pick(UNITS, $us) }
                };
            }
        )*

        /// Every kind, in the order of this module.
        pub const ALL: &[&About] = &[$($kind::ABOUT),*];
    };
}

/// Whether two ways to write a unit are the same: `kN*m`, `kN m`, `kN-m` and `kNm` are `kN·m`; `mm^2` and `mm2` are `mm²`.
fn same_unit(name: &str, word: &str, any_case: bool) -> bool {
    let (name, word) = (plain(name), plain(word));
    let equal = |a: &str, b: &str| {
        if any_case {
            a.to_lowercase() == b.to_lowercase()
        } else {
            a == b
        }
    };
    equal(&name, &word) || equal(&name.replace('*', ""), &word)
}

/// A unit in ASCII, with `*` between the factors of a product.
fn plain(unit: &str) -> String {
    let mut out = String::with_capacity(unit.len());
    let mut rest = unit.trim().chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            '²' => out.push('2'),
            '³' => out.push('3'),
            '⁴' => out.push('4'),
            '^' if rest.peek().is_some_and(char::is_ascii_digit) => {}
            '/' => {
                out.truncate(out.trim_end_matches('*').len());
                out.push('/');
            }
            '·' | '⋅' | '∙' | '•' | '×' | '*' | '-' | '‑' => push_times(&mut out),
            c if c.is_whitespace() => push_times(&mut out),
            c => out.push(c),
        }
    }
    out
}

fn push_times(out: &mut String) {
    if !out.ends_with(['*', '/']) {
        out.push('*');
    }
}

const STRESS: &[Unit] = &[
    us("psi", PSI, &["lbf/in²", "lb/in²"]),
    us("ksi", 1e3 * PSI, &["kip/in²", "kips/in²"]),
    si("Pa", 1.0, &["N/m²"]),
    si("kPa", 1e3, &["kN/m²"]),
    si("MPa", 1e6, &["MN/m²"]),
    si("GPa", 1e9, &["kN/mm²"]),
    si("N/mm²", 1e6, &[]),
];
const PSF: f64 = POUND_FORCE / (FOOT * FOOT);

kinds! {
    /// A length.
    Length = "a length", "in", "mm", &[
        si("mm", 1e-3, &[]), si("cm", 1e-2, &[]), si("m", 1.0, &[]),
        us("in", INCH, &["inch", "inches", "\"", "″", "”", "''"]), us("ft", FOOT, &["foot", "feet", "'", "′", "’"]),
    ];
    /// An area.
    Area = "an area", "in²", "mm²", &[
        si("mm²", 1e-6, &["sq mm"]), si("cm²", 1e-4, &["sq cm"]), si("m²", 1.0, &["sq m"]),
        us("in²", INCH * INCH, &["sq in"]), us("ft²", FOOT * FOOT, &["sq ft"]),
    ];
    /// A section modulus.
    SectionModulus = "a section modulus", "in³", "mm³", &[
        si("mm³", 1e-9, &[]), si("cm³", 1e-6, &[]), si("m³", 1.0, &[]), us("in³", INCH * INCH * INCH, &[]),
    ];
    /// A second moment of area.
    SecondMoment = "a second moment of area", "in⁴", "mm⁴", &[
        si("mm⁴", 1e-12, &[]), si("cm⁴", 1e-8, &[]), si("m⁴", 1.0, &[]), us("in⁴", INCH * INCH * INCH * INCH, &[]),
    ];
    /// A force.
    Force = "a force", "lbf", "kN", &[
        us("lbf", POUND_FORCE, &["lb", "lbs"]), us("kip", 1e3 * POUND_FORCE, &["kips"]), si("N", 1.0, &[]), si("kN", 1e3, &[]),
    ];
    /// A moment of a force.
    Moment = "a moment", "lbf·ft", "kN·m", &[
        us("lbf·ft", POUND_FORCE * FOOT, &["lb·ft", "ft·lbf", "ft·lb"]),
        us("lbf·in", POUND_FORCE * INCH, &["lb·in", "in·lbf", "in·lb"]),
        us("kip·ft", 1e3 * POUND_FORCE * FOOT, &["ft·kip", "kips·ft", "ft·kips"]),
        us("kip·in", 1e3 * POUND_FORCE * INCH, &["in·kip", "kips·in", "in·kips"]),
        si("N·mm", 1e-3, &[]), si("N·m", 1.0, &[]), si("kN·m", 1e3, &[]),
    ];
    /// A stress or a strength.
    Stress = "a stress", "psi", "MPa", STRESS;
    /// A modulus of elasticity.
    Modulus = "a modulus of elasticity", "ksi", "GPa", STRESS;
    /// The line modulus of a foundation.
    FoundationModulus = "a foundation modulus", "psi", "MPa", STRESS;
    /// A load per area.
    AreaLoad = "a load per area", "psf", "kPa", &[
        us("psf", PSF, &["lbf/ft²", "lb/ft²"]), si("Pa", 1.0, &["N/m²"]), si("kPa", 1e3, &[]), si("kN/m²", 1e3, &[]),
    ];
    /// A load per length.
    LineLoad = "a load per length", "plf", "kN/m", &[
        us("plf", POUND_FORCE / FOOT, &["lbf/ft", "lb/ft"]), us("lbf/in", POUND_FORCE / INCH, &["lb/in", "pli"]),
        us("kip/ft", 1e3 * POUND_FORCE / FOOT, &["kips/ft", "klf"]), si("N/m", 1.0, &[]), si("kN/m", 1e3, &["N/mm"]),
    ];
    /// A force per deflection.
    Stiffness = "a stiffness", "lbf/in", "N/mm", &[
        us("lbf/in", POUND_FORCE / INCH, &["lb/in", "pli"]), us("lbf/ft", POUND_FORCE / FOOT, &["lb/ft"]),
        us("kip/in", 1e3 * POUND_FORCE / INCH, &["kips/in"]), us("kip/ft", 1e3 * POUND_FORCE / FOOT, &["kips/ft"]),
        si("N/m", 1.0, &[]), si("N/mm", 1e3, &["kN/m"]), si("kN/mm", 1e6, &["MN/m"]),
    ];
    /// A weight per volume.
    UnitWeight = "a weight per volume", "pcf", "kN/m³", &[
        us("pcf", POUND_FORCE / (FOOT * FOOT * FOOT), &["lbf/ft³", "lb/ft³"]), si("N/m³", 1.0, &[]), si("kN/m³", 1e3, &[]),
    ];
    /// A mass.
    Mass = "a mass", "lb", "kg", &[us("lb", POUND, &["lbs", "lbm"]), si("kg", 1.0, &[])];
    /// A mass per volume.
    Density = "a density", "lb/ft³", "kg/m³", &[
        us("lb/ft³", POUND / (FOOT * FOOT * FOOT), &["pcf", "lbm/ft³"]), si("kg/m³", 1.0, &[]),
    ];
    /// A flexural stiffness.
    FlexuralStiffness = "a flexural stiffness", "lbf·in²", "kN·m²", &[
        us("lbf·in²", POUND_FORCE * INCH * INCH, &["lb·in²"]), si("N·m²", 1.0, &[]), si("kN·m²", 1e3, &[]),
    ];
    /// A speed.
    Speed = "a speed", "mph", "m/s", &[
        us("mph", 5280.0 * FOOT / 3600.0, &["mi/h"]), us("ft/s", FOOT, &["fps"]), si("m/s", 1.0, &[]),
        si("km/h", 1.0 / 3.6, &["kph"]),
    ];
    /// A plane angle.
    Angle = "an angle", "deg", "deg", &[
        us("deg", PI / 180.0, &["degree", "degrees", "°", "º"]), us("rad", 1.0, &[]),
    ];
    /// A part of a whole.
    Ratio = "a ratio", "%", "%", &[Unit { name: "%", spellings: &["percent"], factor: 1.0, tens: -2, any_case: true }];
}
