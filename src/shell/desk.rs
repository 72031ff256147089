//! What the logs teach, noted once: the work that needs no lock on the shop and may take long. The event loop
//! gives it to a worker ([`super::worker`]); commands and tests do it in place. What was worked out is noted beside
//! the shop ([`Figures`]), each figure under the fingerprint of all it rests on.

use super::here;
use crate::bench::Message;
use crate::bench::batch::{self, Waiting};
use crate::bench::brief::Brief;
use crate::bench::knowing::{self, Learned, LookAnswer, LookAsked};
use crate::bench::practice::{self, Answer, Ask};
use crate::bench::rounds::{self, Choice};
use crate::fit::estimate::Spreads;
use crate::fit::learn::{Evidence, Pooled};
use crate::shop::figures::{Figures, fingerprint};
use crate::shop::settings::Settings;
use crate::shop::shelf::{LogRead, Shelf};
use crate::shop::summary::Summary;
use std::collections::{BTreeMap, HashMap};
use std::sync::atomic::AtomicBool;

/// Kind of figure: what a log teaches.
const NOTE: &str = "note";
/// Kind of figure: what to do next in an opening, in brief.
const ROW: &str = "row";

/// What one log teaches, and of which opening.
#[derive(Clone, Debug)]
struct Noted {
    opening: String,
    /// Number of the last event when it was noted.
    last: u64,
    evidence: Option<Evidence>,
}

impl Noted {
    fn of(log: &LogRead<'_>, since: Option<&str>) -> Self {
        let state = log.state();
        Self { opening: log.name(), last: state.last, evidence: knowing::evidence(&state, since) }
    }

    fn numbers(&self) -> Vec<u64> {
        let evidence = self.evidence.as_ref().map(Evidence::numbers);
        std::iter::once(self.last).chain(evidence.into_iter().flatten()).collect()
    }

    fn from_numbers(opening: String, numbers: &[u64]) -> Option<Self> {
        let (&last, evidence) = numbers.split_first()?;
        let evidence = if evidence.is_empty() { None } else { Some(Evidence::from_numbers(evidence)?) };
        Some(Self { opening, last, evidence })
    }
}

/// The logs with what was noted of them.
#[derive(Debug)]
pub struct Desk {
    shelf: Shelf,
    figures: Figures,
    since: Option<String>,
    /// By file.
    noted: BTreeMap<String, Noted>,
    /// All of it together.
    pooled: Pooled,
    /// Are there logs that may not be noted yet?
    stale: bool,
}

impl Desk {
    /// On these logs; nothing is noted beyond this run of the program.
    pub fn new(shelf: Shelf) -> Self {
        Self::with(shelf, Figures::unkept())
    }

    /// On these logs, with what was noted of them before.
    pub fn with(shelf: Shelf, figures: Figures) -> Self {
        let pooled = Pooled::of(&rounds::spreads(None));
        Self { shelf, figures, since: None, noted: BTreeMap::new(), pooled, stale: true }
    }

    /// Writes down what was noted, if anything is new.
    pub fn save(&mut self) {
        self.figures.save();
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
        self.figures.retain(&files);
        let missing: Vec<String> = files.into_iter().filter(|file| !self.noted.contains_key(file)).collect();
        let since = self.since.as_deref();
        let known = &self.figures;
        let note = |log: &LogRead<'_>| {
            let key = fingerprint([&log.fingerprint().to_le_bytes()[..], since.unwrap_or_default().as_bytes()]);
            let before = known.get(NOTE, log.file, key);
            match before.and_then(|numbers| Noted::from_numbers(log.name(), numbers)) {
                Some(noted) => (noted, None),
                None => (Noted::of(log, since), Some(key)),
            }
        };
        let found = self.shelf.each(&missing, &AtomicBool::new(false), &note);
        for (file, (noted, new)) in found {
            if let Some(key) = new {
                self.figures.put(NOTE, &file, key, noted.numbers());
            }
            self.noted.insert(file, noted);
        }
        let mut pooled = Pooled::of(&rounds::spreads(None));
        self.evidence().for_each(|(_, evidence)| pooled.add(evidence));
        self.pooled = pooled;
        self.stale = false;
        self.figures.save();
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
        let own = self.evidence().filter(|(name, _)| *name == opening);
        let others = own.fold(self.pooled, |others, (_, own)| others.without(own));
        rounds::spreads(Some(&others.learning()))
    }

    /// What to do next.
    pub fn look(&mut self, asked: &LookAsked) -> LookAnswer {
        let spreads = self.spreads(&asked.opening, &asked.settings);
        knowing::answer(asked, spreads)
    }

    /// What waits to be cut in these files, in their order, on a few threads. A log that cannot be read is left
    /// out.
    pub fn batch(&self, files: &[String], settings: &Settings) -> Vec<Waiting> {
        let one = |log: &LogRead<'_>| batch::waiting(log.file, &log.name(), &log.state(), settings);
        self.shelf.each(files, &AtomicBool::new(false), &one).into_iter().map(|(_, waiting)| waiting).collect()
    }

    /// Passes that remain and what to do next for each of these files, on a few threads; none where nothing can be
    /// said. A log that cannot be read is left out.
    pub fn passes(&mut self, files: &[String], settings: &Settings) -> Vec<(String, Option<Brief>)> {
        self.note_all(settings);
        let preferred = serde_json::to_string(settings).unwrap_or_default();
        let one = |log: &LogRead<'_>| {
            let spreads = self.noted_spreads(&log.name());
            let rests_on = [log.fingerprint().to_le_bytes().to_vec(), preferred.clone().into(), said(&spreads).into()];
            let key = fingerprint(rests_on.iter().map(Vec::as_slice));
            match self.figures.get(ROW, log.file, key) {
                Some([]) => return (None, None),
                Some(numbers) => {
                    if let Some(brief) = Brief::from_numbers(numbers) {
                        return (Some(brief), None);
                    }
                }
                None => {}
            }
            let state = log.state();
            let look = rounds::look(&state, settings, spreads, Choice::default()).ok();
            (look.map(|look| Brief::of(&look, &state)), Some(key))
        };
        let found = self.shelf.each(files, &AtomicBool::new(false), &one);
        let mut briefs = Vec::with_capacity(found.len());
        for (file, (brief, new)) in found {
            if let Some(key) = new {
                let numbers = brief.map_or_else(Vec::new, |brief| brief.numbers().to_vec());
                self.figures.put(ROW, &file, key, numbers);
            }
            briefs.push((file, brief));
        }
        briefs
    }
}

/// Every figure of it to the last bit.
fn said(spreads: &Spreads) -> String {
    format!("{spreads:?}")
}

/// Answers what practice asks for. No log is read for it and nothing is written.
pub fn practice(ask: Ask) -> Message {
    match ask {
        Ask::Look(asked) => Message::Looked(Box::new(knowing::answer(&asked, rounds::spreads(None)))),
        Ask::Ended(asked) => Message::Practice(practice::ended(&asked.0, &asked.1)),
        // Only these are asked of the shell; whatever else comes, a new door does no harm.
        Ask::Open | Ask::ReadAll | Ask::Again | Ask::End | Ask::Seed => {
            Message::Practice(Answer::Seed(here::clock_number()))
        }
    }
}
