//! Keys at the set-up sheets: what is asked of a set-up and typed at it lasts as long as the session, every
//! method can be recorded, so can a cut without a set-up, and more than a kerf comes off in passes.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::recording::RecordCut;
use evenreveal::bench::sheets::Asked;
use evenreveal::bench::{Screen, sheet_words};
use evenreveal::cut::job::Method;
use evenreveal::cut::setup::Setup;
use evenreveal::cut::words::Refusal;
use evenreveal::fit::length::{Length, Unit};
use evenreveal::shop::event::{CutDone, Event};
use evenreveal::shop::settings::Settings;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SINGLE};

const ESC: &str = "\u{1b}";

/// The single door with this plan accepted, at its set-up sheets.
fn planned(trims: &str) -> Bench {
    let mut bench = Bench::with(&[("left door", &events(trims))]);
    bench.press("\rc");
    bench
}

fn events(trims: &str) -> String {
    format!(
        r#"{SINGLE}
        {{"event":"readings","round":1,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}
        {{"event":"plan","round":1,"verdict":"cut","trims":[{trims}]}}"#
    )
}

const LATCH: &str = r#"{"leaf":"A","edge":"right","start":"1/16","end":"7/64"}"#;
const LATCH_AND_TOP: &str = r#"{"leaf":"A","edge":"right","start":"1/16","end":"7/64"},
    {"leaf":"A","edge":"top","start":"1/64","end":"3/64"}"#;

impl Bench {
    fn down(&mut self) {
        self.key(KeyCode::Down, KeyModifiers::NONE);
    }

    fn record(&self) -> &RecordCut {
        match self.session.screen() {
            Some(Screen::Record(record)) => record,
            other => panic!("{other:?}\n{}", self.text()),
        }
    }

    fn method(&self) -> Method {
        self.record().sheet.as_ref().unwrap().sheet.setup.method()
    }

    fn lead(&self) -> evenreveal::cut::job::End {
        match &self.record().sheet.as_ref().unwrap().sheet.setup {
            Setup::Rip(rip) => rip.lead,
            other => panic!("{other:?}"),
        }
    }

    fn marks(&self) -> usize {
        match &self.record().sheet.as_ref().unwrap().sheet.setup {
            Setup::GuideLine(line) => line.marks.len(),
            other => panic!("{other:?}"),
        }
    }

    fn until(&mut self, method: Method) {
        for _ in 0..=Method::ALL.len() {
            if self.record().asked.method == Some(method) {
                return;
            }
            self.press("m");
        }
        panic!("m never came to {method:?}");
    }

    fn cuts(&self) -> Vec<CutDone> {
        let records = &self.session.opened.as_ref().unwrap().records;
        let cut = |event: &Event| if let Event::Cut(cut) = event { Some(cut.clone()) } else { None };
        records.iter().filter_map(|record| cut(&record.event)).collect()
    }

    fn said(&self) -> String {
        self.session.said.as_ref().map_or_else(String::new, |said| said.text.clone())
    }

    fn settings(&mut self, change: impl FnOnce(&mut Settings)) {
        change(&mut self.session.shop.settings);
    }
}

fn length(text: &str) -> Length {
    Length::parse(text, Unit::Inch).unwrap()
}

#[test]
fn the_other_end_first_holds_when_the_sheet_is_come_back_to() {
    let mut bench = planned(LATCH_AND_TOP);
    // A long fence holds the leaf either way round.
    bench.settings(|settings| {
        (settings.saws[0].fence_before, settings.saws[0].fence_behind) = (length("40"), length("40"));
    });
    bench.down();
    let usual = bench.lead();
    let leads = |bench: &Bench| bench.text().lines().find(|line| line.contains("end leads")).unwrap().to_owned();
    let before = leads(&bench);
    bench.press("f");
    assert_eq!(bench.lead(), usual.other());
    assert_ne!(leads(&bench), before, "the drawing says which end leads");
    // To the other sheet and back; out of the screen and in again.
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    assert_eq!(bench.record().asked, Asked::default(), "of the top nothing was asked");
    bench.press(&format!("{ESC}c"));
    bench.down();
    assert_eq!(bench.lead(), usual.other());
    bench.press("f");
    assert_eq!(bench.lead(), usual);
    bench.press("fd");
    let cut = bench.cuts().pop().unwrap();
    assert_eq!(cut.settings["setup"]["lead"], serde_json::to_value(usual.other()).unwrap(), "it is kept as shown");
}

#[test]
fn an_end_that_the_fence_does_not_hold_cannot_lead_and_nothing_changes() {
    let mut bench = planned(LATCH);
    let before = bench.record().sheet.clone();
    assert_eq!(bench.method(), Method::Rip);
    // Just long enough this way round.
    let mut refused = false;
    for behind in 1..26 {
        bench.settings(|settings| settings.saws[0].fence_behind = Length::ratio(behind, 1));
        bench.press(&format!("{ESC}c"));
        if bench.method() != Method::Rip {
            continue;
        }
        let (sheet, asked) = (bench.record().sheet.clone(), bench.record().asked);
        bench.press("f");
        if bench.said().contains("not the other end first") {
            refused = true;
            assert_eq!((&bench.record().sheet, bench.record().asked), (&sheet, asked));
            break;
        }
        bench.press("f");
    }
    assert!(refused, "no fence ever refused the other end: {before:?}");
    // On a sheet without a fence the key says what it is for.
    bench.until(Method::Plane);
    bench.until(Method::GuideLine);
    bench.press("f");
    assert!(bench.said().contains("rip fence"), "{}", bench.said());
}

#[test]
fn guide_marks_come_closer_and_hold_when_the_sheet_is_come_back_to() {
    for (metric, widest) in [(false, 12.0), (true, 300.0 / 25.4)] {
        let mut bench = planned(LATCH);
        if metric {
            bench.settings(|settings| settings.show = evenreveal::fit::length::Show::Millimetre(1));
        }
        bench.press("g");
        assert!(bench.said().contains("belong to a guide line"), "{}", bench.said());
        bench.until(Method::GuideLine);
        assert_eq!(bench.marks(), 2);
        let mut counts = Vec::new();
        for step in [widest, widest / 2.0, widest / 4.0] {
            bench.press("g");
            counts.push(bench.marks());
            assert_eq!(bench.marks(), (26.0_f64 / step).ceil() as usize + 1);
            bench.press(&format!("{ESC}c"));
            assert_eq!(bench.method(), Method::GuideLine, "the method is remembered with its marks");
            assert_eq!(Some(&bench.marks()), counts.last());
        }
        // Every mark is in the words, whatever the drawing has room for.
        let sheet = bench.record().sheet.clone().unwrap();
        let steps = sheet_words::steps(&sheet, bench.session.shop.show());
        assert_eq!(steps.iter().filter(|line| line.starts_with("mark ")).count(), counts[2]);
        bench.press("g");
        assert_eq!(bench.marks(), 2, "and the two ends again");
    }
}

#[test]
fn what_was_asked_of_one_round_is_not_asked_of_the_next() {
    let mut bench = planned(LATCH);
    bench.until(Method::GuideLine);
    bench.press("d");
    assert_eq!(bench.cuts()[0].method, "guide-line");
    let next = format!(
        r#"{{"event":"readings","round":2,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}
        {{"event":"plan","round":2,"verdict":"cut","trims":[{LATCH}]}}"#
    );
    let events = serde_json::Deserializer::from_str(&next).into_iter().map(Result::unwrap).collect();
    bench.keep(events);
    bench.press("c");
    assert_eq!((bench.record().round, bench.method()), (2, Method::Rip));
}

impl Bench {
    /// Events come in as if another screen had kept them.
    fn keep(&mut self, events: Vec<Event>) {
        let effect = evenreveal::bench::Effect::Keep { opening: "left door".to_owned(), events };
        let message = self.runner.run(effect).unwrap();
        evenreveal::shell::deal(message, &mut self.session, &mut self.runner);
    }
}

/// Every method on every kind of edge: shown or refused with the safe way, explained by `?`, and recorded.
#[test]
fn every_method_can_be_looked_at_explained_and_recorded() {
    let trims = |edge: &str, start: &str, end: &str| {
        format!(r#"{{"leaf":"A","edge":"{edge}","start":"{start}","end":"{end}"}}"#)
    };
    let mut recorded = Vec::new();
    for (edge, start, end) in
        [("right", "1/16", "7/64"), ("top", "1/64", "3/64"), ("right", "0.002", "0.004"), ("bottom", "0.01", "0.02")]
    {
        for method in Method::ALL {
            let mut bench = planned(&trims(edge, start, end));
            bench.until(method);
            let sheet = bench.record().sheet.clone().unwrap();
            let refused = sheet.sheet.refused.iter().find(|refused| refused.method == method);
            assert_eq!(refused.is_none(), sheet.sheet.setup.method() == method, "{edge} {method:?}");
            bench.press("?");
            let text = bench.text();
            for line in sheet_words::in_full(&sheet).iter().take(3) {
                let start: String = line.chars().take(30).collect();
                assert!(text.contains(&start), "'{start}' is not on\n{text}");
            }
            bench.press(ESC);
            assert_eq!(bench.record().sheet.as_ref(), Some(&sheet), "looking changes nothing");
            bench.press("d");
            let cut = bench.cuts().pop().unwrap();
            assert_eq!(cut.method, sheet.sheet.setup.method().word());
            assert!(!cut.more && cut.settings["as_shown"] == true);
            recorded.push(sheet.sheet.setup.method());
        }
    }
    for method in Method::ALL {
        assert!(recorded.contains(&method), "{method:?} was never recorded");
    }
}

#[test]
fn a_trim_without_a_set_up_is_recorded_as_it_was_done() {
    // Measured since, it is said to be narrower than what is to come off.
    let mut bench = planned(r#"{"leaf":"A","edge":"right","start":"3/4","end":"3/4"}"#);
    let back = "\u{8}".repeat(12);
    bench.press(&format!("w{back}1/2\r{back}1/2\r"));
    assert!(bench.record().sheet.is_none());
    bench.shows("no set-up");
    bench.shows("! Wood cannot be put back");
    for key in ["m", "f", "g", "d"] {
        bench.press(key);
        assert!(bench.record().typing.is_none() && bench.cuts().is_empty(), "{key}");
        assert!(!bench.said().is_empty(), "{key} says why it does nothing");
    }
    bench.press("?");
    bench.shows("no set-up");
    bench.press(ESC);
    // What was mistyped can be mended where it hurts.
    bench.press(&format!("w{back}11\r{back}11\r"));
    assert!(bench.record().sheet.is_some());
    bench.press("u");
    assert!(bench.record().sheet.is_none());
    bench.press(&format!("o{back}1/8\r{back}1/16\r\r"));
    let cut = bench.cuts().pop().unwrap();
    assert_eq!((cut.intended.start, cut.intended.end, cut.method.as_str()), (length("1/8"), length("1/16"), "by-hand"));
    assert!(!cut.more);
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))));
}

