//! Everything for the saw in one trip: the page through keys, at three sizes, against kept snapshots; the order
//! and its count of fence settings; the command.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;
#[path = "common/waiting_doors.rs"]
mod waiting_doors;

use evenreveal::bench::Screen;
use evenreveal::bench::batch::arrange::{Changes, changes};
use evenreveal::bench::batch::stock::ShortNames;
use evenreveal::bench::batch::words;
use evenreveal::bench::batch::{Batch, Row, Tool, Waiting, files, waiting};
use evenreveal::cut::job::Method;
use evenreveal::cut::words::Caution;
use evenreveal::fit::length::Show;
use evenreveal::screen::theme::Palette;
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{Event, Record};
use evenreveal::shop::settings::Settings;
use screen_bench::{Bench, SINGLE, SIZES};
use waiting_doors::door;

fn state(events: &str) -> OpeningState {
    let events = serde_json::Deserializer::from_str(events).into_iter::<Event>().map(Result::unwrap);
    let records: Vec<Record> = (1..).zip(events).map(|(n, event)| Record { n, at: String::new(), event }).collect();
    OpeningState::replay(&records)
}

fn wait_in(doors: &[(String, String)]) -> Vec<Waiting> {
    let settings = Settings::default();
    doors.iter().map(|(name, events)| waiting(name, name, &state(events), &settings)).collect()
}

fn bench() -> Bench {
    let doors = waiting_doors::shop();
    let mut all: Vec<(&str, &str)> = doors.iter().map(|(name, events)| (*name, events.as_str())).collect();
    all.push(("not read", SINGLE));
    Bench::with(&all)
}

fn batch(bench: &Bench) -> &Batch {
    match bench.session.screen() {
        Some(Screen::Batch(page)) => &page.batch,
        other => panic!("no batch but {other:?}"),
    }
}

#[test]
fn the_page_groups_by_fence_names_what_is_refused_and_shows_its_cautions() {
    let mut bench = bench();
    bench.press("b");
    bench.is_as_kept("70_batch_saw");
    let shown = batch(&bench);
    assert!(shown.changes.fence < shown.changes_by_name.fence, "{:?} {:?}", shown.changes, shown.changes_by_name);
    bench.shows(&format!("fence set {} times", shown.changes.fence));
    for size in SIZES {
        for palette in [Palette::Colour, Palette::Plain] {
            let text = screen_bench::text(&bench.buffer(size, palette)).to_lowercase();
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            for word in ["guard", "push stick", "put back"] {
                assert!(text.contains(word), "no '{word}' at {size:?}\n{text}");
            }
        }
    }
    bench.press("?");
    bench.is_as_kept("73_batch_help");
    bench.press("\u{1b}\t");
    bench.is_as_kept("71_batch_plane");
    assert!(batch(&bench).rows.iter().all(|row| row.tool() == Tool::Plane));
    bench.shows("both hands behind the iron");
}

/// "2x at 10" was one card and a paper in one row and two cards in the next.
#[test]
fn the_stock_of_every_pad_is_named_and_the_heads_stay() {
    let mut doors = Vec::new();
    for (place, end) in ["1/32", "1/16", "5/64", "3/32", "1/10", "7/64"].into_iter().enumerate() {
        doors.push((format!("door {place}"), door("11", "26", &[("right", "1/128", end, "saw")])));
        doors.push((format!("front {place}"), door("30", "9", &[("right", "1/128", end, "saw")])));
    }
    let doors: Vec<(&str, &str)> = doors.iter().map(|(name, events)| (name.as_str(), events.as_str())).collect();
    let mut bench = Bench::with(&doors);
    bench.press("b");
    let rows = batch(&bench).rows.clone();
    let short = ShortNames::of(&rows);
    let mut several = 0;
    for row in &rows {
        for (size, reasons) in SIZES.into_iter().zip([1, 6, 6]) {
            let text = screen_bench::text(&bench.buffer(size, Palette::Plain));
            let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let ways = [None, Some(&short)].map(|short| words::set_up(row, Show::default(), short));
            assert!(ways.iter().any(|way| flat.contains(way)), "{ways:?} at {size:?}\n{text}");
            assert!(flat.contains("move from kissing, pads"), "the heads stay at {size:?}\n{text}");
            assert!(!flat.contains("x at "), "at {size:?}\n{text}");
            // Where there is no room for all reasons, the row under the cursor has its own.
            let whole = flat.matches("REFUSED, rip: the edge on the fence").count();
            assert!(whole <= reasons, "{whole} reasons at {size:?}\n{text}");
            let refused = words::notes(row, false).iter().any(|note| note.starts_with("REFUSED, rip: the edge"));
            assert!(!refused || whole > 0, "no reason at {size:?}\n{text}");
        }
        let named = words::set_up(row, Show::default(), Some(&short));
        several += usize::from(named.contains('+'));
        bench.key(ratatui::crossterm::event::KeyCode::Down, ratatui::crossterm::event::KeyModifiers::NONE);
    }
    assert!(several > 0, "no pad of two stocks");
}

