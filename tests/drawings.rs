//! The drawings: what is on them at several sizes, and that no size and no value breaks them.

use evenreveal::fit::opening::{Edge, Side};
use evenreveal::screen::drawings::*;
use evenreveal::screen::theme::{Palette, Role, Theme};
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};
use ratatui::widgets::Widget;

/// A gap in 128ths of an inch, read against 3/32 with 1/64 tolerance.
fn station(leaf: usize, edge: Edge, at: f64, in_128ths: Option<i32>) -> Station {
    let gap = in_128ths.map(|n| f64::from(n) / 128.0);
    let shown = in_128ths.map_or(String::new(), |n| {
        let (mut n, mut d) = (n, 128);
        while n % 2 == 0 && d > 1 {
            n /= 2;
            d /= 2;
        }
        if n < 0 { format!("lap {}/{d}", -n) } else { format!("{n}/{d}") }
    });
    let standing = gap.map_or(Standing::Unread, |gap| Standing::of(gap, 0.09375, 1.0 / 64.0));
    Station { leaf, edge, at, gap, shown, standing }
}

/// Stations round one edge of a leaf: near both ends and in the middle.
fn edge(leaf: usize, edge: Edge, length: f64, gaps: [Option<i32>; 3]) -> Vec<Station> {
    [1.0, length / 2.0, length - 1.0].into_iter().zip(gaps).map(|(at, gap)| station(leaf, edge, at, gap)).collect()
}

/// A narrow single door, hung on the left, with twelve stations; the last ones unread.
fn single() -> OpeningPicture {
    let (width, height) = (11.0, 26.0);
    let mut stations = edge(0, Edge::Left, height, [Some(4), Some(6), Some(8)]);
    stations.extend(edge(0, Edge::Top, width, [Some(10), Some(7), Some(4)]));
    stations.extend(edge(0, Edge::Right, height, [Some(18), Some(14), Some(12)]));
    stations.extend(edge(0, Edge::Bottom, width, [Some(12), None, None]));
    OpeningPicture {
        title: "Sink base".into(),
        width: width + 0.1875,
        height: height + 0.1875,
        leaves: vec![LeafShape { name: "door".into(), x: 0.09375, y: 0.09375, width, height, hinge: Some(Side::Left) }],
        stations,
        cursor: Some(10),
        ..OpeningPicture::default()
    }
}

/// Two doors that meet, twenty-one stations.
fn pair() -> OpeningPicture {
    let (width, height, reveal) = (14.0, 26.0, 0.09375);
    let mut stations = edge(0, Edge::Left, height, [Some(8), Some(9), Some(12)]);
    stations.extend(edge(0, Edge::Top, width, [Some(12), Some(10), Some(8)]));
    stations.extend(edge(0, Edge::Right, height, [Some(20), Some(16), Some(9)]));
    stations.extend(edge(0, Edge::Bottom, width, [Some(12), Some(12), Some(12)]));
    stations.extend(edge(1, Edge::Top, width, [Some(8), Some(10), Some(12)]));
    stations.extend(edge(1, Edge::Right, height, [Some(-4), Some(3), Some(12)]));
    stations.extend(edge(1, Edge::Bottom, width, [Some(12), Some(11), Some(10)]));
    OpeningPicture {
        title: "Bookcase, below".into(),
        width: 2.0 * width + 3.0 * reveal,
        height: height + 2.0 * reveal,
        leaves: vec![
            LeafShape { name: "left".into(), x: reveal, y: reveal, width, height, hinge: Some(Side::Left) },
            LeafShape {
                name: "right".into(),
                x: 2.0 * reveal + width,
                y: reveal,
                width,
                height,
                hinge: Some(Side::Right),
            },
        ],
        stations,
        cursor: Some(7),
        ..OpeningPicture::default()
    }
}

/// Drawer fronts one above the other.
fn stack(fronts: usize) -> OpeningPicture {
    let (width, height, reveal) = (16.0, 6.0, 0.09375);
    let mut picture = OpeningPicture {
        title: "Drawers".into(),
        width: width + 2.0 * reveal,
        height: fronts as f64 * (height + reveal) + reveal,
        ..OpeningPicture::default()
    };
    for leaf in 0..fronts {
        let y = reveal + leaf as f64 * (height + reveal);
        picture.leaves.push(LeafShape {
            name: format!("front {}", leaf + 1),
            x: reveal,
            y,
            width,
            height,
            hinge: None,
        });
        picture.stations.extend(edge(leaf, Edge::Left, height, [Some(12), Some(10), Some(6)]));
        picture.stations.extend(edge(leaf, Edge::Top, width, [Some(8), Some(12), Some(20)]));
        picture.stations.extend(edge(leaf, Edge::Right, height, [Some(12), Some(14), Some(18)]));
        if leaf == 0 {
            picture.stations.extend(edge(leaf, Edge::Bottom, width, [Some(12), Some(12), Some(12)]));
        }
    }
    picture
}

