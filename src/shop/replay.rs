//! What an opening's events amount to. A pure function: equal events give equal states.

use super::altered::Alteration;
use super::contents::{Contents, Trouble};
use super::event::{
    CutDone, DepthTurned, Event, FinishApplied, FlushRead, GapWanted, HingePacked, LeafDescribed, Note,
    OpeningMeasured, PlanAccepted, ReadingStored, ReadingsTaken, Record, SurveyTaken,
};
use super::facing;
use super::hanging::HungSince;
use super::making::Making;
use super::measured::LeafMeasured;
use super::stage::{Known, Standing, stage_of};
pub use super::stage::{Stage, Unsound};
use super::taken::StationTaken;
use crate::fit::length::Length;
use crate::fit::opening::Edge;
use crate::fit::reading::{Reading, Value};
use std::collections::BTreeMap;

/// Something that an event said, with the event's number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said<T> {
    /// The event's number.
    pub n: u64,
    /// When it was kept.
    pub at: String,
    /// What it said.
    pub what: T,
}

/// A reading that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StationRead {
    /// Number of the event it came with.
    pub n: u64,
    /// What was read, and where.
    pub reading: Reading,
}

/// One trip to the cabinet.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// Its number, from 1 (0: before the leaf was first read).
    pub number: u32,
    /// For each gap line of the opening (same order), its readings along the line: of each station the
    /// latest that is not struck.
    pub readings: Vec<Vec<StationRead>>,
    /// Every reading in the order taken, second looks and struck ones too; not those that a later one
    /// of the same station replaced.
    pub taken: Vec<StationTaken>,
    /// The plan accepted last.
    pub plan: Option<Said<PlanAccepted>>,
    /// Cuts done, oldest first.
    pub cuts: Vec<Said<CutDone>>,
    /// Hinges packed or let in, oldest first.
    pub packs: Vec<Said<HingePacked>>,
    /// Leaves altered otherwise than by its cuts, oldest first.
    pub altered: Vec<Said<Alteration>>,
}

impl Round {
    /// Has it any reading that counts?
    pub fn is_read(&self) -> bool {
        self.readings.iter().any(|gap| !gap.is_empty())
    }

    /// Number of readings that count.
    pub fn stations(&self) -> usize {
        self.readings.iter().map(Vec::len).sum()
    }
}

/// What the events of one opening amount to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OpeningState {
    /// Tolerance of this opening, where it differs from the shop's.
    pub tolerance: Option<Length>,
    /// Tape and diagonals, where measured.
    pub survey: Option<SurveyTaken>,
    /// What was kept before a leaf hangs.
    pub making: Making,
    /// Has the opening been described?
    pub described: bool,
    /// Its gap lines.
    pub gaps: Vec<GapWanted>,
    /// Its leaves as last described, in the order first described.
    pub leaves: Vec<Said<LeafDescribed>>,
    /// Leaves that hang, by short name.
    pub hung: BTreeMap<String, HungSince>,
    /// Its rounds by number, lowest first; the last one is the current one.
    pub rounds: Vec<Round>,
    /// Leaves measured for their set-ups, oldest first.
    pub measured: Vec<Said<LeafMeasured>>,
    /// Proud and shy at the corners, oldest first.
    pub flush: Vec<Said<FlushRead>>,
    /// Depth screws turned, oldest first.
    pub depths: Vec<Said<DepthTurned>>,
    /// Finish applied, oldest first.
    pub finishes: Vec<Said<FinishApplied>>,
    /// Notes, oldest first.
    pub notes: Vec<Said<Note>>,
    /// Events that do not count, and the strike that took each back.
    pub struck: BTreeMap<u64, u64>,
    /// Events that count but speak of a leaf or gap line that is not (or no longer) described, with why.
    pub astray: Vec<(u64, String)>,
    /// Number of the last event.
    pub last: u64,
    /// Why the log cannot be trusted to its end, if so: nothing is advised from such a state, since wood may have
    /// come off that it does not know of.
    pub trouble: Option<Trouble>,
}

