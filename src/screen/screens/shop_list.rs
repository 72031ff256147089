//! The openings down the page: how far each still is, and what to do next.

use crate::bench::brief::{Brief, Thing};
use crate::bench::seen::PassesSeen;
use crate::bench::shop_list::ShopList;
use crate::bench::{Listed, Session, brief, rounds_words, words};
use crate::fit::length::{Length, Show};
use crate::screen::parts::{first_row, listed, more, padded};
use crate::screen::theme::{Role, Theme};
use crate::shop::replay::Stage;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

/// Draws the list.
pub fn draw(list: &ShopList, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let openings = &session.shop.openings;
    let row = |y: u16| Rect { y, height: 1, ..area };
    let heads = ["opening", "leaves", "worst miss", "trips left", "next"];
    let part = list.part_words();
    let places = list.shown(openings);
    let below_head = Rect { y: area.y + 1, height: area.height.saturating_sub(1 + u16::from(part.is_some())), ..area };
    let shown = listed(below_head, places.len());
    let height = usize::from(shown.height);
    let first = first_row(list.at, places.len(), height);
    let seen: Vec<_> =
        places.iter().filter_map(|place| openings.get(*place)).enumerate().skip(first).take(height).collect();
    let mut rows: Vec<[String; 5]> =
        seen.iter().map(|(_, listed)| cells(listed, session.shop.show(), session.shop.settings.tolerance)).collect();
    let columns = Columns::of(area.width.into(), heads, &rows);
    // Leaves whose names have no room are counted.
    for ([_, leaves, ..], (_, listed)) in rows.iter_mut().zip(&seen) {
        if leaves.width() > columns.0[1] {
            *leaves = match listed.summary.leaves.len() {
                1 => "1 leaf".to_owned(),
                count => format!("{count} leaves"),
            };
        }
    }
    let head = columns.line(heads);
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
    if let Some(part) = part {
        let count = format!("  {part}  ({} of {})", places.len(), openings.len());
        frame.render_widget(Line::styled(count, theme.style(Role::Next)), row(area.bottom().saturating_sub(1)));
    }
    for (y, ((place, listed), cells)) in (shown.y..shown.bottom()).zip(seen.into_iter().zip(&rows)) {
        let here = place == list.at;
        let mark = if here { "> " } else { "  " };
        let text = columns.line(cells.each_ref().map(String::as_str));
        let role = match (here, &listed.summary.trouble) {
            (true, _) => Role::Cursor,
            (false, Some(_)) => Role::Caution,
            (false, None) => Role::Text,
        };
        frame.render_widget(Line::styled(format!("{mark}{text}"), theme.style(role)), row(y));
    }
    more(theme, frame, shown, [first, places.len().saturating_sub(first + height)]);
}

fn cells(listed: &Listed, show: Show, tolerance: Length) -> [String; 5] {
    let summary = &listed.summary;
    let passes = match listed.passes {
        // What the user accepted as fitted is done.
        _ if matches!(summary.stage, Stage::Fitted { .. }) => "none".to_owned(),
        PassesSeen::Known(Some(brief)) if brief.thing == Thing::Short => "none helps".to_owned(),
        PassesSeen::Known(Some(Brief { passes: Some(left), .. })) => rounds_words::spread(left.trips),
        PassesSeen::NotYet | PassesSeen::Asked if summary.worst.is_some() => "counting".to_owned(),
        _ => "-".to_owned(),
    };
    let next =
        summary.trouble.as_ref().map_or_else(|| brief::big(summary.stage, listed.brief()), |why| format!("! {why}"));
    let worst = summary.worst.as_ref().map_or_else(
        || "not read".to_owned(),
        |worst| words::miss(worst.miss, worst.tolerance.unwrap_or(tolerance), show),
    );
    [summary.name.clone(), summary.leaves.join(" "), worst, passes, next]
}

/// Columns that the next thing to do keeps at least.
const LEAST_NEXT: usize = 14;

/// Columns of `2 leaves`.
const COUNTED: usize = 8;

struct Columns([usize; 5]);

impl Columns {
    /// Every column as wide as what stands in it; names have what is left, and more where the next thing to do
    /// can do with less.
    fn of(width: usize, heads: [&str; 5], rows: &[[String; 5]]) -> Self {
        let room = width.saturating_sub(2 + 4 * 2);
        let mut wide = heads.map(UnicodeWidthStr::width);
        for row in rows {
            for (wide, cell) in wide.iter_mut().zip(row) {
                *wide = (*wide).max(cell.width());
            }
        }
        let [name, leaves, worst, passes, next] = wide;
        // All the names, where nothing else has to give way to them.
        let names_fit = name + leaves + worst + passes + next <= room;
        let leaves = if names_fit { leaves } else { leaves.min(COUNTED) };
        let left = room.saturating_sub(leaves + worst + passes);
        let name = name.min(left.saturating_sub(next.min(LEAST_NEXT))).max(8);
        Self([name, leaves, worst, passes, left.saturating_sub(name)])
    }

    fn line(&self, cells: [&str; 5]) -> String {
        let padded: Vec<_> = cells.iter().zip(self.0).map(|(cell, columns)| padded(cell, columns)).collect();
        padded.join("  ")
    }
}
