//! Swing: does the latch edge pass the frame as the leaf opens, and the back-bevel that lets it.
//!
//! Seen from above: x runs from the hinge edge (0) to the latch edge (w); the leaf's face is flush
//! with the frame's at z = 0 and its back lies at −T; the leaf opens toward +z about a pin at
//! (−a, b). A point of the latch edge can meet the frame only while it is behind the frame's face:
//!
//! - pin in front of the face (b ≥ 0): the last the back corner meets is the frame's front arris, so
//!   it passes when `(w+a)² + (T+b)² ≤ (w+a+gap)² + b²`;
//! - pin inside the thickness (−T < b < 0): it meets the frame's edge where its circle is widest, so
//!   it passes when `(w+a)² + (T+b)² ≤ (w+a+gap)²`;
//! - pin behind the back (b ≤ −T): the corner draws inward from the start and always passes.
//!
//! Derived; checked by sweeping the leaf as a polygon (`tests/before_swing.rs`). The shorter rule
//! `sqrt((w+a)² + (T+b)²) ≤ w+a+gap` is the second line; for a pin in front of the face it asks for
//! about `b²/2(w+a)` more gap than is needed.

use crate::fit::length::{Inches, Length, Radians};

/// Where the hinge pin stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Off the leaf's hinge edge, toward the frame; negative: within the leaf's width.
    pub off_edge: Length,
    /// In front of the leaf's face; negative: behind it (within the thickness).
    pub in_front: Length,
}

/// A leaf as it swings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SwingLeaf {
    /// Width.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// Its hinge pin.
    pub pin: Pin,
}

/// A latch edge planed out of square: the face keeps its width, the back loses `depth`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bevel {
    /// What the back of the latch edge loses.
    pub depth: Inches,
    /// The bevel's angle from square.
    pub angle: Radians,
}

impl Bevel {
    /// The bevel that loses `depth` over `thickness`.
    pub fn over(depth: Inches, thickness: Length) -> Self {
        Self { depth, angle: Radians(depth.get().atan2(thickness.inches())) }
    }
}

/// How a leaf swings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// The narrowest latch gap through which a square edge passes.
    pub least_reveal: Inches,
    /// Latch gap beyond that (negative: it rubs).
    pub spare: Inches,
    /// The least back-bevel that clears; none needed if absent.
    pub bevel: Option<Bevel>,
    /// The narrowest hinge-side gap that lets the leaf open square (90°): the front of the hinge edge swings
    /// into the frame when the pin stands behind the face.
    pub least_hinge_reveal: Inches,
    /// Hinge-side gap beyond that (negative: the hinge edge binds on the frame).
    pub hinge_spare: Inches,
}

impl Swing {
    /// Does it open without a bevel?
    pub fn clears(&self) -> bool {
        self.spare.get() >= 0.0 && self.hinge_spare.get() >= 0.0
    }
}

/// Why a swing cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SwingError {
    /// No leaf.
    #[error("the leaf's {0} must be more than 0")]
    NotPositive(&'static str),
    /// The leaf laps the frame.
    #[error("the {0} gap is below 0: the leaf does not go in; fit it first")]
    Lap(&'static str),
    /// The pin stands at or beyond the latch edge.
    #[error("the pin stands past the latch edge; measure how far it is off the hinge edge")]
    PinPastLatch,
    /// No bevel does it: the leaf is thicker than it is wide, about.
    #[error(
        "no back-bevel clears this: the leaf is too thick for its width on this pin; move the pin forward or widen the gap"
    )]
    NoBevel,
}

/// Swing of a leaf whose latch and hinge gaps are those. The frame's face is flush with the leaf's; of a pair, the
/// other leaf (closed) stands for the frame.
///
/// ```
/// use evenreveal::before::swing::{swing, Pin, SwingLeaf};
/// use evenreveal::fit::length::Length;
/// let pin = Pin { off_edge: Length::ZERO, in_front: Length::ZERO };
/// let leaf = SwingLeaf { width: Length::ratio(4, 1), thickness: Length::ratio(3, 1), pin };
/// // A 3-4-5 triangle: the back corner needs 5 in where the leaf is 4 in wide.
/// let swing = swing(&leaf, Length::ratio(1, 1), Length::ZERO).unwrap();
/// assert_eq!(swing.least_reveal.get(), 1.0);
/// ```
pub fn swing(leaf: &SwingLeaf, latch_gap: Length, hinge_gap: Length) -> Result<Swing, SwingError> {
    for (name, length) in [("width", leaf.width), ("thickness", leaf.thickness)] {
        if length.is_negative() || length.is_zero() {
            return Err(SwingError::NotPositive(name));
        }
    }
    for (name, gap) in [("latch", latch_gap), ("hinge", hinge_gap)] {
        if gap.is_negative() {
            return Err(SwingError::Lap(name));
        }
    }
    let (a, b) = (leaf.pin.off_edge.inches(), leaf.pin.in_front.inches());
    let (thickness, gap) = (leaf.thickness.inches(), latch_gap.inches());
    let reach = leaf.width.inches() + a;
    if reach <= 0.0 {
        return Err(SwingError::PinPastLatch);
    }
    // Squares of how far the back corner stands behind the pin, and of how far behind it the frame ends.
    let behind = (thickness + b).max(0.0).powi(2);
    let frame = b.max(0.0).powi(2);
    let least = (reach * reach + behind - frame).sqrt() - reach;
    let spare = gap - least;
    let bevel = if spare >= 0.0 {
        None
    } else {
        let square = (reach + gap).powi(2) + frame - behind;
        let left = if square >= 0.0 { square.sqrt() } else { return Err(SwingError::NoBevel) };
        // The bevel may not eat past the pin or through the whole width.
        let depth = reach - left;
        if depth >= leaf.width.inches() {
            return Err(SwingError::NoBevel);
        }
        Some(Bevel::over(Inches(depth), leaf.thickness))
    };
    let least_hinge = hinge_side(a, b);
    Ok(Swing {
        least_reveal: Inches(least),
        spare: Inches(spare),
        bevel,
        least_hinge_reveal: Inches(least_hinge),
        hinge_spare: Inches(hinge_gap.inches() - least_hinge),
    })
}

/// How far toward the frame the hinge edge swings while it is behind the frame's face, up to 90°.
fn hinge_side(a: f64, b: f64) -> f64 {
    if b >= 0.0 {
        // The hinge edge lies behind the pin and draws away from the frame.
        0.0
    } else if a < 0.0 {
        // The front corner passes level with the pin, at its full radius.
        a.hypot(b) + a
    } else if a <= -b {
        // It comes in again behind the frame's face and is furthest out at 90°.
        a - b
    } else {
        // The pin stands off by more than it stands back: the frame's front arris passes if it lies
        // within the circle that the hinge edge's plane keeps touching.
        a - (a * a - b * b).sqrt()
    }
}