fn removals() -> Vec<Removal> {
    vec![
        Removal {
            leaf: 0,
            edge: Edge::Left,
            start: 0.1133,
            end: 0.0664,
            shown_start: "7/64".into(),
            shown_end: "1/16".into(),
        },
        Removal {
            leaf: 0,
            edge: Edge::Top,
            start: 0.0,
            end: 0.0686,
            shown_start: "0".into(),
            shown_end: "5/64".into(),
        },
    ]
}

fn before_after() -> BeforeAfter {
    let mut before = single();
    before.cursor = None;
    before.removals = removals();
    let mut after = single();
    after.cursor = None;
    for station in &mut after.stations {
        *station = made_even(station);
    }
    BeforeAfter { before, after }
}

/// The same station with the gap it should have.
fn made_even(of: &Station) -> Station {
    station(of.leaf, of.edge, of.at, Some(12))
}

/// A narrow door ripped by a taper, two pads laid, its top end first into the blade; wood and pads drawn 20 times.
fn setup() -> SetupPicture {
    let pad = |from: f64, thick: f64, words: [&str; 4]| SetupPad {
        outline: vec![(from, thick), (from + 0.5, thick), (from + 0.5, 0.0), (from, 0.0)],
        words: words.map(str::to_owned).to_vec(),
    };
    SetupPicture {
        leaf: vec![(0.0, 0.0), (26.0, 1.45), (26.0, 12.4), (0.0, 11.0)],
        wood: vec![(0.0, 10.4), (26.0, 10.5), (26.0, 12.4), (0.0, 11.0)],
        pads: vec![
            pad(10.0, 0.56, ["▲ 1: 5 tape at 10", "▲ 1: 5 at 10", "▲1", "1"]),
            pad(20.0, 1.12, ["▲ 2: 10 tape at 20", "▲ 2: 10 at 20", "▲2", "2"]),
        ],
        fence: Some((-2.6, 28.6)),
        fence_words: vec![
            "hinge edge on the fence of the saw".into(),
            "hinge edge on the fence".into(),
            "fence".into(),
        ],
        blade: [(-2.6, 10.4), (28.6, 10.5)],
        blade_words: vec!["blade line".into(), "blade".into()],
        ends: [
            SetupEnd { name: "lower".into(), off: "1/32".into(), kiss: false },
            SetupEnd { name: "upper".into(), off: "3/32".into(), kiss: true },
        ],
        lead: vec!["upper end leads ►".into(), "leads ►".into(), "►".into()],
        captions: vec!["wood, pads, tilt drawn 20x, the rest to scale".into(), "drawn 20x".into()],
        ..SetupPicture::default()
    }
}

fn plane() -> PlanePicture {
    let strokes = [2.0, 6.0, 10.0, 14.0, 18.0, 22.0].map(|from| Stroke { from, shown: format!("{from}") });
    PlanePicture {
        length: 26.0,
        removal: (0.002, 0.008),
        shown: ("0.002".into(), "0.008".into()),
        full_strokes: 2,
        strokes: strokes.to_vec(),
        ends: ("bottom".into(), "top".into()),
        theme: Theme::default(),
    }
}

fn history() -> HistoryChart {
    let rounds = [(0.125, "1/8"), (0.0469, "3/64"), (0.0313, "1/32"), (0.0078, "1/128")];
    HistoryChart {
        rounds: (1..)
            .zip(rounds)
            .map(|(n, (worst, shown))| RoundMiss { name: format!("{n}"), worst, shown: shown.into() })
            .collect(),
        tolerance: 1.0 / 64.0,
        tolerance_shown: "1/64".into(),
        theme: Theme::default(),
    }
}

fn survey() -> SurveyPicture {
    SurveyPicture {
        corners: [(0.0, 0.0), (14.0, 0.0), (14.09, 26.03), (0.06, 26.0)],
        sides: ["26".into(), "26 1/32".into(), "14".into(), "14 1/32".into()],
        diagonals: ["29 5/8".into(), "29 1/2".into()],
        verdict: "out of square 3/32 over the height".into(),
        theme: Theme::default(),
    }
}

