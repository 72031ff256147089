//! Fronts of unequal height one above another, typed on the screen and line by line: made ones, and those that the
//! opening sizes. Sums by hand, in the comments.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::prepare::{sizes, stacked};
use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::shop::OpeningState;
use evenreveal::shop::replay::Stage;
use evenreveal::shop::settings::Settings;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::Bench;
use std::io::Write;
use std::process::{Command, Stdio};

/// The form of a new opening called "kitchen", as far as its leaf's width; stacked fronts are chosen.
fn asked(settings: Settings) -> Bench {
    let mut bench = Bench::in_shop(settings, &[]);
    bench.press("nkitchen\r");
    bench.key(KeyCode::Left, KeyModifiers::NONE);
    bench.shows("< fronts stacked >");
    bench.press("\r");
    bench
}

fn inches() -> Settings {
    Settings { name: "a shop".to_owned(), ..Settings::default() }
}

fn state(bench: &Bench) -> &OpeningState {
    &bench.session.opened.as_ref().expect("an opening").state
}

/// The screen says `wanted`, over as many rows as it takes.
#[track_caller]
fn says(bench: &Bench, wanted: &str) {
    let text = bench.text();
    // On the survey the fields stand at the left of it.
    let right = text.lines().map(|row| row.chars().skip(33).collect::<String>()).collect::<Vec<_>>().join(" ");
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(&text).contains(wanted) || flat(&right).contains(wanted), "no '{wanted}' on\n{text}");
}

fn length(text: &str) -> Length {
    Length::parse(text, Unit::Inch).unwrap()
}

/// Short name, name and height of every leaf, from below.
fn heights(bench: &Bench) -> Vec<(String, String, Length)> {
    let leaves = &state(bench).leaves;
    leaves.iter().map(|leaf| (leaf.what.leaf.clone(), leaf.what.name.clone(), leaf.what.height)).collect()
}

#[test]
fn made_fronts_are_typed_from_the_top_down() {
    let mut bench = asked(inches());
    bench.press("15 13/16\r9, 7, 5 1/4");
    // 9 + 7 + 5 1/4 + 4 x 3/32 = 21 5/8.
    bench.shows("3 fronts, top to bottom: C 9, B 7, A 5 1/4; with 4 gaps 21 5/8");
    bench.press("\r\r\r\r");
    let wanted = [("A", "lower front", "5 1/4"), ("B", "middle front", "7"), ("C", "upper front", "9")];
    let wanted = wanted.map(|(id, name, height)| (id.to_owned(), name.to_owned(), length(height)));
    assert_eq!(heights(&bench), wanted);
    let gaps: Vec<String> = state(&bench).gaps.iter().map(|gap| gap.between.join("-")).collect();
    for line in ["frame-A.bottom", "A.top-B.bottom", "B.top-C.bottom", "C.top-frame", "frame-B.left", "C.right-frame"] {
        assert!(gaps.contains(&line.to_owned()), "{line} in {gaps:?}");
    }
    assert_eq!(gaps.len(), 10);
    assert_eq!(state(&bench).stage(), Stage::Read { round: 1 });
}

/// Six at the most, in millimetres, all alike and not.
#[test]
fn six_fronts_in_millimetres() {
    let mut bench = asked(Settings { show: Show::Millimetre(1), ..inches() });
    bench.press("400\r225, 2x175, 150, 125, 5\"");
    bench.shows("6 fronts, top to bottom: F 225.0mm, E 175.0mm, D 175.0mm, C");
    bench.shows("150.0mm, B 125.0mm, A 127.0mm; with 7 gaps 993.8mm");
    bench.press("\r\r\r2.4\r");
    let of: Vec<Length> = heights(&bench).into_iter().map(|(.., height)| height).collect();
    assert_eq!(of, ["127mm", "125mm", "150mm", "175mm", "175mm", "225mm"].map(length));
    let names: Vec<String> = heights(&bench).into_iter().map(|(_, name, _)| name).collect();
    assert_eq!(names, ["lower front", "2nd front up", "3rd front up", "4th front up", "5th front up", "upper front"]);
    assert_eq!(state(&bench).gaps.len(), 19);
}

