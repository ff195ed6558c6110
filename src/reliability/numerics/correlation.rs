//! Correlation of variables of any distribution: Nataf's model, in which the normal scores are jointly normal.
//!
//! A coefficient between the values themselves is turned into the one between their normal scores
//! (Der Kiureghian and Liu 1986): in closed form for normal and lognormal variables, by integration for others.

use super::error::{NumericsError, between};
use super::{Distribution, normal};

/// Coefficients of correlation, each pair once; what is not set is 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Correlation {
    of: Of,
    size: usize,
    /// Row by row, symmetric, ones on the diagonal.
    matrix: Vec<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Of {
    Values,
    Normals,
}

impl Correlation {
    /// Coefficients between the values of so many variables. Unlike distributions cannot reach ±1.
    pub fn of_values(variables: usize) -> Self {
        Self::new(Of::Values, variables)
    }

    /// Coefficients between the normal scores of so many variables. With ±1 one follows wholly from the other, whatever
    /// their distributions.
    pub fn of_normals(variables: usize) -> Self {
        Self::new(Of::Normals, variables)
    }

    fn new(of: Of, size: usize) -> Self {
        let mut matrix = vec![0.0; size * size];
        for i in 0..size {
            matrix[i * size + i] = 1.0;
        }
        Self { of, size, matrix }
    }

    /// Sets the coefficient of two different variables. One with what does not vary has no meaning and no effect.
    ///
    /// # Errors
    /// If there is no such pair, or the coefficient does not lie in −1 to 1.
    pub fn set(&mut self, i: usize, j: usize, rho: f64) -> Result<&mut Self, NumericsError> {
        for index in [i, j] {
            if index >= self.size || i == j {
                return Err(NumericsError::NoSuch {
                    what: "pair with variable",
                    index,
                    count: self.size,
                });
            }
        }
        let rho = between("a coefficient of correlation", rho, -1.0, 1.0)?;
        self.matrix[i * self.size + j] = rho;
        self.matrix[j * self.size + i] = rho;
        Ok(self)
    }

    /// The coefficient of two variables, as it was set.
    pub fn get(&self, i: usize, j: usize) -> Option<f64> {
        (i < self.size && j < self.size).then(|| self.matrix[i * self.size + j])
    }

    /// The factor L of the correlation of the normal scores.
    pub(super) fn factor(&self, distributions: &[Distribution]) -> Result<Factor, NumericsError> {
        if distributions.len() != self.size {
            return Err(NumericsError::WrongLength {
                what: "distributions",
                found: distributions.len(),
                expected: self.size,
            });
        }
        let mut of_scores = vec![0.0; self.size * self.size];
        let mut known: Vec<Known> = Vec::new();
        for i in 0..self.size {
            for j in 0..=i {
                let rho = self.matrix[i * self.size + j];
                let pair = (distributions[i], distributions[j]);
                let fixed = pair.0.is_deterministic() || pair.1.is_deterministic();
                of_scores[i * self.size + j] = match self.of {
                    _ if fixed => 0.0,
                    Of::Values if i != j => {
                        remembered(&mut known, pair, rho).map_err(|e| e.between(j, i))?
                    }
                    _ => rho,
                };
            }
        }
        Factor::of(&of_scores, self.size)
    }
}

/// A pair, its coefficient, and that of its normal scores.
type Known = ((Distribution, Distribution), f64, f64);

/// [`of_scores`], worked out once for like pairs.
fn remembered(
    known: &mut Vec<Known>,
    pair: (Distribution, Distribution),
    rho: f64,
) -> Result<f64, Reach> {
    let same = |k: &&Known| k.0 == pair && k.1.to_bits() == rho.to_bits();
    if let Some((_, _, found)) = known.iter().find(same) {
        return Ok(*found);
    }
    let found = of_scores(&pair.0, &pair.1, rho)?;
    known.push((pair, rho, found));
    Ok(found)
}

/// The coefficients that two distributions allow, and one that lies outside.
#[derive(Debug)]
struct Reach {
    value: f64,
    low: f64,
    high: f64,
}

