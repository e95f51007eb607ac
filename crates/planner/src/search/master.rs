//! Prices for the jobs: a linear program over the visits thought of so far.
//!
//! Each occasion takes one visit (a set of jobs, perhaps none), each job is in one visit or left. Relaxed, the program
//! says what it is worth to have a job done; [`Prices`] are its dual values. It is solved by the primal simplex method
//! with an explicit inverse, which suits some sixty rows and a few hundred columns that keep coming.

/// A column: cost and factors by row.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub cost: f64,
    pub rows: Vec<(usize, f64)>,
}

/// The program, in a state from which more columns can be added.
#[derive(Debug)]
pub(crate) struct Master {
    rows: usize,
    columns: Vec<Column>,
    /// The column that is basic in each row.
    basis: Vec<usize>,
    /// Inverse of the basis, by rows.
    inverse: Vec<f64>,
    /// Right-hand side, shifted a little so that no two basic values vanish at once.
    shifted: Vec<f64>,
    value: Vec<f64>,
    since_fresh: usize,
}

/// Reduced costs above this part of the column's cost count as zero.
const ZERO: f64 = 1e-10;
/// Pivots after which the inverse is built anew.
const FRESH: usize = 120;

impl Master {
    /// A program whose first columns, one a row with factor 1, are its first basis.
    pub fn new(first: Vec<f64>, right: &[f64]) -> Self {
        let rows = right.len();
        let columns = first
            .into_iter()
            .enumerate()
            .map(|(row, cost)| Column { cost, rows: vec![(row, 1.0)] })
            .collect();
        let shifted: Vec<f64> = right
            .iter()
            .enumerate()
            .map(|(row, b)| b + 1e-6 * (1.0 + (row as f64 * 0.618_033_988_75).fract()))
            .collect();
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        Self {
            rows,
            columns,
            basis: (0..rows).collect(),
            inverse,
            value: shifted.clone(),
            shifted,
            since_fresh: 0,
        }
    }

    pub fn add(&mut self, column: Column) {
        self.columns.push(column);
    }

    /// Moves to the best basis; the dual value of each row.
    pub fn solve(&mut self) -> Vec<f64> {
        let mut pivots = 0;
        loop {
            let duals = self.duals();
            let entering = (0..self.columns.len())
                .map(|at| (at, self.reduced(at, &duals)))
                .filter(|&(at, reduced)| reduced < -ZERO * self.columns[at].cost.abs().max(1.0))
                .min_by(|one, other| one.1.total_cmp(&other.1));
            let Some((entering, _)) = entering else { return duals };
            pivots += 1;
            if pivots > 50 * self.rows + 500 || !self.pivot(entering) {
                return duals;
            }
        }
    }

    /// How much of each column the solution takes.
    pub fn taken(&self) -> impl Iterator<Item = (usize, f64)> {
        self.basis.iter().copied().zip(self.value.iter().copied())
    }

    fn duals(&self) -> Vec<f64> {
        let mut duals = vec![0.0; self.rows];
        for (row, &column) in self.basis.iter().enumerate() {
            let cost = self.columns[column].cost;
            if cost != 0.0 {
                for (dual, inverse) in
                    duals.iter_mut().zip(&self.inverse[row * self.rows..(row + 1) * self.rows])
                {
                    *dual += cost * inverse;
                }
            }
        }
        duals
    }

    fn reduced(&self, column: usize, duals: &[f64]) -> f64 {
        let column = &self.columns[column];
        column.cost - column.rows.iter().map(|&(row, factor)| factor * duals[row]).sum::<f64>()
    }

    /// Brings a column into the basis; false when nothing bounds it, which a sound program does not do.
    fn pivot(&mut self, entering: usize) -> bool {
        let rows = self.rows;
        let mut direction = vec![0.0; rows];
        for (row, direction) in direction.iter_mut().enumerate() {
            let inverse = &self.inverse[row * rows..(row + 1) * rows];
            *direction = self.columns[entering].rows.iter().map(|&(at, factor)| inverse[at] * factor).sum();
        }
        let leaving = (0..rows).filter(|&row| direction[row] > 1e-9).min_by(|&one, &other| {
            let ratio = |row: usize| self.value[row].max(0.0) / direction[row];
            ratio(one).total_cmp(&ratio(other)).then(direction[other].total_cmp(&direction[one]))
        });
        let Some(leaving) = leaving else { return false };
        self.basis[leaving] = entering;
        self.since_fresh += 1;
        if self.since_fresh >= FRESH {
            return self.refresh();
        }
        let scale = 1.0 / direction[leaving];
        for at in 0..rows {
            self.inverse[leaving * rows + at] *= scale;
        }
        self.value[leaving] = self.value[leaving].max(0.0) * scale;
        let (pivot_row, pivot_value) =
            (self.inverse[leaving * rows..(leaving + 1) * rows].to_vec(), self.value[leaving]);
        for row in (0..rows).filter(|&row| row != leaving && direction[row] != 0.0) {
            let factor = direction[row];
            for (inverse, pivot) in self.inverse[row * rows..(row + 1) * rows].iter_mut().zip(&pivot_row) {
                *inverse -= factor * pivot;
            }
            self.value[row] -= factor * pivot_value;
        }
        true
    }

