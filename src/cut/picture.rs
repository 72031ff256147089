//! The drawing of a set-up as plain values in inches, seen from above: the screen only scales it.
//!
//! The fence (or the sled's fence) lies along `y = 0`, the leaf above it. For a rip the lower or left
//! end of the edge is at the left and the cut edge at the top; on a sled the cut is at the right, the
//! blade upright. Without a fence the leaf lies flat, the cut edge at the top.

use super::geometry::{Bearing, tilt};
use super::job::{CutJob, End};
use super::setup::{Setup, SetupSheet};
use super::taken::{Actual, taken};
use crate::fit::length::Inches;
use serde::Serialize;

/// A point, in inches.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Away from the fence.
    pub y: f64,
}

/// What a place in the drawing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// The corner that bears on the fence.
    Pivot,
    /// A pad's edge nearest the pivot (its place in the list of pads).
    Pad(usize),
    /// The end that goes first past the blade.
    Lead,
    /// Where the blade just kisses before the move.
    Kiss,
    /// A stopped stroke starts here (its place in the list).
    Stroke(usize),
    /// A mark of the guide line (its place in the list).
    Guide(usize),
}

/// A set-up, drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Picture {
    /// The leaf before the cut.
    pub leaf: Vec<Point>,
    /// The wood to remove, to be shaded; empty if there is none.
    pub waste: Vec<Point>,
    /// The pads.
    pub pads: Vec<Vec<Point>>,
    /// The fence, if there is one.
    pub fence: Option<[Point; 2]>,
    /// The blade's line, or the line to work to.
    pub blade: [Point; 2],
    /// Places worth a word.
    pub marks: Vec<(Mark, Point)>,
    /// How many times tilt, pads, removal and what the leaf is out are drawn larger than they are.
    pub exaggeration: f64,
}

/// A leaf turned on the fence: `(along, depth)` from the pivot to a point of the drawing.
struct Turned {
    cosine: f64,
    sine: f64,
    /// Drawn from right to left when the pivot is at the right.
    mirror: Option<f64>,
}

impl Turned {
    fn by(pads: &[Bearing], mirror: Option<f64>) -> Self {
        let angle = tilt(pads).map_or(0.0, |angle| angle.0);
        Self { cosine: angle.cos(), sine: angle.sin(), mirror }
    }

    fn at(&self, along: f64, depth: f64) -> Point {
        let x = along * self.cosine - depth * self.sine;
        Point { x: self.mirror.map_or(x, |width| width - x), y: along * self.sine + depth * self.cosine }
    }
}

/// The drawing of `sheet` for `job`; `exaggeration` below 1 or not finite is taken as 1 (true to scale).
pub fn picture(job: &CutJob, sheet: &SetupSheet, exaggeration: f64) -> Picture {
    let k = if exaggeration.is_finite() { exaggeration.clamp(1.0, 1000.0) } else { 1.0 };
    let larger = |pads: Vec<Bearing>| -> Vec<Bearing> {
        pads.into_iter().map(|pad| Bearing { thickness: Inches(pad.thickness.get() * k), ..pad }).collect()
    };
    match &sheet.setup {
        Setup::Rip(rip) => {
            let flipped = rip.pivot == End::End;
            let shape = Shape::of(job, sheet, k, flipped);
            let bearings = larger(rip.bearings());
            let turned = Turned::by(&bearings, flipped.then_some(shape.length));
            let mut drawing = shape.draw(&turned, k);
            let lengths: Vec<f64> = rip.pads.iter().map(|pad| pad.length.get()).collect();
            add_pads(&mut drawing, &turned, &bearings, &lengths);
            let margin = shape.length * 0.1;
            drawing.fence = Some([Point { x: -margin, y: 0.0 }, Point { x: shape.length + margin, y: 0.0 }]);
            drawing.blade = stretched(drawing.blade, margin);
            let along = |end: End| if end == rip.pivot { 0.0 } else { shape.length };
            let depth = |end: End| if end == rip.pivot { shape.near } else { shape.far };
            drawing.marks.push((Mark::Lead, turned.at(along(rip.lead), depth(rip.lead) / 2.0)));
            drawing.marks.push((Mark::Kiss, turned.at(along(rip.kiss), depth(rip.kiss))));
            drawing
        }
        Setup::Sled(sled) => {
            let bearings = larger(sled.bearings());
            let turned = Turned::by(&bearings, None);
            let (height, length) = (sled.reference_length.get(), sled.length.get());
            let (start, end) = taken(sheet, Actual::default());
            let (near, far) = if sled.at == End::Start { (start, end) } else { (end, start) };
            let (near, far) = (near.get() * k, far.get() * k);
            let corner = height + sled.out_of_square.get() * k;
            let leaf = [(0.0, 0.0), (height, 0.0), (corner, length), (0.0, length)];
            let cut = [(height - near, 0.0), (corner - far, length)];
            let at = |(along, depth): (f64, f64)| turned.at(along, depth);
            let mut drawing = Picture {
                leaf: leaf.into_iter().map(at).collect(),
                waste: [cut[0], leaf[1], leaf[2], cut[1]].into_iter().map(at).collect(),
                pads: Vec::new(),
                fence: Some([Point { x: -0.1 * height, y: 0.0 }, Point { x: 1.1 * height, y: 0.0 }]),
                blade: stretched([at(cut[0]), at(cut[1])], length * 0.1),
                marks: vec![(Mark::Pivot, at(leaf[0]))],
                exaggeration: k,
            };
            let lengths: Vec<f64> = sled.pads.iter().map(|pad| pad.length.get()).collect();
            add_pads(&mut drawing, &turned, &bearings, &lengths);
            let kissed = if sled.kiss == sled.at { leaf[1] } else { leaf[2] };
            drawing.marks.push((Mark::Kiss, at(kissed)));
            drawing
        }
        Setup::Plane(planing) => {
            let shape = Shape::of(job, sheet, k, planing.thin == End::End);
            let turned = Turned::by(&[], (planing.thin == End::End).then_some(shape.length));
            let mut drawing = shape.draw(&turned, k);
            drawing.marks.clear();
            for (index, stroke) in planing.stopped.iter().enumerate() {
                drawing.marks.push((Mark::Stroke(index), shape.on_edge(&turned, stroke.start.get())));
            }
            drawing
        }
        Setup::GuideLine(line) => {
            let shape = Shape::of(job, sheet, k, false);
            let turned = Turned::by(&[], None);
            let mut drawing = shape.draw(&turned, k);
            drawing.marks.clear();
            for (index, mark) in line.marks.iter().enumerate() {
                drawing.marks.push((Mark::Guide(index), shape.on_edge(&turned, mark.at.get())));
            }
            drawing
        }
        Setup::SandingBlock(_) => {
            let mut drawing = Shape::of(job, sheet, k, false).draw(&Turned::by(&[], None), k);
            drawing.marks.clear();
            drawing
        }
    }
}

