//! From an opening's log to what is believed of it and what to do next: the one way by which the screen,
//! the commands and the simulated shop ask the model.
//!
//! - [`Told`]: the log's rounds as the estimate takes them. [`Told::estimate`]: what is believed after them.
//! - [`look`]: the advice on the latest round that was read. [`expecting`]: what the next reading is held against.
//! - [`retaken`], [`answer`]: what a second look makes of the first.

use super::accepted::{self, Accepted};
pub use super::passes_left::PassesLeft;
use super::sheets::{self, Several};
use crate::before::known::known_gaps;
use crate::before::survey::Shape;
use crate::cut::tools::finest_step;
use crate::fit::estimate::{
    Altered, Belief, CutMade, Estimate, EstimateError, Method, Round, RoundShown, Spreads, Standing, StaysHung,
    TakenReading, history_with, replay_with,
};
use crate::fit::learn::Learning;
use crate::fit::length::{Inches, Length, Unit};
use crate::fit::opening::{FitProblem, GapLine, Hanging, Leaf, Motion, Prefer};
use crate::fit::plan::Plan;
use crate::fit::policy::doubt;
use crate::fit::policy::{Advice, AdviceError, Ask, CutAdvice, Next, Policy, Risk, advise_by};
use crate::fit::reading::Reading;
use crate::shop::OpeningState;
use crate::shop::altered::Alteration;
use crate::shop::event::{CutDone, Event, ReadingJudged, Verdict};
use crate::shop::log::Trouble;
use crate::shop::making::SurveyTaken;
use crate::shop::problem::ProblemError;
use crate::shop::reckoned::By;
use crate::shop::replay::{self, Said};
use crate::shop::settings::Settings;
use serde_json::{Map, Value};

/// Stations of different rounds as near as this are one station (a cut edge moves its corner).
const SAME_STATION: (i64, i64) = (1, 4);

/// Why there is no advice.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LookError {
    /// The log cannot be trusted to its end: wood may be off that the readings do not know of.
    #[error("no cut is advised from this log: {0}")]
    Unsound(Trouble),
    /// Nothing was read yet.
    #[error("nothing is read yet")]
    NothingRead,
    /// The opening poses no problem yet.
    #[error(transparent)]
    Problem(#[from] ProblemError),
    /// The readings are those of a loose leaf.
    #[error("a leaf was hung after round {0} was read; read the gaps again as it hangs")]
    HungSince(u32),
    /// The readings are those of a leaf as it is no more.
    #[error("a leaf was altered after round {0} was read; read the gaps again")]
    AlteredSince(u32),
    /// The estimate could not be made.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
    /// The model found none.
    #[error(transparent)]
    Advice(#[from] AdviceError),
}

/// Where a reading of the estimate stands in the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Number of the event it came with.
    pub n: u64,
    /// Number of its round.
    pub round: u32,
    /// Place of its gap line.
    pub gap: usize,
    /// Its station, as the log has it.
    pub at: Length,
    /// What was read.
    pub reading: Reading,
}

/// The rounds of a log as the estimate takes them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// The leaves as described, before any cut.
    pub leaves: Vec<Leaf>,
    /// The gap lines, without readings.
    pub gaps: Vec<GapLine>,
    /// What tape and survey tell of the gaps.
    pub known: Vec<Option<[Belief; 2]>>,
    /// The rounds.
    pub rounds: Vec<Round>,
    /// Their numbers in the log.
    pub numbers: Vec<u32>,
    /// Where each reading stands in the log, in the order in which the estimate observes them.
    pub sources: Vec<Source>,
}

impl Told {
    /// Every round of the log up to number `last`.
    pub fn of(state: &OpeningState, last: u32) -> Result<Self, ProblemError> {
        let shape = state.shape(0, &Settings::default())?;
        let survey = state.survey.as_ref();
        let known = survey.and_then(|survey| surveyed(survey, &shape.leaves, &shape.gaps)).unwrap_or_default();
        let mut told = Self { leaves: shape.leaves, gaps: shape.gaps, known, ..Self::default() };
        // Their hinges as they stood when the latest of these rounds was read.
        let latest = last_read(state, last).unwrap_or(0);
        for leaf in &mut told.leaves {
            leaf.motion = state.motion_at(&leaf.id, latest);
        }
        for round in state.rounds.iter().filter(|round| round.number <= last) {
            told.add(state, round);
        }
        Ok(told)
    }

