//! The program itself in a pseudo-terminal: real keys in, the real screen out.
#![cfg(unix)]

#[path = "common/terminal.rs"]
mod terminal;

#[path = "common/one_door.rs"]
mod one_door;

use one_door::shop;
use portable_pty::{CommandBuilder, PtySize};
use terminal::{Terminal, some};

/// Twelve readings as the walk asks for them: 24 key presses. The left and top are tight.
const TWELVE: [&str; 12] = ["b", "c", "b", "b", "f", "f", "f", "f", "f", "f", "c", "c"];

/// Into the opening, twelve readings, and on to the plan.
fn to_the_plan(terminal: &mut Terminal) {
    terminal.sees("left door");
    terminal.press("\r");
    terminal.sees("nothing read yet");
    terminal.press("r");
    terminal.sees("Station 1 of 12");
    for (place, feeler) in TWELVE.iter().enumerate() {
        terminal.press(&format!("{feeler}\r"));
        let next = if place == 11 { "all read".to_owned() } else { format!("Station {} of 12", place + 2) };
        terminal.sees(&next);
    }
    terminal.press("\r");
    terminal.sees("TRIM IT");
}

#[test]
fn twelve_readings_plan_cut_and_the_history_after_reopening() {
    let shop = shop();
    let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
    to_the_plan(&mut terminal);
    terminal.sees("off the lower corner");
    terminal.press("a");
    terminal.sees("cuts, round 1");
    terminal.press("d");
    terminal.sees("> 1 of 1");
    terminal.press("d");
    terminal.sees("round 2");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();

    let mut again = Terminal::start(shop.path(), 24, 80, &[]);
    again.sees("left door");
    again.press("\r");
    again.sees("round 2");
    again.press("l");
    again.sees("plan accepted, cut");
    again.sees("cut (");
    again.press("q");
    assert!(again.ended());
}

/// A bare opening measured, its leaf sized and taken, the year, the swing and the corners: by keys in a terminal.
#[test]
fn from_the_survey_to_flush_corners() {
    use evenreveal::shop::{Access, Holder, Shop};
    let bare = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}],"leaves":[{"leaf":"A","name":"door","hinge":"left"}]}"#;
    let dir = tempfile::tempdir().unwrap();
    let at = "2026-03-02T14:05:11Z";
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: at.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    shop.save_settings(evenreveal::shop::settings::Settings::default()).unwrap();
    shop.create_opening("bare").unwrap().enter(vec![serde_json::from_str(bare).unwrap()], at).unwrap();
    drop(shop);
    let mut terminal = Terminal::start(dir.path(), 24, 80, &[]);
    terminal.sees("bare");
    terminal.press("\r");
    terminal.sees("nothing read yet");
    terminal.press("s");
    terminal.sees("- survey");
    terminal.press("11 3/16\r\r\r26 3/16");
    terminal.sees("26 3/16_");
    terminal.press("\u{1b}");
    terminal.sees("kept, event 2");
    terminal.press("b");
    terminal.sees("made as");
    terminal.press(&"\t".repeat(16));
    terminal.press("\r");
    terminal.sees("finished 11 x 26, rough 11 1/8 x 26 1/8");
    terminal.press("a");
    terminal.sees("kept, event 4");
    terminal.press("\u{1b}");
    terminal.sees("do the next thing");
    terminal.press("g");
    terminal.sees("damp end");
    terminal.press("\u{1b}");
    terminal.sees("do the next thing");
    terminal.press("w");
    terminal.sees("usual pin places are starting values");
    terminal.press("\u{1b}");
    terminal.sees("do the next thing");
    terminal.press("f");
    terminal.sees("flush and wind of A");
    terminal.press("1/16\r0\r0\r1/16\r3, 23\r");
    terminal.sees("of wind at each corner");
    terminal.press("\u{1b}");
    terminal.sees("do the next thing");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
}

