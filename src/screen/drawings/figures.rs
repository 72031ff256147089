//! The few numbers to set, side by side in large letters, each with what it is above it.

use super::big::BigText;
use super::paper::{Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// Columns between two figures.
const APART: i32 = 3;
/// Columns and rows of one letter, large and less large.
const SIZES: [(i32, u16); 2] = [(8, 8), (4, 4)];

/// What it is, and what to set.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figures {
    /// Label and value, left to right.
    pub all: Vec<(String, String)>,
    /// The styles.
    pub theme: Theme,
}

impl Figures {
    /// Columns that each takes with letters this wide.
    fn widths(&self, letter: i32) -> Vec<i32> {
        self.all.iter().map(|(label, value)| columns(label).max(columns(value) * letter)).collect()
    }

    fn fits(&self, letter: i32, width: i32) -> bool {
        let widths = self.widths(letter);
        let gaps = i32::try_from(widths.len().saturating_sub(1)).unwrap_or(0) * APART;
        !widths.is_empty() && widths.iter().sum::<i32>() + gaps <= width
    }

    /// No more than the first `most` of them.
    #[must_use]
    pub fn first(&self, most: usize) -> Self {
        Self { all: self.all.iter().take(most).cloned().collect(), theme: self.theme }
    }

    /// The same in as many rows of figures as that width asks for, each of them `rows` high with its label; none
    /// where one figure alone does not fit.
    pub fn packed(&self, width: u16, rows: u16) -> Option<Vec<Self>> {
        let (letter, _) = SIZES.into_iter().find(|(_, high)| *high < rows)?;
        let mut packed: Vec<Self> = Vec::new();
        for figure in &self.all {
            let alone = Self { all: vec![figure.clone()], theme: self.theme };
            if !alone.fits(letter, i32::from(width)) {
                return None;
            }
            if let Some(last) = packed.last_mut() {
                let mut more = last.clone();
                more.all.push(figure.clone());
                if more.fits(letter, i32::from(width)) {
                    *last = more;
                    continue;
                }
            }
            packed.push(alone);
        }
        Some(packed)
    }
}

impl Widget for &Figures {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let area = area.intersection(buffer.area);
        let fits = |&(letter, rows): &(i32, u16)| self.fits(letter, i32::from(area.width)) && rows < area.height;
        let Some((letter, rows)) = SIZES.into_iter().find(fits) else { return };
        let mut x = area.x;
        for ((label, value), width) in self.all.iter().zip(self.widths(letter)) {
            let width = u16::try_from(width).unwrap_or(0);
            let place = Rect { x, y: area.y, width, height: 1 }.intersection(area);
            Paper::new(place, buffer).put(0, 0, label, self.theme.style(Role::Text));
            let big = BigText { text: value.clone(), role: Some(Role::Next), theme: self.theme };
            // No wider than its own letters, or one of few letters would be larger than the rest.
            let own = u16::try_from(columns(value) * letter).unwrap_or(0);
            (&big).render(Rect { x, y: area.y + 1, width: own, height: rows }.intersection(area), buffer);
            x = x.saturating_add(width).saturating_add(u16::try_from(APART).unwrap_or(0));
        }
    }
}
