//! Passes that remain: the forecast, with what the log has of it taken off and what the set-ups make of the rest.

use super::rounds::Look;
use crate::fit::estimate::Method;
use crate::fit::policy::depth::saw_passes;
use crate::fit::policy::{CutAdvice, EdgePasses, Next, Spread};
use crate::shop::OpeningState;

/// Passes that remain, with what was done since the forecast taken off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PassesLeft {
    /// Trips to the cabinet, the last look included.
    pub trips: Spread,
    /// Saw cuts.
    pub saw: Spread,
    /// Times planed.
    pub plane: Spread,
}

impl Look {
    /// Passes that remain; none where nothing is to be cut and nothing is in doubt. `None` where nothing can
    /// be said.
    pub fn passes_left(&self, state: &OpeningState) -> Option<PassesLeft> {
        let Some(passes) = &self.advice.passes else {
            return matches!(self.advice.next, Next::Fitted).then(PassesLeft::default);
        };
        let mut left = PassesLeft { trips: passes.trips, saw: passes.saw, plane: passes.plane };
        for cut in self.cuts() {
            let of = if cut.method == Method::Saw { &mut left.saw } else { &mut left.plane };
            *of = self.now(state, cut, *of);
        }
        Some(left)
    }

    /// Passes that remain on each edge that the forecast speaks of.
    pub fn edges_left(&self, state: &OpeningState) -> Vec<EdgePasses> {
        let edges = self.advice.passes.as_ref().map_or(&[][..], |passes| &passes.edges);
        let left = |edge: &EdgePasses| {
            let mut left = *edge;
            let own = |cut: &&CutAdvice| cut.leaf == edge.leaf && cut.edge == edge.edge;
            if let Some(cut) = self.cuts().iter().find(own) {
                let of = if cut.method == Method::Saw { &mut left.saw } else { &mut left.plane };
                *of = self.now(state, cut, *of);
            }
            left
        };
        edges.iter().map(left).collect()
    }

    /// A forecast that counts the passes of `cut` from the first, with those that are left of it in their place: none
    /// once it is made, and as many as its set-ups make of what is still to be taken.
    fn now(&self, state: &OpeningState, cut: &CutAdvice, forecast: Spread) -> Spread {
        let id = self.problem.leaves.get(cut.leaf).map_or("", |leaf| leaf.id.as_str());
        let done = state.round(self.round).is_some_and(|round| round.is_cut(id, cut.edge));
        let own = self.several.iter().find(|several| several.leaf == id && several.edge == cut.edge);
        let left = if done { 0 } else { own.map_or(1, |several| several.passes) };
        let counted = match cut.method {
            Method::Saw => saw_passes(cut.aim[0].0.max(cut.aim[1].0), self.policy.kerf.0).unwrap_or(1),
            Method::Plane => 1,
        };
        let now = |count: u32| count.saturating_sub(counted).saturating_add(left);
        Spread { median: now(forecast.median), most: now(forecast.most) }
    }
}
