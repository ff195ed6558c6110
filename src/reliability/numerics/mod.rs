//! Structural reliability of any limit states whatever: distributions and their dependence, the first-order method,
//! and sampling.
//!
//! Every number here is a plain `f64`; what it stands for and its unit is the caller's affair. Three spaces:
//!
//! - **x**, the variables themselves, one [`Distribution`] each;
//! - **z**, their *normal scores*: Φ(zᵢ) = Fᵢ(xᵢ); standard normals, correlated ([`Correlation`]);
//! - **u**, independent standard normals; z = L·u ([`Space`]).
//!
//! A [`Response`] gives the limit states g(x); g ≤ 0 means exceeded. [`form::search`] finds the nearest such point in u,
//! [`run::run`] counts samples.
//!
//! ```
//! use barkline::reliability::numerics::{Distribution, Function, Settings, Space, form, run};
//! use std::sync::atomic::AtomicBool;
//!
//! // Strength 10 ± 1.5 against load 5 ± 1: β = (10 − 5)/√(1.5² + 1²) = 2.774.
//! let space = Space::new(vec![Distribution::normal(10.0, 1.5)?, Distribution::normal(5.0, 1.0)?], None)?;
//! let margin = Function::new(1, |x: &[f64], g: &mut [f64]| g[0] = x[0] - x[1]);
//! let nearest = &form::search(&space, &margin, 0, &Default::default())?.points[0];
//! assert!((nearest.beta - 5.0 / 3.25_f64.sqrt()).abs() < 1e-6);
//!
//! let settings = Settings { samples: 20_000, ..Settings::default() };
//! let sampled = run::run(&space, &margin, &settings, &AtomicBool::new(false), &mut |_| ())?;
//! let (low, high) = sampled.limit_states[0].interval;
//! assert!(low < nearest.probability() && nearest.probability() < high);
//! # Ok::<(), barkline::reliability::numerics::NumericsError>(())
//! ```

pub mod correlation;
pub mod distribution;
mod error;
pub mod estimate;
pub mod form;
mod importance;
mod interval;
pub mod normal;
mod response;
pub mod run;
pub mod sampling;
mod sobol;
mod space;

pub use correlation::Correlation;
pub use distribution::Distribution;
pub use error::NumericsError;
pub use estimate::{Bins, Estimate, Histogram};
pub use form::{DesignPoint, Form, FormOptions};
pub use response::{Function, Response};
pub use run::{Progress, Sampled, Settings};
pub use sampling::Method;
pub use space::Space;
