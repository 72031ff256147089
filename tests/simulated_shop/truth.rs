//! The true opening and leaf, with exact rigid motions; never seen by the tool.
//! Invented numbers, from the design notes of the simulated shop; none has a source.

use evenreveal::fit::length::Length;
use evenreveal::fit::opening::{Edge, EdgeSet};
use evenreveal::fit::reading::Value;
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

pub const TARGET: f64 = 3.0 / 32.0;
pub const TOLERANCE: f64 = 1.0 / 64.0;
pub const WRONG_BY: f64 = 1.0 / 32.0;

type Point = [f64; 2];

pub fn normal(rng: &mut ChaCha8Rng, sd: f64) -> f64 {
    Normal::new(0.0, sd).unwrap().sample(rng)
}

/// Where the leaf really sits: shift of its centre and turn.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sits {
    pub right: f64,
    pub up: f64,
    pub turn: f64,
}

/// The true opening and leaf of one seed.
#[derive(Clone)]
pub struct Truth {
    /// Lower left, lower right, upper right, upper left, about the opening's centre.
    frame: [Point; 4],
    /// Outward bow of each side of the frame at its middle, by `Edge as usize`.
    bow: [f64; 4],
    /// The leaf's corners in its own frame, same order.
    leaf: [Point; 4],
    /// What the shop was told of the leaf.
    pub width: f64,
    pub height: f64,
    pub may_cut: EdgeSet,
    /// Real shaving over the believed one.
    pub plane: f64,
}

/// Corners at the lower or left end and the other end of an edge.
fn corners(edge: Edge) -> [usize; 2] {
    match edge {
        Edge::Left => [0, 3],
        Edge::Right => [1, 2],
        Edge::Bottom => [0, 1],
        Edge::Top => [3, 2],
    }
}

