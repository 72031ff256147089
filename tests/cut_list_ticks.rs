//! The cut list through the real program and on the screen: what a tick holds for, and which way the grain runs.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::fit::length::Show;
use evenreveal::shop::settings::Settings;
use program::{Ended, Home};
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{BARE, Bench};

fn survey(width: &str, height: &str) -> String {
    let three = |size| format!(r#"["{size}","{size}","{size}"]"#);
    format!(r#"{{"event":"survey","widths":{},"heights":{}}}"#, three(width), three(height))
}

fn build(left_stile: &str, groove: &str) -> String {
    format!(
        r#"{{"event":"build","leaf":"A","thickness":"3/4","frame":{{"stiles":["{left_stile}","2"],"rails":["2","2"],
          "joint":"stub-tenon","groove":"{groove}","float":"1/8","panel_thickness":"1/4"}},"allowance":"1/16"}}"#
    )
    .replace('\n', " ")
}

/// As logs of earlier builds have it.
fn tick(part: &str) -> String {
    format!(r#"{{"event":"part","leaf":"A","part":"{part}","done":true}}"#)
}

fn enter(home: &Home, events: &[String], code: i32) -> Ended {
    home.run(&["--shop", "shop", "enter", "door", "-"], &events.join("\n")).code(code)
}

fn ask(home: &Home, arguments: &[&str]) -> String {
    let all: Vec<&str> = ["--shop", "shop"].iter().chain(arguments).copied().collect();
    home.run(&all, "").out
}

/// A door of 18 - 2 x 3/32 = 17 13/16 by 30 - 3/16 = 29 13/16, 1/16 on every edge: stiles 29 15/16 long and 2 1/16 wide,
/// rails 13 13/16 + 2 x 3/8 = 14 9/16, panel 13 13/16 + 3/4 - 1/8 = 14 7/16 wide. With a left stile of 3 and a groove of
/// 1/2: stile 3 1/16 wide, rails 12 13/16 + 1 = 13 13/16.
#[test]
fn a_tick_holds_for_the_size_that_it_was_given_at() {
    // Ticked by an earlier build, which kept no size; and as this one keeps it.
    let sized = r#"{"event":"part","leaf":"A","part":"left-stile","done":true,
        "size":{"count":1,"length":"29 15/16","width":"2 1/16","thickness":"3/4"}}"#
        .replace('\n', " ");
    for stile in [tick("left-stile"), sized] {
        let home = Home::new();
        enter(&home, &[BARE.to_owned(), survey("18", "30"), build("2", "3/8"), stile], 0);
        enter(&home, &[tick("top-rail"), tick("bottom-rail"), tick("panel")], 0);
        let blank = ask(&home, &["blank", "door"]);
        for line in ["[x] 1 left stile  29 15/16 x 2 1/16 x 3/4\n", "[x] 1 top rail    14 9/16 x 2 1/16 x 3/4\n"] {
            assert!(blank.contains(line), "{blank}");
        }
        enter(&home, &[build("3", "1/2")], 0);
        let blank = ask(&home, &["blank", "door"]);
        for line in [
            "[ ] 1 left stile  29 15/16 x 3 1/16 x 3/4  ! sawn 2 1/16 wide\n",
            "[ ] 1 top rail    13 13/16 x 2 1/16 x 3/4  ! sawn 14 9/16 long\n",
            "[ ] 1 panel       26 11/16 x 13 11/16 x 1/4  ! sawn 26 7/16 long, 14 7/16 wide\n",
        ] {
            assert!(blank.contains(line), "no {line} in {blank}");
        }
        let list = ask(&home, &["cutlist"]);
        assert!(list.contains("[ ]   1 of 29 15/16     left stile   door  ! sawn 2 1/16 wide\n"), "{list}");
        assert!(!list.contains("[x]"), "{list}");
        let json: serde_json::Value = serde_json::from_str(&ask(&home, &["cutlist", "--json"])).unwrap();
        let lines = json["groups"].as_array().unwrap().iter().flat_map(|group| group["lines"].as_array().unwrap());
        let stile = lines.clone().find(|line| line["kind"] == "left-stile").unwrap();
        assert_eq!((&stile["done"], &stile["sawn_to"]["width"]), (&false.into(), &"2 1/16\"".into()), "{stile:#}");
        assert!(lines.filter(|line| line["kind"] == "right-stile").all(|line| line["sawn_to"].is_null()));
        let csv = ask(&home, &["cutlist", "--csv"]);
        assert!(csv.contains(",no,upright,sawn 2 1/16 wide\r\n"), "{csv}");
        home.run(&["--shop", "shop", "sheet", "--out", "sheet.svg"], "").code(0);
        let sheet = std::fs::read_to_string(home.path().join("sheet.svg")).unwrap();
        assert!(sheet.contains("! sawn 2 1/16 wide"), "the sheet says so too");
        // As it was, the ticks hold again; a corrected survey unticks what got another length, and that alone.
        enter(&home, &[build("2", "3/8")], 0);
        assert_eq!(ask(&home, &["cutlist"]).matches("[x]").count(), 4);
        enter(&home, &[survey("18 1/2", "30")], 0);
        let blank = ask(&home, &["blank", "door"]);
        assert!(blank.contains("[x] 1 left stile"), "{blank}");
        assert!(blank.contains("[ ] 1 top rail    15 1/16 x 2 1/16 x 3/4  ! sawn 14 9/16 long\n"), "{blank}");
    }
}

