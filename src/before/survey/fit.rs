//! Weighted least squares for nine numbers: Gauss-Newton with a dense normal matrix.

use super::{BOW_SD, TAPE_SD, Taken, UNREAD_BOW_SD};

/// Numbers of a shape: width at the bottom; upper right x, y; upper left x, y; bows left, right,
/// bottom, top.
pub(super) const N: usize = 9;
/// A shape's numbers, in inches.
pub(super) type Numbers = [f64; N];
/// Uncertainty of "square" or "parallel" that leaves the readings alone, in: where they tell it.
pub(super) const WEAK: f64 = 200.0;

/// Step for the slopes, in: every residual is smooth on this scale.
const H: f64 = 1e-4;

/// A solved shape.
pub(super) struct Solved {
    /// Its numbers.
    pub shape: Numbers,
    /// Weighted sum of squares left.
    pub squares: f64,
}

/// What a shape gives for a reading.
pub(super) fn gives(shape: &Numbers, reading: Taken) -> f64 {
    let [width, tr_x, tr_y, tl_x, tl_y, left, right, bottom, top] = *shape;
    match reading {
        Taken::Width(0) => width,
        Taken::Width(1) => (width + tr_x - tl_x).hypot(tr_y - tl_y) / 2.0 + left + right,
        Taken::Width(_) => (tr_x - tl_x).hypot(tr_y - tl_y),
        Taken::Height(0) => tl_x.hypot(tl_y),
        Taken::Height(1) => (tl_x + tr_x - width).hypot(tl_y + tr_y) / 2.0 + bottom + top,
        Taken::Height(_) => (tr_x - width).hypot(tr_y),
        Taken::Diagonal(0) => tr_x.hypot(tr_y),
        Taken::Diagonal(_) => (tl_x - width).hypot(tl_y),
    }
}

/// The shape that fits best, given how far it usually is out of: sides parallel, ends parallel,
/// upright (one standard deviation each, in). `None` if it does not settle on one.
pub(super) fn solve(taken: &[(Taken, f64)], bows: &[Option<f64>; 4], usual_sd: [f64; 3]) -> Option<Solved> {
    let mean = |wanted: fn(&Taken) -> bool| {
        let values: Vec<f64> = taken.iter().filter(|(t, _)| wanted(t)).map(|(_, v)| *v).collect();
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    // With its only width left out, an opening has none: nothing to compare with.
    let width = mean(|t| matches!(t, Taken::Width(_)))?;
    let height = mean(|t| matches!(t, Taken::Height(_)))?;
    let mut shape = [width, width, height, 0.0, height, 0.0, 0.0, 0.0, 0.0];
    let residuals = |s: &Numbers| -> Vec<f64> {
        let tape = taken.iter().map(|&(t, value)| (value - gives(s, t)) / TAPE_SD);
        let bow = bows.iter().enumerate().map(|(i, bow)| match bow {
            Some(bow) => (bow - s[5 + i]) / BOW_SD,
            None => -s[5 + i] / UNREAD_BOW_SD,
        });
        // Sides parallel, ends parallel, upright.
        let off = [s[1] - s[3] - s[0], s[2] - s[4], f64::midpoint(s[3], s[1] - s[0])];
        let usual = off.into_iter().zip(usual_sd).map(|(by, sd)| -by / sd);
        tape.chain(bow).chain(usual).collect()
    };
    let squares = |s: &Numbers| residuals(s).iter().map(|r| r * r).sum::<f64>();
    let mut now = squares(&shape);
    for _ in 0..60 {
        let r = residuals(&shape);
        // Slopes by central differences: every residual is smooth on this scale.
        let slopes: Vec<Vec<f64>> = (0..N)
            .map(|i| {
                let step = |by: f64| {
                    let mut moved = shape;
                    moved[i] += by;
                    residuals(&moved)
                };
                step(H).iter().zip(step(-H)).map(|(up, down)| (up - down) / (2.0 * H)).collect()
            })
            .collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let mut matrix = [[0.0; N + 1]; N];
        for (i, row) in matrix.iter_mut().enumerate() {
            for (j, cell) in row.iter_mut().enumerate().take(N) {
                *cell = dot(&slopes[i], &slopes[j]);
            }
            row[N] = -dot(&slopes[i], &r);
        }
        let change = eliminate(matrix)?;
        // Halve the step until it does not make things worse.
        let mut part = 1.0;
        let next = loop {
            let mut next = shape;
            next.iter_mut().zip(change).for_each(|(s, c)| *s += part * c);
            if squares(&next) <= now + 1e-12 || part < 1e-6 {
                break next;
            }
            part /= 2.0;
        };
        let largest = change.iter().fold(0.0_f64, |most, c| most.max(c.abs())) * part;
        shape = next;
        now = squares(&shape);
        if !now.is_finite() {
            return None;
        }
        if largest < 1e-10 {
            break;
        }
    }
    let [w, tr_x, tr_y, tl_x, tl_y, ..] = shape;
    (w > 0.0 && tr_x > tl_x && tr_y > 0.0 && tl_y > 0.0).then_some(Solved { shape, squares: now })
}

/// Solves a symmetric positive system by elimination with row exchange.
fn eliminate(mut m: [[f64; N + 1]; N]) -> Option<Numbers> {
    for column in 0..N {
        let pivot = (column..N).max_by(|a, b| m[*a][column].abs().total_cmp(&m[*b][column].abs()))?;
        m.swap(column, pivot);
        let head = m[column];
        if head[column].abs() < 1e-300 || !head[column].is_finite() {
            return None;
        }
        for row in m.iter_mut().skip(column + 1) {
            let factor = row[column] / head[column];
            row.iter_mut().zip(head).for_each(|(cell, top)| *cell -= factor * top);
        }
    }
    let mut x = [0.0; N];
    for i in (0..N).rev() {
        let known: f64 = (i + 1..N).map(|j| m[i][j] * x[j]).sum();
        x[i] = (m[i][N] - known) / m[i][i];
    }
    Some(x)
}
