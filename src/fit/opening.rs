//! The shapes in an opening: leaves, their edges, and the gap lines between bodies.
//!
//! The plane of the face frame: x to the right, y up, seen from the front. A leaf's own
//! coordinates start at its lower left corner; stations run along an edge from its lower or left end.

use super::length::Length;
use super::reading::Reading;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// An edge of a leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Edge {
    /// The left stile's outer edge.
    Left,
    /// The right stile's outer edge.
    Right,
    /// The lower edge.
    Bottom,
    /// The upper edge.
    Top,
}

impl Edge {
    /// All four, in the order plans list them.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Bottom, Self::Top];

    /// Left or right: the edge runs up and down.
    pub fn is_upright(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }

    /// The edge across the leaf.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Bottom => Self::Top,
            Self::Top => Self::Bottom,
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Bottom => "bottom",
            Self::Top => "top",
        }
    }
}

impl fmt::Display for Edge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl FromStr for Edge {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        Self::ALL.into_iter().find(|edge| edge.word() == text).ok_or(())
    }
}

/// A set of edges of one leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(from = "Vec<Edge>", into = "Vec<Edge>")]
pub struct EdgeSet(u8);

impl EdgeSet {
    /// No edge.
    pub const NONE: Self = Self(0);
    /// All four.
    pub const ALL: Self = Self(0b1111);

    /// Is `edge` in it?
    pub fn has(self, edge: Edge) -> bool {
        self.0 & (1 << edge as u8) != 0
    }

    /// The set with `edge` in it.
    #[must_use]
    pub fn with(self, edge: Edge) -> Self {
        Self(self.0 | (1 << edge as u8))
    }

    /// The set without `edge`.
    #[must_use]
    pub fn without(self, edge: Edge) -> Self {
        Self(self.0 & !(1 << edge as u8))
    }

    /// Its edges, in the order plans list them.
    pub fn edges(self) -> impl Iterator<Item = Edge> {
        Edge::ALL.into_iter().filter(move |&edge| self.has(edge))
    }

    /// How many edges.
    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// No edge at all?
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }
}

impl From<Vec<Edge>> for EdgeSet {
    fn from(edges: Vec<Edge>) -> Self {
        edges.into_iter().fold(Self::NONE, Self::with)
    }
}

impl From<EdgeSet> for Vec<Edge> {
    fn from(set: EdgeSet) -> Self {
        set.edges().collect()
    }
}

/// The side that the hinges are on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Hinged on the left.
    Left,
    /// Hinged on the right.
    Right,
}

impl Side {
    /// The edge on that side.
    pub fn edge(self) -> Edge {
        match self {
            Self::Left => Edge::Left,
            Self::Right => Edge::Right,
        }
    }
}

/// How a leaf may move while it is fitted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Motion {
    /// On props or in the hand: shift and turn are free.
    #[default]
    Free,
    /// It stays where it is.
    Fixed,
    /// On its hinges: moved only by packing or letting in.
    Hung(Hanging),
}

/// The hinges a leaf hangs on and how far each may be packed or let in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hanging {
    /// Heights of the hinges' middles above the leaf's lower end.
    pub hinges: Vec<Length>,
    /// Most packing behind a hinge.
    pub pack: Length,
    /// Most that a hinge may be let in further.
    pub let_in: Length,
    /// Thicknesses of the pack stock.
    pub stock: Vec<Length>,
    /// Adjusting screws, where the hinges have them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adjust: Option<Box<Adjust>>,
    /// What was put behind each hinge (let in: below zero) since this was described, in the order of
    /// `hinges`; empty: nothing. The limits above count from before it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub there: Vec<Length>,
    /// How far up of its range the height screws have the leaf already.
    #[serde(default, skip_serializing_if = "no_length")]
    pub up: Length,
}

impl Hanging {
    /// What stands behind the hinge at this height.
    pub fn there_at(&self, hinge: Length) -> Length {
        let place = self.hinges.iter().position(|&known| known == hinge);
        place.and_then(|place| self.there.get(place)).copied().unwrap_or(Length::ZERO)
    }
}

// serde hands over a reference.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn no_length(length: &Length) -> bool {
    length.is_zero()
}

/// How far the screws of adjustable hinges reach from where they stand now.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Adjust {
    /// Out from (positive) or in toward the hinge side of the frame, each hinge by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Travel>,
    /// Up (positive) or down, the whole leaf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Travel>,
    /// Forward, proud (positive), or back, each hinge by itself: for flushness, the gaps do not feel it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Travel>,
}

/// The range of a screw about where it stands now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Travel {
    /// Farthest one way, zero or below.
    pub from: Length,
    /// Farthest the other way, zero or above.
    pub to: Length,
    /// Its steps, where it has clicks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<Length>,
}

/// A leaf: a door or a drawer front.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leaf {
    /// The user's name for it within its opening (`A`, `left door`).
    pub id: String,
    /// Width, nominal or as last measured.
    pub width: Length,
    /// Height, nominal or as last measured.
    pub height: Length,
    /// Where it hangs; none for a drawer front.
    pub hinge: Option<Side>,
    /// Edges that may be cut.
    pub may_cut: EdgeSet,
    /// How it may move.
    pub motion: Motion,
}

impl Leaf {
    /// Length of one of its edges.
    pub fn edge_length(&self, edge: Edge) -> Length {
        if edge.is_upright() { self.height } else { self.width }
    }
}

/// One of the two bodies that a gap lies between.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Facing {
    /// The face frame.
    Frame,
    /// An edge of a leaf (by its place in the list of leaves).
    Leaf {
        /// Place in [`FitProblem::leaves`].
        leaf: usize,
        /// Which edge.
        edge: Edge,
    },
}

/// A gap line: the gap between two facing edges, and what was read along it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GapLine {
    /// The two bodies, in the order the user named them.
    pub between: [Facing; 2],
    /// The reveal wanted.
    pub target: Length,
    /// How far beyond the first-named leaf's edge the facing leaf's edge starts (up or right).
    pub offset: Length,
    /// What was read, at stations along the first-named leaf's edge.
    pub readings: Vec<Reading>,
}

impl GapLine {
    /// Length of the edge that its stations are measured along: the first-named leaf's. `None` where it touches no
    /// leaf of these.
    pub fn length(&self, leaves: &[Leaf]) -> Option<Length> {
        self.between.iter().find_map(|side| match *side {
            Facing::Leaf { leaf, edge } => Some(leaves.get(leaf)?.edge_length(edge)),
            Facing::Frame => None,
        })
    }
}

/// How far from a corner the station near it lies: one inch, on a short edge a quarter of it. `None` if that
/// cannot be told exactly.
pub fn near_corner(length: Length) -> Option<Length> {
    Some(Length::ratio(1, 1).min(length.checked_scale(1, 4)?))
}

/// What the user would rather have when two plans fit equally well.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Prefer {
    /// Take off as little as possible.
    #[default]
    LeastWood,
    /// Keep both stiles, and both rails, losing alike.
    EvenStiles,
}

/// One fit problem: everything the planner needs, nothing it does not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitProblem {
    /// The leaves of the opening.
    pub leaves: Vec<Leaf>,
    /// The gap lines between them and the frame.
    pub gaps: Vec<GapLine>,
    /// A station is even when its miss is within this.
    pub tolerance: Length,
    /// The choice between equally good plans.
    pub prefer: Prefer,
}
