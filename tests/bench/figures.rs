//! Figures of the whole program in a terminal: key presses and seconds of a first start and of a full round, start-up
//! and key-to-frame with 1,000 openings, size of the binary. Seconds are the program's, at the speed at which a script
//! types: what a person needs is more. `cargo bench --bench figures`, or another binary with `EVENREVEAL_BINARY=path`.
#![cfg(unix)]

#[path = "../common/terminal.rs"]
#[allow(dead_code)]
mod terminal;

use portable_pty::CommandBuilder;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use terminal::Terminal;

const OPENINGS: usize = 1_000;
const LIMIT: Duration = Duration::from_secs(60);

fn binary() -> PathBuf {
    std::env::var_os("EVENREVEAL_BINARY").map_or_else(|| env!("CARGO_BIN_EXE_evenreveal").into(), PathBuf::from)
}

fn start(shop: &Path, home: &Path) -> Terminal {
    let mut command = CommandBuilder::new(binary());
    command.arg("--shop");
    command.arg(shop);
    Terminal::run(command, home, 24, 80, &[])
}

/// Waits closely until the screen is as wanted; answers how long that took.
fn until(terminal: &Terminal, wanted: impl Fn(&str) -> bool) -> Duration {
    let began = Instant::now();
    while !wanted(&terminal.screen()) {
        assert!(began.elapsed() < LIMIT, "never came:\n{}", terminal.screen());
        std::thread::sleep(Duration::from_micros(200));
    }
    began.elapsed()
}

/// Types keys one by one, each once the screen has settled on `then` at the end.
struct Typist {
    terminal: Terminal,
    presses: usize,
    began: Instant,
}

impl Typist {
    fn press(&mut self, keys: &str, then: &str) {
        self.terminal.press(keys);
        self.presses += keys.chars().count();
        until(&self.terminal, |screen| screen.contains(then));
    }

    fn told(&mut self, what: &str) {
        println!("{what:<44} {:>4} key presses  {:>8.2} s", self.presses, self.began.elapsed().as_secs_f64());
        (self.presses, self.began) = (0, Instant::now());
    }
}

/// Feelers that go at the twelve stations; the next thicker one stops.
const TWELVE: [&str; 12] = ["b", "c", "b", "b", "f", "f", "f", "f", "f", "f", "c", "c"];

fn readings(typist: &mut Typist) {
    for (place, feeler) in TWELVE.iter().enumerate() {
        let next = if place == 11 { "all read".to_owned() } else { format!("Station {} of 12", place + 2) };
        typist.press(&format!("{feeler}\r"), &next);
    }
}

fn first_start_and_round(home: &Path) {
    let began = Instant::now();
    let terminal = start(&home.join("own"), home);
    let mut typist = Typist { terminal, presses: 0, began };
    until(&typist.terminal, |screen| screen.contains("a shop of your own"));
    typist.press("\r\r\r", "reveal wanted");
    typist.told("first start: three questions, as proposed");
    typist.press("left door\r\r11\r26\r\r\r\r", "nothing read yet");
    typist.press("r", "Station 1 of 12");
    readings(&mut typist);
    typist.press("\r", "accept");
    typist.told("a first opening, described, read, its plan");
    typist.press("a", "cuts, round 1");
    for _ in 0..8 {
        if !typist.terminal.screen().contains("cuts, round 1") {
            break;
        }
        let before = typist.terminal.screen();
        typist.terminal.press("d");
        typist.presses += 1;
        until(&typist.terminal, |screen| screen != before);
    }
    typist.told("the plan accepted, its cuts done as shown");
    typist.press("r", "Station 1 of ");
    typist.press("\u{3}", "");
    assert!(typist.terminal.ended());
}

fn table() -> String {
    let mut text = String::from("opening,width,height,hinge\n");
    for number in 0..OPENINGS {
        let _ = writeln!(text, "door no {number},13 7/8,22 {}/16,left", number % 15 + 1);
    }
    text
}

fn median(mut all: Vec<Duration>) -> (Duration, Duration) {
    all.sort();
    (all[all.len() / 2], all[all.len() - 1])
}

fn large_shop(home: &Path) {
    std::fs::write(home.join("doors.csv"), table()).unwrap();
    let began = Instant::now();
    let mut import = std::process::Command::new(binary());
    import.arg("--shop").arg(home.join("large")).arg("import").arg(home.join("doors.csv")).env("HOME", home);
    assert!(import.status().unwrap().success());
    println!("{:<44} {:>28.2} s", format!("import of {OPENINGS} rows"), began.elapsed().as_secs_f64());
    // The three questions come once, before the list.
    let mut terminal = start(&home.join("large"), home);
    until(&terminal, |screen| screen.contains("a shop of your own"));
    terminal.press("\r\r\r");
    until(&terminal, |screen| screen.contains("> door no 0"));
    terminal.press("q");
    assert!(terminal.ended());
    let (mut starts, mut keys) = (Vec::new(), Vec::new());
    for _ in 0..7 {
        let began = Instant::now();
        let mut terminal = start(&home.join("large"), home);
        until(&terminal, |screen| screen.contains("> door no 0"));
        starts.push(began.elapsed());
        // Counting passes goes on aside; keys are answered all the while.
        for _ in 0..20 {
            // By its words: from the middle on it is the list that moves.
            let at = |screen: &str| screen.lines().find(|line| line.starts_with('>')).map(str::to_owned);
            let before = at(&terminal.screen());
            let pressed = Instant::now();
            terminal.press("\u{1b}[B");
            until(&terminal, |screen| at(screen).is_some_and(|now| Some(now) != before));
            keys.push(pressed.elapsed());
        }
        terminal.press("q");
        assert!(terminal.ended());
    }
    for (what, all) in [("start-up to the list", starts), ("key to frame, Down in the list", keys)] {
        let count = all.len();
        let (middle, most) = median(all);
        let what = format!("{what}, {OPENINGS} openings");
        println!("{what:<44} median {:>7.1} ms  most {:>7.1} ms  ({count} times)", millis(middle), millis(most));
    }
}

fn millis(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn main() {
    let binary = binary();
    let size = std::fs::metadata(&binary).unwrap().len();
    println!("{:<44} {:>26.2} MiB  ({size} bytes)", format!("binary {}", binary.display()), size as f64 / 1_048_576.0);
    let home = tempfile::tempdir().unwrap();
    first_start_and_round(home.path());
    large_shop(home.path());
}
