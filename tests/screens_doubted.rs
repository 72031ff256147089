//! Doubted readings by keys: asked about in place, walked again, judged; and the log opened again after it.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::shop::event::CutDone;
use evenreveal::shop::replay::Said;
use evenreveal::shop::{Access, Shop};
use screen_bench::Bench;

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

impl Bench {
    /// The log on the disk opens and says what the session says.
    fn opens_again(&self) {
        let shop = Shop::open(self.dir.path(), &Access::Look).unwrap();
        let kept = shop.opening("left door").unwrap();
        assert_eq!(kept.records(), self.session.opened.as_ref().unwrap().records);
    }
}

#[test]
fn only_the_stations_asked_for_are_walked_again_and_both_looks_stay() {
    let mut bench = Bench::new();
    bench.press("\rr");
    let before = bench.presses;
    bench.press(TWELVE);
    assert_eq!(bench.presses - before, 24);
    bench.press("\u{1b}");
    bench.shows("read again (r)");
    bench.shows("A slip there");
    bench.press("r");
    // The middles of the hinge side and of the top do not go with their ends: those four, and no others.
    bench.shows("Again, station 1 of 4");
    bench.press("b\rc\rb\rc\r");
    bench.shows("looked at again");
    bench.press("\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))));
    bench.shows("see the plan (p)");
    let round = bench.session.opened.as_ref().unwrap().state.round(1).unwrap();
    assert_eq!((round.taken.len(), round.stations()), (16, 12));
    bench.opens_again();
    bench.press("R");
    bench.shows("all read");
}

#[test]
fn a_surprising_reading_is_kept_struck_or_taken_again_in_the_log() {
    for (answer, words) in [("k", "1/4"), ("x", "struck"), ("r1/16\r", "struck")] {
        let mut bench = Bench::new();
        bench.press("\rr1/16\r1/16\r1/16\r1/4\r");
        bench.shows("Check the top edge, right");
        bench.press(answer);
        bench.shows("Station 5 of 12");
        bench.opens_again();
        bench.press("\u{1b}l");
        bench.shows(words);
    }
}

/// A plan accepted and its cuts, with all that they were reckoned for, are read back as they were kept.
#[test]
fn the_log_of_a_whole_round_opens_again() {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}"));
    bench.press("\u{1b}p");
    for _ in 0..3 {
        bench.press("a");
        if matches!(bench.session.screen(), Some(Screen::Record(_))) {
            break;
        }
        bench.press("\u{1b}r");
        bench.read_all_as("b", 12);
        bench.press("\u{1b}p");
    }
    assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "{}", bench.text());
    bench.press("dddddd");
    let cuts = &bench.session.opened.as_ref().unwrap().state.latest().unwrap().cuts;
    assert!(cuts.iter().any(|cut| cut.what.intended.reckoned.is_some()), "{cuts:?}");
    let shop = Shop::open(bench.dir.path(), &Access::Look).unwrap();
    let kept = shop.opening("left door").unwrap();
    let meant = |cuts: &[Said<CutDone>]| cuts.iter().map(|cut| cut.what.intended.clone()).collect::<Vec<_>>();
    assert_eq!(meant(&kept.state().latest().unwrap().cuts), meant(cuts));
    assert_eq!(kept.records().len(), bench.session.opened.as_ref().unwrap().records.len());
}
