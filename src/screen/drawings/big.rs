//! Large letters for what is read from arm's length.

use super::paper::{Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Widget;
use tui_big_text::{BigText as Letters, PixelSize};

/// A sentence as large as the area allows, wrapped at words; ordinary bold letters where large ones do not fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BigText {
    /// What to say.
    pub text: String,
    /// What it means.
    pub role: Option<Role>,
    /// The styles.
    pub theme: Theme,
}

/// Letter sizes, largest first, in block and half-block characters: (columns, rows, size).
const SIZES: [(i32, i32, PixelSize); 3] =
    [(8, 8, PixelSize::Full), (8, 4, PixelSize::HalfHeight), (4, 4, PixelSize::Quadrant)];

/// Words put into lines of at most `room` columns; none when a single word is longer.
fn wrap(text: &str, room: i32) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if columns(word) > room {
            return None;
        }
        match lines.last_mut() {
            Some(line) if columns(line) + 1 + columns(word) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    Some(lines)
}

impl BigText {
    /// The lines and the letter size used in that area; none when ordinary letters must do.
    fn large(&self, width: i32, height: i32) -> Option<(Vec<String>, PixelSize)> {
        if !self.text.chars().all(|letter| letter.is_ascii_graphic() || letter == ' ') {
            return None;
        }
        SIZES.into_iter().find_map(|(wide, high, size)| {
            let lines = wrap(&self.text, width / wide)?;
            let count = i32::try_from(lines.len()).ok()?;
            (count > 0 && count * high <= height).then_some((lines, size))
        })
    }

    /// Rows that large letters would take at this width, smallest size; none if they do not fit at all.
    pub fn rows(&self, width: u16) -> Option<u16> {
        let lines = wrap(&self.text, i32::from(width) / 4)?;
        u16::try_from(lines.len()).ok().and_then(|count| count.checked_mul(4)).filter(|rows| *rows > 0)
    }
}

impl Widget for &BigText {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let area = area.intersection(buffer.area);
        let style = self.theme.style(self.role.unwrap_or(Role::Next));
        if let Some((lines, size)) = self.large(i32::from(area.width), i32::from(area.height)) {
            let lines: Vec<Line<'_>> = lines.iter().map(|line| Line::from(line.as_str())).collect();
            Letters::builder().pixel_size(size).style(style).lines(lines).build().render(area, buffer);
            return;
        }
        let mut paper = Paper::new(area, buffer);
        let room = paper.width();
        let lines = wrap(&self.text, room).unwrap_or_else(|| vec![self.text.clone()]);
        for (row, line) in (0..paper.height()).zip(&lines) {
            paper.put(0, row, line, style);
        }
    }
}
