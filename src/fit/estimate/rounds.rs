//! Rounds as data, replayed into an estimate; the history that the screen draws.

use super::spreads::{Belief, Spreads};
use super::{Altered, Estimate, EstimateError};
use crate::fit::hung::AXES;
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, GapLine, Leaf};
use crate::fit::reading::Reading;

/// How wood is taken off, as far as its error goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// Against a fence or along a guide line: one setting, both ends err alike.
    Saw,
    /// By strokes: errs in proportion.
    Plane,
}

/// How a reading that was asked about stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Used; may be asked about.
    #[default]
    Plain,
    /// The user was asked and stands by it: used, not asked about again.
    KeptByUser,
    /// Taken back: remembered, not used.
    Struck,
}

/// A reading of one round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TakenReading {
    /// Place in the list of gap lines.
    pub gap: usize,
    /// What was read.
    pub reading: Reading,
    /// How it stands.
    pub standing: Standing,
}

/// A cut as it was meant, in real wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutMade {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Meant to come off the lower or left corner.
    pub start: Inches,
    /// Meant to come off the upper or right corner.
    pub end: Inches,
    /// By what means.
    pub method: Method,
    /// The factor that the set-up allowed for: the plane's for strokes, the tape's for pads; 1 where it went by
    /// the shop's own figures.
    pub allowed: f64,
}

impl CutMade {
    /// What strokes and layers were counted for, on the shop's own figures, at the lower or left corner and at
    /// the other: less than what is meant where they really take more. Nothing below zero.
    pub fn counted(&self) -> [f64; 2] {
        let meant = [self.start.0.max(0.0), self.end.0.max(0.0)];
        let allowed = if self.allowed > 0.0 { self.allowed } else { 1.0 };
        match self.method {
            Method::Plane => meant.map(|removal| removal / allowed),
            Method::Saw => {
                let shallow = meant[0].min(meant[1]);
                meant.map(|removal| shallow + (removal - shallow) / allowed)
            }
        }
    }
}

/// A cut against what it is thought to have taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutTaken {
    /// As it was meant.
    pub made: CutMade,
    /// The round it belongs to, from 1.
    pub round: usize,
    /// Taken off the lower or left corner.
    pub start: Belief,
    /// Taken off the upper or right corner.
    pub end: Belief,
    /// Nobody will know what it took: a leaf was altered before it was read again.
    pub lost: bool,
}

/// One trip to the cabinet and what was cut after it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Round {
    /// Readings in the order they were taken; one station may be read more than once.
    pub readings: Vec<TakenReading>,
    /// Cuts in the order they were made.
    pub cuts: Vec<CutMade>,
    /// Leaves that hang in the next round where they hung in this one, but for what their hinges got
    /// between. Of every other leaf nothing is known when it goes back.
    pub hung: Vec<StaysHung>,
    /// Leaves that were altered otherwise than by these cuts, in that order.
    pub altered: Vec<Altered>,
}

/// A leaf that stays on its hinges until the next round, and what was done to them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StaysHung {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Change of its axes: out at the lowest hinge, raised, out at the highest hinge (see
    /// [`crate::fit::hung`]).
    pub axes: [Belief; AXES],
}

/// The estimate after all of `rounds`, standing in the last of them.
pub fn replay(
    leaves: &[Leaf],
    gaps: &[GapLine],
    spreads: Spreads,
    rounds: &[Round],
) -> Result<Estimate, EstimateError> {
    replay_with(leaves, gaps, spreads, &[], rounds)
}

/// [`replay`] from gaps known by tape or survey (see [`Estimate::begin_with`]).
pub fn replay_with(
    leaves: &[Leaf],
    gaps: &[GapLine],
    spreads: Spreads,
    known: &[Option<[Belief; 2]>],
    rounds: &[Round],
) -> Result<Estimate, EstimateError> {
    let mut estimate = Estimate::begin_with(leaves, gaps, spreads, known)?;
    for (place, round) in rounds.iter().enumerate() {
        if let Some(before) = place.checked_sub(1).and_then(|before| rounds.get(before)) {
            estimate.new_round_after(&before.hung);
        }
        for taken in &round.readings {
            estimate.observe_as(taken.gap, &taken.reading, taken.standing)?;
        }
        let mut altered = round.altered.iter().peekable();
        for (made, cut) in round.cuts.iter().enumerate() {
            while let Some(next) = altered.next_if(|next| next.after <= made) {
                estimate.alter(next)?;
            }
            estimate.cut(cut)?;
        }
        altered.try_for_each(|next| estimate.alter(next))?;
    }
    Ok(estimate)
}

/// A round as the history shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundShown {
    /// From 1.
    pub round: usize,
    /// Largest miss among this round's gaps as estimated with all that is known now, leaves as they
    /// sat; `None` where nothing was read.
    pub as_it_sat: Option<Inches>,
    /// Largest miss with the leaves moved by least squares toward their reveals (a moved leaf is what
    /// the series is about: how it sat says nothing of its fit).
    pub moved: Option<Inches>,
    /// Its cuts, meant and taken, with what later rounds say.
    pub cuts: Vec<CutTaken>,
    /// Readings struck.
    pub struck: usize,
}

/// Worst miss per round and meant against taken per cut, from all rounds together.
pub fn history(
    leaves: &[Leaf],
    gaps: &[GapLine],
    spreads: Spreads,
    rounds: &[Round],
) -> Result<Vec<RoundShown>, EstimateError> {
    history_with(leaves, gaps, spreads, &[], rounds)
}

/// [`history`] from gaps known by tape or survey (see [`Estimate::begin_with`]).
pub fn history_with(
    leaves: &[Leaf],
    gaps: &[GapLine],
    spreads: Spreads,
    known: &[Option<[Belief; 2]>],
    rounds: &[Round],
) -> Result<Vec<RoundShown>, EstimateError> {
    let taken = replay_with(leaves, gaps, spreads, known, rounds)?.taken();
    let mut shown = Vec::with_capacity(rounds.len());
    for (place, round) in rounds.iter().enumerate() {
        let mut seen: Vec<Round> = rounds.iter().take(place + 1).cloned().collect();
        if let Some(last) = seen.last_mut() {
            last.cuts.clear();
            last.altered.clear();
        }
        let then = replay_with(leaves, gaps, spreads, known, &seen)?;
        let stations: Vec<(usize, Length)> =
            (0..gaps.len()).flat_map(|gap| then.stations(gap).into_iter().map(move |at| (gap, at))).collect();
        let misses = then.misses(&stations)?;
        let largest = |list: &[f64]| list.iter().map(|miss| miss.abs()).reduce(f64::max).map(Inches);
        let read = |standing: Standing| round.readings.iter().filter(|taken| taken.standing == standing).count();
        let any = read(Standing::Struck) < round.readings.len();
        shown.push(RoundShown {
            round: place + 1,
            as_it_sat: if any { largest(&misses) } else { None },
            moved: if any { largest(&then.settled(&stations, &misses)?) } else { None },
            cuts: taken.iter().filter(|cut| cut.round == place + 1).copied().collect(),
            struck: read(Standing::Struck),
        });
    }
    Ok(shown)
}
