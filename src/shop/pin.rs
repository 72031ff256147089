//! Where a hinge pin stands, told by itself: the swing may be asked before anybody said how the leaf is made.

use super::check::{CheckError, within};
use super::making::{Making, PinAt};
use super::replay::OpeningState;
use crate::fit::length::Length;
use serde::{Deserialize, Serialize};

/// Where the pin of a leaf's hinges stands, and how thick the leaf is where nothing else says so. A later one for
/// the same leaf replaces it, a thickness left out leaves the one there is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PinTold {
    /// Which leaf, described or still to come.
    pub leaf: String,
    /// Off the leaf's hinge edge, toward the frame; below zero: within the leaf's width.
    pub off_edge: Length,
    /// In front of the leaf's face; below zero: behind it.
    pub in_front: Length,
    /// How thick the leaf is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Length>,
}

impl Making {
    /// Where the pin of leaf `id` stands, where that was told: by itself, or (in older logs) with how it is made.
    pub fn pin(&self, id: &str) -> Option<PinAt> {
        self.pins.get(id).map(|told| PinAt { off_edge: told.off_edge, in_front: told.in_front })
    }

    pub(super) fn pin_told(&mut self, told: &PinTold) {
        let before = self.pins.get(&told.leaf).and_then(|before| before.thickness);
        let thickness = told.thickness.or(before);
        self.pins.insert(told.leaf.clone(), PinTold { thickness, ..told.clone() });
    }
}

impl OpeningState {
    /// How thick leaf `id` is: as described, as it will be made, or as told with its pin.
    pub fn thickness_of(&self, id: &str) -> Option<Length> {
        let described = self.leaf(id).and_then(|leaf| leaf.thickness);
        let made = || self.making.build(id).map(|build| build.thickness);
        described.or_else(made).or_else(|| self.making.pins.get(id)?.thickness)
    }

    /// Is the thickness of leaf `id` told without its pin?
    pub fn thickness_stands_elsewhere(&self, id: &str) -> bool {
        self.leaf(id).is_some_and(|leaf| leaf.thickness.is_some()) || self.making.build(id).is_some()
    }
}

/// May a pin stand there?
pub(super) fn check(told: &PinTold) -> Result<(), CheckError> {
    let furthest = Length::ratio(6, 1);
    within("off_edge", told.off_edge, furthest.negated(), furthest)?;
    within("in_front", told.in_front, furthest.negated(), furthest)?;
    told.thickness.map_or(Ok(()), |thickness| within("thickness", thickness, Length::ratio(1, 64), furthest))
}
