//! Proud and shy corners as last read, and what the hinges can do about them.

use crate::before::flush::{Corners, DepthMove, Flush, FlushAdvice, FlushError, after, flush};
use crate::bench::gap_words;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Motion, Side, Travel};
use crate::shop::OpeningState;
use crate::shop::depth::ScrewTurned;
use crate::shop::event::FlushRead;
use crate::shop::replay::Said;
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
    /// The corners as they should be now, where depth screws were turned since they were read.
    pub expected: Option<Result<Corners<Length>, FlushError>>,
    /// The corner that was read furthest from what the screws turned before it should have made of it, where that is
    /// beyond the tolerance.
    pub missed: Option<Missed>,
    /// How the shop shows lengths: a move that shows as nothing is none.
    pub show: Show,
    /// Within this a corner counts as flush.
    pub tolerance: Length,
    /// For each hinge that has a depth screw, how far it still reaches.
    pub depth: Vec<(Length, Travel)>,
    /// What the corners say: as expected, or as read.
    pub flush: Result<Flush, FlushError>,
}

/// A corner that is not where the screws should have taken it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missed {
    /// Which one.
    pub corner: &'static str,
    /// Where it should be, proud of the frame.
    pub expected: Length,
    /// Where it was read.
    pub read: Length,
}

/// Names of the corners in the order of the log.
pub const CORNERS: [&str; 4] = ["lower left", "lower right", "upper left", "upper right"];

impl LeafFlush {
    /// How far the depth screw at `hinge` still reaches; none where it has none.
    pub fn depth_at(&self, hinge: Length) -> Option<Travel> {
        self.depth.iter().find(|(at, _)| *at == hinge).map(|(_, travel)| *travel)
    }

    /// What to turn each depth screw by to follow the advice as far as the screws reach; empty where nothing is to
    /// be moved or there are no depth screws.
    pub fn turns(&self) -> Vec<ScrewTurned> {
        let Ok(flush) = &self.flush else { return Vec::new() };
        if flush.advice == FlushAdvice::Leave {
            return Vec::new();
        }
        let turn = |step: &DepthMove| {
            let (forward, _) = self.depth_at(step.hinge)?.nearest(step.forward.length());
            // What is told as nothing is left.
            let nothing = |by| gap_words::is_nothing(by, self.show);
            let left = nothing(step.forward) || nothing(Inches(forward.inches()));
            Some(ScrewTurned { hinge: step.hinge, forward: if left { Length::ZERO } else { forward } })
        };
        let turns: Vec<_> = flush.hinges.iter().filter_map(turn).collect();
        if turns.iter().all(|turn| turn.forward.is_zero()) { Vec::new() } else { turns }
    }
}

/// The corners of `read` once what was turned after it is done; none where nothing was.
fn expected(state: &OpeningState, read: &Said<FlushRead>, until: u64) -> Option<Result<Corners<Length>, FlushError>> {
    let id = &read.what.leaf;
    let turned = state.turned_between(id, read.n, until);
    let (_, height) = state.size_at(id, u32::MAX)?;
    if turned.is_empty() {
        return None;
    }
    // A hinge whose screw was not turned stays where it is.
    let by = |hinge: Length| turned.iter().find(|screw| screw.hinge == hinge).map_or(Length::ZERO, |one| one.forward);
    let mut all: Vec<Length> = turned.iter().map(|screw| screw.hinge).chain(hinges(state, id)).collect();
    all.sort_unstable();
    all.dedup();
    let moves: Vec<_> = all.into_iter().map(|hinge| (hinge, by(hinge))).collect();
    let side = state.hinge_of(id).unwrap_or(Side::Left);
    Some(after(&Corners::from_log(read.what.corners), height, side, &moves))
}

/// The corner of the reading `last` furthest from what the screws turned before it should have made of it.
fn missed(state: &OpeningState, last: &Said<FlushRead>, tolerance: Length) -> Option<Missed> {
    let before = state.flush.iter().rev().find(|said| said.what.leaf == last.what.leaf && said.n < last.n)?;
    let wanted = expected(state, before, last.n)?.ok()?.each();
    let off = |one: &Missed| one.read.checked_sub(one.expected).map_or(Length::ZERO, Length::abs);
    let each = CORNERS.into_iter().zip(wanted).zip(last.what.corners);
    let each = each.map(|((corner, expected), read)| Missed { corner, expected, read });
    each.filter(|one| off(one) > tolerance).max_by_key(off)
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
        let last = state.flush_of(id)?;
        let (_, height) = state.size_at(id, u32::MAX)?;
        let hinge = state.hinge_of(id).unwrap_or(Side::Left);
        let hinges = hinges(state, id);
        let expected = expected(state, last, u64::MAX);
        let now = expected.unwrap_or(Ok(Corners::from_log(last.what.corners)));
        let flush = now.and_then(|now| flush(&now, height, hinge, &hinges, tolerance));
        let depth = hinges.iter().filter_map(|&hinge| Some((hinge, state.depth_left(id, hinge)?))).collect();
        let (leaf, read, missed) = (id.to_owned(), last.what.clone(), missed(state, last, tolerance));
        let show = settings.show;
        Some(LeafFlush { leaf, hinge, hinges, read, expected, missed, show, tolerance, depth, flush })
    };
    state.leaf_ids().into_iter().filter_map(of).collect()
}
