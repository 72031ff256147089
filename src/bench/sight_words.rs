//! Sightlines in words, in thousandths: a step is seen long before a feeler tells it.

use crate::contract::hinges::small;
use crate::fit::length::{Inches, Show};
use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::Plan;
use crate::fit::sightline::{Sightline, sightlines};

/// A sightline, and whether it steps by more than the tolerance.
pub fn all(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<(bool, String)> {
    let within = problem.tolerance.inches() + 1e-9;
    let said = |line: &Sightline| {
        let steps = line.step.0.abs() > within;
        (steps, words(problem, line, steps, show))
    };
    sightlines(problem, plan).iter().map(said).collect()
}

fn words(problem: &FitProblem, line: &Sightline, steps: bool, show: Show) -> String {
    let id = |place: usize| problem.leaves.get(place).map_or("", |leaf| leaf.id.as_str());
    let [one, other] = line.leaves;
    let step = small(Inches(line.step.0.abs()).length(), show);
    let names = match line.edge {
        Edge::Top => "tops",
        Edge::Bottom => "bottoms",
        Edge::Left => "left sides",
        Edge::Right => "right sides",
    };
    // Whose edge stands farther from the frame.
    let far = id(if line.step.0 > 0.0 { one } else { other });
    let way = match line.edge {
        Edge::Top => format!("{far} lower"),
        Edge::Bottom => format!("{far} higher"),
        Edge::Left => format!("{far} farther right"),
        Edge::Right => format!("{far} farther left"),
    };
    let pair = format!("{names} of {} and {}", id(one), id(other));
    if step.trim_end_matches("mm").chars().all(|c| matches!(c, '0' | '.')) {
        return format!("sightline: {pair} run on in one line");
    }
    if steps {
        format!("sightline: {pair} step by {step}, {way}")
    } else {
        format!("sightline: {pair} step by {step} only, {way}")
    }
}
