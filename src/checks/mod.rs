//! Limit states of an anchor: one module each, all of one shape.

mod result;

pub use result::{Attachment, CheckResult, Measure, Reaction, Verdict};