impl OpeningState {
    /// Replays `records`, oldest first.
    pub fn replay(records: &[Record]) -> Self {
        let struck = struck_by(records);
        let mut state = Self { last: records.last().map_or(0, |record| record.n), ..Self::default() };
        let counts = |record: &&Record| !struck.contains_key(&record.n);
        // First what there is, then what was done with it: a later description holds for all.
        for record in records.iter().filter(counts) {
            match &record.event {
                Event::Opening(measured) => state.measured(measured),
                Event::Leaf(leaf) => state.leaf_described(said(record, leaf.clone())),
                Event::Hung(told) => state.take_hung(record.n, told),
                Event::Remade(remade) => state.take_remade(record.n, remade),
                _ => state.take_making(record),
            }
        }
        for record in records.iter().filter(counts) {
            if let Err(why) = state.take(record) {
                state.astray.push((record.n, why));
            }
        }
        state.rounds.sort_by_key(|round| round.number);
        state.struck = struck;
        state
    }

    /// What a file's content amounts to, with what is wrong with it.
    pub fn of(contents: &Contents) -> Self {
        Self { trouble: contents.trouble.clone(), ..Self::replay(&contents.records) }
    }

    fn measured(&mut self, measured: &OpeningMeasured) {
        self.described = true;
        self.tolerance = measured.tolerance;
        // A description without a survey leaves the one there is.
        self.survey = measured.survey.clone().or_else(|| self.survey.take());
        self.making.to_come.clone_from(&measured.leaves);
        self.making.finished.clear();
        self.gaps.clone_from(&measured.gaps);
    }

    fn leaf_described(&mut self, leaf: Said<LeafDescribed>) {
        let (n, id) = (leaf.n, leaf.what.leaf.clone());
        self.size_described(&leaf.what);
        match self.leaves.iter_mut().find(|known| known.what.leaf == id) {
            Some(known) => *known = leaf,
            None => self.leaves.push(leaf),
        }
        self.hangs(n, &id);
    }

    fn take(&mut self, record: &Record) -> Result<(), String> {
        match &record.event {
            Event::Opening(_) | Event::Leaf(_) | Event::Strike(_) => Ok(()),
            Event::Hung(told) => self.known_leaf(&told.leaf),
            Event::Altered(altered) => self.altered(record, Alteration::Altered(altered.clone())),
            Event::Remade(remade) => self.altered(record, Alteration::Remade(remade.clone())),
            Event::Readings(taken) => self.readings((record.n, &record.at), taken),
            Event::Judged(judged) => {
                self.judge(judged);
                Ok(())
            }
            Event::Plan(plan) => {
                let named = plan.trims.iter().map(|trim| &trim.leaf).chain(plan.packs.iter().map(|pack| &pack.leaf));
                let known = named.into_iter().try_for_each(|leaf| self.known_leaf(leaf));
                self.round_mut(plan.round).plan = Some(said(record, plan.clone()));
                known
            }
            Event::Cut(cut) => {
                self.known_leaf(&cut.intended.leaf)?;
                self.round_mut(cut.round).cuts.push(said(record, cut.clone()));
                Ok(())
            }
            Event::Measured(measured) => {
                self.known_leaf(&measured.leaf)?;
                self.measured.push(said(record, measured.clone()));
                Ok(())
            }
            Event::Pack(pack) => {
                self.known_leaf(&pack.leaf)?;
                let now = self.current_round();
                self.round_mut(now).packs.push(said(record, pack.clone()));
                Ok(())
            }
            Event::Flush(flush) => {
                self.known_leaf(&flush.leaf)?;
                self.flush.push(said(record, flush.clone()));
                Ok(())
            }
            Event::Depth(turned) => {
                self.known_leaf(&turned.leaf)?;
                self.depths.push(said(record, turned.clone()));
                Ok(())
            }
            Event::Finish(finish) => {
                self.known_leaf(&finish.leaf)?;
                self.finishes.push(said(record, finish.clone()));
                Ok(())
            }
            Event::Survey(_)
            | Event::Build(_)
            | Event::Heights(_)
            | Event::Pin(_)
            | Event::Part(_)
            | Event::Reveal(_) => self.making_stands(&record.event),
            Event::Note(note) => {
                self.notes.push(said(record, note.clone()));
                Ok(())
            }
        }
    }

    fn readings(&mut self, from: (u64, &str), taken: &ReadingsTaken) -> Result<(), String> {
        let mut places = Vec::new();
        for gap in &taken.gaps {
            let place = self
                .gap_between(&gap.between)
                .ok_or_else(|| format!("there is no gap line between {} and {}", gap.between[0], gap.between[1]))?;
            if let Some((leaf, _)) = facing::measured_along(&gap.between) {
                self.known_leaf(leaf)?;
            }
            places.push(place);
        }
        let round = self.round_mut(taken.round);
        for (gap, place) in taken.gaps.iter().zip(places) {
            for stored in &gap.readings {
                let reading = reading(stored)?;
                round.take(from, place, reading, stored);
            }
        }
        Ok(())
    }

