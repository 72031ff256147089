//! The keys of the screen, from the table that the keys themselves come from.

use crate::screen::keymap::Binding;
use crate::screen::parts::{padded, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::{Block, Clear};

/// Draws the keys in `rows` and `words` with what they mean over the screen.
pub fn draw(rows: &[&Binding], words: &[(&str, &str)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let line = |row: &&Binding| (Role::Text, format!("{} {}", padded(row.shown, 10), row.words));
    let mut lines: Vec<_> = rows.iter().map(line).collect();
    // The words stand below the keys, which stand side by side where they would leave no room.
    let words: Vec<_> = words.iter().map(|(word, meaning)| format!("{} {meaning}", padded(word, 12))).collect();
    if lines.len() + words.len() + 3 > usize::from(area.height) {
        let keys: Vec<_> = rows.iter().map(|row| format!("{}  {}", row.shown, row.words)).collect();
        return in_columns(&keys, &words, theme, frame, area);
    }
    lines.extend(titled(&words));
    window("keys (Esc closes)", &lines, theme, frame, area);
}

/// The words under their title, if there are any.
fn titled(words: &[String]) -> Vec<(Role, String)> {
    let title = (!words.is_empty()).then(|| (Role::Title, "words".to_owned()));
    title.into_iter().chain(words.iter().map(|line| (Role::Text, line.clone()))).collect()
}

/// A window with lines in it, in the middle of the screen.
pub fn window(title: &str, lines: &[(Role, String)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    pages(title, lines, 0, theme, frame, area);
}

/// The same, `page` of it where it is longer than the screen: what is above and below is counted in its border. The
/// last page is followed by the first.
pub fn pages(title: &str, lines: &[(Role, String)], page: i32, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let width = area.width.saturating_sub(6).min(90);
    let room = usize::from(width.saturating_sub(4));
    let wrapped: Vec<_> = lines
        .iter()
        .flat_map(|(role, text)| {
            // A line that fits keeps its own spacing.
            let parts = if text.chars().count() <= room { vec![text.clone()] } else { wrapped(text, room) };
            parts.into_iter().map(move |part| (*role, part))
        })
        .collect();
    let height = u16::try_from(wrapped.len() + 2).unwrap_or(u16::MAX).min(area.height);
    let place = Rect {
        x: area.x + (area.width.saturating_sub(width)) / 2,
        y: area.y + (area.height.saturating_sub(height)) / 2,
        width,
        height,
    };
    frame.render_widget(Clear, place);
    let rows = usize::from(height.saturating_sub(2)).max(1);
    let first = first_of(page, wrapped.len(), rows);
    let mut block = Block::bordered().title(format!(" {title} ")).border_style(theme.style(Role::Text));
    if wrapped.len() > rows {
        block = block.title_bottom(format!(" {} ", turning(first, wrapped.len().saturating_sub(first + rows))));
    }
    frame.render_widget(block, place);
    for (y, (role, text)) in (place.y + 1..place.bottom().saturating_sub(1)).zip(wrapped.into_iter().skip(first)) {
        let line = Line::styled(text, theme.style(role));
        frame.render_widget(line, Rect { x: place.x + 2, y, width: width.saturating_sub(4), height: 1 });
    }
}

/// The first line of a page: the last page is full, too.
pub(super) fn first_of(page: i32, lines: usize, rows: usize) -> usize {
    let pages = i32::try_from(lines.div_ceil(rows)).unwrap_or(i32::MAX).max(1);
    let page = usize::try_from(page.rem_euclid(pages)).unwrap_or(0);
    (page * rows).min(lines.saturating_sub(rows))
}

/// How much is above and below, and the key that goes there.
pub(super) fn turning(above: usize, below: usize) -> String {
    match (above, below) {
        (0, below) => format!("{below} more below: Down"),
        (above, 0) => format!("the end; {above} more above: Up"),
        (above, below) => format!("{below} more below: Down; {above} above: Up"),
    }
}

/// Cells to a row of keys.
const CELLS: usize = 3;

/// The keys in columns, each in as many cells as it takes; the words below.
fn in_columns(keys: &[String], words: &[String], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let cell = usize::from(area.width.saturating_sub(10).min(86)) / CELLS;
    let mut rows: Vec<String> = Vec::new();
    let mut used = CELLS;
    for key in keys {
        let needed = (key.chars().count() + 2).div_ceil(cell.max(1)).min(CELLS);
        if used + needed > CELLS {
            rows.push(String::new());
            used = 0;
        }
        if let Some(row) = rows.last_mut() {
            *row = format!("{}{key}", padded(row, used * cell));
        }
        used += needed;
    }
    let mut all: Vec<(Role, String)> = rows.into_iter().map(|row| (Role::Text, row)).collect();
    all.extend(titled(words));
    window("keys (Esc closes)", &all, theme, frame, area);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::keymap::{self, EVERYWHERE, Place};
    use crate::screen::trade_words;
    use ratatui::Terminal;
    use ratatui::backend::TestBackend;

    /// What stands in the window, its lines one after the other.
    fn shown(place: Place, (width, height): (u16, u16)) -> String {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        let rows: Vec<_> = keymap::rows(place).collect();
        let words = trade_words::of_place(place);
        terminal.draw(|frame| draw(&rows, &words, Theme::default(), frame, frame.area())).unwrap();
        let buffer = terminal.backend().buffer();
        let row = |y: u16| (0..width).map(|x| buffer[(x, y)].symbol()).collect::<String>();
        let inside = |line: String| line.trim().trim_matches('│').trim().to_owned();
        (0..height).map(|y| inside(row(y))).collect::<Vec<_>>().join(" ")
    }

    /// Words only, so that a wrapped line is found too.
    fn plain(text: &str) -> String {
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn every_key_and_word_of_every_screen_stands_there_whole() {
        for &place in EVERYWHERE {
            for size in [(80, 24), (120, 40), (200, 60)] {
                let text = plain(&shown(place, size));
                for row in keymap::rows(place) {
                    let line = plain(&format!("{} {}", row.shown, row.words));
                    assert!(text.contains(&line), "{place:?} at {size:?}: no '{line}' in:\n{text}");
                }
                for word in trade_words::used(place) {
                    let line = plain(&format!("{word} {}", trade_words::meaning(word).unwrap()));
                    assert!(text.contains(&line), "{place:?} at {size:?}: no '{line}' in:\n{text}");
                }
            }
        }
    }

    /// Every screen has a row that opens this window, and one that leaves it.
    #[test]
    fn help_is_one_key_away_everywhere() {
        use crate::bench::Action;
        for &place in EVERYWHERE {
            let has = |action| keymap::rows(place).any(|row| row.action == action);
            assert!(has(Action::Help) && has(Action::Back), "{place:?}");
        }
    }
}
