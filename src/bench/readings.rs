//! Taking readings: the cursor walks the stations; a feeler's key or a typed length, then Enter.

use super::measuring::MOST_FEELERS;
use super::message::{Action, Effect, Said};
use super::next;
use super::planning;
use super::rounds::{self, Look};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::stations::{self, StationPlace};
use super::surprise::{Asked, Doubt, beyond_belief, surprise};
use super::words;
use crate::fit::estimate::Standing;
use crate::fit::length::Length;
use crate::fit::reading::{Reading, Value};
use crate::shop::OpeningState;
use crate::shop::event::{Event, GapRead, ReadingJudged, ReadingStored, ReadingsTaken, Verdict};
use crate::shop::replay::reading;
use crate::shop::settings::Settings;

/// Most characters of a typed length.
const LONGEST: usize = 24;

/// What is being entered at the station.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Input {
    /// Nothing yet.
    #[default]
    Empty,
    /// A feeler goes, and another stops.
    Feelers {
        /// The one that goes; none where not even the thinnest does.
        goes: Option<usize>,
        /// The one that stops; none where even the thickest goes.
        stops: Option<usize>,
    },
    /// A length, as typed so far; with `-` before it, a lap.
    Typed(String),
}

/// Taking the readings of one round.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingsEntry {
    /// Which round.
    pub round: u32,
    /// The stations in the order of the walk.
    pub stations: Vec<StationPlace>,
    /// Where the cursor is; past the last one when all are done.
    pub at: usize,
    /// What is being entered there.
    pub input: Input,
    /// A reading that is asked about.
    pub asked: Option<Asked>,
    /// In a walk of second looks: how often each station was looked at before it.
    pub looked: Option<Vec<usize>>,
    /// The reading at the cursor's station that is being taken again.
    pub retaking: Option<ReadingJudged>,
}

/// The round that readings taken now belong to.
pub fn round_to_read(state: &OpeningState) -> u32 {
    match state.latest() {
        None => 1,
        Some(round) if !round.cuts.is_empty() || !round.packs.is_empty() => round.number + 1,
        Some(round) if state.hung_after(round) || state.altered_after(round) => round.number + 1,
        Some(round) if round.plan.as_ref().is_some_and(|plan| plan.what.trims.is_empty()) => round.number + 1,
        Some(round) => round.number.max(1),
    }
}

/// The feeler that `letter` stands for: `a` is the thinnest.
pub fn feeler_of(letter: char, settings: &Settings) -> Option<usize> {
    let place = usize::try_from(u32::from(letter).checked_sub(u32::from('a'))?).ok()?;
    (place < settings.feelers.len().min(MOST_FEELERS)).then_some(place)
}

/// The key of feeler `place`.
pub fn key_of(place: usize) -> Option<char> {
    u8::try_from(place).ok().filter(|place| usize::from(*place) < MOST_FEELERS).map(|place| char::from(b'a' + place))
}

impl ReadingsEntry {
    /// From the first station that is not read yet.
    pub fn new(opened: &OpeningSeen) -> Self {
        let round = round_to_read(&opened.state);
        let stations = stations::walk(&opened.state, round);
        let mut entry = Self { round, stations, at: 0, input: Input::Empty, asked: None, looked: None, retaking: None };
        entry.at = entry.first_undone(opened);
        entry
    }

    /// Only the stations that the advice asks for, each looked at once more; a reading that looks wrong is
    /// asked about first. `None` where nothing is asked for.
    pub fn again(opened: &OpeningSeen, look: &Look) -> Option<Self> {
        let asks = next::asks(look, opened);
        let mut entry = Self::new(opened);
        let stations: Vec<_> = asks.iter().filter_map(|ask| stations::near(&entry.stations, ask.gap, ask.at)).collect();
        let first = asks.first().filter(|_| !stations.is_empty())?;
        entry.looked = Some(stations.iter().map(|station| looks(station, entry.round, opened)).collect());
        (entry.stations, entry.at) = (stations, 0);
        if let Some(Event::Judged(judged)) = rounds::answer(&opened.state, &look.sources, first, Verdict::Kept) {
            entry.asked = Asked::about(first, judged, look);
        }
        Some(entry)
    }

