//! Random numbers from a seed, the same wherever the same thing is asked: what a feeler finds at one station in
//! one round does not depend on what else was read. So two ways of fitting one door have the same luck.

use crate::fit::opening::Edge;
use crate::practice::Draws;

/// What is drawn for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// The door itself.
    Door,
    /// How the leaf sits in this round.
    Sits(u32),
    /// A look at a station: round, edge, which of its stations, how often it was looked at before.
    Look(u32, Edge, u64, usize),
    /// A cut: round, edge, how often it was cut in this round before.
    Cut(u32, Edge, usize),
}

/// A stream of random numbers: SplitMix64 (Steele, Lea, Flood, 2014; the constants from memory).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The stream of a door for one purpose.
    pub fn new(seed: u64, what: For) -> Self {
        let keys: [u64; 5] = match what {
            For::Door => [1, 0, 0, 0, 0],
            For::Sits(round) => [2, round.into(), 0, 0, 0],
            For::Look(round, edge, spot, before) => [3, round.into(), edge as u64, spot, before as u64],
            For::Cut(round, edge, before) => [4, round.into(), edge as u64, before as u64, 0],
        };
        let mut mixed = Self(seed);
        for key in keys {
            mixed.0 ^= key.wrapping_mul(0xd6e8_feb8_6659_fd93);
            mixed.0 = mixed.bits();
        }
        mixed
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// Evenly from 0 to 1, without 1.
    fn part(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

impl Draws for Chance {
    /// Box and Muller's transform.
    fn normal(&mut self, sd: f64) -> f64 {
        let (radius, turn) = (1.0 - self.part(), self.part());
        sd * (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * turn).cos()
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    fn chance(&mut self, of: f64) -> bool {
        self.part() < of
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_draws_have_the_shape_they_claim() {
        let mut chance = Chance::new(7, For::Door);
        let normals: Vec<f64> = (0..20_000).map(|_| chance.normal(2.0)).collect();
        let mean = normals.iter().sum::<f64>() / 20_000.0;
        let sd = (normals.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 20_000.0).sqrt();
        assert!(mean.abs() < 0.06 && (sd - 2.0).abs() < 0.06, "mean {mean}, sd {sd}");
        let hits = (0..20_000).filter(|_| chance.chance(0.02)).count();
        assert!((300..500).contains(&hits), "{hits} of 20,000 at 2 in 100");
        assert!((0..1000).map(|_| chance.between(3.0, 5.0)).all(|x| (3.0..5.0).contains(&x)));
    }

    #[test]
    fn every_purpose_has_its_own_stream_and_keeps_it() {
        let firsts = [
            For::Door,
            For::Sits(1),
            For::Sits(2),
            For::Look(1, Edge::Left, 0, 0),
            For::Look(1, Edge::Left, 0, 1),
            For::Look(1, Edge::Left, 1, 0),
            For::Look(1, Edge::Top, 0, 0),
            For::Cut(1, Edge::Left, 0),
            For::Cut(1, Edge::Left, 1),
        ];
        let draw = |seed, what| Chance::new(seed, what).bits();
        let mut all: Vec<u64> = (0..50).flat_map(|seed| firsts.map(|what| draw(seed, what))).collect();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 450);
        assert_eq!(draw(9, For::Sits(3)), draw(9, For::Sits(3)));
    }
}
