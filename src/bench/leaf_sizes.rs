//! A leaf's sizes and shape, tracked from its description through every measure and cut of its log.

use crate::cut::job::{Adjoining, Construction, CutJob, End, NoContact, Straight};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::altered::{Alteration, Shaped};
use crate::shop::event::{LeafDescribed, TrimMeant};
use crate::shop::measured::LeafMeasured;
use crate::shop::replay::{Round, StationRead};
use serde_json::{Map, Value};

/// Key of a cut's settings under which logs of an earlier build have widths measured before it, lower or
/// left end first.
pub const WIDTHS_MEASURED: &str = "widths_measured";

/// Sizes of a leaf at both ends, in inches, and what else is known of its shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    /// Width at the bottom and at the top.
    pub width: [Inches; 2],
    /// Height at the left and at the right.
    pub height: [Inches; 2],
    /// Were the widths and the heights measured (and tracked since), or are they nominal?
    pub known: [bool; 2],
    /// By how much each corner's angle is over a right one (radians), where known: lower left, lower right,
    /// upper left, upper right.
    corners: [Option<f64>; 4],
    /// Edges of which it is known how straight they are.
    straight: Vec<Straight>,
    /// Edges of which readings suggest that they are not straight.
    doubted: Vec<Edge>,
    /// Stretches without wood to bear on.
    bare: Vec<NoContact>,
    /// Where its end grain is.
    made: Construction,
}

/// A middle that lies further than this off the line between the ends says that something is not straight: one
/// step of a usual feeler. A judgement, no source.
const DOUBTED: f64 = 1.0 / 64.0;

/// Is it another edge since?
fn is_new(alteration: &Alteration, leaf: &str, edge: Edge) -> bool {
    alteration.leaf() == leaf
        && match alteration {
            Alteration::Altered(altered) => altered.edge == edge,
            Alteration::Remade(_) => true,
        }
}

/// Edges of `leaf` whose gap, as last read in one round, is not on one line, and that were not cut since.
fn doubted(state: &OpeningState, leaf: &str) -> Vec<Edge> {
    let mut all = Vec::new();
    for edge in Edge::ALL {
        let side = format!("{leaf}.{edge}");
        for (gap, _) in state.gaps.iter().enumerate().filter(|(_, line)| line.between.contains(&side)) {
            let read = |round: &Round| round.readings.get(gap).filter(|read| read.len() >= 3).cloned();
            let Some(read) = state.rounds.iter().rev().find_map(read) else { continue };
            let last = read.iter().map(|one| one.n).max().unwrap_or(0);
            let mut cuts = state.rounds.iter().flat_map(|round| &round.cuts);
            let on_it = |cut: &TrimMeant| cut.leaf == leaf && cut.edge == edge;
            let cut_since = cuts.any(|cut| cut.n > last && on_it(&cut.what.intended));
            let altered = state.rounds.iter().flat_map(|round| &round.altered);
            let altered_since = altered.into_iter().any(|said| said.n > last && is_new(&said.what, leaf, edge));
            if !cut_since && !altered_since && off_line(&read) > DOUBTED + 1e-9 {
                all.push(edge);
            }
        }
    }
    all
}

/// Most that a reading between the outermost two lies off the line between those, in inches.
fn off_line(read: &[StationRead]) -> f64 {
    let at = |one: &StationRead| (one.reading.at.inches(), one.reading.mean_inches());
    let along = |one: &&StationRead, other: &&StationRead| one.reading.at.cmp(&other.reading.at);
    let outermost = (read.iter().min_by(along).map(at), read.iter().max_by(along).map(at));
    let (Some((from, low)), Some((to, high))) = outermost else { return 0.0 };
    let off = |one: &StationRead| {
        let (along, gap) = at(one);
        let share = (along - from) / (to - from).max(1e-6);
        (gap - low - (high - low) * share).abs()
    };
    read.iter().map(off).fold(0.0, f64::max)
}

/// The corner of `edge` at `end`.
fn corner(edge: Edge, end: End) -> usize {
    match (edge, end) {
        (Edge::Left | Edge::Bottom, End::Start) => 0,
        (Edge::Right, End::Start) | (Edge::Bottom, End::End) => 1,
        (Edge::Left, End::End) | (Edge::Top, End::Start) => 2,
        (Edge::Right | Edge::Top, End::End) => 3,
    }
}

