//! The figures of a set-up sheet: each is one number, and they add up to the last digit shown. What comes off at the
//! end that is kissed, with what rounding leaves there, is the move; so is a mark of a guide line.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::batch::waiting;
use evenreveal::bench::sheet_words;
use evenreveal::bench::sheets::Sheet;
use evenreveal::cut::job::{End, Method};
use evenreveal::cut::setup::Setup;
use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::Record;
use evenreveal::shop::settings::Settings;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::Bench;
use serde_json::json;

/// The settings of a shop that answered the first of the three questions with millimetres, by keys.
fn metric() -> Settings {
    let mut bench = Bench::on(tempfile::tempdir().unwrap());
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r\r");
    bench.session.shop.settings.clone()
}

#[test]
fn a_shop_made_in_millimetres_starts_with_steps_of_a_metric_rule() {
    let settings = metric();
    assert_eq!(settings.show, Show::Millimetre(1));
    let tenths = |tenths: i64| Length::ratio(tenths, 254);
    assert_eq!(settings.saws[0].finest_move, tenths(2));
    assert_eq!([settings.saws[0].fence_before, settings.saws[0].fence_behind], [tenths(4000), tenths(3500)]);
    assert_eq!(settings.sleds[0].fence, tenths(7500));
    assert!(settings.saws.iter().all(|saw| !saw.measured), "still to be replaced by the shop's own");
    assert_eq!(settings.kit().mark, tenths(2));
    // What somebody has changed stays.
    let mut bench = Bench::on(tempfile::tempdir().unwrap());
    bench.session.shop.settings.saws[0].kerf = tenths(24);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r\r");
    assert_eq!(bench.session.shop.settings.saws[0].kerf, tenths(24));
    assert_eq!(bench.session.shop.settings.saws[0].finest_move, Length::ratio(1, 128));
}

/// Set-ups of a random door (invented) with all its edges to cut, in a shop with these settings.
fn sheets(rng: &mut ChaCha8Rng, settings: &Settings) -> Vec<Sheet> {
    let mut size = || Length::ratio(rng.random_range(6 * 64..26 * 64), 64).canonical();
    let (width, height) = (size(), size());
    let mut off = || Length::ratio(rng.random_range(0..1_200), 10_000).canonical();
    let trims: Vec<_> = ["left", "right", "bottom", "top"]
        .map(|edge| json!({ "leaf": "A", "edge": edge, "start": off(), "end": off() }))
        .into();
    let reading = json!([{ "between": ["A.right", "frame"], "readings": [{ "at": "1", "gap": "1/64" }] }]);
    let events = [
        json!({ "event": "opening", "gaps": [{ "between": ["A.right", "frame"], "target": "3/32" }] }),
        json!({ "event": "leaf", "leaf": "A", "width": width, "height": height, "hinge": "left" }),
        json!({ "event": "readings", "round": 1, "gaps": reading }),
        json!({ "event": "plan", "round": 1, "verdict": "cut", "trims": trims }),
    ];
    let event = |(n, event): (u64, serde_json::Value)| Record {
        n,
        at: String::new(),
        event: serde_json::from_value(event).unwrap(),
    };
    let state = OpeningState::replay(&(1..).zip(events).map(event).collect::<Vec<_>>());
    waiting("door", "door", &state, settings).rows.into_iter().map(|row| row.sheet).collect()
}

/// A figure as it stands there, in hundredths of a millimetre or thousandths of an inch.
fn read(text: &str, unit: Unit) -> f64 {
    let length = Length::parse_signed(text.trim_start_matches('+').trim(), unit).unwrap_or_else(|why| panic!("{why}"));
    if unit == Unit::Millimetre { length.inches() * 2540.0 } else { length.inches() * 1000.0 }
}

