//! The next thing to do has one name, wherever it is asked for: on the list, on the opening's own screen, by `list`,
//! by `plan`, on the printed card.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::brief::{self, Brief, Thing};
use evenreveal::bench::rounds::PassesLeft;
use evenreveal::bench::stations::{Spot, StationPlace};
use evenreveal::bench::{Effect, Message, Screen, seen::PassesSeen};
use evenreveal::fit::opening::Edge;
use screen_bench::Bench;
use std::process::Command;

/// Two cuts' worth of wood too much on the left and at the top, by feelers of 1/64.
fn too_big(station: &StationPlace) -> String {
    match station.edge {
        Edge::Left => "b".to_owned(),
        Edge::Top => "c".to_owned(),
        Edge::Right | Edge::Bottom => "f".to_owned(),
    }
}

/// The same, but the middle of the latch side does not go with its ends: a slip is likely there, nowhere else.
fn bent(station: &StationPlace) -> String {
    match (station.edge, station.spot) {
        (Edge::Right, Spot::Low | Spot::High) => "g".to_owned(),
        _ => too_big(station),
    }
}

fn even(_: &StationPlace) -> String {
    "3/32".to_owned()
}

fn program(bench: &Bench, arguments: &[&str]) -> String {
    let shop = bench.dir.path().to_str().unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.args(["--shop", shop]).args(arguments).env_clear().env("HOME", shop);
    String::from_utf8(command.output().unwrap().stdout).unwrap()
}

/// Everything that names the next thing says the same; answers it.
#[track_caller]
fn one_name(bench: &mut Bench) -> (String, Option<Brief>) {
    let opened = bench.session.opened.clone().unwrap();
    let stage = opened.state.stage();
    let own = bench.session.advised.brief(&opened);
    let (line, big) = (brief::line(stage, own.as_ref()), brief::big(stage, own.as_ref()));
    let listed = program(bench, &["list"]);
    assert!(listed.contains(&format!("left door  {line}")), "'{line}' is not in: {listed}");
    let json: serde_json::Value = serde_json::from_str(&program(bench, &["list", "--json"])).unwrap();
    assert_eq!(json[0]["advice"].as_str(), own.map(|brief| brief.thing.word()));
    if let Some(own) = own {
        let plan = program(bench, &["plan", "left door"]);
        assert_eq!(plan.lines().next(), Some(format!("Next: {line}.").as_str()));
        let json: serde_json::Value = serde_json::from_str(&program(bench, &["plan", "left door", "--json"])).unwrap();
        assert_eq!(json["next"].as_str(), Some(own.thing.word()));
    }
    let card = bench.dir.path().join("card.svg");
    program(bench, &["card", "left door", "--out", card.to_str().unwrap()]);
    let card = std::fs::read_to_string(card).unwrap();
    let words: Vec<&str> = card.lines().filter(|line| !line.starts_with('<')).flat_map(str::split_whitespace).collect();
    assert!(words.join(" ").contains(&format!("Next: {line}.")), "{words:?}");
    while !matches!(bench.session.screen(), Some(Screen::Shop(_))) {
        bench.press("\u{1b}");
    }
    assert_eq!(bench.session.shop.openings[0].brief().copied(), own, "the list and the opening differ");
    bench.shows(&big);
    bench.press("\r");
    (line, own)
}

#[test]
fn the_next_thing_has_one_name_from_the_first_reading_to_the_last() {
    let mut bench = Bench::new();
    bench.press("\r");
    assert_eq!(one_name(&mut bench).0, "round 1: read the gaps");
    bench.press("r");
    bench.walk_as(bent);
    bench.press("\u{1b}");
    let (line, own) = one_name(&mut bench);
    let Some(Thing::ReadAgain(many)) = own.map(|own| own.thing) else { panic!("{line}") };
    assert!((2..=3).contains(&many), "{line}");
    bench.shows("read again (r): latch side");
    bench.press("r");
    bench.walk_as(bent);
    assert_eq!(one_name(&mut bench).1.map(|own| own.thing), Some(Thing::Cut));
    bench.press("pa");
    bench.press("\u{1b}");
    let left = bench.session.opened.as_ref().unwrap().state.trims_left();
    let edges = if left == 1 { "1 edge".to_owned() } else { format!("{left} edges") };
    assert_eq!(one_name(&mut bench).0, format!("round 1: {edges} to cut"));
    bench.press(&format!("c{}", "d".repeat(left)));
    assert_eq!(one_name(&mut bench).0, "round 2: read the gaps");
    bench.press("r");
    bench.walk_as(even);
    bench.press("\u{1b}");
    let mut thing = None;
    for _ in 0..6 {
        thing = one_name(&mut bench).1.map(|own| own.thing);
        if thing == Some(Thing::Fits) {
            break;
        }
        bench.press("r");
        bench.walk_as(even);
    }
    assert_eq!(thing, Some(Thing::Fits));
    bench.press("pa");
    assert_eq!(one_name(&mut bench).0, "it fits, after round 2");
}

#[test]
fn the_plan_takes_the_answer_that_the_opening_has() {
    let mut bench = Bench::new();
    bench.press("\rr");
    bench.walk_as(too_big);
    bench.press("\u{1b}");
    let mut session = bench.session.clone();
    let effects = evenreveal::bench::update(&mut session, Message::Action(evenreveal::bench::Action::Plan));
    assert!(matches!(session.screen(), Some(Screen::Plan(plan)) if plan.answer.is_some()));
    assert!(!effects.iter().any(|effect| matches!(effect, Effect::Look(_))), "{effects:?}");
}

#[test]
fn an_opening_asks_once_for_each_state_of_its_log() {
    let mut bench = Bench::new();
    bench.press("\rr");
    bench.walk_as(too_big);
    let mut session = bench.session.clone();
    let mut asked = 0;
    for action in [evenreveal::bench::Action::Back, evenreveal::bench::Action::Log, evenreveal::bench::Action::Back] {
        let effects = evenreveal::bench::update(&mut session, Message::Action(action));
        asked += effects.iter().filter(|effect| matches!(effect, Effect::Look(_))).count();
    }
    assert_eq!(asked, 1);
}

#[test]
fn a_brief_survives_its_numbers() {
    let mut bench = Bench::new();
    bench.press("\rr");
    bench.walk_as(too_big);
    while !matches!(bench.session.screen(), Some(Screen::Shop(_))) {
        bench.press("\u{1b}");
    }
    let PassesSeen::Known(Some(brief)) = bench.session.shop.openings[0].passes else { panic!("no brief") };
    assert!(brief.passes.unwrap().trips.most > 0);
    for (thing, passes) in [
        (brief.thing, brief.passes),
        (Thing::Check, None),
        (Thing::Judge, None),
        (Thing::ReadAnew, None),
        (Thing::Pack, brief.passes),
        (Thing::Cut, brief.passes),
        (Thing::Fits, Some(PassesLeft::default())),
        (Thing::Short, None),
        (Thing::AsGood, None),
    ] {
        let brief = Brief { thing, passes, ..brief };
        assert_eq!(Brief::from_numbers(&brief.numbers()), Some(brief));
    }
    assert_eq!(Brief::from_numbers(&[1, 99, 0, 0, 0, 0, 0, 0, 0, 0]), None);
    assert_eq!(Brief::from_numbers(&[1, 2]), None);
}
