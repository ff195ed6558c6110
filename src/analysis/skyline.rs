//! A symmetric matrix kept by its skyline, and its factors L·D·Lᵀ.
//!
//! Column j keeps the entries from its first nonzero row down to the diagonal; factors fill no place above that row.
//!
//! The factorization is this crate's own because a stiffness matrix that cannot be solved must say why: the pivot
//! that vanishes, and the vector that the matrix sends to nothing, name the parts of a structure that can move.
//! A general solver reports "singular" at best.

use std::ops::Range;

/// A pivot below this fraction of its diagonal entry is examined. A cantilever chain of n equal pieces eliminated
/// towards its tip leaves 1/(4n³) by right; n = 60 is the first to be examined.
const SUSPECT: f64 = 1e-6;

/// A vector v whose energy vᵀKv is below this fraction of Σ Kⱼⱼvⱼ² meets no resistance: rounding alone leaves about
/// 1e-15, and at 1e-12 a displacement keeps only three digits.
const RESISTANCE: f64 = 1e-12;

/// Right-hand sides that are solved at once: one line of the processor's cache.
pub const TOGETHER: usize = 8;

/// What is this small beside the largest of its right-hand side, or of its solution, is nothing: it has died away along
/// the structure, far below what rounding leaves.
const DIED_AWAY: f64 = 1e-22;

/// A symmetric matrix, the upper triangle by columns from the first nonzero row to the diagonal.
#[derive(Clone, Debug)]
pub struct Skyline {
    /// First kept row of each column.
    first: Vec<usize>,
    /// Where each column begins in `values`; one more entry marks the end.
    start: Vec<usize>,
    values: Vec<f64>,
}

/// The factors of a positive definite [`Skyline`].
#[derive(Clone, Debug)]
pub struct Factors {
    lower: Skyline,
    /// 1/dⱼ.
    inverse: Vec<f64>,
    /// By row, the last column that keeps it.
    reach: Vec<usize>,
}

/// Why a matrix has no factors.
#[derive(Clone, Debug, PartialEq)]
pub enum Singular {
    /// Independent vectors that the matrix sends to nothing, each with a component of 1.
    Null(Vec<Vec<f64>>),
    /// A direction of negative energy: the matrix is no stiffness.
    Negative(Vec<f64>),
}

impl Skyline {
    /// A zero matrix whose column j keeps rows `first[j]..=j`; a row below the diagonal counts as the diagonal.
    pub fn zeros(mut first: Vec<usize>) -> Self {
        let mut start = Vec::with_capacity(first.len() + 1);
        let mut end = 0;
        for (column, row) in first.iter_mut().enumerate() {
            *row = column.min(*row);
            start.push(end);
            end += column - *row + 1;
        }
        start.push(end);
        Self {
            first,
            start,
            values: vec![0.0; end],
        }
    }

    /// The number of rows.
    pub fn order(&self) -> usize {
        self.first.len()
    }

    /// The number of entries kept.
    pub fn size(&self) -> usize {
        self.values.len()
    }

    /// Adds to the entry (row, column) and to its mirror image, which are one. The place must be inside the skyline.
    pub(crate) fn add(&mut self, row: usize, column: usize, value: f64) {
        let (row, column) = if row < column {
            (row, column)
        } else {
            (column, row)
        };
        self.values[self.start[column] + row - self.first[column]] += value;
    }

    /// The entry on the diagonal.
    pub(crate) fn diagonal(&self, column: usize) -> f64 {
        self.values[self.start[column + 1] - 1]
    }

    fn column(&self, column: usize) -> &[f64] {
        &self.values[self.start[column]..self.start[column + 1]]
    }

