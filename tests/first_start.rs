//! The three questions of a new shop, and the first readings of its first door, as a new user meets them.

#[allow(dead_code)]
#[path = "common/screen_bench.rs"]
mod screen_bench;

use evenreveal::bench::{Overlay, Screen};
use evenreveal::fit::length::{Length, Show};
use evenreveal::screen::picture::{self, Measure};
use evenreveal::screen::theme::Theme;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Holder, Shop};
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{AT, Bench, SINGLE};

fn new_shop() -> Bench {
    Bench::on(tempfile::tempdir().unwrap())
}

#[test]
fn examples_are_in_the_unit_chosen() {
    let mut bench = new_shop();
    bench.press("\r");
    bench.shows("like 1/64, 1/32, 3/64");
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.shows("< millimetre >");
    bench.press("\r");
    bench.shows("like 0.4, 0.8, 1.2; empty: 0.4 to 3.6 mm in steps of 0.4");
    assert!(!bench.text().contains("1/64"), "{}", bench.text());
    bench.press("\r");
    bench.shows("10 = 1.4");
    bench.press("ten\r");
    bench.shows("tape: give tape as layers = thickness, like 10 = 1.4");
    for _ in 0..3 {
        bench.press("\u{8}");
    }
    bench.press("10 = 1.4\r");
    assert_eq!(bench.session.shop.settings.show, Show::Millimetre(1));
    assert_eq!(bench.session.shop.settings.feelers.first(), Some(&Length::ratio(4, 254)));
}

#[test]
fn a_feeler_that_is_none_is_refused_at_its_own_question() {
    let mut bench = new_shop();
    bench.press("\r1/64, thin\r");
    assert_eq!(bench.session.form().unwrap().at, 1, "{}", bench.text());
    bench.shows("feelers you own: ");
    for _ in 0..6 {
        bench.press("\u{8}");
    }
    bench.press("\r");
    assert_eq!(bench.session.form().unwrap().at, 2, "{}", bench.text());
    // With Tab one may go on; the end asks again, and says which question it is.
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.press("x\t\r");
    assert_eq!(bench.session.form().unwrap().at, 1, "{}", bench.text());
    bench.shows("feelers you own: ");
}

#[test]
fn the_questions_lead_straight_to_the_first_opening() {
    let mut bench = new_shop();
    bench.press("\r\r\r");
    bench.shows("new opening");
    bench.shows("your shop is made");
    bench.press("left door\r\r11\r26\r\r\r\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))), "{}", bench.text());
    bench.press("\u{1b}");
    bench.shows("left door");
}

/// What was imported does not say which feelers there are.
#[test]
fn the_questions_come_where_openings_are_there_already() {
    let dir = tempfile::tempdir().unwrap();
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
    let shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    let events = serde_json::Deserializer::from_str(SINGLE).into_iter().map(Result::unwrap).collect();
    shop.create_opening("left door").unwrap().enter(events, AT).unwrap();
    drop(shop);
    let mut bench = Bench::on(dir);
    assert!(matches!(bench.session.screen(), Some(Screen::FirstStart(_))), "{}", bench.text());
    bench.press("\r\r\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Shop(_))), "{}", bench.text());
    bench.shows("> left door");
}

#[test]
fn a_narrow_first_gap_does_not_shrink_the_leaf() {
    let mut bench = Bench::new();
    bench.press("\rra\r");
    let opened = bench.session.opened.as_ref().unwrap();
    let measure = Measure::of(opened, &bench.session.shop.settings);
    let fresh = picture::opening(opened, 2, measure, None, Theme::default()).factor();
    let drawn = picture::opening(opened, 1, measure, None, Theme::default());
    assert_eq!(drawn.stations.iter().filter(|station| station.gap.is_some()).count(), 1);
    // Eleven unread gaps are drawn as the reveal: one of 1/64 must not make them forty times as wide.
    assert!(drawn.factor() <= fresh, "{} times, unread {fresh}", drawn.factor());
}

#[test]
fn a_gap_of_two_inches_is_asked_about() {
    for (show, typed) in [(Show::Fraction(64), "2"), (Show::Millimetre(1), "10"), (Show::Fraction(64), "-1")] {
        let mut bench = Bench::in_shop(Settings { show, ..Settings::default() }, &[("left door", SINGLE)]);
        bench.press(&format!("\rr{typed}\r"));
        let asked =
            |bench: &Bench| matches!(bench.session.screen(), Some(Screen::Readings(one)) if one.asked.is_some());
        assert!(asked(&bench), "{typed}\n{}", bench.text());
        bench.shows("you read");
        assert_eq!(bench.session.overlay, None::<Overlay>);
        // Taken back it is not in the log; kept it is.
        bench.press("\u{1b}");
        assert!(bench.session.opened.as_ref().unwrap().state.rounds.is_empty());
        bench.press(&format!("{typed}\rk"));
        assert_eq!(bench.session.opened.as_ref().unwrap().state.round(1).unwrap().stations(), 1);
    }
}

#[test]
fn the_end_of_the_walk_says_what_comes_next() {
    let mut bench = Bench::new();
    bench.press("\rr");
    for feeler in ["b", "e", "b", "b", "f", "f", "f", "f", "f", "f", "c", "c"] {
        bench.read_all_as(feeler, 1);
    }
    // Whether a plan or a second look comes is worked out only then: neither is promised.
    bench.shows("all read: Enter says what comes next");
    bench.press("\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Plan(_))), "{}", bench.text());
}
