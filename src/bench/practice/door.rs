//! A made-up door at work: its log, held in memory only, and the truth beneath it that no advice ever sees.

use super::chance::{Chance, For};
use super::outcome::can_be_fitted;
use super::words;
use crate::bench::asking::gaps_of;
use crate::bench::readings::round_to_read;
use crate::bench::rounds::{self, Look, Told};
use crate::bench::seen::OpeningSeen;
use crate::bench::stations::{self, Spot, StationPlace};
use crate::cut::job::Construction;
use crate::fit::estimate::{Method, Standing};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, Motion, Side};
use crate::fit::policy::{Ask, Next, Why};
use crate::fit::reading::Value;
use crate::practice::Draws;
use crate::practice::world::{Sits, TARGET, World};
use crate::shop::OpeningState;
use crate::shop::event::{
    Event, GapRead, GapWanted, LeafDescribed, OpeningMeasured, ReadingJudged, ReadingStored, ReadingsTaken, Record,
    Verdict,
};
use crate::shop::opening::check_batch;

/// When everything happens, for a log that is never written.
const NEVER: &str = "2000-01-01T00:00:00Z";
/// The leaf's short name.
pub const LEAF: &str = "A";

/// Most doors that are looked at for one that can be fitted; nearly every one can.
const MOST_DOORS: usize = 50;

/// What a cut was meant to take at both ends, and what it took.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Took {
    /// In which round.
    pub round: u32,
    /// Which edge.
    pub edge: Edge,
    /// By what means.
    pub method: Method,
    /// Meant at the lower or left corner and at the other one.
    pub meant: [Inches; 2],
    /// Taken there.
    pub took: [Inches; 2],
}

/// The door.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    /// What it was made from: equal seeds give equal doors with equal luck.
    pub seed: u64,
    /// As it was before any cut.
    pub start: World,
    /// As it is.
    pub world: World,
    /// How the leaf sits in the round that is read or will be read.
    sits: (u32, Sits),
    /// Every cut, first to last.
    pub took: Vec<Took>,
    records: Vec<Record>,
    state: OpeningState,
}

impl Door {
    /// The door of a seed, described and not read yet.
    pub fn new(seed: u64) -> Self {
        let mut chance = Chance::new(seed, For::Door);
        let mut world = World::new(&mut chance);
        for _ in 0..MOST_DOORS {
            if can_be_fitted(&world) {
                break;
            }
            world = World::new(&mut chance);
        }
        let hinge = if chance.chance(0.5) { Side::Left } else { Side::Right };
        let near = |inches: f64| Inches((inches * 64.0).round() / 64.0).length();
        let target = Inches(TARGET).length();
        let gaps = gaps_of(&[LEAF], Edge::Right).into_iter();
        let gaps = gaps.map(|between| GapWanted { between, target, offset: Length::ZERO }).collect();
        let described = [
            Event::Opening(OpeningMeasured { gaps, tolerance: None, survey: None, leaves: Vec::new() }),
            Event::Leaf(LeafDescribed {
                leaf: LEAF.to_owned(),
                name: "door".to_owned(),
                width: near(world.width),
                height: near(world.height),
                hinge: Some(hinge),
                may_cut: world.may_cut,
                motion: Motion::Free,
                thickness: None,
                solid: false,
                made: Some(Construction::Framed),
            }),
        ];
        let records = (1..).zip(described).map(|(n, event)| Record { n, at: NEVER.to_owned(), event }).collect();
        let mut door = Self {
            seed,
            start: world.clone(),
            world,
            sits: (0, Sits::default()),
            took: Vec::new(),
            state: OpeningState::default(),
            records,
        };
        door.replay();
        door
    }

    /// What its log amounts to.
    pub fn state(&self) -> &OpeningState {
        &self.state
    }

    /// Which door, after which event.
    pub fn now(&self) -> (u64, u64) {
        (self.seed, self.state.last)
    }

    /// As the screens see it.
    pub fn seen(&self) -> OpeningSeen {
        OpeningSeen {
            name: words::name(self.seed),
            records: self.records.clone(),
            state: self.state.clone(),
            notices: Vec::new(),
            read_only: None,
        }
    }

    fn replay(&mut self) {
        self.state = OpeningState::replay(&self.records);
        let round = round_to_read(&self.state);
        if self.sits.0 != round {
            // Each round the leaf goes in anew.
            self.sits = (round, self.world.sit_anywhere(&mut Chance::new(self.seed, For::Sits(round))));
        }
    }

    /// Takes events in, as a log would; cuts are made on the true leaf. Answers their numbers, or why none was
    /// taken in. A cut is never taken back, and no wood added.
    pub fn keep(&mut self, events: Vec<Event>) -> Result<Vec<u64>, String> {
        let is_cut = |n: u64| self.records.iter().any(|one| one.n == n && matches!(one.event, Event::Cut(_)));
        if events.iter().any(|event| matches!(event, Event::Strike(strike) if is_cut(strike.strikes))) {
            return Err(words::NO_WAY_BACK.to_owned());
        }
        if events.iter().any(|event| matches!(event, Event::Altered(_) | Event::Remade(_))) {
            return Err(words::NO_STRIP.to_owned());
        }
        check_batch(&self.records, &events).map_err(|error| error.to_string())?;
        let mut numbers = Vec::new();
        for event in events {
            let n = self.state.last + 1;
            let cut = match &event {
                Event::Cut(cut) => Some((cut.round, cut.intended.edge)),
                _ => None,
            };
            self.records.push(Record { n, at: NEVER.to_owned(), event });
            self.state = OpeningState::replay(&self.records);
            if let Some((round, edge)) = cut {
                self.cut(round, edge);
            }
            numbers.push(n);
        }
        self.replay();
        Ok(numbers)
    }

