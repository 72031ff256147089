//! The line-by-line mode through a pipe, and through a terminal: no cursor movement, no colour, everything kept.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

fn program(dir: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(dir.join("shop")).env("HOME", dir).env_remove("NO_COLOR");
    command
}

/// A shop with one door, made by the program's own import.
fn shop() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("door.csv"), "opening,width,height,hinge\nleft door,11,26,left\n").unwrap();
    let made = program(dir.path()).arg("import").arg(dir.path().join("door.csv")).output().unwrap();
    assert!(made.status.success());
    dir
}

fn talk(dir: &Path, answers: &str) -> String {
    let mut child = program(dir)
        .args(["fit", "left door", "--plain"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(answers.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{text}{}", String::from_utf8_lossy(&output.stderr));
    assert!(!text.contains(['\u{1b}', '\r', '\u{8}', '\u{7}']), "no control characters: {text:?}");
    text
}

fn log(dir: &Path) -> String {
    String::from_utf8(program(dir).args(["log", "left door"]).output().unwrap().stdout).unwrap()
}

#[test]
fn a_round_goes_through_a_pipe_and_is_kept() {
    let dir = shop();
    // The hinge side's top, then clockwise: feelers by number and lengths; one mistake, one way back.
    let readings = "2\n3\n3\n2\n?\nnonsense\n2\n2\nback\n2\n2\n4\n4\n3\n2\n2\n";
    let text = talk(dir.path(), &format!("{readings}n\ny\ny\n"));
    for wanted in [
        "Station 1 of 12: left edge, top",
        "Feelers: 1 is 1/64",
        "'nonsense' is no feeler",
        "Station 12 of 12",
        "Plan of round 1",
        "Accept this plan?",
        "Caution: ",
        "Done as shown?",
        "Everything said so far is kept.",
    ] {
        assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
    }
    let log = log(dir.path());
    assert!(log.contains("goes") && log.contains("plan"), "{log}");
    assert!(log.contains("cut by"), "'y' records the cut: {log}");
}

#[test]
fn what_was_read_before_the_input_ends_is_kept_and_asked_no_more() {
    let dir = shop();
    let text = talk(dir.path(), "1/16\n3/32\n");
    assert!(text.contains("Station 3 of 12") && text.ends_with("Everything said so far is kept.\n"), "{text}");
    let text = talk(dir.path(), "");
    assert!(text.contains("Station 3 of 12") && !text.contains("Station 2 of 12"), "{text}");
    assert_eq!(log(dir.path()).matches("read:").count(), 2);
}

#[test]
fn a_surprising_reading_is_asked_about() {
    let dir = shop();
    let text = talk(dir.path(), "1/16\nskip\n1/16\n1/16\n1/16\n1/16\n1/4\nagain\n1/16\n");
    assert!(text.contains("Check it: expected about 1/16, you read: 1/4."), "{text}");
    let log = log(dir.path());
    assert!(log.contains("1/4"), "the first look stays in the log, nothing is dropped silently: {log}");
    assert_eq!(log.matches("struck").count(), 1, "and is struck, since the second look differs: {log}");
}

#[test]
fn an_opening_that_is_not_there_is_named() {
    let dir = shop();
    let output = program(dir.path()).args(["fit", "right door", "--plain"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("right door"));
}

#[cfg(unix)]
#[test]
fn a_terminal_gets_plain_lines_too() {
    use portable_pty::{CommandBuilder, PtySize, native_pty_system};
    use std::io::Read;
    let dir = shop();
    let pair = native_pty_system().openpty(PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 }).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.args(["--shop", &dir.path().join("shop").display().to_string(), "fit", "left door", "--plain"]);
    command.env("HOME", dir.path());
    command.env("TERM", "xterm-256color");
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut output = pair.master.try_clone_reader().unwrap();
    let mut keys = pair.master.take_writer().unwrap();
    keys.write_all(b"1/16\nquit\n").unwrap();
    let reader = std::thread::spawn(move || {
        let (mut text, mut bytes) = (Vec::new(), [0; 1024]);
        while let Ok(count) = output.read(&mut bytes) {
            if count == 0 {
                break;
            }
            text.extend_from_slice(&bytes[..count]);
        }
        String::from_utf8_lossy(&text).into_owned()
    });
    assert!(child.wait().unwrap().success());
    drop((keys, pair.master));
    let text = reader.join().unwrap();
    assert!(text.contains("Station 2 of 12"), "{text}");
    assert!(!text.contains('\u{1b}'), "no cursor movement, no colour: {text:?}");
}

/// A shop with these events of its door, and settings that show lengths so.
fn shop_of(show: evenreveal::fit::length::Show, events: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let settings = evenreveal::shop::settings::Settings { show, ..Default::default() };
    std::fs::create_dir(dir.path().join("shop")).unwrap();
    std::fs::write(dir.path().join("shop/shop.json"), serde_json::to_string(&settings).unwrap()).unwrap();
    std::fs::write(dir.path().join("door.json"), events).unwrap();
    let made = program(dir.path()).args(["enter", "left door"]).arg(dir.path().join("door.json")).output().unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    dir
}

const FOUR: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}"#;

/// A pair and stacked fronts are walked leaf by leaf; where all is even, the round ends with "it fits".
#[test]
fn pairs_and_stacked_fronts_are_walked_to_the_end() {
    use evenreveal::fit::length::Show;
    for (next, sides) in [("right", ["A.right", "B.left"]), ("top", ["A.top", "B.bottom"])] {
        let ids = ["A", "B"];
        let edge =
            if next == "right" { evenreveal::fit::opening::Edge::Right } else { evenreveal::fit::opening::Edge::Top };
        let gaps: Vec<_> = evenreveal::bench::asking::gaps_of(&ids, edge)
            .into_iter()
            .map(|between| serde_json::json!({ "between": between, "target": "3/32" }))
            .collect();
        let leaf = |id: &str| serde_json::json!({ "event": "leaf", "leaf": id, "width": "14", "height": "10" });
        let opening = serde_json::json!({ "event": "opening", "gaps": gaps });
        let dir = shop_of(Show::Fraction(64), &format!("{opening}\n{}\n{}", leaf("A"), leaf("B")));
        let text = talk(dir.path(), &format!("{}y\n", "3/32\n".repeat(21)));
        for wanted in ["Station 1 of 21: leaf A, ", "leaf B, ", "Station 21 of 21", "It fits"] {
            assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
        }
        assert!(text.ends_with("Everything said so far is kept.\n"), "{text}");
        let log = log(dir.path());
        assert_eq!(log.matches(" read:").count(), 21, "{log}");
        assert!(log.contains(&format!("{}-{}", sides[0], sides[1])) && log.contains("plan 'fitted' accepted"), "{log}");
    }
}

/// A leaf on its hinges, the lower one 0.03 in short of its card: pack first, said and recorded line by line.
#[test]
fn a_hung_leaf_is_packed_and_the_pack_recorded() {
    let leaf = r#"{"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left","may_cut":[],"motion":{"hung":{"hinges":["3","23"],"pack":"1/8","let_in":"0","stock":["0.030"]}}}"#;
    let dir = shop_of(evenreveal::fit::length::Show::DecimalInch(3), &format!("{FOUR}\n{leaf}"));
    // The gaps of that leaf by the sums of tests/hung_rounds.rs, clockwise from the hinge side's top.
    let lean = 0.030 / 20.0;
    let out = |y: f64| -0.030 + lean * (y - 3.0);
    let right = |y: f64| 0.09375 - out(y);
    let level = |x: f64, sign: f64| 0.09375 + sign * lean * x;
    let left = |y: f64| 0.09375 + out(y);
    let gaps = [
        left(25.0),
        level(1.0, 1.0),
        level(5.5, 1.0),
        level(10.0, 1.0),
        right(25.0),
        right(13.0),
        right(1.0),
        level(10.0, -1.0),
        level(5.5, -1.0),
        level(1.0, -1.0),
        left(1.0),
        left(13.0),
    ];
    let answers = gaps.map(|gap| format!("{gap:.3}\nkeep\n")).concat();
    // "keep" answers a reading that is asked about; where none is, it is no feeler and no length, and asked again.
    let text = talk(dir.path(), &format!("{answers}y\ny\n"));
    for wanted in
        ["Pack a hinge", "hinge at 3.000, move it out by 0.030", "Done as shown?", "Readings of round 2: 12 stations."]
    {
        assert!(text.to_lowercase().contains(&wanted.to_lowercase()), "no '{wanted}' in:\n{text}");
    }
    let log = log(dir.path());
    assert!(log.contains("hinge of A at 3.000 packed 0.030"), "{log}");
}

/// In millimetres: asked, answered and told in millimetres, and the cut typed as it was done.
#[test]
fn a_round_in_millimetres_with_a_cut_done_otherwise() {
    let leaf = r#"{"event":"leaf","leaf":"A","width":"280mm","height":"660mm","hinge":"left"}"#;
    let four = FOUR.replace("3/32", "2.4mm");
    let dir = shop_of(evenreveal::fit::length::Show::Millimetre(1), &format!("{four}\n{leaf}"));
    let readings = "2.4mm\n2.4\n2.4\n2.4\n1.4\n1.4\n1.4\n2.4\n2.4\n2.4\n2.4\n2.4\n";
    let text = talk(dir.path(), &format!("{readings}y\nn\nabc\n0.6\n0.8\nchisel\n\n\n\n\n\n"));
    assert!(text.contains("Station 1 of 12: left edge, top, 635mm from its lower end?"), "{text}");
    assert!(text.contains("Done as shown?") && text.contains("mm"), "{text}");
    // What is no length and what is no means are said where they were typed, and asked again.
    assert!(text.contains("Not done: 'abc' is not a length"), "{text}");
    assert!(text.contains("Not done: there is 1 rip; "), "{text}");
    // A caution gives what the rule says in both units, and a refused length every way of writing one.
    let told = text.split("Plan of round 1").nth(1).unwrap();
    let told: String = told
        .lines()
        .filter(|line| !line.starts_with("Caution: ") && !line.starts_with("Not done: "))
        .collect::<Vec<_>>()
        .join("\n");
    let fractions = told.split_whitespace().any(|word| {
        word.split_once('/').is_some_and(|(a, b)| {
            a.ends_with(|c: char| c.is_ascii_digit()) && b.starts_with(|c: char| c.is_ascii_digit())
        })
    });
    assert!(!fractions, "an inch fraction in a metric shop:\n{told}");
    let log = log(dir.path());
    assert!(log.contains("cut by") && log.contains("bottom 0.6mm, top 0.8mm"), "{log}");
}

/// A door that was accepted as fitted on readings that leave doubt.
fn doubted() -> tempfile::TempDir {
    let leaf = r#"{"event":"leaf","leaf":"A","width":"13 15/16","height":"15 7/16","hinge":"left"}"#;
    let line = |between: &str, high: &str, goes: [u32; 2]| {
        let read = |at: &str, goes: u32| format!(r#"{{"at":"{at}","goes":"{goes}/64","stops":"{}/64"}}"#, goes + 1);
        format!(r#"{{"between":[{between}],"readings":[{},{}]}}"#, read("1", goes[0]), read(high, goes[1]))
    };
    let gaps = [
        line(r#""frame","A.left""#, "14 7/16", [5, 6]),
        line(r#""A.right","frame""#, "14 7/16", [6, 5]),
        line(r#""frame","A.bottom""#, "13", [5, 5]),
        line(r#""A.top","frame""#, "13", [6, 6]),
    ];
    let read = format!(r#"{{"event":"readings","round":1,"gaps":[{}]}}"#, gaps.join(","));
    let plan = r#"{"event":"plan","round":1,"verdict":"fitted"}"#;
    shop_of(evenreveal::fit::length::Show::Fraction(64), &format!("{FOUR}\n{leaf}\n{read}\n{plan}"))
}

/// List, plan and screen said "doubt came up since: read the gaps again"; here it was "nothing is to be done".
#[test]
fn a_fitted_door_in_doubt_is_not_called_done() {
    let dir = doubted();
    let listed = String::from_utf8(program(dir.path()).arg("list").output().unwrap().stdout).unwrap();
    let wanted = "round 1: doubt came up since: read the gaps again";
    assert!(listed.contains(wanted), "{listed}");
    let text = talk(dir.path(), "quit\n");
    assert!(text.starts_with(&format!("left door. Next: {wanted}.\n")), "{text}");
    assert!(!text.contains("nothing is to be done") && text.contains("Readings of round 2"), "{text}");
}

/// What comes next is said as the list says it, from the first line on.
#[test]
fn the_first_line_is_what_the_list_says() {
    let dir = shop();
    talk(dir.path(), "2\n3\n2\n2\n6\n6\n6\n6\n6\n6\n3\n3\nquit\n");
    let listed = String::from_utf8(program(dir.path()).arg("list").output().unwrap().stdout).unwrap();
    let next = listed.trim().trim_start_matches("left door").trim().split(';').next().unwrap().to_owned();
    assert!(next.contains("again"), "{listed}");
    let text = talk(dir.path(), "quit\n");
    assert!(text.starts_with(&format!("left door. Next: {next}.\n")), "{next}: {text}");
}

/// A door too narrow by 7/64 in, each end of its edges looked at twice, no middle read.
fn narrow() -> tempfile::TempDir {
    let leaf = r#"{"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}"#;
    let line = |between: &str, high: &str, gap: u32| {
        let look = |at: &str, again: bool| format!(r#"{{"at":"{at}","gap":"{gap}/64","again":{again}}}"#);
        let looks = [look("1", false), look(high, false), look("1", true), look(high, true)].join(",");
        format!(r#"{{"between":[{between}],"readings":[{looks}]}}"#)
    };
    let gaps = [
        line(r#""frame","A.left""#, "25", 9),
        line(r#""A.right","frame""#, "25", 10),
        line(r#""frame","A.bottom""#, "10", 6),
        line(r#""A.top","frame""#, "10", 6),
    ];
    let read = format!(r#"{{"event":"readings","round":1,"gaps":[{}]}}"#, gaps.join(","));
    shop_of(evenreveal::fit::length::Show::Fraction(64), &format!("{FOUR}\n{leaf}\n{read}"))
}

/// Unread middles were asked for before "wood is missing" was said, which no middle can change. Then the strip is
/// told, at once or the next day, and all gaps are read anew.
#[test]
fn wood_that_is_missing_is_said_first_and_told_when_it_is_there() {
    let dir = narrow();
    let text = talk(dir.path(), "y\nn\n");
    for wanted in [
        "Plan of round 1: Too short.",
        "What helps: it can be even at 9/64 all round.",
        "What helps: glue a strip 3/32 thick on the left edge of A.",
        "Wood is missing: cut nothing more.",
        "Was a strip glued on since, or the leaf made anew? y or n",
    ] {
        assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
    }
    assert!(!text.contains("Station 1"), "{text}");
    let text = talk(dir.path(), "y\n\n2\n0\n\n1/8\n2\nquit\n");
    for wanted in [
        "done? (one of 1 strip glued on; 2 wood taken off; 3 leaf made anew; ",
        "edge? (one of 1 left; 2 right; 3 bottom; 4 top; ",
        "thickness? (empty for 3/32; ",
        "Not done: must be more than 0",
        "kept: what was read of that leaf counts no more; read the gaps again.\nReadings of round 2: 12 stations.",
    ] {
        assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
    }
    let log = log(dir.path());
    assert!(log.contains("strip of 1/8 glued on A right") && log.contains("round 2 read"), "{log}");
}

/// "one of frame and panel, solid, grain level, solid, grain upright" could not be told apart by ear.
#[test]
fn choices_are_numbered_and_a_number_answers() {
    let dir = shop();
    let text = {
        let mut child = program(dir.path())
            .args(["fit", "front", "--plain"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(b"y\n\n\n\n3\n16\n7\n\n4\n0\n3\n\nquit\n").unwrap();
        String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap()
    };
    let made = "1 frame and panel; 2 solid, grain level; 3 solid, grain upright";
    assert!(
        text.contains(&format!("made as? (one of {made}; empty for solid, grain level; back to leave it)")),
        "{text}"
    );
    assert_eq!(text.matches(&format!("Not done: there is {made}.")).count(), 2, "{text}");
    let log = program(dir.path()).args(["log", "front", "--json"]).output().unwrap().stdout;
    assert!(String::from_utf8(log).unwrap().contains(r#""made":"solid-upright""#));
}

/// A cut recorded otherwise: an answer that cannot be read is no default, the planned amount is said as the sheet says
/// it, and the sheet is read out once.
#[test]
fn a_cut_done_otherwise_keeps_its_defaults() {
    let dir = shop();
    let readings = "2\n3\n3\n2\n4\n4\n4\n4\n4\n4\n2\n2\n";
    let text = talk(dir.path(), &format!("{readings}n\ny\n\nwhat\nn\ngarbage\n\n\n\n"));
    let asked: Vec<&str> = text.lines().filter(|line| line.contains("? (empty for ")).collect();
    assert!(asked.len() >= 3, "{text}");
    assert_eq!(asked[0], asked[1], "after garbage the same is asked, with the same default: {text}");
    assert!(!text.contains("empty for garbage"), "{text}");
    for line in &asked {
        let default = line.split("empty for ").nth(1).unwrap().split(';').next().unwrap();
        assert!(!default.contains('"') && default.len() <= 9, "rounded as on the sheet: {line}");
    }
    let (sheets, asked) = (text.matches("left to do.").count(), text.matches("Done as shown?").count());
    assert!(sheets >= 1 && asked >= sheets + 2, "asked again twice, read out once: {text}");
    assert!(!text.contains("..\n"), "one full stop is enough: {text}");
}

/// Going back over stations that were read says what was read there, and an empty answer leaves it so.
#[test]
fn a_station_read_before_is_asked_with_its_value() {
    let dir = shop();
    let text = talk(dir.path(), "2\n3\nback\n\nback\nback\n4\nquit\n");
    assert!(text.contains("Read before: 3/64 goes, 1/16 stops; empty leaves it so."), "{text}");
    let log = log(dir.path());
    assert!(log.contains("1/16 goes"), "{log}");
}

/// Without a screen a shop and an opening can be made, a question at a time.
#[test]
fn a_shop_and_an_opening_are_made_line_by_line() {
    let dir = tempfile::tempdir().unwrap();
    let ask = |answers: &str| {
        let mut child = program(dir.path())
            .args(["fit", "left door", "--plain"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(answers.as_bytes()).unwrap();
        let output = child.wait_with_output().unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    let (code, text) = ask("n\n");
    assert!(code == Some(2) && text.contains("There is no shop at ") && !dir.path().join("shop").exists(), "{text}");
    let shop = "y\ny\nmillimetre\n\n\n";
    let (code, text) = ask(&format!("{shop}2\n280\nwide\n560\n\n\n2.4\n2.4mm\nquit\n"));
    assert_eq!(code, Some(0), "{text}");
    for wanted in [
        "three questions first",
        "unit? (one of ",
        "kind? (one of 1 single door; 2 pair of doors; ",
        "Not done: 'wide'",
        "Station 1 of 21",
    ] {
        assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
    }
    let log = log(dir.path());
    assert!(log.contains("280") && log.contains("2.4mm"), "{log}");
}
