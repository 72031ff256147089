//! Where wood is missing: what would help, in words.

use crate::fit::length::Show;
use crate::fit::opening::FitProblem;
use crate::fit::plan::Plan;

/// At what it can be even, the strip to glue on, the edges to allow; each a sentence.
pub fn what_helps(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<String> {
    let id = |leaf: usize| problem.leaves.get(leaf).map_or("?", |leaf| leaf.id.as_str());
    let mut lines = Vec::new();
    if let Some(reveal) = plan.even_reveal {
        lines.push(format!("It can be even all round at {}.", reveal.shown(show)));
    }
    if let Some(strip) = plan.strips.first() {
        let thickness = strip.thickness.shown(show);
        lines.push(format!("Or glue a strip of {thickness} on {}.{}.", id(strip.leaf), strip.edge));
    }
    for &(leaf, edge) in &plan.unlock {
        lines.push(format!("Or allow {}.{edge} to be cut.", id(leaf)));
    }
    lines
}
