//! The forms at a set-up sheet: they stand there filled with what is known, looking at them keeps nothing, and
//! what is typed must lie on the leaf. What a cut took is asked with the figures of its sheet.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::{Screen, sheet_words};
use evenreveal::cut::job::Method;
use evenreveal::cut::words::Refusal;
use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::screen::theme::Palette;
use evenreveal::shop::event::{CutDone, Event};
use evenreveal::shop::settings::Settings;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SINGLE, SIZES};

const ESC: &str = "\u{1b}";
const LATCH: &str = r#"{"leaf":"A","edge":"right","start":"1/16","end":"7/64"}"#;
const BOTTOM: &str = r#"{"leaf":"A","edge":"bottom","start":"1/32","end":"1/16"}"#;

fn events(trims: &str) -> String {
    format!(
        r#"{SINGLE}
        {{"event":"readings","round":1,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}
        {{"event":"plan","round":1,"verdict":"cut","trims":[{trims}]}}"#
    )
}

/// The single door with this plan accepted, at its set-up sheet.
fn planned(trims: &str) -> Bench {
    in_shop(Settings { name: "a shop".to_owned(), ..Settings::default() }, trims)
}

fn in_shop(settings: Settings, trims: &str) -> Bench {
    let mut bench = Bench::in_shop(settings, &[("left door", &events(trims))]);
    bench.press("\rc");
    bench
}

impl Bench {
    fn rip_refused(&self) -> Option<Refusal> {
        let Some(Screen::Record(record)) = self.session.screen() else { panic!("{}", self.text()) };
        let sheet = &record.sheet.as_ref().unwrap().sheet;
        sheet.refused.iter().find(|refused| refused.method == Method::Rip).map(|refused| refused.why)
    }

    fn typed(&self) -> Option<Vec<String>> {
        let Some(Screen::Record(record)) = self.session.screen() else { return None };
        let form = record.typing.as_ref()?.form();
        Some(form.fields.iter().map(|field| field.value().to_owned()).collect())
    }

    fn events_kept(&self) -> usize {
        self.session.opened.as_ref().unwrap().records.len()
    }

    fn said(&self) -> String {
        self.session.said.as_ref().map_or_else(String::new, |said| said.text.clone())
    }

    fn cut(&self) -> CutDone {
        let records = self.session.opened.as_ref().unwrap().records.iter();
        let cut = |event: &Event| if let Event::Cut(cut) = event { Some(cut.clone()) } else { None };
        records.filter_map(|record| cut(&record.event)).next_back().unwrap()
    }
}

#[test]
fn looking_at_what_was_declared_keeps_it_and_the_rip_stays_refused() {
    for (key, typed, refusal) in
        [("b", "0 to 3", Refusal::NoWoodToBearOn), ("t", "1/32", Refusal::ReferenceNotStraight)]
    {
        let mut bench = planned(LATCH);
        assert_eq!(bench.rip_refused(), None);
        bench.press(&format!("{key}\r{typed}\r"));
        assert_eq!(bench.rip_refused(), Some(refusal));
        let kept = bench.events_kept();
        bench.press(key);
        assert_eq!(bench.typed().unwrap(), ["left", typed], "the form is filled with what is known");
        bench.press("\r\r");
        assert_eq!((bench.typed(), bench.events_kept()), (None, kept), "{}", bench.said());
        assert!(bench.said().contains("nothing is kept"), "{}", bench.said());
        assert_eq!(bench.rip_refused(), Some(refusal), "{}", bench.text());
        assert!(!bench.text().contains("kiss"), "numbers of a refused set-up\n{}", bench.text());
        // Looked at and left, or looked at after a restart of the screen: the same.
        bench.press(&format!("{key}{ESC}{ESC}c{key}\r\r"));
        assert_eq!((bench.events_kept(), bench.rip_refused()), (kept, Some(refusal)));
    }
}

#[test]
fn nothing_is_declared_by_looking_at_a_form_of_which_nothing_is_known() {
    for (trims, keys) in [(LATCH, ["w", "b", "t"]), (BOTTOM, ["s", "b", "t"])] {
        let mut bench = planned(trims);
        let kept = bench.events_kept();
        for key in keys {
            bench.press(key);
            assert_eq!(bench.typed().unwrap()[1], "", "{key}: nobody measured it");
            bench.press("\r\r");
            assert_eq!((bench.typed(), bench.events_kept()), (None, kept), "{key}: {}", bench.said());
        }
    }
    // Straight, square and wood all along are said by saying so.
    let mut bench = planned(LATCH);
    bench.press("t\r0\r");
    let Some(Event::Measured(said)) = bench.session.opened.as_ref().unwrap().records.last().map(|one| &one.event)
    else {
        panic!("{}", bench.said())
    };
    assert!(said.bow.is_some_and(|bow| bow.bow.is_zero()), "{said:?}");
}

#[test]
fn another_edge_picked_shows_what_is_known_of_that_edge() {
    let mut bench = planned(LATCH);
    bench.press("b\r2 to 3; 4 to 5 1/2\r");
    let kept = bench.events_kept();
    bench.press("b");
    assert_eq!(bench.typed().unwrap(), ["left", "2 to 3; 4 to 5 1/2"]);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    assert_eq!(bench.typed().unwrap(), ["right", ""], "of the right edge nothing is known");
    bench.press("\r\r");
    assert_eq!(bench.events_kept(), kept);
    // What was typed stays typed whichever edge is picked.
    bench.press("b\r; 7 to 8");
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    assert_eq!(bench.typed().unwrap(), ["right", "2 to 3; 4 to 5 1/2; 7 to 8"]);
    bench.press(ESC);
    // Wood all along again: said by emptying the field, and only so.
    let back = "\u{8}".repeat(40);
    bench.press("b");
    bench.key(KeyCode::Left, KeyModifiers::NONE);
    bench.press(&format!("\r{back}\r"));
    assert_eq!(bench.events_kept(), kept + 1);
    bench.press("b");
    assert_eq!(bench.typed().unwrap()[1], "");
}

#[test]
fn widths_once_measured_stand_in_the_form_and_a_look_at_them_keeps_nothing() {
    let mut bench = planned(LATCH);
    bench.press("w10.992\r10 63/64\r");
    let kept = bench.events_kept();
    bench.press("w");
    assert_eq!(bench.typed().unwrap(), ["10.992", "10 63/64"], "as measured, to the thousandth");
    bench.press("\r\r");
    assert_eq!(bench.events_kept(), kept);
}

/// A width that was tracked through a cut stood there with all its digits (15.3749); shown as the shop says lengths it
/// is still exactly that while nobody touches it.
#[test]
fn a_width_stands_rounded_and_is_kept_exactly() {
    let sizes = |bench: &Bench| bench.session.opened.as_ref().unwrap().state.measured.clone();
    for (show, typed, wanted) in [
        (Show::Fraction(64), "15.3749", ["15 3/8", "10 63/64"]),
        (Show::Fraction(64), "15.3717", ["15.372", "10 63/64"]),
        (Show::DecimalInch(2), "15.3749", ["15.375", "10.984"]),
        (Show::Millimetre(1), "15.3749in", ["390.52mm", "279.0mm"]),
    ] {
        let settings = Settings { name: "a shop".to_owned(), show, ..Settings::default() };
        let mut bench = in_shop(settings, LATCH);
        bench.press(&format!("w{typed}\r10 63/64in\r"));
        let first = sizes(&bench)[0].what.widths.unwrap();
        bench.press("w");
        assert_eq!(bench.typed().unwrap(), wanted, "{show:?}");
        bench.press("\r\r");
        assert_eq!(sizes(&bench).len(), 1, "nothing new was said");
        // One is typed anew, the other is left as it stands: it keeps what rounding does not show.
        bench.press("w\r11in\r");
        let second = sizes(&bench)[1].what.widths.unwrap();
        assert_eq!(second, [first[0], Length::ratio(11, 1)], "{show:?}");
        // What stands there is typed over it: that is another width, which somebody read off a rule.
        bench.press(&format!("w{}\r\r", wanted[0]));
        let third = sizes(&bench)[2].what.widths.unwrap();
        assert_eq!(third, [Length::parse(wanted[0], show.unit()).unwrap(), Length::ratio(11, 1)], "{show:?}");
    }
}

/// Corner and stretches, too: the ones that are not touched stay to the last digit.
#[test]
fn a_corner_and_stretches_stand_rounded_and_are_kept_exactly() {
    let mut bench = planned(BOTTOM);
    bench.press("s\r0.00391\r");
    bench.press("s");
    assert_eq!(bench.typed().unwrap()[1], "0.004");
    let kept = bench.events_kept();
    bench.press("\r\r");
    assert_eq!(bench.events_kept(), kept);
    bench.press("b\r2.00017 to 5 1/2\r");
    bench.press("b");
    assert_eq!(bench.typed().unwrap()[1], "2 to 5 1/2");
    bench.press("\r; 7 to 8\r");
    let measured = &bench.session.opened.as_ref().unwrap().state.measured;
    let stretches = &measured.last().unwrap().what.no_contact.as_ref().unwrap().stretches;
    assert_eq!(stretches[0][0], Length::parse("2.00017", Unit::Inch).unwrap());
    assert_eq!(stretches[1], [Length::ratio(7, 1), Length::ratio(8, 1)]);
}

#[test]
fn a_stretch_past_the_end_of_the_edge_is_not_kept() {
    let mut bench = planned(LATCH);
    let kept = bench.events_kept();
    bench.press("b\r20 to 40\r");
    assert_eq!(bench.events_kept(), kept);
    for part in ["20 to 40", "past the end", "left edge is 26 long"] {
        assert!(bench.said().contains(part), "no '{part}' in {}", bench.said());
    }
    bench.press(&format!("{}26\r", "\u{8}".repeat(2)));
    assert_eq!(bench.events_kept(), kept + 1, "{}", bench.said());
}

#[test]
fn the_command_refuses_a_stretch_past_the_end_too() {
    let bench = planned(LATCH);
    let home = program::Home::new();
    let dir = bench.dir.path().display().to_string();
    let enter = |to: &str| {
        let event =
            format!(r#"{{"event":"measured","leaf":"A","no_contact":{{"edge":"left","stretches":[["20","{to}"]]}}}}"#);
        home.run(&["--shop", &dir, "enter", "left door", "-"], &event)
    };
    drop(bench.session);
    drop(bench.runner);
    enter("40").code(2).says(&["no_contact.stretches[0][1]"]);
    enter("26").code(0);
}

/// What the sheet says comes off stands in the heading and in the fields; left so it is recorded unrounded.
#[test]
fn done_otherwise_asks_with_the_figures_of_the_sheet() {
    let sand = r#"{"leaf":"A","edge":"right","start":"0.001","end":"0.003"}"#;
    let deep = r#"{"leaf":"A","edge":"right","start":"5/16","end":"5/32"}"#;
    for (trims, passes, wanted) in [
        (sand, 0, ["0.001", "0.003"]),
        (deep, 0, ["0.104", "0.052"]),
        (deep, 1, ["0.104", "0.052"]),
        (LATCH, 0, ["1/16", "7/64"]),
    ] {
        let mut bench = planned(trims);
        bench.press(&"d".repeat(passes));
        let Some(Screen::Record(record)) = bench.session.screen() else { panic!("{}", bench.text()) };
        let planned = record.sheet.as_ref().unwrap().trim.clone();
        let said = sheet_words::trim(record.sheet.as_ref().unwrap(), bench.session.shop.show());
        bench.press("o");
        assert_eq!(bench.typed().unwrap()[..2], wanted, "{trims} after {passes} passes");
        for size in SIZES {
            let text = screen_bench::text(&bench.buffer(size, Palette::Colour));
            let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(&said), "no '{said}' at {size:?} on\n{text}");
        }
        for end in wanted {
            assert!(said.contains(end), "{said}");
        }
        let fields = bench.typed().unwrap().len();
        bench.press(&"\r".repeat(fields));
        let cut = bench.cut();
        assert_eq!([cut.intended.start, cut.intended.end], [planned.start, planned.end], "{trims}");
        bench.press("u");
        if !matches!(bench.session.screen(), Some(Screen::Record(_))) {
            bench.press("c");
        }
        // What is typed instead is what is kept.
        bench.press(&format!("o{}1/32\r{}", "\u{8}".repeat(12), "\r".repeat(fields - 1)));
        let cut = bench.cut();
        assert_eq!([cut.intended.start, cut.intended.end], [Length::ratio(1, 32), planned.end], "{trims}");
    }
}

#[test]
fn a_cut_by_hand_is_said_to_be_by_hand() {
    let mut bench = planned(LATCH);
    bench.press("o\r\r");
    for _ in 0..6 {
        if bench.typed().unwrap()[2] == "by-hand" {
            break;
        }
        bench.key(KeyCode::Right, KeyModifiers::NONE);
    }
    bench.press("\r");
    assert_eq!(bench.cut().method, "by-hand", "the word of the log stays");
    let home = program::Home::new();
    let dir = bench.dir.path().display().to_string();
    let log = home.run(&["--shop", &dir, "log", "left door"], "").code(0).out;
    assert!(log.contains("round 1 cut by hand: "), "{log}");
    assert!(!log.contains("by-hand") && !log.contains("by by"), "{log}");
}

#[test]
fn a_metric_shop_has_its_cautions_in_millimetres() {
    let metric = Settings { name: "a shop".to_owned(), show: Show::Millimetre(1), ..Settings::default() };
    let mut bench = in_shop(metric, LATCH);
    for screen in ["the sheet", "the batch"] {
        let text = bench.text();
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains("last 300 mm"), "{screen}\n{text}");
        assert!(!flat.contains("12 in"), "{screen}\n{text}");
        bench.press(&format!("{ESC}{ESC}b"));
    }
    let mut inches = planned(LATCH);
    assert!(inches.text().split_whitespace().collect::<Vec<_>>().join(" ").contains("last 12 in"), "{}", inches.text());
    inches.press(ESC);
    assert_eq!(inches.session.shop.show().unit(), Unit::Inch);
}
