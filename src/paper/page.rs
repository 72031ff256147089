//! A page as a value: texts, lines and shapes in points (1/72 in) from its upper left corner, y downwards.

use super::font;
use crate::fit::length::{Show, Unit};

/// A place on the page, in points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// From the left edge.
    pub x: f64,
    /// From the upper edge.
    pub y: f64,
}

/// A place at `x`, `y`.
pub fn at(x: f64, y: f64) -> Spot {
    Spot { x, y }
}

/// A rectangle, in points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Frame {
    /// Its width.
    pub fn width(self) -> f64 {
        self.right - self.left
    }

    /// Its height.
    pub fn height(self) -> f64 {
        self.bottom - self.top
    }

    /// Do the two share any area (touching edges share none)?
    pub fn meets(self, other: Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// Does `other` lie within it?
    pub fn holds(self, other: Self) -> bool {
        other.left >= self.left && other.right <= self.right && other.top >= self.top && other.bottom <= self.bottom
    }

    /// Smaller by `by` on every side.
    #[must_use]
    pub fn within(self, by: f64) -> Self {
        Self { left: self.left + by, top: self.top + by, right: self.right - by, bottom: self.bottom - by }
    }
}

/// What a mark is printed in. Every one of them reads on a printer without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Words and outlines.
    Black,
    /// What may be overlooked.
    Grey,
    /// The faintest: rulings.
    Light,
    /// Wood to remove.
    Wood,
    /// A leaf's face.
    Leaf,
    /// The ground.
    White,
    /// Below the reveal; cautions.
    Orange,
    /// Above the reveal.
    Blue,
}

impl Ink {
    /// Its colour.
    pub fn colour(self) -> &'static str {
        match self {
            Self::Black => "#000000",
            Self::Grey => "#595959",
            Self::Light => "#b8b8b8",
            Self::Wood => "#d9a066",
            Self::Leaf => "#f6f1e7",
            Self::White => "#ffffff",
            Self::Orange => "#b34700",
            Self::Blue => "#0b57a4",
        }
    }
}

/// Where a text stands against its spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// Its baseline, at the anchor.
    pub spot: Spot,
    /// Letter size, in points.
    pub size: f64,
    /// Heavier letters.
    pub bold: bool,
    /// Where it stands against its spot.
    pub anchor: Anchor,
    /// What it is printed in.
    pub ink: Ink,
    /// The text.
    pub text: String,
}

/// Share of the letter size that letters rise above the baseline.
pub const RISE: f64 = 0.76;
/// Share of it that they hang below the baseline.
pub const HANG: f64 = 0.24;

impl Words {
    /// The room it takes.
    pub fn room(&self) -> Frame {
        let width = font::width(&self.text, self.size) + if self.bold { self.size * BOLD } else { 0.0 };
        let left = match self.anchor {
            Anchor::Start => self.spot.x,
            Anchor::Middle => self.spot.x - width / 2.0,
            Anchor::End => self.spot.x - width,
        };
        Frame { left, top: self.spot.y - RISE * self.size, right: left + width, bottom: self.spot.y + HANG * self.size }
    }
}

/// Bold is the same letter with a stroke of this share of its size round it.
pub const BOLD: f64 = 0.03;

/// A thing on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line of text.
    Words(Words),
    /// A straight line.
    Line {
        /// From here.
        from: Spot,
        /// To there.
        to: Spot,
        /// Its thickness.
        width: f64,
        /// What it is printed in.
        ink: Ink,
        /// In dashes: a pencil line.
        dashed: bool,
    },
    /// A closed shape.
    Shape {
        /// Its corners.
        corners: Vec<Spot>,
        /// What fills it.
        fill: Option<Ink>,
        /// What it is outlined with, and how thick.
        outline: Option<(Ink, f64)>,
    },
}

/// A page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Its title, for programs that show one.
    pub title: String,
    /// Width, in points.
    pub width: f64,
    /// Height, in points.
    pub height: f64,
    /// What stands on it, in the order it is printed.
    pub items: Vec<Item>,
}

/// What printers leave free round a page, and a little more.
pub const MARGIN: f64 = 34.0;

impl Page {
    /// An empty page of the size that goes with the unit: US letter with inches, A4 with millimetres.
    pub fn new(title: impl Into<String>, show: Show) -> Self {
        let (width, height) = match show.unit() {
            Unit::Inch => (612.0, 792.0),
            Unit::Millimetre => (595.0, 842.0),
        };
        Self { title: title.into(), width, height, items: Vec::new() }
    }

    /// Where things may stand.
    pub fn inside(&self) -> Frame {
        Frame { left: 0.0, top: 0.0, right: self.width, bottom: self.height }.within(MARGIN)
    }

    /// Adds a text; answers the room it takes.
    pub fn words(&mut self, words: Words) -> Frame {
        let room = words.room();
        self.items.push(Item::Words(words));
        room
    }

    /// Adds a line.
    pub fn line(&mut self, from: Spot, to: Spot, width: f64, ink: Ink) {
        self.items.push(Item::Line { from, to, width, ink, dashed: false });
    }

    /// Adds a pencil line.
    pub fn dashed(&mut self, from: Spot, to: Spot, width: f64, ink: Ink) {
        self.items.push(Item::Line { from, to, width, ink, dashed: true });
    }

    /// Adds a closed shape.
    pub fn shape(&mut self, corners: Vec<Spot>, fill: Option<Ink>, outline: Option<(Ink, f64)>) {
        self.items.push(Item::Shape { corners, fill, outline });
    }

    /// Adds a rectangle.
    pub fn rectangle(&mut self, frame: Frame, fill: Option<Ink>, outline: Option<(Ink, f64)>) {
        let corners = vec![
            at(frame.left, frame.top),
            at(frame.right, frame.top),
            at(frame.right, frame.bottom),
            at(frame.left, frame.bottom),
        ];
        self.shape(corners, fill, outline);
    }

    /// Every text on it.
    pub fn texts(&self) -> impl Iterator<Item = &Words> {
        self.items.iter().filter_map(|item| match item {
            Item::Words(words) => Some(words),
            Item::Line { .. } | Item::Shape { .. } => None,
        })
    }
}
