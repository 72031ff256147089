//! Is a problem whole? Asked before its map is built.

use super::{MOST_LEAVES, ProblemFault};
use crate::fit::length::Length;
use crate::fit::opening::{Edge, Facing, FitProblem, GapLine};

pub(super) fn limit(what: &'static str, found: usize, most: usize) -> Result<(), ProblemFault> {
    if found > most { Err(ProblemFault::TooMany { what, found, most }) } else { Ok(()) }
}

pub(super) fn check_leaves(problem: &FitProblem) -> Result<(), ProblemFault> {
    if problem.leaves.is_empty() {
        return Err(ProblemFault::NoLeaf);
    }
    limit("leaves", problem.leaves.len(), MOST_LEAVES)?;
    for (place, leaf) in problem.leaves.iter().enumerate() {
        if problem.leaves.iter().take(place).any(|other| other.id == leaf.id) {
            return Err(ProblemFault::DuplicateLeaf(leaf.id.clone()));
        }
        for (what, size) in [("width", leaf.width), ("height", leaf.height)] {
            if size <= Length::ZERO {
                return Err(ProblemFault::LeafSize { leaf: leaf.id.clone(), what });
            }
        }
    }
    if problem.tolerance <= Length::ZERO {
        return Err(ProblemFault::Tolerance);
    }
    Ok(())
}

/// The leaf edges on a gap line, the first-named first.
pub(super) fn facing(problem: &FitProblem, gap: usize, line: &GapLine) -> Result<Vec<(usize, Edge)>, ProblemFault> {
    let sides: Vec<(usize, Edge)> = line
        .between
        .iter()
        .filter_map(|side| match *side {
            Facing::Frame => None,
            Facing::Leaf { leaf, edge } => Some((leaf, edge)),
        })
        .collect();
    for &(leaf, _) in &sides {
        if leaf >= problem.leaves.len() {
            return Err(ProblemFault::NoSuchLeaf { gap, leaf });
        }
    }
    match sides.as_slice() {
        [_] => Ok(sides),
        [(one, edge), (other, facing)] if one != other && edge.opposite() == *facing => Ok(sides),
        _ => Err(ProblemFault::NotFacing { gap }),
    }
}

pub(super) fn same_pair(one: [Facing; 2], other: [Facing; 2]) -> bool {
    one == other || one == [other[1], other[0]]
}
