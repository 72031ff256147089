//! The picture of an opening: face frame, leaves, gaps enlarged, a fraction and a mark at every station.

use super::evened::evened;
use super::labels::{self, Detail};
use super::layout::Layout;
use super::paper::{Dots, Paper, columns};
use super::shape;
use super::standing::Standing;
use super::wood;
use crate::fit::opening::{Edge, Side};
use crate::screen::parts::clipped;
use crate::screen::theme::{Role, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// A leaf as it would lie in the opening with even gaps. Inches, from the opening's lower left corner.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LeafShape {
    /// The user's name for it.
    pub name: String,
    /// Lower left corner, from the left of the opening.
    pub x: f64,
    /// Lower left corner, from the bottom of the opening.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Where it hangs.
    pub hinge: Option<Side>,
}

/// A station: a place on an edge and what was read there.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Place of its leaf in [`OpeningPicture::leaves`].
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Inches along the edge from its lower or left end.
    pub at: f64,
    /// The gap in inches (a lap is negative); none before it is read.
    pub gap: Option<f64>,
    /// The gap in the shop's own writing (`3/32`); empty before it is read.
    pub shown: String,
    /// How it stands against its reveal.
    pub standing: Standing,
}

/// Wood to remove from an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Removal {
    /// Place of its leaf in [`OpeningPicture::leaves`].
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Off the lower or left corner, in inches.
    pub start: f64,
    /// Off the upper or right corner, in inches.
    pub end: f64,
    /// `start` in the shop's own writing.
    pub shown_start: String,
    /// `end` in the shop's own writing.
    pub shown_end: String,
}

/// The picture. A gap between two leaves is given once, as stations of either leaf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OpeningPicture {
    /// Stands in the frame's upper edge; may be empty.
    pub title: String,
    /// Stands there where that is too long.
    pub short_title: String,
    /// Width of the opening, inches.
    pub width: f64,
    /// Height of the opening, inches.
    pub height: f64,
    /// The leaves.
    pub leaves: Vec<LeafShape>,
    /// The stations, in the order that the cursor walks.
    pub stations: Vec<Station>,
    /// Wood to remove, shaded.
    pub removals: Vec<Removal>,
    /// Which station the cursor is on.
    pub cursor: Option<usize>,
    /// How many times larger the gaps are drawn; none chooses a round number that shows them well.
    pub exaggeration: Option<f64>,
    /// The styles.
    pub theme: Theme,
}

impl OpeningPicture {
    /// How many times larger the gaps are drawn.
    pub fn factor(&self) -> f64 {
        match self.exaggeration {
            Some(factor) if factor.is_finite() && factor > 0.0 => factor,
            _ => shape::fitting_factor(self),
        }
    }

    /// Can it be drawn at all?
    fn is_drawable(&self) -> bool {
        let sound = |size: f64| size.is_finite() && size > 1e-3 && size < 1e6;
        sound(self.width)
            && sound(self.height)
            && self
                .leaves
                .iter()
                .all(|leaf| sound(leaf.width) && sound(leaf.height) && leaf.x.abs() < 1e6 && leaf.y.abs() < 1e6)
    }
}

impl Widget for &OpeningPicture {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let mut paper = Paper::new(area, buffer);
        match Layout::of(self, paper.width(), paper.height()).filter(|_| self.is_drawable()) {
            Some(layout) => match evened(self, layout.inner_rows()) {
                Some(picture) => draw(&picture, &layout, &mut paper, true),
                None => draw(self, &layout, &mut paper, false),
            },
            None => list(self, &mut paper),
        }
    }
}

