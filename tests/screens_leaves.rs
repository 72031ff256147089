//! Openings of several leaves, by keys, at three sizes, against kept snapshots: a pair with a meeting stile, and a
//! stack of three drawer fronts: home picture, plan, set-up sheet. Invented readings.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::brief::Thing;
use evenreveal::bench::stations::StationPlace;
use screen_bench::Bench;
use std::fmt::Write;

const PAIR: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","B.left"],"target":"3/32"},
  {"between":["B.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"},
  {"between":["frame","B.bottom"],"target":"3/32"},{"between":["B.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"left door","width":"11","height":"26","hinge":"left","made":"framed"}
{"event":"leaf","leaf":"B","name":"right door","width":"11","height":"26","hinge":"right","made":"framed"}"#;

/// Three fronts 14 wide, the lowest first.
fn stack() -> String {
    let mut gaps = vec![r#"{"between":["frame","A.bottom"],"target":"3/32"}"#.to_owned()];
    for (below, above) in [("A", "B"), ("B", "C")] {
        gaps.push(format!(r#"{{"between":["{below}.top","{above}.bottom"],"target":"3/32"}}"#));
    }
    gaps.push(r#"{"between":["C.top","frame"],"target":"3/32"}"#.to_owned());
    for id in ["A", "B", "C"] {
        gaps.push(format!(r#"{{"between":["frame","{id}.left"],"target":"3/32"}}"#));
        gaps.push(format!(r#"{{"between":["{id}.right","frame"],"target":"3/32"}}"#));
    }
    let mut events = format!(r#"{{"event":"opening","gaps":[{}]}}"#, gaps.join(","));
    for (id, name, height) in [("A", "bottom front", "10"), ("B", "middle front", "8"), ("C", "top front", "6")] {
        let _ = write!(
            events,
            r#"
{{"event":"leaf","leaf":"{id}","name":"{name}","width":"14","height":"{height}","solid":true}}"#
        );
    }
    events
}

impl Bench {
    fn thing(&self) -> Option<Thing> {
        let opened = self.session.opened.as_ref().unwrap();
        self.session.advised.brief(opened).map(|brief| brief.thing)
    }

    /// Every station read once, then whatever is asked for, until nothing is; back on the opening's own screen.
    #[track_caller]
    fn read_out(&mut self, feeler: impl Fn(&StationPlace) -> String) {
        for _ in 0..90 {
            self.press("r");
            self.walk_as(&feeler);
            while !matches!(self.session.screen(), Some(Screen::Home(_))) {
                self.press("\u{1b}");
            }
            if !matches!(self.thing(), Some(Thing::ReadAgain(_) | Thing::Check)) {
                return;
            }
        }
        panic!("it asks for ever\n{}", self.text());
    }
}

/// The meeting stiles stand 1/32 apart at the bottom and 3/32 at the top, all else is even.
#[test]
fn a_pair_is_one_picture_and_one_plan() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\r");
    bench.is_as_kept("110_pair_fresh");
    bench.read_out(|station| {
        let meeting = station.gap == 1;
        let gap = if meeting { 1.0 / 32.0 + station.at.inches() / 26.0 / 16.0 } else { 3.0 / 32.0 };
        format!("{gap:.4}")
    });
    assert_eq!(bench.thing(), Some(Thing::Cut), "{}", bench.text());
    bench.is_as_kept("111_pair_home");
    bench.press("p");
    bench.is_as_kept("112_pair_plan");
    bench.press("a");
    assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "{}", bench.text());
    bench.is_as_kept("113_pair_sheet");
}

/// The two gaps between the fronts are tight by 1/32 at the left and by 1/64 at the right.
#[test]
fn three_fronts_are_one_picture_and_one_plan() {
    let mut bench = Bench::with(&[("drawers", &stack())]);
    bench.press("\r");
    bench.is_as_kept("114_stack_fresh");
    bench.read_out(|station| {
        let between = matches!(station.gap, 1 | 2);
        let gap = if between { 1.0 / 16.0 + station.at.inches() / 14.0 / 64.0 } else { 3.0 / 32.0 };
        format!("{gap:.4}")
    });
    assert_eq!(bench.thing(), Some(Thing::Cut), "{}", bench.text());
    bench.is_as_kept("115_stack_home");
    bench.press("p");
    bench.is_as_kept("116_stack_plan");
    bench.press("a");
    assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "{}", bench.text());
    bench.is_as_kept("117_stack_sheet");
}
