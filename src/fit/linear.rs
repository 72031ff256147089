//! Projections used by the estimate: the part of a vector outside a span of columns.

/// Orthonormal columns with the same span (modified Gram-Schmidt, twice; columns that add nothing
/// are left out).
fn orthonormal(columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for column in columns {
        let size = dot(column, column).sqrt();
        let mut left = column.clone();
        for _ in 0..2 {
            for unit in &basis {
                let along = dot(unit, &left);
                for (cell, u) in left.iter_mut().zip(unit) {
                    *cell -= along * u;
                }
            }
        }
        let rest = dot(&left, &left).sqrt();
        if rest > 1e-9 * size && rest > 0.0 {
            basis.push(left.iter().map(|cell| cell / rest).collect());
        }
    }
    basis
}

/// `vector` without its part in the span of `columns`.
pub(super) fn without(columns: &[Vec<f64>], vector: &[f64]) -> Vec<f64> {
    let mut left = vector.to_vec();
    for unit in orthonormal(columns) {
        let along = dot(&unit, &left);
        for (cell, u) in left.iter_mut().zip(&unit) {
            *cell -= along * u;
        }
    }
    left
}

/// The `size`×`size` matrix that takes away the span of `columns`, by rows.
pub(super) fn complement(columns: &[Vec<f64>], size: usize) -> Vec<Vec<f64>> {
    let basis = orthonormal(columns);
    (0..size)
        .map(|i| {
            let one = |j: usize| {
                let unit = if i == j { 1.0 } else { 0.0 };
                unit - basis.iter().map(|b| b.get(i).unwrap_or(&0.0) * b.get(j).unwrap_or(&0.0)).sum::<f64>()
            };
            (0..size).map(one).collect()
        })
        .collect()
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}
