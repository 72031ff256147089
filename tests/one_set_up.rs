//! A cut of an accepted plan has one set-up, whoever shows it: the batch, the card, `plan`, and its own sheet, before
//! any of the cuts ahead of it is recorded. Followed in order on a leaf of wood, the sheets leave what the plan says.

#[path = "common/made_leaf.rs"]
mod made_leaf;
#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::after_words;
use evenreveal::bench::batch::{Row, waiting};
use evenreveal::bench::recording::{Job, RecordCut};
use evenreveal::bench::sheets::Sheet;
use evenreveal::cut::job::Method;
use evenreveal::cut::setup::Setup;
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::Edge;
use evenreveal::paper::matter::Matter;
use evenreveal::shop::event::TrimMeant;
use evenreveal::shop::settings::Settings;
use made_leaf::{Wood, apart};
use program::Home;
use rand::seq::{IndexedRandom, SliceRandom};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::Bench;
use serde_json::json;

/// A leaf of random size and shape (invented), what is known of it, and a plan for some of its edges.
fn door(rng: &mut ChaCha8Rng) -> (Wood, String) {
    let thousandths = |rng: &mut ChaCha8Rng, from: i64, to: i64| Length::ratio(rng.random_range(from..=to), 1000);
    let (width, height) = (Length::ratio(rng.random_range(5..26), 1), Length::ratio(rng.random_range(8..40), 1));
    let plus = |length: Length, by: Length| length.checked_add(by).unwrap();
    let widths = [width, plus(width, thousandths(rng, -60, 60))];
    let heights = [height, plus(height, thousandths(rng, -60, 60))];
    let beyond = thousandths(rng, -40, 40);
    let mut edges = Edge::ALL.to_vec();
    edges.shuffle(rng);
    edges.truncate(rng.random_range(1..=4));
    let most = *[4, 30, 60, 120, 220].choose(rng).unwrap();
    let trims: Vec<_> = edges
        .iter()
        .map(|edge| {
            let [start, end] = [0; 2].map(|_| thousandths(rng, 0, most).checked_add(Length::ratio(1, 1000)).unwrap());
            json!({ "leaf": "A", "edge": edge.word(), "start": start.canonical(), "end": end.canonical() })
        })
        .collect();
    let between = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];
    let gaps: Vec<_> = between.iter().map(|between| json!({ "between": between, "target": "3/32" })).collect();
    let text = |pair: [Length; 2]| pair.map(Length::canonical);
    let hinge = [json!("left"), json!("right"), json!(null)].choose(rng).unwrap().clone();
    let mut events = vec![
        json!({ "event": "opening", "gaps": gaps }),
        json!({ "event": "leaf", "leaf": "A", "width": width.canonical(), "height": height.canonical(), "hinge": hinge,
            "solid": rng.random_bool(0.3) }),
        json!({ "event": "measured", "leaf": "A", "widths": text(widths), "heights": text(heights) }),
        json!({ "event": "measured", "leaf": "A",
            "square": { "edge": "left", "at": "start", "beyond": beyond.canonical() } }),
    ];
    let reading = json!([{ "between": ["A.right", "frame"], "readings": [{ "at": "1", "gap": "1/64" }] }]);
    events.push(json!({ "event": "readings", "round": 1, "gaps": reading }));
    events.push(json!({ "event": "plan", "round": 1, "verdict": "cut", "trims": trims }));
    let wood = Wood::of(widths.map(Length::inches), heights.map(Length::inches), beyond.inches());
    (wood, events.iter().map(ToString::to_string).collect())
}

fn record(bench: &Bench) -> &RecordCut {
    match bench.session.screen() {
        Some(Screen::Record(record)) => record,
        other => panic!("no sheet but {other:?}"),
    }
}

/// The batch's rows of the opening that is open.
fn rows(bench: &Bench) -> Vec<Row> {
    let opened = bench.session.opened.as_ref().unwrap();
    let found = waiting("door", &opened.name, &opened.state, &bench.session.shop.settings);
    assert!(found.without.is_empty(), "{found:?}");
    found.rows
}

fn go(bench: &mut Bench, key: KeyCode, times: usize) {
    (0..times).for_each(|_| bench.key(key, KeyModifiers::NONE));
}

/// The sheets of all jobs, each reached by Down from the first.
fn by_down(bench: &mut Bench) -> Vec<Sheet> {
    (0..record(bench).jobs.len())
        .map(|place| {
            go(bench, KeyCode::Down, usize::from(place > 0));
            let record = record(bench);
            assert_eq!(record.at, place);
            *record.sheet.clone().unwrap_or_else(|| panic!("{record:?}"))
        })
        .collect()
}