#[test]
fn enter_goes_to_the_sheet_and_back_and_a_cut_done_is_gone() {
    let mut bench = bench();
    bench.press("bj\r");
    let (leaf, edge) = match bench.session.screen() {
        Some(Screen::Record(record)) => {
            let sheet = record.sheet.as_ref().unwrap();
            (sheet.trim.leaf.clone(), sheet.trim.edge)
        }
        other => panic!("no sheet but {other:?}"),
    };
    bench.is_as_kept("72_batch_sheet");
    bench.press("\u{1b}");
    let (before, row) = (batch(&bench).rows.len(), batch(&bench).rows[1].clone());
    assert_eq!((&row.sheet.trim.leaf, row.sheet.trim.edge), (&leaf, edge));
    assert_eq!(bench.session.opened, None, "back on the page nothing is open");
    bench.press("\rd");
    while !matches!(bench.session.screen(), Some(Screen::Batch(_))) {
        bench.press("\u{1b}");
    }
    assert_eq!(batch(&bench).rows.len(), before - 1);
    assert!(!batch(&bench).rows.contains(&row), "what is cut waits no more");
    bench.press("\u{1b}");
    assert!(matches!(bench.session.screen(), Some(Screen::Shop(_))));
}

#[test]
fn only_openings_with_cuts_to_do_are_looked_at() {
    let bench = bench();
    let names = files(bench.session.shop.openings.iter().map(|one| &one.summary));
    assert_eq!(names.len(), 7, "{names:?}");
    assert!(names.iter().all(|name| !name.contains("not read")));
}