impl Reach {
    fn between(self, first: usize, second: usize) -> NumericsError {
        let Self { value, low, high } = self;
        NumericsError::OutOfReach {
            first,
            second,
            value,
            low,
            high,
        }
    }
}

/// Rounding in a coefficient at the edge of what can be reached.
const EDGE: f64 = 1e-9;

/// The correlation of the normal scores of two variables whose values have the correlation `rho`.
fn of_scores(a: &Distribution, b: &Distribution, rho: f64) -> Result<f64, Reach> {
    if rho == 0.0 || (a.is_normal() && b.is_normal()) {
        return Ok(rho);
    }
    let (za, zb) = (a.deviation_of_logarithm(), b.deviation_of_logarithm());
    let variation = |deviation: f64| (deviation * deviation).exp_m1().sqrt();
    match (za, zb) {
        (Some(za), Some(zb)) => {
            let product = variation(za) * variation(zb);
            let reach = |r: f64| (r * za * zb).exp_m1() / product;
            let inside = within(rho, reach(-1.0), reach(1.0))?;
            Ok(((inside * product).ln_1p() / (za * zb)).clamp(-1.0, 1.0))
        }
        (Some(z), None) if b.is_normal() => linear(rho, variation(z) / z),
        (None, Some(z)) if a.is_normal() => linear(rho, variation(z) / z),
        _ => by_integration(a, b, rho),
    }
}

/// `rho`, moved inside by no more than rounding.
fn within(value: f64, low: f64, high: f64) -> Result<f64, Reach> {
    if (low - EDGE..=high + EDGE).contains(&value) {
        Ok(value.clamp(low, high))
    } else {
        Err(Reach { value, low, high })
    }
}

fn linear(rho: f64, factor: f64) -> Result<f64, Reach> {
    Ok((within(rho, -1.0 / factor, 1.0 / factor)? * factor).clamp(-1.0, 1.0))
}

/// Step and half-width of the trapezoidal rule over normal scores. For smooth functions it converges faster than any power
/// of the step; the density at the ends is 1e-18.
const STEP: f64 = 0.25;
const NODES: i32 = 36;

fn nodes() -> impl Iterator<Item = (f64, f64)> {
    (-NODES..=NODES).map(|k| {
        let z = STEP * f64::from(k);
        (z, STEP * normal::density(z))
    })
}

/// A variable in deviations from its mean, both by the same rule of integration, so that it correlates with itself by
/// exactly 1.
struct Standardized<'a> {
    distribution: &'a Distribution,
    mean: f64,
    deviation: f64,
}

impl<'a> Standardized<'a> {
    fn new(distribution: &'a Distribution) -> Self {
        let at = |z| distribution.from_standard_normal(z);
        let mean: f64 = nodes().map(|(z, w)| w * at(z)).sum();
        let variance: f64 = nodes().map(|(z, w)| w * (at(z) - mean).powi(2)).sum();
        Self {
            distribution,
            mean,
            deviation: variance.sqrt(),
        }
    }

    fn at(&self, z: f64) -> f64 {
        (self.distribution.from_standard_normal(z) - self.mean) / self.deviation
    }
}

/// The correlation of the scores, found by Illinois' rule of false position: that of the values grows with it.
fn by_integration(a: &Distribution, b: &Distribution, rho: f64) -> Result<f64, Reach> {
    let (a, b) = (Standardized::new(a), Standardized::new(b));
    let of_values = |r: f64| -> f64 {
        let rest = (1.0 - r * r).sqrt();
        let over = |z: f64| -> f64 {
            if rest == 0.0 {
                b.at(r * z)
            } else {
                nodes().map(|(y, w)| w * b.at(r * z + rest * y)).sum()
            }
        };
        nodes().map(|(z, w)| w * a.at(z) * over(z)).sum()
    };
    let (low, high) = (of_values(-1.0), of_values(1.0));
    let rho = within(rho, low, high)?;
    let (mut from, mut to) = ((-1.0, low - rho), (1.0, high - rho));
    for _ in 0..100 {
        let r = (from.0 * to.1 - to.0 * from.1) / (to.1 - from.1);
        let excess = of_values(r) - rho;
        if excess.abs() < 1e-13 || to.1 == 0.0 || from.1 == 0.0 {
            return Ok(r.clamp(-1.0, 1.0));
        }
        if excess * to.1 < 0.0 {
            from = to;
        } else {
            from.1 *= 0.5;
        }
        to = (r, excess);
        if (to.0 - from.0).abs() < 1e-13 {
            break;
        }
    }
    Ok(to.0)
}

