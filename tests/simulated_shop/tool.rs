//! A cabinetmaker who does what the tool says, to the letter, and never looks at the truth.
//!
//! Everything goes through the log: each act is kept as the event that the screen would keep, and asked of
//! `bench::rounds` and `bench::surprise`, the functions that the screen and the commands ask.

use super::desk::Desk;
use super::truth::{PRESSED, Sits, TOLERANCE, Truth};
use evenreveal::bench::recording;
use evenreveal::bench::rounds::{self, Choice, Look};
use evenreveal::bench::sheets::{self, Sheet};
use evenreveal::bench::stations::{self, StationPlace};
use evenreveal::bench::surprise;
use evenreveal::cut;
use evenreveal::cut::job::End;
use evenreveal::cut::setup::Setup;
use evenreveal::cut::taken::Actual;
use evenreveal::fit::estimate::{Spreads, Standing};
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::Prefer;
use evenreveal::fit::policy::{Ask, Next, Policy, Why, advise};
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{
    Event, GapRead, PlanAccepted, ReadingJudged, ReadingStored, ReadingsTaken, Record, TrimMeant, Verdict,
};
use evenreveal::shop::measured::{CornerSquare, LeafMeasured};
use evenreveal::shop::reckoned::By;
use evenreveal::shop::settings::Settings;
use rand_chacha::ChaCha8Rng;

/// Half width of a 95 % interval of the normal distribution, in standard deviations.
const NINETY_FIVE: f64 = 1.959_964;

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    Fitted,
    Short,
    GoodAsItGets,
    GaveUp,
}

/// One opening, done.
#[derive(Clone, Debug)]
pub struct Outcome {
    pub end: Ended,
    pub rounds: usize,
    pub saw_cuts: usize,
    pub plane_cuts: usize,
    pub readings: usize,
    /// Of these, second looks asked for because a slip there would not show, or because doubt hung on them.
    pub confirming: usize,
    /// True worst miss at the best pose.
    pub worst: f64,
    /// True widest station over the reveal, at the best pose.
    pub wide: f64,
    /// The least worst miss that trimming could have left from the start, with everything known.
    pub reach: f64,
    /// Wrong readings: all, those that matter, of these asked about before the next cut, and ever.
    pub wrong: [usize; 4],
    /// Good readings, and those questioned.
    pub good: [usize; 2],
    /// Trips forecast after each round's readings, against the truth.
    pub forecast: Vec<(usize, usize)>,
    /// Wrong readings that mattered and were never asked about: round, readings of that station then.
    pub missed: Vec<(usize, usize, usize)>,
    /// Gaps of all stations once a round was read: those that the 95 % interval of the estimate holds, and all.
    pub held: [usize; 2],
    pub note: String,
}

/// A reading as the simulation remembers it.
// Four independent facts.
#[allow(clippy::struct_excessive_bools)]
#[derive(Clone, Copy)]
struct Fact {
    round: u32,
    gap: usize,
    spot: usize,
    wrong: bool,
    /// Read less true gap.
    error: f64,
    matters: bool,
    asked: bool,
    in_time: bool,
}

/// A shop: its settings, what it learned, and, for tuning only, a policy in the place of the shop's.
#[derive(Clone, Debug, Default)]
pub struct Shop {
    pub settings: Settings,
    pub spreads: Spreads,
    pub tuned: Option<Policy>,
}

/// The cabinetmaker at work on one opening.
struct Session<'a> {
    truth: &'a mut Truth,
    shop: &'a Shop,
    rng: &'a mut ChaCha8Rng,
    sits: Sits,
    round: u32,
    records: Vec<Record>,
    state: OpeningState,
    facts: Vec<Fact>,
    questioned_good: usize,
    confirming: usize,
}

