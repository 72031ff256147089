//! Depth screws by keys: the corners are read, the screws are turned as advised or otherwise, and what was turned is
//! kept: the corners expected after it, what the screws have left, undo.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::prepare::flushness::{LeafFlush, flushes};
use evenreveal::fit::length::Length;
use evenreveal::shop::replay::Stage;
use screen_bench::{Bench, SINGLE};

/// Hung at 3 and 23 of 26 on depth screws of 1/8 either way.
const HUNG: &str = r#"{"event":"hung","leaf":"A","motion":{"hung":{"hinges":["3","23"],"pack":"0","let_in":"0","stock":[],
    "adjust":{"depth":{"from":"-1/8","to":"1/8"}}}}}"#;
const READ: &str =
    r#"{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"3/32"}]}]}"#;

fn bench() -> Bench {
    let mut bench = Bench::with(&[("door", &format!("{SINGLE}\n{HUNG}\n{READ}"))]);
    bench.press("\rf");
    bench
}

fn known(bench: &Bench) -> LeafFlush {
    let opened = bench.session.opened.as_ref().unwrap();
    flushes(&opened.state, &bench.session.shop.settings).remove(0)
}

/// Upper left, upper right, lower left, lower right; then the hinges as they are.
fn corners(bench: &mut Bench, corners: [&str; 4]) {
    for corner in corners {
        bench.press(&format!("{}{corner}\r", "\u{8}".repeat(12)));
    }
    bench.press("\r");
}

fn words(bench: &Bench) -> Vec<&'static str> {
    bench.session.opened.as_ref().unwrap().records.iter().map(|record| record.event.word()).collect()
}

/// The hinge side stands 1/16 proud from end to end and the latch side is flush: no wind, both screws 1/16 back.
#[test]
fn turned_as_advised_the_corners_are_expected_flush_and_the_gaps_stay_read() {
    let mut bench = bench();
    corners(&mut bench, ["1/16", "0", "1/16", "0"]);
    bench.shows("hinge 3 up: 1/16 back, by its depth screw");
    bench.shows("> depth screws");
    bench.is_as_kept("76_flush_read");
    bench.press("a\r");
    assert_eq!(words(&bench)[4..], ["flush", "depth"]);
    let leaf = known(&bench);
    assert_eq!(leaf.expected.unwrap().unwrap().each(), [Length::ZERO; 4]);
    bench.shows("expected now (catch halfway up): upper left flush, upper right flush");
    bench.shows("should be flush within 1/64 now: read its corners again");
    bench.is_as_kept("77_flush_turned");
    // The gaps are the same as before: no round ends by a depth screw.
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert_eq!(state.stage(), Stage::Decide { round: 1 });
    // Each screw has 1/16 left to go back, and 3/16 forward.
    let left = state.depth_left("A", Length::ratio(3, 1)).unwrap();
    assert_eq!((left.from, left.to), (Length::ratio(-1, 16), Length::ratio(3, 16)));
    // Nothing was read yet: Enter through the empty corners keeps nothing.
    bench.press("\r\r\r\r\r\r");
    assert_eq!(words(&bench).len(), 6);
    // What is undone is said in words.
    bench.press("\u{1b}");
    bench.press("u");
    bench.shows("taken back: event 6, depth screws of A turned: 3 by 1/16 back, 23 by 1/16");
    assert!(known(&bench).expected.is_none());
}

/// The reading after the screws stands for itself; a corner elsewhere than they should have taken it is said.
#[test]
fn a_corner_that_did_not_follow_the_screws_is_asked_about() {
    let mut bench = bench();
    corners(&mut bench, ["1/16", "0", "1/16", "0"]);
    bench.press("a\r");
    corners(&mut bench, ["0", "3/64", "0", "0"]);
    bench.shows("> depth screws");
    bench.press("\r");
    bench.shows("! upper right: expected flush after the screws, read 3/64 proud");
    assert_eq!(words(&bench)[4..], ["flush", "depth", "flush"]);
    bench.is_as_kept("78_flush_missed");
    // What is read without a screw turned before it is held against nothing.
    bench.press("\u{1b}f");
    corners(&mut bench, ["0", "0", "0", "0"]);
    bench.press("\r");
    assert_eq!(words(&bench)[4..], ["flush", "depth", "flush", "flush"]);
    assert!(!bench.text().contains("after the screws"), "{}", bench.text());
}

