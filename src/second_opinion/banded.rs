//! Symmetric systems of which only a narrow band is filled: the elements of a bar.

/// Entries of a row, from the diagonal on.
const WIDTH: usize = 4;

/// The upper half of a symmetric matrix with three entries beside its diagonal.
#[derive(Debug, Clone)]
pub(super) struct Banded {
    rows: Vec<[f64; WIDTH]>,
}

impl Banded {
    pub(super) fn new(size: usize) -> Self {
        Self {
            rows: vec![[0.0; WIDTH]; size],
        }
    }

    /// Adds the matrix of an element whose first unknown this is.
    pub(super) fn add(&mut self, first: usize, matrix: &[[f64; WIDTH]; WIDTH]) {
        for (row, entries) in matrix.iter().enumerate() {
            let own = &mut self.rows[first + row];
            for (own, entry) in own.iter_mut().zip(&entries[row..]) {
                *own += entry;
            }
        }
    }

    /// Solves it by elimination; none where it is not positive definite.
    pub(super) fn solve(mut self, mut right: Vec<f64>) -> Option<Vec<f64>> {
        let size = self.rows.len();
        for k in 0..size {
            let pivot = self.rows[k];
            if !(pivot[0].is_finite() && pivot[0] > 0.0) {
                return None;
            }
            for below in 1..WIDTH.min(size - k) {
                let factor = pivot[below] / pivot[0];
                let row = &mut self.rows[k + below];
                for (own, above) in row.iter_mut().zip(&pivot[below..]) {
                    *own -= factor * above;
                }
                right[k + below] -= factor * right[k];
            }
        }
        for k in (0..size).rev() {
            let row = self.rows[k];
            let known: f64 = (1..WIDTH.min(size - k))
                .map(|c| row[c] * right[k + c])
                .sum();
            right[k] = (right[k] - known) / row[0];
        }
        Some(right)
    }
}
