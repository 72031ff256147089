//! Set-up sheets at the bench: order, sizes tracked through the log, drawing, refusals, cautions, keys.

use evenreveal::bench::recording::RecordCut;
use evenreveal::bench::sheets::{self, Sizes};
use evenreveal::bench::{Message, Screen, Session, sheet_words};
use evenreveal::cut::job::Method;
use evenreveal::fit::length::Inches;
use evenreveal::screen::theme::{Palette, Theme};
use evenreveal::screen::{self, keymap};
use evenreveal::shell::runner::Runner;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Holder, Shop, ShopChoice};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

const AT: &str = "2026-03-02T14:05:11Z";
const SIZES: [(u16, u16); 3] = [(80, 24), (120, 40), (200, 60)];

/// A door with an accepted plan: latch side and bottom by the saw, top by the plane.
const EVENTS: &str = r#"
{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left","made":"framed"}
{"event":"readings","round":1,"gaps":[{"between":["A.right","frame"],"readings":[{"at":"1","gap":"1/64"}]}]}
{"event":"plan","round":1,"verdict":"cut","trims":[
  {"leaf":"A","edge":"right","start":"1/16","end":"7/64"},
  {"leaf":"A","edge":"top","start":"1/64","end":"1/32"},
  {"leaf":"A","edge":"bottom","start":"1/16","end":"3/32"}]}"#;

struct Bench {
    session: Session,
    runner: Runner,
    _dir: tempfile::TempDir,
}

impl Bench {
    /// At the set-up sheets of the door.
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
        let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
        shop.save_settings(Settings::default()).unwrap();
        let events = serde_json::Deserializer::from_str(EVENTS).into_iter().map(Result::unwrap).collect();
        shop.create_opening("door").unwrap().enter(events, AT).unwrap();
        drop(shop);
        let runner = Runner::open(&ShopChoice::own(dir.path().to_owned())).unwrap();
        let session = Session::new(runner.seen().unwrap());
        let mut bench = Self { session, runner, _dir: dir };
        bench.press("\rc");
        bench
    }

    fn press(&mut self, keys: &str) {
        for key in keys.chars() {
            let code = match key {
                '\r' => KeyCode::Enter,
                '\t' => KeyCode::Tab,
                '\u{8}' => KeyCode::Backspace,
                other => KeyCode::Char(other),
            };
            let place = keymap::place(&self.session);
            if let Some(action) = keymap::action(place, KeyEvent::new(code, KeyModifiers::NONE)) {
                evenreveal::shell::deal(Message::Action(action), &mut self.session, &mut self.runner);
            }
        }
    }

    fn record(&self) -> &RecordCut {
        match self.session.screen() {
            Some(Screen::Record(record)) => record,
            other => panic!("{other:?}"),
        }
    }

    fn text(&self, (width, height): (u16, u16), palette: Palette) -> String {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        terminal.draw(|frame| screen::view(&self.session, Theme::new(palette), frame)).unwrap();
        let buffer = terminal.backend().buffer().clone();
        let row = |y| (0..width).map(|x| buffer[(x, y)].symbol()).collect::<String>();
        (0..height).map(|y| row(y).trim_end().to_owned() + "\n").collect()
    }

    /// The text in one line, so that a sentence broken over rows is found again.
    fn flat(&self, size: (u16, u16)) -> String {
        self.text(size, Palette::Colour).split_whitespace().collect::<Vec<_>>().join(" ")
    }

    fn last_cut(&self) -> serde_json::Value {
        let records = &self.session.opened.as_ref().unwrap().records;
        serde_json::to_value(records.last().unwrap()).unwrap()
    }
}

#[test]
fn edges_come_in_order_and_each_sheet_is_whole_at_every_size() {
    let mut bench = Bench::new();
    for (edge, order) in [("bottom", "end grain before"), ("top", "end grain before"), ("right", "cleans up")] {
        let sheet = bench.record().sheet.clone().unwrap();
        assert_eq!(sheet.trim.edge.word(), edge);
        let reason = sheet_words::order(&sheet);
        if edge != "right" || bench.record().jobs.len() > 1 {
            assert!(sheet.order.iter().any(|why| why.text().contains(order)), "{edge}: {reason:?}");
        }
        for size in SIZES {
            let flat = bench.flat(size);
            assert!(flat.contains(&format!("A {edge} edge")), "{size:?}\n{flat}");
            assert!(flat.contains(&sheet_words::method(sheet.sheet.setup.method()).to_uppercase()), "{flat}");
            assert!(flat.contains("rounding leaves"), "{flat}");
            for caution in &sheet.sheet.cautions {
                let seen = flat.contains(caution.text()) || flat.contains(caution.short());
                assert!(seen, "{size:?} {edge}: no '{}' on\n{}", caution.short(), bench.text(size, Palette::Colour));
            }
        }
        bench.press("d");
    }
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))));
}

