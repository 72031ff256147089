//! Set-up sheets for the trims of a plan: the leaf's sizes tracked through the cuts of its log and then through the
//! cuts that come before on the same leaf. One walk for batch, card, commands and the sheet on the screen.

use crate::cut::job::{CutJob, End, JobError, Method};
use crate::cut::order::{OrderReason, order};
use crate::cut::passes::staged;
use crate::cut::setup::{SetupSheet, propose};
use crate::fit::estimate;
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::{Plan, Trim};
use crate::fit::policy::CutAdvice;
use crate::shop::OpeningState;
use crate::shop::event::TrimMeant;
use crate::shop::settings::Settings;

use super::accepted;
use super::allowing;
pub use super::leaf_sizes::Sizes;
use super::rounds::Look;

/// One of several passes over one edge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pass {
    /// Which one, from 1.
    pub number: u32,
    /// How many there are.
    pub of: u32,
    /// What is left to take after it.
    pub rest: TrimMeant,
}

impl Pass {
    /// Is the edge done after it?
    pub fn is_last(&self) -> bool {
        self.number >= self.of
    }
}

/// One trim of a plan with its set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What this set-up takes: the trim, or the part of it for this pass.
    pub trim: TrimMeant,
    /// Which pass it is, where the trim takes several.
    pub pass: Option<Pass>,
    /// Why it is cut when it is.
    pub order: Vec<OrderReason>,
    /// Edges of the leaf that are still to be cut and come before: the set-up is for the leaf once they are cut.
    pub after: Vec<Edge>,
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
    Some(TrimMeant { leaf: leaf.id.clone(), edge: trim.edge, start, end, reckoned: None })
}

/// The trims of a plan that take any wood, as events have them.
pub fn trims_meant(problem: &FitProblem, plan: &Plan) -> Vec<TrimMeant> {
    let leaves = plan.leaves.iter().enumerate();
    let all = leaves.flat_map(|(leaf, part)| part.trims.iter().map(move |trim| (leaf, trim)));
    all.filter_map(|(leaf, trim)| trim_meant(problem, leaf, trim)).filter(|trim| !trim.is_nothing()).collect()
}

/// What the cuts of `look` are to take now, as events have it.
pub fn aims(look: &Look) -> Vec<TrimMeant> {
    look.cuts().iter().filter_map(|cut| allowing::trim(&look.problem, cut)).collect()
}

/// What is still to be taken off: what the accepted plan leaves after the cuts and passes in the log, exactly as it was
/// accepted; where none stands, the cuts of the advice.
pub fn to_make(look: &Look, state: &OpeningState) -> Vec<TrimMeant> {
    match &look.accepted {
        Some(_) if state.current_round() == look.round => state.to_cut(),
        Some(_) => Vec::new(),
        None => anew(look, state),
    }
}

/// What the advice would still take off, whatever was accepted: less what the log took of the accepted plan. Where wood
/// came off without one nothing is: the advice is for the leaf as it was read, and would take that wood again.
fn anew(look: &Look, state: &OpeningState) -> Vec<TrimMeant> {
    match state.round(look.round).filter(|round| !round.cuts.is_empty()) {
        Some(round) if accepted::standing(state, look.round).is_some() => round.rest_of(&aims(look)),
        Some(_) => Vec::new(),
        None => aims(look),
    }
}

/// A cut that takes several passes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Several {
    /// The leaf's short name.
    pub leaf: String,
    /// The edge.
    pub edge: Edge,
    /// How many passes it still takes.
    pub passes: u32,
}

/// The cuts still to be made that take several passes.
pub fn several(look: &Look, state: &OpeningState, settings: &Settings) -> Vec<Several> {
    let trims = to_make(look, state);
    let kerf = settings.kit().thinnest_kerf();
    if kerf.is_none_or(|kerf| trims.iter().all(|trim| trim.start.max(trim.end) <= kerf)) {
        return Vec::new();
    }
    let each = by_trim(state, settings, &trims).into_iter();
    let passes = |made: &[Result<Sheet, JobError>]| u32::try_from(made.len()).unwrap_or(u32::MAX);
    let several = each.filter(|(_, made)| made.len() > 1);
    several.map(|(trim, made)| Several { passes: passes(&made), leaf: trim.leaf, edge: trim.edge }).collect()
}

