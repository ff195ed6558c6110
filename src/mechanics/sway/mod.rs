//! How a tree moves in the wind where a platform hangs on it: a stem that tapers, on roots that turn.
//!
//! [`taper`] is the stem as a cantilever, [`roots`] what holds it and where it would fail, [`wind`] what pushes it, [`vibration`]
//! how fast it swings, [`pair`] what two stems do to a beam between them. All heights are above the ground at the stem.
//!
//! These are estimates of a mean tree from a few sizes. A pull test, or a week of measured movement, is worth more than all of them.

pub mod pair;
pub mod roots;
pub mod taper;
pub mod vibration;
pub mod wind;
