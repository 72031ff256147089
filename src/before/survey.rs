//! The bare opening: tape readings to a least-squares quadrilateral, out of square and out of
//! parallel, and the tape reading that does not agree with the rest.
//!
//! Nine numbers describe an opening: its width at the bottom, the place of its two upper corners, and
//! the bow of each side at mid. Eight tape readings and up to four straightedge bows tell them, each
//! with its uncertainty (weighted least squares, Gauss-Newton). What nobody measured falls back on
//! "parallel, square, straight" and is said.

use crate::fit::length::{Inches, Length, Radians};

/// Standard uncertainty of a tape reading, in (a starting guess, no source).
pub const TAPE_SD: f64 = 1.0 / 64.0;
/// Standard uncertainty of a straightedge bow, in (a starting guess, no source).
pub const BOW_SD: f64 = 1.0 / 128.0;
/// How far a side nobody laid a straightedge on is taken to bow, one standard deviation, in (guess).
pub const UNREAD_BOW_SD: f64 = 1.0 / 32.0;
/// How far out of square or parallel an opening usually is, one standard deviation, in (guess). Used
/// where no reading tells, and to say which of two readings is the likelier mistake.
pub const USUAL_SD: f64 = 1.0 / 8.0;
/// A reading this many standard deviations off the rest is asked about.
pub const SURPRISE: f64 = 3.0;

/// What was measured: any part may be missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tape {
    /// Widths at bottom, middle, top.
    pub widths: [Option<Length>; 3],
    /// Heights at left, middle, right.
    pub heights: [Option<Length>; 3],
    /// Diagonals: lower left to upper right, upper left to lower right.
    pub diagonals: [Option<Length>; 2],
    /// Bows by straightedge at mid of the left, right, bottom, top side: hollow (away from the
    /// opening's middle) above zero, round below.
    pub bows: [Option<Length>; 4],
}

/// One tape reading of a survey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// Width: 0 bottom, 1 middle, 2 top.
    Width(usize),
    /// Height: 0 left, 1 middle, 2 right.
    Height(usize),
    /// Diagonal: 0 lower left to upper right, 1 upper left to lower right.
    Diagonal(usize),
}

/// A tape reading that may be the mistaken one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suspect {
    /// Which.
    pub reading: Taken,
    /// What was read.
    pub read: Inches,
    /// What the others say it should be.
    pub expected: Inches,
}

/// A corner of the opening, seen from the front, from its lower left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// To the right.
    pub x: Inches,
    /// Up.
    pub y: Inches,
}

/// What the readings left open, so that it was taken as square, parallel or straight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Assumed {
    /// No diagonal: its sides were taken as upright.
    pub square: bool,
    /// Fewer than two widths: its sides were taken as parallel.
    pub sides_parallel: bool,
    /// Fewer than two heights: top and bottom were taken as parallel.
    pub ends_parallel: bool,
}

/// The opening's true shape, as well as the readings tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Lower left, lower right, upper left, upper right.
    pub corners: [Corner; 4],
    /// Bow of the left, right, bottom, top side at mid; hollow above zero.
    pub bows: [Inches; 4],
    /// Reading less what the shape gives, for each tape reading taken.
    pub residuals: Vec<(Taken, Inches)>,
    /// Readings of which one is mistaken, likeliest first; empty when all agree. Readings that the
    /// others cannot tell apart stand together.
    pub suspects: Vec<Suspect>,
    /// What was assumed.
    pub assumed: Assumed,
}

/// Why there is no shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SurveyError {
    /// Nothing across.
    #[error("no width was measured; measure at least one (bottom, middle or top)")]
    NoWidth,
    /// Nothing upright.
    #[error("no height was measured; measure at least one (left, middle or right)")]
    NoHeight,
    /// A reading that no opening has.
    #[error("a width, height or diagonal must be more than 0; look at {0:?}")]
    NotPositive(Taken),
    /// The readings make no four-sided shape.
    #[error("these readings make no opening; measure again, diagonals first")]
    NoShape,
}

impl Shape {
    /// The least-squares shape of an opening.
    pub fn from_tape(tape: &Tape) -> Result<Self, SurveyError> {
        let taken = readings(tape);
        if !taken.iter().any(|(t, _)| matches!(t, Taken::Width(_))) {
            return Err(SurveyError::NoWidth);
        }
        if !taken.iter().any(|(t, _)| matches!(t, Taken::Height(_))) {
            return Err(SurveyError::NoHeight);
        }
        if let Some((bad, _)) = taken.iter().find(|(_, value)| *value <= 0.0) {
            return Err(SurveyError::NotPositive(*bad));
        }
        let bows = tape.bows.map(|bow| bow.map(Length::inches));
        let count = |what: fn(&Taken) -> bool| taken.iter().filter(|(t, _)| what(t)).count();
        let assumed = Assumed {
            square: count(|t| matches!(t, Taken::Diagonal(_))) == 0,
            sides_parallel: count(|t| matches!(t, Taken::Width(_))) < 2,
            ends_parallel: count(|t| matches!(t, Taken::Height(_))) < 2,
        };
        let usual = [assumed.sides_parallel, assumed.ends_parallel, assumed.square]
            .map(|assumed| if assumed { USUAL_SD } else { fit::WEAK });
        let best = fit::solve(&taken, &bows, usual).ok_or(SurveyError::NoShape)?;
        let residuals: Vec<_> =
            taken.iter().map(|&(t, value)| (t, Inches(value - fit::gives(&best.shape, t)))).collect();
        let [width, tr_x, tr_y, tl_x, tl_y, ..] = best.shape;
        let at = |x, y| Corner { x: Inches(x), y: Inches(y) };
        Ok(Self {
            corners: [at(0.0, 0.0), at(width, 0.0), at(tl_x, tl_y), at(tr_x, tr_y)],
            bows: [5, 6, 7, 8].map(|i| Inches(best.shape[i])),
            residuals,
            suspects: suspects(&taken, &bows),
            assumed,
        })
    }

