//! Slips of the hand at the bench, by keys: bounced keys, keys through the help, an undo at the wrong moment.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::cut::words::Caution;
use evenreveal::fit::estimate::Standing;
use evenreveal::shop::event::Event;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::Bench;

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

impl Bench {
    fn count(&self, wanted: fn(&Event) -> bool) -> usize {
        let records = self.session.opened.iter().flat_map(|opened| &opened.records);
        records.filter(|record| wanted(&record.event)).count()
    }

    fn cuts(&self) -> usize {
        self.count(|event| matches!(event, Event::Cut(_)))
    }

    fn strikes(&self) -> usize {
        self.count(|event| matches!(event, Event::Strike(_)))
    }

    /// The plan is accepted and its first cut is shown.
    fn at_record() -> Self {
        let mut bench = Self::new();
        bench.press(&format!("\rr{TWELVE}\ra"));
        assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "{}", bench.text());
        bench
    }
}

#[test]
fn a_plan_taken_back_where_cuts_are_recorded_is_not_called_done() {
    let mut bench = Bench::at_record();
    bench.press("u");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))), "{}", bench.text());
    bench.shows("taken back: event");
    assert!(!bench.text().contains("all done"), "{}", bench.text());
}

#[test]
fn a_cut_taken_back_is_said_and_stands_there_again() {
    let mut bench = Bench::at_record();
    let jobs = |bench: &Bench| match bench.session.screen() {
        Some(Screen::Record(record)) => record.jobs.len(),
        _ => 0,
    };
    let all = jobs(&bench);
    assert!(all > 1);
    bench.press("d");
    assert_eq!((jobs(&bench), bench.cuts()), (all - 1, 1));
    bench.press("u");
    bench.shows("taken back: event");
    assert_eq!(jobs(&bench), all);
    // The last one done is done.
    bench.press(&"d".repeat(all));
    bench.shows("all done");
}

#[test]
fn no_event_is_taken_back_while_a_form_is_filled_in() {
    let mut bench = Bench::at_record();
    bench.press("o\u{8}\u{8}\u{8}\u{8}7/64");
    bench.shows("7/64_");
    for letter in ['z', 'y'] {
        bench.key(KeyCode::Char(letter), KeyModifiers::CONTROL);
        bench.shows("7/64_");
        bench.shows("Esc");
        assert_eq!(bench.strikes(), 0);
    }
}

#[test]
fn a_key_pressed_in_the_help_only_closes_it() {
    for key in ["d", "u", "o", "m", "\r", "z"] {
        let mut bench = Bench::at_record();
        let before = bench.session.clone();
        bench.key(KeyCode::F(1), KeyModifiers::NONE);
        bench.shows("keys (");
        bench.press(key);
        assert!(!bench.text().contains("keys ("), "{key:?} leaves the help open");
        assert!(bench.session.opened == before.opened, "{key:?} did something\n{}", bench.text());
        assert_eq!((bench.session.screens, bench.session.overlay), (before.screens, before.overlay), "{key:?}");
    }
    // So it is where one reads why.
    let mut bench = Bench::at_record();
    bench.press("?");
    assert!(bench.session.overlay.is_some());
    bench.press("d");
    assert_eq!((bench.session.overlay, bench.cuts()), (None, 0));
}

#[test]
fn bounced_enters_record_no_cut() {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}"));
    bench.press("\r\r\r\r\r\r");
    assert_eq!(bench.count(|event| matches!(event, Event::Plan(_))), 1, "{}", bench.text());
    assert_eq!(bench.cuts(), 0, "nobody cut anything");
    bench.press("d");
    assert_eq!(bench.cuts(), 1);
}

#[test]
fn a_struck_second_look_leaves_the_first_one_standing() {
    let mut bench = Bench::new();
    bench.press("\rr1/16\r1/16\r1/16\r1/4\r");
    bench.shows("Check the top edge, right");
    bench.press("r1/2\r");
    bench.shows("Check the top edge, right");
    bench.press("x");
    bench.shows("Station 5 of 12");
    let round = bench.session.opened.as_ref().unwrap().state.round(1).unwrap();
    let standing: Vec<_> = round.taken[3..].iter().map(|one| one.taken.standing).collect();
    assert_eq!(standing, [Standing::Plain, Standing::Struck]);
    assert_eq!(round.stations(), 4, "the station stays read");
}

/// Four fronts, every edge far over its frame: more words than a small screen has rows.
#[test]
fn a_plan_with_many_warnings_keeps_its_cautions() {
    let leaf = |id: &str| {
        format!(r#"{{"event":"leaf","leaf":"{id}","name":"front {id}","width":"20","height":"6","motion":"free"}}"#)
    };
    let gap = |one: &str, other: &str| format!(r#"{{"between":["{one}","{other}"],"target":"3/32"}}"#);
    let lines = [
        ("frame", "A.left"),
        ("A.right", "frame"),
        ("frame", "A.bottom"),
        ("A.top", "B.bottom"),
        ("frame", "B.left"),
        ("B.right", "frame"),
        ("B.top", "C.bottom"),
        ("frame", "C.left"),
        ("C.right", "frame"),
        ("C.top", "D.bottom"),
        ("frame", "D.left"),
        ("D.right", "frame"),
        ("D.top", "frame"),
    ];
    let gaps: Vec<_> = lines.iter().map(|(one, other)| gap(one, other)).collect();
    let read = |(one, other): &(&str, &str)| {
        let across = [one, other].iter().any(|side| side.ends_with("top") || side.ends_with("bottom"));
        let at = ["1", if across { "19" } else { "5" }];
        let at = at.map(|at| format!(r#"{{"at":"{at}","lap":"1/4"}}"#));
        format!(r#"{{"between":["{one}","{other}"],"readings":[{}]}}"#, at.join(","))
    };
    let read: Vec<_> = lines.iter().map(read).collect();
    let events = format!(
        r#"{{"event":"opening","gaps":[{}]}}{}{{"event":"readings","round":1,"gaps":[{}]}}"#,
        gaps.join(","),
        ["A", "B", "C", "D"].map(leaf).concat(),
        read.join(",")
    );
    let mut bench = Bench::with(&[("drawers", &events)]);
    bench.press("\rp");
    let Some(Screen::Plan(plan)) = bench.session.screen() else { panic!("{}", bench.text()) };
    assert!(!plan.cuts().is_empty(), "{}", bench.text());
    assert!(plan.plan().unwrap().warnings.len() >= 5, "{:?}", plan.plan().unwrap().warnings);
    let flat = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in Caution::WHEREVER_CUT {
        assert!(flat.contains(caution.short()), "no '{}' on\n{}", caution.short(), bench.text());
    }
}
