//! Exact plane geometry of a leaf turned against a straight fence by pads.
//!
//! A pad is a square-cornered pile stuck to the leaf's edge. The leaf bears on its corner (the
//! *pivot*) and on the pad's corner nearest the pivot, so the tilt is that of a sine bar whose
//! length is the distance between those two corners: `sin φ = h / √(p² + h²)`, which is
//! `tan φ = h / p` with `p` measured along the leaf's own edge, as a ruler does.

use super::job::End;
use crate::fit::length::{Inches, Radians};
use serde::Serialize;

/// A pad as the fence feels it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bearing {
    /// From the pivot to the pad's edge nearest the pivot, along the leaf's edge.
    pub at: Inches,
    /// Thickness.
    pub thickness: Inches,
}

/// Tilt by one pad: thickness `thickness` at `at` from the pivot along the leaf's edge.
pub fn pad_tilt(thickness: Inches, at: Inches) -> Radians {
    Radians(thickness.get().atan2(at.get()))
}

/// Tilt by several pads: the steepest rules. `None` without a pad (the edge lies flat), or if a
/// number makes no sense.
pub fn tilt(pads: &[Bearing]) -> Option<Radians> {
    let steepest = pads.iter().map(|pad| pad_tilt(pad.thickness, pad.at).0).fold(f64::NAN, f64::max);
    (0.0..std::f64::consts::FRAC_PI_2).contains(&steepest).then_some(Radians(steepest))
}

/// Height that a sine bar of length `bar` (between its bearings) needs for `angle`.
pub fn sine_bar_height(bar: Inches, angle: Radians) -> Inches {
    Inches(bar.get() * angle.0.sin())
}

/// What a tapered rip removes at the lower or left corner and at the upper or right one, square to
/// the edge on the fence: `r(s) = w(s) − D/cos φ + s·tan φ`, `s` from the pivot. Below zero means
/// that the blade passes outside the wood there.
///
/// `width_start`, `width_end`: leaf width at both ends; `length`: of the edge; `pivot`: the end
/// that bears on the fence itself; `pads`: measured from the pivot; `fence`: from the fence to the
/// near face of the blade. All in inches. Without pads the edge lies flat on the fence.
pub fn rip_removal(
    width_start: Inches,
    width_end: Inches,
    length: Inches,
    pivot: End,
    pads: &[Bearing],
    fence: Inches,
) -> (Inches, Inches) {
    let tangent = tilt(pads).map_or(0.0, |angle| angle.0.tan());
    let (near, far) = if pivot == End::Start { (width_start, width_end) } else { (width_end, width_start) };
    let line = CutLine { near: near.get(), far: far.get(), length: length.get(), tangent };
    let (at_pivot, at_far) = line.removal(fence.get());
    let (at_pivot, at_far) = (Inches(at_pivot), Inches(at_far));
    if pivot == End::Start { (at_pivot, at_far) } else { (at_far, at_pivot) }
}

/// A turned leaf before the blade: depth of the cut edge over the reference at its two ends, its
/// length, and the tangent of the turn (positive: the far end stands out).
///
/// For the rip the depth is the leaf's width; for the sled it is the length of the adjoining edge
/// (and that plus the out-of-square), with the turn the other way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CutLine {
    pub near: f64,
    pub far: f64,
    pub length: f64,
    pub tangent: f64,
}

impl CutLine {
    pub(crate) fn cosine(&self) -> f64 {
        1.0 / self.tangent.hypot(1.0)
    }

    /// Removal at the near and far end for a blade at `distance`.
    pub(crate) fn removal(&self, distance: f64) -> (f64, f64) {
        let line = distance / self.cosine();
        (self.near - line, self.far + self.length * self.tangent - line)
    }

    /// Distance at which the blade just kisses the leaf, and whether it is the far end it kisses.
    pub(crate) fn kiss(&self) -> (f64, bool) {
        let (near, far) = (self.near, self.far + self.length * self.tangent);
        (near.max(far) * self.cosine(), far > near)
    }

    /// Distance that splits the error of the slope evenly between the two ends.
    pub(crate) fn best_distance(&self, wanted: (f64, f64)) -> f64 {
        let (near, far) = self.removal(0.0);
        f64::midpoint(near - wanted.0, far - wanted.1) * self.cosine()
    }

    /// Least distance at which neither end loses more than `wanted`.
    pub(crate) fn none_over(&self, wanted: (f64, f64)) -> f64 {
        let (near, far) = self.removal(0.0);
        f64::max(near - wanted.0, far - wanted.1) * self.cosine()
    }

    /// Errors (removed less wanted) at both ends for a blade at `distance`.
    pub(crate) fn errors(&self, distance: f64, wanted: (f64, f64)) -> (f64, f64) {
        let (near, far) = self.removal(distance);
        (near - wanted.0, far - wanted.1)
    }
}
