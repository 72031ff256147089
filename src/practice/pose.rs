//! Where a leaf sits: the pose whose worst miss is least, and any pose in which it fits.

use super::Draws;
use super::world::{Sits, TARGET, World};

/// Shift and turn of a pose, as one column of numbers.
type Three = [f64; 3];

impl World {
    /// The pose whose worst miss is least, and that miss. An exact Chebyshev fit of three numbers to twelve
    /// stations by duality (the least worst miss is the greatest over all sets of four stations), made exact
    /// for the true motion by moving there and repeating.
    pub fn best(&self) -> (Sits, f64) {
        let mut sits = Sits::default();
        let mut worst = f64::INFINITY;
        for _ in 0..4 {
            let pose = chebyshev(&self.misses(sits), &self.columns(sits));
            let moved = Sits { right: sits.right + pose[0], up: sits.up + pose[1], turn: sits.turn + pose[2] };
            let reached = self.misses(moved).iter().fold(0.0, |a: f64, b| a.max(b.abs()));
            if reached >= worst - 1e-9 {
                break;
            }
            (sits, worst) = (moved, reached);
        }
        (sits, worst)
    }

    /// How each miss changes with shift right, shift up and turn.
    fn columns(&self, sits: Sits) -> [Three; 12] {
        let step = 1e-5;
        let base = self.misses(sits);
        let right = self.misses(Sits { right: sits.right + step, ..sits });
        let up = self.misses(Sits { up: sits.up + step, ..sits });
        let turn = self.misses(Sits { turn: sits.turn + step, ..sits });
        let mut columns = [[0.0; 3]; 12];
        for (i, column) in columns.iter_mut().enumerate() {
            *column = [right[i], up[i], turn[i]].map(|moved| (moved - base[i]) / step);
        }
        columns
    }

    /// Anywhere it fits; where it fits nowhere, held against the face about the middle.
    pub fn sit_anywhere(&self, draws: &mut impl Draws) -> Sits {
        let (best, _) = self.best();
        let mut room = 0.1;
        let lever = 0.5 * self.height;
        for _ in 0..60 {
            let sits = Sits {
                right: best.right + draws.between(-room, room),
                up: best.up + draws.between(-room, room),
                turn: best.turn + draws.between(-room, room) / lever,
            };
            if self.misses(sits).iter().all(|miss| miss + TARGET >= 0.0) {
                return sits;
            }
            room *= 0.93;
        }
        Sits {
            right: best.right + draws.normal(0.02),
            up: best.up + draws.normal(0.02),
            turn: best.turn + draws.normal(0.001),
        }
    }
}

fn det3(a: Three, b: Three, c: Three) -> f64 {
    a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
}

/// The three numbers for which the worst `|miss + columns·pose|` is least: those of the worst set of four.
fn chebyshev(misses: &[f64; 12], columns: &[Three; 12]) -> Three {
    let mut best = ([0.0; 3], -1.0);
    for a in 0..12 {
        for b in a + 1..12 {
            for c in b + 1..12 {
                for d in c + 1..12 {
                    let set = [a, b, c, d];
                    if let Some(found) = of_four(set.map(|i| misses[i]), set.map(|i| columns[i]), best.1) {
                        best = found;
                    }
                }
            }
        }
    }
    best.0
}

/// The pose that levels four stations, and the worst miss it leaves, if that is more than `known`.
fn of_four(misses: [f64; 4], rows: [Three; 4], known: f64) -> Option<(Three, f64)> {
    // Weights with Σ weight·column = 0: signed minors.
    let weights = [
        det3(rows[1], rows[2], rows[3]),
        -det3(rows[0], rows[2], rows[3]),
        det3(rows[0], rows[1], rows[3]),
        -det3(rows[0], rows[1], rows[2]),
    ];
    let size: f64 = weights.iter().map(|w| w.abs()).sum();
    if size < 1e-9 {
        return None;
    }
    let sum: f64 = weights.iter().zip(misses).map(|(w, miss)| w * miss).sum();
    let worst = sum.abs() / size;
    if worst <= known {
        return None;
    }
    // miss + column·pose = sign·worst at the three stations of greatest weight.
    let least = (0..4).min_by(|&i, &j| weights[i].abs().total_cmp(&weights[j].abs()))?;
    let kept = [[1, 2, 3], [0, 2, 3], [0, 1, 3], [0, 1, 2]][least];
    let wanted = kept.map(|k| worst * weights[k].signum() * sum.signum() - misses[k]);
    Some((solve3(kept.map(|k| rows[k]), wanted)?, worst))
}

fn solve3(m: [Three; 3], v: Three) -> Option<Three> {
    let whole = det3(m[0], m[1], m[2]);
    if whole.abs() < 1e-9 {
        return None;
    }
    let mut out = [0.0; 3];
    for (k, cell) in out.iter_mut().enumerate() {
        let mut swapped = m;
        for row in 0..3 {
            swapped[row][k] = v[row];
        }
        *cell = det3(swapped[0], swapped[1], swapped[2]) / whole;
    }
    Some(out)
}
