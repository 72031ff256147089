//! The tapered rip: the edge opposite the cut bears on the fence by its corner and by a pad.

use super::feed::{Fence, bears_straight};
use super::geometry::{Bearing, CutLine};
use super::job::{CutJob, End, Kit};
use super::pads::{Ask, Candidate};
pub use super::setting::Setting;
use super::setting::{by_end, moved, on_the_rule, without_steps, worst};
use super::tools::{Measured, Saw, ShimStock};
use super::words::Refusal;
use crate::fit::length::{Inches, Length};
use crate::fit::opening::Edge;
use serde::Serialize;
use std::cell::Cell;

/// Most piles laid out for a short fence.
const MOST_STEPS: u32 = 8;
/// Errors are compared in steps of this many inches before fewer layers win.
const SAME_ERROR: f64 = 0.001;
/// Without pads the edge lies flat; this share of it must be on the fence as the cut begins and as
/// it ends. A judgement, no source.
const FLAT_SHARE: f64 = 0.25;

/// Layers of one stock in a pad.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Layer {
    /// The shop's name for the stock.
    pub stock: String,
    /// How many layers.
    pub count: u32,
    /// Thickness of one, as this shop measured it.
    pub each: Length,
}

/// A pad: a pile of layers with its near edge at a distance from the pivot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pad {
    /// From the pivot corner to the pad's edge nearest the pivot, on the ruler.
    pub at: Length,
    /// How long the pad is along the edge.
    pub length: Inches,
    /// What it is made of, no stock twice.
    pub layers: Vec<Layer>,
    /// The whole pile.
    pub thickness: Length,
}

impl Pad {
    /// As the fence feels it.
    pub fn bearing(&self) -> Bearing {
        Bearing { at: Inches(self.at.inches()), thickness: Inches(self.thickness.inches()) }
    }
}

/// A tapered (or, without pads, a parallel) rip against the fence.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rip {
    /// The saw it is for.
    pub saw: String,
    /// The edge on the fence.
    pub reference: Edge,
    /// The end of that edge whose corner bears on the fence itself.
    pub pivot: End,
    /// The end that goes first past the blade.
    pub lead: End,
    /// The pads, nearest the pivot first. One, several that touch at once, or none.
    pub pads: Vec<Pad>,
    /// Move of the fence toward the blade from where the blade just kisses the leaf. The better
    /// setting of the two: it does not depend on how well the width is known.
    pub fence_move: Setting,
    /// Which end of the cut edge is kissed.
    pub kiss: End,
    /// Fence to near face of the blade, if set by the rule instead: no more than wanted at either end. None
    /// where the finest move is so coarse that it would leave more standing than rounding may.
    pub fence_absolute: Option<Setting>,
    /// Standard uncertainty of the removal at the end away from the pivot, from the stock.
    pub stock_sd: Inches,
    /// Leaf widths at both ends before the cut, and after it.
    pub width_before: [Inches; 2],
    /// Widths expected after the cut.
    pub width_after: [Inches; 2],
    /// Length of the edge.
    pub length: Inches,
}

impl Rip {
    /// The pads as the fence feels them.
    pub fn bearings(&self) -> Vec<Bearing> {
        self.pads.iter().map(Pad::bearing).collect()
    }

    /// Fence to blade after the move from kissing (unrounded).
    pub fn fence_distance(&self) -> Inches {
        let tangent = super::geometry::tilt(&self.bearings()).map_or(0.0, |angle| angle.0.tan());
        let [start, end] = self.width_before.map(Inches::get);
        let (near, far) = if self.pivot == End::Start { (start, end) } else { (end, start) };
        let line = CutLine { near, far, length: self.length.get(), tangent };
        Inches(line.kiss().0 - self.fence_move.value.inches())
    }
}

/// Stretches without wood on `edge`, measured from `pivot`.
pub(crate) fn bare(job: &CutJob, edge: Edge, length: f64, pivot: End) -> Vec<(f64, f64)> {
    job.no_contact
        .iter()
        .filter(|zone| zone.edge == edge)
        .map(|zone| {
            let (a, b) = (zone.from.get(), zone.to.get());
            if pivot == End::Start { (a, b) } else { (length - b, length - a) }
        })
        .collect()
}

/// What fits best, with the errors it leaves after all rounding.
pub(crate) struct Choice {
    pub candidate: Option<Candidate>,
    pub line: CutLine,
    pub lead_pivot: bool,
    pub errors: (f64, f64),
}

/// Keeps the best: least error in whole thousandths, then fewest layers, then least error.
pub(crate) fn better(new: &Choice, old: Option<&Choice>) -> bool {
    let key = |c: &Choice| {
        let layers = c.candidate.as_ref().map_or(0, Candidate::all_layers);
        ((worst(c.errors) / SAME_ERROR).floor(), layers, worst(c.errors))
    };
    old.is_none_or(|old| {
        let (a, b) = (key(new), key(old));
        a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2)).is_lt()
    })
}

