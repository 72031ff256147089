//! The sled: the edge that meets the cut lies on the sled's fence, a pad near the cut turns the leaf.

use super::geometry::{Bearing, CutLine};
use super::job::{CutJob, End, Kit};
use super::pads::Ask;
use super::rip::{Choice, Pad, bare, better, pads, pile_sd, saw_rules};
use super::setting::{Setting, moved, on_the_rule, without_steps, worst};
use super::words::Refusal;
use crate::fit::length::{Inches, Length};
use crate::fit::opening::Edge;
use serde::Serialize;
use std::cell::Cell;

/// A cut across the leaf on a sled.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OnSled {
    /// The sled it is for.
    pub sled: String,
    /// The edge on the sled's fence.
    pub reference: Edge,
    /// Which corner of the cut edge lies on the sled's fence.
    pub at: End,
    /// The pad, if any, measured along the reference edge from its far corner (away from the cut).
    pub pads: Vec<Pad>,
    /// Move of the leaf (or stop) toward the blade from where the blade just kisses it.
    pub stop_move: Setting,
    /// From the stop (the reference edge's corner away from the cut) to the blade, if set by the rule instead:
    /// no more than wanted at either end. None where the finest move is too coarse for that.
    pub stop_absolute: Option<Setting>,
    /// Which end of the cut edge is kissed.
    pub kiss: End,
    /// Standard uncertainty of the removal at the corner away from the fence, from the stock.
    pub stock_sd: Inches,
    /// Length of the reference edge before the cut.
    pub reference_length: Inches,
    /// How far the cut edge's other corner stands beyond square before the cut.
    pub out_of_square: Inches,
    /// Length of the cut edge.
    pub length: Inches,
}

impl OnSled {
    /// The pads as the fence feels them.
    pub fn bearings(&self) -> Vec<Bearing> {
        self.pads.iter().map(Pad::bearing).collect()
    }

    pub(crate) fn line(&self, bearings: &[Bearing]) -> CutLine {
        let tangent = -super::geometry::tilt(bearings).map_or(0.0, |angle| angle.0.tan());
        let near = self.reference_length.get();
        CutLine { near, far: near + self.out_of_square.get(), length: self.length.get(), tangent }
    }
}

/// The edge that meets `edge` at `end`.
pub(crate) fn adjoining_edge(edge: Edge, end: End) -> Edge {
    match (edge.is_upright(), end) {
        (true, End::Start) => Edge::Bottom,
        (true, End::End) => Edge::Top,
        (false, End::Start) => Edge::Left,
        (false, End::End) => Edge::Right,
    }
}

/// The sled set-up for `job`, or why it is refused.
pub(crate) fn sled(job: &CutJob, kit: &Kit) -> Result<OnSled, Refusal> {
    let saw = kit.saws.first().ok_or(Refusal::NoTool)?;
    match saw_rules(job, kit, saw) {
        // On a sled the leaf is held, not fed: its width does not matter.
        Ok(()) | Err(Refusal::TooNarrowToFeed) => {}
        Err(why) => return Err(why),
    }
    // The hinge side first: it is the reference of the whole leaf.
    let hinge_end = [End::Start, End::End]
        .into_iter()
        .find(|&end| job.hinge.is_some_and(|side| side.edge() == adjoining_edge(job.edge, end)))
        .unwrap_or(End::Start);
    let mut refusal = Refusal::NoTool;
    let mut best: Option<(Choice, OnSled)> = None;
    for sled in kit.sleds {
        for at in [hinge_end, hinge_end.other()] {
            match on_sled(job, kit, sled.fence, at, saw.finest_move) {
                Ok((choice, mut set_up)) => {
                    set_up.sled.clone_from(&sled.name);
                    if better(&choice, best.as_ref().map(|best| &best.0)) {
                        best = Some((choice, set_up));
                    }
                }
                // A pad on the wrong side says less than whatever else stood in the way.
                Err(why) if refusal == Refusal::NoTool || why != Refusal::NoPadFits => refusal = why,
                Err(_) => {}
            }
        }
        if best.is_some() {
            break;
        }
    }
    best.map(|best| best.1).ok_or(refusal)
}