/// Where nothing was measured when it was ticked nobody knows the size: the tick stands.
#[test]
fn a_tick_of_an_unknown_size_stands() {
    let home = Home::new();
    enter(&home, &[BARE.to_owned(), build("2", "3/8"), tick("left-stile"), survey("18", "30")], 0);
    assert!(ask(&home, &["cutlist"]).contains("[x]   1 of 29 15/16     left stile"));
    for (size, why) in [
        (r#"{"count":1,"length":"0","width":"2","thickness":"3/4"}"#, "size.length"),
        (r#"{"count":0,"length":"9","width":"2","thickness":"3/4"}"#, "size.count"),
    ] {
        let event = tick("top-rail").replace("true", &format!("true,\"size\":{size}"));
        enter(&home, &[event], 2).says(&[why]);
    }
    let not =
        tick("top-rail").replace("true", r#"false,"size":{"count":1,"length":"9","width":"2","thickness":"3/4"}"#);
    enter(&home, &[not], 2).says(&["\"done\": true only"]);
}

#[test]
fn a_part_is_ticked_anew_by_key_at_its_new_size() {
    let log = [BARE.to_owned(), survey("18", "30"), build("2", "3/8"), tick("left-stile"), build("3", "1/2")];
    let mut bench = Bench::with(&[("door", &log.join("\n"))]);
    bench.press("\rb");
    bench.shows("> [ ] 1 left stile  29 15/16 x 3 1/16 x 3/4  ! sawn 2 1/16 wide");
    bench.press(" ");
    bench.shows("> [x] 1 left stile  29 15/16 x 3 1/16 x 3/4");
    assert!(!bench.text().contains("sawn 2"), "{}", bench.text());
    bench.press(" ");
    bench.shows("> [ ] 1 left stile  29 15/16 x 3 1/16 x 3/4");
    // Taken back, the one before counts.
    bench.press("u");
    bench.shows("[x] 1 left stile");
    bench.press("\u{1b}l");
    bench.shows("left stile of A: sawn to 29 15/16 x 3 1/16 x 3/4");
    bench.press("\u{1b}\u{1b}v");
    bench.shows("[x] 1 of 29 15/16         left stile   door");
    bench.press("\u{1b}\ru");
    bench.press("\u{1b}v");
    bench.shows("left stile   door  ! sawn 2 1/16 wide");
}

/// A front 15 13/16 by 5 13/16, 1/16 to spare at the top: 5 7/8. Its length is what runs along the grain, so it lies with
/// the boards of its own width.
#[test]
fn length_runs_along_the_grain_of_a_solid_front() {
    for (grain, length, width) in [("level", "15 13/16", "5 7/8"), ("upright", "5 7/8", "15 13/16")] {
        let home = Home::new();
        let build = format!(
            r#"{{"event":"build","leaf":"A","thickness":"3/4","grain":"{grain}","allowance":"1/16","trimmed":["top"]}}"#
        );
        enter(&home, &[BARE.to_owned(), survey("16", "6"), build], 0);
        let list = ask(&home, &["cutlist"]);
        let wanted = format!("3/4 thick, {width} wide\n  [ ]   1 of {length:<12} solid front, grain {grain} door\n");
        assert!(list.contains(&wanted), "{list}");
        assert!(list.contains("length runs along the grain"), "{list}");
        let blank = ask(&home, &["blank", "door"]);
        assert!(blank.contains(&format!("1 solid front, grain {grain} {length} x {width} x 3/4")), "{blank}");
        let csv = ask(&home, &["cutlist", "--csv"]);
        let wanted = format!("solid front,1,{length},{width},3/4,");
        assert!(csv.contains(&wanted) && csv.contains(&format!(",no,{grain},\r\n")), "{csv}");
        let json: serde_json::Value = serde_json::from_str(&ask(&home, &["cutlist", "--json"])).unwrap();
        let group = &json["groups"][0];
        assert_eq!(group["width"], format!("{width}\""));
        assert_eq!(group["lines"][0]["length"], format!("{length}\""));
        assert_eq!(group["lines"][0]["grain"], grain);
        home.run(&["--shop", "shop", "sheet", "--out", "sheet.svg"], "").code(0);
        let sheet = std::fs::read_to_string(home.path().join("sheet.svg")).unwrap();
        for words in [format!("1 of {length}"), format!("{width} wide"), format!("grain {grain}")] {
            assert!(sheet.contains(&words), "no '{words}' on the sheet");
        }
    }
}

/// A blank that is glued up has its parts in it, ticked or not: none of them waits to be sawn.
#[test]
fn parts_of_a_blank_glued_up_wait_no_longer() {
    let log = [BARE.to_owned(), survey("18", "30"), build("2", "3/8"), tick("left-stile")];
    let mut bench = Bench::with(&[("door", &log.join("\n"))]);
    bench.press("\rb");
    bench.shows("[ ] 1 top rail");
    bench.press("a");
    bench.shows("glued up: its parts count as sawn, the 4 lines that nobody ticked too");
    assert_eq!(bench.text().matches("[x]").count(), 5, "{}", bench.text());
    bench.key(KeyCode::Down, KeyModifiers::NONE);
    bench.press(" ");
    bench.shows("it is glued up: its parts are sawn");
    bench.press("\u{1b}\u{1b}v");
    assert_eq!((bench.text().matches("[x]").count(), bench.text().matches("[ ]").count()), (5, 0), "{}", bench.text());
    // Made anew with another stile, it is to be sawn: no tick of the blank that was glued up is for it.
    let mut log = log.to_vec();
    log.push(r#"{"event":"leaf","leaf":"A","width":"17 15/16","height":"29 15/16","hinge":"left"}"#.to_owned());
    for (again, ticked) in [(build("2", "3/8"), 5), (build("3", "3/8"), 0)] {
        let mut bench = Bench::with(&[("door", &[&log[..], &[again]].concat().join("\n"))]);
        bench.press("v");
        assert_eq!(bench.text().matches("[x]").count(), ticked, "{}", bench.text());
    }
}

/// The longest lines of the list, in millimetres and in inches, stand whole on the smallest screen.
#[test]
fn lines_with_what_they_were_sawn_to_are_whole() {
    for show in [Show::Fraction(64), Show::Millimetre(1), Show::DecimalInch(3)] {
        let settings = Settings { name: "a shop".to_owned(), show, ..Settings::default() };
        let log = [
            BARE.to_owned(),
            survey("18 1/64", "30 1/32"),
            build("2 1/64", "3/8"),
            tick("left-stile"),
            tick("panel"),
            build("3 1/32", "1/2").replace(r#""thickness":"3/4""#, r#""thickness":"13/16""#),
            survey("18 3/64", "31 1/64"),
        ];
        let mut bench = Bench::in_shop(settings, &[("upper door at the left", &log.join("\n"))]);
        bench.press("\rb");
        let flat = |bench: &Bench| bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
        let words = flat(&bench);
        assert!(words.contains("! sawn") && words.contains(" thick") && words.contains(" wide"), "{}", bench.text());
        bench.press("\u{1b}\u{1b}v");
        let words = flat(&bench);
        assert!(words.contains("! sawn") && words.contains(" thick"), "{}", bench.text());
    }
}

/// A door drawn in inches (rough 17 243/256 wide) in a shop that works in tenths of a millimetre, in decimals, or in 64ths: sizes
/// as they are sawn, and exact ones in the table.
#[test]
fn sizes_are_said_as_they_are_sawn_in_every_unit() {
    for (show, lines) in [
        (Show::Millimetre(1), ["760.4mm x 52.4mm x 19.1mm", "rough 455.9mm x 760.4mm"]),
        (Show::DecimalInch(3), ["29.9375 x 2.0625 x 0.7500", "rough 17.9492 x 29.9375"]),
        (Show::Fraction(64), ["29 15/16 x 2 1/16 x 3/4", "rough 17 61/64 -0.004 x 29 15/16"]),
    ] {
        let settings = Settings { name: "a shop".to_owned(), show, ..Settings::default() };
        let log = [BARE.to_owned(), survey("18 3/256", "30"), build("2", "3/8")];
        let mut bench = Bench::in_shop(settings, &[("door", &log.join("\n"))]);
        bench.press("\rb");
        for line in lines {
            bench.shows(line);
        }
    }
}
