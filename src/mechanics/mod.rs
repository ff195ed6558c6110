//! The published equations, one function each: what a hand calculation would look up.
//!
//! Every function takes typed quantities, returns one result in the same terms as its source, and carries the
//! equation, the symbols, the range in which the source states it, and the source itself. Nothing here knows a
//! table, a safety factor or a file; reductions that belong to an equation (R_d of the yield modes) are part of it.
//!
//! Where a source states a range, the module has it as a [`Range`] constant. A value outside is still computed, for
//! the caller to mark as extended; a value that has no meaning in the equation is a [`MechanicsError`].

pub mod driving;
pub mod duration;
pub mod dynamics;
pub mod embedment;
pub mod eurocode5;
pub mod exclusion;
pub mod foundation;
pub mod general_dowel;
pub mod group_action;
pub mod growth;
pub mod mechanism;
pub mod modulus;
pub mod pushover;
pub mod round_bar;
pub mod snow;
pub mod statics;
pub mod stem;
pub mod sway;

pub mod timber_member;
pub mod wind;
pub mod withdrawal;
pub mod yield_modes;

mod error;
mod guard;
mod range;

pub use error::MechanicsError;
pub use range::Range;

/// Ninety degrees.
const RIGHT_ANGLE: crate::units::Angle = crate::units::si::degrees(90.0);