    fn add(&mut self, state: &OpeningState, round: &replay::Round) {
        let mut readings = Vec::with_capacity(round.taken.len());
        for one in &round.taken {
            let TakenReading { gap, reading, standing } = one.taken;
            let at = self.station(gap, reading.at);
            readings.push(TakenReading { gap, reading: Reading { at, ..reading }, standing });
            self.sources.push(Source { n: one.n, round: round.number, gap, at: reading.at, reading });
        }
        let cuts: Vec<CutMade> = round.cuts.iter().filter_map(|cut| made(state, &cut.what)).collect();
        let altered = round.altered.iter().filter_map(|said| self.altered(state, round, said)).collect();
        let hung = state.leaves.iter().enumerate().filter_map(|(leaf, described)| {
            let Motion::Hung(hanging) = &described.what.motion else { return None };
            // A leaf that was hung only after this round was read stood on props in it.
            state.hung_in(&described.what.leaf, round).then(|| stays_hung(leaf, hanging, &described.what.leaf, round))
        });
        let hung = hung.collect();
        self.rounds.push(Round { readings, cuts, hung, altered });
        self.numbers.push(round.number);
    }

    /// What is known of the gaps of a leaf once it was altered: no more than tape and survey tell.
    fn altered(&self, state: &OpeningState, round: &replay::Round, said: &Said<Alteration>) -> Option<Altered> {
        let leaf = self.leaves.iter().position(|leaf| leaf.id == said.what.leaf())?;
        let after = round.cuts.iter().filter(|cut| cut.n < said.n && made(state, &cut.what).is_some()).count();
        let now = |leaf: &Leaf| {
            let (width, height) = state.size_after(&leaf.id, said.n).unwrap_or((leaf.width, leaf.height));
            Leaf { width, height, ..leaf.clone() }
        };
        let leaves: Vec<Leaf> = self.leaves.iter().map(now).collect();
        let survey = state.survey.as_ref();
        let known = survey.and_then(|survey| surveyed(survey, &leaves, &self.gaps)).unwrap_or_default();
        Some(Altered { leaf, after, now: leaves.into_iter().nth(leaf)?, known })
    }

    /// The station of an earlier round that `at` stands for.
    fn station(&self, gap: usize, at: Length) -> Length {
        let near = Length::ratio(SAME_STATION.0, SAME_STATION.1);
        let readings = self.rounds.iter().flat_map(|round| &round.readings);
        let mut known = readings.filter(|taken| taken.gap == gap).map(|taken| taken.reading.at);
        known.find(|&there| there.checked_sub(at).is_some_and(|apart| apart.abs() <= near)).unwrap_or(at)
    }

    /// The same without what was cut or altered in the last round: the leaf as it was when that round was read.
    #[must_use]
    pub fn before_last_cuts(mut self) -> Self {
        if let Some(last) = self.rounds.last_mut() {
            last.cuts.clear();
            last.altered.clear();
        }
        self
    }

    /// What is believed after all of it.
    pub fn estimate(&self, spreads: Spreads) -> Result<Estimate, EstimateError> {
        replay_with(&self.leaves, &self.gaps, spreads, &self.known, &self.rounds)
    }

    /// Worst miss per round, and meant against taken per cut.
    pub fn history(&self, spreads: Spreads) -> Result<Vec<RoundShown>, EstimateError> {
        history_with(&self.leaves, &self.gaps, spreads, &self.known, &self.rounds)
    }
}

/// What the packs and screws of a round did to a leaf's axes.
fn stays_hung(leaf: usize, hanging: &Hanging, id: &str, round: &replay::Round) -> StaysHung {
    let (spreads, own) = (Spreads::default(), || round.packs.iter().filter(|pack| pack.what.leaf == id));
    let at = |hinge: Option<&Length>| {
        let packs = own().filter(|pack| Some(&pack.what.hinge) == hinge);
        spreads.packed(Inches(packs.map(|pack| pack.what.out.inches()).sum()))
    };
    let raised = spreads.packed(Inches(own().map(|pack| pack.what.up.inches()).sum()));
    StaysHung { leaf, axes: [at(hanging.hinges.iter().min()), raised, at(hanging.hinges.iter().max())] }
}

/// What tape and diagonals tell of the gaps; nothing where they contradict each other.
fn surveyed(survey: &SurveyTaken, leaves: &[Leaf], gaps: &[GapLine]) -> Option<Vec<Option<[Belief; 2]>>> {
    Some(known_gaps(&Shape::from_tape(&survey.tape()).ok()?, leaves, gaps))
}

/// A cut of the log as the estimate takes it: what was meant, with what the rounding of a set-up
/// followed as shown adds.
fn made(state: &OpeningState, cut: &CutDone) -> Option<CutMade> {
    let leaf = state.leaves.iter().position(|leaf| leaf.what.leaf == cut.intended.leaf)?;
    let [low, high] = rounding(&cut.settings);
    let meant = |length: Length, error: f64| Inches((length.inches() + error).max(0.0));
    Some(CutMade {
        leaf,
        edge: cut.intended.edge,
        start: meant(cut.intended.start, low),
        end: meant(cut.intended.end, high),
        method: method(&cut.method),
        allowed: allowed(cut),
    })
}

