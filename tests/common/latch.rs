//! A latch stile and a top to trim, and a shop to do it with: what the tests and the benchmark of the set-ups share.

use evenreveal::cut::job::{Adjoining, Construction, CutJob, Kit, Method, Straight};
use evenreveal::cut::tools::{
    Measured, Plane, Saw, ShimStock, Sled, starting_planes, starting_saws, starting_sleds, starting_stock,
};
use evenreveal::fit::length::{Inches, Length, Show, Unit};
use evenreveal::fit::opening::{Edge, Side};

/// A shop whose tools a test may change.
pub struct Shop {
    pub stock: Vec<ShimStock>,
    pub saws: Vec<Saw>,
    pub sleds: Vec<Sled>,
    pub planes: Vec<Plane>,
    pub ranking: Vec<Method>,
    pub ruler: Length,
}

impl Shop {
    pub fn new() -> Self {
        Self {
            stock: starting_stock(),
            saws: starting_saws(Unit::Inch),
            sleds: starting_sleds(Unit::Inch),
            planes: starting_planes(),
            ranking: Vec::new(),
            ruler: Length::ratio(1, 16),
        }
    }

    pub fn only(thickness: Length) -> Self {
        let stock = vec![ShimStock { name: "only".to_owned(), thickness, measured: Measured::Single }];
        Self { stock, ..Self::new() }
    }

    pub fn kit(&self) -> Kit<'_> {
        let kit = Kit::new(&self.stock, &self.saws, &self.sleds, &self.planes, Show::default());
        Kit { ranking: &self.ranking, ruler: self.ruler, ..kit }
    }
}

/// An edge `length` long on a leaf `width` wide, parallel, square and straight, of which all is known, to lose
/// `start` and `end`.
pub fn edge(edge: Edge, (length, width): (f64, f64), (start, end): (f64, f64)) -> CutJob {
    let adjoining = Adjoining { length: Inches(width), out_of_square: Some(Inches(0.0)) };
    CutJob {
        edge,
        length: Inches(length),
        start: Inches(start),
        end: Inches(end),
        width_start: Inches(width),
        width_end: Inches(width),
        widths_known: true,
        adjoining: [adjoining; 2],
        hinge: Some(Side::Left),
        construction: Construction::Framed,
        no_contact: Vec::new(),
        straight: Edge::ALL.map(|edge| Straight { edge, bow: Inches(0.0) }).to_vec(),
        doubted: Vec::new(),
        lead: None,
        marks_every: None,
    }
}

/// A latch stile 24 in long on a leaf 11 in wide.
pub fn latch(start: f64, end: f64) -> CutJob {
    edge(Edge::Right, (24.0, 11.0), (start, end))
}

/// The top of the same leaf.
pub fn top(start: f64, end: f64) -> CutJob {
    edge(Edge::Top, (11.0, 24.0), (start, end))
}
