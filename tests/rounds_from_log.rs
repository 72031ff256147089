//! From a log to what is believed and advised: rounds as the estimate takes them, passes with what was done since
//! taken off, learned spreads in the places of the starting guesses.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::knowing::evidence;
use evenreveal::bench::rounds::{self, Choice, LookError, Told};
use evenreveal::fit::estimate::{Method, Standing};
use evenreveal::fit::learn::learn_from;
use evenreveal::fit::length::Length;
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::shop::OpeningState;
use evenreveal::shop::settings::Settings;
use screen_bench::Bench;

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

fn state(bench: &Bench) -> OpeningState {
    bench.session.opened.as_ref().unwrap().state.clone()
}

fn read() -> Bench {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\r"));
    bench
}

fn cut_and_read_again() -> Bench {
    let mut bench = read();
    bench.press("adddd\u{1b}\u{1b}\u{1b}\rr");
    bench.read_all_as("d", 12);
    bench
}

#[test]
fn nothing_read_is_said_as_that() {
    let mut bench = Bench::new();
    bench.press("\r");
    let look = rounds::look(&state(&bench), &Settings::default(), rounds::spreads(None), Choice::default());
    assert_eq!(look, Err(LookError::NothingRead));
    assert_eq!(rounds::last_read(&state(&bench), u32::MAX), None);
}

#[test]
fn rounds_and_stations_of_the_log_are_those_of_the_estimate() {
    let state = state(&cut_and_read_again());
    let told = Told::of(&state, u32::MAX).unwrap();
    assert_eq!(told.numbers, [1, 2]);
    assert_eq!(told.sources.len(), 24);
    assert_eq!(told.rounds.iter().map(|round| round.readings.len()).collect::<Vec<_>>(), [12, 12]);
    assert_eq!(told.rounds[0].cuts.len(), state.round(1).unwrap().cuts.len());
    // A cut edge moves its corner by less than a station is apart: the second round reads the same stations.
    for taken in &told.rounds[1].readings {
        let met = |one: &&evenreveal::fit::estimate::TakenReading| one.gap == taken.gap;
        let mut before = told.rounds[0].readings.iter().filter(met);
        assert!(before.any(|one| one.reading.at == taken.reading.at), "{taken:?} is a station of its own");
    }
    assert_eq!(Told::of(&state, 1).unwrap().numbers, [1], "as it was before round 2");
    assert!(Told::of(&state, 1).unwrap().before_last_cuts().rounds[0].cuts.is_empty());
    assert_eq!(rounds::last_read(&state, u32::MAX), Some(2));
    assert_eq!(rounds::last_read(&state, 1), Some(1));
}

#[test]
fn the_look_of_a_round_does_not_change_by_cutting_after_it() {
    let mut bench = read();
    let ask = |state: &OpeningState| {
        rounds::look(state, &Settings::default(), rounds::spreads(None), Choice::default()).unwrap()
    };
    let before = ask(&state(&bench));
    let left = before.passes_left(&state(&bench)).unwrap();
    bench.press("ad");
    let now = state(&bench);
    let cut = &now.round(1).unwrap().cuts;
    assert_eq!(cut.len(), 1);
    let anew = Choice { anew: true, ..Choice::default() };
    let anew = rounds::look(&now, &Settings::default(), rounds::spreads(None), anew).unwrap();
    assert_eq!(anew.advice, before.advice);
    // The accepted plan has the same cuts, and says that it is accepted.
    let after = ask(&now);
    assert_eq!(after.cuts().len(), before.cuts().len());
    for (then, cut) in before.cuts().iter().zip(after.cuts()) {
        assert_eq!((cut.leaf, cut.edge, cut.method), (then.leaf, then.edge, then.method));
        assert!((0..2).all(|end| (cut.aim[end].0 - then.aim[end].0).abs() < 1e-5));
    }
    let known = after.accepted.as_ref().unwrap();
    assert!(!known.differs && known.done.len() == 1 && *known.now == before.advice);
    // The cut that was made is no longer to come.
    let less = after.passes_left(&now).unwrap();
    let [saw, plane] = if rounds::method(&cut[0].what.method) == Method::Saw { [1, 0] } else { [0, 1] };
    assert_eq!((less.saw.median + saw, less.plane.median + plane), (left.saw.median, left.plane.median));
    assert_eq!(less.trips, left.trips);
}

#[test]
fn learned_figures_stand_in_the_places_of_the_guesses() {
    let guess = rounds::spreads(None);
    let bench = cut_and_read_again();
    let evidence = evidence(&state(&bench), None).expect("cuts were read again");
    let learning = learn_from(&guess, std::iter::once(&evidence));
    let spreads = rounds::spreads(Some(&learning));
    assert_eq!((spreads.tape, spreads.plane), (learning.tape.posterior, learning.plane.posterior));
    assert_eq!(spreads.saw_common, learning.saw.posterior);
    assert_eq!(spreads.gross, guess.gross, "how readings err is not learned from cuts");
    assert!(learning.saw.cuts + learning.plane.cuts > 0);
    assert!(learning.plane.posterior.sd <= learning.plane.prior.sd, "more cuts never make it less sure");
    assert!(learning.tape.posterior.sd <= learning.tape.prior.sd);
}

#[test]
fn cuts_not_read_again_and_rounds_before_a_reset_teach_nothing() {
    let mut bench = read();
    bench.press("adddd");
    assert!(!state(&bench).round(1).unwrap().cuts.is_empty());
    assert_eq!(evidence(&state(&bench), None), None, "what they took is not known yet");
    let bench = cut_and_read_again();
    assert!(evidence(&state(&bench), Some("2000-01-01T00:00:00Z")).is_some());
    assert_eq!(evidence(&state(&bench), Some("9999-01-01T00:00:00Z")), None);
}

#[test]
fn a_second_look_that_agrees_keeps_the_first_and_one_that_differs_strikes_it() {
    let read = |n: i64| Reading { at: Length::ratio(1, 1), value: Value::Gap(Length::ratio(n, 128)) };
    assert_eq!(rounds::retaken(&read(8), &read(10)), Standing::KeptByUser);
    assert_eq!(rounds::retaken(&read(8), &read(12)), Standing::Struck);
}