/// Readings, plan, the set-up sheets with another method, widths and the
/// reasons, done as shown, put back, read again, and the next plan.
#[test]
fn a_full_round_with_its_set_up_sheets_and_the_next_readings() {
    let shop = shop();
    let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
    to_the_plan(&mut terminal);
    terminal.press("a");
    terminal.sees("cuts, round 1");
    let mut edges = 0;
    // Every edge of the plan: another method and round to the first again, the reasons, the widths, then done.
    while terminal.screen().contains("cuts, round 1") {
        edges += 1;
        assert!(edges < 5, "the sheets never end\n{}", terminal.screen());
        let first = terminal.method();
        terminal.press("m");
        terminal.until(|screen| method_on(screen) != first || screen.contains("REFUSED, "));
        for _ in 0..4 {
            terminal.press("m");
        }
        terminal.until(|screen| method_on(screen) == first && !screen.contains("REFUSED, "));
        terminal.press("?");
        terminal.sees("cautions, order, refusals");
        terminal.sees("Wood cannot be put back");
        terminal.press("\u{1b}");
        terminal.until(|screen| !screen.contains("cautions, order, refusals"));
        terminal.press("w");
        terminal.sees("at the");
        // Looking declares nothing: what was measured is typed.
        let size = if terminal.screen().contains("width at the") { "11" } else { "26" };
        let clear = "\u{8}".repeat(12);
        terminal.press(&format!("{clear}{size}\r{clear}{size}\r"));
        terminal.sees("kept, event");
        let place = terminal.place();
        terminal.press("d");
        terminal.until(|screen| !screen.contains(&place) || !screen.contains("cuts, round 1"));
    }
    assert!(edges >= 2, "{edges}");
    terminal.sees("round 2");
    terminal.press("r");
    terminal.sees("Station 1 of 12");
    for place in 2..=13 {
        terminal.press("f\r");
        let next = if place == 13 { "all read".to_owned() } else { format!("Station {place} of 12") };
        // What surprises is asked about, and kept as read.
        terminal.until(|screen| screen.contains(&next) || screen.contains("k keep it"));
        if !terminal.screen().contains(&next) {
            terminal.press("k");
            terminal.sees(&next);
        }
    }
    terminal.press("\u{1b}");
    terminal.sees("do the next thing");
    terminal.press("l");
    terminal.sees(": meant ");
    terminal.sees(", took ");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
    let log = std::fs::read_to_string(shop.path().join("openings/left-door.jsonl")).or_else(|_| {
        let file = std::fs::read_dir(shop.path().join("openings")).unwrap().next().unwrap().unwrap();
        std::fs::read_to_string(file.path())
    });
    let log = log.unwrap();
    assert_eq!(log.matches("\"event\":\"cut\"").count(), edges);
    assert_eq!(log.matches("\"event\":\"measured\"").count(), edges);
    assert_eq!(log.matches("\"as_shown\":true").count(), edges);
}

