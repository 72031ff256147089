//! A Gaussian belief over a growing list of numbers that do not change (recursive least squares:
//! the Kalman filter without process noise). New numbers join as affine functions of old ones plus
//! noise, so that what a cut took stays in the belief and later readings sharpen it (smoothing).

/// An affine function of the numbers: `constant + Σ weight · number`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Affine {
    /// Added to the sum.
    pub constant: f64,
    /// Which numbers, and their weights.
    pub terms: Vec<(usize, f64)>,
}

impl Affine {
    /// The number `index` itself.
    pub fn of(index: usize) -> Self {
        Self { constant: 0.0, terms: vec![(index, 1.0)] }
    }

    /// Adds `weight · number[index]`.
    pub fn add(&mut self, index: usize, weight: f64) {
        if weight != 0.0 {
            self.terms.push((index, weight));
        }
    }
}

/// How a new observation sits with what was believed before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Innovation {
    /// Observed less expected.
    pub difference: f64,
    /// Its variance: the belief's and the observation's own.
    pub variance: f64,
}

impl Innovation {
    /// The difference in standard deviations (0 where nothing is uncertain and nothing differs).
    pub fn ratio(self) -> f64 {
        if self.variance > 0.0 { self.difference / self.variance.sqrt() } else { 0.0 }
    }
}

/// Mean and covariance.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gaussian {
    mean: Vec<f64>,
    /// Rows of the covariance, each of full length (symmetric).
    cov: Vec<Vec<f64>>,
}

impl Gaussian {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many numbers.
    pub fn len(&self) -> usize {
        self.mean.len()
    }

    /// None at all?
    pub fn is_empty(&self) -> bool {
        self.mean.is_empty()
    }

    /// A new number, independent of the others; returns its index.
    pub fn join(&mut self, mean: f64, variance: f64) -> usize {
        self.join_affine(&Affine { constant: mean, terms: Vec::new() }, variance)
    }

    /// A new number: an affine function of the others plus noise of the given variance.
    pub fn join_affine(&mut self, function: &Affine, noise: f64) -> usize {
        let (mean, variance) = self.project(function);
        let cross = self.covariances(function);
        for (row, &c) in self.cov.iter_mut().zip(&cross) {
            row.push(c);
        }
        let mut last = cross;
        last.push(variance + noise.max(0.0));
        self.cov.push(last);
        self.mean.push(mean);
        self.mean.len() - 1
    }

    /// Mean and variance of an affine function.
    pub fn project(&self, function: &Affine) -> (f64, f64) {
        let mean = function.terms.iter().fold(function.constant, |sum, &(i, w)| sum + w * self.mean_of(i));
        (mean, self.covariance(function, function))
    }

    /// Covariance of two affine functions.
    pub fn covariance(&self, one: &Affine, other: &Affine) -> f64 {
        let mut sum = 0.0;
        for &(i, a) in &one.terms {
            if let Some(row) = self.cov.get(i) {
                for &(j, b) in &other.terms {
                    sum += a * b * row.get(j).copied().unwrap_or(0.0);
                }
            }
        }
        sum
    }

    /// Covariance of every number with an affine function.
    pub fn covariances(&self, function: &Affine) -> Vec<f64> {
        let one = |row: &Vec<f64>| function.terms.iter().map(|&(i, w)| w * row.get(i).copied().unwrap_or(0.0)).sum();
        self.cov.iter().map(one).collect()
    }

    /// What an observation of `function` with the given variance would differ by.
    pub fn innovation(&self, function: &Affine, observed: f64, variance: f64) -> Innovation {
        let (mean, own) = self.project(function);
        Innovation { difference: observed - mean, variance: own + variance }
    }

    /// Takes in an observation of an affine function with independent noise of `variance`.
    pub fn update(&mut self, function: &Affine, observed: f64, variance: f64) -> Innovation {
        let innovation = self.innovation(function, observed, variance);
        if innovation.variance <= 0.0 || !innovation.variance.is_finite() || !innovation.difference.is_finite() {
            return innovation;
        }
        let cross = self.covariances(function);
        for (mean, &c) in self.mean.iter_mut().zip(&cross) {
            *mean += c * innovation.difference / innovation.variance;
        }
        for (row, &a) in self.cov.iter_mut().zip(&cross) {
            if a != 0.0 {
                let gain = a / innovation.variance;
                for (cell, &b) in row.iter_mut().zip(&cross) {
                    *cell -= gain * b;
                }
            }
        }
        innovation
    }

    fn mean_of(&self, index: usize) -> f64 {
        self.mean.get(index).copied().unwrap_or(0.0)
    }
}
