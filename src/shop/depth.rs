//! Depth screws: what was turned since the corners of a leaf were read, and what its screws have left.

use super::check::{CheckError, refuse, unknown_leaf, within};
use super::event::FlushRead;
use super::replay::{OpeningState, Said};
use crate::fit::length::Length;
use crate::fit::opening::{Motion, Travel};
use serde::{Deserialize, Serialize};

/// The depth screw of one hinge, turned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScrewTurned {
    /// Height of the hinge above the leaf's lower end.
    pub hinge: Length,
    /// Forward, out of the opening; below zero: back.
    pub forward: Length,
}

/// The depth screws of a leaf were turned. The gaps stay as they are: no round ends by it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DepthTurned {
    /// Which leaf.
    pub leaf: String,
    /// For each hinge whose screw was turned.
    pub screws: Vec<ScrewTurned>,
}

impl OpeningState {
    /// The corners of leaf `id` as read last.
    pub fn flush_of(&self, id: &str) -> Option<&Said<FlushRead>> {
        self.flush.iter().rev().find(|said| said.what.leaf == id)
    }

    /// What the depth screw of each hinge of leaf `id` was turned by in events after `from` and before `to`, lowest
    /// hinge first; empty where none was.
    pub fn turned_between(&self, id: &str, from: u64, to: u64) -> Vec<ScrewTurned> {
        let turned = self.depths.iter().filter(|said| said.what.leaf == id && said.n > from && said.n < to);
        let mut sums: Vec<ScrewTurned> = Vec::new();
        for screw in turned.flat_map(|said| &said.what.screws) {
            match sums.iter_mut().find(|sum| sum.hinge == screw.hinge) {
                Some(sum) => sum.forward = sum.forward.checked_add(screw.forward).unwrap_or(sum.forward),
                None => sums.push(screw.clone()),
            }
        }
        sums.sort_by_key(|sum| sum.hinge);
        sums
    }

    /// How far the depth screw at `hinge` of leaf `id` still reaches, from where it stands now; none where it has
    /// none.
    pub fn depth_left(&self, id: &str, hinge: Length) -> Option<Travel> {
        let Some(Motion::Hung(hung)) = self.leaf(id).map(|leaf| &leaf.motion) else { return None };
        let travel = hung.adjust.as_ref()?.depth?;
        let told = self.hung.get(id).map_or(0, |since| since.told);
        let turned = self.turned_between(id, told, u64::MAX).into_iter().find(|screw| screw.hinge == hinge);
        let used = turned.map_or(Length::ZERO, |screw| screw.forward);
        let left = |end: Length| end.checked_sub(used).unwrap_or(end);
        Some(Travel { from: left(travel.from).min(Length::ZERO), to: left(travel.to).max(Length::ZERO), ..travel })
    }
}

/// May these screws be turned?
pub(super) fn check(state: &OpeningState, turned: &DepthTurned) -> Result<(), CheckError> {
    let Some((_, height)) = state.size_at(&turned.leaf, u32::MAX) else {
        return unknown_leaf(state, "leaf", &turned.leaf);
    };
    if turned.screws.iter().all(|screw| screw.forward.is_zero()) {
        return refuse("screws", "none is turned; leave the event out");
    }
    for (place, screw) in turned.screws.iter().enumerate() {
        within(&format!("screws[{place}].hinge"), screw.hinge, Length::ZERO, height)?;
        let field = format!("screws[{place}].forward");
        within(&field, screw.forward, Length::ratio(-1, 1), Length::ratio(1, 1))?;
        if turned.screws.iter().take(place).any(|earlier| earlier.hinge == screw.hinge) {
            return refuse(format!("screws[{place}].hinge"), "is named twice; add its turns up");
        }
    }
    Ok(())
}