impl Terminal {
    /// Waits until the screen is as wanted.
    fn until(&self, wanted: impl Fn(&str) -> bool) {
        let until = std::time::Instant::now() + std::time::Duration::from_secs(60);
        while !wanted(&self.screen()) {
            assert!(std::time::Instant::now() < until, "never came to be:\n{}", self.screen());
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
    }

    fn method(&self) -> String {
        self.until(|screen| !method_on(screen).is_empty());
        method_on(&self.screen())
    }

    /// The sheet's first line.
    fn place(&self) -> String {
        let screen = self.screen();
        screen.lines().find(|line| line.trim_start().starts_with("> ")).unwrap_or_default().trim().to_owned()
    }
}

/// The method that a set-up sheet shows, in capitals before a colon.
fn method_on(screen: &str) -> String {
    let capitals = |line: &str| {
        let word = line.trim().split(": ").next().unwrap_or("").to_owned();
        ["RIP", "SLED", "GUIDE LINE", "PLANE", "SANDING BLOCK"].contains(&word.as_str()).then_some(word)
    };
    screen.lines().find_map(capitals).unwrap_or_default()
}

#[test]
fn the_second_program_reads_only_and_says_who_holds_the_shop() {
    let shop = shop();
    let mut first = Terminal::start(shop.path(), 24, 80, &[]);
    first.sees("left door");
    let mut second = Terminal::start(shop.path(), 24, 80, &[]);
    second.sees("READING ONLY");
    second.sees("another evenreveal has this shop");
    for terminal in [&mut second, &mut first] {
        terminal.press("q");
        assert!(terminal.ended());
    }
}

#[test]
fn signals_give_the_terminal_back() {
    for signal in ["TERM", "HUP"] {
        let shop = shop();
        let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
        terminal.sees("left door");
        let id = terminal.child.process_id().unwrap();
        let sent = std::process::Command::new("kill").args(["-s", signal, &id.to_string()]).status().unwrap();
        assert!(sent.success());
        assert!(terminal.ended(), "SIG{signal}");
        terminal.is_given_back();
    }
}

#[test]
fn a_vanished_terminal_ends_the_program_even_where_hang_ups_are_ignored() {
    let shop = shop();
    let mut command = CommandBuilder::new("sh");
    command.args(["-c", "trap '' HUP; \"$0\" --shop \"$1\"", env!("CARGO_BIN_EXE_evenreveal")]);
    command.arg(shop.path());
    let mut terminal = Terminal::run(command, shop.path(), 24, 80, &[("PATH", "/usr/bin:/bin")]);
    terminal.sees("left door");
    terminal.vanish();
    terminal.ended();
    // The shop is free again: nobody spins on with its lock.
    let mut next = Terminal::start(shop.path(), 24, 80, &[]);
    next.sees("left door");
    assert!(!next.screen().contains("READING ONLY"), "{}", next.screen());
    next.press("q");
    assert!(next.ended());
}

#[test]
fn no_colour_keeps_bold_and_reverse() {
    for (value, colours) in [("1", false), ("", true)] {
        let shop = shop();
        let mut terminal = Terminal::start(shop.path(), 24, 80, &[("NO_COLOR", value)]);
        terminal.sees("left door");
        let parser = terminal.parser.lock().unwrap();
        let places = (0..24).flat_map(|y| (0..80).map(move |x| (y, x)));
        let cells: Vec<_> = places.filter_map(|(y, x)| parser.screen().cell(y, x).cloned()).collect();
        assert_eq!(cells.iter().any(|cell| cell.fgcolor() != vt100::Color::Default), colours, "NO_COLOR='{value}'");
        assert!(cells.iter().any(vt100::Cell::inverse), "the row under the cursor is reversed");
        assert!(cells.iter().any(vt100::Cell::bold));
        drop(parser);
        terminal.press("q");
        assert!(terminal.ended());
    }
}

#[test]
fn it_follows_the_size_and_says_when_it_is_too_small() {
    let shop = shop();
    let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
    terminal.sees("left door");
    for (rows, cols, wanted) in [(8, 30, "window too small"), (50, 160, "left door"), (24, 80, "worst miss")] {
        terminal.parser.lock().unwrap().screen_mut().set_size(some(rows), some(cols));
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        terminal.master.as_ref().unwrap().resize(size).unwrap();
        terminal.sees(wanted);
    }
    terminal.press("q");
    assert!(terminal.ended());
}

/// The child of the test below: takes the terminal and panics.
#[test]
#[ignore = "run in a pseudo-terminal by the test below"]
fn panics_with_the_terminal_taken() {
    let mut screen = evenreveal::shell::terminal::Screen::open().unwrap();
    screen.draw(|frame| frame.render_widget("taken", frame.area())).unwrap();
    panic!("on purpose");
}

#[test]
fn a_panic_gives_the_terminal_back_and_is_readable() {
    let home = tempfile::tempdir().unwrap();
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args(["--exact", "panics_with_the_terminal_taken", "--ignored", "--nocapture"]);
    let mut terminal = Terminal::run(command, home.path(), 24, 80, &[]);
    terminal.sees("on purpose");
    assert!(!terminal.ended());
    terminal.is_given_back();
}

#[path = "common/waiting_doors.rs"]
mod waiting_doors;

#[test]
fn the_saw_batch_goes_to_a_sheet_and_back() {
    use evenreveal::shop::{Access, Holder, Shop};
    let dir = tempfile::tempdir().unwrap();
    let at = "2026-03-02T14:05:11Z";
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: at.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    shop.save_settings(evenreveal::shop::settings::Settings::default()).unwrap();
    for (name, events) in waiting_doors::shop() {
        let events = serde_json::Deserializer::from_str(&events).into_iter().map(Result::unwrap).collect();
        shop.create_opening(name).unwrap().enter(events, at).unwrap();
    }
    drop(shop);
    let mut terminal = Terminal::start(dir.path(), 24, 80, &[]);
    terminal.sees("larder");
    terminal.press("b");
    terminal.sees("11 cuts for the saw in 7 openings");
    terminal.press("\t");
    terminal.sees("PLANE, ");
    terminal.press("\t");
    terminal.sees("RIP, ");
    terminal.press("\r");
    terminal.sees("cuts, round 1");
    terminal.press("d");
    terminal.sees("10 cuts for the saw");
    terminal.press("\u{1b}");
    terminal.sees("new opening");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
}

#[test]
fn a_practice_door_is_read_planned_and_left_without_a_trace() {
    let shop = shop();
    let listing = || {
        let mut all: Vec<_> = std::fs::read_dir(shop.path().join("openings"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .map(|path| (path.clone(), std::fs::read(path).unwrap()))
            .collect();
        all.sort();
        (all, std::fs::read(shop.path().join("shop.json")).unwrap())
    };
    let before = listing();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.args(["--shop", &shop.path().display().to_string(), "practice", "--seed", "4711"]);
    let mut terminal = Terminal::run(command, shop.path(), 24, 80, &[]);
    terminal.sees("practice door 4711");
    terminal.press("a");
    terminal.sees("round 1: worst");
    terminal.press("e");
    terminal.sees("The tool's own advice");
    terminal.press("\u{1b}");
    terminal.sees("let all be read");
    terminal.press("\u{1b}");
    terminal.sees("left door");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
    assert_eq!(listing(), before);
}
