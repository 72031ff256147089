//! A leaf altered by more than the cuts of its rounds: a strip glued on, wood taken off that no cut of the log says,
//! or a new leaf made in its place. What was read of the leaf before does not hold for it any more.

use super::check::{CheckError, above_zero, refuse, unknown_leaf, within};
use super::event::{CutDone, Record};
use super::replay::{OpeningState, Round, Said};
use crate::fit::length::Length;
use crate::fit::opening::{Edge, Motion};
use serde::{Deserialize, Serialize};

/// A strip was glued on, or wood taken off outside the rounds: in the log
/// `{"event":"altered","leaf":"A","edge":"left","added":"1/16"}`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafAltered {
    /// Which leaf.
    pub leaf: String,
    /// Which edge.
    pub edge: Edge,
    /// By how much that edge stands further out, all along: the thickness of the strip; below zero what came off.
    pub added: Length,
}

/// A new leaf was made in the place of one: in the log
/// `{"event":"remade","leaf":"A","width":"11","height":"26"}`. It is loose until it is hung; nothing that was measured
/// of the old one, read at its corners or put on it holds for it. How it is made and where it hangs stays as told.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafRemade {
    /// Which leaf.
    pub leaf: String,
    /// Width of the new one.
    pub width: Length,
    /// Height of the new one.
    pub height: Length,
}

/// Either of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Alteration {
    /// A strip was glued on, or wood taken off.
    Altered(LeafAltered),
    /// A new leaf was made.
    Remade(LeafRemade),
}

impl Alteration {
    /// Short name of the leaf.
    pub fn leaf(&self) -> &str {
        match self {
            Self::Altered(altered) => &altered.leaf,
            Self::Remade(remade) => &remade.leaf,
        }
    }
}

