//! Settings of many hung leaves at once, where there are too many to list: a short list of likely ones.
//!
//! The packs are first taken to go in at any thickness (one linear programme for all leaves together), then split
//! into ranges of steps, nearest to that answer first, until each is a step: branch and bound, so that a least worst
//! miss found within the limit of programmes is the least there is. Hinges that need no pack are left alone first.
//! Round what was found that way stand its neighbours: a few steps more or less at one hinge, one at two, and
//! one leaf's packs with another answer's; the planner's rule chooses among all of these.

use super::choose::{Candidate, Chooser, EQUAL, SERVES_SLACK, next_combination};
use super::hung::{AXES, Step, Way};
use super::lp::LpError;
use super::network::{Layout, Network};
use super::opening::{FitProblem, Prefer};
use std::collections::BTreeSet;

/// Most programmes solved for one answer.
const MOST_NODES: usize = 200;
/// Most settings of a short list.
const MOST_LISTED: usize = 600;
/// Farthest steps, of one hinge alone, that count as round a setting.
const FARTHEST: usize = 4;
/// Most ways to put leaves of different answers together.
const MOST_MIXED: usize = 128;
/// Most sets of edges of one size that are tried with packs of any thickness, and most of them that are gone on with.
const MOST_TRIED: usize = 150;
const MOST_LIKELY: usize = 6;
/// A pack as near as this to a step is that step, in.
const AT_A_STEP: f64 = 1e-7;

/// One stepped axis: its leaf, its place among the leaf's axes, its steps by how far out they are.
struct Axis {
    leaf: usize,
    place: usize,
    steps: Vec<Step>,
}

/// A step of each stepped axis, by its place.
type Place = Vec<usize>;

/// The search for likely settings.
pub(super) struct Shortlist<'p> {
    problem: &'p FitProblem,
    network: &'p Network,
    misses: &'p [f64],
    axes: Vec<Axis>,
}

impl Axis {
    fn value(&self, place: usize) -> f64 {
        self.steps.get(place).map_or(0.0, |step| step.out.inches())
    }

    /// The step of `range` nearest to `value`.
    fn nearest(&self, value: f64, (from, to): (usize, usize)) -> usize {
        let off = |place: &usize| (self.value(*place) - value).abs();
        (from..=to).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(from)
    }

    fn nothing(&self) -> usize {
        self.steps.iter().position(|step| step.out.is_zero()).unwrap_or(0)
    }
}

impl<'p> Shortlist<'p> {
    pub(super) fn new(problem: &'p FitProblem, network: &'p Network, misses: &'p [f64]) -> Self {
        let mut axes = Vec::new();
        for (leaf, frame) in network.leaves.iter().enumerate() {
            for (axis, way) in frame.hung.iter().flat_map(|hung| hung.ways.iter().enumerate()) {
                if let Way::Steps(steps) = way {
                    let mut steps = steps.clone();
                    steps.sort_by_key(|step| step.out);
                    axes.push(Axis { leaf, place: axis, steps });
                }
            }
        }
        Self { problem, network, misses, axes }
    }

    /// The steps of every leaf's axes at each listed place.
    pub(super) fn listed(&self) -> Result<Vec<Vec<[Step; AXES]>>, LpError> {
        let mut found = BTreeSet::from([self.nothing()]);
        for answer in self.answers()? {
            found.insert(answer);
        }
        let answers: Vec<Place> = found.iter().cloned().collect();
        for mixed in self.mixed(&answers) {
            found.insert(mixed);
        }
        for answer in &answers {
            found.extend(self.neighbours(answer).take(MOST_LISTED.saturating_sub(found.len())));
        }
        Ok(found.iter().map(|place| self.steps(place)).collect())
    }

