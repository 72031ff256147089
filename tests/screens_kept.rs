//! Nothing a user typed is lost: a form stays until it is kept, and is there again when it was left before that.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{BARE, Bench, SINGLE};

/// A width of nothing is refused by the log's checks: the survey stays, then waits, then is kept.
#[test]
fn a_refused_survey_stays_on_the_screen() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\rs0\r\r\r26 3/16\u{1b}");
    bench.shows("- survey");
    bench.shows("26 3/16");
    bench.shows("!!");
    assert_eq!(bench.session.opened.as_ref().unwrap().records.len(), 1);
    bench.press("\u{1b}");
    bench.shows("set aside");
    bench.press("s");
    bench.shows("26 3/16");
    bench.press("\u{8}11 3/16\u{1b}");
    bench.shows("kept, event 2");
    bench.press("s");
    bench.shows("11 3/16_");
    bench.press("\u{1b}");
    assert_eq!(bench.session.opened.as_ref().unwrap().records.len(), 2, "what is the same is not kept twice");
}

/// While the survey is typed no event is taken back behind it, and the survey stays as it is.
#[test]
fn an_undo_does_not_close_the_survey() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\rnfirst\r");
    bench.shows("kept, event 2");
    bench.press("s11 1/8");
    bench.key(KeyCode::Char('z'), KeyModifiers::CONTROL);
    bench.shows("no event is taken back");
    bench.shows("11 1/8_");
    assert_eq!(bench.session.opened.as_ref().unwrap().records.len(), 2);
}

#[test]
fn a_build_form_left_half_way_is_there_again() {
    let mut bench = Bench::with(&[("left door", BARE)]);
    bench.press("\rs11 3/16\r\r\r26 3/16\u{1b}b");
    bench.press("\t\u{8}\u{8}\u{8}13/16\u{1b}");
    bench.shows("set aside");
    bench.press("m");
    bench.shows("13/16");
    // From Home, too: and a complaint keeps it all.
    bench.press("\u{1b}\u{1b}b");
    bench.shows("13/16");
    bench.press("\t\tx\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\r");
    bench.shows("is not a length");
    bench.shows("13/16");
    bench.press("\u{8}\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\r");
    bench.shows("kept, event 3");
    bench.press("m");
    bench.shows("13/16");
    bench.press("\u{1b}");
    assert!(!bench.text().contains("set aside"), "nothing new was typed\n{}", bench.text());
}

#[test]
fn a_half_filled_flush_form_can_be_left_and_waits() {
    let mut bench = Bench::with(&[("left door", SINGLE)]);
    bench.press("\rf1/16\r0\u{1b}");
    bench.shows("Esc again sets it aside");
    bench.press("\u{1b}");
    bench.shows("set aside");
    bench.press("f");
    bench.shows("1/16_");
    bench.press("\t\t0\t0\t3, 23\r");
    bench.shows("kept, event 3");
    bench.press("\u{1b}f");
    bench.shows("1/16_");
    assert!(!bench.text().contains("set aside"));
}

#[test]
fn a_note_and_a_new_opening_wait_too() {
    let mut bench = Bench::with(&[("left door", SINGLE)]);
    bench.press("\rnhinge side planed\u{1b}");
    bench.shows("set aside");
    bench.press("n");
    bench.shows("hinge side planed_");
    bench.press("\r");
    bench.shows("kept, event 3");
    bench.press("n");
    assert!(!bench.text().contains("hinge side planed_"));
    bench.press("\u{1b}\u{1b}nright door\u{1b}");
    bench.shows("set aside");
    bench.press("n");
    bench.shows("right door_");
}
