//! The picture of the fit card: every amount says which edge it comes off and stands by it, nothing is written
//! across an edge, and the letters are as large as the page allows.

use evenreveal::bench::OpeningSeen;
use evenreveal::fit::opening::Edge;
use evenreveal::paper::card;
use evenreveal::paper::drawing::{self, off};
use evenreveal::paper::matter::Matter;
use evenreveal::paper::page::{Frame, Ink, Item, Page, Spot, Words};
use evenreveal::screen::drawings::{LeafShape, OpeningPicture, Removal};
use evenreveal::screen::theme::Theme;
use evenreveal::shell::runner::see;
use evenreveal::shop::{Access, Shop};
use std::path::Path;

fn sample() -> Shop {
    Shop::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop"), &Access::Look).unwrap()
}

/// A leaf as drawn.
struct Face(Vec<Spot>);

impl Face {
    /// The rectangle round it.
    fn round(&self) -> Frame {
        let (least, most) = (f64::INFINITY, f64::NEG_INFINITY);
        self.0.iter().fold(Frame { left: least, top: least, right: most, bottom: most }, |all, spot| Frame {
            left: all.left.min(spot.x),
            top: all.top.min(spot.y),
            right: all.right.max(spot.x),
            bottom: all.bottom.max(spot.y),
        })
    }

