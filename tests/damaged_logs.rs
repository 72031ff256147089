//! A log that cannot be trusted to its end: every way out that advises says so and offers no cut. A cut that the log
//! lost would be advised again.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/sample_copy.rs"]
mod sample_copy;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use program::Home;
use screen_bench::Bench;
use std::fs;
use std::path::{Path, PathBuf};

const DOOR: &str = "Door, middle left";

/// What is done to the log of the door, and the words that must name it.
struct Harm {
    what: &'static str,
    named: &'static str,
    next: &'static str,
    big: &'static str,
    do_it: fn(&str) -> String,
}

fn without_line(text: &str, number: usize) -> String {
    text.split_inclusive('\n').enumerate().filter(|(place, _)| place + 1 != number).map(|(_, line)| line).collect()
}

fn in_line(text: &str, number: usize, from: &str, to: &str) -> String {
    let mend = |(place, line): (usize, &str)| {
        if place + 1 == number { line.replacen(from, to, 1) } else { line.to_owned() }
    };
    let harmed: String = text.split_inclusive('\n').enumerate().map(mend).collect();
    assert_ne!(harmed, text, "line {number} has no '{from}'");
    harmed
}

const DAMAGED: &str = "Log damaged: mend";

/// Line 2 describes, line 4 reads, line 5 is the accepted plan, line 6 its first cut.
const HARMS: [Harm; 6] = [
    Harm {
        what: "the first cut",
        named: "line 6 is damaged",
        next: "mend",
        big: DAMAGED,
        do_it: |text| in_line(text, 6, "\"at\":\"2", "\"at\":\"3"),
    },
    Harm {
        what: "the readings",
        named: "line 4 is damaged",
        next: "mend",
        big: DAMAGED,
        do_it: |text| in_line(text, 4, "\"at\":\"2", "\"at\":\"3"),
    },
    Harm {
        what: "the description",
        named: "line 2 is damaged",
        next: "mend",
        big: DAMAGED,
        do_it: |text| in_line(text, 2, "\"at\":\"2", "\"at\":\"3"),
    },
    Harm {
        what: "a cut that is missing",
        named: "a line is missing or doubled",
        next: "mend",
        big: DAMAGED,
        do_it: |text| without_line(text, 6),
    },
    Harm {
        what: "a newer format",
        named: "evenreveal-opening/2",
        next: "newer-build",
        big: "Newer build needed",
        do_it: |text| in_line(text, 1, "evenreveal-opening/1", "evenreveal-opening/2"),
    },
    Harm {
        what: "no header",
        named: "line 1 is not the start of an opening's log",
        next: "mend",
        big: DAMAGED,
        do_it: |text| in_line(text, 1, "\"opening\":\"D", "\"opening\":\"d"),
    },
];

fn log_of(shop: &Path) -> PathBuf {
    shop.join("openings/Door_ middle left.jsonl")
}

/// Words of a cut that the log would have it make again.
const CUT_WORDS: [&str; 6] = ["take off now", "cut the right", "cut the top", "kiss", "FENCE", "edges to cut"];

#[track_caller]
fn offers_no_cut(text: &str, what: &str) {
    for word in CUT_WORDS {
        assert!(!text.contains(word), "{what}: '{word}' is in\n{text}");
    }
}

