//! The practice leaf: through keys, at three sizes, against kept snapshots; nothing of it is written.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::practice::page::Part;
use evenreveal::bench::practice::{Answer, is_on};
use evenreveal::bench::{Effect, Message, Screen, update};
use evenreveal::screen::keymap;
use evenreveal::screen::theme::Palette;
use evenreveal::shop::replay::Stage;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use screen_bench::{Bench, SIZES};
use std::collections::BTreeMap;
use std::path::Path;

/// Every file of a folder with what is in it.
fn files(dir: &Path, into: &mut BTreeMap<String, Vec<u8>>) {
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, into);
        } else {
            into.insert(path.display().to_string(), std::fs::read(&path).unwrap());
        }
    }
}

fn whole(bench: &Bench) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    files(bench.dir.path(), &mut all);
    all
}

/// At the made-up door of this number.
fn at_door(seed: u64) -> Bench {
    let mut bench = Bench::new();
    evenreveal::shell::deal(Message::Practice(Answer::Seed(seed)), &mut bench.session, &mut bench.runner);
    assert!(is_on(&bench.session));
    bench
}

fn stage(bench: &Bench) -> Stage {
    bench.session.opened.as_ref().unwrap().state.stage()
}

/// Follows the advice with as few keys as there are.
fn follow(bench: &mut Bench) {
    for _ in 0..60 {
        match bench.session.screen() {
            Some(Screen::Practice(page)) if page.part == Part::Bench => match stage(bench) {
                Stage::Read { .. } => bench.press("a"),
                Stage::Decide { .. } => {
                    let before = bench.session.opened.as_ref().unwrap().state.last;
                    bench.press("a");
                    if bench.session.opened.as_ref().unwrap().state.last == before {
                        bench.press("pa");
                    }
                }
                Stage::Cut { .. } => bench.press("c"),
                Stage::Fitted { .. } | Stage::Settled { .. } => return,
                other => panic!("{other:?}"),
            },
            Some(Screen::Record(_)) => bench.press("d"),
            Some(Screen::Plan(_)) => bench.press("\u{1b}"),
            other => panic!("{other:?}"),
        }
    }
    panic!("never done\n{}", bench.text());
}

#[test]
fn a_door_is_fitted_by_advice_and_nothing_is_written() {
    let mut bench = Bench::new();
    let summaries =
        |bench: &Bench| bench.session.shop.openings.iter().map(|listed| listed.summary.clone()).collect::<Vec<_>>();
    let (before, list) = (whole(&bench), summaries(&bench));
    bench.press("x");
    assert!(is_on(&bench.session), "x takes up a made-up door\n{}", bench.text());
    bench.shows("PRACTICE");
    // From here on a door that is the same each time.
    evenreveal::shell::deal(Message::Practice(Answer::Seed(4711)), &mut bench.session, &mut bench.runner);
    follow(&mut bench);
    bench.press("e");
    bench.shows("The tool's own advice");
    bench.shows("Cut too deep");
    let ended = bench.session.practice.as_ref().unwrap().ended.clone().unwrap();
    assert!(ended.yours.rounds >= 2 && ended.tools.rounds >= 2);
    // What could write has no key here, and would not go out if it had one.
    bench.press("\u{1b}");
    bench.press("nkbsgwft\u{1b}");
    while is_on(&bench.session) {
        bench.press("\u{1b}");
    }
    assert_eq!(bench.session.opened, None);
    assert_eq!(whole(&bench), before, "the shop's folder is byte for byte what it was");
    assert_eq!(summaries(&bench), list);
}

/// Who does what every page says ends where the tool's own advice ends: as many passes, the same wood.
#[test]
fn who_obeys_every_sheet_is_told_the_tools_own_result() {
    let mut in_passes = 0;
    for seed in [77, 4711, 5, 12] {
        let mut bench = at_door(seed);
        follow(&mut bench);
        bench.press("e");
        let ended = bench.session.practice.as_ref().unwrap().ended.clone().unwrap();
        assert_eq!(ended.yours, ended.tools, "door {seed}");
        let took = &bench.session.practice.as_ref().unwrap().door.took;
        let again = |(place, one): (usize, &evenreveal::bench::practice::door::Took)| {
            took[..place].iter().any(|before| (before.round, before.edge) == (one.round, one.edge))
        };
        in_passes += took.iter().enumerate().filter(|one| again(*one)).count();
    }
    assert!(in_passes > 0, "no edge took several passes");
}

