//! Hinge settings and cuts together: the rule for hung leaves.
//!
//! 1. Fewest cuts, over all settings: the smallest set of edges that with some setting brings the
//!    worst miss within `max(reach, tolerance/2)`.
//! 2. No cut: fewest hinges changed, then fewest pieces of stock, then fewest hinges let in, then
//!    least worst miss, then least sum of misses.
//! 3. Cuts: least wood; settings within a twentieth of it count as alike and are settled by the
//!    fewest hinges changed, fewest pieces, fewest let in; then least wood, least worst, least sum.
//! 4. What is still equal: the lower hinge before the upper, out before in, the thinner first.
//!
//! Settings are enumerated, but most are never solved: the least worst miss is convex in the
//! setting, so each solved programme's multipliers bound it from below for all other settings, and
//! for every set of edges that these multipliers do not favour.

use super::choose::{Candidate, Chooser, Chosen, EQUAL, MOST_CANDIDATES, SERVES_SLACK, comes_before, next_combination};
use super::hung::{AXES, Step, Way};
use super::length::Length;
use super::lp::{Answer, LpError};
use super::network::{Layout, Network};
use super::opening::{FitProblem, Prefer};
use std::collections::BTreeMap;

/// Most settings of all hinges of an opening; of more, those with the fewest pieces are tried.
pub const MOST_SETTINGS: usize = 20_000;
/// Most combinations of cuts and settings that are worked out whole.
const MOST_SERVING: usize = 1_500;
/// Most programmes solved in each part of the search (several hung leaves at once multiply the settings); then what
/// was found so far is taken, and said to be perhaps not the fewest.
const MOST_SOLVED: usize = 2_000;
/// Two settings whose wood differs by less than this share are alike.
pub const WOOD_ALIKE: f64 = 0.05;

/// One setting of all hung leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Axes of each leaf, in (zeros where it is not hung).
    pub axes: Vec<[f64; AXES]>,
    /// For each leaf its hinges, lowest first, with their steps; empty where nothing is stepped.
    pub hinges: Vec<Vec<(Length, Step)>>,
    /// Clicks of the height screws of each leaf.
    pub raised: Vec<Step>,
    /// Hinges changed, pieces, hinges let in.
    pub effort: (u32, u32, u32),
}

/// A set of edges with a setting.
#[derive(Clone, Debug)]
pub struct Settled {
    /// Cuts and free poses.
    pub chosen: Chosen,
    /// Place of the setting.
    pub setting: usize,
}

/// A bound from below on the least worst miss, affine in the stepped axes.
struct Bound {
    helps: u32,
    constant: f64,
    slopes: Vec<f64>,
    /// Its least value over all settings.
    least: f64,
}

/// The search.
pub struct Packing<'p> {
    problem: &'p FitProblem,
    network: &'p Network,
    misses: &'p [f64],
    prefer: Prefer,
    /// Every setting, least effort first; the first one changes nothing.
    pub settings: Vec<Setting>,
    /// Not every setting, or not every one that serves, was tried.
    pub cropped: bool,
    stepped: Vec<(usize, usize)>,
    limits: Vec<(f64, f64)>,
    choosers: BTreeMap<usize, Chooser<'p>>,
    bounds: Vec<Bound>,
    nearest: usize,
    /// Programmes solved in this part of the search.
    solved: usize,
}

type Serving = (usize, Vec<Candidate>, Answer);

impl<'p> Packing<'p> {
    /// Lists the settings.
    pub fn new(problem: &'p FitProblem, network: &'p Network, misses: &'p [f64], prefer: Prefer) -> Self {
        let (settings, cropped) = settings(network);
        let mut stepped = Vec::new();
        for (leaf, frame) in network.leaves.iter().enumerate() {
            let ways = frame.hung.iter().flat_map(|hung| hung.ways.iter().enumerate());
            stepped.extend(ways.filter(|(_, way)| matches!(way, Way::Steps(_))).map(|(axis, _)| (leaf, axis)));
        }
        let limits = stepped
            .iter()
            .map(|&(leaf, axis)| {
                let all = settings.iter().map(|setting| value(setting, leaf, axis));
                all.fold((0.0_f64, 0.0_f64), |(low, high), one| (low.min(one), high.max(one)))
            })
            .collect();
        Self {
            problem,
            network,
            misses,
            prefer,
            settings,
            cropped,
            stepped,
            limits,
            choosers: BTreeMap::new(),
            bounds: Vec::new(),
            nearest: 0,
            solved: 0,
        }
    }

    /// Is there anything to choose?
    pub fn is_single(&self) -> bool {
        self.settings.len() == 1
    }

    /// The setting at `place`.
    pub fn setting(&self, place: usize) -> Option<&Setting> {
        self.settings.get(place)
    }