/// Of one trim only its first pass has a sheet on the screen.
fn first_passes(rows: &[Row]) -> Vec<Sheet> {
    let mut all: Vec<Sheet> = Vec::new();
    for row in rows {
        if !all.iter().any(|sheet| sheet.trim.edge == row.sheet.trim.edge) {
            all.push(row.sheet.clone());
        }
    }
    all
}

fn shop(rng: &mut ChaCha8Rng, case: usize) -> Settings {
    let mut settings = Settings { name: "a shop".to_owned(), ..Settings::default() };
    if case % 2 == 1 {
        settings.ranking = Method::ALL.to_vec();
        settings.ranking.shuffle(rng);
    }
    settings
}

/// A plan's way through the shop: every place agrees, now and after each cut that is recorded in any order.
#[test]
fn batch_card_and_sheet_are_one_for_every_cut_in_order() {
    let mut rng = ChaCha8Rng::seed_from_u64(83);
    let (mut later, mut several, mut out_of_turn) = (0, 0, 0);
    for case in 0..80 {
        let (_, events) = door(&mut rng);
        let mut bench = Bench::in_shop(shop(&mut rng, case), &[("door", &events)]);
        bench.press("\rc");
        while let Some(Screen::Record(_)) = bench.session.screen() {
            let rows = rows(&bench);
            let sheets = by_down(&mut bench);
            assert_eq!(sheets, first_passes(&rows), "case {case}: batch and sheet");
            let opened = bench.session.opened.clone().unwrap();
            let spreads = evenreveal::bench::rounds::spreads(None);
            let card: Vec<Sheet> = Matter::of(&opened, &bench.session.shop.settings, spreads)
                .setups
                .into_iter()
                .map(Result::unwrap)
                .collect();
            let batch: Vec<Sheet> = rows.iter().map(|row| row.sheet.clone()).collect();
            assert_eq!(card, batch, "case {case}: card and batch");
            for (place, sheet) in sheets.iter().enumerate() {
                assert_eq!(sheet.after.len(), place, "case {case}: {:?}", sheet.after);
                later += usize::from(place > 0);
                several += usize::from(sheet.pass.is_some());
            }
            // Any of them is recorded next, as shown.
            let to = rng.random_range(0..sheets.len());
            out_of_turn += usize::from(to > 0);
            go(&mut bench, KeyCode::Up, sheets.len());
            go(&mut bench, KeyCode::Down, to);
            bench.press("d");
        }
        let opened = bench.session.opened.as_ref().unwrap();
        assert!(opened.state.to_cut().is_empty(), "case {case}");
    }
    assert!(later > 80 && several >= 15 && out_of_turn > 40, "{later} later cuts, {several} in passes, {out_of_turn}");
}

#[test]
fn plan_gives_the_same_set_ups_as_the_sheets() {
    let mut rng = ChaCha8Rng::seed_from_u64(89);
    for case in 0..8 {
        let (_, events) = door(&mut rng);
        let mut bench = Bench::in_shop(shop(&mut rng, case), &[("door", &events)]);
        bench.press("\rc");
        let rows = rows(&bench);
        let printed = Home::new().run(&["--shop", bench.dir.path().to_str().unwrap(), "plan", "door", "--json"], "");
        let setups = printed.json()["setups"].as_array().unwrap().clone();
        assert_eq!(setups.len(), rows.len(), "case {case}");
        for (shown, row) in setups.iter().zip(&rows) {
            let mut told = serde_json::to_value(&row.sheet.sheet).unwrap();
            // Lengths are written as numbers there: what is set is compared by its own writing.
            for key in ["edge", "reason", "refused", "others"] {
                assert_eq!(shown[key], told[key].take(), "case {case}: {key}");
            }
            let after: Vec<&str> = row.sheet.after.iter().map(|edge| edge.word()).collect();
            assert_eq!(shown["after"], json!(after));
            let moved = |setup: &serde_json::Value, key: &str| {
                setup["setup"].as_object().unwrap().values().find_map(|one| one[key]["value"].as_f64())
            };
            let wanted = match &row.sheet.sheet.setup {
                Setup::Rip(rip) => Some(("fence_move", rip.fence_move.value)),
                Setup::Sled(sled) => Some(("stop_move", sled.stop_move.value)),
                _ => None,
            };
            if let Some((key, value)) = wanted {
                let found = moved(shown, key).or(shown["setup"][key]["value"].as_f64()).unwrap();
                assert!((found - value.inches()).abs() < 1e-12, "case {case}: {shown}");
            }
        }
    }
}

