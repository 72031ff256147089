//! Sightlines in words, in thousandths: a step is seen long before a feeler tells it.

use crate::contract::hinges::small;
use crate::fit::length::{Inches, Show};
use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::Plan;
use crate::fit::sightline::{Sightline, sightlines};

/// How a sightline runs from leaf to leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// It steps by more than the tolerance.
    Steps,
    /// It steps by less.
    StepsLittle,
    /// In one line, to the thousandth.
    InLine,
}

/// Every sightline, and how it runs; the one that steps most first, of those alike the tops: they are at the eye.
pub fn all(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<(Runs, String)> {
    let within = problem.tolerance.inches() + 1e-9;
    let said = |line: &Sightline| {
        let step = small(Inches(line.step.0.abs()).length(), show);
        let runs = if step.trim_end_matches("mm").chars().all(|c| matches!(c, '0' | '.')) {
            Runs::InLine
        } else if line.step.0.abs() > within {
            Runs::Steps
        } else {
            Runs::StepsLittle
        };
        (runs, words(problem, line, runs, &step))
    };
    let mut all = sightlines(problem, plan);
    let shown = |line: &Sightline| (line.step.0.abs() * 1000.0).round();
    let top = |line: &Sightline| line.edge == Edge::Top;
    all.sort_by(|one, other| shown(other).total_cmp(&shown(one)).then(top(other).cmp(&top(one))));
    all.iter().map(said).collect()
}

fn words(problem: &FitProblem, line: &Sightline, runs: Runs, step: &str) -> String {
    let id = |place: usize| problem.leaves.get(place).map_or("", |leaf| leaf.id.as_str());
    let [one, other] = line.leaves;
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
    match runs {
        Runs::InLine => format!("sightline: {pair} run on in one line"),
        Runs::Steps => format!("sightline: {pair} step by {step}, {way}"),
        Runs::StepsLittle => format!("sightline: {pair} step by {step} only, {way}"),
    }
}
