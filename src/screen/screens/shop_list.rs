//! The openings down the page: how far each still is, and what to do next.

use super::home;
use crate::bench::brief::{Brief, Thing};
use crate::bench::passes_left::PassesLeft;
use crate::bench::seen::PassesSeen;
use crate::bench::shop_list::ShopList;
use crate::bench::{Listed, Session, brief, gap_words, rounds_words, words};
use crate::fit::length::{Length, Show};
use crate::screen::parts::{clipped, first_row, listed, more, padded};
use crate::screen::theme::{Role, Theme};
use crate::shop::replay::Stage;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

/// Draws the list.
pub fn draw(list: &ShopList, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let openings = &session.shop.openings;
    let cuts = |listed: &Listed| brief::proposes_a_cut(listed.summary.stage, listed.brief());
    let area = if area.height >= ROOM_FOR_CAUTIONS && openings.iter().any(cuts) {
        home::cautioned(theme, frame, area)
    } else {
        area
    };
    let row = |y: u16| Rect { y, height: 1, ..area };
    let part = list.part_words();
    let places = list.shown(openings);
    // Where there is no room for saw and plane beside the trips, those of the opening under the cursor stand below.
    let is_wide = area.width >= WIDE;
    let chosen = list.chosen(openings).filter(|_| !is_wide && area.height >= ROOM_BELOW);
    let left = chosen.map(|listed| left_words(listed, usize::from(area.width).saturating_sub(3)));
    let below = u16::from(part.is_some()) + u16::from(left.is_some());
    let below_head = Rect { y: area.y + 1, height: area.height.saturating_sub(1 + below), ..area };
    let shown = listed(below_head, places.len());
    let height = usize::from(shown.height);
    let first = first_row(list.at, places.len(), height);
    let seen: Vec<_> =
        places.iter().filter_map(|place| openings.get(*place)).enumerate().skip(first).take(height).collect();
    let mut rows: Vec<Cells> =
        seen.iter().map(|(_, listed)| cells(listed, session.shop.show(), session.shop.settings.tolerance)).collect();
    let columns = Columns::of(area.width.into(), HEADS, &rows);
    // Leaves whose names have no room are counted.
    for ([_, leaves, ..], (_, listed)) in rows.iter_mut().zip(&seen) {
        if leaves.width() > columns.0[1] {
            *leaves = match listed.summary.leaves.len() {
                1 => "1 leaf".to_owned(),
                count => format!("{count} leaves"),
            };
        }
    }
    let head = columns.line(HEADS);
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
    if let Some(left) = left {
        let y = area.bottom().saturating_sub(below);
        frame.render_widget(Line::styled(format!("  {left}"), theme.style(Role::Quiet)), row(y));
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

/// What stands in a row: name, leaves, worst miss, trips, saw cuts and planings left, what to do next.
type Cells = [String; 7];
const HEADS: [&str; 7] = ["opening", "leaves", "worst miss", "trips left", "saw", "plane", "next"];
/// Columns of the screen from which saw and plane have columns of their own.
const WIDE: u16 = 100;
/// Rows from which the list has one to spare.
const ROOM_BELOW: u16 = 8;

/// Rows from which the list has room for the cautions of the cuts that it names without their amounts.
const ROOM_FOR_CAUTIONS: u16 = 12;

/// Passes that remain in the opening under the cursor, in one row.
fn left_words(listed: &Listed, width: usize) -> String {
    let name = &listed.summary.name;
    let left = match known(listed) {
        Some(left) => rounds_words::row_left(left),
        None => match trips(listed).as_str() {
            "-" => "not known yet".to_owned(),
            said => said.to_owned(),
        },
    };
    let room = width.saturating_sub(left.width() + ", left: ".len());
    clipped(&format!("{}, left: {left}", clipped(name, room.max(8))), width)
}

/// Passes that are known to remain.
fn known(listed: &Listed) -> Option<PassesLeft> {
    match listed.passes {
        _ if matches!(listed.summary.stage, Stage::Fitted { .. }) => None,
        PassesSeen::Known(Some(brief)) if brief.thing == Thing::Short => None,
        PassesSeen::Known(Some(Brief { passes, .. })) => passes,
        _ => None,
    }
}

fn trips(listed: &Listed) -> String {
    match listed.passes {
        // What the user accepted as fitted is done.
        _ if matches!(listed.summary.stage, Stage::Fitted { .. }) => "none".to_owned(),
        PassesSeen::Known(Some(brief)) if brief.thing == Thing::Short => "none helps".to_owned(),
        PassesSeen::Known(Some(Brief { passes: Some(left), .. })) => rounds_words::spread(left.trips),
        PassesSeen::NotYet | PassesSeen::Asked if listed.summary.worst.is_some() => "counting".to_owned(),
        _ => "-".to_owned(),
    }
}

fn cells(listed: &Listed, show: Show, tolerance: Length) -> Cells {
    let summary = &listed.summary;
    let [saw, plane] = known(listed)
        .map_or_else(|| ["-", "-"].map(str::to_owned), |left| [left.saw, left.plane].map(rounds_words::spread));
    let next =
        summary.trouble.as_ref().map_or_else(|| brief::big(summary.stage, listed.brief()), |why| format!("! {why}"));
    let unknown = if summary.is_unsound() { "not known" } else { "not read" };
    let worst = summary.worst.as_ref().filter(|_| !summary.is_unsound()).map_or_else(
        || unknown.to_owned(),
        |worst| gap_words::miss(worst.miss, worst.tolerance.unwrap_or(tolerance), show),
    );
    [summary.name.clone(), summary.leaves.join(" "), worst, trips(listed), saw, plane, next]
}

/// Columns that the next thing to do keeps at least.
const LEAST_NEXT: usize = 14;

/// Columns of `2 leaves`.
const COUNTED: usize = 8;

struct Columns([usize; 7]);

impl Columns {
    /// Every column as wide as what stands in it; names have what is left, and more where the next thing to do
    /// can do with less. Saw and plane have none where the screen is narrow.
    fn of(width: usize, heads: [&str; 7], rows: &[Cells]) -> Self {
        let is_wide = width >= usize::from(WIDE);
        let room = width.saturating_sub(2 + if is_wide { 6 } else { 4 } * 2);
        let mut wide = heads.map(UnicodeWidthStr::width);
        for row in rows {
            for (wide, cell) in wide.iter_mut().zip(row) {
                *wide = (*wide).max(cell.width());
            }
        }
        let [name, leaves, worst, trips, saw, plane, next] = wide;
        let [saw, plane] = if is_wide { [saw, plane] } else { [0; 2] };
        let counts = trips + saw + plane;
        // All the names, where nothing else has to give way to them.
        let names_fit = name + leaves + worst + counts + next <= room;
        let leaves = if names_fit { leaves } else { leaves.min(COUNTED) };
        let left = room.saturating_sub(leaves + worst + counts);
        let name = name.min(left.saturating_sub(next.min(LEAST_NEXT))).max(8);
        Self([name, leaves, worst, trips, saw, plane, left.saturating_sub(name)])
    }

    fn line(&self, cells: [&str; 7]) -> String {
        let shown = cells.iter().zip(self.0).filter(|(_, columns)| *columns > 0);
        let padded: Vec<_> = shown.map(|(cell, columns)| padded(cell, columns)).collect();
        padded.join("  ")
    }
}