/// The pads of a candidate, nearest the pivot first.
pub(crate) fn pads(candidate: &Candidate, stock: &[ShimStock], ruler: Length, length: Inches) -> Option<Vec<Pad>> {
    (1..=candidate.steps)
        .map(|k| {
            let mut layers = Vec::new();
            let mut thickness = Length::ZERO;
            for (stock, &count) in stock.iter().zip(&candidate.layers).filter(|(_, count)| **count > 0) {
                let count = count * k;
                thickness = thickness.checked_add(stock.thickness.checked_scale(i64::from(count), 1)?)?;
                layers.push(Layer { stock: stock.name.clone(), count, each: stock.thickness });
            }
            let at = ruler.checked_scale(candidate.every.checked_mul(i64::from(k))?, 1)?;
            Some(Pad { at, length, layers, thickness })
        })
        .collect()
}

/// Standard uncertainty of a pile: layers of one stock are off together.
pub(crate) fn pile_sd(candidate: &Candidate, stock: &[ShimStock]) -> f64 {
    stock
        .iter()
        .zip(&candidate.layers)
        .map(|(stock, n)| (stock.standard_uncertainty().get() * f64::from(n * candidate.steps)).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// Does any pad use a starting value?
pub(crate) fn starting_values(pads: &[Pad], stock: &[ShimStock]) -> bool {
    pads.iter()
        .flat_map(|pad| &pad.layers)
        .any(|layer| stock.iter().any(|stock| stock.name == layer.stock && stock.measured == Measured::StartingValue))
}

/// The rip set-up for `job`, or why it is refused.
pub(crate) fn rip(job: &CutJob, kit: &Kit) -> Result<Rip, Refusal> {
    let mut refusal = Refusal::NoTool;
    for saw in kit.saws {
        match on_saw(job, kit, saw) {
            Ok(rip) => return Ok(rip),
            Err(why) => refusal = why,
        }
    }
    Err(refusal)
}

/// What no saw set-up may do: narrow leaves, more than a kerf.
pub(crate) fn saw_rules(job: &CutJob, kit: &Kit, saw: &Saw) -> Result<(), Refusal> {
    if saw.kerf <= Length::ZERO {
        return Err(Refusal::NoTool);
    }
    if job.most() > saw.kerf.inches() {
        return Err(Refusal::MoreThanAKerf);
    }
    let narrowest = f64::min(job.width_start.get() - job.start.get(), job.width_end.get() - job.end.get());
    if narrowest < kit.limits.narrowest_fed.get() {
        return Err(Refusal::TooNarrowToFeed);
    }
    Ok(())
}

fn on_saw(job: &CutJob, kit: &Kit, saw: &Saw) -> Result<Rip, Refusal> {
    saw_rules(job, kit, saw)?;
    let length = job.length.get();
    if length < job.width_start.get().max(job.width_end.get()) {
        return Err(Refusal::EdgeShorterThanDistance);
    }
    if length < kit.limits.shortest_fed.get() {
        return Err(Refusal::TooShortToFeed);
    }
    let fence = Fence { before: saw.fence_before.inches(), behind: saw.fence_behind.inches() };
    // The finished leaf is narrower away from the pivot: the pad lifts that end.
    let left = [End::Start, End::End].map(|end| job.width(end) - job.removal(end));
    let pivot = if left[0] >= left[1] { End::Start } else { End::End };
    let far = pivot.other();
    let wanted = (job.removal(pivot), job.removal(far));
    let line = |tangent| CutLine { near: job.width(pivot), far: job.width(far), length, tangent };
    let tangent = (left[0] - left[1]).abs() / length;
    let reference = job.edge.opposite();
    bears_straight(job, kit, reference)?;
    let bare = bare(job, reference, length, pivot);
    let ask = Ask { stock: kit.stock, ruler: kit.ruler, limits: &kit.limits, edge: length, tangent, bare: &bare };
    if !ask.is_wood(0.0, kit.limits.pad.get()) {
        return Err(Refusal::NoWoodToBearOn);
    }
    let finest = saw.finest_move;
    let limit = kit.limits.rounding.get();
    // Whatever a finer fence would do: then it is no pad that is wanting.
    let too_coarse = Cell::new(false);
    let setting = |line: &CutLine| {
        too_coarse.set(too_coarse.get() || without_steps(line, wanted) <= limit);
        moved(line, wanted, finest)
    };
    let mut best: Option<Choice> = None;
    // No pad: the edge lies flat, and the taper that is not made is shared by both ends.
    let flat = fence.before.min(fence.behind) >= length * FLAT_SHARE;
    let lying = flat.then(|| setting(&line(0.0))).flatten();
    if let Some((_, errors)) = lying.filter(|(_, errors)| worst(*errors) <= limit) {
        let lead_pivot = lead_is(job, pivot).unwrap_or(true);
        best = Some(Choice { candidate: None, line: line(0.0), lead_pivot, errors });
    }
    let padded = if tangent * length > 1e-6 {
        padded(job, &ask, pivot, fence, &line, &setting)
    } else {
        Err(if flat { Refusal::NoPadFits } else { Refusal::FenceTooShort })
    };
    let refusal = match padded {
        Ok(choice) => {
            if better(&choice, best.as_ref()) {
                best = Some(choice);
            }
            Refusal::NoPadFits
        }
        Err(why) => why,
    };
    let refusal = if too_coarse.get() { Refusal::FenceTooCoarse } else { refusal };
    let choice = best.filter(|best| worst(best.errors) <= limit).ok_or(refusal)?;
    finish(job, kit, saw, pivot, wanted, &choice).ok_or(Refusal::NoPadFits)
}

fn lead_is(job: &CutJob, pivot: End) -> Option<bool> {
    job.lead.map(|lead| lead == pivot)
}

fn padded(
    job: &CutJob,
    ask: &Ask,
    pivot: End,
    fence: Fence,
    line: &impl Fn(f64) -> CutLine,
    setting: &impl Fn(&CutLine) -> Option<(Length, (f64, f64))>,
) -> Result<Choice, Refusal> {
    let thinnest = ask.thinnest().ok_or(Refusal::NoPadFits)?;
    let taper = ask.tangent * ask.edge;
    if taper < thinnest {
        return Err(Refusal::TaperBelowOneLayer);
    }
    let leads = lead_is(job, pivot).map_or(vec![true, false], |lead| vec![lead]);
    let (mut short_of_wood, mut any) = (false, false);
    let mut best: Option<Choice> = None;
    let mut found = Vec::new();
    for steps in 1..=MOST_STEPS.min(ask.limits.layers) {
        found.clear();
        ask.candidates(steps, &mut found, &mut short_of_wood);
        any |= !found.is_empty();
        for candidate in found.drain(..) {
            let Some(lead_pivot) = leads.iter().copied().find(|&lead| holds(&candidate, fence, ask.edge, lead)) else {
                continue;
            };
            let line = line(candidate.thickness / candidate.at);
            let Some((_, errors)) = setting(&line) else { continue };
            let choice = Choice { candidate: Some(candidate), line, lead_pivot, errors };
            if better(&choice, best.as_ref()) {
                best = Some(choice);
            }
        }
        // Fewest piles that come near enough.
        if best.as_ref().is_some_and(|best| worst(best.errors) <= ask.limits.rounding.get()) {
            break;
        }
    }
    best.ok_or_else(|| {
        let last = ask.edge - ask.limits.pad.get();
        if any {
            Refusal::FenceTooShort
        } else if short_of_wood {
            Refusal::NoWoodToBearOn
        } else if ask.tangent * last < thinnest {
            Refusal::PadOffTheLeaf
        } else if thickest(ask) < ask.tangent * ask.edge / 2.0 {
            Refusal::PadTooThick
        } else {
            Refusal::NoPadFits
        }
    })
}

fn thickest(ask: &Ask) -> f64 {
    let one = ask.stock.iter().map(|stock| stock.thickness.inches()).fold(0.0, f64::max);
    one * f64::from(ask.limits.layers)
}

/// Do the pivot and the pads keep two bearings on the fence all the way?
fn holds(candidate: &Candidate, fence: Fence, length: f64, lead_pivot: bool) -> bool {
    let each = candidate.at / f64::from(candidate.steps);
    let bearings: Vec<f64> = (0..=candidate.steps)
        .map(|k| each * f64::from(k))
        .map(|at| if lead_pivot { at } else { length - at })
        .collect();
    fence.holds(&bearings, length)
}

fn finish(job: &CutJob, kit: &Kit, saw: &Saw, pivot: End, wanted: (f64, f64), choice: &Choice) -> Option<Rip> {
    let line = choice.line;
    let (kiss, kiss_far) = line.kiss();
    let by_move = moved(&line, wanted, saw.finest_move)?;
    let by_rule = on_the_rule(&line, wanted, saw.finest_move, kit.limits.rounding);
    let removed = line.removal(kiss - by_move.0.inches());
    let (start, end) = by_end(pivot, (line.near - removed.0, line.far - removed.1));
    let (pads, stock_sd) = match &choice.candidate {
        Some(candidate) => (
            pads(candidate, kit.stock, kit.ruler, kit.limits.pad)?,
            pile_sd(candidate, kit.stock) / candidate.at * job.length.get(),
        ),
        None => (Vec::new(), 0.0),
    };
    Some(Rip {
        saw: saw.name.clone(),
        reference: job.edge.opposite(),
        pivot,
        lead: if choice.lead_pivot { pivot } else { pivot.other() },
        pads,
        fence_move: Setting::of(by_move, pivot),
        kiss: if kiss_far { pivot.other() } else { pivot },
        fence_absolute: by_rule.map(|rule| Setting::of(rule, pivot)),
        stock_sd: Inches(stock_sd),
        width_before: [job.width_start, job.width_end],
        width_after: [start, end],
        length: job.length,
    })
}
