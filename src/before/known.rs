//! The gaps to expect before a leaf first goes in: the opening's surveyed shape less the leaves' sizes.
//!
//! What the estimate begins with ([`crate::fit::estimate::Estimate::begin_with`]), so that a plan can exist
//! before the first reading and a reading that contradicts the tape is noticed.

use super::survey::{Corner, Shape, TAPE_SD, USUAL_SD};
use crate::fit::estimate::Belief;
use crate::fit::length::Inches;
use crate::fit::opening::{Edge, Facing, GapLine, Leaf};

/// Standard uncertainty of a leaf's size at one end as described: given to the nearest 1/16 or so, corners
/// a little out (a starting guess, no source).
const LEAF_SD: f64 = 1.0 / 40.0;

/// Leaves that stand in one row between two sides of the frame.
struct Row {
    /// Places in the list of leaves, left to right or bottom to top.
    leaves: Vec<usize>,
    /// Sum of their sizes along the row, inches.
    size: f64,
}

/// Per gap line the gap at both ends of the first-named leaf's edge, leaves set evenly and level in the
/// opening; `None` where the survey does not tell: where its readings contradict each other, or where a
/// leaf does not stand in one row between two sides of the frame.
///
/// Spreads: tape and leaf sizes, shared by the gaps of a row; where the survey took something as square
/// or parallel, how far openings usually are out is added.
pub fn known_gaps(shape: &Shape, leaves: &[Leaf], gaps: &[GapLine]) -> Vec<Option<[Belief; 2]>> {
    let nothing = || vec![None; gaps.len()];
    if !shape.suspects.is_empty() || leaves.iter().any(|leaf| leaf.width.is_zero() || leaf.height.is_zero()) {
        return nothing();
    }
    let Some(placed) = Placed::evenly(shape, leaves, gaps) else { return nothing() };
    gaps.iter().map(|gap| placed.gap(gap)).collect()
}

/// The row that a leaf stands in, from the frame's `low` side to the other one.
fn row(leaf: usize, low: Edge, leaves: &[Leaf], gaps: &[GapLine]) -> Option<Row> {
    let faces = |leaf: usize, edge: Edge| {
        gaps.iter().find_map(|gap| match gap.between {
            [a, b] if a == (Facing::Leaf { leaf, edge }) => Some(b),
            [a, b] if b == (Facing::Leaf { leaf, edge }) => Some(a),
            _ => None,
        })
    };
    let walk = |edge: Edge| -> Option<Vec<usize>> {
        let (mut met, mut here) = (Vec::new(), leaf);
        loop {
            match faces(here, edge)? {
                Facing::Frame => return Some(met),
                Facing::Leaf { leaf: next, .. } if next != leaf && !met.contains(&next) => {
                    met.push(next);
                    here = next;
                }
                Facing::Leaf { .. } => return None,
            }
        }
    };
    let mut all = walk(low)?;
    all.reverse();
    all.push(leaf);
    all.extend(walk(low.opposite())?);
    let size = |&leaf: &usize| {
        leaves.get(leaf).map(|leaf| if low.is_upright() { leaf.width.inches() } else { leaf.height.inches() })
    };
    let size = all.iter().map(size).sum::<Option<f64>>()?;
    Some(Row { leaves: all, size })
}

/// Leaves set evenly and level in a surveyed opening.
pub(super) struct Placed<'a> {
    shape: &'a Shape,
    leaves: &'a [Leaf],
    across: Vec<Row>,
    up: Vec<Row>,
}

impl<'a> Placed<'a> {
    /// `None` where a leaf does not stand in one row between two sides of the frame.
    pub(super) fn evenly(shape: &'a Shape, leaves: &'a [Leaf], gaps: &[GapLine]) -> Option<Self> {
        let rows =
            |low: Edge| -> Option<Vec<Row>> { (0..leaves.len()).map(|leaf| row(leaf, low, leaves, gaps)).collect() };
        Some(Self { shape, leaves, across: rows(Edge::Left)?, up: rows(Edge::Bottom)? })
    }

    /// The gap (in) at `share` of the first-named leaf's edge, from its lower or left end; the bow of the frame's
    /// side in it, as a parabola over the whole side.
    pub(super) fn gap_at(&self, gap: &GapLine, share: f64) -> Option<f64> {
        let (leaf, edge) = first_edge(gap)?;
        let described = self.leaves.get(leaf)?;
        let (own, even) = self.place(leaf, edge.is_upright())?;
        if !gap.between.contains(&Facing::Frame) {
            return Some(even);
        }
        let (start, _) = self.place(leaf, !edge.is_upright())?;
        let (size, length) = sizes(described, edge);
        let along = start + share * length;
        let frame = self.side(edge, along);
        let straight = match edge {
            Edge::Left | Edge::Bottom => own - frame,
            Edge::Right | Edge::Top => frame - (own + size),
        };
        Some(straight + self.bow(edge, along))
    }

