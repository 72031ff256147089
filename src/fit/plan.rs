//! Plans: reach, fewest cuts, least wood or even stiles; verdicts as values, never sentences.

pub use super::caveats::{DEEP_CUT, Warning};
use super::choose::{Candidate, Chooser, Chosen, SERVES_SLACK};
use super::length::{Inches, Length, Radians, SquareInches};
use super::lp::LpError;
use super::network::{Layout, Network, ProblemFault, Unknown, edge_inches};
use super::opening::{Edge, Facing, FitProblem, Motion, Prefer};
use super::reach;

/// A removal below this is no cut: far below what any tool can take.
pub const NO_CUT: f64 = 1e-9;

/// The answer in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Every station is within tolerance as it sits.
    Fitted,
    /// Moving the leaf is enough.
    Move,
    /// Packing or letting in a hinge is enough.
    Pack,
    /// Edges must be trimmed.
    Cut,
    /// Trimming alone cannot do it.
    Short,
}

impl Verdict {
    /// The word used in files and on the screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fitted => "fitted",
            Self::Move => "move",
            Self::Pack => "pack",
            Self::Cut => "cut",
            Self::Short => "short",
        }
    }
}

/// A leaf's motion from where it was read: shift, then turn about its centre.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pose {
    /// Shift to the right.
    pub right: Inches,
    /// Shift up.
    pub up: Inches,
    /// Turn, anticlockwise.
    pub turn: Radians,
}

/// Packing (positive) or letting in (negative) at one hinge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HingePack {
    /// Height of the hinge above the leaf's lower end.
    pub hinge: Length,
    /// Out from the hinge edge of the frame.
    pub out: Inches,
}

/// Wood to take off one edge: a straight cut, at the leaf's own corners.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trim {
    /// Which edge.
    pub edge: Edge,
    /// Removal at the lower or left corner.
    pub start: Inches,
    /// Removal at the upper or right corner.
    pub end: Inches,
}

/// What a plan does to one leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafPlan {
    /// How it moves.
    pub motion: Pose,
    /// What is packed or let in (hung leaves only).
    pub packs: Vec<HingePack>,
    /// What is cut; an edge that is not cut is not listed.
    pub trims: Vec<Trim>,
}

/// The gap at one station, as it sits and as the plan leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Along the first-named leaf's edge.
    pub at: Length,
    /// Gap as read.
    pub now: Inches,
    /// Gap expected after the plan.
    pub after: Inches,
}

/// One gap line before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct GapForecast {
    /// The two bodies.
    pub between: [Facing; 2],
    /// The reveal wanted.
    pub target: Length,
    /// Its stations, in the order they were read.
    pub stations: Vec<Station>,
}

/// A strip of uniform thickness glued to an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Thinnest that brings the worst miss to half the tolerance.
    pub thickness: Inches,
}

/// A whole plan for one opening.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The answer in one word.
    pub verdict: Verdict,
    /// Worst miss as it sits.
    pub now: Inches,
    /// Smallest possible worst miss, trims allowed on every edge that may be cut.
    pub reach: Inches,
    /// Smallest single reveal to which all gaps can be brought within half the tolerance.
    pub even_reveal: Option<Inches>,
    /// Worst miss the plan leaves.
    pub worst_after: Inches,
    /// Sum of the misses the plan leaves, over all stations.
    pub sum_after: Inches,
    /// Wood the plan takes off.
    pub wood: SquareInches,
    /// One for each leaf.
    pub leaves: Vec<LeafPlan>,
    /// One for each gap line.
    pub gaps: Vec<GapForecast>,
    /// For a short opening: thinnest strip per edge, thinnest first.
    pub strips: Vec<Strip>,
    /// For a short opening: locked edges that, unlocked, would do it.
    pub unlock: Vec<(usize, Edge)>,
    /// What the user should know.
    pub warnings: Vec<Warning>,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// Nothing was read.
    #[error("no gap has a reading yet")]
    NothingRead,
    /// The problem contradicts itself.
    #[error("{0}")]
    Malformed(#[from] ProblemFault),
    /// The solver failed its own check: our fault.
    #[error(
        "the solver failed its own check ({reason}) at {stage}; nothing was changed; please report the problem file"
    )]
    Solver {
        /// Which stage of the plan.
        stage: &'static str,
        /// What it said.
        reason: LpError,
    },
}

