//! The true opening and leaf. Inches; x to the right, y up, about the opening's centre.

use super::Draws;
use crate::fit::opening::{Edge, EdgeSet};

/// The reveal wanted all round: 3/32 in.
pub const TARGET: f64 = 3.0 / 32.0;
/// What the blank is over on each edge that may be cut.
pub const OVER: f64 = 1.0 / 16.0;
/// Spread of the opening's corners, each way.
const FRAME_CORNER: f64 = 1.0 / 32.0;
/// Spread of the leaf's corners.
const LEAF_CORNER: f64 = 1.0 / 64.0;
/// Spread of the bow at the middle of a side.
const BOW: f64 = 0.006;
/// How often the bottom edge must stay as it is.
const BOTTOM_STAYS: f64 = 0.3;

pub(super) type Point = [f64; 2];

/// Where the leaf sits: shift of its centre (in) and turn (radians, anticlockwise).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sits {
    /// To the right.
    pub right: f64,
    /// Up.
    pub up: f64,
    /// Turn.
    pub turn: f64,
}

/// The true opening and leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct World {
    /// Lower left, lower right, upper right, upper left.
    frame: [Point; 4],
    /// Outward bow of each side of the frame at its middle, in the order of [`Edge::ALL`].
    bow: [f64; 4],
    /// The leaf's corners in its own frame, same order.
    leaf: [Point; 4],
    /// Width that the shop was told.
    pub width: f64,
    /// Height that the shop was told.
    pub height: f64,
    /// Edges that may be cut.
    pub may_cut: EdgeSet,
    /// What a stroke of this shop's plane really takes over what it believes.
    pub plane: f64,
}

/// Corners at the lower or left end and at the other end of an edge.
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
    let size = dot(d, d).sqrt().max(f64::MIN_POSITIVE);
    let along = [d[0] / size, d[1] / size];
    let outward = match edge {
        Edge::Left | Edge::Top => [-along[1], along[0]],
        Edge::Right | Edge::Bottom => [along[1], -along[0]],
    };
    (along, outward)
}

/// Where the line from `p` along `d` meets that from `q` along `e`.
fn crossing(p: Point, d: Point, q: Point, e: Point) -> Point {
    let t = (e[1] * (q[0] - p[0]) - e[0] * (q[1] - p[1])) / (d[0] * e[1] - d[1] * e[0]);
    [p[0] + t * d[0], p[1] + t * d[1]]
}

fn rectangle(w: f64, h: f64) -> [Point; 4] {
    [[-w / 2.0, -h / 2.0], [w / 2.0, -h / 2.0], [w / 2.0, h / 2.0], [-w / 2.0, h / 2.0]]
}

impl World {
    /// An opening 9 to 18 wide and 16 to 32 high (in), out of square by N(0, 1/32) at each corner each way, its
    /// sides bowed by N(0, 0.006); a leaf 1/16 over on each edge that may be cut, its corners off by N(0, 1/64).
    pub fn new(draws: &mut impl Draws) -> Self {
        let (w, h) = (draws.between(9.0, 18.0), draws.between(16.0, 32.0));
        let mut frame = rectangle(w, h);
        for point in &mut frame {
            *point = [point[0] + draws.normal(FRAME_CORNER), point[1] + draws.normal(FRAME_CORNER)];
        }
        let bow = [0; 4].map(|_| draws.normal(BOW));
        let may_cut = if draws.chance(BOTTOM_STAYS) { EdgeSet::ALL.without(Edge::Bottom) } else { EdgeSet::ALL };
        let width = w - 2.0 * TARGET + 2.0 * OVER;
        let height = h - 2.0 * TARGET + if may_cut.has(Edge::Bottom) { 2.0 * OVER } else { OVER };
        let mut leaf = rectangle(width, height);
        for point in &mut leaf {
            *point = [point[0] + draws.normal(LEAF_CORNER), point[1] + draws.normal(LEAF_CORNER)];
        }
        Self { frame, bow, leaf, width, height, may_cut, plane: draws.between(0.75, 1.3) }
    }

    /// Length of an edge of the leaf as it is now.
    pub fn length(&self, edge: Edge) -> f64 {
        let [a, b] = corners(edge).map(|corner| self.leaf[corner]);
        let d = less(b, a);
        dot(d, d).sqrt()
    }

