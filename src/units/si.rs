//! Constructors from SI units.

use super::{
    Angle, Area, Density, Force, Frequency, Length, LineLoad, Mass, Moment, MomentPerMass, Ratio,
    Speed, Stress, UnitWeight, Volume,
};
use std::marker::PhantomData;

/// Standard gravity, exact by definition: 9.806 65 m/s² (3rd CGPM, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

macro_rules! constructors {
    ($($(#[$doc:meta])* $name:ident: $quantity:ident = $factor:expr;)*) => {$(
        $(#[$doc])*
        pub const fn $name(number: f64) -> $quantity {
            $quantity { dimension: PhantomData, units: PhantomData, value: number * $factor }
        }
    )*};
}
pub(super) use constructors;

constructors! {
    /// A length in metres.
    metres: Length = 1.0;
    /// A length in millimetres.
    millimetres: Length = 1e-3;
    /// An area in square metres.
    square_metres: Area = 1.0;
    /// A volume in cubic metres.
    cubic_metres: Volume = 1.0;
    /// A force in newtons.
    newtons: Force = 1.0;
    /// A force in kilonewtons.
    kilonewtons: Force = 1e3;
    /// A moment in newton metres.
    newton_metres: Moment = 1.0;
    /// A stress in pascals.
    pascals: Stress = 1.0;
    /// A stress in kilopascals.
    kilopascals: Stress = 1e3;
    /// A stress in megapascals (N/mm²).
    megapascals: Stress = 1e6;
    /// A stress in gigapascals.
    gigapascals: Stress = 1e9;
    /// A load per length in newtons per metre.
    newtons_per_metre: LineLoad = 1.0;
    /// A weight per volume in newtons per cubic metre.
    newtons_per_cubic_metre: UnitWeight = 1.0;
    /// A mass in kilograms.
    kilograms: Mass = 1.0;
    /// A mass per volume in kilograms per cubic metre.
    kilograms_per_cubic_metre: Density = 1.0;
    /// A moment per mass in newton metres per kilogram.
    newton_metres_per_kilogram: MomentPerMass = 1.0;
    /// A speed in metres per second.
    metres_per_second: Speed = 1.0;
    /// A frequency in hertz, or a rate of decay per second.
    per_second: Frequency = 1.0;
    /// An angle in radians.
    radians: Angle = 1.0;
    /// An angle in degrees.
    degrees: Angle = std::f64::consts::PI / 180.0;
    /// A pure number.
    ratio: Ratio = 1.0;
}
