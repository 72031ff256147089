//! Has the blank wood enough for the opening that was surveyed? Asked of the planner itself: the gaps of the
//! oversize rectangles in the surveyed shape, and the worst miss that is left when they are moved and turned as
//! well as can be and the edges meant for it are trimmed.
//!
//! Each trimmed edge keeps back what the cut itself may err by ([`OversizeLeaf`]s are taken smaller by it), so that
//! a cut too deep by that much still leaves every gap within tolerance.

use super::known::Placed;
use super::survey::Shape;
use crate::fit::choose::Chooser;
use crate::fit::length::{Inches, Length};
use crate::fit::network::Network;
use crate::fit::opening::{Edge, EdgeSet, FitProblem, GapLine, Leaf, Motion, Prefer};
use crate::fit::plan::PlanError;
use crate::fit::reach;
use crate::fit::reading::{Reading, Value};

/// Most allowance that is tried: what a build may have.
const MOST: f64 = 2.0;

/// A leaf as it comes from the glue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OversizeLeaf {
    /// Its short name.
    pub id: String,
    /// Finished width and height.
    pub finished: [Length; 2],
    /// What each trimmed edge has to spare.
    pub allowance: Length,
    /// Edges that will be trimmed.
    pub trimmed: EdgeSet,
}

/// An edge that alone would have to be thicker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lack {
    /// Place of the leaf.
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// What it has to spare.
    pub has: Length,
    /// By how much more.
    pub by: Inches,
}

/// Wood lacks somewhere, and what would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Short {
    /// Worst miss that trimming leaves, what the cuts may err by in it.
    pub reach: Inches,
    /// Trimmed edges of which one, thicker by so much, would do; thinnest first. Empty where it takes several.
    pub lacks: Vec<Lack>,
    /// The least allowance on every trimmed edge that would do, in whole steps; none where none does.
    pub allowance: Option<Length>,
    /// Edges that are not meant to be trimmed of which one, trimmed too, would do; only where no allowance does.
    pub unlock: Vec<(usize, Edge)>,
}

/// A blank against an opening.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The opening.
    pub shape: &'a Shape,
    /// Its leaves.
    pub leaves: &'a [OversizeLeaf],
    /// Gap lines between the leaves (by their places) and the frame, with the reveals wanted; readings are passed
    /// over.
    pub gaps: &'a [GapLine],
    /// What a cut may err by.
    pub spread: Inches,
    /// How far a gap may be off.
    pub tolerance: Length,
    /// Steps of the allowance that is proposed.
    pub step: Length,
}

