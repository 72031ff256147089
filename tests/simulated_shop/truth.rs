//! The true opening and leaf of a seed (the made-up doors of `practice`), held, felt and cut; never seen by the tool.
//! Invented numbers, from the design notes of the simulated shop; none has a source.

use evenreveal::fit::length::Length;
use evenreveal::fit::opening::Edge;
use evenreveal::fit::reading::Value;
use evenreveal::practice::Draws;
pub use evenreveal::practice::hands::PRESSED;
pub use evenreveal::practice::world::{Sits, TARGET, World};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use std::ops::Deref;

pub const TOLERANCE: f64 = 1.0 / 64.0;
pub const WRONG_BY: f64 = 1.0 / 32.0;

pub fn normal(rng: &mut ChaCha8Rng, sd: f64) -> f64 {
    Normal::new(0.0, sd).unwrap().sample(rng)
}

/// The random numbers of one seed, as the world of made-up doors draws them.
struct Dice<'a>(&'a mut ChaCha8Rng);

impl Draws for Dice<'_> {
    fn normal(&mut self, sd: f64) -> f64 {
        normal(self.0, sd)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }

    fn chance(&mut self, of: f64) -> bool {
        self.0.random_bool(of)
    }
}

/// The true opening and leaf of one seed, and how they are held, felt and worked.
#[derive(Clone)]
pub struct Truth(World);

impl Deref for Truth {
    type Target = World;

    fn deref(&self) -> &World {
        &self.0
    }
}

impl Truth {
    pub fn new(rng: &mut ChaCha8Rng) -> Self {
        Self(World::new(&mut Dice(rng)))
    }

    /// Distances of the three stations of an edge from its lower or left end, as the shop believes the leaf to
    /// be: 1 in from both corners, mid.
    pub fn stations(&self, edge: Edge) -> [f64; 3] {
        let length = if edge.is_upright() { self.height } else { self.width };
        [1.0, 0.5 * length, length - 1.0]
    }

    /// The gap at a station of the leaf as it is.
    pub fn gap(&self, sits: Sits, edge: Edge, station: usize) -> f64 {
        self.0.gap(sits, edge, self.0.stations(edge)[station])
    }

    /// Anywhere it fits; where it fits nowhere, held against the face about the middle.
    pub fn sit_anywhere(&self, rng: &mut ChaCha8Rng) -> Sits {
        self.0.sit_anywhere(&mut Dice(rng))
    }

    /// About even all round, by eye.
    pub fn sit_by_eye(&self, rng: &mut ChaCha8Rng) -> Sits {
        let (best, _) = self.best();
        let lever = 0.5 * self.height;
        let off = 1.0 / 64.0;
        Sits {
            right: best.right + normal(rng, off),
            up: best.up + normal(rng, off),
            turn: best.turn + normal(rng, off) / lever,
        }
    }

    /// Feelers in steps of 1/64 with a shaking hand; a few are plain wrong. A leaf that does not go in
    /// there is read by its lap, to 1/64. Says whether it is wrong.
    pub fn read(&self, sits: Sits, edge: Edge, station: usize, rng: &mut ChaCha8Rng) -> (Value, bool) {
        let gap = self.gap(sits, edge, station);
        let wrong = rng.random_bool(0.02);
        let slip = if wrong { if rng.random_bool(0.5) { WRONG_BY } else { -WRONG_BY } } else { 0.0 };
        let felt = gap + normal(rng, 0.004) + slip;
        let sixty_fourths = |n: f64| Length::ratio(n as i64, 64);
        if gap < 0.0 {
            let lap = (-felt * 64.0).round();
            let value = if lap > 0.0 { Value::Lap(sixty_fourths(lap)) } else { Value::Gap(sixty_fourths(-lap)) };
            return (value, wrong);
        }
        let goes = (felt * 64.0).floor().max(0.0);
        (Value::GoNoGo { goes: sixty_fourths(goes), stops: sixty_fourths(goes + 1.0) }, wrong)
    }

    pub fn saw(&mut self, edge: Edge, meant: [f64; 2], rng: &mut ChaCha8Rng) {
        self.0.saw(edge, meant, &mut Dice(rng));
    }

    /// A saw cut by a set-up that would take these if nothing went astray.
    pub fn sawn(&mut self, edge: Edge, set_up: [f64; 2], rng: &mut ChaCha8Rng) {
        self.0.sawn(edge, set_up, &mut Dice(rng));
    }

    /// An edge planed by strokes that would take these if nothing went astray.
    pub fn planed(&mut self, edge: Edge, strokes: [f64; 2], rng: &mut ChaCha8Rng) {
        self.0.planed(edge, strokes, &mut Dice(rng));
    }

    pub fn plane(&mut self, edge: Edge, meant: [f64; 2], rng: &mut ChaCha8Rng) {
        self.0.plane(edge, meant, &mut Dice(rng));
    }
}