/// Fits the leaf; the truth is changed by the cuts.
pub fn fit(truth: &mut Truth, shop: &Shop, reach: f64, rng: &mut ChaCha8Rng) -> Outcome {
    let desk = Desk::new(truth);
    let mut at = Session {
        truth,
        shop,
        rng,
        sits: Sits::default(),
        round: 0,
        records: vec![],
        state: OpeningState::default(),
        facts: vec![],
        questioned_good: 0,
        confirming: 0,
    };
    at.keep(desk.events().to_vec());
    let mut forecasts: Vec<(usize, usize)> = vec![];
    let mut note = String::new();
    let mut held = [0, 0];
    let (mut saw_cuts, mut plane_cuts) = (0, 0);
    let mut end = Ended::GaveUp;
    for trip in 1..=12 {
        let look = match at.look() {
            Ok(look) => look,
            Err(why) => {
                note = why;
                break;
            }
        };
        for station in stations::walk(&at.state, at.round) {
            let belief = look.estimate.gap_at(station.gap, station.at).expect("a station of the walk");
            let off = belief.mean.0 - at.truth.gap(at.sits, station.edge, station.spot as usize);
            held[0] += usize::from(off.abs() <= NINETY_FIVE * belief.sd.0);
            held[1] += 1;
        }
        match look.advice.next {
            Next::Fitted => end = Ended::Fitted,
            Next::Short => end = Ended::Short,
            Next::AsGoodAsItGets | Next::Read(_) | Next::Pack(_) => end = Ended::GoodAsItGets,
            Next::Cut(_) => {
                forecasts.push((trip, look.passes_left(&at.state).map_or(0, |left| left.trips.median as usize)));
                let [saw, plane] = at.cut(&look);
                saw_cuts += saw;
                plane_cuts += plane;
                continue;
            }
        }
        break;
    }
    let Session { truth, round, facts, questioned_good, confirming, .. } = at;
    let rounds = round as usize;
    let (best, worst) = truth.best();
    let wide = truth.misses(best).into_iter().fold(f64::MIN, f64::max);
    let mattering: Vec<&Fact> = facts.iter().filter(|fact| fact.wrong && fact.matters).collect();
    let count = |test: &dyn Fn(&Fact) -> bool| mattering.iter().filter(|fact| test(fact)).count();
    let same = |one: &Fact, other: &Fact| (one.round, one.gap, one.spot) == (other.round, other.gap, other.spot);
    let looks = |one: &Fact| facts.iter().filter(|other| same(one, other)).count();
    Outcome {
        end,
        rounds,
        saw_cuts,
        plane_cuts,
        readings: facts.len(),
        confirming,
        worst,
        wide,
        reach,
        wrong: [
            facts.iter().filter(|fact| fact.wrong).count(),
            mattering.len(),
            count(&|fact| fact.in_time),
            count(&|fact| fact.asked),
        ],
        good: [facts.iter().filter(|fact| !fact.wrong).count(), questioned_good],
        missed: mattering
            .iter()
            .filter(|fact| !fact.asked)
            .map(|fact| (fact.round as usize, fact.gap, looks(fact)))
            .collect(),
        held,
        forecast: forecasts.into_iter().map(|(trip, said)| (said, rounds - trip)).collect(),
        note,
    }
}