impl Asked<'_> {
    /// What lacks; `None` where the blanks are enough, or where the survey does not tell because a leaf does not
    /// stand in one row between two sides of the frame. [`PlanError`] where the gap lines make no problem.
    pub fn short(&self) -> Result<Option<Short>, PlanError> {
        let tolerance = self.tolerance.inches();
        // A millionth: survey figures are least squares, not exact.
        let enough = |reach: f64, within: f64| reach <= within + 1e-6;
        let Some(problem) = self.problem(0.0, None) else { return Ok(None) };
        let network = Network::new(&problem)?;
        let misses = network.misses();
        let chooser = Chooser::new(&problem, &network, &misses, Prefer::LeastWood);
        let solver = |reason| PlanError::Solver { stage: "allowance", reason };
        let reach = chooser.worst(&chooser.candidates).map_err(solver)?;
        if enough(reach, tolerance) {
            return Ok(None);
        }
        // Half the tolerance, as a plan leaves it; where a hollow side allows less even with wood to spare, what it
        // allows.
        let most = self.reach(MOST, None)?.filter(|most| enough(*most, tolerance)).unwrap_or(0.0);
        let within = most.max(tolerance / 2.0);
        let strips = reach::strips(&problem, &network, &chooser.candidates, &misses, within).map_err(solver)?;
        let lack = |(leaf, edge, by): (usize, Edge, f64)| {
            let rough = self.leaves.get(leaf).filter(|rough| rough.trimmed.has(edge))?;
            Some(Lack { leaf, edge, has: rough.allowance, by: Inches(by) })
        };
        let lacks = strips.into_iter().filter_map(lack).collect();
        let allowance = self.least_allowance(|reach| enough(reach, within))?;
        let unlock = if allowance.is_some() { Vec::new() } else { self.unlocks(|reach| enough(reach, tolerance))? };
        Ok(Some(Short { reach: Inches(reach), lacks, allowance, unlock }))
    }

    fn least_allowance(&self, serves: impl Fn(f64) -> bool) -> Result<Option<Length>, PlanError> {
        let step = self.step.inches();
        if step <= 0.0 {
            return Ok(None);
        }
        let with = |steps: i64| self.reach(steps as f64 * step, None).map(|reach| reach.is_some_and(&serves));
        let (mut low, mut high) = (0, (MOST / step).floor() as i64);
        if !with(high)? {
            return Ok(None);
        }
        while high - low > 1 {
            let middle = i64::midpoint(low, high);
            if with(middle)? { high = middle } else { low = middle }
        }
        Ok(self.step.checked_scale(high, 1))
    }

    fn unlocks(&self, serves: impl Fn(f64) -> bool) -> Result<Vec<(usize, Edge)>, PlanError> {
        let mut found = Vec::new();
        for (place, leaf) in self.leaves.iter().enumerate() {
            for edge in Edge::ALL.into_iter().filter(|edge| !leaf.trimmed.has(*edge)) {
                if self.reach(MOST, Some((place, edge)))?.is_some_and(&serves) {
                    found.push((place, edge));
                }
            }
        }
        Ok(found)
    }

    /// Worst miss after trimming with at least this allowance, one more edge trimmed.
    fn reach(&self, least: f64, unlocked: Option<(usize, Edge)>) -> Result<Option<f64>, PlanError> {
        let Some(problem) = self.problem(least, unlocked) else { return Ok(None) };
        let network = Network::new(&problem)?;
        let misses = network.misses();
        let chooser = Chooser::new(&problem, &network, &misses, Prefer::LeastWood);
        let reach = chooser.worst(&chooser.candidates);
        reach.map(Some).map_err(|reason| PlanError::Solver { stage: "allowance", reason })
    }

    /// The oversize leaves in the opening, less what the cuts may err by.
    fn problem(&self, least: f64, unlocked: Option<(usize, Edge)>) -> Option<FitProblem> {
        let leaf = |(place, rough): (usize, &OversizeLeaf)| {
            let unlocked = unlocked.filter(|(leaf, _)| *leaf == place).map(|(_, edge)| edge);
            let may_cut = unlocked.map_or(rough.trimmed, |edge| rough.trimmed.with(edge));
            let on = |edge: Edge| {
                let allowance = rough.allowance.inches().max(least);
                if may_cut.has(edge) { allowance - self.spread.get() } else { 0.0 }
            };
            let [width, height] = rough.finished.map(Length::inches);
            let rounded = |inches: f64| Inches(inches).length();
            Leaf {
                id: rough.id.clone(),
                width: rounded(width + on(Edge::Left) + on(Edge::Right)),
                height: rounded(height + on(Edge::Bottom) + on(Edge::Top)),
                hinge: None,
                may_cut,
                motion: Motion::Free,
            }
        };
        let leaves: Vec<Leaf> = self.leaves.iter().enumerate().map(leaf).collect();
        let placed = Placed::evenly(self.shape, &leaves, self.gaps)?;
        let line = |gap: &GapLine| {
            let length = gap.length(&leaves)?;
            let read = |halves: i64| {
                let now = Inches(placed.gap_at(gap, halves as f64 / 2.0)?).length();
                let value = if now.is_negative() { Value::Lap(now.abs()) } else { Value::Gap(now) };
                Some(Reading { at: length.checked_scale(halves, 2)?, value })
            };
            Some(GapLine { readings: (0..=2).map(read).collect::<Option<_>>()?, ..gap.clone() })
        };
        let gaps = self.gaps.iter().map(line).collect::<Option<_>>()?;
        Some(FitProblem { leaves, gaps, tolerance: self.tolerance, prefer: Prefer::LeastWood })
    }
}