#[test]
fn the_screens_are_as_kept() {
    let mut bench = Bench::new();
    let kept_in = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/setup_sheets");
    let check = |bench: &Bench, name: &str| {
        for size in SIZES {
            let now = bench.text(size, Palette::Plain);
            let path = kept_in.join(format!("{name}_{}x{}.txt", size.0, size.1));
            if std::env::var_os("EVENREVEAL_KEEP_SCREENS").is_some() {
                std::fs::create_dir_all(&kept_in).unwrap();
                std::fs::write(&path, &now).unwrap();
                continue;
            }
            let kept = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            assert!(kept == now, "{} differs; now it is\n{now}", path.display());
        }
    };
    check(&bench, "bottom");
    bench.press("d");
    check(&bench, "top");
    bench.press("d");
    check(&bench, "latch");
}

#[test]
fn another_method_is_one_key_and_a_refused_one_gives_no_number() {
    let mut bench = Bench::new();
    let mut refused = Vec::new();
    for _ in 0..Method::ALL.len() {
        bench.press("m");
        let record = bench.record();
        let (asked, sheet) = (record.asked.method.unwrap(), record.sheet.as_ref().unwrap());
        let why = sheet.sheet.refused.iter().find(|refused| refused.method == asked);
        let flat = bench.flat(SIZES[0]);
        match why {
            None => assert_eq!(sheet.sheet.setup.method(), asked),
            Some(why) => {
                refused.push(asked);
                assert_ne!(sheet.sheet.setup.method(), asked);
                assert!(flat.contains(&format!("REFUSED, {}", sheet_words::method(asked))), "{flat}");
                assert!(flat.contains(why.why.text()), "{flat}");
                let refusal = flat.split("REFUSED").nth(1).and_then(|rest| rest.split("Instead").next()).unwrap();
                assert!(!refusal.contains(|letter: char| letter.is_ascii_digit()), "{refusal}");
            }
        }
    }
    // Sanding away 3/32 is refused; so the loop has met a refusal.
    assert!(refused.contains(&Method::SandingBlock), "{refused:?}");
}

#[test]
fn done_as_shown_keeps_the_set_up_and_the_sizes_follow() {
    let mut bench = Bench::new();
    let sheet = bench.record().sheet.clone().unwrap();
    bench.press("d");
    let cut = bench.last_cut();
    assert_eq!(cut["method"], sheet.sheet.setup.method().word());
    assert_eq!(cut["settings"]["as_shown"], true);
    let shown = serde_json::to_value(&sheet.sheet).unwrap();
    for key in ["setup", "reason", "cautions", "assumptions", "refused"] {
        assert_eq!(cut["settings"][key], shown[key], "{key}");
    }
    let sizes = Sizes::of(&bench.session.opened.as_ref().unwrap().state, "A").unwrap();
    assert_eq!(sizes.height.map(Inches::get), [26.0 - 1.0 / 16.0, 26.0 - 3.0 / 32.0]);
    assert_eq!(sizes.width.map(Inches::get), [11.0, 11.0]);
    // The latch side is as long as the bottom and top leave it.
    bench.press("d");
    let job = &bench.record().sheet.as_ref().unwrap().job;
    assert!((job.length.get() - (26.0 - 3.0 / 32.0 - 1.0 / 32.0)).abs() < 1e-12, "{job:?}");
}