    /// The search over edges at one setting.
    pub fn at(&mut self, place: usize) -> &Chooser<'p> {
        let Self { problem, network, misses, prefer, settings, choosers, .. } = self;
        choosers.entry(place).or_insert_with(|| {
            let axes = settings.get(place).map_or(&[][..], |setting| &setting.axes);
            Chooser::new(problem, network, &network.shifted(misses, axes), *prefer)
        })
    }

    /// Least worst miss over all settings, every edge that may be cut being trimmed; and the setting.
    pub fn reach(&mut self) -> Result<(f64, usize), LpError> {
        let all = self.at(0).candidates.clone();
        let mut lower = vec![f64::NEG_INFINITY; self.settings.len()];
        let (mut best, mut solved) = ((f64::INFINITY, 0), vec![false; self.settings.len()]);
        let mut next = Some(0);
        while let Some(place) = next.filter(|_| self.goes_on()) {
            let answer = self.at(place).solve(&all, f64::NEG_INFINITY)?;
            let worst = answer.values.first().copied().unwrap_or(f64::INFINITY);
            if worst < best.0 - EQUAL {
                best = (worst, place);
            }
            if let Some(done) = solved.get_mut(place) {
                *done = true;
            }
            self.learn(place, &answer, worst);
            if let Some(bound) = self.bounds.last() {
                for (one, setting) in lower.iter_mut().zip(&self.settings) {
                    *one = one.max(bound.at(setting, &self.stepped));
                }
            }
            next = None;
            let mut least = best.0 - SERVES_SLACK;
            for (place, &one) in lower.iter().enumerate() {
                if solved.get(place) == Some(&false) && one < least {
                    (least, next) = (one, Some(place));
                }
            }
        }
        (self.nearest, self.solved) = (best.1, 0);
        Ok(best)
    }

    /// Counts one more programme to solve; false once there were too many.
    fn goes_on(&mut self) -> bool {
        self.solved += 1;
        self.cropped |= self.solved > MOST_SOLVED;
        self.solved <= MOST_SOLVED
    }

    /// Keeps what an answer proves about other settings and sets.
    fn learn(&mut self, place: usize, answer: &Answer, worst: f64) {
        if answer.first_costs.is_empty() {
            return;
        }
        let chooser = self.at(place);
        let helps = if chooser.candidates.len() <= MOST_CANDIDATES { chooser.proof(answer) } else { 0 };
        let slope = |&(leaf, axis): &(usize, usize)| {
            answer.first_costs.get(Layout::pose(leaf, axis).0).copied().unwrap_or(f64::NAN)
        };
        let slopes: Vec<f64> = self.stepped.iter().map(slope).collect();
        let Some(setting) = self.settings.get(place) else { return };
        let here: f64 = self.stepped.iter().zip(&slopes).map(|(&(l, a), slope)| slope * value(setting, l, a)).sum();
        let constant = worst - here;
        let box_least: f64 =
            slopes.iter().zip(&self.limits).map(|(slope, (low, high))| (slope * low).min(slope * high)).sum();
        if constant.is_finite() && box_least.is_finite() {
            self.bounds.push(Bound { helps, constant, slopes, least: constant + box_least });
        }
    }

    /// The plan by the rule; `allowed` is the worst miss that serves.
    pub fn fewest(&mut self, allowed: f64) -> Result<Settled, LpError> {
        let limit = allowed + SERVES_SLACK;
        let candidates = self.at(0).candidates.clone();
        if candidates.len() > MOST_CANDIDATES {
            let setting = self.nearest;
            return Ok(Settled { chosen: self.at(setting).shed(limit)?, setting });
        }
        for size in 0..=candidates.len() {
            let mut serving = Vec::new();
            let mut places: Vec<usize> = (0..size).collect();
            loop {
                let set: Vec<Candidate> = places.iter().filter_map(|&place| candidates.get(place).copied()).collect();
                let mask = places.iter().fold(0_u32, |mask, place| mask | (1 << place));
                self.serve(&set, mask, limit, &mut serving)?;
                if !next_combination(&mut places, candidates.len()) {
                    break;
                }
            }
            if !serving.is_empty() {
                return self.best(serving, size > 0);
            }
            if self.solved > MOST_SOLVED {
                let setting = self.nearest;
                return Ok(Settled { chosen: self.at(setting).shed(limit)?, setting });
            }
        }
        self.every_edge(allowed)
    }

    /// The plan that may use every edge.
    pub fn every_edge(&mut self, allowed: f64) -> Result<Settled, LpError> {
        let all = self.at(0).candidates.clone();
        let mut serving = Vec::new();
        if all.len() <= MOST_CANDIDATES {
            let mask = (0..all.len()).fold(0_u32, |mask, place| mask | (1 << place));
            self.serve(&all, mask, allowed + SERVES_SLACK, &mut serving)?;
        }
        if serving.is_empty() {
            let setting = self.nearest;
            return Ok(Settled { chosen: self.at(setting).every_edge()?, setting });
        }
        self.best(serving, true)
    }

    /// The settings with which `set` serves. Without a cut only those of the least effort that does.
    fn serve(&mut self, set: &[Candidate], mask: u32, limit: f64, serving: &mut Vec<Serving>) -> Result<(), LpError> {
        let enough = limit + SERVES_SLACK;
        let mut effort = None;
        for place in 0..self.settings.len() {
            let Some(setting) = self.settings.get(place) else { break };
            if set.is_empty() && effort.is_some_and(|effort| effort != setting.effort) {
                break;
            }
            let out = self.bounds.iter().any(|bound| {
                bound.helps & mask == 0 && (bound.least > enough || bound.at(setting, &self.stepped) > enough)
            });
            if out {
                continue;
            }
            let tried = setting.effort;
            if !self.goes_on() {
                break;
            }
            let answer = self.at(place).solve(set, limit)?;
            if answer.stopped {
                let worst = answer.values.first().copied().unwrap_or(f64::INFINITY);
                self.learn(place, &answer, worst);
                continue;
            }
            effort = Some(tried);
            if serving.len() >= MOST_SERVING {
                self.cropped = true;
                break;
            }
            serving.push((place, set.to_vec(), answer));
        }
        Ok(())
    }

    /// Of those that serve, the one that the rule takes.
    fn best(&mut self, mut serving: Vec<Serving>, cuts: bool) -> Result<Settled, LpError> {
        let wood = |one: &Serving| one.2.values.last().copied().unwrap_or(f64::INFINITY);
        let least = |all: &[Serving]| all.iter().map(wood).fold(f64::INFINITY, f64::min);
        if cuts {
            let alike = least(&serving) * (1.0 + WOOD_ALIKE) + EQUAL;
            serving.retain(|one| wood(one) <= alike);
        }
        let effort = |one: &Serving| self.settings.get(one.0).map(|setting| setting.effort);
        let fewest = serving.iter().filter_map(effort).min();
        serving.retain(|one| effort(one) == fewest);
        let most = least(&serving) + EQUAL;
        serving.retain(|one| wood(one) <= most);
        let mut by_setting: BTreeMap<usize, Vec<(Vec<Candidate>, Answer)>> = BTreeMap::new();
        for (place, set, answer) in serving {
            by_setting.entry(place).or_default().push((set, answer));
        }
        let mut best: Option<(Vec<f64>, Settled)> = None;
        for (setting, sets) in by_setting {
            let (rank, chosen) = self.at(setting).ranked(sets)?;
            if best.as_ref().is_none_or(|(other, _)| comes_before(&rank, other)) {
                best = Some((rank, Settled { chosen, setting }));
            }
        }
        best.map(|(_, settled)| settled).ok_or(LpError::Breakdown)
    }
}

