//! How many passes remain: the same depth rule run forward many times on what is known now.
//!
//! The present cuts are as advised; after each, the rest is aimed at again with what will then be
//! known. A plan's edges are run independently and the leaf is done when its last edge is.

use super::chance::Deviates;
use super::depth::{Rule, allowed_plane};
use super::{CutAdvice, Policy};
use crate::fit::estimate::{Estimate, Method};
use crate::fit::opening::Edge;

/// A count with its spread.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spread {
    /// As many as not are fewer.
    pub median: u32,
    /// Nine in ten are no more.
    pub most: u32,
}

/// Passes remaining on one edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgePasses {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Saw cuts.
    pub saw: Spread,
    /// Times planed.
    pub plane: Spread,
}

/// Passes remaining: cuts now and later, and trips back to the cabinet, the last look included.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Passes {
    /// Trips to the cabinet after the present one.
    pub trips: Spread,
    /// Saw cuts, all edges; each pass is one.
    pub saw: Spread,
    /// Times planed, all edges.
    pub plane: Spread,
    /// Trips per leaf (place in the list), for the leaves that are cut.
    pub leaves: Vec<(usize, Spread)>,
    /// Per edge.
    pub edges: Vec<EdgePasses>,
}

impl Passes {
    /// As likely as not, no cut is needed at all: the counts are what may still be, at most.
    pub(super) fn may_need_none(&mut self) {
        let edges = self.edges.iter_mut().flat_map(|edge| [&mut edge.saw, &mut edge.plane]);
        for spread in edges.chain([&mut self.saw, &mut self.plane]) {
            spread.median = 0;
        }
    }
}

const RUNS: usize = 200;
const MOST_TRIPS: u32 = 12;
/// What is left unknown of the plane factor once a leaf was read after planing, as a share (a guess, no source).
const KNOWN_AFTER_USE: f64 = 0.3;

/// Runs the cuts forward. Deterministic: the deviates come from a fixed seed.
pub(super) fn forecast(estimate: &Estimate, policy: &Policy, cuts: &[CutAdvice]) -> Passes {
    let mut deviates = Deviates::new(0x5eed_0f91_a2b3_c4d5);
    let mut trips = Vec::with_capacity(RUNS);
    let mut each = vec![(Vec::new(), Vec::new(), Vec::new()); cuts.len()];
    let (mut saw, mut plane) = (Vec::with_capacity(RUNS), Vec::with_capacity(RUNS));
    for _ in 0..RUNS {
        let factor = 1.0 + estimate.plane().1 / allowed_plane(estimate.plane().0) * deviates.normal();
        let (mut longest, mut sawn, mut planed) = (1, 0, 0);
        for (cut, lists) in cuts.iter().zip(&mut each) {
            let (t, s, p) = one_edge(estimate, policy, cut, factor, &mut deviates);
            longest = longest.max(t);
            sawn += s;
            planed += p;
            lists.0.push(s);
            lists.1.push(p);
            lists.2.push(t);
        }
        trips.push(longest);
        saw.push(sawn);
        plane.push(planed);
    }
    let mut leaves: Vec<(usize, Spread)> = Vec::new();
    for leaf in cuts.iter().map(|cut| cut.leaf).collect::<std::collections::BTreeSet<_>>() {
        let of_leaf: Vec<&Vec<u32>> =
            cuts.iter().zip(&each).filter(|(cut, _)| cut.leaf == leaf).map(|(_, lists)| &lists.2).collect();
        let longest = |run: usize| of_leaf.iter().filter_map(|list| list.get(run)).max().copied().unwrap_or(0);
        leaves.push((leaf, spread((0..RUNS).map(longest).collect())));
    }
    let edges = cuts
        .iter()
        .zip(each)
        .map(|(cut, (s, p, _))| EdgePasses { leaf: cut.leaf, edge: cut.edge, saw: spread(s), plane: spread(p) })
        .collect();
    Passes { trips: spread(trips), saw: spread(saw), plane: spread(plane), leaves, edges }
}

/// Trips, saw cuts and planings until one edge is at its line. `factor`: what strokes really take over what was
/// allowed for them.
fn one_edge(
    estimate: &Estimate,
    policy: &Policy,
    cut: &CutAdvice,
    factor: f64,
    deviates: &mut Deviates,
) -> (u32, u32, u32) {
    let spreads = estimate.spreads();
    let enough = 0.6 * policy.tolerance.inches();
    let mut left: [f64; 2] = [0, 1].map(|end| cut.line[end].0 + cut.line_sd[end].0 * deviates.normal());
    let (mut method, mut aim) = (cut.method, cut.aim.map(|aim| aim.0));
    let (mut trips, mut saw, mut plane) = (0, 0, 0);
    let mut factor = factor;
    let line_sd = cut.line_sd.map(|sd| sd.0);
    let mut rule = Rule { estimate, policy, plane_sd: estimate.plane().1 / cut.plane, line_sd };
    loop {
        trips += 1;
        let passes = rule.passes(method, aim);
        let each = f64::from(passes).sqrt();
        let common = each * spreads.saw_common.0.hypot(policy.saw_rounding.0) * deviates.normal();
        for (left, aim) in left.iter_mut().zip(aim) {
            *left -= match method {
                Method::Saw => (aim + common + each * spreads.saw_end.0 * deviates.normal()).max(0.0),
                Method::Plane if aim > 0.0 => (aim * factor + spreads.plane_end.0 * deviates.normal()).max(0.0),
                Method::Plane => 0.0,
            };
        }
        match method {
            Method::Saw => saw += passes,
            Method::Plane => plane += 1,
        }
        if trips >= MOST_TRIPS || left.iter().all(|left| *left <= enough) {
            return (trips, saw, plane);
        }
        // Each further look narrows the line, and the plane is known better once it was used.
        rule.line_sd = rule.line_sd.map(|sd| sd * 0.8);
        if plane == 1 && method == Method::Plane {
            rule.plane_sd *= KNOWN_AFTER_USE;
            factor = 1.0 + KNOWN_AFTER_USE * (factor - 1.0);
        }
        let seen = [0, 1].map(|end| (left[end] + rule.line_sd[end] * deviates.normal()).max(0.0));
        (method, aim) = rule.by_depth(seen);
    }
}

fn spread(mut counts: Vec<u32>) -> Spread {
    counts.sort_unstable();
    let at = |share: f64| counts.get(((counts.len() as f64 - 1.0) * share).round() as usize).copied().unwrap_or(0);
    Spread { median: at(0.5), most: at(0.9) }
}