#[test]
fn what_is_typed_at_a_sheet_is_set_aside_until_it_is_kept() {
    let mut bench = planned(LATCH_AND_TOP);
    let back = "\u{8}".repeat(12);
    bench.down();
    for key in ["o", "w", "s", "t", "b"] {
        bench.press(&format!("{key}\t{back}3/32{ESC}"));
        assert!(bench.said().contains("set aside"), "{key}: {}", bench.said());
    }
    bench.press(&format!("{ESC}c"));
    bench.press("o");
    assert_ne!(bench.record().typing.as_ref().unwrap().form().value(1), "3/32", "the top has forms of its own");
    bench.press(ESC);
    bench.down();
    for key in ["o", "w", "s", "t", "b"] {
        bench.press(key);
        assert_eq!(bench.record().typing.as_ref().unwrap().form().value(1), "3/32", "{key}");
        bench.press(ESC);
    }
    // A complaint leaves the form as it is, at the field that it is about.
    bench.press(&format!("w{back}nonsense\r\r"));
    bench.shows("! 'nonsense' is not a length");
    assert_eq!(bench.record().typing.as_ref().unwrap().form().at, 0);
    assert_eq!(bench.record().typing.as_ref().unwrap().form().value(0), "nonsense");
    bench.press(&format!("{ESC}w"));
    assert_eq!(bench.record().typing.as_ref().unwrap().form().value(0), "nonsense");
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.press(&format!("{back}10\r{back}10\r"));
    assert!(bench.record().typing.is_none(), "{}", bench.text());
    bench.press("w");
    assert_eq!(bench.record().typing.as_ref().unwrap().form().value(0), "10", "kept: a fresh form");
}