#[test]
fn widths_typed_are_used_kept_and_tracked() {
    let mut bench = Bench::new();
    bench.press("dd");
    assert!(!bench.record().sheet.as_ref().unwrap().job.widths_known);
    bench.press("w");
    let back = "\u{8}".repeat(12);
    bench.press(&format!("{back}10 31/32\r{back}10 15/16\r"));
    let record = bench.record();
    let sheet = record.sheet.as_ref().unwrap();
    assert!(sheet.job.widths_known && record.typing.is_none());
    assert_eq!((sheet.job.width_start.get(), sheet.job.width_end.get()), (10.96875, 10.9375));
    assert!(sheet_words::assumptions(sheet).iter().all(|text| !text.contains("width at the top")));
    // They are an event of their own before anything is cut: leaving the screen loses nothing.
    let kept = bench.last_cut();
    assert_eq!((&kept["event"], &kept["leaf"]), (&serde_json::json!("measured"), &serde_json::json!("A")));
    assert_eq!(kept["widths"], serde_json::json!(["10 31/32\"", "10 15/16\""]));
    bench.press("d");
    let sizes = Sizes::of(&bench.session.opened.as_ref().unwrap().state, "A").unwrap();
    assert_eq!(sizes.known, [true, false]);
    assert_eq!(sizes.width.map(Inches::get), [10.96875 - 0.0625, 10.9375 - 7.0 / 64.0]);
}

#[test]
fn done_otherwise_keeps_what_was_typed_and_by_what_means() {
    let mut bench = Bench::new();
    bench.press("o");
    let back = "\u{8}".repeat(12);
    bench.press(&format!("{back}1/32\r{back}3/64\r\r"));
    let cut = bench.last_cut();
    assert_eq!((&cut["start"], &cut["end"]), (&serde_json::json!("1/32\""), &serde_json::json!("3/64\"")));
    assert_eq!(cut["settings"]["as_shown"], false);
    assert_eq!(cut["settings"]["planned_start"], "1/16\"");
    assert!(cut["settings"].get("setup").is_none());
}

#[test]
fn the_sheets_of_a_whole_plan_follow_one_another() {
    let bench = Bench::new();
    let opened = bench.session.opened.as_ref().unwrap();
    let trims = &opened.state.latest().unwrap().plan.as_ref().unwrap().what.trims;
    let all: Vec<_> =
        sheets::sheets(&opened.state, &bench.session.shop.settings, trims).into_iter().map(Result::unwrap).collect();
    let edges: Vec<_> = all.iter().map(|sheet| sheet.trim.edge.word()).collect();
    assert_eq!(edges, ["bottom", "top", "right"]);
    // The top is cut from a leaf that the bottom has already left shorter.
    assert_eq!(all[1].job.width_start.get(), 26.0 - 1.0 / 16.0);
    for sheet in &all {
        let whole = sheet_words::whole(sheet, bench.session.shop.show()).join("\n");
        assert!(sheet.sheet.cautions.iter().all(|caution| whole.contains(caution.text())), "{whole}");
    }
}

#[test]
fn what_is_measured_at_the_sheet_changes_it_and_is_kept() {
    let mut bench = Bench::new();
    // The bottom is cut on the sled: a corner a hundredth beyond square.
    bench.press("s\r\u{8}0.01\r");
    let adjoining = bench.record().sheet.as_ref().unwrap().job.adjoining;
    let known: Vec<f64> = adjoining.iter().filter_map(|edge| edge.out_of_square).map(Inches::get).collect();
    assert_eq!(known.len(), 1, "{adjoining:?}");
    assert!((known[0] - 0.01).abs() < 1e-12, "{known:?}");
    // No wood under a part of the top, and a hinge edge that is hollow: the fence is refused on the latch side.
    bench.press("b\r2 to 5 1/2; 9 to 8\r");
    assert!(bench.session.said.as_ref().unwrap().text.contains("ends before it begins"), "{:?}", bench.session.said);
    bench.press("\u{8}10\r");
    assert_eq!(bench.record().sheet.as_ref().unwrap().job.no_contact.len(), 2);
    bench.press("dd");
    let method = |bench: &Bench| bench.record().sheet.as_ref().unwrap().sheet.setup.method();
    assert_eq!(method(&bench), Method::Rip);
    bench.press("t\r\u{8}1/64\r");
    assert_ne!(method(&bench), Method::Rip);
    let sheet = bench.record().sheet.clone().unwrap();
    assert!(sheet_words::refusals(&sheet).iter().any(|why| why.contains("not straight")), "{sheet:?}");
    let flat = bench.flat(SIZES[1]);
    assert!(!flat.contains("kiss") && !flat.contains("fence:"), "numbers of a refused set-up: {flat}");
    let kinds: Vec<_> = bench.session.opened.as_ref().unwrap().records.iter().map(|r| r.event.word()).collect();
    assert_eq!(kinds.iter().filter(|kind| **kind == "measured").count(), 3, "{kinds:?}");
}
