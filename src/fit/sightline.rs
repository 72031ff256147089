//! Sightlines: where two leaves meet, do their edges run on in one line?
//!
//! The tops of a pair are seen against each other at the meeting stiles, as are the sides of stacked fronts at
//! their joint. The frame runs straight past both, so the step is the difference of the two gaps to it, each
//! carried to the meeting corner along the least-squares line of its stations.

use super::length::Inches;
use super::opening::{Edge, Facing, FitProblem};
use super::plan::{GapForecast, Plan, Station};

/// The step between two edges that should run on in one line, as the plan leaves them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sightline {
    /// The two leaves that meet (places in the list).
    pub leaves: [usize; 2],
    /// Which edge of both.
    pub edge: Edge,
    /// How much farther from the frame the first leaf's edge stands than the second's, where they meet.
    pub step: Inches,
}

/// Every sightline that the readings tell, after `plan`.
pub fn sightlines(problem: &FitProblem, plan: &Plan) -> Vec<Sightline> {
    let mut found = Vec::new();
    for line in &problem.gaps {
        let [Facing::Leaf { leaf: one, edge }, Facing::Leaf { leaf: other, edge: faced }] = line.between else {
            continue;
        };
        let across = if edge.is_upright() { [Edge::Top, Edge::Bottom] } else { [Edge::Left, Edge::Right] };
        for seen in across {
            let here = at_corner(problem, plan, one, seen, edge);
            let there = at_corner(problem, plan, other, seen, faced);
            if let (Some(here), Some(there)) = (here, there) {
                found.push(Sightline { leaves: [one, other], edge: seen, step: Inches(here - there) });
            }
        }
    }
    found
}

/// The gap to the frame along `edge` of a leaf at the corner where its edge `toward` begins, in.
fn at_corner(problem: &FitProblem, plan: &Plan, leaf: usize, edge: Edge, toward: Edge) -> Option<f64> {
    let own = Facing::Leaf { leaf, edge };
    let to_frame = |gap: &&GapForecast| gap.between.contains(&own) && gap.between.contains(&Facing::Frame);
    let stations = &plan.gaps.iter().find(to_frame)?.stations;
    let length = problem.leaves.get(leaf)?.edge_length(edge).inches();
    let corner = if matches!(toward, Edge::Right | Edge::Top) { length } else { 0.0 };
    line_at(stations, corner)
}

/// The least-squares line through stations that lie an inch or more apart, at a place along it, in.
fn line_at(stations: &[Station], along: f64) -> Option<f64> {
    let count = stations.len() as f64;
    let places: Vec<(f64, f64)> = stations.iter().map(|one| (one.at.inches(), one.after.0)).collect();
    let mean = |pick: fn(&(f64, f64)) -> f64| places.iter().map(pick).sum::<f64>() / count;
    let (x, y) = (mean(|one| one.0), mean(|one| one.1));
    let spread: f64 = places.iter().map(|one| (one.0 - x).powi(2)).sum();
    let both: f64 = places.iter().map(|one| (one.0 - x) * (one.1 - y)).sum();
    (spread > 0.5).then(|| y + both / spread * (along - x))
}
