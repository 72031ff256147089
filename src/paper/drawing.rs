//! The picture of an opening on paper: frame and leaves to proportion, gaps enlarged by a stated factor, a
//! gap and a mark at every station, the wood to remove with what comes off each corner.

use super::font;
use super::page::{Anchor, Frame, HANG, Ink, Page, RISE, Spot, Words, at};
use crate::fit::opening::{Edge, Side};
use crate::screen::drawings::shape::{self, Across, DrawnLeaf};
use crate::screen::drawings::{OpeningPicture, Removal, Standing, Station};

/// Thickness of the face frame as drawn, in points.
const RAIL: f64 = 7.0;

/// Least space between two texts side by side, in points.
const APART: f64 = 3.0;

/// Where inches of the opening fall on the page.
#[derive(Clone, Copy, Debug)]
struct Scale {
    left: f64,
    bottom: f64,
    points: f64,
}

impl Scale {
    fn spot(self, (x, y): (f64, f64)) -> Spot {
        at(self.left + x * self.points, self.bottom - y * self.points)
    }
}

/// Texts that must not meet: each is put at the first of its places that is free.
struct Placer<'p> {
    page: &'p mut Page,
    within: Frame,
    taken: Vec<Frame>,
}

impl Placer<'_> {
    /// Puts `words` at the first free of `places`, in smaller letters if it must be; says whether it did.
    fn put(&mut self, words: &Words, places: &[Spot]) -> bool {
        let within = self.within;
        self.put_within(words, places, within)
    }

    /// The same, and nothing of it may lie beyond `within`.
    fn put_within(&mut self, words: &Words, places: &[Spot], within: Frame) -> bool {
        for share in [1.0, 0.85, 0.7] {
            for &spot in places {
                let words = Words { spot, size: words.size * share, ..words.clone() };
                let room = words.room().within(-0.8);
                // Side by side they are a word's space apart, or they would read as one.
                let apart = Frame { left: room.left - APART, right: room.right + APART, ..room };
                if within.holds(room) && !self.taken.iter().any(|taken| taken.meets(apart)) {
                    self.taken.push(room);
                    self.page.words(words);
                    return true;
                }
            }
        }
        false
    }
}

/// What was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawn {
    /// The opening itself, inside the frame.
    pub opening: Frame,
    /// How many times larger the gaps are drawn.
    pub factor: f64,
    /// Labels for which there was no room.
    pub left_out: usize,
    /// Amounts of wood that stand in the picture, and those for which there was no room.
    pub amounts: [usize; 2],
}

/// How high [`draw`] makes the picture, all told, where the width is what it must keep to; endless for one without a
/// size.
pub fn height(picture: &OpeningPicture, width: f64, size: f64) -> f64 {
    let (beside, above) = round_it(picture, size);
    let points = (width - 2.0 * beside) / picture.width;
    let height = picture.height * points + 2.0 * above;
    if height.is_finite() && height > 0.0 { height } else { f64::INFINITY }
}

/// Room beside and above the opening for frame and labels.
fn round_it(picture: &OpeningPicture, size: f64) -> (f64, f64) {
    let widest = picture.stations.iter().map(|station| font::width(&label(station), size));
    (widest.fold(font::width("hinge", size), f64::max) + 2.0 * RAIL, 1.6 * size + 2.0 * RAIL)
}

/// Draws `picture` into `area` with labels of letter size `size`; nothing if it has no size.
pub fn draw(page: &mut Page, picture: &OpeningPicture, area: Frame, size: f64) -> Option<Drawn> {
    let sound = |length: f64| length.is_finite() && length > 1e-3;
    let (beside, above) = round_it(picture, size);
    let (wide, high) = (area.width() - 2.0 * beside, area.height() - 2.0 * above);
    if !(sound(picture.width) && sound(picture.height) && sound(wide) && sound(high)) {
        return None;
    }
    let points = (wide / picture.width).min(high / picture.height);
    let (width, height) = (picture.width * points, picture.height * points);
    let left = area.left + (area.width() - width) / 2.0;
    let top = area.top + (area.height() - height) / 2.0;
    let opening = Frame { left, top, right: left + width, bottom: top + height };
    let scale = Scale { left, bottom: opening.bottom, points };
    let factor = picture.factor();
    let leaves: Vec<DrawnLeaf> =
        (0..picture.leaves.len()).filter_map(|leaf| shape::drawn_leaf(picture, leaf, factor)).collect();
    if leaves.len() != picture.leaves.len() {
        return None;
    }
    page.rectangle(opening.within(-RAIL), Some(Ink::Light), Some((Ink::Black, 0.7)));
    page.rectangle(opening, Some(Ink::White), Some((Ink::Black, 0.7)));
    for leaf in &leaves {
        let outline = leaf.outline().into_iter().map(|point| scale.spot(point)).collect();
        page.shape(outline, Some(Ink::Leaf), Some((Ink::Black, 0.9)));
    }
    for removal in &picture.removals {
        strip(page, leaves.get(removal.leaf)?, removal, factor, scale);
    }
    for (shape, leaf) in picture.leaves.iter().zip(&leaves) {
        hinges(page, shape.hinge, leaf, scale, opening);
    }
    let mut placer = Placer { page, within: area, taken: Vec::new() };
    let labels = Labels { picture, leaves: &leaves, scale, opening, size, factor };
    let gaps = labels.gaps(&mut placer);
    let amounts = labels.corners(&mut placer);
    let left_out = gaps + amounts[1];
    labels.hinge_words(&mut placer);
    labels.names(&mut placer);
    Some(Drawn { opening, factor, left_out, amounts })
}

