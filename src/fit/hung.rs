//! Hung leaves: what packing, letting in and adjusting screws do to a leaf, and which settings there
//! are to choose from.
//!
//! Packing a hinge out by `d` moves the hinge edge away from the frame by `d` at that hinge; letting
//! it in moves it the other way. The pins lie in one line, so two hinges decide: with the lowest at
//! y₁ and the highest at y₂ the hinge edge moves by `d₁ + (d₂−d₁)(y−y₁)/(y₂−y₁)` at height y, the
//! leaf turns by `θ = ±(d₂−d₁)/(y₂−y₁)` (minus where it hangs on its left), and the hinge line keeps
//! its height, unless screws raise it. A hinge between the two gets the step nearest to that line
//! (half a step at most is left to the play of its screws).

use super::fault::ProblemFault;
use super::length::Length;
use super::opening::{Adjust, Hanging, Leaf, Motion, Side, Travel};
use std::collections::BTreeMap;

/// Most kinds of pack stock at one leaf.
pub const MOST_STOCK: usize = 8;
/// Most hinges on one leaf.
pub const MOST_HINGES: usize = 8;
/// Inches below which a screw is not turned: half a thousandth, which nothing shows (a guess, no published source).
pub const LEAST_TURN: f64 = 0.0005;
/// Most steps out, and most steps in, at one hinge; of more, those with the fewest pieces are kept.
pub const MOST_STEPS: usize = 64;

/// The three numbers of a hung leaf, as axes of its pose: out at the lowest hinge, raised, out at
/// the highest hinge.
pub const AXES: usize = 3;

/// How the pose of a hung leaf follows from its axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HungFrame {
    /// +1 where it hangs on its left, −1 on its right.
    pub sign: f64,
    /// Height of the lowest hinge, in.
    pub low: f64,
    /// Height of the highest hinge, in.
    pub high: f64,
    /// Width and height of the leaf, in.
    pub size: (f64, f64),
}

impl HungFrame {
    /// Shift right, shift up and turn (radians) per inch of each axis, by axis.
    pub fn jacobian(&self) -> [[f64; 3]; AXES] {
        let span = self.high - self.low;
        let share = (self.size.1 / 2.0 - self.low) / span;
        let lift = self.size.0 / (2.0 * span);
        [
            [self.sign * (1.0 - share), lift, self.sign / span],
            [0.0, 1.0, 0.0],
            [self.sign * share, -lift, -self.sign / span],
        ]
    }

    /// Shift right, shift up (in) and turn (radians) of the leaf's centre for these axes (in).
    pub fn pose(&self, axes: [f64; AXES]) -> [f64; 3] {
        let mut pose = [0.0; 3];
        for (row, amount) in self.jacobian().iter().zip(axes) {
            for (part, weight) in pose.iter_mut().zip(row) {
                *part += weight * amount;
            }
        }
        pose
    }
}

/// How one axis may be set.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Not at all.
    Locked,
    /// In steps (nothing among them, fewest pieces first).
    Steps(Vec<Step>),
    /// Anywhere between two limits, in (the first not above zero, the second not below).
    Range(f64, f64),
}

/// One step of packing (positive) or letting in (negative), with the pieces it is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Out from the frame.
    pub out: Length,
    /// How many pieces of each stock, in the order the stock is listed.
    pub counts: [u8; MOST_STOCK],
}

impl Step {
    /// Nothing done.
    pub const NOTHING: Self = Self { out: Length::ZERO, counts: [0; MOST_STOCK] };

    /// Pieces in all.
    pub fn pieces(&self) -> u32 {
        self.counts.iter().map(|&count| u32::from(count)).sum()
    }
}

/// A hung leaf ready for the planner.
#[derive(Clone, Debug, PartialEq)]
pub struct Hung {
    /// The pose model.
    pub frame: HungFrame,
    /// How each axis may be set.
    pub ways: [Way; AXES],
    /// Hinges in the order of their heights.
    pub hinges: Vec<Length>,
    /// How each hinge may be set to the side, in the same order.
    pub sides: Vec<Way>,
    /// Is it screws that set them to the side, not pieces of stock?
    pub screwed: bool,
    /// Some steps were left out, since there are too many.
    pub cropped: bool,
}

