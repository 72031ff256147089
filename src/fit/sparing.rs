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
/// `right` now goes beyond it: then the leaves that do not sag keep their hinges as they are.
pub fn plan_sparing(problem: &FitProblem, options: Options, right: Length) -> Result<Plan, PlanError> {
    let first = plan(problem, options)?;
    if !spoils(&first, right) {
        return Ok(first);
    }
    let mut held = problem.clone();
    for stance in stances(problem)? {
        let sags = matches!(stance.cause, Cause::Hinges | Cause::Both);
        if let Some(leaf) = held.leaves.get_mut(stance.leaf).filter(|_| !sags)
            && let Motion::Hung(hanging) = &mut leaf.motion
        {
            (hanging.pack, hanging.let_in, hanging.adjust) = (Length::ZERO, Length::ZERO, None);
            hanging.stock.clear();
        }
    }
    plan(&held, options)
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
