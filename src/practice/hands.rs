//! What hands and tools make of the truth: a feeler's finding, what a saw cut and a planed edge really take.

use super::Draws;
use super::world::{Sits, World};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::Edge;
use crate::fit::reading::Value;

/// Spread of a hand that tries a feeler, in.
const HAND: f64 = 0.004;
/// How often a reading is plain wrong, and by how much (in).
const WRONG: (f64, f64) = (0.02, 1.0 / 32.0);
/// What a saw cut misses its setting by, all along and at each end, in.
const SAW: [f64; 2] = [0.008, 0.003];
/// What tape under pressure is of what was measured.
pub const PRESSED: f64 = 0.95;
/// What each end of a planed edge misses by, in.
const PLANE: f64 = 0.001;
/// Steps to which a rule is read, per inch.
const RULE: f64 = 64.0;

/// A length on the rule.
fn ruled(inches: f64) -> Length {
    Inches((inches * RULE).round() / RULE).length()
}

impl World {
    /// What is found at distance `s` along an edge with these feelers, thinnest first, go / no-go; where even
    /// the thickest goes, or no feeler is owned, a gauge is read to 1/64 in; a leaf that does not go in there is
    /// read by its lap.
    pub fn read(&self, sits: Sits, edge: Edge, s: f64, feelers: &[Length], draws: &mut impl Draws) -> Value {
        let gap = self.gap(sits, edge, s);
        let slip = if !draws.chance(WRONG.0) {
            0.0
        } else if draws.chance(0.5) {
            WRONG.1
        } else {
            -WRONG.1
        };
        let felt = gap + draws.normal(HAND) + slip;
        if gap < 0.0 {
            let lap = ruled(-felt);
            return if lap > Length::ZERO { Value::Lap(lap) } else { Value::Gap(lap.abs()) };
        }
        let place = feelers.iter().position(|feeler| feeler.inches() > felt);
        match place.map(|place| (place.checked_sub(1), place)) {
            Some((below, stops)) => {
                let thickness = |place: usize| feelers.get(place).copied().unwrap_or(Length::ZERO);
                Value::GoNoGo { goes: below.map_or(Length::ZERO, thickness), stops: thickness(stops) }
            }
            None => Value::Gap(ruled(felt.max(0.0))),
        }
    }

    /// A saw cut meant to take these: one error for the whole cut and one at each end; the rise from the shallow
    /// end falls short, as tape is pressed thinner. Answers what it took.
    pub fn saw(&mut self, edge: Edge, meant: [f64; 2], draws: &mut impl Draws) -> [f64; 2] {
        let shallow = meant[0].min(meant[1]);
        self.sawn(edge, meant.map(|m| shallow + PRESSED * (m - shallow)), draws)
    }

    /// A saw cut by a set-up that would take these if nothing went astray. Answers what it took.
    pub fn sawn(&mut self, edge: Edge, set_up: [f64; 2], draws: &mut impl Draws) -> [f64; 2] {
        let common = draws.normal(SAW[0]);
        let taken = set_up.map(|m| m + common + draws.normal(SAW[1]));
        self.take(edge, taken)
    }

    /// An edge planed to take these: this shop's strokes are what they are. Answers what came off.
    pub fn plane(&mut self, edge: Edge, meant: [f64; 2], draws: &mut impl Draws) -> [f64; 2] {
        let factor = self.plane;
        self.planed(edge, meant.map(|m| factor * m), draws)
    }

    /// An edge planed by strokes that would take these if nothing went astray. Answers what came off.
    pub fn planed(&mut self, edge: Edge, strokes: [f64; 2], draws: &mut impl Draws) -> [f64; 2] {
        let taken = strokes.map(|m| if m > 0.0 { m + draws.normal(PLANE) } else { 0.0 });
        self.take(edge, taken)
    }

    fn take(&mut self, edge: Edge, taken: [f64; 2]) -> [f64; 2] {
        let taken = taken.map(|end| end.max(0.0));
        self.cut(edge, taken);
        taken
    }
}