#[test]
fn with_nothing_to_cut_the_page_says_so() {
    let mut bench = Bench::new();
    bench.press("b");
    bench.shows("nothing for the saw");
    bench.press("\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Batch(_))));
    bench.press("\u{1b}");
    assert!(matches!(bench.session.screen(), Some(Screen::Shop(_))));
}

/// Every leaf's rows in the order given.
fn in_own_order(rows: &[Row], waiting: &[Waiting]) -> bool {
    waiting.iter().all(|one| {
        let Some(first) = one.rows.first() else { return true };
        let own = rows.iter().filter(|row| row.file == first.file);
        let wanted = one.rows.iter().filter(|row| row.tool() == Tool::Saw);
        own.eq(wanted)
    })
}

#[test]
fn the_fence_is_never_set_more_often_than_door_by_door() {
    // A small generator with a fixed start: doors of a few sizes with one to four cuts.
    let mut seed = 20_260_302_u64;
    let mut pick = |of: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % of
    };
    // What a shop has: a few widths, the same allowance on most edges.
    let amounts = ["1/16", "3/32"];
    let mut fewer = 0;
    for shop in 0..40 {
        let doors: Vec<(String, String)> = (0..=pick(9))
            .map(|number| {
                let width = ["9", "11", "14"][pick(3)];
                let height = ["12", "26", "32"][pick(3)];
                let mut trims = Vec::new();
                for edge in ["left", "bottom", "top", "right"] {
                    if pick(3) > 0 {
                        let start = amounts[pick(2)];
                        let end = if pick(3) > 0 { start } else { amounts[pick(2)] };
                        trims.push((edge, start, end, "saw"));
                    }
                }
                if trims.is_empty() {
                    trims.push(("right", "1/16", "1/16", "saw"));
                }
                (format!("door {number}"), door(width, height, &trims))
            })
            .collect();
        let waiting = wait_in(&doors);
        let batch = Batch::of(&waiting, Tool::Saw);
        let by_name: Vec<&Row> =
            waiting.iter().flat_map(|one| &one.rows).filter(|row| row.tool() == Tool::Saw).collect();
        assert_eq!(batch.rows.len(), by_name.len(), "shop {shop}: nothing is lost");
        assert_eq!(batch.changes_by_name, changes(&by_name), "shop {shop}");
        assert!(batch.changes <= batch.changes_by_name, "shop {shop}: {:?}", batch.changes);
        assert!(in_own_order(&batch.rows, &waiting), "shop {shop}: a leaf's edges keep their order");
        let kinds: std::collections::BTreeSet<_> = batch.rows.iter().filter_map(Row::fence).collect();
        assert!(batch.changes.fence >= kinds.len(), "shop {shop}: each setting is set once at least");
        fewer += usize::from(batch.changes.fence < batch.changes_by_name.fence);
    }
    println!("fewer fence settings in {fewer} of 40 shops");
    assert!(fewer >= 20, "in most shops it is fewer: {fewer} of 40");
}

#[test]
fn doors_of_two_sizes_turn_about_need_each_setting_once() {
    let one = |width: &str| door(width, "26", &[("right", "1/16", "1/16", "saw")]);
    let doors: Vec<(String, String)> =
        ["11", "14", "11", "14", "11"].iter().enumerate().map(|(n, width)| (format!("door {n}"), one(width))).collect();
    let batch = Batch::of(&wait_in(&doors), Tool::Saw);
    assert!(batch.rows.iter().all(|row| row.method() == Method::Rip));
    assert_eq!(batch.changes_by_name, Changes { fence: 5, pads: 0 });
    assert_eq!(batch.changes, Changes { fence: 2, pads: 0 });
}