/// The leaf flat on its reference edge, from the pivot: depths and removals at both ends, exaggerated.
struct Shape {
    length: f64,
    near: f64,
    far: f64,
    removal: (f64, f64),
}

impl Shape {
    fn of(job: &CutJob, sheet: &SetupSheet, k: f64, flipped: bool) -> Self {
        let (start, end) = taken(sheet, Actual::default());
        let (near_end, removal) = if flipped { (End::End, (end, start)) } else { (End::Start, (start, end)) };
        let near = job.width(near_end);
        Self {
            length: job.length.get(),
            near,
            far: near + k * (job.width(near_end.other()) - near),
            removal: (removal.0.get() * k, removal.1.get() * k),
        }
    }

    fn on_edge(&self, turned: &Turned, along: f64) -> Point {
        turned.at(along, self.near + (self.far - self.near) * along / self.length)
    }

    fn draw(&self, turned: &Turned, k: f64) -> Picture {
        let leaf = [(0.0, 0.0), (self.length, 0.0), (self.length, self.far), (0.0, self.near)];
        let cut = [(0.0, self.near - self.removal.0), (self.length, self.far - self.removal.1)];
        let at = |(along, depth): (f64, f64)| turned.at(along, depth);
        Picture {
            leaf: leaf.into_iter().map(at).collect(),
            waste: [cut[0], cut[1], leaf[2], leaf[3]].into_iter().map(at).collect(),
            pads: Vec::new(),
            fence: None,
            blade: [at(cut[0]), at(cut[1])],
            marks: vec![(Mark::Pivot, at(leaf[0]))],
            exaggeration: k,
        }
    }
}

fn add_pads(drawing: &mut Picture, turned: &Turned, bearings: &[Bearing], lengths: &[f64]) {
    for (index, (pad, length)) in bearings.iter().zip(lengths).enumerate() {
        let (near, far) = (pad.at.get(), pad.at.get() + length);
        let below = -pad.thickness.get();
        let corners = [(near, 0.0), (far, 0.0), (far, below), (near, below)];
        drawing.pads.push(corners.into_iter().map(|(along, depth)| turned.at(along, depth)).collect());
        drawing.marks.push((Mark::Pad(index), turned.at(near, below)));
    }
}

/// The line drawn out by `by` at both ends.
fn stretched([a, b]: [Point; 2], by: f64) -> [Point; 2] {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length = dx.hypot(dy);
    if length <= 0.0 {
        return [a, b];
    }
    let (dx, dy) = (dx / length * by, dy / length * by);
    [Point { x: a.x - dx, y: a.y - dy }, Point { x: b.x + dx, y: b.y + dy }]
}