const DEEP: &str = r#"{"leaf":"A","edge":"right","start":"3/16","end":"5/16"}"#;

#[test]
fn more_than_a_kerf_comes_off_in_passes_one_recorded_after_the_other() {
    let mut bench = planned(DEEP);
    let mut taken = (Length::ZERO, Length::ZERO);
    for number in 1..=3 {
        let sheet = bench.record().sheet.clone().unwrap();
        let pass = sheet.pass.clone().unwrap();
        assert_eq!((pass.number, pass.of), (number, 3));
        bench.shows(&format!("pass {number} of 3"));
        if number < 3 {
            let text = bench.text();
            assert!(text.contains("REFUSED, all in one pass"), "{text}");
            assert!(text.contains("wood cannot be put back") || text.contains("Wood cannot be put back"), "{text}");
        }
        assert_eq!(sheet.sheet.setup.method(), Method::Rip);
        assert!(sheet.trim.start.inches().max(sheet.trim.end.inches()) < 1.0 / 8.0);
        bench.press("d");
        let cut = bench.cuts().pop().unwrap();
        assert_eq!(cut.more, number < 3, "the edge is done with the last pass only");
        assert_eq!(cut.settings["pass"], serde_json::json!([number, 3]));
        taken.0 = taken.0.checked_add(cut.intended.start).unwrap();
        taken.1 = taken.1.checked_add(cut.intended.end).unwrap();
        if number == 1 {
            // Out and in again between two passes, as after a night.
            bench.press(&format!("{ESC}{ESC}\rc"));
        }
    }
    assert_eq!(taken, (length("3/16"), length("5/16")), "together exactly what was planned");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))), "{}", bench.text());
    assert_eq!(bench.session.opened.as_ref().unwrap().state.trims_left(), 0);
}

