//! Several leaves in one opening, fronts stacked and pairs, through keys at three sizes: whose is whose must be seen.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SIZES};

/// The rows in which a leaf's name stands alone inside the frame of the picture, from the top.
fn named(bench: &Bench, size: (u16, u16), name: char) -> Vec<usize> {
    let text = screen_bench::text(&bench.buffer(size, evenreveal::screen::theme::Palette::Colour));
    let inside = |row: &str| row.split('\u{2503}').nth(1).map(str::to_owned);
    let holds = |row: &str| {
        inside(row).is_some_and(|row| row.split(|c: char| !c.is_alphanumeric()).any(|word| word == name.to_string()))
    };
    text.lines().enumerate().filter(|(_, row)| holds(row)).map(|(place, _)| place).collect()
}

/// Each name stands once, and `names` stand in this order from the top.
#[track_caller]
fn are_named_from_the_top(bench: &Bench, names: &[char]) {
    for size in SIZES {
        let rows: Vec<Vec<usize>> = names.iter().map(|name| named(bench, size, *name)).collect();
        assert!(rows.iter().all(|rows| rows.len() == 1), "{names:?} in {rows:?} at {size:?}");
        assert!(rows.is_sorted(), "{names:?} in {rows:?} at {size:?}");
    }
}

fn three_fronts() -> Bench {
    let mut bench = Bench::with(&[]);
    bench.press("nkitchen\r");
    for _ in 0..4 {
        bench.key(KeyCode::Right, KeyModifiers::NONE);
    }
    bench.press("\r15 13/16\r7 1/2\r\r\r");
    bench
}

/// A small screen once named the middle box "A", and the bottom one not at all.
#[test]
fn three_fronts_bear_their_own_names() {
    let mut bench = three_fronts();
    are_named_from_the_top(&bench, &['C', 'B', 'A']);
    bench.is_as_kept("110_three_fronts");
    bench.press("r");
    bench.shows("A, left edge");
    are_named_from_the_top(&bench, &['C', 'B', 'A']);
    bench.is_as_kept("111_three_fronts_read");
}
