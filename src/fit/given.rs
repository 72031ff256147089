//! A plan whose cuts and packs are given: what is left to find is where the loose leaves sit best.
//!
//! A plan that was accepted is shown by this, whatever would be advised now.

use super::choose::Chooser;
use super::hung::{AXES, Hung, MOST_STOCK, Step, Way};
use super::length::Inches;
use super::lp::LpError;
use super::network::{Network, Unknown};
use super::opening::{EdgeSet, FitProblem, Motion, Prefer};
use super::packing::Setting;
use super::plan::{HingePack, Plan, PlanError, Trim, Verdict};

/// A pack within this of a step is that step, in.
const SAME_PACK: f64 = 1e-6;

/// What is given of one leaf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GivenLeaf {
    /// Its cuts, at most one for each edge.
    pub trims: Vec<Trim>,
    /// What its hinges get.
    pub packs: Vec<HingePack>,
    /// How far its height screws take it up.
    pub raise: Inches,
}

/// The plan with these cuts and packs and no others, one of `given` for each leaf of `problem`: each loose leaf
/// moved so that the worst miss is least, then the sum of misses, then by the stated tie-break. Its `reach` is its
/// own worst miss.
pub fn plan_given(problem: &FitProblem, given: &[GivenLeaf]) -> Result<Plan, PlanError> {
    let network = Network::new(problem)?;
    if network.stations.is_empty() {
        return Err(PlanError::NothingRead);
    }
    let misses = network.misses();
    let now = misses.iter().fold(0.0_f64, |worst, miss| worst.max(miss.abs()));
    let axes: Vec<[f64; AXES]> = (0..problem.leaves.len()).map(|leaf| axes(&network, leaf, given.get(leaf))).collect();
    let mut wanted = network.shifted(&misses, &axes);
    for (row, miss) in network.stations.iter().zip(&mut wanted) {
        *miss += row.terms.iter().map(|&(unknown, share)| share * removal(given, unknown)).sum::<f64>();
    }
    let held = held(problem);
    let frozen = Network::new(&held)?;
    let chooser = Chooser::new(&held, &frozen, &wanted, Prefer::LeastWood);
    let failed = |reason: LpError| PlanError::Solver { stage: "given cuts", reason };
    let mut chosen = chooser.every_edge().map_err(failed)?;
    let layout = network.layout();
    for (leaf, trim) in given.iter().take(problem.leaves.len()).enumerate().flat_map(each_trim) {
        chosen.set.push((leaf, trim.edge));
        for (end, amount) in [trim.start, trim.end].into_iter().enumerate() {
            if let Some(column) = chosen.x.get_mut(layout.trim(leaf, trim.edge, end)) {
                *column = amount.get();
            }
        }
    }
    let setting = Setting { axes, hinges: Vec::new(), raised: Vec::new(), effort: (0, 0, 0) };
    let mut plan = super::assembly::assemble(problem, &network, &chosen, Some(&setting));
    for (leaf, given) in plan.leaves.iter_mut().zip(given) {
        leaf.packs.clone_from(&given.packs);
        leaf.raise = given.raise;
    }
    for (leaf, frame) in plan.leaves.iter_mut().zip(&network.leaves) {
        let Some(hung) = frame.hung.as_ref().filter(|hung| !hung.screwed) else { continue };
        for pack in &mut leaf.packs {
            pack.counts = pieces(hung, pack).unwrap_or(pack.counts);
        }
    }
    plan.now = Inches(now);
    plan.reach = plan.worst_after;
    let cut = plan.leaves.iter().any(|leaf| !leaf.trims.is_empty());
    let packed = plan.leaves.iter().any(|leaf| !leaf.packs.is_empty() || leaf.raise != Inches(0.0));
    plan.verdict = match (cut, packed) {
        (true, _) => Verdict::Cut,
        (_, true) => Verdict::Pack,
        _ => Verdict::Move,
    };
    plan.warnings = super::caveats::warnings(problem, &network, &plan);
    Ok(plan)
}

/// Of which pieces of stock a pack is made.
fn pieces(hung: &Hung, pack: &HingePack) -> Option<[u8; MOST_STOCK]> {
    let place = hung.hinges.iter().position(|&hinge| hinge == pack.hinge)?;
    let Way::Steps(steps) = hung.sides.get(place)? else { return None };
    let same = |step: &&Step| (step.out.inches() - pack.out.get()).abs() <= SAME_PACK;
    steps.iter().find(same).map(|step| step.counts)
}

fn each_trim((leaf, given): (usize, &GivenLeaf)) -> impl Iterator<Item = (usize, &Trim)> {
    given.trims.iter().map(move |trim| (leaf, trim))
}

/// What is taken at one corner of one edge, in.
fn removal(given: &[GivenLeaf], unknown: Unknown) -> f64 {
    let Unknown::Trim { leaf, edge, end } = unknown else { return 0.0 };
    let trims = given.get(leaf).map_or(&[][..], |leaf| &leaf.trims);
    let own = trims.iter().find(|trim| trim.edge == edge);
    own.map_or(0.0, |trim| if end == 0 { trim.start.get() } else { trim.end.get() })
}

/// The axes of a hung leaf with its packs in place, in; zeros where it is loose.
fn axes(network: &Network, leaf: usize, given: Option<&GivenLeaf>) -> [f64; AXES] {
    let hung = network.leaves.get(leaf).and_then(|frame| frame.hung.as_ref());
    let (Some(hung), Some(given)) = (hung, given) else { return [0.0; AXES] };
    let at = |hinge| {
        let pack = given.packs.iter().find(|pack| Some(&pack.hinge) == hinge);
        pack.map_or(0.0, |pack| pack.out.get())
    };
    [at(hung.hinges.first()), given.raise.get(), at(hung.hinges.last())]
}

/// The same problem with no edge to cut and every hung leaf left where it is.
fn held(problem: &FitProblem) -> FitProblem {
    let mut held = problem.clone();
    for leaf in &mut held.leaves {
        leaf.may_cut = EdgeSet::NONE;
        if matches!(leaf.motion, Motion::Hung(_)) {
            leaf.motion = Motion::Fixed;
        }
    }
    held
}
