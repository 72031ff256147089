//! The order in which the edges of a leaf are cut, and why.

use super::job::{Construction, EndGrain};
use crate::fit::opening::{Edge, Side};
use serde::Serialize;

/// Why an edge comes where it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OrderReason {
    /// The hinge side is the reference that everything else is measured from.
    HingeSideIsReference,
    /// Without hinges the bottom is the reference.
    BottomIsReference,
    /// End grain first: the long-grain edge cut later cleans up its break-out.
    EndGrainFirst,
    /// This long-grain edge cleans up what the end grain broke out.
    CleansBreakOut,
    /// The top after the bottom it is measured from.
    TopAfterBottom,
    /// The latch side last: it takes up what the others left.
    LatchLast,
    /// Nothing presses: hinge side, bottom, top, latch side, as always.
    UsualOrder,
}

impl OrderReason {
    /// In plain words.
    pub fn text(self) -> &'static str {
        match self {
            Self::HingeSideIsReference => "the hinge side first: everything else is measured from it",
            Self::BottomIsReference => "no hinges: the bottom is what the rest is measured from",
            Self::EndGrainFirst => "end grain before the long grain that cleans up its break-out",
            Self::CleansBreakOut => "long grain after end grain: it cleans up the break-out",
            Self::TopAfterBottom => "the top after the bottom it is measured from",
            Self::LatchLast => "the latch side last: it takes up what the others left",
            Self::UsualOrder => "nothing presses: hinge side, bottom, top, latch side, as always",
        }
    }

    /// In a few words, where there is little room; the whole stands in [`OrderReason::text`].
    pub fn short(self) -> &'static str {
        match self {
            Self::HingeSideIsReference | Self::BottomIsReference => "reference edge first",
            Self::EndGrainFirst => "end grain first",
            Self::CleansBreakOut => "after the end grain",
            Self::TopAfterBottom => "top after bottom",
            Self::LatchLast => "latch side last",
            Self::UsualOrder => "usual order",
        }
    }
}

/// An edge in its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Placed {
    /// Which edge.
    pub edge: Edge,
    /// Why there, the weightiest first.
    pub reasons: Vec<OrderReason>,
}

/// The edges to cut, in order. Framed leaf: hinge side, bottom, top, latch side (the stile ends at
/// bottom and top are end grain and the latch stile cleans them). Solid leaf: the reference, then all
/// end grain, then the long grain. Edges named twice are cut once.
///
/// Hinge side to the frame first is Griffith, *Carpentry* (1916) §68, and *Essentials of Woodworking*
/// (1908) §110; bottom before top and latch last are common practice, no published source.
pub fn order(edges: &[Edge], hinge: Option<Side>, construction: Construction) -> Vec<Placed> {
    let hinge_edge = hinge.map(Side::edge);
    let latch = hinge_edge.map(Edge::opposite);
    let end_grain = |edge: Edge| construction.end_grain(edge) != EndGrain::None;
    let place = |edge: Edge| {
        let reference = Some(edge) == hinge_edge;
        let solid = matches!(construction, Construction::SolidAcross | Construction::SolidUpright);
        // For a framed leaf the usual order already has end grain before the latch stile.
        let long_grain = if solid || hinge.is_none() { u8::from(!end_grain(edge)) } else { 0 };
        let usual = match edge {
            _ if Some(edge) == latch => 3,
            Edge::Bottom => 0,
            Edge::Top => 1,
            Edge::Left | Edge::Right => 2,
        };
        (u8::from(!reference), long_grain, usual, edge)
    };
    let mut all: Vec<Edge> = Edge::ALL.into_iter().filter(|edge| edges.contains(edge)).collect();
    all.sort_by_key(|&edge| place(edge));
    let reasons = |edge: Edge, before: &[Edge]| {
        let mut reasons = Vec::new();
        if Some(edge) == hinge_edge {
            reasons.push(OrderReason::HingeSideIsReference);
        }
        if hinge.is_none() && edge == Edge::Bottom && before.iter().all(|&edge| end_grain(edge)) {
            reasons.push(OrderReason::BottomIsReference);
        }
        let meets = |other: &&Edge| other.is_upright() != edge.is_upright();
        if end_grain(edge) {
            if all.iter().filter(meets).any(|other| !before.contains(other) && !end_grain(*other)) {
                reasons.push(OrderReason::EndGrainFirst);
            }
        } else if before.iter().filter(meets).any(|&other| end_grain(other)) {
            reasons.push(OrderReason::CleansBreakOut);
        }
        if edge == Edge::Top && before.contains(&Edge::Bottom) {
            reasons.push(OrderReason::TopAfterBottom);
        }
        if Some(edge) == latch && before.len() + 1 == all.len() {
            reasons.push(OrderReason::LatchLast);
        }
        if reasons.is_empty() {
            reasons.push(OrderReason::UsualOrder);
        }
        reasons
    };
    all.iter()
        .enumerate()
        .map(|(k, &edge)| Placed { edge, reasons: reasons(edge, all.get(..k).unwrap_or_default()) })
        .collect()
}
