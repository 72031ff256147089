//! One edge to trim, and what the shop has to trim it with.

use super::tools::{Plane, Saw, ShimStock, Sled, finest_step};
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Edge, Leaf, Side};
use crate::fit::plan::Trim;
use serde::{Deserialize, Serialize};

/// An end of an edge: `Start` is its lower or left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// Lower or left corner.
    Start,
    /// Upper or right corner.
    End,
}

impl End {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Start => Self::End,
            Self::End => Self::Start,
        }
    }

    /// What a cabinetmaker calls this end of `edge`.
    pub fn word(self, edge: Edge) -> &'static str {
        match (edge.is_upright(), self) {
            (true, Self::Start) => "lower end",
            (true, Self::End) => "upper end",
            (false, Self::Start) => "left end",
            (false, Self::End) => "right end",
        }
    }
}

/// A means of taking wood off an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Against the rip fence, with pads.
    Rip,
    /// On a sled, with a pad on its fence.
    Sled,
    /// To a line: track saw, or a pencil line and any tool that follows it.
    GuideLine,
    /// Hand plane, full and stopped strokes.
    Plane,
    /// A sanding block.
    SandingBlock,
}

impl Method {
    /// All of them, in the order tried where the shop has no ranking of its own: the gentlest
    /// that suits the amount first.
    pub const ALL: [Self; 5] = [Self::SandingBlock, Self::Plane, Self::Rip, Self::Sled, Self::GuideLine];

    /// The word in logs (`CutDone::method`).
    pub fn word(self) -> &'static str {
        match self {
            Self::Rip => "rip",
            Self::Sled => "sled",
            Self::GuideLine => "guide-line",
            Self::Plane => "plane",
            Self::SandingBlock => "sanding-block",
        }
    }
}

/// How the leaf is made: it decides where end grain shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Construction {
    /// Stiles run the full height, rails between: stile ends show at top and bottom.
    #[default]
    Framed,
    /// Solid, grain running left to right: both ends are end grain.
    SolidAcross,
    /// Solid, grain running up and down: top and bottom are end grain.
    SolidUpright,
    /// Nobody said: taken as framed, with a caution. Never written to a log.
    #[serde(skip)]
    Unsaid,
}

/// End grain met along an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum EndGrain {
    /// Long grain only.
    None,
    /// At both ends of the edge (stile ends).
    AtTheEnds,
    /// All along.
    Throughout,
}

impl Construction {
    /// The end grain met along `edge`.
    pub fn end_grain(self, edge: Edge) -> EndGrain {
        match (self, edge.is_upright()) {
            (Self::Framed | Self::Unsaid, false) => EndGrain::AtTheEnds,
            (Self::SolidAcross, true) | (Self::SolidUpright, false) => EndGrain::Throughout,
            (Self::Framed | Self::Unsaid | Self::SolidUpright, true) | (Self::SolidAcross, false) => EndGrain::None,
        }
    }
}

/// A stretch of an edge with no wood to bear on (an arch, a cut-out), from its lower or left end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct NoContact {
    /// Which edge.
    pub edge: Edge,
    /// Where it begins.
    pub from: Inches,
    /// Where it stops.
    pub to: Inches,
}

/// How straight an edge is, as a straightedge or a fresh saw cut tells.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Straight {
    /// Which edge.
    pub edge: Edge,
    /// Hollow at its middle above zero, round below.
    pub bow: Inches,
}

/// The edge that meets the cut edge at one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Adjoining {
    /// Its length.
    pub length: Inches,
    /// How far the cut edge's *other* corner stands beyond a line struck square from this edge at
    /// the shared corner; below zero if it falls short. Unknown is taken as square, and said.
    pub out_of_square: Option<Inches>,
}

