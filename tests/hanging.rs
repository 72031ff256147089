//! A leaf fitted loose, then hung, by keys: its hinges are told on the screen, its gaps are read again as it
//! hangs, its hinges are packed or screwed before any cut, and what they used of their ranges is remembered.
//!
//! The planted gaps follow from the two hinges alone (a rigid leaf on a straight line of pins), written out
//! here apart from the crate's own.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;
#[path = "common/waiting_doors.rs"]
#[allow(dead_code)]
mod waiting_doors;

use evenreveal::bench::{Screen, rounds};
use evenreveal::fit::estimate::Spreads;
use evenreveal::fit::length::{Length, Unit};
use evenreveal::fit::opening::{Edge, Motion};
use evenreveal::shop::event::Event;
use evenreveal::shop::replay::Stage;
use screen_bench::{Bench, SINGLE};
use std::fmt::Write;

const LOW: f64 = 3.0;
const HIGH: f64 = 23.0;
const REVEAL: f64 = 0.09375;
const CARD: f64 = 0.030;

/// How the hinges of the leaf stand: out at the low and the high one, and raised.
#[derive(Clone, Copy)]
struct Hung {
    low: f64,
    high: f64,
    up: f64,
}

impl Hung {
    /// The gap at distance `s` along an edge of a leaf hung on its left that is even when nothing is moved.
    fn gap(self, edge: Edge, s: f64) -> f64 {
        let lean = (self.high - self.low) / (HIGH - LOW);
        let out = |y: f64| self.low + lean * (y - LOW);
        match edge {
            Edge::Left => REVEAL + out(s),
            Edge::Right => REVEAL - out(s),
            Edge::Bottom => REVEAL - lean * s + self.up,
            Edge::Top => REVEAL + lean * s - self.up,
        }
    }
}

const TRUE: Hung = Hung { low: 0.0, high: 0.0, up: 0.0 };

/// Reads a whole round by keys.
fn read(bench: &mut Bench, hung: Hung) {
    read_with(bench, |edge, s| hung.gap(edge, s));
}

fn read_with(bench: &mut Bench, gap: impl Fn(Edge, f64) -> f64) {
    bench.press("r");
    while let Some(Screen::Readings(entry)) = bench.session.screen() {
        let Some(place) = entry.stations.get(entry.at).cloned() else { break };
        let mut text = String::new();
        let _ = write!(text, "{:.4}", gap(place.edge, place.at.inches()));
        bench.press(&format!("{text}\r"));
        if matches!(bench.session.screen(), Some(Screen::Readings(entry)) if entry.asked.is_some()) {
            bench.press("k");
        }
    }
    if matches!(bench.session.screen(), Some(Screen::Readings(_))) {
        bench.press("\u{1b}");
    }
}

fn choose(bench: &mut Bench, way: usize) {
    for _ in 0..way {
        bench.key(ratatui::crossterm::event::KeyCode::Right, ratatui::crossterm::event::KeyModifiers::NONE);
    }
    bench.press("\r");
}

/// Empties the field the keys are on and types `text` there.
fn fill(bench: &mut Bench, text: &str) {
    bench.press(&"\u{8}".repeat(30));
    bench.press(&format!("{text}\r"));
}

fn stage(bench: &Bench) -> Stage {
    bench.session.opened.as_ref().unwrap().state.stage()
}

fn on_butts(bench: &mut Bench, name: &str) {
    bench.press("h");
    bench.shows("how A hangs, on its left");
    if !name.is_empty() {
        bench.is_as_kept(&format!("{name}_loose"));
    }
    choose(bench, 1);
    fill(bench, "3, 23");
    fill(bench, "1/16");
    fill(bench, "1/32");
    bench.press(&"\u{8}".repeat(30));
    bench.press("0.030");
    if !name.is_empty() {
        bench.is_as_kept(&format!("{name}_butts"));
    }
    bench.press("\r");
}