/// What the rule of a coarse fence would take beside the wood that is wanted, for leaves whose widths were measured:
/// no heading gives a setting that takes too much, and each says what it takes less.
#[test]
fn a_heading_is_true_for_every_cut_under_it() {
    let measured = |width: &str, trims: &[waiting_doors::Trim]| {
        let event = format!(r#"{{"event":"measured","leaf":"A","widths":["{width}","{width}"]}}"#);
        format!("{}\n{event}", door("11", "26", trims))
    };
    let tapered = [("right", "1/32", "3/32", "saw")];
    let parallel = [("right", "1/16", "1/16", "saw")];
    let widths = ["10.992", "10.998", "11", "11.002", "11.005"];
    let doors: Vec<(String, String)> = (widths.iter().flat_map(|width| [(width, tapered), (width, parallel)]))
        .enumerate()
        .map(|(n, (width, trims))| (format!("door {n}"), measured(width, &trims)))
        .collect();
    let mut settings = Settings::default();
    settings.saws[0].finest_move = evenreveal::fit::length::Length::ratio(1, 64);
    let waiting: Vec<Waiting> =
        doors.iter().map(|(name, events)| waiting(name, name, &state(events), &settings)).collect();
    let batch = Batch::of(&waiting, Tool::Saw);
    assert_eq!(batch.rows.len(), doors.len());
    let (mut by_rule, mut by_kissing) = (0, 0);
    let mut under = String::new();
    let mut before = None;
    for row in &batch.rows {
        let heading = words::heading_after(before.replace(row), row, settings.show);
        under = heading.unwrap_or(under);
        let Some(setting) = row.sheet.sheet.setup.absolute() else {
            by_kissing += 1;
            assert!(under.contains("kiss, then move") && !under.contains("blade"), "{under}");
            continue;
        };
        by_rule += 1;
        let shown = setting.value.shown(settings.show);
        assert!(under.contains(&format!("fence to blade {shown} (takes ")), "{shown} under {under}");
        let errors = [setting.error_start, setting.error_end].map(evenreveal::fit::length::Inches::get);
        for error in errors {
            assert!((-0.004 - 1e-9..=1e-9).contains(&error), "{error}");
            let said = match errors.iter().all(|error| *error > -0.0005) {
                true => "just what is wanted".to_owned(),
                false if error > -0.0005 => "0 less".to_owned(),
                false => format!("{:.3} less", -error),
            };
            assert!(under.contains(&said), "no '{said}' in {under}");
        }
    }
    assert!(by_rule > 2 && by_kissing > 2, "{by_rule} by the rule, {by_kissing} by kissing");
}

#[test]
fn what_is_kept_from_the_saw_is_named_with_the_safe_way() {
    // A taper of less than one layer over a whole edge: the saw is refused for it, the plane takes it.
    let doors = [("door".to_owned(), door("11", "26", &[("left", "1/100", "0", "saw")]))];
    let waiting = wait_in(&doors);
    let saw = Batch::of(&waiting, Tool::Saw);
    assert!(saw.rows.is_empty() && saw.kept_from_saw.len() == 1, "{saw:?}");
    assert_eq!(saw.kept_from_saw[0].tool(), Tool::Plane);
    let plane = Batch::of(&waiting, Tool::Plane);
    assert_eq!(plane.rows.len(), 1);
    assert!(plane.cautions().contains(&Caution::HoldForPlane));
    assert!(!plane.cautions().contains(&Caution::GuardAndKnife), "no saw, no caution of it");
}

#[test]
fn the_command_answers_in_words_json_and_csv() {
    let bench = bench();
    let home = program::Home::new();
    let dir = bench.dir.path().display().to_string();
    let run = |more: &[&str]| {
        let arguments: Vec<&str> = ["--shop", dir.as_str(), "batch"].iter().chain(more).copied().collect();
        home.run(&arguments, "")
    };
    let said = run(&[]).code(0).gives(&["fence set", "RIP, ", "! Push stick", "REFUSED"]);
    assert!(!said.out.contains("not read"));
    let json = run(&["--json"]).code(0).json();
    let cuts = json["cuts"].as_array().unwrap();
    assert_eq!(json["format"], "evenreveal-batch/1");
    assert!(json["set"]["fence"].as_u64().unwrap() <= json["set_door_by_door"]["fence"].as_u64().unwrap());
    assert!(cuts.iter().all(|cut| !cut["set_up"]["cautions"].as_array().unwrap().is_empty()));
    for cut in cuts.iter().filter(|cut| cut["fence_to_blade"].is_number()) {
        for end in ["start", "end"] {
            let error = cut["fence_to_blade_error"][end].as_f64().unwrap();
            assert!((-0.004 - 1e-9..=1e-9).contains(&error), "{cut}");
        }
    }
    let csv = run(&["--csv"]).code(0);
    assert!(csv.out.contains("fence_to_blade_in,fence_error_start_in,fence_error_end_in"), "{}", csv.out);
    assert_eq!(csv.out.lines().count(), cuts.len() + 1);
    assert!(csv.out.starts_with("order,opening,leaf,edge,start_in"));
    run(&["--plane"]).code(0).gives(&["for the plane", "both hands behind the iron"]);
    run(&["--csv", "--json"]).code(2);
    let none = Bench::new();
    let dir = none.dir.path().display().to_string();
    home.run(&["--shop", &dir, "batch"], "").code(1).gives(&["nothing for the saw"]);
}

/// The single door read at twelve stations, with the advice of then accepted; and the same with readings since that
/// want another edge otherwise.
fn accepted_and_read_since() -> Bench {
    const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";
    const SINCE: &str = r#"[{"event":"readings","round":1,"gaps":[{"between":["A.right","frame"],"readings":[
      {"at":"1","goes":"7/64","stops":"1/8"},{"at":"13","goes":"7/64","stops":"1/8"},
      {"at":"25","goes":"7/64","stops":"1/8"}]}]}]"#;
    let mut bench = Bench::with(&[("agrees", SINGLE), ("differs", SINGLE)]);
    for keys in ["", "j"] {
        bench.press(&format!("{keys}\rr{TWELVE}\u{1b}pea\u{1b}\u{1b}\u{1b}"));
    }
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    let home = program::Home::new();
    home.write("since.json", SINCE);
    home.run(&["--shop", dir.path().to_str().unwrap(), "enter", "differs", "since.json"], "").code(0);
    Bench::on(dir)
}

