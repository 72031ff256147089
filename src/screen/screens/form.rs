//! Fields to fill in.

use crate::bench::form::{Entry, Field, Form};
use crate::screen::parts::{clipped, wrapped};
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
        if !here {
            lines.push(Line::default());
            continue;
        }
        let (hint, role) = hint(field);
        // A second line of it takes the room below the last field, where there is any.
        let spare = usize::from(area.height).saturating_sub(lines.len() + 2 * (form.fields.len() - place) - 1);
        let told = wrapped(&hint, width.saturating_sub(label + 5));
        let rows = told.len().clamp(1, spare.max(1));
        let mut told = told.into_iter();
        for row in 0..rows {
            let text = if row + 1 == rows {
                told.by_ref().collect::<Vec<_>>().join(" ")
            } else {
                told.next().unwrap_or_default()
            };
            lines.push(Line::styled(clipped(&format!("  {:label$}   {text}", ""), width), theme.style(role)));
        }
    }
    for (y, line) in (area.y..area.bottom()).zip(lines) {
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

/// What stands under or below a field: why it cannot be read, what was understood of it, or how to fill it.
pub(super) fn hint(field: &Field) -> (String, Role) {
    match field.unread() {
        Some(why) => (format!("! {why}"), Role::Caution),
        None if !field.told.is_empty() => (field.told.clone(), Role::Text),
        None => (field.hint.to_owned(), Role::Quiet),
    }
}

/// The end of a text too long for its field.
fn tail(text: &str, room: usize) -> String {
    let skip = text.chars().count().saturating_sub(room.max(4));
    text.chars().skip(skip).collect()
}
