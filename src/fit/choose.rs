//! Which edges to cut: the smallest set that serves, and of those the one with least wood.
//!
//! Not every set is tried. A set that fails leaves a proof behind: the reduced costs of the edges it
//! was not allowed. Only an edge whose reduced cost is negative can lower the worst miss below what
//! that proof shows, so every set that serves has at least one of them. Sets that miss one of the
//! proofs collected so far are skipped.

use super::lp::{Answer, Certified, LexSolver, LpError, Objective};
use super::network::{Layout, Network, edge_inches};
use super::opening::{Edge, FitProblem, Prefer};

/// Slack between "fits" and "does not": rounding of the solver, far below any feeler.
pub const SERVES_SLACK: f64 = 1e-9;
/// Two amounts of wood (or two removals) within this are equal.
pub const EQUAL: f64 = 1e-9;
/// Most sets tried before the search settles for few instead of fewest (a large stack of leaves).
const MOST_SETS: usize = 3_000;
/// Most edges for which sets are searched at all (four leaves).
pub const MOST_CANDIDATES: usize = 16;

/// An edge that may be cut: leaf and edge.
pub type Candidate = (usize, Edge);

/// The search over sets of edges for one network.
#[derive(Debug)]
pub struct Chooser<'p> {
    problem: &'p FitProblem,
    layout: Layout,
    prefer: Prefer,
    always: Vec<bool>,
    solver: Certified,
    /// The edges that may be cut and were read.
    pub candidates: Vec<Candidate>,
}

/// A set with its plan.
#[derive(Clone, Debug)]
pub struct Chosen {
    /// The edges that may be cut in it.
    pub set: Vec<Candidate>,
    /// Columns of the solution.
    pub x: Vec<f64>,
    /// Found by dropping one edge after the other: few cuts, not proved to be the fewest.
    pub greedy: bool,
}

impl<'p> Chooser<'p> {
    /// Prepares the search.
    pub fn new(problem: &'p FitProblem, network: &Network, misses: &[f64], prefer: Prefer) -> Self {
        let layout = network.layout();
        let always = network.always_open(problem);
        let programme = network.programme(misses, 0.0, &[], prefer == Prefer::EvenStiles);
        let solver = Certified::new(programme, &always, &layout.least_worst());
        let candidates = candidates(problem, network);
        Self { problem, layout, prefer, always, solver, candidates }
    }

    /// The programme of the misses.
    pub fn programme(&self) -> &super::lp::Programme {
        self.solver.programme()
    }

    /// The stages for `set` by the small simplex alone; none if its certificate failed.
    pub fn by_simplex_alone(&self, set: &[Candidate]) -> Option<Answer> {
        self.solver.by_simplex_alone(&self.open(set), &self.stages(set), f64::INFINITY)
    }

    /// The columns open when `set` may be trimmed.
    pub fn open(&self, set: &[Candidate]) -> Vec<bool> {
        let mut open = self.always.clone();
        for &(leaf, edge) in set {
            open[self.layout.trim(leaf, edge, 0)] = true;
            open[self.layout.trim(leaf, edge, 1)] = true;
        }
        open
    }

    /// Least worst miss with trims on `set` only.
    pub fn worst(&self, set: &[Candidate]) -> Result<f64, LpError> {
        Ok(self.bound(set)?.0)
    }

    /// Least worst miss, and whether each candidate outside the set could lower it.
    fn bound(&self, set: &[Candidate]) -> Result<(f64, Option<Answer>), LpError> {
        let answer = self.solver.solve(&self.open(set), &[self.layout.least_worst()], f64::INFINITY)?;
        Ok((answer.values.first().copied().unwrap_or(f64::INFINITY), Some(answer)))
    }

    /// All stages for a set; only the first if its least worst miss is above `limit`.
    pub fn solve(&self, set: &[Candidate], limit: f64) -> Result<Answer, LpError> {
        self.solver.solve(&self.open(set), &self.stages(set), limit)
    }

    /// Could unlocking this edge lower the worst miss that `answer` proves?
    fn helps(&self, answer: &Answer, (leaf, edge): Candidate) -> bool {
        (0..2).any(|end| answer.first_costs.get(self.layout.trim(leaf, edge, end)).is_none_or(|&cost| cost < -1e-12))
    }