impl Session<'_> {
    fn keep(&mut self, events: Vec<Event>) {
        for event in events {
            let n = self.records.len() as u64 + 1;
            self.records.push(Record { n, at: "2026-01-01T00:00:00Z".to_owned(), event });
        }
        self.state = OpeningState::replay(&self.records);
        assert!(self.state.astray.is_empty(), "{:?}", self.state.astray);
    }

    /// One trip: the walk round the leaf, then whatever the tool asks for.
    fn look(&mut self) -> Result<Look, String> {
        self.sits = self.truth.sit_anywhere(self.rng);
        self.round += 1;
        let first = self.facts.len();
        for station in stations::walk(&self.state, self.round) {
            self.read(&station);
        }
        self.judge(first);
        for _ in 0..100 {
            let look = self.advice()?;
            let Next::Read(asks) = look.advice.next.clone() else {
                let round = self.round;
                for fact in &mut self.facts {
                    fact.in_time |= fact.asked && fact.round == round;
                }
                return Ok(look);
            };
            for ask in &asks {
                self.answer(&look, ask);
            }
        }
        Err("asked for ever".into())
    }

    fn advice(&self) -> Result<Look, String> {
        let Shop { settings, spreads, tuned } = self.shop;
        let mut look =
            rounds::look(&self.state, settings, *spreads, Choice::default()).map_err(|why| why.to_string())?;
        if let Some(policy) = tuned {
            look.advice = advise(&look.estimate, policy).map_err(|why| why.to_string())?;
        }
        Ok(look)
    }

    /// Accepts the plan and makes every cut by its set-up sheet. Answers the cuts made by saw and by plane.
    fn cut(&mut self, look: &Look) -> [usize; 2] {
        self.keep(vec![Event::Plan(PlanAccepted {
            round: self.round,
            verdict: "cut".to_owned(),
            prefer: Prefer::default(),
            every_edge: false,
            trims: sheets::aims(look),
            lines: vec![],
            means: vec![],
            packs: vec![],
        })]);
        let mut made = [0, 0];
        for _ in 0..60 {
            let left = self.state.to_cut();
            let Some((next, _)) = sheets::in_order(&self.state, &left).into_iter().next() else { return made };
            let sheet = self.sheet(&next);
            let saw = self.follow(&sheet);
            made[usize::from(!saw)] += 1;
            self.keep(vec![Event::Cut(recording::as_shown(self.round, &sheet))]);
        }
        panic!("the cuts of a round never end");
    }

    /// The set-up for a trim, once what its sheet takes for granted was measured (to 0.001 in).
    fn sheet(&mut self, trim: &TrimMeant) -> Sheet {
        let settings = &self.shop.settings;
        let edge = trim.edge;
        let ask = |state: &OpeningState| -> Sheet {
            let sheet = sheets::of_cut(state, settings, &state.to_cut(), ("A", edge), &|_| sheets::Asked::default());
            sheet.expect("the leaf is there").unwrap_or_else(|why| panic!("{edge} {trim:?}: {why}"))
        };
        let mut sheet = ask(&self.state);
        let rule = |inches: f64| Length::ratio((inches * 1000.0).round() as i64, 1000);
        if !sheet.job.widths_known {
            let both = Some(self.truth.across(edge).map(rule));
            let (widths, heights) = if edge.is_upright() { (both, None) } else { (None, both) };
            let measured = LeafMeasured { leaf: "A".to_owned(), widths, heights, ..LeafMeasured::default() };
            self.keep(vec![Event::Measured(measured)]);
            sheet = ask(&self.state);
        }
        if let Setup::Sled(sled) = &sheet.sheet.setup {
            let at = sled.at;
            if sheet.job.adjoining[usize::from(at == End::End)].out_of_square.is_none() {
                let beyond = rule(self.truth.beyond_square(edge, at == End::Start));
                let square = Some(CornerSquare { edge, at, beyond });
                let measured = LeafMeasured { leaf: "A".to_owned(), square, ..LeafMeasured::default() };
                self.keep(vec![Event::Measured(measured)]);
                sheet = ask(&self.state);
            }
        }
        sheet
    }

    /// Does what the sheet says with tape that is pressed thinner than it was measured and a plane whose strokes
    /// are what they are. Answers whether it was sawn.
    fn follow(&mut self, sheet: &Sheet) -> bool {
        // The sheet counts strokes and layers for what is known of them, over what the shop says.
        let known =
            sheet.trim.reckoned.as_ref().map_or((1.0, 1.0), |known| (known.allowed(By::Saw), known.allowed(By::Plane)));
        let actual = Actual { pad: PRESSED / known.0, shaving: self.truth.plane / known.1, ..Actual::default() };
        let (start, end) = cut::taken::taken(&sheet.sheet, actual);
        let (edge, by_set_up) = (sheet.trim.edge, [start.get(), end.get()]);
        match sheet.sheet.setup.method() {
            cut::job::Method::Rip | cut::job::Method::Sled | cut::job::Method::GuideLine => {
                self.truth.sawn(edge, by_set_up, self.rng);
                true
            }
            cut::job::Method::Plane | cut::job::Method::SandingBlock => {
                self.truth.planed(edge, by_set_up, self.rng);
                false
            }
        }
    }

    /// Feels the gap at a station and remembers whether that went wrong.
    fn feel(&mut self, station: &StationPlace) -> Reading {
        let spot = station.spot as usize;
        let (value, wrong) = self.truth.read(self.sits, station.edge, spot, self.rng);
        let reading = Reading { at: station.at, value };
        let error = reading.mean_inches() - self.truth.gap(self.sits, station.edge, spot);
        let (round, gap) = (self.round, station.gap);
        self.facts.push(Fact { round, gap, spot, wrong, error, matters: false, asked: false, in_time: false });
        reading
    }

    fn stored(reading: &Reading, again: bool) -> ReadingStored {
        let blank = ReadingStored { at: reading.at, gap: None, goes: None, stops: None, lap: None, again, kept: false };
        match reading.value {
            Value::Gap(gap) => ReadingStored { gap: Some(gap), ..blank },
            Value::GoNoGo { goes, stops } => ReadingStored { goes: Some(goes), stops: Some(stops), ..blank },
            Value::Lap(lap) => ReadingStored { lap: Some(lap), ..blank },
        }
    }

    fn between(&self, gap: usize) -> [String; 2] {
        self.state.gaps[gap].between.clone()
    }

    fn keep_reading(&mut self, gap: usize, stored: ReadingStored, judged: Option<ReadingJudged>) -> u64 {
        let taken = GapRead { between: self.between(gap), readings: vec![stored] };
        let mut events: Vec<Event> = judged.into_iter().map(Event::Judged).collect();
        events.push(Event::Readings(ReadingsTaken { round: self.round, gaps: vec![taken] }));
        self.keep(events);
        self.state.last
    }

    /// A station of the walk. A reading that is asked about in place is taken again, until two agree or the
    /// second one goes with the rest; after three it stands as read.
    fn read(&mut self, station: &StationPlace) {
        let mut reading = self.feel(station);
        let mut before: Option<(ReadingJudged, Reading)> = None;
        for attempt in 1.. {
            let agrees = before.as_ref().is_some_and(|(_, first)| Self::agree(first, &reading));
            let (state, spreads) = (&self.state, self.shop.spreads);
            let asked = !agrees && surprise::surprise(state, spreads, self.round, station, &reading).is_some();
            if asked {
                self.questioned(self.round, station.gap, station.spot as usize);
            }
            let judged = before.take().map(|(judged, _)| {
                let verdict = if agrees { Verdict::Kept } else { Verdict::Struck };
                ReadingJudged { verdict, ..judged }
            });
            let kept = asked && attempt > 2;
            let stored = ReadingStored { kept, ..Self::stored(&reading, judged.is_some()) };
            let n = self.keep_reading(station.gap, stored, judged);
            if !asked || kept {
                return;
            }
            let between = self.between(station.gap);
            before = Some((ReadingJudged { reading: n, between, at: station.at, verdict: Verdict::Kept }, reading));
            reading = self.feel(station);
            if let Some(fact) = self.facts.last_mut() {
                fact.asked = true;
            }
        }
    }

    fn agree(first: &Reading, second: &Reading) -> bool {
        rounds::retaken(first, second) == Standing::KeptByUser
    }

    /// A question about a station is right if any reading of it in that round is wrong.
    fn questioned(&mut self, round: u32, gap: usize, spot: usize) {
        let here = |fact: &&mut Fact| (fact.round, fact.gap, fact.spot) == (round, gap, spot);
        let mut right = false;
        for fact in self.facts.iter_mut().filter(here) {
            right |= fact.wrong;
            fact.asked = true;
        }
        self.questioned_good += usize::from(!right);
    }

    /// A wrong reading matters if, left in, its error would move the shape by more than half the
    /// tolerance (a slip toward zero ends at contact, so it can be less than 1/32).
    fn judge(&mut self, first: usize) {
        if !self.facts[first..].iter().any(|fact| fact.wrong) {
            return;
        }
        let told = rounds::Told::of(&self.state, u32::MAX).expect("the log is sound").before_last_cuts();
        let estimate = told.estimate(self.shop.spreads).expect("the log is sound");
        let stations: Vec<(usize, Length)> =
            (0..4).flat_map(|gap| estimate.stations(gap).into_iter().map(move |at| (gap, at))).collect();
        for (index, fact) in self.facts.iter_mut().enumerate().skip(first) {
            let moves = estimate.influence(index, &stations).unwrap() * fact.error.abs();
            fact.matters = fact.wrong && moves > 0.5 * TOLERANCE;
        }
    }

    /// Does what the tool asks at one station.
    fn answer(&mut self, look: &Look, ask: &Ask) {
        let first = self.facts.len();
        let walk = stations::walk(&self.state, self.round);
        let station = stations::near(&walk, ask.gap, ask.at).expect("a station of the walk");
        let doubted = rounds::answer(&self.state, &look.sources, ask, Verdict::Kept);
        let Some(Event::Judged(judged)) = doubted.filter(|_| ask.why == Why::LooksWrong) else {
            let reading = self.feel(&station);
            self.confirming += 1;
            self.keep_reading(ask.gap, Self::stored(&reading, true), None);
            self.judge(first);
            return;
        };
        let source = look.sources[ask.index.unwrap()].clone();
        self.questioned(source.round, ask.gap, station.spot as usize);
        if ask.earlier_round {
            self.keep(vec![Event::Judged(ReadingJudged { verdict: Verdict::Struck, ..judged })]);
            return;
        }
        let reading = self.feel(&station);
        let verdict = if Self::agree(&source.reading, &reading) { Verdict::Kept } else { Verdict::Struck };
        self.facts.last_mut().unwrap().asked = true;
        self.keep_reading(ask.gap, Self::stored(&reading, true), Some(ReadingJudged { verdict, ..judged }));
    }
}
