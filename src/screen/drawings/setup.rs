//! The set-up of a cut from above, to proportion: leaf, fence, pads, line of the blade, wood to remove shaded.
//!
//! The cut edge lies at the top, or stands upright at the right. Each word stands where nothing else does:
//! those of the two ends in a margin of their own, those of the pads under the fence.

use super::ink::Ink;
use super::paper::{Paper, columns};
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// A pad between the fence and the leaf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupPad {
    /// Its corners, inches.
    pub outline: Vec<(f64, f64)>,
    /// Its words, the most telling first; the last is the shortest that tells which pad it is.
    pub words: Vec<String>,
}

/// An end of the cut edge.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupEnd {
    /// What it is called (`lower`).
    pub name: String,
    /// Wood to remove there, in the shop's own writing.
    pub off: String,
    /// Does the blade kiss it before the move?
    pub kiss: bool,
}

impl SetupEnd {
    /// `-3/32`; `0` where nothing comes off.
    fn taken(&self) -> String {
        if self.off.contains(|letter: char| ('1'..='9').contains(&letter)) {
            format!("-{}", self.off)
        } else {
            "0".to_owned()
        }
    }
}

/// The drawing. Inches, x to the right, y away from the fence, which lies along `y = 0`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetupPicture {
    /// The leaf's corners.
    pub leaf: Vec<(f64, f64)>,
    /// Those of the wood to remove.
    pub wood: Vec<(f64, f64)>,
    /// The pads.
    pub pads: Vec<SetupPad>,
    /// From where to where the fence reaches, if there is one.
    pub fence: Option<(f64, f64)>,
    /// What stands at the fence, the most telling first.
    pub fence_words: Vec<String>,
    /// The line of the blade, or the line to work to.
    pub blade: [(f64, f64); 2],
    /// What it is called, the most telling first.
    pub blade_words: Vec<String>,
    /// Where something starts or is marked on the cut edge.
    pub starts: Vec<(f64, f64)>,
    /// Does the cut edge stand upright at the right? Else it lies at the top.
    pub upright: bool,
    /// The ends of the cut edge: at the left or bottom, then at the right or top.
    pub ends: [SetupEnd; 2],
    /// Which end goes first, and by an arrowhead whither; the most telling first.
    pub lead: Vec<String>,
    /// What is drawn larger than it is, and how many times; the most telling first.
    pub captions: Vec<String>,
    /// The styles.
    pub theme: Theme,
}

/// Where things stand.
struct Place {
    /// Cells of the leaf and all that is drawn with it.
    left: i32,
    top: i32,
    columns: i32,
    rows: i32,
    /// Inches at the left of the first dot, and at the bottom of the last.
    from: (f64, f64),
    per_inch: f64,
    /// Rows of the fence and of the pads' words under it.
    fence_rows: i32,
    pad_rows: i32,
}

impl Place {
    /// Dots from the upper left cell of the drawing.
    fn dot(&self, (x, y): (f64, f64)) -> (f64, f64) {
        ((x - self.from.0) * self.per_inch, f64::from(self.rows * 4) - 1.0 - (y - self.from.1) * self.per_inch)
    }

    fn column(&self, x: f64) -> i32 {
        self.left + ((x - self.from.0) * self.per_inch / 2.0).floor() as i32
    }

    fn row(&self, y: f64) -> i32 {
        self.top + (self.dot((0.0, y)).1 / 4.0).floor() as i32
    }

    fn below(&self) -> i32 {
        self.top + self.rows
    }
}

