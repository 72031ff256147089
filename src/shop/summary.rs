//! What a list shows of an opening, without keeping all of it.

use super::files::Files;
use super::log::{Contents, Tail};
use super::replay::{OpeningState, Round, Stage};
use crate::fit::length::{Inches, Length};
use std::path::Path;

/// The station furthest from its reveal, as last read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstMiss {
    /// Gap less reveal: below zero is tight.
    pub miss: Inches,
    /// Tolerance of this opening, where it differs from the shop's.
    pub tolerance: Option<Length>,
}

/// One line of the list of openings.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// The user's name for the opening (its file's, where the header cannot be read).
    pub name: String,
    /// Its file's name.
    pub file: String,
    /// Short names of its leaves.
    pub leaves: Vec<String>,
    /// Number of events, struck ones too.
    pub events: usize,
    /// Number of the latest round.
    pub round: u32,
    /// What is to be done next.
    pub stage: Stage,
    /// Verdict of the plan accepted last in the latest round.
    pub verdict: Option<String>,
    /// The worst miss of the round read last; wood may have come off since.
    pub worst: Option<WorstMiss>,
    /// When the last event was kept.
    pub last_at: Option<String>,
    /// What is wrong with its file, if anything.
    pub trouble: Option<String>,
}

impl Summary {
    /// Reads the summary of one file; a file that cannot be read is listed with its trouble.
    pub fn read(files: &dyn Files, path: &Path, file: &str) -> Self {
        match files.read(path) {
            Ok(bytes) => Self::of(Contents::read(&bytes), file),
            Err(error) => Self { trouble: Some(error.to_string()), ..Self::of(Contents::default(), file) },
        }
    }

    fn of(contents: Contents, file: &str) -> Self {
        let state = OpeningState::replay(&contents.records);
        let latest = state.latest();
        let torn = (contents.tail == Tail::Torn).then(|| "its last line is not whole".to_owned());
        Self {
            name: contents.header.map_or_else(|| file.to_owned(), |header| header.opening),
            file: file.to_owned(),
            leaves: state.leaves.iter().map(|leaf| leaf.what.leaf.clone()).collect(),
            events: contents.records.len(),
            round: state.current_round(),
            stage: state.stage(),
            verdict: latest.and_then(|round| round.plan.as_ref()).map(|plan| plan.what.verdict.clone()),
            worst: worst_miss(&state),
            last_at: contents.records.last().map(|record| record.at.clone()),
            trouble: contents.trouble.map(|trouble| trouble.to_string()).or(torn),
        }
    }
}

fn worst_miss(state: &OpeningState) -> Option<WorstMiss> {
    let round = state.rounds.iter().filter(|round| round.is_read()).max_by_key(|round| round.number)?;
    let miss = misses(state, round).max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    Some(WorstMiss { miss: Inches(miss), tolerance: state.tolerance })
}

/// Gap less reveal at every station of a round, in inches.
fn misses<'a>(state: &'a OpeningState, round: &'a Round) -> impl Iterator<Item = f64> + 'a {
    round
        .readings
        .iter()
        .zip(&state.gaps)
        .flat_map(|(line, wanted)| line.iter().map(|station| station.reading.mean_inches() - wanted.target.inches()))
}
