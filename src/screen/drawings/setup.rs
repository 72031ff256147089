//! The set-up of a rip or sled cut, from above: fence, pads, leaf, blade line, wood to remove.

use super::paper::{Dots, Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// A pad between the fence and the leaf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupPad {
    /// From and to along the leaf's edge, inches from the drawing's left end.
    pub span: (f64, f64),
    /// Thickness, inches.
    pub thickness: f64,
    /// What it is made of (`3 tape`).
    pub layers: String,
    /// Its distance as it is to be measured (`14 1/2 from the top end`).
    pub distance: String,
}

/// Which end of the drawing goes into the blade first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Leads {
    /// The drawing's left end.
    #[default]
    Left,
    /// The drawing's right end.
    Right,
}

/// The drawing. Fence along the bottom, blade line across the top; true inches in, the factor is chosen here.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupPicture {
    /// The leaf as it lies, as (along the fence, off the fence): near the fence left and right, then far
    /// from the fence right and left.
    pub leaf: [(f64, f64); 4],
    /// Distance from fence to blade line.
    pub blade: f64,
    /// The same in words (`fence at 10 15/16`).
    pub blade_words: String,
    /// From where to where the fence reaches, along.
    pub fence: (f64, f64),
    /// What stands there: `fence`, `sled fence`.
    pub fence_word: String,
    /// The pads.
    pub pads: Vec<SetupPad>,
    /// Wood to remove at the drawing's left and right end, in the shop's own writing.
    pub off: (String, String),
    /// Which end leads.
    pub leads: Leads,
    /// What the left and right ends are called (`bottom`, `top`).
    pub ends: (String, String),
    /// The styles.
    pub theme: Theme,
}

/// Where things stand, in dots and rows.
struct Frame {
    left: i32,
    columns: i32,
    blade_row: i32,
    fence_row: i32,
    caption_row: i32,
    from: f64,
    per_inch: f64,
    factor: f64,
}

impl Frame {
    fn x(&self, along: f64) -> f64 {
        f64::from(self.left * 2) + (along - self.from) * self.per_inch
    }

    /// Dots above the fence's face for a point near it.
    fn near(&self, off: f64) -> f64 {
        f64::from(self.fence_row * 4) - 1.0 - off * self.factor * self.per_inch
    }

    /// Dots for a point near the blade line; `beyond` is the distance past it.
    fn far(&self, beyond: f64) -> f64 {
        f64::from(self.blade_row * 4) + 1.5 - beyond * self.factor * self.per_inch
    }
}

const LADDER: [f64; 12] = [1.0, 2.0, 4.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0];

impl SetupPicture {
    /// Rows from which it is drawn with room for the words of several pads.
    const WHOLE: u16 = 12;

    /// Wood beyond the blade line at the left and at the right end.
    fn beyond(&self) -> (f64, f64) {
        let [_, _, far_right, far_left] = self.leaf;
        (far_left.1 - self.blade, far_right.1 - self.blade)
    }

