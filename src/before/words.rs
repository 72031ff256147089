//! What is found before the gap is final, as values with the trade's words: the only place of this
//! part where sentences are made.

use super::survey::{Shape, Taken};
use crate::fit::length::{Inches, Radians, Show};
use crate::fit::opening::Edge;
use std::fmt;

/// A corner, seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerName {
    /// Lower left.
    LowerLeft,
    /// Lower right.
    LowerRight,
    /// Upper left.
    UpperLeft,
    /// Upper right.
    UpperRight,
}

/// Something about an opening that a cabinetmaker would say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finding {
    /// Out of square: a corner open (over 90°) or closed, by this much over the height.
    OutOfSquare {
        /// The corner that is furthest out.
        corner: CornerName,
        /// Its angle less 90°.
        angle: Radians,
        /// Over the opening's height.
        over_height: Inches,
    },
    /// Sides out of parallel: wider at the top (or at the bottom, below zero).
    WiderAtTop(Inches),
    /// Ends out of parallel: taller at the right (or at the left, below zero).
    TallerAtRight(Inches),
    /// A side hollow (above zero) or round at mid.
    Bow(Edge, Inches),
}

impl Finding {
    /// How much it is out, without its sign.
    pub fn size(&self) -> Inches {
        match *self {
            Self::OutOfSquare { over_height: by, .. }
            | Self::WiderAtTop(by)
            | Self::TallerAtRight(by)
            | Self::Bow(_, by) => Inches(by.get().abs()),
        }
    }

    /// In words, at the shop's resolution.
    pub fn says(&self, show: Show) -> String {
        let by = self.size().shown(show);
        match *self {
            Self::OutOfSquare { corner, angle, .. } => {
                let how = if angle.0 > 0.0 { "open" } else { "closed" };
                format!("out of square: the {corner} corner is {how} by {by} over the height")
            }
            Self::WiderAtTop(d) => {
                format!("out of parallel: {by} wider at the {}", if d.get() > 0.0 { "top" } else { "bottom" })
            }
            Self::TallerAtRight(d) => {
                format!("out of parallel: {by} taller at the {}", if d.get() > 0.0 { "right" } else { "left" })
            }
            Self::Bow(edge, d) => {
                format!("the {edge} side is {} by {by}", if d.get() > 0.0 { "hollow" } else { "round" })
            }
        }
    }
}

impl fmt::Display for CornerName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::LowerLeft => "lower left",
            Self::LowerRight => "lower right",
            Self::UpperLeft => "upper left",
            Self::UpperRight => "upper right",
        })
    }
}

impl fmt::Display for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Width(0) => "width at the bottom",
            Self::Width(1) => "width at the middle",
            Self::Width(_) => "width at the top",
            Self::Height(0) => "height at the left",
            Self::Height(1) => "height at the middle",
            Self::Height(_) => "height at the right",
            Self::Diagonal(0) => "diagonal from lower left to upper right",
            Self::Diagonal(_) => "diagonal from upper left to lower right",
        })
    }
}

/// Everything of at least `least`, largest first.
pub(super) fn findings(shape: &Shape, least: Inches) -> Vec<Finding> {
    let [bottom, _, top] = shape.widths();
    let [left, middle, right] = shape.heights();
    let names = [CornerName::LowerLeft, CornerName::LowerRight, CornerName::UpperLeft, CornerName::UpperRight];
    let mut found = Vec::new();
    let worst = names.into_iter().zip(shape.off_square()).max_by(|a, b| a.1.0.abs().total_cmp(&b.1.0.abs()));
    if let Some((corner, angle)) = worst {
        found.push(Finding::OutOfSquare { corner, angle, over_height: Inches(angle.0.abs().tan() * middle.get()) });
    }
    found.push(Finding::WiderAtTop(Inches(top.get() - bottom.get())));
    found.push(Finding::TallerAtRight(Inches(right.get() - left.get())));
    found.extend(Edge::ALL.into_iter().zip(shape.bows).map(|(edge, bow)| Finding::Bow(edge, bow)));
    found.retain(|finding| finding.size() >= least);
    found.sort_by(|a, b| b.size().get().total_cmp(&a.size().get()));
    found
}