/// What is shown of wood and of rounding, at both ends.
fn shown(sheet: &Sheet, show: Show) -> [[f64; 2]; 2] {
    let wood = [sheet.trim.start, sheet.trim.end].map(|end| end.shown_down(show));
    let told = sheet_words::trim(sheet, show);
    assert!(wood.iter().all(|text| told.contains(&format!("{text} off the "))), "{wood:?} in {told}");
    let errors = sheet_words::errors(sheet, show);
    let errors = errors.trim_start_matches("rounding leaves ").split(", ").collect::<Vec<_>>();
    let error = |place: usize| {
        let words: Vec<&str> = errors[place].split(' ').collect();
        read(&words[..words.len() - 1].join(""), show.unit())
    };
    [[read(&wood[0], show.unit()), read(&wood[1], show.unit())], [error(0), error(1)]]
}

/// One number each: no residue beside it.
fn one_number(lines: &[String]) {
    for line in lines {
        let residue = line.split(' ').zip(line.split(' ').skip(1)).any(|(before, word)| {
            let number = |text: &str| text.trim_end_matches("mm").ends_with(|letter: char| letter.is_ascii_digit());
            number(before) && (word.starts_with("-0.") || word.starts_with("+0."))
        });
        assert!(!residue, "{line}");
    }
}

#[test]
fn a_sheet_adds_up_to_the_last_digit_shown() {
    let mut rng = ChaCha8Rng::seed_from_u64(53);
    let inches = |show: Show| Settings { show, ..Settings::default() };
    // A shop that went over to millimetres later still has a fence of 128ths.
    let later = Settings { show: Show::Millimetre(1), ..Settings::default() };
    let mut met = Vec::new();
    for (settings, digits) in [(metric(), 1.0), (later, 1.0), (inches(Show::DecimalInch(3)), 1.0)] {
        let show = settings.show;
        for case in 0..40 {
            let ranking = if case % 4 == 0 { vec![Method::GuideLine] } else { Vec::new() };
            for sheet in sheets(&mut rng, &Settings { ranking, ..settings.clone() }) {
                let [wood, errors] = shown(&sheet, show);
                one_number(&sheet_words::steps(&sheet, show));
                let figures = sheet_words::figures(&sheet, show);
                let first = read(&figures[0].1, show.unit());
                let end = |end: End| usize::from(end == End::End);
                let sums = match &sheet.sheet.setup {
                    Setup::Rip(rip) => vec![(end(rip.kiss), first)],
                    Setup::Sled(sled) => vec![(end(sled.kiss), first)],
                    Setup::GuideLine(_) => vec![(0, first), (1, read(&figures[1].1, show.unit()))],
                    Setup::Plane(planing) => {
                        let one = read(&sheet_words::shaving(planing.shaving, show), show.unit());
                        let strokes = f64::from(planing.full);
                        let off = wood[end(planing.thin)] + errors[end(planing.thin)] - strokes * one;
                        // The shaving is rounded once, and counted that often.
                        assert!(off.abs() <= 1.0 + 0.05 * strokes + 1e-6, "{off} {sheet:?}");
                        vec![]
                    }
                    Setup::SandingBlock(_) => vec![],
                };
                for (end, set) in sums {
                    let sum = wood[end] + errors[end];
                    assert!(
                        (sum - set).abs() <= digits + 1e-6,
                        "{sum} for {set}: {:?}",
                        sheet_words::whole(&sheet, show)
                    );
                }
                met.push(sheet.sheet.setup.method());
            }
        }
    }
    for method in [Method::Rip, Method::Sled, Method::GuideLine, Method::Plane] {
        assert!(met.iter().filter(|met| **met == method).count() > 10, "{method:?}: {met:?}");
    }
}

#[test]
fn wood_of_a_metric_shop_is_shown_to_the_hundredth_and_never_more_than_it_is() {
    let show = Show::Millimetre(1);
    let shown = |numerator, denominator| Length::ratio(numerator, denominator).shown_down(show);
    // 1.5875, 0.79375, 2.088, 1.6 and 2 mm.
    assert_eq!(shown(1, 16), "1.58mm");
    assert_eq!(shown(1, 32), "0.79mm");
    assert_eq!(shown(82_205, 1_000_000), "2.08mm");
    assert_eq!(shown(16, 254), "1.6mm");
    assert_eq!(shown(20, 254), "2.0mm");
}
