//! This shop's tools from its own history: prior, posterior, and how many cuts it rests on.
//!
//! Pure: [`learn`] is asked with the estimates of the openings that count. Leaving out what came
//! before a reset is the reset; struck events are never replayed into an estimate, so nothing is
//! learned from them.

use super::estimate::spreads::Factor;
use super::estimate::{Affine, Belief, Estimate, Gaussian, Method, Spreads};
use super::length::Inches;

/// A factor is never held surer than this: blades are sharpened, rolls of tape end (guess, no source).
const FACTOR_FLOOR: f64 = 0.02;
/// The starting guess of the saw's spread counts as this many cuts (guess, no source).
const SAW_GUESS_COUNTS: f64 = 10.0;

/// One learned figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned<T> {
    /// Before any cut.
    pub prior: T,
    /// After this shop's cuts.
    pub posterior: T,
    /// How many cuts it rests on.
    pub cuts: usize,
}

/// Everything learned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learning {
    /// Tape under pressure over tape as measured.
    pub tape: Learned<Factor>,
    /// A stroke's real shaving over the shop's figure.
    pub plane: Learned<Factor>,
    /// Spread of the saw's common error.
    pub saw: Learned<Inches>,
}

impl Learning {
    /// `prior` with the learned figures in their places.
    pub fn spreads(&self, prior: Spreads) -> Spreads {
        Spreads { tape: self.tape.posterior, plane: self.plane.posterior, saw_common: self.saw.posterior, ..prior }
    }
}

/// What one opening tells of the shop's tools, replayed with the prior.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidence {
    /// Tape factor and its standard uncertainty.
    tape: (f64, f64),
    /// Plane factor and its standard uncertainty.
    plane: (f64, f64),
    saw_errors: Vec<Belief>,
    /// Saw cuts that tapered (a pad was in play), and times planed.
    cuts: [usize; 2],
    /// Every cut: method, meant, taken.
    points: Vec<(Method, f64, Belief)>,
}

impl Evidence {
    /// Of one opening.
    pub fn of(estimate: &Estimate) -> Self {
        let taken = estimate.taken();
        let count = |method: Method, tapered: bool| {
            let counts = |cut: &&super::estimate::CutTaken| {
                cut.made.method == method && (!tapered || cut.made.start != cut.made.end)
            };
            taken.iter().filter(counts).count()
        };
        let both = |cut: &super::estimate::CutTaken| {
            [(cut.made.method, cut.made.start.0, cut.start), (cut.made.method, cut.made.end.0, cut.end)]
        };
        Self {
            tape: estimate.tape(),
            plane: estimate.plane(),
            saw_errors: estimate.saw_errors(),
            cuts: [count(Method::Saw, true), count(Method::Plane, false)],
            points: taken.iter().flat_map(both).collect(),
        }
    }
}

/// Learns from openings that were each replayed with `prior`.
pub fn learn(prior: &Spreads, openings: &[Estimate]) -> Learning {
    let evidence: Vec<Evidence> = openings.iter().map(Evidence::of).collect();
    learn_from(prior, evidence.iter())
}

/// [`learn`] from what was noted of each opening.
///
/// Factors: information adds up; what an opening adds is its posterior's less the prior's. Saw: the
/// prior's variance counts as ten cuts, each cut adds its squared error as now believed.
pub fn learn_from<'a>(prior: &Spreads, openings: impl Iterator<Item = &'a Evidence> + Clone) -> Learning {
    let counted = |which: usize| openings.clone().map(|one| one.cuts[which]).sum();
    let cuts: [usize; 2] = [counted(0), counted(1)];
    let tapes: Vec<(f64, f64)> = openings.clone().map(|one| one.tape).collect();
    let planes: Vec<(f64, f64)> = openings.clone().map(|one| one.plane).collect();
    let errors: Vec<Belief> = openings.flat_map(|one| one.saw_errors.iter().copied()).collect();
    let squares: f64 = errors.iter().map(|error| error.mean.0.powi(2) + error.sd.0.powi(2)).sum();
    let mean_square =
        (SAW_GUESS_COUNTS * prior.saw_common.0.powi(2) + squares) / (SAW_GUESS_COUNTS + errors.len() as f64);
    Learning {
        tape: Learned { prior: prior.tape, posterior: pool(prior.tape, &tapes), cuts: cuts[0] },
        plane: Learned { prior: prior.plane, posterior: pool(prior.plane, &planes), cuts: cuts[1] },
        saw: Learned { prior: prior.saw_common, posterior: Inches(mean_square.sqrt()), cuts: errors.len() },
    }
}

/// Adds up what several openings, each begun from `prior`, found of one factor.
fn pool(prior: Factor, found: &[(f64, f64)]) -> Factor {
    if prior.sd <= 0.0 {
        return prior;
    }
    let start = prior.sd.powi(-2);
    let (mut information, mut weighted) = (start, start * prior.mean);
    for &(mean, sd) in found {
        if sd > 0.0 && sd < prior.sd {
            let added = sd.powi(-2);
            information += added - start;
            weighted += added * mean - start * prior.mean;
        }
    }
    if found.is_empty() {
        return prior;
    }
    Factor { mean: weighted / information, sd: information.sqrt().recip().max(FACTOR_FLOOR.min(prior.sd)) }
}

/// A straight line through points one by one: the same filter with intercept and slope as its two
/// numbers. Used to show a shop what it takes against what it means to take.
#[derive(Clone, Debug)]
pub struct Trend {
    belief: Gaussian,
    points: Vec<(f64, f64)>,
}

impl Trend {
    /// Before any point: intercept and slope with their variances.
    pub fn begin(intercept: (f64, f64), slope: (f64, f64)) -> Self {
        let mut belief = Gaussian::new();
        belief.join(intercept.0, intercept.1);
        belief.join(slope.0, slope.1);
        Self { belief, points: Vec::new() }
    }

    /// Takes in `y` at `x` with the given variance.
    pub fn observe(&mut self, x: f64, y: f64, variance: f64) {
        self.belief.update(&Affine { constant: 0.0, terms: vec![(0, 1.0), (1, x)] }, y, variance);
        self.points.push((x, y));
    }

    /// Intercept and slope.
    pub fn line(&self) -> (f64, f64) {
        (self.belief.project(&Affine::of(0)).0, self.belief.project(&Affine::of(1)).0)
    }

    /// Standard deviation of the points about the line; `None` with fewer than three.
    pub fn residual_sd(&self) -> Option<f64> {
        let free = self.points.len().checked_sub(2).filter(|&free| free > 0)?;
        let (intercept, slope) = self.line();
        let sum: f64 = self.points.iter().map(|(x, y)| (y - intercept - slope * x).powi(2)).sum();
        Some((sum / free as f64).sqrt())
    }
}

/// Taken against meant for one method, over all cuts of `openings`: the line the learning page draws.
pub fn trend<'a>(openings: impl Iterator<Item = &'a Evidence>, method: Method) -> Trend {
    let mut trend = Trend::begin((0.0, 0.01_f64.powi(2)), (1.0, 0.5_f64.powi(2)));
    for &(_, meant, taken) in openings.flat_map(|one| &one.points).filter(|point| point.0 == method) {
        trend.observe(meant, taken.mean.0, taken.sd.0.powi(2).max(1e-8));
    }
    trend
}
