//! The house and the finishes on the page of tools, through real keys at three sizes.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::tools_page::{SECTIONS, all_rows};
use evenreveal::fit::length::Length;
use screen_bench::Bench;

/// A session on the page, the cursor on the row called `label`.
fn on_row(label: &str) -> Bench {
    let mut bench = Bench::new();
    bench.press("t");
    let rows = all_rows(&bench.session.shop.settings);
    let place = rows.iter().position(|(.., row)| row.label == label).unwrap();
    bench.press(&"j".repeat(place));
    bench
}

#[test]
fn the_house_is_a_starting_value_until_it_is_set() {
    let mut bench = on_row("driest spell");
    bench.shows("30 % humidity at 70 F * starting value");
    bench.is_as_kept("48_house");
    bench.press("\r\u{8}\u{8}25\r\u{8}\u{8}68\r");
    bench.shows("25 % humidity at 68 F");
    assert!(!bench.text().contains("68 F * starting"));
    let climate = bench.session.shop.settings.climate.unwrap();
    assert_eq!((climate.dry.humidity_percent(), climate.dry.temperature_f()), (25.0, 68.0));
    // Drier than the dry end is no damp end; the form stays.
    bench.press("j\r\u{8}\u{8}10\r\r");
    bench.shows("is drier than the dry end");
    bench.shows("10_");
    bench.press("\u{8}\u{8}x\r\r");
    bench.shows("give a number of %");
    bench.press("\u{1b}x");
    assert_eq!(bench.session.shop.settings.climate, None);
}

#[test]
fn a_finish_is_measured_and_added() {
    let mut bench = on_row("lacquer");
    bench.shows("3 coats at 0.0010; sanding takes 0.0020");
    bench.is_as_kept("49_finishes");
    bench.press("\r\t\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}4 x 0.0015\r\r");
    let lacquer = bench.session.shop.settings.finish("lacquer").unwrap();
    // 4 coats of 0.0015 are 0.006.
    assert_eq!(lacquer.film().unwrap(), Length::ratio(6, 1000));
    assert_eq!(bench.session.shop.settings.finishes.len(), 3, "the others stay");
    bench.press("jjj");
    bench.shows("+ add a finish");
    bench.press("\rlacquer\r2 x 0.003\r0\r");
    bench.shows("already");
    bench.press("\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}\u{8}shellac\r\r\r");
    assert_eq!(bench.session.shop.settings.finish("shellac").unwrap().film().unwrap(), Length::ratio(6, 1000));
}

/// Another name measures nothing; another figure is measured.
#[test]
fn only_a_figure_that_changes_is_measured() {
    let settings = evenreveal::shop::settings::Settings::default();
    let (saw, sled) = (settings.saws[0].clone(), settings.sleds[0].clone());
    assert!(!saw.measured && !sled.measured, "starting values");
    let mut bench = on_row(&saw.name);
    bench.press("\rX\r\r\r\r\r");
    let renamed = bench.session.shop.settings.saws[0].clone();
    assert_eq!((renamed.name, renamed.measured), (format!("{}X", saw.name), false), "{}", bench.text());
    bench.shows("starting values of no particular machine");
    bench.press("\r\r\r\r\u{8}\u{8}\u{8}\u{8}\u{8}0.11\r\r");
    assert!(bench.session.shop.settings.saws[0].measured, "{}", bench.text());
    let mut bench = on_row(&sled.name);
    bench.press("\rX\r\r");
    let renamed = bench.session.shop.settings.sleds[0].clone();
    assert_eq!((renamed.name, renamed.measured), (format!("{}X", sled.name), false), "{}", bench.text());
}

/// Each spell and each finish is a starting value until it is set itself.
#[test]
fn each_row_keeps_its_own_mark() {
    let starting = |bench: &Bench| -> Vec<String> {
        let rows = all_rows(&bench.session.shop.settings);
        let ours = |at: usize| SECTIONS[at].title().contains("house") || SECTIONS[at].title().contains("finishes");
        rows.into_iter().filter(|(at, _, row)| ours(*at) && row.starting).map(|(.., row)| row.label).collect()
    };
    let mut bench = on_row("driest spell");
    let all = starting(&bench);
    assert_eq!(all.len(), 6, "{all:?}");
    bench.press("\r\u{8}\u{8}25\r\r");
    assert_eq!(starting(&bench), all[1..]);
    assert_eq!(bench.session.shop.settings.starting_spells(), [false, true, true]);
    // A finish moved is not measured; a finish added leaves the others as they are.
    let mut bench = on_row("lacquer");
    bench.key(ratatui::crossterm::event::KeyCode::Right, ratatui::crossterm::event::KeyModifiers::NONE);
    assert!(!bench.session.shop.settings.finishes.is_empty());
    assert_eq!(starting(&bench).len(), 6);
}

/// A temperature says its own degrees.
#[test]
fn a_temperature_is_of_the_degrees_that_it_says() {
    for (typed, fahrenheit) in [("25C", 77.0), ("25 \u{b0}C", 77.0), ("77F", 77.0), ("77", 77.0)] {
        let mut bench = on_row("driest spell");
        bench.press(&format!("\r\r\u{8}\u{8}{typed}\r"));
        let air = bench.session.shop.settings.climate().dry;
        assert!((air.temperature_f() - fahrenheit).abs() < 1e-9, "{typed}: {air:?}\n{}", bench.text());
    }
    let mut bench = on_row("driest spell");
    bench.press("\r\u{8}\u{8}45F\r\r");
    bench.shows("give a number of %");
    assert_eq!(bench.session.shop.settings.climate, None);
}

/// A change whose taking back could not be kept is taken back by the next press, not the one before it.
#[test]
fn a_take_back_that_failed_is_still_to_be_taken_back() {
    use evenreveal::bench::{Action, Message, update};
    let mut bench = on_row("driest spell");
    let before = bench.session.shop.settings.clone();
    bench.press("\r\u{8}\u{8}25\r\r");
    let first = bench.session.shop.settings.clone();
    bench.press("\r\u{8}\u{8}20\r\r");
    assert_ne!(bench.session.shop.settings, first);
    update(&mut bench.session, Message::Action(Action::Undo));
    update(&mut bench.session, Message::Failed("the disk is full".to_owned()));
    bench.press("u");
    assert_eq!(bench.session.shop.settings, first);
    bench.press("u");
    assert_eq!(bench.session.shop.settings, before);
}
