//! Whole screens through real key events, at three sizes, text and style both, against kept snapshots.
//!
//! `EVENREVEAL_KEEP_SCREENS=1 cargo test --test screens` writes them anew; look at every difference.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::screen::theme::Palette;
use evenreveal::shop::{Access, Shop};
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SIZES, text};

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

#[test]
fn the_whole_job_screen_by_screen() {
    let mut bench = Bench::new();
    bench.is_as_kept("01_shop");
    bench.press("\r");
    bench.is_as_kept("02_opening_fresh");
    bench.press("r");
    bench.is_as_kept("03_readings_begin");
    let before = bench.presses;
    bench.press(TWELVE);
    assert!(bench.presses - before <= 40, "{} key presses", bench.presses - before);
    bench.shows("all read");
    bench.is_as_kept("04_readings_done");
    bench.press("\r");
    bench.shows("TRIM IT");
    bench.is_as_kept("05_plan");
    bench.press("?");
    bench.shows("is cut because");
    bench.is_as_kept("06_why");
    bench.press("\u{1b}a");
    bench.shows("cuts, round 1");
    bench.is_as_kept("07_record");
    bench.press("dd");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))), "two edges were to cut");
    bench.shows("round 2");
    bench.is_as_kept("08_opening_cut");
    bench.press("l");
    bench.is_as_kept("09_log");
    bench.key(KeyCode::F(1), KeyModifiers::NONE);
    bench.is_as_kept("10_help");
}

#[test]
fn a_reading_is_on_the_disk_as_soon_as_it_is_entered() {
    let mut bench = Bench::new();
    bench.press("\rrb\r");
    let records = &bench.session.opened.as_ref().unwrap().records;
    assert_eq!(records.len(), 3);
    let shop = Shop::open(bench.dir.path(), &Access::Look).unwrap();
    assert_eq!(shop.opening("left door").unwrap().records(), records);
}

#[test]
fn readings_are_typed_mended_skipped_and_refused() {
    let mut bench = Bench::new();
    bench.press("\rr3/3x\r");
    bench.shows("is not a length");
    bench.press("\u{8}2\r");
    bench.shows("Station 2 of 12");
    bench.press("\u{8}");
    bench.shows("now 3/32");
    bench.press("-1/16\r");
    bench.press("\t");
    bench.shows("Station 3 of 12");
    bench.press("i\r");
    bench.shows("thickest feeler goes");
    bench.press("be\r");
    bench.shows("Station 4 of 12");
    bench.press(" \r");
    let round = bench.session.opened.as_ref().unwrap().state.round(1).unwrap().clone();
    assert_eq!(round.stations(), 3);
    bench.shows("lap 1/16");
}

#[test]
fn a_reading_that_does_not_go_with_its_edge_is_asked_about() {
    let mut bench = Bench::new();
    // Left top, then the top edge: 1/16, 1/16 and suddenly 1/4.
    bench.press("\rr4/64\r1/16\r1/16\r");
    bench.press("1/4\r");
    bench.shows("Check the top edge, right: expected 1/16, you read: 1/4");
    bench.is_as_kept("11_asked");
    bench.press("r1/16\r");
    bench.shows("Station 5 of 12");
}

#[test]
fn undo_says_what_it_takes_back_and_redo_puts_it_back() {
    let mut bench = Bench::new();
    bench.press("\rrb\rc\r\u{1b}u");
    bench.shows("taken back: event 4");
    assert_eq!(bench.session.opened.as_ref().unwrap().state.round(1).unwrap().stations(), 1);
    bench.key(KeyCode::Char('y'), KeyModifiers::CONTROL);
    bench.shows("put back: event 4");
    assert_eq!(bench.session.opened.as_ref().unwrap().state.round(1).unwrap().stations(), 2);
    bench.press("uuu");
    bench.shows("nothing to take back");
}

#[test]
fn a_new_shop_asks_three_questions_and_a_new_opening_is_described() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = Bench::on(dir);
    bench.is_as_kept_without_place("12_first_start");
    bench.press("\r1/64,1/32,3/64,1/16\r10 = 0.055\r");
    assert_eq!(bench.session.shop.settings.feelers.len(), 4);
    let tape: Vec<_> = bench.session.shop.settings.stock.iter().filter(|stock| stock.name.contains("tape")).collect();
    assert_eq!(tape.len(), 1);
    assert_eq!(tape[0].thickness, evenreveal::fit::length::Length::ratio(55, 10_000));
    bench.shows("new opening");
    bench.press("pair below\r");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r14\r26\r\r\r\r");
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert_eq!((state.leaves.len(), state.gaps.len()), (2, 7));
    bench.press("r");
    bench.shows("Station 1 of 21");
}

impl Bench {
    fn is_as_kept_without_place(&mut self, name: &str) {
        "a new shop".clone_into(&mut self.session.shop.place);
        self.is_as_kept(name);
    }
}

#[test]
fn no_screen_breaks_at_any_size_and_none_needs_colour() {
    let mut bench = Bench::new();
    let steps = ["", "\r", "r", "b\rc", "\r", "\u{1b}p", "?", "\u{1b}l"];
    for keys in steps {
        bench.press(keys);
        for width in [1, 20, 40, 57, 80, 200] {
            for height in [1, 11, 12, 16, 24, 60] {
                bench.buffer((width, height), Palette::Colour);
            }
        }
        let plain = bench.buffer(SIZES[0], Palette::Plain);
        assert_eq!(text(&plain), bench.text());
        let coloured = plain.content.iter().any(|cell| cell.fg != ratatui::style::Color::Reset);
        assert!(!coloured, "colour in the plain palette after {keys:?}");
    }
}