fn draw(picture: &OpeningPicture, layout: &Layout, paper: &mut Paper<'_>, evened: bool) {
    let theme = picture.theme;
    let (left, top, right, bottom) = layout.frame();
    paper.heavy_box(left, top, right, bottom, theme.style(Role::Frame));
    title(picture, layout, paper);
    let factor = picture.factor();
    let leaves: Vec<_> =
        (0..picture.leaves.len()).filter_map(|leaf| shape::drawn_leaf(picture, leaf, factor)).collect();
    for leaf in &leaves {
        // A dot layer of its own for each leaf keeps a cell from mixing two outlines' meaning.
        let mut dots = Dots::new(paper.width(), paper.height());
        let path: Vec<_> = leaf.outline().into_iter().map(|point| layout.dot(point)).collect();
        dots.path(&path);
        dots.paint(paper, 0, 0, theme.style(Role::Leaf));
    }
    for removal in &picture.removals {
        if let Some(leaf) = leaves.get(removal.leaf) {
            wood::shade(picture, layout, leaf, removal, factor, paper);
        }
    }
    labels::hinges(picture, layout, &leaves, paper);
    labels::stations(picture, layout, &leaves, paper);
    let mut left_out = Vec::new();
    for removal in &picture.removals {
        if let Some(leaf) = leaves.get(removal.leaf) {
            left_out.extend(wood::amounts(picture, layout, leaf, removal, paper));
        }
    }
    labels::names(picture, layout, &leaves, paper);
    caption(picture, layout, (factor, evened), &left_out, paper);
}

fn title(picture: &OpeningPicture, layout: &Layout, paper: &mut Paper<'_>) {
    let (left, top, right, _) = layout.frame();
    let room = right - left - 5;
    if room < 3 || picture.title.is_empty() {
        return;
    }
    let whole = [&picture.title, &picture.short_title].into_iter().find(|title| columns(title) < room);
    let text = whole.filter(|title| !title.is_empty()).cloned();
    let text = text.unwrap_or_else(|| clipped(&picture.title, usize::try_from(room - 1).unwrap_or(0)));
    paper.put(left + 2, top, &format!(" {text} "), picture.theme.style(Role::Title));
}

/// Amounts side by side, none of them cut short; those without room are counted: the plan names them all.
fn as_many_as_fit(amounts: &[String], width: i32) -> String {
    let line = |shown: usize| {
        let rest = amounts.len() - shown;
        let told = amounts.iter().take(shown).cloned();
        let counted = (rest > 0).then(|| format!("{rest} more in the plan"));
        counted.into_iter().chain(told).collect::<Vec<_>>().join(", ")
    };
    (0..=amounts.len()).rev().map(line).find(|line| columns(line) <= width).unwrap_or_default()
}

fn caption(
    picture: &OpeningPicture,
    layout: &Layout,
    (factor, evened): (f64, bool),
    left_out: &[String],
    paper: &mut Paper<'_>,
) {
    let Some(row) = layout.caption_row else { return };
    // An amount that found no room on its leaf comes before how the gaps are drawn.
    if !left_out.is_empty() {
        paper.put_centred(row, &as_many_as_fit(left_out, paper.width()), picture.theme.style(Role::Next));
        return;
    }
    let mut text = format!("gaps drawn {factor:.0}x");
    if evened {
        text.push_str(", heights evened out");
    } else if let Some(stretch) = layout.stretch_words() {
        text.push_str(", ");
        text.push_str(&stretch);
    }
    let legend = format!("{text}   {}", super::standing::LEGEND);
    let text = if columns(&legend) <= paper.width() && layout.detail != Detail::Words { legend } else { text };
    paper.put_centred(row, &text, picture.theme.style(Role::Quiet));
}

/// Where there is no room for a picture: what the cursor is on, then the stations as far as they go.
fn list(picture: &OpeningPicture, paper: &mut Paper<'_>) {
    let theme = picture.theme;
    let start = picture.cursor.unwrap_or(0).min(picture.stations.len().saturating_sub(1));
    for (row, (index, station)) in picture.stations.iter().enumerate().skip(start).enumerate() {
        let Some(row) = i32::try_from(row).ok().filter(|row| *row < paper.height()) else { break };
        let is_cursor = picture.cursor == Some(index);
        let role = if is_cursor { Role::Cursor } else { station.standing.role() };
        let pointer = if is_cursor { "> " } else { "" };
        let leaf = picture.leaves.get(station.leaf).map_or("", |leaf| leaf.name.as_str());
        let name = if picture.leaves.len() > 1 { format!("{leaf} ") } else { String::new() };
        let text = format!(
            "{pointer}{} {} {} {name}{} edge",
            station.standing.mark(),
            labels::shown(station),
            station.standing.word(),
            station.edge
        );
        paper.put(0, row, &text, theme.style(role));
    }
}
