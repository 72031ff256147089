//! Set-up sheets for the trims of a plan: the leaf's sizes tracked through the cuts of its log, edges in
//! the order they are cut.

use crate::cut::job::{CutJob, End, JobError, Method};
use crate::cut::order::{OrderReason, order};
use crate::cut::setup::{SetupSheet, propose, propose_with};
use crate::fit::length::{Inches, Length};

use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::{Plan, Trim};
use crate::shop::OpeningState;
use crate::shop::event::TrimMeant;
use crate::shop::settings::Settings;

pub use super::leaf_sizes::Sizes;
use super::leaf_sizes::construction;

/// One trim of a plan with its set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The trim.
    pub trim: TrimMeant,
    /// Why it is cut when it is.
    pub order: Vec<OrderReason>,
    /// The job.
    pub job: CutJob,
    /// The set-up.
    pub sheet: SetupSheet,
}

/// What the user asked of a set-up beyond the cut itself.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Asked {
    /// The method; `None` leaves it to the shop's ranking.
    pub method: Option<Method>,
    /// Which end goes first; `None` leaves it to the set-up.
    pub lead: Option<End>,
    /// A mark of the guide line this often as well as at both ends.
    pub marks_every: Option<Inches>,
}

/// One trim as events have it; `None` if there is no such leaf.
pub fn trim_meant(problem: &FitProblem, leaf: usize, trim: &Trim) -> Option<TrimMeant> {
    let leaf = problem.leaves.get(leaf)?;
    // The solver's last digits may lie below zero.
    let removal = |length: Length| length.max(Length::ZERO);
    let (start, end) = (removal(trim.start.length()), removal(trim.end.length()));
    Some(TrimMeant { leaf: leaf.id.clone(), edge: trim.edge, start, end })
}

/// The trims of a plan that take any wood, as events have them.
pub fn trims_meant(problem: &FitProblem, plan: &Plan) -> Vec<TrimMeant> {
    let leaves = plan.leaves.iter().enumerate();
    let all = leaves.flat_map(|(leaf, part)| part.trims.iter().map(move |trim| (leaf, trim)));
    all.filter_map(|(leaf, trim)| trim_meant(problem, leaf, trim))
        .filter(|trim| !(trim.start.is_zero() && trim.end.is_zero()))
        .collect()
}

/// `trims` in the order they are cut, leaf by leaf, each with the reasons; those of a leaf that is not
/// described come last.
pub fn in_order(state: &OpeningState, trims: &[TrimMeant]) -> Vec<(TrimMeant, Vec<OrderReason>)> {
    let mut all = Vec::new();
    for leaf in state.leaves.iter().map(|said| &said.what) {
        let own: Vec<_> = trims.iter().filter(|trim| trim.leaf == leaf.leaf).collect();
        let edges: Vec<Edge> = own.iter().map(|trim| trim.edge).collect();
        for placed in order(&edges, leaf.hinge, construction(leaf)) {
            let trim = own.iter().find(|trim| trim.edge == placed.edge);
            all.extend(trim.map(|trim| ((*trim).clone(), placed.reasons)));
        }
    }
    let astray = trims.iter().filter(|trim| state.leaf(&trim.leaf).is_none());
    all.extend(astray.map(|trim| (trim.clone(), Vec::new())));
    all
}

/// The set-up for one trim of a leaf of these sizes, as asked for. `None` if the leaf is
/// not described.
pub fn sheet(
    state: &OpeningState,
    settings: &Settings,
    sizes: &Sizes,
    (trim, order): (TrimMeant, Vec<OrderReason>),
    asked: Asked,
) -> Option<Result<Sheet, JobError>> {
    let job = CutJob { lead: asked.lead, marks_every: asked.marks_every, ..sizes.job(state.leaf(&trim.leaf)?, &trim) };
    let kit = settings.kit();
    let sheet = match asked.method {
        Some(method) => propose_with(&job, &kit, method),
        None => propose(&job, &kit),
    };
    Some(sheet.map(|sheet| Sheet { trim, order, job, sheet }))
}

/// The set-ups for all `trims`, in the order they are cut, each for the leaf as the ones before leave it.
pub fn sheets(state: &OpeningState, settings: &Settings, trims: &[TrimMeant]) -> Vec<Result<Sheet, JobError>> {
    let mut sizes: Vec<(String, Sizes)> = Vec::new();
    let mut all = Vec::new();
    for (trim, order) in in_order(state, trims) {
        let known = sizes.iter().position(|(leaf, _)| *leaf == trim.leaf);
        let place = match known {
            Some(place) => place,
            None => match Sizes::of(state, &trim.leaf) {
                Some(now) => {
                    sizes.push((trim.leaf.clone(), now));
                    sizes.len() - 1
                }
                None => continue,
            },
        };
        let Some((_, now)) = sizes.get_mut(place) else { continue };
        let made = sheet(state, settings, now, (trim.clone(), order), Asked::default());
        let method = made.as_ref().and_then(|made| made.as_ref().ok()).map(|sheet| sheet.sheet.setup.method());
        now.take(&trim, method.map_or("by-hand", Method::word));
        all.extend(made);
    }
    all
}