/// The factor that the set-up of a cut allowed for; 1 where it was not followed, or is from before that was kept.
fn allowed(cut: &CutDone) -> f64 {
    let followed = cut.settings.get("as_shown").and_then(Value::as_bool).unwrap_or(false);
    let by = if method(&cut.method) == Method::Saw { By::Saw } else { By::Plane };
    cut.intended.reckoned.as_ref().filter(|_| followed).map_or(1.0, |reckoned| reckoned.allowed(by))
}

/// How a method of the log errs.
pub fn method(word: &str) -> Method {
    match word {
        "rip" | "sled" | "guide-line" => Method::Saw,
        _ => Method::Plane,
    }
}

/// What the rounding of a set-up sheet adds at both ends; nothing where it was not followed.
fn rounding(settings: &Map<String, Value>) -> [f64; 2] {
    let followed = settings.get("as_shown").and_then(Value::as_bool).unwrap_or(false);
    let Some(setup) = settings.get("setup").filter(|_| followed) else { return [0.0; 2] };
    let part = ["fence_move", "stop_move"].iter().find_map(|key| setup.get(key)).unwrap_or(setup);
    let error = |key: &str| part.get(key).and_then(Value::as_f64).filter(|error| error.is_finite()).unwrap_or(0.0);
    [error("error_start"), error("error_end")]
}

/// What is assumed of reading and cutting: the starting guesses, with what this shop learned in their places.
pub fn spreads(learning: Option<&Learning>) -> Spreads {
    let prior = Spreads::default();
    learning.map_or(prior, |learning| learning.spreads(prior))
}

/// A choice between plans, beyond the shop's settings. By default it is the plan that was accepted, where there is
/// one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// Instead of the shop's preference.
    pub prefer: Option<Prefer>,
    /// Every edge that may be cut instead of the fewest.
    pub every_edge: bool,
    /// Worked out anew, whatever plan was accepted.
    pub anew: bool,
}

/// What the shop wants of this opening's fit.
pub fn policy(state: &OpeningState, settings: &Settings, choice: Choice) -> Policy {
    Policy {
        tolerance: state.tolerance.unwrap_or(settings.tolerance),
        risk: Risk { k: settings.risk_k },
        prefer: choice.prefer.unwrap_or(settings.prefer),
        every_edge: choice.every_edge,
        // As the set-up sheets have it, so that each depth is reckoned for the means that is proposed.
        saw_from: settings.kit().saw_from(),
        most_planed: settings.kit().saw_from(),
        saw_rounding: rounding_sd(settings),
        kerf: settings.kit().thinnest_kerf().map_or(Inches(f64::INFINITY), |kerf| Inches(kerf.inches())),
        ..Policy::default()
    }
}

/// Standard deviation of what rounding to the fence's finest move, or a mark's 1/128 (in millimetres as good as that:
/// a plan is the same in either unit), adds to a saw cut: uniform
/// over a step (GUM, JCGM 100:2008, 4.3.7), but no more than a set-up may be off by.
fn rounding_sd(settings: &Settings) -> Inches {
    let kit = settings.kit();
    let step = kit.saws.iter().map(|saw| saw.finest_move.inches()).fold(finest_step(Unit::Inch).inches(), f64::max);
    Inches((step / 2.0).min(kit.limits.rounding.0) / 3.0_f64.sqrt())
}

/// The advice on the latest round that was read, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Number of the round.
    pub round: u32,
    /// What is believed, standing in that round before any of its cuts.
    pub estimate: Estimate,
    /// What the shop wants.
    pub policy: Policy,
    /// What to do next.
    pub advice: Advice,
    /// The gaps as believed, as the planner was given them.
    pub problem: FitProblem,
    /// Where each reading stands in the log.
    pub sources: Vec<Source>,
    /// The accepted plan that this is, where one stands.
    pub accepted: Option<Accepted>,
    /// The cuts still to be made that take several passes.
    pub several: Vec<Several>,
    /// Passes that remained by the log that it rests on ([`Look::passes_left`]).
    pub left: Option<PassesLeft>,
}

/// Number of the latest round that was read, up to `last`.
pub fn last_read(state: &OpeningState, last: u32) -> Option<u32> {
    state.rounds.iter().filter(|round| round.is_read() && round.number <= last).map(|round| round.number).max()
}

