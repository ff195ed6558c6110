//! Print for people: tables, cards, and what is wrong with a layout.

mod as_built;
mod check;
mod explain;
mod findings;
mod reliability;
mod size;
mod table;
mod wrap;

pub(crate) use as_built::as_built;
pub(crate) use check::check;
pub(crate) use explain::explain;
pub(crate) use findings::findings;
pub(crate) use reliability::reliability;
pub(crate) use size::size;
pub(crate) use table::{cards, sheet};
