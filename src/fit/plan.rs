//! Plans: reach, fewest cuts, least wood or even stiles; verdicts as values, never sentences.

pub use super::assembly::NO_CUT;
use super::assembly::{assemble, read_edges};
pub use super::caveats::{DEEP_CUT, Warning};
use super::choose::{Candidate, Chooser, Chosen, SERVES_SLACK};
use super::hung::MOST_STOCK;
use super::length::{Inches, Length, Radians, SquareInches};
use super::lp::LpError;
use super::network::{Network, ProblemFault};
use super::opening::{Edge, Facing, FitProblem, Prefer};
use super::packing::{Packing, Settled};
use super::reach;

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

/// Packing (positive) or letting in (negative) at one hinge, or turning its side screw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HingePack {
    /// Height of the hinge above the leaf's lower end.
    pub hinge: Length,
    /// Out from the hinge edge of the frame.
    pub out: Inches,
    /// Pieces of each pack stock, in the order the leaf's stock is listed (none of a screw).
    pub counts: [u8; MOST_STOCK],
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
    /// What is packed, let in or screwed out (hung leaves only), lowest hinge first; a hinge that is
    /// left alone is not listed.
    pub packs: Vec<HingePack>,
    /// How far the height screws raise it (hung leaves only).
    pub raise: Inches,
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
    /// Smallest single reveal to which all gaps can be brought within half the tolerance (hinges as the
    /// plan leaves them).
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
    /// For a short opening: thinnest strip per edge, thinnest first (hinges as the plan leaves them).
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
/// least sum of misses, then least wood or even stiles, then the stated tie-break. Hung leaves are
/// packed, let in or screwed before anything is cut, by the rule of [`super::packing`].
pub fn plan(problem: &FitProblem, options: Options) -> Result<Plan, PlanError> {
    let network = Network::new(problem)?;
    if network.stations.is_empty() {
        return Err(PlanError::NothingRead);
    }
    let misses = network.misses();
    let tolerance = problem.tolerance.inches();
    let half = tolerance / 2.0;
    let now = misses.iter().fold(0.0_f64, |worst, miss| worst.max(miss.abs()));
    let mut packing = Packing::new(problem, &network, &misses, options.prefer.unwrap_or(problem.prefer));
    let all = packing.at(0).candidates.clone();
    let (reach, nearest) = packing.reach().map_err(failed("reach"))?;
    let short = reach > tolerance + SERVES_SLACK;
    let fitted = now <= tolerance + SERVES_SLACK;
    let settled = if fitted {
        Settled { chosen: Chosen { set: Vec::new(), x: Vec::new(), greedy: false }, setting: 0 }
    } else if options.every_edge {
        packing.settled(reach.max(half), true).map_err(failed("every edge"))?
    } else if packing.is_single() {
        let chosen = packing.at(0).fewest(reach.max(half)).map_err(failed("fewest cuts"))?;
        Settled { chosen, setting: 0 }
    } else {
        packing.settled(reach.max(half), false).map_err(failed("fewest cuts"))?
    };
    let mut plan = assemble(problem, &network, &settled.chosen, packing.setting(settled.setting));
    plan.now = Inches(now);
    plan.reach = Inches(reach);
    let set = packing.setting(settled.setting).map_or_else(Vec::new, |setting| setting.axes.clone());
    let gaps: Vec<f64> = network.stations.iter().map(|station| station.now).collect();
    plan.even_reveal = reach::even_reveal(problem, &network, &all, &network.shifted(&gaps, &set), half)
        .map_err(failed("even reveal"))?
        .map(Inches);
    let packed = plan.leaves.iter().any(|leaf| !leaf.packs.is_empty() || leaf.raise != Inches(0.0));
    let cut = plan.leaves.iter().any(|leaf| !leaf.trims.is_empty());
    plan.verdict = match (fitted, short, cut, packed) {
        (true, ..) => Verdict::Fitted,
        (_, true, ..) => Verdict::Short,
        (_, _, true, _) => Verdict::Cut,
        (_, _, _, true) => Verdict::Pack,
        _ => Verdict::Move,
    };
    if short && !fitted {
        plan.strips = reach::strips(problem, &network, &all, &network.shifted(&misses, &set), half)
            .map_err(failed("strips"))?
            .into_iter()
            .map(|(leaf, edge, thickness)| Strip { leaf, edge, thickness: Inches(thickness) })
            .collect();
        let edges = read_edges(problem, &network);
        plan.unlock = packing.at(nearest).unlocks(&all, &edges, tolerance).map_err(failed("unlock"))?;
    }
    plan.warnings = super::caveats::warnings(problem, &network, &plan);
    if settled.chosen.greedy {
        plan.warnings.push(Warning::NotProvedFewest { edges: all.len() });
    }
    if packing.cropped {
        plan.warnings.push(Warning::NotAllSettings);
    }
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
    let misses = network.shifted(&network.misses(), &super::assembly::stepped(&network, plan));
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