/// The strip of wood to remove, with the line to pencil.
fn strip(page: &mut Page, leaf: &DrawnLeaf, removal: &Removal, factor: f64, scale: Scale) {
    let (from, to) = (leaf.point(removal.edge, 0.0), leaf.point(removal.edge, 1.0));
    let inward = |(x, y): (f64, f64), by: f64| match removal.edge {
        Edge::Left => (x + by, y),
        Edge::Right => (x - by, y),
        Edge::Bottom => (x, y + by),
        Edge::Top => (x, y - by),
    };
    let line = [inward(from, removal.start * factor), inward(to, removal.end * factor)];
    let [near, far] = line.map(|point| scale.spot(point));
    page.shape(vec![scale.spot(from), scale.spot(to), far, near], Some(Ink::Wood), None);
    page.dashed(near, far, 1.1, Ink::Black);
}

/// Two short bars across the gap on the hinge side: where the hinges usually sit, not where they were measured.
fn hinges(page: &mut Page, side: Option<Side>, leaf: &DrawnLeaf, scale: Scale, opening: Frame) {
    let Some(side) = side else { return };
    for share in HINGES {
        let spot = scale.spot(leaf.point(side.edge(), share));
        let (left, right) = match side {
            Side::Left => (opening.left - RAIL, spot.x),
            Side::Right => (spot.x, opening.right + RAIL),
        };
        let bar = Frame { left, right: right.max(left + 3.0), top: spot.y - 6.0, bottom: spot.y + 6.0 };
        page.rectangle(bar, Some(Ink::Black), None);
    }
}

const HINGES: [f64; 2] = [0.16, 0.84];

/// `↑ off 1/32`: what comes off the upper edge. The arrow points to the edge.
pub fn off(edge: Edge, shown: &str) -> String {
    match edge {
        Edge::Left => format!("← off {shown}"),
        Edge::Right => format!("off {shown} →"),
        Edge::Bottom => format!("↓ off {shown}"),
        Edge::Top => format!("↑ off {shown}"),
    }
}

fn label(station: &Station) -> String {
    let mark = station.standing.mark();
    if station.shown.is_empty() { mark.to_owned() } else { format!("{} {mark}", station.shown) }
}

struct Labels<'a> {
    picture: &'a OpeningPicture,
    leaves: &'a [DrawnLeaf],
    scale: Scale,
    opening: Frame,
    size: f64,
    factor: f64,
}

