//! Nothing that matters is cut off at 80 columns: the chosen event of the log, notes, names of gap lines, reasons.

#[allow(dead_code)]
#[path = "common/screen_bench.rs"]
mod screen_bench;

use evenreveal::screen::theme::Palette;
use evenreveal::shop::settings::Settings;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{BARE, Bench, SINGLE, SIZES, text};

const STACK: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","lower.left"],"target":"3/32"},{"between":["lower.right","frame"],"target":"3/32"},
  {"between":["frame","lower.bottom"],"target":"3/32"},{"between":["lower.top","upper.bottom"],"target":"3/32"},
  {"between":["frame","upper.left"],"target":"3/32"},{"between":["upper.right","frame"],"target":"3/32"},
  {"between":["upper.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"lower","name":"lower front","width":"14","height":"8"}
{"event":"leaf","leaf":"upper","name":"upper front","width":"14","height":"6"}"#;

const PLAN: &str = r#"{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"}]}]}
{"event":"plan","round":1,"verdict":"cut","trims":[
  {"leaf":"A","edge":"left","start":"1/64","end":"1/32"},{"leaf":"A","edge":"right","start":"3/64","end":"1/32"},
  {"leaf":"A","edge":"bottom","start":"1/64","end":"1/16"},{"leaf":"A","edge":"top","start":"1/32","end":"5/64"}]}"#;

const NOTE: &str = "Tape was thinner than I thought: the saw left more than planned on the latch side, so the next \
  layer goes on before the fence is moved, and the plane takes what is left of the line; ask Ann for her feelers, \
  the thin ones, and measure the stack of ten again while at it, on the cast iron and not on the bench; the photo \
  of the pads as they lay is in the blue folder beside the saw, with the date on the back and the name of the door.";

/// The rows without the spaces that set them, one after the other.
fn run_together(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn shows_whole(bench: &Bench, wanted: &str) {
    for size in SIZES {
        let text = text(&bench.buffer(size, Palette::Colour));
        assert!(run_together(&text).contains(&run_together(wanted)), "no '{wanted}' at {size:?} on\n{text}");
    }
}

#[test]
fn the_chosen_event_of_the_log_is_read_to_its_end() {
    let note = serde_json::json!({ "event": "note", "text": run_together(NOTE) }).to_string();
    let mut bench = Bench::with(&[("left door", &format!("{SINGLE}\n{PLAN}\n{note}"))]);
    bench.press("\rl");
    shows_whole(&bench, NOTE);
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    shows_whole(
        &bench,
        "plan accepted, cut: A left (bottom 1/64, top 1/32); A right (bottom 3/64, top 1/32); A bottom (left 1/64, \
         right 1/16); A top (left 1/32, right 5/64)",
    );
    // The other events keep their rows, in their order, and none is lost.
    for size in SIZES {
        let text = text(&bench.buffer(size, Palette::Colour));
        for start in [" 1  2026", " 2  2026", " 3  2026", "> 4  2026", " 5  2026"] {
            let start = start.replace("> 4", ">   4");
            assert!(text.contains(&start) || text.contains("more above"), "no row '{start}' at {size:?} on\n{text}");
        }
    }
}

/// Two rounds have a chart and lines for their cuts; the chosen event has room beside them.
#[test]
fn a_long_note_is_read_to_its_end_beside_a_chart() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample_copy::sample(dir.path());
    let holder = evenreveal::shop::Holder { pid: 1, host: "bench".to_owned(), since: screen_bench::AT.to_owned() };
    let open = evenreveal::shop::Shop::open(&shop, &evenreveal::shop::Access::Write(holder)).unwrap();
    let note = serde_json::json!({ "event": "note", "text": run_together(NOTE) }).to_string();
    let events = vec![serde_json::from_str(&note).unwrap()];
    open.opening("Door, middle left").unwrap().enter(events, screen_bench::AT).unwrap();
    drop(open);
    let runner = evenreveal::shell::runner::Runner::open(&evenreveal::shop::ShopChoice::own(shop)).unwrap();
    let session = evenreveal::bench::Session::new(runner.seen().unwrap());
    let mut bench = Bench { session, runner, presses: 0, dir };
    bench.press("\rl");
    shows_whole(&bench, NOTE);
    bench.press("\u{1b}");
    // The page of the opening has room for its beginning and says where the rest is.
    bench.shows("note: Tape was thinner than I thought");
    bench.shows(".. whole in the log (l)");
}

#[path = "common/sample_copy.rs"]
mod sample_copy;

#[test]
fn a_note_of_two_lines_stands_whole_on_the_page_of_its_opening() {
    let note = "Tape was thinner than I thought: the saw left more than planned on the latch side.";
    let event = serde_json::json!({ "event": "note", "text": note }).to_string();
    let mut bench = Bench::with(&[("left door", &format!("{SINGLE}\n{event}"))]);
    bench.press("\r");
    shows_whole(&bench, note);
}

#[test]
fn gap_lines_have_their_names_in_full_through_the_year() {
    let mut bench = Bench::with(&[("drawers", STACK)]);
    bench.press("\rg");
    for name in ["lower left", "lower bottom", "between lower and upper", "upper right", "upper top"] {
        shows_whole(&bench, name);
    }
    for size in SIZES {
        let text = text(&bench.buffer(size, Palette::Colour));
        assert!(!text.contains(".."), "cut off at {size:?}:\n{text}");
    }
    // Where a millimetre shop's figures are wide, a long name stands above them.
    let settings = Settings { show: evenreveal::fit::length::Show::DecimalInch(3), ..Settings::default() };
    let long = STACK.replace("lower", "the lowest front").replace("upper", "the one above it");
    let mut bench = Bench::in_shop(settings, &[("drawers", &long)]);
    bench.press("\rg");
    shows_whole(&bench, "between the lowest front and the one above it");
}

#[test]
fn the_list_names_its_leaves_or_counts_them() {
    let mut bench = Bench::with(&[("drawers", STACK)]);
    bench.shows("lower upper");
    bench = Bench::with(&[("the three drawer fronts under the window, left", STACK)]);
    let text = bench.text();
    assert!(text.contains("2 leaves") && !text.contains("lower.."), "{text}");
    bench.press("n");
}

#[test]
fn what_is_left_out_of_the_cut_list_says_why_to_its_end() {
    let build = r#"{"event":"build","leaf":"A","thickness":"3/4","grain":"upright","species":"Cherry, black","allowance":"1/16"}"#;
    let events = format!("{BARE}\n{build}");
    let mut bench = Bench::with(&[("a door with a rather long name, kitchen", &events)]);
    bench.press("v");
    shows_whole(&bench, "the opening is not measured yet: press s there, or enter a 'survey' event");
}

#[test]
fn the_head_names_the_page_whatever_the_shop_is_called() {
    let name = "The workshop of the brothers behind the old sawmill, second yard to the left, upper floor".to_owned();
    let mut bench = Bench::in_shop(Settings { name, ..Settings::default() }, &[("left door", SINGLE)]);
    bench.press("t");
    shows_whole(&bench, "- tools, stock and settings");
}
