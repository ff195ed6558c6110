//! A continuous line of beam, such as a joist on several beams, condensed to its supports.
//!
//! The moments over the inner supports are the unknowns (Clapeyron's three moments): A·m = B·v + c, with B the second
//! differences of the support displacements v. The condensed stiffness Bᵀ·A⁻¹·B then balances and follows rigid
//! motions by its very form, and two supports give exactly zero.
//!
//! Everything transverse is positive upwards, loads included; moments are positive sagging.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::span::{Bending, Flexural, SimplyHeld, SpanLoad};

/// Places closer than this fraction of the line's length are one place.
const SAME_PLACE: f64 = 1e-9;

/// Why a line of beam cannot be worked out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LineError {
    /// A beam needs two supports at different places.
    #[error("a line of beam needs two distinct supports and has {0}")]
    TooFewSupports(usize),
    /// Supports are given in order along the line.
    #[error("support {0} does not lie beyond the one before it")]
    NotAscending(usize),
    /// A support lies beyond the ends of the beam.
    #[error("support {0} lies off the beam")]
    SupportOffBeam(usize),
    /// A load lies beyond the ends of the beam, or ends before it begins.
    #[error("load {0} does not lie on the beam")]
    LoadOffBeam(usize),
    /// A stiffness is not a positive number.
    #[error("{0} is not a positive number")]
    NotPositive(&'static str),
    /// Infinity or not a number.
    #[error("{0} is not finite")]
    NotFinite(&'static str),
    /// As many displacements as supports are needed.
    #[error("{given} displacements for {supports} supports")]
    Displacements {
        /// The supports of the line.
        supports: usize,
        /// The displacements given.
        given: usize,
    },
}

/// A straight beam on two or more supports, with or without overhangs.
#[derive(Clone, Debug)]
pub struct Line {
    ends: [f64; 2],
    supports: Vec<f64>,
    flexural: Flexural,
    /// Second differences, one row for each inner support.
    second: DMatrix<f64>,
    /// A, factorized; none for two supports.
    three_moments: Option<Cholesky<f64, Dyn>>,
}

/// A loaded [`Line`] on supports at known displacements.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// Upward forces of the supports on the beam (N).
    pub reactions: Vec<f64>,
    /// Shear, moment and deflection, x measured from the line's start.
    pub bending: Bending,
}

impl Line {
    /// A beam from `ends[0]` to `ends[1]` on supports in ascending order, with EI (N·m²) and, where shear counts,
    /// κGA (N).
    ///
    /// # Errors
    /// Fewer than two distinct supports, supports off the beam or out of order, stiffness not positive.
    pub fn new(
        ends: [f64; 2],
        supports: &[f64],
        ei: f64,
        shear: Option<f64>,
    ) -> Result<Self, LineError> {
        check(ends, supports, ei, shear)?;
        let flexural = Flexural {
            ei,
            shear: shear.map_or(0.0, f64::recip),
        };
        let inner = supports.len() - 2;
        let mut second = DMatrix::zeros(inner, supports.len());
        let mut moments = DMatrix::zeros(inner, inner);
        for k in 0..inner {
            let (before, after) = (
                supports[k + 1] - supports[k],
                supports[k + 2] - supports[k + 1],
            );
            second[(k, k)] = 1.0 / before;
            second[(k, k + 1)] = -1.0 / before - 1.0 / after;
            second[(k, k + 2)] = 1.0 / after;
            moments[(k, k)] = flexural.near(before) + flexural.near(after);
            if k + 1 < inner {
                moments[(k, k + 1)] = flexural.far(after);
                moments[(k + 1, k)] = flexural.far(after);
            }
        }
        let three_moments = if inner == 0 { None } else { moments.cholesky() };
        if inner > 0 && three_moments.is_none() {
            return Err(LineError::NotFinite("the flexibility of a span"));
        }
        Ok(Self {
            ends,
            supports: supports.to_vec(),
            flexural,
            second,
            three_moments,
        })
    }

    /// The stiffness on the upward displacements of the supports, in their order (N/m).
    pub fn stiffness(&self) -> DMatrix<f64> {
        let Some(three_moments) = &self.three_moments else {
            return DMatrix::zeros(self.supports.len(), self.supports.len());
        };
        let full = self.second.tr_mul(&three_moments.solve(&self.second));
        (&full + full.transpose()) * 0.5
    }

    /// The upward forces of the loaded line on supports that do not move (N): downward loads give negative ones.
    ///
    /// # Errors
    /// A load that is not finite or does not lie on the beam.
    pub fn support_forces(&self, loads: &[SpanLoad]) -> Result<Vec<f64>, LineError> {
        let still = vec![0.0; self.supports.len()];
        Ok(self.reactions(loads, &still)?.iter().map(|r| -r).collect())
    }

