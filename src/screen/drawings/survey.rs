//! The shape of an opening as surveyed, its errors enlarged.

use super::paper::{Dots, Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// A surveyed quadrilateral against the rectangle it should be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SurveyPicture {
    /// Corners in inches: lower left, lower right, upper right, upper left (x right, y up).
    pub corners: [(f64, f64); 4],
    /// Beside each side: left, right, bottom, top (`26 1/16`).
    pub sides: [String; 4],
    /// Lower left to upper right, and lower right to upper left.
    pub diagonals: [String; 2],
    /// What it comes to (`out of square 3/32: wide angle upper left`).
    pub verdict: String,
    /// The styles.
    pub theme: Theme,
}

impl SurveyPicture {
    /// The rectangle nearest to the corners.
    fn rectangle(&self) -> Option<[(f64, f64); 4]> {
        let [a, b, c, d] = self.corners;
        let all = [a.0, a.1, b.0, b.1, c.0, c.1, d.0, d.1];
        let (left, right) = (f64::midpoint(a.0, d.0), f64::midpoint(b.0, c.0));
        let (bottom, top) = (f64::midpoint(a.1, b.1), f64::midpoint(c.1, d.1));
        let sound = all.iter().all(|value| value.is_finite() && value.abs() < 1e6);
        (sound && right - left > 1e-3 && top - bottom > 1e-3).then_some([
            (left, bottom),
            (right, bottom),
            (right, top),
            (left, top),
        ])
    }

    fn factor(&self, rectangle: &[(f64, f64); 4]) -> f64 {
        const LADDER: [f64; 8] = [1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 60.0, 80.0];
        let miss = |(a, b): (&(f64, f64), &(f64, f64))| (a.0 - b.0).abs().max((a.1 - b.1).abs());
        let worst = self.corners.iter().zip(rectangle).map(miss).fold(0.0, f64::max);
        let [a, _, c, _] = rectangle;
        let side = (c.0 - a.0).min(c.1 - a.1);
        LADDER.into_iter().take_while(|factor| factor * worst <= 0.12 * side).last().unwrap_or(1.0)
    }

    fn lines(&self, paper: &mut Paper<'_>) {
        let [left, right, bottom, top] = &self.sides;
        let [rising, falling] = &self.diagonals;
        let lines = [
            self.verdict.clone(),
            format!("top {top}  bottom {bottom}"),
            format!("left {left}  right {right}"),
            format!("diagonals / {rising}  \\ {falling}"),
        ];
        for (row, line) in (0..paper.height()).zip(&lines) {
            paper.put(0, row, line, self.theme.style(if row == 0 { Role::Next } else { Role::Text }));
        }
    }
}

impl Widget for &SurveyPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        let (width, height) = (paper.width(), paper.height());
        let [left, right, bottom, top] = &self.sides;
        let (margin_left, margin_right) = (columns(left) + 1, columns(right) + 1);
        // Rows: top length, picture, bottom length, verdict, caption.
        let (room_x, room_y) = (width - margin_left - margin_right, height - 4);
        let rectangle = self.rectangle().filter(|_| room_x >= 12 && room_y >= 4);
        let Some(rectangle) = rectangle else { return self.lines(&mut paper) };
        let [low, _, high, _] = rectangle;
        let (wide, tall) = (high.0 - low.0, high.1 - low.1);
        let scale = (f64::from(room_x * 2) / (wide * 1.25)).min(f64::from(room_y * 4) / (tall * 1.1));
        let (middle_x, middle_y) = (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
        let (centre_x, centre_y) = (f64::from((margin_left + room_x / 2) * 2), f64::from(4 + room_y * 2));
        let dot =
            |point: (f64, f64)| (centre_x + (point.0 - middle_x) * scale, centre_y - (point.1 - middle_y) * scale);
        let factor = self.factor(&rectangle);
        let drawn: Vec<_> = self
            .corners
            .iter()
            .zip(&rectangle)
            .map(|(is, should)| dot((should.0 + (is.0 - should.0) * factor, should.1 + (is.1 - should.1) * factor)))
            .collect();
        let [a, b, c, d] = drawn.as_slice() else { return };
        let mut dots = Dots::new(width, height);
        let square = rectangle.map(dot);
        for (from, to) in square.iter().zip(square.iter().cycle().skip(1)) {
            dots.dotted(*from, *to);
        }
        dots.dotted(*a, *c);
        dots.dotted(*b, *d);
        dots.paint(&mut paper, 0, 0, self.theme.style(Role::Quiet));
        let mut dots = Dots::new(width, height);
        dots.path(&[*a, *b, *c, *d, *a]);
        dots.paint(&mut paper, 0, 0, self.theme.style(Role::Frame));
        let cell = |point: (f64, f64)| ((point.0 / 2.0) as i32, (point.1 / 4.0) as i32);
        let (lower_left, lower_right, upper_right, upper_left) = (cell(*a), cell(*b), cell(*c), cell(*d));
        let text = self.theme.style(Role::Text);
        let middle_row = i32::midpoint(lower_left.1, upper_left.1);
        paper.put(lower_left.0.min(upper_left.0) - margin_left, middle_row, left, text);
        paper.put(lower_right.0.max(upper_right.0) + 2, middle_row, right, text);
        let centre = cell((centre_x, 0.0)).0;
        paper.put(centre - columns(top) / 2, upper_left.1.min(upper_right.1) - 1, top, text);
        paper.put(centre - columns(bottom) / 2, lower_left.1.max(lower_right.1) + 1, bottom, text);
        let [rising, falling] = &self.diagonals;
        let diagonals = [format!("/ {rising}"), format!("\\ {falling}")];
        for (row, line) in (middle_row..).zip(&diagonals) {
            paper.put(centre - columns(line) / 2, row, line, text);
        }
        paper.put_centred(height - 2, &self.verdict, self.theme.style(Role::Next));
        paper.put_centred(
            height - 1,
            &format!("errors drawn {factor:.0}x, dotted: square"),
            self.theme.style(Role::Quiet),
        );
    }
}
