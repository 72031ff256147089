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
    // The kind before the first is the last: stacked fronts.
    bench.key(KeyCode::Left, KeyModifiers::NONE);
    bench.press("\r15 13/16\r3 x 7 1/2\r\r\r\r");
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

/// A pair that is out all round: four edges to cut, two of each leaf. The gaps are invented.
const PAIR: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","B.left"],"target":"1/8"},
  {"between":["B.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},
  {"between":["A.top","frame"],"target":"3/32"},{"between":["frame","B.bottom"],"target":"3/32"},
  {"between":["B.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"left door","width":"12 1/16","height":"29 15/16","hinge":"left","thickness":"3/4"}
{"event":"leaf","leaf":"B","name":"right door","width":"12 1/16","height":"29 15/16","hinge":"right","thickness":"3/4"}
{"event":"readings","round":1,"gaps":[
  {"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"},{"at":"29","gap":"1/32"}]},
  {"between":["A.right","B.left"],"readings":[{"at":"1","gap":"1/32"},{"at":"29","gap":"5/64"}]},
  {"between":["B.right","frame"],"readings":[{"at":"1","gap":"1/32"},{"at":"29","gap":"1/64"}]},
  {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"1/16"},{"at":"11","gap":"3/64"}]},
  {"between":["A.top","frame"],"readings":[{"at":"1","gap":"1/32"},{"at":"11","gap":"3/64"}]},
  {"between":["frame","B.bottom"],"readings":[{"at":"1","gap":"3/64"},{"at":"11","gap":"1/16"}]},
  {"between":["B.top","frame"],"readings":[{"at":"1","gap":"1/64"},{"at":"11","gap":"1/32"}]}]}"#;

/// Rows of the two pictures side by side: frame against frame.
fn picture_rows(text: &str) -> usize {
    text.lines().filter(|row| row.matches(['\u{2503}', '\u{25ac}']).count() >= 4).count()
}

/// The plan of this pair once had no picture at 80x24, no name beside a removal, and no sightline anywhere.
#[test]
fn a_pair_with_four_cuts_keeps_its_picture() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\rp");
    let cuts = bench.answer().answer.as_ref().unwrap().advice.cuts.clone();
    assert_eq!(cuts.len(), 4, "{cuts:?}");
    let text = bench.text();
    assert!(picture_rows(&text) >= 7, "no picture\n{text}");
    // Each leaf is named in both halves; the meeting gap is there now and after.
    are_named_twice(&text, &["A", "B"]);
    for wanted in ["5/64><", "1/32><", "1/8=="] {
        assert!(text.contains(wanted), "no '{wanted}' on\n{text}");
    }
    let show = bench.session.shop.show();
    for cut in &cuts {
        let leaf = ["A", "B"][cut.leaf];
        let off = cut.aim.map(|aim| evenreveal::bench::rounds_words::removal(aim, show));
        let row = text.lines().find(|row| row.starts_with(&format!(" {leaf} {}", cut.edge.word())));
        let row = row.unwrap_or_else(|| panic!("{leaf} {} is not named\n{text}", cut.edge));
        assert!(
            row.contains(&format!("off {} ", off[0])) && row.contains(&format!(", {} ", off[1])),
            "{off:?} in {row}"
        );
    }
    bench.shows("sightline: tops of A and B");
    assert!(text.contains("guard+knife") && text.contains("wood cannot be put back"), "{text}");
    bench.is_as_kept("122_pair_four_cuts");
}

#[track_caller]
fn are_named_twice(text: &str, names: &[&str]) {
    let inside = |row: &str| row.split(['\u{2503}', '\u{25ac}']).map(str::to_owned).collect::<Vec<_>>();
    let words = |part: &str| part.split(|c: char| !c.is_alphanumeric()).map(str::to_owned).collect::<Vec<_>>();
    let pictures = text.lines().filter(|row| row.contains('\u{2503}') || row.contains('\u{25ac}'));
    let all: Vec<String> =
        pictures.flat_map(|row| inside(row).iter().flat_map(|part| words(part)).collect::<Vec<_>>()).collect();
    for name in names {
        assert_eq!(all.iter().filter(|word| word == name).count(), 2, "{name} on\n{text}");
    }
}