    /// Reactions, shear, moment and deflection of the loaded line once its supports have moved.
    ///
    /// # Errors
    /// A load that is not finite or does not lie on the beam; displacements that do not match the supports.
    pub fn recover(&self, loads: &[SpanLoad], displacements: &[f64]) -> Result<Loaded, LineError> {
        let reactions = self.reactions(loads, displacements)?;
        let start = self.ends[0];
        let held = self
            .supports
            .iter()
            .zip(&reactions)
            .map(|(x, force)| SpanLoad::Point {
                x: *x,
                force: *force,
            });
        let all: Vec<SpanLoad> = loads
            .iter()
            .copied()
            .chain(held)
            .map(|load| load.moved(-start, 1.0))
            .collect();
        let last = self.supports.len() - 1;
        let known = [0, last].map(|k| (self.supports[k] - start, displacements[k]));
        let bending = Bending::new(self.flexural, self.ends[1] - start, [0.0; 2], known, &all);
        Ok(Loaded { reactions, bending })
    }

    fn reactions(&self, loads: &[SpanLoad], displacements: &[f64]) -> Result<Vec<f64>, LineError> {
        self.check_loads(loads)?;
        let (supports, given) = (self.supports.len(), displacements.len());
        if supports != given {
            return Err(LineError::Displacements { supports, given });
        }
        if !displacements.iter().all(|v| v.is_finite()) {
            return Err(LineError::NotFinite("a displacement"));
        }
        let (mut forces, mut moments) = self.overhangs(loads);
        let mut kinks = &self.second * DVector::from_column_slice(displacements);
        for (k, pair) in self.supports.windows(2).enumerate() {
            let length = pair[1] - pair[0];
            let held = simply_held(loads, pair[0], pair[1]);
            forces[k] += held.reactions[0];
            forces[k + 1] += held.reactions[1];
            // The moments over the outer supports are known; those over the inner ones are still zero here.
            let far = self.flexural.far(length);
            if k > 0 {
                kinks[k - 1] += held.rotations[0] / self.flexural.ei - far * moments[k + 1];
            }
            if k + 2 < supports {
                kinks[k] -= held.rotations[1] / self.flexural.ei + far * moments[k];
            }
        }
        if let Some(three_moments) = &self.three_moments {
            moments[1..supports - 1].copy_from_slice(three_moments.solve(&kinks).as_slice());
        }
        for (k, pair) in self.supports.windows(2).enumerate() {
            let shear = (moments[k + 1] - moments[k]) / (pair[1] - pair[0]);
            forces[k] += shear;
            forces[k + 1] -= shear;
        }
        Ok(forces)
    }

    /// What loads beyond the outer supports put on them: upward forces of the supports, and the moments over them.
    fn overhangs(&self, loads: &[SpanLoad]) -> (Vec<f64>, Vec<f64>) {
        let last = self.supports.len() - 1;
        let (mut forces, mut moments) = (vec![0.0; last + 1], vec![0.0; last + 1]);
        for (k, low, high) in [
            (0, f64::NEG_INFINITY, self.supports[0]),
            (last, self.supports[last], f64::INFINITY),
        ] {
            for (x, force) in loads
                .iter()
                .filter_map(|load| load.between(low, high))
                .flat_map(|part| part.points())
            {
                forces[k] -= force;
                moments[k] += force * (x - self.supports[k]).abs();
            }
        }
        (forces, moments)
    }

    fn check_loads(&self, loads: &[SpanLoad]) -> Result<(), LineError> {
        let slack = SAME_PLACE * (self.ends[1] - self.ends[0]);
        for (k, load) in loads.iter().enumerate() {
            if !load.is_finite() {
                return Err(LineError::NotFinite("a load"));
            }
            if !load.lies_within(self.ends[0] - slack, self.ends[1] + slack) {
                return Err(LineError::LoadOffBeam(k));
            }
        }
        Ok(())
    }
}

impl Flexural {
    /// Turn of an end of a simply held span by a unit moment there.
    fn near(self, length: f64) -> f64 {
        length / (3.0 * self.ei) + self.shear / length
    }

    /// Turn of the other end.
    fn far(self, length: f64) -> f64 {
        length / (6.0 * self.ei) - self.shear / length
    }
}

fn simply_held(loads: &[SpanLoad], low: f64, high: f64) -> SimplyHeld {
    let mut held = SimplyHeld::default();
    let parts = loads.iter().filter_map(|load| load.between(low, high));
    parts.for_each(|part| held.add(high - low, &part.moved(-low, 1.0)));
    held
}

fn check(ends: [f64; 2], supports: &[f64], ei: f64, shear: Option<f64>) -> Result<(), LineError> {
    if !ends.iter().chain(supports).all(|x| x.is_finite()) {
        return Err(LineError::NotFinite("a place along the line"));
    }
    for (value, name) in [
        (ei, "EI"),
        (shear.unwrap_or(1.0), "the shear stiffness"),
        (ends[1] - ends[0], "the length"),
    ] {
        if !(value > 0.0 && value.is_finite()) {
            return Err(LineError::NotPositive(name));
        }
    }
    let slack = SAME_PLACE * (ends[1] - ends[0]);
    if let Some(k) = supports
        .iter()
        .position(|x| *x < ends[0] - slack || *x > ends[1] + slack)
    {
        return Err(LineError::SupportOffBeam(k));
    }
    let distinct = supports.iter().any(|x| (x - supports[0]).abs() > slack);
    if !distinct {
        return Err(LineError::TooFewSupports(supports.len().min(1)));
    }
    match supports
        .windows(2)
        .position(|pair| pair[1] - pair[0] <= slack)
    {
        Some(k) => Err(LineError::NotAscending(k + 1)),
        None => Ok(()),
    }
}
