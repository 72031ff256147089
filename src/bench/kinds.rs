//! What may hang in a new opening: one leaf, a pair, fronts one above another; their names and gap lines.

use super::front_heights;
use crate::fit::opening::{Edge, Side};

/// What there is to choose from.
pub(super) const KINDS: [&str; 4] = ["single door", "pair of doors", "drawer front", STACKED];
/// Fronts one above another: how many and how high, their heights say.
pub(super) const STACKED: &str = "fronts stacked";

/// Short name, name and hinge side of a leaf.
pub(super) type Leaf = (&'static str, &'static str, Option<Side>);

/// Short names of stacked fronts, and what the lowest, the highest and those between are called.
const FRONTS: [(&str, &str); front_heights::MOST] = [
    ("A", "lower front"),
    ("B", "2nd front up"),
    ("C", "3rd front up"),
    ("D", "4th front up"),
    ("E", "5th front up"),
    ("F", "upper front"),
];

/// Short name and name of the front at `place` from below, of `count`.
pub(super) fn front(place: usize, count: usize) -> (&'static str, &'static str) {
    let (id, name) = FRONTS.get(place).copied().unwrap_or(("?", "front"));
    match (place, count) {
        (1, 3) => (id, "middle front"),
        _ if place + 1 == count => (id, "upper front"),
        _ => (id, name),
    }
}

/// Leaves side by side or one above the other.
pub(super) struct Kind {
    /// The leaves, from the left or from below.
    pub(super) leaves: Vec<Leaf>,
    /// The edge of a leaf that faces the next one.
    next: Edge,
}

impl Kind {
    /// What `word` stands for; a single door is hinged at `hinge`.
    pub(super) fn of(word: &str, hinge: Side) -> Self {
        let leaves = match word {
            "pair of doors" => vec![("A", "left door", Some(Side::Left)), ("B", "right door", Some(Side::Right))],
            "drawer front" => vec![("A", "front", None)],
            _ => vec![("A", "door", Some(hinge))],
        };
        Self { next: if word == "pair of doors" { Edge::Right } else { Edge::Top }, leaves }
    }

    /// So many fronts one above another, the lowest first.
    pub(super) fn stack(count: usize) -> Self {
        let leaf = |place| {
            let (id, name) = front(place, count);
            (id, name, None)
        };
        Self { next: Edge::Top, leaves: (0..count).map(leaf).collect() }
    }

    /// Its gap lines.
    pub(super) fn gaps(&self) -> Vec<[String; 2]> {
        let ids: Vec<&str> = self.leaves.iter().map(|(id, _, _)| *id).collect();
        gaps_of(&ids, self.next)
    }
}

/// Every gap line of leaves of which each one's edge `next` faces the one after it; the frame's sides first
/// for left and bottom as the trade reads them.
pub fn gaps_of(leaves: &[&str], next: Edge) -> Vec<[String; 2]> {
    let side = |id: &str, edge: Edge| format!("{id}.{edge}");
    let mut gaps = Vec::new();
    for (place, id) in leaves.iter().enumerate() {
        for edge in Edge::ALL {
            if place > 0 && edge == next.opposite() {
                continue;
            }
            let follows = leaves.get(place + 1).filter(|_| edge == next);
            gaps.push(match follows {
                Some(other) => [side(id, edge), side(other, edge.opposite())],
                None if matches!(edge, Edge::Left | Edge::Bottom) => ["frame".to_owned(), side(id, edge)],
                None => [side(id, edge), "frame".to_owned()],
            });
        }
    }
    gaps
}
