//! Screens of the job before hanging, through real keys at three sizes.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{BARE, Bench};

/// From the bare opening to flush corners, by keys alone.
#[test]
fn from_the_bare_opening_to_flush_corners() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\r");
    bench.shows("measure the opening");
    bench.press("\r");
    bench.shows("- survey");
    // Width bottom, top; heights; a diagonal; the right side hollow. Leaving keeps it.
    bench.press("11 3/16\r\r11 1/4\r26 3/16\r\r26 3/16\r28 1/2\r\r\r1/32");
    bench.is_as_kept("40_survey");
    bench.press("\u{1b}");
    bench.shows("kept, event 2");
    bench.shows("size the blank");
    bench.press("\r");
    bench.is_as_kept("41_blank_form");
    bench.press("\t\t\t\t\t\t\t\t\t\t\tcherry black\r\r\r\rlacquer\r\r");
    bench.shows("finished 11 x 26, rough 11 1/8 x 26 1/8");
    bench.press(" ");
    bench.shows("[x] 1 left stile");
    bench.is_as_kept("42_blank");
    bench.press("a");
    bench.shows("kept, event 5");
    bench.press("\u{1b}g");
    bench.shows("damp end");
    bench.is_as_kept("43_year");
    bench.press("a");
    bench.shows("kept, event 6");
    let targets: Vec<_> = bench.session.opened.as_ref().unwrap().state.gaps.iter().map(|gap| gap.target).collect();
    assert!(targets.iter().any(|target| *target > evenreveal::fit::length::Length::ratio(3, 32)), "{targets:?}");
    bench.press("a");
    bench.shows("what is fitted to already");
    bench.press("\u{1b}w");
    bench.shows("must be 0.034 in");
    bench.is_as_kept("44_swing");
    bench.press("\u{1b}f");
    bench.press("1/16\r0\r0\r1/16\r3, 23\r");
    bench.shows("of wind at each corner");
    bench.is_as_kept("45_flush");
    bench.press("\u{1b}\u{1b}v");
    bench.shows("3/4 thick, 2 1/16 wide");
    bench.is_as_kept("46_cut_list");
    bench.press(" ");
    bench.shows("it is glued up: its parts are sawn");
    bench.press("\u{1b}a");
    bench.is_as_kept("47_assign");
}

/// Nothing typed is lost: a field that is no length keeps one on the screen.
#[test]
fn what_is_typed_is_kept_or_said() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\rs11 3/x\u{1b}");
    bench.shows("is not a length");
    bench.press("\u{8}16\u{1b}");
    bench.shows("kept, event 2");
    bench.press("u");
    bench.shows("taken back: event 2");
    bench.key(KeyCode::Char('y'), KeyModifiers::CONTROL);
    bench.press("s");
    bench.shows("11 3/16_");
}

/// The tape reading that contradicts the rest is named while it is typed.
#[test]
fn the_mistaken_reading_is_named() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\rs11 3/16\r11 3/16\r11 3/16\r26 3/16\r26 3/16\r27 3/16\r28 1/2\r28 1/2");
    bench.shows("measure again");
}

/// A pair without sizes: named, hinged, and sized from the survey.
/// (24 1/4 - 3 x 3/32)/2 = 11 63/64; 30 - 2 x 3/32 = 29 13/16.
#[test]
fn a_new_opening_may_leave_the_size_to_the_survey() {
    let mut bench = Bench::with(&[]);
    bench.press("npair\r");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r\r\r\r\r");
    bench.shows("measure the opening");
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert_eq!(state.leaf_ids(), ["A", "B"]);
    assert_eq!(state.hinge_of("B"), Some(evenreveal::fit::opening::Side::Right));
    bench.press("s24 1/4\r\r\r30\u{1b}b");
    bench.press("\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\r");
    bench.shows("A: finished 11 63/64 x 29 13/16");
}
