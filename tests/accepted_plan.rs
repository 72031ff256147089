//! One answer for one leaf: the plan that was accepted is what every screen, page and command shows until its round
//! is over or another one is accepted; where the advice differs since, all of them say so.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::rounds::{self, Look};
use evenreveal::bench::{Screen, batch};
use evenreveal::fit::length::Show;
use evenreveal::fit::opening::Edge;
use evenreveal::paper::matter::Matter;
use evenreveal::shop::event::TrimMeant;
use program::Home;
use screen_bench::Bench;
use std::collections::BTreeSet;

/// Feelers that go at the twelve stations of the single door; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

/// What is read after the plan was accepted: the right edge stands 1/32 further from the frame than it was read.
const READ_SINCE: &str = r#"[{"event":"readings","round":1,"gaps":[{"between":["A.right","frame"],"readings":[
  {"at":"1","goes":"7/64","stops":"1/8"},{"at":"13","goes":"7/64","stops":"1/8"},{"at":"25","goes":"7/64","stops":"1/8"}]}]}]"#;

/// The screen says it, on however many rows.
fn says(bench: &Bench, wanted: &str) {
    let text = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(wanted), "no '{wanted}' on\n{}", bench.text());
}

fn shown(bench: &Bench) -> &Look {
    let Some(Screen::Plan(plan)) = bench.session.screen() else { panic!("no plan on\n{}", bench.text()) };
    plan.look().expect("an answer")
}

fn edges<'a>(cuts: impl Iterator<Item = &'a Edge>) -> BTreeSet<&'static str> {
    cuts.map(|edge| edge.word()).collect()
}

fn trims(bench: &Bench) -> Vec<TrimMeant> {
    let state = &bench.session.opened.as_ref().unwrap().state;
    state.latest().unwrap().plan.as_ref().expect("an accepted plan").what.trims.clone()
}

/// The single door read, and the plan with every edge accepted; back at the opening.
fn every_edge_accepted() -> Bench {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\u{1b}p"));
    let fewest = edges(shown(&bench).cuts().iter().map(|cut| &cut.edge));
    bench.press("e");
    let every = edges(shown(&bench).cuts().iter().map(|cut| &cut.edge));
    assert_ne!(every, fewest, "the two plans differ");
    bench.press("a\u{1b}");
    assert_eq!(trims(&bench).len(), every.len());
    bench
}

#[test]
fn the_plan_screen_shows_the_accepted_plan() {
    let mut bench = every_edge_accepted();
    let accepted = trims(&bench);
    bench.press("p");
    let look = shown(&bench);
    assert_eq!(
        edges(look.cuts().iter().map(|cut| &cut.edge)),
        edges(accepted.iter().map(|trim| &trim.edge)),
        "{}",
        bench.text()
    );
    for cut in look.cuts() {
        let trim = accepted.iter().find(|trim| trim.edge == cut.edge).unwrap();
        let aim = cut.aim.map(|aim| aim.length().shown_down(Show::Fraction(64)));
        assert_eq!(aim, [trim.start, trim.end].map(|end| end.shown_down(Show::Fraction(64))));
        let planned = look.plan().leaves[0].trims.iter().find(|trim| trim.edge == cut.edge).unwrap();
        assert_eq!([planned.start, planned.end], cut.line, "the picture's wood is the line of the same cut");
    }
    let known = look.accepted.as_ref().expect("it says that it is the accepted one");
    assert!(!known.differs, "nothing was read since");
    bench.shows("ACCEPTED (event ");
    bench.shows("every edge");
    // Accepting it again changes nothing.
    let kept = bench.session.opened.as_ref().unwrap().records.len();
    bench.press("a");
    bench.shows("accepted already");
    assert_eq!(bench.session.opened.as_ref().unwrap().records.len(), kept);
}