/// What the planner is asked beyond the problem itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Use every edge that may be cut instead of the fewest (a hair more even for more cuts).
    pub every_edge: bool,
    /// Override the problem's preference.
    pub prefer: Option<Prefer>,
}

/// The plans to choose from, side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternatives {
    /// Fewest cuts, least wood.
    pub least_wood: Plan,
    /// Fewest cuts, stiles and rails losing alike.
    pub even_stiles: Plan,
    /// Every edge that may be cut.
    pub every_edge: Plan,
}

/// Why an edge is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reason {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// Least worst miss with the plan's other cuts but not this one.
    pub without_it: Inches,
    /// Least worst miss with every edge that may be cut but this one.
    pub any_other_way: Inches,
}

fn failed(stage: &'static str) -> impl Fn(LpError) -> PlanError {
    move |reason| PlanError::Solver { stage, reason }
}

/// The plan for `problem`, chosen as the house model says: reach, fewest cuts, least worst miss,
/// least sum of misses, then least wood or even stiles, then the stated tie-break.
pub fn plan(problem: &FitProblem, options: Options) -> Result<Plan, PlanError> {
    let network = Network::new(problem)?;
    if let Some(hung) = problem.leaves.iter().find(|leaf| matches!(leaf.motion, Motion::Hung(_))) {
        let what = "a hung leaf cannot be planned yet; use \"free\" (off its hinges) or \"fixed\" (hinges left alone)";
        return Err(ProblemFault::Hanging { leaf: hung.id.clone(), what }.into());
    }
    if network.stations.is_empty() {
        return Err(PlanError::NothingRead);
    }
    let misses = network.misses();
    let tolerance = problem.tolerance.inches();
    let half = tolerance / 2.0;
    let now = misses.iter().fold(0.0_f64, |worst, miss| worst.max(miss.abs()));
    let chooser = Chooser::new(problem, &network, &misses, options.prefer.unwrap_or(problem.prefer));
    let all = chooser.candidates.clone();
    let reach = chooser.worst(&all).map_err(failed("reach"))?;
    let short = reach > tolerance + SERVES_SLACK;
    let fitted = now <= tolerance + SERVES_SLACK;
    let chosen = if fitted {
        Chosen { set: Vec::new(), x: Vec::new() }
    } else if options.every_edge {
        chooser.every_edge().map_err(failed("every edge"))?
    } else {
        chooser.fewest(reach.max(half)).map_err(failed("fewest cuts"))?
    };
    let mut plan = assemble(problem, &network, &chosen);
    plan.now = Inches(now);
    plan.reach = Inches(reach);
    plan.even_reveal = reach::even_reveal(problem, &network, &all, half).map_err(failed("even reveal"))?.map(Inches);
    plan.verdict = match (fitted, short, plan.leaves.iter().all(|leaf| leaf.trims.is_empty())) {
        (true, _, _) => Verdict::Fitted,
        (_, true, _) => Verdict::Short,
        (_, _, true) => Verdict::Move,
        (_, _, false) => Verdict::Cut,
    };
    if short && !fitted {
        plan.strips = reach::strips(problem, &network, &all, &misses, half)
            .map_err(failed("strips"))?
            .into_iter()
            .map(|(leaf, edge, thickness)| Strip { leaf, edge, thickness: Inches(thickness) })
            .collect();
        plan.unlock = chooser.unlocks(&all, &read_edges(problem, &network), tolerance).map_err(failed("unlock"))?;
    }
    plan.warnings = super::caveats::warnings(problem, &network, &plan);
    Ok(plan)
}

/// The three plans side by side.
pub fn alternatives(problem: &FitProblem) -> Result<Alternatives, PlanError> {
    let ask = |every_edge, prefer| plan(problem, Options { every_edge, prefer: Some(prefer) });
    Ok(Alternatives {
        least_wood: ask(false, Prefer::LeastWood)?,
        even_stiles: ask(false, Prefer::EvenStiles)?,
        every_edge: ask(true, problem.prefer)?,
    })
}

