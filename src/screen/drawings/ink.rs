//! Lines and shading in Braille dots where each cell keeps what it is of, so that what crosses is not lost.

use super::paper::{Paper, dot_bit};
use crate::screen::theme::{Role, Theme};

/// Most dots drawn of one line: a coordinate far outside must not be walked to.
const LONGEST: f64 = 8000.0;

/// Dots over a block of cells: two to a column, four to a row, y downwards.
pub(super) struct Ink {
    columns: i32,
    rows: i32,
    cells: Vec<(u8, Role)>,
}

impl Ink {
    pub(super) fn new(columns: i32, rows: i32) -> Self {
        let (columns, rows) = (columns.max(0), rows.max(0));
        Self { columns, rows, cells: vec![(0, Role::Text); (columns * rows) as usize] }
    }

    /// One dot; what lies outside is dropped. The cell is then of that role.
    fn set(&mut self, x: i32, y: i32, role: Role) {
        if x < 0 || y < 0 || x >= self.columns * 2 || y >= self.rows * 4 {
            return;
        }
        if let Some(cell) = self.cells.get_mut((y / 4 * self.columns + x / 2) as usize) {
            *cell = (cell.0 | dot_bit(x, y), role);
        }
    }

    /// A line of every `step`-th dot.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), step: usize, role: Role) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let dots = dx.abs().max(dy.abs()).ceil();
        if !(dots.is_finite() && dots <= LONGEST) {
            return;
        }
        for dot in (0..=dots as i32).step_by(step.max(1)) {
            let share = f64::from(dot) / dots.max(1.0);
            self.set((from.0 + dx * share).floor() as i32, (from.1 + dy * share).floor() as i32, role);
        }
    }

    /// The outline of a shape.
    pub(super) fn outline(&mut self, corners: &[(f64, f64)], role: Role) {
        for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            self.line(*from, *to, 1, role);
        }
    }

    /// The inside of a convex shape: all of it, or every other dot.
    pub(super) fn fill(&mut self, corners: &[(f64, f64)], solid: bool, role: Role) {
        let span = |of: &dyn Fn(&(f64, f64)) -> f64, most: i32| {
            let (low, high) = corners
                .iter()
                .map(of)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
            (low.floor().clamp(0.0, f64::from(most)) as i32, high.ceil().clamp(0.0, f64::from(most)) as i32)
        };
        let (left, right) = span(&|corner| corner.0, self.columns * 2);
        let (top, bottom) = span(&|corner| corner.1, self.rows * 4);
        for y in top..bottom {
            for x in (left..right).filter(|x| solid || (x + y) % 2 == 0) {
                if inside(corners, (f64::from(x) + 0.5, f64::from(y) + 0.5)) {
                    self.set(x, y, role);
                }
            }
        }
    }

    /// Draws the dots with the block's upper left cell at `(x, y)`; the cells become taken.
    pub(super) fn paint(&self, paper: &mut Paper<'_>, x: i32, y: i32, theme: Theme) {
        for (at, &(bits, role)) in (0..).zip(&self.cells) {
            if let Some(letter) = char::from_u32(0x2800 + u32::from(bits)).filter(|_| bits != 0) {
                let place = (x + at % self.columns, y + at / self.columns);
                paper.put(place.0, place.1, letter.encode_utf8(&mut [0; 4]), theme.style(role));
            }
        }
    }
}

/// Is the point inside the convex shape, whichever way round its corners go?
fn inside(corners: &[(f64, f64)], at: (f64, f64)) -> bool {
    let mut signs = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| {
        let turn = (b.0 - a.0) * (at.1 - a.1) - (b.1 - a.1) * (at.0 - a.0);
        if turn.abs() < 1e-9 { 0.0 } else { turn.signum() }
    });
    let mut side = 0.0;
    signs.all(|sign| {
        let same = sign == 0.0 || side == 0.0 || sign == side;
        side = if sign == 0.0 { side } else { sign };
        same
    })
}
