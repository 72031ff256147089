//! On its hinges: when a leaf was hung, and what its packs and screws used of their ranges since.

use super::check::{CheckError, above_zero, unknown_leaf, within};
use super::replay::{OpeningState, Round};
use crate::fit::hung::Hung;
use crate::fit::length::Length;
use crate::fit::opening::{EdgeSet, Leaf, Motion, Side};
use serde::{Deserialize, Serialize};

/// A leaf is hung, taken off its hinges, or its hinges are told anew: how it may move from now on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafHung {
    /// Which leaf.
    pub leaf: String,
    /// The side that it hangs on, where that was not said before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hinge: Option<Side>,
    /// How it may move; ranges are told from where the hinges stand now.
    pub motion: Motion,
}

/// Since when a leaf hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HungSince {
    /// The event that hung it.
    pub hung: u64,
    /// The last event that told its hinges' ranges.
    pub told: u64,
}

impl OpeningState {
    /// A leaf is hung by event `n` (or was described as hanging), or is loose by it.
    pub(super) fn hangs(&mut self, n: u64, id: &str) {
        match self.leaf(id).map(|leaf| &leaf.motion) {
            Some(Motion::Hung(_)) => {
                self.hung.entry(id.to_owned()).or_insert(HungSince { hung: n, told: n }).told = n;
            }
            _ => {
                self.hung.remove(id);
            }
        }
    }

    pub(super) fn take_hung(&mut self, n: u64, told: &LeafHung) {
        let Some(leaf) = self.leaves.iter_mut().find(|leaf| leaf.what.leaf == told.leaf) else { return };
        leaf.what.motion = told.motion.clone();
        leaf.what.hinge = told.hinge.or(leaf.what.hinge);
        self.hangs(n, &told.leaf);
    }

    /// Was a leaf hung after `round` was read? Then its readings are those of a loose leaf.
    pub fn hung_after(&self, round: &Round) -> bool {
        self.hung.values().any(|since| round.taken.iter().any(|one| one.n < since.hung))
    }

    /// Did leaf `id` hang when `round` was read?
    pub fn hung_in(&self, id: &str, round: &Round) -> bool {
        self.hung.get(id).is_some_and(|since| round.taken.iter().all(|one| one.n > since.hung))
    }
}

/// May a leaf be hung like this?
pub(super) fn check(state: &OpeningState, told: &LeafHung) -> Result<(), CheckError> {
    let Some(leaf) = state.leaf(&told.leaf) else { return unknown_leaf(state, "leaf", &told.leaf) };
    let (width, height) = state.size_at(&told.leaf, u32::MAX).unwrap_or((leaf.width, leaf.height));
    motion(&told.motion, told.hinge.or(leaf.hinge), (width, height))
}

/// May a leaf of this width and height, hinged on this side, move like this?
pub(super) fn motion(
    motion: &Motion,
    hinge: Option<Side>,
    (width, height): (Length, Length),
) -> Result<(), CheckError> {
    let Motion::Hung(hung) = motion else { return Ok(()) };
    let refuse = |field: &str, why: String| Err(CheckError { field: field.to_owned(), why });
    if hung.hinges.len() < 2 {
        return refuse("motion.hung.hinges", format!("{} given; a hung leaf has two or more", hung.hinges.len()));
    }
    if hinge.is_none() {
        return refuse("hinge", "is missing; a hung leaf hangs on its left or right".to_owned());
    }
    for (place, &hinge) in hung.hinges.iter().enumerate() {
        within(&format!("motion.hung.hinges[{place}]"), hinge, Length::ZERO, height)?;
    }
    within("motion.hung.pack", hung.pack, Length::ZERO, Length::ratio(1, 1))?;
    within("motion.hung.let_in", hung.let_in, Length::ZERO, Length::ratio(1, 1))?;
    for (place, &stock) in hung.stock.iter().enumerate() {
        above_zero(&format!("motion.hung.stock[{place}]"), stock)?;
    }
    // Whatever else the planner would refuse, it says before it is kept.
    let leaf = Leaf { id: String::new(), width, height, hinge, may_cut: EdgeSet::NONE, motion: motion.clone() };
    match Hung::of(&leaf) {
        Err(crate::fit::fault::ProblemFault::Hanging { what, .. }) => refuse("motion.hung", what.to_owned()),
        Err(other) => refuse("motion.hung", other.to_string()),
        Ok(_) => Ok(()),
    }
}