    /// Places round the steps of a setting, itself among them.
    pub(super) fn around(&self, steps: &[[f64; AXES]]) -> Vec<Vec<[Step; AXES]>> {
        let whole = |axis: &Axis| (0, axis.steps.len().saturating_sub(1));
        let value = |axis: &Axis| steps.get(axis.leaf).and_then(|leaf| leaf.get(axis.place)).copied().unwrap_or(0.0);
        let here: Place = self.axes.iter().map(|axis| axis.nearest(value(axis), whole(axis))).collect();
        let near: BTreeSet<Place> = self.neighbours(&here).chain([here.clone()]).collect();
        near.iter().map(|place| self.steps(place)).collect()
    }

    fn nothing(&self) -> Place {
        self.axes.iter().map(Axis::nothing).collect()
    }

    fn steps(&self, place: &Place) -> Vec<[Step; AXES]> {
        let mut all = vec![[Step::NOTHING; AXES]; self.network.leaves.len()];
        for (axis, &at) in self.axes.iter().zip(place) {
            let slot = all.get_mut(axis.leaf).and_then(|leaf| leaf.get_mut(axis.place));
            if let (Some(slot), Some(step)) = (slot, axis.steps.get(at)) {
                *slot = *step;
            }
        }
        all
    }

    /// Likely settings: of the least worst miss whatever is cut; without a cut; with the fewest cuts that would do
    /// if packs came in any thickness.
    fn answers(&self) -> Result<Vec<Place>, LpError> {
        let whole: Vec<(usize, usize)> = self.axes.iter().map(|axis| (0, axis.steps.len().saturating_sub(1))).collect();
        let (relaxed, _) = self.relaxed(&whole);
        let all = relaxed.candidates.clone();
        let mut answers = Vec::new();
        let Some((reach, place)) = self.dive(&all, &whole, f64::INFINITY, f64::NEG_INFINITY)? else {
            return Ok(answers);
        };
        answers.push(place);
        let limit = reach.max(self.problem.tolerance.inches() / 2.0) + SERVES_SLACK;
        let fewest = relaxed.fewest(limit - SERVES_SLACK)?.set;
        self.answer(&[], &whole, limit, &mut answers)?;
        self.answer(&all, &whole, limit, &mut answers)?;
        // One cut more where none of those serves with packs that come in steps.
        for size in fewest.len().max(1)..=fewest.len().max(1) + 1 {
            let before = answers.len();
            for set in likely(&relaxed, size, limit)? {
                self.answer(&set, &whole, limit, &mut answers)?;
            }
            if answers.len() > before {
                break;
            }
        }
        Ok(answers)
    }

    /// Settings with which `set` serves: with as few hinges changed as may be, twice over, and the nearest.
    fn answer(
        &self,
        set: &[Candidate],
        whole: &[(usize, usize)],
        limit: f64,
        answers: &mut Vec<Place>,
    ) -> Result<(), LpError> {
        for upper_first in [false, true] {
            let spared = self.spared(set, whole, limit, upper_first)?;
            answers.extend(self.dive(set, &spared, limit, limit)?.map(|(_, place)| place));
        }
        answers.extend(self.dive(set, whole, limit, limit)?.map(|(_, place)| place));
        Ok(())
    }

    /// The search over edges with each pack anywhere between two steps; and where each axis then starts from.
    fn relaxed(&self, ranges: &[(usize, usize)]) -> (Chooser<'p>, Vec<f64>) {
        let mut network = self.network.clone();
        let mut start = vec![[0.0; AXES]; network.leaves.len()];
        let mut bases = Vec::with_capacity(self.axes.len());
        for (axis, &(from, to)) in self.axes.iter().zip(ranges) {
            let (least, most) = (axis.value(from), axis.value(to));
            // A screw's range runs from nothing or below to nothing or above.
            let base = 0.0_f64.clamp(least.min(most), most.max(least));
            bases.push(base);
            if let Some(slot) = start.get_mut(axis.leaf).and_then(|leaf| leaf.get_mut(axis.place)) {
                *slot = base;
            }
            let hung = network.leaves.get_mut(axis.leaf).and_then(|frame| frame.hung.as_mut());
            if let Some(way) = hung.and_then(|hung| hung.ways.get_mut(axis.place)) {
                *way = if from == to { Way::Locked } else { Way::Range(least - base, most - base) };
            }
        }
        let misses = self.network.shifted(self.misses, &start);
        (Chooser::new(self.problem, &network, &misses, Prefer::LeastWood), bases)
    }

