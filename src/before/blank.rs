//! The oversize blank: finished and rough sizes of a leaf, its parts by joint, and whether the
//! allowance covers what the survey found. Exact arithmetic throughout.
//!
//! Shop rules, common practice with no published source: a leaf is the opening's smallest measure less
//! the reveals; an edge that will be trimmed gets the allowance, one that will not gets none; the
//! stiles run the whole height and carry the allowance of the sides on their outer edges; the outer
//! rails carry that of top and bottom. A stile is therefore as long as the rough leaf is high.

use crate::fit::length::Length;
use crate::fit::opening::{Edge, EdgeSet};
use serde::{Deserialize, Serialize};

pub mod cut_list;
mod parts;
pub mod tick;

/// How rails meet stiles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Joint {
    /// Butted, with loose splines or dowels: rails end at the stiles.
    Butt,
    /// Stub tenons in the panel groove: rails are longer by the groove at each end.
    StubTenon,
    /// Mortise and tenon: rails are longer by the tenon at each end.
    MortiseTenon {
        /// Length of one tenon.
        tenon: Length,
    },
}

/// A frame and its panels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Frame {
    /// Finished width of the left and the right stile.
    pub stiles: [Length; 2],
    /// Finished width of the bottom and the top rail.
    pub rails: [Length; 2],
    /// How many rails between them, and their width.
    #[serde(default, skip_serializing_if = "none_between")]
    pub mid_rails: (u32, Length),
    /// How many stiles between the outer ones, and their width (they run between rails).
    #[serde(default, skip_serializing_if = "none_between")]
    pub mid_stiles: (u32, Length),
    /// How rails and mid stiles are joined.
    pub joint: Joint,
    /// Depth of the panel groove.
    pub groove: Length,
    /// What each panel is smaller than its grooves allow, over its whole width and over its whole height.
    pub float: Length,
    /// Thickness of the panel.
    pub panel_thickness: Length,
}

// serde hands over a reference.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn none_between((count, _): &(u32, Length)) -> bool {
    *count == 0
}

/// How a leaf is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
// Kept plain and copied whole: most leaves are framed, so a box would save nothing.
#[allow(clippy::large_enum_variant)]
pub enum Construction {
    /// Frame and panel.
    Framed(Frame),
    /// One solid board or glued-up slab.
    Solid(Grain),
}

/// Which way the grain of a part runs in the leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// Level, as on a drawer front.
    #[default]
    Level,
    /// Upright, as on a slab door.
    Upright,
}

impl Grain {
    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Level => "level",
            Self::Upright => "upright",
        }
    }
}

/// One leaf to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeafToMake {
    /// Opening and leaf, as the cut list names it.
    pub name: String,
    /// Finished width.
    pub width: Length,
    /// Finished height.
    pub height: Length,
    /// Thickness of the frame, or of the slab.
    pub thickness: Length,
    /// How it is made.
    pub construction: Construction,
    /// What each trimmed edge has to spare.
    pub allowance: Length,
    /// Edges that will be trimmed; the others get no allowance.
    pub trimmed: EdgeSet,
}

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Left stile.
    LeftStile,
    /// Right stile.
    RightStile,
    /// Bottom rail.
    BottomRail,
    /// Top rail.
    TopRail,
    /// Rail between the outer ones.
    MidRail,
    /// Stile between the outer ones.
    MidStile,
    /// Panel.
    Panel,
    /// Solid front.
    Solid,
}

impl PartKind {
    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Self::LeftStile => "left stile",
            Self::RightStile => "right stile",
            Self::BottomRail => "bottom rail",
            Self::TopRail => "top rail",
            Self::MidRail => "mid rail",
            Self::MidStile => "mid stile",
            Self::Panel => "panel",
            Self::Solid => "solid front",
        }
    }
}

/// What every cut list says of its lengths.
pub const LENGTHS: &str = "length runs along the grain; a panel's is its height";