    /// Edges outside `set` that alone, added to it, bring the worst miss within `limit`.
    pub fn unlocks(&self, set: &[Candidate], all: &[Candidate], limit: f64) -> Result<Vec<Candidate>, LpError> {
        let (_, answer) = self.bound(set)?;
        let mut found = Vec::new();
        for &edge in all {
            if set.contains(&edge) || answer.as_ref().is_some_and(|answer| !self.helps(answer, edge)) {
                continue;
            }
            let mut wider = set.to_vec();
            wider.push(edge);
            if self.worst(&wider)? <= limit + SERVES_SLACK {
                found.push(edge);
            }
        }
        Ok(found)
    }

    /// The fewest cuts whose worst miss stays within `allowed`, and their best plan.
    pub fn fewest(&self, allowed: f64) -> Result<Chosen, LpError> {
        let limit = allowed + SERVES_SLACK;
        if self.candidates.len() > MOST_CANDIDATES {
            return self.shed(limit);
        }
        let mut proofs: Vec<u32> = Vec::new();
        let mut tried = 0;
        for size in 0..=self.candidates.len() {
            let mut serving: Vec<(Vec<Candidate>, Answer)> = Vec::new();
            let mut places: Vec<usize> = (0..size).collect();
            loop {
                let mask = places.iter().fold(0_u32, |mask, place| mask | (1 << place));
                if proofs.iter().all(|proof| proof & mask != 0) {
                    tried += 1;
                    if tried > MOST_SETS {
                        return self.shed(limit);
                    }
                    let set: Vec<Candidate> =
                        places.iter().filter_map(|&place| self.candidates.get(place).copied()).collect();
                    let answer = self.solver.solve(&self.open(&set), &self.stages(&set), limit)?;
                    if answer.stopped {
                        let proof = self.proof(&answer);
                        if proof == 0 && !answer.first_costs.is_empty() {
                            return self.every_edge();
                        }
                        if proof != 0 {
                            proofs.push(proof);
                        }
                    } else {
                        serving.push((set, answer));
                    }
                }
                if !next_combination(&mut places, self.candidates.len()) {
                    break;
                }
            }
            if !serving.is_empty() {
                return self.best(serving);
            }
        }
        self.every_edge()
    }

    /// For an opening with too many sets: from every edge, drop one after the other while the rest
    /// still serves. Few cuts, not proved to be the fewest.
    pub fn shed(&self, limit: f64) -> Result<Chosen, LpError> {
        let mut set = self.candidates.clone();
        for &edge in &self.candidates {
            let rest: Vec<Candidate> = set.iter().copied().filter(|&other| other != edge).collect();
            if self.worst(&rest)? <= limit {
                set = rest;
            }
        }
        let answer = self.solver.solve(&self.open(&set), &self.stages(&set), f64::INFINITY)?;
        Ok(Chosen { greedy: true, ..self.best(vec![(set, answer)])? })
    }

    /// The plan that may use every edge.
    pub fn every_edge(&self) -> Result<Chosen, LpError> {
        let set = self.candidates.clone();
        let answer = self.solver.solve(&self.open(&set), &self.stages(&set), f64::INFINITY)?;
        self.best(vec![(set, answer)])
    }

    /// The candidates (by place, at most [`MOST_CANDIDATES`]) that alone could lower the first objective.
    pub fn proof(&self, answer: &Answer) -> u32 {
        self.candidates
            .iter()
            .enumerate()
            .fold(0_u32, |mask, (place, &edge)| if self.helps(answer, edge) { mask | (1 << place) } else { mask })
    }

    /// Within a set: least worst miss, least sum of misses, (least unevenness,) least wood.
    pub fn stages(&self, set: &[Candidate]) -> Vec<Objective> {
        let mut stages = vec![self.layout.least_worst(), self.layout.least_sum()];
        if self.prefer == Prefer::EvenStiles {
            stages.push(
                (0..self.problem.leaves.len()).flat_map(|leaf| self.layout.uneven(leaf)).map(|c| (c, 1.0)).collect(),
            );
        }
        stages.push(self.wood(set));
        stages
    }

    /// Wood: length of the edge times the mean removal, over the set.
    fn wood(&self, set: &[Candidate]) -> Objective {
        set.iter()
            .flat_map(|&(leaf, edge)| {
                let half = self.problem.leaves.get(leaf).map_or(0.0, |leaf| edge_inches(leaf, edge) / 2.0);
                (0..2).map(move |end| (self.layout.trim(leaf, edge, end), half))
            })
            .collect()
    }

