//! Passes that remain on the list and on the opening, and what was learned of the tools: through keys, at three
//! sizes, against kept snapshots.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Message;
use evenreveal::bench::seen::PassesSeen;
use screen_bench::{Bench, SINGLE};

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

/// The single door read, cut as advised and read again.
fn cut_and_read_again() -> Bench {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\ra"));
    bench.press("dddd");
    let cuts = bench.session.opened.as_ref().unwrap().state.round(1).unwrap().cuts.len();
    assert!(cuts > 0, "nothing was cut\n{}", bench.text());
    bench.press("\u{1b}\u{1b}\r");
    bench.press("r");
    bench.read_all_as("d", 12);
    assert_eq!(bench.session.opened.as_ref().unwrap().state.round(2).unwrap().stations(), 12, "{}", bench.text());
    bench
}

fn to_the_list(bench: &mut Bench) {
    for _ in 0..4 {
        bench.press("\u{1b}");
    }
}

#[test]
fn passes_stand_on_the_list_and_on_the_opening_never_bare() {
    let mut bench = Bench::with(&[("left door", SINGLE), ("right door", SINGLE)]);
    evenreveal::shell::deal(Message::Shown, &mut bench.session, &mut bench.runner);
    assert_eq!(bench.session.shop.openings[0].passes, PassesSeen::Known(None), "nothing read: nothing counted");
    bench.press(&format!("\rr{TWELVE}\u{1b}"));
    bench.shows("Left: 2 trips");
    bench.shows(", most ");
    bench.is_as_kept("40_opening_passes");
    let left = bench.answer();
    let trips = left.answer.as_ref().unwrap().advice.passes.as_ref().unwrap().trips;
    to_the_list(&mut bench);
    let PassesSeen::Known(Some(listed)) = bench.session.shop.openings[0].passes else {
        panic!("not counted: {:?}", bench.session.shop.openings[0])
    };
    assert_eq!(listed.passes.unwrap().trips, trips, "list and opening agree");
    bench.shows(&format!("{}, most {}", trips.median, trips.most));
    bench.is_as_kept("41_shop_passes");
}

#[test]
fn the_next_round_says_why_the_passes_changed() {
    let mut bench = cut_and_read_again();
    bench.press("\u{1b}\u{1b}\u{1b}\r");
    bench.shows("Trips: was ");
    bench.is_as_kept("42_opening_round_two");
}

#[test]
fn long_names_that_differ_at_their_end_are_told_apart() {
    let bench = Bench::with(&[("Door, middle left", SINGLE), ("Door, middle right", SINGLE)]);
    bench.shows("Door, middle left ");
    bench.shows("Door, middle right ");
}

#[test]
fn what_was_learned_rests_on_cuts_and_is_set_back_by_a_key() {
    let mut bench = cut_and_read_again();
    to_the_list(&mut bench);
    bench.press("i");
    bench.shows("Learned from the cuts of 1 opening");
    bench.shows("starting guess");
    bench.shows("rests on");
    let learned = bench.session.learned.clone().unwrap();
    let all = learned.learning;
    assert!(all.saw.cuts + all.plane.cuts > 0);
    bench.is_as_kept("43_learned");
    bench.press("r");
    assert!(bench.session.shop.settings.learning_resets.is_empty(), "one press only asks");
    bench.shows("Press r again");
    bench.press("r");
    assert_eq!(bench.session.shop.settings.learning_resets.len(), 1);
    let after = bench.session.learned.clone().unwrap();
    assert_eq!((after.openings, after.learning.saw.cuts, after.learning.plane.cuts), (0, 0, 0));
    assert_eq!(after.learning.tape.posterior, after.learning.tape.prior);
    bench.shows("Nothing learned yet");
}

#[test]
fn struck_cuts_teach_nothing() {
    let mut bench = cut_and_read_again();
    // Everything but the opening and its leaf is taken back.
    for _ in 0..60 {
        bench.press("\u{1b}");
        if bench.session.opened.is_none() {
            bench.press("\r");
        }
        bench.press("u");
    }
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert!(state.rounds.iter().all(|round| round.cuts.is_empty()), "{:?}", state.rounds);
    to_the_list(&mut bench);
    bench.press("i");
    bench.shows("Nothing learned yet");
}

#[test]
fn the_history_has_a_row_for_each_round_and_meant_against_taken_for_each_cut() {
    let mut bench = cut_and_read_again();
    bench.press("\u{1b}\u{1b}\u{1b}\rl");
    bench.shows("round 1: ");
    bench.shows("round 2: ");
    bench.shows(": meant ");
    bench.shows(", took ");
    bench.is_as_kept("44_history");
    let history = &bench.answer().history;
    assert_eq!(history.len(), 2);
    let cuts: usize = bench.session.opened.as_ref().unwrap().state.rounds.iter().map(|round| round.cuts.len()).sum();
    assert_eq!(history.iter().map(|round| round.shown.cuts.len()).sum::<usize>(), cuts);
    assert!(history[0].read_since && !history[1].read_since);
}
