//! Print for people: tables, cards, and what is wrong with a layout.

mod check;
mod explain;
mod findings;
mod table;
mod wrap;

pub(crate) use check::check;
pub(crate) use explain::explain;
pub(crate) use findings::findings;
pub(crate) use table::{cards, sheet};
