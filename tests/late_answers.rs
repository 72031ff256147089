//! Answers of the worker that come late: after the opening, its log or the question changed.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::{Message, Screen};
use evenreveal::fit::opening::Prefer;
use evenreveal::shell::deal;
use evenreveal::shop::event::Event;
use screen_bench::{Bench, SINGLE};
use std::time::Duration;

/// A door that is tight at the left and at the top, and one that is tight at the right.
const TIGHT_LEFT: &str = r#"{"event":"readings","round":1,"gaps":[
  {"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/32"},{"at":"25","gap":"1/16"}]},
  {"between":["A.right","frame"],"readings":[{"at":"1","gap":"3/64"},{"at":"25","gap":"1/32"}]},
  {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]},
  {"between":["A.top","frame"],"readings":[{"at":"1","gap":"1/16"},{"at":"10","gap":"1/32"}]}]}"#;
const TIGHT_RIGHT: &str = r#"{"event":"readings","round":1,"gaps":[
  {"between":["frame","A.left"],"readings":[{"at":"1","gap":"3/32"},{"at":"25","gap":"3/32"}]},
  {"between":["A.right","frame"],"readings":[{"at":"1","gap":"1/64"},{"at":"25","gap":"1/64"}]},
  {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]},
  {"between":["A.top","frame"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]}]}"#;

impl Bench {
    /// Two doors that are read, and a worker that answers when it is listened to.
    fn with_worker() -> Self {
        let doors = [("door 1", format!("{SINGLE}{TIGHT_LEFT}")), ("door 2", format!("{SINGLE}{TIGHT_RIGHT}"))];
        let mut bench = Self::with(&doors.each_ref().map(|(name, events)| (*name, events.as_str())));
        bench.runner.aside();
        bench
    }

    /// The next answer to a look that the worker owes.
    fn next_look(&mut self) -> Option<Message> {
        while let Some(answer) = self.runner.answered(Duration::from_secs(60)) {
            if matches!(answer, Message::Looked(_)) {
                return Some(answer);
            }
            deal(answer, &mut self.session, &mut self.runner);
        }
        None
    }

    fn plans(&self) -> Vec<String> {
        let records = &self.session.opened.as_ref().unwrap().records;
        let plans = records.iter().filter(|record| matches!(record.event, Event::Plan(_)));
        plans.map(|record| serde_json::to_string(&record.event).unwrap()).collect()
    }

    fn has_a_plan(&self) -> bool {
        matches!(self.session.screen(), Some(Screen::Plan(plan)) if plan.answer.is_some())
    }
}

#[test]
fn the_plan_of_another_opening_is_neither_shown_nor_accepted() {
    let mut bench = Bench::with_worker();
    bench.press("\rp\u{1b}\u{1b}j\rp");
    assert_eq!(bench.session.opened.as_ref().unwrap().name, "door 2");
    let (mut others, mut own) = (0, 0);
    while let Some(answer) = bench.next_look() {
        let Message::Looked(look) = &answer else { continue };
        let of_other = look.opening == "door 1";
        deal(answer, &mut bench.session, &mut bench.runner);
        if of_other {
            others += 1;
            assert!(!bench.has_a_plan(), "the plan of door 1 stands on door 2's screen\n{}", bench.text());
            bench.press("a");
            assert!(bench.plans().is_empty(), "door 2 kept {:?}", bench.plans());
        } else {
            own += 1;
        }
    }
    assert!(others > 0 && own > 0, "{others} answers of door 1, {own} of door 2");
    assert!(bench.has_a_plan());
    bench.press("a");
    let kept = bench.plans();
    assert_eq!(kept.len(), 1);
    // The same door asked for alone gives the same plan.
    let mut alone = Bench::with(&[("door 2", &format!("{SINGLE}{TIGHT_RIGHT}"))]);
    alone.press("\rpa");
    assert_eq!(kept, alone.plans());
}

#[test]
fn a_plan_that_rests_on_what_was_taken_back_since_is_not_shown() {
    let mut bench = Bench::with_worker();
    let before = bench.session.shop.openings[0].summary.events as u64;
    bench.press("\rn");
    bench.press("note\r");
    bench.press("p");
    // The note is taken back: the plan's screen closes, and another is asked for.
    bench.press("u");
    bench.press("p");
    let now = bench.session.opened.as_ref().unwrap().state.last;
    assert_eq!(now, before + 2);
    let mut stale = 0;
    while let Some(answer) = bench.next_look() {
        let Message::Looked(look) = &answer else { continue };
        let late = look.last < now;
        deal(answer, &mut bench.session, &mut bench.runner);
        if late {
            stale += 1;
            assert!(!bench.has_a_plan(), "a plan after event {} is shown after event {now}", before + 1);
        }
    }
    assert!(stale > 0);
    assert!(bench.has_a_plan());
}

#[test]
fn a_plan_asked_for_otherwise_is_not_accepted_under_the_new_name() {
    let mut bench = Bench::with_worker();
    bench.press("\rp");
    while let Some(answer) = bench.next_look() {
        deal(answer, &mut bench.session, &mut bench.runner);
    }
    assert!(bench.has_a_plan());
    // Even stiles are asked for; what is shown is still the plan with least wood.
    bench.press("wa");
    assert!(bench.plans().is_empty(), "kept {:?}", bench.plans());
    bench.shows("worked out");
    while let Some(answer) = bench.next_look() {
        deal(answer, &mut bench.session, &mut bench.runner);
    }
    assert!(matches!(bench.session.screen(), Some(Screen::Plan(plan)) if plan.prefer() == Prefer::EvenStiles));
    bench.press("a");
    assert_eq!(bench.plans().len(), 1);
}

#[test]
fn a_plan_worked_out_under_other_settings_is_not_shown() {
    let mut bench = Bench::with_worker();
    bench.press("\rp");
    let look = bench.next_look().unwrap();
    let other = bench.next_look();
    bench.session.shop.settings.tolerance = evenreveal::fit::length::Length::ratio(1, 8);
    for answer in std::iter::once(look).chain(other) {
        deal(answer, &mut bench.session, &mut bench.runner);
    }
    assert!(!bench.has_a_plan());
}
