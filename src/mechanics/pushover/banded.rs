//! Symmetric positive definite systems of half-bandwidth two.

/// A symmetric matrix by its diagonal and the two diagonals beside it.
#[derive(Debug, Clone, Default)]
pub(super) struct Banded {
    /// By rows: the diagonal, and the terms one and two to its left.
    rows: Vec<[f64; 3]>,
}

impl Banded {
    /// Sets all terms of an `order` × `order` matrix to zero.
    pub(super) fn clear(&mut self, order: usize) {
        self.rows.clear();
        self.rows.resize(order, [0.0; 3]);
    }

    /// Adds `term` at (`row`, `row` − `left`), left ≤ 2; places outside of the matrix take nothing.
    pub(super) fn add(&mut self, row: usize, left: usize, term: f64) {
        if let Some(place) = self.rows.get_mut(row).and_then(|row| row.get_mut(left)) {
            *place += term;
        }
    }

    /// Replaces the right-hand side by the solution: L·D·Lᵀ in place, then forward and back.
    pub(super) fn solve(&mut self, right: &mut [f64]) {
        let (mut before, mut second) = ([0.0; 3], [0.0; 3]);
        let (mut y1, mut y2) = (0.0, 0.0);
        for (row, y) in self.rows.iter_mut().zip(right.iter_mut()) {
            // Rows hold 1/d, l₁, l₂ when done; `before` and `second` are the two rows above.
            let two = row[2] * second[0];
            let one = (row[1] - row[2] * before[1]) * before[0];
            let pivot = row[0] - one * (row[1] - row[2] * before[1]) - two * row[2];
            *row = [1.0 / pivot, one, two];
            *y -= one * y1 + two * y2;
            (second, before) = (before, *row);
            (y2, y1) = (y1, *y);
        }
        let (mut below, mut next) = ([0.0; 3], [0.0; 3]);
        let (mut x1, mut x2) = (0.0, 0.0);
        for (row, x) in self.rows.iter().zip(right.iter_mut()).rev() {
            *x = *x * row[0] - below[1] * x1 - next[2] * x2;
            (next, below) = (below, *row);
            (x2, x1) = (x1, *x);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Banded;

    #[test]
    fn a_solution_satisfies_its_equations() {
        let full = [
            [9.0, -3.0, 1.0, 0.0, 0.0],
            [-3.0, 8.0, -2.0, 0.5, 0.0],
            [1.0, -2.0, 7.0, -1.0, 0.25],
            [0.0, 0.5, -1.0, 6.0, -2.5],
            [0.0, 0.0, 0.25, -2.5, 5.0],
        ];
        let mut matrix = Banded::default();
        matrix.clear(5);
        for (i, row) in full.iter().enumerate() {
            for (j, term) in row.iter().enumerate().take(i + 1) {
                matrix.add(i, i - j, *term);
            }
        }
        let right = [1.0, -2.0, 3.0, 0.5, 4.0];
        let mut x = right;
        matrix.solve(&mut x);
        for (row, expected) in full.iter().zip(right) {
            let sum: f64 = row.iter().zip(x).map(|(a, x)| a * x).sum();
            assert!((sum - expected).abs() < 1e-13);
        }
    }
}