    /// Makes the cut that was kept last: meant is what the estimate takes it for, rounding of the set-up and all.
    fn cut(&mut self, round: u32, edge: Edge) {
        let told = Told::of(&self.state, round).ok();
        let Some(made) = told.and_then(|told| told.rounds.last()?.cuts.last().copied()) else { return };
        let before = self.took.iter().filter(|one| one.round == round && one.edge == edge).count();
        let mut chance = Chance::new(self.seed, For::Cut(round, edge, before));
        let meant = [made.start, made.end];
        // Strokes and layers are counted for what is known of them.
        let inches = made.counted();
        let took = match made.method {
            Method::Saw => self.world.saw(edge, inches, &mut chance),
            Method::Plane => self.world.plane(edge, inches, &mut chance),
        };
        self.took.push(Took { round, edge, method: made.method, meant, took: took.map(Inches) });
    }

    /// What a look at a station finds, with these feelers. The same look finds the same.
    pub fn feel(&self, station: &StationPlace, feelers: &[Length]) -> ReadingStored {
        let (round, sits) = self.sits;
        let taken = self.state.round(round).map_or(&[][..], |round| &round.taken);
        let here = taken.iter().map(|one| one.taken);
        let before = here.filter(|one| one.gap == station.gap && one.reading.at == station.at).count();
        let spot = match station.spot {
            Spot::Low => 0,
            Spot::Middle => 1,
            Spot::High => 2,
        };
        let mut chance = Chance::new(self.seed, For::Look(round, station.edge, spot, before));
        let at = station.at;
        let blank = ReadingStored { at, gap: None, goes: None, stops: None, lap: None, again: false, kept: false };
        match self.world.read(sits, station.edge, at.inches(), feelers, &mut chance) {
            Value::Gap(gap) => ReadingStored { gap: Some(gap), ..blank },
            Value::Lap(lap) => ReadingStored { lap: Some(lap), ..blank },
            Value::GoNoGo { goes, stops } => ReadingStored { goes: Some(goes), stops: Some(stops), ..blank },
        }
    }

    /// Readings of every station of the round that is not read yet, in the order of the walk; none where all are.
    pub fn read_all(&self, feelers: &[Length]) -> Option<Event> {
        let round = round_to_read(&self.state);
        let read = |station: &StationPlace| {
            let line = self.state.round(round).and_then(|round| round.readings.get(station.gap));
            line.is_some_and(|line| line.iter().any(|one| one.reading.at == station.at))
        };
        let walk = stations::walk(&self.state, round);
        let unread: Vec<&StationPlace> = walk.iter().filter(|station| !read(station)).collect();
        let lines = self.state.gaps.iter().enumerate().map(|(gap, line)| GapRead {
            between: line.between.clone(),
            readings: unread.iter().filter(|one| one.gap == gap).map(|one| self.feel(one, feelers)).collect(),
        });
        let gaps: Vec<GapRead> = lines.filter(|line| !line.readings.is_empty()).collect();
        (!gaps.is_empty()).then_some(Event::Readings(ReadingsTaken { round, gaps }))
    }

    /// The events that answer what the advice asks for; none where it asks for nothing in this round.
    pub fn answer(&self, look: &Look, feelers: &[Length]) -> Vec<Event> {
        let round = round_to_read(&self.state);
        let Next::Read(asks) = look.unbound() else { return Vec::new() };
        let own = asks.iter().filter(|_| round == look.round);
        own.flat_map(|ask| {
            if ask.why == Why::LooksWrong && ask.earlier_round {
                return rounds::answer(&self.state, &look.sources, ask, Verdict::Struck).into_iter().collect();
            }
            self.look_again(look, ask, round, feelers).unwrap_or_default()
        })
        .collect()
    }

    fn look_again(&self, look: &Look, ask: &Ask, round: u32, feelers: &[Length]) -> Option<Vec<Event>> {
        let station = stations::near(&stations::walk(&self.state, round), ask.gap, ask.at)?;
        let stored = ReadingStored { again: true, ..self.feel(&station, feelers) };
        let between = self.state.gaps.get(station.gap)?.between.clone();
        let mut events = Vec::new();
        let doubted = ask.index.filter(|_| ask.why == Why::LooksWrong).and_then(|index| look.sources.get(index));
        if let (Some(first), Ok(second)) = (doubted, crate::shop::replay::reading(&stored)) {
            let agree = rounds::retaken(&first.reading, &second) == Standing::KeptByUser;
            let verdict = if agree { Verdict::Kept } else { Verdict::Struck };
            let judged = ReadingJudged { reading: first.n, between: between.clone(), at: first.at, verdict };
            events.push(Event::Judged(judged));
        }
        let gaps = vec![GapRead { between, readings: vec![stored] }];
        events.push(Event::Readings(ReadingsTaken { round, gaps }));
        Some(events)
    }
}