/// Everything that a small screen leaves out is in what `?` says, which is longer than the screen and says so.
#[test]
fn what_the_plan_leaves_out_is_behind_the_question_mark() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\rp?");
    bench.shows("A move it 1/64 to the right");
    bench.shows("sightline: bottoms of A and B");
    bench.shows("more below: Down");
    bench.is_as_kept("123_pair_four_cuts_why");
    let mut seen = bench.text();
    let pages = 3;
    for _ in 1..pages {
        bench.key(KeyCode::Down, KeyModifiers::NONE);
        seen += &bench.text();
    }
    bench.shows("the end; ");
    let seen = seen.replace('\u{2502}', " ").split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in evenreveal::cut::words::Caution::WHEREVER_CUT {
        let first: Vec<&str> = caution.text().split_whitespace().take(5).collect();
        assert!(seen.contains(&first.join(" ")), "'{}' is on no page", caution.text());
    }
    // The last is followed by the first, and every other key closes it.
    bench.key(KeyCode::Down, KeyModifiers::NONE);
    bench.shows("A move it 1/64 to the right");
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.shows("the end; ");
    bench.press("\u{1b}");
    bench.shows("TRIM IT");
}

/// One sawn end in two goes over where nothing is to come off: that end is named, and the others do not get its chance.
#[test]
fn an_end_where_nothing_comes_off_is_told_apart() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\rp");
    let look = bench.answer().answer.as_ref().unwrap().clone();
    let bare: Vec<_> = look
        .cuts()
        .iter()
        .flat_map(|cut| [0, 1].map(|end| (cut.leaf, cut.edge, end, cut.is_bare(end))))
        .filter(|bare| bare.3)
        .collect();
    assert_eq!(bare, [(0, evenreveal::fit::opening::Edge::Left, 0, true)]);
    let said = evenreveal::bench::rounds_words::risk(&look, bench.session.shop.show());
    assert!(said.starts_with("About one sawn end in 40 goes over its line."), "{said}");
    assert!(said.contains("Nothing is to come off at A left lower: there 1 in 2 goes over."), "{said}");
    let why = evenreveal::bench::next_words::depth(&look, look.cuts(), bench.session.shop.show());
    assert!(
        why.iter().any(|line| line.starts_with("Each cut stops short of its line wherever wood is to come off.")),
        "{why:?}"
    );
}

/// Once wood came off, the plan of the round does not ask for the same cuts again.
#[test]
fn a_plan_that_was_cut_says_so() {
    let mut bench = Bench::with(&[("pair", PAIR)]);
    bench.press("\rp");
    let jobs = bench.answer().answer.as_ref().unwrap().advice.cuts.len();
    bench.press("ad\u{1b}");
    let some = bench.session.opened.as_ref().unwrap().state.round(1).unwrap().cuts.len();
    assert!((1..jobs).contains(&some), "{some} of {jobs}");
    bench.press("p");
    bench.shows("ACCEPTED (event 5): this plan stands, 1 of 4 cuts done.");
    bench.shows("; done, ");
    bench.shows("guard+knife");
    bench.is_as_kept("124_pair_half_cut");
    bench.press("\u{1b}");
    for _ in 0..8 {
        bench.press("c");
        if matches!(bench.session.screen(), Some(evenreveal::bench::Screen::Record(_))) {
            bench.press("d");
        }
        while !matches!(bench.session.screen(), Some(evenreveal::bench::Screen::Home(_))) {
            bench.press("\u{1b}");
        }
    }
    bench.press("p");
    bench.shows("CUT SINCE: ");
    let text = bench.text();
    assert!(!text.contains("TRIM IT") && !text.contains("cut now") && !text.contains("off 0"), "{text}");
    assert_eq!(text.matches("; done, ").count(), jobs, "{text}");
    bench.is_as_kept("125_pair_cut");
}

