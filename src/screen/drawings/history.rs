//! The worst miss of each round, the leaf moved as well as can be, falling to the tolerance band.

use super::paper::{Dots, Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// What the chart shows: what the lines about the rounds say, too.
const WHAT: &str = "worst miss, the leaf moved as well as can be";

/// One round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoundMiss {
    /// Under the point (`1`, `2 Mar`).
    pub name: String,
    /// Worst miss in inches, the leaf moved as well as can be.
    pub worst: f64,
    /// The same in the shop's own writing.
    pub shown: String,
}

/// The chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HistoryChart {
    /// The rounds, first to last.
    pub rounds: Vec<RoundMiss>,
    /// The tolerance in inches.
    pub tolerance: f64,
    /// The tolerance in the shop's own writing.
    pub tolerance_shown: String,
    /// The styles.
    pub theme: Theme,
}

impl HistoryChart {
    fn standing(&self, round: &RoundMiss) -> (&'static str, Role) {
        if round.worst.is_finite() && round.worst <= self.tolerance + 1e-9 {
            ("within", Role::Right)
        } else {
            ("out", Role::Tight)
        }
    }

    fn lines(&self, paper: &mut Paper<'_>) {
        let height = usize::try_from(paper.height()).unwrap_or(0);
        let skip = self.rounds.len().saturating_sub(height);
        for (row, round) in (0..paper.height()).zip(self.rounds.iter().skip(skip)) {
            let (word, role) = self.standing(round);
            paper.put(0, row, &format!("round {}: {} {word}", round.name, round.shown), self.theme.style(role));
        }
    }
}

impl Widget for &HistoryChart {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        let (width, height) = (paper.width(), paper.height());
        let axis = format!("{} tolerance", self.tolerance_shown);
        let left = columns(&axis) + 1;
        let label = self.rounds.iter().map(|r| columns(&r.shown).max(columns(&r.name))).max().unwrap_or(0) + 8;
        let most = (width - left - 1) / label.max(1);
        if self.rounds.is_empty() {
            paper.put(0, 0, "no rounds yet", self.theme.style(Role::Quiet));
            return;
        }
        if height < 7 || most < 2 {
            self.lines(&mut paper);
            return;
        }
        let most = usize::try_from(most).unwrap_or(1);
        let rounds = self.rounds.get(self.rounds.len().saturating_sub(most)..).unwrap_or(&self.rounds);
        // Top rows for what is drawn and for the highest number, bottom row for names.
        let plot_rows = height - 3;
        let top = rounds.iter().map(|r| r.worst).filter(|w| w.is_finite()).fold(self.tolerance * 1.5, f64::max);
        let top = if top.is_finite() && top > 0.0 { top } else { 1.0 };
        let dot_y = |inches: f64| 8.0 + (1.0 - (inches / top).clamp(0.0, 1.0)) * (f64::from(plot_rows * 4) - 1.0);
        let count = i32::try_from(rounds.len()).unwrap_or(1).max(1);
        let pitch = f64::from((width - left - 1) * 2) / f64::from(count);
        let dot_x = |index: usize| f64::from(left * 2) + pitch * (index as f64 + 0.5);
        let band = dot_y(if self.tolerance.is_finite() { self.tolerance } else { 0.0 });
        let mut dots = Dots::new(width, height);
        dots.dotted((f64::from(left * 2), band), (f64::from(width * 2), band));
        dots.paint(&mut paper, 0, 0, self.theme.style(Role::Quiet));
        paper.put(0, (band / 4.0) as i32, &axis, self.theme.style(Role::Quiet));
        let points: Vec<(f64, f64)> = rounds
            .iter()
            .enumerate()
            .filter(|(_, round)| round.worst.is_finite())
            .map(|(index, round)| (dot_x(index), dot_y(round.worst)))
            .collect();
        let mut dots = Dots::new(width, height);
        dots.path(&points);
        dots.paint(&mut paper, 0, 0, self.theme.style(Role::Leaf));
        paper.put(0, 0, WHAT, self.theme.style(Role::Title));
        for (index, round) in rounds.iter().enumerate() {
            let (word, role) = self.standing(round);
            let column = (dot_x(index) / 2.0) as i32;
            let row = (dot_y(round.worst) / 4.0) as i32;
            paper.put(column, row, "●", self.theme.style(role));
            let text = format!("{} {word}", round.shown);
            let x = (column - columns(&text) / 2).min(width - columns(&text)).max(left);
            // Above its point, or below where the first row leaves no room.
            paper.put(x, if row > 1 { row - 1 } else { row + 1 }, &text, self.theme.style(role));
            paper.put(column - columns(&round.name) / 2, height - 1, &round.name, self.theme.style(Role::Text));
        }
        paper.put(0, height - 1, "round", self.theme.style(Role::Quiet));
    }
}