fn flush() -> FlushPicture {
    let corner = |proud: f64, shown: &str| FlushCorner { proud: Some(proud), shown: shown.into() };
    FlushPicture {
        corners: [corner(0.03125, "1/32"), corner(-0.0156, "1/64"), corner(0.0, "0"), FlushCorner::default()],
        tolerance: 1.0 / 128.0,
        expected: false,
        verdict: "wind 1/64: no hinge takes it out".into(),
        theme: Theme::default(),
    }
}

fn big(text: &str) -> BigText {
    BigText { text: text.into(), ..BigText::default() }
}

fn render<'a, W>(widget: &'a W, width: u16, height: u16) -> Buffer
where
    &'a W: Widget,
{
    let area = Rect::new(0, 0, width, height);
    let mut buffer = Buffer::empty(area);
    widget.render(area, &mut buffer);
    buffer
}

fn text(buffer: &Buffer) -> String {
    let width = usize::from(buffer.area.width.max(1));
    buffer.content.chunks(width).map(|row| row.iter().map(Cell::symbol).collect::<String>() + "\n").collect()
}

/// Draws something at a size.
type Draw = Box<dyn Fn(u16, u16) -> Buffer>;

/// Every drawing in one theme, by name.
fn gallery(theme: Theme) -> Vec<(&'static str, Draw)> {
    let themed = move |mut picture: OpeningPicture| {
        picture.theme = theme;
        picture
    };
    let (one, two, three) = (themed(single()), themed(pair()), themed(stack(3)));
    let BeforeAfter { before, after } = before_after();
    let plan = BeforeAfter { before: themed(before), after: themed(after) };
    let setup = SetupPicture { theme, ..setup() };
    let plane = PlanePicture { theme, ..plane() };
    let history = HistoryChart { theme, ..history() };
    let survey = SurveyPicture { theme, ..survey() };
    let flush = FlushPicture { theme, ..flush() };
    let big = BigText { theme, ..big("cut the latch side") };
    vec![
        ("single", Box::new(move |w, h| render(&one, w, h))),
        ("pair", Box::new(move |w, h| render(&two, w, h))),
        ("stack", Box::new(move |w, h| render(&three, w, h))),
        ("plan", Box::new(move |w, h| render(&plan, w, h))),
        ("setup", Box::new(move |w, h| render(&setup, w, h))),
        ("plane", Box::new(move |w, h| render(&plane, w, h))),
        ("history", Box::new(move |w, h| render(&history, w, h))),
        ("survey", Box::new(move |w, h| render(&survey, w, h))),
        ("flush", Box::new(move |w, h| render(&flush, w, h))),
        ("big", Box::new(move |w, h| render(&big, w, h))),
    ]
}

/// Kept pictures, text and style both. `EVENREVEAL_KEEP=1 cargo test --test drawings` writes them anew: look
/// at the difference before committing it.
#[test]
fn drawings_are_as_kept() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/drawings");
    let keep = std::env::var_os("EVENREVEAL_KEEP").is_some();
    let mut changed = Vec::new();
    for (theme, palette) in [("colour", Palette::Colour), ("plain", Palette::Plain)] {
        for (name, draw) in gallery(Theme::new(palette)) {
            // The plain palette differs in style only: one size is enough for it.
            let sizes: &[(u16, u16)] =
                if palette == Palette::Plain { &[(76, 15)] } else { &[(76, 15), (116, 30), (38, 12)] };
            for &(width, height) in sizes {
                let file = folder.join(format!("{name}-{width}x{height}-{theme}.txt"));
                let now = format!("{:#?}\n", draw(width, height));
                if keep {
                    std::fs::create_dir_all(&folder).unwrap();
                    std::fs::write(&file, &now).unwrap();
                } else if std::fs::read_to_string(&file).ok().as_deref() != Some(now.as_str()) {
                    changed.push(format!("{}:\n{}", file.display(), text(&draw(width, height))));
                }
            }
        }
    }
    assert!(changed.is_empty(), "differ from what is kept:\n{}", changed.join("\n"));
}

/// How often a fraction stands in the text by itself (not as a part of another).
fn occurrences(text: &str, fraction: &str) -> usize {
    text.match_indices(fraction)
        .filter(|(at, _)| {
            let before = text[..*at].chars().next_back();
            let after = text[at + fraction.len()..].chars().next();
            let joins = |letter: Option<char>| letter.is_some_and(|c| c.is_ascii_digit() || c == '/' || c == '-');
            !joins(before) && !after.is_some_and(|c| c.is_ascii_digit() || c == '/')
        })
        .count()
}