/// Eight fronts over each other, each tight all round: more cuts than a small screen has rows for. Invented.
fn eight_fronts() -> Bench {
    let ids = ["A", "B", "C", "D", "E", "F", "G", "H"];
    let (mut gaps, mut read) = (Vec::new(), Vec::new());
    let mut line = |between: [String; 2], ends: [u32; 2], length: u32| {
        let one = |at: u32, goes: u32| serde_json::json!({"at": at.to_string(), "goes": format!("{goes}/64"), "stops": format!("{}/64", goes + 1)});
        gaps.push(serde_json::json!({"between": between, "target": "3/32"}));
        read.push(serde_json::json!({"between": between, "readings": [one(1, ends[0]), one(length - 1, ends[1])]}));
    };
    let frame = || "frame".to_owned();
    for (place, id) in ids.iter().enumerate() {
        let odd = place as u32 % 2;
        line([frame(), format!("{id}.left")], [1 + odd, 4 - odd], 6);
        line([format!("{id}.right"), frame()], [2 - odd, 3 + odd], 6);
        if place == 0 {
            line([frame(), "A.bottom".to_owned()], [1, 3], 14);
        }
        let above = ids.get(place + 1).map_or_else(frame, |next| format!("{next}.bottom"));
        line([format!("{id}.top"), above], [1 + odd, 3 - odd], 14);
    }
    let leaf = |id: &&str| {
        format!(r#"{{"event":"leaf","leaf":"{id}","width":"14","height":"6","made":"solid-across","thickness":"3/4"}}"#)
    };
    let mut events = vec![serde_json::json!({"event": "opening", "gaps": gaps}).to_string()];
    events.extend(ids.iter().map(leaf));
    events.push(serde_json::json!({"event": "readings", "round": 1, "gaps": read}).to_string());
    Bench::with(&[("eight", &events.join("\n"))])
}

fn plain(text: &str) -> String {
    text.chars()
        .map(|c| if c == '\u{2502}' { ' ' } else { c })
        .collect::<String>()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Every cut is said on the plan or in what `?` shows over it, and the plan says how many are not; warnings too.
#[test]
fn no_cut_of_many_is_out_of_reach() {
    let mut bench = eight_fronts();
    bench.press("\rpe");
    let Some(evenreveal::bench::Screen::Plan(screen)) = bench.session.screen() else { panic!("{}", bench.text()) };
    let cuts = screen.cuts().to_vec();
    let id = |leaf: usize| char::from(b'A' + u8::try_from(leaf).unwrap());
    let named: Vec<String> = cuts.iter().map(|cut| format!("{} {}", id(cut.leaf), cut.edge)).collect();
    assert!(cuts.len() > 12, "{named:?}");
    let text = bench.text();
    let seen = named.iter().filter(|name| plain(&text).contains(name.as_str())).count();
    bench.shows(&format!("! {} more cuts than there are rows for: ? has all of them", cuts.len() - seen));
    bench.press("?");
    let mut why = String::new();
    for _ in 0..12 {
        why.push_str(&bench.text());
        bench.key(KeyCode::Down, KeyModifiers::NONE);
    }
    for name in &named {
        assert!(plain(&why).contains(&format!("{name} ")), "no '{name}' in\n{why}");
    }
    let deep = screen_warnings(&bench);
    assert!(deep > 0, "a deep cut is warned of");
    assert!(plain(&why).contains("is much: check the readings first"), "{why}");
    // Accepted, the opening counts them, each has its set-up sheet, and the card names them all.
    bench.press("\u{1b}a");
    let sheets = bench.session.screens.iter().rev().find_map(|screen| match screen {
        evenreveal::bench::Screen::Record(record) => Some(record.jobs.len()),
        _ => None,
    });
    assert_eq!(sheets, Some(cuts.len()));
    let mut first = Vec::new();
    for place in 1..=cuts.len() {
        bench.shows(&format!("{place} of {}", cuts.len()));
        first.push(bench.text());
        bench.key(KeyCode::Down, KeyModifiers::NONE);
    }
    for cut in &cuts {
        let wanted = format!("{} {} edge", id(cut.leaf), cut.edge);
        assert!(first.iter().any(|text| plain(text).contains(&wanted)), "no sheet of {wanted}");
    }
    bench.press("\u{1b}");
    bench.shows(&format!("{} edges to cut", cuts.len()));
    let opened = bench.session.opened.as_ref().unwrap();
    let spreads = evenreveal::bench::rounds::spreads(None);
    let matter = evenreveal::paper::matter::Matter::of(opened, &bench.session.shop.settings, spreads);
    assert_eq!(matter.trims().len(), cuts.len());
}

fn screen_warnings(bench: &Bench) -> usize {
    let Some(evenreveal::bench::Screen::Plan(screen)) = bench.session.screen() else { return 0 };
    screen.plan().map_or(0, |plan| plan.warnings.len())
}
