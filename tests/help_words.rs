//! `?` opens the keys and words wherever it can be no part of what is typed, F1 elsewhere; and the words explained
//! are those of the screen that is there.

#[allow(dead_code)]
#[path = "common/screen_bench.rs"]
mod screen_bench;

use evenreveal::bench::{Overlay, Screen};
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{BARE, Bench, SIZES, text};

/// Presses `key` and says what is then on the screen at every size; closes it again.
#[track_caller]
fn help_by(bench: &mut Bench, key: KeyCode) -> Vec<String> {
    bench.key(key, KeyModifiers::NONE);
    assert_eq!(bench.session.overlay, Some(Overlay::Help), "no help on\n{}", bench.text());
    let shown = SIZES.map(|size| text(&bench.buffer(size, evenreveal::screen::theme::Palette::Plain)));
    bench.press("\u{1b}");
    assert_eq!(bench.session.overlay, None);
    shown.to_vec()
}

/// The lines of the window, each by its first word or words.
#[track_caller]
fn explains(shown: &[String], words: &[&str], not: &[&str]) {
    for text in shown {
        let has = |word: &str| {
            let start = format!("│ {word:<12} ");
            text.lines().any(|line| line.contains(&start))
        };
        for word in words {
            assert!(has(word), "'{word}' is not explained in\n{text}");
        }
        for word in not {
            assert!(!has(word), "'{word}' is explained, and nothing there uses it, in\n{text}");
        }
    }
}

const MARK: KeyCode = KeyCode::Char('?');

#[test]
fn a_question_mark_opens_the_help_where_nothing_is_typed() {
    for keys in ["", "\r", "\rg", "\rw", "\rb", "\rl", "v", "a", "i", "t", "x"] {
        let mut bench = Bench::new();
        bench.press(keys);
        help_by(&mut bench, MARK);
    }
}

#[test]
fn a_question_mark_opens_the_help_where_a_reading_is_asked_about() {
    let mut bench = Bench::new();
    bench.press("\rr");
    for _ in 0..11 {
        bench.press("1/16\r");
    }
    bench.press("1/4\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Readings(entry)) if entry.asked.is_some()));
    explains(&help_by(&mut bench, MARK), &["gap"], &["pad"]);
    assert!(
        matches!(bench.session.screen(), Some(Screen::Readings(entry)) if entry.asked.is_some()),
        "the question stands as it did"
    );
}

/// Neither a reading nor a length nor a choice has a question mark in it.
#[test]
fn a_question_mark_opens_the_help_where_only_figures_are_typed() {
    let mut bench = Bench::new();
    bench.press("\rr");
    bench.press("1/1");
    explains(&help_by(&mut bench, MARK), &["feeler", "lap"], &["hollow"]);
    bench.press("6");
    bench.shows("gap: 1/16_");
    let mut bench = Bench::new();
    for keys in ["\rs", "\rf", "\rh", "\rbm"] {
        bench.press(keys);
        help_by(&mut bench, MARK);
        assert!(bench.session.form().is_some_and(|form| form.fields.iter().all(|one| !one.value().contains('?'))));
        bench.press("\u{1b}\u{1b}\u{1b}");
        assert!(matches!(bench.session.screen(), Some(Screen::Shop(_))), "{}", bench.text());
    }
    // A name may have a question mark, its size not.
    bench.press("nwhose?");
    bench.shows("whose?_");
    bench.shows("F1 these keys");
    help_by(&mut bench, KeyCode::F(1));
    bench.press("\t");
    help_by(&mut bench, MARK);
    bench.press("\t12");
    help_by(&mut bench, MARK);
    bench.shows("12_");
    bench.shows("? all keys");
}

#[test]
fn every_form_explains_its_own_words() {
    const OTHERS: [&str; 3] = ["hollow", "proud", "shy"];
    let dir = tempfile::tempdir().unwrap();
    let mut bench = Bench::on(dir);
    explains(&help_by(&mut bench, MARK), &["feeler", "layer", "tape"], &OTHERS);
    let mut bench = Bench::new();
    bench.press("n");
    explains(&help_by(&mut bench, KeyCode::F(1)), &["leaf", "reveal", "hinge side", "pair"], &OTHERS);
    bench.press("\u{1b}\r");
    bench.press("s");
    explains(&help_by(&mut bench, MARK), &["bow", "hollow", "round"], &["proud", "shy", "feeler", "reveal", "tape"]);
    bench.press("\u{1b}f");
    explains(&help_by(&mut bench, MARK), &["proud", "shy", "wind"], &["hollow", "reveal"]);
    bench.press("\u{1b}bm");
    explains(&help_by(&mut bench, MARK), &["stile", "rail", "tenon", "groove", "float", "allowance"], &OTHERS);
    bench.press("\u{1b}\u{1b}n");
    let shown = help_by(&mut bench, KeyCode::F(1));
    explains(&shown, &[], &["opening", "leaf", "reveal", "hollow", "proud", "shy"]);
    assert!(shown.iter().all(|text| text.contains("next field") && !text.contains("next choice")), "{}", shown[0]);
    bench.press("\u{1b}k");
    let shown = help_by(&mut bench, KeyCode::F(1));
    explains(&shown, &[], &["opening", "reveal", "hollow"]);
    assert!(shown.iter().all(|text| !text.contains("next field")), "there is one field only\n{}", shown[0]);
    bench.press("\u{1b}h ");
    explains(&help_by(&mut bench, MARK), &["butts", "pack", "let in"], &OTHERS);
}

#[test]
fn the_search_box_has_help_of_its_own() {
    let mut bench = Bench::new();
    bench.press("/what?");
    bench.shows("what?_");
    bench.shows("F1 these keys");
    let shown = help_by(&mut bench, KeyCode::F(1));
    explains(&shown, &["opening"], &["leaf", "reveal", "hollow", "proud", "shy"]);
    assert!(shown.iter().all(|text| !text.contains("next field") && !text.contains("choice")), "{}", shown[0]);
    bench.shows("what?_");
}

/// A pin is typed in once the leaf is said to be made of something.
#[test]
fn what_is_typed_of_a_leaf_and_of_the_tools_explains_itself() {
    let mut bench = Bench::with(&[("bare", BARE)]);
    bench.press("t");
    bench.press("\r");
    bench.shows("F1 these keys");
    help_by(&mut bench, KeyCode::F(1));
    bench.press("\u{1b}");
    for _ in 0..3 {
        bench.key(KeyCode::Down, KeyModifiers::NONE);
    }
    help_by(&mut bench, MARK);
}
