//! The shop and an opening as the session sees them: plain data, loaded by effects.

use super::brief::Brief;
use crate::fit::length::{Inches, Show};
use crate::shop::OpeningState;
use crate::shop::event::Record;
use crate::shop::name::ENDING;
use crate::shop::settings::Settings;
use crate::shop::summary::Summary;
use std::collections::BTreeSet;

/// What is known of the passes that remain, and of what to do next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PassesSeen {
    /// Not worked out yet.
    #[default]
    NotYet,
    /// Asked for.
    Asked,
    /// Worked out; none where nothing can be said.
    Known(Option<Brief>),
}

/// One line of the list of openings.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// What the log tells.
    pub summary: Summary,
    /// Passes that remain, and what to do next.
    pub passes: PassesSeen,
}

impl Listed {
    /// Its file, without its ending.
    pub fn file(&self) -> &str {
        self.summary.file.trim_end_matches(ENDING)
    }

    /// The advice on it, where it is known.
    pub fn brief(&self) -> Option<&Brief> {
        match &self.passes {
            PassesSeen::Known(brief) => brief.as_ref(),
            PassesSeen::NotYet | PassesSeen::Asked => None,
        }
    }
}

/// The shop.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopSeen {
    /// Its folder, for the user to read.
    pub place: String,
    /// What it owns and prefers.
    pub settings: Settings,
    /// Has it no settings yet?
    pub is_new: bool,
    /// Its openings.
    pub openings: Vec<Listed>,
    /// Why nothing can be kept, if so.
    pub read_only: Option<String>,
    /// What the user should be told about the choice of shop.
    pub notice: Option<String>,
}

impl ShopSeen {
    /// Files, without their ending, of the openings on which the advice differs now from the plan that was accepted,
    /// as far as is known.
    pub fn differing(&self) -> BTreeSet<&str> {
        let differs = |listed: &&Listed| listed.brief().is_some_and(|brief| brief.differs);
        self.openings.iter().filter(differs).map(Listed::file).collect()
    }

    /// How it shows lengths.
    pub fn show(&self) -> Show {
        self.settings.show
    }
}

/// One opening, open.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OpeningSeen {
    /// The user's name for it.
    pub name: String,
    /// Every event, oldest first, struck ones too.
    pub records: Vec<Record>,
    /// What they amount to.
    pub state: OpeningState,
    /// What the user is told about its file.
    pub notices: Vec<String>,
    /// Why nothing can be kept, if so.
    pub read_only: Option<String>,
}

/// The worst of some stations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// Place in the list of gap lines.
    pub gap: usize,
    /// Gap less reveal: below zero is tight.
    pub miss: Inches,
}

/// The station of round `number` that is furthest from its reveal, as it was read.
pub fn worst_of(state: &OpeningState, number: u32) -> Option<Worst> {
    let round = state.round(number)?;
    let misses = round.readings.iter().zip(&state.gaps).enumerate().flat_map(|(gap, (line, wanted))| {
        line.iter()
            .map(move |station| Worst { gap, miss: Inches(station.reading.mean_inches() - wanted.target.inches()) })
    });
    misses.max_by(|a, b| a.miss.0.abs().total_cmp(&b.miss.0.abs()))
}

impl OpeningSeen {
    /// The station of round `number` that is furthest from its reveal.
    pub fn worst(&self, number: u32) -> Option<Worst> {
        worst_of(&self.state, number)
    }

    /// Number of the latest round that was read.
    pub fn last_read_round(&self) -> Option<u32> {
        self.state.rounds.iter().filter(|round| round.is_read()).map(|round| round.number).max()
    }
}