#[test]
fn a_pass_done_otherwise_leaves_the_rest_or_ends_the_edge() {
    let back = "\u{8}".repeat(12);
    let mut bench = planned(DEEP);
    bench.press(&format!("o{back}1/16\r{back}1/16\r\r\r"));
    let cut = bench.cuts().pop().unwrap();
    assert!(cut.more, "more passes to come is what stands there");
    let left = bench.session.opened.as_ref().unwrap().state.to_cut();
    assert_eq!((left[0].start, left[0].end), (length("1/8"), length("1/4")));
    let pass = bench.record().sheet.as_ref().unwrap().pass.clone().unwrap();
    assert_eq!((pass.number, pass.of), (2, 4), "the rest is shared out anew");
    // Taken back, it is as it was.
    bench.press("u");
    assert_eq!(bench.record().sheet.as_ref().unwrap().pass.as_ref().unwrap().number, 1);
    bench.press(&format!("o{back}1/16\r{back}1/16\r\r"));
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r");
    assert!(!bench.cuts().pop().unwrap().more);
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))));
    // All of it at once, done against the advice, is recorded as the end of the edge whatever stands there.
    let mut bench = planned(DEEP);
    bench.press(&format!("o{back}3/16\r{back}5/16\r\r\r"));
    assert!(!bench.cuts().pop().unwrap().more, "nothing is left of it");
}

