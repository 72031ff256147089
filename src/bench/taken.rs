//! What each round left and what each cut took, from all rounds together: what the history shows and exports.

use super::rounds::Told;
use crate::fit::estimate::{CutTaken, RoundShown, Spreads};
use crate::shop::OpeningState;
use std::collections::BTreeMap;

/// One round of the history.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundSeen {
    /// Its number in the log.
    pub number: u32,
    /// Worst miss, cuts meant and taken.
    pub shown: RoundShown,
    /// Was the leaf read again after its cuts? Until then, what they took is only what was meant.
    pub read_since: bool,
}

/// The rounds, first to last; none where they cannot be worked out.
pub fn history(state: &OpeningState, spreads: Spreads) -> Vec<RoundSeen> {
    let Ok(told) = Told::of(state, u32::MAX) else { return Vec::new() };
    let Ok(rounds) = told.history(spreads) else { return Vec::new() };
    let last_read = told.rounds.iter().rposition(|round| !round.readings.is_empty());
    let each = told.numbers.iter().zip(rounds).enumerate();
    each.map(|(place, (&number, shown))| RoundSeen {
        number,
        shown,
        read_since: last_read.is_some_and(|last| last > place),
    })
    .collect()
}

/// What each cut took, by the number of its event; only those that the leaf was read again after.
pub fn by_event(state: &OpeningState, spreads: Spreads) -> BTreeMap<u64, CutTaken> {
    let mut taken = BTreeMap::new();
    for round in history(state, spreads).into_iter().filter(|round| round.read_since) {
        let kept = state.round(round.number).map_or(&[][..], |round| &round.cuts);
        // A cut of a leaf that is not described is no cut of the estimate.
        let known = |leaf: &str| state.leaves.iter().any(|one| one.what.leaf == leaf);
        let events = kept.iter().filter(|cut| known(&cut.what.intended.leaf)).map(|cut| cut.n);
        taken.extend(events.zip(round.shown.cuts).filter(|(_, cut)| !cut.lost));
    }
    taken
}