    /// How far the corners of `edge` stand from the edge across, square to that: at the lower or left end, and at
    /// the other. What a rule across the leaf says.
    pub fn across(&self, edge: Edge) -> [f64; 2] {
        let [from, to] = corners(edge.opposite()).map(|corner| self.leaf[corner]);
        let (_, outward) = directions(edge.opposite(), from, to);
        corners(edge).map(|corner| -dot(less(self.leaf[corner], from), outward))
    }

    /// How far the far corner of `edge` stands out beyond a line struck square from the edge that it meets at its
    /// lower or left end (`at_start`), or at the other: what a square held there says.
    pub fn beyond_square(&self, edge: Edge, at_start: bool) -> f64 {
        let [low, high] = corners(edge).map(|corner| self.leaf[corner]);
        let (here, far) = if at_start { (low, high) } else { (high, low) };
        let meets = match (edge.is_upright(), at_start) {
            (true, true) => Edge::Bottom,
            (true, false) => Edge::Top,
            (false, true) => Edge::Left,
            (false, false) => Edge::Right,
        };
        let [from, to] = corners(meets).map(|corner| self.leaf[corner]);
        let (along, _) = directions(meets, from, to);
        let outward = if matches!(edge, Edge::Left | Edge::Bottom) { -1.0 } else { 1.0 };
        outward * dot(less(far, here), along)
    }

    /// The gap at distance `s` from the edge's lower or left corner with the leaf sitting so: from the point on
    /// the leaf's edge, square to it, to the bowed side of the frame. Below zero: the leaf laps the frame.
    pub fn gap(&self, sits: Sits, edge: Edge, s: f64) -> f64 {
        let place = |p: Point| {
            let (sin, cos) = sits.turn.sin_cos();
            [cos * p[0] - sin * p[1] + sits.right, sin * p[0] + cos * p[1] + sits.up]
        };
        let [a, b] = corners(edge).map(|corner| place(self.leaf[corner]));
        let (along, outward) = directions(edge, a, b);
        let p = [a[0] + s * along[0], a[1] + s * along[1]];
        let [from, to] = corners(edge).map(|corner| self.frame[corner]);
        let (side, side_out) = directions(edge, from, to);
        let side_length = dot(less(to, from), side);
        let mut gap = 0.0;
        // The bow is a few thousandths: the point across it settles at once.
        for _ in 0..4 {
            let q = less([p[0] + gap * outward[0], p[1] + gap * outward[1]], from);
            let t = dot(q, side) / side_length;
            let curve = self.bow[edge as usize] * 4.0 * t * (1.0 - t);
            gap += (curve - dot(q, side_out)) / dot(outward, side_out);
        }
        gap
    }

    /// Where a leaf is read along an edge: 1 in from both corners, and in the middle.
    pub fn stations(&self, edge: Edge) -> [f64; 3] {
        let length = self.length(edge);
        [1.0, 0.5 * length, length - 1.0]
    }

    /// Gap less reveal at the twelve stations, edges in the order of [`Edge::ALL`].
    pub fn misses(&self, sits: Sits) -> [f64; 12] {
        let mut list = [0.0; 12];
        for (three, edge) in list.chunks_mut(3).zip(Edge::ALL) {
            for (miss, s) in three.iter_mut().zip(self.stations(edge)) {
                *miss = self.gap(sits, edge, s) - TARGET;
            }
        }
        list
    }

    /// A straight cut takes `start` off the edge's lower or left corner and `end` off the other one, square to
    /// the edge. Nothing goes back on.
    pub fn cut(&mut self, edge: Edge, [start, end]: [f64; 2]) {
        let [i, j] = corners(edge);
        let (a, b) = (self.leaf[i], self.leaf[j]);
        let (_, outward) = directions(edge, a, b);
        let inset = |p: Point, by: f64| [p[0] - by.max(0.0) * outward[0], p[1] - by.max(0.0) * outward[1]];
        let (p, q) = (inset(a, start), inset(b, end));
        let line = less(q, p);
        let meets = if edge.is_upright() { [Edge::Bottom, Edge::Top] } else { [Edge::Left, Edge::Right] };
        for (corner, other) in [i, j].into_iter().zip(meets) {
            let [m, n] = corners(other);
            self.leaf[corner] = crossing(p, line, self.leaf[m], less(self.leaf[n], self.leaf[m]));
        }
    }
}