#[test]
fn opening_passes_card_batch_and_command_show_the_same_cuts() {
    let bench = every_edge_accepted();
    let accepted = trims(&bench);
    let wanted = edges(accepted.iter().map(|trim| &trim.edge));
    let opened = bench.session.opened.as_ref().unwrap();
    let settings = &bench.session.shop.settings;
    // Passes that remain are those of these cuts.
    let look = bench.answer().answer.as_ref().unwrap();
    let counted: BTreeSet<_> = look.advice.passes.as_ref().unwrap().edges.iter().map(|one| one.edge.word()).collect();
    assert_eq!(counted, wanted);
    let matter = Matter::of(opened, settings, rounds::spreads(None));
    assert_eq!(matter.trims(), accepted);
    assert_eq!(edges(matter.looked().unwrap().0.cuts().iter().map(|cut| &cut.edge)), wanted);
    let waiting = batch::waiting("left door", "left door", &opened.state, settings);
    assert_eq!(edges(waiting.rows.iter().map(|row| &row.sheet.trim.edge)), wanted);
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let json = home.run(&["--shop", shop, "plan", "left door", "--json"], "").code(0).json();
    let of = |list: &serde_json::Value| -> BTreeSet<String> {
        list.as_array().unwrap().iter().map(|one| one["edge"].as_str().unwrap().to_owned()).collect()
    };
    let wanted: BTreeSet<String> = wanted.into_iter().map(str::to_owned).collect();
    assert_eq!(of(&json["cuts"]), wanted);
    assert_eq!(of(&json["leaves"][0]["trims"]), wanted);
    assert_eq!(of(&json["setups"]), wanted);
    assert_eq!(json["accepted"]["advice_differs"], false);
    let count = format!("{} edges to cut", accepted.len());
    home.run(&["--shop", shop, "plan", "left door"], "").code(0).gives(&[
        &format!("Next: round 1: {count}."),
        "ACCEPTED (event ",
        &format!("Cut {} edges", accepted.len()),
    ]);
    home.run(&["--shop", shop, "list"], "").code(0).gives(&[&count]);
}

#[test]
fn another_choice_is_shown_as_not_accepted_until_it_is() {
    let mut bench = every_edge_accepted();
    let first = trims(&bench);
    bench.press("pe");
    bench.shows("NOT ACCEPTED");
    let fewest = edges(shown(&bench).cuts().iter().map(|cut| &cut.edge));
    let of = |trims: &[TrimMeant]| edges(trims.iter().map(|trim| &trim.edge));
    assert!(fewest != of(&first) && shown(&bench).accepted.is_none());
    // Back to the one that stands, and to the advice again.
    bench.press("n");
    assert_eq!(edges(shown(&bench).cuts().iter().map(|cut| &cut.edge)), of(&first));
    bench.shows("ACCEPTED (event ");
    bench.press("n");
    bench.shows("NOT ACCEPTED");
    assert_eq!(edges(shown(&bench).cuts().iter().map(|cut| &cut.edge)), of(&first), "the same choice, anew");
    bench.press("ea\u{1b}");
    assert_eq!(of(&trims(&bench)), fewest, "another plan is accepted");
    bench.press("p");
    assert_eq!(edges(shown(&bench).cuts().iter().map(|cut| &cut.edge)), fewest);
    bench.shows("fewest cuts");
}

#[test]
fn a_cut_that_is_done_is_said_and_the_rest_stays() {
    let mut bench = every_edge_accepted();
    let accepted = trims(&bench);
    bench.press("cd\u{1b}");
    let left = bench.session.opened.as_ref().unwrap().state.to_cut();
    assert_eq!(left.len() + 1, accepted.len(), "one cut is done\n{}", bench.text());
    bench.press("p");
    assert_eq!(shown(&bench).cuts().len(), accepted.len(), "the plan is the same one");
    bench.shows(&format!("1 of {} cuts done", accepted.len()));
    bench.shows("; done");
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let json = home.run(&["--shop", shop, "plan", "left door", "--json"], "").code(0).json();
    assert_eq!(json["setups"].as_array().unwrap().len(), left.len(), "set-ups for what is left");
    let done: Vec<_> = json["cuts"].as_array().unwrap().iter().filter(|cut| cut["done"] == true).collect();
    assert_eq!(done.len(), 1);
}

/// The same shop after gaps were read that the accepted plan does not know of.
fn read_since() -> (tempfile::TempDir, Vec<TrimMeant>) {
    let bench = every_edge_accepted();
    let accepted = trims(&bench);
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    let home = Home::new();
    home.write("since.json", READ_SINCE);
    home.run(&["--shop", dir.path().to_str().unwrap(), "enter", "left door", "since.json"], "").code(0);
    (dir, accepted)
}

