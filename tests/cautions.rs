//! Wherever a cut is proposed stands what must be heeded before it: every way out, each point, at every size.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;
#[path = "common/waiting_doors.rs"]
#[allow(dead_code)]
mod waiting_doors;

use evenreveal::bench::practice::Answer;
use evenreveal::bench::recording::RecordCut;
use evenreveal::bench::{Message, Screen};
use evenreveal::cut::job::Method;
use evenreveal::cut::words::{Caution, Point};
use evenreveal::fit::length::{Show, Unit};
use evenreveal::screen::theme::Palette;
use evenreveal::shop::settings::Settings;
use program::Home;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SIZES};
use serde_json::Value;
use std::collections::BTreeSet;

/// Every caution that makes a point.
const SAYING: [Caution; 10] = [
    Caution::ManualComesFirst,
    Caution::ToolManualComesFirst,
    Caution::PowerOff,
    Caution::GuardAndKnife,
    Caution::GuardOfSaw,
    Caution::BladeAtRest,
    Caution::PushStick,
    Caution::HandsOnSaw,
    Caution::NeverShorter,
    Caution::EyesEarsDust,
];

/// Which points a text makes, in whichever of our words.
fn points(text: &str) -> BTreeSet<Point> {
    let flat = text.replace(['\u{2502}', '\u{2503}'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let says = |caution: &&Caution| {
        let words =
            [caution.text(), caution.terse(), caution.short_for(Unit::Inch), caution.short_for(Unit::Millimetre)];
        words.iter().any(|words| flat.contains(words))
    };
    SAYING.iter().filter(says).filter_map(|caution| caution.point()).collect()
}

/// The points of cautions that are given by their names.
fn points_named(names: &Value) -> BTreeSet<Point> {
    let names = names.as_array().expect("a list of names");
    let named = |caution: &&Caution| names.contains(&serde_json::to_value(caution).unwrap());
    SAYING.iter().filter(named).filter_map(|caution| caution.point()).collect()
}

fn all_of(points: &[Point]) -> BTreeSet<Point> {
    points.iter().copied().collect()
}

#[track_caller]
fn makes(points_of: &BTreeSet<Point>, wanted: &[Point], what: &str, text: &str) {
    let missing: Vec<_> = wanted.iter().filter(|point| !points_of.contains(point)).collect();
    assert!(missing.is_empty(), "{what}: nothing says {missing:?} in\n{text}");
}

#[track_caller]
fn text_makes(text: &str, wanted: &[Point], what: &str) {
    makes(&points(text), wanted, what, text);
}

#[track_caller]
fn json_makes(list: &Value, wanted: &[Point], what: &str) {
    let text: Vec<&str> =
        list.as_array().unwrap_or_else(|| panic!("{what}: {list}")).iter().filter_map(Value::as_str).collect();
    text_makes(&text.join("\n"), wanted, what);
}

/// The screen as it is now makes these points at every size, in colour and without.
#[track_caller]
fn screen_makes(bench: &Bench, wanted: &[Point], what: &str) {
    for size in SIZES {
        for palette in [Palette::Colour, Palette::Plain] {
            let text = screen_bench::text(&bench.buffer(size, palette));
            makes(&points(&text), wanted, &format!("{what} at {size:?}"), &text);
            // A mark stands before them, not colour alone.
            assert!(
                text.lines().any(|line| line.replace('\u{2502}', " ").trim_start().starts_with("! ")),
                "{what}\n{text}"
            );
        }
    }
}

/// The overlay of `?`, page by page, at 80x24.
fn all_pages(bench: &mut Bench) -> String {
    bench.press("?");
    let mut seen = String::new();
    for _ in 0..8 {
        // What stands between the sides of its frame.
        for line in bench.text().lines() {
            let inside = line.split_once('\u{2502}').and_then(|(_, rest)| rest.rsplit_once('\u{2502}'));
            seen += inside.map_or("", |(inside, _)| inside);
            seen.push('\n');
        }
        bench.key(KeyCode::Down, KeyModifiers::NONE);
    }
    bench.press("\u{1b}");
    seen
}

/// The shop of a session that is over.
fn closed(bench: Bench) -> tempfile::TempDir {
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    dir
}

/// A door read once with these trims accepted.
fn planned(size: (&str, &str), trims: &[waiting_doors::Trim], show: Show) -> Bench {
    let settings = Settings { name: "a shop".to_owned(), show, ..Settings::default() };
    Bench::in_shop(settings, &[("left door", &waiting_doors::door(size.0, size.1, trims))])
}

const INCH: Show = Show::Fraction(64);
const METRIC: Show = Show::Millimetre(1);

/// A pair that is out all round: four edges to cut, by the advice. The gaps are invented.
const PAIR: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","B.left"],"target":"1/8"},
  {"between":["B.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},
  {"between":["A.top","frame"],"target":"3/32"},{"between":["frame","B.bottom"],"target":"3/32"},
  {"between":["B.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"left door","width":"12 1/16","height":"29 15/16","hinge":"left","thickness":"3/4"}
{"event":"leaf","leaf":"B","name":"right door","width":"12 1/16","height":"29 15/16","hinge":"right","thickness":"3/4"}
{"event":"readings","round":1,"gaps":[
  {"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"},{"at":"29","gap":"1/32"}]},
  {"between":["A.right","B.left"],"readings":[{"at":"1","gap":"1/32"},{"at":"29","gap":"5/64"}]},
  {"between":["B.right","frame"],"readings":[{"at":"1","gap":"1/32"},{"at":"29","gap":"1/64"}]},
  {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"1/16"},{"at":"11","gap":"3/64"}]},
  {"between":["A.top","frame"],"readings":[{"at":"1","gap":"1/32"},{"at":"11","gap":"3/64"}]},
  {"between":["frame","B.bottom"],"readings":[{"at":"1","gap":"3/64"},{"at":"11","gap":"1/16"}]},
  {"between":["B.top","frame"],"readings":[{"at":"1","gap":"1/64"},{"at":"11","gap":"1/32"}]}]}"#;

#[test]
fn the_list_of_what_holds_wherever_a_cut_is_made_makes_every_point() {
    let made: BTreeSet<Point> = Caution::WHEREVER_CUT.iter().filter_map(|caution| caution.point()).collect();
    assert_eq!(made, all_of(&Point::ALL));
    assert!(SAYING.iter().all(|caution| caution.point().is_some()));
    // In fewest words it is two rows of a screen of 80 columns.
    let rows = evenreveal::screen::parts::wrapped(&Caution::in_fewest(&Caution::WHEREVER_CUT), 78);
    assert_eq!(rows.len(), 2, "{rows:?}");
    text_makes(&rows.join("\n"), &Point::ALL, "in fewest words");
}

#[test]
fn the_list_and_the_opening_say_it_under_a_cut_and_so_do_their_large_letters() {
    let two: &[waiting_doors::Trim] = &[("right", "1/16", "7/64", "saw"), ("top", "0.002", "0.004", "plane")];
    for show in [INCH, METRIC] {
        let mut bench = planned(("11", "26"), two, show);
        screen_makes(&bench, &Point::ALL, "the list");
        bench.press("z");
        screen_makes(&bench, &Point::ALL, "the list's large letters");
        bench.press("z\r");
        bench.shows("2 edges to cut");
        screen_makes(&bench, &Point::ALL, "the opening");
        bench.press("z");
        screen_makes(&bench, &Point::ALL, "the opening's large letters");
    }
    // Where no cut is proposed nothing is said of one.
    let mut bench = Bench::new();
    assert!(points(&bench.text()).is_empty(), "{}", bench.text());
    bench.press("\r");
    assert!(points(&bench.text()).is_empty(), "{}", bench.text());
    bench.press("z");
    assert!(points(&bench.text()).is_empty(), "{}", bench.text());
}

#[test]
fn the_plan_says_it_and_so_do_its_reasons_and_its_large_letters() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\rp");
    assert!(matches!(bench.session.screen(), Some(Screen::Plan(plan)) if !plan.cuts().is_empty()), "{}", bench.text());
    screen_makes(&bench, &Point::ALL, "the plan");
    let pages = all_pages(&mut bench);
    text_makes(&pages, &Point::ALL, "why");
    bench.press("z");
    screen_makes(&bench, &Point::ALL, "the plan's large letters");
    bench.press("za");
    screen_makes(&bench, &Point::ALL, "its first set-up sheet");
}

fn record(bench: &Bench) -> &RecordCut {
    match bench.session.screen() {
        Some(Screen::Record(record)) => record,
        other => panic!("{other:?}\n{}", bench.text()),
    }
}

#[test]
fn every_kind_of_set_up_sheet_says_what_applies_to_its_method() {
    let mut met = BTreeSet::new();
    let low = |edge| (edge, "0.002", "0.004", "plane");
    for (size, trims) in [
        (("11", "26"), &[("right", "1/32", "3/32", "saw"), ("top", "1/16", "1/32", "saw")][..]),
        (("11", "26"), &[low("left"), low("top")]),
        (("24", "6"), &[("right", "1/32", "1/16", "saw")]),
    ] {
        for show in [INCH, METRIC] {
            let mut bench = planned(size, trims, show);
            bench.press("\rc");
            for _ in 0..record(&bench).jobs.len() {
                for _ in 0..=Method::ALL.len() {
                    let sheet = record(&bench).sheet.clone().expect("a sheet");
                    let method = sheet.sheet.setup.method();
                    let wanted = Point::of(method);
                    let what = format!("{method:?} sheet");
                    let named = serde_json::to_value(&sheet.sheet.cautions).unwrap();
                    makes(&points_named(&named), wanted, &what, &named.to_string());
                    screen_makes(&bench, wanted, &what);
                    text_makes(&all_pages(&mut bench), wanted, &format!("{what}, ?"));
                    bench.press("z");
                    screen_makes(&bench, wanted, &format!("{what}, large letters"));
                    let large = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
                    let hold = match method {
                        Method::Plane => "fix the leaf, both hands behind the iron",
                        Method::SandingBlock => "fix the leaf",
                        Method::GuideLine => "clamp guide and leaf",
                        Method::Rip | Method::Sled => "stop blade before hands move",
                    };
                    assert!(large.contains(hold), "{what}: no '{hold}' in\n{}", bench.text());
                    bench.press("z");
                    met.insert(method.word());
                    bench.press("m");
                }
                bench.key(KeyCode::Down, KeyModifiers::NONE);
            }
        }
    }
    assert_eq!(met, Method::ALL.iter().map(|method| method.word()).collect::<BTreeSet<_>>());
}

#[test]
fn a_cut_without_a_set_up_has_them_all_the_same() {
    let mut bench = planned(("11", "26"), &[("right", "3/4", "3/4", "saw"), ("top", "1/16", "1/32", "saw")], INCH);
    let back = "\u{8}".repeat(12);
    bench.press("\rc");
    while !matches!(record(&bench).job(), Some(evenreveal::bench::recording::Job::Trim(trim)) if trim.edge == evenreveal::fit::opening::Edge::Right)
    {
        bench.key(KeyCode::Down, KeyModifiers::NONE);
    }
    bench.press(&format!("w{back}1/2\r{back}1/2\r"));
    assert!(record(&bench).sheet.is_none(), "{}", bench.text());
    bench.shows("no set-up");
    screen_makes(&bench, &Point::ALL, "without a set-up");
    text_makes(&all_pages(&mut bench), &Point::ALL, "without a set-up, ?");
    bench.press("z");
    screen_makes(&bench, &Point::ALL, "without a set-up, large letters");
    let home = Home::new();
    let dir = closed(bench);
    let shop = dir.path().to_str().unwrap().to_owned();
    let batch = home.run(&["--shop", &shop, "batch"], "").code(0).gives(&["no set-up for"]);
    text_makes(&batch.out, &Point::ALL, "batch");
    let plan = home.run(&["--shop", &shop, "plan", "left door"], "").code(0).gives(&["no set-up"]);
    text_makes(&plan.out, &Point::ALL, "plan");
    let plain = home.run(&["--shop", &shop, "fit", "left door", "--plain"], "").code(0);
    text_makes(&plain.out, &Point::ALL, "line by line");
}

fn doors() -> Bench {
    let doors = waiting_doors::shop();
    let all: Vec<(&str, &str)> = doors.iter().map(|(name, events)| (*name, events.as_str())).collect();
    Bench::with(&all)
}

#[test]
fn the_batch_says_it_for_the_saw_and_for_the_plane() {
    let mut bench = doors();
    bench.press("b");
    screen_makes(&bench, &Point::ALL, "the batch");
    bench.press("z");
    screen_makes(&bench, &Point::ALL, "the batch's large letters");
    bench.press("z\t");
    screen_makes(&bench, Point::of(Method::Plane), "the batch for the plane");
    bench.press("z");
    screen_makes(&bench, Point::of(Method::Plane), "the batch's large letters, for the plane");
}

#[test]
fn the_practice_leaf_says_it_too() {
    let mut bench = Bench::new();
    evenreveal::shell::deal(Message::Practice(Answer::Seed(4711)), &mut bench.session, &mut bench.runner);
    bench.press("a");
    bench.press("o");
    screen_makes(&bench, &Point::ALL, "a cut of one's own");
    bench.press("\r7/64\r7/64\r\r");
    screen_makes(&bench, Point::of(record(&bench).sheet.as_ref().unwrap().sheet.setup.method()), "its sheet");
    bench.press("\u{1b}");
    bench.shows("1 edge to cut");
    screen_makes(&bench, &Point::ALL, "the practice door with a cut to do");
    bench.press("z");
    screen_makes(&bench, &Point::ALL, "its large letters");
}

/// The problem of `solve` whose plan is to cut, and one that no cut is needed for.
fn problem(gaps_64: [i32; 4]) -> String {
    let lines = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];
    let gap = |(between, gap): ([&str; 2], i32)| {
        let read = format!(r#"[{{"at":"1","gap":"{gap}/64"}},{{"at":"9","gap":"{gap}/64"}}]"#);
        format!(r#"{{"between":["{}","{}"],"target":"6/64","readings":{read}}}"#, between[0], between[1])
    };
    let gaps: Vec<_> = lines.into_iter().zip(gaps_64).map(gap).collect();
    format!(
        r#"{{"format":"evenreveal-fit/1","unit":"in","tolerance":"1/64","leaves":[{{"id":"A","width":"10","height":"10"}}],"gaps":[{}]}}"#,
        gaps.join(",")
    )
}

#[test]
fn solve_says_it_in_words_and_in_json_and_only_where_something_is_cut() {
    let home = Home::new();
    let json = home.run(&["solve", "-"], &problem([1, 1, 6, 6])).code(0).json();
    assert_eq!(json["verdict"], "cut");
    json_makes(&json["cautions"], &Point::ALL, "solve");
    let text = home.run(&["solve", "-", "--text"], &problem([1, 1, 6, 6])).code(0);
    text_makes(&text.out, &Point::ALL, "solve --text");
    for gaps in [[6, 6, 6, 6], [3, 9, 6, 6]] {
        let json = home.run(&["solve", "-"], &problem(gaps)).code(0).json();
        assert_eq!(json["cautions"].as_array().map(Vec::len), Some(0), "{json}");
        let text = home.run(&["solve", "-", "--text"], &problem(gaps)).code(0);
        assert!(points(&text.out).is_empty(), "{}", text.out);
    }
    // A short plan that cuts is a plan that cuts.
    let json = home.run(&["solve", "-"], &problem([1, 1, 9, 9])).code(1).json();
    let cuts = json["leaves"][0]["trims"].as_array().unwrap();
    assert!(json["verdict"] == "short" && !cuts.is_empty(), "{json}");
    json_makes(&json["cautions"], &Point::ALL, "solve, short");
}

#[test]
fn every_command_says_it() {
    let bench = doors();
    let home = Home::new();
    let dir = closed(bench);
    let shop = dir.path().to_str().unwrap().to_owned();
    let run = |rest: &[&str]| home.run(&[&["--shop", &shop], rest].concat(), "").code(0);
    text_makes(&run(&["list"]).out, &Point::ALL, "list");
    let list = run(&["list", "--json"]).json();
    for row in list.as_array().unwrap() {
        match row["next"].as_str() {
            Some("cut") => json_makes(&row["cautions"], &Point::ALL, "list --json"),
            _ => assert_eq!(row["cautions"].as_array().map(Vec::len), Some(0), "{row}"),
        }
    }
    text_makes(&run(&["plan", "kitchen 1"]).out, &Point::ALL, "plan");
    let plan = run(&["plan", "kitchen 1", "--json"]).json();
    json_makes(&plan["cautions"], &Point::ALL, "plan --json");
    let setups = plan["setups"].as_array().unwrap();
    assert!(!setups.is_empty());
    for setup in setups {
        let method = setup["setup"]["method"].as_str().unwrap();
        let method = Method::ALL.into_iter().find(|one| one.word() == method).unwrap();
        makes(&points_named(&setup["cautions"]), Point::of(method), "a set-up of plan --json", &setup.to_string());
    }
    for (flags, tool) in [(&["batch"][..], Method::Rip), (&["batch", "--plane"], Method::Plane)] {
        let wanted = Point::of(tool);
        text_makes(&run(flags).out, wanted, "batch");
        let json = run(&[flags, &["--json"]].concat()).json();
        json_makes(&json["cautions"], wanted, "batch --json");
        for cut in json["cuts"].as_array().unwrap() {
            makes(&points_named(&cut["set_up"]["cautions"]), wanted, "a cut of batch --json", &cut.to_string());
        }
        let csv = run(&[flags, &["--csv"]].concat()).out;
        assert!(csv.lines().count() > 1, "{csv}");
        for row in csv.lines().skip(1) {
            text_makes(row, wanted, "a row of batch --csv");
        }
    }
    run(&["card", "kitchen 1", "--out", "card.svg"]);
    text_makes(&letters(&home, "card.svg"), &Point::ALL, "card");
    run(&["sheet", "--out", "sheet.svg"]);
    text_makes(&letters(&home, "sheet.svg"), &Point::ALL, "sheet");
    let plain = run(&["fit", "kitchen 1", "--plain"]);
    text_makes(&plain.out, &Point::ALL, "line by line, a cut");
}

#[test]
fn a_plan_that_is_not_accepted_says_it_line_by_line_and_on_paper_too() {
    let bench = Bench::with(&[("pair", PAIR)]);
    let home = Home::new();
    let dir = closed(bench);
    let shop = dir.path().to_str().unwrap().to_owned();
    let run = |rest: &[&str]| home.run(&[&["--shop", &shop], rest].concat(), "");
    let plan = run(&["plan", "pair"]).code(0);
    text_makes(&plan.out, &Point::ALL, "plan");
    json_makes(&run(&["plan", "pair", "--json"]).code(0).json()["cautions"], &Point::ALL, "plan --json");
    run(&["card", "pair", "--out", "card.svg"]).code(0);
    text_makes(&letters(&home, "card.svg"), &Point::ALL, "card");
    let plain = home.run(&["--shop", &shop, "fit", "pair", "--plain"], &"skip\n".repeat(40)).code(0);
    assert!(plain.out.contains("Plan of round 1"), "{}", plain.out);
    text_makes(&plain.out, &Point::ALL, "line by line, the plan");
}

const MEASURED: &str = r#"{"event":"survey","widths":["11 3/16",null,"11 1/4"],"heights":["26 3/16","26 3/16","26 3/16"],"bows":[null,"1/32",null,null]}"#;
const FRAMED: &str = r#"{"event":"build","leaf":"A","thickness":"3/4","frame":{"stiles":["2","2"],"rails":["2 1/2","2"],"joint":"stub-tenon","groove":"3/8","float":"1/8","panel_thickness":"1/4"},"species":"Cherry, black","allowance":"1/16","trimmed":["left","right","top"]}"#;

/// Before a leaf is fitted its parts are sawn, and its edge may be bevelled: these are cuts, too.
#[test]
fn parts_to_saw_and_bevels_have_them_too() {
    let events = format!("{}\n{}\n{}", screen_bench::BARE, MEASURED, FRAMED);
    let mut bench = Bench::with(&[("left door", &events)]);
    bench.press("\rb");
    bench.shows("left stile");
    screen_makes(&bench, &Point::ALL, "the blank");
    bench.press("\u{1b}\u{1b}v");
    bench.shows("left stile");
    screen_makes(&bench, &Point::ALL, "the cut list");
    let home = Home::new();
    let dir = closed(bench);
    let shop = dir.path().to_str().unwrap().to_owned();
    let run = |rest: &[&str]| home.run(&[&["--shop", &shop], rest].concat(), "").code(0);
    text_makes(&run(&["blank", "left door"]).out, &Point::ALL, "blank");
    json_makes(&run(&["blank", "left door", "--json"]).json()["cautions"], &Point::ALL, "blank --json");
    text_makes(&run(&["cutlist"]).out, &Point::ALL, "cutlist");
    json_makes(&run(&["cutlist", "--json"]).json()["cautions"], &Point::ALL, "cutlist --json");
    run(&["sheet", "--out", "sheet.svg"]);
    text_makes(&letters(&home, "sheet.svg"), &Point::ALL, "sheet with parts");
    // A thick leaf with a close gap does not clear without a bevel.
    let thick = waiting_doors::door("11", "26", &[("right", "1/16", "1/16", "saw")])
        .replace("\"hinge\":\"left\"", "\"hinge\":\"left\",\"thickness\":\"1 3/4\"");
    let mut bench = Bench::with(&[("left door", &thick)]);
    bench.press("\rw");
    bench.shows("back-bevel");
    screen_makes(&bench, &Point::ALL, "swing");
    let dir = closed(bench);
    let swing = home.run(&["--shop", dir.path().to_str().unwrap(), "swing", "left door"], "").code(0);
    assert!(swing.out.contains("back-bevel"), "{}", swing.out);
    text_makes(&swing.out, &Point::ALL, "swing");
}

/// The words of a printed page, in the order they stand; what is broken over lines goes on.
fn letters(home: &Home, file: &str) -> String {
    let svg = std::fs::read_to_string(home.path().join(file)).unwrap();
    let mut text = String::new();
    let mut inside = false;
    for letter in svg.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(letter),
            _ => {}
        }
    }
    text.replace("&apos;", "'").replace("&#39;", "'").replace("&amp;", "&")
}