    /// The factors, or what stands in their way. Every independent null vector is found.
    ///
    /// # Errors
    /// [`Singular`] when the matrix is not positive definite.
    pub fn factorize(mut self) -> Result<Factors, Singular> {
        let order = self.order();
        let diagonal: Vec<f64> = (0..order).map(|j| self.diagonal(j)).collect();
        let mut inverse = Vec::with_capacity(order);
        let mut null = Vec::new();
        for j in 0..order {
            let pivot = self.reduce(j, &inverse);
            if pivot > SUSPECT * diagonal[j] {
                inverse.push(1.0 / pivot);
                continue;
            }
            let vector = self.last_direction(j);
            let scale: f64 = vector.iter().zip(&diagonal).map(|(v, k)| k * v * v).sum();
            if pivot < -RESISTANCE * scale || diagonal[j] < 0.0 {
                return Err(Singular::Negative(vector));
            } else if pivot > RESISTANCE * scale {
                inverse.push(1.0 / pivot);
            } else {
                // Held from here on, so that the next null vector is another one.
                null.push(vector);
                inverse.push(0.0);
            }
        }
        if null.is_empty() {
            Ok(Factors {
                reach: self.reach(),
                lower: self,
                inverse,
            })
        } else {
            Err(Singular::Null(null))
        }
    }

    /// By row, the last column that keeps it.
    fn reach(&self) -> Vec<usize> {
        let mut reach: Vec<usize> = (0..self.order()).collect();
        for (column, first) in self.first.iter().enumerate() {
            reach[*first] = column;
        }
        // What a column keeps, it keeps down to its diagonal.
        for row in 1..reach.len() {
            reach[row] = reach[row].max(reach[row - 1]);
        }
        reach
    }

    /// Turns column j into the row of L that it becomes and returns its pivot.
    fn reduce(&mut self, j: usize, inverse: &[f64]) -> f64 {
        let top = self.first[j];
        let (done, rest) = self.values.split_at_mut(self.start[j]);
        let column = &mut rest[..=j - top];
        for i in top + 1..j {
            let from = top.max(self.first[i]);
            let other = &done[self.start[i] + from - self.first[i]..self.start[i + 1] - 1];
            let (above, below) = column.split_at_mut(i - top);
            below[0] -= dot(other, &above[from - top..]);
        }
        let mut pivot = column[j - top];
        for (entry, inverse) in column[..j - top].iter_mut().zip(&inverse[top..j]) {
            let reduced = *entry;
            *entry *= inverse;
            pivot -= *entry * reduced;
        }
        column[j - top] = pivot;
        pivot
    }

    /// The vector with v = 1 in row j and nothing below that the reduced matrix sends to the pivot of row j alone.
    fn last_direction(&self, j: usize) -> Vec<f64> {
        let mut vector = vec![0.0; self.order()];
        vector[j] = 1.0;
        for k in (0..=j).rev() {
            let factor = vector[k];
            if factor != 0.0 {
                let column = self.column(k);
                let above = &mut vector[self.first[k]..k];
                above
                    .iter_mut()
                    .zip(column)
                    .for_each(|(v, l)| *v -= l * factor);
            }
        }
        vector
    }
}

impl Factors {
    /// Solves K·x = b in place; `b` has as many rows as the matrix.
    pub fn solve(&self, b: &mut [f64]) {
        let order = self.lower.order();
        for j in 0..order {
            let column = self.lower.column(j);
            let height = column.len() - 1;
            let (above, rest) = b.split_at_mut(j);
            rest[0] -= dot(&column[..height], &above[j - height..]);
        }
        b.iter_mut()
            .zip(&self.inverse)
            .for_each(|(b, inverse)| *b *= inverse);
        for j in (0..order).rev() {
            let column = self.lower.column(j);
            let height = column.len() - 1;
            let (above, rest) = b.split_at_mut(j);
            let factor = rest[0];
            above[j - height..]
                .iter_mut()
                .zip(column)
                .for_each(|(b, l)| *b -= l * factor);
        }
    }

