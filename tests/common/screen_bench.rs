//! A session driven by keys, its screens compared with kept snapshots.
//!
//! `EVENREVEAL_KEEP_SCREENS=1` writes the snapshots anew; look at every difference.

#[path = "bare.rs"]
mod bare;

use evenreveal::bench::knowing::LookAnswer;
use evenreveal::bench::stations::StationPlace;
use evenreveal::bench::{Message, Screen, Session};
use evenreveal::screen::theme::{Palette, Theme};
use evenreveal::screen::{self, keymap};
use evenreveal::shell::runner::Runner;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Holder, Shop, ShopChoice};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use std::fmt::Write;
use std::path::{Path, PathBuf};

pub const SIZES: [(u16, u16); 3] = [(80, 24), (120, 40), (200, 60)];
pub const BARE: &str = bare::BARE;
pub const AT: &str = "2026-03-02T14:05:11Z";

pub const SINGLE: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left","made":"framed"}"#;

/// A session at work, driven by keys.
pub struct Bench {
    pub session: Session,
    pub runner: Runner,
    pub presses: usize,
    pub dir: tempfile::TempDir,
}

impl Bench {
    /// On a shop with one single door.
    pub fn new() -> Self {
        Self::with(&[("left door", SINGLE)])
    }

    /// On a shop with these openings: name and events.
    pub fn with(openings: &[(&str, &str)]) -> Self {
        Self::in_shop(Settings { name: "a shop".to_owned(), ..Settings::default() }, openings)
    }

    /// On a shop with these settings and these openings: name and events.
    pub fn in_shop(settings: Settings, openings: &[(&str, &str)]) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let holder = Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() };
        let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
        shop.save_settings(settings).unwrap();
        for (name, events) in openings {
            let events = serde_json::Deserializer::from_str(events).into_iter().map(Result::unwrap).collect();
            shop.create_opening(name).unwrap().enter(events, AT).unwrap();
        }
        drop(shop);
        Self::on(dir)
    }

    pub fn on(dir: tempfile::TempDir) -> Self {
        let runner = Runner::open(&ShopChoice::own(dir.path().to_owned())).unwrap();
        let session = Session::new(runner.seen().unwrap());
        Self { session, runner, presses: 0, dir }
    }

    pub fn key(&mut self, code: KeyCode, modifiers: KeyModifiers) {
        self.presses += 1;
        let place = keymap::place(&self.session);
        if let Some(action) = keymap::action(place, KeyEvent::new(code, modifiers)) {
            evenreveal::shell::deal(Message::Action(action), &mut self.session, &mut self.runner);
        }
    }

    /// Presses keys: `\r` Enter, `\t` Tab, `\u{8}` Backspace, `\u{1b}` Esc, anything else itself.
    pub fn press(&mut self, keys: &str) {
        for key in keys.chars() {
            let code = match key {
                '\r' => KeyCode::Enter,
                '\t' => KeyCode::Tab,
                '\u{8}' => KeyCode::Backspace,
                '\u{1b}' => KeyCode::Esc,
                other => KeyCode::Char(other),
            };
            self.key(code, KeyModifiers::NONE);
        }
    }

    /// Reads the next stations with one feeler; what is asked about is kept as read.
    pub fn read_all_as(&mut self, feeler: &str, stations: usize) {
        for _ in 0..stations {
            self.press(&format!("{feeler}\r"));
            if matches!(self.session.screen(), Some(Screen::Readings(entry)) if entry.asked.is_some()) {
                self.press("k");
            }
        }
    }

    /// Walks the stations that are asked for to their end, the feeler of each named by `feeler`; what is asked
    /// about is kept as read.
    pub fn walk_as(&mut self, feeler: impl Fn(&StationPlace) -> String) {
        for _ in 0..200 {
            let Some(Screen::Readings(entry)) = self.session.screen() else { return };
            let keys = match (&entry.asked, entry.station()) {
                (Some(_), _) => "k".to_owned(),
                (None, Some(station)) => format!("{}\r", feeler(station)),
                (None, None) => "\r".to_owned(),
            };
            self.press(&keys);
        }
        panic!("the walk does not end\n{}", self.text());
    }

    /// What was worked out on the opening that is open, as it now is.
    #[track_caller]
    pub fn answer(&self) -> &LookAnswer {
        let opened = self.session.opened.as_ref().expect("an opening");
        self.session.advised.answer(opened).expect("an answer")
    }

    pub fn buffer(&self, (width, height): (u16, u16), palette: Palette) -> Buffer {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        terminal.draw(|frame| screen::view(&self.session, Theme::new(palette), frame)).unwrap();
        terminal.backend().buffer().clone()
    }

    pub fn text(&self) -> String {
        text(&self.buffer(SIZES[0], Palette::Colour))
    }

    pub fn shows(&self, wanted: &str) {
        let text = self.text();
        assert!(text.contains(wanted), "no '{wanted}' on\n{text}");
    }

    /// Compares the screen at every size with the kept snapshots.
    pub fn is_as_kept(&mut self, name: &str) {
        // The clock is the only thing that differs from run to run.
        for record in self.session.opened.iter_mut().flat_map(|opened| &mut opened.records) {
            AT.clone_into(&mut record.at);
        }
        for size in SIZES {
            let buffer = self.buffer(size, Palette::Colour);
            let now = format!("{}{}", text(&buffer), styles(&buffer));
            let path = kept_in().join(format!("{name}_{}x{}.txt", size.0, size.1));
            if std::env::var_os("EVENREVEAL_KEEP_SCREENS").is_some() {
                std::fs::create_dir_all(kept_in()).unwrap();
                std::fs::write(&path, &now).unwrap();
                continue;
            }
            let kept = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            assert!(kept == now, "{} differs; now it is\n{now}", path.display());
        }
    }
}

fn kept_in() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/screens")
}

pub fn text(buffer: &Buffer) -> String {
    let mut text = String::new();
    for y in 0..buffer.area.height {
        let row: String = (0..buffer.area.width).map(|x| buffer[(x, y)].symbol()).collect();
        let _ = writeln!(text, "{}", row.trim_end());
    }
    text
}

/// One line for each run of cells that are not plain.
pub fn styles(buffer: &Buffer) -> String {
    let mut lines = String::from("---- styles: row, columns, ink, ground, attributes\n");
    for y in 0..buffer.area.height {
        let mut x = 0;
        while x < buffer.area.width {
            let style = buffer[(x, y)].style();
            let start = x;
            while x < buffer.area.width && buffer[(x, y)].style() == style {
                x += 1;
            }
            let cell = &buffer[(start, y)];
            if cell.fg != ratatui::style::Color::Reset
                || cell.bg != ratatui::style::Color::Reset
                || !cell.modifier.is_empty()
            {
                let _ = writeln!(lines, "{y} {start}-{} {:?} {:?} {:?}", x - 1, cell.fg, cell.bg, cell.modifier);
            }
        }
    }
    lines
}
