//! A set-up sheet for the depth that fits its means, with the learned tape and plane in its strokes and layers only.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::rounds::{self, Choice, Told};
use evenreveal::bench::sheets::{Asked, Sheet, of_cut};
use evenreveal::cut::job::Method;
use evenreveal::cut::setup::Setup;
use evenreveal::fit::length::{Length, Show};
use evenreveal::fit::opening::Edge;
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{Event, TrimMeant};
use evenreveal::shop::reckoned::{By, Reckoned};
use evenreveal::shop::settings::Settings;
use screen_bench::Bench;

fn opened(bench: &Bench) -> OpeningState {
    bench.session.opened.as_ref().unwrap().state.clone()
}

fn state() -> OpeningState {
    let mut bench = Bench::new();
    bench.press("\r");
    opened(&bench)
}

/// Thousandths of an inch.
fn mil(thousandths: i64) -> Length {
    Length::ratio(thousandths, 1000)
}

fn trim(state: &OpeningState, removal: i64, reckoned: Option<Reckoned>) -> TrimMeant {
    let leaf = state.leaves[0].what.leaf.clone();
    TrimMeant { leaf, edge: Edge::Left, start: mil(removal), end: mil(removal), reckoned }
}

fn made(state: &OpeningState, settings: &Settings, trim: &TrimMeant, method: Option<Method>) -> Sheet {
    let asked = |_| Asked { method, ..Asked::default() };
    of_cut(state, settings, std::slice::from_ref(trim), (&trim.leaf, trim.edge), &asked).unwrap().unwrap()
}

fn planed(plane: u32) -> Reckoned {
    Reckoned { by: By::Plane, plane, tape: 1000, otherwise: [mil(9), mil(9)] }
}

fn strokes(sheet: &Sheet) -> u32 {
    match &sheet.sheet.setup {
        Setup::Plane(planing) => planing.full,
        other => panic!("not planed: {other:?}"),
    }
}

#[test]
fn a_plane_that_takes_less_gets_more_strokes_for_the_same_wood() {
    let (state, settings) = (state(), Settings::default());
    let plain = strokes(&made(&state, &settings, &trim(&state, 24, Some(planed(1000))), None));
    let less = made(&state, &settings, &trim(&state, 24, Some(planed(750))), None);
    assert_eq!(less.trim.start, mil(24), "the wood is what it was");
    assert!((f64::from(strokes(&less)) - f64::from(plain) / 0.75).abs() <= 1.0, "{} for {plain}", strokes(&less));
}

#[test]
fn a_saw_that_is_asked_for_gets_the_depth_that_is_safe_for_a_saw() {
    let (state, settings) = (state(), Settings::default());
    let asked = made(&state, &settings, &trim(&state, 24, Some(planed(1000))), Some(Method::GuideLine));
    assert_eq!(asked.sheet.setup.method(), Method::GuideLine);
    assert_eq!([asked.trim.start, asked.trim.end], [mil(9); 2], "a plane's depth is not handed to a saw");
    let meant = asked.trim.reckoned.unwrap();
    assert_eq!((meant.by, meant.otherwise), (By::Saw, [mil(24); 2]), "and back again");
}

#[test]
fn a_ranking_that_begins_with_a_saw_does_not_saw_what_was_reckoned_for_the_plane() {
    let settings = Settings { ranking: vec![Method::GuideLine], ..Settings::default() };
    let sheet = made(&state(), &settings, &trim(&state(), 24, Some(planed(1000))), None);
    assert_eq!(sheet.sheet.setup.method(), Method::Plane);
    let none = Settings { planes: Vec::new(), ..settings };
    let sheet = made(&state(), &none, &trim(&state(), 24, Some(planed(1000))), None);
    assert_eq!(sheet.sheet.setup.method(), Method::GuideLine, "no plane is owned");
    assert_eq!(sheet.trim.start, mil(9));
}

#[test]
fn what_was_allowed_for_is_in_the_log_and_old_logs_have_none() {
    let old: TrimMeant = serde_json::from_str(r#"{"leaf":"A","edge":"left","start":"1/32\"","end":"1/32\""}"#).unwrap();
    assert_eq!(old.reckoned, None);
    let new = TrimMeant { reckoned: Some(planed(750)), ..old };
    let text = serde_json::to_string(&new).unwrap();
    assert!(text.contains("750"), "{text}");
    assert_eq!(serde_json::from_str::<TrimMeant>(&text).unwrap(), new);
}

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

#[test]
fn the_accepted_plan_and_the_cut_done_as_shown_keep_what_the_depth_was_reckoned_for() {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\r"));
    let look = rounds::look(&opened(&bench), &Settings::default(), rounds::spreads(None), Choice::default()).unwrap();
    bench.press("ad");
    let state = opened(&bench);
    let records = &bench.session.opened.as_ref().unwrap().records;
    let cut = records.iter().rev().find_map(|record| match &record.event {
        Event::Cut(cut) => Some(cut.intended.clone()),
        _ => None,
    });
    let reckoned = cut.unwrap().reckoned.expect("kept with the cut");
    let advised = look.cuts()[0];
    assert!((f64::from(reckoned.plane) / 1000.0 - advised.plane).abs() < 0.001);
    let told = Told::of(&state, u32::MAX).unwrap();
    let made = told.rounds[0].cuts[0];
    assert!((made.allowed - reckoned.allowed(reckoned.by)).abs() < 1e-12);
}

#[test]
fn wood_is_never_shown_as_more_than_it_is() {
    let sixty_fourths = Show::Fraction(64);
    for (removal, shown) in [
        ("0.1016", "0.101"),
        ("0.0411", "0.041"),
        ("0.0486", "3/64"),
        ("3/64", "3/64"),
        ("0.0033", "0.003"),
        ("0", "0"),
    ] {
        let length: Length = serde_json::from_str(&format!("\"{removal}\\\"\"")).unwrap();
        assert_eq!(length.shown_down(sixty_fourths), shown, "{removal}");
    }
    // The last digits that a solver may lack do not take a whole step away.
    let nearly = Length::from_inches_near(0.046_874_999).unwrap();
    assert_eq!(nearly.shown_down(sixty_fourths), "3/64");
    assert_eq!(Length::ratio(1, 25).shown_down(Show::Millimetre(1)), "1.01mm", "1.016");
    // Less than the finest step is nothing, in the shop's own writing: it was 0.000 between fractions.
    let hair = Length::ratio(4, 10_000);
    for (show, nothing) in [(sixty_fourths, "0"), (Show::DecimalInch(3), "0.000"), (Show::DecimalInch(2), "0.00")] {
        assert_eq!(hair.shown_down(show), nothing);
        assert_eq!(Length::ZERO.shown_down(show), nothing);
    }
    assert_eq!(Length::ratio(2, 10_000).shown_down(Show::Millimetre(1)), "0.0mm");
    assert_eq!(Length::ratio(4, 10_000).shown_down(Show::Millimetre(1)), "0.01mm");
}