/// One edge to trim.
#[derive(Clone, Debug, PartialEq)]
pub struct CutJob {
    /// Which edge.
    pub edge: Edge,
    /// Its length; the opposite edge is taken to be as long.
    pub length: Inches,
    /// Wood to remove at its lower or left corner, measured square to the opposite edge.
    pub start: Inches,
    /// Wood to remove at its upper or right corner.
    pub end: Inches,
    /// Leaf width from the opposite edge to this one at the lower or left corner.
    pub width_start: Inches,
    /// The same at the upper or right corner.
    pub width_end: Inches,
    /// Were those widths measured or tracked (true), or are they nominal (false)?
    pub widths_known: bool,
    /// The edges that meet it, at its start and at its end.
    pub adjoining: [Adjoining; 2],
    /// Where the leaf hangs.
    pub hinge: Option<Side>,
    /// How it is made.
    pub construction: Construction,
    /// Where there is no wood to bear on.
    pub no_contact: Vec<NoContact>,
    /// Edges of which it is known how straight they are.
    pub straight: Vec<Straight>,
    /// Edges of which readings suggest that they are not straight, until a straightedge says how straight.
    pub doubted: Vec<Edge>,
    /// Which end must go first past the blade; `None` leaves the choice to the set-up.
    pub lead: Option<End>,
    /// Give the guide line's offset this often as well as at both ends.
    pub marks_every: Option<Inches>,
}

impl CutJob {
    /// The job for one trim of a plan, from the leaf's nominal sizes: widths are taken as equal at
    /// both ends and the leaf as square until somebody measures (`widths_known` is false).
    pub fn of_trim(leaf: &Leaf, trim: &Trim) -> Self {
        let across = Inches(leaf.edge_length(if trim.edge.is_upright() { Edge::Bottom } else { Edge::Left }).inches());
        Self {
            edge: trim.edge,
            length: Inches(leaf.edge_length(trim.edge).inches()),
            start: trim.start,
            end: trim.end,
            width_start: across,
            width_end: across,
            widths_known: false,
            adjoining: [Adjoining { length: across, out_of_square: None }; 2],
            hinge: leaf.hinge,
            construction: Construction::Framed,
            no_contact: Vec::new(),
            straight: Vec::new(),
            doubted: Vec::new(),
            lead: None,
            marks_every: None,
        }
    }

    /// Removal at one end.
    pub fn removal(&self, end: End) -> f64 {
        if end == End::Start { self.start.get() } else { self.end.get() }
    }

    /// Width at one end.
    pub fn width(&self, end: End) -> f64 {
        if end == End::Start { self.width_start.get() } else { self.width_end.get() }
    }

    /// The larger of the two removals.
    pub fn most(&self) -> f64 {
        self.start.get().max(self.end.get())
    }

    /// The bow of `edge`, where it is known.
    pub fn bow(&self, edge: Edge) -> Option<f64> {
        self.straight.iter().find(|known| known.edge == edge).map(|known| known.bow.get())
    }

    /// Can there be such a cut at all?
    pub fn check(&self) -> Result<(), JobError> {
        let bad = |what, found: Inches, allowed| Err(JobError { what, found: found.get(), allowed });
        let length_like = 0.25..=1200.0;
        for (what, value) in [
            ("length of the edge", self.length),
            ("width at the lower or left corner", self.width_start),
            ("width at the upper or right corner", self.width_end),
            ("length of the edge that meets it at its start", self.adjoining[0].length),
            ("length of the edge that meets it at its end", self.adjoining[1].length),
        ] {
            if !length_like.contains(&value.get()) {
                return bad(what, value, "1/4 in to 100 ft");
            }
        }
        for (what, removal, width) in [
            ("removal at the lower or left corner", self.start, self.width_start),
            ("removal at the upper or right corner", self.end, self.width_end),
        ] {
            if !(0.0..width.get()).contains(&removal.get()) {
                return bad(what, removal, "zero or more, and less than the leaf's width");
            }
        }
        for square in self.adjoining.iter().filter_map(|edge| edge.out_of_square) {
            if !(-12.0..=12.0).contains(&square.get()) {
                return bad("out of square", square, "within a foot");
            }
        }
        for zone in &self.no_contact {
            if zone.from.get().is_nan() || zone.to.get().is_nan() || zone.from > zone.to {
                return bad("stretch without contact", zone.from, "from before to");
            }
        }
        if self.most() <= 0.0 {
            return bad("removal", Inches(self.most()), "more than nothing at one end at least");
        }
        Ok(())
    }
}

