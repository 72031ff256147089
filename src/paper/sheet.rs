//! The shop sheet: every opening, how far each still is from its reveal, what to do next, the sizes of its
//! leaves; on as many pages as it takes.

use super::font;
use super::matter::Matter;
use super::page::{Anchor, Frame, Ink, MARGIN, Page, Words, at};
use crate::bench::words;
use crate::fit::length::Show;
use crate::shop::replay::Stage;
use crate::shop::settings::Settings;

/// Letter size.
const SIZE: f64 = 9.0;
/// Distance between baselines.
const LINE: f64 = 12.0;
/// Space between columns.
const GUTTER: f64 = 10.0;

/// One row: its cells, each in as many lines as it takes.
struct Row {
    cells: [Vec<String>; 4],
    /// An empty box to tick before it?
    open: bool,
}

const HEADS: [&str; 4] = ["opening", "leaves, as they are now", "worst gap", "next"];
/// Shares of the page's width.
const SHARES: [f64; 4] = [0.25, 0.27, 0.18, 0.30];

/// The pages of a shop: `matters` in the order they are listed; `astray` are openings that cannot be read, with why.
pub fn sheet(settings: &Settings, matters: &[Matter<'_>], astray: &[(String, String)]) -> Vec<Page> {
    let name = if settings.name.is_empty() { "shop sheet".to_owned() } else { settings.name.clone() };
    let widths = columns(Page::new("", settings.show).inside());
    let mut rows: Vec<Row> = matters.iter().map(|matter| row(matter, &widths)).collect();
    rows.extend(astray.iter().map(|(name, why)| Row {
        cells: [cell(name, widths[0].width()), Vec::new(), Vec::new(), cell(&format!("! {why}"), widths[3].width())],
        open: true,
    }));
    let unfinished = rows.iter().filter(|row| row.open).count();
    let said = format!("{}, {unfinished} not finished", words::counted(rows.len(), "opening"));
    let mut pages = Vec::new();
    let mut rest = rows.iter().peekable();
    loop {
        let (mut page, mut y) = begin(&name, &said, settings.show, &widths);
        let mut set = 0;
        while let Some(next) = rest.peek() {
            let height = LINE * next.cells.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64 + 6.0;
            // A row that no page could hold is set all the same, once.
            if y + height > page.height - MARGIN - LINE && set > 0 {
                break;
            }
            y = put(&mut page, next, &widths, y, height);
            rest.next();
            set += 1;
        }
        pages.push(page);
        if rest.peek().is_none() {
            break;
        }
    }
    let count = pages.len();
    for (number, page) in pages.iter_mut().enumerate() {
        let spot = at(page.width - MARGIN, page.height - MARGIN);
        let text = format!("page {} of {count}", number + 1);
        page.words(Words { spot, size: 7.0, bold: false, anchor: Anchor::End, ink: Ink::Grey, text });
    }
    pages
}

fn columns(inside: Frame) -> [Frame; 4] {
    let mut left = inside.left + 14.0;
    let room = inside.width() - 14.0;
    SHARES.map(|share| {
        let column = Frame { left, right: left + room * share - GUTTER, ..inside };
        left += room * share;
        column
    })
}

fn cell(text: &str, width: f64) -> Vec<String> {
    font::wrapped(&font::printable(text), SIZE * 1.03, width)
}

fn row(matter: &Matter<'_>, columns: &[Frame; 4]) -> Row {
    let show = matter.settings.show;
    let state = &matter.seen.state;
    let stage = state.stage();
    let tolerance = state.tolerance.unwrap_or(matter.settings.tolerance);
    let worst = matter.round.and_then(|round| matter.seen.worst(round));
    let worst = worst.map_or_else(|| "not read".to_owned(), |worst| words::miss(worst.miss, tolerance, show));
    let mut next = vec![matter.next()];
    next.extend(
        matter
            .trims()
            .iter()
            .map(|trim| format!("{} {}: {} / {}", trim.leaf, trim.edge, trim.start.shown(show), trim.end.shown(show))),
    );
    Row {
        cells: [
            cell(&matter.seen.name, columns[0].width()),
            leaves(matter, show).iter().flat_map(|leaf| cell(leaf, columns[1].width())).collect(),
            cell(&worst, columns[2].width()),
            next.iter().flat_map(|line| cell(line, columns[3].width())).collect(),
        ],
        open: !matches!(stage, Stage::Fitted { .. } | Stage::Settled { .. }),
    }
}

fn leaves(matter: &Matter<'_>, show: Show) -> Vec<String> {
    let state = &matter.seen.state;
    let size = |leaf: &crate::shop::event::LeafDescribed| {
        let (width, height) = state.size_at(&leaf.leaf, u32::MAX).unwrap_or((leaf.width, leaf.height));
        format!("{}  {} x {}", leaf.leaf, width.shown(show), height.shown(show))
    };
    state.leaves.iter().map(|leaf| size(&leaf.what)).collect()
}

/// A page with its head and the heads of its columns; answers how far down they reach.
fn begin(name: &str, said: &str, show: Show, columns: &[Frame; 4]) -> (Page, f64) {
    let mut page = Page::new(format!("{name} - shop sheet"), show);
    let inside = page.inside();
    let name = font::wrapped(&font::printable(name), 16.5, inside.width()).into_iter().next().unwrap_or_default();
    let mut put = |x: f64, y: f64, size: f64, bold: bool, ink: Ink, text: &str| {
        page.words(Words { spot: at(x, y), size, bold, anchor: Anchor::Start, ink, text: text.to_owned() });
    };
    put(inside.left, inside.top + 16.0, 16.0, true, Ink::Black, &name);
    put(inside.left, inside.top + 31.0, SIZE, false, Ink::Grey, said);
    for (column, head) in columns.iter().zip(HEADS) {
        put(column.left, inside.top + 50.0, SIZE, true, Ink::Black, head);
    }
    let y = inside.top + 55.0;
    page.line(at(inside.left, y), at(inside.right, y), 1.0, Ink::Black);
    (page, y)
}

fn put(page: &mut Page, row: &Row, columns: &[Frame; 4], top: f64, height: f64) -> f64 {
    let inside = page.inside();
    let mark = Frame { left: inside.left, top: top + 5.0, right: inside.left + 8.0, bottom: top + 13.0 };
    page.rectangle(mark, if row.open { None } else { Some(Ink::Black) }, Some((Ink::Black, 0.8)));
    for (place, (column, lines)) in columns.iter().zip(&row.cells).enumerate() {
        for (number, line) in lines.iter().enumerate() {
            page.words(Words {
                spot: at(column.left, top + LINE * (number + 1) as f64),
                size: SIZE,
                bold: place == 0,
                anchor: Anchor::Start,
                ink: Ink::Black,
                text: line.clone(),
            });
        }
    }
    page.line(at(inside.left, top + height), at(inside.right, top + height), 0.4, Ink::Light);
    top + height
}
