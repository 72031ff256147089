//! A leaf's latch edge from above as it swings out, to scale: frame, leaf, the way of its back corner, back-bevel.

use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Line};

/// What is drawn; lengths in inches, x from the latch edge toward the frame, z from the face forward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwingPicture {
    /// Width of the leaf.
    pub width: f64,
    /// Its thickness.
    pub thickness: f64,
    /// The gap at the latch.
    pub gap: f64,
    /// The pin: off the hinge edge toward the frame, in front of the face.
    pub pin: (f64, f64),
    /// What the back of the latch edge loses to the bevel, if one is needed.
    pub bevel: Option<f64>,
    /// Colours.
    pub theme: Theme,
}

/// Points along the way of a corner.
const STEPS: usize = 48;

impl SwingPicture {
    /// What the picture shows: x from and to, z from and to, with one scale for both in dots of an area.
    fn window(&self, area: Rect) -> Option<([f64; 2], [f64; 2])> {
        let all = [self.width, self.thickness, self.gap, self.pin.0, self.pin.1];
        if all.iter().any(|length| !length.is_finite()) || self.thickness <= 0.0 || area.width < 8 || area.height < 4 {
            return None;
        }
        let margin = 0.2 * self.thickness;
        let z = [-self.thickness - margin, 1.5 * margin];
        // Two by four dots to a cell.
        let dot = (z[1] - z[0]) / (f64::from(area.height) * 4.0);
        let wide = dot * f64::from(area.width) * 2.0;
        let right = self.gap + self.thickness;
        Some(([right - wide, right], z))
    }

    /// The way of the back corner from where the leaf is closed until it is in front of the frame's face.
    pub fn way(&self) -> Vec<(f64, f64)> {
        let (pin_x, pin_z) = (-self.width - self.pin.0, self.pin.1);
        let back = self.bevel.map_or(0.0, |depth| -depth);
        let (x, z) = (back - pin_x, -self.thickness - pin_z);
        let (radius, from) = (x.hypot(z), z.atan2(x));
        // Level with the frame's face, or where it is furthest out of a pin that lies behind it.
        let to = (-pin_z / radius).clamp(-1.0, 1.0).asin().max(from);
        let at = |step: usize| from + (to - from) * step as f64 / STEPS as f64;
        (0..=STEPS).map(|step| (pin_x + radius * at(step).cos(), pin_z + radius * at(step).sin())).collect()
    }
}

impl Widget for &SwingPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let Some((x, z)) = self.window(area) else { return };
        let colour = |role: Role| self.theme.style(role).fg.unwrap_or(ratatui::style::Color::Reset);
        let (leaf, frame, way) = (colour(Role::Leaf), colour(Role::Frame), colour(Role::Next));
        let canvas = Canvas::default().marker(Marker::Braille).x_bounds(x).y_bounds(z).paint(|context| {
            let mut line = |from: (f64, f64), to: (f64, f64), colour| {
                context.draw(&Line { x1: from.0, y1: from.1, x2: to.0, y2: to.1, color: colour });
            };
            let back = -self.thickness;
            // The frame: its face and the edge that the leaf must pass.
            line((self.gap, 0.0), (x[1], 0.0), frame);
            line((self.gap, 0.0), (self.gap, back), frame);
            line((self.gap, back), (x[1], back), frame);
            let corner = self.bevel.map_or(0.0, |depth| -depth);
            line((x[0], 0.0), (0.0, 0.0), leaf);
            line((0.0, 0.0), (corner, back), leaf);
            line((corner, back), (x[0], back), leaf);
            for pair in self.way().windows(2) {
                if let [from, to] = pair {
                    line(*from, *to, way);
                }
            }
        });
        canvas.render(area, buffer);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::theme::Palette;

    fn picture(bevel: Option<f64>) -> SwingPicture {
        let theme = Theme::new(Palette::Plain);
        SwingPicture { width: 11.0, thickness: 0.875, gap: 0.03, pin: (0.0, 0.0), bevel, theme }
    }

    /// The square corner's way crosses the frame's edge where the gap is too narrow; bevelled it just passes.
    #[test]
    fn the_way_of_the_corner_crosses_the_frame_unless_it_is_bevelled() {
        let furthest =
            |picture: &SwingPicture| picture.way().iter().map(|point| point.0).fold(f64::NEG_INFINITY, f64::max);
        let square = picture(None);
        // sqrt(11² + 0.875²) − 11 = 0.0347 in, from Pythagoras.
        assert!((furthest(&square) - 0.034_747).abs() < 1e-5, "{}", furthest(&square));
        assert!(furthest(&square) > square.gap);
        // Its back loses 11 − sqrt(11.03² − 0.875²) = 0.004758 in.
        let bevelled = picture(Some(0.004_758));
        assert!((furthest(&bevelled) - bevelled.gap).abs() < 1e-5, "{}", furthest(&bevelled));
    }

    #[test]
    fn any_area_and_any_numbers_are_drawn_without_a_panic() {
        for (width, height) in [(0, 0), (3, 1), (8, 4), (76, 10), (200, 60)] {
            let area = Rect::new(0, 0, width, height);
            for wrong in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
                let odd = SwingPicture { thickness: wrong, ..picture(None) };
                (&odd).render(area, &mut Buffer::empty(area));
            }
        }
        let area = Rect::new(0, 0, 76, 10);
        let mut drawn = Buffer::empty(area);
        (&picture(None)).render(area, &mut drawn);
        assert!(drawn.content.iter().filter(|cell| cell.symbol() != " ").count() > 60);
    }
}
