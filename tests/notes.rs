//! Notes and the photos they name: on the screens, on the card, in what goes out; looked for, never touched.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use program::Home;
use screen_bench::{Bench, SINGLE};

#[test]
fn a_note_with_a_photo_is_kept_by_keys_and_shown_where_one_looks() {
    let mut bench = Bench::with(&[("left door", SINGLE)]);
    std::fs::write(bench.dir.path().join("IMG_7.jpg"), "no picture").unwrap();
    bench.press("\rnhinge side planed\tIMG_7.jpg\r");
    bench.shows("kept, event 3");
    bench.shows("note: hinge side planed (photo: IMG_7.jpg)");
    bench.press("l");
    bench.shows("note: hinge side planed (photo: IMG_7.jpg)");
    // A photo without a word, and one that is not there: kept as typed, and said.
    bench.press("\u{1b}n\tphotos/gone.jpg\r");
    bench.shows("kept as typed; no such file here or in the shop's folder: photos/gone.jpg");
    bench.shows("photo: photos/gone.jpg; 1 more in the log (l)");
    let notes = &bench.session.opened.as_ref().unwrap().state.notes;
    assert_eq!(notes.iter().map(|note| note.what.photo.as_str()).collect::<Vec<_>>(), ["IMG_7.jpg", "photos/gone.jpg"]);
    // Taken back like any event.
    bench.press("u");
    bench.shows("note: hinge side planed (photo: IMG_7.jpg)");
}

#[test]
fn what_goes_out_names_the_photo() {
    let home = Home::new();
    let events = format!(
        "{SINGLE}\n{}\n{}",
        r#"{"event":"note","text":"wax the runners"}"#, r#"{"event":"note","text":"wind","photo":"wind 1.jpg"}"#
    );
    home.run(&["enter", "left door", "-"], &events).code(0).says(&["there is no file 'wind 1.jpg'"]);
    let log = home.run(&["log", "left door"], "").code(0).out;
    assert!(log.contains("note: wind (photo: wind 1.jpg)") && log.contains("note: wax the runners\n"), "{log}");
    let json = home.run(&["log", "left door", "--json"], "").code(0).out;
    assert!(json.contains(r#""photo":"wind 1.jpg""#), "{json}");
    assert_eq!(json.matches("photo").count(), 1, "a note without one is written as before: {json}");
    let csv = home.run(&["export", "--csv"], "").code(0).out;
    assert!(csv.contains("wind 1.jpg,wind"), "{csv}");
    home.run(&["card", "left door", "--out", "card.svg"], "").code(0);
    let card = std::fs::read_to_string(home.path().join("card.svg")).unwrap();
    let lines: Vec<&str> = card.split('<').filter(|part| part.starts_with("text")).collect();
    assert!(lines.iter().any(|line| line.contains("note: wind (photo: wind")), "not on the card: {lines:#?}");
    // There now: nothing is said.
    home.write("wind 1.jpg", "no picture");
    let again = r#"{"event":"note","text":"again","photo":"wind 1.jpg"}"#;
    let said = home.run(&["enter", "left door", "-"], again).code(0).err;
    assert!(said.is_empty(), "{said}");
}

#[test]
fn a_photo_has_the_name_of_a_file_on_one_line() {
    let home = Home::new();
    home.run(&["enter", "left door", "-"], SINGLE).code(0);
    for photo in ["a\\nb.jpg", &"x".repeat(401)] {
        let note = format!(r#"{{"event":"note","text":"t","photo":"{photo}"}}"#);
        home.run(&["enter", "left door", "-"], &note).code(2).says(&["photo", "at most 400 characters"]);
    }
    home.run(&["enter", "left door", "-"], r#"{"event":"note","text":" ","photo":""}"#).code(2).says(&["is empty"]);
    home.run(&["enter", "left door", "-"], r#"{"event":"note","text":"","photo":"p.jpg"}"#).code(0);
}