/// The method of the sheet that is shown for this edge; none where there is no set-up.
pub fn method_for(setups: &[Result<Sheet, JobError>], leaf: &str, edge: Edge) -> Option<Method> {
    let mut known = setups.iter().flatten();
    known.find(|sheet| sheet.trim.leaf == leaf && sheet.trim.edge == edge).map(|sheet| sheet.sheet.setup.method())
}

/// `trims` in the order they are cut, leaf by leaf, each with the reasons, which reckon with the edges cut since the
/// gaps were read; those of a leaf that is not described come last.
pub fn in_order(state: &OpeningState, trims: &[TrimMeant]) -> Vec<(TrimMeant, Vec<OrderReason>)> {
    let mut all = Vec::new();
    for leaf in state.leaves.iter().map(|said| &said.what) {
        let own: Vec<_> = trims.iter().filter(|trim| trim.leaf == leaf.leaf).collect();
        if own.is_empty() {
            continue;
        }
        let is_cut = |edge: Edge| state.latest().is_some_and(|round| round.is_cut(&leaf.leaf, edge));
        let is_own = |edge: Edge| own.iter().any(|trim| trim.edge == edge);
        let edges: Vec<Edge> = Edge::ALL.into_iter().filter(|&edge| is_own(edge) || is_cut(edge)).collect();
        for placed in order(&edges, leaf.hinge, state.made(&leaf.leaf)) {
            let trim = own.iter().find(|trim| trim.edge == placed.edge);
            all.extend(trim.map(|trim| ((*trim).clone(), placed.reasons)));
        }
    }
    let astray = trims.iter().filter(|trim| state.leaf(&trim.leaf).is_none());
    all.extend(astray.map(|trim| (trim.clone(), Vec::new())));
    all
}

/// By what means the shop can do a cut of the advice, the one it would use first: as its ranking has it among
/// the methods that suit the depth and are not refused. `None` where no set-up can be made for it.
pub fn means(
    state: &OpeningState,
    settings: &Settings,
    problem: &FitProblem,
    cut: &CutAdvice,
) -> Option<Vec<estimate::Method>> {
    let trim = allowing::trim(problem, cut)?;
    let job = Sizes::of(state, &trim.leaf)?.job(state.leaf(&trim.leaf)?, &trim);
    let tools = trim.reckoned.as_ref().map(|reckoned| allowing::as_known(settings, reckoned))?;
    let sheet = propose(&job, &tools.kit()).ok()?;
    let methods = std::iter::once(sheet.setup.method()).chain(sheet.others);
    Some(methods.map(|method| super::rounds::method(method.word())).collect())
}

/// One of `passes` even shares.
fn share(trim: &TrimMeant, passes: u32) -> TrimMeant {
    let part = |whole: Length| whole.checked_scale(1, i64::from(passes.max(1))).unwrap_or(whole);
    let mut now = TrimMeant { start: part(trim.start), end: part(trim.end), ..trim.clone() };
    if let Some(reckoned) = &mut now.reckoned {
        reckoned.otherwise = reckoned.otherwise.map(part);
    }
    now
}

/// The set-ups for all `trims`, in the order they are cut, each for the leaf as the ones before leave it;
/// one for each pass where a trim takes several. `trims` are what is still to be taken ([`to_make`]).
pub fn sheets(state: &OpeningState, settings: &Settings, trims: &[TrimMeant]) -> Vec<Result<Sheet, JobError>> {
    by_trim(state, settings, trims).into_iter().flat_map(|(_, made)| made).collect()
}

