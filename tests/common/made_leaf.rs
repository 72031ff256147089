//! A leaf of wood as four corners, cut by set-up sheets as a cabinetmaker would: its edges on fence and pads, the
//! blade an upright line. Nothing of it comes from the sums of the set-ups.

use evenreveal::cut::job::End;
use evenreveal::cut::rip::Pad;
use evenreveal::cut::setup::Setup;
use evenreveal::fit::opening::Edge;

type P = (f64, f64);

fn turn((x, y): P, angle: f64) -> P {
    (x * angle.cos() - y * angle.sin(), x * angle.sin() + y * angle.cos())
}

fn less(a: P, b: P) -> P {
    (a.0 - b.0, a.1 - b.1)
}

fn unit(a: P) -> P {
    let length = a.0.hypot(a.1);
    (a.0 / length, a.1 / length)
}

/// Where the line through `a` along `u` meets the line through `b` along `v`.
fn meet(a: P, u: P, b: P, v: P) -> P {
    let d = less(b, a);
    let k = (d.0 * v.1 - d.1 * v.0) / (u.0 * v.1 - u.1 * v.0);
    (a.0 + k * u.0, a.1 + k * u.1)
}

/// Corners: lower left, lower right, upper left, upper right.
#[derive(Clone, Debug)]
pub struct Wood([P; 4]);

/// The two corners of an edge, its lower or left one first.
fn ends(edge: Edge) -> [usize; 2] {
    match edge {
        Edge::Left => [0, 2],
        Edge::Right => [1, 3],
        Edge::Bottom => [0, 1],
        Edge::Top => [2, 3],
    }
}

fn end(edge: Edge, end: End) -> usize {
    ends(edge)[usize::from(end == End::End)]
}

/// The corner of the other edge at `corner`, along the edge that is not `edge`.
fn across(edge: Edge, corner: usize) -> usize {
    let [a, b] = ends(edge.opposite());
    let own = ends(edge);
    if corner == own[0] { a } else { b }
}

/// The farthest apart that two corners are.
pub fn apart(a: &Wood, b: &Wood) -> f64 {
    let one = |(a, b): (&P, &P)| less(*a, *b).0.hypot(less(*a, *b).1);
    a.0.iter().zip(&b.0).map(one).fold(0.0, f64::max)
}

impl Wood {
    /// Widths at the bottom and the top, heights at the left and the right; the upper left corner stands `beyond`
    /// a square held at the lower left one, to the left.
    pub fn of(widths: [f64; 2], heights: [f64; 2], beyond: f64) -> Self {
        let left = -beyond;
        Self([(0.0, 0.0), (widths[0], 0.0), (left, heights[0]), (left + widths[1], heights[1])])
    }

    /// The line through `a` and `b` becomes the edge.
    fn cut(&mut self, edge: Edge, a: P, b: P) {
        let along = less(b, a);
        for corner in ends(edge) {
            let far = self.0[across(edge, corner)];
            self.0[corner] = meet(a, along, far, less(self.0[corner], far));
        }
    }

    /// Off the edge at its lower or left end and at the other, square to it.
    pub fn take(&mut self, edge: Edge, off: [f64; 2]) {
        let [a, b] = ends(edge).map(|corner| self.0[corner]);
        let along = unit(less(b, a));
        let mut inward = (-along.1, along.0);
        let toward = less(self.0[across(edge, ends(edge)[0])], a);
        if inward.0 * toward.0 + inward.1 * toward.1 < 0.0 {
            inward = (-inward.0, -inward.1);
        }
        let moved = |p: P, by: f64| (p.0 + inward.0 * by, p.1 + inward.1 * by);
        self.cut(edge, moved(a, off[0]), moved(b, off[1]));
    }

    /// The corners as they lie with the edge from `pivot` to `along` on the fence (the x axis) and `pads` under it.
    fn on_fence(&self, pivot: usize, along: usize, pads: &[Pad]) -> ([P; 4], f64, bool) {
        let origin = self.0[pivot];
        let x = unit(less(self.0[along], origin));
        let inside = self.0.iter().map(|&p| less(p, origin)).map(|p| x.0 * p.1 - x.1 * p.0).sum::<f64>();
        let mirrored = inside < 0.0;
        let laid = self.0.map(|p| {
            let p = less(p, origin);
            let up = x.0 * p.1 - x.1 * p.0;
            (p.0 * x.0 + p.1 * x.1, if mirrored { -up } else { up })
        });
        // The steepest pile's near corner comes to the fence.
        let feet = pads.iter().map(|pad| pad.thickness.inches().atan2(pad.at.inches()));
        let angle = feet.fold(0.0, f64::max);
        (laid.map(|p| turn(p, angle)), angle, mirrored)
    }

    /// Back from the fence: a point of the shop's floor as a point of the leaf.
    fn back(&self, pivot: usize, along: usize, angle: f64, mirrored: bool, point: P) -> P {
        let origin = self.0[pivot];
        let x = unit(less(self.0[along], origin));
        let (u, v) = turn(point, -angle);
        let v = if mirrored { -v } else { v };
        (origin.0 + u * x.0 - v * x.1, origin.1 + u * x.1 + v * x.0)
    }

    /// Does what the sheet says.
    pub fn follow(&mut self, setup: &Setup, edge: Edge) {
        match setup {
            Setup::Rip(rip) => {
                let (pivot, along) = (end(rip.reference, rip.pivot), end(rip.reference, rip.pivot.other()));
                let (laid, angle, mirrored) = self.on_fence(pivot, along, &rip.pads);
                let kiss = laid.iter().map(|p| p.1).fold(f64::MIN, f64::max);
                let blade = kiss - rip.fence_move.value.inches();
                let [a, b] = [(0.0, blade), (1.0, blade)].map(|p| self.back(pivot, along, angle, mirrored, p));
                self.cut(edge, a, b);
            }
            Setup::Sled(sled) => {
                let near = end(edge, sled.at);
                let pivot = across(edge, near);
                let (laid, angle, mirrored) = self.on_fence(pivot, near, &sled.pads);
                let kiss = laid.iter().map(|p| p.0).fold(f64::MIN, f64::max);
                let blade = kiss - sled.stop_move.value.inches();
                let [a, b] = [(blade, 0.0), (blade, 1.0)].map(|p| self.back(pivot, near, angle, mirrored, p));
                self.cut(edge, a, b);
            }
            Setup::GuideLine(line) => {
                let mark = |mark: Option<&evenreveal::cut::strokes::GuideMark>| mark.unwrap().shown.inches();
                self.take(edge, [mark(line.marks.first()), mark(line.marks.last())]);
            }
            Setup::Plane(planing) => {
                let shaving = planing.shaving.inches();
                let (full, all) = (f64::from(planing.full), f64::from(planing.full) + planing.stopped.len() as f64);
                let off = [full * shaving, all * shaving];
                self.take(edge, if planing.thin == End::Start { off } else { [off[1], off[0]] });
            }
            Setup::SandingBlock(sanding) => self.take(edge, [sanding.start.get(), sanding.end.get()]),
        }
    }
}