/// A cut that cannot be: what, what was found, what is allowed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} is {found} in; it must be {allowed}: measure it again")]
pub struct JobError {
    /// Which measure.
    pub what: &'static str,
    /// What was given, in inches.
    pub found: f64,
    /// What is allowed.
    pub allowed: &'static str,
}

/// Limits for choosing and refusing. All are common practice with no published source: starting
/// values that a shop may change.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Limits {
    /// Up to this much a sanding block does it.
    pub sanding: Inches,
    /// Up to this much a plane is the tool.
    pub planing: Inches,
    /// A leaf narrower than this after the cut is not fed along a fence by hand.
    pub narrowest_fed: Inches,
    /// Along an edge shorter than this no leaf is fed past a fence by hand: over the last 12 in of a cut a push
    /// stick is to be used (UK HSE, rip-saw guidance), so on a shorter edge no hand could ever guide the leaf.
    /// That it is refused for this is a judgement, no source. On a sled such a leaf is clamped.
    pub shortest_fed: Inches,
    /// Most error that rounding may leave at either end of a set-up.
    pub rounding: Inches,
    /// Length of one pad along the edge.
    pub pad: Inches,
    /// Most layers in one pile.
    pub layers: u32,
    /// Most strokes of a plane worth counting.
    pub strokes: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            sanding: Inches(0.004),
            planing: Inches(1.0 / 32.0),
            narrowest_fed: Inches(4.0),
            shortest_fed: Inches(12.0),
            rounding: Inches(0.004),
            pad: Inches(0.5),
            layers: 8,
            strokes: 120,
        }
    }
}

/// What the shop has and prefers, borrowed from its settings.
#[derive(Clone, Copy, Debug)]
pub struct Kit<'a> {
    /// Shim stock for pads.
    pub stock: &'a [ShimStock],
    /// Saws; the first that can do the cut is used.
    pub saws: &'a [Saw],
    /// Sleds.
    pub sleds: &'a [Sled],
    /// Planes.
    pub planes: &'a [Plane],
    /// The user's own ranking of methods, best first; those left out come last in the usual order.
    pub ranking: &'a [Method],
    /// Steps of the ruler that pads and marks are laid out with.
    pub ruler: Length,
    /// Steps to which a sharp pencil marks a line.
    pub mark: Length,
    /// Limits for choosing and refusing.
    pub limits: Limits,
}

impl<'a> Kit<'a> {
    /// A kit with the usual ranking, ruler (1/16 in, or 1 mm), marks (1/128 in, or 0.2 mm) and limits.
    pub fn new(stock: &'a [ShimStock], saws: &'a [Saw], sleds: &'a [Sled], planes: &'a [Plane], show: Show) -> Self {
        let ruler = match show {
            Show::Millimetre(_) => Length::ratio(10, 254),
            Show::Fraction(_) | Show::DecimalInch(_) => Length::ratio(1, 16),
        };
        let mark = finest_step(show.unit());
        Self { stock, saws, sleds, planes, ranking: &[], ruler, mark, limits: Limits::default() }
    }

    /// The thinnest kerf of the saws.
    pub fn thinnest_kerf(&self) -> Option<Length> {
        self.saws.iter().map(|saw| saw.kerf).filter(|kerf| *kerf > Length::ZERO).min()
    }

    /// From this amount on the ranking proposes a saw or a line before the plane: beyond what a plane is for,
    /// or beyond the last thousandths where a saw or a line is ranked before the plane.
    pub fn saw_from(&self) -> Inches {
        let first = self.ranked().into_iter().find(|&method| method != Method::SandingBlock);
        if first == Some(Method::Plane) { self.limits.planing } else { self.limits.sanding }
    }

    /// The whole ranking: the user's own first, the rest in the usual order.
    pub fn ranked(&self) -> Vec<Method> {
        let mut all: Vec<Method> = Vec::with_capacity(Method::ALL.len());
        for &method in self.ranking.iter().chain(&Method::ALL) {
            if !all.contains(&method) {
                all.push(method);
            }
        }
        all
    }
}
