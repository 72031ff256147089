//! What the logs teach, noted once: the work that needs no lock on the shop and may take long. The event loop
//! gives it to a worker ([`super::worker`]); commands and tests do it in place.

use crate::bench::brief::Brief;
use crate::bench::knowing::{self, Learned, LookAnswer, LookAsked};
use crate::bench::rounds::{self, Choice};
use crate::fit::estimate::Spreads;
use crate::fit::learn::{Evidence, learn_from};
use crate::shop::OpeningState;
use crate::shop::settings::Settings;
use crate::shop::shelf::Shelf;
use crate::shop::summary::Summary;
use std::collections::{BTreeMap, HashMap};
use std::sync::atomic::AtomicBool;

/// What one log teaches, and of which opening.
#[derive(Clone, Debug)]
struct Noted {
    opening: String,
    /// Number of the last event when it was noted.
    last: u64,
    evidence: Option<Evidence>,
}

/// The logs with what was noted of them.
#[derive(Debug)]
pub struct Desk {
    shelf: Shelf,
    since: Option<String>,
    /// By file.
    noted: BTreeMap<String, Noted>,
    /// Are there logs that may not be noted yet?
    stale: bool,
}

impl Desk {
    /// On these logs.
    pub fn new(shelf: Shelf) -> Self {
        Self { shelf, since: None, noted: BTreeMap::new(), stale: true }
    }

    /// The openings were listed anew: what was noted of those that changed since is forgotten.
    pub fn listed(&mut self, openings: &[(String, u64)]) {
        let now: HashMap<&str, u64> = openings.iter().map(|(file, events)| (file.as_str(), *events)).collect();
        self.noted.retain(|file, one| now.get(file.as_str()) == Some(&one.last));
        self.stale = true;
    }

    /// File and number of events of each opening of a list, for [`Desk::listed`].
    pub fn sizes<'a>(openings: impl Iterator<Item = &'a Summary>) -> Vec<(String, u64)> {
        openings.map(|one| (one.file.clone(), one.events as u64)).collect()
    }

    /// Reads what every log teaches that is not noted yet: every log once, not at each question.
    pub fn note_all(&mut self, settings: &Settings) {
        let since = settings.learning_resets.last().cloned();
        if self.since != since {
            self.noted.clear();
            self.since = since;
            self.stale = true;
        }
        if !self.stale {
            return;
        }
        let files = self.shelf.log_names().unwrap_or_default();
        let missing: Vec<String> = files.into_iter().filter(|file| !self.noted.contains_key(file)).collect();
        let since = self.since.as_deref();
        let note = |_: &str, name: &str, state: &OpeningState| Noted {
            opening: name.to_owned(),
            last: state.last,
            evidence: knowing::evidence(state, since),
        };
        let found = self.shelf.each(&missing, &AtomicBool::new(false), &note);
        self.noted.extend(found);
        self.stale = false;
    }

    fn evidence(&self) -> impl Iterator<Item = (&str, &Evidence)> + Clone {
        let all = self.noted.values();
        all.filter_map(|one| one.evidence.as_ref().map(|evidence| (one.opening.as_str(), evidence)))
    }

    /// What was learned of the shop's tools.
    pub fn learn(&mut self, settings: &Settings) -> Learned {
        self.note_all(settings);
        Learned::of(self.evidence().map(|(_, evidence)| evidence), self.since.clone())
    }

    /// What is assumed of reading and cutting in `opening`: what every other opening taught (its own
    /// rounds speak for themselves in its estimate).
    pub fn spreads(&mut self, opening: &str, settings: &Settings) -> Spreads {
        self.note_all(settings);
        self.noted_spreads(opening)
    }

    fn noted_spreads(&self, opening: &str) -> Spreads {
        let others = self.evidence().filter(|(name, _)| *name != opening).map(|(_, evidence)| evidence);
        rounds::spreads(Some(&learn_from(&rounds::spreads(None), others)))
    }

    /// What to do next.
    pub fn look(&mut self, asked: &LookAsked) -> LookAnswer {
        let spreads = self.spreads(&asked.opening, &asked.settings);
        knowing::answer(asked, spreads)
    }

    /// Passes that remain and what to do next for each of these files, on a few threads; none where nothing can be said. A log
    /// that cannot be read is left out.
    pub fn passes(&mut self, files: &[String], settings: &Settings) -> Vec<(String, Option<Brief>)> {
        self.note_all(settings);
        let one = |_: &str, name: &str, state: &OpeningState| {
            let look = rounds::look(state, settings, self.noted_spreads(name), Choice::default()).ok()?;
            Some(Brief::of(&look, state))
        };
        self.shelf.each(files, &AtomicBool::new(false), &one)
    }
}