impl Sizes {
    /// As described and measured, less every cut of the log since, and as altered; `None` if there is no such leaf.
    /// What a cut took is what it was meant to take.
    pub fn of(state: &OpeningState, leaf: &str) -> Option<Self> {
        let said = state.leaves.iter().find(|said| said.what.leaf == leaf)?;
        let (width, height) = (Inches(said.what.width.inches()), Inches(said.what.height.inches()));
        let mut sizes = Self {
            width: [width; 2],
            height: [height; 2],
            known: [false; 2],
            corners: [None; 4],
            straight: Vec::new(),
            doubted: doubted(state, leaf),
            bare: Vec::new(),
            made: state.made_as_said(leaf),
        };
        let since = |n: u64, of: &str| n > said.n && of == leaf;
        let mut measures = state.measured.iter().filter(|said| since(said.n, &said.what.leaf)).peekable();
        for (_, n, shaped) in state.shaped(leaf) {
            while let Some(measured) = measures.next_if(|said| said.n < n) {
                sizes.learn(&measured.what);
            }
            let cut = match shaped {
                Shaped::Cut(cut) => cut,
                Shaped::Altered(alteration) => {
                    sizes.alter(alteration);
                    continue;
                }
            };
            if let Some(measured) = measured_in(&cut.settings) {
                sizes.measured(cut.intended.edge, measured);
            }
            sizes.take(&cut.intended, &cut.method);
        }
        measures.for_each(|said| sizes.learn(&said.what));
        Some(sizes)
    }

    /// What somebody measured.
    pub fn learn(&mut self, measured: &LeafMeasured) {
        if let Some(widths) = measured.widths {
            self.measured(Edge::Left, widths);
        }
        if let Some(heights) = measured.heights {
            self.measured(Edge::Bottom, heights);
        }
        if let Some(square) = measured.square {
            let angle = square.beyond.inches() / self.length(square.edge);
            self.corners = [None; 4];
            if let Some(slot) = self.corners.get_mut(corner(square.edge, square.at)) {
                *slot = Some(angle);
            }
        }
        if let Some(bare) = &measured.no_contact {
            self.bare.retain(|zone| zone.edge != bare.edge);
            let zone = |&[from, to]: &[Length; 2]| NoContact {
                edge: bare.edge,
                from: Inches(from.inches()),
                to: Inches(to.inches()),
            };
            self.bare.extend(bare.stretches.iter().map(zone));
        }
        if let Some(bow) = measured.bow {
            self.set_bow(bow.edge, Some(Inches(bow.bow.inches())));
        }
    }

    fn set_bow(&mut self, edge: Edge, bow: Option<Inches>) {
        self.straight.retain(|known| known.edge != edge);
        self.straight.extend(bow.map(|bow| Straight { edge, bow }));
    }

    fn across(&mut self, edge: Edge) -> (&mut [Inches; 2], &mut bool) {
        let [widths, heights] = &mut self.known;
        if edge.is_upright() { (&mut self.width, widths) } else { (&mut self.height, heights) }
    }

    /// From `edge` to the one opposite, at its lower or left end and at the other.
    pub fn widths_from(&self, edge: Edge) -> [Inches; 2] {
        if edge.is_upright() { self.width } else { self.height }
    }

    fn length(&self, edge: Edge) -> f64 {
        let [first, second] = if edge.is_upright() { self.height } else { self.width };
        let length = if matches!(edge, Edge::Left | Edge::Bottom) { first } else { second };
        length.get().max(1e-6)
    }

    /// How long `edge` is.
    pub fn edge_length(&self, edge: Edge) -> Inches {
        Inches(self.length(edge))
    }

    /// Were the widths from `edge` to the one opposite measured (and tracked since)?
    pub fn are_widths_known(&self, edge: Edge) -> bool {
        let [widths, heights] = self.known;
        if edge.is_upright() { widths } else { heights }
    }

    /// Hollow at the middle of `edge` above zero, round below; `None` if nobody knows.
    pub fn bow(&self, edge: Edge) -> Option<Inches> {
        self.straight.iter().find(|known| known.edge == edge).map(|known| known.bow)
    }

    /// How far the other corner of `edge` stands beyond a line struck square at `end`; `None` if nobody knows.
    pub fn beyond_square(&self, edge: Edge, end: End) -> Option<Inches> {
        let angle = self.angles().get(corner(edge, end)).copied().flatten();
        angle.map(|angle| Inches(angle * self.length(edge)))
    }

    /// Stretches of `edge` without wood to bear on, from its lower or left end.
    pub fn bare(&self, edge: Edge) -> impl Iterator<Item = [Inches; 2]> {
        self.bare.iter().filter(move |zone| zone.edge == edge).map(|zone| [zone.from, zone.to])
    }

    /// Somebody measured from `edge` to the one opposite, at its lower or left end and at the other.
    pub fn measured(&mut self, edge: Edge, measured: [Length; 2]) {
        let (across, known) = self.across(edge);
        *across = measured.map(|length| Inches(length.inches()));
        *known = true;
    }

