//! A small dense simplex with exact stages: after each objective the columns with a positive
//! reduced cost are closed at zero, so that the next objective chooses among its optima only.
//!
//! Entering column by the most negative reduced cost, by Bland's rule after a run of steps that
//! gained nothing (so it cannot cycle); rows tie by the larger pivot. Nobody believes it without the
//! certificate in [`super::lp`].

use super::lp::{LpError, Objective, Programme};

/// A reduced cost within this of zero is zero.
const COST_ZERO: f64 = 1e-10;
/// An entry below this is no pivot.
const PIVOT_LEAST: f64 = 1e-9;
/// Steps without gain before Bland's rule takes over.
const STALL: usize = 40;
/// Steps for one objective before giving up.
const MOST_STEPS: usize = 2_000;

/// The rows in terms of the present basis, the right-hand side in the last column.
#[derive(Clone, Debug)]
pub struct Tableau {
    rows: usize,
    columns: usize,
    entries: Vec<f64>,
    basis: Vec<usize>,
    basic: Vec<bool>,
    open: Vec<bool>,
}

impl Tableau {
    /// From a programme's feasible start.
    pub fn new(programme: &Programme) -> Result<Self, LpError> {
        let (rows, columns) = (programme.rhs.len(), programme.columns.len());
        let width = columns + 1;
        let mut entries = vec![0.0; rows * width];
        for (index, column) in programme.columns.iter().enumerate() {
            for &(row, coefficient) in column {
                entries[row * width + index] += coefficient;
            }
        }
        for (row, &b) in programme.rhs.iter().enumerate() {
            entries[row * width + columns] = b;
        }
        let mut tableau = Self {
            rows,
            columns,
            entries,
            basis: vec![usize::MAX; rows],
            basic: vec![false; columns],
            open: vec![true; columns],
        };
        if programme.start.len() != rows {
            return Err(LpError::Breakdown);
        }
        for (row, &column) in programme.start.iter().enumerate() {
            if tableau.entries[row * width + column].abs() < PIVOT_LEAST {
                return Err(LpError::Breakdown);
            }
            tableau.pivot(row, column, &mut []);
        }
        if (0..rows).any(|row| tableau.right(row) < -1e-12) {
            return Err(LpError::Breakdown);
        }
        Ok(tableau)
    }

    /// Opens the columns allowed and closes the rest (which must be outside the basis or at zero).
    pub fn open_only(&mut self, allowed: &[bool]) {
        self.open.clear();
        self.open.extend_from_slice(allowed);
        self.open.resize(self.columns, false);
    }

    /// Columns that may enter or are in the basis.
    pub fn open(&self) -> &[bool] {
        &self.open
    }

    /// Nothing is left to choose: no open column is outside the basis.
    pub fn is_settled(&self) -> bool {
        (0..self.columns).all(|column| self.basic[column] || !self.open[column])
    }

    /// Values of all columns.
    pub fn values(&self) -> Vec<f64> {
        let mut x = vec![0.0; self.columns];
        for (row, &column) in self.basis.iter().enumerate() {
            x[column] = self.right(row).max(0.0);
        }
        x
    }

    /// Closes the columns that would raise the objective whose reduced costs these are.
    pub fn close_costly(&mut self, costs: &[f64]) {
        for (column, &cost) in costs.iter().enumerate() {
            if cost > COST_ZERO && !self.basic[column] {
                self.open[column] = false;
            }
        }
    }

    /// Minimises one objective; gives the reduced costs of all columns at the optimum.
    pub fn minimise(&mut self, objective: &Objective) -> Result<Vec<f64>, LpError> {
        let width = self.columns + 1;
        let mut costs = vec![0.0; width];
        for &(column, weight) in objective {
            costs[column] += weight;
        }
        let weights = costs.clone();
        for (row, &column) in self.basis.iter().enumerate() {
            let weight = weights[column];
            if weight != 0.0 {
                let entries = &self.entries[row * width..(row + 1) * width];
                for (cost, entry) in costs.iter_mut().zip(entries) {
                    *cost -= weight * entry;
                }
            }
        }
        let mut stalled = 0;
        for _ in 0..MOST_STEPS {
            let Some(column) = self.entering(&costs, stalled > STALL) else {
                costs.truncate(self.columns);
                return Ok(costs);
            };
            let row = self.leaving(column, stalled > STALL).ok_or(LpError::Unbounded)?;
            let gain = self.right(row) > 1e-13;
            stalled = if gain { 0 } else { stalled + 1 };
            self.pivot(row, column, &mut costs);
            if !costs[self.columns].is_finite() {
                return Err(LpError::Breakdown);
            }
        }
        Err(LpError::Breakdown)
    }

    fn right(&self, row: usize) -> f64 {
        self.entries[row * (self.columns + 1) + self.columns]
    }

    fn entering(&self, costs: &[f64], first: bool) -> Option<usize> {
        let mut best = None;
        let mut least = -COST_ZERO;
        for (column, &cost) in costs.iter().take(self.columns).enumerate() {
            if cost < least && self.open[column] && !self.basic[column] {
                if first {
                    return Some(column);
                }
                least = cost;
                best = Some(column);
            }
        }
        best
    }

    fn leaving(&self, column: usize, lowest: bool) -> Option<usize> {
        let width = self.columns + 1;
        let mut best: Option<(usize, f64, f64)> = None;
        for row in 0..self.rows {
            let pivot = self.entries[row * width + column];
            if pivot <= PIVOT_LEAST {
                continue;
            }
            let ratio = self.right(row).max(0.0) / pivot;
            let better = match best {
                None => true,
                Some((_, least, _)) if ratio < least - 1e-13 => true,
                Some((_, least, _)) if ratio > least + 1e-13 => false,
                Some((chosen, _, _)) if lowest => self.basis[row] < self.basis[chosen],
                Some((_, _, largest)) => pivot > largest,
            };
            if better {
                best = Some((row, ratio, pivot));
            }
        }
        best.map(|(row, _, _)| row)
    }

    fn pivot(&mut self, row: usize, column: usize, costs: &mut [f64]) {
        let width = self.columns + 1;
        let (before, rest) = self.entries.split_at_mut(row * width);
        let (pivot_row, after) = rest.split_at_mut(width);
        let scale = 1.0 / pivot_row[column];
        for entry in pivot_row.iter_mut() {
            *entry *= scale;
        }
        pivot_row[column] = 1.0;
        let clear = |other: &mut [f64]| {
            let factor = other[column];
            if factor != 0.0 {
                for (entry, pivot) in other.iter_mut().zip(pivot_row.iter()) {
                    *entry -= factor * pivot;
                }
                other[column] = 0.0;
            }
        };
        before.chunks_exact_mut(width).for_each(clear);
        after.chunks_exact_mut(width).for_each(clear);
        if !costs.is_empty() {
            clear(costs);
        }
        let leaving = self.basis[row];
        if leaving != usize::MAX {
            self.basic[leaving] = false;
        }
        self.basis[row] = column;
        self.basic[column] = true;
    }
}