fn less(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Unit vector along an edge, and the outward unit normal.
fn directions(edge: Edge, from: Point, to: Point) -> (Point, Point) {
    let d = less(to, from);
    let size = dot(d, d).sqrt();
    let along = [d[0] / size, d[1] / size];
    let outward = match edge {
        Edge::Left | Edge::Top => [-along[1], along[0]],
        Edge::Right | Edge::Bottom => [along[1], -along[0]],
    };
    (along, outward)
}

fn cross_point(p: Point, d: Point, q: Point, e: Point) -> Point {
    let t = (e[1] * (q[0] - p[0]) - e[0] * (q[1] - p[1])) / (d[0] * e[1] - d[1] * e[0]);
    [p[0] + t * d[0], p[1] + t * d[1]]
}

impl Truth {
    pub fn new(rng: &mut ChaCha8Rng) -> Self {
        let (w, h) = (rng.random_range(9.0..18.0), rng.random_range(16.0..32.0));
        let rectangle =
            |w: f64, h: f64| [[-w / 2.0, -h / 2.0], [w / 2.0, -h / 2.0], [w / 2.0, h / 2.0], [-w / 2.0, h / 2.0]];
        let mut frame = rectangle(w, h);
        for point in &mut frame {
            *point = [point[0] + normal(rng, 1.0 / 32.0), point[1] + normal(rng, 1.0 / 32.0)];
        }
        let bow = [0; 4].map(|_| normal(rng, 0.006));
        let may_cut = if rng.random_bool(0.3) { EdgeSet::ALL.without(Edge::Bottom) } else { EdgeSet::ALL };
        let over = 1.0 / 16.0;
        let width = w - 2.0 * TARGET + 2.0 * over;
        let height = h - 2.0 * TARGET + if may_cut.has(Edge::Bottom) { 2.0 * over } else { over };
        let mut leaf = rectangle(width, height);
        for point in &mut leaf {
            *point = [point[0] + normal(rng, 1.0 / 64.0), point[1] + normal(rng, 1.0 / 64.0)];
        }
        Self { frame, bow, leaf, width, height, may_cut, plane: rng.random_range(0.75..1.3) }
    }

    /// Distances of the three stations of an edge from its lower or left end: 1 in from both corners, mid.
    pub fn stations(&self, edge: Edge) -> [f64; 3] {
        let length = if edge.is_upright() { self.height } else { self.width };
        [1.0, 0.5 * length, length - 1.0]
    }

    /// The gap at a station with the leaf sitting so: from the point on the leaf's edge, square to
    /// it, to the bowed side of the frame.
    pub fn gap(&self, sits: Sits, edge: Edge, station: usize) -> f64 {
        let place = |p: Point| {
            let (s, c) = sits.turn.sin_cos();
            [c * p[0] - s * p[1] + sits.right, s * p[0] + c * p[1] + sits.up]
        };
        let [a, b] = corners(edge).map(|i| place(self.leaf[i]));
        let (along, outward) = directions(edge, a, b);
        let length = dot(less(b, a), along);
        let s = match station {
            0 => 1.0,
            1 => 0.5 * length,
            _ => length - 1.0,
        };
        let p = [a[0] + s * along[0], a[1] + s * along[1]];
        let [from, to] = corners(edge).map(|i| self.frame[i]);
        let (side, side_out) = directions(edge, from, to);
        let side_length = dot(less(to, from), side);
        let mut gap = 0.0;
        for _ in 0..4 {
            let q = less([p[0] + gap * outward[0], p[1] + gap * outward[1]], from);
            let t = dot(q, side) / side_length;
            let curve = self.bow[edge as usize] * 4.0 * t * (1.0 - t);
            gap += (curve - dot(q, side_out)) / dot(outward, side_out);
        }
        gap
    }

    /// Gap less reveal at the twelve stations.
    pub fn misses(&self, sits: Sits) -> [f64; 12] {
        let mut list = [0.0; 12];
        for (e, edge) in Edge::ALL.into_iter().enumerate() {
            for station in 0..3 {
                list[3 * e + station] = self.gap(sits, edge, station) - TARGET;
            }
        }
        list
    }

    /// Straight removal, `start` and `end` at the edge's corners; nothing goes back on.
    pub fn cut(&mut self, edge: Edge, start: f64, end: f64) {
        let [i, j] = corners(edge);
        let (a, b) = (self.leaf[i], self.leaf[j]);
        let (_, outward) = directions(edge, a, b);
        let inset = |p: Point, by: f64| [p[0] - by.max(0.0) * outward[0], p[1] - by.max(0.0) * outward[1]];
        let (p, q) = (inset(a, start), inset(b, end));
        let cut = less(q, p);
        let neighbours = if edge.is_upright() { [Edge::Bottom, Edge::Top] } else { [Edge::Left, Edge::Right] };
        for (corner, neighbour) in [i, j].into_iter().zip(neighbours) {
            let [m, n] = corners(neighbour);
            self.leaf[corner] = cross_point(p, cut, self.leaf[m], less(self.leaf[n], self.leaf[m]));
        }
    }

    /// The pose whose worst miss is least, and that miss. Exact Chebyshev fit of three numbers to
    /// twelve stations by duality: the least worst miss is the greatest over all sets of four
    /// stations; made exact for the true motion by moving there and repeating.
    pub fn best(&self) -> (Sits, f64) {
        let mut sits = Sits::default();
        let mut worst = f64::INFINITY;
        for _ in 0..4 {
            let misses = self.misses(sits);
            let columns = self.columns(sits);
            let (pose, _) = chebyshev(&misses, &columns);
            let moved = Sits { right: sits.right + pose[0], up: sits.up + pose[1], turn: sits.turn + pose[2] };
            let reached = self.misses(moved).iter().fold(0.0, |a: f64, b| a.max(b.abs()));
            if reached >= worst - 1e-9 {
                break;
            }
            (sits, worst) = (moved, reached);
        }
        (sits, worst)
    }

    fn columns(&self, sits: Sits) -> [[f64; 3]; 12] {
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
    pub fn sit_anywhere(&self, rng: &mut ChaCha8Rng) -> Sits {
        let (best, _) = self.best();
        let mut room = 0.1;
        for _ in 0..60 {
            let lever = 0.5 * self.height;
            let sits = Sits {
                right: best.right + rng.random_range(-room..room),
                up: best.up + rng.random_range(-room..room),
                turn: best.turn + rng.random_range(-room..room) / lever,
            };
            if self.misses(sits).iter().all(|miss| miss + TARGET >= 0.0) {
                return sits;
            }
            room *= 0.93;
        }
        Sits {
            right: best.right + normal(rng, 0.02),
            up: best.up + normal(rng, 0.02),
            turn: best.turn + normal(rng, 0.001),
        }
    }

    /// About even all round, by eye.
    pub fn sit_by_eye(&self, rng: &mut ChaCha8Rng) -> Sits {
        let (best, _) = self.best();
        let lever = 0.5 * self.height;
        let off = 1.0 / 64.0;
        Sits {
            right: best.right + normal(rng, off),
            up: best.up + normal(rng, off),
            turn: best.turn + normal(rng, off) / lever,
        }
    }

    /// Feelers in steps of 1/64 with a shaking hand; a few are plain wrong. A leaf that does not go in
    /// there is read by its lap, to 1/64. Says whether it is wrong.
    pub fn read(&self, sits: Sits, edge: Edge, station: usize, rng: &mut ChaCha8Rng) -> (Value, bool) {
        let gap = self.gap(sits, edge, station);
        let wrong = rng.random_bool(0.02);
        let slip = if wrong { if rng.random_bool(0.5) { WRONG_BY } else { -WRONG_BY } } else { 0.0 };
        let felt = gap + normal(rng, 0.004) + slip;
        let sixty_fourths = |n: f64| Length::ratio(n as i64, 64);
        if gap < 0.0 {
            let lap = (-felt * 64.0).round();
            let value = if lap > 0.0 { Value::Lap(sixty_fourths(lap)) } else { Value::Gap(sixty_fourths(-lap)) };
            return (value, wrong);
        }
        let goes = (felt * 64.0).floor().max(0.0);
        (Value::GoNoGo { goes: sixty_fourths(goes), stops: sixty_fourths(goes + 1.0) }, wrong)
    }

    /// Saw: one error for the whole cut and one at each end; tape 5 % thin under pressure, so the
    /// rise from the shallow end falls short.
    pub fn saw(&mut self, edge: Edge, meant: [f64; 2], rng: &mut ChaCha8Rng) {
        let shallow = meant[0].min(meant[1]);
        let common = normal(rng, 0.008);
        let taken = meant.map(|m| shallow + 0.95 * (m - shallow) + common + normal(rng, 0.003));
        self.cut(edge, taken[0], taken[1]);
    }

    pub fn plane(&mut self, edge: Edge, meant: [f64; 2], rng: &mut ChaCha8Rng) {
        let factor = self.plane;
        let taken = meant.map(|m| if m > 0.0 { factor * m + normal(rng, 0.001) } else { 0.0 });
        self.cut(edge, taken[0], taken[1]);
    }
}

/// Least worst `|miss + columns·pose|` over three numbers: the best set of four stations.
fn chebyshev(misses: &[f64; 12], columns: &[[f64; 3]; 12]) -> ([f64; 3], f64) {
    let det3 = |a: [f64; 3], b: [f64; 3], c: [f64; 3]| {
        a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    let mut best = ([0.0; 3], -1.0);
    for a in 0..12 {
        for b in a + 1..12 {
            for c in b + 1..12 {
                for d in c + 1..12 {
                    let set = [a, b, c, d];
                    let r = set.map(|i| columns[i]);
                    // Weights with Σ weight·column = 0: signed minors.
                    let weights = [
                        det3(r[1], r[2], r[3]),
                        -det3(r[0], r[2], r[3]),
                        det3(r[0], r[1], r[3]),
                        -det3(r[0], r[1], r[2]),
                    ];
                    let size: f64 = weights.iter().map(|w| w.abs()).sum();
                    if size < 1e-9 {
                        continue;
                    }
                    let sum: f64 = weights.iter().zip(set).map(|(w, i)| w * misses[i]).sum();
                    let worst = sum.abs() / size;
                    if worst > best.1 {
                        // miss + column·pose = sign·worst at the three stations of greatest weight.
                        let sign = |k: usize| worst * weights[k].signum() * sum.signum();
                        let drop = (0..4).min_by(|&i, &j| weights[i].abs().total_cmp(&weights[j].abs())).unwrap();
                        let three: Vec<usize> = (0..4).filter(|&k| k != drop).collect();
                        let rows = [r[three[0]], r[three[1]], r[three[2]]];
                        let right: Vec<f64> = three.iter().map(|&k| sign(k) - misses[set[k]]).collect();
                        if let Some(pose) = solve3(rows, [right[0], right[1], right[2]]) {
                            best = (pose, worst);
                        }
                    }
                }
            }
        }
    }
    best
}

fn solve3(m: [[f64; 3]; 3], v: [f64; 3]) -> Option<[f64; 3]> {
    let det = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = det(m);
    if whole.abs() < 1e-9 {
        return None;
    }
    let mut out = [0.0; 3];
    for (k, cell) in out.iter_mut().enumerate() {
        let mut swapped = m;
        for row in 0..3 {
            swapped[row][k] = v[row];
        }
        *cell = det(swapped) / whole;
    }
    Some(out)
}
