//! The pictures in the README are what the program draws now: its own rendered screens at three sizes, and a card.
//!
//! `EVENREVEAL_KEEP_PICTURES=1 cargo test --test pictures` draws them anew into `assets/pictures`; look at them.

#[path = "common/cell_picture.rs"]
mod cell_picture;
#[path = "common/sample_copy.rs"]
mod sample_copy;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Message;
use evenreveal::screen::theme::Palette;
use evenreveal::shell::deal;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb::Database};
use screen_bench::{Bench, SIZES};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn kept_in() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/pictures")
}

/// Compares a picture with the kept one, or keeps it.
fn is_as_kept(name: &str, now: &str) {
    let path = kept_in().join(name);
    if std::env::var_os("EVENREVEAL_KEEP_PICTURES").is_some() {
        fs::create_dir_all(kept_in()).unwrap();
        fs::write(&path, now).unwrap();
        look_at(name, now);
    }
    let kept = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    assert!(kept == now, "{name} is not what is drawn now: EVENREVEAL_KEEP_PICTURES=1, and look at it");
}

/// As a PNG in `target/pictures`, to be looked at, where the machine has the font.
fn look_at(name: &str, svg: &str) {
    let mut fonts = Database::new();
    for face in ["DejaVuSansMono.ttf", "DejaVuSansMono-Bold.ttf", "DejaVuSans.ttf"] {
        let _ =
            fs::read(Path::new("/usr/share/fonts/truetype/dejavu").join(face)).map(|data| fonts.load_font_data(data));
    }
    let tree = Tree::from_str(svg, &Options { fontdb: Arc::new(fonts), ..Options::default() }).unwrap();
    let mut pixmap = Pixmap::new(tree.size().width() as u32, tree.size().height() as u32).unwrap();
    resvg::render(&tree, Transform::identity(), &mut pixmap.as_mut());
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/pictures");
    fs::create_dir_all(&dir).unwrap();
    pixmap.save_png(dir.join(name).with_extension("png")).unwrap();
}

/// The sample shop with its list loaded, and passes counted.
fn at_the_list(dir: &Path) -> Bench {
    let shop = sample_copy::sample(dir);
    let held = tempfile::tempdir_in(dir).unwrap();
    fs::remove_dir(held.path()).unwrap();
    fs::rename(shop, held.path()).unwrap();
    let mut bench = Bench::on(held);
    deal(Message::Shown, &mut bench.session, &mut bench.runner);
    bench
}

impl Bench {
    /// Goes into the opening called so.
    fn go_into(&mut self, name: &str) {
        let place = self.session.shop.openings.iter().position(|listed| listed.summary.name == name).unwrap();
        for _ in 0..place {
            self.key(ratatui::crossterm::event::KeyCode::Down, ratatui::crossterm::event::KeyModifiers::NONE);
        }
        self.press("\r");
        self.shows(name);
    }

    fn is_pictured(&self, name: &str, title: &str) {
        for size in SIZES {
            let picture = cell_picture::picture(&self.buffer(size, Palette::Colour), title);
            is_as_kept(&format!("{name}-{}x{}.svg", size.0, size.1), &picture);
        }
    }
}

#[test]
fn the_screens_in_the_readme_are_those_drawn_now() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = at_the_list(dir.path());
    bench.is_pictured("shop", "The openings of the sample shop, how far each is, and what to do next");
    bench.go_into("Pair below");
    bench.is_pictured("opening", "A pair of doors in its opening: every gap with its word, and what to do next");
    bench.press("p");
    bench.is_pictured("plan", "The plan for the pair: what moves, what comes off, and how it will sit after");
    let mut bench = at_the_list(dir.path());
    bench.go_into("Door, middle left");
    bench.press("c");
    bench.shows("d done as shown");
    bench.is_pictured("set-up", "The set-up for one cut: pads, fence, cautions");
}

#[test]
fn the_card_in_the_readme_is_the_one_printed_now() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample_copy::sample(dir.path());
    let out = dir.path().join("card.svg");
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(shop).args(["card", "Door, middle left", "--out"]).arg(&out).env("HOME", dir.path());
    assert!(command.status().unwrap().success());
    is_as_kept("card.svg", &fs::read_to_string(out).unwrap());
}

#[test]
fn the_readme_shows_pictures_that_are_there_and_none_is_kept_in_vain_or_large() {
    let readme = include_str!("../README.md");
    let shown: BTreeSet<&str> = readme
        .split("assets/pictures/")
        .skip(1)
        .filter_map(|rest| rest.find(".svg").and_then(|end| rest.get(..end + 4)))
        .collect();
    assert!(shown.len() >= 3, "{shown:?}");
    let there: BTreeSet<String> =
        fs::read_dir(kept_in()).unwrap().map(|one| one.unwrap().file_name().into_string().unwrap()).collect();
    for name in &shown {
        assert!(there.contains(*name), "{name} is in the README and not in assets/pictures");
    }
    for name in &there {
        assert!(shown.contains(name.as_str()), "nobody shows {name}");
        let size = fs::metadata(kept_in().join(name)).unwrap().len();
        assert!(size < 120_000, "{name} has {size} bytes");
    }
}
