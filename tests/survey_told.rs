//! What is said of a survey: what a straight leaf passes, and nothing of a shape that nobody's readings make.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::before::survey::{Shape, Tape};
use evenreveal::fit::length::{Length, Unit};
use program::Home;
use screen_bench::{BARE, Bench};

const BUILD: &str = r#"{"event":"build","leaf":"A","thickness":"3/4","frame":{"stiles":["2","2"],"rails":["2","2"],"joint":"butt","groove":"3/8","float":"1/8","panel_thickness":"1/4"},"allowance":"1/16"}"#;

fn length(text: &str) -> Length {
    Length::parse_signed(text, Unit::Inch).unwrap()
}

fn survey(width: &str, heights: [&str; 3], more: &str) -> String {
    let [left, middle, right] = heights;
    format!(
        r#"{{"event":"survey","widths":["{width}","{width}","{width}"],"heights":["{left}","{middle}","{right}"]{more}}}"#
    )
}

fn home(survey: &str) -> Home {
    let home = Home::new();
    home.run(&["--shop", "shop", "enter", "door", "-"], &[BARE, survey, BUILD].join("\n")).code(0);
    home
}

/// 18 wide at the bottom, the middle and the top, the left side hollow by 1/8, the right one round by as much: a straight
/// edge at the left stands on both ends of the hollow, and at the right on the middle of the round side: 17 7/8 between.
#[test]
fn a_hollow_side_gives_a_straight_leaf_nothing_back() {
    let read = survey("18", ["30"; 3], r#","bows":["1/8","-1/8","0","0"]"#);
    let home = home(&read);
    let told = home.run(&["--shop", "shop", "survey", "door"], "").code(0);
    assert!(told.out.contains("a leaf must pass 17 7/8 x 30\n"), "{}", told.out);
    assert!(told.out.contains("smallest measures 18 x 30"), "{}", told.out);
    let json = home.run(&["--shop", "shop", "survey", "door", "--json"], "").json();
    assert_eq!((&json["passage"][0], &json["smallest"][0]), (&"17 7/8\"".into(), &"18\"".into()), "{json:#}");
    // What it was said to need is reckoned from the smallest measure; that no trim does it says of which sides.
    home.run(&["--shop", "shop", "blank", "door"], "").code(1).gives(&[
        "finished 17 13/16 x 29 13/16",
        "the left side is hollow by 1/8, the right side is round by 1/8, too much for a straight edge",
    ]);
}

#[test]
fn straight_round_and_hollow_sides_by_hand() {
    for (bows, passage) in [
        (["0", "0", "0", "0"], ["18", "30"]),
        // Both round: the middle is narrower by both, and was read so.
        (["-1/16", "-1/32", "0", "0"], ["17 29/32", "30"]),
        // Both hollow: it passes what stands at the ends.
        (["1/16", "1/16", "0", "1/8"], ["18", "30"]),
        (["0", "0", "-1/8", "1/16"], ["18", "29 7/8"]),
    ] {
        let [left, right, bottom, top] = bows.map(length);
        let middle = |size: &str, one: Length, other: Length| {
            Some(length(size).checked_add(one).and_then(|sum| sum.checked_add(other)).unwrap())
        };
        let (wide, high) = (Some(length("18")), Some(length("30")));
        let tape = Tape {
            widths: [wide, middle("18", left, right), wide],
            heights: [high, middle("30", bottom, top), high],
            bows: [Some(left), Some(right), Some(bottom), Some(top)],
            ..Tape::default()
        };
        let (width, height) = Shape::from_tape(&tape).unwrap().passage();
        let wanted = passage.map(|size| length(size).inches());
        assert!((width.get() - wanted[0]).abs() < 1e-6 && (height.get() - wanted[1]).abs() < 1e-6, "{bows:?}");
    }
}

/// A diagonal of 50 in an opening 18 x 30: whatever shape fits all of it best is nobody's opening. The reading is named
/// with what it should be (sqrt(18² + 30²) = 34.986, 34 63/64), and all readings as they were taken; no more.
#[test]
fn of_readings_that_contradict_each_other_no_shape_is_told() {
    let diagonal = r#"{"event":"survey","widths":["18",null,null],"heights":["30",null,null],"diagonals":["50",null]}"#;
    for (read, named, widths) in [
        (diagonal.to_owned(), "read 50, should be about 34 63/64", "18, -, -"),
        (survey("18", ["30 1/32", "30 1/32", "31 1/32"], ""), "the height at the right", "18, 18, 18"),
    ] {
        let home = home(&read);
        let told = home.run(&["--shop", "shop", "survey", "door"], "").code(1);
        assert!(told.out.contains(named), "{}", told.out);
        assert!(told.out.contains(&format!("widths as read: {widths}")), "{}", told.out);
        for nonsense in ["out of", "round by", "hollow by", "taller", "must pass", "taken as"] {
            assert!(!told.out.contains(nonsense), "'{nonsense}' in {}", told.out);
        }
        let json = home.run(&["--shop", "shop", "survey", "door", "--json"], "").code(1).json();
        for field in ["corners", "bows", "widths", "heights", "smallest", "passage"] {
            assert!(json[field].is_null(), "{field}: {json:#}");
        }
        assert!(json["findings"].as_array().unwrap().is_empty(), "{json:#}");
        assert!(!json["suspects"].as_array().unwrap().is_empty(), "{json:#}");
        let mut bench = Bench::with(&[("door", &[BARE, &read].join("\n"))]);
        bench.press("\rs");
        bench.shows(&format!("as read: {widths}"));
        let flat = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
        for nonsense in ["errors drawn", "round by", "taller", "out of"] {
            assert!(!flat.contains(nonsense), "'{nonsense}' on {}", bench.text());
        }
    }
}
