//! What to do next: look again, cut and how deep, or leave it, with how sure each is.
//!
//! One function, [`advise`], decides from the estimate; the screen and the simulated shop both call it.

pub mod accepted;
mod asks;
pub mod chance;
pub mod depth;
pub mod doubt;
pub mod passes;

pub use depth::{CutAdvice, Means};
pub use passes::{EdgePasses, Passes, Spread};

use super::estimate::{Belief, Estimate, EstimateError, Review};
use super::length::{Inches, Length};
use super::opening::{EdgeSet, FitProblem, Prefer};
use super::plan::{Options, Plan, PlanError, Verdict};
use super::sparing::plan_sparing;

/// How willing the user is to go over the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Risk {
    /// Standard deviations that a cut stays short of the line.
    pub k: f64,
}

impl Risk {
    /// About one sawn end in how many goes over its line (rounded as one would say it; 40 for k = 2).
    pub fn one_in(self) -> u32 {
        one_in(chance::above(self.k))
    }
}

/// A chance as "one in how many", rounded as one would say it.
pub fn one_in(chance: f64) -> u32 {
    let many = 1.0 / chance.clamp(1e-6, 1.0);
    let step = if many < 10.0 {
        1.0
    } else if many < 30.0 {
        5.0
    } else if many < 200.0 {
        20.0
    } else {
        100.0
    };
    ((many / step).round() * step) as u32
}

impl Default for Risk {
    fn default() -> Self {
        Self { k: 2.0 }
    }
}

/// What the shop wants of a fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Policy {
    /// A station is even when its miss is within this.
    pub tolerance: Length,
    /// How short of the line to stay.
    pub risk: Risk,
    /// Choice between equally good plans.
    pub prefer: Prefer,
    /// Most doubt that a leaf called fitted may leave.
    pub doubt: f64,
    /// A saw cut is worth setting up from this depth.
    pub saw_from: Inches,
    /// Most that is planed off a corner in one go.
    pub most_planed: Inches,
    /// Standard deviation of what the steps of fence and rule add to a saw cut (a step over √12: GUM, JCGM
    /// 100:2008, 4.3.7).
    pub saw_rounding: Inches,
    /// What one pass of the saw may not reach: more is taken in several passes, each with its own error.
    pub kerf: Inches,
    /// Share of the tolerance that plans are made to (the rest is kept for errors).
    pub plan_to: f64,
    /// A reading likelier wrong than this is asked about.
    pub ask_from: f64,
    /// A reading likelier wrong than this (after all others were heard) is read a second time before a cut rests
    /// on it, and a third where two looks still leave it so. Readings that the rest bears out are below it: a
    /// straight edge's middle speaks for its ends, later rounds speak for each other.
    pub look_from: f64,
    /// The same before a leaf is called fitted, or where no cut is left to make.
    pub sure_from: f64,
    /// Most times that a station which leaves doubt is read in one round.
    pub most_readings: usize,
    /// Share of the tolerance that the plane may go past the line (it is not spoiled by that; the saw
    /// never may).
    pub plane_spare: f64,
    /// Plan with every edge that may be cut instead of the fewest.
    pub every_edge: bool,
}

impl Default for Policy {
    fn default() -> Self {
        Self {
            tolerance: Length::ratio(1, 64),
            risk: Risk::default(),
            prefer: Prefer::LeastWood,
            doubt: 0.02,
            saw_from: Inches(1.0 / 64.0),
            most_planed: Inches(f64::INFINITY),
            saw_rounding: Inches(0.0),
            kerf: Inches(f64::INFINITY),
            plan_to: 0.5,
            ask_from: 0.15,
            look_from: 0.01,
            sure_from: 0.004,
            most_readings: 5,
            plane_spare: 0.25,
            every_edge: false,
        }
    }
}

impl Policy {
    /// The same where `planned` leaves less of the tolerance than usual to go astray in: the plane may use up half
    /// of what is left, no more.
    fn with_room(&self, planned: &Plan) -> Self {
        let tolerance = self.tolerance.inches();
        let room = (tolerance - planned.worst_after.0).max(0.0) / tolerance.max(f64::MIN_POSITIVE);
        Self { plane_spare: self.plane_spare.min(0.5 * room), ..*self }
    }

    /// How far past the line the plane may go.
    pub fn spare(&self) -> Inches {
        Inches(self.plane_spare * self.tolerance.inches())
    }
}

/// Why a station is to be read (again).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Why {
    /// The other readings contradict it.
    LooksWrong,
    /// A slip here would matter and nothing else would show it.
    Unconfirmed,
    /// The verdict hangs on it.
    LeavesDoubt,
    /// It was not read, and without it the edge or where the leaf sits is not known.
    NotRead,
}

/// A station to read (again).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Place in the list of gap lines.
    pub gap: usize,
    /// The station.
    pub at: Length,
    /// Why.
    pub why: Why,
    /// What was read, where it was.
    pub read: Option<Inches>,
    /// What the rest expects there.
    pub expected: Belief,
    /// The reading's place among all readings observed, where one is doubted.
    pub index: Option<usize>,
    /// The doubted reading is of an earlier round: it cannot be retaken, only struck or kept.
    pub earlier_round: bool,
}

