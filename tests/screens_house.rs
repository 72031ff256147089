//! The house and the finishes on the page of tools, through real keys at three sizes.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::tools_page::all_rows;
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
