//! Questions that are worked out as effects and answered as messages: what to do next in an opening, why the
//! passes changed, what a history teaches.

use super::rounds::{self, Choice, Look, LookError};
use super::seen::OpeningSeen;
use super::sheets::{self, Sheet};
use super::taken::{RoundSeen, history};
use crate::cut::job::JobError;
use crate::fit::estimate::{CutTaken, Method};
use crate::fit::learn::{Evidence, Learning, learn_from, trend};
use crate::fit::length::Inches;
use crate::fit::opening::Edge;
use crate::fit::policy::Spread;
use crate::shop::OpeningState;
use crate::shop::settings::Settings;
use std::cmp::Ordering;

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
    /// This edge lost more (above zero) or less than was asked, all its passes together, at its worst end: and so
    /// fewer trips are left, or more.
    Cut {
        /// Place in the list of leaves.
        leaf: usize,
        /// Which edge.
        edge: Edge,
        /// Taken less asked.
        by: Inches,
    },
    /// One trip less is left, and everything came out as asked.
    AsAsked,
    /// One trip less is left, as was to be expected.
    TripMade,
    /// Nothing was cut in between.
    NothingCut,
    /// A leaf was altered in between: these are other edges.
    Altered,
    /// No cut explains it: what was read since does.
    ReadSince,
}

/// Less than this is as asked: below what a feeler tells.
const AS_ASKED: f64 = 0.002;

/// What the cuts of one round took beyond what was asked of an edge, all its passes together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeOff {
    /// Place in the list of leaves.
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// At its lower or left end, and at the other.
    pub by: [Inches; 2],
}

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
    if asked.state.round(before).is_some_and(|round| !round.altered.is_empty()) {
        return Some(Change { was, now, because: Because::Altered });
    }
    // The estimate numbers the rounds of the log in their order.
    let place = asked.state.rounds.iter().position(|round| round.number == before)?;
    let cuts = look.estimate.taken().into_iter().filter(|cut| cut.round == place + 1);
    let because = because(was, now, &off(cuts));
    Some(Change { was, now, because })
}

/// What these cuts took beyond what was asked, for each edge.
fn off(cuts: impl Iterator<Item = CutTaken>) -> Vec<EdgeOff> {
    let mut all: Vec<EdgeOff> = Vec::new();
    for cut in cuts {
        let (leaf, edge) = (cut.made.leaf, cut.made.edge);
        let by = [cut.start.mean.0 - cut.made.start.0, cut.end.mean.0 - cut.made.end.0];
        match all.iter_mut().find(|one| one.leaf == leaf && one.edge == edge) {
            Some(one) => one.by.iter_mut().zip(by).for_each(|(sum, by)| sum.0 += by),
            None => all.push(EdgeOff { leaf, edge, by: by.map(Inches) }),
        }
    }
    all
}

/// Why `now` trips are left where `was` were a round ago, the edges cut in between being `off` by so much. What took
/// more explains only that fewer are left than one trip less, what took less only that more are.
pub fn because(was: Spread, now: Spread, off: &[EdgeOff]) -> Because {
    let ends = off.iter().flat_map(|one| one.by.map(|by| (one.leaf, one.edge, by)));
    let expected = was.median.saturating_sub(1);
    if off.is_empty() {
        return Because::NothingCut;
    }
    let (worst, explains) = match now.median.cmp(&expected) {
        Ordering::Equal if off.iter().all(|one| one.by.iter().all(|by| by.0.abs() < AS_ASKED)) => {
            return Because::AsAsked;
        }
        Ordering::Equal => return Because::TripMade,
        Ordering::Greater => (ends.min_by(|a, b| a.2.0.total_cmp(&b.2.0)), -1.0),
        Ordering::Less => (ends.max_by(|a, b| a.2.0.total_cmp(&b.2.0)), 1.0),
    };
    match worst {
        Some((leaf, edge, by)) if by.0 * explains >= AS_ASKED => Because::Cut { leaf, edge, by },
        _ => Because::ReadSince,
    }
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
        for altered in told.rounds.drain(..first).flat_map(|round| round.altered) {
            if let Some(leaf) = told.leaves.get_mut(altered.leaf) {
                *leaf = altered.now;
            }
        }
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
