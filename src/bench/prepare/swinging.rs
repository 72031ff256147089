//! Whether each hinged leaf swings clear, for each place its hinge pin may stand.

use super::sizes;
use crate::before::swing::{Pin, Swing, SwingError, SwingLeaf, swing};
use crate::fit::length::Length;
use crate::fit::opening::Side;
use crate::shop::OpeningState;

/// A hinge pin at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct PinCase {
    /// What the trade calls it.
    pub name: &'static str,
    /// Is it the place measured on this leaf's own hinge?
    pub own: bool,
    /// Where it stands.
    pub pin: Pin,
    /// How the leaf swings on it.
    pub swing: Result<Swing, SwingError>,
}

/// One hinged leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafSwing {
    /// Its short name.
    pub leaf: String,
    /// Where it hangs.
    pub hinge: Side,
    /// Its width.
    pub width: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Is that a starting value, since nobody said how thick it is?
    pub thickness_assumed: bool,
    /// The gap at the latch side when all is done.
    pub latch_gap: Length,
    /// The gap at the hinge side when all is done.
    pub hinge_gap: Length,
    /// Its pin, measured or usual.
    pub cases: Vec<PinCase>,
}

/// How thick a leaf is taken to be until somebody says so: common practice, no published source.
pub const USUAL_THICKNESS: (i64, i64) = (3, 4);

/// Short names of the leaves that have a hinge side.
pub fn hinged(state: &OpeningState) -> Vec<&str> {
    state.leaf_ids().into_iter().filter(|id| state.hinge_of(id).is_some()).collect()
}

/// Every hinged leaf whose size is known; the others by name, with what is missing.
pub fn swings(state: &OpeningState) -> (Vec<LeafSwing>, Vec<(String, &'static str)>) {
    let (mut found, mut missing) = (Vec::new(), Vec::new());
    for id in state.leaf_ids() {
        let Some(hinge) = state.hinge_of(id) else {
            missing.push((id.to_owned(), "has no hinge side: it does not swing"));
            continue;
        };
        let Some([width, _]) = sizes::size(state, id) else {
            missing.push((id.to_owned(), "has no size yet: measure the opening (s) and size the blank (b)"));
            continue;
        };
        let (known, (n, d)) = (state.thickness_of(id), USUAL_THICKNESS);
        let thickness = known.unwrap_or(Length::ratio(n, d));
        let gap = |side: Side| {
            let name = format!("{id}.{}", side.edge());
            let line = state.gaps.iter().find(|line| line.between.contains(&name));
            line.map_or(Length::ZERO, |line| state.making.finished(&line.between).unwrap_or(line.target))
        };
        let (latch_gap, hinge_gap) = (gap(other(hinge)), gap(hinge));
        let own = state.making.pin(id);
        let case = |(name, pin, own)| {
            let leaf = SwingLeaf { width, thickness, pin };
            PinCase { name, own, pin, swing: swing(&leaf, latch_gap, hinge_gap) }
        };
        let cases = own.map(|pin| ("your hinge", Pin::from(pin), true)).into_iter().chain(usual(thickness, hinge_gap));
        let cases = cases.map(case).collect();
        let (leaf, thickness_assumed) = (id.to_owned(), known.is_none());
        found.push(LeafSwing { leaf, hinge, width, thickness, thickness_assumed, latch_gap, hinge_gap, cases });
    }
    (found, missing)
}

fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    }
}

/// Usual places of a pin, common practice with no published source: measure your own. A butt's pin stands
/// in front of the face in the middle of the hinge gap; a pivot's stands in the thickness.
fn usual(thickness: Length, hinge_gap: Length) -> Vec<(&'static str, Pin, bool)> {
    let half = |length: Length| length.checked_scale(1, 2).unwrap_or(Length::ZERO);
    let middle = half(hinge_gap);
    let pin = |off_edge, in_front| Pin { off_edge, in_front };
    vec![
        ("butt, pin 1/8 in front", pin(middle, Length::ratio(1, 8)), false),
        ("butt, pin flush with the face", pin(middle, Length::ZERO), false),
        ("pivot, 3/8 in from the edge", pin(Length::ratio(-3, 8), half(thickness).negated()), false),
    ]
}
