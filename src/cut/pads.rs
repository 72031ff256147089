//! Which piles of this shop's stock, and where, come near a wanted tilt.

use super::job::Limits;
use super::tools::ShimStock;
use crate::fit::length::Length;

/// Most kinds of stock used in one pile.
const MOST_KINDS: usize = 6;
/// How far from the ideal place a pad may be moved to find wood, in ruler steps.
const SHIFT: i64 = 24;

/// What the pads must do.
pub(crate) struct Ask<'a> {
    pub stock: &'a [ShimStock],
    pub ruler: Length,
    pub limits: &'a Limits,
    /// Length of the edge the pads are stuck to, inches.
    pub edge: f64,
    /// Tangent of the tilt wanted; more than nothing.
    pub tangent: f64,
    /// Stretches without wood on that edge, from the pivot, inches.
    pub bare: &'a [(f64, f64)],
}

/// `steps` piles, the k-th with `k` times `layers`, its near edge at `k · every` ruler steps.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    /// Layers of each stock in one step.
    pub layers: Vec<u32>,
    pub steps: u32,
    /// Ruler steps between piles.
    pub every: i64,
    /// Thickness of the last pile, inches.
    pub thickness: f64,
    /// Place of the last pile, inches from the pivot.
    pub at: f64,
}

impl Candidate {
    pub(crate) fn all_layers(&self) -> u32 {
        self.layers.iter().sum::<u32>() * self.steps
    }
}

impl Ask<'_> {
    fn usable(&self) -> Vec<f64> {
        self.stock.iter().take(MOST_KINDS).map(|stock| stock.thickness.inches()).collect()
    }

    /// The thinnest single layer, if there is any stock.
    pub(crate) fn thinnest(&self) -> Option<f64> {
        self.usable().into_iter().filter(|t| *t > 1e-4).min_by(f64::total_cmp)
    }

    /// Is all of `from..=to` (inches from the pivot) wood?
    pub(crate) fn is_wood(&self, from: f64, to: f64) -> bool {
        from >= 0.0 && to <= self.edge && self.bare.iter().all(|&(a, b)| to <= a || from >= b)
    }

    /// Every pile of `steps` steps that stands in the outer half, on wood, on the ruler, near the
    /// wanted tilt. `wood` tells whether one was dropped only for want of wood.
    pub(crate) fn candidates(&self, steps: u32, found: &mut Vec<Candidate>, short_of_wood: &mut bool) {
        let thick = self.usable();
        let most = self.limits.layers / steps.max(1);
        let mut layers = vec![0_u32; thick.len()];
        self.pile(&thick, 0, most, steps, &mut layers, found, short_of_wood);
    }

    #[allow(clippy::too_many_arguments)] // a plain recursion over kinds of stock
    fn pile(
        &self,
        thick: &[f64],
        kind: usize,
        left: u32,
        steps: u32,
        layers: &mut Vec<u32>,
        found: &mut Vec<Candidate>,
        short_of_wood: &mut bool,
    ) {
        let Some(&thickness) = thick.get(kind) else {
            self.place(thick, layers, steps, found, short_of_wood);
            return;
        };
        let most = if thickness > 1e-4 { left } else { 0 };
        for count in 0..=most {
            if let Some(slot) = layers.get_mut(kind) {
                *slot = count;
            }
            self.pile(thick, kind + 1, left - count, steps, layers, found, short_of_wood);
        }
        if let Some(slot) = layers.get_mut(kind) {
            *slot = 0;
        }
    }

    fn place(&self, thick: &[f64], layers: &[u32], steps: u32, found: &mut Vec<Candidate>, short_of_wood: &mut bool) {
        let one: f64 = thick.iter().zip(layers).map(|(t, n)| t * f64::from(*n)).sum();
        let ruler = self.ruler.inches();
        if one <= 0.0 || ruler <= 0.0 {
            return;
        }
        let pad = self.limits.pad.get();
        let spacing = one / self.tangent;
        let in_range = |every: f64| {
            let at = every * f64::from(steps);
            at >= self.edge / 2.0 && at + pad <= self.edge && (steps == 1 || every >= pad)
        };
        let ideal = spacing / ruler;
        if !ideal.is_finite()
            || ideal > 1e7
            || !(in_range(spacing) || in_range(ideal.floor() * ruler) || in_range(ideal.ceil() * ruler))
        {
            return;
        }
        let mut keep = |every: i64| {
            let each = every as f64 * ruler;
            if !in_range(each) {
                return false;
            }
            let wood = (1..=steps).all(|k| self.is_wood(each * f64::from(k), each * f64::from(k) + pad));
            if wood {
                found.push(Candidate {
                    layers: layers.to_vec(),
                    steps,
                    every,
                    thickness: one * f64::from(steps),
                    at: each * f64::from(steps),
                });
            } else {
                *short_of_wood = true;
            }
            wood
        };
        let below = ideal.floor() as i64;
        let _ = (0..SHIFT).map(|shift| below - shift).any(&mut keep);
        let _ = (1..=SHIFT).map(|shift| below + shift).any(&mut keep);
    }
}
