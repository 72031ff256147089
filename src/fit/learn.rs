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
    /// Every cut end: method, meant on the shop's own figures, taken.
    points: Vec<(Method, f64, Belief)>,
}

impl Evidence {
    /// Of one opening. A cut that was never read before its leaf was altered tells nothing.
    pub fn of(estimate: &Estimate) -> Self {
        let mut taken = estimate.taken();
        taken.retain(|cut| !cut.lost);
        let count = |method: Method, tapered: bool| {
            let counts = |cut: &&super::estimate::CutTaken| {
                cut.made.method == method && (!tapered || cut.made.start != cut.made.end)
            };
            taken.iter().filter(counts).count()
        };
        let both = |cut: &super::estimate::CutTaken| {
            let counted = cut.made.counted();
            [(cut.made.method, counted[0], cut.start), (cut.made.method, counted[1], cut.end)]
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

impl Evidence {
    fn squares(&self) -> f64 {
        self.saw_errors.iter().map(|error| error.mean.0.powi(2) + error.sd.0.powi(2)).sum()
    }

    /// As plain numbers, to be kept and read again by [`Evidence::from_numbers`] to the last bit.
    pub fn numbers(&self) -> Vec<u64> {
        let bits = |list: &[f64]| list.iter().map(|number| number.to_bits()).collect::<Vec<u64>>();
        let count = |count: usize| u64::try_from(count).unwrap_or(u64::MAX);
        let mut numbers = vec![count(self.cuts[0]), count(self.cuts[1]), count(self.saw_errors.len())];
        numbers.extend(bits(&[self.tape.0, self.tape.1, self.plane.0, self.plane.1]));
        numbers.extend(self.saw_errors.iter().flat_map(|error| bits(&[error.mean.0, error.sd.0])));
        for (method, meant, taken) in &self.points {
            numbers.push(u64::from(*method == Method::Saw));
            numbers.extend(bits(&[*meant, taken.mean.0, taken.sd.0]));
        }
        numbers
    }

    /// What [`Evidence::numbers`] wrote; `None` if these are no such numbers.
    pub fn from_numbers(numbers: &[u64]) -> Option<Self> {
        let count = |number: u64| usize::try_from(number).ok();
        let belief = |mean: u64, sd: u64| Belief { mean: Inches(f64::from_bits(mean)), sd: Inches(f64::from_bits(sd)) };
        let (&[tapered, planed, saws, ref factors @ ..], rest) = numbers.split_at_checked(7)? else { return None };
        let &[tape, tape_sd, plane, plane_sd] = factors else { return None };
        let (errors, points) = rest.split_at_checked(count(saws)?.checked_mul(2)?)?;
        let pair = |one: u64, other: u64| (f64::from_bits(one), f64::from_bits(other));
        let point = |four: &[u64]| match *four {
            [saw @ (0 | 1), meant, mean, sd] => {
                let method = if saw == 1 { Method::Saw } else { Method::Plane };
                Some((method, f64::from_bits(meant), belief(mean, sd)))
            }
            _ => None,
        };
        Some(Self {
            tape: pair(tape, tape_sd),
            plane: pair(plane, plane_sd),
            saw_errors: errors.chunks_exact(2).filter_map(|two| Some(belief(*two.first()?, *two.last()?))).collect(),
            cuts: [count(tapered)?, count(planed)?],
            points: points.chunks(4).map(point).collect::<Option<_>>()?,
        })
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
    let mut pooled = Pooled::of(prior);
    openings.for_each(|one| pooled.add(one));
    pooled.learning()
}

/// What several openings tell together: sums, so that one opening is added or left out without going through the
/// others again.
#[derive(Clone, Copy, Debug)]
pub struct Pooled {
    prior: Spreads,
    openings: usize,
    cuts: [usize; 2],
    /// Information and mean weighted by it, beyond the prior's: tape, plane.
    factors: [[f64; 2]; 2],
    saw_cuts: usize,
    squares: f64,
}

impl Pooled {
    /// Nothing yet beyond the starting guess.
    pub fn of(prior: &Spreads) -> Self {
        Self { prior: *prior, openings: 0, cuts: [0; 2], factors: [[0.0; 2]; 2], saw_cuts: 0, squares: 0.0 }
    }

    /// Takes in what an opening tells.
    pub fn add(&mut self, one: &Evidence) {
        self.openings += 1;
        self.saw_cuts += one.saw_errors.len();
        self.squares += one.squares();
        for (sum, more) in self.cuts.iter_mut().zip(one.cuts) {
            *sum += more;
        }
        let found = [added(self.prior.tape, one.tape), added(self.prior.plane, one.plane)];
        for (sum, more) in self.factors.iter_mut().flatten().zip(found.into_iter().flatten()) {
            *sum += more;
        }
    }

    /// The same without an opening that was taken in.
    #[must_use]
    pub fn without(mut self, one: &Evidence) -> Self {
        self.openings = self.openings.saturating_sub(1);
        if self.openings == 0 {
            return Self::of(&self.prior);
        }
        self.saw_cuts = self.saw_cuts.saturating_sub(one.saw_errors.len());
        self.squares = (self.squares - one.squares()).max(0.0);
        for (sum, less) in self.cuts.iter_mut().zip(one.cuts) {
            *sum = sum.saturating_sub(less);
        }
        let found = [added(self.prior.tape, one.tape), added(self.prior.plane, one.plane)];
        for (sum, less) in self.factors.iter_mut().flatten().zip(found.into_iter().flatten()) {
            *sum -= less;
        }
        self
    }

    /// What is learned from them.
    pub fn learning(&self) -> Learning {
        let Self { prior, .. } = self;
        let factor = |prior: Factor, [information, weighted]: [f64; 2]| {
            if prior.sd <= 0.0 || self.openings == 0 {
                return prior;
            }
            let start = prior.sd.powi(-2);
            let (information, weighted) = (start + information.max(0.0), start * prior.mean + weighted);
            Factor { mean: weighted / information, sd: information.sqrt().recip().max(FACTOR_FLOOR.min(prior.sd)) }
        };
        let known = SAW_GUESS_COUNTS * prior.saw_common.0.powi(2);
        let mean_square = (known + self.squares) / (SAW_GUESS_COUNTS + self.saw_cuts as f64);
        let [tape, plane] = self.factors;
        Learning {
            tape: Learned { prior: prior.tape, posterior: factor(prior.tape, tape), cuts: self.cuts[0] },
            plane: Learned { prior: prior.plane, posterior: factor(prior.plane, plane), cuts: self.cuts[1] },
            saw: Learned { prior: prior.saw_common, posterior: Inches(mean_square.sqrt()), cuts: self.saw_cuts },
        }
    }
}

/// What an opening begun from `prior` adds to what is known of a factor: information, and the mean weighted by it.
fn added(prior: Factor, (mean, sd): (f64, f64)) -> [f64; 2] {
    if !(sd > 0.0 && sd < prior.sd) {
        return [0.0; 2];
    }
    let (start, now) = (prior.sd.powi(-2), sd.powi(-2));
    [now - start, now * mean - start * prior.mean]
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
