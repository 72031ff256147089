//! Which numbers the estimate holds, and every gap as an affine function of them.
//!
//! Per gap line: the gap at both ends of the first-named leaf's edge and the bow at its middle,
//! all with the leaves as they were in the first pose before any cut (or since a leaf on it was altered). Per round and leaf: shift
//! right, shift up, and turn (in inches at the leaf's longer half, so that all three are alike in size).
//! Per cut: what it took at both corners.

use super::EstimateError;
use crate::fit::hung::{AXES, Hung, Way};
use crate::fit::opening::{Edge, Facing, GapLine, Leaf, Motion};

/// The fixed shape of one gap line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    pub between: [Facing; 2],
    /// Length of the first-named leaf's edge, inches.
    pub length: f64,
    pub offset: f64,
    pub target: f64,
    /// Index of its three numbers.
    pub first: usize,
    /// How many readings had been taken when it began anew ([`super::Altered`]): they tell nothing of it now.
    pub read_from: usize,
    /// How many cuts had been made by then: its numbers have them in them.
    pub cut_from: usize,
}

/// The fixed shape of one leaf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    pub width: f64,
    pub height: f64,
    /// The ways in which it can be moved to anywhere, as (right, up, turn in lever inches). A hung leaf is
    /// moved in steps of pack stock, so its pose counts where a free one's does not.
    pub ways: [Option<[f64; 3]>; AXES],
}

impl Body {
    /// The lever that makes a turn comparable with a shift.
    pub fn lever(self) -> f64 {
        0.5 * self.width.max(self.height)
    }

    fn edge_length(self, edge: Edge) -> f64 {
        if edge.is_upright() { self.height } else { self.width }
    }

    /// How the gap at distance `s` along `edge` answers to (right, up, turn in lever inches).
    pub fn answer(self, edge: Edge, s: f64) -> [f64; 3] {
        let arm = (s - 0.5 * self.edge_length(edge)) / self.lever();
        match edge {
            Edge::Left => [1.0, 0.0, -arm],
            Edge::Right => [-1.0, 0.0, arm],
            Edge::Bottom => [0.0, 1.0, arm],
            Edge::Top => [0.0, -1.0, -arm],
        }
    }
}

/// Leaf edges that face along a line, with the distance along that edge of station `s` of the line.
pub(super) fn sides(line: &Line, s: f64) -> impl Iterator<Item = (usize, Edge, f64)> + '_ {
    let mut seen = false;
    line.between.iter().filter_map(move |facing| match *facing {
        Facing::Frame => None,
        Facing::Leaf { leaf, edge } => {
            let along = if seen { s - line.offset } else { s };
            seen = true;
            Some((leaf, edge, along))
        }
    })
}

/// Weights of the line's own three numbers at distance `s`: both ends, and the bow (a parabola that
/// is 1 at the middle and 0 at the ends).
pub(super) fn shape(line: &Line, s: f64) -> [f64; 3] {
    let t = s / line.length;
    [1.0 - t, t, 4.0 * t * (1.0 - t)]
}

fn ways(leaf: &Leaf, lever: f64) -> [Option<[f64; 3]>; AXES] {
    match (&leaf.motion, hung_rows(leaf, lever)) {
        (Motion::Fixed, _) => [None; AXES],
        // Hinges that make no sense are for the planner to name.
        (Motion::Free, _) | (Motion::Hung(_), None) => {
            [Some([1.0, 0.0, 0.0]), Some([0.0, 1.0, 0.0]), Some([0.0, 0.0, 1.0])]
        }
        (Motion::Hung(_), Some((hung, rows))) => {
            std::array::from_fn(|axis| matches!(hung.ways[axis], Way::Range(..)).then_some(rows[axis]))
        }
    }
}

/// A hung leaf, and its pose (right, up, turn in lever inches) per inch of each axis.
pub(super) fn hung_rows(leaf: &Leaf, lever: f64) -> Option<(Hung, [[f64; 3]; AXES])> {
    let hung = Hung::of(leaf).ok().flatten()?;
    let rows = hung.frame.jacobian().map(|[right, up, turn]| [right, up, turn * lever]);
    Some((hung, rows))
}

/// Checks and takes over the leaves.
pub(super) fn bodies(leaves: &[Leaf]) -> Result<Vec<Body>, EstimateError> {
    leaves
        .iter()
        .enumerate()
        .map(|(leaf, one)| {
            let mut body = Body { width: one.width.inches(), height: one.height.inches(), ways: [None; AXES] };
            body.ways = ways(one, body.lever());
            let sound = body.width > 0.0 && body.height > 0.0;
            if sound { Ok(body) } else { Err(EstimateError::NoSize { leaf }) }
        })
        .collect()
}

/// Checks and takes over the gap lines.
pub(super) fn lines(bodies: &[Body], gaps: &[GapLine]) -> Result<Vec<Line>, EstimateError> {
    gaps.iter()
        .enumerate()
        .map(|(gap, one)| {
            let mut length = None;
            for facing in one.between {
                if let Facing::Leaf { leaf, edge } = facing {
                    let body = bodies.get(leaf).ok_or(EstimateError::NoSuchLeaf { leaf })?;
                    length = length.or(Some(body.edge_length(edge)));
                }
            }
            let length = length.ok_or(EstimateError::NoLeafInGap { gap })?;
            let offset = one.offset.inches();
            let (between, target) = (one.between, one.target.inches());
            Ok(Line { between, length, offset, target, first: 3 * gap, read_from: 0, cut_from: 0 })
        })
        .collect()
}
