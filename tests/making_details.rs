//! How a leaf is made, by keys: what is typed replaces what a field was filled with, and a detail that cannot be is
//! refused where it stands.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::before::blank::Joint;
use evenreveal::fit::length::{Length, Unit};
use evenreveal::shop::making::BuildDescribed;
use screen_bench::{BARE, Bench};

const SURVEY: &str = r#"{"event":"survey","widths":["14","14","14"],"heights":["24","24","24"]}"#;

fn asked() -> Bench {
    let mut bench = Bench::with(&[("left door", &format!("{BARE}\n{SURVEY}"))]);
    bench.press("\rb");
    bench.shows("< frame and panel >");
    bench
}

fn build(bench: &Bench) -> Option<&BuildDescribed> {
    bench.session.opened.as_ref().unwrap().state.making.build("A")
}

fn right(bench: &mut Bench) {
    bench.key(ratatui::crossterm::event::KeyCode::Right, ratatui::crossterm::event::KeyModifiers::NONE);
}

/// The tenon is filled with 1: "1/4" typed there was kept as 11/4, 2 3/4 in, without a word.
#[test]
fn what_is_typed_replaces_what_a_field_was_filled_with() {
    let mut bench = asked();
    bench.press(&"\t".repeat(6));
    right(&mut bench);
    bench.shows("< mortise and tenon >");
    bench.press("\t1/4");
    bench.shows("1/4_");
    assert!(!bench.text().contains("11/4"), "{}", bench.text());
    // Backspace mends what stands there instead.
    bench.press("\t\u{8}\u{8}\u{8}1/2");
    bench.press(&"\r".repeat(9));
    let frame = build(&bench).and_then(|build| build.frame).unwrap_or_else(|| panic!("{}", bench.text()));
    let length = |text: &str| Length::parse(text, Unit::Inch).unwrap();
    assert_eq!((frame.joint, frame.groove), (Joint::MortiseTenon { tenon: length("1/4") }, length("1/2")));
    // Untouched, a field keeps what it was filled with.
    assert_eq!(frame.stiles, [length("2"); 2]);
}

#[test]
fn a_tenon_longer_than_its_stile_is_not_kept() {
    let mut bench = asked();
    bench.press(&"\t".repeat(6));
    right(&mut bench);
    bench.press("\t11 1/4");
    bench.press(&"\r".repeat(10));
    assert_eq!(build(&bench), None);
    let shown = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(shown.contains("the tenon (11 1/4\") does not go into the narrowest stile's width (2\")"), "{shown}");
    // The form is still there, and with a tenon that goes it is kept.
    let at = match bench.session.screen() {
        Some(evenreveal::bench::Screen::Blank(page)) => page.typing.as_ref().map(|form| form.at),
        _ => None,
    };
    assert_eq!(at, Some(16), "{shown}");
}