fn assert_every_station_is_labelled(picture: &OpeningPicture, width: u16, height: u16) {
    let drawn = text(&render(picture, width, height));
    // The caption repeats the marks as a legend.
    let body: String = drawn.lines().filter(|line| !line.contains("gaps drawn")).collect::<Vec<_>>().join("\n");
    for station in picture.stations.iter().filter(|station| !station.shown.is_empty()) {
        let wanted = picture.stations.iter().filter(|other| other.shown == station.shown).count();
        let found = occurrences(&body, &station.shown);
        assert_eq!(found, wanted, "{} at {width}x{height}:\n{drawn}", station.shown);
    }
    for standing in [Standing::Tight, Standing::Right, Standing::Wide] {
        let wanted = picture.stations.iter().filter(|station| station.standing == standing).count();
        assert_eq!(body.matches(standing.mark()).count(), wanted, "{standing:?} at {width}x{height}:\n{drawn}");
    }
}

#[test]
fn every_station_has_its_fraction_and_mark() {
    for (width, height) in [(76, 15), (78, 16), (100, 24), (116, 30), (180, 45), (200, 60)] {
        for mut picture in [single(), pair(), stack(2), stack(3)] {
            for cursor in std::iter::once(None).chain((0..picture.stations.len()).map(Some)) {
                picture.cursor = cursor;
                assert_every_station_is_labelled(&picture, width, height);
            }
        }
    }
}

#[test]
fn the_cursor_shows_without_colour() {
    let mut picture = single();
    picture.theme = Theme::new(Palette::Plain);
    for cursor in 0..picture.stations.len() {
        picture.cursor = Some(cursor);
        let buffer = render(&picture, 76, 15);
        let reversed = buffer.content.iter().filter(|cell| cell.modifier.contains(Modifier::REVERSED)).count();
        assert!(reversed >= 3, "station {cursor} is not reversed");
        let pointers = buffer.content.iter().filter(|cell| matches!(cell.symbol(), "◄" | "►" | "▲" | "▼")).count();
        assert_eq!(pointers, 1, "station {cursor} has no pointer");
    }
}

#[test]
fn the_caption_tells_the_factor_and_any_stretching() {
    let picture = OpeningPicture { exaggeration: Some(40.0), ..single() };
    assert!(text(&render(&picture, 76, 15)).contains("gaps drawn 40x"));
    for (width, height) in [(76, 15), (116, 30), (180, 45)] {
        for picture in [single(), pair(), stack(2), stack(3)] {
            let drawn = text(&render(&picture, width, height));
            let lines: Vec<&str> = drawn.lines().collect();
            let top = lines.iter().position(|line| line.contains('┏')).unwrap();
            let bottom = lines.iter().position(|line| line.contains('┗')).unwrap();
            let columns = lines[bottom].chars().filter(|c| *c == '━' || *c == '█').count() as f64;
            let rows = (bottom - top - 1) as f64;
            let stretch = (columns / rows / 2.0) / (picture.width / picture.height);
            let said = drawn.contains("stretched");
            let is_off = !(0.8..1.25).contains(&stretch);
            assert!(said || !is_off, "stretched {stretch:.2} and not said:\n{drawn}");
        }
    }
}

#[test]
fn nothing_breaks_at_any_size() {
    for (_, draw) in gallery(Theme::default()) {
        for width in 0..=200 {
            for height in 0..=60 {
                assert_eq!(draw(width, height).area, Rect::new(0, 0, width, height));
            }
        }
    }
}

