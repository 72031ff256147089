//! A sagging leaf told from an opening (or a leaf) that is out of square.
//!
//! Hinges set the gap on their own side: a leaf hung straight has one that runs even from bottom to top. If
//! that gap is wider at the top, the whole leaf leans, and its latch side hangs low by `taper · width / height`:
//! it sags, and packing or letting in a hinge rights it. What the gaps above and below still run out of level
//! once the hinge side is even, no hinge removes: leaf or opening is out of square.
//!
//! With `t` the slope of the hinge-side gap (per inch, up) and `b`, `a` those of the gaps below and above
//! (per inch, toward the latch side), a turn that sags the latch side by `θ` gives `t = θ`, `b = −θ`,
//! `a = θ`; so `(a − b)/2 − t` is what is not the turn's. Slopes are least-squares lines of the misses.

use super::length::Inches;
use super::network::{Network, ProblemFault};
use super::opening::{Edge, Facing, FitProblem, Leaf, Motion, Side};

/// How a hung leaf stands, as its gaps tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// How much wider its hinge-side gap runs at its upper corner than at its lower one.
    pub taper: Inches,
    /// How low its latch side hangs by that; below zero: high.
    pub low: Inches,
    /// How far the gaps above and below run out over its width once the hinge side is even: above zero the
    /// latch side is low in its opening by the shape of leaf or opening, below zero high.
    pub out_of_square: Inches,
    /// Which of the two is more than half the tolerance.
    pub cause: Cause,
}

/// What is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// It hangs straight and square, within half the tolerance.
    Neither,
    /// The leaf leans on its hinges: they right it.
    Hinges,
    /// Leaf or opening is out of square: no hinge rights it.
    Square,
    /// Both.
    Both,
}

impl Cause {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Neither => "neither",
            Self::Hinges => "hinges",
            Self::Square => "square",
            Self::Both => "both",
        }
    }
}

/// How each hung leaf stands; one whose gaps do not tell is left out. Two stations are wanted along the hinge
/// side, and two along the gap above or the one below.
pub fn stances(problem: &FitProblem) -> Result<Vec<Stance>, ProblemFault> {
    let network = Network::new(problem)?;
    let slopes = |leaf: usize, edge: Edge| slope(problem, &network, leaf, edge);
    let half = problem.tolerance.inches() / 2.0;
    let of = |(place, leaf): (usize, &Leaf)| {
        let (Motion::Hung(_), Some(hinge)) = (&leaf.motion, leaf.hinge) else { return None };
        let toward_latch = if hinge == Side::Left { 1.0 } else { -1.0 };
        let lean = slopes(place, hinge.edge())?;
        let above = slopes(place, Edge::Top).map(|slope| slope * toward_latch);
        let below = slopes(place, Edge::Bottom).map(|slope| -slope * toward_latch);
        let level = match (above, below) {
            (Some(above), Some(below)) => f64::midpoint(above, below),
            (one, other) => one.or(other)?,
        };
        let (width, height) = (leaf.width.inches(), leaf.height.inches());
        let (low, out) = (lean * width, (level - lean) * width);
        let cause = match (low.abs() > half, out.abs() > half) {
            (false, false) => Cause::Neither,
            (true, false) => Cause::Hinges,
            (false, true) => Cause::Square,
            (true, true) => Cause::Both,
        };
        let taper = Inches(lean * height);
        Some(Stance { leaf: place, taper, low: Inches(low), out_of_square: Inches(out), cause })
    };
    Ok(problem.leaves.iter().enumerate().filter_map(of).collect())
}

