//! Units are switched at any time and nothing is lost: every stored byte but the unit itself stays, and every page
//! shows its lengths in the unit and to the resolution chosen. By real keys, on a copy of the sample shop.

#[path = "common/sample_copy.rs"]
mod sample_copy;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::tools_page::{all_rows, basics::SHOWS};
use evenreveal::fit::length::Show;
use evenreveal::screen::theme::Palette;
use evenreveal::shop::settings::Settings;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, text};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

fn on_the_sample(dir: &Path) -> Bench {
    let held = tempfile::tempdir_in(dir).unwrap();
    let shop = sample_copy::sample(dir);
    fs::remove_dir(held.path()).unwrap();
    fs::rename(shop, held.path()).unwrap();
    Bench::on(held)
}

/// Every log to the byte, and the settings without the unit.
fn stored(shop: &Path) -> (BTreeMap<String, Vec<u8>>, serde_json::Value) {
    let logs = fs::read_dir(shop.join("openings")).unwrap().map(Result::unwrap);
    let logs = logs.map(|one| (one.file_name().into_string().unwrap(), fs::read(one.path()).unwrap())).collect();
    // As the program reads them: a length may be spelled in more than one way.
    let read: Settings = serde_json::from_slice(&fs::read(shop.join("shop.json")).unwrap()).unwrap();
    (logs, serde_json::to_value(Settings { show: Show::default(), ..read }).unwrap())
}

/// Where two values differ, in words.
fn changed(was: &serde_json::Value, now: &serde_json::Value, path: &str) -> String {
    use serde_json::Value;
    match (was, now) {
        (Value::Object(a), Value::Object(b)) => {
            let keys: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
            let each = keys.into_iter().map(|key| {
                changed(
                    a.get(key).unwrap_or(&Value::Null),
                    b.get(key).unwrap_or(&Value::Null),
                    &format!("{path}.{key}"),
                )
            });
            each.collect()
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            a.iter().zip(b).enumerate().map(|(at, (a, b))| changed(a, b, &format!("{path}[{at}]"))).collect()
        }
        _ if was == now => String::new(),
        _ => format!("{path}: {was} became {now}\n"),
    }
}

/// Puts the cursor of the tools page on the row called so.
fn to_row(bench: &mut Bench, label: &str) {
    let rows = all_rows(&bench.session.shop.settings);
    let wanted = rows.iter().position(|(.., row)| row.label == label).unwrap();
    let Some(Screen::Tools(page)) = bench.session.screen() else { panic!("not the tools page\n{}", bench.text()) };
    let (key, steps) =
        if page.at > wanted { (KeyCode::Up, page.at - wanted) } else { (KeyCode::Down, wanted - page.at) };
    for _ in 0..steps {
        bench.key(key, KeyModifiers::NONE);
    }
}

/// Chooses the unit by keys, from the list and back to it.
fn choose(bench: &mut Bench, show: Show) {
    bench.press("t");
    to_row(bench, "unit");
    let place = |of: Show| SHOWS.iter().position(|known| *known == of).unwrap();
    let (now, then) = (place(bench.session.shop.settings.show), place(show));
    let key = if then < now { KeyCode::Left } else { KeyCode::Right };
    for _ in 0..now.abs_diff(then) {
        bench.key(key, KeyModifiers::NONE);
    }
    assert_eq!(bench.session.shop.settings.show, show);
    bench.press("\u{1b}");
}

/// Looks at every page of the shop and of every opening, at 200x60, and answers what stands on each.
fn every_page(bench: &mut Bench) -> Vec<(String, String)> {
    let mut pages = Vec::new();
    let look = |bench: &Bench, name: String, pages: &mut Vec<_>| {
        pages.push((name, text(&bench.buffer((200, 60), Palette::Colour))));
    };
    for _ in 0..bench.session.shop.openings.len() {
        bench.key(KeyCode::Up, KeyModifiers::NONE);
    }
    look(bench, "list".to_owned(), &mut pages);
    for key in ["t", "i", "v", "a"] {
        bench.press(key);
        look(bench, format!("shop {key}"), &mut pages);
        bench.press("\u{1b}");
    }
    let names: Vec<String> = bench.session.shop.openings.iter().map(|one| one.summary.name.clone()).collect();
    for name in names {
        let place = bench.session.shop.openings.iter().position(|one| one.summary.name == name).unwrap();
        let Some(Screen::Shop(list)) = bench.session.screen() else { panic!("not the list\n{}", bench.text()) };
        let (key, steps) =
            if list.at > place { (KeyCode::Up, list.at - place) } else { (KeyCode::Down, place - list.at) };
        for _ in 0..steps {
            bench.key(key, KeyModifiers::NONE);
        }
        bench.press("\r");
        look(bench, format!("{name}: home"), &mut pages);
        for key in ["r", "p", "p?", "c", "l", "s", "b", "g", "w", "f"] {
            bench.press(key);
            look(bench, format!("{name}: {key}"), &mut pages);
            for _ in 0..4 {
                if !matches!(bench.session.screen(), Some(Screen::Home(_))) || bench.session.overlay.is_some() {
                    bench.press("\u{1b}");
                }
            }
        }
        bench.press("\u{1b}");
    }
    pages
}

