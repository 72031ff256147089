//! What is assumed of reading and cutting before this shop's own history says more.
//! All figures are starting guesses, no source; [`crate::fit::learn`] replaces them from history.

use super::gaussian::{Affine, Gaussian};
use super::rounds::{CutMade, Method};
use crate::fit::length::Inches;

/// A length with its standard uncertainty.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Belief {
    /// Best estimate.
    pub mean: Inches,
    /// Standard uncertainty.
    pub sd: Inches,
}

/// A ratio (real over believed) with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// Best estimate.
    pub mean: f64,
    /// Standard uncertainty.
    pub sd: f64,
}

/// Standard deviations of everything the estimate knows only roughly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spreads {
    /// Hand and eye at a feeler, or an exact instrument's own.
    pub hand: Inches,
    /// A lap read from a pencil line.
    pub lap: Inches,
    /// A gap before anything was read or measured.
    pub gap: Inches,
    /// Hollow or round of a gap line at its middle.
    pub bow: Inches,
    /// Where the leaf sits in a new round (shift, and turn at the leaf's longer half).
    pub pose: Inches,
    /// Fence error of a saw cut, the same at both ends.
    pub saw_common: Inches,
    /// Error of a saw cut at each end by itself.
    pub saw_end: Inches,
    /// Error of planing at each end, beyond the plane factor.
    pub plane_end: Inches,
    /// Tape under pressure over tape as measured.
    pub tape: Factor,
    /// A stroke's real shaving over the shop's figure.
    pub plane: Factor,
    /// Where a hinge comes to rest again between rounds, each hinge by itself.
    pub hinge: Inches,
    /// What a pack behind a hinge moves over its nominal thickness: its own error, as a share.
    pub pack: f64,
    /// Share of readings that are plain wrong.
    pub gross_share: f64,
    /// Size of a plain wrong reading (a feeler misread by two leaves).
    pub gross: Inches,
}

impl Default for Spreads {
    fn default() -> Self {
        Self {
            hand: Inches(0.004),
            lap: Inches(0.006),
            gap: Inches(0.25),
            bow: Inches(0.008),
            pose: Inches(0.5),
            saw_common: Inches(0.008),
            saw_end: Inches(0.003),
            plane_end: Inches(0.001),
            tape: Factor { mean: 1.0, sd: 0.05 },
            plane: Factor { mean: 1.0, sd: 0.16 },
            hinge: Inches(0.002),
            pack: 0.05,
            gross_share: 0.02,
            gross: Inches(1.0 / 32.0),
        }
    }
}

impl Spreads {
    /// What is known of a hinge that was moved out by `out` (in, negative) since it was read.
    pub fn packed(&self, out: Inches) -> Belief {
        Belief { mean: out, sd: Inches(self.hinge.0.hypot(out.0 * self.pack)) }
    }

    /// Standard deviation of what a cut takes at a corner when `here` is meant there and `there` at
    /// the other corner, from what is known of the factors before the cut.
    pub fn cut_sd(&self, method: Method, here: f64, there: f64, tape_sd: f64, plane_sd: f64) -> f64 {
        match method {
            Method::Saw => {
                let rise = (here - there).max(0.0);
                (self.saw_common.0.powi(2) + self.saw_end.0.powi(2) + (rise * tape_sd).powi(2)).sqrt()
            }
            Method::Plane => (self.plane_end.0.powi(2) + (here * plane_sd).powi(2)).sqrt(),
        }
    }
}

/// Adds a cut's two removals to the belief; returns the index of the first.
///
/// Saw: the fence error is common to both ends, so the second end is joined given the first; the
/// rise from the shallow end to the deep one is the pad's, times the tape factor. Plane: strokes
/// times the plane factor. An end where nothing is meant to come off loses nothing to the plane.
pub(super) fn join_cut(belief: &mut Gaussian, cut: &CutMade, spreads: &Spreads, tape: usize, plane: usize) -> usize {
    let meant = cut.counted();
    match cut.method {
        Method::Saw => {
            let shallow = meant[0].min(meant[1]);
            let with_tape = |removal: f64| Affine { constant: shallow, terms: vec![(tape, removal - shallow)] };
            let common = spreads.saw_common.0.powi(2);
            let each = common + spreads.saw_end.0.powi(2);
            let first = belief.join_affine(&with_tape(meant[0]), each);
            let follows = if each > 0.0 { common / each } else { 0.0 };
            // second = its own mean + follows · (first − first's mean) + noise
            let mut second = with_tape(meant[1]);
            second.constant -= follows * shallow;
            second.add(first, follows);
            second.add(tape, -follows * (meant[0] - shallow));
            belief.join_affine(&second, each * (1.0 - follows * follows));
            first
        }
        Method::Plane => {
            let joined = meant.map(|removal| {
                let noise = if removal > 0.0 { spreads.plane_end.0.powi(2) } else { 0.0 };
                belief.join_affine(&Affine { constant: 0.0, terms: vec![(plane, removal)] }, noise)
            });
            joined[0]
        }
    }
}

/// Mean over both ends of what a saw cut took less what was meant, the pad at its real thickness.
pub(super) fn saw_error(cut: &CutMade, first: usize, tape: usize) -> Affine {
    let meant = cut.counted();
    let shallow = meant[0].min(meant[1]);
    let mut row = Affine { constant: -shallow, terms: vec![(first, 0.5), (first + 1, 0.5)] };
    row.add(tape, -0.5 * (meant[0] + meant[1] - 2.0 * shallow));
    row
}