/// The advice on the latest round that was read, before any of its cuts.
pub fn look(state: &OpeningState, settings: &Settings, spreads: Spreads, choice: Choice) -> Result<Look, LookError> {
    look_until(state, settings, spreads, choice, u32::MAX)
}

/// [`look`] as it was before any round after number `last`.
pub fn look_until(
    state: &OpeningState,
    settings: &Settings,
    spreads: Spreads,
    choice: Choice,
    last: u32,
) -> Result<Look, LookError> {
    // What is missing from a damaged log is not said of the opening.
    if let Some(trouble) = &state.trouble {
        return Err(LookError::Unsound(trouble.clone()));
    }
    // An opening without a description says so before it says that nothing was read.
    state.shape(0, settings)?;
    let round = last_read(state, last).ok_or(LookError::NothingRead)?;
    if last == u32::MAX && state.latest().is_some_and(|latest| latest.number == round && state.hung_after(latest)) {
        return Err(LookError::HungSince(round));
    }
    if last == u32::MAX && state.latest().is_some_and(|latest| latest.number == round && state.altered_after(latest)) {
        return Err(LookError::AlteredSince(round));
    }
    let told = Told::of(state, round)?.before_last_cuts();
    let estimate = told.estimate(spreads)?;
    let stands = accepted::of_round(state, round).filter(|_| !choice.anew);
    let choice = stands.map_or(choice, |plan| accepted::choice(&plan.what));
    let policy = policy(state, settings, choice);
    let problem = estimate.problem(policy.tolerance, policy.prefer);
    // As deep as the set-up may go that the sheet will show; by its depth alone where none can be made.
    let means = |cut: &CutAdvice| {
        let by_depth = if cut.aim[0].0.max(cut.aim[1].0) >= policy.saw_from.0 { Method::Saw } else { Method::Plane };
        sheets::means(state, settings, &problem, cut).unwrap_or_else(|| vec![by_depth, Method::Plane])
    };
    let mut advice = advise_by(&estimate, &policy, &means)?;
    let mut known = None;
    if stands.is_some()
        && let Some((own, accepted)) = accepted::stands(state, round, &advice, &estimate, &policy)?
    {
        (advice, known) = (own, Some(accepted));
    }
    let (sources, several) = (told.sources, Vec::new());
    let mut look = Look { round, estimate, policy, advice, problem, sources, accepted: known, several, left: None };
    look.several = sheets::several(&look, state, settings);
    look.left = look.passes_left(state);
    Ok(look)
}

/// What readings of round `round` are held against: all rounds before it with their cuts, and what was
/// read in it so far.
pub fn expecting(state: &OpeningState, spreads: Spreads, round: u32) -> Result<Estimate, LookError> {
    let told = Told::of(state, round)?;
    let mut estimate = told.estimate(spreads)?;
    if told.numbers.last().is_some_and(|&last| last != round) {
        estimate.new_round_after(told.rounds.last().map_or(&[][..], |last| &last.hung));
    }
    Ok(estimate)
}

/// Readings of one station that differ by less than this agree: a feeler and a half of 1/64.
pub const AGREE: f64 = 1.5 / 64.0;

/// How the first reading of a station stands once it was read again.
pub fn retaken(first: &Reading, second: &Reading) -> Standing {
    if (first.mean_inches() - second.mean_inches()).abs() < AGREE { Standing::KeptByUser } else { Standing::Struck }
}

/// The event that judges the doubted reading of `ask`; `None` if it is not a reading of the log.
pub fn answer(state: &OpeningState, sources: &[Source], ask: &Ask, verdict: Verdict) -> Option<Event> {
    let source = sources.get(ask.index?)?;
    let between = state.gaps.get(source.gap)?.between.clone();
    Some(Event::Judged(ReadingJudged { reading: source.n, between, at: source.at, verdict }))
}

impl Look {
    /// The plan to show: to the line, or what moving alone does where nothing more is to be cut.
    pub fn plan(&self) -> &Plan {
        self.advice.shown()
    }

    /// Does more than half of the doubt hang on the station of `ask`?
    pub fn hangs_on(&self, ask: &Ask) -> bool {
        doubt::share(&self.estimate, &self.advice.moved, &self.policy, (ask.gap, ask.at)) > 0.5
    }

    /// What the readings alone ask for next, whatever was accepted.
    pub fn unbound(&self) -> &Next {
        self.accepted.as_ref().map_or(&self.advice.next, |accepted| &accepted.now.next)
    }

    /// The cuts to make now; of an accepted plan all of them, also those that are done.
    pub fn cuts(&self) -> &[CutAdvice] {
        match self.advice.next {
            Next::Fitted | Next::Short | Next::Pack(_) => &[],
            _ => &self.advice.cuts,
        }
    }
}