    /// Is station `place` done in this walk?
    pub fn is_done(&self, place: usize, opened: &OpeningSeen) -> bool {
        match (&self.looked, self.stations.get(place)) {
            (Some(before), Some(station)) => {
                before.get(place).is_some_and(|before| looks(station, self.round, opened) > *before)
            }
            _ => self.read_at(place, opened).is_some(),
        }
    }

    fn first_undone(&self, opened: &OpeningSeen) -> usize {
        let count = self.stations.len();
        (0..count).find(|place| !self.is_done(*place, opened)).unwrap_or(count)
    }

    /// What was kept at station `place` of this round.
    pub fn read_at(&self, place: usize, opened: &OpeningSeen) -> Option<Reading> {
        let station = self.stations.get(place)?;
        let line = opened.state.round(self.round)?.readings.get(station.gap)?;
        line.iter().find(|read| read.reading.at == station.at).map(|read| read.reading)
    }

    /// The station under the cursor.
    pub fn station(&self) -> Option<&StationPlace> {
        self.stations.get(self.at)
    }

    /// How many stations of this walk are not done yet.
    pub fn unread(&self, opened: &OpeningSeen) -> usize {
        (0..self.stations.len()).filter(|place| !self.is_done(*place, opened)).count()
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if self.asked.is_some() {
            return self.answer(action, opened);
        }
        match action {
            Action::Type(letter) => self.typed(letter, &world.shop.settings),
            Action::NothingGoes => match &mut self.input {
                Input::Typed(text) => text.push(' '),
                input => *input = Input::Feelers { goes: None, stops: Some(0) },
            },
            Action::Erase => self.erase(),
            Action::Skip | Action::Down | Action::Right => self.go(self.at + 1),
            Action::Up | Action::Left => self.go(self.at.saturating_sub(1)),
            Action::First => self.go(0),
            Action::Last => self.go(self.stations.len()),
            Action::Enter => return self.enter(world, opened),
            Action::Back if self.input != Input::Empty => self.input = Input::Empty,
            Action::Back => return vec![Step::Leave],
            _ => {}
        }
        Vec::new()
    }

    fn go(&mut self, place: usize) {
        self.at = place.min(self.stations.len());
        self.input = Input::Empty;
        self.retaking = None;
    }

    fn erase(&mut self) {
        match &mut self.input {
            Input::Empty => self.go(self.at.saturating_sub(1)),
            Input::Feelers { .. } => self.input = Input::Empty,
            Input::Typed(text) => {
                text.pop();
                if text.is_empty() {
                    self.input = Input::Empty;
                }
            }
        }
    }

    fn typed(&mut self, letter: char, settings: &Settings) {
        if self.station().is_none() {
            return;
        }
        if let Input::Typed(text) = &mut self.input {
            if text.chars().count() < LONGEST {
                text.push(letter);
            }
            return;
        }
        let Some(feeler) = feeler_of(letter, settings) else {
            if !letter.is_alphabetic() {
                self.input = Input::Typed(letter.to_string());
            }
            return;
        };
        self.input = match self.input {
            Input::Feelers { goes: Some(goes), .. } if feeler > goes => {
                Input::Feelers { goes: Some(goes), stops: Some(feeler) }
            }
            _ => Input::Feelers {
                goes: Some(feeler),
                stops: Some(feeler + 1).filter(|next| *next < settings.feelers.len()),
            },
        };
    }

    fn enter(&mut self, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        let Some(station) = self.station().cloned() else {
            if self.looked.is_some() {
                return vec![Step::Leave];
            }
            let mut steps = planning::open(world);
            if matches!(steps.first(), Some(Step::Open(_))) {
                steps.insert(0, Step::Leave);
            }
            return steps;
        };
        let stored = match stored(&self.input, station.at, &world.shop.settings) {
            Ok(Some(stored)) => stored,
            // Nothing entered: Enter walks on over what is read, and does not skip what is not.
            Ok(None) if self.is_done(self.at, opened) => {
                self.go(self.at + 1);
                return Vec::new();
            }
            Ok(None) => return vec![Step::Say(Said::hint(words::ENTER_A_READING))],
            Err(why) => return vec![Step::Say(Said::trouble(why))],
        };
        let Ok(read) = reading(&stored) else { return Vec::new() };
        let (looks_again, agrees) = (self.looked.is_some(), self.agrees_with_retaken(&read, opened));
        let target = opened.state.gaps.get(station.gap).map(|line| line.target);
        let beyond = target.filter(|_| !agrees).and_then(|target| beyond_belief(target, &read));
        let stored = ReadingStored { again: looks_again || agrees, ..stored };
        let surprise = beyond.or_else(|| {
            let asks = !stored.again;
            asks.then(|| surprise(&opened.state, world.advised.spreads(), self.round, &station, &read)).flatten()
        });
        match surprise {
            Some(surprise) => {
                self.asked = Some(Asked { doubt: Doubt::New(stored), surprise });
                Vec::new()
            }
            None => self.keep(&stored, opened),
        }
    }