    /// How far a side is hollow at `along`.
    fn bow(&self, edge: Edge, along: f64) -> f64 {
        let [lower_left, lower_right, upper_left, upper_right] = self.shape.corners;
        let (from, to, bow) = match edge {
            Edge::Left => (lower_left.y.0, upper_left.y.0, 0),
            Edge::Right => (lower_right.y.0, upper_right.y.0, 1),
            Edge::Bottom => (lower_left.x.0, lower_right.x.0, 2),
            Edge::Top => (upper_left.x.0, upper_right.x.0, 3),
        };
        let share = if to > from { ((along - from) / (to - from)).clamp(0.0, 1.0) } else { 0.0 };
        self.shape.bows.get(bow).map_or(0.0, |bow| bow.0 * 4.0 * share * (1.0 - share))
    }

    /// Where a side of the frame lies at `along`, inches from the lower left corner.
    fn side(&self, edge: Edge, along: f64) -> f64 {
        let [lower_left, lower_right, upper_left, upper_right] = self.shape.corners;
        let ends = match edge {
            Edge::Left => [lower_left, upper_left],
            Edge::Right => [lower_right, upper_right],
            Edge::Bottom => [lower_left, lower_right],
            Edge::Top => [upper_left, upper_right],
        };
        let parts = |corner: Corner| {
            if edge.is_upright() { (corner.y.0, corner.x.0) } else { (corner.x.0, corner.y.0) }
        };
        let ((from, low), (to, high)) = (parts(ends[0]), parts(ends[1]));
        let share = if to > from { (along - from) / (to - from) } else { 0.0 };
        low + share * (high - low)
    }

    /// Low side of a leaf along its row, and the gap that the row's slack shared evenly leaves, both at
    /// the middle of the opening.
    fn place(&self, leaf: usize, upright: bool) -> Option<(f64, f64)> {
        let row = if upright { self.across.get(leaf)? } else { self.up.get(leaf)? };
        let low = if upright { Edge::Left } else { Edge::Bottom };
        let middle = self.middle(!upright);
        let (from, to) = (self.side(low, middle), self.side(low.opposite(), middle));
        let gap = (to - from - row.size) / (row.leaves.len() as f64 + 1.0);
        let before = row.leaves.iter().take_while(|&&other| other != leaf);
        let size = |leaf: usize| {
            self.leaves.get(leaf).map_or(0.0, |leaf| if upright { leaf.width.inches() } else { leaf.height.inches() })
        };
        let passed: f64 = before.map(|&other| size(other) + gap).sum();
        Some((from + gap + passed, gap))
    }

    fn middle(&self, x: bool) -> f64 {
        let all = self.shape.corners.iter().map(|corner| if x { corner.x.0 } else { corner.y.0 });
        all.sum::<f64>() / 4.0
    }

    fn gap(&self, gap: &GapLine) -> Option<[Belief; 2]> {
        let (leaf, edge) = first_edge(gap)?;
        let described = self.leaves.get(leaf)?;
        let upright = edge.is_upright();
        let (own, even) = self.place(leaf, upright)?;
        let row = if upright { self.across.get(leaf)? } else { self.up.get(leaf)? };
        let count = row.leaves.len() as f64;
        let assumed = self.shape.assumed;
        let shape = if assumed.square || assumed.sides_parallel || assumed.ends_parallel { USUAL_SD } else { 0.0 };
        let total = (TAPE_SD * TAPE_SD + count * LEAF_SD * LEAF_SD + shape * shape).sqrt();
        let sd = Inches(total / (count + 1.0).sqrt());
        if !gap.between.contains(&Facing::Frame) {
            return Some([Belief { mean: Inches(even), sd }; 2]);
        }
        let (start, _) = self.place(leaf, !upright)?;
        let (size, length) = sizes(described, edge);
        let at = |along: f64| {
            let frame = self.side(edge, start + along);
            let mean = match edge {
                Edge::Left | Edge::Bottom => own - frame,
                Edge::Right | Edge::Top => frame - (own + size),
            };
            Belief { mean: Inches(mean), sd }
        };
        Some([at(0.0), at(length)])
    }
}

/// The first-named leaf's edge along a gap line.
fn first_edge(gap: &GapLine) -> Option<(usize, Edge)> {
    gap.between.iter().find_map(|side| match *side {
        Facing::Leaf { leaf, edge } => Some((leaf, edge)),
        Facing::Frame => None,
    })
}