/// What to do next.
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    /// Read these stations before deciding.
    Read(Vec<Ask>),
    /// Pack the hinges as [`Advice::shown`] says and read the next round: a pack costs no wood, so it need not
    /// wait for the readings that a cut would have to wait for (these).
    Pack(Vec<Ask>),
    /// Make these cuts (after the plan's packs, if it has any), then look again.
    Cut(Vec<CutAdvice>),
    /// It fits: move it as the plan says and leave it.
    Fitted,
    /// Trimming alone cannot do it: the plan says what would.
    Short,
    /// Within tolerance as far as can be told, but no reading or cut would make that surer.
    AsGoodAsItGets,
}

/// The decision, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What to do next.
    pub next: Next,
    /// The cuts to make now by what is known now; those of [`Next::Cut`], and those that would follow if
    /// the readings that [`Next::Read`] asks for changed nothing.
    pub cuts: Vec<CutAdvice>,
    /// The plan to the line.
    pub plan: Plan,
    /// The best that moving alone does.
    pub moved: Plan,
    /// Upper bound of the chance that some station is out of tolerance with the leaves moved so.
    pub doubt: f64,
    /// The station that leaves most of the doubt, of those where reading again could settle it.
    pub doubtful: Option<(usize, Length)>,
    /// Passes remaining, where there is something to cut.
    pub passes: Option<Passes>,
}

impl Advice {
    /// The plan to follow: the one without a cut where nothing is to be cut.
    pub fn shown(&self) -> &Plan {
        match self.next {
            Next::Fitted | Next::AsGoodAsItGets => &self.moved,
            _ if packs_alone_do(&self.next, &self.moved) => &self.moved,
            _ => &self.plan,
        }
    }
}

/// Why there is no advice.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AdviceError {
    /// The planner found none.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// The estimate could not be asked.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}

/// What to do next; by which means a cut is done, its depth alone decides.
pub fn advise(estimate: &Estimate, policy: &Policy) -> Result<Advice, AdviceError> {
    advised(estimate, policy, None)
}

/// [`advise`] for a shop that does its cuts by `means`: each depth is reckoned for the means that will be used.
pub fn advise_by(estimate: &Estimate, policy: &Policy, means: &Means<'_>) -> Result<Advice, AdviceError> {
    advised(estimate, policy, Some(means))
}

fn advised(estimate: &Estimate, policy: &Policy, means: Option<&Means<'_>>) -> Result<Advice, AdviceError> {
    let problem = estimate.problem(policy.tolerance, policy.prefer);
    let right = policy.tolerance;
    let moved = plan_sparing(&locked(&problem), Options::default(), right)?;
    let reviews = estimate.review();
    let (doubt, doubtful) = doubt(estimate, &moved, policy, &reviews)?;
    let tight = scaled(policy.tolerance, policy.plan_to);
    let options = Options { every_edge: policy.every_edge, prefer: None };
    let mut planned = plan_sparing(&FitProblem { tolerance: tight, ..problem.clone() }, options, right)?;
    if planned.reach.0 > policy.tolerance.inches() {
        // What would help where trimming cannot is asked of the tolerance itself, not of the share that plans are
        // made to.
        let at_tolerance = plan_sparing(&problem, options, right)?;
        planned.even_reveal = at_tolerance.even_reveal;
        planned.strips = at_tolerance.strips;
        planned.unlock = at_tolerance.unlock;
    }
    let policy = &policy.with_room(&planned);
    let mut cuts = cuts(estimate, policy, &planned, means)?;
    let lacking = asks::lacking(estimate, policy)?;
    // No cut on an edge that is not known.
    cuts.retain(|cut| !lacking.iter().any(|ask| estimate.lines_of(cut.leaf, cut.edge).contains(&ask.gap)));
    let next = match asks::looks_wrong(estimate, policy, &reviews) {
        Some(ask) => Next::Read(vec![ask]),
        None if !lacking.is_empty() => Next::Read(lacking),
        None => decide(estimate, policy, &reviews, &planned, &moved, (doubt, doubtful), &cuts)?,
    };
    let next = match next {
        Next::Read(asks) if moved.now.0 > policy.tolerance.inches() && packs(&planned) => Next::Pack(asks),
        // It fits, or is as good as it gets, only once its hinges are as the plan has them.
        Next::Fitted | Next::AsGoodAsItGets if moved.now.0 > policy.tolerance.inches() && packs(&moved) => {
            Next::Pack(Vec::new())
        }
        next => next,
    };
    let to_come = matches!(next, Next::Cut(_) | Next::Read(_) | Next::Pack(_)) && !cuts.is_empty();
    let mut passes = to_come.then(|| passes::forecast(estimate, policy, &cuts));
    if packs_alone_do(&next, &moved) {
        passes.iter_mut().for_each(Passes::may_need_none);
    }
    Ok(Advice { next, cuts, plan: planned, moved, doubt, doubtful, passes })
}

