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

/// A correlation matrix as L·Lᵀ, with as many columns as there are independent normals. Only entries other than 0 are kept.
#[derive(Clone, Debug)]
pub(super) struct Factor {
    columns: usize,
    /// Where each row begins in `entries`; one more marks the end.
    start: Vec<usize>,
    entries: Vec<(usize, f64)>,
}

/// What is left of a matrix when columns of its factor are taken out of it.
struct Remainder {
    size: usize,
    /// Row by row.
    entries: Vec<f64>,
}

/// What is left of a variable below this is rounding: it follows from the others. The input is seldom known to more than two
/// digits.
const PIVOT: f64 = 1e-10;

/// What may be left of a coefficient where nothing is left of its variables.
const LEFT: f64 = 1e-8;

impl Remainder {
    /// All of a matrix of which the lower triangle is given.
    fn of(lower: &[f64], size: usize) -> Self {
        let entry = |k: usize| {
            let (i, j) = (k / size, k % size);
            lower[i.max(j) * size + i.min(j)]
        };
        Self {
            size,
            entries: (0..size * size).map(entry).collect(),
        }
    }

    fn at(&self, i: usize, j: usize) -> f64 {
        self.entries[i * self.size + j]
    }

    /// The variable of which most is left; the first of equals.
    fn most(&self) -> Option<usize> {
        (0..self.size).reduce(|a, b| if self.at(b, b) > self.at(a, a) { b } else { a })
    }

    fn take(&mut self, column: &[f64]) {
        for (row, a) in self.entries.chunks_mut(self.size.max(1)).zip(column) {
            for (entry, b) in row.iter_mut().zip(column) {
                *entry -= a * b;
            }
        }
    }