impl Labels<'_> {
    fn words(&self, text: String, anchor: Anchor, ink: Ink, bold: bool) -> Words {
        Words { spot: Spot::default(), size: self.size, bold, anchor, ink, text }
    }

    /// Offsets along an edge, nearest first.
    fn steps(&self) -> impl Iterator<Item = f64> + use<> {
        let step = self.size * 0.6;
        (0..24).flat_map(move |n| [f64::from(n) * step, -f64::from(n) * step])
    }

    /// How deep the wood to remove reaches in from an edge, in points.
    fn depth(&self, leaf: usize, edge: Edge) -> f64 {
        let on_it = self.picture.removals.iter().filter(|removal| removal.leaf == leaf && removal.edge == edge);
        on_it.map(|removal| removal.start.max(removal.end)).fold(0.0, f64::max) * self.factor * self.scale.points
    }

    /// Every gap; answers how many found no room.
    fn gaps(&self, placer: &mut Placer<'_>) -> usize {
        let mut left_out = 0;
        for station in &self.picture.stations {
            let (Some(leaf), Some(shape)) = (self.leaves.get(station.leaf), self.picture.leaves.get(station.leaf))
            else {
                continue;
            };
            let length = if station.edge.is_upright() { shape.height } else { shape.width };
            let spot = self.scale.spot(leaf.point(station.edge, station.at / length));
            let outside = shape::facing(self.picture, station.leaf, station.edge) == Across::Frame;
            let ink = match station.standing {
                Standing::Tight => Ink::Orange,
                Standing::Wide => Ink::Blue,
                Standing::Right | Standing::Unread => Ink::Black,
            };
            let (anchor, places) = self.beside(station.leaf, station.edge, spot, outside);
            let words = self.words(label(station), anchor, ink, station.standing != Standing::Right);
            let within = if outside { placer.within } else { self.face(station.leaf, leaf) };
            left_out += usize::from(!placer.put_within(&words, &places, within));
        }
        left_out
    }

    /// The part of a leaf's face that stays: clear of its edges and of the wood to remove.
    fn face(&self, leaf: usize, drawn: &DrawnLeaf) -> Frame {
        let [lower_left, lower_right, upper_right, upper_left] = drawn.corners.map(|corner| self.scale.spot(corner));
        let clear = |edge: Edge| self.depth(leaf, edge) + 2.0;
        Frame {
            left: lower_left.x.max(upper_left.x) + clear(Edge::Left),
            right: lower_right.x.min(upper_right.x) - clear(Edge::Right),
            top: upper_left.y.max(upper_right.y) + clear(Edge::Top),
            bottom: lower_left.y.min(lower_right.y) - clear(Edge::Bottom),
        }
    }

    /// Places for a text beside an edge at `spot`: outside the frame, or on the leaf clear of its wood to remove.
    fn beside(&self, leaf: usize, edge: Edge, spot: Spot, outside: bool) -> (Anchor, Vec<Spot>) {
        let size = self.size;
        let (clear, deep) = (RAIL + 3.0, self.depth(leaf, edge) + 4.0);
        let along = self.steps();
        // Inside, a second and a third row further in are tried where the first is full.
        let rows = |near: f64| [0.0, 1.4, 2.8].map(|row| near + row * size);
        let grid = |spots: &dyn Fn(f64, f64) -> Spot| -> Vec<Spot> {
            rows(deep)
                .into_iter()
                .flat_map(|deep| self.steps().map(move |step| (deep, step)))
                .map(|(deep, step)| spots(deep, step))
                .collect()
        };
        match (edge, outside) {
            (Edge::Left, true) => {
                (Anchor::End, along.map(|step| at(self.opening.left - clear, spot.y + 0.3 * size + step)).collect())
            }
            (Edge::Right, true) => {
                (Anchor::Start, along.map(|step| at(self.opening.right + clear, spot.y + 0.3 * size + step)).collect())
            }
            (Edge::Top, true) => {
                (Anchor::Middle, along.map(|step| at(spot.x + step, self.opening.top - clear - 0.3 * size)).collect())
            }
            (Edge::Bottom, true) => {
                (Anchor::Middle, along.map(|step| at(spot.x + step, self.opening.bottom + clear + size)).collect())
            }
            (Edge::Left, false) => (Anchor::Start, grid(&|deep, step| at(spot.x + deep, spot.y + 0.3 * size + step))),
            (Edge::Right, false) => (Anchor::End, grid(&|deep, step| at(spot.x - deep, spot.y + 0.3 * size + step))),
            (Edge::Top, false) => (Anchor::Middle, grid(&|deep, step| at(spot.x + step, spot.y + deep + size))),
            (Edge::Bottom, false) => {
                (Anchor::Middle, grid(&|deep, step| at(spot.x + step, spot.y - deep - 0.3 * size)))
            }
        }
    }

    /// What comes off each corner, on the leaf or else outside the frame beside it, with an arrow to the edge that it
    /// comes off; answers how many stand there, and how many found no room.
    fn corners(&self, placer: &mut Placer<'_>) -> [usize; 2] {
        let mut amounts = [0; 2];
        // Where two edges meet, what comes off the upright one stands in the corner, the other beside it.
        let (upright, level): (Vec<_>, Vec<_>) =
            self.picture.removals.iter().partition(|removal| removal.edge.is_upright());
        for removal in upright.into_iter().chain(level) {
            let Some(leaf) = self.leaves.get(removal.leaf) else { continue };
            let face = self.face(removal.leaf, leaf);
            for (far, shown) in [(false, &removal.shown_start), (true, &removal.shown_end)] {
                let (anchor, places) = self.corner_spots(removal.edge, far, face);
                let words = self.words(off(removal.edge, shown), anchor, Ink::Black, true);
                let placed = placer.put_within(&words, &places, face) || self.outside(placer, removal, far, shown);
                amounts[usize::from(!placed)] += 1;
            }
        }
        amounts
    }

    /// What comes off one end of an edge that faces the frame, beside it outside; says whether there is room.
    fn outside(&self, placer: &mut Placer<'_>, removal: &Removal, far: bool, shown: &str) -> bool {
        let (leaf, edge) = (removal.leaf, removal.edge);
        let Some(drawn) = self.leaves.get(leaf) else { return false };
        if shape::facing(self.picture, leaf, edge) != Across::Frame {
            return false;
        }
        let spot = self.scale.spot(drawn.point(edge, if far { 0.94 } else { 0.06 }));
        let (anchor, places) = self.beside(leaf, edge, spot, true);
        // From outside the arrow points back to the edge.
        let words = self.words(off(edge.opposite(), shown), anchor, Ink::Black, true);
        placer.put(&words, &places)
    }

    /// Places for what comes off an edge at its `far` end, the right or upper one, or at the other: from that corner
    /// of `face` along the edge to its middle, then further in.
    fn corner_spots(&self, edge: Edge, far: bool, face: Frame) -> (Anchor, Vec<Spot>) {
        // A text keeps a hair's room round itself.
        let (size, face) = (self.size, face.within(1.0));
        let half = if edge.is_upright() { face.height() } else { face.width() } / 2.0;
        let steps = || (0..60).map(|step| f64::from(step) * 0.3 * size).take_while(|step| *step <= half);
        let (first, last) = (face.top + RISE * size, face.bottom - HANG * size);
        let rows = [0.0, 1.2, 2.4, 3.6, 4.8, 6.0].map(|row| row * size);
        let columns = [0.0, 2.0, 4.0, 6.0].map(|column| column * size);
        let spots = |across: &[f64], spot: &dyn Fn(f64, f64) -> Spot| {
            across.iter().flat_map(|&deep| steps().map(move |step| (deep, step))).map(|(d, s)| spot(d, s)).collect()
        };
        let along = |step: f64| if far { face.right - step } else { face.left + step };
        let up = |step: f64| if far { first + step } else { last - step };
        let end = if far { Anchor::End } else { Anchor::Start };
        match edge {
            Edge::Left => (Anchor::Start, spots(&columns, &|deep, step| at(face.left + deep, up(step)))),
            Edge::Right => (Anchor::End, spots(&columns, &|deep, step| at(face.right - deep, up(step)))),
            Edge::Top => (end, spots(&rows, &|deep, step| at(along(step), first + deep))),
            Edge::Bottom => (end, spots(&rows, &|deep, step| at(along(step), last - deep))),
        }
    }

    fn hinge_words(&self, placer: &mut Placer<'_>) {
        for (shape, leaf) in self.picture.leaves.iter().zip(self.leaves) {
            let Some(side) = shape.hinge else { continue };
            for share in HINGES {
                let spot = self.scale.spot(leaf.point(side.edge(), share));
                let (anchor, x) = match side {
                    Side::Left => (Anchor::End, self.opening.left - RAIL - 3.0),
                    Side::Right => (Anchor::Start, self.opening.right + RAIL + 3.0),
                };
                let words = self.words("hinge".to_owned(), anchor, Ink::Grey, false);
                let y = spot.y + 0.3 * self.size;
                placer.put(&words, &[at(x, y), at(x, y + 1.3 * self.size), at(x, y - 1.3 * self.size)]);
            }
        }
    }

    /// The leaf's name and which end is up, near its middle and clear of its edges.
    fn names(&self, placer: &mut Placer<'_>) {
        for (place, (shape, leaf)) in self.picture.leaves.iter().zip(self.leaves).enumerate() {
            let face = self.face(place, leaf);
            let middle = at(f64::midpoint(face.left, face.right), f64::midpoint(face.top, face.bottom));
            let room = face.width() - 4.0;
            // Whose leaf it is matters more than which end is up: the name goes smaller before it goes.
            let sizes = [(shape.name.as_str(), &[1.3, 0.9][..], 0.3), ("▲ up", &[1.1], -1.6)];
            for (text, shares, rise) in sizes {
                for share in shares {
                    let size = self.size * share;
                    let width = font::width(text, size);
                    let size = if width > room { size * room / width } else { size };
                    if size < 4.0 || text.is_empty() {
                        continue;
                    }
                    let words = Words { size, ..self.words(text.to_owned(), Anchor::Middle, Ink::Grey, true) };
                    let sideways = |up: f64| self.steps().map(move |step| at(middle.x + step, middle.y + up));
                    let upward = self.steps().map(|step| at(middle.x, middle.y + rise * self.size + step));
                    let beside = [rise, 0.3, 0.9, -0.4].into_iter().flat_map(|rise| sideways(rise * self.size));
                    let places: Vec<Spot> = upward.chain(beside).collect();
                    if placer.put_within(&words, &places, face) {
                        break;
                    }
                }
            }
        }
    }
}