    /// Wood comes off by `method`, the word of a log.
    pub fn take(&mut self, trim: &TrimMeant, method: &str) {
        let (edge, start, end) = (trim.edge, trim.start.inches(), trim.end.inches());
        let turn = (end - start) / self.length(edge);
        for (at, by) in [(End::Start, -turn), (End::End, turn)] {
            if let Some(Some(angle)) = self.corners.get_mut(corner(edge, at)) {
                *angle += by;
            }
        }
        // Places on the edges that meet it are counted from their lower or left end.
        if matches!(edge, Edge::Left | Edge::Bottom) {
            for zone in self.bare.iter_mut().filter(|zone| zone.edge.is_upright() != edge.is_upright()) {
                let by = if matches!(zone.edge, Edge::Left | Edge::Bottom) { start } else { end };
                zone.from.0 = (zone.from.0 - by).max(0.0);
                zone.to.0 = (zone.to.0 - by).max(0.0);
            }
        }
        match method {
            // Fresh off the saw it is straight.
            "rip" | "sled" => self.set_bow(edge, Some(Inches(0.0))),
            "by-hand" | "guide-line" => self.set_bow(edge, None),
            _ => {}
        }
        let ([low, high], _) = self.across(edge);
        low.0 -= start;
        high.0 -= end;
    }

    /// A strip is glued on, wood came off outside the rounds, or it is another leaf: how wide it is across that edge
    /// is to be measured again, and nothing is known of how straight the edge is.
    fn alter(&mut self, alteration: &Alteration) {
        let altered = match alteration {
            Alteration::Altered(altered) => altered,
            Alteration::Remade(remade) => {
                (self.width, self.height) = ([Inches(remade.width.inches()); 2], [Inches(remade.height.inches()); 2]);
                (self.known, self.corners) = ([false; 2], [None; 4]);
                self.straight.clear();
                self.bare.clear();
                return;
            }
        };
        let (edge, added) = (altered.edge, altered.added.inches());
        // Places on the edges that meet it are counted from their lower or left end.
        if matches!(edge, Edge::Left | Edge::Bottom) {
            for zone in self.bare.iter_mut().filter(|zone| zone.edge.is_upright() != edge.is_upright()) {
                zone.from.0 = (zone.from.0 + added).max(0.0);
                zone.to.0 = (zone.to.0 + added).max(0.0);
            }
        }
        if added > 0.0 {
            self.bare.retain(|zone| zone.edge != edge);
        }
        self.set_bow(edge, None);
        let (across, known) = self.across(edge);
        for width in across {
            width.0 += added;
        }
        *known = false;
    }

    /// The angles of all corners that follow from those known: widths measured at both ends tell how far
    /// the two sides spread, so one corner gives its neighbours.
    fn angles(&self) -> [Option<f64>; 4] {
        let mut angles = self.corners;
        let spread = |[low, high]: [Inches; 2], along: f64| (high.get() - low.get()) / along;
        let upright = spread(self.width, self.length(Edge::Left));
        let level = spread(self.height, self.length(Edge::Bottom));
        let pairs = [
            (0, 1, upright, self.known[0]),
            (2, 3, -upright, self.known[0]),
            (0, 2, level, self.known[1]),
            (1, 3, -level, self.known[1]),
        ];
        for _ in 0..2 {
            for (a, b, sum, known) in pairs {
                match (angles[a], angles[b]) {
                    (Some(one), None) if known => angles[b] = Some(sum - one),
                    (None, Some(one)) if known => angles[a] = Some(sum - one),
                    _ => {}
                }
            }
        }
        angles
    }

    /// The job of a trim on this leaf.
    pub(super) fn job(&self, leaf: &LeafDescribed, trim: &TrimMeant) -> CutJob {
        let (across, known) =
            if trim.edge.is_upright() { (self.width, self.known[0]) } else { (self.height, self.known[1]) };
        let length = self.length(trim.edge);
        let adjoining =
            |at: End, across: Inches| Adjoining { length: across, out_of_square: self.beyond_square(trim.edge, at) };
        CutJob {
            edge: trim.edge,
            length: Inches(length),
            start: Inches(trim.start.inches()),
            end: Inches(trim.end.inches()),
            width_start: across[0],
            width_end: across[1],
            widths_known: known,
            adjoining: [adjoining(End::Start, across[0]), adjoining(End::End, across[1])],
            hinge: leaf.hinge,
            construction: self.made,
            no_contact: self.bare.clone(),
            straight: self.straight.clone(),
            doubted: self.doubted.clone(),
            lead: None,
            marks_every: None,
        }
    }
}

fn measured_in(settings: &Map<String, Value>) -> Option<[Length; 2]> {
    settings.get(WIDTHS_MEASURED).and_then(|value| serde_json::from_value(value.clone()).ok())
}