/// What is no heights is said while it is typed, and Enter does not go on from it.
#[test]
fn what_is_no_heights_is_said_where_it_is_typed() {
    let mut bench = asked(inches());
    bench.press("15\r\r");
    bench.shows("type the heights from the top down");
    for (typed, said) in [
        ("7", "'7' is one height: say how many fronts"),
        ("9, rest", "the bottom front has no height"),
        ("3", "the top front has no height"),
        ("9, seven, 5", "the 2nd front from the top: 'seven' is not a length"),
        ("9,5, 7", "'9,5' could be one height or two"),
        ("7 x 4", "that makes 7 fronts"),
        ("9, 0", "the bottom front has no height: 0 is none"),
    ] {
        bench.press(typed);
        bench.shows(said);
        bench.press("\r");
        bench.shows("> leaf height");
        bench.press(&"\u{8}".repeat(typed.len()));
    }
    // Left half filled in, it is here again.
    bench.press("9, 7\u{1b}");
    bench.shows("set aside");
    bench.press("n");
    bench.shows("leaf height     9, 7");
    // Another kind asks for one height.
    bench.press("\r\r");
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r");
    bench.shows("'9, 7' is not a length");
}

/// Fronts that the opening sizes, in an opening 30 high: 7 gaps of 3/32 take 21/32.
fn surveyed(heights: &str) -> Bench {
    let mut bench = asked(inches());
    bench.press(&format!("\r{heights}\r\r\r\r"));
    assert_eq!(state(&bench).stage(), Stage::Survey);
    bench.press("s15 13/16\r\r\r30");
    bench
}

#[test]
fn what_is_left_goes_to_the_front_left_open() {
    // 30 - 4 x 3/32 - 9 - 5 1/4 = 15 3/8.
    let mut bench = surveyed("9, rest, 5 1/4");
    bench.shows("C 9, B 15 3/8");
    bench.press("\u{1b}");
    let survey = sizes::sound(state(&bench)).unwrap();
    let finished = |id| sizes::finished_size(state(&bench), &survey, id).unwrap();
    assert_eq!(["A", "B", "C"].map(|id| finished(id)[1]), ["5 1/4", "15 3/8", "9"].map(length));
    // 15 13/16 - 2 x 3/32 = 15 5/8.
    assert_eq!(finished("B")[0], length("15 5/8"));
    // All are drawn before any is made.
    bench.shows("A, B, C");
    bench.shows("size the blank");
}

#[test]
fn shares_and_several_left_open() {
    // (30 - 4 x 3/32) / 9 = 3 7/24: 4 of them 13 1/6 -> the rest, 3 of them 9 7/8, 2 of them 6 37/64 (to 1/64).
    let bench = surveyed("4:3:2");
    let shown = |bench: &Bench| {
        let opened = bench.session.opened.as_ref().unwrap();
        let Some(Screen::Survey(entry)) = bench.session.screen() else { panic!("{}", bench.text()) };
        let tape = entry.tape(Unit::Inch).unwrap();
        let shape = evenreveal::before::survey::Shape::from_tape(&tape).unwrap();
        let told = stacked::told(&opened.state, &sizes::Surveyed { tape, shape }, Show::Fraction(64));
        told.iter().map(|line| line.text.clone()).collect::<Vec<_>>().join("; ")
    };
    assert_eq!(shown(&bench), "heights, top to bottom: C 13 11/64, B 9 7/8, A 6 37/64");
    // 30 - 6 x 3/32 - 8 - 6 = 15 7/16, a third of it 5 7/48, shown to the nearest 1/64 with what that hides.
    assert_eq!(
        shown(&surveyed("8, 3 x rest, 6")),
        "heights, top to bottom: E 8, D 5 9/64 +0.005, C 5 9/64 +0.005, B 5 9/64 +0.005, A 6"
    );
}