#[test]
fn nothing_breaks_with_any_value() {
    let wild =
        [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, 0.0, -0.0, 1e-300, -5.0, 40.0, f64::MIN_POSITIVE];
    for value in wild {
        let mut pictures = Vec::new();
        for base in [single(), pair(), stack(2)] {
            let mut gaps = base.clone();
            gaps.stations.iter_mut().for_each(|station| station.gap = Some(value));
            let mut one_gap = base.clone();
            one_gap.stations[0].gap = Some(value);
            let mut places = base.clone();
            places.stations.iter_mut().for_each(|station| station.at = value);
            let mut sizes = base.clone();
            sizes.leaves[0].width = value;
            let mut lie = base.clone();
            lie.leaves[0].x = value;
            let mut opening = base.clone();
            opening.height = value;
            let mut cut = base.clone();
            cut.removals = removals();
            cut.removals[0].start = value;
            cut.exaggeration = Some(value);
            let mut strangers = base.clone();
            strangers.stations.iter_mut().for_each(|station| station.leaf = 99);
            strangers.removals = vec![Removal { leaf: 99, ..removals()[0].clone() }];
            strangers.cursor = Some(1000);
            strangers.leaves[0].name = "ein sehr langer Name 门门门 \u{301}\t\n".into();
            strangers.title = "门".repeat(300);
            let empty = OpeningPicture { stations: vec![], leaves: vec![], ..base };
            pictures.extend([gaps, one_gap, places, sizes, lie, opening, cut, strangers, empty]);
        }
        let mut setups = vec![setup(); 5];
        setups[0].blade[0] = (value, value);
        setups[1].leaf[2] = (value, value);
        setups[2].pads[0].outline[1].0 = value;
        setups[3].pads[1].outline[0].1 = value;
        setups[4].fence = Some((-value, value));
        let mut planes = vec![plane(); 3];
        planes[0].length = value;
        planes[1].removal = (value, 0.01);
        planes[2].strokes[0].from = value;
        let mut charts = vec![history(); 3];
        charts[0].tolerance = value;
        charts[1].rounds[1].worst = value;
        charts[2].rounds.clear();
        let mut surveys = vec![survey(); 2];
        surveys[0].corners[1].0 = value;
        surveys[1].corners = [(value, value); 4];
        let mut flushes = vec![flush(); 2];
        flushes[0].corners[2].proud = Some(value);
        flushes[1].tolerance = value;
        let sizes = (0..=200).step_by(23).flat_map(|w| (0..=60).step_by(15).map(move |h| (w, h)));
        for (width, height) in sizes.chain([(76, 15), (38, 12), (1, 1), (3, 60), (200, 2)]) {
            for picture in &pictures {
                render(picture, width, height);
                let plan = BeforeAfter { before: picture.clone(), after: picture.clone() };
                render(&plan, width, height);
            }
            for setup in &setups {
                render(setup, width, height);
            }
            for plane in &planes {
                render(plane, width, height);
            }
            for chart in &charts {
                render(chart, width, height);
            }
            for survey in &surveys {
                render(survey, width, height);
            }
            for flush in &flushes {
                render(flush, width, height);
            }
        }
    }
    for words in ["", "   ", "½ ➜ 门", "averyveryverylongwordthatfitsnowhereatall and more"] {
        for (width, height) in [(0, 0), (1, 1), (3, 9), (40, 8), (200, 60)] {
            render(&big(words), width, height);
        }
    }
}

#[test]
fn nothing_is_drawn_outside_its_area() {
    let whole = Rect::new(0, 0, 90, 30);
    let inner = Rect::new(7, 5, 70, 15);
    let mut buffer = Buffer::empty(whole);
    for cell in &mut buffer.content {
        cell.set_symbol("x");
    }
    (&pair()).render(inner, &mut buffer);
    (&setup()).render(inner, &mut buffer);
    (&history()).render(inner, &mut buffer);
    for y in 0..whole.height {
        for x in 0..whole.width {
            let inside = inner.contains((x, y).into());
            assert!(inside || buffer[(x, y)].symbol() == "x", "drew at {x},{y}");
        }
    }
    // An area that hangs over the buffer's edge is cut off, not a panic.
    (&pair()).render(Rect::new(80, 20, 76, 15), &mut buffer);
}

#[test]
fn the_plain_theme_has_no_colour() {
    let theme = Theme::new(Palette::Plain);
    for role in Role::ALL {
        let style = theme.style(role);
        assert_eq!((style.fg, style.bg, style.underline_color), (None, None, None), "{role:?}");
    }
    for (name, draw) in gallery(theme) {
        for (width, height) in [(76, 15), (30, 6), (180, 45)] {
            let buffer = draw(width, height);
            let coloured = buffer.content.iter().find(|cell| cell.fg != Color::Reset || cell.bg != Color::Reset);
            assert_eq!(coloured, None, "{name}");
        }
    }
    assert!(Role::ALL.iter().any(|role| Theme::new(Palette::Colour).style(*role).fg.is_some()));
}

#[test]
fn no_color_is_honoured_when_not_empty() {
    assert_eq!(Theme::from_no_color(Some("1"), Palette::HighContrast).palette(), Palette::Plain);
    assert_eq!(Theme::from_no_color(Some(""), Palette::HighContrast).palette(), Palette::HighContrast);
    assert_eq!(Theme::from_no_color(None, Palette::Colour).palette(), Palette::Colour);
}