#[test]
fn a_row_is_marked_where_the_advice_differs_now_from_its_plan() {
    const MARK: &str = "DIFFERS NOW: see the plan of this opening before the cut";
    let mut bench = accepted_and_read_since();
    bench.press("b\t");
    let rows = &batch(&bench).rows;
    assert!(rows.iter().any(|row| row.file == "agrees") && rows.iter().any(|row| row.file == "differs"), "{rows:?}");
    let text = bench.text();
    let mut lines = text.lines().skip_while(|line| !line.contains("agrees") && !line.contains("differs")).peekable();
    let mut seen = [0, 0];
    while let Some(line) = lines.next() {
        for (place, name) in ["  agrees ", "  differs "].iter().enumerate() {
            if line.replace('>', " ").contains(name) {
                seen[place] += 1;
                let marked = lines.peek().is_some_and(|next| next.contains(MARK));
                assert_eq!(marked, place == 1, "{line}\n{text}");
            }
        }
    }
    assert!(seen[0] > 0 && seen[1] > 0, "{seen:?}\n{text}");
    // The same by command.
    let home = program::Home::new();
    let dir = bench.dir.path().display().to_string();
    let run = |more: &[&str]| {
        let arguments: Vec<&str> = ["--shop", dir.as_str(), "batch", "--plane"].iter().chain(more).copied().collect();
        home.run(&arguments, "").code(0)
    };
    let cuts = run(&["--json"]).json()["cuts"].as_array().unwrap().clone();
    for cut in &cuts {
        assert_eq!(cut["advice_differs"], cut["opening"] == "differs", "{cut}");
    }
    for out in [run(&[]).out, run(&["--csv"]).out] {
        assert_eq!(out.matches(MARK).count(), cuts.iter().filter(|cut| cut["opening"] == "differs").count(), "{out}");
    }
}

#[test]
fn two_rows_of_one_edge_say_which_pass_each_is() {
    // More than one kerf of the saw: two passes.
    let mut bench = Bench::with(
        &[("fat", door("11", "26", &[("right", "3/16", "3/16", "saw")]))]
            .each_ref()
            .map(|(name, events)| (*name, events.as_str())),
    );
    bench.press("b");
    let numbers: Vec<_> =
        batch(&bench).rows.iter().map(|row| row.sheet.pass.as_ref().map(|pass| pass.number)).collect();
    assert_eq!(numbers, [Some(1), Some(2)]);
    for size in SIZES {
        let text = screen_bench::text(&bench.buffer(size, Palette::Plain));
        let at = |wanted: &str| text.lines().position(|line| line.contains(wanted)).unwrap_or_else(|| panic!("{text}"));
        assert!(at("pass 1 of 2") < at("pass 2 of 2"), "{text}");
    }
    let home = program::Home::new();
    let dir = bench.dir.path().display().to_string();
    let json = home.run(&["--shop", &dir, "batch", "--json"], "").code(0).json();
    assert_eq!(json["cuts"][1]["pass"], serde_json::json!({ "number": 2, "of": 2 }));
    let csv = home.run(&["--shop", &dir, "batch", "--csv"], "").code(0).out;
    assert!(csv.contains("pass 1 of 2") && csv.contains("pass 2 of 2"), "{csv}");
}