    /// Solves K·x = b for several right-hand sides at once, in place: each row of `b` has one entry of each. The factors
    /// are read once for all of them, and only where something is left of them. Beyond the rows that it gives all is nothing.
    pub fn solve_together(&self, b: &mut [[f64; TOGETHER]]) -> Range<usize> {
        let is_something = |row: &[f64; TOGETHER]| row.iter().any(|part| part.abs() > 0.0);
        let Some(begin) = b.iter().position(is_something) else {
            return 0..0;
        };
        let mut end = b.iter().rposition(is_something).unwrap_or(begin);
        let mut most = [0.0; TOGETHER];
        let mut j = begin;
        while j <= end {
            let column = self.lower.column(j);
            let height = column.len() - 1;
            let (above, rest) = b.split_at_mut(j);
            let mut sums = rest[0];
            for (l, row) in column[..height].iter().zip(&above[j - height..]) {
                for (sum, b) in sums.iter_mut().zip(row) {
                    *sum -= l * b;
                }
            }
            rest[0] = sums;
            if still_there(&mut rest[0], &mut most) {
                end = end.max(self.reach[j]);
            }
            j += 1;
        }
        for (row, inverse) in b[begin..=end].iter_mut().zip(&self.inverse[begin..]) {
            for b in row.iter_mut() {
                *b *= inverse;
            }
        }
        most = [0.0; TOGETHER];
        // The first row that something has come to.
        let mut low = begin;
        for j in (0..=end).rev() {
            if j < low {
                break;
            }
            let (above, rest) = b.split_at_mut(j);
            if !still_there(&mut rest[0], &mut most) {
                continue;
            }
            let column = self.lower.column(j);
            let height = column.len() - 1;
            low = low.min(j - height);
            let factors = rest[0];
            for (row, l) in above[j - height..].iter_mut().zip(column) {
                for (b, factor) in row.iter_mut().zip(factors) {
                    *b -= l * factor;
                }
            }
        }
        low..end + 1
    }

    /// The number of rows.
    pub fn order(&self) -> usize {
        self.lower.order()
    }
}

/// Makes nothing of what has died away beside the `most` before it; whether anything is left.
fn still_there(row: &mut [f64; TOGETHER], most: &mut [f64; TOGETHER]) -> bool {
    let mut is_there = false;
    for (part, most) in row.iter_mut().zip(most) {
        let size = part.abs();
        if size <= DIED_AWAY * *most {
            *part = 0.0;
        } else {
            *most = most.max(size);
            is_there |= size > 0.0;
        }
    }
    is_there
}

