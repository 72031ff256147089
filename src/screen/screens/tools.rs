//! Tools, stock and settings: sections down the page, more about the row under the cursor at the foot.

use crate::bench::tools_page::{Row, SECTIONS, ToolsPage, all_rows};
use crate::bench::{Session, words};
use crate::screen::parts::{first_row, listed, more, padded, wrapped};
use crate::screen::screens::form;
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Rows at the foot for the words about a row.
const FOOT: u16 = 4;

/// Draws the page.
pub fn draw(page: &ToolsPage, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let rows = all_rows(&session.shop.settings);
    let at = page.at.min(rows.len().saturating_sub(1));
    let here = rows.get(at);
    if let Some(typing) = &page.typing {
        let title = here.map_or("", |(number, ..)| SECTIONS.get(*number).map_or("", |section| section.title()));
        let above: Vec<String> =
            here.map(|(.., row)| wrapped(&row.detail, usize::from(area.width).saturating_sub(4))).unwrap_or_default();
        form::draw(title, typing, &above, theme, frame, area);
        return;
    }
    let width = usize::from(area.width);
    let mut lines: Vec<(Role, String)> = Vec::new();
    let mut cursor = 0;
    let mut section = None;
    for (place, (number, _, row)) in rows.iter().enumerate() {
        if section != Some(*number) {
            section = Some(*number);
            let title = SECTIONS.get(*number).map_or("", |section| section.title());
            lines.push((Role::Title, format!(" {title}")));
        }
        if place == at {
            cursor = lines.len();
        }
        let role = if place == at { Role::Cursor } else { Role::Text };
        lines.extend(row_words(row, place == at, width).into_iter().map(|text| (role, text)));
    }
    let foot = area.height.min(FOOT);
    let list = listed(Rect { height: area.height - foot, ..area }, lines.len());
    let first = first_row(cursor, lines.len(), usize::from(list.height));
    let below = lines.len().saturating_sub(first + usize::from(list.height));
    put(lines.into_iter().skip(first), theme, frame, list);
    more(theme, frame, list, [first, below]);
    let detail = here.map(|(.., row)| wrapped(&row.detail, width.saturating_sub(3))).unwrap_or_default();
    let detail = detail.into_iter().map(|text| (Role::Quiet, format!(" {text}")));
    put(detail, theme, frame, Rect { y: list.bottom() + 1, height: foot.saturating_sub(1), ..area });
}

/// Label, value and mark; a long value goes on under itself.
fn row_words(row: &Row, here: bool, width: usize) -> Vec<String> {
    let mark = if here { ">" } else { " " };
    let column = if width >= 100 { 28 } else { 18 };
    let value = if row.starting { format!("{} {}", row.value, words::STARTING_VALUE) } else { row.value.clone() };
    let mut parts = wrapped(&value, width.saturating_sub(column + 5)).into_iter();
    let first = parts.next().unwrap_or_default();
    let mut lines = vec![format!("{mark} {}  {first}", padded(&row.label, column))];
    lines.extend(parts.map(|part| format!("  {}  {part}", " ".repeat(column))));
    lines
}

fn put(lines: impl Iterator<Item = (Role, String)>, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        frame.render_widget(Line::styled(text, theme.style(role)), Rect { y, height: 1, ..area });
    }
}
