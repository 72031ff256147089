//! Where a leaf sits: the pose whose worst miss is least, and any pose in which it fits.

use super::Draws;
use super::world::{Sits, TARGET, World};

/// Farthest turn looked at, radians: more than any door of [`World::new`] is out of square.
const MOST_TURN: f64 = 0.03;
/// Steps of the search for the turn: each leaves 0.618 of the range, so the last is below 1e-12 rad.
const TURNS: usize = 52;
/// Rounds of balancing at one turn. The edges are within a degree of upright and level, so each round leaves
/// less than a fiftieth of what was out of balance.
const BALANCES: usize = 4;
/// What is left of the range by a step of the golden section.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

impl World {
    /// The pose whose worst miss is least, and that miss. At a given turn the left and right gaps are balanced by
    /// a shift to the side and the lower and upper ones by a shift up, each in closed form; what is left is a
    /// convex function of the turn, whose least value is found by golden section.
    pub fn best(&self) -> (Sits, f64) {
        let (mut low, mut high) = (-MOST_TURN, MOST_TURN);
        for _ in 0..TURNS {
            let part = GOLDEN * (high - low);
            if self.balanced(high - part).1 <= self.balanced(low + part).1 {
                high = low + part;
            } else {
                low = high - part;
            }
        }
        self.balanced(f64::midpoint(low, high))
    }

    /// The best pose with this turn, and the worst miss in it.
    fn balanced(&self, turn: f64) -> (Sits, f64) {
        let mut sits = Sits { turn, ..Sits::default() };
        for _ in 0..BALANCES {
            let misses = self.misses(sits);
            let (left, right, bottom, top) = (&misses[0..3], &misses[3..6], &misses[6..9], &misses[9..12]);
            sits.right += shift(left, right);
            sits.up += shift(bottom, top);
        }
        (sits, self.misses(sits).iter().fold(0.0, |worst: f64, miss| worst.max(miss.abs())))
    }

    /// Anywhere it fits; where it fits nowhere, held against the face about the middle.
    pub fn sit_anywhere(&self, draws: &mut impl Draws) -> Sits {
        let (best, _) = self.best();
        let mut room = 0.1;
        let lever = 0.5 * self.height;
        for _ in 0..60 {
            let sits = Sits {
                right: best.right + draws.between(-room, room),
                up: best.up + draws.between(-room, room),
                turn: best.turn + draws.between(-room, room) / lever,
            };
            if self.misses(sits).iter().all(|miss| miss + TARGET >= 0.0) {
                return sits;
            }
            room *= 0.93;
        }
        Sits {
            right: best.right + draws.normal(0.02),
            up: best.up + draws.normal(0.02),
            turn: best.turn + draws.normal(0.001),
        }
    }
}

/// The shift that makes the worst of `opening + shift` and `closing - shift` least, without regard to sign.
fn shift(opening: &[f64], closing: &[f64]) -> f64 {
    let most = |list: &[f64]| list.iter().copied().fold(f64::MIN, f64::max);
    let least = |list: &[f64]| list.iter().copied().fold(f64::MAX, f64::min);
    let grows = most(opening).max(-least(closing));
    let shrinks = (-least(opening)).max(most(closing));
    0.5 * (shrinks - grows)
}
