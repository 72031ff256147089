//! A clipped piece of the buffer that knows which of its cells are taken, and a layer of Braille dots.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns that a text takes.
pub(super) fn columns(text: &str) -> i32 {
    i32::try_from(text.width()).unwrap_or(i32::MAX)
}

/// An area to draw on in its own coordinates, from (0, 0) at the upper left; everything outside is dropped.
pub(super) struct Paper<'b> {
    buffer: &'b mut Buffer,
    area: Rect,
    taken: Vec<bool>,
    worded: Vec<bool>,
}

impl<'b> Paper<'b> {
    pub(super) fn new(area: Rect, buffer: &'b mut Buffer) -> Self {
        let area = area.intersection(buffer.area);
        let cells = usize::from(area.width) * usize::from(area.height);
        Self { buffer, area, taken: vec![false; cells], worded: vec![false; cells] }
    }

    pub(super) fn width(&self) -> i32 {
        i32::from(self.area.width)
    }

    pub(super) fn height(&self) -> i32 {
        i32::from(self.area.height)
    }

    fn index(&self, x: i32, y: i32) -> Option<usize> {
        let inside = x >= 0 && y >= 0 && x < self.width() && y < self.height();
        inside.then(|| (y * self.width() + x) as usize)
    }

    /// Is the whole run inside and not taken?
    pub(super) fn is_free(&self, x: i32, y: i32, width: i32) -> bool {
        (x..x.saturating_add(width)).all(|x| self.index(x, y).is_some_and(|at| self.taken.get(at) == Some(&false)))
    }

    /// Marks a run as taken without drawing on it.
    pub(super) fn keep(&mut self, x: i32, y: i32, width: i32) {
        for x in x.max(0)..x.saturating_add(width).min(self.width()) {
            if let Some(taken) = self.index(x, y).and_then(|at| self.taken.get_mut(at)) {
                *taken = true;
            }
        }
    }

    /// Writes a text, over whatever is there; what falls outside is dropped.
    pub(super) fn put(&mut self, x: i32, y: i32, text: &str, style: Style) {
        let mut at = x;
        for letter in text.chars() {
            let width = i32::try_from(letter.width().unwrap_or(0)).unwrap_or(0);
            if width == 0 {
                continue;
            }
            if at >= 0 && at + width <= self.width() && self.index(at, y).is_some() {
                let place = (self.area.x + at as u16, self.area.y + y as u16);
                if let Some(cell) = self.buffer.cell_mut(place) {
                    // What was there gives way, style and all.
                    cell.reset();
                }
                self.buffer.set_stringn(place.0, place.1, letter.to_string(), width as usize, style);
            }
            let is_word = letter.is_alphanumeric() || "<>=".contains(letter);
            if let Some(worded) = self.index(at, y).and_then(|at| self.worded.get_mut(at)) {
                *worded = is_word;
            }
            at += width;
            if at >= self.width() {
                break;
            }
        }
        self.keep(x, y, at - x);
    }

    /// Would a text there run into another one beside it?
    pub(super) fn is_apart(&self, x: i32, y: i32, width: i32) -> bool {
        let worded = |x: i32| self.index(x, y).is_some_and(|at| self.worded.get(at) == Some(&true));
        !worded(x - 1) && !worded(x.saturating_add(width))
    }

    /// Does the run lie over no text, whatever lines are there?
    pub(super) fn is_wordless(&self, x: i32, y: i32, width: i32) -> bool {
        let worded = |x: i32| self.index(x, y).is_none_or(|at| self.worded.get(at) == Some(&true));
        !(x..x.saturating_add(width)).any(worded)
    }

    /// Writes a text only where nothing is yet and no other text touches it; says whether it did.
    pub(super) fn try_put(&mut self, x: i32, y: i32, text: &str, style: Style) -> bool {
        let free = self.is_free(x, y, columns(text)) && self.is_apart(x, y, columns(text));
        if free {
            self.put(x, y, text, style);
        }
        free
    }

    /// Writes a text in the middle of the row.
    pub(super) fn put_centred(&mut self, y: i32, text: &str, style: Style) {
        let x = (self.width() - columns(text)).max(0) / 2;
        self.put(x, y, text, style);
    }