#[test]
fn heights_that_do_not_add_up_say_by_how_much_and_are_mended_on_the_blank() {
    // 9 + 14 + 6 5/8 = 29 5/8, and 4 gaps of 3/32: just 30.
    let bench = surveyed("9, 14, 6 5/8");
    says(&bench, "heights, top to bottom: C 9, B 14, A 6");
    // 1/16 more.
    let mut bench = surveyed("9, 14, 6 11/16");
    says(
        &bench,
        "! heights C 9, B 14, A 6 11/16 and 4 gaps, 3/8 in all, come to 30 1/16; the opening is 30 high: 1/16 too much.",
    );
    bench.press("\u{1b}b");
    says(&bench, "1/16 too much");
    says(&bench, "Change a height, or say rest for one");
    bench.press("a");
    says(&bench, "1/16 too much");
    bench.press("h");
    says(&bench, "the opening is 30 high, 4 gaps take 3/8: 29 5/8 for 3 fronts");
    says(&bench, "with the gaps 1/16 too much");
    bench.press(&"\u{8}".repeat("11/16".len()));
    says(&bench, "with the gaps 5/8 too little");
    bench.press(", 1\r");
    says(&bench, "there are 3 fronts here, C, B, A from the top: give 3 heights, not 4");
    bench.press("\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}rest");
    says(&bench, "C 9, B 14, A 6 5/8; with the gaps just the opening");
    bench.press("\r");
    says(&bench, "kept, event 3");
    let survey = sizes::sound(state(&bench)).unwrap();
    assert_eq!(sizes::finished_size(state(&bench), &survey, "A").unwrap()[1], length("6 5/8"));
    // What was said before comes back with u.
    bench.press("u");
    says(&bench, "heights of the fronts: C 9, B 14, A the rest");
    says(&bench, "1/16 too much");
    bench.key(KeyCode::Char('y'), KeyModifiers::CONTROL);
    says(&bench, "never said how A is made");
}

#[test]
fn nothing_is_left_where_the_others_take_it_all() {
    let bench = surveyed("9, rest, 22");
    says(&bench, "the opening is 30 high: 1 3/8 too much, and nothing for B.");
}

/// All that a stack needs said of it, once; each front is then taken by itself, in any order, and read when all are.
#[test]
fn a_stack_is_made_front_by_front() {
    let mut bench = surveyed("9, rest, 5 1/4");
    bench.press("\u{1b}b");
    bench.press(&"\t".repeat(16));
    bench.press("\r");
    bench.shows("A: finished 15 5/8 x 5 1/4");
    bench.shows("not said yet of B, C: press s where they are made like this one");
    bench.press("s");
    bench.shows("kept, events 4 to 5");
    // The highest first: the page stays on it.
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.shows("C: finished 15 5/8 x 9, rough 15 3/4 x 9 1/8");
    bench.press("a");
    bench.shows("kept, event 6");
    bench.shows("C: finished 15 5/8 x 9, rough 15 3/4 x 9 1/8");
    bench.press("\u{1b}");
    assert_eq!(state(&bench).stage(), Stage::Blank);
    bench.press("r");
    bench.shows("no size yet: A, B.");
    // The list says so, too.
    bench.press("\u{1b}");
    bench.shows("Size the blank");
    bench.press("\r");
    // And back to the first that has none.
    bench.press("b");
    bench.shows("A: finished 15 5/8 x 5 1/4");
    bench.press("a");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.shows("B: finished 15 5/8 x 15 3/8");
    bench.press("a\u{1b}");
    assert_eq!(state(&bench).stage(), Stage::Read { round: 1 });
    bench.press("\u{1b}v");
    // Their grain is level: ripped to the height, cut off to the width.
    for wide in ["5 3/8 wide", "15 1/2 wide", "9 1/8 wide"] {
        bench.shows(wide);
    }
    assert_eq!(bench.text().matches("1 of 15 3/4 ").count(), 3, "{}", bench.text());
}

/// Each of four to six fronts has its name on rows of its own, in order, at every size; a small screen had A and B side
/// by side, and gaps of one front beside another.
#[test]
fn many_fronts_are_told_apart_on_the_picture() {
    for (heights, names) in [("9, 7, 5, 5", "DCBA"), ("9, 5, 4, 4, 3", "EDCBA"), ("9, 5, 5, 4, 3 1/2, 3", "FEDCBA")] {
        let mut bench = asked(inches());
        bench.press(&format!("15 13/16\r{heights}\r\r\r\r"));
        for keys in ["", "r"] {
            bench.press(keys);
            for size in screen_bench::SIZES {
                let text = screen_bench::text(&bench.buffer(size, evenreveal::screen::theme::Palette::Colour));
                let inside = |row: &str| row.split('\u{2503}').nth(1).map(str::to_owned).unwrap_or_default();
                let found: Vec<(usize, char)> = text
                    .lines()
                    .enumerate()
                    .flat_map(|(place, row)| {
                        let letters: Vec<char> = inside(row).chars().filter(char::is_ascii_uppercase).collect();
                        letters.into_iter().map(move |letter| (place, letter))
                    })
                    .collect();
                let letters: String = found.iter().map(|(_, letter)| *letter).collect();
                assert_eq!(letters, names, "{heights} at {size:?}\n{text}");
                assert!(found.windows(2).all(|pair| pair[0].0 < pair[1].0), "{heights} at {size:?}\n{text}");
            }
        }
    }
}