#[test]
fn a_miss_equal_to_the_tolerance_is_right() {
    let (target, tolerance) = (3.0 / 32.0, 1.0 / 64.0);
    let cases = [
        (target, Standing::Right),
        (target - tolerance, Standing::Right),
        (target + tolerance, Standing::Right),
        (target - tolerance - 1e-6, Standing::Tight),
        (target + tolerance + 1e-6, Standing::Wide),
        (-0.25, Standing::Tight),
        (f64::NAN, Standing::Unread),
    ];
    for (gap, standing) in cases {
        assert_eq!(Standing::of(gap, target, tolerance), standing, "{gap}");
    }
}

#[test]
fn more_wood_is_shaded_where_more_comes_off() {
    let mut picture = single();
    picture.removals = vec![Removal { start: 0.25, end: 0.03, ..removals()[0].clone() }];
    let drawn = text(&render(&picture, 116, 40));
    let shaded: Vec<usize> = drawn.lines().map(|line| line.matches('▒').count()).filter(|count| *count > 0).collect();
    let (upper, lower) = (shaded[..3].iter().sum::<usize>(), shaded[shaded.len() - 3..].iter().sum::<usize>());
    assert!(lower > upper, "{shaded:?}\n{drawn}");
    assert!(drawn.contains("-7/64") && drawn.contains("-1/16"), "{drawn}");
}

#[test]
fn a_wider_gap_is_drawn_wider() {
    let width_of_gap = |gap: f64| {
        let mut picture = OpeningPicture { exaggeration: Some(15.0), cursor: None, ..single() };
        for station in picture.stations.iter_mut().filter(|station| station.edge == Edge::Right) {
            station.gap = Some(gap);
        }
        let buffer = render(&picture, 116, 30);
        let row: Vec<&str> = (0..116).map(|x| buffer[(x, 8)].symbol()).collect();
        let frame = row.iter().rposition(|symbol| *symbol == "┃").unwrap();
        let leaf =
            row.iter().rposition(|symbol| symbol.chars().all(|c| ('\u{2801}'..'\u{2900}').contains(&c))).unwrap();
        frame - leaf
    };
    assert!(width_of_gap(0.03) < width_of_gap(0.09));
    assert!(width_of_gap(0.09) < width_of_gap(0.15));
}

#[test]
fn large_letters_shrink_until_they_fit_and_end_as_bold_ones() {
    let said = "cut 3/32";
    let rows = |width: u16, height: u16| {
        let drawn = text(&render(&big(said), width, height));
        drawn.lines().filter(|line| !line.trim().is_empty()).count()
    };
    assert!(rows(80, 8) > 4, "full letters");
    assert!((3..=4).contains(&rows(40, 4)), "quarter letters");
    let small = render(&big(said), 20, 3);
    assert!(text(&small).starts_with(said));
    assert!(small[(0, 0)].modifier.contains(Modifier::BOLD));
    assert_eq!(big(said).rows(40), Some(4));
    assert_eq!(big(said).rows(12), None);
}

#[test]
fn a_setup_sheet_says_every_pad_in_words() {
    for (width, height) in [(76, 14), (116, 28), (40, 9), (30, 7)] {
        let setup = setup();
        assert!(setup.is_whole(width, height), "{width}x{height}");
        let drawn = text(&render(&setup, width, height));
        for words in ["fence", "-1/32", "-3/32", "lower", "upper", "kiss", "blade", "leads", "drawn 20x"] {
            assert!(drawn.contains(words), "{words} at {width}x{height}:\n{drawn}");
        }
        // Every pad in words where there is room, else every one by its number.
        for pad in &setup.pads {
            assert!(pad.words.iter().any(|words| drawn.contains(words)), "{pad:?} at {width}x{height}:\n{drawn}");
        }
        let every_pad = |place: usize| setup.pads.iter().all(|pad| drawn.contains(&pad.words[place]));
        assert_eq!(every_pad(0), width > 60, "{width}x{height}:\n{drawn}");
    }
    // Where there is no room for all of it, it says so.
    assert!(!setup().is_whole(18, 5));
}

#[test]
fn corners_are_named_proud_shy_or_flush() {
    for (width, height) in [(76, 14), (30, 5)] {
        let drawn = text(&render(&flush(), width, height));
        for words in ["▲ 1/32 proud", "▼ 1/64 shy", "= flush", "· unread"] {
            assert!(drawn.contains(words), "{words} at {width}x{height}:\n{drawn}");
        }
    }
}
