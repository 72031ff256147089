//! Normal chances, and a small counter-based source of deviates for the simulated passes: the same
//! seed gives the same passes, so the model stays without randomness.

/// Chance that a standard normal deviate is above `z`.
///
/// Rational approximation to the error function, error below 1.5e-7: Abramowitz and Stegun, Handbook
/// of Mathematical Functions, 7.1.26 (coefficients from memory; tested against the known quantiles).
pub fn above(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series =
        t * (0.254_829_592 + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let tail = 0.5 * series * (-x * x).exp();
    if z >= 0.0 { tail } else { 1.0 - tail }
}

/// Deviates by number: `seed` and how many were drawn give the next one.
#[derive(Clone, Copy, Debug)]
pub struct Deviates {
    seed: u64,
    drawn: u64,
}

impl Deviates {
    /// The deviates of one seed.
    pub fn new(seed: u64) -> Self {
        Self { seed, drawn: 0 }
    }

    /// Evenly spread in (0, 1): the SplitMix64 finaliser of the counter.
    pub fn even(&mut self) -> f64 {
        self.drawn = self.drawn.wrapping_add(1);
        let mut z = self.seed.wrapping_add(self.drawn.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Standard normal (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        let (radius, angle) = (self.even(), self.even());
        (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * angle).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_tail_at_known_quantiles() {
        for (z, tail) in [(0.0, 0.5), (1.959_963_985, 0.025), (2.575_829_304, 0.005), (-1.644_853_627, 0.95)] {
            assert!((above(z) - tail).abs() < 2e-7, "{z}");
        }
    }

    #[test]
    fn deviates_have_the_right_spread_and_repeat() {
        let mut deviates = Deviates::new(7);
        let list: Vec<f64> = (0..20_000).map(|_| deviates.normal()).collect();
        let mean = list.iter().sum::<f64>() / 20_000.0;
        let variance = list.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 20_000.0;
        assert!(mean.abs() < 0.03, "{mean}");
        assert!((variance - 1.0).abs() < 0.05, "{variance}");
        assert_eq!(Deviates::new(7).normal(), list[0]);
    }
}
