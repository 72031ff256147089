//! What is kept before a leaf hangs: the survey, how each leaf is made, parts sawn, the reveal decided.

use super::event::{Event, Record};
use super::pin::PinTold;
use super::replay::{OpeningState, Said};
pub use crate::before::blank::Grain;
use crate::before::blank::tick::SawnTo;
use crate::before::blank::{Construction, Frame, PartKind};
use crate::before::survey::{Shape, Tape};
use crate::before::swing::Pin;
use crate::before::wood::Sawn;
use crate::fit::length::Length;
use crate::fit::opening::{Edge, EdgeSet, Side};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Three lengths, each of which may have been left out.
pub type Three = [Option<Length>; 3];

/// Tape, diagonals and straightedge of an opening, where measured. Any single length may be left out
/// (`null` in the file); logs of earlier builds have all three of a list, or none.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SurveyTaken {
    /// Widths at bottom, middle, top.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub widths: Option<Three>,
    /// Heights at left, middle, right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heights: Option<Three>,
    /// Diagonals: lower left to upper right, then upper left to lower right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diagonals: Option<[Option<Length>; 2]>,
    /// Straightedge at mid of the left, right, bottom, top side: hollow above zero, round below.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bows: Option<[Option<Length>; 4]>,
}

impl SurveyTaken {
    /// As the model takes it.
    pub fn tape(&self) -> Tape {
        Tape {
            widths: self.widths.unwrap_or_default(),
            heights: self.heights.unwrap_or_default(),
            diagonals: self.diagonals.unwrap_or_default(),
            bows: self.bows.unwrap_or_default(),
        }
    }

    /// From what the model takes; a list with nothing in it is left out.
    pub fn of(tape: &Tape) -> Self {
        Self {
            widths: Some(tape.widths).filter(|list| list.iter().any(Option::is_some)),
            heights: Some(tape.heights).filter(|list| list.iter().any(Option::is_some)),
            diagonals: Some(tape.diagonals).filter(|list| list.iter().any(Option::is_some)),
            bows: Some(tape.bows).filter(|list| list.iter().any(Option::is_some)),
        }
    }
}

/// A leaf that will hang here and has no size yet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafToCome {
    /// Its short name within the opening.
    pub leaf: String,
    /// The user's words for it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Where it will hang; none for a drawer front.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hinge: Option<Side>,
    /// How it will be made, where that was said already.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<crate::cut::job::Construction>,
    /// Its height when done, where it was said; none: its share of what the leaves in a row with it leave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Length>,
    /// Its share of what is left, against the other leaves without a height; none: 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<u32>,
}

/// Where a hinge pin stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PinAt {
    /// Off the leaf's hinge edge, toward the frame; below zero: within the leaf's width.
    pub off_edge: Length,
    /// In front of the leaf's face; below zero: behind it.
    pub in_front: Length,
}

impl From<PinAt> for Pin {
    fn from(at: PinAt) -> Self {
        Self { off_edge: at.off_edge, in_front: at.in_front }
    }
}

/// How a leaf is made. A later one for the same leaf replaces it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BuildDescribed {
    /// Which leaf, described or still to come.
    pub leaf: String,
    /// Thickness of frame or slab.
    pub thickness: Length,
    /// Stiles, rails, joint and panel; none: a solid front.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frame: Option<Frame>,
    /// Grain of a solid front.
    #[serde(default, skip_serializing_if = "is_level")]
    pub grain: Grain,
    /// The wood, as the table of movement names it; empty: not said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub species: String,
    /// How it was sawn.
    #[serde(default)]
    pub sawn: Sawn,
    /// What each trimmed edge of the blank has to spare.
    pub allowance: Length,
    /// Edges that will be trimmed; the others get no allowance.
    #[serde(default = "all_edges")]
    pub trimmed: EdgeSet,
    /// The finish it will get, by its name in the settings; empty: none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finish: String,
    /// The finish that the frame's edges round it will still get; empty: none, or it is on already.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub frame_finish: String,
    /// Where its hinge pin stands, as older builds kept it; now an event of its own ([`PinTold`]).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pin: Option<PinAt>,
}

impl BuildDescribed {
    /// As the model takes it.
    pub fn construction(&self) -> Construction {
        self.frame.map_or(Construction::Solid(self.grain), Construction::Framed)
    }
}

/// A part of the cut list is sawn, or is not after all.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartChecked {
    /// Which leaf.
    pub leaf: String,
    /// Which part of it.
    pub part: PartKind,
    /// Sawn?
    pub done: bool,
    /// What it was sawn to; logs of earlier builds have not got it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<SawnTo>,
}

/// What was last said of a part of the cut list.
#[derive(Clone, Debug, PartialEq)]
pub struct PartTicked {
    /// Sawn?
    pub done: bool,
    /// What it was sawn to, where that was said.
    pub size: Option<SawnTo>,
    /// Else the opening as it was when the part was ticked: sizes come of it.
    pub then: Option<Box<OpeningState>>,
}

/// The reveal of one gap line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GapTarget {
    /// Which gap line.
    pub between: [String; 2],
    /// The reveal to fit to.
    pub target: Length,
    /// The reveal wanted when finish is on and the year is halfway.
    pub finished: Length,
}

/// The raw reveals decided: what is fitted to from now on, and what for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RevealDecided {
    /// For each gap line that it decides.
    pub gaps: Vec<GapTarget>,
}