    /// Builds the inverse anew, by Gauss and Jordan; false when the basis has lost its rank.
    fn refresh(&mut self) -> bool {
        let rows = self.rows;
        let mut matrix = vec![0.0; rows * rows];
        for (at, &column) in self.basis.iter().enumerate() {
            for &(row, factor) in &self.columns[column].rows {
                matrix[row * rows + at] = factor;
            }
        }
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        for at in 0..rows {
            let best = (at..rows)
                .max_by(|&one, &other| {
                    matrix[one * rows + at].abs().total_cmp(&matrix[other * rows + at].abs())
                })
                .unwrap_or(at);
            if matrix[best * rows + at].abs() < 1e-11 {
                return false;
            }
            for column in 0..rows {
                matrix.swap(at * rows + column, best * rows + column);
                inverse.swap(at * rows + column, best * rows + column);
            }
            let scale = 1.0 / matrix[at * rows + at];
            for column in 0..rows {
                matrix[at * rows + column] *= scale;
                inverse[at * rows + column] *= scale;
            }
            for row in (0..rows).filter(|&row| row != at) {
                let factor = matrix[row * rows + at];
                if factor != 0.0 {
                    for column in 0..rows {
                        matrix[row * rows + column] -= factor * matrix[at * rows + column];
                        inverse[row * rows + column] -= factor * inverse[at * rows + column];
                    }
                }
            }
        }
        self.value = (0..rows)
            .map(|row| {
                inverse[row * rows..(row + 1) * rows].iter().zip(&self.shifted).map(|(a, b)| a * b).sum()
            })
            .collect();
        self.inverse = inverse;
        self.since_fresh = 0;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rows with right-hand side 1 and first columns that cost 10 and 20.
    fn master() -> Master {
        Master::new(vec![10.0, 20.0], &[1.0, 1.0])
    }

    fn column(cost: f64, rows: &[(usize, f64)]) -> Column {
        Column { cost, rows: rows.to_vec() }
    }

    #[test]
    fn without_more_columns_the_first_ones_set_the_prices() {
        assert_eq!(master().solve(), [10.0, 20.0]);
    }

    #[test]
    fn a_cheap_column_over_both_rows_takes_their_place() {
        let mut master = master();
        master.add(column(12.0, &[(0, 1.0), (1, 1.0)]));
        let duals = master.solve();
        assert!((duals[0] + duals[1] - 12.0).abs() < 1e-9);
        assert!(master.taken().any(|(column, amount)| column == 2 && (amount - 1.0).abs() < 1e-4));
    }

    /// The odd cycle: each pair of three rows is covered at 1, so half of each pair is best, at 1.5.
    #[test]
    fn an_odd_cycle_is_taken_by_halves() {
        let mut master = Master::new(vec![9.0; 3], &[1.0; 3]);
        for pair in [[0, 1], [1, 2], [0, 2]] {
            master.add(column(1.0, &[(pair[0], 1.0), (pair[1], 1.0)]));
        }
        let duals = master.solve();
        assert!((duals.iter().sum::<f64>() - 1.5).abs() < 1e-9, "{duals:?}");
        assert!(master.taken().all(|(column, amount)| column >= 3 && (amount - 0.5).abs() < 1e-4));
    }

    #[test]
    fn the_inverse_built_anew_gives_the_same_prices() {
        let mut master = Master::new(vec![9.0; 3], &[1.0; 3]);
        for pair in [[0, 1], [1, 2], [0, 2]] {
            master.add(column(1.0 + pair[1] as f64, &[(pair[0], 1.0), (pair[1], 1.0)]));
        }
        let before = master.solve();
        assert!(master.refresh());
        let after = master.duals();
        assert!(before.iter().zip(&after).all(|(one, other)| (one - other).abs() < 1e-9));
    }
}
