//! The shop sheet: every opening, how far each still is from its reveal, what to do next, the sizes of its
//! leaves; then the cut list of the leaves that are made here; on as many pages as it takes.

use super::font;
use super::matter::Matter;
use super::page::{Anchor, Frame, Ink, MARGIN, Page, Words, at};
use crate::before::blank::LENGTHS;
use crate::bench::prepare::cutting::ShopList;
use crate::bench::{gap_words, words};
use crate::cut::words::Caution;
use crate::fit::length::{Show, Unit};
use crate::shop::settings::Settings;

/// Letter size.
const SIZE: f64 = 9.0;
/// Distance between baselines.
const LINE: f64 = 12.0;
/// Letter size of the cautions.
const CAUTION_SIZE: f64 = 8.0;
/// Distance between their baselines.
const CAUTION_LINE: f64 = 10.0;
/// Space between columns.
const GUTTER: f64 = 10.0;

/// What a row belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Table {
    /// Every opening.
    Openings,
    /// The parts of leaves that are made here.
    Parts,
}

impl Table {
    const fn heads(self) -> [&'static str; 4] {
        match self {
            Self::Openings => ["opening", "leaves, as they are now", "worst gap", "next"],
            Self::Parts => ["parts to cut", "part", "leaf", ""],
        }
    }

    /// Its columns, in shares of the page's width.
    fn columns(self, inside: Frame) -> [Frame; 4] {
        let shares = match self {
            Self::Openings => [0.25, 0.27, 0.18, 0.30],
            Self::Parts => [0.22, 0.26, 0.42, 0.10],
        };
        let mut left = inside.left + 14.0;
        let room = inside.width() - 14.0;
        shares.map(|share| {
            let column = Frame { left, right: left + room * share - GUTTER, ..inside };
            left += room * share;
            column
        })
    }
}

/// One row: its cells, each in as many lines as it takes.
struct Row {
    table: Table,
    cells: [Vec<String>; 4],
    /// Has it a box before it, and is that to tick yet?
    open: Option<bool>,
    /// A line over it: what is set up once for it and those after it.
    over: Option<String>,
}

impl Row {
    fn new(table: Table, inside: Frame, cells: [Vec<String>; 4], open: bool) -> Self {
        let columns = table.columns(inside);
        let mut place = 0;
        let cells = cells.map(|lines| {
            let width = columns.get(place).map_or(0.0, |column| column.width());
            place += 1;
            lines.iter().flat_map(|line| cell(line, width)).collect()
        });
        Self { table, cells, open: Some(open), over: None }
    }

    fn height(&self) -> f64 {
        let over = if self.over.is_some() { LINE + 5.0 } else { 0.0 };
        let gap = if self.table == Table::Openings { 6.0 } else { 4.0 };
        over + LINE * self.cells.iter().map(Vec::len).max().unwrap_or(1).max(1) as f64 + gap
    }
}

