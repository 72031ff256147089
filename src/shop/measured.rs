//! What was measured of a leaf at the bench, for its set-ups.

use super::check::{CheckError, refuse, within};
use super::event::LeafDescribed;
use super::replay::OpeningState;
use crate::cut::job::End;
use crate::fit::length::Length;
use crate::fit::opening::Edge;
use serde::{Deserialize, Serialize};

/// What was measured of a leaf as it is now; what is left out stays as known.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafMeasured {
    /// Which leaf.
    pub leaf: String,
    /// Width at the bottom and at the top.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub widths: Option<[Length; 2]>,
    /// Height at the left and at the right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heights: Option<[Length; 2]>,
    /// A corner held against a square.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub square: Option<CornerSquare>,
    /// Where an edge has no wood to bear on; replaces what was said of that edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_contact: Option<BareEdge>,
    /// An edge held against a straightedge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bow: Option<EdgeBow>,
}

/// A square at one end of an edge, its stock along the edge that meets it there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CornerSquare {
    /// The edge along the blade of the square.
    pub edge: Edge,
    /// The end where the square is held.
    pub at: End,
    /// How far the edge's other corner stands beyond square; below zero: short of it.
    pub beyond: Length,
}

/// Stretches of an edge without wood to bear on (an arch, a cut-out).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BareEdge {
    /// Which edge.
    pub edge: Edge,
    /// From and to, from its lower or left end; none: wood all along.
    pub stretches: Vec<[Length; 2]>,
}

/// How straight an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EdgeBow {
    /// Which edge.
    pub edge: Edge,
    /// Hollow at its middle above zero, round below; zero: straight.
    pub bow: Length,
}

/// By how much a stretch may be given past the end of an edge: a tape's error. A judgement, no source.
pub fn past_the_end() -> Length {
    Length::ratio(1, 16)
}

/// The longest that `edge` of `leaf` was ever said to be: as described, as it is now (a strip may be on it), or as
/// measured on an oversize blank.
fn edge_length(state: &OpeningState, leaf: &LeafDescribed, edge: Edge) -> Length {
    let (width, height) = state.size_at(&leaf.leaf, u32::MAX).unwrap_or_default();
    let (width, height) = (leaf.width.max(width), leaf.height.max(height));
    let described = if edge.is_upright() { height } else { width };
    let own = state.measured.iter().map(|said| &said.what).filter(|said| said.leaf == leaf.leaf);
    let measured = own.filter_map(|said| if edge.is_upright() { said.heights } else { said.widths });
    measured.flatten().fold(described, Length::max)
}

/// May it follow?
pub(super) fn check(state: &OpeningState, measured: &LeafMeasured) -> Result<(), CheckError> {
    let Some(leaf) = state.leaf(&measured.leaf) else {
        return refuse("leaf", "no such leaf is described; describe it first");
    };
    let longest = leaf.width.max(leaf.height).checked_scale(2, 1).unwrap_or(leaf.height);
    let least = Length::ratio(1, 4);
    for (field, pair) in [("widths", measured.widths), ("heights", measured.heights)] {
        for (place, length) in pair.into_iter().flatten().enumerate() {
            within(&format!("{field}[{place}]"), length, least, longest)?;
        }
    }
    if let Some(square) = measured.square {
        within("square.beyond", square.beyond, Length::ratio(-2, 1), Length::ratio(2, 1))?;
    }
    if let Some(bow) = measured.bow {
        within("bow.bow", bow.bow, Length::ratio(-1, 1), Length::ratio(1, 1))?;
    }
    if let Some(bare) = &measured.no_contact {
        let end = edge_length(state, leaf, bare.edge);
        let most = end.checked_add(past_the_end()).unwrap_or(end);
        for (place, &[from, to]) in bare.stretches.iter().enumerate() {
            within(&format!("no_contact.stretches[{place}][0]"), from, Length::ZERO, longest)?;
            let field = format!("no_contact.stretches[{place}][1]");
            within(&field, to, from, longest)?;
            if to > most {
                let (to, end) = (to.canonical(), end.canonical());
                return refuse(field, format!("{to} is past the end: the {} edge is {end} long", bare.edge));
            }
        }
    }
    let nothing = LeafMeasured { leaf: measured.leaf.clone(), ..LeafMeasured::default() };
    if *measured == nothing { refuse("widths", "nothing was measured; give at least one measure") } else { Ok(()) }
}
