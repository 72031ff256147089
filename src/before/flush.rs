//! Flushness: proud and shy corners, the hinge moves that share them out, and the wind that no hinge
//! removes.

use crate::fit::length::{Inches, Length};
use crate::fit::opening::Side;

/// Proud (+) or shy (−) of the frame's face at the corners of a leaf.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Corners<T> {
    /// Lower left.
    pub bottom_left: T,
    /// Lower right.
    pub bottom_right: T,
    /// Upper left.
    pub top_left: T,
    /// Upper right.
    pub top_right: T,
}

impl<T> Corners<T> {
    /// From the order of the log: lower left, lower right, upper left, upper right.
    pub fn from_log([bottom_left, bottom_right, top_left, top_right]: [T; 4]) -> Self {
        Self { bottom_left, bottom_right, top_left, top_right }
    }

    /// In the order of the log.
    pub fn each(self) -> [T; 4] {
        [self.bottom_left, self.bottom_right, self.top_left, self.top_right]
    }
}

/// Depth move at one hinge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthMove {
    /// Height of the hinge above the leaf's lower end.
    pub hinge: Length,
    /// Forward (+, out of the opening) or back (−).
    pub forward: Inches,
}

/// What to do about the corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlushAdvice {
    /// Every corner is within tolerance as it hangs.
    Leave,
    /// The moves bring every corner within tolerance: what wind there is, shared over four corners, does not show.
    MoveAndShare,
    /// The wind is more than four corners can share: correct the leaf (or the stop), then move.
    Correct,
}

/// What the four corners say.
#[derive(Clone, Debug, PartialEq)]
pub struct Flush {
    /// Depth moves at the hinges, lowest first.
    pub hinges: Vec<DepthMove>,
    /// Move of the catch or stop at the latch side's lower and upper corner, forward positive.
    pub catch: [Inches; 2],
    /// What stays at each corner after the moves: the wind with alternating sign.
    pub left: Corners<Inches>,
    /// Wind: `(p_tl − p_tr + p_br − p_bl) / 4`, in inches, exact.
    pub wind: Length,
    /// How far one corner stands off the plane of the other three (four times the wind).
    pub off_three: Length,
    /// What to do.
    pub advice: FlushAdvice,
}

/// Why the corners say nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FlushError {
    /// The hinges must be named.
    #[error("two hinges are needed at different heights within the leaf; give each one's height above the lower end")]
    Hinges,
    /// The leaf's height must be known.
    #[error("the leaf's height must be more than 0")]
    Height,
    /// A corner that no leaf has.
    #[error("a corner's proud or shy is beyond what a length can hold")]
    TooLarge,
}

/// Wind of four corners: `(p_tl − p_tr + p_br − p_bl) / 4`. `None` when it cannot be held.
pub fn wind(corners: &Corners<Length>) -> Option<Length> {
    corners
        .top_left
        .checked_sub(corners.top_right)?
        .checked_add(corners.bottom_right)?
        .checked_sub(corners.bottom_left)?
        .checked_scale(1, 4)
}

/// The best plane through four corners (least squares; what remains is the same amount at each, with
/// alternating sign) and the depth moves that bring that plane to the frame's face. `hinges` are
/// heights above the leaf's lower end; a straight hinge edge, so any two set it and all are given a move.
pub fn flush(
    corners: &Corners<Length>,
    height: Length,
    hinge_side: Side,
    hinges: &[Length],
    tolerance: Length,
) -> Result<Flush, FlushError> {
    if height.is_negative() || height.is_zero() {
        return Err(FlushError::Height);
    }
    let mut hinges = hinges.to_vec();
    hinges.sort();
    hinges.dedup();
    if hinges.len() < 2 || hinges.iter().any(|h| h.is_negative() || *h > height) {
        return Err(FlushError::Hinges);
    }
    let wind = wind(corners).ok_or(FlushError::TooLarge)?;
    let off_three = wind.checked_scale(4, 1).ok_or(FlushError::TooLarge)?.abs();
    let w = wind.inches();
    // The corner less its share of the wind lies on the best plane.
    let left = Corners { bottom_left: -w, bottom_right: w, top_left: w, top_right: -w };
    let plane = |corner: Length, remains: f64| corner.inches() - remains;
    let left_edge = [plane(corners.bottom_left, left.bottom_left), plane(corners.top_left, left.top_left)];
    let right_edge = [plane(corners.bottom_right, left.bottom_right), plane(corners.top_right, left.top_right)];
    let (hinge_edge, latch_edge) = match hinge_side {
        Side::Left => (left_edge, right_edge),
        Side::Right => (right_edge, left_edge),
    };
    let moves = hinges.iter().map(|&hinge| {
        let up = hinge.inches() / height.inches();
        DepthMove { hinge, forward: Inches(-(hinge_edge[0] * (1.0 - up) + hinge_edge[1] * up)) }
    });
    let advice = if corners.each().iter().all(|corner| corner.abs() <= tolerance) {
        FlushAdvice::Leave
    } else if wind.abs() <= tolerance {
        FlushAdvice::MoveAndShare
    } else {
        FlushAdvice::Correct
    };
    Ok(Flush {
        hinges: moves.collect(),
        catch: latch_edge.map(|p| Inches(-p)),
        left: Corners {
            bottom_left: Inches(left.bottom_left),
            bottom_right: Inches(left.bottom_right),
            top_left: Inches(left.top_left),
            top_right: Inches(left.top_right),
        },
        wind,
        off_three,
        advice,
    })
}

/// The corners after depth screws were turned: the hinge edge moves with the lowest and the highest hinge, the ones
/// between follow (a straight edge); a catch halfway up holds the latch edge, so that its corners move against
/// each other and not together. A rigid leaf: the wind stays as it was. Derived; hinges turned alike leave the latch
/// side where it was, wherever the catch stands.
///
/// `turned` says for each hinge, by its height above the leaf's lower end, how far its screw went forward.
pub fn after(
    corners: &Corners<Length>,
    height: Length,
    hinge_side: Side,
    turned: &[(Length, Length)],
) -> Result<Corners<Length>, FlushError> {
    if height.is_negative() || height.is_zero() {
        return Err(FlushError::Height);
    }
    let (low, high) = (turned.iter().min_by_key(|one| one.0), turned.iter().max_by_key(|one| one.0));
    let (Some(low), Some(high)) = (low, high) else { return Ok(*corners) };
    if low.0 == high.0 {
        return Err(FlushError::Hinges);
    }
    let lean = (high.1.inches() - low.1.inches()) / (high.0.inches() - low.0.inches());
    let edge = |at: f64| low.1.inches() + lean * (at - low.0.inches());
    let (lower, upper) = (edge(0.0), edge(height.inches()));
    let half = (upper - lower) / 2.0;
    let moved = |corner: Length, by: f64| corner.checked_add(Inches(by).length()).ok_or(FlushError::TooLarge);
    let (left, right) = match hinge_side {
        Side::Left => ([lower, upper], [-half, half]),
        Side::Right => ([-half, half], [lower, upper]),
    };
    Ok(Corners {
        bottom_left: moved(corners.bottom_left, left[0])?,
        bottom_right: moved(corners.bottom_right, right[0])?,
        top_left: moved(corners.top_left, left[1])?,
        top_right: moved(corners.top_right, right[1])?,
    })
}