#[test]
fn every_command_that_advises_names_the_line_and_offers_no_cut() {
    for harm in &HARMS {
        let home = Home::new();
        let shop = sample_copy::sample(home.path());
        let log = log_of(&shop);
        let whole = fs::read_to_string(&log).unwrap();
        let harmed = (harm.do_it)(&whole);
        fs::write(&log, &harmed).unwrap();
        let what = harm.what;
        // Whose header cannot be read is known by its file.
        let known = harmed.contains("evenreveal-opening/1\",\"opening\":\"Door");
        let name = if known { DOOR } else { "Door_ middle left" };
        let run = |rest: &[&str]| home.run(&[&["--shop", "shop"], rest].concat(), "").code(3).says(&[harm.named]);

        let plan = run(&["plan", name]);
        offers_no_cut(&plan.out, what);
        assert!(plan.out.contains("no cut is advised"), "{what}: {}", plan.out);
        let plan = run(&["plan", name, "--anew"]);
        offers_no_cut(&plan.out, what);
        let json = run(&["plan", name, "--json"]).json();
        assert_eq!(json["next"], harm.next, "{what}");
        assert!(json["trouble"].as_str().unwrap().contains(harm.named), "{what}: {json}");
        for list in ["cuts", "setups", "leaves"] {
            assert_eq!(json[list].as_array().map(Vec::len), Some(0), "{what}: {list} of {json}");
        }

        run(&["card", name, "--out", "card.svg"]);
        let card = fs::read_to_string(home.path().join("card.svg")).unwrap();
        offers_no_cut(&card, what);
        assert!(card.contains("no cut is advised"), "{what}: not said on the card");
        run(&["sheet", "--out", "sheet.svg"]);
        let sheet = fs::read_to_string(home.path().join("sheet.svg")).unwrap();
        assert!(sheet.contains("no cut is advised"), "{what}: not said on the shop sheet");

        let list = run(&["list"]);
        let row = list.out.lines().find(|line| line.starts_with("Door") && line.contains("no cut is advised"));
        let row = row.unwrap_or_else(|| panic!("{what}: no row of it in\n{}", list.out));
        assert!(row.contains(harm.named), "{what}: {row}");
        let json = run(&["list", "--json"]).json();
        let row = json.as_array().unwrap().iter().find(|one| one["next"] == harm.next).unwrap();
        assert!(row["trouble"].as_str().unwrap().contains(harm.named) && row["edges_left"].is_null(), "{row}");
        assert!(row["advice"].is_null() && row["passes"].is_null(), "{what}: {row}");

        for plane in [&[][..], &["--plane"]] {
            let batch = run(&[&["batch"], plane].concat());
            assert!(batch.out.contains("no cut of it is listed"), "{what}: {}", batch.out);
            let csv = run(&[&["batch", "--csv"], plane].concat());
            let rows: Vec<&str> = csv
                .out
                .lines()
                .filter(|row| row.contains("Door, middle left") || row.contains("Door_ middle left"))
                .collect();
            assert!(matches!(rows[..], [row] if row.starts_with(',') && row.contains(harm.named)), "{what}: {rows:?}");
            let json = run(&[&["batch", "--json"], plane].concat()).json();
            assert!(json["left_out"][0]["trouble"].as_str().unwrap().contains(harm.named), "{what}: {json}");
            assert!(json["cuts"].as_array().unwrap().iter().all(|cut| cut["file"] != "Door_ middle left"), "{what}");
        }

        run(&["fit", name, "--plain"]);
        for before in ["survey", "blank", "year", "swing", "flush"] {
            run(&[before, name]);
        }
        run(&["cutlist"]);
        run(&["assign"]);
        home.run(&["--shop", "shop", "enter", name, "-"], r#"{"event":"note","text":"x"}"#).code(3).says(&[harm.named]);
        assert_eq!(fs::read_to_string(&log).unwrap(), harmed, "{what}: the file is as it was");
    }
}

#[test]
fn a_last_line_that_was_written_whole_is_damaged_and_not_torn() {
    let home = Home::new();
    let shop = sample_copy::sample(home.path());
    let log = log_of(&shop);
    // The last thing kept is the first cut; its amount is another one now.
    let whole = fs::read_to_string(&log).unwrap();
    let kept: String = whole.split_inclusive('\n').take(6).collect();
    fs::write(&log, in_line(&kept, 6, "1/16", "3/16")).unwrap();
    let plan = home.run(&["--shop", "shop", "plan", DOOR], "").code(3).says(&["line 6 is damaged"]);
    offers_no_cut(&plan.out, "the last line");
    // Only its beginning is there: a power cut, and it was never called kept. The plan before it stands.
    fs::write(&log, &kept[..kept.len() - 30]).unwrap();
    home.run(&["--shop", "shop", "plan", DOOR], "").code(0).says(&["is not whole"]).gives(&["2 edges to cut"]);
}

#[test]
fn an_event_for_a_log_that_is_not_whole_is_refused_for_the_log_and_not_for_what_is_missing() {
    let home = Home::new();
    let shop = sample_copy::sample(home.path());
    let log = log_of(&shop);
    let whole = fs::read_to_string(&log).unwrap();
    fs::write(&log, in_line(&whole, 2, "\"at\":\"2", "\"at\":\"3")).unwrap();
    let reading = r#"{"event":"cut","round":2,"leaf":"A","edge":"top","start":"1/32","end":"1/32","method":"plane"}"#;
    home.run(&["--shop", "shop", "enter", DOOR, "-"], reading).code(3).says(&["line 2 is damaged"]);
}

#[test]
fn the_others_of_the_shop_are_answered_as_before() {
    let home = Home::new();
    let shop = sample_copy::sample(home.path());
    let before = home.run(&["--shop", "shop", "batch", "--csv"], "").code(0);
    let log = log_of(&shop);
    let whole = fs::read_to_string(&log).unwrap();
    fs::write(&log, in_line(&whole, 6, "\"at\":\"2", "\"at\":\"3")).unwrap();
    let after = home.run(&["--shop", "shop", "batch", "--csv"], "").code(3);
    let others = |text: &str| -> Vec<String> {
        text.lines().filter(|row| !row.contains("middle left")).map(str::to_owned).collect()
    };
    let without_order = |rows: Vec<String>| -> Vec<String> {
        rows.iter().map(|row| row.split_once(',').map_or("", |(_, rest)| rest).to_owned()).collect()
    };
    let (mut before, mut after) = (without_order(others(&before.out)), without_order(others(&after.out)));
    before.sort();
    after.sort();
    assert_eq!(before, after);
    home.run(&["--shop", "shop", "plan", "Door, top left"], "").code(0);
}

#[test]
fn the_screen_says_it_in_large_letters_and_goes_on_saying_it_after_a_key() {
    for harm in &HARMS {
        let dir = tempfile::tempdir().unwrap();
        let shop = sample_copy::sample(dir.path());
        let log = log_of(&shop);
        let whole = fs::read_to_string(&log).unwrap();
        fs::write(&log, (harm.do_it)(&whole)).unwrap();
        // The bench opens the folder itself.
        let own = tempfile::tempdir().unwrap();
        copy(&shop, own.path());
        let mut bench = Bench::on(own);
        let what = harm.what;
        let openings = &bench.session.shop.openings;
        let place = openings.iter().position(|one| one.summary.file == "Door_ middle left.jsonl").unwrap();
        bench.press(&"j".repeat(place));
        let words: Vec<&str> = harm.named.split_whitespace().take(3).collect();
        bench.press("z");
        assert_eq!(evenreveal::screen::screens::large::said(&bench.session).0, harm.big, "{what}, list");
        bench.press("z\r");
        let opened = bench.session.opened.as_ref().expect("an opening");
        assert!(opened.name.contains("iddle left"), "{}", opened.name);
        for key in ["", "j", "p", "c", "r", "a", "b", "g", "w", "f", "h", "n", "s", "\r", "u", "e"] {
            bench.press(key);
            let text = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains(&words.join(" ")), "{what}, after '{key}': not named on\n{}", bench.text());
            offers_no_cut(&text, what);
            assert!(text.contains("no cut is advised"), "{what}, after '{key}':\n{}", bench.text());
            assert!(matches!(bench.session.screen(), Some(evenreveal::bench::Screen::Home(_))), "{what}: '{key}'");
        }
        bench.press("z");
        assert_eq!(evenreveal::screen::screens::large::said(&bench.session).0, harm.big, "{what}");
        let text = bench.text();
        assert!(text.contains("no cut is advised") && text.contains(words[0]), "{what}\n{text}");
        bench.press("zl");
        let text = bench.text().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&words.join(" ")), "{what}: not named on the log\n{}", bench.text());
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to.join("openings")).unwrap();
    fs::copy(from.join("shop.json"), to.join("shop.json")).unwrap();
    for one in fs::read_dir(from.join("openings")).unwrap().map(Result::unwrap) {
        fs::copy(one.path(), to.join("openings").join(one.file_name())).unwrap();
    }
}