/// Of a leaf, its size across from `edge` and the length of `edge`, inches.
fn sizes(leaf: &Leaf, edge: Edge) -> (f64, f64) {
    let (width, height) = (leaf.width.inches(), leaf.height.inches());
    if edge.is_upright() { (width, height) } else { (height, width) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::before::survey::Tape;
    use crate::fit::length::Length;
    use crate::fit::opening::{EdgeSet, Motion};

    fn leaf(width: Length, height: Length) -> Leaf {
        Leaf { id: "A".into(), width, height, hinge: None, may_cut: EdgeSet::ALL, motion: Motion::Free }
    }

    fn line(a: Facing, b: Facing) -> GapLine {
        GapLine { between: [a, b], target: Length::ratio(3, 32), offset: Length::ZERO, readings: vec![] }
    }

    fn shape(widths: [Length; 3], diagonals: [Option<Length>; 2]) -> Shape {
        let heights = [Some(Length::ratio(24, 1)); 3];
        Shape::from_tape(&Tape { widths: widths.map(Some), heights, diagonals, bows: [None; 4] }).unwrap()
    }

    const fn edge(leaf: usize, edge: Edge) -> Facing {
        Facing::Leaf { leaf, edge }
    }

    #[test]
    fn a_single_leaf_in_an_opening_wider_at_the_top() {
        let narrow = Length::ratio(12, 1);
        let wide = Length::ratio(49, 4);
        let shape = shape([narrow, Length::ratio(97, 8), wide], [None, None]);
        let leaves = [leaf(Length::ratio(47, 4), Length::ratio(95, 4))];
        let gaps = [
            line(Facing::Frame, edge(0, Edge::Left)),
            line(edge(0, Edge::Right), Facing::Frame),
            line(Facing::Frame, edge(0, Edge::Bottom)),
            line(edge(0, Edge::Top), Facing::Frame),
        ];
        let known = known_gaps(&shape, &leaves, &gaps);
        let mean = |gap: usize, end: usize| known[gap].unwrap()[end].mean.0;
        // Slack across: 1/4 at the bottom, 1/2 at the top; up: 1/4.
        assert!((mean(0, 0) + mean(1, 0) - 0.25).abs() < 0.01, "{known:?}");
        assert!((mean(0, 1) + mean(1, 1) - 0.5).abs() < 0.01, "{known:?}");
        assert!((mean(2, 0) + mean(3, 0) - 0.25).abs() < 0.01, "{known:?}");
        let sd = known[0].unwrap()[0].sd.0;
        assert!(sd > USUAL_SD / 2.0, "squareness was not measured: {sd}");
    }

    #[test]
    fn a_pair_shares_the_slack_among_three_gaps() {
        let diagonal = Length::from_inches_near(24.0_f64.hypot(24.0)).unwrap();
        let shape = shape([Length::ratio(24, 1); 3], [Some(diagonal); 2]);
        let half = Length::ratio(189, 16);
        let leaves = [leaf(half, Length::ratio(95, 4)), leaf(half, Length::ratio(95, 4))];
        let mut gaps = vec![
            line(Facing::Frame, edge(0, Edge::Left)),
            line(edge(0, Edge::Right), edge(1, Edge::Left)),
            line(edge(1, Edge::Right), Facing::Frame),
        ];
        for leaf in [0, 1] {
            gaps.push(line(Facing::Frame, edge(leaf, Edge::Bottom)));
            gaps.push(line(edge(leaf, Edge::Top), Facing::Frame));
        }
        let known = known_gaps(&shape, &leaves, &gaps);
        for (gap, belief) in known.iter().take(3).enumerate() {
            let [low, high] = belief.unwrap();
            assert!((low.mean.0 - 0.125).abs() < 1e-3 && (high.mean.0 - 0.125).abs() < 1e-3, "{gap}: {low:?} {high:?}");
            assert!(low.sd.0 < 0.05);
        }
        // A leaf without a way to the frame: nothing is said of any.
        gaps.truncate(3);
        assert!(known_gaps(&shape, &leaves, &gaps).iter().all(Option::is_none));
    }

    #[test]
    fn readings_that_contradict_each_other_say_nothing() {
        let shape = shape([Length::ratio(12, 1), Length::ratio(13, 1), Length::ratio(12, 1)], [None, None]);
        assert!(!shape.suspects.is_empty());
        let leaves = [leaf(Length::ratio(11, 1), Length::ratio(23, 1))];
        let gaps = [line(Facing::Frame, edge(0, Edge::Left)), line(edge(0, Edge::Right), Facing::Frame)];
        assert_eq!(known_gaps(&shape, &leaves, &gaps), vec![None, None]);
    }
}