    /// A variable of which something is left that no variable can have.
    fn contradiction(&self) -> Option<usize> {
        let place = (self.entries.iter()).position(|entry| entry.abs() > LEFT)?;
        let (i, j) = (place / self.size, place % self.size);
        Some(if self.at(j, j) < self.at(i, i) { j } else { i })
    }
}

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
    ///
    /// Cholesky's, each time with the variable of which most is left: a matrix that is singular, or nearly, loses no digits.
    fn of(matrix: &[f64], size: usize) -> Result<Self, NumericsError> {
        let mut left = Remainder::of(matrix, size);
        let mut rows: Vec<Vec<(usize, f64)>> = vec![Vec::new(); size];
        let mut columns = 0;
        while let Some(pivot) = left.most().filter(|&i| left.at(i, i) > PIVOT) {
            let root = left.at(pivot, pivot).sqrt();
            let column: Vec<f64> = (0..size).map(|i| left.at(i, pivot) / root).collect();
            left.take(&column);
            for (row, entry) in rows.iter_mut().zip(&column) {
                if entry.abs() > PIVOT {
                    row.push((columns, *entry));
                }
            }
            columns += 1;
        }
        if let Some(variable) = left.contradiction() {
            return Err(NumericsError::NotPositiveDefinite { variable });
        }
        let mut factor = Self::empty();
        factor.columns = columns;
        for row in rows {
            factor.entries.extend(row);
            factor.start.push(factor.entries.len());
        }
        Ok(factor)
    }

    #[cfg(test)]
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]

    use super::*;
    use proptest::prelude::*;

    fn normal_variable() -> Distribution {
        Distribution::normal(5.0, 2.0).unwrap()
    }

    fn lognormal(variation: f64) -> Distribution {
        Distribution::lognormal(3.0, variation).unwrap()
    }

    fn gumbel() -> Distribution {
        Distribution::gumbel(10.0, 3.0).unwrap()
    }

    fn scores(a: Distribution, b: Distribution, rho: f64) -> f64 {
        let mut correlation = Correlation::of_values(2);
        correlation.set(0, 1, rho).unwrap();
        let factor = correlation.factor(&[a, b]).unwrap();
        let entry = |i, k| factor.entry(i, k);
        (0..factor.columns())
            .map(|k| entry(0, k) * entry(1, k))
            .sum()
    }

    #[test]
    fn closed_forms_of_der_kiureghian_and_liu() {
        let n = normal_variable();
        assert!((scores(n, n, 0.37) - 0.37).abs() < 1e-15);
        let (a, b) = (lognormal(0.2), lognormal(0.5));
        let (za, zb) = (1.04_f64.ln().sqrt(), 1.25_f64.ln().sqrt());
        let both = (1.0 + 0.4 * 0.2 * 0.5_f64).ln() / (za * zb);
        assert!((scores(a, b, 0.4) - both).abs() < 1e-14);
        assert!((scores(n, b, -0.4) + 0.4 * 0.5 / zb).abs() < 1e-14);
        assert!((scores(b, n, 0.4) - 0.4 * 0.5 / zb).abs() < 1e-14);
    }

    /// Worked out with 25 digits (mpmath): of Gumbel variables by a series of Hermite polynomials; of uniform ones
    /// ρ_z = 2 sin(πρ/6); of a normal and a Gumbel variable a factor, which the source of the method gives as 1.031.
    #[test]
    fn integrals_agree_with_other_ways() {
        let (g, n) = (gumbel(), normal_variable());
        for (rho, expected) in [
            (0.5, 0.515_427_932_2),
            (-0.5, -0.549_779_417_3),
            (0.9, 0.905_398_337),
        ] {
            assert!((scores(g, g, rho) - expected).abs() < 1e-8, "{rho}");
        }
        assert!((scores(n, g, 0.3) - 0.3 * 1.031_497_464_91).abs() < 1e-9);
        let u = Distribution::uniform(2.0, 7.0).unwrap();
        assert!((scores(u, u, 0.8) - 0.813_473_286_152).abs() < 1e-10);
        assert!((scores(u, u, -0.3) + 0.312_868_930_08).abs() < 1e-10);
    }

    #[test]
    fn integration_agrees_with_the_closed_forms() {
        let (n, l, m) = (normal_variable(), lognormal(0.3), lognormal(0.6));
        for rho in [-0.6, -0.1, 0.2, 0.7] {
            for (a, b) in [(n, n), (n, l), (l, m), (m, n)] {
                let closed = of_scores(&a, &b, rho).unwrap();
                let summed = by_integration(&a, &b, rho).unwrap();
                assert!((closed - summed).abs() < 1e-10, "{closed} {summed}");
            }
        }
    }

    #[test]
    fn limits_of_like_variables_are_reached() {
        let triangular = Distribution::triangular(0.0, 1.0, 4.0).unwrap();
        let uniform = Distribution::uniform(0.0, 1.0).unwrap();
        for variable in [
            normal_variable(),
            lognormal(0.4),
            gumbel(),
            triangular,
            uniform,
        ] {
            assert!((scores(variable, variable, 1.0) - 1.0).abs() < 1e-9);
            assert_eq!(scores(variable, variable, 0.0), 0.0);
        }
        for variable in [normal_variable(), uniform] {
            assert!((scores(variable, variable, -1.0) + 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_out_of_reach_is_refused_with_the_reach() {
        let mut correlation = Correlation::of_values(3);
        correlation.set(2, 1, 0.99).unwrap();
        let variables = [gumbel(), lognormal(1.0), lognormal(0.1)];
        let Err(NumericsError::OutOfReach {
            first,
            second,
            high,
            low,
            ..
        }) = correlation.factor(&variables)
        else {
            unreachable!("refused")
        };
        assert_eq!((first, second), (1, 2));
        // (exp(ζ₁ζ₂) − 1)/(δ₁δ₂) at both ends.
        let product = (2.0_f64.ln() * 1.01_f64.ln()).sqrt();
        assert!((high - product.exp_m1() / 0.1).abs() < 1e-12);
        assert!((low - (-product).exp_m1() / 0.1).abs() < 1e-12);
        assert!(of_scores(&gumbel(), &gumbel(), -0.99).is_err());
        assert!(of_scores(&normal_variable(), &lognormal(1.0), 0.9).is_err());
    }

    #[test]
    fn whole_dependence_takes_no_normal_of_its_own() {
        let variables = [gumbel(), lognormal(0.4), normal_variable()];
        let mut correlation = Correlation::of_normals(3);
        correlation.set(0, 1, 1.0).unwrap();
        correlation.set(0, 2, -1.0).unwrap();
        correlation.set(1, 2, -1.0).unwrap();
        let factor = correlation.factor(&variables).unwrap();
        assert_eq!(factor.columns(), 1);
        let at = |i| factor.score(i, &[1.5]);
        assert_eq!((at(0), at(1), at(2)), (1.5, 1.5, -1.5));
    }

    #[test]
    fn a_singular_matrix_that_holds_together_is_taken() {
        // z₂ = (z₀ + z₁)/√2.
        let mut correlation = Correlation::of_normals(4);
        let half = 0.5_f64.sqrt();
        correlation.set(0, 2, half).unwrap();
        correlation.set(1, 2, half).unwrap();
        correlation.set(3, 2, 0.5 * half).unwrap();
        correlation.set(3, 0, 0.5).unwrap();
        let factor = correlation.factor(&[normal_variable(); 4]).unwrap();
        assert_eq!(factor.columns(), 3);
        let u = [0.3, -1.2, 0.8];
        let expected = half * (factor.score(0, &u) + factor.score(1, &u));
        assert!((factor.score(2, &u) - expected).abs() < 1e-12);
    }

    /// Three vectors nearly in one plane, and a fourth in their space: eliminated in their order, rounding is blown up by
    /// what little is left of the third.
    #[test]
    fn a_matrix_that_is_nearly_singular_keeps_its_digits() {
        let vectors: [[f64; 3]; 4] = [
            [
                0.460_644_343_076_929_7,
                -0.357_145_209_459_536_6,
                -0.082_274_898_243_372_81,
            ],
            [
                0.257_994_945_590_226_6,
                -0.122_659_403_637_825_9,
                -0.177_923_245_187_520_98,
            ],
            [
                0.488_735_370_751_158_86,
                -0.970_499_290_711_287_7,
                0.918_719_853_745_258_1,
            ],
            [0.0, 0.0, -1.0],
        ];
        let length = |v: &[f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
        let rho = |i: usize, j: usize| {
            let product: f64 = vectors[i].iter().zip(&vectors[j]).map(|(a, b)| a * b).sum();
            product / (length(&vectors[i]) * length(&vectors[j]))
        };
        let mut correlation = Correlation::of_normals(4);
        for (i, j) in [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)] {
            correlation.set(i, j, rho(i, j)).unwrap();
        }
        let factor = correlation.factor(&[normal_variable(); 4]).unwrap();
        assert_eq!(factor.columns(), 3);
        let product: f64 = (0..3)
            .map(|k| factor.entry(2, k) * factor.entry(3, k))
            .sum();
        assert!((product - rho(2, 3)).abs() < 1e-14);
    }

    #[test]
    fn contradictions_are_refused() {
        let mut correlation = Correlation::of_normals(3);
        for (i, j, rho) in [(0, 1, 0.9), (1, 2, 0.9), (0, 2, -0.9)] {
            correlation.set(i, j, rho).unwrap();
        }
        let refused = correlation.factor(&[normal_variable(); 3]);
        assert!(matches!(
            refused,
            Err(NumericsError::NotPositiveDefinite { variable: 2 })
        ));
        // z₀ and z₁ are one, but only one of them goes with z₂.
        let mut correlation = Correlation::of_normals(3);
        correlation.set(0, 1, 1.0).unwrap();
        correlation.set(1, 2, 0.5).unwrap();
        let refused = correlation.factor(&[normal_variable(); 3]);
        assert!(matches!(
            refused,
            Err(NumericsError::NotPositiveDefinite { .. })
        ));
    }

    #[test]
    fn only_pairs_that_exist_can_be_set() {
        let mut correlation = Correlation::of_values(2);
        assert!(correlation.set(0, 2, 0.5).is_err());
        assert!(correlation.set(1, 1, 0.5).is_err());
        assert!(correlation.set(0, 1, 1.1).is_err());
        assert!(correlation.set(0, 1, f64::NAN).is_err());
        assert!(correlation.factor(&[normal_variable()]).is_err());
        assert_eq!(correlation.get(0, 1), Some(0.0));
        assert_eq!(correlation.get(0, 2), None);
    }

    #[test]
    fn what_does_not_vary_correlates_with_nothing() {
        let fixed = Distribution::deterministic(2.0).unwrap();
        let mut correlation = Correlation::of_values(3);
        correlation.set(0, 1, 0.8).unwrap();
        correlation.set(1, 2, 0.8).unwrap();
        let variables = [normal_variable(), fixed, normal_variable()];
        let factor = correlation.factor(&variables).unwrap();
        assert_eq!(factor.columns(), 2);
        assert_eq!(factor.score(1, &[3.0, 4.0]), 0.0);
        assert_eq!(
            (factor.score(0, &[3.0, 4.0]), factor.score(2, &[3.0, 4.0])),
            (3.0, 4.0)
        );
        assert_eq!(Factor::independent(&variables).columns(), 2);
        assert_eq!(Factor::independent(&variables).score(2, &[3.0, 4.0]), 4.0);
    }

    proptest! {
        /// Any vectors have a correlation matrix; its factor gives it back.
        #[test]
        fn factors_give_the_matrix_back(vectors in prop::collection::vec(prop::array::uniform3(-1.0_f64..1.0), 2..7)) {
            let length = |v: &[f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
            prop_assume!(vectors.iter().all(|v| length(v) > 0.1));
            let size = vectors.len();
            let mut correlation = Correlation::of_normals(size);
            for i in 0..size {
                for j in 0..i {
                    let product: f64 = vectors[i].iter().zip(&vectors[j]).map(|(a, b)| a * b).sum();
                    let rho = product / (length(&vectors[i]) * length(&vectors[j]));
                    correlation.set(i, j, rho.clamp(-1.0, 1.0)).unwrap();
                }
            }
            let variables = vec![normal_variable(); size];
            let factor = correlation.factor(&variables).unwrap();
            prop_assert!(factor.columns() <= 3);
            for i in 0..size {
                for j in 0..=i {
                    let product: f64 = (0..factor.columns()).map(|k| factor.entry(i, k) * factor.entry(j, k)).sum();
                    prop_assert!((product - correlation.get(i, j).unwrap()).abs() < 1e-8);
                }
            }
        }
    }
}