#[test]
fn loose_then_hung_then_packed_then_fitted() {
    let mut bench = Bench::new();
    bench.press("\r");
    read(&mut bench, TRUE);
    assert!(matches!(stage(&bench), Stage::Decide { round: 1 }));
    on_butts(&mut bench, "60_hinges");
    // The loose round does not count for a hung leaf: the next thing is to read it as it hangs.
    assert_eq!(stage(&bench), Stage::Read { round: 2 });
    bench.shows("read the gaps again as it hangs");
    bench.press("p");
    bench.shows("a leaf was hung after round 1 was read");
    bench.press("\u{1b}");
    // It hangs with one card missing behind its bottom hinge.
    read(&mut bench, Hung { low: -CARD, ..TRUE });
    assert!(matches!(stage(&bench), Stage::Decide { round: 2 }));
    bench.press("p");
    bench.shows("PACK A HINGE");
    bench.shows("behind the bottom hinge");
    // The bottom hinge stands 0.030 in too far in, of 20 between the hinges: over 26 the gap tapers by 0.039.
    bench.shows("it sags: hinge-side gap 0.039 wider at the top, latch side 0.01");
    bench.is_as_kept("63_sag_plan");
    bench.press("a");
    bench.press("d");
    assert_eq!(stage(&bench), Stage::Read { round: 3 });
    read(&mut bench, TRUE);
    bench.press("p");
    bench.shows("IT FITS");
    bench.press("a");
    assert_eq!(stage(&bench), Stage::Fitted { round: 3 });
    // The card counts against the range of that hinge.
    let state = &bench.session.opened.as_ref().unwrap().state;
    let Motion::Hung(hanging) = state.motion_at("A", 3) else { panic!("it hangs") };
    assert_eq!(hanging.there, [Length::parse("0.03", Unit::Inch).unwrap(), Length::ZERO]);
    bench.press("h");
    bench.shows("bottom hinge out by 0.030");
    bench.is_as_kept("61_hinges_packed");
}

/// A leaf that hangs straight in an opening out of square: no hinge is blamed.
#[test]
fn out_of_square_is_not_called_a_sag() {
    let mut bench = Bench::new();
    bench.press("\r");
    on_butts(&mut bench, "");
    // The head and the sill rise by 1/16 over the width toward the latch.
    let rise = |edge: Edge, s: f64| (s - 5.5) / 11.0 / 16.0 * if edge == Edge::Top { 1.0 } else { -1.0 };
    read_with(&mut bench, |edge, s| {
        REVEAL + if matches!(edge, Edge::Top | Edge::Bottom) { rise(edge, s) } else { 0.0 }
    });
    bench.press("p");
    bench.shows("no sag: the hinge side is even. Leaf or opening is out of square, latch");
    bench.shows("low: no hinge rights that");
}

/// A hinge that was packed out too far: the card comes out again, which letting in would not have to cut for.
#[test]
fn a_card_too_many_is_taken_out_again() {
    let mut bench = Bench::new();
    bench.press("\r");
    on_butts(&mut bench, "");
    read(&mut bench, Hung { low: -CARD, ..TRUE });
    bench.press("pad");
    // Both hinges now stand out by a card too many.
    read(&mut bench, Hung { low: CARD, ..TRUE });
    bench.press("p");
    bench.shows("take one 0.030 shim out from behind the bottom hinge");
    // A second card of two is still allowed at the top, none more than a sixteenth in all.
    let state = &bench.session.opened.as_ref().unwrap().state;
    let look =
        rounds::look(state, &bench.session.shop.settings, Spreads::default(), rounds::Choice::default()).unwrap();
    let packs = &look.plan().leaves[0].packs;
    assert_eq!(packs.len(), 1);
    assert!((packs[0].out.0 + CARD).abs() < 1e-9, "{packs:?}");
}

#[test]
fn height_screws_are_turned_recorded_and_carried_into_the_next_round() {
    let mut bench = Bench::new();
    bench.press("\r");
    bench.press("h");
    choose(&mut bench, 2);
    fill(&mut bench, "3, 23");
    fill(&mut bench, "-1/16, 1/16");
    fill(&mut bench, "-1/8, 1/8");
    fill(&mut bench, "-1/16, 1/16");
    assert_eq!(stage(&bench), Stage::Read { round: 1 });
    // It hangs a sixteenth too low.
    read(&mut bench, Hung { up: -0.0625, ..TRUE });
    bench.press("p");
    bench.shows("TURN THE SCREWS");
    bench.shows("turn the height screws 1/16 up, all hinges alike");
    bench.is_as_kept("62_screws_plan");
    bench.press("a");
    bench.shows("turn the height screws 1/16 up");
    // It was turned a sixteenth less a hair: typed as done.
    bench.press("o");
    fill(&mut bench, "0.05");
    let state = bench.session.opened.as_ref().unwrap().state.clone();
    let packs = &state.round(1).unwrap().packs;
    assert_eq!(packs.len(), 1);
    assert_eq!((packs[0].what.out, packs[0].what.up), (Length::ZERO, Length::parse("0.05", Unit::Inch).unwrap()));
    assert_eq!(state.stage(), Stage::Read { round: 2 });
    // What the next readings are held against: the gaps with the leaf raised by that.
    let expecting = rounds::expecting(&state, Spreads::default(), 2).unwrap();
    let now = Hung { up: 0.05 - 0.0625, ..TRUE };
    for (place, edge) in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top].into_iter().enumerate() {
        let belief = expecting.gap_at(place, Length::ratio(5, 1)).unwrap();
        assert!((belief.mean.0 - now.gap(edge, 5.0)).abs() < 0.002, "{edge}: {belief:?}");
        assert!(belief.sd.0 < 0.01, "{edge}: {belief:?}");
    }
    // Seventy-five thousandths of the eighth are left upward.
    let Motion::Hung(hanging) = state.motion_at("A", 2) else { panic!("it hangs") };
    assert_eq!(hanging.up, Length::parse("0.05", Unit::Inch).unwrap());
    bench.press("l");
    bench.shows("height screws of A turned 3/64 +0.003 up");
}