#[test]
fn the_rest_may_be_cut_by_another_method_in_one() {
    let mut bench = planned(DEEP);
    bench.press("d");
    bench.until(Method::GuideLine);
    let sheet = bench.record().sheet.clone().unwrap();
    assert_eq!((sheet.trim.start, sheet.trim.end), (length("1/8"), Length::ratio(5, 24)));
    assert!(sheet.pass.as_ref().unwrap().is_last());
    bench.shows("the last of 2 passes");
    bench.press("d");
    let cuts = bench.cuts();
    assert_eq!(
        cuts.iter().map(|cut| (cut.method.as_str(), cut.more)).collect::<Vec<_>>(),
        [("rip", true), ("guide-line", false)]
    );
}

#[test]
fn the_refusal_of_a_whole_kerf_gives_no_number_of_it() {
    let text = Refusal::MoreThanAKerf.text();
    assert!(!text.contains(|letter: char| letter.is_ascii_digit()));
    let bench = planned(DEEP);
    let whole = sheet_words::whole(bench.record().sheet.as_ref().unwrap(), bench.session.shop.show()).join("\n");
    assert!(whole.contains(text), "{whole}");
    // The only fence move is that of the pass.
    assert_eq!(whole.matches("fence: kiss").count(), 1, "{whole}");
}

/// The hinge edge, on which the latch side would be ripped, read at three stations.
fn hinge_edge_read(middle: &str) -> Bench {
    let readings = format!(
        r#"{{"between":["frame","A.left"],"readings":[{{"at":"1","gap":"1/16"}},{{"at":"13","gap":"{middle}"}},{{"at":"25","gap":"1/16"}}]}}"#
    );
    let events = format!(
        r#"{SINGLE}
        {{"event":"readings","round":1,"gaps":[{readings}]}}
        {{"event":"plan","round":1,"verdict":"cut","trims":[{LATCH}]}}"#
    );
    let mut bench = Bench::with(&[("left door", &events)]);
    bench.press("\rc");
    bench
}

#[test]
fn a_middle_off_the_line_asks_for_a_straightedge_before_a_fence_is_trusted() {
    assert_eq!(hinge_edge_read("5/64").method(), Method::Rip, "one step of a feeler says nothing");
    for middle in ["3/32", "1/32"] {
        let mut bench = hinge_edge_read(middle);
        assert_ne!(bench.method(), Method::Rip, "{middle}");
        let flat = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("lay a straightedge on it first (t)"), "{flat}");
        assert!(!flat.contains("kiss"), "numbers of a refused set-up: {flat}");
        bench.until(Method::Rip);
        let sheet = bench.record().sheet.clone().unwrap();
        assert!(sheet.sheet.refused.iter().any(|r| r.method == Method::Rip && r.why == Refusal::ReferenceInDoubt));
        // Looking declares nothing.
        bench.press("t\r\r");
        assert_ne!(bench.method(), Method::Rip, "{}", bench.text());
        // Straight: it was the frame. Then the fence is as good as ever.
        bench.press("t\r0\r");
        assert_eq!(bench.method(), Method::Rip, "{}", bench.text());
        assert!(!bench.text().contains("lay a straightedge"), "{}", bench.text());
        // Hollow after all: refused for good.
        bench.press("t\r\u{8}1/32\r");
        assert_ne!(bench.method(), Method::Rip);
        let sheet = bench.record().sheet.clone().unwrap();
        assert!(sheet.sheet.refused.iter().any(|r| r.method == Method::Rip && r.why == Refusal::ReferenceNotStraight));
    }
}