/// Packs that do without any cut come first: what else is planned waits for what the next round reads.
fn packs_alone_do(next: &Next, moved: &Plan) -> bool {
    matches!(next, Next::Pack(_)) && moved.verdict == Verdict::Pack
}

/// Does the plan pack a hinge, let one in, or turn its screws?
pub fn packs(plan: &Plan) -> bool {
    plan.leaves.iter().any(|leaf| !leaf.packs.is_empty() || leaf.raise.0 != 0.0)
}

/// Least aim that is worth a cut: a shaving (common practice, no published source).
const LEAST_AIM: f64 = 0.001;

/// The plan's trims, each with its aim; those whose aim is nothing are left out.
fn cuts(
    estimate: &Estimate,
    policy: &Policy,
    planned: &Plan,
    means: Option<&Means<'_>>,
) -> Result<Vec<CutAdvice>, EstimateError> {
    let mut cuts = Vec::new();
    for (leaf, one) in planned.leaves.iter().enumerate() {
        for &trim in &one.trims {
            let cut = depth::advise(estimate, policy, leaf, trim, means)?;
            if cut.aim[0].0.max(cut.aim[1].0) >= LEAST_AIM {
                cuts.push(cut);
            }
        }
    }
    Ok(cuts)
}

fn decide(
    estimate: &Estimate,
    policy: &Policy,
    reviews: &[Review],
    planned: &Plan,
    moved: &Plan,
    (doubt, doubtful): (f64, Option<(usize, Length)>),
    cuts: &[CutAdvice],
) -> Result<Next, AdviceError> {
    let tolerance = policy.tolerance.inches();
    let fits = moved.worst_after.0 <= tolerance && doubt <= policy.doubt;
    let from = if fits || cuts.is_empty() { policy.sure_from } else { policy.look_from };
    let asks = asks::unconfirmed(estimate, policy, reviews, from)?;
    if !asks.is_empty() {
        return Ok(Next::Read(asks));
    }
    if fits {
        return Ok(Next::Fitted);
    }
    // Reading again helps only where there is real doubt.
    let again = doubtful.filter(|_| doubt > policy.doubt);
    let ask_again = |(gap, at): (usize, Length)| -> Result<Next, AdviceError> {
        let expected = estimate.gap_at(gap, at)?;
        let why = Why::LeavesDoubt;
        Ok(Next::Read(vec![Ask { gap, at, why, read: None, expected, index: None, earlier_round: false }]))
    };
    if planned.reach.0 > tolerance {
        // Wood that is missing is only called missing when the readings leave no doubt of it.
        let stations = all_stations(estimate);
        let sd = estimate.shape_sd(&stations)?.into_iter().fold(0.0, f64::max);
        if planned.reach.0 > tolerance + 2.0 * sd {
            return Ok(Next::Short);
        }
    }
    match (cuts.is_empty(), again) {
        (false, _) => Ok(Next::Cut(cuts.to_vec())),
        (true, Some(place)) => ask_again(place),
        (true, None) if planned.reach.0 > tolerance => Ok(Next::Short),
        (true, None) => Ok(Next::AsGoodAsItGets),
    }
}

/// Bound on the chance that some station is out of tolerance after the motion of `moved`: the sum
/// of the stations' own chances, pose uncertainty left out since the leaf can always be moved again.
fn doubt(
    estimate: &Estimate,
    moved: &Plan,
    policy: &Policy,
    reviews: &[Review],
) -> Result<(f64, Option<(usize, Length)>), EstimateError> {
    let mut sum = 0.0;
    let mut worst = (0.0, None);
    for one in doubt::chances(estimate, moved, policy)? {
        let (gap, at) = one.place;
        sum += one.out;
        let read = asks::times_read(reviews, estimate.round(), gap, at);
        if one.out > worst.0 && asks::could_settle(policy, read, one.margin, one.sd) {
            worst = (one.out, Some(one.place));
        }
    }
    Ok((sum.min(1.0), worst.1))
}

/// Every station of every line.
pub(crate) fn all_stations(estimate: &Estimate) -> Vec<(usize, Length)> {
    let lines = 0..estimate.gap_lines().len();
    lines.flat_map(|gap| estimate.stations(gap).into_iter().map(move |at| (gap, at))).collect()
}

/// The same problem with no edge to cut.
fn locked(problem: &FitProblem) -> FitProblem {
    let mut problem = problem.clone();
    for leaf in &mut problem.leaves {
        leaf.may_cut = EdgeSet::NONE;
    }
    problem
}

fn scaled(length: Length, share: f64) -> Length {
    length.checked_scale((share * 1000.0).round() as i64, 1000).unwrap_or(length)
}

/// Did the plan say that nothing is to be cut?
pub fn needs_no_cut(plan: &Plan) -> bool {
    matches!(plan.verdict, Verdict::Fitted | Verdict::Move | Verdict::Pack)
        && depth::edges_cut(plan).iter().all(|set| set.is_empty())
}