#[test]
fn what_cannot_hang_is_refused_in_place_and_nothing_is_lost() {
    let mut bench = Bench::new();
    bench.press("\rh");
    choose(&mut bench, 1);
    fill(&mut bench, "3");
    fill(&mut bench, "1/16");
    fill(&mut bench, "");
    fill(&mut bench, "0.03");
    bench.shows("two hinges or more");
    fill(&mut bench, "3, 40");
    bench.press("\r\r\r");
    bench.shows("a hinge at 40 is off the leaf, which is 26 high");
    bench.press("\u{1b}");
    bench.shows("set aside");
    bench.press("h");
    bench.shows("3, 40");
    assert!(bench.session.opened.as_ref().unwrap().state.hung.is_empty());
}

/// Telling the hinges anew is not hanging it again; taking it off is, and the log may be undone event by event.
#[test]
fn an_opening_read_hung_stays_read_when_its_ranges_are_told_anew() {
    let hung = r#"{"event":"hung","leaf":"A","motion":{"hung":{"hinges":["3","23"],"pack":"1/16","let_in":"1/32","stock":["0.03"]}}}"#;
    let wider = hung.replace("1/16", "1/8");
    let readings = r#"{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"},{"at":"25","gap":"3/32"}]}]}"#;
    let stage = |events: &str| {
        let bench = Bench::with(&[("door", events)]);
        let listed = bench.session.shop.openings[0].summary.stage;
        let shop = evenreveal::shop::Shop::open(bench.dir.path(), &evenreveal::shop::Access::Look).unwrap();
        let state = shop.opening("door").unwrap().state().clone();
        assert_eq!(listed, state.stage(), "the list and the opening differ");
        listed
    };
    assert_eq!(stage(&format!("{SINGLE}{hung}{readings}{wider}")), Stage::Decide { round: 1 });
    assert_eq!(stage(&format!("{SINGLE}{readings}{hung}")), Stage::Read { round: 2 });
    let loose = r#"{"event":"hung","leaf":"A","motion":"free"}"#;
    assert_eq!(stage(&format!("{SINGLE}{hung}{readings}{loose}{hung}")), Stage::Read { round: 2 });
    let strike = r#"{"event":"strike","strikes":4}"#;
    assert_eq!(stage(&format!("{SINGLE}{readings}{hung}{strike}")), Stage::Decide { round: 1 });
    // Nothing that replay works out is written into the log.
    let known: Event = serde_json::from_str(hung).unwrap();
    let written = serde_json::to_string(&known).unwrap();
    assert!(!written.contains("out") && !written.contains("up"), "{written}");
    assert_eq!(serde_json::from_str::<Event>(&written).unwrap(), known);
}

/// A plan was accepted, and then the door was hung instead of cut: list, filters, batch, record and the opening's own
/// screen all send the user to read the gaps again.
#[test]
fn a_plan_for_the_loose_leaf_is_nowhere_left_to_do_once_it_hangs() {
    let trims = [("left", "1/16", "1/16", "saw"), ("right", "1/64", "1/64", "plane")];
    let mut bench = Bench::with(&[("door", &waiting_doors::door("11", "26", &trims))]);
    bench.shows("Cut 2 edges");
    bench.press("\r");
    on_butts(&mut bench, "");
    bench.shows("Next: round 2: read the gaps (r)");
    bench.press("c");
    bench.shows("no accepted plan is waiting to be cut");
    assert_eq!(stage(&bench), Stage::Read { round: 2 });
    bench.press("\u{1b}");
    bench.shows("Read it again");
    let summary = &bench.session.shop.openings[0].summary;
    assert_eq!((summary.stage, summary.tools), (Stage::Read { round: 2 }, [false; 2]));
    // Neither part of the list that needs a tool has it.
    for part in ["needs the saw", "needs the plane"] {
        bench.press(if part == "needs the saw" { "ff" } else { "f" });
        bench.shows(part);
        assert!(!bench.text().contains("> door"), "{}", bench.text());
    }
    bench.press("\u{1b}b");
    bench.shows("nothing");
}