impl SetupPicture {
    fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        let pads = self.pads.iter().flat_map(|pad| &pad.outline);
        let blade = self.blade.iter().filter(|_| self.upright);
        let all = self.leaf.iter().chain(&self.wood).chain(pads).chain(blade).chain(&self.starts);
        all.copied().map(|(x, y)| (x, if self.fence.is_some() { y.max(0.0) } else { y }))
    }

    /// Columns kept free at the left and at the right for the words of the ends.
    fn margins(&self) -> (i32, i32) {
        let end = |end: &SetupEnd| columns(&end.name).max(columns(&end.off) + 1).max(4);
        if self.upright {
            let blade = self.blade_words.last().map_or(0, |word| columns(word));
            let side = self.ends.iter().map(|end| columns(&end.off) + columns(&end.name) + 2).max().unwrap_or(0);
            return (0, side.max(blade) + 1);
        }
        (end(&self.ends[0]) + 1, end(&self.ends[1]) + 1)
    }

    /// Rows under the fence for the words of pads.
    fn pad_rows(&self, height: i32) -> i32 {
        let pads = i32::try_from(self.pads.len()).unwrap_or(i32::MAX);
        match height {
            _ if pads == 0 => 0,
            ..11 => 1,
            11..18 => pads.min(2),
            _ => pads.min(4),
        }
    }

    fn place(&self, width: i32, height: i32) -> Option<Place> {
        let fence = self.fence.map_or([0.0; 2], |(from, to)| [from, to]);
        let numbers = self.points().flat_map(|(x, y)| [x, y]).chain(self.blade.iter().flat_map(|&(x, y)| [x, y]));
        if self.leaf.is_empty() || !numbers.chain(fence).all(|number| number.is_finite() && number.abs() < 1e6) {
            return None;
        }
        let span = |of: &dyn Fn((f64, f64)) -> f64| {
            let values = self.points().map(of);
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
        };
        let ((left, right), (low, high)) = (span(&|point| point.0), span(&|point| point.1));
        let low = if self.fence.is_some() { 0.0 } else { low };
        let (margins, pad_rows) = (self.margins(), self.pad_rows(height));
        let fence_rows = i32::from(self.fence.is_some());
        let wide = width - margins.0 - margins.1;
        // The last row is the caption's.
        let rows = height - fence_rows - pad_rows - 1;
        if wide < 6 || rows < 2 || right - left < 1e-6 || high - low < 1e-6 {
            return None;
        }
        let per_inch = (f64::from(wide * 2 - 1) / (right - left)).min(f64::from(rows * 4 - 1) / (high - low));
        let used = |inches: f64, dots: f64, most: i32| ((inches * per_inch / dots).floor() as i32 + 1).clamp(1, most);
        let (own, deep) = (used(right - left, 2.0, wide), used(high - low + 1.0 / per_inch, 4.0, rows));
        Some(Place {
            left: margins.0 + (wide - own) / 2,
            top: (rows - deep) / 2,
            columns: own,
            rows: deep,
            from: (left, low),
            per_inch,
            fence_rows,
            pad_rows,
        })
    }

    /// How large it would be drawn, in dots to an inch; nothing where there is no room.
    pub fn scale(&self, width: u16, height: u16) -> Option<f64> {
        self.place(i32::from(width), i32::from(height)).map(|place| place.per_inch)
    }

    /// Would every word have room in an area of that size?
    pub fn is_whole(&self, width: u16, height: u16) -> bool {
        let area = Rect { x: 0, y: 0, width, height };
        self.paint(&mut Paper::new(area, &mut Buffer::empty(area)))
    }

    fn lines(&self, place: &Place, paper: &mut Paper<'_>) {
        let mut ink = Ink::new(place.columns, place.rows);
        let dots = |points: &[(f64, f64)]| points.iter().map(|&point| place.dot(point)).collect::<Vec<_>>();
        ink.fill(&dots(&self.wood), false, Role::Wood);
        ink.outline(&dots(&self.leaf), Role::Leaf);
        let [from, to] = self.blade.map(|point| place.dot(point));
        ink.line(from, to, 3, Role::Blade);
        // Marks stand on the wood that stays, where nothing is shaded.
        for &start in &self.starts {
            let (x, y) = place.dot(start);
            let share =
                |at: f64, from: f64, to: f64| if (to - from).abs() < 1e-9 { 0.0 } else { (at - from) / (to - from) };
            let (at, to) = if self.upright {
                let x = from.0 + (to.0 - from.0) * share(y, from.1, to.1);
                ((x - 1.0, y), (x - 4.0, y))
            } else {
                let y = from.1 + (to.1 - from.1) * share(x, from.0, to.0);
                ((x, y + 1.0), (x, y + 4.0))
            };
            ink.line(at, to, 1, Role::Next);
        }
        ink.paint(paper, place.left, place.top, self.theme);
        self.piles(place, paper);
        if let Some((from, to)) = self.fence {
            let (from, to) = (place.column(from).max(0), place.column(to).min(paper.width() - 1));
            for x in from..=to {
                paper.put(x, place.below(), "━", self.theme.style(Role::Frame));
            }
        }
    }

    /// The pads on the fence, at least half a row thick.
    fn piles(&self, place: &Place, paper: &mut Paper<'_>) {
        let style = self.theme.style(Role::Next);
        for pad in &self.pads {
            let along = pad.outline.iter().map(|corner| place.column(corner.0));
            let (from, to) = (along.clone().min().unwrap_or(0), along.max().unwrap_or(0));
            let thick = pad.outline.iter().map(|corner| corner.1).fold(0.0, f64::max) * place.per_inch;
            let halves = (thick / 2.0).round().clamp(1.0, f64::from(place.rows * 2)) as i32;
            for x in from..=to.min(from + place.columns) {
                for half in (0..halves).step_by(2) {
                    let block = if half + 1 < halves { "█" } else { "▄" };
                    paper.put(x, place.below() - 1 - half / 2, block, style);
                }
            }
        }
    }

    /// The words of the pads under the fence: of the most telling kind for which all have room.
    fn pads(&self, place: &Place, paper: &mut Paper<'_>) -> bool {
        let style = self.theme.style(Role::Next);
        let kinds = self.pads.iter().map(|pad| pad.words.len()).max().unwrap_or(0);
        let rows: Vec<i32> = (1..=place.pad_rows).map(|row| place.below() + row).collect();
        let laid = |kind: usize| -> Option<Vec<(i32, i32, &str)>> {
            let mut said: Vec<(i32, i32, &str)> = Vec::new();
            for pad in &self.pads {
                let text = pad.words.get(kind.min(pad.words.len().saturating_sub(1)))?;
                let wide = columns(text);
                let near = pad.outline.iter().map(|corner| corner.0).fold(f64::INFINITY, f64::min);
                let x = place.column(near).min(paper.width() - wide).max(0);
                let apart = |row: i32| {
                    said.iter().all(|&(at, other, word)| other != row || at + columns(word) < x || x + wide < at)
                };
                let row = rows.iter().copied().find(|&row| apart(row)).filter(|_| wide <= paper.width())?;
                said.push((x, row, text));
            }
            Some(said)
        };
        let Some(said) = (0..kinds).find_map(laid) else { return self.pads.is_empty() };
        said.into_iter().all(|(x, row, text)| paper.try_put(x, row, text, style))
    }

    /// The first of `words` that has room near `(x, y)`: on that row, or up to `reach` rows away from it.
    fn near(
        &self,
        place: &Place,
        paper: &mut Paper<'_>,
        words: &[String],
        (x, y): (Anchor, i32),
        reach: i32,
        role: Role,
    ) -> bool {
        let (style, last) = (self.theme.style(role), place.below());
        words.iter().any(|text| {
            let x = match x {
                Anchor::From(x) => x,
                Anchor::To(x) => x - columns(text) + 1,
                Anchor::Middle(x) => x - columns(text) / 2,
            };
            let rows = (0..=reach).flat_map(|away| [y + away, y - away]);
            rows.filter(|&row| row < last).any(|row| paper.try_put(x, row, text, style))
        })
    }

    fn ends(&self, place: &Place, paper: &mut Paper<'_>) -> bool {
        let [one, other] = self.blade;
        let (left, right_end) = if one.0 <= other.0 { (one, other) } else { (other, one) };
        let reach = place.rows + 1;
        let mut all = true;
        for (at, end) in self.ends.iter().enumerate() {
            let right = at == 1;
            let kiss = ["kiss".to_owned()];
            if self.upright {
                let x = Anchor::From(place.left + place.columns + 1);
                let blade = self.blade.map(|point| point.1);
                let span = (blade[0].min(blade[1]), blade[0].max(blade[1]));
                let inner = (span.1 - span.0) / 12.0;
                let row = place.row(if right { span.1 - inner } else { (span.0 + inner).max(place.from.1) });
                let next = if right { row + 1 } else { row - 1 };
                let words = [format!("{} {}", end.taken(), end.name)];
                all &= self.near(place, paper, &words, (x, row), reach, Role::Next);
                all &= !end.kiss || self.near(place, paper, &kiss, (x, next), reach, Role::Quiet);
            } else {
                let x = if right { Anchor::From(place.left + place.columns + 1) } else { Anchor::To(place.left - 2) };
                let row = place.row(if right { right_end.1 } else { left.1 });
                all &= self.near(place, paper, &[end.taken()], (x, row), reach, Role::Next);
                all &= !end.kiss || self.near(place, paper, &kiss, (x, row + 1), reach, Role::Quiet);
                all &= self.near(place, paper, std::slice::from_ref(&end.name), (x, row + 2), reach, Role::Title);
            }
        }
        all
    }

    /// The words of the blade's line and of the end that leads.
    fn near_the_cut(&self, place: &Place, paper: &mut Paper<'_>) -> bool {
        let (left, right) = (place.left, place.left + place.columns);
        let cut = self.blade.map(|point| place.row(point.1));
        let reach = place.rows + 1;
        if self.upright {
            let row = i32::midpoint(cut[0], cut[1]);
            // Left of all that comes off.
            let wood = self.wood.iter().chain(&self.blade).map(|point| place.column(point.0)).min().unwrap_or(right);
            let inside = Anchor::To(wood - 2);
            let leads = self.lead.is_empty() || self.near(place, paper, &self.lead, (inside, row), reach, Role::Next);
            let beside = (Anchor::From(right + 1), row);
            return leads
                & (self.blade_words.is_empty()
                    || self.near(place, paper, &self.blade_words, beside, reach, Role::Blade));
        }
        let row = cut[0].max(cut[1]) + 1;
        let middle = Anchor::Middle(i32::midpoint(left, right));
        let blade = self.blade_words.is_empty()
            || self.near(place, paper, &self.blade_words, (middle, row), reach, Role::Blade);
        let row = i32::midpoint(row + 1, place.below());
        let leads = |text: &String| {
            let side = if text.starts_with('◄') { Anchor::From(left + 1) } else { Anchor::To(right - 2) };
            let words = std::slice::from_ref(text);
            self.near(place, paper, words, (middle, row), 1, Role::Next)
                || self.near(place, paper, words, (side, row), reach, Role::Next)
        };
        blade & (self.lead.is_empty() || self.lead.iter().any(leads))
    }

    /// Draws it; did every word find room?
    fn paint(&self, paper: &mut Paper<'_>) -> bool {
        let Some(place) = self.place(paper.width(), paper.height()) else { return false };
        self.lines(&place, paper);
        let fits = |words: &[String], room: i32| words.iter().find(|text| columns(text) <= room).cloned();
        let mut all = true;
        if self.fence.is_some() {
            let from = self.fence.map_or(0, |(from, _)| place.column(from)).max(0) + 1;
            let from = from.min(1 + place.left / 2);
            let words = fits(&self.fence_words, paper.width() - from - 2);
            all &= words.is_some();
            let text = words.map_or_else(String::new, |words| format!(" {words} "));
            paper.put(from, place.below(), &text, self.theme.style(Role::Frame));
        }
        all &= self.pads(&place, paper);
        let caption = fits(&self.captions, paper.width());
        all &= caption.is_some() || self.captions.is_empty();
        if let Some(caption) = caption {
            let x = (paper.width() - columns(&caption)) / 2;
            let row = place.below() + place.fence_rows + place.pad_rows;
            all &= paper.try_put(x, row, &caption, self.theme.style(Role::Quiet));
        }
        all &= self.ends(&place, paper);
        all &= self.near_the_cut(&place, paper);
        all
    }
}

/// Where a word begins, ends, or has its middle.
#[derive(Clone, Copy)]
enum Anchor {
    From(i32),
    To(i32),
    Middle(i32),
}

impl Widget for &SetupPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        self.paint(&mut Paper::new(area, buffer));
    }
}