    /// Is a reading being taken again here, and does `read` say the same?
    fn agrees_with_retaken(&self, read: &Reading, opened: &OpeningSeen) -> bool {
        let first = self.retaking.as_ref().and_then(|first| taken(first, opened));
        first.is_some_and(|first| rounds::retaken(&first, read) == Standing::KeptByUser)
    }

    fn answer(&mut self, action: Action, opened: &OpeningSeen) -> Vec<Step> {
        let Some(Asked { doubt, .. }) = &self.asked else { return Vec::new() };
        let verdict = match action {
            Action::KeepAnyway => Verdict::Kept,
            Action::StrikeReading => Verdict::Struck,
            Action::Retake => return self.retake(opened),
            Action::Back | Action::Erase => {
                // One just entered is typed anew; one of the log is left as it is.
                let entered = matches!(doubt, Doubt::New(_));
                self.asked = None;
                self.input = Input::Empty;
                return if entered { vec![Step::Say(Said::hint(words::READ_IT_AGAIN))] } else { vec![Step::Leave] };
            }
            _ => return Vec::new(),
        };
        match doubt.clone() {
            Doubt::New(stored) if verdict == Verdict::Kept => {
                self.keep(&ReadingStored { kept: true, ..stored }, opened)
            }
            Doubt::New(stored) => {
                // The reading is kept in the log and struck there in one go. A second look that is struck says
                // nothing of the first: that one stands as it stood.
                let (n, at) = (opened.state.last + 1, stored.at);
                let again = stored.again || self.retaking.is_some();
                let mut events: Vec<_> =
                    self.read_event(ReadingStored { again, ..stored }, opened).into_iter().collect();
                let between = self.station().and_then(|station| opened.state.gaps.get(station.gap));
                let between = between.map(|line| line.between.clone());
                events.extend(between.map(|between| Event::Judged(ReadingJudged { reading: n, between, at, verdict })));
                keep(opened, events)
            }
            Doubt::Kept { judged, .. } => keep(opened, vec![Event::Judged(ReadingJudged { verdict, ..judged })]),
        }
    }

    /// A reading that is taken again stays in the log beside the second one.
    fn retake(&mut self, opened: &OpeningSeen) -> Vec<Step> {
        match self.asked.as_ref().map(|asked| asked.doubt.clone()) {
            Some(Doubt::New(stored)) => self.keep(&stored, opened),
            Some(Doubt::Kept { judged, earlier: false }) => {
                self.asked = None;
                self.retaking = Some(judged);
                vec![Step::Say(Said::hint(words::READ_IT_AGAIN))]
            }
            Some(Doubt::Kept { earlier: true, .. }) => vec![Step::Say(Said::hint(words::CANNOT_BE_RETAKEN))],
            None => Vec::new(),
        }
    }

    fn keep(&self, stored: &ReadingStored, opened: &OpeningSeen) -> Vec<Step> {
        keep(opened, self.events(stored, opened))
    }

    /// The events that keep `stored`, and say how the first look stands where this is the second.
    fn events(&self, stored: &ReadingStored, opened: &OpeningSeen) -> Vec<Event> {
        let mut events = Vec::new();
        let mut again = stored.again;
        let pair = self.retaking.as_ref().and_then(|first| Some((first, taken(first, opened)?)));
        if let (Some((judged, first)), Ok(second)) = (pair, reading(stored)) {
            let agree = rounds::retaken(&first, &second) == Standing::KeptByUser;
            let verdict = if agree { Verdict::Kept } else { Verdict::Struck };
            events.push(Event::Judged(ReadingJudged { verdict, ..judged.clone() }));
            again = true;
        }
        let Some(read) = self.read_event(ReadingStored { again, ..stored.clone() }, opened) else { return Vec::new() };
        events.push(read);
        events
    }

