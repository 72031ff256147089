//! Leaves of equal nominal size tried in any opening: which leaf goes where, so that least wood comes
//! off. A suggestion, from the survey and the leaf's own measures, before anything is held up.

use super::survey::Shape;
use crate::fit::length::{Inches, Length, SquareInches};
use crate::fit::opening::{Edge, EdgeSet};

/// Most leaves that are assigned (every set of taken openings is looked at: `2ⁿ·n` steps).
pub const MOST: usize = 12;

/// Two amounts that differ by no more are the same.
const EQUAL: f64 = 1e-9;

/// A leaf as measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeafMeasure {
    /// Width at bottom and at top.
    pub widths: [Length; 2],
    /// Height at left and at right.
    pub heights: [Length; 2],
    /// Edges that may be cut.
    pub may_cut: EdgeSet,
}

/// An opening as surveyed, with the reveals wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningWanted {
    /// Its shape.
    pub shape: Shape,
    /// Reveals left and right, together.
    pub across: Length,
    /// Reveals bottom and top, together.
    pub up: Length,
}

/// What a leaf would have to lose in an opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pairing {
    /// Wood off its edges.
    pub wood: SquareInches,
    /// The most that it is short anywhere (a gap wider than wanted); 0 when it covers all.
    pub short: Inches,
    /// The most that it is too large where neither of the two edges may be cut; 0 where one may.
    pub stuck: Inches,
}

/// What one leaf would lose and lack in one opening: at bottom and top its width, at left and right
/// its height, against the opening less the reveals (two-ended, linear between; corners counted twice,
/// which is under a thousandth of a square inch for trims of a 1/32). Slanting alike on both sides
/// costs nothing here: the leaf follows by turning or not, which only readings can tell.
pub fn pairing(leaf: &LeafMeasure, opening: &OpeningWanted) -> Pairing {
    let [bottom, _, top] = opening.shape.widths().map(|w| w.get() - opening.across.inches());
    let [left, _, right] = opening.shape.heights().map(|h| h.get() - opening.up.inches());
    let [over_bottom, over_top] = [leaf.widths[0].inches() - bottom, leaf.widths[1].inches() - top];
    let [over_left, over_right] = [leaf.heights[0].inches() - left, leaf.heights[1].inches() - right];
    let may = |one: Edge, other: Edge| leaf.may_cut.has(one) || leaf.may_cut.has(other);
    let (across, up) = (may(Edge::Left, Edge::Right), may(Edge::Bottom, Edge::Top));
    let wood_across = if across { above(over_bottom, over_top) * f64::midpoint(left, right) } else { 0.0 };
    let wood_up = if up { above(over_left, over_right) * f64::midpoint(bottom, top) } else { 0.0 };
    let stuck = [(across, over_bottom), (across, over_top), (up, over_left), (up, over_right)];
    let stuck = stuck.iter().filter(|(may, _)| !may).fold(0.0_f64, |most, (_, over)| most.max(*over));
    let short = [over_bottom, over_top, over_left, over_right].iter().fold(0.0_f64, |most, over| most.max(-over));
    Pairing { wood: SquareInches(wood_across + wood_up), short: Inches(short), stuck: Inches(stuck) }
}

/// Mean of what lies above zero on a straight line between two ends.
fn above(one: f64, other: f64) -> f64 {
    match (one > 0.0, other > 0.0) {
        (true, true) => f64::midpoint(one, other),
        (false, false) => 0.0,
        _ => one.max(other).powi(2) / (2.0 * (one - other).abs()),
    }
}

/// Why there is no suggestion.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AssignError {
    /// Too many at once.
    #[error("at most {MOST} leaves are assigned at once; take the openings of one size together")]
    TooMany,
    /// More leaves than openings.
    #[error("there are {leaves} leaves for {openings} openings; give each leaf an opening to go to")]
    TooFewOpenings {
        /// How many leaves.
        leaves: usize,
        /// How many openings.
        openings: usize,
    },
    /// A number that is none.
    #[error("a survey or a leaf's measure is not a number")]
    NotANumber,
}

/// A suggested assignment.
#[derive(Clone, Debug, PartialEq)]
pub struct Assignment {
    /// For each leaf, the place of its opening.
    pub opening: Vec<usize>,
    /// What each loses there.
    pub pairings: Vec<Pairing>,
    /// Wood in all.
    pub wood: SquareInches,
}

/// The assignment whose leaves are together the least too short for their openings (beyond `tolerance` each: what
/// is short must be glued on) or too large where they may not be cut, then the least wood; among equals, the first leaf in the first opening.
pub fn assign(
    leaves: &[LeafMeasure],
    openings: &[OpeningWanted],
    tolerance: Length,
) -> Result<Assignment, AssignError> {
    if leaves.len() > MOST || openings.len() > MOST {
        return Err(AssignError::TooMany);
    }
    if leaves.len() > openings.len() {
        return Err(AssignError::TooFewOpenings { leaves: leaves.len(), openings: openings.len() });
    }
    let table: Vec<Vec<Pairing>> =
        leaves.iter().map(|leaf| openings.iter().map(|o| pairing(leaf, o)).collect()).collect();
    if table.iter().flatten().any(|p| !p.wood.0.is_finite() || !p.short.get().is_finite()) {
        return Err(AssignError::NotANumber);
    }
    let beyond = |by: Inches| (by.get() - tolerance.inches()).max(0.0);
    let cost = |p: &Pairing| (beyond(p.short) + beyond(p.stuck), p.wood.0);
    let better = |a: (f64, f64), b: (f64, f64)| a.0 < b.0 - EQUAL || (a.0 < b.0 + EQUAL && a.1 < b.1 - EQUAL);
    // best[leaf · sets + free]: the cheapest way to house this leaf and those after it in the free openings.
    let n = leaves.len();
    let sets = 1_usize << openings.len();
    let mut best: Vec<Option<((f64, f64), usize)>> = vec![None; sets * (n + 1)];
    for set in 0..sets {
        best[n * sets + set] = Some(((0.0, 0.0), 0));
    }
    for leaf in (0..n).rev() {
        for free in 0..sets {
            let mut choice: Option<((f64, f64), usize)> = None;
            for (place, pair) in table[leaf].iter().enumerate().filter(|(place, _)| free & (1 << place) != 0) {
                let Some((rest, _)) = best[(leaf + 1) * sets + (free & !(1 << place))] else { continue };
                let (short, wood) = cost(pair);
                let total = (rest.0 + short, rest.1 + wood);
                if choice.is_none_or(|(so_far, _)| better(total, so_far)) {
                    choice = Some((total, place));
                }
            }
            best[leaf * sets + free] = choice;
        }
    }
    let mut free = sets - 1;
    let mut opening = Vec::with_capacity(n);
    for leaf in 0..n {
        // There are openings enough, so a choice stands here.
        let Some((_, place)) = best[leaf * sets + free] else { return Err(AssignError::NotANumber) };
        opening.push(place);
        free &= !(1 << place);
    }
    let pairings: Vec<Pairing> = opening.iter().zip(&table).map(|(&place, row)| row[place]).collect();
    let wood = SquareInches(pairings.iter().map(|p| p.wood.0).sum());
    Ok(Assignment { opening, pairings, wood })
}
