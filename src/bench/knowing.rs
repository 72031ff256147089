//! Questions that are worked out as effects and answered as messages: what to do next in an opening, why the
//! passes changed, what a history teaches.

use super::rounds::{self, Choice, Look, LookError};
use super::seen::OpeningSeen;
use super::sheets::{self, Sheet};
use super::taken::{RoundSeen, history};
use crate::cut::job::JobError;
use crate::fit::estimate::Method;
use crate::fit::learn::{Evidence, Learning, learn_from, trend};
use crate::fit::length::Inches;
use crate::fit::opening::Edge;
use crate::fit::policy::Spread;
use crate::shop::OpeningState;
use crate::shop::settings::Settings;

/// A question: what to do next in this opening?
#[derive(Clone, Debug, PartialEq)]
pub struct LookAsked {
    /// Its name.
    pub opening: String,
    /// What its log amounts to.
    pub state: OpeningState,
    /// What the shop owns and prefers.
    pub settings: Settings,
    /// Between plans.
    pub choice: Choice,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct LookAnswer {
    /// The opening's name.
    pub opening: String,
    /// Number of the last event it rests on.
    pub last: u64,
    /// What the shop owned and preferred then.
    pub settings: Settings,
    /// Between plans.
    pub choice: Choice,
    /// What to do next.
    pub answer: Result<Look, LookError>,
    /// Set-ups for the cuts to make now.
    pub setups: Vec<Result<Sheet, JobError>>,
    /// Why the passes that remain are not what they were a round ago.
    pub change: Option<Change>,
    /// What each round left and each cut took.
    pub history: Vec<RoundSeen>,
}

impl LookAnswer {
    /// Is it of `opened` as it is now, under these settings? A worker may answer after any of them changed.
    pub fn is_of(&self, opened: &OpeningSeen, settings: &Settings) -> bool {
        self.opening == opened.name && self.last == opened.state.last && self.settings == *settings
    }
}

/// How the passes changed since the round before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Trips that remained then.
    pub was: Spread,
    /// Trips that remain now.
    pub now: Spread,
    /// Why.
    pub because: Because,
}

/// What made the difference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Because {
    /// This cut took more (above zero) or less than was asked, at its worst end.
    Cut {
        /// Place in the list of leaves.
        leaf: usize,
        /// Which edge.
        edge: Edge,
        /// Taken less asked.
        by: Inches,
    },
    /// Everything came out as asked.
    AsAsked,
}

/// Less than this is as asked: below what a feeler tells.
const AS_ASKED: f64 = 0.002;

/// Answers a question with these spreads.
pub fn answer(asked: &LookAsked, spreads: crate::fit::estimate::Spreads) -> LookAnswer {
    let LookAsked { opening, state, settings, choice } = asked;
    let found = rounds::look(state, settings, spreads, *choice);
    let change = found.as_ref().ok().and_then(|look| change(asked, look, spreads));
    let setups = found
        .as_ref()
        .map_or_else(|_| Vec::new(), |look| sheets::sheets(state, settings, &sheets::to_make(look, state)));
    LookAnswer {
        opening: opening.clone(),
        last: state.last,
        settings: settings.clone(),
        choice: *choice,
        answer: found,
        setups,
        change,
        history: history(state, spreads),
    }
}

fn change(asked: &LookAsked, look: &Look, spreads: crate::fit::estimate::Spreads) -> Option<Change> {
    let before = look.round.checked_sub(1).and_then(|last| rounds::last_read(&asked.state, last))?;
    let then = rounds::look_until(&asked.state, &asked.settings, spreads, asked.choice, before).ok()?;
    let was = then.advice.passes.as_ref()?.trips;
    let now = look.passes_left(&asked.state)?.trips;
    let taken = look.estimate.taken();
    let off = |cut: &crate::fit::estimate::CutTaken| {
        [cut.start.mean.0 - cut.made.start.0, cut.end.mean.0 - cut.made.end.0]
            .into_iter()
            .max_by(|a, b| a.abs().total_cmp(&b.abs()))
            .unwrap_or(0.0)
    };
    let last_round = taken.iter().map(|cut| cut.round).max();
    let worst =
        taken.iter().filter(|cut| Some(cut.round) == last_round).max_by(|a, b| off(a).abs().total_cmp(&off(b).abs()));
    let because = match worst {
        Some(cut) if off(cut).abs() >= AS_ASKED => {
            Because::Cut { leaf: cut.made.leaf, edge: cut.made.edge, by: Inches(off(cut)) }
        }
        _ => Because::AsAsked,
    };
    Some(Change { was, now, because })
}

/// What was learned of the shop's tools.
#[derive(Clone, Debug, PartialEq)]
pub struct Learned {
    /// Prior, posterior, and how many cuts each rests on.
    pub learning: Learning,
    /// Taken against meant at the saw and with the plane: intercept in inches, slope, and how far cut ends
    /// lie off that line.
    pub trends: [TrendSeen; 2],
    /// How many openings had a cut to learn from.
    pub openings: usize,
    /// Since when, where it was set back.
    pub since: Option<String>,
}

/// Taken against meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrendSeen {
    /// Taken where nothing is meant to come off.
    pub intercept: Inches,
    /// Taken per inch meant.
    pub slope: f64,
    /// Standard deviation of cut ends about the line; none with fewer than three.
    pub residual: Option<Inches>,
}

impl Learned {
    /// From what was noted of each opening.
    pub fn of<'a>(evidence: impl Iterator<Item = &'a Evidence> + Clone, since: Option<String>) -> Self {
        let seen = |method: Method| {
            let trend = trend(evidence.clone(), method);
            let (intercept, slope) = trend.line();
            TrendSeen { intercept: Inches(intercept), slope, residual: trend.residual_sd().map(Inches) }
        };
        Self {
            learning: learn_from(&rounds::spreads(None), evidence.clone()),
            trends: [seen(Method::Saw), seen(Method::Plane)],
            openings: evidence.count(),
            since,
        }
    }
}

/// What an opening tells of the shop's tools: of its rounds begun after `since` (times are whole seconds: a tie is before); `None` if nothing was
/// cut in them.
pub fn evidence(state: &OpeningState, since: Option<&str>) -> Option<Evidence> {
    let mut told = rounds::Told::of(state, u32::MAX).ok()?;
    if let Some(since) = since {
        // A round counts whole or not at all: from the first one none of whose events is older.
        let began = |number: u32| {
            let round = state.round(number)?;
            let cuts = round.cuts.iter().map(|cut| cut.at.as_str());
            cuts.chain(round.taken.iter().map(|one| one.when.as_str())).min()
        };
        let first = told.numbers.iter().position(|&number| began(number).is_some_and(|at| at > since))?;
        told.rounds.drain(..first);
        told.numbers.drain(..first);
        told.known.clear();
    }
    // What a cut took is only known once the leaf was read again.
    let told = told.before_last_cuts();
    if told.rounds.iter().all(|round| round.cuts.is_empty()) {
        return None;
    }
    told.estimate(rounds::spreads(None)).ok().map(|estimate| Evidence::of(&estimate))
}
