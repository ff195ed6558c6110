//! Quantities: one alias per kind that the field uses, exact constructors, and strings in and out.
//!
//! Every quantity is a [`uom`] quantity over `f64` in SI base units; `quantity.value` is always SI.
//! US customary units are defined here from the exact inch and pound, never from [`uom`]'s rounded ones.

pub mod kind;
mod nearest;
mod parse;
mod print;
pub mod si;
mod text;
pub mod us;

pub use kind::Kind;
pub(crate) use nearest::edits;
pub use nearest::nearest;
pub(crate) use parse::is_bare;
pub use parse::*;
pub use print::{Show, engineering, feet_and_sixteenths, number, print, sixteenths, unit};
pub use text::{Written, exact};

use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N1, N2, N3, P1, P2, P3, P4, Z0};

/// A quantity of length exponent `L`, mass exponent `M` and time exponent `T`.
type Of<L, M, T> = Quantity<ISQ<L, M, T, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// A length (m).
pub type Length = Of<P1, Z0, Z0>;
/// An area (m²).
pub type Area = Of<P2, Z0, Z0>;
/// A section modulus, elastic S or plastic Z (m³).
pub type SectionModulus = Of<P3, Z0, Z0>;
/// A volume (m³): the dimension of a section modulus.
pub type Volume = SectionModulus;
/// A second moment of area (m⁴).
pub type SecondMoment = Of<P4, Z0, Z0>;
/// A force (N).
pub type Force = Of<P1, P1, N2>;
/// A moment of a force (N·m): what force times length is, so that no conversion stands between them.
pub type Moment = Of<P2, P1, N2>;
/// A moment per angle (N·m/rad): in SI the radian is one.
pub type RotationalStiffness = Moment;
/// A moment per mass (N·m/kg).
pub type MomentPerMass = Of<P2, Z0, N2>;
/// A stress, a strength, or a modulus of elasticity (Pa).
pub type Stress = Of<N1, P1, N2>;
/// A modulus of elasticity (Pa), printed in larger units than a stress.
pub type Modulus = Stress;
/// A load per area (Pa).
pub type AreaLoad = Stress;
/// The line modulus K of a Winkler foundation: reaction per length of bar and per deflection (Pa).
pub type FoundationModulus = Stress;
/// A load or a resistance per length (N/m).
pub type LineLoad = Of<Z0, P1, N2>;
/// A force per deflection (N/m).
pub type Stiffness = LineLoad;
/// A weight per volume (N/m³).
pub type UnitWeight = Of<N2, P1, N2>;
/// A mass (kg).
pub type Mass = Of<Z0, P1, Z0>;
/// A mass per volume (kg/m³).
pub type Density = Of<N3, P1, Z0>;
/// A flexural stiffness E·I (N·m²).
pub type FlexuralStiffness = Of<P3, P1, N2>;
/// A reciprocal length, such as the λ of a beam on a foundation (1/m).
pub type ReciprocalLength = Of<N1, Z0, Z0>;
/// A speed (m/s).
pub type Speed = Of<P1, Z0, N1>;
/// A frequency, or a rate of decay (1/s).
pub type Frequency = Of<Z0, Z0, N1>;
/// A plane angle (rad).
pub type Angle = uom::si::f64::Angle;
/// A pure number (1).
pub type Ratio = uom::si::f64::Ratio;

#[cfg(test)]
mod tests;
