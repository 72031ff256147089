//! Proud and shy corners as last read, and what the hinges can do about them.

use crate::before::flush::{Corners, Flush, FlushError, flush};
use crate::fit::length::Length;
use crate::fit::opening::{Motion, Side, Travel};
use crate::shop::OpeningState;
use crate::shop::event::FlushRead;
use crate::shop::settings::Settings;

/// One hinged leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafFlush {
    /// Its short name.
    pub leaf: String,
    /// Where it hangs.
    pub hinge: Side,
    /// Heights of its hinges above its lower end.
    pub hinges: Vec<Length>,
    /// The corners as last read.
    pub read: FlushRead,
    /// Within this a corner counts as flush.
    pub tolerance: Length,
    /// How far the depth screws of its hinges reach, where they have any.
    pub depth: Option<Travel>,
    /// What they say.
    pub flush: Result<Flush, FlushError>,
}

/// Heights of the hinges of leaf `id`: as described, or as given with a flush reading; none known: empty.
pub fn hinges(state: &OpeningState, id: &str) -> Vec<Length> {
    if let Some(Motion::Hung(hung)) = state.leaf(id).map(|leaf| &leaf.motion) {
        return hung.hinges.clone();
    }
    let read = state.flush.iter().rev().find(|said| said.what.leaf == id && !said.what.hinges.is_empty());
    read.map(|said| said.what.hinges.clone()).unwrap_or_default()
}

/// Every leaf with a flush reading; a leaf without hinges is taken as held at its left side.
pub fn flushes(state: &OpeningState, settings: &Settings) -> Vec<LeafFlush> {
    let tolerance = state.tolerance.unwrap_or(settings.tolerance);
    let of = |id: &str| {
        let read = state.flush.iter().rev().find(|said| said.what.leaf == id)?.what.clone();
        let (_, height) = state.size_at(id, u32::MAX)?;
        let hinge = state.hinge_of(id).unwrap_or(Side::Left);
        let hinges = hinges(state, id);
        let flush = flush(&Corners::from_log(read.corners), height, hinge, &hinges, tolerance);
        let depth = match state.leaf(id).map(|leaf| &leaf.motion) {
            Some(Motion::Hung(hung)) => hung.adjust.as_ref().and_then(|adjust| adjust.depth),
            _ => None,
        };
        Some(LeafFlush { leaf: id.to_owned(), hinge, hinges, read, tolerance, depth, flush })
    };
    state.leaf_ids().into_iter().filter_map(of).collect()
}
