//! What is typed and not kept yet outlives the program; a long burst of keys is read to its end; pasted text is text.
#![cfg(unix)]

#[path = "common/terminal.rs"]
#[allow(dead_code, reason = "the other file of terminal tests needs the rest of it")]
mod terminal;

#[path = "common/one_door.rs"]
mod one_door;

use one_door::shop;
use std::path::Path;
use std::time::{Duration, Instant};
use terminal::Terminal;

fn terminal(shop: &Path) -> Terminal {
    let terminal = Terminal::start(shop, 24, 80, &[]);
    terminal.sees("left door");
    terminal
}

fn log(shop: &Path) -> String {
    std::fs::read_to_string(shop.join("openings/left door.jsonl")).unwrap()
}

/// In the opening, where a note is typed.
fn at_a_note(shop: &Path) -> Terminal {
    let mut terminal = terminal(shop);
    go_to_the_note(&mut terminal);
    terminal
}

fn go_to_the_note(terminal: &mut Terminal) {
    terminal.press("\r");
    terminal.sees("nothing read yet");
    terminal.press("n");
    terminal.sees("note");
}

/// Waits until `file` of the shop holds `wanted`.
fn holds(shop: &Path, file: &str, wanted: &str) {
    let until = Instant::now() + Duration::from_secs(60);
    let read = || std::fs::read_to_string(shop.join(file)).unwrap_or_default();
    while !read().contains(wanted) {
        assert!(Instant::now() < until, "never found '{wanted}' in {file}: {}", read());
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// A half-typed form that was left, then the program quit: it stands there again.
#[test]
fn a_form_that_was_left_is_there_in_the_next_session() {
    let shop = shop();
    let mut first = terminal(shop.path());
    first.press("n");
    first.sees("new opening");
    first.press("kitchen left\r\r11 3/8");
    first.sees("11 3/8");
    first.press("\x1b");
    first.sees("set aside");
    first.press("q");
    assert!(first.ended());

    let mut second = terminal(shop.path());
    second.sees("typed before and not kept yet: a new opening (n)");
    second.press("n");
    second.sees("kitchen left");
    second.sees("11 3/8");
    // Kept at last, nothing of it is left over.
    second.press("\r\r\r26 1/4\r\r\r\r");
    second.sees("read the gaps (r)");
    second.press("q");
    assert!(second.ended());
    let third = terminal(shop.path());
    assert!(!third.screen().contains("not kept yet"), "{}", third.screen());
}

/// Killed without warning while a note is being typed.
#[test]
fn a_note_outlives_a_kill() {
    let shop = shop();
    let mut first = at_a_note(shop.path());
    first.press("do not cut the latch side");
    holds(shop.path(), "unfinished.json", "latch side");
    let pid = first.child.process_id().unwrap().to_string();
    assert!(std::process::Command::new("kill").args(["-9", &pid]).status().unwrap().success());
    assert!(!first.ended(), "it was killed");

    let mut second = terminal(shop.path());
    second.sees("typed before and not kept yet: a note (n) of 'left door'");
    second.press("\r");
    second.sees("nothing read yet");
    second.press("n");
    second.sees("do not cut the latch side");
    second.press("\r");
    second.sees("kept");
    assert!(log(shop.path()).contains("do not cut the latch side"));
    second.press("q");
    assert!(second.ended());
    assert!(std::fs::read_to_string(shop.path().join("unfinished.json")).unwrap().is_empty());
}

/// The file of forms is damaged: it is said, the file stays, and the program works.
#[test]
fn a_damaged_file_of_forms_is_set_aside() {
    let shop = shop();
    std::fs::write(shop.path().join("unfinished.json"), "{\"forms\":[{\"op").unwrap();
    let mut terminal = terminal(shop.path());
    terminal.sees("cannot be read any more");
    terminal.press("q");
    assert!(terminal.ended());
    let aside = std::fs::read_to_string(shop.path().join("unfinished.damaged.json")).unwrap();
    assert_eq!(aside, "{\"forms\":[{\"op");
}

/// Thousands of keys at once, Enter last: all of them are dealt with without another key.
#[test]
fn a_long_burst_is_read_to_its_end() {
    let shop = shop();
    let mut terminal = at_a_note(shop.path());
    let note = format!("{}THE END", "w".repeat(3500));
    terminal.press(&format!("{note}\r"));
    terminal.sees("kept");
    assert!(log(shop.path()).contains(&note), "a note of {} letters is kept whole", note.len());
    terminal.press("q");
    assert!(terminal.ended());
}

/// More than a note can hold is refused aloud, letter by letter.
#[test]
fn a_full_field_says_so() {
    let shop = shop();
    let mut terminal = at_a_note(shop.path());
    terminal.press(&"w".repeat(4000));
    terminal.press("x");
    terminal.sees("this field is full (4000 characters)");
}

/// Pasted text acts on no key; where text is typed it is text.
#[test]
fn pasted_text_is_text() {
    let shop = shop();
    let mut terminal = terminal(shop.path());
    terminal.press("\x1b[200~nq\r\x1b[201~");
    terminal.sees("what was pasted is not taken");
    go_to_the_note(&mut terminal);
    terminal.press("\x1b[200~from the client:\nno gap over 3/32\n\x1b[201~");
    terminal.sees("from the client: no gap over 3/32");
    terminal.press("\r");
    terminal.sees("kept");
    assert!(log(shop.path()).contains("from the client: no gap over 3/32"));
    terminal.press("q");
    assert!(terminal.ended());
}

/// At a station the large letters stay while the feelers are pressed, and are taken away by z.
#[test]
fn feelers_are_pressed_under_large_letters() {
    let shop = shop();
    let mut terminal = terminal(shop.path());
    terminal.press("\r");
    terminal.sees("nothing read yet");
    terminal.press("r");
    terminal.sees("Station 1 of 12");
    terminal.press("z");
    terminal.sees("station 1 of 12. gap: _");
    terminal.press("b");
    terminal.sees("station 1 of 12. 1/32 goes");
    terminal.press("\r");
    terminal.sees("station 2 of 12. gap: _");
    terminal.press("3/32");
    terminal.sees("station 2 of 12. gap: 3/32_");
    terminal.press("\r");
    terminal.sees("station 3 of 12");
    terminal.press("z");
    terminal.sees("Station 3 of 12");
    assert_eq!(log(shop.path()).matches("\"event\":\"readings\"").count(), 2);
    terminal.press("q");
}