fn on_sled(job: &CutJob, kit: &Kit, fence: Length, at: End, finest: Length) -> Result<(Choice, OnSled), Refusal> {
    let length = job.length.get();
    let adjoining = job.adjoining[usize::from(at == End::End)];
    let height = adjoining.length.get();
    if height > fence.inches() {
        return Err(Refusal::SledTooShort);
    }
    // How deep a sled is nobody asks: it is taken to be as deep as its fence is long. A judgement, no source.
    if length > fence.inches() {
        return Err(Refusal::CutTooLongForSled);
    }
    if height < length / 2.0 {
        return Err(Refusal::ReferenceTooShort);
    }
    let reference = adjoining_edge(job.edge, at);
    super::feed::bears_straight(job, kit, reference)?;
    let square = adjoining.out_of_square.map_or(0.0, Inches::get);
    let wanted = (job.removal(at), job.removal(at.other()));
    // How far the new edge's other corner shall stand beyond square.
    let tangent = (square - wanted.1 + wanted.0) / length;
    let line = |tangent: f64| CutLine { near: height, far: height + square, length, tangent: -tangent };
    let limit = kit.limits.rounding.get();
    // Whatever a finer stop would do: then it is no pad that is wanting.
    let too_coarse = Cell::new(false);
    let setting = |line: &CutLine| {
        too_coarse.set(too_coarse.get() || without_steps(line, wanted) <= limit);
        moved(line, wanted, finest)
    };
    // The pivot is the reference edge's corner away from the cut.
    let cut_at_end = matches!(job.edge, Edge::Top | Edge::Right);
    let pivot = if cut_at_end { End::Start } else { End::End };
    let bare = bare(job, reference, height, pivot);
    let kept = height - wanted.0;
    let mut best = setting(&line(0.0)).filter(|(_, errors)| worst(*errors) <= limit).map(|(_, errors)| Choice {
        candidate: None,
        line: line(0.0),
        lead_pivot: true,
        errors,
    });
    let mut refusal = Refusal::NoPadFits;
    if tangent > 0.0 && tangent * length > 1e-6 {
        let ask = Ask { stock: kit.stock, ruler: kit.ruler, limits: &kit.limits, edge: kept, tangent, bare: &bare };
        if !ask.is_wood(0.0, kit.limits.pad.get()) {
            return Err(Refusal::NoWoodToBearOn);
        }
        let (mut found, mut short_of_wood) = (Vec::new(), false);
        ask.candidates(1, &mut found, &mut short_of_wood);
        refusal = match ask.thinnest() {
            Some(thinnest) if tangent * kept < thinnest => Refusal::TaperBelowOneLayer,
            _ if found.is_empty() && short_of_wood => Refusal::NoWoodToBearOn,
            _ => Refusal::NoPadFits,
        };
        for candidate in found {
            let line = line(candidate.thickness / candidate.at);
            let Some((_, errors)) = setting(&line) else { continue };
            let choice = Choice { candidate: Some(candidate), line, lead_pivot: true, errors };
            if better(&choice, best.as_ref()) {
                best = Some(choice);
            }
        }
    }
    let refusal = if too_coarse.get() { Refusal::FenceTooCoarse } else { refusal };
    let choice = best.filter(|best| worst(best.errors) <= limit).ok_or(refusal)?;
    let line = choice.line;
    let (_, kiss_far) = line.kiss();
    let by_move = moved(&line, wanted, finest).ok_or(refusal)?;
    let by_rule = on_the_rule(&line, wanted, finest, kit.limits.rounding);
    let (pads, stock_sd) = match &choice.candidate {
        Some(candidate) => (
            pads(candidate, kit.stock, kit.ruler, kit.limits.pad).ok_or(refusal)?,
            pile_sd(candidate, kit.stock) / candidate.at * length,
        ),
        None => (Vec::new(), 0.0),
    };
    let set_up = OnSled {
        sled: String::new(),
        reference,
        at,
        pads,
        stop_move: Setting::of(by_move, at),
        stop_absolute: by_rule.map(|rule| Setting::of(rule, at)),
        kiss: if kiss_far { at.other() } else { at },
        stock_sd: Inches(stock_sd),
        reference_length: adjoining.length,
        out_of_square: Inches(square),
        length: job.length,
    };
    Ok((choice, set_up))
}