    /// Distance between two corners (places in [`Shape::corners`]).
    fn between(&self, from: usize, to: usize) -> f64 {
        let (a, b) = (self.corners[from], self.corners[to]);
        (a.x.get() - b.x.get()).hypot(a.y.get() - b.y.get())
    }

    /// Widths at bottom, middle (bows included) and top.
    pub fn widths(&self) -> [Inches; 3] {
        let (bottom, top) = (self.between(0, 1), self.between(2, 3));
        let [left, right, ..] = self.bows.map(Inches::get);
        [Inches(bottom), Inches(f64::midpoint(bottom, top) + left + right), Inches(top)]
    }

    /// Heights at left, middle (bows included) and right.
    pub fn heights(&self) -> [Inches; 3] {
        let (left, right) = (self.between(0, 2), self.between(1, 3));
        let [_, _, bottom, top] = self.bows.map(Inches::get);
        [Inches(left), Inches(f64::midpoint(left, right) + bottom + top), Inches(right)]
    }

    /// The smallest width and height, bows included: what finished sizes are reckoned from. A straight leaf that much
    /// less its reveals leaves as much beside the middle of a bowed side as beside its ends.
    pub fn smallest(&self) -> (Inches, Inches) {
        let least = |three: [Inches; 3]| Inches(three.iter().fold(f64::INFINITY, |least, one| least.min(one.get())));
        (least(self.widths()), least(self.heights()))
    }

    /// The width and height that a leaf with straight edges passes: a round side takes from them, a hollow one, which
    /// stands at its ends as far in as ever, gives nothing back.
    pub fn passage(&self) -> (Inches, Inches) {
        let bows = self.bows.map(|bow| Inches(bow.get().min(0.0)));
        Self { bows, ..self.clone() }.smallest()
    }

    /// How far each corner is from square, in order of [`Shape::corners`]: above zero is open (more
    /// than 90°).
    pub fn off_square(&self) -> [Radians; 4] {
        let angle = |at: usize, one: usize, other: usize| {
            let towards = |to: usize| {
                let (a, b) = (self.corners[at], self.corners[to]);
                (b.x.get() - a.x.get(), b.y.get() - a.y.get())
            };
            let (p, q) = (towards(one), towards(other));
            let turn = (p.0 * q.1 - p.1 * q.0).abs().atan2(p.0 * q.0 + p.1 * q.1);
            Radians(turn - std::f64::consts::FRAC_PI_2)
        };
        [angle(0, 1, 2), angle(1, 0, 3), angle(2, 0, 3), angle(3, 1, 2)]
    }

    /// What a cabinetmaker would say of it: everything of at least `least`, largest first.
    pub fn findings(&self, least: Inches) -> Vec<super::words::Finding> {
        super::words::findings(self, least)
    }
}

/// The tape readings there are, in inches.
fn readings(tape: &Tape) -> Vec<(Taken, f64)> {
    let widths = tape.widths.iter().enumerate().map(|(i, l)| (Taken::Width(i), *l));
    let heights = tape.heights.iter().enumerate().map(|(i, l)| (Taken::Height(i), *l));
    let diagonals = tape.diagonals.iter().enumerate().map(|(i, l)| (Taken::Diagonal(i), *l));
    widths.chain(heights).chain(diagonals).filter_map(|(t, l)| Some((t, l?.inches()))).collect()
}

/// Which reading is mistaken: leave each out in turn; where the whole set does not fit and the rest
/// does, it is a suspect. That most openings are near square and parallel tells apart what the
/// readings alone cannot (two diagonals, two facing sides).
fn suspects(taken: &[(Taken, f64)], bows: &[Option<f64>; 4]) -> Vec<Suspect> {
    let Some(all) = fit::solve(taken, bows, [USUAL_SD; 3]) else { return Vec::new() };
    let mut found: Vec<(f64, f64, Suspect)> = Vec::new();
    for (i, &(reading, value)) in taken.iter().enumerate() {
        let mut rest = taken.to_vec();
        rest.remove(i);
        let Some(without) = fit::solve(&rest, bows, [USUAL_SD; 3]) else { continue };
        let expected = fit::gives(&without.shape, reading);
        // What leaving it out gains is the square of its surprise.
        let gain = all.squares - without.squares;
        let suspect = Suspect { reading, read: Inches(value), expected: Inches(expected) };
        found.push((gain, (value - expected).abs(), suspect));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let Some(most) = found.first().map(|f| f.0) else { return Vec::new() };
    if most < SURPRISE * SURPRISE {
        return Vec::new();
    }
    // As good an explanation as the best, within four (two standard deviations).
    found.into_iter().filter(|(gain, by, _)| most - gain < 4.0 && *by > TAPE_SD).map(|(_, _, s)| s).collect()
}

mod fit;
