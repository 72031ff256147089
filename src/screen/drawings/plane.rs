//! Planing a taper: what comes off along the edge, and where each stroke starts.

use super::paper::{Dots, Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// A stopped stroke.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stroke {
    /// Where it starts, inches from the thin end.
    pub from: f64,
    /// The same in the shop's own writing.
    pub shown: String,
}

/// The edge from its thin end (left) to its thick end (right).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanePicture {
    /// Length of the edge, inches.
    pub length: f64,
    /// Wood to remove at the thin end and at the thick end, inches.
    pub removal: (f64, f64),
    /// The same in the shop's own writing.
    pub shown: (String, String),
    /// Strokes over the whole edge, before the stopped ones.
    pub full_strokes: usize,
    /// The stopped strokes in the order they are taken.
    pub strokes: Vec<Stroke>,
    /// What the ends are called (`bottom`, `top`).
    pub ends: (String, String),
    /// The styles.
    pub theme: Theme,
}

/// Rows of the profile.
const PROFILE: i32 = 3;

impl PlanePicture {
    /// Rows in which so many stopped strokes all have a line of their own.
    pub fn rows_for(stopped: usize) -> usize {
        stopped.saturating_add(3).saturating_add(usize::try_from(PROFILE).unwrap_or(0))
    }

    fn profile(&self, paper: &mut Paper<'_>, x: i32, width: i32) {
        let most = self.removal.0.max(self.removal.1);
        if !(most.is_finite() && most > 0.0) {
            return;
        }
        for column in 0..width {
            let share = (f64::from(column) + 0.5) / f64::from(width.max(1));
            let deep = self.removal.0 + (self.removal.1 - self.removal.0) * share;
            let halves = (deep / most * f64::from(PROFILE * 2)).round().clamp(0.0, f64::from(PROFILE * 2)) as i32;
            for row in 0..PROFILE {
                // From the edge's upper line down: wood to remove is shaded.
                if halves > row * 2 {
                    paper.put(x + column, 1 + row, "▒", self.theme.style(Role::Wood));
                }
            }
        }
        let mut dots = Dots::new(paper.width(), paper.height());
        let line = |share: f64| {
            4.0 + (self.removal.0 + (self.removal.1 - self.removal.0) * share) / most * f64::from(PROFILE * 4)
        };
        dots.line((f64::from(x * 2), line(0.0)), (f64::from((x + width) * 2), line(1.0)));
        dots.paint(paper, 0, 0, self.theme.style(Role::Leaf));
    }
}

impl Widget for &PlanePicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        let (width, height) = (paper.width(), paper.height());
        let text = self.theme.style(Role::Text);
        let thin = format!("{} -{}", self.ends.0, self.shown.0);
        let thick = format!("-{} {}", self.shown.1, self.ends.1);
        let full = match self.full_strokes {
            0 => "no full stroke".to_string(),
            1 => "1 full stroke".to_string(),
            many => format!("{many} full strokes"),
        };
        let margin = self.strokes.iter().map(|stroke| columns(&stroke.shown) + 6).max().unwrap_or(0).max(8);
        let bar = width - margin;
        let mut row = 0;
        if bar >= 12 && height >= PROFILE + 4 && self.length.is_finite() && self.length > 0.0 {
            paper.put(margin, 0, &thin, self.theme.style(Role::Next));
            paper.put(width - columns(&thick), 0, &thick, self.theme.style(Role::Next));
            self.profile(&mut paper, margin, bar);
            row = PROFILE + 2;
        } else {
            paper.put(0, row, &format!("{thin}  {thick}"), self.theme.style(Role::Next));
            row += 1;
        }
        paper.put(0, row, &full, self.theme.style(Role::Title));
        row += 1;
        for (index, stroke) in self.strokes.iter().enumerate() {
            let left = self.strokes.len() - index;
            if row >= height {
                return;
            }
            if row == height - 1 && left > 1 {
                paper.put(0, row, &format!("and {left} more"), self.theme.style(Role::Quiet));
                return;
            }
            paper.put(0, row, &format!("from {}", stroke.shown), text);
            let share = if self.length > 0.0 { (stroke.from / self.length).clamp(0.0, 1.0) } else { 0.0 };
            let start = margin + (share * f64::from(bar.max(0) - 1)) as i32;
            paper.put(start, row, "├", self.theme.style(Role::Next));
            for x in start + 1..width - 1 {
                paper.put(x, row, "─", text);
            }
            paper.put(width - 1, row, "►", text);
            row += 1;
        }
    }
}
