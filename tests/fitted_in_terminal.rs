//! Doors from the first reading to the last word in a pseudo-terminal: keys in, the screen read, cuts taken from the
//! log as a saw would make them. The gaps are planted; every figure here is invented for the test.
#![cfg(unix)]

#[path = "common/terminal.rs"]
#[allow(dead_code, reason = "the other file of terminal tests needs the rest of it")]
mod terminal;

use serde_json::Value;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};
use terminal::Terminal;

const AT: &str = "2026-03-02T14:05:11Z";
/// Width and height of the leaf.
const SIZE: [f64; 2] = [11.0, 26.0];
const EDGES: [&str; 4] = ["left", "right", "bottom", "top"];

/// A shop with one door in it. The hinge side and the bottom are to stay as they are.
fn shop() -> tempfile::TempDir {
    use evenreveal::shop::{Access, Holder, Shop};
    let door = r#"{"event":"opening","gaps":[
      {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
      {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
    {"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left","may_cut":["right","top"]}"#;
    let dir = tempfile::tempdir().unwrap();
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    shop.save_settings(evenreveal::shop::settings::Settings::default()).unwrap();
    let events = serde_json::Deserializer::from_str(door).into_iter().map(Result::unwrap).collect();
    shop.create_opening("door").unwrap().enter(events, AT).unwrap();
    dir
}

/// The door as it really is: the gap at the lower or left corner of each edge, and at the other. The leaf sits the
/// same in every round.
struct Truth {
    gaps: [[f64; 2]; 4],
}

impl Truth {
    fn gap(&self, edge: &str, station: &str) -> f64 {
        let place = EDGES.iter().position(|name| *name == edge).unwrap();
        let length = SIZE[usize::from(place < 2)];
        let share = match station {
            "bottom" | "left" => 1.0 / length,
            "middle" => 0.5,
            "top" | "right" => 1.0 - 1.0 / length,
            other => panic!("no station {other}"),
        };
        let [low, high] = self.gaps[place];
        low + (high - low) * share
    }

    /// What a saw that errs by `error` takes off, `event` from the log.
    fn cut(&mut self, event: &Value, error: f64) {
        let place = EDGES.iter().position(|name| event["edge"] == *name).unwrap();
        for (gap, end) in self.gaps[place].iter_mut().zip(["start", "end"]) {
            let meant = evenreveal::fit::length::Length::parse(event[end].as_str().unwrap(), UNIT).unwrap().inches();
            *gap += (meant + if meant > 0.0 { error } else { 0.0 }).max(0.0);
        }
    }

    /// Least worst miss from 3/32 by moving the leaf alone: no more than the half spread of what opposite gaps and
    /// slopes leave; by a fine search, which owes nothing to the program.
    fn worst(&self) -> f64 {
        let miss = |[right, up, turn]: [f64; 3]| {
            let worst = |(place, [low, high]): (usize, &[f64; 2])| {
                let (shift, slope) = match place {
                    0 => (right, -turn * SIZE[1] / 2.0),
                    1 => (-right, turn * SIZE[1] / 2.0),
                    2 => (up, turn * SIZE[0] / 2.0),
                    _ => (-up, -turn * SIZE[0] / 2.0),
                };
                [low + shift - slope, high + shift + slope]
                    .map(|gap| (gap - 3.0 / 32.0).abs())
                    .into_iter()
                    .fold(0.0, f64::max)
            };
            self.gaps.iter().enumerate().map(worst).fold(0.0, f64::max)
        };
        let mut best = [0.0; 3];
        let mut step = [0.02, 0.02, 0.002];
        for _ in 0..4000 {
            let tries = (0..27)
                .map(|n| [n % 3, n / 3 % 3, n / 9])
                .map(|n| [0, 1, 2].map(|axis| best[axis] + step[axis] * (f64::from(n[axis]) - 1.0)));
            let found = tries.min_by(|a, b| miss(*a).total_cmp(&miss(*b))).unwrap();
            if found == best {
                step = step.map(|one| one * 0.7);
            }
            best = found;
        }
        miss(best)
    }
}

const UNIT: evenreveal::fit::length::Unit = evenreveal::fit::length::Unit::Inch;

/// Kept events, as the program's own command tells them.
fn log(shop: &Path) -> Vec<Value> {
    let output = Command::new(env!("CARGO_BIN_EXE_evenreveal"))
        .arg("--shop")
        .arg(shop)
        .args(["log", "door", "--json"])
        .env("HOME", shop)
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    serde_json::Deserializer::from_slice(&output.stdout).into_iter().map(Result::unwrap).collect()
}

/// Edge and station that the walk asks for.
fn asked(screen: &str) -> Option<(String, String, String)> {
    let line = screen.lines().find(|line| line.contains("tation ") && line.contains(" edge, "))?.trim();
    let (head, station) = line.split_once(" edge, ")?;
    let edge = head.rsplit(' ').next()?;
    let station = station.split([',', '.', ' ']).next()?;
    Some((line.to_owned(), edge.to_owned(), station.to_owned()))
}

/// Waits until the screen is another than `before` as `what` sees it.
fn changes(terminal: &Terminal, what: impl Fn(&str) -> String, before: &str) {
    let until = Instant::now() + Duration::from_secs(60);
    while what(&terminal.screen()) == before {
        assert!(Instant::now() < until, "nothing happens:\n{}", terminal.screen());
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// What every plan says, whatever its verdict.
const VERDICT: &str = ": now ";

/// What a press moves on: the station asked for, the sheet shown, the screen, or the last event kept.
fn place(screen: &str) -> String {
    let sheet = screen.lines().find(|line| line.trim_start().starts_with("> ")).unwrap_or_default();
    let kept = screen.lines().find(|line| line.contains("kept, event")).unwrap_or_default();
    let next = screen.lines().find(|line| line.contains("Next: ")).unwrap_or_default();
    let title = screen.lines().next().unwrap_or_default();
    let plan = screen.lines().find(|line| line.contains(VERDICT)).unwrap_or_default();
    format!("{title}|{:?}|{sheet}|{kept}|{next}|{plan}|{}", asked(screen), screen.contains("all read"))
}

/// Follows the screen, and nothing else, until it says that nothing is left to do.
fn follow(terminal: &mut Terminal, truth: &mut Truth, shop: &Path, end: &str) -> usize {
    let mut done = 0;
    let mut cuts = 0;
    for _ in 0..400 {
        let screen = terminal.screen();
        let before = place(&screen);
        if screen.contains("k keep it") {
            terminal.press("k");
        } else if let Some((_, edge, station)) = asked(&screen) {
            let gap = truth.gap(&edge, &station);
            terminal.press(&if gap < 0.0 { format!("-{:.3}\r", -gap) } else { format!("{gap:.3}\r") });
        } else if screen.contains("cuts, round") {
            terminal.press("d");
        } else if screen.contains("AGAIN FIRST (r)") {
            terminal.press("r");
        } else if screen.contains(" - plan, ") && !screen.contains(VERDICT) {
            // It is still being reckoned.
        } else if screen.contains(" a accept") {
            terminal.press("a");
        } else if screen.contains(end) {
            return cuts;
        } else {
            terminal.press("\r");
        }
        changes(terminal, place, &before);
        // What was cut on paper is cut in wood.
        if before.contains("cuts, round") {
            let kept = log(shop);
            for event in kept.iter().filter(|event| event["event"] == "cut").skip(cuts) {
                cuts += 1;
                truth.cut(event, [0.004, -0.003, 0.002][done % 3]);
                done += 1;
            }
        }
    }
    panic!("never done\n{}", terminal.screen());
}

#[test]
fn a_racked_door_is_fitted_by_what_the_screen_says() {
    let shop = shop();
    let mut truth = Truth { gaps: [[0.010, 0.035], [0.060, 0.020], [0.080, 0.075], [0.050, 0.015]] };
    assert!(truth.worst() > 1.0 / 64.0, "{}", truth.worst());
    let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
    terminal.sees("door");
    terminal.press("\r");
    terminal.sees("nothing read yet");
    let cuts = follow(&mut terminal, &mut truth, shop.path(), "nothing: it fits");
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
    let log = log(shop.path());
    let last = log.iter().rfind(|event| event["event"] == "plan").unwrap();
    assert_eq!(last["verdict"], "fitted", "{last}");
    assert!((2..=8).contains(&cuts), "{cuts}");
    assert!(
        log.iter().filter(|event| event["event"] == "cut").all(|cut| cut["edge"] == "right" || cut["edge"] == "top")
    );
    assert!(truth.worst() <= 1.0 / 64.0 + 0.0005, "it ends {} off", truth.worst());
}

/// Too small from the start: the screen says so, cuts nothing, and says what would help.
#[test]
fn a_door_that_lacks_wood_is_called_short_and_nothing_is_cut() {
    let shop = shop();
    let mut truth = Truth { gaps: [[0.150, 0.150], [0.150, 0.150], [0.094, 0.094], [0.094, 0.094]] };
    let mut terminal = Terminal::start(shop.path(), 24, 80, &[]);
    terminal.sees("door");
    terminal.press("\r");
    terminal.sees("nothing read yet");
    let cuts = follow(&mut terminal, &mut truth, shop.path(), "wood is missing");
    assert_eq!(cuts, 0);
    terminal.press("q");
    assert!(terminal.ended());
    terminal.is_given_back();
}