/// What the events before hanging amount to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Making {
    /// Leaves that will hang here and have no size yet, as the opening names them.
    pub to_come: Vec<LeafToCome>,
    /// How each leaf is made, as last said.
    pub builds: Vec<Said<BuildDescribed>>,
    /// Finished width and height of leaves described, by short name: less the allowances where a blank was glued up.
    pub sizes: BTreeMap<String, [Length; 2]>,
    /// Leaves glued up, by short name: how they were made.
    pub glued: BTreeMap<String, BuildDescribed>,
    /// Where the pins of leaves stand, by short name.
    pub pins: BTreeMap<String, PinTold>,
    /// Parts of which it was said whether they are sawn.
    pub parts: BTreeMap<(String, PartKind), PartTicked>,
    /// Gap lines whose raw reveal was decided: the reveal wanted when all is done.
    pub finished: Vec<([String; 2], Length)>,
}

impl Making {
    /// How leaf `id` is made.
    pub fn build(&self, id: &str) -> Option<&BuildDescribed> {
        self.builds.iter().find(|said| said.what.leaf == id).map(|said| &said.what)
    }

    /// The reveal wanted of a gap line when all is done, where a raw one was decided.
    pub fn finished(&self, between: &[String; 2]) -> Option<Length> {
        self.finished.iter().find(|(sides, _)| sides == between).map(|(_, finished)| *finished)
    }
}

impl OpeningState {
    /// Short names of its leaves: those described, then those still to come.
    pub fn leaf_ids(&self) -> Vec<&str> {
        let described = self.leaves.iter().map(|leaf| leaf.what.leaf.as_str());
        described.chain(self.without_size()).collect()
    }

    /// Short names of the leaves still to come that have no size yet.
    pub fn without_size(&self) -> Vec<&str> {
        let to_come = self.making.to_come.iter().map(|leaf| leaf.leaf.as_str());
        to_come.filter(|id| self.leaf(id).is_none()).collect()
    }

    /// Do the readings of the survey contradict each other, or make no shape? Then no size comes of them.
    pub fn survey_contradicts(&self) -> bool {
        let shape = self.survey.as_ref().map(|survey| Shape::from_tape(&survey.tape()));
        shape.is_some_and(|shape| shape.map_or(true, |shape| !shape.suspects.is_empty()))
    }

    /// Where leaf `id` hangs, or will.
    pub fn hinge_of(&self, id: &str) -> Option<Side> {
        let to_come = || self.making.to_come.iter().find(|leaf| leaf.leaf == id).and_then(|leaf| leaf.hinge);
        self.leaf(id).map_or_else(to_come, |leaf| leaf.hinge)
    }

    /// The reveal to fit to on one edge of leaf `id`.
    pub fn target_on(&self, id: &str, edge: Edge) -> Option<Length> {
        let side = format!("{id}.{edge}");
        self.gaps.iter().find(|gap| gap.between.contains(&side)).map(|gap| gap.target)
    }

    /// The reveal wanted on one edge when all is done: what sizes are reckoned from, whatever film and season
    /// add to the reveal fitted to.
    pub fn wanted_on(&self, id: &str, edge: Edge) -> Option<Length> {
        let side = format!("{id}.{edge}");
        let line = self.gaps.iter().find(|gap| gap.between.contains(&side))?;
        Some(self.making.finished(&line.between).unwrap_or(line.target))
    }

    /// Takes a description that comes before hanging; others are passed over.
    pub(super) fn take_making(&mut self, record: &Record) {
        let said = |what| Said { n: record.n, at: record.at.clone(), what };
        match &record.event {
            Event::Survey(survey) => self.survey = Some(survey.clone()),
            Event::Heights(told) => self.making.heights_told(told),
            Event::Pin(told) => self.making.pin_told(told),
            Event::Build(build) => {
                if let Some(PinAt { off_edge, in_front }) = build.pin {
                    let leaf = build.leaf.clone();
                    self.making.pin_told(&PinTold { leaf, off_edge, in_front, thickness: None });
                }
                let build = said(build.clone());
                match self.making.builds.iter_mut().find(|known| known.what.leaf == build.what.leaf) {
                    Some(known) => *known = build,
                    None => self.making.builds.push(build),
                }
            }
            Event::Part(part) => {
                // Without what was ticked before: nothing looks that far back.
                let then = || {
                    let mut then = self.clone();
                    then.making.parts.clear();
                    Box::new(then)
                };
                let then = (part.done && part.size.is_none()).then(then);
                let ticked = PartTicked { done: part.done, size: part.size, then };
                self.making.parts.insert((part.leaf.clone(), part.part), ticked);
            }
            Event::Reveal(reveal) => {
                for decided in &reveal.gaps {
                    if let Some(line) = self.gaps.iter_mut().find(|line| line.between == decided.between) {
                        line.target = decided.target;
                        self.making.finished.retain(|(sides, _)| *sides != decided.between);
                        self.making.finished.push((decided.between.clone(), decided.finished));
                    }
                }
            }
            _ => {}
        }
    }

    /// Does what such an event speaks of still stand in the description?
    pub(super) fn making_stands(&self, event: &Event) -> Result<(), String> {
        let known = |leaf: &str| {
            if self.leaf_ids().contains(&leaf) { Ok(()) } else { Err(format!("no leaf '{leaf}' is described")) }
        };
        match event {
            Event::Build(build) => known(&build.leaf),
            Event::Heights(told) => told.leaves.iter().try_for_each(|wanted| known(&wanted.leaf)),
            Event::Pin(told) => known(&told.leaf),
            Event::Part(part) => known(&part.leaf),
            Event::Reveal(reveal) => match reveal.gaps.iter().find(|gap| self.gap_between(&gap.between).is_none()) {
                Some(gap) => Err(format!("there is no gap line between {} and {}", gap.between[0], gap.between[1])),
                None => Ok(()),
            },
            _ => Ok(()),
        }
    }
}

fn all_edges() -> EdgeSet {
    EdgeSet::ALL
}

// serde hands over a reference.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn is_level(grain: &Grain) -> bool {
    *grain == Grain::Level
}