/// Why each edge of a plan is cut.
pub fn reasons(problem: &FitProblem, plan: &Plan) -> Result<Vec<Reason>, PlanError> {
    let network = Network::new(problem)?;
    if network.stations.is_empty() {
        return Err(PlanError::NothingRead);
    }
    let misses = network.misses();
    let chooser = Chooser::new(problem, &network, &misses, Prefer::LeastWood);
    let cut: Vec<Candidate> = plan
        .leaves
        .iter()
        .enumerate()
        .flat_map(|(leaf, described)| described.trims.iter().map(move |trim| (leaf, trim.edge)))
        .collect();
    let without = |set: &[Candidate], edge: Candidate| -> Result<Inches, PlanError> {
        let rest: Vec<Candidate> = set.iter().copied().filter(|&other| other != edge).collect();
        chooser.worst(&rest).map(Inches).map_err(failed("reasons"))
    };
    cut.iter()
        .map(|&(leaf, edge)| {
            let without_it = without(&cut, (leaf, edge))?;
            let any_other_way = without(&chooser.candidates, (leaf, edge))?;
            Ok(Reason { leaf, edge, without_it, any_other_way })
        })
        .collect()
}

/// From the solver's columns to a plan (verdict and the reach still to be filled in).
fn assemble(problem: &FitProblem, network: &Network, chosen: &Chosen) -> Plan {
    let layout = network.layout();
    let value = |column: usize| chosen.x.get(column).copied().unwrap_or(0.0);
    let pose = |leaf, axis| {
        let (plus, minus) = Layout::pose(leaf, axis);
        value(plus) - value(minus)
    };
    let mut wood = 0.0;
    let mut leaves = Vec::with_capacity(problem.leaves.len());
    for (leaf, (described, frame)) in problem.leaves.iter().zip(&network.leaves).enumerate() {
        let motion =
            Pose { right: Inches(pose(leaf, 0)), up: Inches(pose(leaf, 1)), turn: Radians(pose(leaf, 2) / frame.arm) };
        let mut trims = Vec::new();
        for &(_, edge) in chosen.set.iter().filter(|(of, _)| *of == leaf) {
            let (start, end) = (value(layout.trim(leaf, edge, 0)), value(layout.trim(leaf, edge, 1)));
            if start.max(end) > NO_CUT {
                wood += edge_inches(described, edge) * f64::midpoint(start, end);
                trims.push(Trim { edge, start: Inches(start), end: Inches(end) });
            }
        }
        leaves.push(LeafPlan { motion, packs: Vec::new(), trims });
    }
    let mut gaps: Vec<GapForecast> = problem
        .gaps
        .iter()
        .map(|line| GapForecast { between: line.between, target: line.target, stations: Vec::new() })
        .collect();
    let (mut worst, mut sum) = (0.0_f64, 0.0);
    for row in &network.stations {
        let change: f64 = row
            .terms
            .iter()
            .map(|&(unknown, coefficient)| {
                coefficient
                    * match unknown {
                        Unknown::Pose { leaf, axis } => pose(leaf, axis),
                        Unknown::Trim { leaf, edge, end } => value(layout.trim(leaf, edge, end)),
                    }
            })
            .sum();
        let after = row.now + change;
        let miss = (after - row.target).abs();
        worst = worst.max(miss);
        sum += miss;
        if let Some(gap) = gaps.get_mut(row.gap) {
            gap.stations.push(Station { at: row.at, now: Inches(row.now), after: Inches(after) });
        }
    }
    Plan {
        verdict: Verdict::Fitted,
        now: Inches(0.0),
        reach: Inches(0.0),
        even_reveal: None,
        worst_after: Inches(worst),
        sum_after: Inches(sum),
        wood: SquareInches(wood),
        leaves,
        gaps,
        strips: Vec::new(),
        unlock: Vec::new(),
        warnings: Vec::new(),
    }
}

fn read_edges(problem: &FitProblem, network: &Network) -> Vec<Candidate> {
    (0..problem.leaves.len())
        .flat_map(|leaf| Edge::ALL.into_iter().map(move |edge| (leaf, edge)))
        .filter(|&(leaf, edge)| network.is_read(leaf, edge))
        .collect()
}