impl Bound {
    fn at(&self, setting: &Setting, stepped: &[(usize, usize)]) -> f64 {
        let change: f64 =
            stepped.iter().zip(&self.slopes).map(|(&(leaf, axis), slope)| slope * value(setting, leaf, axis)).sum();
        self.constant + change
    }
}

fn value(setting: &Setting, leaf: usize, axis: usize) -> f64 {
    setting.axes.get(leaf).and_then(|axes| axes.get(axis)).copied().unwrap_or(0.0)
}

/// All settings of an opening, least effort first, and whether some had to be left out.
fn settings(network: &Network) -> (Vec<Setting>, bool) {
    let count = network.leaves.len();
    let mut cropped = false;
    let nothing = Setting {
        axes: vec![[0.0; AXES]; count],
        hinges: vec![Vec::new(); count],
        raised: vec![Step::NOTHING; count],
        effort: (0, 0, 0),
    };
    let axes = network.leaves.iter().filter_map(|frame| frame.hung.as_ref()).flat_map(|hung| &hung.ways);
    let stepped = axes.filter(|way| matches!(way, Way::Steps(_))).count();
    let each = (MOST_SETTINGS as f64).powf(1.0 / stepped.max(1) as f64).floor().max(1.0) as usize;
    let mut all = vec![nothing];
    for (leaf, frame) in network.leaves.iter().enumerate() {
        let Some(hung) = &frame.hung else { continue };
        cropped |= hung.cropped;
        let mut steps = |way: &Way| match way {
            Way::Steps(steps) => {
                cropped |= steps.len() > each;
                steps.iter().take(each).copied().collect()
            }
            Way::Locked | Way::Range(..) => vec![Step::NOTHING],
        };
        let (low, raise, high) = (steps(&hung.ways[0]), steps(&hung.ways[1]), steps(&hung.ways[2]));
        let mut wider = Vec::with_capacity(all.len() * low.len() * raise.len() * high.len());
        for setting in &all {
            for &high in &high {
                for &low in &low {
                    let hinges = hung.all_hinges(low, high);
                    for &raise in &raise {
                        let mut one = setting.clone();
                        one.axes[leaf] = [low.out.inches(), raise.out.inches(), high.out.inches()];
                        let moved =
                            hinges.iter().map(|(_, step)| step).chain([&raise]).filter(|step| !step.out.is_zero());
                        for step in moved {
                            one.effort.0 += 1;
                            one.effort.1 += step.pieces();
                            one.effort.2 += u32::from(step.out.is_negative());
                        }
                        one.hinges[leaf].clone_from(&hinges);
                        one.raised[leaf] = raise;
                        wider.push(one);
                    }
                }
            }
        }
        all = wider;
    }
    all.sort_by_key(|setting| setting.effort);
    (all, cropped)
}