    /// Do all corners of `room` lie within it?
    fn holds(&self, room: Frame) -> bool {
        let corners =
            [(room.left, room.top), (room.right, room.top), (room.left, room.bottom), (room.right, room.bottom)];
        corners.into_iter().all(|(x, y)| {
            let sides = self.0.iter().zip(self.0.iter().cycle().skip(1));
            let crossed =
                sides.filter(|(a, b)| (a.y > y) != (b.y > y) && x < a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
            crossed.count() % 2 == 1
        })
    }
}

fn faces(page: &Page) -> Vec<Face> {
    let leaves = page.items.iter().filter_map(|item| match item {
        Item::Shape { corners, fill: Some(Ink::Leaf), .. } => Some(Face(corners.clone())),
        _ => None,
    });
    leaves.collect()
}

fn middle(words: &Words) -> (f64, f64) {
    let room = words.room();
    (f64::midpoint(room.left, room.right), f64::midpoint(room.top, room.bottom))
}

/// Every amount of `picture` stands by its edge on its leaf, an arrow to the edge with it.
#[track_caller]
fn each_stands_by_its_edge(page: &Page, picture: &OpeningPicture) {
    let faces = faces(page);
    for removal in &picture.removals {
        let (face, round) = (&faces[removal.leaf], faces[removal.leaf].round());
        for shown in [&removal.shown_start, &removal.shown_end] {
            let wanted = off(removal.edge, shown);
            let here = page.texts().filter(|words| words.text == wanted && face.holds(words.room()));
            let by_it = here.map(middle).any(|(x, y)| match removal.edge {
                Edge::Left => x < f64::midpoint(round.left, round.right),
                Edge::Right => x > f64::midpoint(round.left, round.right),
                Edge::Top => y < f64::midpoint(round.top, round.bottom),
                Edge::Bottom => y > f64::midpoint(round.top, round.bottom),
            });
            assert!(by_it, "'{wanted}' does not stand by the {} edge of leaf {}", removal.edge, removal.leaf);
        }
    }
}

/// Where two edges meet, neither amount stands between the other and its edge.
#[track_caller]
fn none_stands_in_between(page: &Page, picture: &OpeningPicture) {
    for (face, leaf) in faces(page).into_iter().zip(0..) {
        let texts: Vec<&Words> = page.texts().filter(|words| face.holds(words.room())).collect();
        let uprights = picture.removals.iter().filter(|one| one.leaf == leaf && one.edge.is_upright());
        for removal in uprights {
            let words = [&removal.shown_start, &removal.shown_end].map(|shown| off(removal.edge, shown));
            for own in texts.iter().filter(|one| words.contains(&one.text)) {
                let between = |other: &&&Words| {
                    let (room, own) = (other.room(), own.room());
                    let level = room.top < own.bottom && own.top < room.bottom;
                    let beyond =
                        if removal.edge == Edge::Right { room.left >= own.right } else { room.right <= own.left };
                    level && beyond
                };
                let other = texts.iter().find(between).map(|other| &other.text);
                assert_eq!(other, None, "stands between '{}' and the {} edge", own.text, removal.edge);
            }
        }
    }
}

fn removal(edge: Edge, shown: [&str; 2]) -> Removal {
    let [shown_start, shown_end] = shown.map(str::to_owned);
    Removal { leaf: 0, edge, start: 0.02, end: 0.05, shown_start, shown_end }
}

fn leaf(name: &str, (width, height): (f64, f64)) -> LeafShape {
    LeafShape { name: name.to_owned(), x: 0.1, y: 0.1, width, height, hinge: None }
}

#[test]
fn every_amount_says_its_edge_and_stands_by_it() {
    for size in [(11.0, 26.0), (14.0, 22.0), (20.0, 6.0), (20.0, 4.5)] {
        let picture = OpeningPicture {
            width: size.0 + 0.2,
            height: size.1 + 0.2,
            leaves: vec![leaf("the front", size)],
            removals: vec![
                removal(Edge::Top, ["0.081", "1.5mm"]),
                removal(Edge::Right, ["0.018", "1/32"]),
                removal(Edge::Bottom, ["0", "1/16"]),
                removal(Edge::Left, ["3/64", "0.7mm"]),
            ],
            theme: Theme::default(),
            ..OpeningPicture::default()
        };
        let mut page = Page::new("a picture", evenreveal::fit::length::Show::Fraction(64));
        let area = Frame { left: 40.0, top: 40.0, right: 380.0, bottom: 400.0 };
        let drawn = drawing::draw(&mut page, &picture, area, 10.0).unwrap();
        assert_eq!(drawn.left_out, 0, "{size:?}");
        each_stands_by_its_edge(&page, &picture);
        none_stands_in_between(&page, &picture);
        let needed = drawing::height(&picture, area.width(), 10.0);
        let high = Frame { bottom: area.top + needed, ..area };
        let mut page = Page::new("a picture", evenreveal::fit::length::Show::Fraction(64));
        let again = drawing::draw(&mut page, &picture, high, 10.0).unwrap();
        // As wide as it can be, and no higher than that needs.
        assert!(again.opening.width() >= drawn.opening.width() - 1e-6, "{size:?}");
    }
}

/// An amount of wood stands on its leaf, beside it outside the frame, or is counted under the picture; no arrow is
/// explained where none stands.
#[test]
fn no_amount_of_wood_is_lost_without_a_word() {
    let mut counted = 0;
    // A door of 120 x 1400 mm, fronts of 300 x 80 mm and of 300 x 20 mm.
    for size in [(4.72, 55.1), (11.8, 3.15), (11.8, 0.8)] {
        let all = [Edge::Left, Edge::Right, Edge::Top, Edge::Bottom];
        let fronts = if size.0 > 5.0 { 3 } else { 1 };
        let name = |place: usize| format!("{}", (b'A' + place as u8) as char);
        let leaves: Vec<LeafShape> = (0..fronts)
            .map(|place| LeafShape { y: 0.1 + place as f64 * (size.1 + 0.1), ..leaf(&name(place), size) })
            .collect();
        let of = |place: usize, edge| Removal { leaf: place, ..removal(edge, ["1.23mm", "0.98mm"]) };
        let removals = (0..fronts).flat_map(|place| all.map(|edge| of(place, edge))).collect();
        let picture = OpeningPicture {
            width: size.0 + 0.2,
            height: fronts as f64 * (size.1 + 0.1) + 0.1,
            leaves,
            removals,
            theme: Theme::default(),
            ..OpeningPicture::default()
        };
        let mut page = Page::new("a picture", evenreveal::fit::length::Show::Millimetre(1));
        let area = Frame { left: 40.0, top: 40.0, right: 340.0, bottom: 400.0 };
        let drawn = drawing::draw(&mut page, &picture, area, 8.0).unwrap();
        let [shown, left_out] = drawn.amounts;
        assert_eq!(shown + left_out, 8 * fronts, "{size:?}");
        assert_eq!(page.texts().filter(|words| words.text.contains("off ")).count(), shown, "{size:?}");
        if fronts == 1 {
            assert_eq!(left_out, 0, "there is room beside a narrow door");
        }
        counted += left_out;
        let legend = card::legend(Some(drawn), true);
        assert_eq!(legend.contains("arrow: off which edge"), shown > 0, "{legend}");
        assert_eq!(legend.contains(&format!("{left_out} amounts in the words only")), left_out > 1);
    }
    assert!(counted > 0, "none had too little room");
    assert!(!card::legend(None, true).contains("arrow"));
}

#[test]
fn nothing_is_written_across_an_edge() {
    let shop = sample();
    for listed in shop.list().unwrap() {
        let seen: OpeningSeen = see(&shop.opening(&listed.name).unwrap());
        let matter = Matter::of(&seen, shop.settings(), evenreveal::bench::rounds::spreads(None));
        let page = card::card(&matter);
        let faces = faces(&page);
        let names: Vec<_> = seen.state.leaves.iter().map(|leaf| leaf.what.leaf.clone()).collect();
        for words in page.texts().filter(|words| words.ink == Ink::Grey) {
            let own = words.text == "▲ up" || names.contains(&words.text);
            let on_one = faces.iter().any(|face| face.holds(words.room()));
            assert!(!own || on_one, "{}: '{}' crosses an edge of its leaf", listed.name, words.text);
        }
    }
}

/// Two fronts with four cuts are the fullest card of the sample; what is to be done can be read at the bench.
#[test]
fn the_fullest_card_is_printed_in_letters_to_be_read() {
    let shop = sample();
    let seen = see(&shop.opening("Drawers").unwrap());
    let matter = Matter::of(&seen, shop.settings(), evenreveal::bench::rounds::spreads(None));
    let page = card::card(&matter);
    let now = page.texts().find(|words| words.text.starts_with("Next: ")).unwrap();
    assert!(now.size >= 7.0, "{} pt", now.size);
}