impl Hung {
    /// From a leaf; nothing if it is not hung.
    pub fn of(leaf: &Leaf) -> Result<Option<Self>, ProblemFault> {
        let Motion::Hung(hanging) = &leaf.motion else { return Ok(None) };
        let fault = |what| ProblemFault::Hanging { leaf: leaf.id.clone(), what };
        let mut hinges = hanging.hinges.clone();
        hinges.sort_unstable();
        hinges.dedup();
        let (Some(&low), Some(&high)) = (hinges.first(), hinges.last()) else {
            return Err(fault("a hung leaf has two hinges or more, each with its height above the lower end"));
        };
        if hinges.len() < 2 || hinges.len() != hanging.hinges.len() {
            return Err(fault("a hung leaf has two hinges or more, at different heights"));
        }
        if hinges.len() > MOST_HINGES {
            return Err(fault("at most 8 hinges are allowed"));
        }
        if low.is_negative() || high > leaf.height {
            return Err(fault("a hinge stands off the leaf; heights run from 0 at its lower end to its height"));
        }
        let Some(side) = leaf.hinge else {
            return Err(fault("the hinge side is missing; write \"hinge\": \"left\" or \"right\""));
        };
        let frame = HungFrame {
            sign: if side == Side::Left { 1.0 } else { -1.0 },
            low: low.inches(),
            high: high.inches(),
            size: (leaf.width.inches(), leaf.height.inches()),
        };
        let mut cropped = false;
        let mut way = |found: Result<(Way, bool), &'static str>| -> Result<Way, ProblemFault> {
            let (way, crop) = found.map_err(fault)?;
            cropped |= crop;
            Ok(way)
        };
        let sides = hinges.iter().map(|&hinge| way(side_way(hanging, hinge))).collect::<Result<Vec<_>, _>>()?;
        let adjust = hanging.adjust.as_deref().copied().unwrap_or_default();
        let height = way(adjust.height.map_or(Ok((Way::Locked, false)), |travel| screws(travel, hanging.up)))?;
        let side = |place: Option<&Way>| place.cloned().unwrap_or(Way::Locked);
        let ways = [side(sides.first()), height, side(sides.last())];
        Ok(Some(Self { frame, ways, hinges, sides, screwed: adjust.side.is_some(), cropped }))
    }

    /// What every hinge gets when the lowest and the highest get these steps.
    pub fn all_hinges(&self, low: Step, high: Step) -> Vec<(Length, Step)> {
        let (Way::Steps(_), [first, .., last]) = (&self.ways[0], self.hinges.as_slice()) else {
            return Vec::new();
        };
        let span = last.inches() - first.inches();
        let at = |hinge: Length, way: &Way| {
            if hinge == *first {
                return low;
            }
            if hinge == *last {
                return high;
            }
            let share = (hinge.inches() - first.inches()) / span;
            let line = low.out.inches() + share * (high.out.inches() - low.out.inches());
            let off = |step: &Step| (step.out.inches() - line).abs();
            let Way::Steps(steps) = way else { return Step::NOTHING };
            // Of two equally near the one with fewer pieces, since it comes first.
            steps
                .iter()
                .copied()
                .reduce(|best, step| if off(&step) < off(&best) - 1e-12 { step } else { best })
                .unwrap_or(low)
        };
        self.hinges.iter().zip(&self.sides).map(|(&hinge, way)| (hinge, at(hinge, way))).collect()
    }
}

/// How one hinge may be set to the side from where it stands now; and whether some steps were left out.
fn side_way(hanging: &Hanging, hinge: Length) -> Result<(Way, bool), &'static str> {
    if hanging.pack.is_negative() || hanging.let_in.is_negative() {
        return Err("pack and let_in must not be below zero");
    }
    let adjust = hanging.adjust.as_deref().copied().unwrap_or_default();
    let packs = !hanging.pack.is_zero() || !hanging.let_in.is_zero();
    if packs && adjust.side.is_some() {
        return Err("these hinges have side screws: leave pack and let_in out, or leave adjust.side out");
    }
    let there = hanging.there_at(hinge);
    match adjust.side {
        Some(travel) => screws(travel, there),
        None if !packs => Ok((Way::Locked, false)),
        None => {
            if hanging.stock.is_empty() {
                return Err("there is no pack stock; name a thickness, like \"stock\": [\"0.011\"]");
            }
            if hanging.stock.len() > MOST_STOCK {
                return Err("at most 8 thicknesses of pack stock are allowed");
            }
            if hanging.stock.iter().any(|&one| one <= Length::ZERO) {
                return Err("every thickness of pack stock must be above zero");
            }
            let room = |most: Length, used: Length| most.checked_sub(used).unwrap_or(Length::ZERO);
            Ok(both_ways(&hanging.stock, room(hanging.pack, there), room(hanging.let_in, there.negated())))
        }
    }
}

