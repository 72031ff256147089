//! The keys of the screen, from the table that the keys themselves come from.

use crate::bench::Session;
use crate::screen::keymap;
use crate::screen::parts::{padded, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::{Block, Clear};

/// Draws the keys over the screen.
pub fn draw(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let rows = keymap::rows(keymap::place(session));
    let lines: Vec<_> = rows.map(|row| (Role::Text, format!("{} {}", padded(row.shown, 10), row.words))).collect();
    window("keys (Esc closes)", &lines, theme, frame, area);
}

/// A window with lines in it, in the middle of the screen.
pub fn window(title: &str, lines: &[(Role, String)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
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
    frame.render_widget(Block::bordered().title(format!(" {title} ")).border_style(theme.style(Role::Text)), place);
    for (y, (role, text)) in (place.y + 1..place.bottom().saturating_sub(1)).zip(wrapped) {
        let line = Line::styled(text, theme.style(role));
        frame.render_widget(line, Rect { x: place.x + 2, y, width: width.saturating_sub(4), height: 1 });
    }
}
