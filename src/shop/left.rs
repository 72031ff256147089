//! What an accepted plan leaves to cut.

use super::event::TrimMeant;
use super::replay::Round;

impl Round {
    /// Edges of the accepted plan that no cut of this round has touched.
    pub fn trims_left(&self) -> usize {
        self.left().count()
    }

    /// Are trims left that are meant for the saw, and for the plane? Where the plan names no means, both may be.
    pub fn tools_wanted(&self) -> [bool; 2] {
        super::summary::tools(self.left().map(|(_, means)| means))
    }

    /// Trims that are left, each with its means where the plan names them.
    pub fn left(&self) -> impl Iterator<Item = (&TrimMeant, Option<&str>)> {
        let done = |trim: &TrimMeant| {
            let on_it = |cut: &TrimMeant| cut.leaf == trim.leaf && cut.edge == trim.edge;
            self.cuts.iter().any(|cut| !cut.what.more && on_it(&cut.what.intended))
        };
        let plan = self.plan.as_ref().map(|plan| &plan.what);
        let trims = plan.into_iter().flat_map(|plan| {
            let means = |place: usize| plan.means.get(place).map(String::as_str);
            plan.trims.iter().enumerate().map(move |(place, trim)| (trim, means(place)))
        });
        trims.filter(move |(trim, _)| !done(trim))
    }
}
