//! Where the edges of the leaves are drawn: the opening to proportion, each gap larger by one factor.

use super::opening::{OpeningPicture, Station};
use crate::fit::opening::Edge;

/// An edge of a leaf as drawn, in opening coordinates (inches; y up).
pub(crate) struct DrawnEdge {
    /// (along, across): `along` runs with the edge, `across` is where the edge lies.
    points: Vec<(f64, f64)>,
}

impl DrawnEdge {
    /// Where the edge lies at a place along it.
    pub(crate) fn across(&self, along: f64) -> f64 {
        interpolate(&self.points, along).unwrap_or(0.0)
    }

    /// The places where its line bends.
    pub(crate) fn knees(&self) -> impl DoubleEndedIterator<Item = f64> + '_ {
        self.points.iter().map(|point| point.0)
    }
}

/// One leaf as drawn.
pub(crate) struct DrawnLeaf {
    edges: [DrawnEdge; 4],
    /// Corner order: lower left, lower right, upper right, upper left.
    pub(crate) corners: [(f64, f64); 4],
}

impl DrawnLeaf {
    pub(crate) fn edge(&self, edge: Edge) -> &DrawnEdge {
        let [left, right, bottom, top] = &self.edges;
        match edge {
            Edge::Left => left,
            Edge::Right => right,
            Edge::Bottom => bottom,
            Edge::Top => top,
        }
    }

    /// The point of an edge as drawn for a share (0 to 1) of its length from its lower or left corner.
    pub(crate) fn point(&self, edge: Edge, share: f64) -> (f64, f64) {
        let [lower_left, lower_right, upper_right, upper_left] = self.corners;
        let (from, to) = match edge {
            Edge::Left => (lower_left.1, upper_left.1),
            Edge::Right => (lower_right.1, upper_right.1),
            Edge::Bottom => (lower_left.0, lower_right.0),
            Edge::Top => (upper_left.0, upper_right.0),
        };
        let along = from + (to - from) * share.clamp(0.0, 1.0);
        let across = self.edge(edge).across(along);
        if edge.is_upright() { (across, along) } else { (along, across) }
    }

    /// The outline as a closed path.
    pub(crate) fn outline(&self) -> Vec<(f64, f64)> {
        let [lower_left, lower_right, upper_right, upper_left] = self.corners;
        let mut path = vec![lower_left];
        let between = |low: f64, high: f64| move |along: &f64| *along > low && *along < high;
        let bottom = self.edge(Edge::Bottom);
        path.extend(bottom.knees().filter(between(lower_left.0, lower_right.0)).map(|x| (x, bottom.across(x))));
        path.push(lower_right);
        let right = self.edge(Edge::Right);
        path.extend(right.knees().filter(between(lower_right.1, upper_right.1)).map(|y| (right.across(y), y)));
        path.push(upper_right);
        let top = self.edge(Edge::Top);
        path.extend(top.knees().rev().filter(between(upper_left.0, upper_right.0)).map(|x| (x, top.across(x))));
        path.push(upper_left);
        let left = self.edge(Edge::Left);
        path.extend(left.knees().rev().filter(between(lower_left.1, upper_left.1)).map(|y| (left.across(y), y)));
        path.push(lower_left);
        path
    }
}

/// What lies across the gap from an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Across {
    Frame,
    Leaf(usize),
}

/// The extent of leaf `leaf` along and across one of its edges, as laid out: (from, to, the edge's own place).
fn extent(picture: &OpeningPicture, leaf: usize, edge: Edge) -> Option<(f64, f64, f64)> {
    let shape = picture.leaves.get(leaf)?;
    let (right, top) = (shape.x + shape.width, shape.y + shape.height);
    Some(match edge {
        Edge::Left => (shape.y, top, shape.x),
        Edge::Right => (shape.y, top, right),
        Edge::Bottom => (shape.x, right, shape.y),
        Edge::Top => (shape.x, right, top),
    })
}

/// The leaf that an edge faces, or the frame.
pub(crate) fn facing(picture: &OpeningPicture, leaf: usize, edge: Edge) -> Across {
    let Some((from, to, place)) = extent(picture, leaf, edge) else { return Across::Frame };
    let room = picture.leaves.get(leaf).map_or(0.0, |leaf| if edge.is_upright() { leaf.width } else { leaf.height });
    let outward = if matches!(edge, Edge::Right | Edge::Top) { 1.0 } else { -1.0 };
    let mut nearest = (f64::INFINITY, Across::Frame);
    for other in (0..picture.leaves.len()).filter(|&other| other != leaf) {
        let Some((low, high, across)) = extent(picture, other, edge.opposite()) else { continue };
        let overlap = to.min(high) - from.max(low);
        let distance = (across - place) * outward;
        // Half the leaf's own size, across the edge, lets a badly laid-out picture still find its neighbour; half its
        // length would have a low wide front face the one below it with its top.
        if overlap > 0.0 && distance > -0.5 * room.abs() && distance < nearest.0 {
            nearest = (distance, Across::Leaf(other));
        }
    }
    nearest.1
}

/// Place of a station in opening coordinates along its edge.
pub(crate) fn along(picture: &OpeningPicture, station: &Station) -> Option<f64> {
    let shape = picture.leaves.get(station.leaf)?;
    let start = if station.edge.is_upright() { shape.y } else { shape.x };
    let place = start + station.at;
    place.is_finite().then_some(place)
}