    /// The event of one reading at the cursor's station.
    fn read_event(&self, stored: ReadingStored, opened: &OpeningSeen) -> Option<Event> {
        let line = opened.state.gaps.get(self.station()?.gap)?;
        let gaps = vec![GapRead { between: line.between.clone(), readings: vec![stored] }];
        Some(Event::Readings(ReadingsTaken { round: self.round, gaps }))
    }

    pub(super) fn kept(&mut self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return Vec::new() };
        let asked = self.asked.take();
        let last = opened.records.last().map(|record| &record.event);
        let now_retaken = match (&asked, last) {
            (Some(Asked { doubt: Doubt::New(stored), .. }), Some(Event::Readings(taken))) => {
                let same = |one: &ReadingStored| one.at == stored.at && !one.kept;
                let line = taken.gaps.iter().find(|line| line.readings.iter().any(same));
                line.zip(numbers.last()).map(|(line, &reading)| {
                    let (between, at) = (line.between.clone(), stored.at);
                    ReadingJudged { reading, between, at, verdict: Verdict::Kept }
                })
            }
            (_, Some(Event::Readings(_) | Event::Judged(_))) => None,
            // Something was taken back: the cursor goes to the first gap in the walk.
            _ => {
                self.go(self.first_undone(opened));
                return Vec::new();
            }
        };
        if now_retaken.is_some() {
            self.input = Input::Empty;
            self.retaking = now_retaken;
            return vec![Step::Say(Said::hint(words::READ_IT_AGAIN))];
        }
        if matches!(asked, Some(Asked { doubt: Doubt::Kept { .. }, .. })) {
            return vec![Step::Leave, Step::Say(Said::done(words::kept(numbers)))];
        }
        self.go(self.at + 1);
        vec![Step::Say(Said::done(words::kept(numbers)))]
    }
}

fn keep(opened: &OpeningSeen, events: Vec<Event>) -> Vec<Step> {
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events })]
}

/// How often a station was looked at in round `round`, struck readings counted.
fn looks(station: &StationPlace, round: u32, opened: &OpeningSeen) -> usize {
    let taken = opened.state.round(round).map_or(&[][..], |round| &round.taken);
    let here = taken.iter().map(|one| one.taken).filter(|one| one.gap == station.gap);
    here.filter(|one| one.reading.at == station.at).count()
}

/// The reading that `judged` speaks of.
fn taken(judged: &ReadingJudged, opened: &OpeningSeen) -> Option<Reading> {
    let (round, place) = opened.state.taken_at(judged)?;
    opened.state.rounds.get(round)?.taken.get(place).map(|one| one.taken.reading)
}

/// The reading to store: `None` if nothing was entered.
fn stored(input: &Input, at: Length, settings: &Settings) -> Result<Option<ReadingStored>, String> {
    let blank = ReadingStored { at, gap: None, goes: None, stops: None, lap: None, again: false, kept: false };
    let value = match input {
        Input::Empty => return Ok(None),
        Input::Feelers { goes, stops } => {
            let thickness = |place: usize| settings.feelers.get(place).copied();
            let goes = goes.map_or(Some(Length::ZERO), thickness);
            match (goes, stops.and_then(thickness)) {
                (Some(goes), Some(stops)) => Value::GoNoGo { goes, stops },
                _ => return Err(words::THICKEST_GOES.to_owned()),
            }
        }
        Input::Typed(text) => {
            let length = Length::parse_signed(text, settings.show.unit()).map_err(|error| error.to_string())?;
            if length.is_negative() { Value::Lap(length.abs()) } else { Value::Gap(length) }
        }
    };
    Ok(Some(match value {
        Value::Gap(gap) => ReadingStored { gap: Some(gap), ..blank },
        Value::GoNoGo { goes, stops } => ReadingStored { goes: Some(goes), stops: Some(stops), ..blank },
        Value::Lap(lap) => ReadingStored { lap: Some(lap), ..blank },
    }))
}
