//! Set-up sheets for the trims of a plan: the leaf's sizes tracked through the cuts of its log, edges in
//! the order they are cut.

use crate::cut::job::{Adjoining, Construction, CutJob, JobError, Method};
use crate::cut::order::{OrderReason, order};
use crate::cut::setup::{SetupSheet, propose, propose_with};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::{Plan, Trim};
use crate::shop::OpeningState;
use crate::shop::event::{LeafDescribed, TrimMeant};
use crate::shop::settings::Settings;
use serde_json::{Map, Value};

/// Key of a cut's settings under which widths measured before it stand, lower or left end first.
pub const WIDTHS_MEASURED: &str = "widths_measured";

/// Sizes of a leaf at both ends, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Width at the bottom and at the top.
    pub width: [Inches; 2],
    /// Height at the left and at the right.
    pub height: [Inches; 2],
    /// Were the widths and the heights measured (and tracked since), or are they nominal?
    pub known: [bool; 2],
}

impl Sizes {
    /// As described, less every cut of the log since; `None` if there is no such leaf. What a cut took is
    /// what it was meant to take.
    pub fn of(state: &OpeningState, leaf: &str) -> Option<Self> {
        let said = state.leaves.iter().find(|said| said.what.leaf == leaf)?;
        let (width, height) = (Inches(said.what.width.inches()), Inches(said.what.height.inches()));
        let mut sizes = Self { width: [width; 2], height: [height; 2], known: [false; 2] };
        let mut cuts: Vec<_> = state.rounds.iter().flat_map(|round| &round.cuts).collect();
        cuts.sort_by_key(|cut| cut.n);
        for cut in cuts.into_iter().filter(|cut| cut.n > said.n && cut.what.intended.leaf == leaf) {
            if let Some(measured) = measured_in(&cut.what.settings) {
                sizes.measured(cut.what.intended.edge, measured);
            }
            sizes.take(&cut.what.intended);
        }
        Some(sizes)
    }

    fn across(&mut self, edge: Edge) -> (&mut [Inches; 2], &mut bool) {
        let [widths, heights] = &mut self.known;
        if edge.is_upright() { (&mut self.width, widths) } else { (&mut self.height, heights) }
    }

    /// Somebody measured from `edge` to the one opposite, at its lower or left end and at the other.
    pub fn measured(&mut self, edge: Edge, measured: [Length; 2]) {
        let (across, known) = self.across(edge);
        *across = measured.map(|length| Inches(length.inches()));
        *known = true;
    }

    /// Wood comes off.
    pub fn take(&mut self, trim: &TrimMeant) {
        let ([start, end], _) = self.across(trim.edge);
        start.0 -= trim.start.inches();
        end.0 -= trim.end.inches();
    }

    fn job(&self, leaf: &LeafDescribed, trim: &TrimMeant) -> CutJob {
        let (across, along, known) = if trim.edge.is_upright() {
            (self.width, self.height, self.known[0])
        } else {
            (self.height, self.width, self.known[1])
        };
        let [first, second] = along;
        let adjoining = |length| Adjoining { length, out_of_square: None };
        CutJob {
            edge: trim.edge,
            length: if matches!(trim.edge, Edge::Left | Edge::Bottom) { first } else { second },
            start: Inches(trim.start.inches()),
            end: Inches(trim.end.inches()),
            width_start: across[0],
            width_end: across[1],
            widths_known: known,
            adjoining: across.map(adjoining),
            hinge: leaf.hinge,
            construction: construction(leaf),
            no_contact: Vec::new(),
            lead: None,
            marks_every: None,
        }
    }
}

fn construction(leaf: &LeafDescribed) -> Construction {
    if leaf.solid { Construction::SolidAcross } else { Construction::Framed }
}

fn measured_in(settings: &Map<String, Value>) -> Option<[Length; 2]> {
    settings.get(WIDTHS_MEASURED).and_then(|value| serde_json::from_value(value.clone()).ok())
}

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

/// The set-up for one trim of a leaf of these sizes, by `method` if one is asked for. `None` if the leaf is
/// not described.
pub fn sheet(
    state: &OpeningState,
    settings: &Settings,
    sizes: &Sizes,
    (trim, order): (TrimMeant, Vec<OrderReason>),
    method: Option<Method>,
) -> Option<Result<Sheet, JobError>> {
    let job = sizes.job(state.leaf(&trim.leaf)?, &trim);
    let kit = settings.kit();
    let sheet = match method {
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
        all.extend(sheet(state, settings, now, (trim.clone(), order), None));
        now.take(&trim);
    }
    all
}