    fn place(&self, width: i32, height: i32) -> Option<Frame> {
        let [near_left, near_right, far_right, far_left] = self.leaf;
        let numbers = [
            near_left.0,
            near_left.1,
            near_right.0,
            near_right.1,
            far_right.0,
            far_right.1,
            far_left.0,
            far_left.1,
            self.blade,
            self.fence.0,
            self.fence.1,
        ];
        if !numbers.iter().all(|number| number.is_finite() && number.abs() < 1e6) {
            return None;
        }
        let from = near_left.0.min(far_left.0);
        let length = near_right.0.max(far_right.0) - from;
        // Above: one row of words and two of wood (one where there is little room). Below: fence, two rows
        // of pads' words, and the caption, which stands above where there is little room.
        let little = height < i32::from(Self::WHOLE);
        let (blade_row, below) = if little { (2, 3) } else { (3, 4) };
        let (columns, body) = (width - 4, height - blade_row - 1 - below);
        let least = if little { 2 } else { 4 };
        if length < 1e-3 || columns < 20 || body < least {
            return None;
        }
        let thin = match body {
            12.. => 4,
            4.. => 2,
            _ => 1,
        };
        let per_inch = f64::from(columns * 2) / length;
        let beyond = self.beyond();
        let pads = self.pads.iter().map(|pad| pad.thickness).filter(|thick| thick.is_finite());
        let thickest = pads.chain([beyond.0, beyond.1, near_left.1, near_right.1]).fold(0.0, f64::max);
        let room = f64::from(thin * 4) - 2.0;
        let factor = LADDER.into_iter().take_while(|factor| factor * thickest * per_inch <= room).last().unwrap_or(1.0);
        // To proportion where the rows allow, else squeezed.
        let proportion = (self.blade * per_inch / 4.0).clamp(f64::from(least), f64::from(body)) as i32;
        let deep = proportion.max(thin + if little { 1 } else { 2 });
        Some(Frame {
            left: 2,
            columns,
            blade_row,
            fence_row: blade_row + 1 + deep,
            caption_row: if little { 0 } else { blade_row + 1 + deep + 3 },
            from,
            per_inch,
            factor,
        })
    }

    fn lines(&self, paper: &mut Paper<'_>) {
        let mut lines = vec![self.blade_words.clone()];
        lines.extend(self.pads.iter().map(|pad| format!("{}: {}", pad.layers, pad.distance)));
        lines.push(format!("off {} {}, {} {}", self.ends.0, self.off.0, self.ends.1, self.off.1));
        lines.push(self.lead_words());
        for (row, line) in (0..paper.height()).zip(&lines) {
            paper.put(0, row, line, self.theme.style(if row == 0 { Role::Next } else { Role::Text }));
        }
    }

    fn lead_words(&self) -> String {
        match self.leads {
            Leads::Left => format!("◄ {} end leads", self.ends.0),
            Leads::Right => format!("{} end leads ►", self.ends.1),
        }
    }

    /// Do the words of every pad stand in a drawing of that size?
    pub fn tells_all(&self, width: u16, height: u16) -> bool {
        let area = Rect { x: 0, y: 0, width, height };
        let mut buffer = Buffer::empty(area);
        let mut paper = Paper::new(area, &mut buffer);
        self.place(paper.width(), paper.height()).is_some_and(|frame| self.pads(&frame, &mut paper))
    }

    /// Draws the pads; did the words of every one find room?
    fn pads(&self, frame: &Frame, paper: &mut Paper<'_>) -> bool {
        let style = self.theme.style(Role::Next);
        let mut all = true;
        for pad in &self.pads {
            if !(pad.span.0.is_finite() && pad.span.1.is_finite() && pad.thickness.is_finite()) {
                all = false;
                continue;
            }
            let (from, to) = ((frame.x(pad.span.0) / 2.0) as i32, (frame.x(pad.span.1) / 2.0) as i32);
            let limit = frame.left + frame.columns - 1;
            let (from, to) = (from.clamp(frame.left, limit), to.clamp(frame.left, limit));
            let halves = (pad.thickness * frame.factor * frame.per_inch / 2.0).round().clamp(1.0, 8.0) as i32;
            for x in from..=to.max(from) {
                for row in 0..halves / 2 {
                    paper.put(x, frame.fence_row - 1 - row, "█", style);
                }
                if halves % 2 == 1 {
                    paper.put(x, frame.fence_row - 1 - halves / 2, "▄", style);
                }
            }
            // Below the fence, one under the other where they would touch.
            let mut text = format!("▲ {}, {}", pad.layers, pad.distance);
            let mut x = from;
            if from + columns(&text) > paper.width() {
                text = format!("{}, {} ▲", pad.layers, pad.distance);
                x = (to - columns(&text) + 1).max(0);
            }
            let mut rows = frame.fence_row + 1..=frame.fence_row + 2;
            all &= rows.any(|row| paper.try_put(x, row, &text, style));
        }
        all
    }

