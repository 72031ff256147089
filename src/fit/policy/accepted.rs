//! A plan that was accepted, shown again: its own cuts and packs, whatever would be advised now.

use super::depth::{self, Rule, allowed_tape};
use super::{Advice, AdviceError, CutAdvice, Next, Policy, passes};
use crate::fit::estimate::{Estimate, EstimateError, Method};
use crate::fit::given::{GivenLeaf, plan_given};
use crate::fit::length::Inches;
use crate::fit::opening::{Edge, FitProblem};
use crate::fit::plan::{HingePack, Trim};

/// A cut as it was accepted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutGiven {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// By what means it is done; `None` where that was not kept: its depth decides.
    pub method: Option<Method>,
    /// Wood to the line at the lower or left corner, and at the other.
    pub line: [Inches; 2],
    /// Wood to take at the same corners.
    pub aim: [Inches; 2],
    /// Wood to take instead if it is done by the other means.
    pub aim_otherwise: [Inches; 2],
    /// What a stroke takes over the shop's figure, and a layer under pressure, where they were kept.
    pub factors: Option<[f64; 2]>,
}

/// A plan as it was accepted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanGiven {
    /// Its cuts.
    pub cuts: Vec<CutGiven>,
    /// For each leaf (place in the list) what its hinges get, and how far its height screws take it up.
    pub packs: Vec<(usize, HingePack)>,
    /// Leaves that height screws take up, and how far.
    pub raised: Vec<(usize, Inches)>,
}

/// `fresh` with the cuts and packs of `given` in place of its own: the plan, the cuts and the passes are those of
/// what was accepted, the doubt is what it is now.
pub fn advise_given(
    given: &PlanGiven,
    fresh: &Advice,
    estimate: &Estimate,
    policy: &Policy,
) -> Result<Advice, AdviceError> {
    let problem = estimate.problem(policy.tolerance, policy.prefer);
    let cuts = given.cuts.iter().map(|cut| as_advised(cut, estimate, policy)).collect::<Result<Vec<_>, _>>()?;
    let mut plan = plan_given(&problem, &leaves(given, &problem))?;
    plan.reach = fresh.plan.reach;
    let packs = super::packs(&plan);
    let (next, moved) = match (cuts.is_empty(), packs) {
        (true, true) => (Next::Pack(Vec::new()), plan.clone()),
        _ => (Next::Cut(cuts.clone()), fresh.moved.clone()),
    };
    let passes = (!cuts.is_empty()).then(|| passes::forecast(estimate, policy, &cuts));
    Ok(Advice { next, cuts, plan, moved, doubt: fresh.doubt, doubtful: fresh.doubtful, passes })
}

fn leaves(given: &PlanGiven, problem: &FitProblem) -> Vec<GivenLeaf> {
    let mut leaves = vec![GivenLeaf::default(); problem.leaves.len()];
    for cut in &given.cuts {
        if let Some(leaf) = leaves.get_mut(cut.leaf) {
            leaf.trims.retain(|trim| trim.edge != cut.edge);
            leaf.trims.push(Trim { edge: cut.edge, start: cut.line[0], end: cut.line[1] });
        }
    }
    for (place, pack) in &given.packs {
        if let Some(leaf) = leaves.get_mut(*place) {
            leaf.packs.push(*pack);
        }
    }
    for (place, by) in &given.raised {
        if let Some(leaf) = leaves.get_mut(*place) {
            leaf.raise = *by;
        }
    }
    leaves
}

/// The cut with the spreads that are known now.
fn as_advised(cut: &CutGiven, estimate: &Estimate, policy: &Policy) -> Result<CutAdvice, EstimateError> {
    let line = Trim { edge: cut.edge, start: cut.line[0], end: cut.line[1] };
    let deepest = cut.aim[0].0.max(cut.aim[1].0);
    let by_depth = if deepest >= policy.saw_from.0 { Method::Saw } else { Method::Plane };
    let method = cut.method.unwrap_or(by_depth);
    let known = depth::advise(estimate, policy, cut.leaf, line, Some(&|_| vec![method]))?;
    let [plane, tape] = cut.factors.unwrap_or([known.plane, allowed_tape(known.tape)]);
    let rule = Rule { estimate, policy, plane_sd: estimate.plane().1 / plane, line_sd: known.line_sd.map(|sd| sd.0) };
    let cut_sd = rule.cut_sd(method, cut.aim.map(|aim| aim.0)).map(Inches);
    Ok(CutAdvice {
        method,
        aim: cut.aim,
        aim_otherwise: cut.aim_otherwise,
        line: cut.line,
        cut_sd,
        plane,
        tape,
        ..known
    })
}
