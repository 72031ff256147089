//! Taking readings: the cursor walks the stations; a feeler's key or a typed length, then Enter.

use super::message::{Action, Effect, Said};
use super::planning;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::stations::{self, StationPlace};
use super::surprise::{self, Surprise};
use super::words;
use crate::fit::length::Length;
use crate::fit::reading::{Reading, Value};
use crate::shop::OpeningState;
use crate::shop::event::{Event, GapRead, ReadingStored, ReadingsTaken};
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
    /// A reading that is asked about, before it is kept.
    pub asked: Option<(ReadingStored, Surprise)>,
}

/// The round that readings taken now belong to.
pub fn round_to_read(state: &OpeningState) -> u32 {
    match state.latest() {
        None => 1,
        Some(round) if !round.cuts.is_empty() || !round.packs.is_empty() => round.number + 1,
        Some(round) if round.plan.as_ref().is_some_and(|plan| plan.what.trims.is_empty()) => round.number + 1,
        Some(round) => round.number.max(1),
    }
}

/// The feeler that `letter` stands for: `a` is the thinnest.
pub fn feeler_of(letter: char, settings: &Settings) -> Option<usize> {
    let place = usize::try_from(u32::from(letter).checked_sub(u32::from('a'))?).ok()?;
    (place < settings.feelers.len().min(26)).then_some(place)
}

/// The key of feeler `place`.
pub fn key_of(place: usize) -> Option<char> {
    u8::try_from(place).ok().filter(|place| *place < 26).map(|place| char::from(b'a' + place))
}

impl ReadingsEntry {
    /// From the first station that is not read yet.
    pub fn new(opened: &OpeningSeen) -> Self {
        let round = round_to_read(&opened.state);
        let stations = stations::walk(&opened.state, round);
        let mut entry = Self { round, stations, at: 0, input: Input::Empty, asked: None };
        let count = entry.stations.len();
        entry.at = (0..count).find(|place| entry.read_at(*place, opened).is_none()).unwrap_or(count);
        entry
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

    /// How many stations are not read yet.
    pub fn unread(&self, opened: &OpeningSeen) -> usize {
        (0..self.stations.len()).filter(|place| self.read_at(*place, opened).is_none()).count()
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
            let mut steps = planning::open(world);
            if matches!(steps.first(), Some(Step::Open(_))) {
                steps.insert(0, Step::Leave);
            }
            return steps;
        };
        let stored = match stored(&self.input, station.at, &world.shop.settings) {
            Ok(Some(stored)) => stored,
            // Nothing entered: Enter walks on over what is read, and does not skip what is not.
            Ok(None) if self.read_at(self.at, opened).is_some() => {
                self.go(self.at + 1);
                return Vec::new();
            }
            Ok(None) => return vec![Step::Say(Said::hint(words::ENTER_A_READING))],
            Err(why) => return vec![Step::Say(Said::trouble(why))],
        };
        let surprise = reading(&stored).ok().and_then(|read| {
            let round = opened.state.round(self.round)?;
            surprise::against_straightness(round, &self.stations, &station, &read)
        });
        match surprise {
            Some(surprise) => {
                self.asked = Some((stored, surprise));
                Vec::new()
            }
            None => self.keep(stored, opened),
        }
    }

    fn answer(&mut self, action: Action, opened: &OpeningSeen) -> Vec<Step> {
        match action {
            Action::KeepAnyway => match self.asked.take() {
                Some((stored, _)) => self.keep(stored, opened),
                None => Vec::new(),
            },
            Action::Retake | Action::Back | Action::Erase => {
                self.asked = None;
                self.input = Input::Empty;
                vec![Step::Say(Said::hint(words::READ_IT_AGAIN))]
            }
            Action::StrikeReading => {
                self.asked = None;
                self.go(self.at + 1);
                vec![Step::Say(Said::hint(words::LEFT_OUT))]
            }
            _ => Vec::new(),
        }
    }

    fn keep(&self, stored: ReadingStored, opened: &OpeningSeen) -> Vec<Step> {
        let line = self.station().and_then(|station| opened.state.gaps.get(station.gap));
        let Some(line) = line else { return Vec::new() };
        let gaps = vec![GapRead { between: line.between.clone(), readings: vec![stored] }];
        let event = Event::Readings(ReadingsTaken { round: self.round, gaps });
        vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
    }

    pub(super) fn kept(&mut self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return Vec::new() };
        let last = opened.records.last();
        if !matches!(last.map(|record| &record.event), Some(Event::Readings(_))) {
            // Something was taken back: the cursor goes to the first gap in the walk.
            let count = self.stations.len();
            self.go((0..count).find(|place| self.read_at(*place, opened).is_none()).unwrap_or(count));
            return Vec::new();
        }
        self.go(self.at + 1);
        vec![Step::Say(Said::done(words::kept(numbers)))]
    }
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
