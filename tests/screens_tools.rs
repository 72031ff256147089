//! The page of tools and settings through real keys at three sizes: measured stock, what is typed and left, what
//! is taken back, and what another build wrote into the settings.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::tools_page::all_rows;
use evenreveal::bench::{Screen, Session};
use evenreveal::cut::tools::Measured;
use evenreveal::fit::length::Length;
use evenreveal::shell::runner::Runner;
use evenreveal::shop::ShopChoice;
use screen_bench::{Bench, SINGLE};

const ESC: &str = "\u{1b}";

impl Bench {
    fn walk_to(&mut self, label: &str) {
        let rows = all_rows(&self.session.shop.settings);
        let place = rows.iter().position(|(.., row)| row.label == label).unwrap();
        let at = match self.session.screen() {
            Some(Screen::Tools(page)) => page.at,
            other => panic!("{other:?}"),
        };
        self.press(&if place >= at { "j".repeat(place - at) } else { "k".repeat(at - place) });
    }

    fn field(&self, place: usize) -> String {
        match self.session.screen() {
            Some(Screen::Tools(page)) => page.typing.as_ref().map_or("", |form| form.value(place)).to_owned(),
            other => panic!("{other:?}"),
        }
    }

    fn said(&self) -> String {
        self.session.said.as_ref().map_or_else(String::new, |said| said.text.clone())
    }
}

fn erased(text: &str) -> String {
    format!("{}{text}", "\u{8}".repeat(20))
}

#[test]
fn the_page_and_its_forms_are_as_kept() {
    let mut bench = Bench::new();
    bench.press("t");
    bench.is_as_kept("90_tools_top");
    bench.walk_to("painter's tape");
    bench.shows("starting value, not measured");
    bench.is_as_kept("91_tools_stock");
    bench.press("\r");
    bench.is_as_kept("92_tools_measuring_tape");
    bench.press(&format!("\r{}\r{}\r\r", erased("10"), erased("0.052")));
    bench.shows("10 layers measured 0.052");
    bench.is_as_kept("93_tools_tape_measured");
    bench.walk_to("table saw");
    bench.is_as_kept("94_tools_saw");
    bench.press("\r");
    bench.is_as_kept("95_tools_saw_form");
}

#[test]
fn a_stack_is_divided_and_a_plane_by_its_strokes() {
    let mut bench = Bench::new();
    bench.press("t");
    bench.walk_to("painter's tape");
    bench.press(&format!("\r\r{}\r{}\r\r", erased("10"), erased("0.052")));
    let tape = bench.session.shop.settings.stock[0].clone();
    assert_eq!(tape.thickness, Length::ratio(52, 10_000));
    assert_eq!(tape.measured, Measured::Stack { layers: 10, total: Length::ratio(52, 1000), read_to: None });
    // The name alone may change; what was measured stays.
    bench.press(&format!("\r{}\r\r\r\r", erased("blue tape")));
    let renamed = bench.session.shop.settings.stock[0].clone();
    assert_eq!(
        (renamed.name.as_str(), renamed.thickness, renamed.measured),
        ("blue tape", tape.thickness, tape.measured)
    );
    bench.walk_to("block plane");
    bench.press(&format!("\r\r{}\r{}\r\r", erased("20"), erased("1/32")));
    assert_eq!(bench.session.shop.settings.planes[0].shaving, Length::ratio(1, 640));
    // A new one needs its measure, and a name of its own.
    bench.walk_to("+ add a plane");
    bench.press("\rblock plane\r10\r0.01\r\r");
    assert!(bench.said().contains("already"), "{}", bench.said());
    bench.press(&format!("{}\r\r\r\r", erased("jack")));
    assert_eq!(bench.session.shop.settings.planes.len(), 2);
    bench.walk_to("+ add a stock");
    bench.press("\rveneer\r\r\r\r");
    assert_eq!(bench.session.shop.settings.stock.len(), 4, "{}", bench.text());
    assert!(!bench.said().is_empty());
}