/// Slope of the misses along one edge, by least squares, in per in; only where the edge faces the frame.
fn slope(problem: &FitProblem, network: &Network, leaf: usize, edge: Edge) -> Option<f64> {
    let own = Facing::Leaf { leaf, edge };
    let gap =
        problem.gaps.iter().position(|line| line.between.contains(&own) && line.between.contains(&Facing::Frame))?;
    let points: Vec<(f64, f64)> = network
        .stations
        .iter()
        .filter(|station| station.gap == gap)
        .map(|station| (station.at.inches(), station.now - station.target))
        .collect();
    let count = points.len() as f64;
    let mean = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).sum::<f64>() / count;
    let (x, y) = (mean(|point| point.0), mean(|point| point.1));
    let spread: f64 = points.iter().map(|point| (point.0 - x).powi(2)).sum();
    let both: f64 = points.iter().map(|point| (point.0 - x) * (point.1 - y)).sum();
    (spread > 1.0).then(|| both / spread)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::length::Length;
    use crate::fit::opening::{EdgeSet, GapLine, Hanging, Prefer};
    use crate::fit::reading::{Reading, Value};

    const WIDTH: f64 = 11.0;
    const HEIGHT: f64 = 26.0;

    /// A leaf turned by `turn` (anticlockwise) in an opening whose sill and head rise to the right by `rise`
    /// per inch, its gaps by exact rotation about its centre.
    fn problem(hinge: Side, turn: f64, rise: f64) -> FitProblem {
        let (sin, cos) = turn.sin_cos();
        let at = |x: f64, y: f64| {
            let (dx, dy) = (x - WIDTH / 2.0, y - HEIGHT / 2.0);
            (WIDTH / 2.0 + dx * cos - dy * sin, HEIGHT / 2.0 + dx * sin + dy * cos)
        };
        let gap = |edge: Edge, s: f64| match edge {
            Edge::Left => 0.2 + at(0.0, s).0,
            Edge::Right => WIDTH + 0.2 - at(WIDTH, s).0,
            Edge::Bottom => 0.2 + at(s, 0.0).1 - rise * (s - WIDTH / 2.0),
            Edge::Top => HEIGHT + 0.2 + rise * (s - WIDTH / 2.0) - at(s, HEIGHT).1,
        };
        let exact = |inches: f64| Length::from_inches_near(inches).unwrap();
        let line = |edge: Edge| {
            let length = if edge.is_upright() { HEIGHT } else { WIDTH };
            let read = |s: f64| Reading { at: exact(s), value: Value::Gap(exact(gap(edge, s))) };
            GapLine {
                between: [Facing::Leaf { leaf: 0, edge }, Facing::Frame],
                target: Length::ratio(3, 32),
                offset: Length::ZERO,
                readings: [1.0, length / 2.0, length - 1.0].map(read).to_vec(),
            }
        };
        let hanging = Hanging {
            hinges: vec![Length::ratio(3, 1), Length::ratio(23, 1)],
            pack: Length::ratio(1, 16),
            let_in: Length::ZERO,
            stock: vec![Length::ratio(1, 100)],
            adjust: None,
            there: Vec::new(),
            up: Length::ZERO,
        };
        let leaf = Leaf {
            id: "A".to_owned(),
            width: exact(WIDTH),
            height: exact(HEIGHT),
            hinge: Some(hinge),
            may_cut: EdgeSet::ALL,
            motion: Motion::Hung(hanging),
        };
        FitProblem {
            leaves: vec![leaf],
            gaps: Edge::ALL.into_iter().map(line).collect(),
            tolerance: Length::ratio(1, 64),
            prefer: Prefer::LeastWood,
        }
    }

    fn stance(hinge: Side, turn: f64, rise: f64) -> Stance {
        stances(&problem(hinge, turn, rise)).unwrap()[0]
    }

    #[test]
    fn a_turn_is_a_sag_and_a_slanting_head_is_out_of_square() {
        // Hung on its left and turned clockwise its right side hangs low.
        let sag = stance(Side::Left, -0.003, 0.0);
        assert_eq!(sag.cause, Cause::Hinges);
        assert!((sag.low.0 - 0.003 * WIDTH).abs() < 1e-4, "{sag:?}");
        assert!((sag.taper.0 - 0.003 * HEIGHT).abs() < 1e-4, "{sag:?}");
        assert!(sag.out_of_square.0.abs() < 1e-4, "{sag:?}");
        // Hung on its right and turned the same way its left side stands high.
        let high = stance(Side::Right, -0.003, 0.0);
        assert_eq!(high.cause, Cause::Hinges);
        assert!((high.low.0 + 0.003 * WIDTH).abs() < 1e-4, "{high:?}");
        // An opening whose head and sill rise toward the latch: the leaf's latch side is low in it.
        let square = stance(Side::Left, 0.0, 0.003);
        assert_eq!(square.cause, Cause::Square);
        assert!((square.out_of_square.0 - 0.003 * WIDTH).abs() < 1e-4, "{square:?}");
        assert!(square.low.0.abs() < 1e-4, "{square:?}");
        let both = stance(Side::Right, 0.002, -0.004);
        assert_eq!(both.cause, Cause::Both);
        assert!((both.low.0 - 0.002 * WIDTH).abs() < 1e-4 && (both.out_of_square.0 - 0.004 * WIDTH).abs() < 1e-4);
        assert_eq!(stance(Side::Left, 0.0002, 0.0002).cause, Cause::Neither);
    }

    /// Turned until its head and sill gaps run level, an out-of-square leaf's hinge side runs out instead: the
    /// two cancel at the latch, and both are told.
    #[test]
    fn a_lean_that_hides_an_out_of_square_opening_is_seen_through() {
        let hidden = stance(Side::Left, 0.003, 0.003);
        assert_eq!(hidden.cause, Cause::Both);
        assert!((hidden.low.0 + hidden.out_of_square.0).abs() < 2e-4, "{hidden:?}");
    }

    #[test]
    fn a_loose_leaf_or_one_that_was_hardly_read_tells_nothing() {
        let mut loose = problem(Side::Left, 0.003, 0.0);
        loose.leaves[0].motion = Motion::Free;
        assert_eq!(stances(&loose).unwrap(), []);
        let mut unread = problem(Side::Left, 0.003, 0.0);
        unread.gaps[0].readings.truncate(1);
        assert_eq!(stances(&unread).unwrap(), []);
        let mut half = problem(Side::Left, -0.003, 0.0);
        half.gaps[2].readings.clear();
        assert_eq!(stances(&half).unwrap()[0].cause, Cause::Hinges);
    }
}