/// One part, rough: allowances are in it. Length runs along the grain of stiles, rails and solid fronts, whichever way
/// that is in the leaf; of a panel nobody is asked, and its length is its height.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// What it is.
    pub kind: PartKind,
    /// How many alike.
    pub count: u32,
    /// Along the part, joints included.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Which way its grain, and so its length, runs in the leaf; none: a panel's, of which nobody said.
    #[serde(default)]
    pub grain: Option<Grain>,
}

impl Part {
    /// `left stile`; of a solid front with its grain, which no other part of a leaf may have either way.
    pub fn words(&self) -> String {
        match (self.kind, self.grain) {
            (PartKind::Solid, Some(grain)) => format!("{}, grain {}", self.kind.word(), grain.word()),
            _ => self.kind.word().to_owned(),
        }
    }
}

/// A leaf's blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blank {
    /// Finished width and height.
    pub finished: [Length; 2],
    /// Rough width and height: finished with the allowances.
    pub rough: [Length; 2],
    /// Its parts.
    pub parts: Vec<Part>,
}

/// Why a leaf cannot be laid out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BlankError {
    /// A size that no part has.
    #[error("{leaf}: the {what} must be more than 0, and comes to {found}; check {check}")]
    NotPositive {
        /// Which leaf.
        leaf: String,
        /// Which size.
        what: &'static str,
        /// What it comes to.
        found: Length,
        /// What to look at.
        check: &'static str,
    },
    /// A size below zero that may be zero.
    #[error("{leaf}: the {what} is below 0")]
    Negative {
        /// Which leaf.
        leaf: String,
        /// Which size.
        what: &'static str,
    },
    /// A detail larger than what it is cut into.
    #[error("{leaf}: {what} ({found}) does not go into {into} ({room}); make it less")]
    NotInside {
        /// Which leaf.
        leaf: String,
        /// Which detail.
        what: &'static str,
        /// What it comes to.
        found: Box<Length>,
        /// What there is.
        room: Box<Length>,
        /// Of what.
        into: &'static str,
        /// Its field in a log.
        field: &'static str,
    },
    /// More parts than any door has.
    #[error("{leaf}: more than 50 mid rails or mid stiles")]
    TooMany {
        /// Which leaf.
        leaf: String,
    },
    /// Sums beyond what a length can hold.
    #[error("{leaf}: a size is beyond what a length can hold; check the sizes given")]
    TooLarge {
        /// Which leaf.
        leaf: String,
    },
}

/// Finished sizes of one leaf, or of leaves side by side with meeting stiles, in an opening:
/// `(smallest width − left reveal − right reveal − (n−1) · meeting gap) / n` wide each, and
/// `smallest height − bottom − top` high. `None` where a size comes to nothing or cannot be held.
pub fn finished_size(smallest: [Length; 2], reveals: Reveals, leaves: u32) -> Option<[Length; 2]> {
    let gaps = reveals.meeting.checked_scale(i64::from(leaves.checked_sub(1)?), 1)?;
    let across = smallest[0].checked_sub(reveals.left)?.checked_sub(reveals.right)?.checked_sub(gaps)?;
    let width = across.checked_scale(1, i64::from(leaves))?;
    let height = smallest[1].checked_sub(reveals.bottom)?.checked_sub(reveals.top)?;
    [width, height].iter().all(|size| *size > Length::ZERO).then_some([width, height])
}

/// The reveals round the leaves of an opening.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reveals {
    /// Left of the leftmost leaf.
    pub left: Length,
    /// Right of the rightmost leaf.
    pub right: Length,
    /// Below.
    pub bottom: Length,
    /// Above.
    pub top: Length,
    /// Between meeting stiles.
    pub meeting: Length,
}

impl LeafToMake {
    /// The allowance on one edge.
    pub fn allowance_on(&self, edge: Edge) -> Length {
        if self.trimmed.has(edge) { self.allowance } else { Length::ZERO }
    }

    /// Finished and rough sizes and the parts.
    pub fn blank(&self) -> Result<Blank, BlankError> {
        parts::blank(self)
    }
}