    pub(super) fn round_mut(&mut self, number: u32) -> &mut Round {
        let known = self.rounds.iter().position(|round| round.number == number);
        let place = known.unwrap_or_else(|| {
            let readings = vec![Vec::new(); self.gaps.len()];
            self.rounds.push(Round {
                number,
                readings,
                taken: Vec::new(),
                plan: None,
                cuts: Vec::new(),
                packs: Vec::new(),
                altered: Vec::new(),
            });
            self.rounds.len() - 1
        });
        &mut self.rounds[place]
    }

    pub(super) fn known_leaf(&self, id: &str) -> Result<(), String> {
        self.leaf(id).map(|_| ()).ok_or_else(|| format!("no leaf '{id}' is described"))
    }

    /// The leaf with this short name.
    pub fn leaf(&self, id: &str) -> Option<&LeafDescribed> {
        self.leaves.iter().find(|leaf| leaf.what.leaf == id).map(|leaf| &leaf.what)
    }

    /// Place of the gap line between these two, in the order that the opening names them.
    pub fn gap_between(&self, between: &[String; 2]) -> Option<usize> {
        self.gaps.iter().position(|gap| gap.between == *between)
    }

    /// Number of the latest round; 0 before the first reading.
    pub fn current_round(&self) -> u32 {
        self.rounds.iter().map(|round| round.number).max().unwrap_or(0)
    }

    /// The round with this number.
    pub fn round(&self, number: u32) -> Option<&Round> {
        self.rounds.iter().find(|round| round.number == number)
    }

    /// The latest round, where there is one.
    pub fn latest(&self) -> Option<&Round> {
        self.rounds.iter().max_by_key(|round| round.number)
    }

    /// What is to be done next, as far as the log alone tells.
    pub fn stage(&self) -> Stage {
        if let Some(trouble) = &self.trouble {
            return Stage::Unsound(trouble.kind());
        }
        let latest = self.latest().map(|round| Standing {
            round: round.number,
            read: round.is_read(),
            changed: !round.cuts.is_empty()
                || !round.packs.is_empty()
                || self.hung_after(round)
                || self.altered_after(round),
            verdict: round.plan.as_ref().map(|plan| plan.what.verdict.as_str()),
            left: self.trims_left(),
            packs: self.packs_left().len(),
        });
        // One leaf of several that has its size is not read alone; a log that did so goes on.
        let all = latest.is_some() || self.without_size().is_empty();
        let (survey, leaves) = (self.survey.is_some(), !self.leaves.is_empty() && all);
        let contradicts = survey && !leaves && self.survey_contradicts();
        stage_of(Known { described: self.described, survey, contradicts, leaves }, latest.as_ref())
    }

    /// Does event `n` count?
    pub fn counts(&self, n: u64) -> bool {
        n >= 1 && n <= self.last && !self.struck.contains_key(&n)
    }

    /// Length of a leaf's edge when `round` was read.
    pub fn edge_at(&self, id: &str, edge: Edge, round: u32) -> Option<Length> {
        let (width, height) = self.size_at(id, round)?;
        Some(if edge.is_upright() { height } else { width })
    }
}

pub(super) fn said<T>(record: &Record, what: T) -> Said<T> {
    Said { n: record.n, at: record.at.clone(), what }
}

/// The model's reading for a stored one.
pub fn reading(stored: &ReadingStored) -> Result<Reading, String> {
    let at = stored.at;
    let value = match (stored.gap, stored.goes, stored.stops, stored.lap) {
        (Some(gap), None, None, None) => Value::Gap(gap),
        (None, Some(goes), Some(stops), None) => {
            return Reading::go_no_go(at, goes, stops).map_err(|error| error.to_string());
        }
        (None, None, None, Some(lap)) => Value::Lap(lap),
        _ => return Err("a reading has either gap, or goes and stops, or lap".to_owned()),
    };
    Ok(Reading { at, value })
}

/// Which events are taken back, and by which strike. A strike that is itself taken back strikes nothing.
fn struck_by(records: &[Record]) -> BTreeMap<u64, u64> {
    let mut struck = BTreeMap::new();
    for record in records.iter().rev() {
        if let Event::Strike(strike) = &record.event
            && strike.strikes < record.n
            && !struck.contains_key(&record.n)
        {
            struck.insert(strike.strikes, record.n);
        }
    }
    struck
}
