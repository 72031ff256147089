//! Readings to ask about at once, in place, while the feeler is still in the hand.

use super::rounds::{self, Look};
use super::stations::StationPlace;
use crate::fit::estimate::{Spreads, Standing};
use crate::fit::length::{Inches, Length};
use crate::fit::policy::{Ask, Policy};
use crate::fit::reading::Reading;
use crate::shop::OpeningState;
use crate::shop::event::{ReadingJudged, ReadingStored};

/// A reading that does not go with the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surprise {
    /// What all the others lead one to expect.
    pub expected: Inches,
    /// What was read.
    pub read: Reading,
}

/// Which reading is asked about.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// One just entered, not kept yet.
    New(ReadingStored),
    /// One of the log.
    Kept {
        /// Which, judged to stand.
        judged: ReadingJudged,
        /// Is it of a round before this one? Then it cannot be taken again.
        earlier: bool,
    },
}

/// A question about a reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// About which.
    pub doubt: Doubt,
    /// Why.
    pub surprise: Surprise,
}

impl Asked {
    /// Can the reading be taken again?
    pub fn can_be_retaken(&self) -> bool {
        !matches!(self.doubt, Doubt::Kept { earlier: true, .. })
    }

    /// About the doubted reading of `ask`, which is of the log; `None` if it names none.
    pub fn about(ask: &Ask, judged: ReadingJudged, look: &Look) -> Option<Self> {
        let surprise = Surprise { expected: ask.expected.mean, read: look.sources.get(ask.index?)?.reading };
        Some(Self { doubt: Doubt::Kept { judged, earlier: ask.earlier_round }, surprise })
    }
}

/// How far from its reveal a gap or a lap is believed without a question, inches: more is likelier a slip of the
/// finger or of the unit than a leaf. Our own choice, no source.
pub const BELIEVED: f64 = 0.25;

/// A reading farther from the reveal `target` than any leaf that is worth reading.
pub fn beyond_belief(target: Length, reading: &Reading) -> Option<Surprise> {
    let expected = Inches(target.inches());
    ((reading.mean_inches() - expected.0).abs() > BELIEVED).then_some(Surprise { expected, read: *reading })
}

/// Does `reading` go with all that is known from every round, the readings of round `round` so far
/// included? What was read at the same station of that round does not count: it is being mended or
/// taken again. `None` where there is nothing to ask.
pub fn surprise(
    state: &OpeningState,
    spreads: Spreads,
    round: u32,
    station: &StationPlace,
    reading: &Reading,
) -> Option<Surprise> {
    let mut state = state.clone();
    let same = |gap: usize, at| gap == station.gap && at == station.at;
    for one in state.rounds.iter_mut().filter(|one| one.number == round) {
        one.taken.retain(|old| !same(old.taken.gap, old.taken.reading.at));
    }
    let mut estimate = rounds::expecting(&state, spreads, round).ok()?;
    let seen = estimate.observe(station.gap, reading).ok()?;
    if seen.asks() {
        return Some(Surprise { expected: seen.expected.mean, read: *reading });
    }
    // Within three spreads, yet of all readings the likeliest to be wrong: the advice would ask about it later.
    let reviews = estimate.review();
    let plain = reviews.iter().filter(|one| one.standing == Standing::Plain);
    let worst = plain.max_by(|a, b| a.wrong.total_cmp(&b.wrong))?;
    let newest = reviews.iter().map(|one| one.index).max()?;
    let asks = worst.index == newest && worst.wrong >= Policy::default().ask_from;
    asks.then_some(Surprise { expected: worst.expected.mean, read: *reading })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::stations;
    use crate::fit::reading::Value;
    use crate::shop::event::{Event, GapRead, ReadingsTaken, Record};

    const DOOR: &str = r#"{"event":"opening","gaps":[
      {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
      {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
    {"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left"}"#;

    fn evenly_read(but_last: usize) -> (OpeningState, Vec<StationPlace>) {
        let mut events: Vec<Event> = serde_json::Deserializer::from_str(DOOR).into_iter().map(Result::unwrap).collect();
        let replay = |events: &[Event]| {
            let at = || "2026-01-01T00:00:00Z".to_owned();
            let records: Vec<_> =
                (1..).zip(events).map(|(n, event)| Record { n, at: at(), event: event.clone() }).collect();
            OpeningState::replay(&records)
        };
        let state = replay(&events);
        let walk = stations::walk(&state, 1);
        for station in walk.iter().take(walk.len() - but_last) {
            let between = state.gaps[station.gap].between.clone();
            let gap = Some(Length::ratio(1, 16));
            let (goes, stops, lap) = (None, None, None);
            let reading = ReadingStored { at: station.at, gap, goes, stops, lap, again: false, kept: false };
            events.push(Event::Readings(ReadingsTaken {
                round: 1,
                gaps: vec![GapRead { between, readings: vec![reading] }],
            }));
        }
        (replay(&events), walk)
    }

    fn against(state: &OpeningState, station: &StationPlace, sixty_fourths: i64) -> Option<Surprise> {
        let reading = Reading { at: station.at, value: Value::Gap(Length::ratio(sixty_fourths, 64)) };
        surprise(state, Spreads::default(), 1, station, &reading)
    }

    #[test]
    fn the_last_of_twelve_even_readings_is_asked_about_when_it_is_a_sixteenth_off() {
        let (state, walk) = evenly_read(1);
        let last = walk.last().unwrap();
        assert_eq!(against(&state, last, 4), None);
        let asked = against(&state, last, 8).unwrap();
        assert!((asked.expected.0 - 1.0 / 16.0).abs() < 0.008, "{asked:?}");
        assert!((asked.read.mean_inches() - 1.0 / 8.0).abs() < 1e-9);
    }

    #[test]
    fn a_first_reading_surprises_nobody() {
        let (state, walk) = evenly_read(12);
        assert_eq!(against(&state, &walk[0], 1), None);
        assert_eq!(against(&state, &walk[0], 24), None);
    }

    #[test]
    fn two_inches_are_no_gap() {
        let target = Length::ratio(3, 32);
        let typed = |value| beyond_belief(target, &Reading { at: Length::ZERO, value });
        assert!(typed(Value::Gap(Length::ratio(2, 1))).is_some());
        assert!(typed(Value::Gap(Length::ratio(100, 254))).is_some(), "10 mm");
        assert!(typed(Value::Lap(Length::ratio(1, 1))).is_some());
        // Pushed into a corner, a leaf with an eighth to trim shows a gap like this.
        assert_eq!(typed(Value::Gap(Length::ratio(5, 16))), None);
        assert_eq!(typed(Value::Lap(Length::ratio(1, 8))), None);
    }

    #[test]
    fn a_reading_that_is_mended_is_not_held_against_what_it_replaces() {
        let (state, walk) = evenly_read(11);
        assert_eq!(against(&state, &walk[0], 12), None, "the one station read so far is taken anew");
    }
}
