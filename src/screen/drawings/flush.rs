//! Four corners of a leaf against the face of the frame: proud, shy or flush.

use super::paper::{Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// One corner.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FlushCorner {
    /// Inches in front of the frame's face (proud), behind it if negative (shy); none if unread.
    pub proud: Option<f64>,
    /// Without its sign, in the shop's own writing.
    pub shown: String,
}

/// The leaf from the front with its four corners.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FlushPicture {
    /// Upper left, upper right, lower left, lower right.
    pub corners: [FlushCorner; 4],
    /// Within this a corner counts as flush, inches.
    pub tolerance: f64,
    /// Are these corners as they should be by now, and not as they were read?
    pub expected: bool,
    /// What it comes to (`wind 1/64: hinges cannot take it out`).
    pub verdict: String,
    /// The styles.
    pub theme: Theme,
}

impl FlushPicture {
    fn label(&self, corner: &FlushCorner) -> (String, Role) {
        match corner.proud.filter(|proud| proud.is_finite()) {
            None => ("· unread".to_string(), Role::Unread),
            Some(proud) if proud > self.tolerance + 1e-9 => (format!("▲ {} proud", corner.shown), Role::Wide),
            Some(proud) if proud < -self.tolerance - 1e-9 => (format!("▼ {} shy", corner.shown), Role::Tight),
            Some(_) => ("= flush".to_string(), Role::Right),
        }
    }
}

impl Widget for &FlushPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        let (width, height) = (paper.width(), paper.height());
        let labels: Vec<_> = self.corners.iter().map(|corner| self.label(corner)).collect();
        let widest = labels.iter().map(|(text, _)| columns(text)).max().unwrap_or(0);
        let [upper_left, upper_right, lower_left, lower_right] = labels.as_slice() else { return };
        // Two labels side by side inside a box, or a list.
        if width < 2 * widest + 5 || height < 5 {
            let names = ["upper left", "upper right", "lower left", "lower right"];
            for (row, ((text, role), name)) in (0..height).zip(labels.iter().zip(names)) {
                paper.put(0, row, &format!("{text} {name}"), self.theme.style(*role));
            }
            paper.put(0, 4, &self.verdict, self.theme.style(Role::Next));
            return;
        }
        let rows = (height - 1).min(18);
        let words = if self.expected { "expected, not read" } else { "seen from the front" };
        let box_width = (rows * 2).max(2 * widest + 5).max(columns(words) + 4).min(width);
        let left = (width - box_width) / 2;
        let (right, bottom) = (left + box_width - 1, rows - 1);
        paper.heavy_box(left, 0, right, bottom, self.theme.style(Role::Leaf));
        for ((text, role), y, is_right) in [
            (upper_left, 1, false),
            (upper_right, 1, true),
            (lower_left, bottom - 1, false),
            (lower_right, bottom - 1, true),
        ] {
            let x = if is_right { right - 1 - columns(text) } else { left + 2 };
            paper.put(x, y, text, self.theme.style(*role));
        }
        if rows >= 5 {
            paper.put_centred(rows / 2, words, self.theme.style(Role::Quiet));
        }
        paper.put_centred(rows, &self.verdict, self.theme.style(Role::Next));
    }
}
