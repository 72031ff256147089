//! Everything for the saw in one trip: rows under their fence settings, cautions always in sight.

use crate::bench::Session;
use crate::bench::batch::page::BatchPage;
use crate::bench::batch::stock::ShortNames;
use crate::bench::batch::words::{self, edge, heading_after, is_assumed, notes, pass, set_up};
use crate::bench::batch::{Row, left_out, undecided};
use crate::bench::sheet_words;
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::screen::parts::{clipped, first_row, listed, more, padded, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

type Lines = Vec<(Role, String)>;

/// Draws the page.
pub fn draw(page: &BatchPage, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let width = usize::from(area.width).saturating_sub(2);
    let show = session.shop.show();
    if page.waiting.is_none() {
        put(&[(Role::Quiet, words::LOOKING.to_owned())], theme, frame, area);
        return;
    }
    let top = top(page, session, width);
    let (heads, mut list, mut cursor) = listing(page, session, width, true);
    let mut top = top;
    top.extend(heads);
    let rows = |lines: &Lines| u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let full = bottom(page, show, width, true);
    let fits = |list: &Lines, bottom: &Lines| {
        rows(&top).saturating_add(rows(list)).saturating_add(rows(bottom)) <= area.height
    };
    let bottom = if fits(&list, &full) { full } else { bottom(page, show, width, false) };
    // Reasons give way before rows do.
    if !fits(&list, &bottom) {
        (_, list, cursor) = listing(page, session, width, false);
    }
    // Cautions keep their place whatever else must give way.
    let middle = area.height.saturating_sub(rows(&top)).saturating_sub(rows(&bottom));
    put(&top, theme, frame, area);
    let room = listed(Rect { y: area.y + rows(&top).min(area.height), height: middle, ..area }, list.len());
    let first = first_row(cursor, list.len(), room.height.into());
    let seen = list.get(first..).unwrap_or_default();
    put(seen, theme, frame, room);
    if room.height < middle {
        more(theme, frame, room, [first, list.len().saturating_sub(first + usize::from(room.height))]);
    }
    let from = area.bottom().saturating_sub(rows(&bottom)).max(area.y);
    put(&bottom, theme, frame, Rect { y: from, height: area.bottom() - from, ..area });
}

fn put(lines: &[(Role, String)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        let text = clipped(&format!(" {text}"), area.width.into());
        frame.render_widget(Line::styled(text, theme.style(*role)), Rect { y, height: 1, ..area });
    }
}

fn broken(role: Role, text: &str, width: usize) -> Lines {
    wrapped(text, width).into_iter().map(|line| (role, line)).collect()
}

fn top(page: &BatchPage, session: &Session, width: usize) -> Lines {
    let batch = &page.batch;
    let nothing = batch.rows.is_empty();
    let text = if nothing { words::nothing(batch.tool) } else { words::summary(batch) };
    let mut lines = broken(Role::Next, &text, width);
    let mut more = Vec::new();
    if page.others() > 0 {
        more.push(format!("for the {}: {} (Tab)", batch.tool.other().word(), page.others()));
    }
    if !batch.kept_from_saw.is_empty() {
        more.push(format!("kept from the saw: {}, named at the end", batch.kept_from_saw.len()));
    }
    lines.extend(broken(Role::Text, &more.join("; "), width));
    let troubled = left_out(session.shop.openings.iter().map(|listed| &listed.summary)).into_iter();
    lines.extend(troubled.flat_map(|(one, why)| broken(Role::Caution, &words::left_out(&one.name, why), width)));
    if page.is_asking(&session.shop) {
        lines.extend(broken(Role::Quiet, words::ASKING, width));
    }
    let undecided = undecided(session.shop.openings.iter().map(|listed| (&listed.summary, listed.brief())));
    lines.extend(words::undecided(undecided).into_iter().flat_map(|text| broken(Role::Quiet, &text, width)));
    lines
}

/// The cautions of every set-up of the page, in a few words where there is little room.
fn bottom(page: &BatchPage, show: Show, width: usize, ample: bool) -> Lines {
    let batch = &page.batch;
    let cautions = batch.cautions();
    if cautions.is_empty() {
        return Vec::new();
    }
    let mut said = Vec::new();
    if batch.rows.iter().any(is_assumed) {
        said.push(words::NOT_MEASURED);
    }
    if batch.shares_settings() {
        said.push(words::KISS_EACH);
    }
    let mut lines = broken(Role::Text, &said.join(" "), width);
    if ample {
        lines.extend(cautions.iter().flat_map(|one| broken(Role::Caution, &format!("! {}", one.text()), width)));
    } else {
        lines.extend(broken(Role::Caution, &Caution::in_short(&cautions, show.unit()), width));
    }
    lines
}

/// What the columns are, the rows under their headings, and where the cursor is among their lines. `ample`: with all
/// reasons, not only those of the row under the cursor.
fn listing(page: &BatchPage, session: &Session, width: usize, ample: bool) -> (Lines, Lines, usize) {
    let (batch, show) = (&page.batch, session.shop.show());
    let differing = session.shop.differing();
    let notes = |row: &Row| notes(row, differing.contains(row.file.as_str()));
    let short = ShortNames::of(&batch.rows);
    let rows: Vec<Cells> = batch.rows.iter().map(|row| Cells::of(row, &short, show)).collect();
    let columns = Columns::of(width.saturating_sub(2), &rows);
    let mut lines: Lines = Vec::new();
    let mut heads: Lines = Vec::new();
    if batch.rows.iter().any(|row| row.fence().is_some()) {
        let names = columns.lines(&Cells::heads()).into_iter();
        heads.extend(names.map(|text| (Role::Quiet, format!("  {text}"))));
    }
    let told = |row: &Row, here: bool| {
        let all = notes(row);
        if ample || here { all } else { all.iter().map(|note| words::brief(note)).collect() }
    };
    let mut cursor = 0;
    let mut before = None;
    for (place, (row, cells)) in batch.rows.iter().zip(&rows).enumerate() {
        let heading = heading_after(before.replace(row), row, show).into_iter();
        lines.extend(heading.flat_map(|text| broken(Role::Title, &text, width)));
        let here = place == page.at;
        if here {
            cursor = lines.len();
        }
        let (mark, role) = if here { ("> ", Role::Cursor) } else { ("  ", Role::Text) };
        let mut texts = columns.lines(cells).into_iter();
        lines.extend(texts.next().map(|text| (role, format!("{mark}{text}"))));
        lines.extend(texts.map(|text| (role, format!("    {text}"))));
        lines.extend(pass(row).map(|text| (Role::Text, format!("    {text}"))));
        lines.extend(noted(told(row, here), width));
    }
    if !batch.kept_from_saw.is_empty() {
        lines.push((Role::Title, "NOT AT THE SAW, although meant for it".to_owned()));
        for row in &batch.kept_from_saw {
            let way = sheet_words::method(row.method());
            lines.push((Role::Text, format!("  {}, {}: {way} instead (Tab)", row.opening, edge(row))));
            lines.extend(noted(told(row, false), width));
        }
    }
    for one in &batch.without {
        let text = format!("! no set-up for {}, {} {}: {}", one.opening, one.trim.leaf, one.trim.edge, one.why);
        lines.extend(broken(Role::Caution, &text, width));
    }
    (heads, lines, cursor)
}

fn noted(notes: Vec<String>, width: usize) -> Lines {
    let indented = |text: String| wrapped(&text, width.saturating_sub(4)).into_iter();
    notes.into_iter().flat_map(indented).map(|line| (Role::Caution, format!("    {line}"))).collect()
}

/// What a row says: opening, edge, both removals; and its set-up, with the stock of every pad by its whole name or with
/// the last pad, short.
struct Cells {
    first: [String; 4],
    set_up: [String; 2],
}

impl Cells {
    fn of(row: &Row, short: &ShortNames, show: Show) -> Self {
        let (trim, (low, high)) = (&row.sheet.trim, sheet_words::ends(row.sheet.trim.edge));
        let mark = if is_assumed(row) { " *" } else { "" };
        let first = [
            row.opening.clone(),
            edge(row),
            format!("{low} {}", trim.start.shown_down(show)),
            format!("{high} {}", trim.end.shown_down(show)),
        ];
        let set_up = [None, Some(short)].map(|short| format!("{}{mark}", set_up(row, show, short)));
        Self { first, set_up }
    }

    fn heads() -> Self {
        let [name, edge, low, high, set_up] = words::HEADS.map(str::to_owned);
        Self { first: [name, edge, low, high], set_up: [set_up.clone(), set_up] }
    }
}

/// Columns that a name keeps at least, and those that a set-up is given beside it where it asks for them.
const LEAST_NAME: usize = 10;
const MOST_SET_UP: usize = 28;

/// Widths of the first four columns, and of the whole row.
struct Columns {
    wide: [usize; 4],
    width: usize,
}

impl Columns {
    fn of(width: usize, rows: &[Cells]) -> Self {
        let heads = Cells::heads();
        let all = || rows.iter().chain([&heads]);
        let [name, edge, low, high] =
            [0, 1, 2, 3].map(|column| all().map(|row| row.first[column].width()).max().unwrap_or(0));
        let set_up = all().map(|row| row.set_up[1].width()).max().unwrap_or(0).min(MOST_SET_UP);
        let room = width.saturating_sub(edge + low + high + set_up + 4 * 2);
        Self { wide: [name.min(room.max(LEAST_NAME)), edge, low, high], width }
    }

    /// A row, and its set-up in a row of its own where there is no room beside the rest: with all names where there is
    /// room for them.
    fn lines(&self, cells: &Cells) -> Vec<String> {
        let first: Vec<String> = cells.first.iter().zip(self.wide).map(|(cell, wide)| padded(cell, wide)).collect();
        let first = first.join("  ");
        let beside = self.width.saturating_sub(first.width() + 2);
        let [whole, short] = &cells.set_up;
        if let Some(text) = [whole, short].into_iter().find(|text| text.width() <= beside) {
            return vec![format!("{first}  {text}")];
        }
        let apart = if whole.width() + 2 <= self.width { whole } else { short };
        vec![first, apart.clone()]
    }
}