/// The pages of a shop: `matters` in the order they are listed; `astray` are openings that cannot be read, with
/// why; `parts` is the cut list, which has its own table below the openings where there is anything in it.
pub fn sheet(settings: &Settings, matters: &[Matter<'_>], astray: &[(String, String)], parts: &ShopList) -> Vec<Page> {
    let name = if settings.name.is_empty() { "shop sheet".to_owned() } else { settings.name.clone() };
    let inside = Page::new("", settings.show).inside();
    let mut rows: Vec<Row> = matters.iter().map(|matter| row(matter, inside)).collect();
    rows.extend(astray.iter().map(|(name, why)| {
        let cells = [vec![name.clone()], Vec::new(), Vec::new(), vec![format!("! {why}")]];
        Row::new(Table::Openings, inside, cells, true)
    }));
    let unfinished = rows.iter().filter(|row| row.open == Some(true)).count();
    let mut said = format!("{}, {unfinished} not finished", words::counted(rows.len(), "opening"));
    let listed = part_rows(parts, settings.show, inside);
    if !listed.is_empty() {
        said = format!("{said}; {}", told(parts, settings.show.unit()));
    }
    rows.extend(listed);
    let to_saw = !parts.list.groups.is_empty();
    let cautions = if to_saw || matters.iter().any(|matter| !matter.accepted_trims().is_empty()) {
        cautions(settings.show, inside)
    } else {
        Vec::new()
    };
    let foot = CAUTION_LINE * cautions.len() as f64;
    let mut pages = Vec::new();
    let mut rest = rows.iter().peekable();
    loop {
        let mut table = rest.peek().map_or(Table::Openings, |row| row.table);
        let (mut page, mut y) = begin(&name, &said, settings.show);
        y = heads(&mut page, table, y + 19.0);
        let mut set = 0;
        while let Some(next) = rest.peek() {
            let between = if next.table == table { 0.0 } else { 2.0 * LINE + 10.0 };
            // A row that no page could hold is set all the same, once.
            if y + between + next.height() > page.height - MARGIN - LINE - foot && set > 0 {
                break;
            }
            if next.table != table {
                table = next.table;
                y = heads(&mut page, table, y + between - 5.0);
            }
            y = put(&mut page, next, y);
            rest.next();
            set += 1;
        }
        put_cautions(&mut page, &cautions);
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

/// What holds wherever wood comes off, with the wood that the sheet proposes to take: on every page.
fn cautions(show: Show, inside: Frame) -> Vec<String> {
    let all = Caution::in_short(&Caution::WHEREVER_CUT, show.unit());
    let text = format!("! Before any cut: {} The whole stands on each set-up sheet.", all.trim_start_matches("! "));
    font::wrapped(&font::printable(&text), CAUTION_SIZE * 1.03, inside.width())
}

/// Over the page's number.
fn put_cautions(page: &mut Page, cautions: &[String]) {
    let (left, last) = (page.inside().left, page.height - MARGIN - LINE);
    for (place, text) in cautions.iter().enumerate() {
        let spot = at(left, last - CAUTION_LINE * (cautions.len() - 1 - place) as f64);
        let (anchor, ink, text) = (Anchor::Start, Ink::Black, text.clone());
        page.words(Words { spot, size: CAUTION_SIZE, bold: true, anchor, ink, text });
    }
}

/// How many parts there are, how many of them are sawn, and how much wood they take.
fn told(parts: &ShopList, unit: Unit) -> String {
    let lines = || parts.list.groups.iter().flat_map(|group| &group.lines);
    let all: u32 = lines().map(|line| line.count).sum();
    let sawn: u32 = lines().filter(|line| parts.tick(&line.key).is_done()).map(|line| line.count).sum();
    let wood = parts.list.wood();
    format!("{}, {sawn} sawn; {}; {LENGTHS}", words::counted(all as usize, "part"), wood.words(unit))
}

/// The cut list by thickness and width, one row for parts of a leaf that are alike; then what is left out.
fn part_rows(parts: &ShopList, show: Show, inside: Frame) -> Vec<Row> {
    let mut rows = Vec::new();
    for group in &parts.list.groups {
        for (place, line) in group.lines.iter().enumerate() {
            let (tick, part) = (parts.tick(&line.key), group.part(line));
            let note = Some(tick.note(&part, show)).filter(|note| !note.is_empty()).map(|note| format!("! {note}"));
            let cells = [
                vec![format!("{} of {}", line.count, line.length.sized(show))],
                vec![part.words()],
                std::iter::once(line.leaf.clone()).chain(note).collect(),
                Vec::new(),
            ];
            let (thick, wide) = (group.thickness.sized(show), group.width.sized(show));
            let over = (place == 0).then(|| format!("{thick} thick, {wide} wide"));
            rows.push(Row { over, ..Row::new(Table::Parts, inside, cells, !tick.is_done()) });
        }
    }
    rows.extend(parts.left_out.iter().map(|(leaf, why)| {
        let cells = [vec!["! left out".to_owned()], Vec::new(), vec![format!("{leaf}: {why}")], Vec::new()];
        Row { open: None, ..Row::new(Table::Parts, inside, cells, true) }
    }));
    rows
}

fn cell(text: &str, width: f64) -> Vec<String> {
    font::wrapped(&font::printable(text), SIZE * 1.03, width)
}

fn row(matter: &Matter<'_>, inside: Frame) -> Row {
    let show = matter.settings.show;
    let state = &matter.seen.state;
    let tolerance = state.tolerance.unwrap_or(matter.settings.tolerance);
    let worst = matter.round.and_then(|round| matter.seen.worst(round));
    let worst = worst.map_or_else(|| "not read".to_owned(), |worst| gap_words::miss(worst.miss, tolerance, show));
    let mut next = vec![matter.next()];
    // What is not accepted yet is looked at with the whole plan, on the screen or on the card.
    next.extend(matter.accepted_trims().iter().map(|trim| words::trim(trim, show)));
    let cells = [vec![matter.seen.name.clone()], leaves(matter, show), vec![worst], next];
    let open = !matter.is_done();
    Row::new(Table::Openings, inside, cells, open)
}

fn leaves(matter: &Matter<'_>, show: Show) -> Vec<String> {
    let state = &matter.seen.state;
    let size = |leaf: &crate::shop::event::LeafDescribed| {
        let (width, height) = state.size_at(&leaf.leaf, u32::MAX).unwrap_or((leaf.width, leaf.height));
        format!("{}  {} x {}", leaf.leaf, width.shown(show), height.shown(show))
    };
    state.leaves.iter().map(|leaf| size(&leaf.what)).collect()
}

/// A page with its head; answers how far down it reaches.
fn begin(name: &str, said: &str, show: Show) -> (Page, f64) {
    let mut page = Page::new(format!("{name} - shop sheet"), show);
    let inside = page.inside();
    let line = |text: &str, size: f64| {
        font::wrapped(&font::printable(text), size * 1.03, inside.width()).into_iter().next().unwrap_or_default()
    };
    let mut put = |y: f64, size: f64, bold: bool, ink: Ink, text: String| {
        page.words(Words { spot: at(inside.left, y), size, bold, anchor: Anchor::Start, ink, text });
    };
    put(inside.top + 16.0, 16.0, true, Ink::Black, line(name, 16.0));
    put(inside.top + 31.0, SIZE, false, Ink::Grey, line(said, SIZE));
    (page, inside.top + 31.0)
}

/// The heads of a table's columns, on the baseline `y`; answers how far down they reach.
fn heads(page: &mut Page, table: Table, y: f64) -> f64 {
    let inside = page.inside();
    for (column, head) in table.columns(inside).iter().zip(table.heads()).filter(|(_, head)| !head.is_empty()) {
        let spot = at(column.left, y);
        let text = head.to_owned();
        page.words(Words { spot, size: SIZE, bold: true, anchor: Anchor::Start, ink: Ink::Black, text });
    }
    page.line(at(inside.left, y + 5.0), at(inside.right, y + 5.0), 1.0, Ink::Black);
    y + 5.0
}

fn put(page: &mut Page, row: &Row, top: f64) -> f64 {
    let inside = page.inside();
    let columns = row.table.columns(inside);
    let bottom = top + row.height();
    let mut top = top;
    let mut words = |x: f64, y: f64, bold: bool, text: &str| {
        let text = text.to_owned();
        page.words(Words { spot: at(x, y), size: SIZE, bold, anchor: Anchor::Start, ink: Ink::Black, text });
    };
    if let Some(over) = &row.over {
        words(inside.left, top + LINE + 2.0, true, over);
        top += LINE + 5.0;
    }
    for (place, (column, lines)) in columns.iter().zip(&row.cells).enumerate() {
        for (number, line) in lines.iter().enumerate() {
            let bold = place == 0 && row.table == Table::Openings;
            words(column.left, top + LINE * (number + 1) as f64, bold, line);
        }
    }
    if let Some(open) = row.open {
        let mark = Frame { left: inside.left, top: top + 5.0, right: inside.left + 8.0, bottom: top + 13.0 };
        page.rectangle(mark, if open { None } else { Some(Ink::Black) }, Some((Ink::Black, 0.8)));
    }
    page.line(at(inside.left, bottom), at(inside.right, bottom), 0.4, Ink::Light);
    bottom
}
