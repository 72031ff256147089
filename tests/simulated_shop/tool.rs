//! A cabinetmaker who does what the tool says, to the letter, and never looks at the truth.

use super::truth::{TARGET, Truth};
use evenreveal::fit::estimate::{CutMade, Method, Round, Spreads, Standing, TakenReading, replay};
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::{Edge, Facing, GapLine, Leaf, Motion};
use evenreveal::fit::policy::{Advice, Ask, Next, Policy, Why, advise};
use evenreveal::fit::reading::{Reading, Value};
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
    /// The best that trimming could have done from the start was out of tolerance.
    pub hopeless: bool,
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

/// Fits the leaf; the truth is changed by the cuts.
pub fn fit(truth: &mut Truth, policy: &Policy, spreads: &Spreads, hopeless: bool, rng: &mut ChaCha8Rng) -> Outcome {
    let desk = Desk::new(truth);
    let leaves = [desk.leaf.clone()];
    let mut rounds: Vec<Round> = vec![];
    let mut facts: Vec<Fact> = vec![];
    let mut forecasts: Vec<(usize, usize)> = vec![];
    let mut note = String::new();
    let (mut saw_cuts, mut plane_cuts, mut questioned_good) = (0, 0, 0);
    let mut end = End::GaveUp;
    'trips: for trip in 1..=12 {
        let sits = truth.sit_anywhere(rng);
        rounds.push(Round::default());
        for (gap, edge) in Edge::ALL.into_iter().enumerate() {
            for station in 0..3 {
                take(truth, &desk, sits, gap, edge, station, trip, &mut rounds, &mut facts, rng);
            }
        }
        let first = facts.len() - 12;
        judge(&leaves, &desk, &rounds, spreads, &mut facts, first);
        let mut advice: Option<Advice> = None;
        for _ in 0..100 {
            let estimate = replay(&leaves, &desk.gaps, *spreads, &rounds).expect("the desk is sound");
            let now = match advise(&estimate, policy) {
                Ok(now) => now,
                Err(error) => {
                    note = format!("{error}");
                    break 'trips;
                }
            };
            let Next::Read(asks) = &now.next else {
                advice = Some(now);
                break;
            };
            for ask in asks {
                answer(truth, &desk, sits, ask, trip, &mut rounds, &mut facts, &mut questioned_good, rng);
            }
        }
        for fact in &mut facts {
            fact.in_time |= fact.asked && fact.round == trip;
        }
        let Some(advice) = advice else {
            note = "asked for ever".into();
            break;
        };
        match advice.next {
            Next::Fitted => {
                end = End::Fitted;
                break;
            }
            Next::Short => {
                end = End::Short;
                break;
            }
            Next::AsGoodAsItGets | Next::Read(_) => {
                end = End::GoodAsItGets;
                break;
            }
            Next::Cut(cuts) => {
                forecasts.push((trip, advice.passes.as_ref().map_or(0, |p| p.trips.median as usize)));
                for cut in cuts {
                    let made: CutMade = cut.as_made();
                    let meant = [made.start.0, made.end.0];
                    match made.method {
                        Method::Saw => {
                            truth.saw(made.edge, meant, rng);
                            saw_cuts += 1;
                        }
                        Method::Plane => {
                            truth.plane(made.edge, meant, rng);
                            plane_cuts += 1;
                        }
                    }
                    rounds.last_mut().unwrap().cuts.push(made);
                }
            }
        }
    }
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
        hopeless,
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

/// Takes a reading and remembers whether it was wrong.
fn take(
    truth: &Truth,
    desk: &Desk,
    sits: super::truth::Sits,
    gap: usize,
    edge: Edge,
    station: usize,
    trip: usize,
    rounds: &mut [Round],
    facts: &mut Vec<Fact>,
    rng: &mut ChaCha8Rng,
) -> Value {
    let (value, wrong) = truth.read(sits, edge, station, rng);
    let reading = Reading { at: desk.stations[gap][station], value };
    rounds.last_mut().unwrap().readings.push(TakenReading { gap, reading, standing: Standing::Plain });
    facts.push(Fact {
        round: trip,
        wrong,
        error: reading.mean_inches() - truth.gap(sits, edge, station),
        matters: false,
        asked: false,
        in_time: false,
    });
    value
}

/// A wrong reading matters if, left in, its error would move the shape by more than half the
/// tolerance (a slip toward zero ends at contact, so it can be less than 1/32).
fn judge(leaves: &[Leaf], desk: &Desk, rounds: &[Round], spreads: &Spreads, facts: &mut [Fact], first: usize) {
    if !facts[first..].iter().any(|fact| fact.wrong) {
        return;
    }
    let estimate = replay(leaves, &desk.gaps, *spreads, rounds).expect("the desk is sound");
    let stations: Vec<(usize, Length)> =
        (0..4).flat_map(|gap| desk.stations[gap].into_iter().map(move |at| (gap, at))).collect();
    for (index, fact) in facts.iter_mut().enumerate().skip(first) {
        let moves = estimate.influence(index, &stations).unwrap() * fact.error.abs();
        fact.matters = fact.wrong && moves > 0.5 * super::truth::TOLERANCE;
    }
}

/// Does what the tool asks at one station.
fn answer(
    truth: &Truth,
    desk: &Desk,
    sits: super::truth::Sits,
    ask: &Ask,
    trip: usize,
    rounds: &mut Vec<Round>,
    facts: &mut Vec<Fact>,
    questioned_good: &mut usize,
    rng: &mut ChaCha8Rng,
) {
    let edge = Edge::ALL[ask.gap];
    let station = desk.stations[ask.gap].iter().position(|&at| at == ask.at).unwrap();
    let here = |rounds: &[Round]| -> Vec<(usize, usize, usize)> {
        // (place among all, round place, place in round) of this station's readings
        let mut list = vec![];
        let mut all = 0;
        for (r, round) in rounds.iter().enumerate() {
            for (i, taken) in round.readings.iter().enumerate() {
                if taken.gap == ask.gap && taken.reading.at == ask.at {
                    list.push((all, r, i));
                }
                all += 1;
            }
        }
        list
    };
    if ask.why != Why::LooksWrong {
        take(truth, desk, sits, ask.gap, edge, station, trip, rounds, facts, rng);
        let first = facts.len() - 1;
        judge(&[desk.leaf.clone()], desk, rounds, &Spreads::default(), facts, first);
        return;
    }
    let index = ask.index.unwrap();
    let places = here(rounds);
    let &(_, round, place) = places.iter().find(|(all, _, _)| *all == index).unwrap();
    // The question is about the station: right if any reading of it in that round is wrong.
    let mut right = false;
    for &(all, r, _) in places.iter().filter(|(_, r, _)| *r == round) {
        let _ = r;
        right |= facts[all].wrong;
        facts[all].asked = true;
    }
    if !right {
        *questioned_good += 1;
    }
    if ask.earlier_round {
        rounds[round].readings[place].standing = Standing::Struck;
        return;
    }
    let was = rounds[round].readings[place].reading.mean_inches();
    let value = take(truth, desk, sits, ask.gap, edge, station, trip, rounds, facts, rng);
    facts.last_mut().unwrap().asked = true;
    let now = Reading { at: ask.at, value }.mean_inches();
    let standing = if (was - now).abs() < 1.5 / 64.0 { Standing::KeptByUser } else { Standing::Struck };
    rounds[round].readings[place].standing = standing;
}