    /// Among sets of equal size the one with least wood; equal wood is settled by the worst miss and
    /// the sum of misses left, then by the stated rule.
    pub fn best(&self, serving: Vec<(Vec<Candidate>, Answer)>) -> Result<Chosen, LpError> {
        Ok(self.ranked(serving)?.1)
    }

    /// The same with what it was ranked by: worst miss, sum of misses, (unevenness,) the stated rule.
    pub fn ranked(&self, serving: Vec<(Vec<Candidate>, Answer)>) -> Result<(Vec<f64>, Chosen), LpError> {
        let wood = |answer: &Answer| answer.values.last().copied().unwrap_or(f64::INFINITY);
        let least = serving.iter().map(|(_, answer)| wood(answer)).fold(f64::INFINITY, f64::min);
        let mut best: Option<(Vec<f64>, Chosen)> = None;
        for (set, _) in serving.into_iter().filter(|(_, answer)| wood(answer) <= least + EQUAL) {
            let mut stages = self.stages(&set);
            let settled = stages.len();
            stages.extend(self.tie_break());
            let answer = self.solver.solve(&self.open(&set), &stages, f64::INFINITY)?;
            // Sets of equal wood: the more even result first, then the stated rule.
            let mut rank = answer.values;
            if settled <= rank.len() {
                rank.remove(settled - 1);
            }
            if best.as_ref().is_none_or(|(other, _)| comes_before(&rank, other)) {
                best = Some((rank, Chosen { set, x: answer.x, greedy: false }));
            }
        }
        best.ok_or(LpError::Breakdown)
    }

    /// The stated rule: keep the hinge side, keep the bottom, then the top, then each corner in turn;
    /// then the smallest shift up, shift right and turn.
    fn tie_break(&self) -> Vec<Objective> {
        let mut stages: Vec<Objective> = Vec::new();
        let sum = |edge_of: &dyn Fn(usize) -> Option<Edge>| -> Objective {
            (0..self.problem.leaves.len())
                .filter_map(|leaf| edge_of(leaf).map(|edge| (leaf, edge)))
                .flat_map(|(leaf, edge)| (0..2).map(move |end| (self.layout.trim(leaf, edge, end), 0.5)))
                .collect()
        };
        stages.push(sum(&|leaf| {
            self.problem.leaves.get(leaf).and_then(|leaf| leaf.hinge).map(super::opening::Side::edge)
        }));
        stages.push(sum(&|_| Some(Edge::Bottom)));
        stages.push(sum(&|_| Some(Edge::Top)));
        for leaf in 0..self.problem.leaves.len() {
            for edge in Edge::ALL {
                stages.extend((0..2).map(|end| vec![(self.layout.trim(leaf, edge, end), 1.0)]));
            }
        }
        for axis in [1, 0, 2] {
            for leaf in 0..self.problem.leaves.len() {
                let (plus, minus) = Layout::pose(leaf, axis);
                stages.push(vec![(plus, 1.0), (minus, 1.0)]);
            }
        }
        stages
    }
}

/// The edges that may be cut and were read (cutting an edge that nobody read cannot be planned).
pub fn candidates(problem: &FitProblem, network: &Network) -> Vec<Candidate> {
    let mut found = Vec::new();
    for (leaf, described) in problem.leaves.iter().enumerate() {
        found.extend(described.may_cut.edges().filter(|&edge| network.is_read(leaf, edge)).map(|edge| (leaf, edge)));
    }
    found
}

/// Is the first of two rankings the better one? The first figures that differ decide.
pub fn comes_before(one: &[f64], other: &[f64]) -> bool {
    for (a, b) in one.iter().zip(other) {
        if (a - b).abs() > EQUAL {
            return a < b;
        }
    }
    false
}

/// The next choice of places out of `of`, in order; false after the last.
pub fn next_combination(places: &mut [usize], of: usize) -> bool {
    let size = places.len();
    for turn in (0..size).rev() {
        if places[turn] < of - size + turn {
            places[turn] += 1;
            for later in turn + 1..size {
                places[later] = places[later - 1] + 1;
            }
            return true;
        }
    }
    false
}
