//! Constructors from US customary units, exact from the international inch and the avoirdupois pound.
//!
//! Source: the international yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.453 592 37 kg), and
//! standard gravity 9.806 65 m/s² for the pound-force.

use super::si::{STANDARD_GRAVITY, constructors};
use super::{AreaLoad, Density, Force, Length, LineLoad, Mass, Moment, Speed, Stress, UnitWeight};
use std::marker::PhantomData;

/// One inch in metres.
pub const INCH: f64 = 0.0254;
/// One foot in metres.
pub const FOOT: f64 = 12.0 * INCH;
/// One pound in kilograms.
pub const POUND: f64 = 0.453_592_37;
/// One pound-force in newtons: 4.448 221 615 260 5.
pub const POUND_FORCE: f64 = POUND * STANDARD_GRAVITY;
/// One pound-force per square inch in pascals.
pub const PSI: f64 = POUND_FORCE / (INCH * INCH);

constructors! {
    /// A length in inches.
    inches: Length = INCH;
    /// A length in feet.
    feet: Length = FOOT;
    /// A force in pounds-force.
    pounds_force: Force = POUND_FORCE;
    /// A force in kips (1000 lbf).
    kips: Force = 1e3 * POUND_FORCE;
    /// A moment in pound-force inches.
    pound_inches: Moment = POUND_FORCE * INCH;
    /// A moment in pound-force feet.
    pound_feet: Moment = POUND_FORCE * FOOT;
    /// A stress in pounds-force per square inch.
    psi: Stress = PSI;
    /// A stress in kips per square inch.
    ksi: Stress = 1e3 * PSI;
    /// A load per area in pounds-force per square foot.
    psf: AreaLoad = POUND_FORCE / (FOOT * FOOT);
    /// A load per length in pounds-force per foot.
    plf: LineLoad = POUND_FORCE / FOOT;
    /// A load per length in pounds-force per inch.
    pounds_per_inch: LineLoad = POUND_FORCE / INCH;
    /// A weight per volume in pounds-force per cubic foot.
    pcf: UnitWeight = POUND_FORCE / (FOOT * FOOT * FOOT);
    /// A speed in miles per hour.
    miles_per_hour: Speed = 5280.0 * FOOT / 3600.0;
    /// A mass in pounds.
    pounds: Mass = POUND;
    /// A mass per volume in pounds per cubic foot.
    pounds_per_cubic_foot: Density = POUND / (FOOT * FOOT * FOOT);
}
