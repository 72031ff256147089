//! An edge that takes several saw passes, looked at between them: whoever makes what is listed anywhere takes the
//! accepted trim and no more, and what is said to be left is what is left.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::batch::{Row, Waiting, waiting};
use evenreveal::bench::sheets::{self, Sheet};
use evenreveal::bench::{OpeningSeen, Screen, rounds_words};
use evenreveal::fit::estimate::Method;
use evenreveal::fit::length::Length;
use evenreveal::paper::matter::Matter;
use evenreveal::shop::OpeningState;
use program::Home;
use screen_bench::{Bench, SINGLE};
use serde_json::Value;

/// Right takes three passes, the top one: invented. All round it is tight, so that the advice wants wood off too.
const PLAN: &str = r#"{"event":"plan","round":1,"verdict":"cut","trims":[
    {"leaf":"A","edge":"right","start":"3/16","end":"5/16"},{"leaf":"A","edge":"top","start":"1/16","end":"3/32"}],
    "means":["saw","saw"]}"#;
/// Edge, taken at its lower or left end, at its other end.
const PLANNED: [(&str, &str, &str); 2] = [("right", "3/16", "5/16"), ("top", "1/16", "3/32")];

fn events() -> String {
    let line = |between: &str, at: [&str; 3], gap: [&str; 3]| {
        let each = at.iter().zip(gap).map(|(at, gap)| format!(r#"{{"at":"{at}","gap":"{gap}"}}"#));
        let each: Vec<String> = each.collect();
        format!(r#"{{"between":{between},"readings":[{}]}}"#, each.join(","))
    };
    let (upright, level) = (["1", "13", "25"], ["1", "5 1/2", "10"]);
    let gaps = [
        line(r#"["frame","A.left"]"#, upright, ["1/64"; 3]),
        line(r#"["A.right","frame"]"#, upright, ["0", "0", "1/64"]),
        line(r#"["frame","A.bottom"]"#, level, ["1/64"; 3]),
        line(r#"["A.top","frame"]"#, level, ["1/32"; 3]),
    ];
    format!(r#"{SINGLE} {{"event":"readings","round":1,"gaps":[{}]}} {PLAN}"#, gaps.join(","))
}

fn length(text: &str) -> Length {
    Length::parse(text, evenreveal::fit::length::Unit::Inch).unwrap()
}

fn add(sum: &mut [Length; 2], start: Length, end: Length) {
    *sum = [sum[0].checked_add(start).unwrap(), sum[1].checked_add(end).unwrap()];
}

/// At the saw, with this door open and its plan accepted.
fn at_work() -> Bench {
    let mut bench = Bench::with(&[("left door", &events())]);
    bench.press("\r");
    bench
}

fn opened(bench: &Bench) -> &OpeningSeen {
    bench.session.opened.as_ref().unwrap()
}

fn state(bench: &Bench) -> &OpeningState {
    &opened(bench).state
}

fn rows(bench: &Bench) -> Vec<Row> {
    let Waiting { rows, without } = waiting("a", "left door", state(bench), &bench.session.shop.settings);
    assert!(without.is_empty(), "{without:?}");
    rows
}

/// Taken so far on an edge by the log, and what `still` would take, together.
fn together<'a>(bench: &Bench, edge: &str, still: impl Iterator<Item = &'a Sheet>) -> [Length; 2] {
    let mut sum = [Length::ZERO; 2];
    for cut in &state(bench).latest().unwrap().cuts {
        if cut.what.intended.edge.word() == edge {
            add(&mut sum, cut.what.intended.start, cut.what.intended.end);
        }
    }
    still
        .filter(|sheet| sheet.trim.edge.word() == edge)
        .for_each(|sheet| add(&mut sum, sheet.trim.start, sheet.trim.end));
    sum
}

#[track_caller]
fn is_the_accepted_trim(bench: &Bench, from: &str, still: &[&Sheet]) {
    for (edge, start, end) in PLANNED {
        let sum = together(bench, edge, still.iter().copied());
        assert_eq!(sum, [length(start), length(end)], "{edge} by {from}, after {:?}", state(bench).last);
    }
}

#[test]
fn what_is_listed_anywhere_between_two_passes_takes_the_accepted_trim_and_no_more() {
    let mut bench = at_work();
    let home = Home::new();
    let shop = bench.dir.path().display().to_string();
    // Three passes on the right edge, one on the top, in whatever order the sheets have them.
    for made in 0..=4 {
        let listed = rows(&bench);
        assert_eq!(listed.len(), 4 - made, "one row for each pass that is left");
        is_the_accepted_trim(&bench, "batch", &listed.iter().map(|row| &row.sheet).collect::<Vec<_>>());
        for row in listed.iter().filter(|row| row.sheet.pass.is_some()) {
            assert_eq!(row.sheet.pass.as_ref().unwrap().of, 3, "{:?}", row.sheet.pass);
            assert_eq!(row.sheet.trim.edge.word(), "right");
        }
        let shown: Vec<&Sheet> = bench.answer().setups.iter().map(|setup| setup.as_ref().unwrap()).collect();
        is_the_accepted_trim(&bench, "the plan", &shown);
        let matter = Matter::of(opened(&bench), &bench.session.shop.settings, bench.session.advised.spreads());
        let printed: Vec<&Sheet> = matter.setups.iter().map(|setup| setup.as_ref().unwrap()).collect();
        is_the_accepted_trim(&bench, "the card", &printed);
        let commanded = home.run(&["--shop", &shop, "plan", "left door", "--json"], "").json();
        let ends = |setup: &Value| (setup["start"].as_f64().unwrap(), setup["end"].as_f64().unwrap());
        let json: Vec<(f64, f64)> = commanded["setups"].as_array().unwrap().iter().map(ends).collect();
        assert_eq!(json.len(), shown.len());
        for (json, sheet) in json.iter().zip(&shown) {
            assert!((json.0 - sheet.trim.start.inches()).abs() < 1e-9, "{json:?} {:?}", sheet.trim);
            assert!((json.1 - sheet.trim.end.inches()).abs() < 1e-9, "{json:?} {:?}", sheet.trim);
        }
        let batch = home.run(&["--shop", &shop, "batch", "--json"], "").json();
        assert_eq!(batch["cuts"].as_array().unwrap().len(), listed.len());
        if made < 4 {
            bench.press("c");
            let Some(Screen::Record(record)) = bench.session.screen() else { panic!("{}", bench.text()) };
            let first = record.sheet.as_ref().unwrap();
            let same = listed.iter().find(|row| row.sheet.trim.edge == first.trim.edge).unwrap();
            assert_eq!((&same.sheet.trim, &same.sheet.pass), (&first.trim, &first.pass), "as the sheet shows it");
            bench.press("d");
            if made < 3 {
                bench.press("\u{1b}");
            }
        }
    }
    assert!(rows(&bench).is_empty());
}

#[test]
fn the_passes_that_are_left_are_those_of_the_set_ups() {
    let mut bench = Bench::with(&[("left door", &events())]);
    bench.press("\r");
    // The advice's own plan, accepted in the place of the one above, so that forecast and sheets speak of the same.
    bench.press("pa\u{1b}\u{1b}\r");
    let settings = bench.session.shop.settings.clone();
    assert!(!bench.answer().answer.as_ref().unwrap().several.is_empty(), "an edge takes several passes");
    let mut looked_at = 0;
    for _ in 0..12 {
        let look = bench.answer().answer.as_ref().unwrap().clone();
        let state = state(&bench).clone();
        let left = look.passes_left(&state).unwrap();
        // What plan, card and the round by terminal say is the same.
        assert_eq!(rounds_words::passes(&look), look.advice.passes.as_ref().map(|_| rounds_words::passes_left(left)));
        let trims = sheets::to_make(&look, &state);
        let sheets: Vec<Sheet> = sheets::sheets(&state, &settings, &trims).into_iter().map(Result::unwrap).collect();
        let by = |wanted: Method| {
            let own = sheets
                .iter()
                .filter(|sheet| evenreveal::bench::rounds::method(sheet.sheet.setup.method().word()) == wanted);
            u32::try_from(own.count()).unwrap()
        };
        assert!(left.saw.median >= by(Method::Saw), "{left:?} with {} to saw", by(Method::Saw));
        assert!(left.plane.median >= by(Method::Plane), "{left:?} with {} to plane", by(Method::Plane));
        let edges = look.edges_left(&state);
        for sheet in &sheets {
            let own = edges.iter().find(|one| one.edge == sheet.trim.edge).unwrap();
            assert!(own.saw.median + own.plane.median > 0, "{edges:?}");
        }
        if sheets.is_empty() {
            assert_eq!(left.saw.median, 0, "all is sawn that was to be sawn now: {left:?}");
            break;
        }
        looked_at += 1;
        bench.press("cd");
        while matches!(bench.session.screen(), Some(Screen::Record(_))) {
            bench.press("\u{1b}");
        }
    }
    assert!(looked_at >= 2, "{looked_at}");
}
