//! A plan's typed warnings in words.

use crate::fit::length::Show;
use crate::fit::opening::{Facing, FitProblem};
use crate::fit::plan::{Plan, Warning};

/// The warnings of a plan, one sentence each, with what to do next.
pub fn warnings(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<String> {
    plan.warnings.iter().map(|warning| sentence(problem, warning, show)).collect()
}

fn sentence(problem: &FitProblem, warning: &Warning, show: Show) -> String {
    let id = |leaf: usize| problem.leaves.get(leaf).map_or("?", |leaf| leaf.id.as_str());
    let line = |gap: usize| match problem.gaps.get(gap).map(|line| line.between) {
        Some(between) => {
            let names = between.map(|side| match side {
                Facing::Frame => "frame".to_owned(),
                Facing::Leaf { leaf, edge } => format!("{}.{edge}", id(leaf)),
            });
            names.join(" to ")
        }
        None => format!("gap line {gap}"),
    };
    match *warning {
        Warning::EdgeNeverRead { leaf, edge } => format!(
            "{}.{edge} has no reading: nothing is known of its gap and the plan pays no heed to it; read it before you cut",
            id(leaf)
        ),
        Warning::OneStationOnly { gap } => format!(
            "{} was read at one station only: its taper is not known; read it near the other end before you cut",
            line(gap)
        ),
        Warning::ReadingsDisagree { gap, at, by } => format!(
            "{}: two readings at {} are {} apart and cannot both be right; read that station again",
            line(gap),
            at.shown(show),
            by.length().shown_with_error(show)
        ),
        Warning::DeepCut { leaf, edge, removal } => format!(
            "{}.{edge} would lose {}: that is a lot; check the readings and the leaf's size before you cut",
            id(leaf),
            removal.length().shown_with_error(show)
        ),
        Warning::NotProvedFewest { edges } => format!(
            "{edges} edges may be cut, too many to try every set of them: this plan has few cuts, perhaps not the fewest; \
             lock the edges you do not want to cut"
        ),
        Warning::NotAllSettings => {
            "there are too many ways to pack these hinges to try them all: the likely ones were tried; another may take \
             fewer packs or less wood; name fewer thicknesses of stock to have all tried"
                .to_owned()
        }
    }
}