#[test]
fn no_effect_that_writes_gets_out_of_practice() {
    let mut bench = at_door(4711);
    let mut out = Vec::new();
    // Keys that would write for a real opening are among them, on every screen that is passed.
    for keys in ["a", "aaaa", "knsbgwf", "p", "awkt", "\u{1b}", "c", "dwq", "\u{1b}", "u", "e", "nkt", "\u{1b}", "o"] {
        for key in keys.chars().filter(|key| *key != 'q') {
            let code = match key {
                '\u{1b}' => KeyCode::Esc,
                other => KeyCode::Char(other),
            };
            let place = keymap::place(&bench.session);
            let Some(action) = keymap::action(place, KeyEvent::new(code, KeyModifiers::NONE)) else { continue };
            let mut effects = update(&mut bench.session, Message::Action(action));
            while let Some(effect) = effects.pop() {
                out.push(effect.clone());
                let answer = bench.runner.run(effect).unwrap();
                effects.extend(update(&mut bench.session, answer));
            }
        }
        assert!(is_on(&bench.session), "after '{keys}'");
    }
    // It was read, planned and cut, and all that went out was questions.
    let door = &bench.session.practice.as_ref().unwrap().door;
    assert!(door.state().last > 4 && !door.took.is_empty(), "{:?}", door.state());
    assert!(out.len() >= 3, "{out:?}");
    let harmless = |effect: &Effect| matches!(effect, Effect::Practice(_));
    assert!(out.iter().all(harmless), "{out:?}");
}

#[test]
fn the_screens_of_a_door() {
    let mut bench = at_door(4711);
    bench.is_as_kept("80_practice_start");
    bench.press("r");
    bench.shows("practice: here ");
    bench.is_as_kept("81_practice_reading");
    bench.press("\u{1b}a");
    bench.is_as_kept("82_practice_read");
    bench.press("?");
    bench.is_as_kept("83_practice_help");
    bench.press("\u{1b}o");
    bench.is_as_kept("84_practice_own_cut");
    bench.press("\u{1b}");
    follow(&mut bench);
    bench.press("e");
    bench.is_as_kept("85_practice_ended");
    for size in SIZES {
        let text = screen_bench::text(&bench.buffer(size, Palette::Plain));
        for word in ["PRACTICE", "You: ", "same door and same luck", "Cut too deep"] {
            assert!(text.contains(word), "no '{word}' at {size:?}\n{text}");
        }
    }
}

#[test]
fn an_own_cut_goes_by_its_set_up_sheet_and_cannot_be_taken_back() {
    let mut bench = at_door(4711);
    bench.press("o");
    bench.shows("hold the leaf in its opening first");
    bench.press("a");
    // Edge left, 7/64 off both ends, with the saw.
    bench.press("o\r7/64\r7/64\r\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "{}", bench.text());
    bench.shows("guard");
    bench.press("d");
    let took = bench.session.practice.as_ref().unwrap().door.took.clone();
    assert_eq!(took.len(), 1);
    assert!((took[0].took[0].0 - 7.0 / 64.0).abs() < 0.05, "{took:?}");
    bench.press("u");
    bench.shows("wood does not go back on");
    assert_eq!(bench.session.practice.as_ref().unwrap().door.took, took);
    bench.press("o\r1/16\r1/16\r\r");
    bench.shows("that edge was cut in this round");
    // The right edge too: more than both together had to give.
    bench.press("\u{1b}o ");
    bench.press("\r9/64\r9/64\r\r");
    // More than a kerf: two passes.
    bench.press("dd");
    assert_eq!(bench.session.practice.as_ref().unwrap().door.took.len(), 3, "{}", bench.text());
    bench.press("e");
    bench.shows("Cut too deep");
    let ended = bench.session.practice.as_ref().unwrap().ended.clone().unwrap();
    assert!(ended.yours.too_deep.is_some(), "7/64 and 9/64 where 1/8 was over: {ended:?}");
    bench.is_as_kept("86_practice_too_deep");
    bench.press("r");
    assert!(bench.session.practice.as_ref().unwrap().door.took.is_empty(), "the same door from the start");
    assert_eq!(bench.session.practice.as_ref().unwrap().door.seed, 4711);
}

#[test]
fn a_door_that_is_left_is_taken_up_again() {
    let mut bench = at_door(4711);
    bench.press("a\u{1b}");
    assert!(!is_on(&bench.session) && bench.session.opened.is_none());
    // A real opening in between is not touched by it.
    bench.press("\r\u{1b}x");
    assert!(is_on(&bench.session));
    assert_eq!(bench.session.opened.as_ref().unwrap().state.round(1).unwrap().stations(), 12);
    bench.press("en");
    assert!(bench.session.practice.as_ref().unwrap().ended.is_none(), "another door");
}

#[test]
fn a_wrong_key_reads_wrong_and_reading_again_looks_again() {
    let mut bench = at_door(4711);
    bench.press("r");
    let first = bench.session.practice.as_ref().unwrap().door.clone();
    bench.press("h\r");
    if matches!(bench.session.screen(), Some(Screen::Readings(entry)) if entry.asked.is_some()) {
        bench.press("k");
    }
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert_eq!(state.round(1).unwrap().stations(), 1, "what the user enters is what counts");
    assert_eq!(first.world, bench.session.practice.as_ref().unwrap().door.world);
}
