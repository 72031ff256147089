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
//!
//! Where several leaves hang there may be too many settings to list. Then a short list of likely ones is searched
//! (`shortlist`), and once more with the settings round its answer, until that stays the best.

use super::choose::{Candidate, Chooser, Chosen, EQUAL, MOST_CANDIDATES, SERVES_SLACK, comes_before, next_combination};
use super::hung::{AXES, Way};
use super::lp::{Answer, LpError};
use super::network::{Layout, Network};
use super::opening::{FitProblem, Prefer};
pub use super::settings::Setting;
use super::settings::{count, every_setting, in_order};
use super::shortlist::Shortlist;
use std::collections::BTreeMap;

/// Most settings of all hinges of an opening that are all listed; of more, a short list of likely ones is.
pub const MOST_SETTINGS: usize = 20_000;
/// Most combinations of cuts and settings that are worked out whole.
const MOST_SERVING: usize = 1_500;
/// Most programmes solved in each part of the search (several hung leaves at once multiply the settings); then what
/// was found so far is taken, and said to be perhaps not the fewest.
const MOST_SOLVED: usize = 2_000;
/// Most times that the settings round an answer are searched, too.
const MOST_AROUND: usize = 6;
/// Two settings whose wood differs by less than this share are alike.
pub const WOOD_ALIKE: f64 = 0.05;

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
    shortlist: Option<Shortlist<'p>>,
    nearest: usize,
    /// Programmes solved in this part of the search.
    solved: usize,
}

type Serving = (usize, Vec<Candidate>, Answer);

impl<'p> Packing<'p> {
    /// Lists the settings.
    pub fn new(problem: &'p FitProblem, network: &'p Network, misses: &'p [f64], prefer: Prefer) -> Self {
        Self::bounded(problem, network, misses, prefer, MOST_SETTINGS)
    }

    /// The same, with all settings listed only where there are no more than `most`.
    pub fn bounded(
        problem: &'p FitProblem,
        network: &'p Network,
        misses: &'p [f64],
        prefer: Prefer,
        most: usize,
    ) -> Self {
        let (mut settings, mut cropped) = (Vec::new(), false);
        let shortlist = (count(network) > most).then(|| Shortlist::new(problem, network, misses));
        if let Some(listed) = shortlist.as_ref().and_then(|shortlist| shortlist.listed().ok()) {
            (settings, cropped) = (in_order(listed.iter().map(|steps| Setting::of(network, steps)).collect()), true);
        }
        if settings.is_empty() {
            (settings, cropped) = every_setting(network, MOST_SETTINGS);
        }
        let mut stepped = Vec::new();
        for (leaf, frame) in network.leaves.iter().enumerate() {
            let ways = frame.hung.iter().flat_map(|hung| hung.ways.iter().enumerate());
            stepped.extend(ways.filter(|(_, way)| matches!(way, Way::Steps(_))).map(|(axis, _)| (leaf, axis)));
        }
        let limits = limits(&settings, &stepped);
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
            shortlist,
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
        let here: f64 = self.stepped.iter().zip(&slopes).map(|(&(l, a), slope)| slope * setting.value(l, a)).sum();
        let constant = worst - here;
        let least = constant + box_least(&slopes, &self.limits);
        if constant.is_finite() && least.is_finite() {
            self.bounds.push(Bound { helps, constant, slopes, least });
        }
    }

    /// The plan by the rule, or the one that may use every edge; `allowed` is the worst miss that serves. Where not
    /// all settings are listed, those round the answer are searched, too.
    pub fn settled(&mut self, allowed: f64, every_edge: bool) -> Result<Settled, LpError> {
        let ask = |packing: &mut Self| {
            packing.solved = 0;
            if every_edge { packing.every_edge(allowed) } else { packing.fewest(allowed) }
        };
        let mut settled = ask(self)?;
        for _ in 0..MOST_AROUND {
            let Some(axes) = self.setting(settled.setting).map(|setting| setting.axes.clone()) else { break };
            if !self.widen(&axes) {
                break;
            }
            settled = ask(self)?;
            if self.setting(settled.setting).is_some_and(|setting| setting.axes == axes) {
                break;
            }
        }
        Ok(settled)
    }

    /// Lists the settings round the one with these axes, too; false where that is none.
    fn widen(&mut self, axes: &[[f64; AXES]]) -> bool {
        let Some(shortlist) = &self.shortlist else { return false };
        let near = shortlist.around(axes).into_iter().map(|steps| Setting::of(self.network, &steps));
        let known = |one: &Setting| self.settings.iter().any(|setting| setting.axes == one.axes);
        let more: Vec<Setting> = near.filter(|one| !known(one)).collect();
        if more.is_empty() {
            return false;
        }
        let nearest = self.setting(self.nearest).map(|setting| setting.axes.clone());
        self.settings.extend(more);
        self.settings = in_order(std::mem::take(&mut self.settings));
        self.choosers.clear();
        let place = self.settings.iter().position(|setting| Some(&setting.axes) == nearest.as_ref());
        self.nearest = place.unwrap_or(0);
        self.limits = limits(&self.settings, &self.stepped);
        for bound in &mut self.bounds {
            bound.least = bound.constant + box_least(&bound.slopes, &self.limits);
        }
        true
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
            stepped.iter().zip(&self.slopes).map(|(&(leaf, axis), slope)| slope * setting.value(leaf, axis)).sum();
        self.constant + change
    }
}

/// Least and greatest of each stepped axis, nothing among them.
fn limits(settings: &[Setting], stepped: &[(usize, usize)]) -> Vec<(f64, f64)> {
    let of = |&(leaf, axis): &(usize, usize)| {
        let all = settings.iter().map(|setting| setting.value(leaf, axis));
        all.fold((0.0_f64, 0.0_f64), |(low, high), one| (low.min(one), high.max(one)))
    };
    stepped.iter().map(of).collect()
}

/// The least that these slopes come to within these limits.
fn box_least(slopes: &[f64], limits: &[(f64, f64)]) -> f64 {
    slopes.iter().zip(limits).map(|(slope, (low, high))| (slope * low).min(slope * high)).sum()
}
