//! What an accepted plan leaves to do, in the one place that says it: screens, commands and pages take it from here.

use super::event::{CutDone, HingePacked, TrimMeant};
use super::replay::{OpeningState, Round};
use crate::fit::hung::LEAST_TURN;
use crate::fit::length::Length;
use crate::fit::opening::Edge;

/// What the accepted plan of the latest round leaves to do: nothing once a leaf was hung after that round was
/// read, since what was planned for a loose leaf is planned anew once it hangs, or a leaf was altered; nothing where the
/// description of the opening or of all leaves was struck; and nothing where the log cannot be trusted to its end,
/// since what is left by it may be off already. The list of openings, the opening's own screen, the saw batch and
/// the printed pages all ask here.
impl OpeningState {
    /// The latest round, where what was planned on it still stands.
    fn stands(&self) -> Option<&Round> {
        let sound = self.trouble.is_none() && self.described && !self.leaves.is_empty();
        self.latest().filter(|round| sound && !self.hung_after(round) && !self.altered_after(round))
    }

    /// Edges of the plan that no cut of the round has finished.
    pub fn trims_left(&self) -> usize {
        self.stands().map_or(0, |round| round.left().count())
    }

    /// Trims that no cut of the round has finished, less what the passes made on them so far were meant to take; each
    /// with its means where the plan names them.
    pub fn waiting(&self) -> Vec<(TrimMeant, Option<String>)> {
        self.stands().map_or_else(Vec::new, Round::waiting)
    }

    /// The trims of [`OpeningState::waiting`].
    pub fn to_cut(&self) -> Vec<TrimMeant> {
        self.stands().map_or_else(Vec::new, Round::to_cut)
    }

    /// Hinges that were not packed or let in since the plan was accepted.
    pub fn packs_left(&self) -> Vec<&HingePacked> {
        self.stands().map_or_else(Vec::new, Round::packs_left)
    }

    /// Are trims left that are meant for the saw, and for the plane? Where the plan names no means, both may be.
    pub fn tools_wanted(&self) -> [bool; 2] {
        super::summary::tools(self.stands().into_iter().flat_map(Round::left).map(|(_, means)| means))
    }
}

impl Round {
    /// Trims of the accepted plan that no cut of this round has finished, less what the passes made on them
    /// so far were meant to take.
    pub fn to_cut(&self) -> Vec<TrimMeant> {
        self.waiting().into_iter().map(|(trim, _)| trim).collect()
    }

    fn waiting(&self) -> Vec<(TrimMeant, Option<String>)> {
        self.left().map(|(trim, means)| (self.rest(trim), means.map(str::to_owned))).collect()
    }

    /// What would be left of other trims planned on this round's readings: less the passes made on them, and without
    /// the edges that are finished.
    pub fn rest_of(&self, trims: &[TrimMeant]) -> Vec<TrimMeant> {
        let left = trims.iter().filter(|trim| !self.is_cut(&trim.leaf, trim.edge));
        left.map(|trim| self.rest(trim)).filter(|trim| !trim.is_nothing()).collect()
    }

    fn rest(&self, trim: &TrimMeant) -> TrimMeant {
        self.passes_on(trim).fold(trim.clone(), |left, pass| left.less(pass))
    }

    /// Did a cut of this round finish that edge?
    pub fn is_cut(&self, leaf: &str, edge: Edge) -> bool {
        let on_it = |cut: &TrimMeant| cut.leaf == leaf && cut.edge == edge;
        self.cuts.iter().any(|cut| !cut.what.more && on_it(&cut.what.intended))
    }

    fn packs_left(&self) -> Vec<&HingePacked> {
        let Some(plan) = &self.plan else { return Vec::new() };
        let done = |wanted: &HingePacked| self.packs.iter().any(|pack| pack.n > plan.n && pack.what.does(wanted));
        plan.what.packs.iter().filter(|wanted| !wanted.is_nothing() && !done(wanted)).collect()
    }

    /// How many passes were made on the edge of `trim` in this round.
    pub fn passes_made(&self, trim: &TrimMeant) -> u32 {
        u32::try_from(self.passes_on(trim).count()).unwrap_or(u32::MAX)
    }

    fn passes_on(&self, trim: &TrimMeant) -> impl Iterator<Item = &TrimMeant> {
        let on_it = |cut: &&CutDone| cut.more && cut.intended.leaf == trim.leaf && cut.intended.edge == trim.edge;
        self.cuts.iter().map(|cut| &cut.what).filter(on_it).map(|cut| &cut.intended)
    }

    /// Trims that are not finished, as the plan has them: what was taken of one in passes is not off. Each with
    /// its means where the plan names them.
    fn left(&self) -> impl Iterator<Item = (&TrimMeant, Option<&str>)> {
        let plan = self.plan.as_ref().map(|plan| &plan.what);
        let trims = plan.into_iter().flat_map(|plan| {
            let means = |place: usize| plan.means.get(place).map(String::as_str);
            plan.trims.iter().enumerate().map(move |(place, trim)| (trim, means(place)))
        });
        trims.filter(|(trim, _)| !self.is_cut(&trim.leaf, trim.edge))
    }
}

impl HingePacked {
    /// Is it less than anybody turns a screw by? Plans of old builds have such turns.
    pub fn is_nothing(&self) -> bool {
        [self.out, self.up].iter().all(|by| by.inches().abs() < LEAST_TURN)
    }
}

impl TrimMeant {
    /// What is left of it once `taken` is off, never below nothing.
    #[must_use]
    pub fn less(&self, taken: &Self) -> Self {
        let left = |wanted: Length, taken: Length| wanted.checked_sub(taken).unwrap_or(Length::ZERO).max(Length::ZERO);
        let mut rest = Self { start: left(self.start, taken.start), end: left(self.end, taken.end), ..self.clone() };
        // What the other means might take of the whole, less what is off now.
        if let Some(reckoned) = &mut rest.reckoned {
            let [start, end] = reckoned.otherwise;
            reckoned.otherwise = [left(start, taken.start), left(end, taken.end)];
        }
        rest
    }

    /// Is nothing to take?
    pub fn is_nothing(&self) -> bool {
        self.start.is_zero() && self.end.is_zero()
    }
}