    /// A heavy box, corner to corner inclusive.
    pub(super) fn heavy_box(&mut self, left: i32, top: i32, right: i32, bottom: i32, style: Style) {
        for x in left + 1..right {
            self.put(x, top, "━", style);
            self.put(x, bottom, "━", style);
        }
        for y in top + 1..bottom {
            self.put(left, y, "┃", style);
            self.put(right, y, "┃", style);
        }
        for (x, y, corner) in [(left, top, "┏"), (right, top, "┓"), (left, bottom, "┗"), (right, bottom, "┛")] {
            self.put(x, y, corner, style);
        }
    }
}

/// A point in dots: two to a column, four to a row, y downwards.
pub(super) type Dot = (f64, f64);

/// Braille dots over a block of cells.
pub(super) struct Dots {
    columns: i32,
    rows: i32,
    bits: Vec<u8>,
}

/// The bit of a Braille cell for the dot at (`x`, `y`), two dots wide and four high, neither below zero.
pub(super) fn dot_bit(x: i32, y: i32) -> u8 {
    match (x % 2, y % 4) {
        (0, 3) => 0x40,
        (_, 3) => 0x80,
        (0, row) => 1 << row,
        (_, row) => 8 << row,
    }
}

impl Dots {
    pub(super) fn new(columns: i32, rows: i32) -> Self {
        let (columns, rows) = (columns.max(0), rows.max(0));
        Self { columns, rows, bits: vec![0; (columns * rows) as usize] }
    }

    pub(super) fn set(&mut self, x: i32, y: i32) {
        if x < 0 || y < 0 || x >= self.columns * 2 || y >= self.rows * 4 {
            return;
        }
        if let Some(cell) = self.bits.get_mut((y / 4 * self.columns + x / 2) as usize) {
            *cell |= dot_bit(x, y);
        }
    }

    /// A line between two points, clipped; nothing if a coordinate is not finite.
    pub(super) fn line(&mut self, from: Dot, to: Dot) {
        let Some((from, to)) = self.clip(from, to) else { return };
        let steps = (to.0 - from.0).abs().max((to.1 - from.1).abs()).ceil().max(1.0);
        for step in 0..=steps as i32 {
            let share = f64::from(step) / steps;
            let x = from.0 + (to.0 - from.0) * share;
            let y = from.1 + (to.1 - from.1) * share;
            self.set(x.floor() as i32, y.floor() as i32);
        }
    }

    /// Line segment clipped to the block (Liang and Barsky's way).
    fn clip(&self, from: Dot, to: Dot) -> Option<(Dot, Dot)> {
        let (wide, high) = (f64::from(self.columns * 2), f64::from(self.rows * 4));
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        if ![from.0, from.1, to.0, to.1, dx, dy].iter().all(|value| value.is_finite()) {
            return None;
        }
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (slope, room) in [(-dx, from.0), (dx, wide - from.0), (-dy, from.1), (dy, high - from.1)] {
            if slope == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if slope < 0.0 {
                enter = enter.max(room / slope);
            } else {
                leave = leave.min(room / slope);
            }
        }
        (enter <= leave)
            .then_some(((from.0 + dx * enter, from.1 + dy * enter), (from.0 + dx * leave, from.1 + dy * leave)))
    }

    /// A dotted line: every third dot.
    pub(super) fn dotted(&mut self, from: Dot, to: Dot) {
        let Some((from, to)) = self.clip(from, to) else { return };
        let steps = (to.0 - from.0).abs().max((to.1 - from.1).abs()).ceil().max(1.0);
        for step in (0..=steps as i32).step_by(3) {
            let share = f64::from(step) / steps;
            self.set(
                (from.0 + (to.0 - from.0) * share).floor() as i32,
                (from.1 + (to.1 - from.1) * share).floor() as i32,
            );
        }
    }

    /// Lines from point to point.
    pub(super) fn path(&mut self, points: &[Dot]) {
        for pair in points.windows(2) {
            if let [from, to] = pair {
                self.line(*from, *to);
            }
        }
    }

    /// Draws the dots with the block's upper left cell at (x, y); the cells become taken.
    pub(super) fn paint(&self, paper: &mut Paper<'_>, x: i32, y: i32, style: Style) {
        for (at, bits) in self.bits.iter().enumerate().filter(|(_, bits)| **bits != 0) {
            let Ok(at) = i32::try_from(at) else { break };
            if let Some(letter) = char::from_u32(0x2800 + u32::from(*bits)) {
                let mut utf8 = [0; 4];
                paper.put(x + at % self.columns, y + at / self.columns, letter.encode_utf8(&mut utf8), style);
            }
        }
    }
}