/// Turned otherwise: the upper hinge alone 1/16 back, 20 between the hinges. At the leaf's lower end (3 below the
/// lower hinge) the hinge edge comes forward by 3/20 of 1/16, at its upper end it goes back by 23/20 of 1/16; about a
/// catch halfway up, the latch corners go by half the difference (26/20 of 1/16 over 2), the lower one forward... by
/// hand: lower hinge-side 0.009375, upper −0.071875, latch lower +0.040625, upper −0.040625.
#[test]
fn turned_otherwise_a_rigid_leaf_keeps_its_wind() {
    let mut bench = bench();
    corners(&mut bench, ["1/16", "0", "0", "1/32"]);
    let wind = |leaf: &LeafFlush| leaf.flush.as_ref().unwrap().wind;
    let before = wind(&known(&bench));
    bench.press("-1/16\r");
    bench.shows("1 turns are typed, and there are 2 depth screws");
    bench.press(&"\u{8}".repeat(9));
    bench.press("0, -1/16\r");
    let leaf = known(&bench);
    let moved: Vec<f64> = leaf.expected.unwrap().unwrap().each().iter().map(|corner| corner.inches()).collect();
    let wanted = [0.009_375, 0.031_25 + 0.040_625, 0.0625 - 0.071_875, -0.040_625];
    for (moved, wanted) in moved.iter().zip(wanted) {
        assert!((moved - wanted).abs() < 2e-6, "{moved} for {wanted}");
    }
    assert!((wind(&leaf).inches() - before.inches()).abs() < 2e-6);
}

/// A reading entered without the heights of the hinges is the same reading.
#[test]
fn corners_entered_without_hinges_are_followed_by_turns() {
    let read = r#"{"event":"flush","leaf":"A","corners":["1/16","0","1/16","0"]}"#;
    let mut bench = Bench::with(&[("door", &format!("{SINGLE}\n{HUNG}\n{read}"))]);
    bench.press("\rf\r\r\r\r\ra\r");
    assert_eq!(words(&bench)[3..], ["flush", "depth"]);
}

#[test]
fn corners_and_turns_are_kept_one_after_the_other() {
    let mut bench = bench();
    corners(&mut bench, ["1/16", "0", "1/16", "0"]);
    bench.press("a");
    for _ in 0..5 {
        bench.key(ratatui::crossterm::event::KeyCode::Up, ratatui::crossterm::event::KeyModifiers::NONE);
    }
    bench.press(&"\u{8}".repeat(12));
    bench.press("1/32\r\r\r\r\r\r");
    bench.shows("the corners are not kept yet");
    assert_eq!(words(&bench).last(), Some(&"flush"));
}

#[test]
fn a_screw_that_no_leaf_has_is_refused() {
    let turned = |screws: &str| {
        let event = format!(r#"{{"event":"depth","leaf":"A","screws":[{screws}]}}"#);
        let events = serde_json::from_str(&event).map(|event| vec![event]).unwrap();
        let bench = bench();
        let path = bench.dir.path().to_owned();
        drop(bench.session);
        drop(bench.runner);
        let holder = evenreveal::shop::Holder { pid: 2, host: "bench".to_owned(), since: screen_bench::AT.to_owned() };
        let shop = evenreveal::shop::Shop::open(&path, &evenreveal::shop::Access::Write(holder)).unwrap();
        let entered = shop.opening("door").unwrap().enter(events, screen_bench::AT);
        entered.map(|_| ()).map_err(|error| error.to_string())
    };
    assert!(turned(r#"{"hinge":"3","forward":"0"}"#).unwrap_err().contains("none is turned"));
    assert!(turned(r#"{"hinge":"30","forward":"1/16"}"#).unwrap_err().contains("screws[0].hinge"));
    let twice = r#"{"hinge":"3","forward":"1/16"},{"hinge":"3","forward":"1/16"}"#;
    assert!(turned(twice).unwrap_err().contains("screws[1].hinge"));
    assert_eq!(turned(r#"{"hinge":"3","forward":"1/16"},{"hinge":"23","forward":"-1/16"}"#), Ok(()));
}