#[test]
fn advice_that_differs_since_is_said_by_the_commands_with_what_to_do() {
    let (dir, accepted) = read_since();
    let (home, shop) = (Home::new(), dir.path().to_str().unwrap());
    home.run(&["--shop", shop, "plan", "left door"], "").code(0).gives(&[
        "DIFFERS NOW: with the gaps read since, it would be ",
        "before the next cut",
        &format!("Cut {} edges", accepted.len()),
        "--anew",
    ]);
    let anew = home.run(&["--shop", shop, "plan", "left door", "--anew"], "").code(0);
    anew.gives(&["NOT ACCEPTED: the plan of event "]);
    let listed = home.run(&["--shop", shop, "list"], "").code(0);
    listed.gives(&["the advice differs now: see the plan first"]);
}

#[test]
fn advice_that_differs_since_is_said_on_the_screens_and_takes_the_plans_place_by_a_key() {
    let (dir, accepted) = read_since();
    let mut bench = Bench::on(dir);
    bench.press("\r");
    says(&bench, "the advice differs now");
    bench.press("c");
    says(&bench, "the advice differs from this plan now");
    bench.press("\u{1b}p");
    says(&bench, "DIFFERS NOW: with the gaps read since");
    assert_eq!(shown(&bench).cuts().len(), accepted.len(), "the accepted plan is shown all the same");
    bench.press("n");
    says(&bench, "NOT ACCEPTED");
    let anew = edges(shown(&bench).cuts().iter().map(|cut| &cut.edge));
    bench.press("a");
    let now = trims(&bench);
    assert_ne!(now, accepted, "{}", bench.text());
    assert_eq!(edges(now.iter().map(|trim| &trim.edge)), anew);
    bench.press("\u{1b}p");
    assert!(shown(&bench).accepted.as_ref().is_some_and(|known| !known.differs), "{}", bench.text());
}

/// The opening's plan as the command says it, after gaps were read since that change what is wanted of the right edge,
/// and the edges `done` were cut as accepted all the same.
fn said_after(done: &[&str]) -> String {
    let bench = every_edge_accepted();
    let accepted = trims(&bench);
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    let (home, shop) = (Home::new(), dir.path().to_str().unwrap());
    let cut = |trim: &TrimMeant| {
        let mut cut = serde_json::to_value(trim).unwrap();
        let keys = cut.as_object_mut().unwrap();
        keys.extend([("event", "cut"), ("method", "rip")].map(|(key, word)| (key.to_owned(), word.into())));
        keys.insert("round".to_owned(), 1.into());
        cut
    };
    let cuts: Vec<_> = accepted.iter().filter(|trim| done.contains(&trim.edge.word())).map(cut).collect();
    assert_eq!(cuts.len(), done.len());
    home.write("since.json", READ_SINCE);
    home.run(&["--shop", shop, "enter", "left door", "since.json"], "").code(0);
    if !cuts.is_empty() {
        home.write("cuts.json", &serde_json::to_string(&cuts).unwrap());
        home.run(&["--shop", shop, "enter", "left door", "cuts.json"], "").code(0);
    }
    home.run(&["--shop", shop, "plan", "left door"], "").out
}

#[test]
fn what_differs_names_no_edge_that_is_finished() {
    let whole = said_after(&[]);
    let would = |said: &str| {
        let from = said.find("it would be ")?;
        Some(said[from..].split("Look at that").next().unwrap().to_owned())
    };
    assert!(would(&whole).expect("it differs").contains("A right"), "{whole}");
    for done in [&["right"][..], &["top"]] {
        let said = said_after(done);
        assert!(said.contains("ACCEPTED (event "), "{said}");
        for edge in done {
            assert!(!would(&said).unwrap_or_default().contains(&format!("A {edge}")), "{done:?}: {said}");
        }
    }
    // What is still to be cut otherwise is still said; where all is off, nothing is left to do otherwise.
    let top = said_after(&["top"]);
    assert!(would(&top).expect("it differs").contains("A right"));
    // Once wood is off nothing else can be accepted on these readings: what can be done is said.
    assert!(top.contains("read the gaps again for a new plan") && !top.contains("accept it there"), "{top}");
    let all = said_after(&["right", "top"]);
    assert!(all.contains("2 of 2 cuts done") && !all.contains("DIFFERS NOW"), "{all}");
}
