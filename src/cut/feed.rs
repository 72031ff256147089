//! Feeding a leaf past the blade: which bearings are on the fence, and does it ever swing?

use super::job::{CutJob, Kit};
use super::words::Refusal;
use crate::fit::opening::Edge;

/// A fence seen from the blade: its length before it (toward the operator) and behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fence {
    /// Inches before the blade.
    pub before: f64,
    /// Inches behind the blade.
    pub behind: f64,
}

impl Fence {
    /// How many of the bearings (distances from the leading end, inches) lie on the fence when the
    /// leading end has passed the blade by `fed`.
    pub fn bearing(&self, bearings: &[f64], fed: f64) -> usize {
        // A hair of slack, so that a bearing exactly at the fence's end counts.
        bearings.iter().filter(|&&at| fed - at <= self.behind + 1e-9 && at - fed <= self.before + 1e-9).count()
    }

    /// Do at least two bearings hold at every moment from the leading end reaching the blade to
    /// the trailing end leaving it? Looked at each moment a bearing comes on or leaves, and between.
    pub fn holds(&self, bearings: &[f64], length: f64) -> bool {
        let inside = |fed: &f64| (0.0..=length).contains(fed);
        let mut moments: Vec<f64> = bearings
            .iter()
            .flat_map(|at| [at - self.before, at + self.behind])
            .filter(inside)
            .chain([0.0, length])
            .collect();
        moments.sort_by(f64::total_cmp);
        let between: Vec<f64> =
            moments.iter().zip(moments.iter().skip(1)).map(|(a, b)| f64::midpoint(*a, *b)).collect();
        moments.iter().chain(&between).all(|&fed| self.bearing(bearings, fed) >= 2)
    }
}

/// An edge of which readings say that it may not be straight is no reference before a straightedge was laid on
/// it. An edge that is hollow or round by more than a set-up may be off would rock, or stand off its pad.
pub(crate) fn bears_straight(job: &CutJob, kit: &Kit, reference: Edge) -> Result<(), Refusal> {
    if job.bow(reference).is_none() && job.doubted.contains(&reference) {
        return Err(Refusal::ReferenceInDoubt);
    }
    let rocks = job.bow(reference).is_some_and(|bow| bow.abs() > kit.limits.rounding.get() || bow.is_nan());
    if rocks { Err(Refusal::ReferenceNotStraight) } else { Ok(()) }
}
