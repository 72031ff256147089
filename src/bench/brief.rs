//! The next thing to do in an opening, in one place: the list, the opening's own screen, the pages to print and
//! the commands all name it from here, so that no two of them differ.

use super::rounds::{Look, PassesLeft};
use super::{readings, words};
use crate::fit::policy::{Next, Spread, Why};
use crate::shop::OpeningState;
use crate::shop::replay::Stage;

/// What the advice on a round comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// One reading of this round looks wrong: look at it again.
    Check,
    /// One reading of an earlier round looks wrong: it stands or is struck.
    Judge,
    /// So many stations are to be read once more.
    ReadAgain(u32),
    /// So many ends of edges are not read, and without them nothing can be said.
    ReadRest(u32),
    /// The round is over, and doubt came up since: read the gaps again.
    ReadAnew,
    /// Pack a hinge first.
    Pack,
    /// Cut as the plan says.
    Cut,
    /// It fits when it sits as the plan shows.
    Fits,
    /// Wood is missing.
    Short,
    /// Nothing would make it surer or better.
    AsGood,
}

/// The advice on an opening's latest round that was read, as far as a line of a list has room for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Brief {
    /// Number of that round.
    pub round: u32,
    /// What to do next.
    pub thing: Thing,
    /// Passes that remain; none where nothing can be said.
    pub passes: Option<PassesLeft>,
    /// Does the advice differ from the accepted plan now?
    pub differs: bool,
}

impl Thing {
    /// In a word, for programs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Check | Self::Judge | Self::ReadAgain(_) | Self::ReadRest(_) | Self::ReadAnew => "read",
            Self::Pack => "pack",
            Self::Cut => "cut",
            Self::Fits => "fitted",
            Self::Short => "short",
            Self::AsGood => "as-good-as-it-gets",
        }
    }
}

/// Numbers that a [`Brief`] is written as.
const NUMBERS: usize = 11;

impl Brief {
    /// Of the whole advice.
    pub fn of(look: &Look, state: &OpeningState) -> Self {
        let thing = match &look.advice.next {
            Next::Read(asks) => {
                let mut places: Vec<_> = asks.iter().map(|ask| (ask.gap, ask.at)).collect();
                places.sort_unstable();
                places.dedup();
                let stations = u32::try_from(places.len()).unwrap_or(u32::MAX);
                match asks.first() {
                    Some(ask) if ask.why == Why::LooksWrong && ask.earlier_round => Thing::Judge,
                    _ if readings::round_to_read(state) != look.round => Thing::ReadAnew,
                    Some(ask) if ask.why == Why::LooksWrong => Thing::Check,
                    Some(ask) if ask.why == Why::NotRead => Thing::ReadRest(stations),
                    _ => Thing::ReadAgain(stations),
                }
            }
            Next::Pack(_) => Thing::Pack,
            Next::Cut(_) => Thing::Cut,
            Next::Fitted => Thing::Fits,
            Next::Short => Thing::Short,
            Next::AsGoodAsItGets => Thing::AsGood,
        };
        let differs = look.accepted.as_ref().is_some_and(|accepted| accepted.differs);
        Self { round: look.round, thing, passes: look.passes_left(state), differs }
    }

    /// As plain numbers, to be kept and read again by [`Brief::from_numbers`].
    pub fn numbers(&self) -> [u64; NUMBERS] {
        let (thing, stations) = match self.thing {
            Thing::Check => (0, 0),
            Thing::Judge => (1, 0),
            Thing::ReadAgain(stations) => (2, stations),
            Thing::ReadAnew => (3, 0),
            Thing::Pack => (4, 0),
            Thing::Cut => (5, 0),
            Thing::Fits => (6, 0),
            Thing::Short => (7, 0),
            Thing::AsGood => (8, 0),
            Thing::ReadRest(stations) => (9, stations),
        };
        let left = self.passes.unwrap_or_default();
        let known = u32::from(self.passes.is_some());
        let [trips, saw, plane] = [left.trips, left.saw, left.plane].map(|spread| [spread.median, spread.most]);
        let differs = u32::from(self.differs);
        [self.round, thing, stations, known, trips[0], trips[1], saw[0], saw[1], plane[0], plane[1], differs]
            .map(u64::from)
    }

    /// What [`Brief::numbers`] wrote; `None` if these are no such numbers.
    pub fn from_numbers(numbers: &[u64]) -> Option<Self> {
        let numbers: [u64; NUMBERS] = numbers.try_into().ok()?;
        let mut small = [0_u32; NUMBERS];
        for (small, number) in small.iter_mut().zip(numbers) {
            *small = u32::try_from(number).ok()?;
        }
        let [round, thing, stations, known, trips @ .., saw, saw_most, plane, plane_most, differs] = small;
        let spread = |median, most| Spread { median, most };
        let thing = match thing {
            0 => Thing::Check,
            1 => Thing::Judge,
            2 => Thing::ReadAgain(stations),
            3 => Thing::ReadAnew,
            4 => Thing::Pack,
            5 => Thing::Cut,
            6 => Thing::Fits,
            7 => Thing::Short,
            8 => Thing::AsGood,
            9 => Thing::ReadRest(stations),
            _ => return None,
        };
        let passes = PassesLeft {
            trips: spread(trips[0], trips[1]),
            saw: spread(saw, saw_most),
            plane: spread(plane, plane_most),
        };
        Some(Self { round, thing, passes: (known == 1).then_some(passes), differs: differs == 1 })
    }
}

