//! A cabinetmaker who does what the tool says, to the letter, and never looks at the truth.

use super::truth::{Sits, TARGET, TOLERANCE, Truth};
use evenreveal::fit::estimate::{CutMade, Estimate, Method, Round, Spreads, Standing, TakenReading, replay};
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::{Edge, Facing, GapLine, Leaf, Motion};
use evenreveal::fit::policy::{Advice, Ask, Next, Policy, Why, advise};
use evenreveal::fit::reading::Reading;
use rand_chacha::ChaCha8Rng;

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    Fitted,
    Short,
    GoodAsItGets,
    GaveUp,
}

/// One opening, done.
#[derive(Clone, Debug)]
pub struct Outcome {
    pub end: End,
    pub rounds: usize,
    pub saw_cuts: usize,
    pub plane_cuts: usize,
    pub readings: usize,
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
    pub note: String,
}

/// A reading as the simulation remembers it.
// Four independent facts.
#[allow(clippy::struct_excessive_bools)]
#[derive(Clone, Copy)]
struct Fact {
    round: usize,
    wrong: bool,
    /// Read less true gap.
    error: f64,
    matters: bool,
    asked: bool,
    in_time: bool,
}

pub struct Desk {
    pub leaf: Leaf,
    pub gaps: Vec<GapLine>,
    pub stations: Vec<[Length; 3]>,
}

impl Desk {
    pub fn new(truth: &Truth) -> Self {
        let sixty_fourth = |x: f64| Length::ratio((x * 64.0).round() as i64, 64);
        let leaf = Leaf {
            id: "A".into(),
            width: sixty_fourth(truth.width),
            height: sixty_fourth(truth.height),
            hinge: None,
            may_cut: truth.may_cut,
            motion: Motion::Free,
        };
        let line = |edge| {
            let facing = Facing::Leaf { leaf: 0, edge };
            let between = match edge {
                Edge::Left | Edge::Bottom => [Facing::Frame, facing],
                Edge::Right | Edge::Top => [facing, Facing::Frame],
            };
            GapLine {
                between,
                target: Length::from_inches_near(TARGET).unwrap(),
                offset: Length::ZERO,
                readings: vec![],
            }
        };
        let stations = Edge::ALL.map(|edge| truth.stations(edge).map(|s| Length::from_inches_near(s).unwrap()));
        Self { leaf, gaps: Edge::ALL.map(line).to_vec(), stations: stations.to_vec() }
    }
}

/// The cabinetmaker at work on one opening.
struct Session<'a> {
    truth: &'a mut Truth,
    desk: Desk,
    spreads: Spreads,
    rng: &'a mut ChaCha8Rng,
    sits: Sits,
    rounds: Vec<Round>,
    facts: Vec<Fact>,
    questioned_good: usize,
}

/// Fits the leaf; the truth is changed by the cuts.
pub fn fit(truth: &mut Truth, policy: &Policy, spreads: &Spreads, reach: f64, rng: &mut ChaCha8Rng) -> Outcome {
    let desk = Desk::new(truth);
    let sits = Sits::default();
    let mut at =
        Session { truth, desk, spreads: *spreads, rng, sits, rounds: vec![], facts: vec![], questioned_good: 0 };
    let mut forecasts: Vec<(usize, usize)> = vec![];
    let mut note = String::new();
    let (mut saw_cuts, mut plane_cuts) = (0, 0);
    let mut end = End::GaveUp;
    for trip in 1..=12 {
        let advice = match at.look(policy) {
            Ok(advice) => advice,
            Err(why) => {
                note = why;
                break;
            }
        };
        match advice.next {
            Next::Fitted => end = End::Fitted,
            Next::Short => end = End::Short,
            Next::AsGoodAsItGets | Next::Read(_) | Next::Pack(_) => end = End::GoodAsItGets,
            Next::Cut(cuts) => {
                forecasts.push((trip, advice.passes.as_ref().map_or(0, |p| p.trips.median as usize)));
                for cut in cuts {
                    match cut.method {
                        Method::Saw => saw_cuts += 1,
                        Method::Plane => plane_cuts += 1,
                    }
                    at.cut(cut.as_made());
                }
                continue;
            }
        }
        break;
    }
    let Session { truth, rounds, facts, questioned_good, .. } = at;
    let (best, worst) = truth.best();
    let wide = truth.misses(best).into_iter().fold(f64::MIN, f64::max);
    let mattering: Vec<&Fact> = facts.iter().filter(|fact| fact.wrong && fact.matters).collect();
    let count = |test: &dyn Fn(&Fact) -> bool| mattering.iter().filter(|fact| test(fact)).count();
    Outcome {
        end,
        rounds: rounds.len(),
        saw_cuts,
        plane_cuts,
        readings: facts.len(),
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
        missed: missed(&facts, &rounds),
        forecast: forecasts.into_iter().map(|(trip, said)| (said, rounds.len() - trip)).collect(),
        note,
    }
}