/// Denominators of the fractions that stand in a text: `23 7/8`, not `R 5/64-` of a word.
fn denominators(text: &str) -> BTreeSet<u32> {
    let text = &text.replace("(5/16)", "");
    let mut found = BTreeSet::new();
    for (at, _) in text.match_indices('/') {
        let before = text[..at].chars().next_back().is_some_and(|c| c.is_ascii_digit());
        let digits: String = text[at + 1..].chars().take_while(char::is_ascii_digit).collect();
        if let (true, Ok(number)) = (before, digits.parse()) {
            found.insert(number);
        }
    }
    found
}

#[test]
fn switching_the_unit_and_looking_at_every_page_leaves_every_stored_value_as_it_was() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = on_the_sample(dir.path());
    let first = bench.session.shop.settings.show;
    let before = stored(bench.dir.path());
    let seen = every_page(&mut bench);
    let mut strays = Vec::new();
    for show in SHOWS {
        choose(&mut bench, show);
        for (page, text) in every_page(&mut bench) {
            let found = denominators(&text);
            // A form shows what was typed, exact, with its mark; feelers, tools and fence moves are told apart
            // where the shop's resolution would show two alike; a caution gives a rule in both units.
            let [form, own] =
                [[": s", ": b", ": f"], [": r", ": c", " t"]].map(|ends| ends.iter().any(|end| page.ends_with(end)));
            let finest = if let Show::Fraction(finest) = show { u32::from(finest) } else { 0 };
            if form || own && finest > 0 {
                continue;
            }
            let found: BTreeSet<u32> = found.into_iter().filter(|n| *n > finest).collect();
            if !found.is_empty() {
                let lines = text.lines().filter(|line| denominators(line).iter().any(|n| *n > finest));
                strays.push(format!("{page} in {show:?}: {}", lines.map(str::trim).collect::<Vec<_>>().join(" | ")));
            }
        }
        let now = stored(bench.dir.path());
        assert!(now.0 == before.0, "{show:?} changed a log");
        assert!(now.1 == before.1, "{show:?}: {}", changed(&before.1, &now.1, ""));
    }
    assert!(strays.is_empty(), "{}", strays.join("\n"));
    choose(&mut bench, first);
    assert!(stored(bench.dir.path()) == before);
    assert_eq!(every_page(&mut bench), seen, "the pages are what they were");
}

/// Forms opened in another unit and kept as they stand change nothing.
#[test]
fn a_setting_opened_in_another_unit_and_kept_untouched_is_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = on_the_sample(dir.path());
    let (_, before) = stored(bench.dir.path());
    for show in SHOWS {
        choose(&mut bench, show);
        bench.press("t");
        let rows = all_rows(&bench.session.shop.settings);
        for (place, (.., row)) in rows.iter().enumerate().filter(|(_, (.., row))| !row.label.starts_with('+')) {
            let Some(Screen::Tools(page)) = bench.session.screen() else { panic!("not the tools page") };
            let (key, steps) =
                if page.at > place { (KeyCode::Up, page.at - place) } else { (KeyCode::Down, place - page.at) };
            for _ in 0..steps {
                bench.key(key, KeyModifiers::NONE);
            }
            bench.press("\r");
            for _ in 0..20 {
                if matches!(bench.session.screen(), Some(Screen::Tools(page)) if page.typing.is_some()) {
                    bench.press("\r");
                }
            }
            let (_, mut now) = stored(bench.dir.path());
            // Whoever keeps the form of a machine says that these are its measures.
            for machine in ["saws", "sleds", "planes", "stock"] {
                for (now, before) in
                    now[machine].as_array_mut().unwrap().iter_mut().zip(before[machine].as_array().unwrap())
                {
                    now["measured"] = before["measured"].clone();
                }
            }
            // Climate and finishes that nobody set are starting values; kept, they are the shop's own.
            for kept in ["climate", "finishes"].into_iter().filter(|kept| before.get(kept).is_none()) {
                now.as_object_mut().unwrap().remove(kept);
            }
            assert!(now == before, "{} in {show:?}: {}", row.label, changed(&before, &now, ""));
        }
        bench.press("\u{1b}");
    }
}
