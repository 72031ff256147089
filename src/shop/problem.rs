//! From an opening's state to the problem that the planner takes.

use super::facing::{self, Named};
use super::replay::OpeningState;
use super::settings::Settings;
use crate::fit::length::Length;
use crate::fit::opening::{Facing, FitProblem, GapLine, Leaf, Motion};

/// Why an opening has no fit problem yet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ProblemError {
    /// The opening was never described.
    #[error("the opening is not described yet; add an 'opening' event with its gap lines")]
    NotDescribed,
    /// No leaf was described.
    #[error("no leaf is described yet")]
    NoLeaf,
    /// A gap line speaks of a leaf that is not described.
    #[error("leaf '{leaf}' of the gap between {} and {} is not described yet", between[0], between[1])]
    LeafMissing {
        /// The leaf's short name.
        leaf: String,
        /// The gap line.
        between: [String; 2],
    },
    /// The round was never read.
    #[error("round {0} has no readings")]
    NoRound(u32),
    /// The gap line itself is wrong (an old or edited file).
    #[error("{0}")]
    BadGap(String),
    /// Cuts have left nothing of a leaf.
    #[error("the cuts recorded for leaf '{0}' leave nothing of it; strike the wrong one")]
    NothingLeft(String),
}

impl OpeningState {
    /// The problem that round `number` poses: leaves as they were when it was read, all gap lines,
    /// and that round's readings.
    pub fn problem(&self, number: u32, shop: &Settings) -> Result<FitProblem, ProblemError> {
        let round = self.round(number).filter(|round| round.is_read()).ok_or(ProblemError::NoRound(number))?;
        let mut problem = self.shape(number, shop)?;
        for (line, readings) in problem.gaps.iter_mut().zip(&round.readings) {
            line.readings = readings.iter().map(|station| station.reading).collect();
        }
        Ok(problem)
    }

    /// The opening and its leaves as they were before round `number` was read (as they are now, with
    /// the number of the round to come), without any reading.
    pub fn shape(&self, number: u32, shop: &Settings) -> Result<FitProblem, ProblemError> {
        if !self.described {
            return Err(ProblemError::NotDescribed);
        }
        if self.leaves.is_empty() {
            return Err(ProblemError::NoLeaf);
        }
        let leaves = self.leaves.iter().map(|leaf| self.leaf_at(&leaf.what.leaf, number)).collect::<Result<_, _>>()?;
        let gaps = self.gaps.iter().map(|gap| self.line(gap)).collect::<Result<_, _>>()?;
        Ok(FitProblem { leaves, gaps, tolerance: self.tolerance.unwrap_or(shop.tolerance), prefer: shop.prefer })
    }

    fn leaf_at(&self, id: &str, round: u32) -> Result<Leaf, ProblemError> {
        let nothing = || ProblemError::NothingLeft(id.to_owned());
        let described = self.leaf(id).ok_or_else(nothing)?;
        let (width, height) = self.size_at(id, round).ok_or_else(nothing)?;
        if width <= Length::ZERO || height <= Length::ZERO {
            return Err(nothing());
        }
        Ok(Leaf {
            id: id.to_owned(),
            width,
            height,
            hinge: described.hinge,
            may_cut: described.may_cut,
            motion: self.motion_at(id, round),
        })
    }

    /// How a leaf may move when `round` is read: what was put behind its hinges before is there.
    pub fn motion_at(&self, id: &str, round: u32) -> Motion {
        let Some(leaf) = self.leaves.iter().find(|leaf| leaf.what.leaf == id) else { return Motion::Free };
        let mut motion = leaf.what.motion.clone();
        if let Motion::Hung(hanging) = &mut motion {
            let earlier = self.rounds.iter().filter(|past| past.number < round).flat_map(|past| &past.packs);
            let told = self.hung.get(id).map_or(leaf.n, |since| since.told);
            let mine: Vec<_> = earlier.filter(|pack| pack.n > told && pack.what.leaf == id).collect();
            let at = |hinge: Length| {
                let outs = mine.iter().filter(|pack| pack.what.hinge == hinge).map(|pack| pack.what.out);
                outs.fold(hanging.there_at(hinge), |sum, out| sum.checked_add(out).unwrap_or(sum))
            };
            let there = hanging.hinges.iter().map(|&hinge| at(hinge)).collect();
            let ups = mine.iter().map(|pack| pack.what.up);
            hanging.up = ups.fold(hanging.up, |sum, up| sum.checked_add(up).unwrap_or(sum));
            hanging.there = if mine.is_empty() { std::mem::take(&mut hanging.there) } else { there };
        }
        motion
    }

    fn line(&self, wanted: &super::event::GapWanted) -> Result<GapLine, ProblemError> {
        let [a, b] = facing::pair(&wanted.between).map_err(|error| ProblemError::BadGap(error.to_string()))?;
        let place = |side: Named<'_>| match side {
            Named::Frame => Ok(Facing::Frame),
            Named::Leaf { id, edge } => self
                .leaves
                .iter()
                .position(|leaf| leaf.what.leaf == id)
                .map(|leaf| Facing::Leaf { leaf, edge })
                .ok_or_else(|| ProblemError::LeafMissing { leaf: id.to_owned(), between: wanted.between.clone() }),
        };
        Ok(GapLine {
            between: [place(a)?, place(b)?],
            target: wanted.target,
            offset: wanted.offset,
            readings: Vec::new(),
        })
    }
}
