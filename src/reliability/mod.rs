//! How likely it is that a strength is exceeded, and what that hangs on.
//!
//! [`numerics`] is plain arithmetic on variables that vary: it knows no trees, no tables and no units.

pub mod numerics;