/// Is the advice what matters now: the round is read and nothing was cut or decided that ends it?
fn thing(stage: Stage, brief: Option<&Brief>) -> Option<Thing> {
    let brief = brief?;
    match stage {
        Stage::Decide { round } | Stage::Fitted { round } | Stage::Settled { round } | Stage::Short { round }
            if round == brief.round =>
        {
            Some(brief.thing)
        }
        _ => None,
    }
}

/// The next thing, short enough for large letters and for a column of the list.
pub fn big(stage: Stage, brief: Option<&Brief>) -> String {
    match thing(stage, brief) {
        None => return words::next(stage),
        Some(Thing::Check | Thing::Judge) => "Check a reading",
        Some(Thing::ReadAgain(_)) => "Read again",
        Some(Thing::ReadRest(_)) => "Read the rest",
        Some(Thing::ReadAnew) => "Read it again",
        Some(Thing::Fits) => "It fits",
        Some(Thing::Short) => "Wood is missing",
        Some(Thing::AsGood) => "As good as it gets",
        Some(Thing::Pack | Thing::Cut) => "See the plan",
    }
    .to_owned()
}

/// The next thing on a line of its own, without keys.
pub fn line(stage: Stage, brief: Option<&Brief>) -> String {
    let settled = matches!(stage, Stage::Fitted { .. } | Stage::Settled { .. });
    let Some(thing) = thing(stage, brief) else {
        let differs = brief.is_some_and(|brief| brief.differs && matches!(stage, Stage::Cut { .. }));
        return of_stage(stage) + if differs { "; but the advice differs now: see the plan first" } else { "" };
    };
    let what = match thing {
        Thing::Fits | Thing::AsGood if settled => return of_stage(stage),
        Thing::Check => "check a reading that looks wrong".to_owned(),
        Thing::Judge => "a reading of an earlier round looks wrong: keep it or strike it".to_owned(),
        Thing::ReadAgain(1) => "read 1 station again".to_owned(),
        Thing::ReadAgain(many) => format!("read {many} stations again"),
        Thing::ReadRest(1) => "read 1 more station: an edge is not known".to_owned(),
        Thing::ReadRest(many) => format!("read {many} more stations: edges are not known"),
        Thing::ReadAnew => "doubt came up since: read the gaps again".to_owned(),
        Thing::Pack => "see to the hinges first, as the plan says".to_owned(),
        Thing::Cut => "see the plan".to_owned(),
        Thing::Fits => "it fits; accept it in the plan".to_owned(),
        Thing::Short => "wood is missing; the plan says what would help".to_owned(),
        Thing::AsGood => "as good as it gets; accept it in the plan".to_owned(),
    };
    match brief {
        Some(brief) => format!("round {}: {what}", brief.round),
        None => what,
    }
}

fn of_stage(stage: Stage) -> String {
    match stage {
        Stage::Unsound(kind) => words::unsound(kind).to_owned(),
        Stage::Describe => "describe the opening and its leaves".to_owned(),
        Stage::Survey => "measure the opening".to_owned(),
        Stage::Resurvey => "measure the opening again: its readings contradict each other".to_owned(),
        Stage::Blank => "size the blank".to_owned(),
        Stage::Read { round } => format!("round {round}: read the gaps"),
        Stage::Decide { round } => format!("round {round}: see the plan"),
        Stage::Cut { round, left, packs } => format!("round {round}: {}", words::to_do(left, packs)),
        Stage::Fitted { round } => format!("it fits, after round {round}"),
        Stage::Settled { round } => format!("as good as it gets, after round {round}"),
        Stage::Short { round } => format!("round {round}: wood is missing; the plan says what would help"),
    }
}

/// Does the advice agree that nothing is left to do where the log says so?
pub fn is_over(stage: Stage, brief: Option<&Brief>) -> bool {
    thing(stage, brief).is_none_or(|thing| match stage {
        Stage::Short { .. } => thing == Thing::Short,
        _ => matches!(thing, Thing::Fits | Thing::AsGood),
    })
}

/// Is a cut the next thing, by an accepted plan or by the advice? Then its cautions stand with it.
pub fn proposes_a_cut(stage: Stage, brief: Option<&Brief>) -> bool {
    match thing(stage, brief) {
        Some(thing) => thing == Thing::Cut,
        None => matches!(stage, Stage::Cut { left, .. } if left > 0),
    }
}

/// Is nothing left to do, as far as the advice (or, without one, the log) says?
pub fn is_fitted(stage: Stage, brief: Option<&Brief>) -> bool {
    match thing(stage, brief) {
        Some(thing) => thing == Thing::Fits,
        None => matches!(stage, Stage::Fitted { .. }),
    }
}
