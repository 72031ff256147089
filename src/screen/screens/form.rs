//! Fields to fill in.

use crate::bench::form::{Entry, Form};
use crate::screen::parts::clipped;
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

/// Draws the fields under `title` and the lines `above`.
pub fn draw(title: &str, form: &Form, above: &[String], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let width = usize::from(area.width);
    let mut lines = vec![Line::default(), Line::styled(format!("  {title}"), theme.style(Role::Title))];
    lines.extend(above.iter().map(|text| Line::styled(clipped(&format!("  {text}"), width), theme.style(Role::Text))));
    lines.push(Line::default());
    let label = form.fields.iter().map(|field| field.label.width()).max().unwrap_or(0);
    for (place, field) in form.fields.iter().enumerate() {
        let here = place == form.at;
        let value = match &field.entry {
            Entry::Text(text) if here => tail(&format!("{text}_"), width.saturating_sub(label + 7)),
            Entry::Text(text) => text.clone(),
            Entry::Choice { .. } => format!("< {} >", field.value()),
        };
        let mark = if here { ">" } else { " " };
        lines.push(Line::from(vec![
            Span::styled(
                format!("{mark} {:label$}  ", field.label),
                theme.style(if here { Role::Next } else { Role::Text }),
            ),
            Span::styled(format!(" {value} "), theme.style(if here { Role::Cursor } else { Role::Text })),
        ]));
        let hint = if here { field.hint } else { "" };
        lines.push(Line::styled(clipped(&format!("  {:label$}   {hint}", ""), width), theme.style(Role::Quiet)));
    }
    for (y, line) in (area.y..area.bottom()).zip(lines) {
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

/// The end of a text too long for its field.
fn tail(text: &str, room: usize) -> String {
    let skip = text.chars().count().saturating_sub(room.max(4));
    text.chars().skip(skip).collect()
}
