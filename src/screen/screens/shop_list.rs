//! The openings down the page: how far each still is, and what to do next.

use crate::bench::shop_list::ShopList;
use crate::bench::{Listed, Session, words};
use crate::fit::length::{Length, Show};
use crate::screen::parts::{first_row, padded};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Draws the list.
pub fn draw(list: &ShopList, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let openings = &session.shop.openings;
    let columns = Columns::of(area.width.into());
    let row = |y: u16| Rect { y, height: 1, ..area };
    let head = columns.line(["opening", "leaves", "worst miss", "passes left", "next"]);
    frame.render_widget(Line::styled(format!("  {head}"), theme.style(Role::Quiet)), row(area.y));
    if openings.is_empty() {
        if area.height > 2 {
            frame.render_widget(
                Line::styled(format!("  {}", words::NO_OPENINGS), theme.style(Role::Next)),
                row(area.y + 2),
            );
        }
        return;
    }
    let height = usize::from(area.height.saturating_sub(1));
    let first = first_row(list.at, openings.len(), height);
    for (y, (place, listed)) in (area.y + 1..area.bottom()).zip(openings.iter().enumerate().skip(first)) {
        let here = place == list.at;
        let mark = if here { "> " } else { "  " };
        let text = columns
            .line(cells(listed, session.shop.show(), session.shop.settings.tolerance).each_ref().map(String::as_str));
        let role = match (here, &listed.summary.trouble) {
            (true, _) => Role::Cursor,
            (false, Some(_)) => Role::Caution,
            (false, None) => Role::Text,
        };
        frame.render_widget(Line::styled(format!("{mark}{text}"), theme.style(role)), row(y));
    }
}

fn cells(listed: &Listed, show: Show, tolerance: Length) -> [String; 5] {
    let summary = &listed.summary;
    let passes =
        listed.passes.map_or_else(|| "-".to_owned(), |passes| format!("{}, at most {}", passes.median, passes.ninety));
    let next = summary.trouble.as_ref().map_or_else(|| words::next(summary.stage), |why| format!("! {why}"));
    let worst = summary.worst.as_ref().map_or_else(
        || "not read".to_owned(),
        |worst| words::miss(worst.miss, worst.tolerance.unwrap_or(tolerance), show),
    );
    [summary.name.clone(), summary.leaves.join(" "), worst, passes, next]
}

struct Columns([usize; 5]);

impl Columns {
    fn of(width: usize) -> Self {
        let room = width.saturating_sub(2 + 4 * 2);
        // Leaves and passes stay short; names and the next thing share what is left.
        let (leaves, worst, passes) = (7, 18, if width >= 100 { 14 } else { 11 });
        let left = room.saturating_sub(leaves + worst + passes);
        let name = (left * 2 / 5).clamp(8, 40);
        Self([name, leaves, worst, passes, left.saturating_sub(name)])
    }

    fn line(&self, cells: [&str; 5]) -> String {
        let padded: Vec<_> = cells.iter().zip(self.0).map(|(cell, columns)| padded(cell, columns)).collect();
        padded.join("  ")
    }
}
