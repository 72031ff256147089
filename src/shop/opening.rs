//! One opening, open: its log and what the log amounts to, kept together.

use super::check::{self, CheckError};
use super::event::{Event, Record};
use super::log::{AppendError, Log, Notice, ReadOnly, Trouble};
use super::replay::OpeningState;
use std::path::Path;

/// Why events were not kept.
#[derive(Debug, thiserror::Error)]
pub enum EnterError {
    /// One of them may not follow what is there; none was kept.
    #[error("{}{error}", place(*index))]
    Refused {
        /// Which of those given, from 0.
        index: usize,
        /// Which field, and why.
        error: CheckError,
    },
    /// The log would not take it.
    #[error("{error}")]
    Append {
        /// How many of those given were kept before.
        kept: usize,
        /// Why this one was not.
        error: AppendError,
    },
}

fn place(index: usize) -> String {
    if index == 0 { String::new() } else { format!("event {} of those given: ", index + 1) }
}

/// May all `events` follow `records`, each after the ones before it?
pub fn check_batch(records: &[Record], events: &[Event]) -> Result<(), EnterError> {
    let mut records = records.to_vec();
    let mut state = OpeningState::replay(&records);
    for (index, event) in events.iter().enumerate() {
        check::check(&records, &state, event).map_err(|error| EnterError::Refused { index, error })?;
        records.push(Record { n: state.last + 1, at: String::new(), event: event.clone() });
        state = OpeningState::replay(&records);
    }
    Ok(())
}

fn state_of(log: &Log) -> OpeningState {
    let trouble = match log.read_only() {
        Some(ReadOnly::Content(trouble)) => Some(trouble.clone()),
        _ => None,
    };
    OpeningState { trouble, ..OpeningState::replay(log.records()) }
}

/// An opening that is open.
#[derive(Debug)]
pub struct Opening {
    log: Log,
    state: OpeningState,
}

impl Opening {
    /// From its log.
    pub fn new(log: Log) -> Self {
        let state = state_of(&log);
        Self { log, state }
    }

    /// Keeps one event, said to have happened at `at` (UTC, RFC 3339). When this returns without an
    /// error the event is on the disk; otherwise nothing has changed.
    pub fn append(&mut self, event: Event, at: &str) -> Result<&Record, EnterError> {
        self.is_sound()?;
        check::check(self.log.records(), &self.state, &event)
            .map_err(|error| EnterError::Refused { index: 0, error })?;
        self.log.append(event, at).map_err(|error| EnterError::Append { kept: 0, error })?;
        self.state = state_of(&self.log);
        // `append` has just put one there.
        Ok(&self.log.records()[self.log.records().len() - 1])
    }

    /// Checks all `events`, as if each followed the ones before it, then keeps them one by one;
    /// answers their numbers. If one is refused, none is kept.
    pub fn enter(&mut self, events: Vec<Event>, at: &str) -> Result<Vec<u64>, EnterError> {
        let mut numbers = Vec::new();
        self.enter_each(events, at, |record| numbers.push(record.n))?;
        Ok(numbers)
    }

    /// Like [`Opening::enter`], and calls `kept` with each event as soon as it is on the disk.
    pub fn enter_each(
        &mut self,
        events: Vec<Event>,
        at: &str,
        mut kept: impl FnMut(&Record),
    ) -> Result<(), EnterError> {
        self.is_sound()?;
        check_batch(self.log.records(), &events)?;
        let mut outcome = Ok(());
        for (number, event) in events.into_iter().enumerate() {
            match self.log.append(event, at) {
                Ok(record) => kept(record),
                Err(error) => {
                    outcome = Err(EnterError::Append { kept: number, error });
                    break;
                }
            }
        }
        self.state = state_of(&self.log);
        outcome
    }

    /// An event that part of a log does not bear may well be borne by the whole of it: what is wrong with the file
    /// is said first.
    fn is_sound(&self) -> Result<(), EnterError> {
        let refused = |trouble: &Trouble| AppendError::ReadOnly(ReadOnly::Content(trouble.clone()));
        match self.state.trouble.as_ref().map(refused) {
            Some(error) => Err(EnterError::Append { kept: 0, error }),
            None => Ok(()),
        }
    }

    /// What the events amount to.
    pub fn state(&self) -> &OpeningState {
        &self.state
    }

    /// Every event, oldest first, struck ones too.
    pub fn records(&self) -> &[Record] {
        self.log.records()
    }

    /// The user's name for it.
    pub fn name(&self) -> &str {
        self.log.name()
    }

    /// Its file.
    pub fn path(&self) -> &Path {
        self.log.path()
    }

    /// What the user is told about its file.
    pub fn notices(&self) -> &[Notice] {
        self.log.notices()
    }

    /// Why nothing can be kept, if so.
    pub fn read_only(&self) -> Option<&ReadOnly> {
        self.log.read_only()
    }
}