/// The sheets of the screen, none recorded, followed one after the other on a leaf of wood.
#[test]
fn the_sheets_followed_in_order_leave_what_the_plan_says() {
    let mut rng = ChaCha8Rng::seed_from_u64(97);
    let (mut sawn, mut cuts) = (0, 0);
    for case in 0..120 {
        let (mut wood, events) = door(&mut rng);
        let mut bench = Bench::in_shop(shop(&mut rng, case), &[("door", &events)]);
        bench.press("\rc");
        let sheets: Vec<Sheet> = match rows(&bench) {
            rows if rows.iter().any(|row| row.sheet.pass.is_some()) => rows.into_iter().map(|row| row.sheet).collect(),
            _ => by_down(&mut bench),
        };
        let mut meant = wood.clone();
        let mut rounding = 0.0;
        for sheet in &sheets {
            let TrimMeant { edge, start, end, .. } = sheet.trim;
            meant.take(edge, [start.inches(), end.inches()]);
            wood.follow(&sheet.sheet.setup, edge);
            let (start, end) = sheet.sheet.setup.errors();
            rounding += start.get().abs().max(end.get().abs());
            let saw = matches!(sheet.sheet.setup, Setup::Rip(_) | Setup::Sled(_));
            sawn += usize::from(saw && !sheet.after.is_empty());
            cuts += 1;
        }
        // The rounding of one edge turns the leaf for the next.
        let off = apart(&wood, &meant);
        assert!(off < 0.001 + 1.25 * rounding, "case {case}: {off:.4} off, rounding {rounding:.4}\n{sheets:#?}");
    }
    assert!(cuts > 200 && sawn > 40, "{cuts} cuts, {sawn} at the saw after another");
}

#[test]
fn the_sheet_says_which_cuts_it_takes_as_made_and_keeps_saying_it() {
    let mut rng = ChaCha8Rng::seed_from_u64(101);
    let (events, mut bench) = loop {
        let (_, events) = door(&mut rng);
        let mut bench = Bench::in_shop(shop(&mut rng, 0), &[("door", &events)]);
        bench.press("\rc");
        if record(&bench).jobs.len() == 3 {
            break (events, bench);
        }
    };
    assert!(!bench.text().contains("once "), "{}", bench.text());
    let sheets = by_down(&mut bench);
    for round in 0..3 {
        match round {
            0 => {}
            1 => bench.press("?\u{1b}"),
            _ => {
                go(&mut bench, KeyCode::Up, 1);
                go(&mut bench, KeyCode::Down, 1);
            }
        }
        for size in screen_bench::SIZES {
            let text = screen_bench::text(&bench.buffer(size, evenreveal::screen::theme::Palette::Plain));
            let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let (short, long) = (after_words::short(&sheets[2]).unwrap(), after_words::once_cut(&sheets[2]).unwrap());
            let wanted = if size.1 > 24 { long } else { short };
            assert!(wanted.contains(" and ") && flat.contains(&wanted), "{wanted} at {size:?}\n{text}");
        }
    }
    bench.press("z");
    bench.shows("for the leaf once its");
    bench.press("\u{1b}w");
    bench.shows("not recorded as cut");
    bench.press("\u{1b}");
    // Recorded otherwise, the sheet reckons with what was recorded, and only the other cut is still ahead of it.
    go(&mut bench, KeyCode::Up, 2);
    let back = "\u{8}".repeat(12);
    bench.press(&format!("o{back}1/16\r{back}5/64\r\r"));
    let Some(Job::Trim(next)) = record(&bench).job().cloned() else { panic!("{events}") };
    let now = by_down(&mut bench);
    assert_eq!(now[1].after, [next.edge]);
    assert_ne!(now[1].job, sheets[2].job, "what was recorded is another leaf than what was meant");
    assert_eq!(now, first_passes(&rows(&bench)));
}

/// What is asked of a cut that comes first holds for the leaf of the cuts behind it.
#[test]
fn another_method_of_an_earlier_cut_counts_for_the_later_ones() {
    let door = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","width":"15","height":"24","hinge":"left"}
{"event":"readings","round":1,"gaps":[{"between":["A.right","frame"],"readings":[{"at":"1","gap":"1/64"}]}]}
{"event":"plan","round":1,"verdict":"cut","trims":[
  {"leaf":"A","edge":"left","start":"1/16","end":"1/16"},{"leaf":"A","edge":"right","start":"1/16","end":"3/32"}]}"#;
    let mut bench = Bench::with(&[("door", door)]);
    bench.press("\rc");
    let before = by_down(&mut bench);
    assert!(before[1].job.bow(Edge::Left).is_some(), "fresh off the saw it is straight");
    go(&mut bench, KeyCode::Up, 1);
    while record(&bench).sheet.as_ref().unwrap().sheet.setup.method() != Method::GuideLine {
        bench.press("m");
    }
    go(&mut bench, KeyCode::Down, 1);
    let sheet = record(&bench).sheet.clone().unwrap();
    assert_eq!(sheet.job.bow(Edge::Left), None, "nobody knows how straight a line was followed");
}
