//! Words down a column, wrapped; the pen says where it stands.

use super::font;
use super::page::{Anchor, Frame, Ink, Page, Words, at};

/// How a paragraph is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// A heading over what follows.
    Heading,
    /// What is done: heavier.
    Strong,
    /// An ordinary line.
    Plain,
    /// A caution.
    Caution,
    /// What may be overlooked.
    Quiet,
}

/// A paragraph.
#[derive(Clone, Debug, PartialEq)]
pub struct Paragraph {
    /// How it is meant.
    pub style: Style,
    /// Its text.
    pub text: String,
}

impl Paragraph {
    /// A paragraph.
    pub fn new(style: Style, text: impl Into<String>) -> Self {
        Self { style, text: text.into() }
    }
}

/// Distance between baselines, as a share of the letter size.
const LEADING: f64 = 1.28;
/// Lines after the first stand in by this share of the letter size.
const INDENT: f64 = 1.0;

/// Sets `paragraphs` into the columns one after the other at this letter size. Answers the lowest place
/// reached, or `None` when they do not fit; then the page is left as it was.
pub fn set(page: &mut Page, columns: &[Frame], paragraphs: &[Paragraph], size: f64) -> Option<f64> {
    let mut items = Vec::new();
    let mut rest = columns.iter();
    let mut column = *rest.next()?;
    let (mut y, mut lowest) = (column.top, column.top);
    for (place, paragraph) in paragraphs.iter().enumerate() {
        let size = if paragraph.style == Style::Heading { size * 1.12 } else { size };
        let text = font::printable(&paragraph.text);
        let lines = font::wrapped(&text, size * (1.0 + super::page::BOLD), column.width() - INDENT * size);
        // A heading stays with the first line under it.
        let next = paragraphs.get(place + 1).filter(|_| paragraph.style == Style::Heading);
        let gap = if paragraph.style == Style::Heading && y > column.top { size * 0.55 } else { 0.0 };
        let needed = gap + LEADING * size * (lines.len() + usize::from(next.is_some())) as f64;
        if y + needed > column.bottom {
            column = *rest.next()?;
            y = column.top;
            if y + needed - gap > column.bottom {
                return None;
            }
        } else {
            y += gap;
        }
        for (number, line) in lines.into_iter().enumerate() {
            y += LEADING * size;
            let x = column.left + if number > 0 { INDENT * size } else { 0.0 };
            items.push(words(line, paragraph.style, x, y - 0.3 * size, size));
        }
        lowest = lowest.max(y);
    }
    for words in items {
        page.words(words);
    }
    Some(lowest)
}

fn words(text: String, style: Style, x: f64, y: f64, size: f64) -> Words {
    let ink = match style {
        Style::Heading | Style::Strong | Style::Plain => Ink::Black,
        Style::Caution => Ink::Orange,
        Style::Quiet => Ink::Grey,
    };
    let bold = matches!(style, Style::Heading | Style::Strong);
    Words { spot: at(x, y), size, bold, anchor: Anchor::Start, ink, text }
}