/// What changed the shape of a leaf.
#[derive(Clone, Copy, Debug)]
pub enum Shaped<'a> {
    /// A cut.
    Cut(&'a CutDone),
    /// Something else.
    Altered(&'a Alteration),
}

impl Round {
    /// What was altered after any of its readings was taken.
    fn alterations_since(&self) -> impl Iterator<Item = &Said<Alteration>> {
        self.altered.iter().filter(|said| self.taken.iter().any(|one| one.n < said.n))
    }
}

impl OpeningState {
    /// Was a leaf altered after `round` was read? Then a plan that rests on its readings is none any more.
    pub fn altered_after(&self, round: &Round) -> bool {
        round.alterations_since().next().is_some()
    }

    /// A leaf that is made anew is loose.
    pub(super) fn take_remade(&mut self, n: u64, remade: &LeafRemade) {
        let Some(leaf) = self.leaves.iter_mut().find(|leaf| leaf.what.leaf == remade.leaf) else { return };
        if matches!(leaf.what.motion, Motion::Hung(_)) {
            leaf.what.motion = Motion::Free;
        }
        self.hangs(n, &remade.leaf);
    }

    pub(super) fn altered(&mut self, record: &Record, alteration: Alteration) -> Result<(), String> {
        let id = alteration.leaf().to_owned();
        self.known_leaf(&id)?;
        if matches!(alteration, Alteration::Remade(_)) {
            self.measured.retain(|said| said.what.leaf != id);
            self.flush.retain(|said| said.what.leaf != id);
            self.depths.retain(|said| said.what.leaf != id);
            self.finishes.retain(|said| said.what.leaf != id);
        }
        let now = self.current_round();
        self.round_mut(now).altered.push(super::replay::said(record, alteration));
        Ok(())
    }

    /// Every cut and alteration of leaf `id` since it was described last, in the order in which they were kept, each
    /// with its round and the number of its event.
    pub fn shaped(&self, id: &str) -> Vec<(u32, u64, Shaped<'_>)> {
        let described = self.leaves.iter().find(|leaf| leaf.what.leaf == id).map_or(0, |leaf| leaf.n);
        let mut all = Vec::new();
        for round in &self.rounds {
            let cuts = round.cuts.iter().filter(|cut| cut.what.intended.leaf == id);
            all.extend(cuts.map(|cut| (round.number, cut.n, Shaped::Cut(&cut.what))));
            let altered = round.altered.iter().filter(|said| said.what.leaf() == id);
            all.extend(altered.map(|said| (round.number, said.n, Shaped::Altered(&said.what))));
        }
        all.retain(|(_, n, _)| *n > described);
        all.sort_by_key(|(_, n, _)| *n);
        all
    }

    /// Width and height of a leaf when `round` was read: as last described, less the mean of what each cut since then
    /// was meant to take, and as altered, of the rounds before `round`.
    pub fn size_at(&self, id: &str, round: u32) -> Option<(Length, Length)> {
        self.size_by(id, |past, _| past < round)
    }

    /// The same after event `n`.
    pub fn size_after(&self, id: &str, n: u64) -> Option<(Length, Length)> {
        self.size_by(id, |_, past| past <= n)
    }

    /// Width and height of a leaf as last told: as described, or as it was made anew; no cut is taken off.
    pub fn size_told(&self, id: &str) -> Option<(Length, Length)> {
        let leaf = self.leaf(id)?;
        let remade = self.shaped(id).into_iter().rev().find_map(|(_, _, shaped)| match shaped {
            Shaped::Altered(Alteration::Remade(remade)) => Some((remade.width, remade.height)),
            _ => None,
        });
        Some(remade.unwrap_or((leaf.width, leaf.height)))
    }

    fn size_by(&self, id: &str, counts: impl Fn(u32, u64) -> bool) -> Option<(Length, Length)> {
        let leaf = self.leaf(id)?;
        let (mut width, mut height) = (leaf.width, leaf.height);
        for (_, _, shaped) in self.shaped(id).into_iter().filter(|(round, n, _)| counts(*round, *n)) {
            let (edge, added) = match shaped {
                Shaped::Altered(Alteration::Remade(remade)) => {
                    (width, height) = (remade.width, remade.height);
                    continue;
                }
                Shaped::Altered(Alteration::Altered(altered)) => (altered.edge, altered.added),
                Shaped::Cut(cut) => {
                    let trim = &cut.intended;
                    let mean = trim.start.checked_add(trim.end).and_then(|sum| sum.checked_scale(1, 2));
                    (trim.edge, mean.unwrap_or(Length::ZERO).negated())
                }
            };
            let side = if edge.is_upright() { &mut width } else { &mut height };
            *side = side.checked_add(added).unwrap_or(*side);
        }
        Some((width, height))
    }
}

/// Thickest strip, and most that is taken off outside the rounds: more is another leaf. A judgement, no source.
const MOST: (i64, i64) = (2, 1);

/// May a leaf be altered so?
pub(super) fn check(state: &OpeningState, altered: &LeafAltered) -> Result<(), CheckError> {
    let Some((width, height)) = state.size_at(&altered.leaf, u32::MAX) else {
        return unknown_leaf(state, "leaf", &altered.leaf);
    };
    if altered.added.is_zero() {
        return refuse("added", "is 0; give the thickness of the strip, or with - before it what came off");
    }
    let most = Length::ratio(MOST.0, MOST.1);
    within("added", altered.added, most.negated(), most)?;
    let across = if altered.edge.is_upright() { width } else { height };
    match across.checked_add(altered.added) {
        Some(left) if left > Length::ZERO => Ok(()),
        _ => refuse("added", format!("{} leaves nothing of leaf '{}'", altered.added.canonical(), altered.leaf)),
    }
}

/// May a leaf be made anew so? It hangs where the old one did: one of less than half its size, or of more than twice,
/// is a slip of the pen.
pub(super) fn check_remade(state: &OpeningState, remade: &LeafRemade) -> Result<(), CheckError> {
    let Some((width, height)) = state.size_at(&remade.leaf, u32::MAX) else {
        return unknown_leaf(state, "leaf", &remade.leaf);
    };
    for (field, new, old) in [("width", remade.width, width), ("height", remade.height, height)] {
        above_zero(field, new)?;
        let half = old.checked_scale(1, 2).unwrap_or(Length::ZERO);
        within(field, new, half, old.checked_scale(2, 1).unwrap_or(new))?;
    }
    Ok(())
}