/// The gap readings that bear on an edge: its own stations and those of the edge it faces.
fn gaps_along(picture: &OpeningPicture, leaf: usize, edge: Edge, across: Across) -> Vec<(f64, f64)> {
    let Some((from, to, _)) = extent(picture, leaf, edge) else { return Vec::new() };
    let mut points: Vec<(f64, f64)> = picture
        .stations
        .iter()
        .filter(|station| {
            (station.leaf == leaf && station.edge == edge)
                || (across == Across::Leaf(station.leaf)
                    && station.edge == edge.opposite()
                    && facing(picture, station.leaf, station.edge) == Across::Leaf(leaf))
        })
        .filter_map(|station| Some((along(picture, station)?, station.gap?)))
        .filter(|(place, gap)| gap.is_finite() && *place >= from - 1e-6 && *place <= to + 1e-6)
        .collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
    points
}

/// Straight lines through points sorted by place, carried on beyond the first and last.
fn interpolate(points: &[(f64, f64)], place: f64) -> Option<f64> {
    match points {
        [] => None,
        [only] => Some(only.1),
        _ => {
            let after = points.partition_point(|point| point.0 < place).clamp(1, points.len() - 1);
            let (a, b) = (points.get(after - 1)?, points.get(after)?);
            let run = b.0 - a.0;
            Some(if run.abs() < 1e-9 { a.1 } else { a.1 + (b.1 - a.1) * (place - a.0) / run })
        }
    }
}

/// Where the gap of an edge at `place` ends as drawn: at the frame, or half-way to the leaf it faces.
fn far(picture: &OpeningPicture, edge: Edge, across: Across, place: f64) -> Option<f64> {
    Some(match (across, edge) {
        (Across::Frame, Edge::Left | Edge::Bottom) => 0.0,
        (Across::Frame, Edge::Right) => picture.width,
        (Across::Frame, Edge::Top) => picture.height,
        (Across::Leaf(other), _) => f64::midpoint(place, extent(picture, other, edge.opposite())?.2),
    })
}

/// The gap that an edge nobody read yet is drawn with, before it is made larger.
fn unread_gap(picture: &OpeningPicture, leaf: usize, edge: Edge) -> Option<f64> {
    let across = facing(picture, leaf, edge);
    let place = extent(picture, leaf, edge)?.2;
    let share = if across == Across::Frame { 1.0 } else { 0.5 };
    Some((place - far(picture, edge, across, place)?).abs() / share)
}

fn drawn_edge(picture: &OpeningPicture, leaf: usize, edge: Edge, factor: f64) -> Option<DrawnEdge> {
    let (from, to, place) = extent(picture, leaf, edge)?;
    let across = facing(picture, leaf, edge);
    let far = far(picture, edge, across, place)?;
    let share = if across == Across::Frame { 1.0 } else { 0.5 };
    let nominal = (place - far).abs() / share;
    let gaps = gaps_along(picture, leaf, edge, across);
    // A leaf is drawn no thinner than a third of itself and laps the frame by no more than a sliver.
    let shape = picture.leaves.get(leaf)?;
    let room = if edge.is_upright() { shape.width } else { shape.height };
    let (most, least) = ((room / 3.0).max(0.0), -(room / 25.0).max(0.0));
    let inward = if matches!(edge, Edge::Left | Edge::Bottom) { 1.0 } else { -1.0 };
    let mut places = vec![from];
    places.extend(gaps.iter().map(|point| point.0).filter(|place| *place > from && *place < to));
    places.push(to);
    let points = places
        .into_iter()
        .map(|place| {
            let gap = interpolate(&gaps, place).unwrap_or(nominal);
            let drawn = (gap * share * factor).max(least).min(most);
            (place, far + inward * drawn)
        })
        .collect();
    Some(DrawnEdge { points })
}

/// A leaf as drawn with gaps larger by `factor`.
pub(crate) fn drawn_leaf(picture: &OpeningPicture, leaf: usize, factor: f64) -> Option<DrawnLeaf> {
    let shape = picture.leaves.get(leaf)?;
    let edges = [
        drawn_edge(picture, leaf, Edge::Left, factor)?,
        drawn_edge(picture, leaf, Edge::Right, factor)?,
        drawn_edge(picture, leaf, Edge::Bottom, factor)?,
        drawn_edge(picture, leaf, Edge::Top, factor)?,
    ];
    let [left, right, bottom, top] = &edges;
    let (x0, x1, y0, y1) = (shape.x, shape.x + shape.width, shape.y, shape.y + shape.height);
    let corners = [
        (left.across(y0), bottom.across(x0)),
        (right.across(y0), bottom.across(x1)),
        (right.across(y1), top.across(x1)),
        (left.across(y1), top.across(x0)),
    ];
    Some(DrawnLeaf { edges, corners })
}

/// The factor that makes the usual gap about a tenth of the smallest leaf's smaller side, from a ladder of round numbers.
pub(crate) fn fitting_factor(picture: &OpeningPicture) -> f64 {
    const LADDER: [f64; 13] = [1.0, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0];
    // Edges nobody read yet are drawn, too: one narrow gap read must not blow up the others.
    let drawn = |station: &Station| station.gap.or_else(|| unread_gap(picture, station.leaf, station.edge));
    let mut gaps: Vec<f64> =
        picture.stations.iter().filter_map(drawn).filter(|gap| gap.is_finite()).map(f64::abs).collect();
    gaps.sort_by(f64::total_cmp);
    let usual = gaps.get(gaps.len() * 3 / 4).copied().filter(|gap| *gap > 0.0).unwrap_or(3.0 / 32.0);
    let side = picture
        .leaves
        .iter()
        .map(|leaf| leaf.width.min(leaf.height))
        .filter(|side| side.is_finite() && *side > 0.0)
        .fold(f64::INFINITY, f64::min);
    if !side.is_finite() {
        return 1.0;
    }
    let most = 0.13 * side / usual;
    LADDER.into_iter().take_while(|factor| *factor <= most).last().unwrap_or(1.0)
}