    /// The least worst miss with `set` cut and each pack anywhere in its range, and where each then is.
    fn solve(&self, set: &[Candidate], ranges: &[(usize, usize)]) -> Result<(f64, Vec<f64>), LpError> {
        let (chooser, bases) = self.relaxed(ranges);
        let answer = chooser.solve(set, f64::NEG_INFINITY)?;
        let column = |column: usize| answer.x.get(column).copied().unwrap_or(0.0);
        let value = |(axis, base): (&Axis, f64)| {
            let (plus, minus) = Layout::pose(axis.leaf, axis.place);
            base + column(plus) - column(minus)
        };
        let worst = answer.values.first().copied().unwrap_or(f64::INFINITY);
        Ok((worst, self.axes.iter().zip(bases).map(value).collect()))
    }

    /// The ranges with as many hinges left alone as `set` allows, one after the other.
    fn spared(
        &self,
        set: &[Candidate],
        whole: &[(usize, usize)],
        limit: f64,
        upper_first: bool,
    ) -> Result<Vec<(usize, usize)>, LpError> {
        let mut ranges = whole.to_vec();
        let mut order: Vec<usize> = (0..self.axes.len()).collect();
        if upper_first {
            order.reverse();
        }
        for place in order {
            let Some(nothing) = self.axes.get(place).map(Axis::nothing) else { continue };
            let mut fewer = ranges.clone();
            if let Some(range) = fewer.get_mut(place) {
                *range = (nothing, nothing);
            }
            if self.solve(set, &fewer)?.0 <= limit {
                ranges = fewer;
            }
        }
        Ok(ranges)
    }

    /// The steps within `ranges` with the least worst miss, `set` being cut: none above `limit`; the first found at or
    /// below `enough`. Within the limit of programmes.
    fn dive(
        &self,
        set: &[Candidate],
        ranges: &[(usize, usize)],
        limit: f64,
        enough: f64,
    ) -> Result<Option<(f64, Place)>, LpError> {
        let mut best: Option<(f64, Place)> = None;
        let mut enough = enough;
        let mut open = vec![ranges.to_vec()];
        let mut solved = 0;
        while let Some(node) = open.pop().filter(|_| solved < MOST_NODES) {
            solved += 1;
            let (bound, values) = self.solve(set, &node)?;
            if solved == 1 {
                // Nothing is better than with packs of any thickness.
                enough = enough.max(bound + EQUAL);
            }
            if bound > limit || best.as_ref().is_some_and(|(best, _)| bound > best - EQUAL) {
                continue;
            }
            let near: Place =
                self.axes.iter().zip(&values).zip(&node).map(|((axis, &v), &range)| axis.nearest(v, range)).collect();
            let off = |place: usize| {
                let (axis, value) = (self.axes.get(place), values.get(place).copied().unwrap_or(0.0));
                axis.map_or(0.0, |axis| (axis.value(near.get(place).copied().unwrap_or(0)) - value).abs())
            };
            let split = (0..self.axes.len()).max_by(|&a, &b| off(a).total_cmp(&off(b)));
            let Some(split) = split.filter(|&place| off(place) > AT_A_STEP) else {
                best = Some((bound, near));
                if bound <= enough {
                    break;
                }
                continue;
            };
            let rounded: Vec<(usize, usize)> = near.iter().map(|&at| (at, at)).collect();
            solved += 1;
            let (worst, _) = self.solve(set, &rounded)?;
            if worst <= limit && best.as_ref().is_none_or(|(best, _)| worst < best - EQUAL) {
                best = Some((worst, near));
                if worst <= enough {
                    break;
                }
            }
            open.extend(self.halves(&node, split, values.get(split).copied().unwrap_or(0.0)));
        }
        Ok(best)
    }