/// Steps made of these pieces, up to `out` one way and up to `inward` the other.
fn both_ways(pieces: &[Length], out: Length, inward: Length) -> (Way, bool) {
    let (out, much) = sums(pieces, out);
    let (inward, more) = sums(pieces, inward);
    let inward = inward.into_iter().skip(1).map(|step| Step { out: step.out.negated(), ..step });
    (Way::Steps(in_order(out.into_iter().chain(inward).collect())), much || more)
}

fn screws(travel: Travel, there: Length) -> Result<(Way, bool), &'static str> {
    if travel.from > Length::ZERO || travel.to < Length::ZERO {
        return Err("an adjusting range runs from zero or below to zero or above, as the screw stands now");
    }
    // A screw already turned has that much less to go one way, and more the other.
    let left = |end: Length| end.checked_sub(there).unwrap_or(end);
    let (from, to) = (left(travel.from).min(Length::ZERO), left(travel.to).max(Length::ZERO));
    let Some(step) = travel.step else { return Ok((Way::Range(from.inches(), to.inches()), false)) };
    if step <= Length::ZERO {
        return Err("the step of an adjusting screw must be above zero");
    }
    Ok(both_ways(&[step], to, from.negated()))
}

/// Sums of pieces up to `most`, nothing first; each with the fewest pieces that make it, of equals
/// with more of the stock listed first. True if there were more than [`MOST_STEPS`].
fn sums(stock: &[Length], most: Length) -> (Vec<Step>, bool) {
    let mut known = BTreeMap::from([(Length::ZERO, Step::NOTHING)]);
    let mut found = vec![Step::NOTHING];
    let mut at = 0;
    // Breadth first: every sum is reached by its fewest pieces.
    while let Some(&from) = found.get(at) {
        at += 1;
        for (place, &thickness) in stock.iter().enumerate() {
            let Some(out) = from.out.checked_add(thickness).filter(|out| *out <= most) else { continue };
            let mut counts = from.counts;
            let Some(count) = counts.get_mut(place) else { continue };
            *count = count.saturating_add(1);
            if known.contains_key(&out) {
                continue;
            }
            if found.len() > MOST_STEPS {
                return (found, true);
            }
            let step = Step { out, counts };
            known.insert(out, step);
            found.push(step);
        }
    }
    (found, false)
}

/// Fewest pieces first, then out before in, then the thinner.
fn in_order(mut steps: Vec<Step>) -> Vec<Step> {
    steps.sort_by_key(|step| (step.pieces(), step.out.is_negative(), step.out.abs()));
    steps
}

impl Travel {
    /// The nearest setting to `wanted` that the screw can reach, and what is then still missing.
    pub fn nearest(&self, wanted: Length) -> (Length, Length) {
        let held = wanted.clamp(self.from.min(self.to), self.to.max(self.from));
        let stepped = self.step.filter(|step| *step > Length::ZERO).and_then(|step| {
            let count = (held.inches() / step.inches()).round() as i64;
            let near = step.checked_scale(count, 1)?;
            let inward = if near.is_negative() { step } else { step.negated() };
            if near < self.from || near > self.to { near.checked_add(inward) } else { Some(near) }
        });
        let set = stepped.unwrap_or(held);
        (set, wanted.checked_sub(set).unwrap_or(Length::ZERO))
    }
}

impl Adjust {
    /// Is there any screw at all?
    pub fn is_any(&self) -> bool {
        self.side.is_some() || self.height.is_some() || self.depth.is_some()
    }
}
