//! Plans that leave the hinges of an out-of-square leaf alone.
//!
//! The least worst miss alone would turn such a leaf until right gaps are wrong, and leave it short all the same: no
//! hinge rights what is out of square ([`super::sag`]).

use super::length::{Inches, Length};
use super::opening::{FitProblem, Motion};
use super::plan::{GapForecast, Options, Plan, PlanError, plan};
use super::sag::{Cause, stances};

/// Inches below which a miss is no miss.
const SLACK: f64 = 1e-6;

/// [`plan`], unless it changes hinges, some gap stays out by more than `right` all the same, and one that is within
/// `right` now goes beyond it: then the leaves that do not sag keep their hinges as they are. Where those that do sag
/// still bring right gaps out for less than half of `right` (far less than a feeler tells), no hinge is changed at all.
pub fn plan_sparing(problem: &FitProblem, options: Options, right: Length) -> Result<Plan, PlanError> {
    let first = plan(problem, options)?;
    if !spoils(&first, right) {
        return Ok(first);
    }
    let sags: Vec<usize> = stances(problem)?
        .into_iter()
        .filter(|stance| matches!(stance.cause, Cause::Hinges | Cause::Both))
        .map(|stance| stance.leaf)
        .collect();
    let righted = plan(&held(problem, |leaf| !sags.contains(&leaf)), options)?;
    if sags.is_empty() || !spoils(&righted, right) {
        return Ok(righted);
    }
    let left = plan(&held(problem, |_| true), options)?;
    let gains = left.worst_after.0 - righted.worst_after.0 >= right.inches() / 2.0;
    Ok(if gains { righted } else { left })
}

/// The same with the hinges of `leaves` as they are.
fn held(problem: &FitProblem, leaves: impl Fn(usize) -> bool) -> FitProblem {
    let mut held = problem.clone();
    for (_, leaf) in held.leaves.iter_mut().enumerate().filter(|(place, _)| leaves(*place)) {
        if let Motion::Hung(hanging) = &mut leaf.motion {
            (hanging.pack, hanging.let_in, hanging.adjust) = (Length::ZERO, Length::ZERO, None);
            hanging.stock.clear();
        }
    }
    held
}

/// Does it change a hinge for a plan that is short, and bring a gap out that is right now?
fn spoils(plan: &Plan, right: Length) -> bool {
    let within = right.inches() + SLACK;
    let changes = plan.leaves.iter().any(|leaf| !leaf.packs.is_empty() || leaf.raise != Inches(0.0));
    let miss = |line: &GapForecast, gap: Inches| (gap.0 - line.target.inches()).abs();
    let mut stations = plan.gaps.iter().flat_map(|line| line.stations.iter().map(move |station| (line, station)));
    changes
        && plan.reach.0 > within
        && stations.any(|(line, station)| miss(line, station.now) <= within && miss(line, station.after) > within)
}
