//! What the flush page says agrees with itself, in every unit: amounts that show as nothing are left, and what is called
//! wind is said with a figure.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::prepare::flushness::{LeafFlush, flushes};
use evenreveal::bench::prepare::told;
use evenreveal::fit::length::Show;
use evenreveal::shop::settings::Settings;
use screen_bench::{Bench, SINGLE};

const HUNG: &str = r#"{"event":"hung","leaf":"A","motion":{"hung":{"hinges":["3","23"],"pack":"0","let_in":"0","stock":[],
    "adjust":{"depth":{"from":"-1/8","to":"1/8"STEP}}}}}"#;

const SHOWS: [Show; 3] = [Show::Fraction(64), Show::DecimalInch(3), Show::Millimetre(1)];

/// What is told of these corners (lower left, lower right, upper left, upper right), and of what they tell it.
fn told(show: Show, corners: [&str; 4], step: &str) -> (LeafFlush, String) {
    let settings = Settings { show, ..Settings::default() };
    let step = if step.is_empty() { String::new() } else { format!(r#","step":"{step}""#) };
    let flush =
        format!(r#"{{"event":"flush","leaf":"A","corners":{},"hinges":["3","23"]}}"#, serde_json::json!(corners));
    let events = format!("{SINGLE}\n{}\n{flush}", HUNG.replace("STEP", &step));
    let mut bench = Bench::in_shop(settings, &[("door", &events)]);
    bench.press("\r");
    let state = &bench.session.opened.as_ref().unwrap().state;
    let leaf = flushes(state, &bench.session.shop.settings).remove(0);
    let lines: Vec<String> = told::flush(&leaf, show).into_iter().map(|line| line.text).collect();
    (leaf, lines.join("\n"))
}

/// Corners 1/32, 0, 1/16, 0: wind 1/128, four times that is 1/32 (by hand). It was "0 at each corner" beside 1/32.
#[test]
fn the_wind_that_is_left_has_a_figure() {
    let figures = [("0.008", "1/32"), ("0.008", "0.031"), ("0.20 mm", "0.79 mm")];
    for (show, (wind, off)) in SHOWS.into_iter().zip(figures) {
        let (_, text) = told(show, ["1/32", "0", "1/16", "0"], "");
        assert!(text.contains(&format!("the wind left, {wind} at each corner, does not show")), "{text}");
        assert!(text.contains(&format!("stands off the other three by {off}, four times the wind")), "{text}");
    }
}

#[test]
fn without_wind_none_is_named() {
    for show in SHOWS {
        let (_, text) = told(show, ["1/16", "0", "1/16", "0"], "");
        assert!(text.contains("move the hinges; it has no wind"), "{text}");
        assert!(!text.contains("stands off"), "{text}");
    }
}

/// No amount of nothing is moved: `0.0mm forward`, `0.000 back` were told where shops do not count in fractions.
#[test]
fn a_move_of_nothing_is_left() {
    for show in SHOWS {
        // The lower hinge stands right: only the upper one is moved.
        let (leaf, text) = told(show, ["-3/460", "0", "1/20", "0"], "");
        let lower = text
            .lines()
            .find(|line| line.contains("hinge 3"))
            .or_else(|| text.lines().find(|line| line.contains("hinge 76")))
            .unwrap();
        for nothing in [" 0 ", " 0.000 ", " 0.0mm "] {
            assert!(!format!(" {}", text.replace('\n', " \n")).contains(&format!(":{nothing}")), "{text}");
        }
        let turn = leaf.turns().into_iter().find(|turn| turn.hinge.inches() < 4.0).unwrap();
        assert_eq!(turn.forward.is_zero(), lower.contains("leave it"), "{lower} {turn:?}");
    }
}

/// A screw that clicks by 1/16 is not turned for less than half a click.
#[test]
fn less_than_half_a_click_of_the_screw_is_left() {
    // No wind: the lower hinge is to go back by a click, the upper one by 0.0125 (by hand), within the tolerance.
    let (leaf, text) = told(Show::Fraction(64), ["0.07", "0.065", "0.005", "0"], "1/16");
    let turns: Vec<f64> = leaf.turns().iter().map(|turn| turn.forward.inches()).collect();
    assert_eq!(turns, [-0.0625, 0.0], "{text}");
    assert!(text.contains("\nhinge 3 up: 1/16 back, by its depth screw\nhinge 23 up: leave it\n"), "{text}");
    // More than the tolerance, and less than half a click.
    let (leaf, text) = told(Show::Fraction(64), ["1/50", "0", "1/50", "0"], "1/16");
    assert!(leaf.turns().is_empty(), "{:?}", leaf.turns());
    assert!(
        text.contains("! hinge 3 up: 1/64 back; its depth screw turns by more at once, shim or let in 1/64"),
        "{text}"
    );
    let (leaf, text) = told(Show::Fraction(64), ["1/16", "0", "1/16", "0"], "1/16");
    assert_eq!(leaf.turns().len(), 2);
    assert!(text.contains("1/16 back, by its depth screw"), "{text}");
}

/// A screw at its end is not said to reach 0.
#[test]
fn a_screw_at_its_end_is_said_so() {
    let events = HUNG.replace("STEP", "").replace("-1/8", "0");
    let flush = r#"{"event":"flush","leaf":"A","corners":["1/16","0","1/16","0"],"hinges":["3","23"]}"#;
    let mut bench = Bench::with(&[("door", &format!("{SINGLE}\n{events}\n{flush}"))]);
    bench.press("\rf");
    bench.shows("1/16 back; its depth screw is at its end, shim or let in 1/16");
}
