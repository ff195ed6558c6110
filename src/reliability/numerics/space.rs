//! From independent standard normals to the variables themselves.

use super::correlation::{Correlation, Factor};
use super::{Distribution, NumericsError};

/// The variables of a problem and how they depend on each other (Nataf's model: normal scores are jointly normal).
#[derive(Clone, Debug)]
pub struct Space {
    distributions: Vec<Distribution>,
    factor: Factor,
}

impl Space {
    /// Variables with these distributions; independent where no correlation is given.
    ///
    /// # Errors
    /// If the correlation is of another number of variables, out of reach for their distributions, or contradicts itself.
    pub fn new(
        distributions: Vec<Distribution>,
        correlation: Option<&Correlation>,
    ) -> Result<Self, NumericsError> {
        let factor = match correlation {
            Some(correlation) => correlation.factor(&distributions)?,
            None => Factor::independent(&distributions),
        };
        Ok(Self {
            distributions,
            factor,
        })
    }

    /// The number of variables: the length of `x`.
    pub fn variables(&self) -> usize {
        self.distributions.len()
    }

    /// The number of independent standard normals behind them: the length of `u`. What does not vary takes none, nor does
    /// what follows wholly from others.
    pub fn normals(&self) -> usize {
        self.factor.columns()
    }

    /// The distributions.
    pub fn distributions(&self) -> &[Distribution] {
        &self.distributions
    }

    /// Writes the variables at `u` ([`Space::normals`] long) into `x` ([`Space::variables`] long).
    ///
    /// # Panics
    /// If `u` is shorter than that.
    pub fn physical(&self, u: &[f64], x: &mut [f64]) {
        for (i, (x, distribution)) in x.iter_mut().zip(&self.distributions).enumerate() {
            *x = distribution.from_standard_normal(self.factor.score(i, u));
        }
    }

    /// The normal score of variable `i` at `u` ([`Space::normals`] long); 0 for what does not vary.
    ///
    /// # Panics
    /// If there is no such variable, or `u` is shorter than that.
    pub fn score(&self, i: usize, u: &[f64]) -> f64 {
        self.factor.score(i, u)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]

    use super::*;

    #[test]
    fn values_follow_from_the_normals() {
        let distributions = vec![
            Distribution::normal(10.0, 2.0).unwrap(),
            Distribution::deterministic(7.0).unwrap(),
            Distribution::normal(0.0, 1.0).unwrap(),
        ];
        let mut correlation = Correlation::of_values(3);
        correlation.set(0, 2, 0.6).unwrap();
        let space = Space::new(distributions, Some(&correlation)).unwrap();
        assert_eq!((space.variables(), space.normals()), (3, 2));
        let mut x = [0.0; 3];
        space.physical(&[1.0, -0.5], &mut x);
        assert_eq!((x[0], x[1]), (12.0, 7.0));
        assert!((x[2] - (0.6 - 0.5 * 0.8)).abs() < 1e-15);
        assert!((space.score(2, &[1.0, -0.5]) - 0.2).abs() < 1e-15);
        assert_eq!(space.distributions().len(), 3);
    }

    #[test]
    fn a_correlation_of_others_is_refused() {
        let one = vec![Distribution::normal(0.0, 1.0).unwrap()];
        assert!(Space::new(one, Some(&Correlation::of_values(2))).is_err());
    }
}
