//! High contrast, kept with the settings, and NO_COLOR over it; in a real terminal.
#![cfg(unix)]

#[path = "common/sample_copy.rs"]
mod sample_copy;
#[path = "common/terminal.rs"]
#[allow(dead_code)]
mod terminal;

use portable_pty::CommandBuilder;
use std::collections::BTreeSet;
use std::path::Path;
use terminal::Terminal;

/// Inks and grounds on the screen, but the terminal's own.
fn colours(terminal: &Terminal) -> (BTreeSet<String>, BTreeSet<String>) {
    let parser = terminal.parser.lock().unwrap();
    let places = (0..24).flat_map(|y| (0..80).map(move |x| (y, x)));
    let cells: Vec<_> = places.filter_map(|(y, x)| parser.screen().cell(y, x).cloned()).collect();
    let set = |of: fn(&vt100::Cell) -> vt100::Color| {
        cells.iter().map(of).filter(|colour| *colour != vt100::Color::Default).map(|one| format!("{one:?}")).collect()
    };
    (set(vt100::Cell::fgcolor), set(vt100::Cell::bgcolor))
}

/// The plan of the pair: tight gaps and cautions, which have a full ground where contrast is high.
fn at_the_plan(shop: &Path, flag: bool, environment: &[(&str, &str)]) -> Terminal {
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop");
    command.arg(shop);
    if flag {
        command.arg("--contrast");
    }
    let mut terminal = Terminal::run(command, shop, 24, 80, environment);
    terminal.sees("Pair below");
    terminal.press("/pair\r\r");
    terminal.sees("gaps drawn");
    terminal.press("p");
    terminal.sees("accept");
    terminal.sees("TRIM IT");
    terminal
}

fn leave(mut terminal: Terminal) {
    terminal.press("\u{3}");
    assert!(terminal.ended());
    terminal.is_given_back();
}

#[test]
fn contrast_is_kept_and_no_color_goes_before_it() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample_copy::sample(dir.path());
    let usual = at_the_plan(&shop, false, &[]);
    let (inks, grounds) = colours(&usual);
    assert!(inks.contains("Idx(166)") && grounds.is_empty(), "{inks:?} {grounds:?}");
    leave(usual);

    // Asked for once, on the command line: full grounds; nothing is kept.
    let settings = || std::fs::read_to_string(shop.join("shop.json")).unwrap();
    let once = at_the_plan(&shop, true, &[]);
    let (_, grounds) = colours(&once);
    assert!(grounds.contains("Idx(214)") && grounds.contains("Idx(226)"), "{grounds:?}");
    leave(once);
    assert!(!settings().contains("contrast"));

    // Set in the tools page: at once, and at the next start, too.
    let mut terminal = Terminal::start(&shop, 24, 80, &[]);
    terminal.sees("Pair below");
    terminal.press("t");
    terminal.sees("tools, stock and settings");
    for _ in 0..60 {
        terminal.press("\u{1b}[B");
    }
    terminal.sees("> contrast");
    terminal.press("\u{1b}[C");
    terminal.sees("high: black, white and full grounds");
    let (inks, _) = colours(&terminal);
    assert!(inks.is_empty(), "no grey and no blue letters any more: {inks:?}");
    leave(terminal);
    assert!(settings().contains("\"contrast\": true"), "{}", settings());
    let kept = at_the_plan(&shop, false, &[]);
    let (_, grounds) = colours(&kept);
    assert!(grounds.contains("Idx(214)"), "{grounds:?}");
    leave(kept);

    // NO_COLOR: no colour, whatever the setting and the flag say; bold and reverse stay.
    let plain = at_the_plan(&shop, true, &[("NO_COLOR", "1")]);
    let (inks, grounds) = colours(&plain);
    assert!(inks.is_empty() && grounds.is_empty(), "{inks:?} {grounds:?}");
    let parser = plain.parser.lock().unwrap();
    let bold = (0..24).any(|y| (0..80).any(|x| parser.screen().cell(y, x).is_some_and(vt100::Cell::bold)));
    assert!(bold);
    drop(parser);
    leave(plain);
}