#[test]
fn what_is_typed_and_left_stands_there_again() {
    let mut bench = Bench::new();
    bench.press("t");
    bench.walk_to("table saw");
    bench.press(&format!("\r\r{}{ESC}", erased("22 1/2")));
    assert!(bench.said().contains("set aside"), "{}", bench.said());
    assert_eq!(bench.session.shop.settings.saws[0].fence_before, Length::ratio(16, 1), "nothing is kept yet");
    // Another row has its own; so has the page when it is come back to.
    bench.walk_to("block plane");
    bench.press("\r");
    assert_eq!(bench.field(0), "block plane");
    bench.press(&format!("{ESC}{ESC}t"));
    bench.walk_to("table saw");
    bench.press("\r");
    assert_eq!(bench.field(1), "22 1/2");
    bench.press("\r\r\r\r\r");
    assert_eq!(bench.session.shop.settings.saws[0].fence_before, Length::ratio(45, 2));
    assert!(bench.said().starts_with("kept: "), "{}", bench.said());
    bench.press("\r");
    assert_eq!(bench.field(1), "22 1/2", "kept, and a fresh form of it");
    bench.press(ESC);
    assert!(!bench.said().contains("set aside"), "nothing was typed: {}", bench.said());
    bench.press("u");
    assert_eq!(bench.session.shop.settings.saws[0].fence_before, Length::ratio(16, 1));
}

#[test]
fn a_form_stays_until_it_is_on_the_disk() {
    let mut bench = Bench::new();
    bench.press("t");
    bench.walk_to("table saw");
    bench.press(&format!("\r\r{}", erased("22 1/2")));
    let settings = bench.dir.path().join("shop.json");
    let kept = std::fs::read(&settings).unwrap();
    // The disk says no.
    std::fs::remove_file(&settings).unwrap();
    std::fs::create_dir_all(settings.join("in the way")).unwrap();
    bench.press("\r\r\r\r");
    assert_eq!(bench.field(1), "22 1/2", "{}\n{}", bench.said(), bench.text());
    assert!(!bench.said().starts_with("kept"), "{}", bench.said());
    std::fs::remove_dir_all(&settings).unwrap();
    std::fs::write(&settings, kept).unwrap();
    bench.press("\r");
    assert!(bench.said().starts_with("kept: "), "{}", bench.said());
    assert_eq!(bench.session.shop.settings.saws[0].fence_before, Length::ratio(45, 2));
    // There is nothing to take back but that one change.
    bench.press("uu");
    assert!(bench.said().contains("nothing was changed"), "{}", bench.said());
}

#[test]
fn settings_of_a_later_build_stay_in_the_file() {
    let bench = Bench::with(&[("left door", SINGLE)]);
    let path = bench.dir.path().join("shop.json");
    let mut settings: serde_json::Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    settings["lamp_over_the_bench"] = serde_json::json!({ "lumens": 800, "list": [1, 2] });
    std::fs::write(&path, settings.to_string()).unwrap();
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    let mut bench = Bench::on(dir);
    bench.press("t");
    bench.walk_to("tolerance");
    bench.press(&format!("\r{}\r", erased("1/32")));
    assert!(bench.said().starts_with("kept: "), "{}", bench.said());
    let now: serde_json::Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    assert_eq!(now["lamp_over_the_bench"], settings["lamp_over_the_bench"]);
    assert_ne!(now["tolerance"], settings["tolerance"]);
}

#[test]
fn esc_at_the_first_questions_keeps_nothing_and_names_the_sample_shop() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("shop.json");
    let mut bench = Bench::on(dir);
    assert!(matches!(bench.session.screen(), Some(Screen::FirstStart(_))));
    bench.press(ESC);
    assert!(bench.said().contains("evenreveal sample"), "{}", bench.said());
    assert!(matches!(bench.session.screen(), Some(Screen::FirstStart(_))), "asked first");
    // Any other key is a change of mind.
    bench.press("\r");
    bench.press(ESC);
    assert!(matches!(bench.session.screen(), Some(Screen::FirstStart(_))));
    bench.press(ESC);
    assert!(matches!(bench.session.screen(), Some(Screen::Shop(_))), "{}", bench.text());
    assert!(bench.said().contains("nothing was kept"), "{}", bench.said());
    assert!(!path.exists(), "no settings were written");
    let Bench { dir, runner, .. } = bench;
    drop(runner);
    let runner = Runner::open(&ShopChoice::own(dir.path().to_owned())).unwrap();
    let session = Session::new(runner.seen().unwrap());
    assert!(matches!(session.screen(), Some(Screen::FirstStart(_))), "the questions come again");
}