/// Σ aᵢbᵢ over equal lengths, in four independent sums so that the processor may take several at once.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (left, right) = (a.chunks_exact(4), b.chunks_exact(4));
    let tail: f64 = left
        .remainder()
        .iter()
        .zip(right.remainder())
        .map(|(a, b)| a * b)
        .sum();
    for (a, b) in left.zip(right) {
        for ((sum, a), b) in sums.iter_mut().zip(a).zip(b) {
            *sum += a * b;
        }
    }
    tail + sums.iter().sum::<f64>()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;

    /// Springs of stiffness k between neighbours 0–1–…–n, the first to ground if `held`.
    fn chain(stiffness: &[f64], held: bool) -> Skyline {
        let mut matrix =
            Skyline::zeros((0..stiffness.len()).map(|j| j.saturating_sub(1)).collect());
        for (j, &k) in stiffness.iter().enumerate() {
            if j > 0 {
                matrix.add(j, j, k);
                matrix.add(j - 1, j - 1, k);
                matrix.add(j, j - 1, -k);
            } else if held {
                matrix.add(0, 0, k);
            }
        }
        matrix
    }

    #[test]
    fn a_chain_of_springs_stretches_by_the_sum_of_flexibilities() {
        let factors = chain(&[2.0, 4.0, 8.0], true).factorize().unwrap();
        let mut b = vec![0.0, 0.0, 16.0];
        factors.solve(&mut b);
        b.iter()
            .zip([8.0, 12.0, 14.0])
            .for_each(|(own, exact)| assert!((own - exact).abs() < 1e-13, "{b:?}"));
    }

    #[test]
    fn a_full_column_solves_like_a_dense_matrix() {
        let order = 23_usize;
        let entry = |i: usize, j: usize| {
            if i == j {
                30.0 + i as f64
            } else {
                ((i * 7 + j * 7) % 5) as f64 - 2.0
            }
        };
        let mut matrix = Skyline::zeros(
            (0..order)
                .map(|j| if j % 3 == 0 { 0 } else { j.saturating_sub(2) })
                .collect(),
        );
        let mut dense = nalgebra::DMatrix::<f64>::zeros(order, order);
        for j in 0..order {
            for i in matrix.first[j]..=j {
                matrix.add(i, j, entry(i, j));
                dense[(i, j)] = entry(i, j);
                dense[(j, i)] = entry(i, j);
            }
        }
        let right = nalgebra::DVector::from_fn(order, |i, _| (i as f64).sin());
        let exact = dense.lu().solve(&right).unwrap();
        let mut b = right.as_slice().to_vec();
        matrix.factorize().unwrap().solve(&mut b);
        for (b, exact) in b.iter().zip(exact.iter()) {
            assert!((b - exact).abs() < 1e-14, "{b} {exact}");
        }
    }

    #[test]
    fn right_hand_sides_together_solve_like_each_alone() {
        let factors = chain(&[2.0, 4.0, 8.0, 3.0, 5.0], true).factorize().unwrap();
        let entry = |row: usize, k: usize| ((3 * row + 5 * k) % 7) as f64 - 2.0;
        let mut all: Vec<[f64; TOGETHER]> = (0..5)
            .map(|row| std::array::from_fn(|k| if row < 2 { 0.0 } else { entry(row, k) }))
            .collect();
        let alone: Vec<Vec<f64>> = (0..TOGETHER)
            .map(|k| {
                let mut b: Vec<f64> = all.iter().map(|row| row[k]).collect();
                factors.solve(&mut b);
                b
            })
            .collect();
        factors.solve_together(&mut all);
        for (row, own) in all.iter().enumerate() {
            for (k, own) in own.iter().enumerate() {
                assert!(
                    (own - alone[k][row]).abs() < 1e-13,
                    "{own} {}",
                    alone[k][row]
                );
            }
        }
    }

    /// On a long chain held everywhere a force dies away within some springs, and the rows beyond are told.
    #[test]
    fn what_has_died_away_is_told() {
        let order = 200;
        let held = || {
            let mut matrix = chain(&vec![1.0; order], true);
            (0..order).for_each(|j| matrix.add(j, j, 5.0));
            matrix.factorize().unwrap()
        };
        let mut all = vec![[0.0; TOGETHER]; order];
        all[90][1] = 3.0;
        all[110][2] = -2.0;
        let mut alone: Vec<f64> = all.iter().map(|row| row[2]).collect();
        let there = held().solve_together(&mut all);
        held().solve(&mut alone);
        assert!(
            40 < there.start && there.start < 90 && 110 < there.end && there.end < 160,
            "{there:?}"
        );
        for (row, own) in all.iter().enumerate() {
            assert!((own[2] - alone[row]).abs() < 1e-15);
            assert!(there.contains(&row) || *own == [0.0; TOGETHER], "{row}");
        }
        let mut nothing = vec![[0.0; TOGETHER]; order];
        assert!(held().solve_together(&mut nothing).is_empty());
    }

    #[test]
    fn an_unheld_chain_names_its_translation() {
        let Err(Singular::Null(vectors)) = chain(&[0.0, 3.0, 1e7, 5.0], false).factorize() else {
            unreachable!("a chain held nowhere has factors")
        };
        assert_eq!(vectors.len(), 1);
        for component in &vectors[0] {
            assert!((component - 1.0).abs() < 1e-9, "{vectors:?}");
        }
    }

    #[test]
    fn every_independent_null_vector_is_found() {
        let mut matrix = Skyline::zeros(vec![0, 0, 2, 2]);
        for base in [0, 2] {
            matrix.add(base, base, 1.0);
            matrix.add(base + 1, base + 1, 1.0);
            matrix.add(base, base + 1, -1.0);
        }
        let Err(Singular::Null(vectors)) = matrix.factorize() else {
            unreachable!("two loose pairs have factors")
        };
        assert_eq!(
            vectors,
            vec![vec![1.0, 1.0, 0.0, 0.0], vec![0.0, 0.0, 1.0, 1.0]]
        );
    }

    #[test]
    fn a_soft_spring_is_no_mechanism_and_negative_energy_is_no_stiffness() {
        assert!(chain(&[1e-3, 1e6], true).factorize().is_ok());
        assert!(matches!(
            chain(&[1.0, -4.0], true).factorize(),
            Err(Singular::Negative(_))
        ));
    }
}
