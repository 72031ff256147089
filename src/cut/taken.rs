//! What a set-up really removes, when the shop's numbers were not quite the truth.

use super::geometry::{Bearing, CutLine, rip_removal};
use super::job::End;
use super::setup::{Setup, SetupSheet};
use crate::fit::length::Inches;

/// How the truth differs from what the shop believes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Actual {
    /// True pad thickness over the believed one (tape under pressure: 0.95).
    pub pad: f64,
    /// True shaving over the believed one.
    pub shaving: f64,
    /// True widths (or, on a sled, depth beyond square) less the believed ones, at the lower or left
    /// and at the upper or right corner.
    pub width: [Inches; 2],
    /// Error of the fence or stop: positive takes more.
    pub fence: Inches,
}

impl Default for Actual {
    fn default() -> Self {
        Self { pad: 1.0, shaving: 1.0, width: [Inches(0.0); 2], fence: Inches(0.0) }
    }
}

/// Removal at the lower or left corner and at the upper or right one, set up by the *move from
/// kissing* exactly as the sheet says; nothing where the blade misses the wood.
pub fn taken(sheet: &SetupSheet, actual: Actual) -> (Inches, Inches) {
    let scaled = |pads: Vec<Bearing>| -> Vec<Bearing> {
        pads.into_iter().map(|pad| Bearing { thickness: Inches(pad.thickness.get() * actual.pad), ..pad }).collect()
    };
    let (start, end) = match &sheet.setup {
        Setup::Rip(rip) => {
            let pads = scaled(rip.bearings());
            let width = |k: usize| {
                Inches(rip.width_before.get(k).map_or(0.0, |w| w.get()) + actual.width.get(k).map_or(0.0, |w| w.get()))
            };
            let (near, far) = if rip.pivot == End::Start { (width(0), width(1)) } else { (width(1), width(0)) };
            let tangent = super::geometry::tilt(&pads).map_or(0.0, |angle| angle.0.tan());
            let line = CutLine { near: near.get(), far: far.get(), length: rip.length.get(), tangent };
            let fence = line.kiss().0 - rip.fence_move.value.inches() - actual.fence.get();
            rip_removal(width(0), width(1), rip.length, rip.pivot, &pads, Inches(fence))
        }
        Setup::Sled(sled) => {
            let mut line = sled.line(&scaled(sled.bearings()));
            let (near, far) = if sled.at == End::Start { (0, 1) } else { (1, 0) };
            line.near += actual.width.get(near).map_or(0.0, |w| w.get());
            line.far += actual.width.get(far).map_or(0.0, |w| w.get());
            let removed = line.removal(line.kiss().0 - sled.stop_move.value.inches() - actual.fence.get());
            super::setting::by_end(sled.at, removed)
        }
        Setup::Plane(planing) => {
            let shaving = planing.shaving.inches() * actual.shaving;
            let all = f64::from(planing.full) + planing.stopped.len() as f64;
            super::setting::by_end(planing.thin, (f64::from(planing.full) * shaving, all * shaving))
        }
        Setup::GuideLine(line) => {
            let at = |mark: Option<&super::strokes::GuideMark>| {
                Inches(mark.map_or(0.0, |mark| mark.shown.inches()) + actual.fence.get())
            };
            (at(line.marks.first()), at(line.marks.last()))
        }
        Setup::SandingBlock(sanding) => (sanding.start, sanding.end),
    };
    (Inches(start.get().max(0.0)), Inches(end.get().max(0.0)))
}