/// A correlation matrix as L·Lᵀ, L lower triangular, without columns of zeros. Only entries other than 0 are kept.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    columns: usize,
    /// Where each row begins in `entries`; one more marks the end.
    start: Vec<usize>,
    entries: Vec<(usize, f64)>,
}

/// A pivot below this is none: the variable follows from those before it. Rounding alone leaves about 1e-15 times the number
/// of variables; the input is seldom known to more than two digits.
const PIVOT: f64 = 1e-10;

impl Factor {
    /// One column for each variable that varies.
    pub(super) fn independent(distributions: &[Distribution]) -> Self {
        let mut factor = Self::empty();
        for distribution in distributions {
            if !distribution.is_deterministic() {
                factor.entries.push((factor.columns, 1.0));
                factor.columns += 1;
            }
            factor.start.push(factor.entries.len());
        }
        factor
    }

    fn empty() -> Self {
        Self {
            columns: 0,
            start: vec![0],
            entries: Vec::new(),
        }
    }

    /// The factor of a positive semidefinite matrix of which the lower triangle is given row by row.
    fn of(matrix: &[f64], size: usize) -> Result<Self, NumericsError> {
        let mut factor = Self::empty();
        // The row in which each column has its pivot.
        let mut pivots: Vec<usize> = Vec::new();
        let mut row = Vec::new();
        for i in 0..size {
            row.clear();
            for (column, &j) in pivots.iter().enumerate() {
                let done: f64 = factor
                    .row(j)
                    .iter()
                    .map(|&(k, l)| if k < column { l * row[k] } else { 0.0 })
                    .sum();
                let pivot = factor.row(j).last().map_or(1.0, |&(_, l)| l);
                row.push((matrix[i * size + j] - done) / pivot);
            }
            let rest = matrix[i * size + i] - row.iter().map(|l| l * l).sum::<f64>();
            factor.keep(&row);
            if rest > PIVOT {
                factor.entries.push((factor.columns, rest.sqrt()));
                factor.columns += 1;
                pivots.push(i);
            }
            factor.start.push(factor.entries.len());
            if rest < -PIVOT || !factor.agrees(matrix, size, i) {
                return Err(NumericsError::NotPositiveDefinite { variable: i });
            }
        }
        Ok(factor)
    }

    fn keep(&mut self, row: &[f64]) {
        let entries = row.iter().copied().enumerate();
        self.entries.extend(entries.filter(|(_, l)| *l != 0.0));
    }

    /// Whether row `i` has the correlation with each row before it that was asked for: what follows wholly from others has
    /// no say of its own.
    fn agrees(&self, matrix: &[f64], size: usize, i: usize) -> bool {
        (0..i).all(|j| {
            let product: f64 = self.row(j).iter().map(|&(k, l)| l * self.entry(i, k)).sum();
            (product - matrix[i * size + j]).abs() <= PIVOT.sqrt()
        })
    }

    fn entry(&self, i: usize, column: usize) -> f64 {
        let found = self.row(i).iter().find(|(k, _)| *k == column);
        found.map_or(0.0, |(_, l)| *l)
    }

    fn row(&self, i: usize) -> &[(usize, f64)] {
        &self.entries[self.start[i]..self.start[i + 1]]
    }

    pub(super) fn columns(&self) -> usize {
        self.columns
    }

    /// The normal score of variable `i` at `u`.
    pub(super) fn score(&self, i: usize, u: &[f64]) -> f64 {
        self.row(i).iter().map(|&(k, l)| l * u[k]).sum()
    }
}