    /// `node` split at `value` of one axis, the half nearest to it last.
    fn halves(&self, node: &[(usize, usize)], split: usize, value: f64) -> Vec<Vec<(usize, usize)>> {
        let (Some(axis), Some(&(from, to))) = (self.axes.get(split), node.get(split)) else { return Vec::new() };
        let below = (from..to).rev().find(|&place| axis.value(place) <= value).unwrap_or(from);
        let mut halves: Vec<Vec<(usize, usize)>> = [(from, below), (below + 1, to)]
            .into_iter()
            .map(|range| {
                let mut half = node.to_vec();
                if let Some(slot) = half.get_mut(split) {
                    *slot = range;
                }
                half
            })
            .collect();
        if value - axis.value(below) <= axis.value(below + 1) - value {
            halves.reverse();
        }
        halves
    }

    /// Each leaf as in one of the answers.
    fn mixed(&self, answers: &[Place]) -> Vec<Place> {
        let mut all: Vec<Place> = vec![self.nothing()];
        for leaf in 0..self.network.leaves.len() {
            let mut wider = BTreeSet::new();
            for one in &all {
                for answer in answers {
                    let other = |(axis, (mine, theirs)): (&Axis, (&usize, &usize))| {
                        if axis.leaf == leaf { *theirs } else { *mine }
                    };
                    wider.insert(self.axes.iter().zip(one.iter().zip(answer)).map(other).collect::<Place>());
                }
            }
            all = wider.into_iter().take(MOST_MIXED).collect();
        }
        all
    }

    /// Up to [`FARTHEST`] steps more or less at one axis, or nothing there; one step more or less at two axes.
    fn neighbours<'s>(&'s self, place: &'s Place) -> impl Iterator<Item = Place> + 's {
        let moves = |at: usize, farthest: usize| {
            let (here, axis) = (place.get(at).copied().unwrap_or(0), self.axes.get(at));
            let most = axis.map_or(0, |axis| axis.steps.len().saturating_sub(1));
            let near = here.saturating_sub(farthest)..=(here + farthest).min(most);
            let mut all: Vec<usize> = near.chain(axis.map(Axis::nothing)).collect();
            all.retain(|&other| other != here);
            all
        };
        let changed = move |changes: &[(usize, usize)]| {
            let mut other = place.clone();
            for &(at, to) in changes {
                if let Some(slot) = other.get_mut(at) {
                    *slot = to;
                }
            }
            other
        };
        let mut all = Vec::new();
        for one in 0..self.axes.len() {
            all.extend(moves(one, FARTHEST).into_iter().map(|to| changed(&[(one, to)])));
            for two in (one + 1)..self.axes.len() {
                let pairs = moves(one, 1).into_iter().flat_map(|a| moves(two, 1).into_iter().map(move |b| (a, b)));
                all.extend(pairs.map(|(a, b)| changed(&[(one, a), (two, b)])));
            }
        }
        all.into_iter()
    }
}

/// Sets of `size` edges that serve with packs of any thickness, those with least wood.
fn likely(relaxed: &Chooser<'_>, size: usize, limit: f64) -> Result<Vec<Vec<Candidate>>, LpError> {
    let candidates = &relaxed.candidates;
    let mut found: Vec<(f64, Vec<Candidate>)> = Vec::new();
    let mut places: Vec<usize> = (0..size).collect();
    for _ in 0..MOST_TRIED {
        let set: Vec<Candidate> = places.iter().filter_map(|&place| candidates.get(place).copied()).collect();
        let answer = relaxed.solve(&set, limit)?;
        if !answer.stopped && set.len() == size {
            found.push((answer.values.last().copied().unwrap_or(f64::INFINITY), set));
        }
        if size > candidates.len() || !next_combination(&mut places, candidates.len()) {
            break;
        }
    }
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    Ok(found.into_iter().take(MOST_LIKELY).map(|(_, set)| set).collect())
}
