//! Everything for the saw in one trip: rows under their fence settings, cautions always in sight.

use crate::bench::Session;
use crate::bench::batch::page::BatchPage;
use crate::bench::batch::words::{self, edge, heading_after, is_assumed, notes, set_up};
use crate::bench::batch::{Row, left_out, undecided};
use crate::bench::sheet_words;
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::screen::parts::{clipped, first_row, padded, wrapped};
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
    let (list, cursor) = list(page, show, width);
    let rows = |lines: &Lines| u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let full = bottom(page, show, width, true);
    let all_fits = rows(&top).saturating_add(rows(&list)).saturating_add(rows(&full)) <= area.height;
    let bottom = if all_fits { full } else { bottom(page, show, width, false) };
    // Cautions keep their place whatever else must give way.
    let middle = area.height.saturating_sub(rows(&top)).saturating_sub(rows(&bottom));
    put(&top, theme, frame, area);
    let first = first_row(cursor, list.len(), middle.into());
    let seen = list.get(first..).unwrap_or_default();
    put(seen, theme, frame, Rect { y: area.y + rows(&top).min(area.height), height: middle, ..area });
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

/// The rows under their headings, and where the cursor is among the lines.
fn list(page: &BatchPage, show: Show, width: usize) -> (Lines, usize) {
    let batch = &page.batch;
    let rows: Vec<[String; 5]> = batch.rows.iter().map(|row| cells(row, show)).collect();
    let columns = Columns::of(width.saturating_sub(2), &rows);
    let mut lines: Lines = Vec::new();
    if batch.rows.iter().any(|row| row.fence().is_some()) {
        let heads = words::HEADS.map(str::to_owned);
        lines.extend(columns.lines(&heads).into_iter().map(|text| (Role::Quiet, format!("  {text}"))));
    }
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
        lines.extend(noted(notes(row), width));
    }
    if !batch.kept_from_saw.is_empty() {
        lines.push((Role::Title, "NOT AT THE SAW, although meant for it".to_owned()));
        for row in &batch.kept_from_saw {
            let way = sheet_words::method(row.method());
            lines.push((Role::Text, format!("  {}, {}: {way} instead (Tab)", row.opening, edge(row))));
            lines.extend(noted(notes(row), width));
        }
    }
    for one in &batch.without {
        let text = format!("! no set-up for {}, {} {}: {}", one.opening, one.trim.leaf, one.trim.edge, one.why);
        lines.extend(broken(Role::Caution, &text, width));
    }
    (lines, cursor)
}

fn noted(notes: Vec<String>, width: usize) -> Lines {
    let indented = |text: String| wrapped(&text, width.saturating_sub(4)).into_iter();
    notes.into_iter().flat_map(indented).map(|line| (Role::Caution, format!("    {line}"))).collect()
}

/// Opening, edge, both removals, set-up.
fn cells(row: &Row, show: Show) -> [String; 5] {
    let (trim, (low, high)) = (&row.sheet.trim, sheet_words::ends(row.sheet.trim.edge));
    let mark = if is_assumed(row) { " *" } else { "" };
    [
        row.opening.clone(),
        edge(row),
        format!("{low} {}", trim.start.shown_down(show)),
        format!("{high} {}", trim.end.shown_down(show)),
        format!("{}{mark}", set_up(row, show, false)),
    ]
}

/// Columns that a name keeps at least.
const LEAST_NAME: usize = 10;

struct Columns {
    wide: [usize; 5],
    /// Does the set-up stand on a line of its own?
    apart: bool,
}

impl Columns {
    fn of(width: usize, rows: &[[String; 5]]) -> Self {
        let mut wide = words::HEADS.map(UnicodeWidthStr::width);
        for row in rows {
            for (wide, cell) in wide.iter_mut().zip(row) {
                *wide = (*wide).max(cell.width());
            }
        }
        let [name, edge, low, high, set_up] = wide;
        let others = edge + low + high + 3 * 2;
        let beside = width.saturating_sub(others + set_up + 2);
        let apart = beside < name.min(LEAST_NAME);
        let room = if apart { width.saturating_sub(others) } else { beside };
        Self { wide: [name.min(room), edge, low, high, set_up], apart }
    }

    fn lines(&self, cells: &[String; 5]) -> Vec<String> {
        let mut cells: Vec<String> = cells.iter().zip(self.wide).map(|(cell, wide)| padded(cell, wide)).collect();
        let last = cells.pop().unwrap_or_default();
        let first = cells.join("  ");
        if self.apart { vec![first, last] } else { vec![format!("{first}  {last}")] }
    }
}