/// Round, gap line, and how often its station was read then, of each missed one.
fn missed(facts: &[Fact], rounds: &[Round]) -> Vec<(usize, usize, usize)> {
    let all: Vec<(usize, TakenReading)> = rounds
        .iter()
        .enumerate()
        .flat_map(|(r, round)| round.readings.iter().map(move |taken| (r + 1, *taken)))
        .collect();
    let same = |one: &(usize, TakenReading), other: &(usize, TakenReading)| {
        one.0 == other.0 && one.1.gap == other.1.gap && one.1.reading.at == other.1.reading.at
    };
    let missed = facts.iter().zip(&all).filter(|(fact, _)| fact.wrong && fact.matters && !fact.asked);
    missed.map(|(_, one)| (one.0, one.1.gap, all.iter().filter(|other| same(one, other)).count())).collect()
}

impl Session<'_> {
    /// One trip: all twelve stations, then whatever the tool asks for.
    fn look(&mut self, policy: &Policy) -> Result<Advice, String> {
        self.sits = self.truth.sit_anywhere(self.rng);
        self.rounds.push(Round::default());
        let first = self.facts.len();
        for gap in 0..4 {
            for station in 0..3 {
                self.take(gap, station);
            }
        }
        self.judge(first);
        for _ in 0..100 {
            let advice = advise(&self.estimate(), policy).map_err(|error| error.to_string())?;
            let Next::Read(asks) = &advice.next else {
                let trip = self.rounds.len();
                for fact in &mut self.facts {
                    fact.in_time |= fact.asked && fact.round == trip;
                }
                return Ok(advice);
            };
            for ask in asks {
                self.answer(ask);
            }
        }
        Err("asked for ever".into())
    }

    fn cut(&mut self, made: CutMade) {
        let meant = [made.start.0, made.end.0];
        match made.method {
            Method::Saw => self.truth.saw(made.edge, meant, self.rng),
            Method::Plane => self.truth.plane(made.edge, meant, self.rng),
        }
        self.rounds.last_mut().unwrap().cuts.push(made);
    }

    fn estimate(&self) -> Estimate {
        let leaves = [self.desk.leaf.clone()];
        replay(&leaves, &self.desk.gaps, self.spreads, &self.rounds).expect("the desk is sound")
    }

    /// Takes a reading and remembers whether it was wrong.
    fn take(&mut self, gap: usize, station: usize) -> Reading {
        let edge = Edge::ALL[gap];
        let (value, wrong) = self.truth.read(self.sits, edge, station, self.rng);
        let reading = Reading { at: self.desk.stations[gap][station], value };
        let error = reading.mean_inches() - self.truth.gap(self.sits, edge, station);
        let round = self.rounds.len();
        self.rounds[round - 1].readings.push(TakenReading { gap, reading, standing: Standing::Plain });
        self.facts.push(Fact { round, wrong, error, matters: false, asked: false, in_time: false });
        reading
    }

    /// A wrong reading matters if, left in, its error would move the shape by more than half the
    /// tolerance (a slip toward zero ends at contact, so it can be less than 1/32).
    fn judge(&mut self, first: usize) {
        if !self.facts[first..].iter().any(|fact| fact.wrong) {
            return;
        }
        let estimate = self.estimate();
        let stations: Vec<(usize, Length)> =
            (0..4).flat_map(|gap| self.desk.stations[gap].into_iter().map(move |at| (gap, at))).collect();
        for (index, fact) in self.facts.iter_mut().enumerate().skip(first) {
            let moves = estimate.influence(index, &stations).unwrap() * fact.error.abs();
            fact.matters = fact.wrong && moves > 0.5 * TOLERANCE;
        }
    }

    /// Does what the tool asks at one station.
    fn answer(&mut self, ask: &Ask) {
        let station = self.desk.stations[ask.gap].iter().position(|&at| at == ask.at).unwrap();
        let Some(index) = ask.index.filter(|_| ask.why == Why::LooksWrong) else {
            let first = self.facts.len();
            self.take(ask.gap, station);
            self.judge(first);
            return;
        };
        // (place among all readings, round, place in it) of this station's readings.
        let mut places = vec![];
        let mut all = 0;
        for (r, round) in self.rounds.iter().enumerate() {
            for (i, taken) in round.readings.iter().enumerate() {
                if taken.gap == ask.gap && taken.reading.at == ask.at {
                    places.push((all, r, i));
                }
                all += 1;
            }
        }
        let &(_, round, place) = places.iter().find(|(all, _, _)| *all == index).unwrap();
        // The question is about the station: right if any reading of it in that round is wrong.
        let mut right = false;
        for &(all, _, _) in places.iter().filter(|(_, r, _)| *r == round) {
            right |= self.facts[all].wrong;
            self.facts[all].asked = true;
        }
        self.questioned_good += usize::from(!right);
        let standing = if ask.earlier_round {
            Standing::Struck
        } else {
            let was = self.rounds[round].readings[place].reading.mean_inches();
            let now = self.take(ask.gap, station).mean_inches();
            self.facts.last_mut().unwrap().asked = true;
            if (was - now).abs() < 1.5 / 64.0 { Standing::KeptByUser } else { Standing::Struck }
        };
        self.rounds[round].readings[place].standing = standing;
    }
}