/// [`sheets`], those of one trim together; a trim of a leaf that is not described is left out.
pub fn by_trim(
    state: &OpeningState,
    settings: &Settings,
    trims: &[TrimMeant],
) -> Vec<(TrimMeant, Vec<Result<Sheet, JobError>>)> {
    let mut leaves: Vec<(String, Walk<'_>)> = Vec::new();
    let mut all = Vec::new();
    for (trim, order) in in_order(state, trims) {
        let known = leaves.iter().position(|(leaf, _)| *leaf == trim.leaf);
        if known.is_none() {
            leaves.extend(Walk::from(state, settings, &trim.leaf).map(|walk| (trim.leaf.clone(), walk)));
        }
        let place = known.unwrap_or(leaves.len().saturating_sub(1));
        let Some((_, walk)) = leaves.get_mut(place).filter(|(leaf, _)| *leaf == trim.leaf) else { continue };
        let made = walk.cut(&trim, &order, Asked::default());
        all.push((trim, made));
    }
    all
}

/// The set-up for the cut of this edge among `trims`, which are what is still to be taken, with what is `asked` of
/// each of them; for the first pass that is left where it takes several. As [`sheets`] has it: for the leaf as the
/// trims before it leave it. `None` if the leaf is not described or the edge is not among them.
pub fn of_cut(
    state: &OpeningState,
    settings: &Settings,
    trims: &[TrimMeant],
    (leaf, edge): (&str, Edge),
    asked: &dyn Fn(Edge) -> Asked,
) -> Option<Result<Sheet, JobError>> {
    let mut walk = Walk::from(state, settings, leaf)?;
    for (trim, order) in in_order(state, trims).into_iter().filter(|(trim, _)| trim.leaf == leaf) {
        if trim.edge == edge {
            return walk.next_pass(&trim, &order, asked(edge), passes_made(state, &trim));
        }
        walk.cut(&trim, &order, asked(trim.edge));
    }
    None
}

fn passes_made(state: &OpeningState, trim: &TrimMeant) -> u32 {
    state.latest().map_or(0, |round| round.passes_made(trim))
}

/// A leaf on its way through the cuts that are left of it.
struct Walk<'a> {
    state: &'a OpeningState,
    settings: &'a Settings,
    /// As the cuts so far leave it.
    sizes: Sizes,
    /// The edges cut on the way.
    after: Vec<Edge>,
}

impl<'a> Walk<'a> {
    /// The leaf as its log has it; `None` if there is no such leaf.
    fn from(state: &'a OpeningState, settings: &'a Settings, leaf: &str) -> Option<Self> {
        Some(Self { state, settings, sizes: Sizes::of(state, leaf)?, after: Vec::new() })
    }

    /// The set-ups for all passes that are left of one trim; it is off after that.
    fn cut(&mut self, trim: &TrimMeant, order: &[OrderReason], asked: Asked) -> Vec<Result<Sheet, JobError>> {
        let mut made = passes_made(self.state, trim);
        let mut left = Some(trim.clone());
        let mut all = Vec::new();
        while let Some(trim) = left {
            let one = self.next_pass(&trim, order, asked, made);
            let sheet = one.as_ref().and_then(|one| one.as_ref().ok());
            let taken = sheet.map_or_else(|| trim.clone(), |sheet| sheet.trim.clone());
            self.sizes.take(&taken, sheet.map_or("by-hand", |sheet| sheet.sheet.setup.method().word()));
            let rest = sheet.and_then(|sheet| sheet.pass.as_ref()).filter(|pass| !pass.is_last());
            left = rest.map(|pass| pass.rest.clone());
            all.extend(one);
            made = made.saturating_add(1);
        }
        self.after.push(trim.edge);
        all
    }

    /// The set-up for what is left of a trim, of which `made` passes are made; nothing comes off.
    fn next_pass(
        &self,
        trim: &TrimMeant,
        order: &[OrderReason],
        asked: Asked,
        made: u32,
    ) -> Option<Result<Sheet, JobError>> {
        let leaf = self.state.leaf(&trim.leaf)?;
        Some(allowing::sheet(self.settings, trim, asked.method, &|trim, tools, method| {
            let job = CutJob { lead: asked.lead, marks_every: asked.marks_every, ..self.sizes.job(leaf, trim) };
            let staged = staged(&job, &tools.kit(), method)?;
            let now = share(trim, staged.passes);
            let pass =
                Pass { number: made.saturating_add(1), of: made.saturating_add(staged.passes), rest: trim.less(&now) };
            let pass = (pass.of > 1).then_some(pass);
            let (order, after) = (order.to_vec(), self.after.clone());
            Ok(Sheet { trim: now, pass, order, after, job: staged.job, sheet: staged.sheet })
        }))
    }
}
