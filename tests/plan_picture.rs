//! What the picture of a plan says of the wood to remove: every amount, and never more than the line.

use evenreveal::bench::rounds;
use evenreveal::fit::length::{Inches, Length, Show};
use evenreveal::fit::opening::Edge;
use evenreveal::screen::drawings::{LeafShape, OpeningPicture, Removal, Standing, Station};
use evenreveal::screen::picture::{self, Measure};
use evenreveal::screen::theme::Theme;
use evenreveal::shell::runner::see;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Shop};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;
use std::path::Path;

#[test]
fn no_amount_is_more_than_the_line_that_no_cut_may_pass() {
    let shop = Shop::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop"), &Access::Look).unwrap();
    let mut seen_amounts = 0;
    for show in [Show::Fraction(64), Show::Fraction(32), Show::Millimetre(1), Show::DecimalInch(3)] {
        let settings = Settings { show, ..shop.settings().clone() };
        for listed in shop.list().unwrap() {
            let seen = see(&shop.opening(&listed.name).unwrap());
            let Some(round) = seen.last_read_round() else { continue };
            let choice = rounds::Choice::default();
            let Ok(look) = rounds::look(&seen.state, &settings, rounds::spreads(None), choice) else { continue };
            let measure = Measure::of(&seen, &settings);
            let drawn = picture::forecast(&seen, round, look.plan(), false, measure, Theme::default());
            for removal in drawn.removals {
                for (amount, shown) in [(removal.start, removal.shown_start), (removal.end, removal.shown_end)] {
                    let said = Length::parse(&shown, show.unit()).unwrap().inches();
                    assert!(said <= amount + 1.1e-5, "{}: {shown} of {amount}", listed.name);
                    // The plan beside it says the same.
                    assert_eq!(shown, evenreveal::bench::rounds_words::removal(Inches(amount), show));
                    seen_amounts += 1;
                }
            }
        }
    }
    assert!(seen_amounts > 40, "{seen_amounts}");
}

fn door((width, height): (f64, f64), edges: [Edge; 2]) -> OpeningPicture {
    let shown = [["0.7mm", "1.9mm"], ["1.2mm", "2.0mm"]];
    let station = |edge: Edge, at: f64| Station {
        leaf: 0,
        edge,
        at,
        gap: Some(0.05),
        shown: "1.3mm".to_owned(),
        standing: Standing::Tight,
    };
    let stations = Edge::ALL.into_iter().flat_map(|edge| {
        let length = if edge.is_upright() { height } else { width };
        [station(edge, 1.0), station(edge, length - 1.0)]
    });
    let removal = |(edge, [start, end]): (Edge, [&str; 2])| Removal {
        leaf: 0,
        edge,
        start: 0.03,
        end: 0.07,
        shown_start: start.to_owned(),
        shown_end: end.to_owned(),
    };
    OpeningPicture {
        width: width + 0.2,
        height: height + 0.2,
        leaves: vec![LeafShape { name: "door".to_owned(), x: 0.1, y: 0.1, width, height, hinge: None }],
        stations: stations.collect(),
        removals: edges.into_iter().zip(shown).map(removal).collect(),
        theme: Theme::default(),
        ..OpeningPicture::default()
    }
}

/// The halves of a screen of 80 columns, and larger ones.
#[test]
fn every_corner_amount_is_on_the_picture() {
    use Edge::{Bottom, Left, Right, Top};
    for size in [(13.0, 20.0), (11.0, 26.0), (20.0, 6.0), (14.0, 14.0)] {
        for edges in [[Right, Top], [Left, Top], [Right, Bottom], [Left, Right], [Bottom, Top]] {
            let picture = door(size, edges);
            for (width, height) in [(38, 12), (39, 13), (60, 18), (100, 40)] {
                let area = Rect { x: 0, y: 0, width, height };
                let mut buffer = Buffer::empty(area);
                (&picture).render(area, &mut buffer);
                let rows = (0..height).map(|y| (0..width).map(|x| buffer[(x, y)].symbol()).collect::<String>());
                let text = rows.collect::<Vec<_>>().join("\n");
                for amount in ["-0.7mm", "-1.9mm", "-1.2mm", "-2.0mm"] {
                    assert!(text.contains(amount), "no {amount} of {edges:?} of {size:?} at {width}x{height}:\n{text}");
                }
            }
        }
    }
}

/// Where a picture is too low for all of them, none is cut short, and how many are missing is said.
#[test]
fn what_has_no_room_is_counted() {
    for edges in [[Edge::Left, Edge::Right], [Edge::Right, Edge::Top]] {
        let picture = door((13.0, 20.0), edges);
        for (width, height) in [(38, 9), (30, 9), (24, 9)] {
            let area = Rect { x: 0, y: 0, width, height };
            let mut buffer = Buffer::empty(area);
            (&picture).render(area, &mut buffer);
            let rows = (0..height).map(|y| (0..width).map(|x| buffer[(x, y)].symbol()).collect::<String>());
            let text = rows.collect::<Vec<_>>().join("\n");
            let told = ["-0.7mm", "-1.9mm", "-1.2mm", "-2.0mm"].iter().filter(|amount| text.contains(**amount)).count();
            let missing = 4 - told;
            let counted = text.contains(&format!("{missing} more in the plan"));
            assert!(missing == 0 || counted, "{missing} of {edges:?} at {width}x{height}:\n{text}");
        }
    }
}