    fn wood(&self, frame: &Frame, paper: &mut Paper<'_>) {
        let beyond = self.beyond();
        for column in 0..frame.columns {
            let share = (f64::from(column) + 0.5) / f64::from(frame.columns);
            let deep = beyond.0 + (beyond.1 - beyond.0) * share;
            let rows = (deep * frame.factor * frame.per_inch / 4.0).clamp(0.0, 4.0);
            let rows = if rows > 0.1 { rows.round().max(1.0) as i32 } else { 0 };
            for row in 1..=rows {
                paper.try_put(frame.left + column, frame.blade_row - row, "▒", self.theme.style(Role::Wood));
            }
        }
    }
}

/// `-0.042`; nothing taken is `0`, not `-0`.
fn taken_off(shown: &str) -> String {
    let nothing = shown.trim_end_matches("mm").trim_end().chars().all(|digit| matches!(digit, '0' | '.'));
    if nothing { shown.to_owned() } else { format!("-{shown}") }
}

impl Widget for &SetupPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        let (width, height) = (paper.width(), paper.height());
        let Some(frame) = self.place(width, height) else { return self.lines(&mut paper) };
        let [near_left, near_right, far_right, far_left] = self.leaf;
        let blade = self.blade;
        let theme = self.theme;
        let mut dots = Dots::new(width, height);
        dots.path(&[
            (frame.x(far_left.0), frame.far(far_left.1 - blade)),
            (frame.x(near_left.0), frame.near(near_left.1)),
            (frame.x(near_right.0), frame.near(near_right.1)),
            (frame.x(far_right.0), frame.far(far_right.1 - blade)),
            (frame.x(far_left.0), frame.far(far_left.1 - blade)),
        ]);
        dots.paint(&mut paper, 0, 0, theme.style(Role::Leaf));
        self.wood(&frame, &mut paper);
        for x in 0..width {
            paper.put(x, frame.blade_row, "╌", theme.style(Role::Blade));
        }
        let (from, to) = ((frame.x(self.fence.0) / 2.0) as i32, (frame.x(self.fence.1) / 2.0) as i32);
        for x in from.max(0)..=to.min(width - 1) {
            paper.put(x, frame.fence_row, "━", theme.style(Role::Frame));
        }
        self.pads(&frame, &mut paper);
        let (left, right) = (taken_off(&self.off.0), taken_off(&self.off.1));
        let off = [(2, left), (width - 2 - columns(&right), right)];
        for (x, text) in &off {
            paper.put(*x, 0, text, theme.style(Role::Next));
        }
        let words = format!(" blade line, {} ", self.blade_words);
        paper.put_centred(frame.blade_row, &words, theme.style(Role::Next));
        let middle = f64::midpoint(f64::from(frame.blade_row), f64::from(frame.fence_row)) as i32;
        paper.put(frame.left + 2, middle, &self.ends.0, theme.style(Role::Title));
        let right = &self.ends.1;
        paper.put(frame.left + frame.columns - 2 - columns(right), middle, right, theme.style(Role::Title));
        paper.put_centred(middle, &self.lead_words(), theme.style(Role::Next));
        paper.put(from.max(0) + 1, frame.fence_row, &format!(" {} ", self.fence_word), theme.style(Role::Frame));
        let across = f64::from((frame.fence_row - frame.blade_row) * 4) / (blade.max(1e-3) * frame.per_inch);
        let drawn = format!("pads and wood drawn {:.0}x", frame.factor);
        let squeezed = if (0.85..=1.15).contains(&across) { "" } else { ", width not to scale" };
        let short = format!("drawn {:.0}x, not to scale", frame.factor);
        let style = theme.style(Role::Quiet);
        let _ = [format!("{drawn}{squeezed}"), short]
            .iter()
            .any(|caption| paper.try_put((width - columns(caption)).max(0) / 2, frame.caption_row, caption, style));
    }
}