fn program(dir: &std::path::Path, arguments: &[&str], input: &str) -> (Option<i32>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(dir.join("shop")).env("HOME", dir).env_remove("NO_COLOR").args(arguments);
    let mut child =
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let text = [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat();
    (output.status.code(), text)
}

/// Line by line, and by events: the same words, the same figures.
#[test]
fn line_by_line_and_by_commands() {
    let dir = tempfile::tempdir().unwrap();
    let form = "y\ny\n\n\n\nfronts stacked\n15 13/16\n9, seven\n9, 14, 6 5/8\n\n\n\nquit\n";
    let (code, text) = program(dir.path(), &["fit", "made", "--plain"], form);
    assert_eq!(code, Some(0), "{text}");
    assert!(text.contains("Not done: the bottom front: 'seven' is not a length"), "{text}");
    assert!(text.contains("3 fronts, top to bottom: C 9, B 14, A 6 5/8; with 4 gaps 30."), "{text}");
    assert!(text.contains("Station 1 of 30"), "{text}");
    let (_, text) =
        program(dir.path(), &["fit", "to come", "--plain"], "y\nfronts stacked\n\n\n9, 14, 6 11/16\n\n\n\n");
    assert!(text.contains("Not done: type the heights from the top down"), "{text}");
    let enter = |event: &str| program(dir.path(), &["enter", "to come", "-"], event);
    enter(r#"{"event":"survey","widths":["15 13/16",null,null],"heights":["30",null,null]}"#);
    let misfit =
        "heights C 9, B 14, A 6 11/16 and 4 gaps, 3/8 in all, come to 30 1/16; the opening is 30 high: 1/16 too much";
    for command in ["survey", "blank"] {
        let (code, text) = program(dir.path(), &[command, "to come"], "");
        assert!(code == Some(1) && text.contains(misfit), "{command}: {text}");
    }
    let (_, text) = program(dir.path(), &["survey", "to come", "--json"], "");
    assert!(text.contains("\"heights_over\": 0.0625"), "{text}");
    let bad = enter(r#"{"event":"heights","leaves":[{"leaf":"D","height":"6"}]}"#);
    assert!(bad.0 == Some(2) && bad.1.contains("leaves[0].leaf: no leaf 'D' is to be made here"), "{}", bad.1);
    let told = r#"{"event":"heights","leaves":[{"leaf":"A"},{"leaf":"B","height":"14"},{"leaf":"C","height":"9"}]}"#;
    assert_eq!(enter(told).1, "kept 3 heights\n");
    let (code, text) = program(dir.path(), &["survey", "to come"], "");
    assert!(code == Some(0) && text.contains("heights, top to bottom: C 9, B 14, A 6 5/8"), "{text}");
    let (_, log) = program(dir.path(), &["log", "to come"], "");
    assert!(log.contains("heights C 9, B 14, A 6 11/16") && log.contains("C 9, B 14, A the rest"), "{log}");
    let (_, csv) = program(dir.path(), &["log", "to come", "--csv"], "");
    assert!(csv.contains("height") && csv.contains("share"), "{csv}");
    // Made fronts are held against the opening, too.
    let survey = r#"{"event":"survey","widths":["15 13/16",null,null],"heights":["29 15/16",null,null]}"#;
    program(dir.path(), &["enter", "made", "-"], survey);
    let (code, text) = program(dir.path(), &["survey", "made"], "");
    assert!(
        code == Some(0)
            && text.contains("the 3 fronts and their gaps come to 30, 1/16 more than the opening: to come off"),
        "{text}"
    );
}
